//! Conditions on rows, such as `depth_from < 20 mm and taxon == 'oak'`.
//!
//! ```text
//! condition   = comparison | not condition | condition and condition | condition or condition | ( condition )
//! comparison  = column sign value | column in ( value, ... ) | column not in ( value, ... ) | unknown( column )
//! sign        = == (or =)  != (or ≠)  <  <= (or ≤)  >  >= (or ≥)
//! value       = a number with a unit, or without one in the unit of the column | a word between quotes | a day
//! column      = a name; between backquotes where it has spaces
//! ```
//! `not` binds before `and`, `and` before `or`. Words are compared ignoring case and spaces.
//!
//! Whether a row fulfils a condition may be unknown: then it is left out, and counted apart. `and`, `or` and `not` are those of
//! three values: unknown and false is false, unknown or true is true, anything else with unknown is unknown.
//!
//! # Source
//! S. C. Kleene 1952, Introduction to Metamathematics, section 64, strong tables \[memory].

mod choice;
mod fault;
mod lex;
mod literal;
mod name;
mod parse;

use std::cmp::Ordering;

pub use choice::{Choice, Datum, Seen, UnknownIn, WordCount};
pub use name::{NameKind, Names};

use crate::error::Result;
use crate::table::day::is_day;

use lex::Sign;
use literal::{Wanted, plain};
use name::Name;
use parse::Node;

/// Whether one wood, as it is written, is another or belongs to it; `None` where that cannot be told.
pub type TaxonMatch<'a> = &'a dyn Fn(&str, &str) -> Option<bool>;

/// A condition that was read and understood.
#[derive(Debug, Clone, PartialEq)]
pub struct Condition {
    text: String,
    root: Node,
    used: Vec<Name>,
}

impl Condition {
    /// Reads a condition.
    ///
    /// # Errors
    /// [`ErrorKind::Condition`](crate::error::ErrorKind::Condition) with the place of the fault: a name that does not exist, a
    /// unit that measures something else, a word that the column does not have, a parenthesis too many.
    pub fn parse(text: &str, names: &Names) -> Result<Self> {
        let (root, used) = parse::parse(text, names)?;
        Ok(Self { text: text.trim().to_owned(), root, used })
    }

    /// The condition as it was written.
    #[must_use]
    pub fn text(&self) -> &str {
        &self.text
    }

    /// The names in it, in the order in which they first stand there.
    pub fn names(&self) -> impl Iterator<Item = &str> {
        self.used.iter().map(|name| name.name.as_str())
    }

    /// Whether a row fulfils it; `None` where that is unknown.
    ///
    /// # Example
    /// ```
    /// use woodstate::table::{Condition, Datum, NameKind, Names};
    /// let names = Names::default().with("depth_from", NameKind::Number { unit: "mm" });
    /// let condition = Condition::parse("depth_from < 2 cm", &names)?;
    /// let holds = |datum| condition.holds(&|_| datum, &|a, b| Some(a == b));
    /// assert_eq!(holds(Datum::Number(5.0)), Some(true));
    /// assert_eq!(holds(Datum::Number(20.0)), Some(false));
    /// assert_eq!(holds(Datum::Unknown), None);
    /// # Ok::<(), woodstate::error::Error>(())
    /// ```
    #[must_use]
    pub fn holds<'a>(&self, datum: &dyn Fn(&str) -> Datum<'a>, matches: TaxonMatch<'_>) -> Option<bool> {
        self.truth(&self.root, datum, matches, &mut |_| ())
    }

    /// The rows that fulfil it, and what became of the others.
    ///
    /// * `of`: what the rows are called: `row` or `piece`
    /// * `datum`: what a name holds in a row
    #[must_use]
    pub fn choose<'a>(
        &self,
        rows: usize,
        of: &'static str,
        datum: &dyn Fn(&str, usize) -> Datum<'a>,
        matches: TaxonMatch<'_>,
    ) -> (Vec<usize>, Choice) {
        let (mut kept, mut left_out, mut counts) = (Vec::new(), 0, vec![0; self.used.len()]);
        let mut is_unknown = vec![false; self.used.len()];
        for row in 0..rows {
            is_unknown.fill(false);
            let truth =
                self.truth(&self.root, &|name| datum(name, row), matches, &mut |place| is_unknown[place] = true);
            match truth {
                Some(true) => kept.push(row),
                Some(false) => left_out += 1,
                None => counts.iter_mut().zip(&is_unknown).for_each(|(count, is)| *count += usize::from(*is)),
            }
        }
        let unknown_in = self.used.iter().zip(&counts).filter(|(_, count)| **count > 0);
        let unknown_in = unknown_in.map(|(name, rows)| UnknownIn { column: name.name.clone(), rows: *rows }).collect();
        let seen = |name: &Name| {
            let unit = if let NameKind::Number { unit } = name.kind { Some(unit) } else { None };
            Seen::of(&name.name, unit, (0..rows).map(|row| datum(&name.name, row)))
        };
        let choice = Choice {
            condition: self.text.clone(),
            of,
            rows,
            kept: kept.len(),
            left_out,
            unknown: rows - kept.len() - left_out,
            unknown_in,
            seen: if kept.is_empty() { self.used.iter().map(seen).collect() } else { Vec::new() },
        };
        (kept, choice)
    }

    /// Truth of a part of the tree; `undecided` hears of each column that is unknown in a comparison.
    fn truth<'a>(
        &self,
        node: &Node,
        datum: &dyn Fn(&str) -> Datum<'a>,
        matches: TaxonMatch<'_>,
        undecided: &mut dyn FnMut(usize),
    ) -> Option<bool> {
        match node {
            Node::Not(inner) => self.truth(inner, datum, matches, undecided).map(|truth| !truth),
            Node::And(parts) => {
                let parts: Vec<_> = parts.iter().map(|part| self.truth(part, datum, matches, undecided)).collect();
                all(parts.into_iter())
            }
            Node::Or(parts) => {
                let parts: Vec<_> = parts.iter().map(|part| self.truth(part, datum, matches, undecided)).collect();
                any(parts.into_iter())
            }
            Node::Unknown(place) => Some(self.known(*place, datum).is_none()),
            Node::Compare(place, sign, wanted) => {
                let truth = self
                    .known(*place, datum)
                    .and_then(|known| any(wanted.iter().map(|wanted| compare(known, *sign, wanted, matches))));
                if truth.is_none() {
                    undecided(*place);
                }
                truth
            }
        }
    }

    /// What a name holds, as far as it is known. The word unknown is not known.
    fn known<'a>(&self, place: usize, datum: &dyn Fn(&str) -> Datum<'a>) -> Option<Datum<'a>> {
        let name = &self.used[place];
        match datum(&name.name) {
            Datum::Unknown => None,
            Datum::Number(number) if !number.is_finite() => None,
            Datum::Text(word) if word.trim().is_empty() => None,
            Datum::Text(word) if matches!(name.kind, NameKind::Words(_)) && plain(word) == "unknown" => None,
            known => Some(known),
        }
    }
}

fn all(parts: impl Iterator<Item = Option<bool>>) -> Option<bool> {
    any(parts.map(|truth| truth.map(|truth| !truth))).map(|truth| !truth)
}

fn any(mut parts: impl Iterator<Item = Option<bool>>) -> Option<bool> {
    let (mut is_any, mut is_unknown) = (false, false);
    for truth in parts.by_ref() {
        is_any |= truth == Some(true);
        is_unknown |= truth.is_none();
    }
    if is_any { Some(true) } else { (!is_unknown).then_some(false) }
}

fn compare(known: Datum<'_>, sign: Sign, wanted: &Wanted, matches: TaxonMatch<'_>) -> Option<bool> {
    let order = match (known, wanted) {
        (Datum::Number(number), Wanted::Number(wanted)) => number.partial_cmp(wanted)?,
        (Datum::Text(day), Wanted::Day(wanted)) => day.trim().get(..10).filter(|day| is_day(day))?.cmp(wanted.as_str()),
        (Datum::Text(word), Wanted::Word(wanted)) if plain(word) == *wanted => Ordering::Equal,
        (Datum::Text(_), Wanted::Word(_)) => Ordering::Less,
        (Datum::Text(wood), Wanted::Taxon(wanted)) => {
            if matches(wood, wanted)? {
                Ordering::Equal
            } else {
                Ordering::Less
            }
        }
        _ => return None,
    };
    Some(match sign {
        Sign::Equal => order.is_eq(),
        Sign::Unequal => order.is_ne(),
        Sign::Below => order.is_lt(),
        Sign::AtMost => order.is_le(),
        Sign::Above => order.is_gt(),
        Sign::AtLeast => order.is_ge(),
    })
}
