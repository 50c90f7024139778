//! Strength of a timber: stated, measured on it, by the curve of its batch, or by handbook functions.

use std::collections::BTreeMap;

use crate::error::{ErrorKind, LiftCautionCode, Result};
use crate::lift::{Strength, Wood};
use crate::numeric::{Watch, mean, normal_quantile, sd};
use crate::quantity::{Cited, Evidence, Measured, Quantity};
use crate::reference::{Reference, StrengthCondition, Taxon};
use crate::strength::CurveFit;
use crate::table::Datum;

use super::fitting::options;
use super::lift_caution::LiftCaution;
use super::lift_number::LiftNumber;
use super::lift_question::StatedStrength;
use super::lift_timber::ZoneStrength;
use super::pair::{Axes, gather};
use super::piece::Pieces;
use super::trace::best_of;
use super::{Assessment, FitQuestion, Study};

/// Strengths that checks need, and the modulus, in the order of [`Wood`].
pub(super) const PROPERTIES: [&str; 5] =
    ["bending_strength", "compression_parallel", "shear_parallel", "compression_perpendicular", "bending_modulus"];

/// Strengths of a rim that counts, where they are stated.
pub(super) const RIM_PROPERTIES: [&str; 3] = ["rim_bending_strength", "rim_compression_parallel", "rim_shear_parallel"];

/// Fewest tested pieces for a curve: its scatter must be known.
const FEWEST: usize = 8;

/// A strength, `MPa`, and the depth to which its piece reaches, mm, where that is known.
type Tested = (f64, Option<f64>);

/// What strengths of a batch rest on.
#[derive(Default)]
pub(super) struct StrengthSources {
    /// Against residual basic density, %.
    curves: BTreeMap<&'static str, CurveFit>,
    /// Tests of each timber.
    tests: BTreeMap<(String, &'static str), Vec<Tested>>,
    pub(super) cited: Vec<Cited>,
}

/// One zone of a timber, as far as strength needs it.
pub(super) struct Zone<'a> {
    pub(super) name: &'static str,
    /// Basic density, kg/m3.
    pub(super) density: Measured,
    /// Residual basic density, %; `None` where unknown.
    pub(super) residual: Option<f64>,
    /// Timber whose tests count here, and the depth of its rim, mm, from which on they do; `None` where none does.
    pub(super) tests_of: Option<(&'a str, f64)>,
    pub(super) taxon: Option<&'a Taxon>,
    /// Which strengths count here, by their columns.
    pub(super) counted: &'static [&'static str],
}

/// The strengths of a zone, what is shown of them, and what is doubtful.
#[derive(Default)]
pub(super) struct ZoneStrengths {
    pub(super) wood: Wood,
    pub(super) shown: Vec<ZoneStrength>,
    pub(super) cautions: Vec<LiftCaution>,
    pub(super) cited: Vec<Cited>,
}

struct Found {
    strength: Strength,
    route: &'static str,
    evidence: Evidence,
}

impl StrengthSources {
    /// Curves and tests of a batch: saturated pieces alone, and all of them, whichever timbers are looked at.
    ///
    /// # Errors
    /// A stop asked for through `watch`.
    pub(super) fn of(study: &Study, assessment: &Assessment, pieces: &Pieces<'_>, watch: &Watch<'_>) -> Result<Self> {
        let all: Vec<usize> = (0..pieces.n()).collect();
        let mut found = Self::default();
        let against = Quantity::ResidualBasicDensity;
        for property in PROPERTIES.into_iter().filter(|property| *property != "compression_perpendicular") {
            for place in &all {
                let is_wet =
                    !matches!(pieces.datum("condition_at_test", *place), Datum::Text("conditioned" | "treated"));
                if let (Datum::Number(value), Some(timber), true) =
                    (pieces.datum(property, *place), pieces.timber(*place), is_wet && pieces.is_whole(*place))
                {
                    let depth = pieces.depth_to(*place);
                    found.tests.entry((timber.to_owned(), property)).or_default().push((value, depth));
                }
            }
            let axes = Axes {
                value: property,
                against: against.name(),
                by: &[],
                is_relative: false,
                asks_for_tests: false,
                asks_for_treated: false,
            };
            let gathered = gather(study, assessment, pieces, &all, &axes)?;
            let pairs = gathered.groups.first().map(super::pair::PairGroup::pairs).unwrap_or_default();
            if pairs.len() < FEWEST {
                continue;
            }
            let question = FitQuestion::of(property, against.name());
            match best_of(&pairs, &options(study, &question, against.spec().unit), watch) {
                Ok(comparison) => {
                    if let Some((curve, _)) = comparison.weighed.into_iter().next() {
                        found.cited.push(Cited {
                            used_for: format!("{property} by a curve of {} tested pieces of this batch", curve.n()),
                            id: "this batch".to_owned(),
                            citation: format!("fitted here: model {}", curve.formula.model.word()),
                            place: format!("woodstate fit --value {property} --against {}", against.name()),
                            evidence: Evidence::Derived,
                        });
                        found.curves.insert(property, curve);
                    }
                }
                Err(error) if matches!(error.kind(), ErrorKind::Stopped) => return Err(error),
                // Pieces that carry no curve leave the other sources.
                Err(_) => {}
            }
        }
        Ok(found)
    }

    /// The strengths of a zone: stated before measured before curve before handbook.
    pub(super) fn zone(&self, zone: &Zone<'_>, stated: &[StatedStrength], factor: &Factors) -> Result<ZoneStrengths> {
        let mut strengths = ZoneStrengths::default();
        let mut found: [Option<Found>; 5] = Default::default();
        for (place, property) in PROPERTIES.into_iter().enumerate().filter(|(_, name)| zone.counted.contains(name)) {
            found[place] = self.one(zone, property, stated, &mut strengths)?;
        }
        let mut lowered = [None, None, None, None, None];
        for ((property, found), lowered) in PROPERTIES.iter().zip(found).zip(&mut lowered) {
            let Some(Found { strength, route, evidence }) = found else { continue };
            let strength = strength.times(factor.by(property));
            let u = strength.relative_u().map(|u| u * strength.value);
            strengths.shown.push(ZoneStrength {
                zone: zone.name,
                property: (*property).to_owned(),
                strength: LiftNumber { value: strength.value, u, interval: None, unit: "MPa", route: Some(route) },
                evidence,
            });
            *lowered = Some(strength);
        }
        let [bending, compression, shear, bearing, modulus] = lowered;
        strengths.wood = Wood { bending, compression, shear, bearing, modulus };
        Ok(strengths)
    }

    fn one(
        &self,
        zone: &Zone<'_>,
        property: &'static str,
        stated: &[StatedStrength],
        strengths: &mut ZoneStrengths,
    ) -> Result<Option<Found>> {
        // What is stated of the inside says nothing of the rim, which slings press on alone.
        let is_of_rim = zone.name == "rim" && property != "compression_perpendicular";
        let named = if is_of_rim { format!("rim_{property}") } else { property.to_owned() };
        if let Some(stated) = stated.iter().find(|stated| stated.property == named) {
            let strength = Strength::measured(stated.value.value, stated.value.u)?;
            return Ok(Some(Found { strength, route: "stated", evidence: Evidence::Stated }));
        }
        let tests: Vec<f64> = zone.tests_of.map_or_else(Vec::new, |(timber, rim)| {
            let tested = self.tests.get(&(timber.to_owned(), property)).into_iter().flatten();
            // No mean is taken across rim and core: pieces of the rim do not speak for the core.
            tested.filter(|(_, depth)| depth.is_none_or(|depth| depth > rim)).map(|(value, _)| *value).collect()
        });
        if let Some(middle) = mean(&tests) {
            let strength = Strength::measured(middle, sd(&tests))?;
            return Ok(Some(Found { strength, route: "measured", evidence: Evidence::Derived }));
        }
        if let Some((curve, residual)) = self.curves.get(property).zip(zone.residual) {
            match by_curve(curve, property, residual)? {
                Some(strength) => return Ok(Some(Found { strength, route: "curve", evidence: Evidence::Derived })),
                None => {
                    let range = curve.range();
                    let detail = format!(
                        "{property}, {}: {residual:.0} % of sound density, tested {:.0} to {:.0} %",
                        zone.name, range.low, range.high
                    );
                    strengths.cautions.push(LiftCaution::new(LiftCautionCode::CurveNotReached, Some(detail)));
                }
            }
        }
        self.handbook(zone, property, strengths)
    }

    fn handbook(
        &self,
        zone: &Zone<'_>,
        property: &'static str,
        strengths: &mut ZoneStrengths,
    ) -> Result<Option<Found>> {
        let reference = Reference::shipped()?;
        let Some(taxon) = zone.taxon else { return Ok(None) };
        let Some(group) = reference.wood_group(taxon) else { return Ok(None) };
        let functions = reference.strength_functions_of(property, group, StrengthCondition::Green);
        let Some(function) = functions.first() else { return Ok(None) };
        let density = Measured::new(zone.density.value, 0.0);
        let Some(sound) = reference.strength_at(property, group, StrengthCondition::Green, density) else {
            return Ok(None);
        };
        let scatter = reference.scatter_within_species(property);
        strengths.cited.extend(sound.cited);
        strengths.cited.extend(scatter.as_ref().map(|(_, cited)| cited.clone()));
        strengths.cited.push(reference.wood_group_source(taxon, group));
        let evidence = reference.strength_function_source(function).evidence;
        let mut say = |code, detail: String| {
            if strengths.cautions.iter().all(|said| said.of != code) {
                strengths.cautions.push(LiftCaution::new(code, Some(detail)));
            }
        };
        say(LiftCautionCode::StrengthUpperBound, format!("green {}, from {evidence}", group.word()));
        if sound.is_extrapolated {
            let detail = format!("{} at {:.0} kg/m3", zone.name, zone.density.value);
            say(LiftCautionCode::StrengthExtrapolated, detail);
        }
        let strength = Strength {
            value: sound.value.value,
            exponent: function.b,
            own: scatter.map(|(scatter, _)| scatter),
            shared: function.spread(),
            cause: format!("handbook {property} {}", group.word()),
        };
        Ok(Some(Found { strength: strength.checked()?, route: "handbook", evidence }))
    }
}

/// The strength by a curve at a state, with its prediction interval; `None` outside the states that were tested.
fn by_curve(curve: &CurveFit, property: &str, residual: f64) -> Result<Option<Strength>> {
    let here = curve.predict(residual)?;
    if here.is_extrapolated || here.value <= 0.0 {
        return Ok(None);
    }
    let step = 1e-4 * residual;
    let [low, high] = [residual - step, residual + step].map(|x| curve.value(x));
    let exponent = low.zip(high).map_or(0.0, |(low, high)| residual * (high - low) / (2.0 * step) / here.value);
    let scatter = curve.scatter().or_else(|| curve.scatter_share().map(|share| share * here.value.abs()));
    // Student's t of few pieces is wider than a normal number: both parts grow until the interval is that of the prediction.
    let wide = match (here.prediction, scatter, here.u) {
        (Some(interval), Some(s), Some(u)) if s.hypot(u) > 0.0 => {
            interval.width() / 2.0 / (normal_quantile(f64::midpoint(1.0, curve.coverage))? * s.hypot(u))
        }
        _ => 1.0,
    };
    let share = |part: Option<f64>| part.map(|part| wide * part / here.value);
    let (own, shared) = (share(scatter), share(here.u));
    let cause = format!("curve of {property}");
    Strength { value: here.value, exponent, own, shared, cause }.checked().map(Some)
}

/// What lowers strength: damage, size, time.
#[derive(Debug, Clone, Copy)]
pub(super) struct Factors {
    /// Of every strength: what is left after damage and under a load that lasts.
    pub(super) all: f64,
    /// Of bending strength, for the size of the timber.
    pub(super) bending: f64,
}

impl Factors {
    fn by(&self, property: &str) -> f64 {
        match property {
            "bending_modulus" => 1.0,
            "bending_strength" => self.all * self.bending,
            _ => self.all,
        }
    }
}
