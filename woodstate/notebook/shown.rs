//! What a value looks like: text always, and richer forms where there are any.

use crate::report::{View, html_fragment, text};

/// A value as a notebook or a terminal shows it. The text says everything that the other forms say.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Shown {
    /// Plain text.
    pub text: String,
    /// A part of a page, without scripts and with every value escaped.
    pub html: Option<String>,
    /// A drawing.
    pub svg: Option<String>,
    /// The drawing in pixels.
    pub png: Option<Vec<u8>>,
    /// Width and height of the drawing in pixels of a screen.
    pub size: Option<[u32; 2]>,
}

/// Characters in a line of text beside rich output.
const WIDTH: u16 = 160;

impl Shown {
    /// Plain text alone.
    #[must_use]
    pub fn of_text(text: impl Into<String>) -> Self {
        Self { text: text.into(), ..Self::default() }
    }

    /// A view as text and as a part of a page.
    #[must_use]
    pub fn of_view(view: &View) -> Self {
        let text = text(view, WIDTH).trim_end().to_owned();
        Self { text, html: Some(html_fragment(view)), ..Self::default() }
    }
}

/// Where a session says something.
pub trait Sink {
    /// Text that a cell prints; ends with a line break.
    fn say(&self, text: &str);
    /// What a function says of its work; ends with a line break.
    fn note(&self, text: &str);
    /// A value that is shown while a cell runs.
    fn show(&self, shown: &Shown);
    /// Takes away what the cell has shown so far; with `wait` once there is something new. What cannot be taken back stays.
    fn clear(&self, wait: bool) {
        let _ = wait;
    }
}
