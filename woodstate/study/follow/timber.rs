//! A timber in its baths: what it gained, how fast, where it stands, when it will be done.

use crate::error::{CourseCautionCode, Error, ErrorKind, Result};
use crate::numeric::{Watch, normal_quantile};
use crate::quantity::shown_value;
use crate::reference::Reference;
use crate::table::{Batch, written_day};
use crate::treatment::{BathHistory, CourseFit, Weighing, Whereabouts, course_line, fit_course, lag, time_to_reach};

use super::FollowOptions;
use super::bath::{Clock, Read, history, strength};
use super::log::Entry;
use super::outcome::{CourseCaution, CourseDay, CourseMoment, CourseNumber, ForecastThen, TimberCourse, WeighingShown};
use super::shape::{Shape, shape, told};

/// Forecasts of the past that are shown at most, and fits of the first weighings that are made at most.
const THEN: usize = 12;
const FITS: usize = 16;
/// Weighings from which a timber may lag, and how many must lag, by how many standard deviations of their mean: ours, a proposal.
const LAG_FROM: usize = 8;
const LAG_LAST: usize = 3;
const LAG_BY: f64 = 3.0;
/// Days ahead that are not told any more: a hundred years.
const FARTHEST: f64 = 36_525.0;
/// Points of a drawn course.
const POINTS: usize = 160;

/// Everything that a timber is followed with.
pub(super) struct Tracker<'a> {
    pub(super) entries: &'a [Entry],
    pub(super) batch: &'a Batch,
    pub(super) options: &'a FollowOptions,
    pub(super) reference: &'a Reference,
    pub(super) coverage: f64,
    pub(super) watch: &'a Watch<'a>,
}

/// A timber as the log has it.
struct Logged {
    tanks: Vec<String>,
    weighings: Vec<(f64, f64, Option<f64>)>,
    /// Days at which the concentration of its bath changed, g/L.
    steps: Vec<(f64, f64)>,
    temperatures: Vec<(f64, f64)>,
    is_without_basis: bool,
    last_day: f64,
}

impl Tracker<'_> {
    /// The course of a timber, with its cautions; `None` where it was never weighed.
    pub(super) fn course(&self, timber: &str) -> Result<Option<(TimberCourse, Vec<CourseCaution>)>> {
        let logged = self.logged(timber);
        let (Some(first), Some(last)) = (logged.weighings.first(), logged.weighings.last()) else { return Ok(None) };
        let (first_day, last_weighed) = (first.0, last.0);
        let mut cautions = Vec::new();
        let mut say = |code, detail: String| cautions.push(CourseCaution::new(code, detail).of_timber(timber));
        let prior = told(self.batch, timber).and_then(|(table, row)| table.text("prior_treatment", row));
        if let Some(prior) = prior.filter(|word| !matches!(*word, "none" | "unknown")) {
            say(CourseCautionCode::TreatedBefore, prior.to_owned());
        }
        let shape = shape(self.batch, timber, self.options.grain_ratio)?;
        let clock = Clock::new(first_day, &logged.temperatures, self.options)?;
        let weighings: Vec<Weighing> = logged
            .weighings
            .iter()
            .map(|(day, mass, u)| Weighing { time: clock.seconds(*day), mass: *mass, u: *u })
            .collect();
        let mut course = self.plain(timber, &logged, first_day, last_weighed)?;
        course.shape = shape.as_ref().map(|shape| shape.words.clone());
        let no_fit = match (&shape, logged.steps.is_empty(), logged.is_without_basis) {
            (_, _, true) => {
                say(CourseCautionCode::BasisUnknown, "concentration by mass of solution".to_owned());
                Some("mass fraction cannot be turned into mass per volume: apparent_volume is not stated".to_owned())
            }
            (_, true, _) => Some("the log has no concentration of its bath".to_owned()),
            (None, ..) => {
                say(CourseCautionCode::SizeUnknown, String::new());
                Some("its size is unknown".to_owned())
            }
            _ => None,
        };
        let (Some(shape), None) = (&shape, &no_fit) else {
            course.no_fit = no_fit;
            return Ok(Some((course, cautions)));
        };
        let follow = Followed { tracker: self, shape, clock: &clock, logged: &logged, weighings: &weighings };
        let fits = follow.fits()?;
        match fits.last() {
            Some((_, Ok(fit))) => {
                let open = [("low", fit.interval[0]), ("high", fit.interval[1])];
                let open: Vec<&str> = open.iter().filter(|(_, end)| end.is_none()).map(|(name, _)| *name).collect();
                if !open.is_empty() {
                    say(CourseCautionCode::DiffusivityOpen, format!("its {} end", open.join(" and ")));
                }
            }
            Some((_, Err(why))) => {
                say(CourseCautionCode::CourseWithoutFit, why.clone());
                course.no_fit = Some(why.clone());
            }
            None => {
                say(CourseCautionCode::CourseTooShort, format!("{} weighings", weighings.len()));
                course.no_fit = Some("too few weighings".to_owned());
            }
        }
        follow.fill(&mut course, &fits)?;
        if let Some((date, detail)) = follow.lags(&fits)? {
            cautions.push(CourseCaution::new(CourseCautionCode::UptakeStalled, detail).of_timber(timber).since(date));
        }
        Ok(Some((course, cautions)))
    }

    /// What the log says of a timber.
    fn logged(&self, timber: &str) -> Logged {
        let only = super::log::names(self.entries, |entry| entry.tank.as_ref());
        let mut now: Option<&str> = if let [only] = only.as_slice() { Some(only) } else { None };
        let mut found = Logged {
            tanks: Vec::new(),
            weighings: Vec::new(),
            steps: Vec::new(),
            temperatures: Vec::new(),
            is_without_basis: false,
            last_day: f64::NEG_INFINITY,
        };
        // The last reading of each tank: a timber that is moved finds the bath that stands there.
        let mut strengths: Vec<(Option<&str>, f64)> = Vec::new();
        let mut is_in = false;
        for entry in self.entries {
            let tank = entry.tank.as_deref();
            if entry.timber.as_deref() == Some(timber) {
                now = tank.or(now);
                is_in = true;
                if let Some(name) = now.filter(|name| found.tanks.last().is_none_or(|last| last != name)) {
                    found.tanks.push(name.to_owned());
                }
                if let Some(mass) = entry.mass {
                    found.weighings.push((entry.day, mass, entry.u_mass));
                }
            }
            match strength(entry, self.options, self.reference) {
                Some(Read::Known(read)) => {
                    strengths.retain(|(name, _)| *name != tank);
                    strengths.push((tank, read));
                }
                Some(Read::WithoutBasis) if is_in && tank == now => found.is_without_basis = true,
                _ => {}
            }
            if !is_in {
                continue;
            }
            if tank == now {
                found.last_day = found.last_day.max(entry.day);
                found.temperatures.extend(entry.temperature.map(|temperature| (entry.day, temperature)));
            }
            let held = strengths.iter().find(|(name, _)| *name == now).map(|(_, read)| *read);
            if let Some(held) = held {
                step(&mut found.steps, entry.day, held);
            }
        }
        // What was read of the bath on the day of its last reading before the timber came in has no basis either.
        found
    }

    fn plain(&self, timber: &str, logged: &Logged, first: f64, last: f64) -> Result<TimberCourse> {
        let shown = |(day, mass, u): &(f64, f64, Option<f64>)| WeighingShown {
            date: written_day(*day),
            day: *day,
            mass: *mass,
            u: *u,
            fitted: None,
        };
        let (gained, share) = gained(&logged.weighings, self.coverage)?;
        Ok(TimberCourse {
            timber: timber.to_owned(),
            tanks: logged.tanks.clone(),
            shape: None,
            days: [written_day(first), written_day(last)],
            weighings: logged.weighings.iter().map(shown).collect(),
            gained,
            gained_share: share,
            diffusivity: None,
            diffusivity_from: None,
            no_fit: None,
            scatter: None,
            average_now: None,
            centre_now: None,
            average_target: None,
            centre_target: None,
            history: Vec::new(),
            curve: Vec::new(),
        })
    }
}

/// A bath from a day on; of several readings of one day the last one holds.
fn step(steps: &mut Vec<(f64, f64)>, day: f64, held: f64) {
    if let Some((last_day, last)) = steps.last_mut() {
        if (*last - held).abs() <= 0.0 {
            return;
        }
        if day <= *last_day {
            *last = held;
            return;
        }
    }
    steps.push((day, held));
}

/// What a timber gained, and the same as a share of its first mass.
fn gained(
    weighings: &[(f64, f64, Option<f64>)],
    coverage: f64,
) -> Result<(Option<CourseNumber>, Option<CourseNumber>)> {
    let [first, .., last] = weighings else { return Ok((None, None)) };
    let (m0, m1) = (first.1, last.1);
    let z = normal_quantile(0.5 + 0.5 * coverage)?;
    let interval = |value: f64, u: Option<f64>| u.map_or([None; 2], |u| [Some(value - z * u), Some(value + z * u)]);
    let both = first.2.zip(last.2);
    let kilograms = m1 - m0;
    let share = 100.0 * kilograms / m0;
    let u_share = both.map(|(u0, u1)| 100.0 * (u1 / m0).hypot(m1 * u0 / (m0 * m0)));
    Ok((
        Some(CourseNumber {
            value: kilograms,
            interval: interval(kilograms, both.map(|(a, b)| a.hypot(b))),
            unit: "kg",
        }),
        Some(CourseNumber { value: share, interval: interval(share, u_share), unit: "%" }),
    ))
}

/// A fit of the first so many weighings, or why there is none.
type FitThen = (usize, std::result::Result<CourseFit, String>);

/// A timber that can be fitted.
struct Followed<'a> {
    tracker: &'a Tracker<'a>,
    shape: &'a Shape,
    clock: &'a Clock,
    logged: &'a Logged,
    weighings: &'a [Weighing],
}

impl Followed<'_> {
    fn bath(&self, until: f64) -> Result<BathHistory> {
        history(&self.logged.steps, self.clock, until)
    }

    /// Fits of the first weighings, from five on to all of them; of many weighings every second, or third.
    fn fits(&self) -> Result<Vec<FitThen>> {
        const LEAST: usize = 5;
        let n = self.weighings.len();
        let mut fits = Vec::new();
        let every = (n + 1).saturating_sub(LEAST).div_ceil(FITS).max(1);
        for k in (LEAST..=n).filter(|k| (n - k) % every == 0) {
            let Some((day, ..)) = self.logged.weighings.get(k - 1) else { break };
            // Before the bath began there is nothing to fit.
            let Ok(bath) = self.bath(*day) else { continue };
            match fit_course(&self.shape.body, &bath, &self.weighings[..k], self.tracker.coverage) {
                Ok(fit) => fits.push((k, Ok(fit))),
                Err(error) if matches!(error.kind(), ErrorKind::Range { .. }) => fits.push((k, Err(error.to_string()))),
                Err(error) => return Err(error),
            }
        }
        Ok(fits)
    }

    /// Diffusivity, where the timber stands, and its forecasts.
    fn fill(&self, course: &mut TimberCourse, fits: &[FitThen]) -> Result<()> {
        let options = self.tracker.options;
        let last_row = self.logged.last_day.max(self.logged.weighings.last().map_or(0.0, |(day, ..)| *day));
        let bath = self.bath(last_row)?;
        let fitted = fits.last().and_then(|(_, fit)| fit.as_ref().ok());
        let number = match (fitted, options.diffusivity) {
            (Some(fit), _) => CourseNumber { value: fit.diffusivity, interval: fit.interval, unit: "m2/s" },
            (None, Some([low, high])) => {
                CourseNumber { value: (low * high).sqrt(), interval: [Some(low), Some(high)], unit: "m2/s" }
            }
            (None, None) => return Ok(()),
        };
        course.diffusivity_from = Some(if fitted.is_some() { "fitted" } else { "stated" });
        course.scatter = fitted.map(|fit| fit.scatter);
        if let Some(fit) = fitted {
            course.weighings.iter_mut().zip(&fit.fitted).for_each(|(weighing, mass)| weighing.fitted = Some(*mass));
        }
        let now = self.clock.seconds(last_row);
        course.average_now = Some(self.share(&bath, &number, now, Whereabouts::Average)?);
        course.centre_now = Some(self.share(&bath, &number, now, Whereabouts::Centre)?);
        if let Some(target) = options.target {
            course.average_target = Some(self.day(&bath, &number, target, Whereabouts::Average, last_row)?);
            course.centre_target = Some(self.day(&bath, &number, target, Whereabouts::Centre, last_row)?);
        }
        course.history = self.history(fits)?;
        course.curve = self.curve(course, &bath, &number, last_row)?;
        course.diffusivity = Some(number);
        Ok(())
    }

    fn share(&self, bath: &BathHistory, d: &CourseNumber, time: f64, place: Whereabouts) -> Result<CourseNumber> {
        let of = |diffusivity: f64| -> Result<f64> {
            let body = self.shape.body.scaled(diffusivity)?;
            let reached = match place {
                Whereabouts::Average => bath.average(&body, time)?,
                Whereabouts::Centre => bath.centre(&body, time)?,
            };
            Ok(if bath.last() > 0.0 { 100.0 * reached / bath.last() } else { 0.0 })
        };
        let [low, high] = d.interval;
        let interval = [low.map(of).transpose()?, high.map(of).transpose()?];
        Ok(CourseNumber { value: of(d.value)?, interval, unit: "%" })
    }

    fn day(
        &self,
        bath: &BathHistory,
        d: &CourseNumber,
        target: f64,
        place: Whereabouts,
        last_row: f64,
    ) -> Result<CourseDay> {
        let of = |diffusivity: f64| -> Result<Option<f64>> {
            let seconds = time_to_reach(&self.shape.body, bath, diffusivity, target, place)?;
            Ok(seconds.map(|seconds| self.clock.day(seconds)).filter(|day| *day < last_row + FARTHEST))
        };
        let end = |diffusivity: Option<f64>| -> Result<Option<String>> {
            Ok(diffusivity.map(of).transpose()?.flatten().map(whole))
        };
        let value = of(d.value)?;
        let [slow, fast] = d.interval;
        Ok(CourseDay {
            day: value.map(whole),
            interval: [end(fast)?, end(slow)?],
            is_reached: value.is_some_and(|day| day <= last_row),
        })
    }

    /// How diffusivity and forecast moved, at most so many, the last one among them.
    fn history(&self, fits: &[FitThen]) -> Result<Vec<ForecastThen>> {
        let known: Vec<(usize, &CourseFit)> =
            fits.iter().filter_map(|(k, fit)| Some((*k, fit.as_ref().ok()?))).collect();
        let every = known.len().div_ceil(THEN).max(1);
        let mut then = Vec::new();
        for (_, (k, fit)) in known.iter().rev().enumerate().filter(|(place, _)| place % every == 0) {
            let Some((day, ..)) = self.logged.weighings.get(k - 1) else { continue };
            let bath = self.bath(*day)?;
            let number = CourseNumber { value: fit.diffusivity, interval: fit.interval, unit: "m2/s" };
            let when = |place| -> Result<Option<CourseDay>> {
                let target = self.tracker.options.target;
                target.map(|target| self.day(&bath, &number, target, place, *day)).transpose()
            };
            then.push(ForecastThen {
                weighings: *k,
                date: written_day(*day),
                average_target: when(Whereabouts::Average)?,
                centre_target: when(Whereabouts::Centre)?,
                diffusivity: number,
            });
        }
        then.reverse();
        Ok(then)
    }

    /// The course for a drawing, from the first weighing to behind the last row.
    fn curve(
        &self,
        course: &TimberCourse,
        bath: &BathHistory,
        d: &CourseNumber,
        last_row: f64,
    ) -> Result<Vec<CourseMoment>> {
        let first = self.logged.weighings.first().map_or(last_row, |(day, ..)| *day);
        let span = (last_row - first).max(1.0);
        let target = course.centre_target.as_ref().and_then(|target| target.day.as_deref());
        let ahead = target.and_then(crate::table::day_of).map_or(0.0, |day| day - last_row);
        let end = last_row + ahead.clamp(0.15 * span, span);
        let is_fitted = course.diffusivity_from == Some("fitted");
        let bodies = [Some(d.value), d.interval[0], d.interval[1]].map(|of| of.map(|of| self.shape.body.scaled(of)));
        let mut lines = Vec::new();
        for body in bodies {
            let Some(body) = body.transpose()? else {
                lines.push(None);
                continue;
            };
            let line = course_line(&body, bath, self.weighings)?;
            lines.push(Some((body, line)));
        }
        let mut curve = Vec::with_capacity(POINTS + 1);
        for k in 0..=POINTS {
            let day = first + (end - first) * part(k, POINTS);
            let time = self.clock.seconds(day);
            let mass = |of: &Option<_>| -> Result<Option<f64>> {
                let Some((body, line)): &Option<(crate::treatment::Body, crate::treatment::CourseLine)> = of else {
                    return Ok(None);
                };
                Ok(Some(line.start_mass + line.gain * bath.average(body, time)?))
            };
            let masses = lines.iter().map(mass).collect::<Result<Vec<_>>>()?;
            let known: Option<Vec<f64>> = masses.iter().copied().collect();
            let band = known.filter(|_| is_fitted).map(|masses| {
                [
                    masses.iter().copied().fold(f64::INFINITY, f64::min),
                    masses.iter().copied().fold(f64::NEG_INFINITY, f64::max),
                ]
            });
            let own = CourseNumber { value: d.value, interval: [None; 2], unit: d.unit };
            curve.push(CourseMoment {
                day,
                mass: masses.first().copied().flatten().filter(|_| is_fitted),
                band,
                average: self.share(bath, &own, time, Whereabouts::Average)?.value,
                centre: self.share(bath, &own, time, Whereabouts::Centre)?.value,
            });
        }
        Ok(curve)
    }

    /// Since when, and how far, three weighings one after the other lag behind what those before foretold.
    fn lags(&self, fits: &[FitThen]) -> Result<Option<(String, String)>> {
        for (k, fit) in fits.iter().filter_map(|(k, fit)| Some((*k, fit.as_ref().ok()?))) {
            let (Some(next), true) = (self.weighings.get(k..k + LAG_LAST), k >= LAG_FROM) else { continue };
            let Some((last, ..)) = self.logged.weighings.get(k + LAG_LAST - 1) else { continue };
            let bath = self.bath(*last)?;
            let mut lags = vec![f64::INFINITY; LAG_LAST];
            for diffusivity in [Some(fit.diffusivity), fit.interval[0], fit.interval[1]].into_iter().flatten() {
                let body = self.shape.body.scaled(diffusivity)?;
                let line = course_line(&body, &bath, &self.weighings[..k])?;
                for (weighing, lag) in next.iter().zip(&mut lags) {
                    let foretold = line.start_mass + line.gain * bath.average(&body, weighing.time)?;
                    *lag = lag.min(foretold - weighing.mass);
                }
            }
            let by = lag(&lags, fit.scatter.max(f64::MIN_POSITIVE))?;
            if by > LAG_BY {
                let date = self.logged.weighings.get(k).map_or_else(String::new, |(day, ..)| written_day(*day));
                let kilograms = lags.last().copied().unwrap_or_default();
                let detail = format!("{} kg below the forecast of {k} weighings", shown_value(kilograms));
                return Ok(Some((date, detail)));
            }
        }
        Ok(None)
    }
}

/// The whole day in which a moment lies.
fn whole(day: f64) -> String {
    written_day(day)
}

fn part(k: usize, n: usize) -> f64 {
    #[allow(clippy::cast_precision_loss, reason = "OK because these are points of a drawing")]
    let part = k as f64 / n as f64;
    part
}

/// The error of a log without anything to follow.
pub(super) fn nothing() -> Error {
    Error::new(ErrorKind::Range {
        name: "number of rows of the log with a day".to_owned(),
        value: 0.0,
        allowed: "at least 1".to_owned(),
    })
    .with_hint("fill in date as year-month-day, such as 2024-05-31")
}
