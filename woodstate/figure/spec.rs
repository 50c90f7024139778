//! A figure as plain data: what is drawn, what it says, and the numbers behind it.

use schemars::JsonSchema;
use serde::Serialize;

use super::data::FigureData;
use super::layer::{Layer, Paint, Stamp};

/// A figure. Everything may be changed before it is drawn.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Figure {
    /// The kind, such as `density-water`.
    pub name: String,
    /// What it shows, in a few words.
    pub title: String,
    /// The caption: what is shown, what bars mean, how many pieces and timbers, what is left out.
    pub caption: String,
    /// What it shows, for those who do not see it.
    pub alternative: String,
    /// What bars mean.
    pub bars: Bars,
    /// Its panels, row by row.
    pub panels: Vec<Panel>,
    /// Panels beside each other at most; fewer where the page is narrow.
    pub columns: usize,
    /// What stands in the legend.
    pub legend: Vec<Key>,
    /// Which names are those of woods: Latin ones stand in italics.
    pub woods: Woods,
    /// The numbers behind it.
    pub data: FigureData,
}

/// Which names of a figure are those of woods.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Woods {
    /// None.
    Nowhere,
    /// Those of the rows.
    Rows,
    /// Those of the legend.
    Legend,
}

impl Woods {
    /// There, or nowhere.
    #[must_use]
    pub fn only_if(self, is_there: bool) -> Self {
        if is_there { self } else { Self::Nowhere }
    }
}

/// What bars, bands and boxes mean. There is no default: a bar without a meaning says nothing.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Bars {
    /// There are none.
    Absent,
    /// One standard uncertainty to either side.
    StandardUncertainty,
    /// Intervals with this coverage, between 0 and 1.
    Interval(f64),
    /// Boxes from quartile to quartile of type 7, whiskers to the last value within 1.5 times that length.
    Quartiles,
}

impl Bars {
    /// The sentence of the caption.
    #[must_use]
    pub fn sentence(self) -> String {
        match self {
            Self::Absent => "There are no bars of uncertainty.".to_owned(),
            Self::StandardUncertainty => {
                "Bars: one standard uncertainty to either side, of measurement alone.".to_owned()
            }
            Self::Interval(coverage) => {
                format!("Bars: intervals with a coverage of {} %, of measurement alone.", percent(coverage))
            }
            Self::Quartiles => {
                "Boxes: median and quartiles (type 7). Whiskers: to the last value within 1.5 times the \
                                length of the box. Every point is drawn."
                    .to_owned()
            }
        }
    }
}

/// A share as a number of per cent, without digits that are not there.
pub(super) fn percent(share: f64) -> f64 {
    (share * 1e4).round() / 100.0
}

/// A panel: two axes and what lies between them.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Panel {
    /// What tells it from other panels.
    pub title: Option<String>,
    /// Across.
    pub x: FigureAxis,
    /// Upwards, or downwards where it is turned.
    pub y: FigureAxis,
    /// What is drawn, the lowest first.
    pub layers: Vec<Layer>,
    /// Its shape.
    pub frame: Frame,
    /// Height as a share of that of a panel of usual height.
    pub height: f64,
}

/// The shape of a panel.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Frame {
    /// Two axes at a right angle.
    Axes,
    /// As high as wide, both axes of one scale.
    Square,
    /// A triangle of three shares; x and y are those of its corners (0, 0), (1, 0), (0.5, 0.866), which have these names:
    /// left, right, top.
    Triangle([String; 3]),
}

/// An axis.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct FigureAxis {
    /// Its title with unit; `m^{-3}` and `u_{max}` are raised and lowered.
    pub title: String,
    /// Where it begins and ends.
    pub range: [f64; 2],
    /// Whether it runs the other way: downwards, or to the left.
    pub is_turned: bool,
    /// What stands at it.
    pub ticks: Ticks,
}

/// What stands at an axis.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Ticks {
    /// Round numbers, as many as have room.
    Numbers,
    /// Dates: the axis counts days from 1970-01-01.
    Days,
    /// A name at 0, 1, 2, ...; and what stands at the other side of each.
    Names {
        /// The names.
        names: Vec<String>,
        /// What stands at the other side, one a name; none for nothing.
        beside: Vec<String>,
        /// What stands above those.
        beside_title: String,
    },
    /// Nothing.
    Nothing,
}

impl FigureAxis {
    /// An axis of numbers that runs the usual way.
    #[must_use]
    pub fn of(title: impl Into<String>, range: [f64; 2]) -> Self {
        Self { title: title.into(), range, is_turned: false, ticks: Ticks::Numbers }
    }

    /// An axis of names from above to below, with what stands at its other side.
    #[must_use]
    pub fn of_names(names: Vec<String>, beside: Vec<String>, beside_title: &str) -> Self {
        let range = [-0.5, super::real(names.len().max(1)) - 0.5];
        let ticks = Ticks::Names { names, beside, beside_title: beside_title.to_owned() };
        Self { title: String::new(), range, is_turned: true, ticks }
    }

    /// Whether a value lies on it.
    #[must_use]
    pub fn holds(&self, value: f64) -> bool {
        value >= self.range[0] && value <= self.range[1]
    }
}

/// An entry of the legend.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Key {
    /// What it is.
    pub name: String,
    /// How it is drawn.
    pub mark: KeyMark,
}

/// What a legend shows beside a name.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum KeyMark {
    /// A point.
    Point(Stamp),
    /// A line, and whether there is a band about it.
    Line(Stamp, bool),
    /// A point on a line.
    Both(Stamp),
    /// A filled field.
    Field(Paint),
    /// A thick step, as of an increment.
    Step(Stamp),
}

impl Figure {
    /// Points that lie outside the axes of their panel, which are not drawn.
    #[must_use]
    pub fn n_outside(&self) -> usize {
        let outside = |panel: &Panel| -> usize { panel.layers.iter().map(|layer| layer.n_outside(panel)).sum() };
        self.panels.iter().map(outside).sum()
    }

    /// The figure with other ends of the horizontal axes, and points outside counted anew in the caption.
    #[must_use]
    pub fn with_x_range(mut self, range: [f64; 2]) -> Self {
        self.panels.iter_mut().for_each(|panel| panel.x.range = range);
        self.recounted()
    }

    /// The figure with other ends of the vertical axes, and points outside counted anew in the caption.
    #[must_use]
    pub fn with_y_range(mut self, range: [f64; 2]) -> Self {
        self.panels.iter_mut().for_each(|panel| panel.y.range = range);
        self.recounted()
    }

    /// The figure with the points outside its axes counted in its caption.
    #[must_use]
    pub fn recounted(mut self) -> Self {
        const BEGIN: &str = " Outside the axes: ";
        if let Some(at) = self.caption.find(BEGIN) {
            self.caption.truncate(at);
        }
        match self.n_outside() {
            0 => {}
            1 => self.caption.push_str(&format!("{BEGIN}1 point, which is not drawn.")),
            n => self.caption.push_str(&format!("{BEGIN}{n} points, which are not drawn.")),
        }
        self
    }
}
