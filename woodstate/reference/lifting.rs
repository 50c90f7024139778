//! Numbers beside the lifting of a timber: examples of dynamic factors, size and time under load.

use serde::Deserialize;

use super::Reference;
use super::source::parse;
use crate::quantity::{Cited, Evidence};

const FILE: &str = "lifting.toml";

/// A published example of a dynamic factor; none is for waterlogged timber.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DynamicExample {
    /// What it is for.
    pub name: String,
    /// The factor, or its part that does not change with the load.
    pub constant: f64,
    #[serde(default)]
    root: f64,
    #[serde(default)]
    root_at: f64,
    from: Option<f64>,
    to: Option<f64>,
    source: String,
    place: String,
    evidence: Evidence,
}

impl DynamicExample {
    /// The factor for a load, t; a load below or above the range counts as the end of the range.
    ///
    /// ```text
    /// c + r √(L₀ / load)
    /// ```
    ///
    /// # Example
    /// ```
    /// let reference = woodstate::reference::Reference::shipped()?;
    /// let inshore = &reference.dynamic_examples()[1];
    /// assert!((inshore.factor(10.0) - 1.2281).abs() < 5e-5);
    /// # Ok::<(), woodstate::error::Error>(())
    /// ```
    #[must_use]
    pub fn factor(&self, load: f64) -> f64 {
        let least = load.max(self.from.unwrap_or(load));
        let counted = least.min(self.to.unwrap_or(least));
        if self.root > 0.0 { self.constant + self.root * (self.root_at / counted).sqrt() } else { self.constant }
    }
}

/// What decides the size effect of bending strength, lengths in mm.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SizeEffect {
    /// The exponent m.
    pub exponent: f64,
    /// Height of the tested piece, mm.
    pub depth: f64,
    /// Span of the tested piece, mm, with one load in the middle.
    pub span: f64,
    /// What an even load stands for beside one in the middle.
    pub even_load: f64,
    source: String,
    place: String,
    evidence: Evidence,
}

/// The curve of strength under a load that lasts.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TimeEffect {
    /// a, b, c of SL = a + b t^(-c), %, t in s.
    pub madison: [f64; 3],
    source: String,
    place: String,
    evidence: Evidence,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Lifting {
    pub(super) dynamic: Vec<DynamicExample>,
    size: SizeEffect,
    time: TimeEffect,
}

impl Lifting {
    pub(super) fn sources(&self) -> impl Iterator<Item = &String> {
        self.dynamic.iter().map(|one| &one.source).chain([&self.size.source, &self.time.source])
    }
}

pub(super) fn read() -> Result<Lifting, (&'static str, String)> {
    parse(FILE, include_str!("lifting.toml"))
}

impl Reference {
    /// Published examples of dynamic factors: to be shown, never applied unasked.
    #[must_use]
    pub fn dynamic_examples(&self) -> &[DynamicExample] {
        &self.lifting.dynamic
    }

    /// The origin of an example.
    #[must_use]
    pub fn dynamic_source(&self, example: &DynamicExample) -> Cited {
        let used_for = format!("example of a dynamic factor, {}", example.name);
        self.cited(used_for, &example.source, &example.place, example.evidence)
    }

    /// What decides the size effect of bending strength.
    #[must_use]
    pub fn size_effect(&self) -> &SizeEffect {
        &self.lifting.size
    }

    /// Its origin.
    #[must_use]
    pub fn size_source(&self) -> Cited {
        let size = &self.lifting.size;
        let used_for = format!("size effect of bending strength: exponent {}, dry clear Douglas-fir", size.exponent);
        self.cited(used_for, &size.source, &size.place, size.evidence)
    }

    /// The curve of strength under a load that lasts.
    #[must_use]
    pub fn time_effect(&self) -> &TimeEffect {
        &self.lifting.time
    }

    /// Its origin.
    #[must_use]
    pub fn time_source(&self) -> Cited {
        let TimeEffect { madison: [a, b, c], source, place, evidence } = &self.lifting.time;
        let used_for = format!("strength under a load that lasts: {a} + {b} t^-{c} %, dry wood");
        self.cited(used_for, source, place, *evidence)
    }
}
