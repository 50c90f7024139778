//! Where the panels, their labels and the legend of a figure lie on its sheet.

use super::legend::{self, Legend};
use super::measure::{LEADING, Measure};
use super::placed::Placed;
use super::room::{x_ticks, y_ticks};
use super::scale::{Scale, spread};
use super::scene::{Anchor, Group, Mark, Scene, Text};
use super::tick::Tick;
use super::{Figure, FigureAxis, Frame, Layer, Panel, Sheet, Ticks, Woods, axes, draw, real, whole};

/// Room at the edge of the sheet.
const EDGE: f64 = 130.0;

/// Room between panels.
const GAP: f64 = 320.0;

/// Narrowest panel that stands beside another one.
const NARROWEST: f64 = 2450.0;

/// What a panel needs around its frame.
#[derive(Debug, Clone, Copy, Default)]
struct Margins {
    left: f64,
    right: f64,
    top: f64,
    bottom: f64,
    label: f64,
    /// Of the left one, what the title takes.
    title: f64,
}

/// Sizes of the frames and the room around each.
struct Measured {
    frame_width: f64,
    heights: Vec<f64>,
    margins: Vec<Margins>,
}

/// A figure on a sheet.
pub(super) struct Layout<'a> {
    figure: &'a Figure,
    width: f64,
    height: Option<f64>,
    measure: Measure,
    columns: usize,
    /// Whether all panels have one title, which then stands once.
    one_x_title: bool,
    one_y_title: bool,
}

impl<'a> Layout<'a> {
    pub(super) fn of(figure: &'a Figure, sheet: &Sheet) -> Self {
        let width = (sheet.width * 100.0).max(2000.0);
        let measure = Measure::of(sheet);
        let beside = whole(((width - 2.0 * EDGE) / (NARROWEST * measure.text / 247.0)).max(1.0));
        let columns = figure.columns.min(beside).min(figure.panels.len()).max(1);
        let panels = &figure.panels;
        let is_one =
            |of: fn(&Panel) -> &str| panels.len() > 1 && panels.iter().all(|panel| of(panel) == of(&panels[0]));
        let [one_x_title, one_y_title] = [is_one(|panel| &panel.x.title), is_one(|panel| &panel.y.title)];
        let height = sheet.height.map(|height| height * 100.0);
        let of = |columns| Self {
            figure,
            width,
            height,
            measure,
            columns,
            one_x_title: one_x_title && columns > 1,
            one_y_title,
        };
        // Fewer panels beside each other where names leave them no room.
        let has_room = |layout: &Self| {
            let legend = Legend::of(figure, &measure, width - 2.0 * EDGE, layout.is_wide());
            let room = width - 2.0 * EDGE - legend.room_at_right();
            layout.measured(room, &legend).frame_width > 5.5 * measure.text
        };
        (2..=columns).rev().map(of).find(has_room).unwrap_or_else(|| of(1))
    }

    /// The drawing.
    pub(super) fn scene(&self) -> Scene {
        let legend = Legend::of(self.figure, &self.measure, self.width - 2.0 * EDGE, self.is_wide());
        let mut width = self.width - 2.0 * EDGE - legend.room_at_right();
        width = width.max(self.width / 3.0);
        let (placed, mut bottom) = self.placed(width, &legend);
        let mut groups: Vec<Group> = Vec::new();
        for panel in &placed {
            groups.extend(axes::below(panel, &self.measure));
            groups.extend(draw::layers(panel, &self.measure));
            groups.push(axes::axes(panel, &self.measure));
        }
        let (titles, below) = self.titles(&placed, bottom);
        bottom += below;
        groups.extend(titles);
        let [left, top] = placed.first().map_or([EDGE, EDGE], |panel| [panel.frame[0], panel.frame[1]]);
        let (corner, below) = match legend.is_at_right {
            true => ([EDGE + width + legend::GAP, top], bottom),
            false => ([left.min(EDGE + legend.slack), bottom + legend::GAP], bottom + legend.room_below()),
        };
        groups.extend(legend.group(corner, &self.measure));
        let height = if legend.is_at_right { below.max(top + legend.height()) } else { below } + EDGE;
        Scene::on_white([self.width, self.height.map_or(height, |asked| asked.max(height))], groups)
    }

    /// Titles that stand once for all panels, and the room below that they take.
    fn titles(&self, placed: &[Placed<'_>], bottom: f64) -> (Option<Group>, f64) {
        let frames = || placed.iter().map(|panel| panel.frame);
        let edge =
            |which: usize, best: fn(f64, f64) -> f64| frames().map(|frame| frame[which]).reduce(best).unwrap_or(EDGE);
        let [left, top] = [edge(0, f64::min), edge(1, f64::min)];
        let [right, low] = [edge(2, f64::max), edge(3, f64::max)];
        let (mut marks, mut room) = (Vec::new(), 0.0);
        let size = self.measure.title;
        let mut put = |title: &str, length: f64, at: &dyn Fn(usize) -> [f64; 2], is_upright: bool| {
            let lines = self.measure.title_lines(title, length);
            let n = lines.len();
            for (k, runs) in lines.into_iter().enumerate() {
                let text = self.measure.with(runs, at(k), Anchor::Middle);
                marks.push(Mark::Text(Text { size, is_upright, ..text }));
            }
            n
        };
        if self.one_y_title {
            let middle = f64::midpoint(top, low);
            put(
                &self.figure.panels[0].y.title,
                low - top,
                &|k| [EDGE + (0.85 + LEADING * real(k)) * size, middle],
                true,
            );
        }
        if self.one_x_title {
            let middle = f64::midpoint(left, right);
            let title = &self.figure.panels[0].x.title;
            let n = put(title, right - left, &|k| [middle, bottom + (0.85 + LEADING * real(k)) * size], false);
            room = if n > 0 { (LEADING * real(n) + 0.15) * size } else { 0.0 };
        }
        ((!marks.is_empty()).then(|| Group { id: "titles".to_owned(), window: None, marks }), room)
    }

    /// Room at the left for a title that stands once.
    fn title_room(&self) -> f64 {
        match self.figure.panels.first() {
            Some(panel) if self.one_y_title && !panel.y.title.is_empty() => (LEADING + 0.25) * self.measure.title,
            _ => 0.0,
        }
    }

    fn is_wide(&self) -> bool {
        self.width / self.measure.text >= 12_000.0 / 247.0 && self.columns == 1
    }

    /// The panels at their places, and where the lowest one ends.
    fn placed(&self, width: f64, legend: &Legend<'_>) -> (Vec<Placed<'a>>, f64) {
        let Measured { frame_width, heights, margins } = self.measured(width, legend);
        let n_rows = heights.len().div_ceil(self.columns);
        let left = |column: usize| self.left(&margins, column);
        let right = |column: usize| self.most(&margins, column, |margins| margins.right);
        let (mut placed, mut top) = (Vec::new(), EDGE);
        for row in 0..n_rows {
            let places = row * self.columns..heights.len().min((row + 1) * self.columns);
            let above = places.clone().map(|place| margins[place].top).fold(0.0, f64::max);
            let high = places.clone().map(|place| heights[place]).fold(0.0, f64::max);
            let below = places.clone().map(|place| margins[place].bottom).fold(0.0, f64::max);
            let mut x = EDGE + self.title_room();
            for place in places {
                let column = place % self.columns;
                let frame = [x + left(column), top + above, x + left(column) + frame_width, top + above + high];
                let rooms = [|margins: &Margins| margins.label, |margins: &Margins| margins.right]
                    .map(|of| self.most(&margins, column, of));
                placed.push(self.panel(place, frame.map(f64::round), rooms));
                x = frame[2] + right(column) + GAP;
            }
            top += above + high + below + if row + 1 < n_rows { GAP * 0.6 } else { 0.0 };
        }
        (placed, top)
    }

    /// How large the frames are, and what they need around them.
    fn measured(&self, width: f64, legend: &Legend<'_>) -> Measured {
        let panels: Vec<&Panel> = self.figure.panels.iter().collect();
        let width = width - self.title_room();
        let n_rows = panels.len().div_ceil(self.columns);
        let mut margins = vec![Margins { left: 1200.0, ..Margins::default() }; panels.len()];
        let mut heights = vec![0.0; panels.len()];
        // Heights follow from widths, widths from labels, labels from heights: the last labels are those of the last heights.
        for _ in 0..3 {
            let left = |column: usize| self.left(&margins, column);
            let right = |column: usize| self.most(&margins, column, |margins| margins.right);
            let total: f64 = (0..self.columns).map(|column| left(column) + right(column)).sum();
            let frame_width = ((width - GAP * real(self.columns - 1) - total) / real(self.columns)).max(800.0);
            heights = self.heights(&panels, &margins, frame_width, n_rows, legend);
            margins = (0..panels.len()).map(|place| self.margins(place, heights[place], frame_width)).collect();
        }
        let left = |column: usize| self.left(&margins, column);
        let right = |column: usize| self.most(&margins, column, |margins| margins.right);
        let total: f64 = (0..self.columns).map(|column| left(column) + right(column)).sum();
        let frame_width = ((width - GAP * real(self.columns - 1) - total) / real(self.columns)).max(800.0);
        Measured { frame_width, heights, margins }
    }

    /// Room at the left of a column: the widest labels, and beside them the highest title.
    fn left(&self, margins: &[Margins], column: usize) -> f64 {
        let parts: [fn(&Margins) -> f64; 3] =
            [|margins| margins.left, |margins| margins.label, |margins| margins.title];
        parts.into_iter().map(|of| self.most(margins, column, of)).sum()
    }

    fn most(&self, margins: &[Margins], column: usize, of: fn(&Margins) -> f64) -> f64 {
        margins.iter().skip(column).step_by(self.columns).map(of).fold(0.0, f64::max)
    }

    fn heights(
        &self,
        panels: &[&Panel],
        margins: &[Margins],
        frame_width: f64,
        n_rows: usize,
        legend: &Legend<'_>,
    ) -> Vec<f64> {
        let own = |panel: &Panel| match (&panel.y.ticks, &panel.frame) {
            (_, Frame::Triangle(_)) => frame_width * 0.75_f64.sqrt(),
            (_, Frame::Square) => frame_width * panel.height,
            (Ticks::Names { names, .. }, Frame::Axes) => self.pitch(panel) * real(names.len().max(1)),
            _ => frame_width.min(9500.0) * if self.columns > 1 { 0.8 } else { 0.72 } * panel.height,
        };
        let heights: Vec<f64> = panels.iter().map(|panel| own(panel)).collect();
        let Some(asked) = self.height else { return heights };
        let around: f64 = (0..n_rows)
            .map(|row| {
                let of = |of: fn(&Margins) -> f64| {
                    margins.iter().skip(row * self.columns).take(self.columns).map(of).fold(0.0, f64::max)
                };
                of(|margins| margins.top) + of(|margins| margins.bottom)
            })
            .sum();
        let of_row =
            |row: usize| heights.iter().skip(row * self.columns).take(self.columns).copied().fold(0.0, f64::max);
        let natural: f64 = (0..n_rows).map(of_row).sum();
        let room = asked - 2.0 * EDGE - around - GAP * 0.6 * real(n_rows.saturating_sub(1)) - legend.room_below();
        let share = (room / natural.max(1.0)).max(0.2);
        let of_panel = |(height, panel): (&f64, &&Panel)| match (&panel.frame, &panel.y.ticks) {
            // Names that would lie on each other make the figure higher than was asked for.
            (Frame::Axes, Ticks::Names { names, .. }) => (height * share).max(self.tightest(names)),
            (Frame::Axes, _) => (height * share).max(9.0 * self.measure.title * panel.height.clamp(0.6, 1.0)),
            _ => height * share.min(1.0),
        };
        heights.iter().zip(panels).map(of_panel).collect()
    }

    /// Height of a panel whose names just do not touch.
    fn tightest(&self, names: &[String]) -> f64 {
        let lines = names.iter().map(|name| self.names_of(name).len()).max().unwrap_or(1);
        (LEADING * real(lines) + 0.1) * self.measure.text * real(names.len().max(1))
    }

    /// Room of a name.
    fn pitch(&self, panel: &Panel) -> f64 {
        let Ticks::Names { names, .. } = &panel.y.ticks else { return 0.0 };
        let is_long = names.iter().any(|name| self.names_of(name).len() > 1);
        let is_filled = panel.layers.iter().any(|layer| matches!(layer, Layer::Box { .. } | Layer::Field { .. }));
        let lines = match (is_long, names.len()) {
            (true, ..) => 2.0 * LEADING + 0.35,
            (false, 0..=3) if is_filled => 3.4,
            (false, 4..=12) if is_filled => 2.6,
            (false, 0..=25) => 1.8,
            _ => 1.5,
        };
        lines * self.measure.text * panel.height
    }

    fn names_of(&self, name: &str) -> Vec<String> {
        self.measure.lines(name, self.width * 0.34, 2)
    }

    fn shares_x(&self, place: usize) -> bool {
        let panels = &self.figure.panels;
        panels.get(place + self.columns).is_some_and(|below| is_alike(&below.x, &panels[place].x))
    }

    fn shares_y(&self, place: usize) -> bool {
        let panels = &self.figure.panels;
        !place.is_multiple_of(self.columns) && is_alike(&panels[place - 1].y, &panels[place].y)
    }

    fn margins(&self, place: usize, height: f64, frame_width: f64) -> Margins {
        let (panel, measure) = (&self.figure.panels[place], &self.measure);
        let mut margins = Margins { top: 0.45 * measure.text, ..Margins::default() };
        if panel.title.is_some() {
            margins.top += 1.45 * measure.text;
        }
        if let Frame::Triangle(_) = panel.frame {
            margins.top += 1.7 * measure.text;
            margins.bottom = 2.0 * (measure.tick + LEADING * measure.text);
            (margins.left, margins.right) = (3.0 * measure.text, 3.0 * measure.text);
            return margins;
        }
        let title = |title: &str, room: f64| {
            // With a little less room than there is, so that rounding makes no more lines than there is room for.
            let lines = measure.title_lines(title, 0.98 * room).len();
            if lines == 0 { 0.0 } else { LEADING * measure.title * real(lines) + 0.15 * measure.title }
        };
        if !self.shares_y(place) {
            margins.label = match &panel.y.ticks {
                Ticks::Names { names, .. } => {
                    let lines = names.iter().flat_map(|name| self.names_of(name));
                    lines.map(|line| measure.width(&line)).fold(0.0, f64::max)
                }
                _ => widest(measure, &y_ticks(&panel.y, height, measure)),
            };
            margins.title = if self.one_y_title { 0.0 } else { title(&panel.y.title, height) };
            margins.left = measure.tick + 0.55 * measure.text;
        }
        let x_ticks = x_ticks(&panel.x, frame_width, measure);
        let is_bare = matches!(panel.x.ticks, Ticks::Nothing);
        let own = if self.one_x_title { 0.0 } else { title(&panel.x.title, frame_width + margins.label) };
        margins.bottom = match (self.shares_x(place), is_bare) {
            (true, _) => 0.0,
            (false, true) => own,
            (false, false) => measure.tick + (LEADING + 0.2) * measure.text + own,
        };
        let last = x_ticks.last().map_or(0.0, |tick| measure.width(&tick.label) / 2.0);
        let beside = self.right(panel);
        margins.right = if beside > 0.0 { last + beside } else { last.max(0.3 * measure.text) };
        margins
    }

    /// Room for what stands at the right of a panel.
    fn right(&self, panel: &Panel) -> f64 {
        let measure = &self.measure;
        let beside = match &panel.y.ticks {
            Ticks::Names { beside, beside_title, .. } if !beside.is_empty() => {
                let widths = beside.iter().chain([beside_title]).map(|text| measure.width(text));
                widths.fold(0.0, f64::max) + 0.8 * measure.text
            }
            _ => 0.0,
        };
        let stretches = panel.layers.iter().filter_map(|layer| match layer {
            Layer::Stretch { label, .. } if !label.is_empty() => Some(measure.width(label) + 0.6 * measure.text),
            _ => None,
        });
        stretches.fold(beside, f64::max)
    }

    fn panel(&self, place: usize, frame: [f64; 4], [label_room, right_room]: [f64; 2]) -> Placed<'a> {
        let (panel, measure) = (&self.figure.panels[place], &self.measure);
        let [left, top, right, bottom] = frame;
        let scale = |axis: &FigureAxis, low: f64, high: f64| match axis.is_turned {
            false => Scale::of(axis.range, low, high),
            true => Scale::of(axis.range, high, low),
        };
        let names = match &panel.y.ticks {
            Ticks::Names { names, .. } => names.iter().map(|name| self.names_of(name)).collect(),
            _ => Vec::new(),
        };
        Placed {
            number: place + 1,
            panel,
            x: scale(&panel.x, left, right),
            y: scale(&panel.y, bottom, top),
            frame,
            x_ticks: x_ticks(&panel.x, right - left, measure),
            y_ticks: y_ticks(&panel.y, bottom - top, measure),
            names,
            has_x_labels: !self.shares_x(place),
            has_y_labels: !self.shares_y(place),
            has_x_title: !self.one_x_title && !self.shares_x(place),
            has_y_title: !self.one_y_title && !self.shares_y(place),
            has_wood_names: self.figure.woods == Woods::Rows,
            label_room,
            right_room,
        }
    }
}

/// Whether two axes are one: the labels of the one stand for the other.
fn is_alike(a: &FigureAxis, b: &FigureAxis) -> bool {
    let is_same = match (&a.ticks, &b.ticks) {
        (Ticks::Names { names, .. }, Ticks::Names { names: others, .. }) => names == others,
        (a, b) => a == b,
    };
    is_same && a.title == b.title && a.is_turned == b.is_turned && {
        let [a, b] = [spread(a.range), spread(b.range)];
        a.iter().zip(&b).all(|(a, b)| a.total_cmp(b).is_eq())
    }
}

fn widest(measure: &Measure, ticks: &[Tick]) -> f64 {
    ticks.iter().map(|tick| measure.width(&tick.label)).fold(0.0, f64::max)
}
