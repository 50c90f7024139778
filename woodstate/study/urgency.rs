//! What makes a timber urgent: rules that can be chosen and limits that can be set.

use schemars::JsonSchema;
use serde::Serialize;

/// A rule of urgency. All are proposals of this project, not published limits.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum UrgencyRule {
    /// The class of the worst zone is decided as the worst of the scheme.
    WorstClass,
    /// Reduced sulfur was measured above the limit.
    ReducedSulfur,
    /// Iron was measured above the limit, or iron is recorded as the metal.
    Iron,
    /// There is a class reading, and it does not decide a class.
    ClassNotDecided,
}

impl UrgencyRule {
    /// All rules, in the order in which they are listed.
    pub const ALL: [Self; 4] = [Self::WorstClass, Self::ReducedSulfur, Self::Iron, Self::ClassNotDecided];

    /// The word in the study file and in JSON.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::WorstClass => "worst-class",
            Self::ReducedSulfur => "reduced-sulfur",
            Self::Iron => "iron",
            Self::ClassNotDecided => "class-not-decided",
        }
    }

    /// What the rule asks, in one clause.
    pub(super) fn asks(self, limit: f64) -> String {
        match self {
            Self::WorstClass => "the worst zone is decided as the worst class of the scheme".to_owned(),
            Self::ReducedSulfur => format!("reduced sulfur was measured above {limit} mg/kg"),
            Self::Iron => format!("iron in wood was measured above {limit} mg/kg, or the recorded metal is iron"),
            Self::ClassNotDecided => "there is a class reading and it does not decide a class".to_owned(),
        }
    }

    /// What to do next, in one sentence.
    pub(super) fn next(self) -> &'static str {
        match self {
            Self::WorstClass => "Keep it wet and supported over its whole length until its treatment is decided.",
            Self::ReducedSulfur => {
                "Have it judged before it dries: reduced sulfur turns to acid in moist wood where iron is present (Fors and \
                 Sandström 2006, Chem. Soc. Rev. 35:399)."
            }
            Self::Iron => "Have iron and sulfur measured before a treatment is chosen (common practice, no source).",
            Self::ClassNotDecided => "Measure more places, or state the uncertainty of what was measured.",
        }
    }
}

/// What a report is to say, as the study file states it.
#[derive(Debug, Clone, PartialEq)]
pub struct ReportOptions {
    /// Day of the report, year-month-day.
    pub date: Option<String>,
    /// Columns that divide the site; `None` looks for contexts or sites.
    pub by: Option<Vec<String>>,
    /// What is fitted; `None` takes the test that most pieces have.
    pub value: Option<String>,
    /// Against what; `None` takes the residual basic density.
    pub against: Option<String>,
    /// The rules of urgency, in their order.
    pub urgent: Vec<UrgencyRule>,
    /// Reduced sulfur above which a timber is urgent, mg/kg of oven-dry mass.
    pub reduced_sulfur_limit: f64,
    /// Iron above which a timber is urgent, mg/kg of oven-dry mass.
    pub iron_limit: f64,
}

impl Default for ReportOptions {
    /// All rules, and limits of 0: whatever was found is told.
    fn default() -> Self {
        Self {
            date: None,
            by: None,
            value: None,
            against: None,
            urgent: UrgencyRule::ALL.to_vec(),
            reduced_sulfur_limit: 0.0,
            iron_limit: 0.0,
        }
    }
}
