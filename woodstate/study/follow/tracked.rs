//! A timber that can be fitted: its diffusivity, where it stands, its forecasts, whether it lags.

use crate::error::{ErrorKind, Result};
use crate::quantity::shown_value;
use crate::table::{day_of, written_day};
use crate::treatment::{
    BathHistory, Body, CourseFit, CourseLine, Weighing, Whereabouts, course_line, fit_course, lag, time_to_reach,
};

use super::bath::{Clock, history};
use super::logged::Logged;
use super::outcome::{CourseDay, CourseMoment, CourseNumber, ForecastThen, TimberCourse};
use super::shape::Shape;
use super::tracker::Tracker;

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

/// A fit of the first so many weighings, or why there is none.
pub(super) type FitThen = (usize, std::result::Result<CourseFit, String>);

/// A timber that can be fitted.
pub(super) struct Followed<'a> {
    pub(super) tracker: &'a Tracker<'a>,
    pub(super) shape: &'a Shape,
    pub(super) clock: &'a Clock,
    pub(super) logged: &'a Logged,
    pub(super) weighings: &'a [Weighing],
}

impl Followed<'_> {
    fn bath(&self, until: f64) -> Result<BathHistory> {
        history(&self.logged.steps, self.clock, until)
    }

    /// Fits of the first weighings, from five on to all of them; of many weighings every second, or third.
    pub(super) fn fits(&self) -> Result<Vec<FitThen>> {
        const LEAST: usize = 5;
        let n = self.weighings.len();
        let mut fits = Vec::new();
        let every = (n + 1).saturating_sub(LEAST).div_ceil(FITS).max(1);
        for k in (LEAST..=n).filter(|k| (n - k).is_multiple_of(every)) {
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
    pub(super) fn fill(&self, course: &mut TimberCourse, fits: &[FitThen]) -> Result<()> {
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
            Ok(diffusivity.map(of).transpose()?.flatten().map(written_day))
        };
        let value = of(d.value)?;
        let [slow, fast] = d.interval;
        Ok(CourseDay {
            day: value.map(written_day),
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
        for (_, (k, fit)) in known.iter().rev().enumerate().filter(|(place, _)| place.is_multiple_of(every)) {
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
        let ahead = target.and_then(day_of).map_or(0.0, |day| day - last_row);
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
                let Some((body, line)): &Option<(Body, CourseLine)> = of else {
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
    pub(super) fn lags(&self, fits: &[FitThen]) -> Result<Option<(String, String)>> {
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

fn part(k: usize, n: usize) -> f64 {
    #[allow(clippy::cast_precision_loss, reason = "OK because these are points of a drawing")]
    let part = k as f64 / n as f64;
    part
}
