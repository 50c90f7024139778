//! The legend: a strip of its own below the panels, or at their right, never over data.

use super::layer::{Paint, Stamp};
use super::markup;
use super::measure::Measure;
use super::palette::{INK, Rgb};
use super::scene::{Anchor, Group, Mark, Spot, Stroke};
use super::{Figure, Key, KeyMark, Woods, draw, real};

/// Room between the panels and the legend.
pub(super) const GAP: f64 = 170.0;

/// A legend, laid out.
#[derive(Debug)]
pub(super) struct Legend<'a> {
    keys: &'a [Key],
    names: Vec<String>,
    pub(super) is_at_right: bool,
    /// Widths of its columns.
    columns: Vec<f64>,
    rows: usize,
    has_wood_names: bool,
    row_height: f64,
    swatch: f64,
    /// How far it may stand from the left edge.
    pub(super) slack: f64,
}

impl<'a> Legend<'a> {
    pub(super) fn of(figure: &'a Figure, measure: &Measure, width: f64, is_wide: bool) -> Self {
        let has_lines = figure.legend.iter().any(|key| !matches!(key.mark, KeyMark::Point(_)));
        let swatch = if has_lines { 1.9 } else { 0.9 } * measure.text;
        let is_at_right = is_wide && !figure.legend.is_empty();
        let room = if is_at_right { width * 0.3 } else { width } - swatch - 0.5 * measure.text;
        let names: Vec<String> = figure.legend.iter().map(|key| measure.fitted(&key.name, room)).collect();
        let gap = 1.2 * measure.text;
        let widths: Vec<f64> =
            names.iter().map(|name| swatch + 0.4 * measure.text + measure.width(name) + gap).collect();
        let most = if is_at_right { 1 } else { names.len().max(1) };
        let of = |columns: usize| -> Vec<f64> {
            let rows = names.len().div_ceil(columns).max(1);
            widths.chunks(rows).map(|column| column.iter().copied().fold(0.0, f64::max)).collect()
        };
        let fits = |columns: &Vec<f64>| columns.iter().sum::<f64>() - gap <= width;
        let columns = (1..=most).rev().map(of).find(fits).unwrap_or_else(|| of(1));
        let slack = (width - columns.iter().sum::<f64>() + gap).max(0.0);
        let rows = names.len().div_ceil(columns.len().max(1)).max(1);
        Self {
            keys: &figure.legend,
            has_wood_names: figure.woods == Woods::Legend,
            names,
            is_at_right,
            columns,
            rows,
            row_height: 1.42 * measure.text,
            swatch,
            slack,
        }
    }

    pub(super) fn height(&self) -> f64 {
        real(self.rows) * self.row_height
    }

    /// Room that it takes below the panels.
    pub(super) fn room_below(&self) -> f64 {
        if self.keys.is_empty() || self.is_at_right { 0.0 } else { self.height() + GAP }
    }

    /// Room that it takes at their right.
    pub(super) fn room_at_right(&self) -> f64 {
        if self.keys.is_empty() || !self.is_at_right { 0.0 } else { self.columns.iter().sum::<f64>() + GAP }
    }

    /// Drawn with its upper left corner at a place.
    pub(super) fn group(&self, [left, top]: Spot, measure: &Measure) -> Option<Group> {
        if self.keys.is_empty() {
            return None;
        }
        let mut marks = Vec::new();
        for (place, (key, name)) in self.keys.iter().zip(&self.names).enumerate() {
            let (row, column) = (place % self.rows, place / self.rows);
            let x = left + self.columns[..column].iter().sum::<f64>();
            let y = top + (real(row) + 0.5) * self.row_height;
            self.swatch(&mut marks, key.mark, [x, y], measure);
            let at = [x + self.swatch + 0.4 * measure.text, y + 0.35 * measure.text];
            let runs = if self.has_wood_names { markup::wood(name) } else { markup::plain(name) };
            marks.push(Mark::Text(measure.with(runs, at, Anchor::Start)));
        }
        Some(Group { id: "legend".to_owned(), window: None, marks })
    }

    fn swatch(&self, marks: &mut Vec<Mark>, mark: KeyMark, [x, y]: Spot, measure: &Measure) {
        let middle = [x + self.swatch / 2.0, y];
        let line = |stamp: Stamp| Mark::Path {
            lines: vec![vec![[x, y], [x + self.swatch, y]]],
            is_closed: false,
            fill: None,
            stroke: Some(draw::curve(stamp, measure)),
        };
        let half = 0.42 * measure.text;
        let field = |fill: Rgb, edge: Option<Stroke>| Mark::Path {
            lines: vec![draw::rectangle([x, y - half, x + self.swatch, y + half])],
            is_closed: true,
            fill: Some(fill),
            stroke: edge,
        };
        match mark {
            KeyMark::Point(stamp) => marks.push(draw::points(vec![middle], stamp, measure.radius, measure)),
            KeyMark::Line(stamp, has_band) => {
                if has_band {
                    marks.push(field(draw::pale(stamp), None));
                }
                marks.push(line(stamp));
            }
            KeyMark::Both(stamp) => {
                marks.push(line(stamp));
                marks.push(draw::points(vec![middle], stamp, measure.radius, measure));
            }
            KeyMark::Step(stamp) => {
                draw::stairs_of(marks, vec![vec![[x, y], [x + self.swatch, y]]], stamp, measure);
                marks.push(draw::points(vec![middle], stamp, measure.radius, measure));
            }
            KeyMark::Field(paint) => {
                let edge = matches!(paint, Paint::Hatched | Paint::Dotted | Paint::Empty);
                marks.push(field(paint.rgb(), edge.then(|| Stroke::of(INK, measure.thin / 2.0))));
                draw::texture(marks, paint, [x, y - half, x + self.swatch, y + half], measure);
            }
        }
    }
}
