//! After treatment: how far treated wood shrank beside its control.

use crate::error::{CourseCautionCode, Result};
use crate::numeric::{coverage_factor, effective_degrees_of_freedom, mean, variance_of};
use crate::quantity::{Jet, shown_value};
use crate::state::{shrinkage, shrinkage_cross_section};
use crate::table::{Batch, Table};
use crate::treatment::anti_shrink_efficiency;

use super::FollowOptions;
use super::outcome::{CourseCaution, Efficiency, Judgement, MeanShrinkage, TreatedTimber};

/// Relative humidities up to this difference are one climate, %: a proposal of ours.
const ALIKE: f64 = 1.0;
const DIRECTIONS: [&str; 3] = ["radial", "tangential", "longitudinal"];
const CROSS: &str = "cross_section";

/// Shrinkage of the pieces of a timber.
struct Pieces {
    /// One list a direction, with the standard uncertainty of each from its readings.
    shrinkages: [Vec<(f64, Option<f64>)>; 4],
    climates: Vec<Option<f64>>,
}

/// Treated timbers and their controls.
pub(super) fn treated(
    batch: &Batch,
    options: &FollowOptions,
    calliper: Option<f64>,
    coverage: f64,
) -> Result<(Vec<TreatedTimber>, Vec<CourseCaution>)> {
    let tables = || batch.timbers.iter().chain(Some(&batch.samples));
    let mut timbers: Vec<(String, Option<String>)> = Vec::new();
    let mut controls: Vec<(String, String)> = Vec::new();
    for table in tables() {
        for row in 0..table.n_rows() {
            let text = |name| table.text(name, row).map(str::trim).filter(|text| !text.is_empty()).map(str::to_owned);
            let Some(timber) = text("timber") else { continue };
            if let Some(of) = text("control_of").filter(|of| !controls.iter().any(|(c, t)| *c == timber && t == of)) {
                controls.push((timber.clone(), of));
            }
            let treatment = text("treatment");
            if !timbers.iter().any(|(name, _)| *name == timber) {
                timbers.push((timber, treatment));
            }
        }
    }
    let (mut found, mut cautions) = (Vec::new(), Vec::new());
    for (timber, treatment) in timbers {
        let own: Vec<&str> = controls.iter().filter(|(_, of)| *of == timber).map(|(name, _)| name.as_str()).collect();
        if own.is_empty() && treatment.is_none() {
            continue;
        }
        let pieces = pieces(&batch.samples, &[timber.as_str()], calliper);
        if pieces.climates.is_empty() {
            continue;
        }
        let control = self::pieces(&batch.samples, &own, calliper);
        let of_timber = |code, detail: String| CourseCaution::new(code, detail).of_timber(&timber);
        let has_control = !control.climates.is_empty();
        let (climate, why) = match (has_control, pieces.climate(), control.climate()) {
            (false, ..) => {
                let detail = if own.is_empty() { "none is named".to_owned() } else { own.join(", ") };
                cautions.push(of_timber(CourseCautionCode::ControlMissing, detail));
                (None, Some("no control with conditioned sizes".to_owned()))
            }
            (true, Some(one), Some(other)) if (one - other).abs() <= ALIKE => (Some(one), None),
            (true, one, other) => {
                let say =
                    |climate: Option<f64>| climate.map_or("unknown".to_owned(), |rh| format!("{} %", shown_value(rh)));
                let detail = format!("treated {}, control {}", say(one), say(other));
                cautions.push(of_timber(CourseCautionCode::ControlClimate, detail.clone()));
                (None, Some(format!("relative humidity: {detail}")))
            }
        };
        let mut directions = Vec::new();
        for (place, direction) in DIRECTIONS.iter().copied().chain([CROSS]).enumerate() {
            let (one, other) = (pieces.mean(place), control.mean(place));
            if one.is_some() || other.is_some() {
                directions.push(efficiency(direction, one, other, climate.is_some(), coverage)?);
            }
        }
        let whole = directions.iter().find(|one| one.direction == CROSS).and_then(|one| one.efficiency);
        let accepted = options.accepted_efficiency.zip(whole).map(|(limit, value)| {
            let side = if value >= limit { "at or above" } else { "below" };
            let text = format!("cross-section: {} %, {side} the stated {} %", shown_value(value), shown_value(limit));
            Judgement { is_met: value >= limit, text }
        });
        found.push(TreatedTimber {
            treatment,
            control: has_control.then(|| own.join(", ")),
            climate,
            directions,
            no_efficiency: why,
            accepted,
            timber,
        });
    }
    Ok((found, cautions))
}

/// Pieces of some timbers with a saturated and a conditioned size.
fn pieces(samples: &Table, timbers: &[&str], calliper: Option<f64>) -> Pieces {
    let mut pieces = Pieces { shrinkages: Default::default(), climates: Vec::new() };
    for row in 0..samples.n_rows() {
        let is_own = samples.text("timber", row).is_some_and(|name| timbers.contains(&name.trim()));
        if !is_own {
            continue;
        }
        let found = DIRECTIONS.map(|direction| shrunk(samples, row, direction, calliper));
        if found.iter().all(Option::is_none) {
            continue;
        }
        pieces.climates.push(samples.number("conditioning_rh", row));
        for (list, one) in pieces.shrinkages.iter_mut().zip(found) {
            list.extend(one);
        }
        if let [Some((radial, u_r)), Some((tangential, u_t)), _] = found {
            let jet = shrinkage_cross_section(Jet::<2>::cause(radial, 0), Jet::<2>::cause(tangential, 1));
            let u = u_r.zip(u_t).map(|(u_r, u_t)| jet.variance(&[u_r, u_t]).sqrt());
            pieces.shrinkages[3].push((jet.value, u));
        }
    }
    pieces
}

/// Shrinkage of a piece in a direction and what its readings say of its uncertainty, %.
fn shrunk(samples: &Table, row: usize, direction: &str, calliper: Option<f64>) -> Option<(f64, Option<f64>)> {
    let [wet, dry] = ["saturated", "conditioned"].map(|state| format!("{direction}_{state}"));
    let (l0, l1) = (samples.number(&wet, row)?, samples.number(&dry, row)?);
    // The last digit of a calliper: anywhere within half of it, to either side.
    let read = calliper.map(|resolution| resolution / 12.0_f64.sqrt());
    let u = |name: &str| samples.numbers(name).and_then(|sizes| sizes.u(row)).or(read);
    let jet = shrinkage(Jet::<2>::cause(l0, 0), Jet::<2>::cause(l1, 1));
    Some((jet.value, u(&wet).zip(u(&dry)).map(|(u0, u1)| jet.variance(&[u0, u1]).sqrt())))
}

impl Pieces {
    /// The one climate of all pieces; `None` where it is unknown of one, or differs.
    fn climate(&self) -> Option<f64> {
        let known: Vec<f64> = self.climates.iter().copied().collect::<Option<_>>()?;
        let first = *known.first()?;
        known.iter().all(|rh| (rh - first).abs() <= ALIKE).then_some(first)
    }

    fn mean(&self, place: usize) -> Option<MeanShrinkage> {
        let list = self.shrinkages.get(place)?;
        let values: Vec<f64> = list.iter().map(|(value, _)| *value).collect();
        let n = values.len();
        #[allow(clippy::cast_precision_loss, reason = "OK because a table has fewer than 2^53 rows")]
        let count = n as f64;
        // Several pieces tell by their scatter, which holds their readings too; one tells by its readings.
        let u = match list.as_slice() {
            [(_, u)] => *u,
            _ => variance_of(&values).map(|variance| (variance / count).sqrt()),
        };
        Some(MeanShrinkage { value: mean(&values)?, u, n })
    }
}

fn efficiency(
    direction: &'static str,
    treated: Option<MeanShrinkage>,
    control: Option<MeanShrinkage>,
    is_one_climate: bool,
    coverage: f64,
) -> Result<Efficiency> {
    let none = Efficiency { direction, treated, control, efficiency: None, u: None, interval: None };
    let (Some(one), Some(other), true) = (treated, control, is_one_climate) else { return Ok(none) };
    // A control that did not shrink has no efficiency to compare with.
    if other.value <= 0.0 {
        return Ok(none);
    }
    let jet = anti_shrink_efficiency(Jet::<2>::cause(other.value, 0), Jet::<2>::cause(one.value, 1));
    let Some((u_other, u_one)) = other.u.zip(one.u) else {
        return Ok(Efficiency { efficiency: Some(jet.value), ..none });
    };
    let u = jet.variance(&[u_other, u_one]).sqrt();
    let freedom = |of: &MeanShrinkage| match of.n {
        0 | 1 => f64::INFINITY,
        #[allow(clippy::cast_precision_loss, reason = "OK because a table has fewer than 2^53 rows")]
        n => (n - 1) as f64,
    };
    let parts = [(jet.slope[0].abs() * u_other, freedom(&other)), (jet.slope[1].abs() * u_one, freedom(&one))];
    let k = coverage_factor(coverage, effective_degrees_of_freedom(&parts)?)?;
    let interval = Some([jet.value - k * u, jet.value + k * u]);
    Ok(Efficiency { efficiency: Some(jet.value), u: Some(u), interval, ..none })
}
