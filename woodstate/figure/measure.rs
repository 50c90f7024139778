//! How large texts are: names on one or two lines, titles that wrap, what fits into a width.

use super::Sheet;
use super::font::{Face, drawable};
use super::markup;
use super::scene::{Anchor, Run, Spot, Text, width};

/// Hundredths of a millimetre in a point.
const POINT: f64 = 2540.0 / 72.0;

/// Sizes of text and lines on a sheet, in hundredths of a millimetre.
#[derive(Debug, Clone, Copy)]
pub(super) struct Measure {
    /// Titles of axes.
    pub(super) title: f64,
    /// Everything else.
    pub(super) text: f64,
    /// A line of an axis.
    pub(super) axis: f64,
    /// A curve.
    pub(super) curve: f64,
    /// A box, a bar, the edge of a point.
    pub(super) thin: f64,
    /// A tick.
    pub(super) tick: f64,
    /// Half a point.
    pub(super) radius: f64,
}

impl Measure {
    pub(super) fn of(sheet: &Sheet) -> Self {
        let line = sheet.line.max(0.1);
        Self {
            title: sheet.title_size * POINT,
            text: sheet.text_size * POINT,
            axis: 0.7 * POINT * line,
            curve: 1.2 * POINT * line,
            thin: 0.6 * POINT * line,
            tick: 80.0 * line,
            radius: 65.0 * line,
        }
    }

    /// A plain text of the usual size.
    pub(super) fn label(&self, text: &str, at: Spot, anchor: Anchor) -> Text {
        self.with(markup::plain(text), at, anchor)
    }

    /// Runs of the usual size.
    pub(super) fn with(&self, runs: Vec<Run>, at: Spot, anchor: Anchor) -> Text {
        Text { at, anchor, is_upright: false, runs, size: self.text, face: Face::Regular, rgb: super::palette::INK }
    }

    pub(super) fn width(&self, text: &str) -> f64 {
        Face::Regular.width(&drawable(text), self.text)
    }

    /// A name on at most so many lines of a width; what does not fit ends in an ellipsis.
    pub(super) fn lines(&self, name: &str, room: f64, most: usize) -> Vec<String> {
        let mut lines: Vec<String> = Vec::new();
        let mut rest = name.split_whitespace().collect::<Vec<_>>().join(" ");
        while lines.len() + 1 < most && self.width(&rest) > room {
            let mut breaks = rest.match_indices([' ', '-', '/', '_']).map(|(at, sign)| at + sign.len());
            let Some(at) = breaks.rfind(|at| self.width(rest[..*at].trim_end()) <= room) else { break };
            lines.push(rest[..at].trim_end().to_owned());
            rest = rest[at..].trim_start().to_owned();
        }
        lines.push(self.fitted(&rest, room));
        lines
    }

    /// A text that fits into a width: its end gives way to an ellipsis.
    pub(super) fn fitted(&self, text: &str, room: f64) -> String {
        if self.width(text) <= room {
            return text.to_owned();
        }
        let mut kept: String = text.to_owned();
        while !kept.is_empty() && self.width(&format!("{kept}\u{2026}")) > room {
            kept.pop();
        }
        format!("{}\u{2026}", kept.trim_end())
    }

    /// The title of an axis on as many lines as it needs; what stands in brackets stays together.
    pub(super) fn title_lines(&self, title: &str, room: f64) -> Vec<Vec<Run>> {
        let mut words: Vec<String> = Vec::new();
        let mut depth = 0_usize;
        for word in title.split(' ').filter(|word| !word.is_empty()) {
            match words.last_mut().filter(|_| depth > 0) {
                Some(last) => {
                    last.push(' ');
                    last.push_str(word);
                }
                None => words.push(word.to_owned()),
            }
            depth = (depth + word.matches('(').count()).saturating_sub(word.matches(')').count());
        }
        let mut lines: Vec<String> = Vec::new();
        for word in words {
            let joined = lines.last().map(|line| format!("{line} {word}"));
            match joined.filter(|joined| width(&markup::runs(joined), Face::Regular, self.title) <= room) {
                Some(joined) => *lines.last_mut().unwrap_or(&mut String::new()) = joined,
                None => lines.push(word),
            }
        }
        lines.iter().map(|line| markup::runs(line)).collect()
    }
}

/// Height of a line as a multiple of the size of its text.
pub(super) const LEADING: f64 = 1.22;
