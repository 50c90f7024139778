//! Routes of treatment: what authors recommend them for, what limits and excludes them, and where authors disagree.

use std::collections::BTreeSet;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::Reference;
use super::hazard::Statement;
use super::route_test::RouteTest;
use super::source::parse;
use crate::error::{Error, ErrorKind, Result, near};
use crate::quantity::{Cited, Evidence};

const FILE: &str = "routes.toml";

/// How a route stands to a timber. The order is from the worst to the best.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum RouteVerdict {
    /// A condition excludes it.
    Excluded,
    /// Something speaks against it, or is not known, or nobody published a condition that the timber fulfils.
    Doubtful,
    /// A published condition is fulfilled and nothing known speaks against it.
    Possible,
    /// Two works that were read recommend it for such wood, and everything that could speak against it is known not to.
    Suited,
}

impl RouteVerdict {
    /// All verdicts, the best first.
    pub const ALL: [Self; 4] = [Self::Suited, Self::Possible, Self::Doubtful, Self::Excluded];

    /// The word in results.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Suited => "suited",
            Self::Possible => "possible",
            Self::Doubtful => "doubtful",
            Self::Excluded => "excluded",
        }
    }

    /// What the verdict means, in one sentence.
    #[must_use]
    pub fn meaning(self) -> &'static str {
        match self {
            Self::Suited => {
                "Two works that were read, neither a single case nor an opinion, recommend the route for such wood; everything that \
                 could speak against it is known and does not. The conservator decides."
            }
            Self::Possible => {
                "A condition that somebody published is fulfilled and nothing known speaks against the route; the evidence is not \
                 enough for more. The conservator decides."
            }
            Self::Doubtful => {
                "Something speaks against the route, or something that could exclude it is not known, or no condition that we could \
                 read is fulfilled. Not to be used before that is settled."
            }
            Self::Excluded => {
                "A condition excludes the route: of the wood, of a published exclusion, or of the laboratory's own limits."
            }
        }
    }
}

/// What kind of support a work gives.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum SupportBasis {
    /// Treatments compared on many pieces.
    Comparison,
    /// The practice of a laboratory.
    Practice,
    /// Small specimens only.
    Specimens,
    /// One object or one site.
    SingleCase,
    /// The opinion of an expert.
    Opinion,
    /// Described, without a condition.
    Described,
}

impl SupportBasis {
    /// The words in results.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Comparison => "a comparison",
            Self::Practice => "a laboratory's practice",
            Self::Specimens => "small specimens only",
            Self::SingleCase => "a single case",
            Self::Opinion => "an expert's opinion",
            Self::Described => "a description only",
        }
    }

    /// Whether it can carry the verdict `suited`, with another one of its kind.
    #[must_use]
    pub fn is_broad(self) -> bool {
        matches!(self, Self::Comparison | Self::Practice)
    }
}

/// What an author recommends a route for.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Support {
    /// What it rests on.
    pub basis: SupportBasis,
    /// The condition: all of these; none where the author names none.
    #[serde(default)]
    pub when: Vec<RouteTest>,
    /// What the author says.
    pub said: Statement,
}

/// What limits a route.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RouteRule {
    /// Its word, such as `metal-in-peg`.
    pub word: String,
    /// The condition: all of these; without any it always holds.
    #[serde(default)]
    pub when: Vec<RouteTest>,
    /// The best verdict where the condition is fulfilled.
    pub verdict: RouteVerdict,
    /// The best verdict where it cannot be told; never worse than `verdict`.
    #[serde(default = "doubtful")]
    pub unknown: RouteVerdict,
    /// Why.
    pub said: Statement,
}

fn doubtful() -> RouteVerdict {
    RouteVerdict::Doubtful
}

/// A route of treatment.
#[derive(Debug, Clone, PartialEq)]
pub struct TreatmentRoute {
    /// Its word, such as `peg-freeze-drying`.
    pub word: String,
    /// What it is called.
    pub title: String,
    /// What is done, in one sentence.
    pub about: String,
    /// Why it cannot be undone; `None` where it is not held to be irreversible.
    pub irreversible: Option<Statement>,
    /// What authors recommend it for.
    pub supports: Vec<Support>,
    /// What limits it.
    pub rules: Vec<RouteRule>,
    /// Published figures and cautions of its procedure.
    pub procedure: Vec<Statement>,
}

/// What is done before any treatment.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TreatmentStep {
    /// Its word, such as `desalting`.
    pub word: String,
    /// What it is called.
    pub title: String,
    /// Where it is due: one of these lists of tests is fulfilled; none for every timber.
    #[serde(default)]
    pub due: Vec<RouteTest>,
    /// What has to be at hand.
    pub inputs: Vec<String>,
    /// When it is done with.
    pub stop: Statement,
    /// Who decides.
    pub decides: String,
    /// What to know.
    pub said: Vec<Statement>,
    /// Hazardous work that belongs to it, as hazards.toml names it.
    #[serde(default)]
    pub work: Vec<String>,
}

/// Sources that do not agree, side by side.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Disagreement {
    /// What it is about.
    pub about: String,
    /// Routes that it concerns; none for all.
    #[serde(default)]
    pub routes: Vec<String>,
    /// What each source says.
    pub sides: Vec<Statement>,
    /// What follows for a reader.
    pub so: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Entry {
    word: String,
    title: String,
    about: String,
    irreversible: Option<Statement>,
    #[serde(default)]
    support: Vec<Support>,
    rules: Vec<String>,
    #[serde(default)]
    procedure: Vec<Statement>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    no_support: Statement,
    rule: Vec<RouteRule>,
    route: Vec<Entry>,
    step: Vec<TreatmentStep>,
    disagreement: Vec<Disagreement>,
}

/// The content of the file, with every rule found.
#[derive(Debug)]
pub(super) struct Routes {
    no_support: Statement,
    routes: Vec<TreatmentRoute>,
    steps: Vec<TreatmentStep>,
    disagreements: Vec<Disagreement>,
}

impl Routes {
    pub(super) fn words(&self) -> impl Iterator<Item = &str> {
        self.routes.iter().map(|route| route.word.as_str())
    }

    /// Everything that is said, with its origin.
    pub(super) fn statements(&self) -> impl Iterator<Item = &Statement> {
        let of_routes = self.routes.iter().flat_map(TreatmentRoute::statements);
        let of_steps = self.steps.iter().flat_map(|step| step.said.iter().chain([&step.stop]));
        of_routes.chain([&self.no_support]).chain(of_steps).chain(self.disagreements.iter().flat_map(|one| &one.sides))
    }

    /// Names of woods in tests.
    pub(super) fn woods(&self) -> impl Iterator<Item = &String> {
        let of_routes = self.routes.iter().flat_map(|route| {
            route
                .supports
                .iter()
                .flat_map(|support| &support.when)
                .chain(route.rules.iter().flat_map(|rule| &rule.when))
        });
        of_routes.filter_map(|test| if let RouteTest::Wood { among } = test { Some(among) } else { None }).flatten()
    }
}

impl TreatmentRoute {
    /// Everything that is said of the route, with its origin.
    pub fn statements(&self) -> impl Iterator<Item = &Statement> {
        let supports = self.supports.iter().map(|support| &support.said);
        let rules = self.rules.iter().map(|rule| &rule.said);
        supports.chain(rules).chain(&self.procedure).chain(&self.irreversible)
    }
}

pub(super) fn read() -> std::result::Result<Routes, (&'static str, String)> {
    let File { no_support, rule: mut rules, route: entries, step: steps, disagreement: disagreements } =
        parse(FILE, include_str!("routes.toml"))?;
    // What is not known never weighs more than what is.
    rules.iter_mut().for_each(|rule| rule.unknown = rule.unknown.max(rule.verdict));
    let mut words = BTreeSet::new();
    for word in rules.iter().map(|rule| &rule.word).chain(entries.iter().map(|entry| &entry.word)) {
        if !words.insert(word) {
            return Err((FILE, format!("\"{word}\" stands twice")));
        }
    }
    let named: BTreeSet<&str> = entries.iter().flat_map(|entry| &entry.rules).map(String::as_str).collect();
    if let Some(rule) = rules.iter().find(|rule| !named.contains(rule.word.as_str())) {
        return Err((FILE, format!("no route names rule \"{}\"", rule.word)));
    }
    let found = |word: &String| {
        let rule = rules.iter().find(|rule| rule.word == *word).cloned();
        rule.ok_or_else(|| (FILE, format!("rule \"{word}\" has no entry")))
    };
    let route = |entry: Entry| {
        Ok(TreatmentRoute {
            rules: entry.rules.iter().map(found).collect::<std::result::Result<_, _>>()?,
            word: entry.word,
            title: entry.title,
            about: entry.about,
            irreversible: entry.irreversible,
            supports: entry.support,
            procedure: entry.procedure,
        })
    };
    let routes = entries.into_iter().map(route).collect::<std::result::Result<Vec<_>, _>>()?;
    let is_known = |word: &&String| routes.iter().any(|route| route.word == **word);
    if let Some(word) = disagreements.iter().flat_map(|one| &one.routes).find(|word| !is_known(word)) {
        return Err((FILE, format!("route \"{word}\" has no entry")));
    }
    Ok(Routes { no_support, routes, steps, disagreements })
}

impl Reference {
    /// All routes of treatment, in the order of the file.
    #[must_use]
    pub fn routes(&self) -> &[TreatmentRoute] {
        &self.routes.routes
    }

    /// The route with this word.
    ///
    /// # Errors
    /// [`ErrorKind::Name`] with the words there are.
    ///
    /// # Example
    /// ```
    /// use woodstate::reference::Reference;
    /// let route = Reference::shipped().unwrap().route("melamine-resin").unwrap();
    /// assert!(route.irreversible.is_some());
    /// ```
    pub fn route(&self, word: &str) -> Result<&TreatmentRoute> {
        self.routes().iter().find(|route| route.word == word).ok_or_else(|| {
            let near: Vec<&str> = near(word, self.routes.words());
            let allowed = if near.is_empty() { self.routes.words().collect() } else { near };
            let allowed = allowed.into_iter().map(str::to_owned).collect();
            Error::new(ErrorKind::Name { what: "route", found: word.to_owned(), allowed })
        })
    }

    /// What is said of a route where none of its supports is fulfilled.
    #[must_use]
    pub fn no_support(&self) -> &Statement {
        &self.routes.no_support
    }

    /// What is done before any treatment, in order.
    #[must_use]
    pub fn treatment_steps(&self) -> &[TreatmentStep] {
        &self.routes.steps
    }

    /// Where sources on treatment do not agree.
    #[must_use]
    pub fn disagreements(&self) -> &[Disagreement] {
        &self.routes.disagreements
    }

    /// The origin of something that is said.
    #[must_use]
    pub fn statement_source(&self, said: &Statement) -> Cited {
        self.cited(said.text.as_str(), &said.source, &said.place, said.evidence)
    }

    /// Author, year and title of the work that something is said in.
    #[must_use]
    pub fn citation(&self, said: &Statement) -> &str {
        self.sources().iter().find(|source| source.id == said.source).map_or("", |source| source.citation.as_str())
    }
}

/// How weak evidence is, to order by: seen in the source, stated by the user, computed, seen in a transcription, common
/// practice, a choice of ours, memory. An order, not a score.
#[must_use]
pub fn weakness(evidence: Evidence) -> u8 {
    match evidence {
        Evidence::Read => 0,
        Evidence::Stated => 1,
        Evidence::Derived => 2,
        Evidence::Copy => 3,
        Evidence::CommonPractice => 4,
        Evidence::Proposal => 5,
        Evidence::Memory => 6,
    }
}
