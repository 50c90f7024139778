//! The models of a depth profile.

use crate::error::{Error, ErrorKind, Result};

/// How a quantity changes with depth.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum DepthModel {
    /// The same everywhere.
    Constant,
    /// A straight line.
    Linear,
    /// Two straight lines that meet at the break.
    BrokenStick,
    /// One level outside the break, another one inside.
    Step,
    /// From one level to another in an S about the break.
    Logistic,
    /// From the surface towards a level inside, fast at first.
    Exponential,
}

/// One parameter of a model.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct DepthParameter {
    /// Its name.
    pub name: &'static str,
    /// What it means.
    pub meaning: &'static str,
    /// Its unit from that of the quantity.
    pub unit: DepthUnit,
}

/// The unit of a parameter.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DepthUnit {
    /// That of the quantity.
    Value,
    /// That of the quantity for each mm.
    ValuePerDepth,
    /// mm.
    Depth,
}

impl DepthUnit {
    /// The UCUM code, from that of the quantity.
    #[must_use]
    pub fn of(self, value: &str) -> String {
        match self {
            Self::Value => value.to_owned(),
            Self::ValuePerDepth if value == "1" => "/mm".to_owned(),
            Self::ValuePerDepth => format!("{value}/mm"),
            Self::Depth => "mm".to_owned(),
        }
    }
}

const fn value(name: &'static str, meaning: &'static str) -> DepthParameter {
    DepthParameter { name, meaning, unit: DepthUnit::Value }
}

const fn depth(name: &'static str, meaning: &'static str) -> DepthParameter {
    DepthParameter { name, meaning, unit: DepthUnit::Depth }
}

const fn slope(name: &'static str, meaning: &'static str) -> DepthParameter {
    DepthParameter { name, meaning, unit: DepthUnit::ValuePerDepth }
}

const BREAK: DepthParameter = depth("break", "depth of the break");
const SURFACE: DepthParameter = value("surface", "value at the surface");
const OUTSIDE: DepthParameter = value("outside", "level outside the break");
const INSIDE: DepthParameter = value("inside", "level inside");

impl DepthModel {
    /// All models, those with few parameters first.
    pub const ALL: [Self; 6] =
        [Self::Constant, Self::Linear, Self::Step, Self::Exponential, Self::BrokenStick, Self::Logistic];

    /// Its word.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Constant => "constant",
            Self::Linear => "linear",
            Self::BrokenStick => "broken_stick",
            Self::Step => "step",
            Self::Logistic => "logistic",
            Self::Exponential => "exponential",
        }
    }

    /// The model with this word.
    ///
    /// # Errors
    /// [`ErrorKind::Name`] with the words there are.
    pub fn of_word(word: &str) -> Result<Self> {
        let found = Self::ALL.into_iter().find(|model| model.word() == word.trim());
        let allowed = || Self::ALL.iter().map(|model| model.word().to_owned()).collect();
        let name = || ErrorKind::Name { what: "depth model", found: word.to_owned(), allowed: allowed() };
        found.ok_or_else(|| Error::new(name()))
    }

    /// What it says, in one clause.
    #[must_use]
    pub fn meaning(self) -> &'static str {
        match self {
            Self::Constant => "the same at every depth",
            Self::Linear => "an even change with depth",
            Self::BrokenStick => "two straight lines that meet at a break",
            Self::Step => "two levels with a sharp border",
            Self::Logistic => "two levels with a gradual border",
            Self::Exponential => "a change that is fast at the surface and levels out inside",
        }
    }

    /// Its formula; x is the depth, mm.
    #[must_use]
    pub fn formula(self) -> &'static str {
        match self {
            Self::Constant => "y = level",
            Self::Linear => "y = surface + slope x",
            Self::BrokenStick => "y = surface + slope x + change max(x - break, 0)",
            Self::Step => "y = outside for x < break, inside for x >= break",
            Self::Logistic => "y = inside + (outside - inside) / (1 + exp(2 ln 9 (x - break) / width))",
            Self::Exponential => "y = inside + (surface - inside) exp(-x / length)",
        }
    }

    /// Its parameters, in the order of all lists of parameters.
    #[must_use]
    pub fn parameters(self) -> &'static [DepthParameter] {
        match self {
            Self::Constant => const { &[value("level", "the level")] },
            Self::Linear => const { &[SURFACE, slope("slope", "change for each mm")] },
            Self::BrokenStick => {
                const {
                    &[
                        SURFACE,
                        slope("slope", "change for each mm outside the break"),
                        slope("change", "what the slope changes by at the break"),
                        BREAK,
                    ]
                }
            }
            Self::Step => const { &[OUTSIDE, INSIDE, BREAK] },
            Self::Logistic => {
                const { &[OUTSIDE, INSIDE, BREAK, depth("width", "width of the border, from 10 to 90 % of the change")] }
            }
            Self::Exponential => {
                const { &[SURFACE, INSIDE, depth("length", "depth over which the difference falls to 37 %")] }
            }
        }
    }

    /// Number of parameters.
    #[must_use]
    pub fn n_parameters(self) -> usize {
        self.parameters().len()
    }

    /// Which parameter is the break, where the model has one.
    #[must_use]
    pub fn break_place(self) -> Option<usize> {
        match self {
            Self::Constant | Self::Linear | Self::Exponential => None,
            Self::Step | Self::Logistic => Some(2),
            Self::BrokenStick => Some(3),
        }
    }
}
