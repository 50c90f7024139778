//! The frame of a panel: axes, ticks, titles, names.

use super::font::Face;
use super::markup;
use super::measure::{LEADING, Measure};
use super::palette::{INK, QUIET, Rgb};
use super::placed::Placed;
use super::scene::{Anchor, Group, Mark, Spot, Stroke, Text};
use super::{Frame, Layer, Ticks, real};

/// What lies below everything else of a panel: the sides of a triangle, the lines of names.
pub(super) fn below(placed: &Placed<'_>, measure: &Measure) -> Option<Group> {
    const FAINT: Rgb = [0xe4, 0xe4, 0xe4];
    let stroke = Stroke::of(FAINT, measure.thin);
    let line = |from: Spot, to: Spot| vec![from, to];
    let lines = match (&placed.panel.frame, &placed.panel.y.ticks) {
        (Frame::Triangle(_), _) => {
            let share = |k: usize| 0.2 * real(k);
            let side = |a: [f64; 3], b: [f64; 3]| line(placed.corner(a), placed.corner(b));
            (1..5)
                .flat_map(|k| {
                    let (a, b) = (share(k), 1.0 - share(k));
                    [side([a, b, 0.0], [a, 0.0, b]), side([b, a, 0.0], [0.0, a, b]), side([b, 0.0, a], [0.0, b, a])]
                })
                .collect()
        }
        (Frame::Axes, Ticks::Names { names, .. }) if !has_fields(placed) => {
            let at = |row: usize| placed.y.at(real(row));
            (0..names.len()).map(|row| line([placed.frame[0], at(row)], [placed.frame[2], at(row)])).collect()
        }
        _ => return None,
    };
    let mark = Mark::Path { lines, is_closed: false, fill: None, stroke: Some(stroke) };
    Some(Group { id: format!("panel{}-lines", placed.number), window: None, marks: vec![mark] })
}

fn has_fields(placed: &Placed<'_>) -> bool {
    placed.panel.layers.iter().any(|layer| matches!(layer, Layer::Field { .. } | Layer::Cell { .. }))
}

impl Placed<'_> {
    /// The place of three shares of a triangle.
    pub(super) fn corner(&self, [left, right, top]: [f64; 3]) -> Spot {
        let whole = left + right + top;
        [self.x.at((right + top / 2.0) / whole), self.y.at(top / whole * 0.75_f64.sqrt())]
    }
}

/// The axes of a panel with all that stands at them.
pub(super) fn axes(placed: &Placed<'_>, measure: &Measure) -> Group {
    let mut marks = Vec::new();
    if let Frame::Triangle(names) = &placed.panel.frame {
        triangle(&mut marks, placed, measure, names);
    } else {
        spines(&mut marks, placed, measure);
        x_axis(&mut marks, placed, measure);
        y_axis(&mut marks, placed, measure);
    }
    if let Some(title) = &placed.panel.title {
        let room = placed.frame[2] - placed.frame[0];
        let mut text = measure.label(
            &measure.fitted(title, room / 1.1),
            [placed.frame[0], placed.frame[1] - 0.6 * measure.text],
            Anchor::Start,
        );
        text.face = Face::Bold;
        marks.push(Mark::Text(text));
    }
    Group { id: format!("panel{}-axes", placed.number), window: None, marks }
}

fn spines(marks: &mut Vec<Mark>, placed: &Placed<'_>, measure: &Measure) {
    let [left, top, right, bottom] = placed.frame;
    let is_map = placed.panel.layers.iter().any(|layer| matches!(layer, Layer::Cell { .. }));
    let has_names = matches!(placed.panel.y.ticks, Ticks::Names { .. });
    let mut lines = Vec::new();
    if !is_map {
        lines.push(if has_names {
            vec![[left, bottom], [right, bottom]]
        } else {
            vec![[left, top], [left, bottom], [right, bottom]]
        });
        if !matches!(placed.panel.x.ticks, Ticks::Names { .. }) {
            let x = placed.x_ticks.iter().map(|tick| placed.x.at(tick.at));
            lines.extend(x.map(|x| vec![[x, bottom], [x, bottom + measure.tick]]));
        }
        let y = placed.y_ticks.iter().map(|tick| placed.y.at(tick.at));
        lines.extend(y.map(|y| vec![[left - measure.tick, y], [left, y]]));
    }
    if !lines.is_empty() {
        let stroke = Some(Stroke::of(INK, measure.axis));
        marks.push(Mark::Path { lines, is_closed: false, fill: None, stroke });
    }
}

fn x_axis(marks: &mut Vec<Mark>, placed: &Placed<'_>, measure: &Measure) {
    if !placed.has_x_labels {
        return;
    }
    let [left, _, right, bottom] = placed.frame;
    let line = bottom + measure.tick + 0.95 * measure.text;
    for tick in &placed.x_ticks {
        marks.push(Mark::Text(measure.label(&tick.label, [placed.x.at(tick.at), line], Anchor::Middle)));
    }
    if !placed.has_x_title {
        return;
    }
    let below = if placed.x_ticks.is_empty() { bottom } else { bottom + measure.tick + (LEADING + 0.2) * measure.text };
    let lines = measure.title_lines(&placed.panel.x.title, right - left + placed.label_room);
    for (k, runs) in lines.into_iter().enumerate() {
        let mut text = measure.with(
            runs,
            [f64::midpoint(left, right), below + (0.85 + LEADING * real(k)) * measure.title],
            Anchor::Middle,
        );
        text.size = measure.title;
        // A title wider than its axis ends with it.
        let over = (text.width() - (right - left)) / 2.0;
        if over > placed.right_room {
            text.at = [right + placed.right_room, text.at[1]];
            text.anchor = Anchor::End;
        }
        marks.push(Mark::Text(text));
    }
}

fn y_axis(marks: &mut Vec<Mark>, placed: &Placed<'_>, measure: &Measure) {
    let [left, top, right, bottom] = placed.frame;
    if let Ticks::Names { beside, beside_title, .. } = &placed.panel.y.ticks {
        let edge = right + placed.right_room;
        for (row, text) in beside.iter().enumerate() {
            let at = [edge, placed.y.at(real(row)) + 0.35 * measure.text];
            marks.push(Mark::Text(toned(measure.label(text, at, Anchor::End))));
        }
        if !beside.is_empty() {
            let at = [edge, bottom + measure.tick + 0.95 * measure.text];
            marks.push(Mark::Text(toned(measure.label(beside_title, at, Anchor::End))));
        }
    }
    if !placed.has_y_labels {
        return;
    }
    let edge = left - measure.tick - 0.3 * measure.text;
    for tick in &placed.y_ticks {
        marks.push(Mark::Text(measure.label(
            &tick.label,
            [edge, placed.y.at(tick.at) + 0.35 * measure.text],
            Anchor::End,
        )));
    }
    for (row, lines) in placed.names.iter().enumerate() {
        let middle = placed.y.at(real(row)) + 0.35 * measure.text;
        let up = LEADING * measure.text * (real(lines.len()) - 1.0) / 2.0;
        for (k, line) in lines.iter().enumerate() {
            let y = middle - up + LEADING * measure.text * real(k);
            let runs = if placed.has_wood_names { markup::wood(line) } else { markup::plain(line) };
            marks.push(Mark::Text(measure.with(runs, [edge, y], Anchor::End)));
        }
    }
    if !placed.has_y_title {
        return;
    }
    let lines = measure.title_lines(&placed.panel.y.title, bottom - top);
    let n = lines.len();
    for (k, runs) in lines.into_iter().enumerate() {
        let right_edge = edge - placed.label_room - 0.55 * measure.text;
        let x = right_edge - LEADING * measure.title * real(n - 1 - k);
        let mut text = measure.with(runs, [x, f64::midpoint(top, bottom)], Anchor::Middle);
        (text.size, text.is_upright) = (measure.title, true);
        marks.push(Mark::Text(text));
    }
}

/// In a quieter colour.
fn toned(mut text: Text) -> Text {
    text.rgb = QUIET;
    text
}

fn triangle(marks: &mut Vec<Mark>, placed: &Placed<'_>, measure: &Measure, names: &[String; 3]) {
    let corners = [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]].map(|shares| placed.corner(shares));
    let stroke = Some(Stroke::of(INK, measure.axis));
    marks.push(Mark::Path { lines: vec![corners.to_vec()], is_closed: true, fill: None, stroke });
    let [left, right, top] = corners;
    let below = left[1] + measure.tick + LEADING * measure.text;
    for k in 1..5 {
        let share = 0.2 * real(k);
        let label = format!("{}", 20 * k);
        // The share of each corner is read along the side that ends there.
        let on_base = placed.corner([1.0 - share, share, 0.0]);
        marks.push(Mark::Text(toned(measure.label(&label, [on_base[0], below - 0.15 * measure.text], Anchor::Middle))));
        let on_right = placed.corner([0.0, 1.0 - share, share]);
        let at = [on_right[0] + 0.45 * measure.text, on_right[1] + 0.3 * measure.text];
        marks.push(Mark::Text(toned(measure.label(&label, at, Anchor::Start))));
        let on_left = placed.corner([share, 0.0, 1.0 - share]);
        let at = [on_left[0] - 0.45 * measure.text, on_left[1] + 0.3 * measure.text];
        marks.push(Mark::Text(toned(measure.label(&label, at, Anchor::End))));
    }
    let room = (right[0] - left[0]) / 2.0;
    let base = below + 1.15 * LEADING * measure.text;
    let edge = 2.9 * measure.text;
    let mut say = |name: &str, at: Spot, anchor| {
        marks.push(Mark::Text(measure.label(&measure.fitted(name, room + edge * 0.9), at, anchor)));
    };
    say(&names[0], [left[0] - edge, base], Anchor::Start);
    say(&names[1], [right[0] + edge, base], Anchor::End);
    say(&names[2], [top[0], top[1] - 0.7 * measure.text], Anchor::Middle);
}
