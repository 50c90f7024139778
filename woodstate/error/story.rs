//! The long story of a word: what it means, what follows, why it happens, what to do.

use super::{
    BathCautionCode, CautionCode, CourseCautionCode, CurveCautionCode, DepthCautionCode, FindingCode, LiftCautionCode,
};

/// The long story of a finding or a caution, for `explain` and for the legend of a report.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Story {
    /// The word, such as `mass-missing`.
    pub code: &'static str,
    /// One short clause, shown under tables.
    pub text: &'static str,
    /// What it means.
    pub meaning: &'static str,
    /// What follows for the numbers.
    pub consequence: &'static str,
    /// Why it happens.
    pub cause: &'static str,
    /// What to do.
    pub cure: &'static str,
}

/// The story of a word, or `None` if no finding and no caution has it.
///
/// # Example
/// ```
/// let story = woodstate::error::explain("not-saturated").unwrap();
/// assert!(story.cure.contains("vacuum"));
/// assert!(woodstate::error::explain("no-such-word").is_none());
/// ```
#[must_use]
pub fn explain(word: &str) -> Option<&'static Story> {
    let cautions = CautionCode::ALL.iter().map(|code| code.story());
    let findings = FindingCode::ALL.iter().map(|code| code.story());
    let curves = CurveCautionCode::ALL.iter().map(|code| code.story());
    let courses = CourseCautionCode::ALL.iter().map(|code| code.story());
    let depths = DepthCautionCode::ALL.iter().map(|code| code.story());
    let baths = BathCautionCode::ALL.iter().map(|code| code.story());
    let lifts = LiftCautionCode::ALL.iter().map(|code| code.story());
    let all = cautions.chain(findings).chain(curves).chain(depths).chain(courses).chain(baths).chain(lifts);
    all.into_iter().find(|story| story.code == word)
}

/// The names nearest to `found`, at most three that are equally near; empty if none is near.
///
/// Near means: at most a third of the letters differ (inserted, left out, exchanged or swapped with the next one),
/// ignoring case and taking `_`, `-` and space as the same.
///
/// # Example
/// ```
/// let known = ["mass_oven_dry", "mass_saturated"];
/// assert_eq!(woodstate::error::near("mass oven dri", known), ["mass_oven_dry"]);
/// ```
#[must_use]
pub fn near<'a>(found: &str, known: impl IntoIterator<Item = &'a str>) -> Vec<&'a str> {
    let wanted = plain(found);
    let mut hits: Vec<(usize, &str)> = known
        .into_iter()
        .map(|name| (distance(&wanted, &plain(name)), name))
        .filter(|(steps, name)| *steps * 3 <= name.chars().count().max(wanted.len()))
        .collect();
    hits.sort_unstable();
    hits.dedup();
    let best = hits.first().map_or(0, |(steps, _)| *steps);
    hits.into_iter().take_while(|(steps, _)| *steps == best).take(3).map(|(_, name)| name).collect()
}

fn plain(name: &str) -> Vec<char> {
    name.trim().to_lowercase().chars().map(|c| if matches!(c, '_' | '-') { ' ' } else { c }).collect()
}

/// Edit distance in which a swap of two neighbours counts as one step.
fn distance(a: &[char], b: &[char]) -> usize {
    let mut before = vec![0; b.len() + 1];
    let mut last: Vec<usize> = (0..=b.len()).collect();
    for i in 1..=a.len() {
        let mut row = vec![i; b.len() + 1];
        for j in 1..=b.len() {
            let change = last[j - 1] + usize::from(a[i - 1] != b[j - 1]);
            row[j] = change.min(last[j] + 1).min(row[j - 1] + 1);
            if i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1] {
                row[j] = row[j].min(before[j - 2] + 1);
            }
        }
        before = std::mem::replace(&mut last, row);
    }
    last[b.len()]
}

/// Defines an enum of codes with the story of each.
macro_rules! codes {
    ($(#[$doc:meta])* $name:ident: $($(#[$variant_doc:meta])* $variant:ident $code:literal $text:literal
        means $meaning:literal so $consequence:literal because $cause:literal cure $cure:literal)*) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum $name {
            $(#[doc = $meaning] $variant),*
        }

        impl $name {
            /// All codes, in the order in which they are listed.
            pub const ALL: &'static [Self] = &[$(Self::$variant),*];

            const STORIES: &'static [$crate::error::Story] = &[$($crate::error::Story {
                code: $code,
                text: $text,
                meaning: $meaning,
                consequence: $consequence,
                cause: $cause,
                cure: $cure,
            }),*];

            /// The long story of this code.
            #[must_use]
            pub fn story(self) -> &'static $crate::error::Story {
                &Self::STORIES[self as usize]
            }

            /// The word of this code.
            #[must_use]
            pub fn word(self) -> &'static str {
                self.story().code
            }
        }
    };
}
pub(crate) use codes;
