//! The view of `profile`: one timber to be read aloud, or many in a table.

use crate::error::DepthCautionCode;
use crate::profile::DepthCaution;
use crate::quantity::{counted, shown, shown_value};
use crate::study::{DepthNumber, PartState, Profiles, SoftRimDepth, TimberDepth};

use super::{Align, Block, Grid, View, choice_sentence};

/// Timbers up to which each is told at length.
const AT_LENGTH: usize = 3;

/// Pieces named for one reason at most.
const NAMED: usize = 12;

/// The view of `profile`.
#[must_use]
pub fn profiles_view(profiles: &Profiles) -> View {
    let mut view = View::default();
    if let Some(stopped) = profiles.stopped {
        view.push(Block::Paragraph(stopped.sentence()));
    }
    for choice in &profiles.choices {
        view.push(Block::Paragraph(choice_sentence(choice)));
    }
    let is_short = profiles.profiles.len() > AT_LENGTH;
    if is_short {
        let (table, legend) = timbers_grid(profiles, usize::MAX);
        view.push(Block::Table(table));
        view.push(Block::Legend(legend));
    } else {
        profiles.profiles.iter().for_each(|timber| one(&mut view, profiles, timber));
    }
    if !profiles.left_out.is_empty() {
        view.push(Block::Listing("Pieces in no profile:".to_owned(), left_out(profiles)));
    }
    if !profiles.without.is_empty() {
        let shown = profiles.without.iter().take(NAMED).map(String::as_str).collect::<Vec<_>>().join(", ");
        let more = profiles.without.len().saturating_sub(NAMED);
        let more = if more > 0 { format!(" and {more} more (--json lists them)") } else { String::new() };
        view.push(Block::Paragraph(format!("Timbers without any increment that can be used: {shown}{more}.")));
    }
    for note in &profiles.notes {
        view.push(Block::Paragraph(note.clone()));
    }
    view.push(Block::Paragraph(closing(profiles, is_short)));
    view
}

fn one(view: &mut View, profiles: &Profiles, timber: &TimberDepth) {
    let wood = timber.taxon.as_ref().map_or_else(String::new, |taxon| format!(", {taxon}"));
    view.push(Block::Heading(format!("{}{wood}: {} in depth", timber.timber, profiles.value.title)));
    view.push(Block::Paragraph(timber.meaning.join(" ")));
    view.push(Block::Table(increments(profiles, timber)));
    let parts = parts(timber);
    if !parts.rows.is_empty() {
        view.push(Block::Table(parts));
    }
    view.push(Block::Paragraph(format!("Curve: {}.", timber.reason)));
    if let Some(found) = &timber.break_depth {
        let each: Vec<String> = found.intervals.iter().map(|ends| open(*ends)).collect();
        let drawn = found.drawn.map_or_else(String::new, |ends| format!("; by draws {}", open(ends)));
        let excluded = if each.is_empty() { "unknown".to_owned() } else { each.join(" or ") };
        let depth = shown_value(tenth(found.depth));
        view.push(Block::Paragraph(format!("Break at {depth} mm; not excluded by the data: {excluded} mm{drawn}.")));
    }
    if !timber.parameters.is_empty() {
        view.push(Block::Table(parameters(timber)));
    }
    if !timber.cautions.is_empty() {
        view.push(Block::Listing("Cautions:".to_owned(), timber.cautions.iter().map(caution).collect()));
    }
}

fn caution(caution: &DepthCaution) -> (String, String) {
    let detail = caution.detail.as_ref().map_or_else(String::new, |detail| format!(" ({detail})"));
    let consequence = DepthCautionCode::story(caution.of).consequence;
    (caution.code.to_owned(), format!("{}{detail}. {consequence}", caution.text))
}

fn tenth(value: f64) -> f64 {
    (value * 10.0).round() / 10.0
}

fn open([low, high]: [Option<f64>; 2]) -> String {
    let end = |end: Option<f64>| end.map_or_else(|| "open".to_owned(), |end| shown_value(tenth(end)));
    format!("{} - {}", end(low), end(high))
}

fn with_unit(title: &str, unit: &str) -> String {
    if unit == "1" { title.to_owned() } else { format!("{title}\n{unit}") }
}

/// Increments of all cores, from the surface inwards.
fn increments(profiles: &Profiles, timber: &TimberDepth) -> Grid {
    let head = with_unit(&profiles.value.title, &profiles.value.unit);
    let mut grid = Grid::new(&[
        ("core", Align::Left),
        ("face", Align::Left),
        ("sample", Align::Left),
        ("depth\nmm", Align::Right),
        (&head, Align::Right),
    ]);
    grid.n_names = 1;
    for core in &timber.cores {
        for increment in &core.increments {
            let [from, to] = increment.depth.map(shown_value);
            grid.rows.push(vec![
                core.core.clone().unwrap_or_else(|| "unknown".to_owned()),
                core.face.clone().unwrap_or_default(),
                increment.sample.clone().unwrap_or_default(),
                format!("{from} - {to}"),
                shown(increment.value, increment.u),
            ]);
        }
    }
    grid.without_empty_columns()
}

/// Rim, core and whole section beside each other.
fn parts(timber: &TimberDepth) -> Grid {
    let parts = [("soft rim", &timber.rim), ("core", &timber.core), ("whole section, for its mass", &timber.whole)];
    let known: Vec<(&str, &PartState)> =
        parts.into_iter().filter_map(|(name, part)| Some((name, part.as_ref()?))).collect();
    let mut grid = Grid::new(&[
        ("part", Align::Left),
        ("depth\nmm", Align::Right),
        ("of section\n%", Align::Right),
        ("max. water\ncontent %", Align::Right),
        ("basic density\nkg/m3", Align::Right),
        ("residual basic\ndensity %", Align::Right),
        ("class", Align::Left),
    ]);
    grid.n_names = 1;
    for (name, part) in known {
        let value = |quantity: &str| {
            let found = part.values.iter().find(|entry| entry.quantity == quantity);
            found.map_or_else(|| "unknown".to_owned(), |entry| shown(entry.mean.value, entry.mean.u))
        };
        let class = part.degradation_class.as_ref().map_or_else(String::new, |class| match &class.most_likely {
            None => "no class".to_owned(),
            Some(label) if class.decided => label.clone(),
            Some(label) => format!("{label}, not decided"),
        });
        let [from, to] = part.depth.map(|depth| shown_value(tenth(depth)));
        grid.rows.push(vec![
            name.to_owned(),
            format!("{from} - {to}"),
            part.share.map_or_else(|| "unknown".to_owned(), |share| shown_value(share.round())),
            if part.degradation_class.is_some() { value("max_water_content") } else { String::new() },
            value("basic_density"),
            value("residual_basic_density"),
            class,
        ]);
    }
    grid
}

fn parameters(timber: &TimberDepth) -> Grid {
    let mut grid = Grid::new(&[
        ("parameter", Align::Left),
        ("value", Align::Right),
        ("by draws", Align::Right),
        ("unit", Align::Left),
        ("what it is", Align::Left),
    ]);
    let row = |parameter: &crate::study::ProfileParameter| {
        let interval = match parameter.interval {
            [None, None] => String::new(),
            [low, high] => {
                let end = |end: Option<f64>| end.map_or_else(|| "open".to_owned(), shown_value);
                format!("{} - {}", end(low), end(high))
            }
        };
        vec![
            parameter.name.to_owned(),
            shown(parameter.value, parameter.u),
            interval,
            if parameter.unit == "1" { String::new() } else { parameter.unit.clone() },
            parameter.meaning.to_owned(),
        ]
    };
    grid.rows = timber.parameters.iter().map(row).collect();
    grid.without_empty_columns()
}

/// Depth of the rim as one cell.
fn rim_cell(rim: Option<&SoftRimDepth>, deepest: f64) -> String {
    let Some(rim) = rim else { return "unknown".to_owned() };
    match (rim.end, rim.depth) {
        ("none", _) => "none".to_owned(),
        ("beyond_cores", _) => format!("> {}", shown_value(deepest)),
        (_, Some(depth)) => shown(depth.value, depth.u),
        _ => "unknown".to_owned(),
    }
}

/// The first timbers in one table, and what its letters mean.
pub(super) fn timbers_grid(profiles: &Profiles, most: usize) -> (Grid, Vec<(String, String)>) {
    let mut grid = Grid::new(&[
        ("timber", Align::Left),
        ("cores", Align::Right),
        ("to\nmm", Align::Right),
        ("soft rim\nmm", Align::Right),
        ("by increments\nmm", Align::Right),
        ("sound core\nmm", Align::Right),
        ("of section\n%", Align::Right),
        ("curve", Align::Left),
        ("", Align::Left),
    ]);
    grid.n_names = 1;
    let letter = |code: &str| {
        let place = profiles.cautions.iter().position(|entry| entry.code == code).unwrap_or(0);
        let letter = u32::try_from(place % 26).ok().and_then(|place| char::from_u32(u32::from('a') + place));
        let again = place / 26;
        format!("{}{}", letter.unwrap_or('?'), if again == 0 { String::new() } else { again.to_string() })
    };
    for timber in profiles.profiles.iter().take(most) {
        let rim = timber.soft_rim.as_ref();
        let by_increments = rim.map_or_else(String::new, |rim| match rim.between {
            [Some(low), Some(high)] => open([Some(low), Some(high)]),
            [Some(low), None] => format!("> {}", shown_value(tenth(low))),
            _ => String::new(),
        });
        let core = timber.sound_core.as_ref();
        let size = |size: &DepthNumber| shown_value(size.value.round());
        let sizes = core.map(|core| match core.share.value > 0.0 {
            true => core.sizes.iter().map(size).collect::<Vec<_>>().join(" x "),
            false => "none".to_owned(),
        });
        let marks: Vec<String> = timber.cautions.iter().map(|caution| letter(caution.code)).collect();
        grid.rows.push(vec![
            timber.timber.clone(),
            timber.cores.len().to_string(),
            timber.depth.map_or_else(String::new, |[_, to]| shown_value(to)),
            rim_cell(rim, timber.depth.map_or(0.0, |[_, to]| to)),
            by_increments,
            sizes.unwrap_or_else(|| "unknown".to_owned()),
            core.map_or_else(|| "unknown".to_owned(), |core| shown(core.share.value, core.share.u)),
            timber.model.unwrap_or("none").to_owned(),
            marks.join(" "),
        ]);
    }
    let legend = profiles.cautions.iter().map(|entry| {
        (letter(entry.code), format!("{} ({}) [{}]", entry.text, counted(entry.timbers, "timber"), entry.code))
    });
    (grid, legend.collect())
}

/// Each reason with the pieces it holds for.
fn left_out(profiles: &Profiles) -> Vec<(String, String)> {
    let mut reasons: Vec<&str> = profiles.left_out.iter().map(|piece| piece.reason).collect();
    reasons.sort_unstable();
    reasons.dedup();
    let of = |reason: &str| {
        let named = profiles.left_out.iter().filter(|piece| piece.reason == reason);
        let names: Vec<&str> = named.map(|piece| piece.sample.as_deref().unwrap_or("(no name)")).collect();
        let more = names.len().saturating_sub(NAMED);
        let more = if more > 0 { format!(" and {more} more (--json lists them)") } else { String::new() };
        (reason.to_owned(), format!("{}{more}", names[..names.len().min(NAMED)].join(", ")))
    };
    reasons.into_iter().map(of).collect()
}

fn closing(profiles: &Profiles, is_short: bool) -> String {
    let first = profiles.profiles.first().map_or("", |timber| timber.timber.as_str());
    let one = if is_short { format!("One timber at length: --where \"timber == '{first}'\". ") } else { String::new() };
    let limits: Vec<&crate::study::DepthThreshold> =
        profiles.profiles.iter().filter_map(|timber| timber.threshold.as_ref()).collect();
    let sound = match limits.first().filter(|_| is_short) {
        Some(first) if limits.iter().all(|limit| limit.value.total_cmp(&first.value).is_eq()) => {
            format!("Sound from {} {} ({}). ", shown_value(tenth(first.value)), first.unit, first.reason)
        }
        _ => String::new(),
    };
    let replicates = match profiles.replicates {
        0 => "no draws".to_owned(),
        n => format!("{n} draws a timber, seed {}", profiles.settings.seed),
    };
    format!(
        "{sound}{one}± is one standard uncertainty; in brackets {} %; {replicates}. The long story of a word: woodstate explain {}",
        shown_value(profiles.settings.coverage * 100.0),
        profiles.cautions.first().map_or("profile", |entry| entry.code),
    )
}
