//! A timber in its baths: what it gained, how fast, where it stands, when it will be done.

use crate::error::{CourseCautionCode, Error, ErrorKind, Result};
use crate::numeric::normal_quantile;
use crate::table::written_day;
use crate::treatment::Weighing;

use super::bath::Clock;
use super::logged::Logged;
use super::outcome::{CourseCaution, CourseNumber, TimberCourse, WeighingShown};
use super::shape::{shape, told};
use super::tracked::Followed;
use super::tracker::Tracker;

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
            _ if logged.steps.last().is_some_and(|(_, held)| *held <= 0.0) => {
                Some("its last bath holds none of the impregnant".to_owned())
            }
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

/// The error of a log without anything to follow.
pub(super) fn nothing() -> Error {
    Error::new(ErrorKind::Range {
        name: "number of rows of the log with a day".to_owned(),
        value: 0.0,
        allowed: "at least 1".to_owned(),
    })
    .with_hint("fill in date as year-month-day, such as 2024-05-31")
}
