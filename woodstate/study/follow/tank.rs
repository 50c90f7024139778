//! A tank: how strong its bath was, and what its water tells of washing.

use crate::error::{CourseCautionCode, ErrorKind, Result};
use crate::quantity::{counted, shown_value};
use crate::table::written_day;
use crate::treatment::{WashBath, WashMoment, WashReading, change_a_week, fit_washing, washing_course};

use super::bath::{Clock, strength_shown};
use super::log::{Entry, names};
use super::outcome::{
    CourseCaution, CourseNumber, Judgement, TankCourse, WashShown, WashedBath, WashedMoment, Washing,
};
use super::shape::{Shape, shape};
use super::tracker::Tracker;

/// Readings that a fit needs.
const LEAST: usize = 6;
/// Points of a drawn bath.
const POINTS: u32 = 24;
/// Range of temperature beyond which it matters, K: a proposal of ours.
pub(super) const MOVED: f64 = 5.0;
/// Temperature to which conductivity is brought, °C.
const OF_CONDUCTIVITY: f64 = 25.0;

impl Tracker<'_> {
    /// A tank and its cautions.
    pub(super) fn tank(&self, tank: Option<&str>) -> Result<Option<(TankCourse, Vec<CourseCaution>)>> {
        let of_tank = || self.entries.iter().filter(|entry| entry.tank.as_deref() == tank);
        let baths: Vec<&Entry> = of_tank().filter(|entry| entry.mass.is_none()).collect();
        let (Some(first), Some(last)) = (baths.first(), baths.last()) else { return Ok(None) };
        let strengths = baths.iter().filter_map(|entry| strength_shown(entry, self.options, self.reference)).collect();
        let mut cautions = Vec::new();
        let washing = self.washing(tank, &baths, &mut cautions)?;
        let course = TankCourse {
            tank: tank.map(str::to_owned),
            impregnant: self.options.of_tank(tank).impregnant,
            days: [written_day(first.day), written_day(last.day)],
            rows: baths.len(),
            strengths,
            washing,
        };
        let cautions = cautions.into_iter().map(|caution: CourseCaution| caution.of_tank(tank)).collect();
        Ok(Some((course, cautions)))
    }

    fn washing(
        &self,
        tank: Option<&str>,
        baths: &[&Entry],
        cautions: &mut Vec<CourseCaution>,
    ) -> Result<Option<Washing>> {
        if baths.iter().any(|entry| entry.mass_fraction.is_some() || entry.mass_per_volume.is_some()) {
            return Ok(None);
        }
        let n = |of: fn(&Entry) -> Option<f64>| baths.iter().filter(|entry| of(entry).is_some()).count();
        let (chloride, conductivity) = (n(|entry| entry.chloride), n(|entry| entry.conductivity));
        let is_chloride = chloride > 0 && (chloride >= LEAST || chloride >= conductivity);
        if chloride + conductivity == 0 {
            return Ok(None);
        }
        let per_kelvin = self.options.conductivity_per_kelvin;
        let warmths = || baths.iter().filter_map(|entry| entry.temperature);
        if !is_chloride && per_kelvin.is_none() && range(warmths()) > MOVED {
            let detail = format!("{} K", shown_value(range(warmths())));
            cautions.push(CourseCaution::new(CourseCautionCode::ConductivityUncorrected, detail));
        }
        let value = |entry: &Entry| match (is_chloride, per_kelvin, entry.temperature) {
            (true, ..) => entry.chloride,
            (false, Some(per_cent), Some(t)) => {
                entry.conductivity.map(|found| found / (1.0 + per_cent / 100.0 * (t - OF_CONDUCTIVITY)))
            }
            (false, ..) => entry.conductivity,
        };
        let begin = baths.first().map_or(0.0, |entry| entry.day);
        let mut read = Read { begins: vec![(begin, None)], readings: Vec::new() };
        for entry in baths {
            let bath = read.begins.len() - 1;
            if let (Some(volume), Some((_, known))) = (entry.volume, read.begins.last_mut()) {
                known.get_or_insert(volume);
            }
            read.readings.extend(value(entry).map(|value| (bath, entry.day, value)));
            // A row with a change tells of the old water.
            if entry.is_changed && read.begins.last().is_some_and(|(begun, _)| entry.day > *begun) {
                read.begins.push((entry.day, None));
            }
        }
        let last = baths.last().map_or(begin, |entry| entry.day);
        // A change in the last row begins a bath in which nothing was read.
        if read.begins.len() > 1 && read.begins.last().is_some_and(|(begun, _)| *begun >= last) {
            read.begins.pop();
        }
        let mut washing = read.shown(is_chloride, last)?;
        self.fit(tank, baths, &read, &mut washing, cautions)?;
        self.judge(baths, &read, &mut washing)?;
        Ok(Some(washing))
    }

    /// One diffusivity through all baths.
    fn fit(
        &self,
        tank: Option<&str>,
        entries: &[&Entry],
        read: &Read,
        washing: &mut Washing,
        cautions: &mut Vec<CourseCaution>,
    ) -> Result<()> {
        if read.readings.len() < LEAST {
            let detail = counted(read.readings.len(), "reading");
            cautions.push(CourseCaution::new(CourseCautionCode::CourseTooShort, detail));
            washing.no_fit = Some("too few readings".to_owned());
            return Ok(());
        }
        let named = names(self.entries, |entry| entry.timber.as_ref().filter(|_| entry.tank.as_deref() == tank));
        let mut pieces: Vec<(&str, Shape)> = Vec::new();
        for name in named {
            if let Some(shape) = shape(self.batch, name, self.options.grain_ratio)? {
                pieces.push((name, shape));
            }
        }
        if pieces.is_empty() {
            washing.no_fit = Some("no timber with a size is named in this tank".to_owned());
            return Ok(());
        }
        washing.pieces = pieces.iter().map(|(name, _)| (*name).to_owned()).collect();
        // Where a length is missing, sections alone weigh the pieces.
        let has_lengths = pieces.iter().all(|(_, shape)| shape.length.is_some());
        let weight = |shape: &Shape| if has_lengths { shape.area * shape.length.unwrap_or(1.0) } else { shape.area };
        let bodies: Vec<_> = pieces.iter().map(|(_, shape)| (shape.body.clone(), weight(shape))).collect();
        let warmths: Vec<(f64, f64)> =
            entries.iter().filter_map(|entry| Some((entry.day, entry.temperature?))).collect();
        let first = read.begins.first().map_or(0.0, |(day, _)| *day);
        let clock = Clock::new(first, &warmths, self.options)?;
        let baths = read.baths(&clock);
        let reading = |(bath, day, value): &(usize, f64, f64)| WashReading {
            moment: WashMoment { bath: *bath, time: clock.seconds(*day) },
            value: *value,
        };
        let readings: Vec<WashReading> = read.readings.iter().map(reading).collect();
        self.watch.advance("washing", 0, 1)?;
        let fit = match fit_washing(&bodies, &baths, &readings, self.coverage) {
            Ok(fit) => fit,
            Err(error) if matches!(error.kind(), ErrorKind::Range { .. }) => {
                cautions.push(CourseCaution::new(CourseCautionCode::CourseWithoutFit, error.to_string()));
                washing.no_fit = Some(error.to_string());
                return Ok(());
            }
            Err(error) => return Err(error),
        };
        let open = [("low", fit.interval[0]), ("high", fit.interval[1])];
        let open: Vec<&str> = open.iter().filter(|(_, end)| end.is_none()).map(|(name, _)| *name).collect();
        if !open.is_empty() {
            let detail = format!("its {} end", open.join(" and "));
            cautions.push(CourseCaution::new(CourseCautionCode::DiffusivityOpen, detail));
        }
        washing.diffusivity = Some(CourseNumber { value: fit.diffusivity, interval: fit.interval, unit: "m2/s" });
        washing.readings.iter_mut().zip(&fit.fitted).for_each(|(reading, value)| reading.fitted = Some(*value));
        let first_volume = baths.first().map_or(1.0, |bath| bath.ratio);
        let by_ratio: Vec<WashBath> =
            baths.iter().map(|bath| WashBath { ratio: fit.ratio * bath.ratio / first_volume, ..*bath }).collect();
        let last = read.readings.iter().map(|(_, day, _)| *day).fold(first, f64::max);
        let moments = read.drawn(last);
        let looked: Vec<WashMoment> =
            moments.iter().map(|(bath, day)| WashMoment { bath: *bath, time: clock.seconds(*day) }).collect();
        let shares = washing_course(&bodies, fit.diffusivity, &by_ratio, &looked)?;
        // Each bath took as much as stood in it at its end; water of the wood counts as 1.
        let taken = |(place, bath): (usize, &WashBath)| {
            let ending = moments.iter().rposition(|(of, _)| *of == place);
            ending.and_then(|at| shares.get(at)).map_or(0.0, |share| share * bath.ratio)
        };
        washing.left_in_wood = Some(100.0 * (1.0 - by_ratio.iter().enumerate().map(taken).sum::<f64>()));
        let rise = fit.in_wood_at_first - fit.fresh;
        let point = |((bath, day), share): ((usize, f64), f64)| WashedMoment {
            day,
            bath: bath + 1,
            value: fit.fresh + rise * share,
        };
        washing.curve = moments.into_iter().zip(shares).map(point).collect();
        washing.ratio = Some(fit.ratio);
        washing.fresh = Some(fit.fresh);
        washing.in_wood_at_first = Some(fit.in_wood_at_first);
        washing.scatter = Some(fit.scatter);
        Ok(())
    }

    /// The stated criteria of a finished washing.
    fn judge(&self, entries: &[&Entry], read: &Read, washing: &mut Washing) -> Result<()> {
        let options = self.options;
        let limit =
            if washing.column == "chloride_in_water" { options.flat_chloride } else { options.flat_conductivity };
        if let (Some(limit), Some(count)) = (limit, options.flat_readings) {
            let rises = read.rises()?;
            let last = &rises[rises.len().saturating_sub(count)..];
            let small = last.iter().filter(|rise| rise.abs() < limit).count();
            let unit = washing.unit;
            let most = last.iter().map(|rise| rise.abs()).fold(0.0, f64::max);
            let text = match (last.len() < count, small == count) {
                (true, _) => {
                    format!("not told: {} of the {count} that the criterion asks for", counted(last.len(), "rise"))
                }
                (_, true) => format!("flat: the last {count} rises are at most {} {unit} a week", shown_value(most)),
                (_, false) => format!(
                    "not flat: of the last {count} rises {small} are below {} {unit} a week",
                    shown_value(limit)
                ),
            };
            washing.flat = Some(Judgement { is_met: last.len() == count && small == count, text });
        }
        let last_of = |of: fn(&Entry) -> Option<f64>| entries.iter().rev().find_map(|entry| of(entry));
        let limits = [
            ("conductivity", "uS/cm", options.conductivity_limit, last_of(|entry| entry.conductivity)),
            ("chloride", "mg/L", options.chloride_limit, last_of(|entry| entry.chloride)),
            ("iron", "mg/L", options.iron_limit, last_of(|entry| entry.iron)),
        ];
        for (name, unit, limit, found) in limits {
            let (Some(limit), Some(found)) = (limit, found) else { continue };
            let is_met = found <= limit;
            let side = if is_met { "within" } else { "above" };
            let text = format!(
                "{name}: last reading {} {unit}, {side} the limit of {} {unit}",
                shown_value(found),
                shown_value(limit)
            );
            washing.limits.push(Judgement { is_met, text });
        }
        Ok(())
    }
}

/// Readings of a tank, bath by bath.
struct Read {
    /// Day and volume of each bath.
    begins: Vec<(f64, Option<f64>)>,
    /// Bath, day, value.
    readings: Vec<(usize, f64, f64)>,
}

impl Read {
    /// Baths on the clock of diffusion, with volumes; a bath of unknown volume is as large as the one before.
    fn baths(&self, clock: &Clock) -> Vec<WashBath> {
        let mut volume = self.begins.iter().find_map(|(_, volume)| *volume).unwrap_or(1.0);
        let begin = clock.seconds(self.begins.first().map_or(0.0, |(day, _)| *day));
        let mut baths = Vec::with_capacity(self.begins.len());
        for (day, known) in &self.begins {
            volume = known.unwrap_or(volume);
            baths.push(WashBath { begin: clock.seconds(*day) - begin, ratio: volume });
        }
        baths
    }

    fn until(&self, bath: usize, last: f64) -> f64 {
        self.begins.get(bath + 1).map_or(last, |(day, _)| *day)
    }

    fn shown(&self, is_chloride: bool, last: f64) -> Result<Washing> {
        let mut baths = Vec::new();
        for (bath, (begin, volume)) in self.begins.iter().enumerate() {
            let own: Vec<&(usize, f64, f64)> = self.readings.iter().filter(|(of, ..)| *of == bath).collect();
            let rise = match own.as_slice() {
                [.., (_, d0, v0), (_, d1, v1)] if d1 > d0 => Some(change_a_week([*v0, *v1], d1 - d0)?),
                _ => None,
            };
            baths.push(WashedBath {
                bath: bath + 1,
                begin: written_day(*begin),
                length: self.until(bath, last) - begin,
                volume: *volume,
                last: own.last().map(|(.., value)| *value),
                rise_a_week: rise,
            });
        }
        let shown = |(bath, day, value): &(usize, f64, f64)| WashShown {
            date: written_day(*day),
            day: *day,
            bath: bath + 1,
            value: *value,
            fitted: None,
        };
        let (column, unit) = if is_chloride { ("chloride_in_water", "mg/L") } else { ("conductivity", "uS/cm") };
        Ok(Washing {
            column,
            unit,
            readings: self.readings.iter().map(shown).collect(),
            baths,
            pieces: Vec::new(),
            diffusivity: None,
            no_fit: None,
            ratio: None,
            fresh: None,
            in_wood_at_first: None,
            left_in_wood: None,
            scatter: None,
            curve: Vec::new(),
            flat: None,
            limits: Vec::new(),
        })
    }

    /// Bath and day of the points of a drawing, closer at the begin of each bath.
    fn drawn(&self, last: f64) -> Vec<(usize, f64)> {
        let mut moments = Vec::new();
        for (bath, (begin, _)) in self.begins.iter().enumerate() {
            let length = self.until(bath, last) - begin;
            let point = |k: u32| (bath, begin + length * (f64::from(k) / f64::from(POINTS)).powi(2));
            moments.extend((0..=POINTS).map(point));
        }
        moments
    }

    /// Rises a week between readings of one bath, in their order.
    fn rises(&self) -> Result<Vec<f64>> {
        let pairs = self.readings.windows(2).filter_map(|pair| match pair {
            [(b0, d0, v0), (b1, d1, v1)] if b0 == b1 && d1 > d0 => Some((*v0, *v1, d1 - d0)),
            _ => None,
        });
        pairs.map(|(v0, v1, days)| change_a_week([v0, v1], days)).collect()
    }
}

/// Largest less smallest; 0 where there is nothing.
pub(super) fn range(values: impl Iterator<Item = f64>) -> f64 {
    let (low, high) = values.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), v| (low.min(v), high.max(v)));
    if low <= high { high - low } else { 0.0 }
}
