//! A drawing as SVG: text stays text, one unit is 0.01 mm, every id begins with the prefix.

use std::fmt::Write;

use super::palette::{Rgb, Shape};
use super::scene::{Anchor, Group, LOWERED, Level, Mark, RAISED, SMALL, Scene, Spot, Stroke, Text};

/// Fonts of the text, the one that it was measured in first but for its twin of the same widths.
const FAMILIES: &str = "Arial, 'Liberation Sans', Helvetica, sans-serif";

/// Title and description of a drawing.
pub(super) struct Told<'a> {
    pub(super) prefix: &'a str,
    pub(super) title: &'a str,
    pub(super) description: &'a str,
}

/// Writes a drawing.
pub(super) fn svg(scene: &Scene, told: &Told<'_>) -> String {
    let [width, height] = scene.size.map(f64::round);
    let Told { prefix, title, description } = told;
    let mut out = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{}mm\" height=\"{}mm\" viewBox=\"0 0 {width} {height}\" \
         role=\"img\" aria-labelledby=\"{prefix}title {prefix}text\" font-family=\"{FAMILIES}\">\n\
         <title id=\"{prefix}title\">{}</title>\n<desc id=\"{prefix}text\">{}</desc>\n",
        width / 100.0,
        height / 100.0,
        escaped(title),
        escaped(description),
    );
    let windows = scene.groups.iter().filter_map(|group| Some((group, group.window?)));
    for (group, [left, top, right, bottom]) in windows {
        let (x, y, w, h) = (left.round(), top.round(), (right - left).round(), (bottom - top).round());
        put(
            &mut out,
            format_args!(
                "<clipPath id=\"{prefix}{}-window\"><rect x=\"{x}\" y=\"{y}\" width=\"{w}\" height=\"{h}\"/></clipPath>\n",
                group.id
            ),
        );
    }
    if let Some(ground) = scene.ground {
        put(&mut out, format_args!("<rect width=\"{width}\" height=\"{height}\" fill=\"{}\"/>\n", hex(ground)));
    }
    scene.groups.iter().for_each(|group| group_of(&mut out, group, prefix));
    out.push_str("</svg>\n");
    out
}

fn group_of(out: &mut String, group: &Group, prefix: &str) {
    let window = match group.window {
        Some(_) => format!(" clip-path=\"url(#{prefix}{}-window)\"", group.id),
        None => String::new(),
    };
    put(out, format_args!("<g id=\"{prefix}{}\"{window}>\n", group.id));
    for mark in &group.marks {
        match mark {
            Mark::Path { lines, is_closed, fill, stroke } => {
                out.push_str("<path d=\"");
                lines.iter().for_each(|line| polyline(out, line, *is_closed));
                put(out, format_args!("\"{}{}/>\n", filled(*fill), stroked(stroke.as_ref())));
            }
            Mark::Veil { corners, rgb, share } => {
                out.push_str("<path d=\"");
                polyline(out, corners, true);
                // Never plain opacity: a group of its own for each element makes a file large and slow.
                put(out, format_args!("\"{} fill-opacity=\"{share}\"/>\n", filled(Some(*rgb))));
            }
            Mark::Points { at, shape, radius, fill, stroke } => {
                // One path for many points: a tenth of the bytes and of the time of an element a point. Not one for all: a
                // rasteriser slows down with the number of edges of a path.
                for some in at.chunks(500) {
                    out.push_str("<path d=\"");
                    some.iter().for_each(|spot| point(out, *spot, *shape, *radius));
                    put(out, format_args!("\"{}{}/>\n", filled(*fill), stroked(Some(stroke))));
                }
            }
            Mark::Text(text) => text_of(out, text),
            Mark::Picture { size: [width, height], base64 } => put(
                out,
                format_args!(
                    "<image width=\"{}\" height=\"{}\" href=\"data:image/png;base64,{base64}\"/>\n",
                    width.round(),
                    height.round()
                ),
            ),
        }
    }
    out.push_str("</g>\n");
}

fn polyline(out: &mut String, line: &[Spot], is_closed: bool) {
    let mut before: Option<[i64; 2]> = None;
    for spot in line {
        let [x, y] = spot.map(units);
        match before {
            None => put(out, format_args!("M{x} {y}")),
            // What rounds to nothing is left out, but for a line that is all in one place.
            Some([a, b]) if [a, b] == [x, y] && line.len() > 2 => {}
            Some([a, b]) => put(out, format_args!("l{} {}", x - a, y - b)),
        }
        before = Some([x, y]);
    }
    if is_closed {
        out.push('z');
    }
}

/// A coordinate in whole units.
#[allow(clippy::cast_possible_truncation, reason = "OK because coordinates lie on a sheet; `as` saturates")]
fn units(coordinate: f64) -> i64 {
    coordinate.round() as i64
}

fn point(out: &mut String, [x, y]: Spot, shape: Shape, radius: f64) {
    let (x, y, r) = (units(x), units(y), units(radius));
    let (slim, wide, low) = (units(radius * 0.89), units(radius * 1.2), units(radius * 0.62));
    match shape {
        Shape::Circle => put(out, format_args!("M{} {y}a{r} {r} 0 1 0 {d} 0a{r} {r} 0 1 0-{d} 0z", x - r, d = 2 * r)),
        Shape::Square => {
            put(out, format_args!("M{} {}h{d}v{d}h-{d}z", x - slim, y - slim, d = 2 * slim));
        }
        Shape::Triangle => put(out, format_args!("M{x} {}l{r} {d}h-{e}z", y - wide, d = wide + low, e = 2 * r)),
        Shape::Nabla => put(out, format_args!("M{x} {}l{r} -{d}h-{e}z", y + wide, d = wide + low, e = 2 * r)),
        Shape::Diamond => put(out, format_args!("M{x} {}l{wide} {wide}l-{wide} {wide}l-{wide} -{wide}z", y - wide)),
        Shape::Cross => {
            let d = 2 * slim;
            put(out, format_args!("M{a} {b}l{d} {d}M{a} {c}l{d} -{d}", a = x - slim, b = y - slim, c = y + slim));
        }
        Shape::Plus => put(out, format_args!("M{} {y}h{d}M{x} {}v{d}", x - wide, y - wide, d = 2 * wide)),
    }
}

fn text_of(out: &mut String, text: &Text) {
    let [x, y] = text.at.map(units);
    let anchor = match text.anchor {
        Anchor::Start => "",
        Anchor::Middle => " text-anchor=\"middle\"",
        Anchor::End => " text-anchor=\"end\"",
    };
    let turn = if text.is_upright { format!(" transform=\"rotate(-90 {x} {y})\"") } else { String::new() };
    let face = match text.face {
        super::font::Face::Regular => "",
        super::font::Face::Italic => " font-style=\"italic\"",
        super::font::Face::Bold => " font-weight=\"bold\"",
    };
    let size = units(text.size);
    put(
        out,
        format_args!("<text x=\"{x}\" y=\"{y}\" font-size=\"{size}\" fill=\"{}\"{anchor}{face}{turn}>", hex(text.rgb)),
    );
    let mut shift = 0;
    for run in &text.runs {
        let wanted = match run.level {
            Level::Line => 0,
            Level::Raised => -units(RAISED * text.size),
            Level::Lowered => units(LOWERED * text.size),
        };
        let body = escaped(&run.text);
        // Each shift is undone by the next run: baseline-shift is not understood everywhere.
        let mut style = String::new();
        if wanted != shift {
            style.push_str(&format!(" dy=\"{}\"", wanted - shift));
        }
        if run.level != Level::Line {
            style.push_str(&format!(" font-size=\"{}\"", units(text.size * SMALL)));
        }
        if run.is_italic {
            style.push_str(" font-style=\"italic\"");
        }
        // Each shift is undone by the next run: baseline-shift is not understood everywhere.
        match style.is_empty() {
            true => out.push_str(&body),
            false => put(out, format_args!("<tspan{style}>{body}</tspan>")),
        }
        shift = wanted;
    }
    out.push_str("</text>\n");
}

fn filled(fill: Option<Rgb>) -> String {
    fill.map_or_else(|| " fill=\"none\"".to_owned(), |rgb| format!(" fill=\"{}\"", hex(rgb)))
}

fn stroked(stroke: Option<&Stroke>) -> String {
    let Some(Stroke { rgb, width, dash }) = stroke else { return String::new() };
    let dashes: Vec<String> = dash.iter().map(|part| units(part * width).to_string()).collect();
    let dashes = if dashes.is_empty() { String::new() } else { format!(" stroke-dasharray=\"{}\"", dashes.join(" ")) };
    format!(" stroke=\"{}\" stroke-width=\"{}\"{dashes}", hex(*rgb), units(*width).max(1))
}

fn hex([r, g, b]: Rgb) -> String {
    format!("#{r:02x}{g:02x}{b:02x}")
}

/// A text in which nothing is taken for a mark of XML.
pub(super) fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for character in text.chars() {
        match character {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\n' | '\t' => out.push(' '),
            other if other.is_control() || matches!(other, '\u{fffe}' | '\u{ffff}') => {}
            other => out.push(other),
        }
    }
    out
}

fn put(out: &mut String, text: std::fmt::Arguments<'_>) {
    // Writing to a string does not fail.
    let _ = out.write_fmt(text);
}
