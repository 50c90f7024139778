//! What may be chosen for a depth profile.

use crate::error::Result;

use super::increment::range;
use super::{Degraded, DepthModel, Section, Threshold};

/// What may be chosen for a depth profile.
#[derive(Debug, Clone, PartialEq)]
pub struct ProfileOptions {
    /// On which side of the scale wood is degraded.
    pub degraded: Degraded,
    /// Up to which value wood counts as sound; `None` where no soft rim is asked for.
    pub threshold: Option<f64>,
    /// The section of the timber; `None` where unknown.
    pub section: Option<Section>,
    /// The model; `None` for the one with the smallest AICc.
    pub model: Option<DepthModel>,
    /// Coverage of all intervals, between 0 and 1.
    pub coverage: f64,
    /// Profiles that are drawn again; none at 0.
    pub replicates: usize,
    /// Seed of the draws.
    pub seed: u64,
}

impl ProfileOptions {
    /// No threshold and no section, the model chosen, coverage 0.95, 500 draws with seed 1.
    #[must_use]
    pub fn plain(degraded: Degraded) -> Self {
        Self { degraded, threshold: None, section: None, model: None, coverage: 0.95, replicates: 500, seed: 1 }
    }

    /// The same with a threshold.
    #[must_use]
    pub fn with_threshold(self, threshold: f64) -> Self {
        Self { threshold: Some(threshold), ..self }
    }

    /// The same for a section.
    #[must_use]
    pub fn with_section(self, section: Section) -> Self {
        Self { section: Some(section), ..self }
    }

    pub(super) fn limit(&self) -> Option<Threshold> {
        self.threshold.map(|value| Threshold { value, degraded: self.degraded })
    }

    pub(super) fn check(&self) -> Result<()> {
        if !(self.coverage > 0.0 && self.coverage < 1.0) {
            return Err(range("coverage", self.coverage, "a number between 0 and 1"));
        }
        match self.threshold {
            Some(threshold) if !threshold.is_finite() => Err(range("threshold", threshold, "a finite number")),
            _ => Ok(()),
        }
    }
}
