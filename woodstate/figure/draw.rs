//! The layers of a panel as marks.

use super::clip;
use super::layer::{At, Layer, Paint, Stamp};
use super::measure::Measure;
use super::palette::{INK, QUIET, Rgb, Shape, WHITE};
use super::placed::Placed;
use super::scene::{Anchor, Group, Mark, Spot, Stroke};
use super::{real, whole};

/// The layers of a panel, one group each, seen through its frame.
pub(super) fn layers(placed: &Placed<'_>, measure: &Measure) -> Vec<Group> {
    let pen = Pen { placed, measure, radius: radius(placed, measure) };
    let layers = placed.panel.layers.iter().enumerate();
    layers
        .map(|(place, layer)| {
            let mut marks = Vec::new();
            pen.layer(&mut marks, layer);
            // Points on the edge are whole: their middles lie within the frame.
            let [left, top, right, bottom] = placed.frame;
            let more = 2.0 * measure.radius;
            let is_open = matches!(layer, Layer::Stretch { .. });
            let window = (!is_open).then_some([left - more, top - more, right + more, bottom + more]);
            Group { id: format!("panel{}-layer{}", placed.number, place + 1), window, marks }
        })
        .filter(|group| !group.marks.is_empty())
        .collect()
}

/// Points are smaller where there are many.
fn radius(placed: &Placed<'_>, measure: &Measure) -> f64 {
    let n: usize =
        placed.panel.layers.iter().map(|layer| if let Layer::Points { x, .. } = layer { x.len() } else { 0 }).sum();
    let share = match n {
        0..=60 => 1.0,
        61..=250 => 0.85,
        251..=1500 => 0.65,
        1501..=8000 => 0.45,
        _ => 0.3,
    };
    let is_small = (placed.frame[2] - placed.frame[0]) < 3200.0;
    measure.radius * share * if is_small { 0.85 } else { 1.0 }
}

struct Pen<'a> {
    placed: &'a Placed<'a>,
    measure: &'a Measure,
    radius: f64,
}

impl Pen<'_> {
    fn layer(&self, marks: &mut Vec<Mark>, layer: &Layer) {
        match layer {
            Layer::Points { stamp, x, y, x_bars, y_bars } => {
                self.bars(marks, *stamp, x, y, x_bars, true);
                self.bars(marks, *stamp, x, y, y_bars, false);
                let at = x.iter().zip(y).filter_map(|(x, y)| self.spot(*x, *y)).collect::<Vec<_>>();
                if !at.is_empty() {
                    marks.push(points(at, *stamp, self.radius, self.measure));
                }
            }
            Layer::Line { stamp, x, y } => {
                let line: Vec<Spot> = x.iter().zip(y).map(|(x, y)| [*x, *y]).collect();
                self.line(marks, &line, curve(*stamp, self.measure));
            }
            Layer::Band { paint, x, low, high } => {
                let up = x.iter().zip(high).map(|(x, y)| [*x, *y]);
                let down = x.iter().zip(low).map(|(x, y)| [*x, *y]).rev();
                self.field(marks, &up.chain(down).collect::<Vec<_>>(), *paint);
            }
            Layer::SideBand { paint, y, low, high } => {
                let up = y.iter().zip(high).map(|(y, x)| [*x, *y]);
                let down = y.iter().zip(low).map(|(y, x)| [*x, *y]).rev();
                self.field(marks, &up.chain(down).collect::<Vec<_>>(), *paint);
            }
            Layer::Steps { stamp, spans, values, bars } => self.steps(marks, *stamp, spans, values, bars),
            Layer::Box { stamp, at, five } => self.boxed(marks, *stamp, *at, five),
            Layer::Field { paint, at, span, label } => self.share(marks, *paint, *at, *span, label.as_deref()),
            Layer::Cell { paint, at, labels } => self.cell(marks, *paint, *at, labels),
            Layer::Stretch { paint, span, label } => self.stretch(marks, *paint, *span, label),
            Layer::Rule { stamp, at } => {
                let [[x0, x1], [y0, y1]] = [self.placed.x.range, self.placed.y.range];
                let line = match at {
                    At::X(x) => [[*x, y0], [*x, y1]],
                    At::Y(y) => [[x0, *y], [x1, *y]],
                };
                let stroke = Stroke { width: self.measure.thin, ..curve(*stamp, self.measure) };
                self.line(marks, &line, stroke);
            }
            Layer::Word { at, label } => {
                if let Some([x, y]) = self.spot(at[0], at[1]) {
                    let mut text = self.measure.label(label, [x, y + 0.35 * self.measure.text], Anchor::Middle);
                    text.rgb = QUIET;
                    marks.push(Mark::Text(text));
                }
            }
        }
    }

    /// The place of a point; `None` where it lies outside the axes.
    fn spot(&self, x: f64, y: f64) -> Option<Spot> {
        let is_in = self.placed.x.holds(x) && self.placed.y.holds(y);
        is_in.then(|| [self.placed.x.at(x), self.placed.y.at(y)])
    }

    /// The ends of the axes as a window in their own numbers.
    fn window(&self) -> clip::Window {
        let [x, y] = [self.placed.x.range, self.placed.y.range];
        [x[0], y[0], x[1], y[1]]
    }

    fn map(&self, line: &[Spot]) -> Vec<Spot> {
        line.iter().map(|[x, y]| [self.placed.x.at(*x), self.placed.y.at(*y)]).collect()
    }

    fn line(&self, marks: &mut Vec<Mark>, line: &[Spot], stroke: Stroke) {
        let parts: Vec<Vec<Spot>> = clip::line(line, self.window()).iter().map(|part| self.map(part)).collect();
        if !parts.is_empty() {
            marks.push(Mark::Path { lines: parts, is_closed: false, fill: None, stroke: Some(stroke) });
        }
    }

    fn field(&self, marks: &mut Vec<Mark>, corners: &[Spot], paint: Paint) {
        let cut = clip::field(corners, self.window());
        if let (Paint::Pale(series), true) = (paint, cut.len() > 2) {
            let rgb = Stamp::Series(series).rgb();
            marks.push(Mark::Veil { corners: self.map(&cut), rgb, share: 0.28 });
        } else if cut.len() > 2 {
            marks.push(Mark::Path {
                lines: vec![self.map(&cut)],
                is_closed: true,
                fill: Some(paint.rgb()),
                stroke: None,
            });
        }
    }

    fn bars(
        &self,
        marks: &mut Vec<Mark>,
        stamp: Stamp,
        x: &[f64],
        y: &[f64],
        bars: &[Option<[f64; 2]>],
        is_level: bool,
    ) {
        let mut lines = Vec::new();
        for ((x, y), bar) in x.iter().zip(y).zip(bars) {
            let (Some([low, high]), Some(_)) = (bar, self.spot(*x, *y)) else { continue };
            let [from, to] = if is_level { [[*low, *y], [*high, *y]] } else { [[*x, *low], [*x, *high]] };
            lines.extend(clip::segment(from, to, self.window()).map(|part| self.map(&part)));
        }
        if !lines.is_empty() {
            let stroke = Some(Stroke::of(softened(stamp.rgb()), self.measure.thin));
            marks.push(Mark::Path { lines, is_closed: false, fill: None, stroke });
        }
    }

    fn steps(
        &self,
        marks: &mut Vec<Mark>,
        stamp: Stamp,
        spans: &[[f64; 2]],
        values: &[f64],
        bars: &[Option<[f64; 2]>],
    ) {
        let (mut stairs, mut at): (Vec<Spot>, Vec<Spot>) = (Vec::new(), Vec::new());
        let mut reach = Vec::new();
        for (place, (span, value)) in spans.iter().zip(values).enumerate() {
            let middle = f64::midpoint(span[0], span[1]);
            let Some(spot) = self.spot(*value, middle) else { continue };
            at.push(spot);
            stairs.extend([[*value, span[0]], [*value, span[1]]]);
            if let Some(Some([low, high])) = bars.get(place) {
                let part = clip::segment([*low, middle], [*high, middle], self.window());
                reach.extend(part.map(|part| self.map(&part)));
            }
        }
        // Stretches are drawn strongly, what joins two of them faintly: nothing was measured between.
        let (mut strong, mut joins) = (Vec::new(), Vec::new());
        for pair in stairs.chunks(2) {
            strong.extend(clip::line(pair, self.window()).iter().map(|part| self.map(part)));
        }
        for pair in stairs.windows(2).skip(1).step_by(2) {
            joins.extend(clip::line(pair, self.window()).iter().map(|part| self.map(part)));
        }
        let path = |lines: Vec<Vec<Spot>>, stroke: Stroke| Mark::Path {
            lines,
            is_closed: false,
            fill: None,
            stroke: Some(stroke),
        };
        if !joins.is_empty() {
            let stroke = Stroke { dash: stamp.dash().to_vec(), ..Stroke::of(softened(stamp.rgb()), self.measure.thin) };
            marks.push(path(joins, stroke));
        }
        if !reach.is_empty() {
            marks.push(path(reach, Stroke::of(softened(stamp.rgb()), self.measure.thin)));
        }
        if !strong.is_empty() {
            stairs_of(marks, strong, stamp, self.measure);
        }
        if !at.is_empty() {
            marks.push(points(at, stamp, self.radius * 0.9, self.measure));
        }
    }

    fn boxed(&self, marks: &mut Vec<Mark>, stamp: Stamp, at: f64, [low, q1, median, q3, high]: &[f64; 5]) {
        let half = self.row() * 0.3;
        let y = self.placed.y.at(at);
        let [low, q1, median, q3, high] = [low, q1, median, q3, high].map(|value| self.placed.x.at(*value));
        let lines = vec![vec![[low, y], [q1, y]], vec![[q3, y], [high, y]]];
        let edge = Stroke::of(INK, self.measure.thin);
        marks.push(Mark::Path { lines, is_closed: false, fill: None, stroke: Some(edge.clone()) });
        let corners = vec![rectangle([q1, y - half, q3, y + half])];
        marks.push(Mark::Path { lines: corners, is_closed: true, fill: Some(pale(stamp)), stroke: Some(edge) });
        let lines = vec![vec![[median, y - half], [median, y + half]]];
        let stroke = Some(Stroke::of(INK, 1.3 * self.measure.curve));
        marks.push(Mark::Path { lines, is_closed: false, fill: None, stroke });
    }

    /// Height of a row of names.
    fn row(&self) -> f64 {
        (self.placed.y.at(1.0) - self.placed.y.at(0.0)).abs().min(self.placed.frame[3] - self.placed.frame[1])
    }

    fn share(&self, marks: &mut Vec<Mark>, paint: Paint, at: f64, [from, to]: [f64; 2], label: Option<&str>) {
        let rows = self.placed.y.range;
        let row = (self.placed.frame[3] - self.placed.frame[1]) / (rows[1] - rows[0]);
        let half = row * 0.36;
        let (x0, x1, y) = (self.placed.x.at(from), self.placed.x.at(to), self.placed.y.at(at));
        if x1 - x0 < 1.0 {
            return;
        }
        let edges = [x0, y - half, x1, y + half];
        let edge = Stroke::of(WHITE, self.measure.thin);
        let is_pattern = matches!(paint, Paint::Hatched | Paint::Dotted | Paint::Empty);
        let edge = if is_pattern { Stroke::of(QUIET, self.measure.thin / 2.0) } else { edge };
        let lines = vec![rectangle(edges)];
        marks.push(Mark::Path { lines, is_closed: true, fill: Some(paint.rgb()), stroke: Some(edge) });
        texture(marks, paint, edges, self.measure);
        if let Some(label) = label.filter(|label| self.measure.width(label) + 0.5 * self.measure.text < x1 - x0) {
            let middle = [f64::midpoint(x0, x1), y + 0.35 * self.measure.text];
            if is_pattern {
                // A ground for the number, so that lines do not run through it.
                let [w, h] = [self.measure.width(label) / 2.0 + 0.15 * self.measure.text, 0.5 * self.measure.text];
                let lines = vec![rectangle([middle[0] - w, y - h, middle[0] + w, y + h])];
                marks.push(Mark::Path { lines, is_closed: true, fill: Some(WHITE), stroke: None });
            }
            let mut text = self.measure.label(label, middle, Anchor::Middle);
            text.rgb = paint.ink();
            marks.push(Mark::Text(text));
        }
    }

    fn cell(&self, marks: &mut Vec<Mark>, paint: Paint, [column, row]: [f64; 2], labels: &[String; 2]) {
        let ends = |scale: &super::scale::Scale, at: f64| {
            let ends = [scale.at(at - 0.5), scale.at(at + 0.5)];
            [ends[0].min(ends[1]), ends[0].max(ends[1])]
        };
        let ([left, right], [top, bottom]) = (ends(&self.placed.x, column), ends(&self.placed.y, row));
        let lines = vec![rectangle([left, top, right, bottom])];
        let edge = Some(Stroke::of(WHITE, 1.5 * self.measure.thin));
        marks.push(Mark::Path { lines, is_closed: true, fill: Some(paint.rgb()), stroke: edge });
        let (middle, y) = (f64::midpoint(left, right), f64::midpoint(top, bottom));
        let fits = |label: &str, share: f64| self.measure.width(label) * share < right - left - 0.2 * self.measure.text;
        let has_two = !labels[1].is_empty() && bottom - top > 2.1 * self.measure.text && fits(&labels[1], 0.86);
        let up = if has_two { 0.12 } else { -0.35 };
        if fits(&labels[0], 1.0) && !labels[0].is_empty() {
            let mut text = self.measure.label(&labels[0], [middle, y - up * self.measure.text], Anchor::Middle);
            text.rgb = paint.ink();
            marks.push(Mark::Text(text));
        }
        if has_two {
            let mut text = self.measure.label(&labels[1], [middle, y + 0.88 * self.measure.text], Anchor::Middle);
            (text.rgb, text.size) = (paint.ink(), 0.86 * self.measure.text);
            marks.push(Mark::Text(text));
        }
    }

    fn stretch(&self, marks: &mut Vec<Mark>, paint: Paint, span: [f64; 2], label: &str) {
        let [left, _, right, _] = self.placed.frame;
        let [low, high] = self.placed.y.range;
        let [from, to] = span.map(|end| end.clamp(low, high));
        let (a, b) = (self.placed.y.at(from), self.placed.y.at(to));
        let (top, bottom) = (a.min(b), a.max(b));
        if bottom - top < 1.0 {
            return;
        }
        let lines = vec![rectangle([left, top, right, bottom])];
        marks.push(Mark::Path { lines, is_closed: true, fill: Some(paint.rgb()), stroke: None });
        texture(marks, paint, [left, top, right, bottom], self.measure);
        if !label.is_empty() && bottom - top > self.measure.text {
            let at = [right + 0.5 * self.measure.text, f64::midpoint(top, bottom) + 0.35 * self.measure.text];
            let mut text = self.measure.label(label, at, Anchor::Start);
            text.rgb = QUIET;
            marks.push(Mark::Text(text));
        }
    }
}

/// Strokes over stretches: every second series is hollow, so that it is told in grey too.
pub(super) fn stairs_of(marks: &mut Vec<Mark>, lines: Vec<Vec<Spot>>, stamp: Stamp, measure: &Measure) {
    let path = |lines: Vec<Vec<Spot>>, stroke: Stroke| Mark::Path {
        lines,
        is_closed: false,
        fill: None,
        stroke: Some(stroke),
    };
    let width = 1.7 * measure.curve;
    let core =
        matches!(stamp, Stamp::Series(n) if n % 2 == 1).then(|| path(lines.clone(), Stroke::of(WHITE, 0.5 * width)));
    marks.push(path(lines, Stroke::of(stamp.rgb(), width)));
    marks.extend(core);
}

/// Points of a series.
pub(super) fn points(at: Vec<Spot>, stamp: Stamp, radius: f64, measure: &Measure) -> Mark {
    let shape = stamp.shape();
    let is_line = matches!(shape, Shape::Cross | Shape::Plus);
    // A thin edge of white keeps points apart that lie on each other.
    let (fill, stroke) = match (is_line, stamp.is_open()) {
        (true, _) => (None, Stroke::of(stamp.rgb(), 1.6 * measure.thin)),
        (false, true) => (Some(WHITE), Stroke::of(stamp.rgb(), measure.thin)),
        (false, false) => (Some(stamp.rgb()), Stroke::of(WHITE, 0.4 * measure.thin)),
    };
    Mark::Points { at, shape, radius, fill, stroke }
}

/// The pen of a curve.
pub(super) fn curve(stamp: Stamp, measure: &Measure) -> Stroke {
    let width = if stamp == Stamp::Quiet { 0.75 * measure.curve } else { measure.curve };
    Stroke { dash: stamp.dash().to_vec(), ..Stroke::of(stamp.rgb(), width) }
}

/// The pale colour of a series.
pub(super) fn pale(stamp: Stamp) -> Rgb {
    match stamp {
        Stamp::Series(n) => Paint::Pale(n).rgb(),
        Stamp::Quiet | Stamp::Others => Paint::PaleGrey.rgb(),
    }
}

/// Half way to white.
fn softened([r, g, b]: Rgb) -> Rgb {
    let soft = |channel: u8| 255 - (255 - channel) / 5 * 3;
    [soft(r), soft(g), soft(b)]
}

/// The corners of a rectangle.
pub(super) fn rectangle([left, top, right, bottom]: [f64; 4]) -> Vec<Spot> {
    vec![[left, top], [right, top], [right, bottom], [left, bottom]]
}

/// Slanting lines or dots, cut at the edges: no pattern that one program draws and another does not.
pub(super) fn texture(marks: &mut Vec<Mark>, paint: Paint, edges: [f64; 4], measure: &Measure) {
    let [left, top, right, bottom] = edges;
    let (wide, high) = (right - left, bottom - top);
    match paint {
        Paint::Hatched => {
            let step = 0.55 * measure.text;
            let n = whole((wide + high) / step);
            let one = |k: usize| {
                let x = left + step * (real(k) + 0.5);
                clip::segment([x, top], [x - high, bottom], edges).map(|part| part.to_vec())
            };
            let lines: Vec<Vec<Spot>> = (0..=n).filter_map(one).collect();
            let stroke = Some(Stroke::of(QUIET, 0.7 * measure.thin));
            marks.push(Mark::Path { lines, is_closed: false, fill: None, stroke });
        }
        Paint::Dotted => {
            let step = 0.5 * measure.text;
            let (across, down) = (whole(wide / step), whole((high / step).max(1.0)));
            let spot = |row: usize, column: usize| {
                let shift = if row.is_multiple_of(2) { 0.5 } else { 1.0 };
                [left + step * (real(column) + shift), top + high / real(down) * (real(row) + 0.5)]
            };
            let at: Vec<Spot> = (0..down)
                .flat_map(|row| (0..across).map(move |column| spot(row, column)))
                .filter(|spot| spot[0] < right - 0.1 * measure.text)
                .collect();
            if !at.is_empty() {
                let stroke = Stroke::of(QUIET, 1.0);
                marks.push(Mark::Points {
                    at,
                    shape: Shape::Circle,
                    radius: 0.55 * measure.thin,
                    fill: Some(QUIET),
                    stroke,
                });
            }
        }
        _ => {}
    }
}
