//! The view of `follow`: what is to be looked at first, then each timber, each tank, treated wood.

use crate::error::CourseCautionCode;
use crate::quantity::{counted, shown, shown_value};
use crate::study::{
    CourseCaution, CourseDay, CourseNumber, Efficiency, Following, ForecastThen, MeanShrinkage, TankCourse,
    TreatedTimber, Washing,
};

use super::{Align, Block, Grid, View};

/// Timbers up to which each is told at length.
const AT_LENGTH: usize = 4;

/// The view of `follow`.
#[must_use]
pub fn following_view(following: &Following) -> View {
    let mut view = View::default();
    view.blocks.extend(caution_blocks(following));
    view.blocks.extend(course_blocks(following));
    view.blocks.extend(treated_blocks(following));
    if !following.questions.is_empty() {
        let asked = following.questions.iter().map(|ask| (ask.line.clone(), ask.text.clone())).collect();
        let title = "The study file does not say (lines for [follow]; their numbers are examples):";
        view.push(Block::Listing(title.to_owned(), asked));
    }
    following.notes.iter().for_each(|note| view.push(Block::Paragraph(note.clone())));
    view.push(Block::Heading("Safety".to_owned()));
    following.safety.lines().into_iter().for_each(|line| view.push(Block::Paragraph(line)));
    if !following.sources.is_empty() {
        view.push(Block::Listing("Figures that were used, or stand beside results:".to_owned(), cited(following)));
    }
    view.push(Block::Paragraph(closing(following)));
    view
}

fn cited(following: &Following) -> Vec<(String, String)> {
    let one = |cited: &crate::quantity::Cited| {
        (cited.used_for.clone(), format!("{}, {} [{}]", cited.citation, cited.place, cited.evidence))
    };
    following.sources.iter().map(one).collect()
}

/// What is to be looked at.
pub(super) fn caution_blocks(following: &Following) -> Vec<Block> {
    if following.cautions.is_empty() {
        return vec![Block::Paragraph("Nothing in the log asks to be looked at.".to_owned())];
    }
    let mut grid = Grid::new(&[
        ("since", Align::Left),
        ("what", Align::Left),
        ("where", Align::Left),
        ("found", Align::Left),
        ("caution", Align::Left),
    ]);
    grid.n_names = 2;
    grid.rows = following.cautions.iter().map(caution_row).collect();
    let cures = following.legend.iter().map(|entry| (entry.code.to_owned(), entry.cure.to_owned())).collect();
    vec![
        Block::Heading("What to look at".to_owned()),
        Block::Table(grid),
        Block::Listing("What to do:".to_owned(), cures),
    ]
}

fn caution_row(caution: &CourseCaution) -> Vec<String> {
    let place = match (&caution.timber, &caution.tank) {
        (Some(timber), _) => format!("timber {timber}"),
        (None, Some(tank)) => format!("tank {tank}"),
        (None, None) => "log".to_owned(),
    };
    vec![
        caution.date.clone().unwrap_or_default(),
        CourseCautionCode::story(caution.of).text.to_owned(),
        place,
        caution.detail.clone().unwrap_or_default(),
        caution.code.to_owned(),
    ]
}

/// Timbers and tanks.
pub(super) fn course_blocks(following: &Following) -> Vec<Block> {
    let mut blocks = Vec::new();
    if !following.timbers.is_empty() {
        blocks.push(Block::Heading("Timbers".to_owned()));
        blocks.push(Block::Table(timbers(following)));
        let unfitted: Vec<(String, String)> = following
            .timbers
            .iter()
            .filter_map(|timber| Some((timber.timber.clone(), timber.no_fit.clone()?)))
            .collect();
        if !unfitted.is_empty() {
            blocks.push(Block::Listing("No diffusivity by the masses:".to_owned(), unfitted));
        }
        let told = following.timbers.iter().filter(|timber| !timber.history.is_empty());
        for timber in told.take(AT_LENGTH) {
            blocks.push(Block::Heading(format!("How the forecast of {} moved", timber.timber)));
            blocks.push(Block::Table(history(&timber.history)));
        }
    }
    for tank in &following.tanks {
        let name = tank.tank.as_deref().unwrap_or("without a name");
        let holds = tank.impregnant.as_ref().map_or_else(String::new, |what| format!(", {what}"));
        blocks.push(Block::Heading(format!("Tank {name}{holds}")));
        let [from, to] = &tank.days;
        blocks.push(Block::Paragraph(format!("{}, {from} to {to}.", counted(tank.rows, "row"))));
        blocks.extend(tank_blocks(tank));
    }
    blocks
}

fn timbers(following: &Following) -> Grid {
    let target = following.asked.target.map_or_else(String::new, |target| format!("{} %", shown_value(100.0 * target)));
    let heads = [
        "timber".to_owned(),
        "weighings".to_owned(),
        "gained\nkg".to_owned(),
        "gained\n%".to_owned(),
        "diffusivity\n1e-12 m2/s".to_owned(),
        String::new(),
        "average now\n% of bath".to_owned(),
        "centre now\n% of bath".to_owned(),
        format!("average at\n{target}"),
        format!("centre at\n{target}"),
    ];
    let columns: Vec<(&str, Align)> = heads
        .iter()
        .enumerate()
        .map(|(place, head)| (head.as_str(), if matches!(place, 0 | 5) { Align::Left } else { Align::Right }))
        .collect();
    let mut grid = Grid::new(&columns);
    grid.n_names = 1;
    for timber in &following.timbers {
        let plain = |number: &Option<CourseNumber>| number.as_ref().map(|n| shown_value(n.value)).unwrap_or_default();
        let ranged = |number: &Option<CourseNumber>| number.as_ref().map(|n| interval(n, 1.0)).unwrap_or_default();
        grid.rows.push(vec![
            timber.timber.clone(),
            timber.weighings.len().to_string(),
            plain(&timber.gained),
            plain(&timber.gained_share),
            timber.diffusivity.as_ref().map(|n| interval(n, 1e-12)).unwrap_or_default(),
            timber.diffusivity_from.unwrap_or_default().to_owned(),
            ranged(&timber.average_now),
            ranged(&timber.centre_now),
            timber.average_target.as_ref().map(day).unwrap_or_default(),
            timber.centre_target.as_ref().map(day).unwrap_or_default(),
        ]);
    }
    grid.without_empty_columns()
}

/// A number and its interval, in so large units.
pub(super) fn interval(number: &CourseNumber, unit: f64) -> String {
    let end = |end: Option<f64>| end.map_or_else(|| "open".to_owned(), |end| three(end / unit));
    match number.interval {
        [None, None] => format!("{} (unknown)", three(number.value / unit)),
        [low, high] => format!("{} ({} - {})", three(number.value / unit), end(low), end(high)),
    }
}

/// Three significant digits.
fn three(value: f64) -> String {
    let text = shown_value(value);
    match value.abs() {
        size if size >= 100.0 => shown_value(value.round()),
        size if size >= 10.0 => shown_value((value * 10.0).round() / 10.0),
        size if size >= 1.0 => shown_value((value * 100.0).round() / 100.0),
        _ => text,
    }
}

/// A day and its interval.
pub(super) fn day(day: &CourseDay) -> String {
    let end = |day: &Option<String>| day.clone().unwrap_or_else(|| "open".to_owned());
    let [early, late] = &day.interval;
    let value = day.day.clone().unwrap_or_else(|| "not in 100 years".to_owned());
    let reached = if day.is_reached { "reached " } else { "" };
    format!("{reached}{value} ({} - {})", end(early), end(late))
}

fn history(then: &[ForecastThen]) -> Grid {
    let mut grid = Grid::new(&[
        ("weighings", Align::Right),
        ("until", Align::Left),
        ("diffusivity\n1e-12 m2/s", Align::Right),
        ("average at target", Align::Right),
        ("centre at target", Align::Right),
    ]);
    grid.n_names = 2;
    let row = |one: &ForecastThen| {
        vec![
            one.weighings.to_string(),
            one.date.clone(),
            interval(&one.diffusivity, 1e-12),
            one.average_target.as_ref().map(day).unwrap_or_default(),
            one.centre_target.as_ref().map(day).unwrap_or_default(),
        ]
    };
    grid.rows = then.iter().map(row).collect();
    grid.without_empty_columns()
}

fn tank_blocks(tank: &TankCourse) -> Vec<Block> {
    let mut blocks = Vec::new();
    if let (Some(first), Some(last)) = (tank.strengths.first(), tank.strengths.last()) {
        let one = |strength: &crate::study::Strength| {
            let basis = if strength.unit == "%" { "% by mass" } else { strength.unit };
            let volume = match (strength.unit, strength.mass_per_volume) {
                ("%", Some(found)) => format!(" ({} g/L)", three(found)),
                _ => String::new(),
            };
            format!("{} {basis}{volume} on {}", shown_value(strength.value), strength.date)
        };
        let n = counted(tank.strengths.len(), "reading");
        blocks.push(Block::Paragraph(format!("Concentration: {}, then {}; {n}.", one(first), one(last))));
    }
    if let Some(washing) = &tank.washing {
        blocks.extend(washing_blocks(washing));
    }
    blocks
}

fn washing_blocks(washing: &Washing) -> Vec<Block> {
    let name = washing.column.replace('_', " ");
    let unit = washing.unit;
    let mut grid = Grid::new(&[
        ("bath", Align::Right),
        ("begun", Align::Left),
        ("days", Align::Right),
        ("volume\nL", Align::Right),
        (&format!("last {name}\n{unit}"), Align::Right),
        (&format!("rise a week\n{unit}"), Align::Right),
    ]);
    grid.n_names = 1;
    for bath in &washing.baths {
        let number = |number: Option<f64>| number.map(three).unwrap_or_default();
        grid.rows.push(vec![
            bath.bath.to_string(),
            bath.begin.clone(),
            shown_value(bath.length),
            number(bath.volume),
            number(bath.last),
            number(bath.rise_a_week),
        ]);
    }
    let mut blocks = vec![Block::Table(grid.without_empty_columns())];
    if let Some(diffusivity) = &washing.diffusivity {
        let number = |number: Option<f64>| number.map_or_else(|| "unknown".to_owned(), three);
        blocks.push(Block::Paragraph(format!(
            "One diffusivity through all baths: {} in 1e-12 m2/s. By the fit the first bath is {} times the water in the wood; {name} \
             of fresh water {} {unit}, of the water in the wood at first {} {unit}; readings scatter by {} {unit}. Left in the wood: {} % of the salt. Pieces: {}.",
            interval(diffusivity, 1e-12),
            number(washing.ratio),
            number(washing.fresh),
            number(washing.in_wood_at_first),
            number(washing.scatter),
            number(washing.left_in_wood),
            washing.pieces.join(", "),
        )));
    }
    if let Some(why) = &washing.no_fit {
        blocks.push(Block::Paragraph(format!("No diffusivity: {why}.")));
    }
    for judged in washing.flat.iter().chain(&washing.limits) {
        let mark = if judged.is_met { "met" } else { "not met" };
        blocks.push(Block::Paragraph(format!("Criterion {mark}: {}.", judged.text)));
    }
    blocks
}

/// Treated wood beside its control.
pub(super) fn treated_blocks(following: &Following) -> Vec<Block> {
    if following.treated.is_empty() {
        return Vec::new();
    }
    let mut grid = Grid::new(&[
        ("timber", Align::Left),
        ("treatment", Align::Left),
        ("control", Align::Left),
        ("at RH\n%", Align::Right),
        ("direction", Align::Left),
        ("shrinkage\ntreated %", Align::Right),
        ("pieces", Align::Right),
        ("shrinkage\ncontrol %", Align::Right),
        ("pieces", Align::Right),
        ("anti-shrink\nefficiency %", Align::Right),
        ("interval", Align::Right),
    ]);
    grid.n_names = 1;
    for one in &following.treated {
        for direction in &one.directions {
            grid.rows.push(treated_row(one, direction));
        }
    }
    let mut blocks = vec![Block::Heading("After treatment".to_owned()), Block::Table(grid.without_empty_columns())];
    let why = |one: &TreatedTimber| Some((one.timber.clone(), one.no_efficiency.clone()?));
    let without: Vec<(String, String)> = following.treated.iter().filter_map(why).collect();
    if !without.is_empty() {
        blocks.push(Block::Listing("No anti-shrink efficiency:".to_owned(), without));
    }
    for one in &following.treated {
        if let Some(accepted) = &one.accepted {
            let mark = if accepted.is_met { "met" } else { "not met" };
            blocks.push(Block::Paragraph(format!("{}: criterion {mark}, {}.", one.timber, accepted.text)));
        }
    }
    blocks
}

fn treated_row(one: &TreatedTimber, direction: &Efficiency) -> Vec<String> {
    let mean = |of: &Option<MeanShrinkage>| of.map_or_else(String::new, |of| shown(of.value, of.u));
    let n = |of: &Option<MeanShrinkage>| of.map_or_else(String::new, |of| of.n.to_string());
    let ends = |ends: [f64; 2]| format!("{} - {}", three(ends[0]), three(ends[1]));
    vec![
        one.timber.clone(),
        one.treatment.clone().unwrap_or_default(),
        one.control.clone().unwrap_or_default(),
        one.climate.map(shown_value).unwrap_or_default(),
        direction.direction.replace('_', "-"),
        mean(&direction.treated),
        n(&direction.treated),
        mean(&direction.control),
        n(&direction.control),
        direction.efficiency.map(|value| shown(value, direction.u)).unwrap_or_default(),
        direction.interval.map(ends).unwrap_or_default(),
    ]
}

fn closing(following: &Following) -> String {
    let counts = &following.counts;
    let coverage = following.settings.coverage * 100.0;
    let undated = match counts.without_day {
        0 => String::new(),
        n => format!(", {n} of them without a day and not used"),
    };
    format!(
        "{} of the log{undated}; {}, {}. In brackets: intervals with a coverage of {} %; open where the readings set no end. ± is \
         one standard uncertainty. The long story of a word: woodstate explain uptake-stalled",
        counted(counts.rows, "row"),
        counted(counts.timbers, "timber"),
        counted(counts.tanks, "tank"),
        shown_value(coverage),
    )
}
