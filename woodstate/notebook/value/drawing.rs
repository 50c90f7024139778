//! A figure on its sheet.

use std::fmt;
use std::sync::{Arc, OnceLock};

use starlark::values::{Heap, NoSerialize, ProvidesStaticType, StarlarkValue, Value, starlark_value};

use crate::error::Result;
use crate::figure::{Figure, Sheet};
use crate::notebook::Shown;
use crate::notebook::context::Context;

use super::a_value;

/// A figure and the sheet that it is drawn on.
#[derive(Debug, Clone, ProvidesStaticType, NoSerialize)]
pub(in crate::notebook) struct DrawingValue {
    pub(in crate::notebook) figure: Arc<Figure>,
    pub(in crate::notebook) sheet: Sheet,
    drawn: Arc<OnceLock<Shown>>,
}
a_value!(DrawingValue);

/// Dots per inch of a figure in a notebook.
const DPI: u32 = 192;

impl DrawingValue {
    /// A figure on a sheet; refuses what cannot be drawn.
    pub(in crate::notebook) fn new(figure: Figure, sheet: Sheet) -> Result<Self> {
        let made = Self { figure: Arc::new(figure), sheet, drawn: Arc::default() };
        made.figure.size(&made.sheet)?;
        Ok(made)
    }

    /// Draws it before it is shown, so that a cell can be stopped meanwhile.
    pub(in crate::notebook) fn draw(&self, context: &Context) -> Result<()> {
        let drawing = self.clone();
        context.apart(move || drop(drawing.shown()))
    }

    /// The drawing, with its caption as text.
    pub(in crate::notebook) fn shown(&self) -> Shown {
        let drawn = || {
            let (svg, png) = (self.figure.svg(&self.sheet).ok(), self.figure.png(&self.sheet, DPI).ok());
            let size = self.figure.size(&self.sheet).ok().map(|size| size.map(pixels));
            Shown { text: format!("{}\n{}", self.figure.title, self.figure.caption), html: None, svg, png, size }
        };
        self.drawn.get_or_init(drawn).clone()
    }
}

/// Pixels of a screen of so many mm: 96 an inch, as browsers count.
#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "OK because a figure has between 20 and 1200 mm"
)]
fn pixels(mm: f64) -> u32 {
    (mm / 25.4 * 96.0).round() as u32
}

impl fmt::Display for DrawingValue {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "figure {}", self.figure.name)
    }
}

#[starlark_value(type = "figure")]
impl<'v> StarlarkValue<'v> for DrawingValue {
    fn collect_str(&self, collector: &mut String) {
        collector.push_str(&self.shown().text);
    }

    fn get_attr(&self, name: &str, heap: Heap<'v>) -> Option<Value<'v>> {
        match name {
            "caption" => Some(heap.alloc(self.figure.caption.as_str())),
            "title" => Some(heap.alloc(self.figure.title.as_str())),
            "description" => Some(heap.alloc(self.figure.alternative.as_str())),
            _ => None,
        }
    }

    fn dir_attr(&self) -> Vec<String> {
        ["caption", "description", "title"].map(str::to_owned).to_vec()
    }
}
