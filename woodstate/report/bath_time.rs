//! The view of `bath time`.

use crate::study::{BathCourse, BathTiming, ShareTimes, TimberTimes};

use super::bath::{close, heads_of, or_empty, plain, three, time, with_unit};
use super::{Align, Block, Grid, View, choice_sentence};

/// The view of `bath time`.
#[must_use]
pub fn bath_time_view(timing: &BathTiming) -> View {
    let mut view = View::default();
    for choice in &timing.choices {
        view.push(Block::Paragraph(choice_sentence(choice)));
    }
    view.push(Block::Heading("How long until the wood has come near its bath".to_owned()));
    for used in &timing.diffusivities {
        view.push(Block::Paragraph(format!(
            "Diffusivity {}: {} [{}].",
            used.of,
            with_unit(&used.value),
            used.evidence
        )));
    }
    let known = || timing.timbers.iter().filter(|timber| timber.not_computed.is_none());
    if known().next().is_some() {
        view.push(Block::Table(endless(known())));
        view.push(Block::Paragraph(
            "Average: share of what the wood takes up in the end. Centre: share of the strength of the bath."
                .to_owned(),
        ));
    }
    if known().any(|timber| !timber.stirred.is_empty()) {
        view.push(Block::Table(stirred(known())));
    }
    for timber in known() {
        for (course, which) in [(&timber.course, ""), (&timber.second, ", second impregnant")] {
            if let Some(course) = course {
                view.push(Block::Heading(format!("{}{which}: the baths one after the other", timber.timber)));
                view.push(Block::Table(moments(course)));
                view.blocks.extend(to_ninety(course).map(Block::Paragraph));
            }
        }
    }
    let without =
        timing.timbers.iter().filter_map(|timber| Some((timber.timber.clone(), timber.not_computed.clone()?)));
    let without: Vec<(String, String)> = without.collect();
    if !without.is_empty() {
        view.push(Block::Listing("Not computed:".to_owned(), without));
    }
    close(&mut view, &timing.notes, &timing.cautions, &timing.safety, &timing.sources);
    view
}

/// One row a timber; for each share the average and the centre.
fn endless<'a>(timbers: impl Iterator<Item = &'a TimberTimes>) -> Grid {
    let mut grid = Grid::new(&[
        ("timber", Align::Left),
        ("shape", Align::Left),
        ("average\n50 %", Align::Right),
        ("average\n90 %", Align::Right),
        ("average\n99 %", Align::Right),
        ("centre\n50 %", Align::Right),
        ("centre\n90 %", Align::Right),
        ("centre\n99 %", Align::Right),
    ]);
    grid.n_names = 1;
    for timber in timbers {
        let of = |share: f64| timber.endless.iter().find(|times| (times.share - share).abs() < 0.5);
        let mut row = vec![timber.timber.clone(), shape(timber)];
        row.extend([50.0, 90.0, 99.0].map(|share| of(share).map_or_else(String::new, |times| time(&times.average))));
        row.extend(
            [50.0, 90.0, 99.0]
                .map(|share| of(share).and_then(|times| times.centre.as_ref()).map_or_else(String::new, time)),
        );
        grid.rows.push(row);
    }
    grid
}

fn shape(timber: &TimberTimes) -> String {
    let rim = if timber.has_rim { ", rim and core" } else { "" };
    let ends = if timber.has_ends { ", ends counted" } else { "" };
    format!("{}{rim}{ends}", timber.shape.as_deref().unwrap_or("unknown"))
}

fn stirred<'a>(timbers: impl Iterator<Item = &'a TimberTimes>) -> Grid {
    let mut grid = Grid::new(&[
        ("timber", Align::Left),
        ("in the tank, average\n50 %", Align::Right),
        ("in the tank, average\n90 %", Align::Right),
        ("in the tank, average\n99 %", Align::Right),
    ]);
    grid.n_names = 1;
    for timber in timbers.filter(|timber| !timber.stirred.is_empty()) {
        let of = |share: f64| timber.stirred.iter().find(|times| (times.share - share).abs() < 0.5);
        let mut row = vec![timber.timber.clone()];
        row.extend([50.0, 90.0, 99.0].map(|share| of(share).map_or_else(String::new, |times| time(&times.average))));
        grid.rows.push(row);
    }
    grid
}

fn moments(course: &BathCourse) -> Grid {
    let mut grid = Grid::new(&[
        ("bath", Align::Right),
        ("strength\ng/L", Align::Right),
        ("ends\nd", Align::Right),
        ("in the wood, mean\ng/L", Align::Right),
        ("in the centre\ng/L", Align::Right),
    ]);
    grid.n_names = 1;
    for bath in &course.baths {
        grid.rows.push(vec![
            bath.bath.to_string(),
            crate::quantity::shown_value(bath.strength),
            bath.ends.map_or_else(|| "goes on".to_owned(), crate::quantity::shown_value),
            or_empty(bath.mean.as_ref()),
            or_empty(bath.centre.as_ref()),
        ]);
    }
    grid
}

fn to_ninety(course: &BathCourse) -> Option<String> {
    let average = course.to_ninety.as_ref().map(|days| format!("the mean of the wood after {}", time(days)));
    let centre = course.centre_to_ninety.as_ref().map(|days| format!("its centre after {}", time(days)));
    let both: Vec<String> = average.into_iter().chain(centre).collect();
    (!both.is_empty()).then(|| format!("90 % of the strength of the last bath is reached by {}.", both.join(", by ")))
}

/// The table of `bath time` for a pipe.
#[must_use]
pub fn bath_time_plain(timing: &BathTiming) -> View {
    View { blocks: vec![Block::Table(bath_time_table(timing))] }
}

/// One row a timber and share.
pub(super) fn bath_time_table(timing: &BathTiming) -> Grid {
    let mut heads: Vec<String> = ["timber", "shape", "bath", "share [%]"].map(str::to_owned).to_vec();
    heads.extend(heads_of("average", "d"));
    heads.extend(heads_of("centre", "d"));
    heads.push("not_computed".to_owned());
    let mut rows = Vec::new();
    for timber in &timing.timbers {
        let mut row = |bath: &str, times: Option<&ShareTimes>| {
            let mut row = vec![timber.timber.clone(), shape(timber), bath.to_owned()];
            row.push(times.map(|times| times.share.to_string()).unwrap_or_default());
            row.extend(three(times.map(|times| &times.average)));
            row.extend(three(times.and_then(|times| times.centre.as_ref())));
            row.push(timber.not_computed.clone().unwrap_or_default());
            rows.push(row);
        };
        timber.endless.iter().for_each(|times| row("endless", Some(times)));
        timber.stirred.iter().for_each(|times| row("tank", Some(times)));
        if timber.not_computed.is_some() {
            row("", None);
        }
    }
    plain(&heads, rows)
}
