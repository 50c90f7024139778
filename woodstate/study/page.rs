//! The one page of a report: how many, in what state, what is urgent, what is not known.

use std::collections::{BTreeMap, BTreeSet};

use schemars::JsonSchema;
use serde::Serialize;

use crate::error::Result;
use crate::quantity::{Cited, Evidence};
use crate::site::{ClassStanding, Classes};
use crate::table::{Datum, TableKind};

use super::piece::Pieces;
use super::urgency::UrgencyRule;
use super::{Assessment, ReportOptions, Stated};

/// A rule of urgency, and what fulfils it.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Urgent {
    /// The rule.
    pub rule: UrgencyRule,
    /// What it asks, in one clause.
    pub text: String,
    /// Its limit, where it has one.
    pub limit: Option<Stated>,
    /// What to do next.
    pub next: &'static str,
    /// Who stands behind the rule.
    pub evidence: Evidence,
    /// Of how many it can be told at all.
    pub known: usize,
    /// Of how many in all.
    pub of: usize,
    /// What `known` and `of` count: `timber` or `piece`.
    pub unit: &'static str,
    /// Timbers that fulfil it, in the order of their names.
    pub timbers: Vec<String>,
    /// Pieces without a timber that fulfil it, in the order of the file; `null` for one without a name.
    pub samples: Vec<Option<String>>,
}

/// A column of which little is known.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct NotKnown {
    /// The column.
    pub column: &'static str,
    /// What it is, in a few words.
    pub what: &'static str,
    /// Of how many it is known.
    pub known: usize,
    /// Of how many in all.
    pub of: usize,
    /// What is counted: `timber` or `piece`.
    pub unit: &'static str,
}

/// What is not known of a timber.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct TimberGap {
    /// The timber.
    pub timber: String,
    /// What is not known of it, in a few words each.
    pub not_known: Vec<&'static str>,
}

/// The whole in one page.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct OnePage {
    /// Classes of all timbers: of each its worst zone.
    pub timber_classes: Classes,
    /// Classes of all pieces.
    pub piece_classes: Classes,
    /// The rules of urgency that were asked for, each with what fulfils it.
    pub urgent: Vec<Urgent>,
    /// What is not known of all.
    pub not_known: Vec<NotKnown>,
    /// Numbers that rest on memory.
    pub from_memory: Vec<Cited>,
}

/// What a reader of a report asks after.
const ASKED: [(&str, &str); 14] = [
    ("taxon", "the wood"),
    ("depth_from", "the depth of the pieces"),
    ("iron_in_wood", "iron in the wood"),
    ("sulfur_reduced_in_wood", "reduced sulfur"),
    ("chloride_in_wood", "chloride"),
    ("ph_wood", "pH of the wood"),
    ("ash_content", "ash"),
    ("metal", "metal in or on it"),
    ("prior_treatment", "earlier treatment"),
    ("charring", "charring"),
    ("borer_damage", "damage by borers"),
    ("bending_strength", "bending strength"),
    ("compression_parallel", "compression strength along the grain"),
    ("timber_length", "the length"),
];

pub(super) fn one_page(assessment: &Assessment, pieces: &Pieces<'_>, options: &ReportOptions) -> Result<OnePage> {
    let (labels, coverage) = (pieces.labels(), assessment.settings.coverage);
    let of_timbers = pieces.timbers();
    let of_pieces: Vec<ClassStanding> = (0..pieces.n()).map(|place| pieces.standing(place)).collect();
    let asking = Asking { pieces, options, of_timbers: &of_timbers, of_pieces: &of_pieces, labels: &labels };
    Ok(OnePage {
        timber_classes: Classes::of(of_timbers.values(), &labels, coverage)?,
        piece_classes: Classes::of(&of_pieces, &labels, coverage)?,
        urgent: options.urgent.iter().map(|rule| asking.urgent(*rule)).collect(),
        not_known: ASKED.iter().filter_map(|(column, what)| asking.not_known(column, what)).collect(),
        from_memory: assessment.sources.iter().filter(|cited| cited.evidence == Evidence::Memory).cloned().collect(),
    })
}

/// What is not known of each timber, of all that a report asks after.
pub(super) fn gaps(pieces: &Pieces<'_>) -> Vec<TimberGap> {
    let mut known: BTreeMap<String, BTreeSet<&str>> = BTreeMap::new();
    for name in pieces.timbers().into_keys() {
        let listed = ASKED.iter().filter(|(column, _)| is_known(pieces.listed(column, &name)));
        let listed = listed.map(|(column, _)| *column).collect();
        known.insert(name, listed);
    }
    for place in 0..pieces.n() {
        if let Some(known) = pieces.timber(place).and_then(|timber| known.get_mut(timber)) {
            known.extend(ASKED.map(|(column, _)| column).iter().filter(|name| is_known(pieces.datum(name, place))));
        }
    }
    let gap = |(timber, known): (String, BTreeSet<&str>)| {
        let not_known = ASKED.iter().filter(|(column, _)| !known.contains(column)).map(|(_, what)| *what).collect();
        TimberGap { timber, not_known }
    };
    known.into_iter().map(gap).collect()
}

/// A cell that says unknown says nothing.
fn is_known(found: Datum<'_>) -> bool {
    match found {
        Datum::Unknown => false,
        Datum::Text(text) => !matches!(text.trim(), "" | "unknown"),
        Datum::Number(_) => true,
    }
}

struct Asking<'a> {
    pieces: &'a Pieces<'a>,
    options: &'a ReportOptions,
    of_timbers: &'a BTreeMap<String, ClassStanding>,
    of_pieces: &'a [ClassStanding],
    labels: &'a [String],
}

impl Asking<'_> {
    fn urgent(&self, rule: UrgencyRule) -> Urgent {
        let limit = match rule {
            UrgencyRule::ReducedSulfur => Some(self.options.reduced_sulfur_limit),
            UrgencyRule::Iron => Some(self.options.iron_limit),
            UrgencyRule::WorstClass | UrgencyRule::ClassNotDecided => None,
        };
        let is_read =
            |standing: &&ClassStanding| matches!(standing, ClassStanding::Decided(_) | ClassStanding::NotDecided);
        let (known, of, unit) = match rule {
            UrgencyRule::ReducedSulfur => self.known(&["sulfur_reduced_in_wood"]),
            UrgencyRule::Iron => self.known(&["iron_in_wood", "metal"]),
            UrgencyRule::WorstClass | UrgencyRule::ClassNotDecided if self.of_timbers.is_empty() => {
                (self.of_pieces.iter().filter(is_read).count(), self.of_pieces.len(), "piece")
            }
            UrgencyRule::WorstClass | UrgencyRule::ClassNotDecided => {
                (self.of_timbers.values().filter(is_read).count(), self.of_timbers.len(), "timber")
            }
        };
        let limit_or_none = limit.unwrap_or_default();
        let is_above = |name: &str, place: usize| matches!(self.pieces.datum(name, place), Datum::Number(found) if found > limit_or_none);
        let is_iron = |found: Datum<'_>| matches!(found, Datum::Text("iron"));
        let is_standing = |standing: &ClassStanding| match (rule, standing) {
            (UrgencyRule::WorstClass, ClassStanding::Decided(label)) => Some(label) == self.labels.first(),
            (UrgencyRule::ClassNotDecided, standing) => *standing == ClassStanding::NotDecided,
            _ => false,
        };
        let is_measured = |place: usize| match rule {
            UrgencyRule::ReducedSulfur => is_above("sulfur_reduced_in_wood", place),
            UrgencyRule::Iron => is_above("iron_in_wood", place) || is_iron(self.pieces.datum("metal", place)),
            UrgencyRule::WorstClass | UrgencyRule::ClassNotDecided => false,
        };
        let mut timbers: BTreeSet<&str> = BTreeSet::new();
        timbers.extend(self.of_timbers.iter().filter(|(_, standing)| is_standing(standing)).map(|(name, _)| &**name));
        if rule == UrgencyRule::Iron {
            let names = self.of_timbers.keys().map(String::as_str);
            timbers.extend(names.filter(|name| is_iron(self.pieces.listed("metal", name))));
        }
        let mut samples = Vec::new();
        for place in 0..self.pieces.n() {
            match self.pieces.timber(place) {
                Some(timber) if is_measured(place) => {
                    timbers.insert(timber);
                }
                None if is_measured(place) || is_standing(&self.of_pieces[place]) => {
                    samples.push(self.pieces.sample(place).map(str::to_owned));
                }
                _ => {}
            }
        }
        Urgent {
            rule,
            text: rule.asks(limit_or_none),
            limit: limit.map(|value| Stated { value, u: None, unit: "mg/kg" }),
            next: rule.next(),
            evidence: Evidence::Proposal,
            known,
            of,
            unit,
            timbers: timbers.into_iter().map(str::to_owned).collect(),
            samples,
        }
    }

    /// Of how many timbers one of these columns is known, of how many; of pieces where there is no timber.
    fn known(&self, columns: &[&str]) -> (usize, usize, &'static str) {
        let is_any = |place: &usize| columns.iter().any(|column| is_known(self.pieces.datum(column, *place)));
        let places = (0..self.pieces.n()).filter(is_any);
        if self.of_timbers.is_empty() {
            return (places.count(), self.pieces.n(), "piece");
        }
        let mut known: BTreeSet<&str> = places.filter_map(|place| self.pieces.timber(place)).collect();
        let is_listed = |name: &&str| columns.iter().any(|column| is_known(self.pieces.listed(column, name)));
        known.extend(self.of_timbers.keys().map(String::as_str).filter(is_listed));
        (known.len(), self.of_timbers.len(), "timber")
    }

    /// `None` where it is known of all, and where only a timber could have it and there is none.
    fn not_known(&self, column: &'static str, what: &'static str) -> Option<NotKnown> {
        let is_of_timbers = TableKind::Samples.columns().all(|other| other.name != column);
        if self.of_timbers.is_empty() && is_of_timbers {
            return None;
        }
        let (known, of, unit) = self.known(&[column]);
        (known < of).then_some(NotKnown { column, what, known, of, unit })
    }
}
