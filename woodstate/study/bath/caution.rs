//! A caution about a bath, with its long story.

use schemars::JsonSchema;
use serde::Serialize;

use crate::error::BathCautionCode;

/// A caution about a bath, with its long story.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct BathCaution {
    /// The word.
    pub code: &'static str,
    /// One short clause.
    pub text: &'static str,
    /// What it rests on here; `None` where there is nothing to add.
    pub detail: Option<String>,
    /// Timbers that have it; none where it is about the bath.
    pub timbers: Vec<String>,
    /// What it means.
    pub meaning: &'static str,
    /// What follows.
    pub consequence: &'static str,
    /// Why it happens.
    pub cause: &'static str,
    /// What to do.
    pub cure: &'static str,
}

impl BathCaution {
    pub(super) fn new(of: BathCautionCode, detail: impl Into<String>) -> Self {
        Self::of_timbers(of, detail, Vec::new())
    }

    pub(super) fn of_timbers(of: BathCautionCode, detail: impl Into<String>, timbers: Vec<String>) -> Self {
        let story = of.story();
        let detail = Some(detail.into()).filter(|detail| !detail.is_empty());
        Self {
            code: story.code,
            text: story.text,
            detail,
            timbers,
            meaning: story.meaning,
            consequence: story.consequence,
            cause: story.cause,
            cure: story.cure,
        }
    }
}
