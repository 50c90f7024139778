//! From pieces of an assessment to the pairs of a curve.

use std::collections::{BTreeMap, BTreeSet};

use schemars::JsonSchema;
use serde::Serialize;

use crate::error::{CurveCautionCode, Result};
use crate::quantity::{Cited, Measured};
use crate::reference::{Reference, SoundStrength, StrengthCondition};
use crate::site::GroupKey;
use crate::state::PieceView;
use crate::strength::{CurveCaution, Pair, Tested, relative_strength};
use crate::table::{ColumnSpec, Datum, TableKind};

use super::piece::Pieces;
use super::summary::Woods;
use super::{Assessment, Study};

/// Why a piece with a strength is not used.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum LeftOutBecause {
    /// It is charred.
    Charred,
    /// More of it than the stated limit is lost to borers.
    Bored,
    /// It was treated before.
    TreatedBefore,
    /// It was tested conditioned.
    TestedConditioned,
    /// It was tested after treatment.
    TestedTreated,
    /// Its state is unknown.
    StateUnknown,
    /// No strength of green sound wood of its taxon is known.
    SoundWoodUnknown,
}

impl LeftOutBecause {
    /// In words.
    #[must_use]
    pub fn reason(self) -> &'static str {
        match self {
            Self::Charred => "charred",
            Self::Bored => "bored",
            Self::TreatedBefore => "treated before",
            Self::TestedConditioned => "tested conditioned, not saturated",
            Self::TestedTreated => "tested after treatment",
            Self::StateUnknown => "state unknown",
            Self::SoundWoodUnknown => "no strength of green sound wood known for its taxon",
        }
    }
}

/// A piece with a strength that is not used.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct LeftOut {
    /// Its name.
    pub sample: Option<String>,
    /// Its timber.
    pub timber: Option<String>,
    /// Rows of the file, counted as there.
    pub rows: Vec<usize>,
    /// Why.
    pub because: LeftOutBecause,
}

/// A piece that is used.
#[derive(Debug, Clone)]
pub(super) struct Used {
    pub(super) pair: Pair,
    pub(super) sample: Option<String>,
    taxon: Option<String>,
    decay: Option<String>,
    is_condition_known: bool,
    is_dry: bool,
}

/// The pieces of a group.
#[derive(Debug)]
pub(super) struct PairGroup {
    pub(super) by: Vec<GroupKey>,
    pub(super) used: Vec<Used>,
    pub(super) left_out: Vec<LeftOut>,
    /// States of pieces without a strength.
    untested: Vec<f64>,
}

/// What pairs are made of.
#[derive(Debug)]
pub(super) struct Axes<'a> {
    pub(super) value: &'a str,
    pub(super) against: &'a str,
    pub(super) by: &'a [String],
    pub(super) is_relative: bool,
    /// Whether the condition of the user speaks of the state in the test, or of earlier treatment.
    pub(super) asks_for_tests: bool,
    pub(super) asks_for_treated: bool,
}

impl Axes<'_> {
    /// Whether the value was measured by a test of strength.
    fn is_mechanic(&self) -> bool {
        is_mechanic(self.value)
    }
}

/// Whether a column holds a test of strength.
pub(super) fn is_mechanic(name: &str) -> bool {
    TableKind::Samples.column(name).is_some_and(|column: &ColumnSpec| column.group == "mechanics")
}

/// Groups of pairs, and the strengths of sound wood that they were divided by.
pub(super) struct Gathered {
    pub(super) groups: Vec<PairGroup>,
    pub(super) sound: Vec<Cited>,
}

pub(super) fn gather(
    study: &Study,
    assessment: &Assessment,
    pieces: &Pieces<'_>,
    kept: &[usize],
    axes: &Axes<'_>,
) -> Result<Gathered> {
    let reference = Reference::shipped()?;
    let mut woods = Woods { reference, spelt: BTreeMap::new() };
    let mut sound_of: BTreeMap<String, Option<SoundStrength>> = BTreeMap::new();
    let mut groups: BTreeMap<Vec<Option<String>>, PairGroup> = BTreeMap::new();
    for &place in kept {
        let Some(view) = assessment.samples.view(place) else { continue };
        let word = |name: &str| match pieces.datum(name, place) {
            Datum::Text(text) => Some(text.trim().to_owned()).filter(|text| !text.is_empty()),
            Datum::Number(number) => Some(number.to_string()),
            Datum::Unknown => None,
        };
        let mut key_of = |name: &String| match name.as_str() {
            "taxon" => word(name).map(|written| woods.folded(&written)),
            _ => word(name),
        };
        let key: Vec<Option<String>> = axes.by.iter().map(&mut key_of).collect();
        let group = groups.entry(key.clone()).or_insert_with(|| PairGroup {
            by: axes
                .by
                .iter()
                .zip(&key)
                .map(|(column, value)| GroupKey { column: column.clone(), value: value.clone() })
                .collect(),
            used: Vec::new(),
            left_out: Vec::new(),
            untested: Vec::new(),
        });
        let number = |name: &str| match pieces.datum(name, place) {
            Datum::Number(number) if number.is_finite() => Some(number),
            _ => None,
        };
        let Some(strength) = number(axes.value) else {
            group.untested.extend(number(axes.against));
            continue;
        };
        let test = word("condition_at_test");
        let state = number(axes.against);
        let mut because =
            unfit(study, view, axes, test.as_deref()).or(state.is_none().then_some(LeftOutBecause::StateUnknown));
        let mut y = strength;
        if because.is_none() && axes.is_relative {
            let taxon = view.taxon().unwrap_or_default().to_owned();
            let sound = sound_of.entry(taxon).or_insert_with(|| sound(study, reference, view, axes.value));
            match sound {
                Some(sound) => y = relative_strength(strength, tested(test.as_deref()), sound)?.value,
                None => because = Some(LeftOutBecause::SoundWoodUnknown),
            }
        }
        if let (None, Some(x)) = (because, state) {
            group.used.push(Used {
                pair: Pair { x, y, u: None, timber: view.timber().map(str::to_owned) },
                sample: view.sample().map(str::to_owned),
                taxon: view.taxon().map(str::to_owned),
                decay: word("decay_type").filter(|word| word != "unknown"),
                is_condition_known: test.is_some() || !axes.is_mechanic(),
                is_dry: test.is_some_and(|test| test != "saturated"),
            });
        } else if let Some(because) = because {
            let text = |text: Option<&str>| text.map(str::to_owned);
            let rows = view.rows().to_vec();
            group.left_out.push(LeftOut { sample: text(view.sample()), timber: text(view.timber()), rows, because });
        }
    }
    let sound: BTreeSet<Cited> = sound_of.into_values().flatten().flat_map(|sound| sound.cited).collect();
    Ok(Gathered { groups: groups.into_values().collect(), sound: sound.into_iter().collect() })
}

/// Why a piece does not show what strength wet wood of its state has.
fn unfit(study: &Study, view: PieceView<'_>, axes: &Axes<'_>, test: Option<&str>) -> Option<LeftOutBecause> {
    let is_some = |word: Option<&str>| !matches!(word, None | Some("unknown" | "none"));
    let limit = study.options.borer_damage_limit;
    let reasons = [
        (is_some(view.charring()), LeftOutBecause::Charred),
        (view.borer_damage().is_some_and(|share| share > limit), LeftOutBecause::Bored),
        (is_some(view.prior_treatment()) && !axes.asks_for_treated, LeftOutBecause::TreatedBefore),
        (test == Some("conditioned") && !axes.asks_for_tests, LeftOutBecause::TestedConditioned),
        (test == Some("treated") && !axes.asks_for_tests, LeftOutBecause::TestedTreated),
    ];
    reasons.into_iter().find(|(holds, _)| *holds).map(|(_, because)| because)
}

/// Wet or dry, as far as is known.
fn tested(condition: Option<&str>) -> Tested {
    match condition {
        Some("conditioned" | "treated") => Tested::Conditioned,
        _ => Tested::Saturated,
    }
}

/// Strength of green sound wood of the taxon of a piece, by the density of sound wood that the study states or the list has.
fn sound(study: &Study, reference: &Reference, view: PieceView<'_>, property: &str) -> Option<SoundStrength> {
    let taxon = reference.taxon(view.taxon()?)?;
    let is_of = |name: &str| reference.taxon(name).is_some_and(|other| other.name == taxon.name);
    let stated = study.options.references.iter().find(|stated| is_of(&stated.taxon)).map(|stated| stated.density);
    let density: Measured = stated.or_else(|| reference.sound_density(taxon).map(|sound| sound.density))?;
    reference.sound_strength(taxon, property, StrengthCondition::Green, density)
}

impl PairGroup {
    pub(super) fn pairs(&self) -> Vec<Pair> {
        self.used.iter().map(|used| used.pair.clone()).collect()
    }

    /// What to know of the pieces, apart from any curve.
    pub(super) fn cautions(&self, axes: &Axes<'_>) -> Vec<CurveCaution> {
        let mut cautions = Vec::new();
        let mut say = |is: bool, code, detail: String| {
            if is {
                cautions.push(CurveCaution::new(code, detail));
            }
        };
        let count = |is: &dyn Fn(&Used) -> bool| self.used.iter().filter(|used| is(used)).count();
        say(!self.left_out.is_empty(), CurveCautionCode::PiecesLeftOut, self.reasons());
        let dry = count(&|used| used.is_dry);
        say(dry > 0, CurveCautionCode::DryTests, format!("{dry} of {}", self.used.len()));
        let unknown = count(&|used| !used.is_condition_known);
        say(unknown > 0, CurveCautionCode::TestConditionUnknown, format!("{unknown} of {}", self.used.len()));
        let brown = count(&|used| used.decay.as_deref() == Some("brown_rot"));
        let other = count(&|used| used.decay.as_deref().is_some_and(|word| word != "brown_rot"));
        say(brown > 0 && other > 0, CurveCautionCode::BrownRot, format!("{brown} beside {other} of other decay"));
        let taxa: BTreeSet<&str> = self.used.iter().filter_map(|used| used.taxon.as_deref()).collect();
        let is_mixed = taxa.len() > 1 && axes.is_mechanic() && !axes.is_relative;
        say(is_mixed, CurveCautionCode::SeveralWoods, taxa.iter().copied().collect::<Vec<_>>().join("; "));
        let states = || self.used.iter().map(|used| used.pair.x);
        let (low, high) = (states().fold(f64::INFINITY, f64::min), states().fold(f64::NEG_INFINITY, f64::max));
        let below = self.untested.iter().filter(|x| **x < low).count();
        let above = self.untested.iter().filter(|x| **x > high).count();
        say(below + above > 0, CurveCautionCode::BeyondRange, format!("{below} below, {above} above"));
        cautions
    }

    /// How many were left out for which reason.
    fn reasons(&self) -> String {
        let mut counts: BTreeMap<LeftOutBecause, usize> = BTreeMap::new();
        for piece in &self.left_out {
            *counts.entry(piece.because).or_default() += 1;
        }
        let one = |(because, count): (LeftOutBecause, usize)| format!("{count} {}", because.reason());
        counts.into_iter().map(one).collect::<Vec<_>>().join(", ")
    }

    pub(super) fn n_untested(&self) -> usize {
        self.untested.len()
    }
}
