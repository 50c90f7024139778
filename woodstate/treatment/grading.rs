//! How far wood is degraded, in three steps, by limits that somebody stands behind.

use crate::error::{Error, ErrorKind, Result};
use crate::quantity::Evidence;
use crate::reference::{Boundary, Grade, Scheme};

/// Two limits on one quantity: beyond the first wood is heavily degraded, on the other side of the second slightly.
///
/// Limits belong to the woods they were made for; whoever calls this knows for which wood it holds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Grading {
    heavy: f64,
    slight: f64,
    is_high_worse: bool,
    is_worse_owner: bool,
    /// How well the limits are known as limits of these words.
    pub evidence: Evidence,
}

impl Grading {
    /// The grading of a class scheme: its worst class is heavily degraded, its best one slightly, all between moderately.
    ///
    /// That the worst class of a scheme is what authors call heavily degraded is a reading of ours, so the evidence is a
    /// proposal whatever the scheme's own.
    ///
    /// # Errors
    /// [`ErrorKind::Range`] for a scheme that is not cut into bands from the worst to the best.
    ///
    /// # Example
    /// ```
    /// use woodstate::reference::{Boundary, Grade, Reference};
    /// use woodstate::treatment::Grading;
    /// let oak = Grading::of_scheme(Reference::shipped()?.scheme("oak-water-content")?, Boundary::Worse)?;
    /// assert_eq!(oak.grade(534.1), Grade::Heavy);
    /// assert_eq!(oak.grade(400.0), Grade::Heavy);
    /// assert_eq!(oak.grade(184.9), Grade::Slight);
    /// # Ok::<(), woodstate::error::Error>(())
    /// ```
    pub fn of_scheme(scheme: &Scheme, boundary: Boundary) -> Result<Self> {
        let ends = |class: Option<&crate::reference::ClassBand>| class.map(|class| (class.from, class.to));
        let limits = match (ends(scheme.classes.first()), ends(scheme.classes.last())) {
            (Some((Some(heavy), None)), Some((None, Some(slight)))) => Some((heavy, slight, true)),
            (Some((None, Some(heavy))), Some((Some(slight), None))) => Some((heavy, slight, false)),
            _ => None,
        };
        let Some((heavy, slight, is_high_worse)) = limits else {
            return Err(Error::new(ErrorKind::Range {
                name: format!("classes of {}", scheme.id),
                value: 0.0,
                allowed: "classes from the worst to the best, the first and the last open".to_owned(),
            }));
        };
        let is_worse_owner = boundary == Boundary::Worse;
        Ok(Self { heavy, slight, is_high_worse, is_worse_owner, evidence: Evidence::Proposal })
    }

    /// The grading of a laboratory by residual basic density, %: heavily degraded below the first limit, slightly from the
    /// second on.
    ///
    /// # Errors
    /// [`ErrorKind::Range`] where the first limit is not below the second.
    ///
    /// # Example
    /// ```
    /// use woodstate::reference::Grade;
    /// use woodstate::treatment::Grading;
    /// let own = Grading::of_residual_density(40.0, 80.0)?;
    /// assert_eq!([39.9, 40.0, 80.0].map(|residual| own.grade(residual)), [Grade::Heavy, Grade::Middle, Grade::Slight]);
    /// assert!(Grading::of_residual_density(80.0, 40.0).is_err());
    /// # Ok::<(), woodstate::error::Error>(())
    /// ```
    pub fn of_residual_density(heavy: f64, slight: f64) -> Result<Self> {
        if heavy < slight && heavy > 0.0 && slight.is_finite() {
            let evidence = Evidence::Stated;
            return Ok(Self { heavy, slight, is_high_worse: false, is_worse_owner: false, evidence });
        }
        Err(Error::new(ErrorKind::Range {
            name: "limit of heavily degraded wood, % residual basic density".to_owned(),
            value: heavy,
            allowed: format!("a number above 0 and below the limit of slightly degraded wood, {slight} %"),
        }))
    }

    /// The grade of a value, in the unit of the quantity of the limits.
    #[must_use]
    pub fn grade(&self, value: f64) -> Grade {
        let beyond = |limit: f64, owner: bool| {
            if self.is_high_worse {
                value > limit || (owner && value >= limit)
            } else {
                value < limit || (owner && value <= limit)
            }
        };
        if beyond(self.heavy, self.is_worse_owner) {
            Grade::Heavy
        } else if beyond(self.slight, self.is_worse_owner) {
            Grade::Middle
        } else {
            Grade::Slight
        }
    }
}
