//! One timber, from what is known of it to what is told of its lift.

use crate::error::{LiftCautionCode, Result};
use crate::lift::{
    Case, Check, Estimate, Handling, LiftOptions, LiftOutcome, Rim, Shape, Support, SupportOutcome, Verdict, Waters,
    Wood, best_places, lift, size_effect_even, time_effect,
};
use crate::numeric::Watch;
use crate::quantity::{Cited, Measured};
use crate::reference::Reference;

use super::lift_caution::LiftCaution;
use super::lift_meaning::{answer, meaning, reason};
use super::lift_number::LiftNumber;
use super::lift_plan::{Damage, Plan, PlanZone};
use super::lift_question::LiftQuestion;
use super::lift_stated::StatedLoad;
use super::lift_strength::{Factors, PROPERTIES, StrengthSources, Zone, ZoneStrengths};
use super::lift_support::SupportChoice;
use super::lift_timber::{
    BestPlaces, LiftAnswer, LiftCheck, MomentStep, PlacingCost, SupportLift, SurfacingStep, TimberLift, TraySize,
    ZoneStrength,
};

/// Errors of places of slings, m, of which the cost is told.
const ERRORS: [f64; 3] = [0.05, 0.1, 0.2];

/// Strengths that count in a core below a soft rim, and those that count in the rim.
const INSIDE: [&str; 4] = ["bending_strength", "compression_parallel", "shear_parallel", "bending_modulus"];
const OUTSIDE: [&str; 1] = ["compression_perpendicular"];

/// Strengths that count in a rim that carries.
const ALL_OUTSIDE: [&str; 4] =
    ["bending_strength", "compression_parallel", "shear_parallel", "compression_perpendicular"];

/// What all timbers of a batch share.
pub(super) struct Common<'a> {
    pub(super) question: &'a LiftQuestion,
    pub(super) strengths: &'a StrengthSources,
    /// Density of the water around, kg/m3, and of that in the pores where it is another one.
    pub(super) water: Measured,
    /// Temperature for which they hold, °C; `None` where the density was stated.
    pub(super) temperature: Option<Measured>,
    pub(super) pore: Option<Measured>,
    pub(super) is_water_known: bool,
    pub(super) cell_wall: Measured,
    pub(super) seed: u64,
    pub(super) coverage: f64,
    pub(super) gravity: f64,
    pub(super) shear_ratio: f64,
}

/// A timber and the sources of its numbers.
pub(super) struct Looked {
    pub(super) lift: TimberLift,
    pub(super) cited: Vec<Cited>,
}

impl Common<'_> {
    /// Looks at one timber.
    ///
    /// # Errors
    /// Numbers that cannot be used, a stop asked for through `watch`.
    pub(super) fn look(&self, mut plan: Plan, watch: &Watch<'_>) -> Result<Looked> {
        let question = self.question;
        let mut cautions = std::mem::take(&mut plan.cautions);
        self.say_handling(&plan, &mut cautions);
        let [core, rim] = self.zones(&plan)?;
        let mut case = self.case(&plan, &core, &rim);
        if let (Damage::There(what), None) = (&plan.damage, plan.reduction) {
            cautions.push(LiftCaution::new(LiftCautionCode::DamageWithoutReduction, Some(what.clone())));
            let stiff = |wood: &Wood| Wood { modulus: wood.modulus.clone(), ..Wood::default() };
            (case.core, case.rim_wood) = (stiff(&case.core), stiff(&case.rim_wood));
        }
        for caution in core.cautions.iter().chain(&rim.cautions) {
            if !cautions.contains(caution) {
                cautions.push(caution.clone());
            }
        }
        let best = best_places(&case)?;
        let length = case.timber.length();
        let places = best[0].map(|best| best.places);
        let ground = best[1].map(|best| best.places[1]);
        let chosen: Vec<(&SupportChoice, Option<Support>)> =
            question.supports.iter().map(|choice| (choice, choice.support(length, places, ground))).collect();
        let supports: Vec<Support> = chosen.iter().filter_map(|(_, support)| support.clone()).collect();
        let options = LiftOptions {
            required_margin: question.required.margin,
            draws: question.draws,
            seed: self.seed,
            coverage: self.coverage,
            placing_errors: ERRORS.into_iter().filter(|error| *error < length / 8.0).collect(),
            ..LiftOptions::usual()
        };
        let found = lift(&case, &supports, &options, watch)?;
        let mut outcomes = found.supports.iter();
        let shown = chosen
            .iter()
            .map(|(choice, support)| match support.as_ref().and_then(|_| outcomes.next()) {
                Some(outcome) => self.support(choice, outcome, &plan, length),
                None => SupportLift::nothing_carries(choice),
            })
            .collect();
        let strengths = [core.shown, rim.shown].concat();
        Self::say_found(&found, &strengths, &mut cautions);
        let drained = self.drained(&case, &options, watch)?;
        let mut lift = self.shown(&plan, &case, &found, shown, strengths);
        lift.mass_drained = drained.map(|weight| LiftNumber::over(&weight, self.gravity, "kg"));
        lift.answer = answer(&lift, question);
        if !lift.answer.is_met {
            cautions.push(LiftCaution::new(LiftCautionCode::FullLengthInstead, None));
        }
        cautions.sort_by_key(|caution| caution.of);
        lift.cautions = cautions;
        lift.meaning = meaning(&lift);
        Ok(Looked { lift, cited: [core.cited, rim.cited].concat() })
    }

    /// What a timber weighs in the air that has drained, N.
    fn drained(&self, case: &Case, options: &LiftOptions, watch: &Watch<'_>) -> Result<Option<Estimate>> {
        let Some(left) = self.question.drained else { return Ok(None) };
        let mut case = case.clone();
        let filled = case.waters.saturation;
        let u = left.u.zip(filled.u).map(|(left_u, filled_u)| (left_u * filled.value).hypot(filled_u * left.value));
        case.waters.saturation = Measured { value: left.value * filled.value, u };
        Ok(Some(lift(&case, &[], options, watch)?.weight_in_air))
    }

    fn zones(&self, plan: &Plan) -> Result<[ZoneStrengths; 2]> {
        let stated = &self.question.strengths;
        let factors = self.factors(plan)?;
        let zone = |name, wood: &PlanZone, tests_of, counted| Zone {
            name,
            density: wood.density,
            residual: wood.residual,
            tests_of,
            taxon: plan.taxon,
            counted,
        };
        let tests_of = Some((plan.name.as_str(), plan.rim.map_or(0.0, |(depth, _)| 1e3 * depth.value)));
        let Some((_, outside)) = &plan.rim else {
            let all = zone("all", &plan.core, tests_of, &PROPERTIES);
            return Ok([self.strengths.zone(&all, stated, &factors)?, ZoneStrengths::default()]);
        };
        // Slings press on the rim; bending and shear are left to the core, unless the rim is to count.
        let counted: &[&str] = if self.question.rim_stiffness.is_some() { &ALL_OUTSIDE } else { &OUTSIDE };
        let core = self.strengths.zone(&zone("core", &plan.core, tests_of, &INSIDE), stated, &factors)?;
        let rim = self.strengths.zone(&zone("rim", outside, None, counted), stated, &factors)?;
        Ok([core, rim])
    }

    fn factors(&self, plan: &Plan) -> Result<Factors> {
        let reference = Reference::shipped()?;
        let left = 1.0 - plan.reduction.unwrap_or(0.0);
        let lasting = match self.question.time_under_load {
            Some(seconds) => time_effect(seconds, reference.time_effect().madison)?,
            None => 1.0,
        };
        let size = reference.size_effect();
        let bending = if self.question.size_effect {
            let length = plan.timber.length();
            let depth = plan.timber.shape_at(length / 2.0).height() * 1e3;
            let test = crate::lift::BendingSize { depth: size.depth, span: size.span, between_loads: 0.0 };
            size_effect_even(depth, length * 1e3, size.even_load, test, size.exponent)?.min(1.0)
        } else {
            1.0
        };
        Ok(Factors { all: left * lasting, bending })
    }

    fn case(&self, plan: &Plan, core: &ZoneStrengths, rim: &ZoneStrengths) -> Case {
        let question = self.question;
        let u = question.size_uncertainty;
        let sizes = plan.sizes;
        let whole = plan.weighs.unwrap_or(plan.core.density);
        let (depth, rim_density) =
            plan.rim.map_or((Measured::new(0.0, 0.0), whole), |(depth, zone)| (depth, zone.density));
        Case {
            name: plan.name.clone(),
            timber: plan.timber.clone(),
            sizes: crate::lift::SizeDoubt {
                length: sizes.length.or(u),
                width: sizes.width.or(u),
                height: sizes.height.or(u),
            },
            rim: Rim { depth: depth.value, stiffness: question.rim_stiffness },
            rim_u: depth.u,
            core_density: whole,
            rim_density,
            waters: Waters {
                pore: self.pore,
                surrounding: self.water,
                cell_wall: self.cell_wall,
                saturation: plan.saturation.unwrap_or(Measured::new(1.0, 0.0)),
            },
            attached: plan.attached.clone(),
            hollow_holds_water: !question.hollow_drains,
            core: core.wood.clone(),
            rim_wood: rim.wood.clone(),
            handling: Handling {
                sling_width: question.sling_width,
                sling_angle: question.sling_angle.unwrap_or(Handling::STILL.sling_angle),
                dynamic: question.dynamic,
                placing: question.placing,
            },
            shear_ratio: self.shear_ratio,
            gravity: self.gravity,
        }
    }

    /// What hangs on a timber, in the words in which it would be typed.
    fn hanging(&self, plan: &Plan) -> Vec<String> {
        let own = self.question.of_timber(&plan.name).attached;
        self.question.attached.iter().chain(&own).map(StatedLoad::words).collect()
    }

    /// Doubts that follow from what was stated.
    fn say_handling(&self, plan: &Plan, cautions: &mut Vec<LiftCaution>) {
        use LiftCautionCode as Code;
        let question = self.question;
        let asked = |way: fn(&SupportChoice) -> bool| question.supports.iter().any(way);
        let is_hollow = plan.timber.hollow_volume() > 0.0;
        let all = [
            (Code::ScreeningOnly, true),
            (Code::SurfaceGrowth, true),
            (Code::NoRequirement, question.required.margin.is_none()),
            (Code::AcceptanceNotStated, question.required.margin.is_some() && question.required.probability.is_none()),
            (Code::RimWeighsOnly, plan.rim.is_some() && question.rim_stiffness.is_none()),
            (Code::RimCarries, plan.rim.is_some() && question.rim_stiffness.is_some()),
            (Code::DamageUnknown, plan.damage == Damage::Unknown && plan.reduction.is_none()),
            (Code::StillLoad, question.dynamic.is_none()),
            (Code::PlacingNotStated, question.placing.is_none()),
            (Code::SlingWidthUnknown, question.sling_width.is_none()),
            (Code::UprightSlings, question.sling_angle.is_none()),
            (Code::UnevenSlings, asked(|choice| matches!(choice, SupportChoice::Fixed(_)))),
            (Code::SaturatedTaken, plan.saturation.is_none()),
            (Code::WaterTaken, !self.is_water_known),
            (Code::NothingAttached, plan.attached.is_empty()),
            (Code::HollowFull, is_hollow && !question.hollow_drains),
            (Code::ShortTimes, true),
            (Code::LiftingGear, true),
            (Code::DiversNear, true),
        ];
        cautions.extend(all.into_iter().filter(|(_, is)| *is).map(|(code, _)| LiftCaution::new(code, None)));
    }

    /// Doubts that follow from what was found.
    fn say_found(found: &LiftOutcome, strengths: &[ZoneStrength], cautions: &mut Vec<LiftCaution>) {
        let is_told = cautions.iter().any(|caution| caution.of == LiftCautionCode::DamageWithoutReduction);
        let mut say = |is: bool, code, detail: Option<String>| {
            if is {
                cautions.push(LiftCaution::new(code, detail));
            }
        };
        let single = strengths.iter().filter(|found| found.strength.u.is_none());
        let single = single.map(|found| format!("{} of {}", found.property.replace('_', " "), found.zone));
        let unsure: Vec<String> = found.unsure.iter().map(|name| (*name).to_owned()).chain(single).collect();
        say(!unsure.is_empty(), LiftCautionCode::InputUnsure, Some(unsure.join(", ")));
        say(found.weight_submerged.value < 0.0, LiftCautionCode::Floats, None);
        let unknown: Vec<Check> = found
            .supports
            .iter()
            .flat_map(|support| {
                let is_unknown = |checked: &&crate::lift::Checked| checked.strength.is_none();
                support.checks.iter().filter(is_unknown).map(|checked| checked.check).collect::<Vec<_>>()
            })
            .collect();
        let mut names: Vec<&str> = unknown.iter().map(|check| check.strength()).collect();
        names.sort_unstable();
        names.dedup();
        let names: Vec<String> = names.into_iter().map(|name| name.replace('_', " ")).collect();
        // Damage was told as the reason where it is one.
        say(!names.is_empty() && !is_told, LiftCautionCode::StrengthUnknown, Some(names.join(", ")));
    }

    fn support(&self, choice: &SupportChoice, found: &SupportOutcome, plan: &Plan, length: f64) -> SupportLift {
        // Beyond a tenth of the length a beam is no longer nearly straight, and its sag is not known.
        let most_sag = 1e3 * length / 10.0;
        let of = |check: Check| found.checks.iter().find(|checked| checked.check == check);
        let stress = |check| of(check)?.stress.as_ref().map(|stress| LiftNumber::of(stress, "MPa"));
        let verdict = Verdict::of(found, self.question.required);
        let mut places: Vec<f64> = found.held.iter().flatten().map(|held| held.place).collect();
        places.sort_by(f64::total_cmp);
        places.dedup_by(|b, a| b.total_cmp(a).is_eq());
        let check = |checked: &crate::lift::Checked| LiftCheck {
            check: checked.check.word(),
            stress: checked.stress.as_ref().map(|stress| LiftNumber::of(stress, "MPa")),
            strength: checked.strength.as_ref().map(|strength| LiftNumber::of(strength, "MPa")),
            margin: checked.margin.as_ref().map(|margin| LiftNumber::of(margin, "1")),
        };
        SupportLift {
            support: choice.word(),
            title: choice.title(),
            places,
            moment_max: found.moment_max.as_ref().map(|moment| LiftNumber::of(moment, "N.m")),
            hogs: found.hogs,
            moment_place: found.moment_place,
            sling_tension: found.sling_tension.as_ref().map(|tension| LiftNumber::of(tension, "N")),
            bending_stress: stress(Check::BendingTension),
            shear_stress: stress(Check::Shear),
            bearing_stress: stress(Check::Bearing),
            deflection: found.deflection.filter(|sag| sag.value < most_sag).map(|sag| LiftNumber::of(&sag, "mm")),
            checks: found.checks.iter().map(check).collect(),
            margin: found.margin.as_ref().map(|margin| LiftNumber::of(margin, "1")),
            governing: found.governing.map(Check::word),
            probability_below_required: found.probability_below.map(|share| LiftNumber {
                value: share.value,
                u: None,
                interval: Some([share.interval.low, share.interval.high]),
                unit: "1",
                route: None,
            }),
            verdict: verdict.word(),
            reason: reason(&verdict, found, plan, self.question),
            course: found
                .course
                .iter()
                .map(|cut| MomentStep { place: cut.place, moment: cut.moment, force: cut.force })
                .collect(),
        }
    }

    fn shown(
        &self,
        plan: &Plan,
        case: &Case,
        found: &LiftOutcome,
        supports: Vec<SupportLift>,
        strengths: Vec<ZoneStrength>,
    ) -> TimberLift {
        let kg = |weight| LiftNumber::over(weight, self.gravity, "kg");
        let timber = &case.timber;
        let length = timber.length();
        let measured = |value: Measured, times: f64, unit| LiftNumber {
            value: value.value * times,
            u: value.u.map(|u| u * times),
            interval: None,
            unit,
            route: None,
        };
        let stations = timber.stations();
        let changes = match stations.len() {
            2 if stations[0].shape == stations[1].shape => String::new(),
            2 => ", tapered".to_owned(),
            count => format!(", {count} stations"),
        };
        let word = match stations[0].shape {
            Shape::Rectangle { .. } => "rectangular",
            Shape::Round { .. } => "round",
            Shape::Hollow { .. } => "hollow",
        };
        let [width, height] = timber.largest();
        TimberLift {
            timber: plan.name.clone(),
            danger: 1,
            taxon: plan.taxon.map(|taxon| taxon.name.clone()),
            meaning: Vec::new(),
            answer: LiftAnswer { support: String::new(), is_met: false, reason: String::new() },
            length: measured(Measured { value: length, u: case.sizes.length.map(|u| u * length) }, 1.0, "m"),
            shape: format!("{word}{changes}"),
            stations: stations.iter().map(|one| one.at).collect(),
            sizes: stations.iter().map(|one| [1e3 * one.shape.width(), 1e3 * one.shape.height()]).collect(),
            rim_depth: plan.rim.map(|(depth, _)| measured(depth, 1e3, "mm")),
            basic_density: measured(plan.core.density, 1.0, "kg/m3"),
            rim_basic_density: plan.rim.map(|(_, zone)| measured(zone.density, 1.0, "kg/m3")),
            mass_in_air: kg(&found.weight_in_air),
            weight_in_air: LiftNumber::of(&found.weight_in_air, "N"),
            mass_drained: None,
            mass_submerged: kg(&found.weight_submerged),
            weight_submerged: LiftNumber::of(&found.weight_submerged, "N"),
            growth: found.growth.as_ref().map(|growth| LiftNumber::of(growth, "1")),
            surfacing: found
                .surfacing
                .iter()
                .map(|[share_out, weight]| SurfacingStep {
                    share_out: *share_out,
                    weight: *weight,
                    mass: weight / self.gravity,
                })
                .collect(),
            strengths,
            supports,
            best_slings: found.slings.as_ref().map(|slings| BestPlaces {
                from_start: slings.best.places[0],
                from_end: length - slings.best.places[1],
                bending_stress: LiftNumber {
                    value: slings.best.bending_stress,
                    u: None,
                    interval: None,
                    unit: "MPa",
                    route: None,
                },
                placing_cost: slings
                    .cost
                    .iter()
                    .map(|[error, times]| PlacingCost { error: *error, times: *times })
                    .collect(),
            }),
            attached: self.hanging(plan),
            saturation: plan.saturation.map(|share| measured(share, 100.0, "%")),
            reduction: plan.reduction.map(|share| LiftNumber::stated(100.0 * share, None, "%")),
            tray: TraySize { length, width: 1e3 * width, height: 1e3 * height },
            cautions: Vec::new(),
        }
    }
}
