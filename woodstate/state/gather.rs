//! From the rows of a piece to its readings.

use crate::error::{CautionCode, Cautions};
use crate::numeric::{mean, variance_of};
use crate::quantity::{Measured, Quantity};
use crate::table::{Numbers, Table, Texts};

use super::inspect::SIZE_PLAY;
use super::limit::Limits;
use super::wood::Wood;
use super::{Cause, Instruments, Reading, Readings, Shape, StateOptions, VolumeUncertainty, dry_basis};

/// The columns of a table of samples that hold readings, found once.
pub(super) struct Columns<'a> {
    readings: Vec<(Cause, &'a Numbers)>,
    sizes: Vec<Size<'a>>,
    form: Option<&'a Texts>,
    each_u: Vec<usize>,
    temperature: Option<&'a Numbers>,
    weighing_salinity: Option<&'a Numbers>,
    pore_salinity: Option<&'a Numbers>,
}

/// The columns of one direction.
struct Size<'a> {
    saturated_cause: Cause,
    dry_cause: Cause,
    saturated: &'a Numbers,
    oven_dry: Option<&'a Numbers>,
    conditioned: Option<&'a Numbers>,
}

/// The readings of a piece and what comes with them.
pub(super) struct Gathered {
    pub(super) readings: Readings,
    pub(super) is_conditioned: bool,
    pub(super) cautions: Cautions,
}

impl<'a> Columns<'a> {
    pub(super) fn of(samples: &'a Table, options: &StateOptions) -> Self {
        let stated = Quantity::ALL.iter().map(|quantity| (Cause::Stated(*quantity), quantity.name()));
        let readings = Cause::READINGS
            .into_iter()
            .chain(stated)
            .filter_map(|(cause, name)| Some((cause, samples.numbers(name)?)))
            .collect();
        let size = |(name, saturated_cause, dry_cause): (&str, Cause, Cause)| {
            Some(Size {
                saturated_cause,
                dry_cause,
                saturated: samples.numbers(&format!("{name}_saturated"))?,
                oven_dry: samples.numbers(&format!("{name}_oven_dry")),
                conditioned: samples.numbers(&format!("{name}_conditioned")),
            })
        };
        let readings: Vec<(Cause, &Numbers)> = readings;
        let is_relative = matches!(options.instruments.volume, Some(VolumeUncertainty::Relative(_)));
        let has_each = |(cause, numbers): &&(Cause, &Numbers)| {
            let is_volume = matches!(cause, Cause::VolumeSaturated | Cause::VolumeOvenDry);
            numbers.has_u() || (is_relative && is_volume)
        };
        Self {
            each_u: readings.iter().filter(has_each).map(|(cause, _)| cause.index()).collect(),
            readings,
            sizes: Cause::DIRECTIONS.into_iter().filter_map(size).collect(),
            form: samples.texts("sample_form"),
            temperature: samples.numbers("weighing_water_temperature"),
            weighing_salinity: samples.numbers("weighing_water_salinity"),
            pore_salinity: samples.numbers("pore_water_salinity"),
        }
    }

    /// Causes whose standard uncertainty differs from row to row.
    pub(super) fn each_u(&self) -> &[usize] {
        &self.each_u
    }

    /// The readings of a piece from its rows; repeats are averaged.
    pub(super) fn gather(&self, rows: &[usize], wood: &Wood, options: &StateOptions, limits: &Limits) -> Gathered {
        let mut gathered = Gathered { readings: Readings::default(), is_conditioned: false, cautions: Cautions::NONE };
        for (cause, numbers) in &self.readings {
            let instrument = |value| instrument(*cause, value, &options.instruments);
            if let Some(reading) = average(numbers, rows, instrument) {
                gathered.readings.set(*cause, reading);
                let is_decisive = matches!(
                    cause,
                    Cause::MassSaturated
                        | Cause::MassOvenDry
                        | Cause::WaterContentDryBasis
                        | Cause::WaterContentWetBasis
                        | Cause::Stated(Quantity::MaxWaterContent)
                );
                let is_apart = rows.len() > 1 && range(numbers, rows) > limits.repeats_differ * reading.value.abs();
                gathered.cautions.insert_if(is_decisive && is_apart, CautionCode::RepeatsDiffer);
            }
        }
        self.keep_shape(rows, &mut gathered);
        gathered
            .cautions
            .insert_if(says_twice(&gathered.readings, limits.routes_disagree), CautionCode::RoutesDisagree);
        self.gather_sizes(rows, options, &mut gathered);
        self.gather_water(rows, options, limits, &mut gathered);
        let wall = options.cell_wall_density;
        gathered.readings.set(Cause::CellWallDensity, Reading::normal(wall.value, wall.u));
        if let Some(ash) = options.ash_density {
            gathered.readings.set(Cause::AshDensity, Reading::normal(ash.value, ash.u));
        }
        if let Some(sound) = wood.sound {
            gathered.readings.set(Cause::SoundBasicDensity, sound);
        }
        if let Some([volumetric, cross_section]) = wood.normal_shrinkage {
            gathered.readings.set(Cause::NormalShrinkageVolumetric, volumetric);
            gathered.readings.set(Cause::NormalShrinkageCrossSection, cross_section);
        }
        // The conversion of a density at 12 % scatters from tree to tree, and nobody says by how much.
        if let Some(factor) = limits.density_12_factor {
            gathered.readings.set(Cause::Density12Factor, factor);
        }
        if let Some(relative) = options.instruments.balance_calibration {
            gathered.readings.set(Cause::BalanceCalibration, Reading::normal(0.0, Some(relative / 100.0)));
        }
        gathered
    }

    /// The shape decides which sizes make a volume; sizes of two shapes without a word on which it is make none.
    fn keep_shape(&self, rows: &[usize], gathered: &mut Gathered) {
        let form = rows.iter().find_map(|row| self.form.and_then(|form| form.get(*row)));
        let readings = &mut gathered.readings;
        let is_both = readings.of(Cause::PieceDiameter).is_some() && readings.of(Cause::PieceWidth).is_some();
        let unused: &[Cause] = match form {
            Some("cylinder") => &[Cause::PieceWidth, Cause::PieceThickness],
            Some("prism") => &[Cause::PieceDiameter],
            Some("irregular") => &[Cause::PieceLength],
            _ if is_both => &[Cause::PieceLength],
            _ => &[],
        };
        for cause in unused {
            readings.clear(*cause);
        }
        gathered.cautions.insert_if(is_both && form.is_none(), CautionCode::ShapeUnknown);
    }

    fn gather_sizes(&self, rows: &[usize], options: &StateOptions, gathered: &mut Gathered) {
        let calliper = |_| rectangular(options.instruments.calliper);
        let of = |numbers: Option<&Numbers>| numbers.and_then(|numbers| average(numbers, rows, calliper));
        // One kind of dry size for all directions: a mixed shrinkage would be neither.
        let is_any = |pick: fn(&Size<'a>) -> Option<&'a Numbers>| {
            self.sizes.iter().any(|size| rows.iter().any(|row| pick(size).is_some_and(|n| n.value(*row).is_some())))
        };
        gathered.is_conditioned = !is_any(|size| size.oven_dry) && is_any(|size| size.conditioned);
        gathered.cautions.insert_if(gathered.is_conditioned, CautionCode::ShrinkageConditioned);
        for size in &self.sizes {
            let dry = if gathered.is_conditioned { size.conditioned } else { size.oven_dry };
            if let Some((saturated, dry)) = of(Some(size.saturated)).zip(of(dry))
                && dry.value <= SIZE_PLAY * saturated.value
            {
                gathered.readings.set(size.saturated_cause, saturated);
                gathered.readings.set(size.dry_cause, dry);
            }
        }
        let volume = |cause| gathered.readings.of(cause).map(|reading: Reading| reading.value);
        let volumes = volume(Cause::VolumeSaturated).zip(volume(Cause::VolumeOvenDry));
        if volumes.is_some_and(|(saturated, dry)| dry > SIZE_PLAY * saturated) {
            gathered.readings.clear(Cause::VolumeOvenDry);
        }
    }

    fn gather_water(&self, rows: &[usize], options: &StateOptions, limits: &Limits, gathered: &mut Gathered) {
        let waters = &options.waters;
        // What a row says is an error of its own; what the study says is shared by all rows.
        let of = |numbers: Option<&Numbers>, stated: Option<Measured>| {
            let in_row = numbers.and_then(|numbers| average(numbers, rows, |_| (None, Shape::Normal)));
            let stated = stated.map(|stated| (Reading::normal(stated.value, stated.u), false));
            in_row.map(|reading| (reading, true)).or(stated)
        };
        // Fresh water is fresh: a salinity of 0 needs no uncertainty.
        let salinity = |numbers, stated| {
            of(numbers, stated).map(|(reading, is_own)| {
                let is_fresh = reading.u.is_none() && reading.value <= 0.0;
                (Reading { u: if is_fresh { Some(0.0) } else { reading.u }, ..reading }, is_own)
            })
        };
        let pore = salinity(self.pore_salinity, waters.pore_salinity);
        gathered.cautions.insert_if(pore.is_none(), CautionCode::SaltPossible);
        if let Some(pore) = pore {
            set(&mut gathered.readings, Cause::PoreSalinity, pore);
        }
        if let Some(density) = waters.density {
            gathered.readings.set(Cause::WaterDensity, Reading::normal(density.value, density.u));
            return;
        }
        let assumed = limits.weighing_temperature;
        let temperature = of(self.temperature, waters.weighing_temperature)
            .map(|(reading, is_own)| (Reading { u: reading.u.or(options.instruments.thermometer), ..reading }, is_own));
        let weighing_salinity = salinity(self.weighing_salinity, waters.weighing_salinity);
        let is_assumed = temperature.is_none_or(|(reading, _)| reading.u.is_none()) || weighing_salinity.is_none();
        gathered.cautions.insert_if(is_assumed, CautionCode::WaterAssumed);
        if let Some(assumed) = assumed {
            let (reading, is_own) = temperature.unwrap_or((assumed, false));
            let u = reading.u.or(assumed.u);
            set(&mut gathered.readings, Cause::WeighingTemperature, (Reading { u, ..reading }, is_own));
        }
        let fresh = (Reading::normal(0.0, Some(0.0)), false);
        set(&mut gathered.readings, Cause::WeighingSalinity, weighing_salinity.unwrap_or(fresh));
    }
}

fn set(readings: &mut Readings, cause: Cause, (reading, is_own): (Reading, bool)) {
    if is_own {
        readings.set_own(cause, reading);
    } else {
        readings.set(cause, reading);
    }
}

/// Whether two readings of one thing, of which one is used, differ by more than a share: a volume that was measured and
/// displaced, water contents stated on two bases.
fn says_twice(readings: &Readings, share: f64) -> bool {
    let value = |cause| readings.of(cause).map(|reading| reading.value);
    // Displaced water weighs as much in g as it measures in cm3, to a percent.
    let volumes = [value(Cause::VolumeSaturated), value(Cause::MassDisplaced)];
    let contents = [
        value(Cause::Stated(Quantity::MaxWaterContent)),
        value(Cause::WaterContentDryBasis),
        value(Cause::WaterContentWetBasis).map(dry_basis),
    ];
    let is_apart = |values: &[Option<f64>]| {
        let known = || values.iter().flatten();
        let ends = known().copied().reduce(f64::min).zip(known().copied().reduce(f64::max));
        ends.is_some_and(|(low, high)| high - low > share * high.abs())
    };
    is_apart(&volumes) || is_apart(&contents)
}

/// What the instrument that reads a cause is good for.
fn instrument(cause: Cause, value: f64, instruments: &Instruments) -> (Option<f64>, Shape) {
    match cause {
        Cause::MassSaturated
        | Cause::MassOvenDry
        | Cause::MassImmersed
        | Cause::MassDisplaced
        | Cause::MassSinkerImmersed => rectangular(instruments.balance),
        Cause::PieceDiameter | Cause::PieceLength | Cause::PieceWidth | Cause::PieceThickness => {
            rectangular(instruments.calliper)
        }
        Cause::VolumeSaturated | Cause::VolumeOvenDry => {
            let u = instruments.volume.map(|volume| match volume {
                VolumeUncertainty::Absolute(u) => u,
                VolumeUncertainty::Relative(percent) => value * percent / 100.0,
            });
            (u, Shape::Normal)
        }
        _ => (None, Shape::Normal),
    }
}

/// A resolution is a rectangle of that width.
fn rectangular(resolution: Option<f64>) -> (Option<f64>, Shape) {
    (resolution.map(|width| width / 12.0_f64.sqrt()), Shape::Rectangular)
}

/// The reading of a column over the rows of a piece.
///
/// Repeats are averaged. The uncertainty is the larger of what the instrument gives for one reading, since equal readings
/// share their rounding, and of the scatter of the repeats over the root of their number.
fn average(numbers: &Numbers, rows: &[usize], instrument: impl Fn(f64) -> (Option<f64>, Shape)) -> Option<Reading> {
    let one = |row: usize| {
        let value = numbers.value(row)?;
        let (u, shape) = match numbers.u(row) {
            Some(u) => (Some(u), Shape::Normal),
            None => instrument(value),
        };
        Some(Reading { value, u, shape })
    };
    if let [row] = rows {
        return one(*row);
    }
    let readings: Vec<Reading> = rows.iter().filter_map(|row| one(*row)).collect();
    if let [reading] = readings.as_slice() {
        return Some(*reading);
    }
    let values: Vec<f64> = readings.iter().map(|reading| reading.value).collect();
    let value = mean(&values)?;
    let variances: Option<Vec<f64>> = readings.iter().map(|reading| reading.u.map(|u| u * u)).collect();
    let u = variances.and_then(|variances| mean(&variances)).map(|instrument| {
        let n: f64 = readings.iter().map(|_| 1.0).sum();
        instrument.max(variance_of(&values).unwrap_or(0.0) / n).sqrt()
    });
    Some(Reading::normal(value, u))
}

/// Largest less smallest value over the rows of a piece.
fn range(numbers: &Numbers, rows: &[usize]) -> f64 {
    let values = || rows.iter().filter_map(|row| numbers.value(*row));
    values().fold(f64::NEG_INFINITY, f64::max) - values().fold(f64::INFINITY, f64::min)
}
