//! Outcomes in a notebook of the Rust language: its kernel calls a method of this name where a value has one, and reads what
//! the method prints.

use crate::figure::DrawnFigure;
use crate::study::{
    Advice, Assessment, BathFreezing, BathMixing, BathTiming, BathWashing, Checkup, Curves, Following, Lifts, Profiles,
    Report, Summary,
};

use super::{
    View, advice_view, assessment_view, bath_freeze_view, bath_mix_view, bath_time_view, bath_wash_view, checkup_view,
    curves_view, following_view, html_fragment, lifts_view, pieces_excerpt, profiles_view, report_view, summary_view,
};

/// Most rows of a table.
const ROWS: usize = 60;

/// Content of a kind between the marks that such a kernel looks for.
///
/// # Example
/// ```
/// let marked = woodstate::report::rich_content("text/html", "<p>oak</p>");
/// assert_eq!(marked, "EVCXR_BEGIN_CONTENT text/html\n<p>oak</p>\nEVCXR_END_CONTENT\n");
/// ```
///
/// # Source
/// The convention of the Rust kernel evcxr for values that show themselves: evcxr 0.22.0, `src/eval_context.rs`, which reads the lines
/// between these marks as content of that kind.
#[must_use]
pub fn rich_content(kind: &str, content: &str) -> String {
    format!("EVCXR_BEGIN_CONTENT {kind}\n{content}\nEVCXR_END_CONTENT\n")
}

#[allow(clippy::print_stdout, reason = "OK because such a kernel reads what the method prints")]
fn print(content: &str) {
    print!("{content}");
}

fn page(view: &View) -> String {
    rich_content("text/html", &html_fragment(view))
}

impl Assessment {
    /// Shows the first and last pieces, timbers and cautions in a notebook of the Rust language.
    pub fn evcxr_display(&self) {
        let places: Vec<usize> = (0..self.samples.len()).collect();
        let is_short = places.len() <= ROWS;
        print(&page(&if is_short { assessment_view(self) } else { pieces_excerpt(self, &places, ROWS) }));
    }
}

macro_rules! shows {
    ($($outcome:ident by $view:ident)*) => {
        $(impl $outcome {
            /// Shows the outcome in a notebook of the Rust language.
            pub fn evcxr_display(&self) {
                print(&page(&$view(self)));
            }
        })*
    };
}

shows! {
    Checkup by checkup_view
    Summary by summary_view
    Curves by curves_view
    Profiles by profiles_view
    Report by report_view
    Advice by advice_view
    Following by following_view
    Lifts by lifts_view
    BathMixing by bath_mix_view
    BathWashing by bath_wash_view
    BathTiming by bath_time_view
    BathFreezing by bath_freeze_view
}

impl DrawnFigure {
    /// Shows the figure in a notebook of the Rust language; nothing where it cannot be drawn.
    pub fn evcxr_display(&self) {
        let sheet = crate::figure::Sheet::of(crate::figure::SheetSize::Single, None);
        if let Ok(svg) = self.figure.svg(&sheet) {
            print(&rich_content("image/svg+xml", &svg));
        }
    }
}
