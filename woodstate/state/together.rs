//! Pieces that were measured in one way, propagated together.

use crate::error::Result;
use crate::numeric::{BLOCK, Lane, Program, Room, Run, Tape, Traced};
use crate::quantity::{Number, Quantity};

use super::draw::{bent_among, draw, is_wide};
use super::propagate::linear_of;
use super::{Cause, Propagation, Reading, Readings, Results, Route, Rules, derive};

/// How the results of pieces follow from their readings, for all pieces of which the same readings are known.
///
/// The formulas run once, on a tape, with the readings of a sample piece; what the tape holds then runs for many pieces,
/// and gives to the last bit what [`propagate`](super::propagate) gives for each. A piece whose formulas would have gone
/// another way, or whose uncertainty must be drawn, is told apart and left to that.
#[cfg_attr(not(feature = "table"), allow(dead_code, reason = "OK because only the assessment of a table asks"))]
#[derive(Debug)]
pub(super) struct Plan {
    sample: Readings,
    /// Causes whose standard uncertainty differs from piece to piece.
    each_u: Vec<usize>,
    program: Program,
    inputs: Vec<Input>,
    reported: Vec<Planned>,
    water_contents: Vec<Planned>,
    densities: Vec<Planned>,
    rivals: Vec<Rivals>,
    drawn: Vec<(Quantity, Option<[f64; 2]>, Option<f64>)>,
    impossible_draws: f64,
}

/// A column that the program wants.
#[cfg_attr(not(feature = "table"), allow(dead_code, reason = "OK because only the assessment of a table asks"))]
#[derive(Debug, Clone, Copy)]
struct Input {
    cause: usize,
    is_u: bool,
}

/// Where the program puts a result: places among its outputs.
#[derive(Debug)]
struct Planned {
    quantity: Quantity,
    route: Route,
    value: usize,
    u: Option<usize>,
    own: Option<usize>,
    shared: Vec<(usize, usize)>,
}

/// Two routes to one quantity: the first of them, their difference and its standard uncertainty.
#[derive(Debug)]
struct Rivals {
    first: usize,
    difference: usize,
    u: Option<usize>,
}

/// The causes of a tape.
struct Slot<'t> {
    shared: Option<usize>,
    u: Option<Traced<'t>>,
}

/// A result with the uncertainty it gets from each cause.
struct Parted<'t> {
    u: Option<Traced<'t>>,
    own: Option<Traced<'t>>,
    shared: Vec<(usize, Traced<'t>)>,
}

impl Plan {
    /// The plan for pieces like a sample piece; `None` where the sample is odd, so that each piece is better taken alone.
    ///
    /// `parts_of`: quantities whose uncertainty is kept by origin.
    ///
    /// # Errors
    /// As [`propagate`](super::propagate).
    pub(super) fn of(
        sample: &Readings,
        each_u: &[usize],
        parts_of: &[Quantity],
        rules: &Rules<'_>,
        how: &Propagation,
        taxon: &str,
    ) -> Result<Option<Self>> {
        let tape = Tape::new();
        let (mut slots, mut inputs, mut causes) = (Vec::new(), Vec::new(), [None; Cause::COUNT]);
        for (cause, reading) in sample.entries().iter().enumerate() {
            let Some(reading) = reading else { continue };
            let shared = sample.shared_place(cause);
            let (is_exact, is_each) = (reading.u == Some(0.0), each_u.contains(&cause));
            let number = match (shared, is_exact) {
                (Some(_), true) => Traced::exact(reading.value),
                (Some(_), false) => tape.one(reading.value),
                (None, true) => tape.plain_column(reading.value),
                (None, false) => tape.column(reading.value),
            };
            if shared.is_none() {
                inputs.push(Input { cause, is_u: false });
            }
            causes[cause] = Some(number);
            if !is_exact {
                let u = reading.u.map(|u| if is_each { tape.plain_column(u) } else { Traced::exact(u) });
                inputs.extend((is_each && u.is_some()).then_some(Input { cause, is_u: true }));
                slots.push(Slot { shared, u });
            }
        }
        let derived = derive(&causes, rules);
        if derived.impossible().next().is_some() {
            return Ok(None);
        }
        let known = |quantity: &Quantity| derived.value(*quantity).map(|(value, route)| (*quantity, route, value));
        let reported: Vec<_> = Quantity::ALL.iter().filter_map(known).collect();
        let contents: Vec<_> =
            derived.water_contents().map(|(route, value)| (Quantity::MaxWaterContent, route, value)).collect();
        let densities: Vec<_> =
            derived.densities().map(|(route, value)| (Quantity::BasicDensity, route, value)).collect();
        let rivals: Vec<_> = derived.rivals().map(|[first, other]| (first, first - other)).collect();
        let numbers: Vec<Traced<'_>> = [&reported, &contents, &densities]
            .into_iter()
            .flatten()
            .map(|(_, _, value)| *value)
            .chain(rivals.iter().map(|(_, difference)| *difference))
            .collect();
        let mut parted = Vec::with_capacity(numbers.len());
        for slopes in tape.slopes(&numbers) {
            match Parted::of(&slopes, &slots) {
                Some(parts) => parted.push(parts),
                None => return Ok(None),
            }
        }
        let mut outputs = Outputs { numbers: Vec::new() };
        let mut parted = parted.into_iter();
        let (reported, water_contents, densities) = (
            outputs.all(reported, &mut parted, parts_of),
            outputs.all(contents, &mut parted, &[]),
            outputs.all(densities, &mut parted, &[]),
        );
        let rivals = rivals.into_iter().zip(parted).map(|((first, difference), parts)| Rivals {
            first: outputs.add(first),
            difference: outputs.add(difference),
            u: parts.u.map(|u| outputs.add(u)),
        });
        let rivals = rivals.collect();
        let program = tape.program(&outputs.numbers);
        let mut plan = Self {
            sample: sample.clone(),
            each_u: each_u.to_vec(),
            program,
            inputs,
            reported,
            water_contents,
            densities,
            rivals,
            drawn: Vec::new(),
            impossible_draws: 0.0,
        };
        let is_one = |planned: &&Planned| !tape.is_column(outputs.numbers[planned.value]);
        let ones: Vec<Quantity> = plan.reported.iter().filter(is_one).map(|planned| planned.quantity).collect();
        plan.draw_ones(&ones, rules, how, taxon)?;
        Ok(Some(plan))
    }

    /// Draws what is the same for all pieces and bends: once for all of them.
    fn draw_ones(&mut self, ones: &[Quantity], rules: &Rules<'_>, how: &Propagation, taxon: &str) -> Result<()> {
        let mut results = linear_of(&self.sample, rules, how)?;
        let bent = bent_among(ones, &results, &self.sample, rules, how);
        if bent.is_empty() {
            return Ok(());
        }
        draw(&mut results, &bent, &self.sample, rules, how, "", taxon)?;
        for quantity in bent {
            let value = results.values.of(quantity);
            let (interval, u) = (value.and_then(|value| value.interval), value.and_then(|value| value.u));
            self.drawn.push((quantity, interval, u));
        }
        self.impossible_draws = results.impossible_draws;
        Ok(())
    }

    /// Whether a piece has the readings that the plan was made for.
    #[cfg_attr(not(feature = "table"), allow(dead_code, reason = "OK because only the assessment of a table asks"))]
    pub(super) fn fits(&self, readings: &Readings) -> bool {
        let is_same = |(cause, (a, b)): (usize, (&Option<Reading>, &Option<Reading>))| match (a, b) {
            (None, None) => true,
            (Some(a), Some(b)) => {
                let is_shared = self.sample.shared_place(cause).is_some();
                let bits = |number: Option<f64>| number.map(f64::to_bits);
                let is_exact = |reading: &Reading| reading.u == Some(0.0);
                is_shared == readings.shared_place(cause).is_some()
                    && a.u.is_some() == b.u.is_some()
                    && is_exact(a) == is_exact(b)
                    && (!is_shared || a.value.to_bits() == b.value.to_bits())
                    && (self.each_u.contains(&cause) || bits(a.u) == bits(b.u))
            }
            _ => false,
        };
        self.sample.entries().iter().zip(readings.entries()).enumerate().all(is_same)
    }

    /// Room for a block of pieces.
    pub(super) fn start(&self) -> Run<'_> {
        self.program.start()
    }

    /// The same in room that another run gave back.
    #[cfg_attr(not(feature = "table"), allow(dead_code, reason = "OK because only the assessment of a table asks"))]
    pub(super) fn start_in(&self, room: Room) -> Run<'_> {
        self.program.start_in(room)
    }

    /// Puts the results of up to [`BLOCK`] pieces into their places; the pieces that must be taken alone are left out and
    /// come back, as places among `readings`.
    #[cfg_attr(not(feature = "table"), allow(dead_code, reason = "OK because only the assessment of a table asks"))]
    pub(super) fn run(
        &self,
        run: &mut Run<'_>,
        readings: &[&Readings],
        at: &[usize],
        how: &Propagation,
        results: &mut Results,
    ) -> Vec<usize> {
        let number = |input: &Input, readings: &Readings| {
            let reading = readings.entries()[input.cause];
            reading.and_then(|reading| if input.is_u { reading.u } else { Some(reading.value) }).unwrap_or(f64::NAN)
        };
        let columns: Vec<Vec<f64>> = self
            .inputs
            .iter()
            .map(|input| readings.iter().take(BLOCK).map(|readings| number(input, readings)).collect())
            .collect();
        let columns: Vec<&[f64]> = columns.iter().map(Vec::as_slice).collect();
        self.run_columns(run, &columns, at, how, results)
    }

    /// The same from columns, in the order of the causes, each followed by its uncertainties where these differ.
    pub(super) fn run_columns(
        &self,
        run: &mut Run<'_>,
        columns: &[&[f64]],
        at: &[usize],
        how: &Propagation,
        results: &mut Results,
    ) -> Vec<usize> {
        let mut holds = run.rows(columns);
        holds.resize(at.len(), holds.first().copied().unwrap_or(true));
        for planned in &self.reported {
            let is_drawn = self.drawn.iter().any(|(quantity, ..)| *quantity == planned.quantity);
            let (value, u) = (run.output(planned.value), planned.u.map(|u| run.output(u)));
            if let Some(u) = u.filter(|_| !is_drawn && !is_wide_with_another(planned)) {
                let share = how.share(planned.quantity);
                holds
                    .iter_mut()
                    .enumerate()
                    .for_each(|(row, holds)| *holds &= !is_wide(value.at(row), u.at(row), share));
            }
        }
        let apart: Vec<usize> = (0..at.len()).filter(|row| !holds[*row]).collect();
        // Those that are taken alone are written over afterwards.
        let unknown = Lane::One(f64::NAN);
        for planned in &self.reported {
            let drawn = self.drawn.iter().find(|(quantity, ..)| *quantity == planned.quantity);
            let u = match drawn {
                Some((_, _, u)) => Lane::One(u.unwrap_or(f64::NAN)),
                None => planned.u.map_or(unknown, |u| run.output(u)),
            };
            results.put_value(planned.quantity, at, run.output(planned.value), u, planned.route);
            if let Some((quantity, interval, _)) = drawn {
                results.put_drawn(*quantity, at, *interval, self.impossible_draws);
            }
            if planned.u.is_some() {
                let own = planned.own.map_or(Lane::One(0.0), |own| run.output(own));
                results.put_own(planned.quantity, at, own);
                for (cause, part) in &planned.shared {
                    results.put_shared(planned.quantity, *cause, at, run.output(*part));
                }
            }
        }
        for planned in &self.water_contents {
            let u = planned.u.map_or(unknown, |u| run.output(u));
            results.put_water_content(at, run.output(planned.value), u, planned.route);
        }
        for planned in &self.densities {
            let u = planned.u.map_or(unknown, |u| run.output(u));
            results.put_density(at, run.output(planned.value), u, planned.route);
        }
        for rivals in &self.rivals {
            let (first, difference) = (run.output(rivals.first), run.output(rivals.difference));
            let u = rivals.u.map(|u| run.output(u));
            for (row, piece) in at.iter().enumerate() {
                if how.disagrees(first.at(row), difference.at(row), u.map(|u| u.at(row))) {
                    results.note_disagreement(*piece);
                }
            }
        }
        for row in &apart {
            results.forget(at[*row]);
        }
        apart
    }
}

/// The numbers that a program is asked for.
struct Outputs<'t> {
    numbers: Vec<Traced<'t>>,
}

impl<'t> Outputs<'t> {
    fn add(&mut self, number: Traced<'t>) -> usize {
        self.numbers.push(number);
        self.numbers.len() - 1
    }

    fn all(
        &mut self,
        results: Vec<(Quantity, Route, Traced<'t>)>,
        parted: &mut impl Iterator<Item = Parted<'t>>,
        parts_of: &[Quantity],
    ) -> Vec<Planned> {
        let planned = |((quantity, route, value), parts): ((Quantity, Route, Traced<'t>), Parted<'t>)| {
            let kept = Some(&parts).filter(|_| parts_of.contains(&quantity));
            let shared = kept.map_or(&[][..], |parts| &parts.shared);
            Planned {
                quantity,
                route,
                value: self.add(value),
                u: parts.u.map(|u| self.add(u)),
                own: kept.and_then(|parts| parts.own).map(|own| self.add(own)),
                shared: shared.iter().map(|(cause, part)| (*cause, self.add(*part))).collect(),
            }
        };
        results.into_iter().zip(parted).map(planned).collect()
    }
}

impl<'t> Parted<'t> {
    /// Sums up the uncertainty in the order of [`propagate`](super::propagate), so that it rounds alike. `None` where a slope
    /// of the sample is 0 by chance.
    fn of(slopes: &[Option<Traced<'t>>], slots: &[Slot<'t>]) -> Option<Self> {
        let zero = Traced::exact(0.0);
        let (mut own, mut shared, mut is_known) = (None, Vec::new(), true);
        for (slope, slot) in slopes.iter().zip(slots) {
            let Some(slope) = *slope else { continue };
            let Some(u) = slot.u else {
                // An unknown uncertainty counts only where the result depends on it.
                if !slope.is_above(zero) && !zero.is_above(slope) {
                    return None;
                }
                is_known = false;
                continue;
            };
            let part = slope * u;
            match slot.shared {
                Some(cause) => shared.push((cause, part)),
                None => own = Some(own.map_or(part * part, |own: Traced<'t>| own + part * part)),
            }
        }
        if !is_known {
            return Some(Self { u: None, own: None, shared: Vec::new() });
        }
        let of_shared = shared.iter().map(|(_, part)| *part * *part).reduce(|sum, square| sum + square);
        let variance = match (own, of_shared) {
            (Some(own), Some(shared)) => own + shared,
            (one, other) => one.or(other).unwrap_or(zero),
        };
        let u = variance.sqrt();
        u.is_finite().then_some(Self { u: Some(u), own, shared })
    }
}

/// A loss is 100 less a residual density: it bends where that does, and there alone.
fn is_wide_with_another(planned: &Planned) -> bool {
    planned.quantity == Quantity::LossOfWoodSubstance && planned.route == Route::Computed
}
