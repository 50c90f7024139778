//! A panel at its place on the sheet.

use super::Panel;
use super::scale::Scale;
use super::tick::Tick;

/// A panel at its place.
pub(super) struct Placed<'a> {
    pub(super) number: usize,
    pub(super) panel: &'a Panel,
    pub(super) x: Scale,
    pub(super) y: Scale,
    /// Left, top, right, bottom of the frame.
    pub(super) frame: [f64; 4],
    pub(super) x_ticks: Vec<Tick>,
    pub(super) y_ticks: Vec<Tick>,
    /// Names at the vertical axis, on one or two lines each.
    pub(super) names: Vec<Vec<String>>,
    /// Whether the axis is that of the panel below or to the left, where its labels stand.
    pub(super) has_x_labels: bool,
    pub(super) has_y_labels: bool,
    /// Whether it has titles of its own, and not one with all others.
    pub(super) has_x_title: bool,
    pub(super) has_y_title: bool,
    pub(super) has_wood_names: bool,
    /// Room that the labels of the vertical axis take.
    pub(super) label_room: f64,
    /// Room at the right.
    pub(super) right_room: f64,
}
