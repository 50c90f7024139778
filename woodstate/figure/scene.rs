//! A drawing: paths, points and texts in hundredths of a millimetre, with no thought of axes any more.

use super::font::Face;
use super::palette::{Rgb, Shape};

/// A place: right and down, in hundredths of a millimetre.
pub(super) type Spot = [f64; 2];

/// A drawing.
#[derive(Debug, Clone)]
pub(super) struct Scene {
    pub(super) size: Spot,
    /// What it is drawn on; `None` for nothing.
    pub(super) ground: Option<Rgb>,
    pub(super) groups: Vec<Group>,
}

/// Marks that belong together, and the window that they are seen through.
#[derive(Debug, Clone)]
pub(super) struct Group {
    pub(super) id: String,
    /// Left, top, right, bottom.
    pub(super) window: Option<[f64; 4]>,
    pub(super) marks: Vec<Mark>,
}

/// A mark.
#[derive(Debug, Clone)]
pub(super) enum Mark {
    Path {
        lines: Vec<Vec<Spot>>,
        is_closed: bool,
        fill: Option<Rgb>,
        stroke: Option<Stroke>,
    },
    /// A field that what lies below is seen through.
    Veil {
        corners: Vec<Spot>,
        rgb: Rgb,
        share: f64,
    },
    Points {
        at: Vec<Spot>,
        shape: Shape,
        radius: f64,
        fill: Option<Rgb>,
        stroke: Stroke,
    },
    Text(Text),
    /// A PNG over the whole drawing.
    Picture {
        size: Spot,
        base64: String,
    },
}

/// A pen.
#[derive(Debug, Clone)]
pub(super) struct Stroke {
    pub(super) rgb: Rgb,
    pub(super) width: f64,
    pub(super) dash: Vec<f64>,
}

/// A text on one line.
#[derive(Debug, Clone)]
pub(super) struct Text {
    /// Where its line begins, ends or has its middle.
    pub(super) at: Spot,
    pub(super) anchor: Anchor,
    /// Whether it runs upwards.
    pub(super) is_upright: bool,
    pub(super) runs: Vec<Run>,
    /// Height of an em.
    pub(super) size: f64,
    pub(super) face: Face,
    pub(super) rgb: Rgb,
}

/// A stretch of a text.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Run {
    pub(super) text: String,
    pub(super) level: Level,
    pub(super) is_italic: bool,
}

/// On the line, above or below it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Level {
    Line,
    Raised,
    Lowered,
}

/// What of a text stands at its place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Anchor {
    Start,
    Middle,
    End,
}

/// Size of what is raised or lowered, as a share of the text.
pub(super) const SMALL: f64 = 0.75;

/// How far up and down it goes, as a share of the text.
pub(super) const RAISED: f64 = 0.36;
pub(super) const LOWERED: f64 = 0.18;

impl Stroke {
    pub(super) fn of(rgb: Rgb, width: f64) -> Self {
        Self { rgb, width, dash: Vec::new() }
    }
}

/// A text and the box that it fills.
#[derive(Debug, Clone, PartialEq)]
pub struct LabelBox {
    /// The text.
    pub text: String,
    /// Left, top, right, bottom, mm.
    pub edges: [f64; 4],
}

impl Text {
    pub(super) fn width(&self) -> f64 {
        width(&self.runs, self.face, self.size)
    }

    /// The box from the height of a capital to the depth of a g.
    pub(super) fn label_box(&self) -> LabelBox {
        let (wide, high, deep) = (self.width(), 0.73 * self.size, 0.21 * self.size);
        let before = match self.anchor {
            Anchor::Start => 0.0,
            Anchor::Middle => wide / 2.0,
            Anchor::End => wide,
        };
        let [x, y] = self.at;
        let edges = match self.is_upright {
            false => [x - before, y - high, x - before + wide, y + deep],
            true => [x - high, y + before - wide, x + deep, y + before],
        };
        let text = self.runs.iter().map(|run| run.text.as_str()).collect();
        LabelBox { text, edges: edges.map(|edge| edge / 100.0) }
    }
}

/// How wide runs are.
pub(super) fn width(runs: &[Run], face: Face, size: f64) -> f64 {
    let one = |run: &Run| {
        let face = if run.is_italic { Face::Italic } else { face };
        face.width(&run.text, if run.level == Level::Line { size } else { size * SMALL })
    };
    runs.iter().map(one).sum()
}

impl Scene {
    /// The boxes of its texts.
    pub(super) fn labels(&self) -> Vec<LabelBox> {
        let text = |mark: &Mark| match mark {
            Mark::Text(text) => Some(text.label_box()),
            _ => None,
        };
        self.groups.iter().flat_map(|group| &group.marks).filter_map(text).collect()
    }
}
