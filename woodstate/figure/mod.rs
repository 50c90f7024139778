//! Figures: plain data first, then SVG, PNG or PDF.
//!
//! A function of a kind makes a [`Figure`] of an outcome in one line; everything in it may be changed before it is drawn on
//! a [`Sheet`]. What is drawn stands in the figure: axes, layers, legend, caption, description for those who do not see it,
//! and the numbers behind it.
//!
//! ```
//! # #[cfg(feature = "report")] {
//! use std::path::Path;
//! use woodstate::figure::{FigureChoice, Sheet, SheetSize, density_water};
//! use woodstate::numeric::Watch;
//! use woodstate::study::{Study, assess};
//! use woodstate::table::read_batch;
//!
//! let file = Path::new("datasets-demo/harbour/harbour.xlsx");
//! let study = Study::beside(file)?.unwrap();
//! let batch = read_batch(file, &study.read, &Watch::silent())?;
//! let assessment = assess(&study, batch, &Watch::silent())?;
//! let figure = density_water(&assessment, &FigureChoice::default())?;
//! let svg = figure.svg(&Sheet::of(SheetSize::Single, None))?;
//! assert!(svg.starts_with("<svg") && figure.caption.contains("timbers"));
//! # }
//! # Ok::<(), woodstate::error::Error>(())
//! ```
//!
//! What is not here: violins, three dimensions, two scales at one side, system fonts.

mod axes;
mod choice;
mod clip;
mod command;
mod data;
mod draw;
mod drawing;
mod export;
mod font;
mod kind;
mod layer;
mod layout;
mod legend;
mod markup;
mod measure;
mod output;
mod palette;
mod placed;
mod raster;
mod room;
mod scale;
mod scene;
mod sheet;
mod spec;
mod svg;
mod tick;

pub use choice::FigureChoice;
pub use command::{DrawnFigure, FigureList, KindNeeds, check_figure_kind, figure, figure_assessed, figure_list};
pub use data::{Datum, FigureData};
pub use drawing::{Drawing, draw_all};
pub use font::font_has;
pub use kind::{
    DepthCore, DepthCurve, DepthProfile, DepthZoneSpan, SoftRim, box_points, class_probability, class_shares,
    correlation, density_water, depth_profile, depth_profile_fitted, depth_profile_of, estimates, lift_margin,
    lift_moment, lift_surfacing, measured_predicted, series, shrinkage, strength_curve, ternary, uptake_course,
    washing_curve,
};
pub use layer::{At, Layer, Paint, Stamp};
pub use scene::LabelBox;
pub use sheet::{Journal, Sheet, SheetSize};
pub use spec::{Bars, Figure, FigureAxis, Frame, Key, KeyMark, Panel, Ticks, Woods};

/// A count as a number.
#[allow(clippy::cast_precision_loss, reason = "OK because no slice in memory has 2^53 entries")]
fn real(count: usize) -> f64 {
    count as f64
}

/// The whole part of a number that is 0 or above.
#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "OK because callers pass positions and counts; `as` saturates"
)]
fn whole(number: f64) -> usize {
    number.floor() as usize
}
