//! What lies in a panel, and how it is painted.

use schemars::JsonSchema;
use serde::Serialize;

use super::Panel;

/// A layer of a panel, in the numbers of its axes.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Layer {
    /// Points, with bars where they are known.
    Points {
        /// How they look.
        stamp: Stamp,
        /// Across.
        x: Vec<f64>,
        /// Upwards.
        y: Vec<f64>,
        /// Ends of horizontal bars, one a point, or none at all.
        x_bars: Vec<Option<[f64; 2]>>,
        /// Ends of vertical bars, one a point, or none at all.
        y_bars: Vec<Option<[f64; 2]>>,
    },
    /// A line through points.
    Line {
        /// How it looks.
        stamp: Stamp,
        /// Across.
        x: Vec<f64>,
        /// Upwards.
        y: Vec<f64>,
    },
    /// A field between two lines with the same x.
    Band {
        /// How it looks.
        paint: Paint,
        /// Across.
        x: Vec<f64>,
        /// Lower line.
        low: Vec<f64>,
        /// Upper line.
        high: Vec<f64>,
    },
    /// A field between two lines with the same y.
    SideBand {
        /// How it looks.
        paint: Paint,
        /// Upwards.
        y: Vec<f64>,
        /// Left line.
        low: Vec<f64>,
        /// Right line.
        high: Vec<f64>,
    },
    /// Values that hold over a stretch of the vertical axis.
    Steps {
        /// How they look.
        stamp: Stamp,
        /// Where each begins and ends on the vertical axis.
        spans: Vec<[f64; 2]>,
        /// Its value on the horizontal axis.
        values: Vec<f64>,
        /// Ends of its bar, one a step, or none at all.
        bars: Vec<Option<[f64; 2]>>,
    },
    /// A box on its side: quartiles, median and whiskers at a row.
    Box {
        /// How it looks.
        stamp: Stamp,
        /// Its row.
        at: f64,
        /// Whisker, quartile, median, quartile, whisker.
        five: [f64; 5],
    },
    /// A field from one value to another at a row, such as a share.
    Field {
        /// How it looks.
        paint: Paint,
        /// Its row.
        at: f64,
        /// From and to.
        span: [f64; 2],
        /// What stands in it, where there is room.
        label: Option<String>,
    },
    /// A square of a map, with what stands in it.
    Cell {
        /// How it looks.
        paint: Paint,
        /// Its column and row.
        at: [f64; 2],
        /// What stands in it: large, and small below.
        labels: [String; 2],
    },
    /// A stretch of the vertical axis, across the panel, with a word at its right end.
    Stretch {
        /// How it looks.
        paint: Paint,
        /// From and to.
        span: [f64; 2],
        /// The word.
        label: String,
    },
    /// A straight line across the panel: at a value of x or of y.
    Rule {
        /// How it looks.
        stamp: Stamp,
        /// At this x, or at this y.
        at: At,
    },
    /// A word at a place.
    Word {
        /// Where.
        at: [f64; 2],
        /// The word.
        label: String,
    },
}

/// Where a straight line lies.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum At {
    /// Upright at this value.
    X(f64),
    /// Level at this value.
    Y(f64),
}

/// How a series looks: the same number gives the same colour, shape and dash everywhere.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Stamp {
    /// One of the series, counted from 0.
    Series(usize),
    /// What is beside the point: theory, a mean, a line of reference.
    Quiet,
    /// Those that share no series of their own.
    Others,
}

/// How a field is filled.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Paint {
    /// The pale colour of a series.
    Pale(usize),
    /// Pale grey.
    PaleGrey,
    /// Paler grey.
    Mist,
    /// On a scale from dark to light, 0 to 1.
    Ramp(f64),
    /// On a scale from one colour over pale to another, -1 to 1.
    Diverging(f64),
    /// White with slanting lines.
    Hatched,
    /// White with dots.
    Dotted,
    /// White.
    Empty,
}

impl Layer {
    /// Points, or steps, that do not lie between the ends of the axes.
    pub(super) fn n_outside(&self, panel: &Panel) -> usize {
        match self {
            Self::Points { x, y, .. } => {
                x.iter().zip(y).filter(|(x, y)| !(panel.x.holds(**x) && panel.y.holds(**y))).count()
            }
            Self::Steps { spans, values, .. } => {
                let is_in = |span: &[f64; 2]| span[1] > panel.y.range[0] && span[0] < panel.y.range[1];
                spans.iter().zip(values).filter(|(span, value)| !(panel.x.holds(**value) && is_in(span))).count()
            }
            _ => 0,
        }
    }
}
