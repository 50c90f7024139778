//! What is known of a timber, gathered from the assessment and the tables as routes are judged by it.

use std::collections::BTreeMap;

use crate::error::CautionCode;
use crate::quantity::{Evidence, Measured, Quantity};
use crate::reference::{Grade, RecordedFact, Reference, Substance};
use crate::state::{DepthZone, PieceView, Timber, Value, depth_zones};
use crate::table::Datum;
use crate::treatment::{Circumstances, Grading, JudgedZone, NoGrade, Recorded, TimberSize};

use super::advice::ZoneAdvice;
use super::choose::Listed;
use super::{Assessment, Study};

/// Columns of the substances, in their order.
pub(super) const SUBSTANCES: [&str; 3] = ["iron_in_wood", "chloride_in_wood", "sulfur_reduced_in_wood"];

/// Where everything is gathered from.
pub(super) struct Gathering<'a> {
    reference: &'static Reference,
    study: &'a Study,
    assessment: &'a Assessment,
    listed: Listed<'a>,
    /// Place of a row of the samples by its number in the file.
    rows: BTreeMap<usize, usize>,
    of_scheme: Option<Grading>,
    /// The quantity of the class scheme.
    ruling: Quantity,
    /// Whether the scheme was made for oak.
    is_of_oak: bool,
}

/// A value that a zone is graded by, and the limits.
#[derive(Clone, Copy)]
pub(super) struct Graded {
    pub(super) value: Value,
    pub(super) grading: Grading,
}

/// A timber as routes are judged by it.
pub(super) struct Gathered<'a> {
    pub(super) circumstances: Circumstances<'a>,
    pub(super) zones: Vec<ZoneAdvice>,
    /// What each zone is graded by; `None` where it has no grade.
    pub(super) graded: Vec<Option<Graded>>,
}

/// How the wood of a timber stands to the class scheme.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Scope {
    Inside,
    /// Outside, and classed all the same, because the study file says so.
    ClassedOutside,
    Outside,
    Unknown,
}

impl<'a> Gathering<'a> {
    pub(super) fn of(reference: &'static Reference, study: &'a Study, assessment: &'a Assessment) -> Self {
        let samples = &assessment.batch.samples;
        let scheme = &study.options.scheme;
        let is_measured = SUBSTANCES.iter().any(|name| samples.numbers(name).is_some());
        let rows = if is_measured { 0..samples.n_rows() } else { 0..0 };
        Self {
            reference,
            study,
            assessment,
            listed: Listed::of(assessment.batch.timbers.as_ref()),
            rows: rows.map(|row| (samples.row_number(row), row)).collect(),
            of_scheme: Grading::of_scheme(scheme, study.options.boundary).ok(),
            ruling: Quantity::of_name(&scheme.quantity).unwrap_or(Quantity::MaxWaterContent),
            is_of_oak: scheme.scope.iter().any(|name| name == "Quercus robur"),
        }
    }

    pub(super) fn timber(&self, timber: &'a Timber, pieces: &[PieceView<'a>]) -> Gathered<'a> {
        let (zones, judged, graded, has_zones) = self.zones(timber, pieces);
        let circumstances = Circumstances {
            reference: self.reference,
            laboratory: &self.study.laboratory.limits,
            recorded: [RecordedFact::Metal, RecordedFact::Charring, RecordedFact::PriorTreatment]
                .map(|fact| self.recorded(fact, &timber.timber, pieces)),
            substances: [Substance::Iron, Substance::Chloride, Substance::ReducedSulfur]
                .map(|substance| self.substance(SUBSTANCES[substance as usize], pieces)),
            taxon: timber.taxon.as_ref().and_then(|name| self.reference.taxon(name)),
            size: self.size(&timber.timber),
            zones: judged,
            has_zones,
        };
        Gathered { circumstances, zones, graded }
    }

    fn recorded(&self, fact: RecordedFact, timber: &str, pieces: &[PieceView<'a>]) -> Recorded<'a> {
        let of_piece = |piece: &PieceView<'a>| match fact {
            RecordedFact::Metal => piece.metal(),
            RecordedFact::Charring => piece.charring(),
            RecordedFact::PriorTreatment => piece.prior_treatment(),
        };
        let known = |word: &&str| *word != "unknown";
        let listed = match self.listed.datum(fact_column(fact), timber) {
            Datum::Text(text) => Some(text).filter(known),
            Datum::Number(_) | Datum::Unknown => None,
        };
        let said: Vec<Option<&str>> = pieces.iter().map(|piece| of_piece(piece).filter(known)).collect();
        let is_complete = listed.is_some() || (!said.is_empty() && said.iter().all(Option::is_some));
        let mut words: Vec<&str> = said.into_iter().flatten().chain(listed).collect();
        words.sort_unstable();
        words.dedup();
        Recorded { words, is_complete }
    }

    /// The largest value of the pieces.
    fn substance(&self, name: &str, pieces: &[PieceView<'_>]) -> Option<Measured> {
        let numbers = self.assessment.batch.samples.numbers(name)?;
        let rows = pieces.iter().flat_map(|piece| piece.rows()).filter_map(|number| self.rows.get(number).copied());
        let found = rows.filter_map(|row| Some(Measured { value: numbers.value(row)?, u: numbers.u(row) }));
        found.reduce(|most, next| if next.value > most.value { next } else { most })
    }

    /// Length, width and height, mm; a diameter stands for the last two.
    fn size(&self, timber: &str) -> TimberSize {
        let number = |name: &str| match self.listed.datum(name, timber) {
            Datum::Number(number) => Some(number),
            Datum::Text(_) | Datum::Unknown => None,
        };
        let diameter = number("timber_diameter");
        let length = number("timber_length").map(|metres| metres * 1000.0);
        TimberSize::new([length, number("timber_width").or(diameter), number("timber_height").or(diameter)])
    }

    fn scope(&self, timber: &Timber, pieces: &[PieceView<'_>]) -> Scope {
        let any = |code| pieces.iter().any(|piece| piece.cautions().contains(code));
        if timber.taxon.is_none() || any(CautionCode::TaxonUnknown) {
            Scope::Unknown
        } else if any(CautionCode::ClassOutOfScope) {
            Scope::Outside
        } else if any(CautionCode::ClassedOutOfScope) {
            Scope::ClassedOutside
        } else {
            Scope::Inside
        }
    }

    /// Zones from the surface inwards, how each is graded, and whether rim and core are told apart.
    fn zones(
        &self,
        timber: &Timber,
        pieces: &[PieceView<'_>],
    ) -> (Vec<ZoneAdvice>, Vec<JudgedZone>, Vec<Option<Graded>>, bool) {
        let scope = self.scope(timber, pieces);
        let of_zone = |wanted: &dyn Fn(DepthZone) -> bool| {
            let mut wrong = pieces.iter().zip(depth_zones(pieces)).filter(|(_, zone)| wanted(*zone));
            wrong.find_map(|(piece, _)| piece.bias()).map(|code| code.story().text)
        };
        let rim = timber.cautions.contains(CautionCode::RimUnread).then(|| CautionCode::RimUnread.story().text);
        let has_zones = timber.outer.is_some() || timber.inner.is_some();
        let values = |zone: Option<&crate::state::Zone>| {
            let of = |quantity| zone.and_then(|zone| zone.values.of(quantity));
            [of(self.ruling), of(Quantity::MaxWaterContent), of(Quantity::ResidualBasicDensity)]
        };
        let depth = |zone: Option<&crate::state::Zone>| zone.map_or([None; 2], |zone| zone.depth);
        let mut found = Found::default();
        if has_zones {
            let (outer, inner) = (timber.outer.as_ref(), timber.inner.as_ref());
            found.push(self.zone(
                "outer",
                depth(outer),
                values(outer),
                scope,
                of_zone(&|zone| zone == DepthZone::Outer).or(rim),
            ));
            found.push(self.zone(
                "inner",
                depth(inner),
                values(inner),
                scope,
                of_zone(&|zone| zone == DepthZone::Inner),
            ));
        }
        let of_worst = timber.worst.as_ref().map_or([None; 3], |worst| {
            [self.ruling, Quantity::MaxWaterContent, Quantity::ResidualBasicDensity]
                .map(|quantity| worst.values.of(quantity))
        });
        let name = if has_zones { "worst piece" } else { "whole" };
        let worst = self.zone(name, [None; 2], of_worst, scope, of_zone(&|_| true));
        let is_worse = match (worst.1.grade, found.worst()) {
            (Ok(grade), Some(known)) => grade < known,
            _ => false,
        };
        if !has_zones || is_worse {
            found.push(worst);
        }
        (found.zones, found.judged, found.graded, has_zones)
    }

    fn zone(
        &self,
        name: &'static str,
        depth: [Option<f64>; 2],
        [ruling, content, residual]: [Option<Value>; 3],
        scope: Scope,
        wrong: Option<&'static str>,
    ) -> OneZone {
        let scheme = &self.study.options.scheme;
        let own = self.study.laboratory.grading;
        let by_scheme = ruling.zip(self.of_scheme).map(|(value, grading)| Graded { value, grading });
        let by_laboratory = residual.zip(own).map(|(value, grading)| Graded { value, grading });
        let (graded, why, reason) = match scope {
            _ if content.is_none() && residual.is_none() && ruling.is_none() => {
                (None, NoGrade::State, "not measured".to_owned())
            }
            _ if wrong.is_some() => (None, NoGrade::State, wrong.unwrap_or_default().to_owned()),
            Scope::Inside => (by_scheme, NoGrade::State, format!("by {}", scheme.title)),
            Scope::ClassedOutside => (
                by_scheme.map(|mut graded| {
                    graded.grading.evidence = Evidence::Stated;
                    graded
                }),
                NoGrade::State,
                format!("by {}, outside its scope, as the study file says", scheme.title),
            ),
            Scope::Outside if own.is_none() => {
                (None, NoGrade::Limits, "the wood is outside the scope of the class scheme".to_owned())
            }
            Scope::Outside => (by_laboratory, NoGrade::State, "by the laboratory's own limits".to_owned()),
            Scope::Unknown => {
                let oak = by_scheme.filter(|_| self.is_of_oak).map(|graded| graded.grading.grade(graded.value.value));
                (None, NoGrade::Wood(oak), "the wood is unknown".to_owned())
            }
        };
        let grade: Option<Grade> = graded.map(|graded| graded.grading.grade(graded.value.value));
        let evidence = graded.map_or(Evidence::Proposal, |graded| graded.grading.evidence);
        let reason = if grade.is_none()
            && matches!((scope, wrong), (Scope::Inside | Scope::ClassedOutside, None))
            && why == NoGrade::State
            && reason != "not measured"
        {
            format!("{} is unknown", self.ruling.spec().title)
        } else {
            reason
        };
        let zone = ZoneAdvice {
            zone: name,
            depth,
            max_water_content: content,
            residual_basic_density: residual,
            grade,
            reason,
        };
        (zone, JudgedZone { grade: grade.ok_or(why), evidence }, graded)
    }
}

/// A zone as it is shown, as it is judged, and by what.
type OneZone = (ZoneAdvice, JudgedZone, Option<Graded>);

#[derive(Default)]
struct Found {
    zones: Vec<ZoneAdvice>,
    judged: Vec<JudgedZone>,
    graded: Vec<Option<Graded>>,
}

impl Found {
    fn push(&mut self, (zone, judged, graded): OneZone) {
        self.zones.push(zone);
        self.judged.push(judged);
        self.graded.push(graded);
    }

    fn worst(&self) -> Option<Grade> {
        self.judged.iter().filter_map(|zone| zone.grade.ok()).min()
    }
}

/// The column of a fact.
pub(super) fn fact_column(fact: RecordedFact) -> &'static str {
    match fact {
        RecordedFact::Metal => "metal",
        RecordedFact::Charring => "charring",
        RecordedFact::PriorTreatment => "prior_treatment",
    }
}
