//! A figure of a report, drawn already.

use serde::Serialize;

/// A figure that was drawn: the page shows it and draws nothing.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct PageFigure {
    /// Its name in files: a kind such as `strength-curve`. It decides the section in which the figure stands.
    pub name: String,
    /// The figure as SVG with a title and a description; it stands in the page as it is, so it must be one of ours.
    pub svg: String,
    /// What it shows.
    pub caption: String,
    /// Names of the files of this figure in the folder of the report, its data among them.
    pub files: Vec<String>,
}

impl PageFigure {
    /// The section in which it stands, by the words of its name.
    pub(super) fn section(&self) -> &'static str {
        let is = |words: &[&str]| self.name.split('-').any(|part| words.contains(&part));
        match () {
            () if is(&["uptake", "washing"]) => "following",
            () if is(&["class", "classes"]) => "classes",
            () if is(&["depth", "profile"]) => "depth",
            () if is(&["group", "groups", "box", "spread"]) => "parts",
            () if is(&["strength", "curve", "residual", "residuals", "predicted"]) => "strength",
            () if is(&["lift", "weight", "support"]) => "lifting",
            () if is(&["bath", "treatment", "time"]) => "treatment",
            () => "state",
        }
    }
}
