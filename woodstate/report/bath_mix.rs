//! The view of `bath mix`.

use crate::quantity::shown_value;
use crate::study::{BathMixing, MixedBath};

use super::bath::{close, heads_of, not_counted, or_empty, plain, spanned, three, with_unit, wood};
use super::{Align, Block, Grid, View, choice_sentence};

/// The view of `bath mix`.
#[must_use]
pub fn bath_mix_view(mixing: &BathMixing) -> View {
    let mut view = View::default();
    for choice in &mixing.choices {
        view.push(Block::Paragraph(choice_sentence(choice)));
    }
    view.push(Block::Heading(format!(
        "{} in a tank of {} L at {} Cel",
        mixing.impregnant.name,
        shown_value(mixing.tank),
        shown_value(mixing.temperature)
    )));
    let timbers: Vec<_> = mixing.timbers.iter().map(|timber| timber.timber.clone()).collect();
    let sizes = [&mixing.wood_volume, &mixing.wood_water];
    view.push(Block::Paragraph(wood(&timbers, sizes, mixing.wood_dry_mass.as_ref())));
    view.push(Block::Table(steps(&mixing.steps)));
    view.push(Block::Paragraph(
        "\"Comes to\" is what bath and wood stand at together in the end; \"fresh\" is the bath before any of it is in the wood. \"If \
         made so\": what a fresh bath of the strength asked for comes to."
            .to_owned(),
    ));
    if let Some(held) = &mixing.held {
        let per =
            held.per_dry_mass.as_ref().map_or_else(String::new, |per| format!(", {} of oven-dry wood", with_unit(per)));
        let filled = held
            .filled
            .as_ref()
            .map_or_else(String::new, |filled| format!(" Dry, it would fill {} of what was water.", with_unit(filled)));
        let need = held.bulking_need.as_ref().map_or_else(String::new, |need| {
            format!(" To take the place of all water of the cell walls: {}.", with_unit(need))
        });
        view.push(Block::Paragraph(format!(
            "At rest with the last bath the wood holds {} of {}{per}.{filled}{need}",
            with_unit(&held.impregnant),
            mixing.impregnant.name
        )));
    }
    if !mixing.timbers.is_empty() {
        view.push(Block::Table(timbers_grid(mixing)));
        view.blocks.extend(not_counted(timbers.iter()));
    }
    close(&mut view, &mixing.notes, &mixing.cautions, &mixing.safety, &mixing.sources);
    view
}

fn steps(steps: &[MixedBath]) -> Grid {
    let mut grid = Grid::new(&[
        ("bath", Align::Right),
        ("comes to\n% by mass", Align::Right),
        ("g/L", Align::Right),
        ("density\nkg/m3", Align::Right),
        ("add\nkg", Align::Right),
        ("with water\nkg", Align::Right),
        ("fresh\n% by mass", Align::Right),
        ("if made so\n% by mass", Align::Right),
        ("level rises\nL", Align::Right),
    ]);
    grid.n_names = 1;
    let row = |step: &MixedBath| {
        vec![
            step.bath.to_string(),
            spanned(&step.mass_fraction),
            spanned(&step.mass_per_volume),
            spanned(&step.density),
            spanned(&step.impregnant),
            or_empty(step.water.as_ref()),
            spanned(&step.fresh),
            spanned(&step.comes_to_if_made_so),
            or_empty(step.rise.as_ref()),
        ]
    };
    grid.rows = steps.iter().map(row).collect();
    grid.without_empty_columns()
}

fn timbers_grid(mixing: &BathMixing) -> Grid {
    let mut grid = Grid::new(&[
        ("timber", Align::Left),
        ("volume\nL", Align::Right),
        ("max. water\ncontent %", Align::Right),
        ("oven-dry\nkg", Align::Right),
        ("water\nkg", Align::Right),
        ("will hold\nkg/kg", Align::Right),
        ("will hold\nkg", Align::Right),
    ]);
    grid.n_names = 1;
    for timber in mixing.timbers.iter().filter(|timber| timber.timber.not_counted.is_none()) {
        let of = &timber.timber;
        grid.rows.push(vec![
            of.timber.clone(),
            or_empty(of.volume.as_ref()),
            or_empty(of.max_water_content.as_ref()),
            or_empty(of.dry_mass.as_ref()),
            or_empty(of.water.as_ref()),
            or_empty(timber.held.as_ref()),
            or_empty(timber.held_mass.as_ref()),
        ]);
    }
    grid
}

/// The tables of `bath mix` for a pipe: baths, timbers.
#[must_use]
pub fn bath_mix_plain(mixing: &BathMixing) -> View {
    let mut view = View::default();
    view.push(Block::Table(bath_mix_table(mixing)));
    if !mixing.timbers.is_empty() {
        let mut heads = vec!["timber".to_owned()];
        let columns = [
            ("volume", "L"),
            ("max_water_content", "%"),
            ("dry_mass", "kg"),
            ("water", "kg"),
            ("held", "kg/kg"),
            ("held_mass", "kg"),
        ];
        heads.extend(columns.into_iter().flat_map(|(name, unit)| heads_of(name, unit)));
        heads.push("not_counted".to_owned());
        let row = |timber: &crate::study::MixedTimber| {
            let of = &timber.timber;
            let numbers = [&of.volume, &of.max_water_content, &of.dry_mass, &of.water, &timber.held, &timber.held_mass];
            let mut row = vec![of.timber.clone()];
            row.extend(numbers.into_iter().flat_map(|number| three(number.as_ref())));
            row.push(of.not_counted.clone().unwrap_or_default());
            row
        };
        view.push(Block::Table(plain(&heads, mixing.timbers.iter().map(row).collect())));
    }
    view
}

/// One row a bath.
pub(super) fn bath_mix_table(mixing: &BathMixing) -> Grid {
    let columns = [
        ("mass_fraction", "%"),
        ("mass_per_volume", "g/L"),
        ("density", "kg/m3"),
        ("impregnant", "kg"),
        ("water", "kg"),
        ("fresh", "%"),
        ("comes_to_if_made_so", "%"),
        ("rise", "L"),
    ];
    let mut heads = vec!["bath".to_owned()];
    heads.extend(columns.into_iter().flat_map(|(name, unit)| heads_of(name, unit)));
    let row = |step: &MixedBath| {
        let numbers = [
            Some(&step.mass_fraction),
            Some(&step.mass_per_volume),
            Some(&step.density),
            Some(&step.impregnant),
            step.water.as_ref(),
            Some(&step.fresh),
            Some(&step.comes_to_if_made_so),
            step.rise.as_ref(),
        ];
        let mut row = vec![step.bath.to_string()];
        row.extend(numbers.into_iter().flat_map(three));
        row
    };
    plain(&heads, mixing.steps.iter().map(row).collect())
}
