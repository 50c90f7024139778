//! The view of `lift`: a timber to be read at the quay, or many in the order of danger.

use crate::quantity::{counted, shown, shown_value};
use crate::study::{LiftCaution, LiftNumber, Lifts, SupportLift, TimberLift};

use super::{Align, Block, Grid, View, choice_sentence};

/// Timbers up to which each is told at length.
const AT_LENGTH: usize = 2;

/// The view of `lift`.
#[must_use]
pub fn lifts_view(lifts: &Lifts) -> View {
    let mut view = View::default();
    if let Some(stopped) = lifts.stopped {
        view.push(Block::Paragraph(stopped.sentence()));
    }
    for choice in &lifts.choices {
        view.push(Block::Paragraph(choice_sentence(choice)));
    }
    view.push(Block::Paragraph(lifts.notes.first().cloned().unwrap_or_default()));
    if lifts.lifts.len() > AT_LENGTH {
        let (table, legend) = danger_grid(lifts, usize::MAX);
        view.push(Block::Table(table));
        view.push(Block::Legend(legend));
    } else {
        lifts.lifts.iter().for_each(|lift| one(&mut view, lift));
    }
    view.push(Block::Listing("Stated:".to_owned(), stated(lifts)));
    if !lifts.without.is_empty() {
        let rows = lifts.without.iter().map(|left| (left.timber.clone(), left.reason.clone())).collect();
        view.push(Block::Listing("Not assessed:".to_owned(), rows));
    }
    if lifts.handling.dynamic.is_none() && !lifts.lifts.is_empty() {
        let example = |example: &crate::study::DynamicFactor| {
            (shown_value(example.factor), format!("{}: {} [{}]", example.name, example.citation, example.evidence))
        };
        let title =
            "Published examples of dynamic factors, none of them for waterlogged timber and none of them applied:";
        view.push(Block::Listing(title.to_owned(), lifts.dynamic_examples.iter().map(example).collect()));
    }
    let safety: Vec<(String, String)> =
        lifts.safety.notes.iter().map(|note| (note.word.clone(), note.short.clone())).collect();
    view.push(Block::Listing("Safety:".to_owned(), safety));
    view.push(Block::Paragraph(lifts.safety.deferral.clone()));
    for note in lifts.notes.iter().skip(1) {
        view.push(Block::Paragraph(note.clone()));
    }
    view.push(Block::Paragraph(closing(lifts)));
    view
}

/// Value and uncertainty, or the value alone where its uncertainty is unknown; `unknown` without a value.
fn cell(number: Option<&LiftNumber>) -> String {
    number.map_or_else(
        || "unknown".to_owned(),
        |number| match number.u {
            Some(_) => shown(number.value, number.u),
            None => shown_value(number.value),
        },
    )
}

fn one(view: &mut View, lift: &TimberLift) {
    let wood = lift.taxon.as_ref().map_or_else(String::new, |taxon| format!(", {taxon}"));
    view.push(Block::Heading(format!("{}{wood}: out of the water", lift.timber)));
    view.push(Block::Paragraph(lift.meaning.join(" ")));
    view.push(Block::Paragraph(sizes(lift)));
    view.push(Block::Table(supports(lift)));
    let reasons: Vec<(String, String)> =
        lift.supports.iter().filter_map(|support| Some((support.support.clone(), support.reason.clone()?))).collect();
    if !reasons.is_empty() {
        view.push(Block::Listing("Not known to hold:".to_owned(), reasons));
    }
    if lift.strengths.is_empty() {
        view.push(Block::Paragraph("No strength is known.".to_owned()));
    } else {
        view.push(Block::Table(strengths(lift)));
    }
    view.push(Block::Listing("Cautions:".to_owned(), lift.cautions.iter().map(caution).collect()));
}

fn sizes(lift: &TimberLift) -> String {
    let section = |[width, height]: &[f64; 2]| match lift.shape.starts_with("rectangular") {
        true => format!("{width:.0} mm wide and {height:.0} mm high"),
        false => format!("{width:.0} mm in diameter"),
    };
    let sections = if lift.stations.len() > 2 {
        let each = lift.stations.iter().zip(&lift.sizes).map(|(at, size)| format!("{} at {at:.2} m", section(size)));
        each.collect::<Vec<_>>().join(", ")
    } else {
        let mut each: Vec<String> = lift.sizes.iter().map(section).collect();
        each.dedup();
        each.join(" to ")
    };
    let rim = lift.rim_depth.as_ref().map_or_else(String::new, |depth| {
        format!(", soft rim {} mm deep of {} kg/m3", cell(Some(depth)), cell(lift.rim_basic_density.as_ref()))
    });
    let hanging: Vec<&str> = lift.attached.iter().map(String::as_str).filter(|words| *words != "none").collect();
    let attached = match (lift.attached.is_empty(), hanging.is_empty()) {
        (true, _) => String::new(),
        (false, true) => " Nothing hangs on it, as stated.".to_owned(),
        (false, false) => format!(" With it hang {}.", hanging.join("; ")),
    };
    format!(
        "{} m long, {sections}; basic density {} kg/m3{rim}.{attached}",
        cell(Some(&lift.length)),
        cell(Some(&lift.basic_density))
    )
}

/// What was stated for the lift, in the words of the study file; what was not stated is left out.
pub(super) fn stated(lifts: &Lifts) -> Vec<(String, String)> {
    let handling = &lifts.handling;
    let number = |number: &Option<LiftNumber>| {
        let unit = |unit: &str| if unit == "1" { String::new() } else { format!(" {unit}") };
        number.as_ref().map(|number| format!("{}{}", cell(Some(number)), unit(number.unit)))
    };
    let or_taken = |found: &LiftNumber| {
        let taken = if found.route.is_none() { " (taken)" } else { "" };
        number(&Some(found.clone())).map(|number| format!("{number}{taken}"))
    };
    [
        ("ways of support", Some(handling.supports.join("; "))),
        ("required margin", handling.required_margin.map(shown_value)),
        (
            "accepted probability",
            handling.accepted_probability.map(|share| format!("{} %", shown_value(100.0 * share))),
        ),
        ("density of water", or_taken(&handling.water_density)),
        ("temperature of water", handling.water_temperature.as_ref().and_then(or_taken)),
        ("saturation", handling.saturation.route.and_then(|_| number(&Some(handling.saturation.clone())))),
        ("left after draining", number(&handling.drained)),
        ("attached to each", (!handling.attached.is_empty()).then(|| handling.attached.join("; "))),
        ("width of slings", number(&handling.sling_width)),
        ("angle of slings", handling.sling_angle.map(|angle| format!("{} degrees from level", shown_value(angle)))),
        ("dynamic factor", number(&handling.dynamic)),
        ("error of places", number(&handling.placing)),
        ("reduction for damage", number(&handling.reduction)),
        ("stiffness of the rim", number(&handling.rim_stiffness).map(|share| format!("{share} of that of the core"))),
        ("size effect", handling.size_effect.then(|| "counted".to_owned())),
        ("time under load", number(&handling.time_under_load)),
    ]
    .into_iter()
    .filter_map(|(what, stated)| Some((what.to_owned(), stated?)))
    .collect()
}

fn supports(lift: &TimberLift) -> Grid {
    let mut grid = Grid::new(&[
        ("way of support", Align::Left),
        ("places\nm", Align::Right),
        ("moment\nN.m", Align::Right),
        ("sling\nN", Align::Right),
        ("bending\nMPa", Align::Right),
        ("shear\nMPa", Align::Right),
        ("pressure\nMPa", Align::Right),
        ("sag\nmm", Align::Right),
        ("margin", Align::Right),
        ("decided by", Align::Left),
        ("below required\n%", Align::Right),
        ("verdict", Align::Left),
    ]);
    grid.n_names = 1;
    for support in &lift.supports {
        let blank = |number: Option<&LiftNumber>, is_there: bool| if is_there { cell(number) } else { String::new() };
        let bends = support.verdict != "full_length" && support.verdict != "impossible";
        let places: Vec<String> = support.places.iter().map(|place| format!("{place:.2}")).collect();
        grid.rows.push(vec![
            support.title.clone(),
            places.join(", "),
            blank(support.moment_max.as_ref(), bends),
            blank(support.sling_tension.as_ref(), bends),
            blank(support.bending_stress.as_ref(), bends),
            blank(support.shear_stress.as_ref(), bends),
            blank(support.bearing_stress.as_ref(), support.verdict != "impossible"),
            blank(support.deflection.as_ref(), bends),
            blank(support.margin.as_ref(), support.verdict != "impossible"),
            support.governing.map_or_else(String::new, |check| check.replace('_', " ")),
            below(support),
            support.verdict.replace('_', " "),
        ]);
    }
    grid.without_empty_columns()
}

fn below(support: &SupportLift) -> String {
    // Two leading digits: so many tell what so many draws can.
    let percent =
        |share: f64| format!("{:.1e}", share * 100.0).parse::<f64>().map_or_else(|_| String::new(), shown_value);
    support.probability_below_required.as_ref().map_or_else(String::new, |share| match share.interval {
        Some([low, high]) => format!("{} ({} - {})", percent(share.value), percent(low), percent(high)),
        None => percent(share.value),
    })
}

fn strengths(lift: &TimberLift) -> Grid {
    let mut grid = Grid::new(&[
        ("zone", Align::Left),
        ("strength", Align::Left),
        ("MPa", Align::Right),
        ("from", Align::Left),
        ("evidence", Align::Left),
    ]);
    grid.n_names = 2;
    for found in &lift.strengths {
        grid.rows.push(vec![
            found.zone.to_owned(),
            found.property.replace('_', " "),
            cell(Some(&found.strength)),
            found.strength.route.unwrap_or_default().to_owned(),
            found.evidence.word().to_owned(),
        ]);
    }
    grid
}

fn caution(caution: &LiftCaution) -> (String, String) {
    let detail = caution.detail.as_ref().map_or_else(String::new, |detail| format!(" ({detail})"));
    let consequence = caution.of.story().consequence;
    (caution.code.to_owned(), format!("{}{detail}. {consequence}", caution.text))
}

/// The first timbers in the order of danger, and what its letters mean.
pub(super) fn danger_grid(lifts: &Lifts, most: usize) -> (Grid, Vec<(String, String)>) {
    let mut grid = Grid::new(&[
        ("timber", Align::Left),
        ("in the air\nkg", Align::Right),
        ("under water\nkg", Align::Right),
        ("grows\ntimes", Align::Right),
        ("slings from\nthe ends, m", Align::Right),
        ("best way\nin slings", Align::Left),
        ("its\nmargin", Align::Right),
        ("below required\n%", Align::Right),
        ("answer", Align::Left),
        ("tray, inside\nm x mm x mm", Align::Right),
        ("", Align::Left),
    ]);
    grid.n_names = 1;
    // What holds for every timber is said once, below the table.
    let of_some =
        |code: &str| lifts.cautions.iter().any(|entry| entry.code == code && entry.timbers < lifts.lifts.len());
    let marked: Vec<&str> = lifts.cautions.iter().map(|entry| entry.code).filter(|code| of_some(code)).collect();
    let letter = |code: &str| {
        let place = marked.iter().position(|known| *known == code)?;
        u32::try_from(place).ok().and_then(|place| char::from_u32(u32::from('a') + place)).map(String::from)
    };
    for lift in lifts.lifts.iter().take(most) {
        let best = lift.best_way();
        let places = lift
            .best_slings
            .as_ref()
            .map_or_else(|| "none".to_owned(), |best| format!("{:.2}, {:.2}", best.from_start, best.from_end));
        let marks: Vec<String> = lift.cautions.iter().filter_map(|caution| letter(caution.code)).collect();
        grid.rows.push(vec![
            lift.timber.clone(),
            cell(Some(&lift.mass_in_air)),
            cell(Some(&lift.mass_submerged)),
            lift.growth.as_ref().map_or_else(|| "floats".to_owned(), |growth| format!("{:.1}", growth.value)),
            places,
            best.map_or_else(String::new, |best| best.support.clone()),
            cell(best.and_then(|best| best.margin.as_ref())),
            best.map_or_else(String::new, below),
            if lift.answer.is_met { lift.answer.support.clone() } else { "full length".to_owned() },
            format!("{:.2} x {:.0} x {:.0}", lift.tray.length, lift.tray.width, lift.tray.height),
            marks.join(" "),
        ]);
    }
    let told = |entry: &crate::study::LiftLegend| {
        let of_all = entry.timbers == lifts.lifts.len();
        let timbers = if of_all { "every timber".to_owned() } else { counted(entry.timbers, "timber") };
        (letter(entry.code).unwrap_or_else(|| "*".to_owned()), format!("{} ({timbers}) [{}]", entry.text, entry.code))
    };
    (grid.without_empty_columns(), lifts.cautions.iter().map(told).collect())
}

fn closing(lifts: &Lifts) -> String {
    let first = lifts.lifts.first().map_or("", |lift| lift.timber.as_str());
    let one = if lifts.lifts.len() > AT_LENGTH {
        format!("One timber at length: --where \"timber == '{first}'\". ")
    } else {
        String::new()
    };
    let draws = match lifts.handling.draws {
        0 => "no draws".to_owned(),
        n => format!("{n} draws a timber, seed {}", lifts.settings.seed),
    };
    format!(
        "{one}± is one standard uncertainty, and unknown where it is missing; {draws}. The long story of a word: woodstate explain {}",
        lifts.cautions.iter().map(|entry| entry.code).find(|code| *code != "screening-only").unwrap_or("lift"),
    )
}
