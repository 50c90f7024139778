//! The names of the models, and what each says of itself.

use crate::error::{Error, ErrorKind, Result, near};
use crate::quantity::Evidence;

use super::{exponential, gompertz, linear, logistic, power, threshold};

/// Unit of a parameter, from those of strength y and of state x.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ParameterUnit {
    /// That of strength.
    Y,
    /// That of state.
    X,
    /// Strength per state.
    YPerX,
    /// One over that of state.
    PerX,
    /// None.
    One,
}

impl ParameterUnit {
    /// As UCUM writes it, for units of y and x.
    ///
    /// # Example
    /// ```
    /// use woodstate::strength::ParameterUnit;
    /// assert_eq!(ParameterUnit::YPerX.of("MPa", "%"), "MPa/%");
    /// assert_eq!(ParameterUnit::PerX.of("MPa", "kg/m3"), "m3/kg");
    /// ```
    #[must_use]
    pub fn of(self, y: &str, x: &str) -> String {
        let over = |above: &str| match x.split_once('/') {
            None => format!("{above}/{x}"),
            Some((mass, volume)) if above == "1" => format!("{volume}/{mass}"),
            Some((mass, volume)) => format!("{above}.{volume}/{mass}"),
        };
        match self {
            Self::Y => y.to_owned(),
            Self::X => x.to_owned(),
            Self::YPerX if y == "1" => over("1"),
            Self::YPerX => over(y),
            Self::PerX => over("1"),
            Self::One => "1".to_owned(),
        }
    }
}

/// A parameter: its name, its unit, what it means.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ParameterSpec {
    /// Its letter in the formula.
    pub name: &'static str,
    /// Its unit.
    pub unit: ParameterUnit,
    /// What it means, in one clause.
    pub meaning: &'static str,
}

/// What a model says of itself.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ModelSpec {
    /// Its word in commands and files.
    pub word: &'static str,
    /// What it says of the wood, in one sentence.
    pub meaning: &'static str,
    /// Its parameters, in order.
    pub parameters: &'static [ParameterSpec],
    /// Where the form comes from.
    pub source: &'static str,
    /// How well that is known.
    pub evidence: Evidence,
}

/// A curve with a formula.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum CurveModel {
    /// A straight line.
    Linear,
    /// A power of x.
    Power,
    /// An exponential function of x.
    Exponential,
    /// A symmetric S between 0 and a plateau.
    Logistic,
    /// An S between 0 and a plateau that is not symmetric.
    Gompertz,
    /// A plateau and, beyond a limit, a straight line.
    Threshold,
}

impl CurveModel {
    /// All of them, the simplest first.
    pub const ALL: [Self; 6] =
        [Self::Linear, Self::Power, Self::Exponential, Self::Logistic, Self::Gompertz, Self::Threshold];

    /// What it says of itself.
    #[must_use]
    pub fn spec(self) -> &'static ModelSpec {
        match self {
            Self::Linear => &linear::SPEC,
            Self::Power => &power::SPEC,
            Self::Exponential => &exponential::SPEC,
            Self::Logistic => &logistic::SPEC,
            Self::Gompertz => &gompertz::SPEC,
            Self::Threshold => &threshold::SPEC,
        }
    }

    /// Its word.
    #[must_use]
    pub fn word(self) -> &'static str {
        self.spec().word
    }

    /// Number of its parameters.
    #[must_use]
    pub fn n_parameters(self) -> usize {
        self.spec().parameters.len()
    }

    /// Whether its first parameter multiplies all of it, so that groups may share its shape and have each their own scale.
    #[must_use]
    pub fn has_scale(self) -> bool {
        matches!(self, Self::Power | Self::Exponential | Self::Logistic | Self::Gompertz)
    }

    /// The model with this word.
    ///
    /// # Errors
    /// [`ErrorKind::Name`] with the models there are, the nearest first.
    ///
    /// # Example
    /// ```
    /// use woodstate::strength::CurveModel;
    /// assert_eq!(CurveModel::of_word("power")?, CurveModel::Power);
    /// let error = CurveModel::of_word("powr").unwrap_err().to_string();
    /// assert!(error.starts_with("unknown strength model \"powr\"; known: power, linear"));
    /// # Ok::<(), woodstate::error::Error>(())
    /// ```
    pub fn of_word(word: &str) -> Result<Self> {
        let all = || Self::ALL.into_iter().map(Self::word);
        Self::ALL.into_iter().find(|model| model.word() == word).ok_or_else(|| unknown(word, all().collect()))
    }
}

/// The error for a model that does not exist: all there are, those that are near first.
pub(super) fn unknown(found: &str, all: Vec<&'static str>) -> Error {
    let mut allowed = near(found, all.iter().copied());
    let others: Vec<&str> = all.into_iter().filter(|word| !allowed.contains(word)).collect();
    allowed.extend(others);
    let allowed = allowed.into_iter().map(str::to_owned).collect();
    Error::new(ErrorKind::Name { what: "strength model", found: found.to_owned(), allowed })
}
