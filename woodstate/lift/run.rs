//! A timber under every way of support: stated values, random draws, margins.

use crate::error::Result;
use crate::numeric::Watch;

use super::loaded::Loaded;
use super::numbers::{Numbers, Streams};
use super::reading::{Rooms, modulus_factor, strengths};
use super::sample::Column;
use super::way::Way;
use super::{
    BestSlings, Case, LiftOutcome, SlingAdvice, Support, best_sling_from_ground, best_slings, check, placing_cost,
};

/// What a look at a timber is asked for.
#[derive(Debug, Clone, PartialEq)]
pub struct LiftOptions {
    /// Least margin that is required, stated by the user; without it there is no probability.
    pub required_margin: Option<f64>,
    /// Random draws.
    pub draws: usize,
    /// Seed of random draws.
    pub seed: u64,
    /// Coverage of intervals, between 0 and 1.
    pub coverage: f64,
    /// Errors of places of slings of which the cost is told, m.
    pub placing_errors: Vec<f64>,
    /// Shares out of the water at which the weight is told, 0 to 1.
    pub shares_out: Vec<f64>,
}

impl LiftOptions {
    /// 10 000 draws, seed 1, coverage 0.95, no required margin.
    #[must_use]
    pub fn usual() -> Self {
        Self {
            required_margin: None,
            draws: 10_000,
            seed: 1,
            coverage: 0.95,
            placing_errors: Vec::new(),
            shares_out: (0..=20).map(|step| f64::from(step) / 20.0).collect(),
        }
    }
}

/// More draws than anybody waits for.
const MOST_DRAWS: usize = 10_000_000;

/// Draws between two looks at the watch.
const BLOCK: usize = 1000;

/// Share of impossible draws, above which no uncertainty is told: a limit of ours (a proposal).
const IMPOSSIBLE: f64 = 0.05;

/// Looks at a timber under every way of support, in the air, where it weighs most.
///
/// ```text
/// margin = least of strength / stress over the checks whose strength is known
/// probability below = share of random draws whose margin is less than the required one
/// ```
///
/// Water, cell wall and the error of a curve of strength are drawn from streams that all timbers share: the k-th draw of each
/// timber has the same ones. Sizes, densities, scatter of the wood, places of slings and jerks are each timber's own. Strengths of
/// one timber scatter apart from one another, which makes the least of their margins smaller than if they went together.
/// A draw in which the timber tips, or nothing carries, has a margin of 0.
///
/// A way of support that cannot hold the timber is told in [`SupportOutcome::impossible`](super::SupportOutcome::impossible), not an error: the others go on.
///
/// # Errors
/// Numbers of the case that cannot be used ([`Case::check`]), a required margin that is not above 0, a coverage outside 0 to 1,
/// shares out of the water outside 0 to 1; a stop asked for through `watch`.
///
/// # Example
/// ```
/// use woodstate::lift::*;
/// use woodstate::numeric::Watch;
/// use woodstate::quantity::Measured;
/// let exactly = |value: f64| Measured::new(value, 0.0);
/// let case = Case {
///     name: "B07".to_owned(),
///     timber: Timber::prismatic(6.0, Shape::rectangle(0.25, 0.25)?)?,
///     sizes: SizeDoubt { length: Some(0.005), width: Some(0.02), height: Some(0.02) },
///     rim: Rim::NONE,
///     rim_u: None,
///     core_density: Measured::new(560.0, 40.0),
///     rim_density: Measured::new(560.0, 40.0),
///     waters: Waters {
///         pore: None, surrounding: exactly(1000.0), cell_wall: Measured::new(1500.0, 30.0), saturation: exactly(1.0),
///     },
///     attached: Vec::new(),
///     hollow_holds_water: false,
///     core: Wood { bending: Some(Strength::measured(4.0, Some(1.0))?), ..Wood::default() },
///     rim_wood: Wood::default(),
///     handling: Handling::STILL,
///     shear_ratio: 0.0625,
///     gravity: 9.80665,
/// };
/// let ends = Support::Slings { first: 0.0, second: 6.0 };
/// let options = LiftOptions { required_margin: Some(2.0), ..LiftOptions::usual() };
/// let found = lift(&case, &[ends], &options, &Watch::silent())?;
/// // 445 kg in the air; the strength is 3.2 times the stress, and in one of ten draws less than twice.
/// assert!((found.weight_in_air.value - 4363.96).abs() < 0.01);
/// let margin = found.supports[0].margin.unwrap();
/// assert!((margin.value - 3.183).abs() < 5e-4);
/// let below = found.supports[0].probability_below.unwrap();
/// assert!((below.value - 0.08).abs() < 0.02);
/// # Ok::<(), woodstate::error::Error>(())
/// ```
///
/// # Source
/// Evaluation by random draws: JCGM 101:2008, clause 7.
pub fn lift(case: &Case, supports: &[Support], options: &LiftOptions, watch: &Watch<'_>) -> Result<LiftOutcome> {
    check_options(options)?;
    case.check()?;
    supports.iter().try_for_each(|support| match support {
        Support::Equalised { .. } => support.check(case.timber.length()),
        _ => Ok(()),
    })?;
    let stated = Numbers::stated(case);
    let mut loaded = Loaded::room(case);
    let mut rooms = Rooms::default();
    let unsure = case.unsure();
    let surfacing = options
        .shares_out
        .iter()
        .map(|share| {
            loaded.fill(case, &stated, *share);
            [*share, loaded.weight]
        })
        .collect();
    loaded.fill(case, &stated, 0.0);
    let under = loaded.weight;
    loaded.fill(case, &stated, 1.0);
    let above = loaded.weight;
    let slings = advice(&loaded, options);
    let mut ways: Vec<Way<'_>> =
        supports.iter().map(|support| Way::stated(case, support, &stated, &loaded, &mut rooms, options)).collect();

    let mut weights = [Column::new(above), Column::new(under), Column::new(above / under)];
    let (mut possible, mut left_out) = (0, 0);
    let has_doubt = unsure.is_empty();
    if has_doubt && options.draws > 0 {
        let mut streams = Streams::of(case, options.seed);
        let mut numbers = stated.clone();
        for draw in 0..options.draws {
            if draw % BLOCK == 0 {
                watch.advance("draws", draw, options.draws)?;
            }
            streams.draw(case, &mut numbers);
            if !numbers.is_possible() {
                left_out += 1;
                continue;
            }
            possible += 1;
            loaded.fill(case, &numbers, 0.0);
            let below = loaded.weight;
            loaded.fill(case, &numbers, 1.0);
            for (column, value) in weights.iter_mut().zip([loaded.weight, below, loaded.weight / below]) {
                column.push(value);
            }
            let strong = strengths(case, &numbers);
            let stiff = modulus_factor(case, &numbers);
            for way in &mut ways {
                way.draw(case, &loaded, strong, stiff, &mut rooms);
            }
        }
    }
    let is_told = has_doubt && check::real(left_out) <= IMPOSSIBLE * check::real(possible + left_out);
    let [in_air, submerged, growth] = weights.map(|column| column.estimate(options.coverage, is_told));
    Ok(LiftOutcome {
        weight_in_air: in_air,
        weight_submerged: submerged,
        growth: (under > 0.0).then_some(growth),
        surfacing,
        supports: ways
            .into_iter()
            .map(|way| way.outcome(case, options, is_told && possible > 1))
            .collect::<Result<_>>()?,
        slings,
        unsure,
        draws: [possible, left_out],
    })
}

fn check_options(options: &LiftOptions) -> Result<()> {
    options.required_margin.map_or(Ok(()), |margin| check::positive("required margin", margin))?;
    if !(options.coverage > 0.0 && options.coverage < 1.0) {
        return Err(check::range("coverage", options.coverage, "a number between 0 and 1"));
    }
    if options.draws > MOST_DRAWS {
        return Err(check::range("number of draws", check::real(options.draws), format!("up to {MOST_DRAWS}")));
    }
    options.placing_errors.iter().try_for_each(|error| check::not_negative("error of a sling's place (m)", *error))?;
    options.shares_out.iter().try_for_each(|share| check::share("share out of the water", *share))
}

/// Where two slings, and where a sling with the start on the ground, bend a timber least in the air; `None` where nothing carries.
///
/// # Errors
/// Numbers of the case that cannot be used ([`Case::check`]).
pub fn best_places(case: &Case) -> Result<[Option<BestSlings>; 2]> {
    case.check()?;
    let mut loaded = Loaded::room(case);
    loaded.fill(case, &Numbers::stated(case), 1.0);
    let Loaded { timber, rim, line, .. } = &loaded;
    Ok([best_slings(timber, *rim, line).ok(), best_sling_from_ground(timber, *rim, line).ok()])
}

fn advice(loaded: &Loaded, options: &LiftOptions) -> Option<SlingAdvice> {
    let Loaded { timber, rim, line, .. } = loaded;
    let best = best_slings(timber, *rim, line).ok()?;
    let cost = |error: &f64| Some([*error, placing_cost(timber, *rim, line, best.places, *error).ok()?]);
    Some(SlingAdvice { best, cost: options.placing_errors.iter().filter_map(cost).collect() })
}
