//! Shares of each class.

use schemars::JsonSchema;
use serde::Serialize;

use crate::error::Result;
use crate::numeric::wilson_interval;

use super::ClassStanding;

/// How many have a class.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct ClassShare {
    /// The label of the class; `None` for those that are not decided.
    pub class: Option<String>,
    /// How many.
    pub n: usize,
    /// Share of those with a class reading, 0 to 1; `None` where there are none.
    pub share: Option<f64>,
    /// Interval of that share with the coverage of the settings.
    pub interval: Option<[f64; 2]>,
}

/// The classes of some pieces or timbers.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Classes {
    /// Those inside the scope of the scheme with a class reading, decided or not: what the shares are shares of.
    pub n: usize,
    /// Each class, the worst first, and at the end those that are not decided.
    pub shares: Vec<ClassShare>,
    /// Those without a class reading: not assessed, charred, treated, value unknown, ...
    pub unread: usize,
    /// Those whose wood the scheme was not made for.
    pub out_of_scope: usize,
    /// Those of unknown wood.
    pub scope_unknown: usize,
}

impl Classes {
    /// Counts classes.
    ///
    /// * `labels`: the classes of the scheme, the worst first
    /// * `coverage`: of the intervals, 0 to 1
    ///
    /// Those that are not decided are in the count that the shares are shares of, and in no class: left out, they would make
    /// the classes look surer than they are.
    ///
    /// # Errors
    /// A coverage that is not between 0 and 1.
    ///
    /// # Example
    /// ```
    /// use woodstate::site::{ClassStanding, Classes};
    /// let standing = [ClassStanding::Decided("I".into()), ClassStanding::NotDecided, ClassStanding::OutOfScope];
    /// let classes = Classes::of(&standing, &["I".into(), "II".into()], 0.95)?;
    /// assert_eq!((classes.n, classes.shares[0].share, classes.out_of_scope), (2, Some(0.5), 1));
    /// # Ok::<(), woodstate::error::Error>(())
    /// ```
    /// # Source
    /// Intervals: [`wilson_interval`].
    pub fn of<'a>(
        standings: impl IntoIterator<Item = &'a ClassStanding>,
        labels: &[String],
        coverage: f64,
    ) -> Result<Self> {
        let standings: Vec<&ClassStanding> = standings.into_iter().collect();
        let count = |is: &dyn Fn(&ClassStanding) -> bool| standings.iter().filter(|standing| is(standing)).count();
        let n = count(&|standing| matches!(standing, ClassStanding::Decided(_) | ClassStanding::NotDecided));
        let classes = labels.iter().map(Some).chain([None]);
        let share = |class: Option<&String>| {
            let hits = count(&|standing| match (standing, class) {
                (ClassStanding::Decided(label), Some(class)) => label == class,
                (ClassStanding::NotDecided, None) => true,
                _ => false,
            });
            let share = (n > 0).then(|| real(hits) / real(n));
            Ok(ClassShare { class: class.cloned(), n: hits, share, interval: wilson_interval(hits, n, coverage)? })
        };
        Ok(Self {
            n,
            shares: classes.map(share).collect::<Result<_>>()?,
            unread: count(&|standing| *standing == ClassStanding::Unread),
            out_of_scope: count(&|standing| *standing == ClassStanding::OutOfScope),
            scope_unknown: count(&|standing| *standing == ClassStanding::ScopeUnknown),
        })
    }
}

#[allow(clippy::cast_precision_loss, reason = "OK because no batch has 2^53 pieces")]
fn real(count: usize) -> f64 {
    count as f64
}
