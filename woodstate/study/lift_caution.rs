//! A caution about the lift of a timber.

use schemars::JsonSchema;
use serde::Serialize;

use crate::error::LiftCautionCode;

/// A caution about one timber.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct LiftCaution {
    /// The word.
    pub code: &'static str,
    /// One short clause.
    pub text: &'static str,
    /// What it is about here.
    pub detail: Option<String>,
    /// Which caution.
    #[serde(skip)]
    pub of: LiftCautionCode,
}

impl LiftCaution {
    pub(super) fn new(of: LiftCautionCode, detail: Option<String>) -> Self {
        let story = of.story();
        Self { code: story.code, text: story.text, detail, of }
    }
}
