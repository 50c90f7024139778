//! Raised and lowered parts of a title: `kg m^{-3}`, `u_{max}`.

use super::font::drawable;
use super::scene::{Level, Run};

/// The runs of a title with marks in it; a mark that is not closed is taken as it stands.
pub(super) fn runs(title: &str) -> Vec<Run> {
    let (mut runs, mut rest) = (Vec::new(), title);
    let mut line = String::new();
    while let Some(at) = rest.find(['^', '_']) {
        let (before, mark) = rest.split_at(at);
        let inner = mark[1..].strip_prefix('{').and_then(|after| after.split_once('}'));
        let Some((inside, after)) = inner else {
            line.push_str(&rest[..=at]);
            rest = &mark[1..];
            continue;
        };
        line.push_str(before);
        push(&mut runs, &line, Level::Line);
        line.clear();
        push(&mut runs, inside, if mark.starts_with('^') { Level::Raised } else { Level::Lowered });
        rest = after;
    }
    line.push_str(rest);
    push(&mut runs, &line, Level::Line);
    runs
}

/// A text as it stands, in one run.
pub(super) fn plain(text: &str) -> Vec<Run> {
    vec![Run { text: drawable(text), level: Level::Line, is_italic: false }]
}

/// A name of a wood: Latin, which is set in italics up to a comma, where it begins with a capital.
pub(super) fn wood(name: &str) -> Vec<Run> {
    if !name.starts_with(|c: char| c.is_ascii_uppercase()) {
        return plain(name);
    }
    let (latin, rest) = name.split_at(name.find(',').unwrap_or(name.len()));
    let run = |text: &str, is_italic| Run { text: drawable(text), level: Level::Line, is_italic };
    [run(latin, true), run(rest, false)].into_iter().filter(|run| !run.text.is_empty()).collect()
}

fn push(runs: &mut Vec<Run>, text: &str, level: Level) {
    if !text.is_empty() {
        let text = if level == Level::Line { drawable(text) } else { drawable(&text.replace('-', "\u{2212}")) };
        runs.push(Run { text, level, is_italic: false });
    }
}

/// A unit as it is printed: `kg/m3` becomes `kg m^{-3}`.
pub(super) fn unit(ucum: &str) -> String {
    match ucum {
        "kg/m3" => "kg m^{-3}".to_owned(),
        "g/cm3" => "g cm^{-3}".to_owned(),
        "cm3" => "cm^{3}".to_owned(),
        "g/kg" => "g kg^{-1}".to_owned(),
        "mg/kg" => "mg kg^{-1}".to_owned(),
        "mg/L" => "mg L^{-1}".to_owned(),
        "g/L" => "g L^{-1}".to_owned(),
        "uS/cm" => "µS cm^{-1}".to_owned(),
        "Cel" => "°C".to_owned(),
        other => other.to_owned(),
    }
}

/// The title of an axis: a capital, and the unit in brackets where there is one.
pub(super) fn axis_title(title: &str, ucum: &str) -> String {
    let mut letters = title.chars();
    let title: String = letters.next().into_iter().flat_map(char::to_uppercase).chain(letters).collect();
    let title = title.strip_prefix("Max. ").map_or(title.clone(), |rest| format!("Maximum {rest}"));
    match ucum {
        "" | "1" | "[pH]" => title,
        ucum => format!("{title} ({})", unit(ucum)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn told(title: &str) -> Vec<(String, Level)> {
        runs(title).into_iter().map(|run| (run.text, run.level)).collect()
    }

    #[test]
    fn marks_become_runs_and_what_is_no_mark_stays() {
        let line = |text: &str| (text.to_owned(), Level::Line);
        let raised = |text: &str| (text.to_owned(), Level::Raised);
        assert_eq!(told("(kg m^{-3})"), [line("(kg m"), raised("\u{2212}3"), line(")")]);
        assert_eq!(told("u_{max}"), [line("u"), ("max".to_owned(), Level::Lowered)]);
        assert_eq!(told("a_b ^ c_{open"), [line("a_b ^ c_{open")]);
        assert_eq!(told(""), []);
    }

    #[test]
    fn a_title_has_a_capital_and_its_unit() {
        assert_eq!(axis_title("basic density", "kg/m3"), "Basic density (kg m^{-3})");
        assert_eq!(axis_title("max. water content", "%"), "Maximum water content (%)");
        assert_eq!(axis_title("ph bath", "[pH]"), "Ph bath");
    }
}
