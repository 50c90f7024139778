//! The tables of `profile` for a pipe.

use crate::study::{DepthNumber, PartState, Profiles};

use super::{Align, Block, Grid, View};

/// The tables of `profile` for a pipe: timbers, parts of the section, increments, curves, pieces left out.
#[must_use]
pub fn profiles_plain(profiles: &Profiles) -> View {
    let mut view = View::default();
    for table in [timber_table(profiles), parts(profiles), increments(profiles), curves(profiles), left_out(profiles)] {
        if !table.rows.is_empty() {
            view.push(Block::Table(table));
        }
    }
    view
}

fn heads(heads: &[&str]) -> Grid {
    Grid::new(&heads.iter().map(|head| (*head, Align::Left)).collect::<Vec<_>>())
}

fn number(number: Option<f64>) -> String {
    number.map(|number| number.to_string()).unwrap_or_default()
}

fn four(found: Option<&DepthNumber>) -> [String; 4] {
    let [low, high] = found.map_or([None; 2], |found| found.interval);
    [found.map(|found| found.value), found.and_then(|found| found.u), low, high].map(number)
}

/// One row a timber.
pub(super) fn timber_table(profiles: &Profiles) -> Grid {
    let mut grid = heads(&[
        "timber",
        "taxon",
        "increments",
        "cores",
        "depth_to [mm]",
        "model",
        "rim_end",
        "rim_depth [mm]",
        "u(rim_depth) [mm]",
        "rim_low [mm]",
        "rim_high [mm]",
        "between_low [mm]",
        "between_high [mm]",
        "section",
        "core_size_1 [mm]",
        "core_size_2 [mm]",
        "sound_share [%]",
        "u(sound_share) [%]",
        "sound_low [%]",
        "sound_high [%]",
        "threshold",
        "threshold_unit",
        "cautions",
    ]);
    for timber in &profiles.profiles {
        let rim = timber.soft_rim.as_ref();
        let [between_low, between_high] = rim.map_or([None; 2], |rim| rim.between);
        let core = timber.sound_core.as_ref();
        let size = |place: usize| number(core.and_then(|core| core.sizes.get(place)).map(|size| size.value));
        let mut row = vec![
            timber.timber.clone(),
            timber.taxon.clone().unwrap_or_default(),
            timber.n.to_string(),
            timber.cores.len().to_string(),
            number(timber.depth.map(|[_, to]| to)),
            timber.model.unwrap_or_default().to_owned(),
            rim.map_or_else(String::new, |rim| rim.end.to_owned()),
        ];
        row.extend(four(rim.and_then(|rim| rim.depth.as_ref())));
        row.extend([between_low, between_high].map(number));
        row.push(timber.section.as_ref().map_or_else(String::new, |section| section.form.to_owned()));
        row.extend([size(0), size(1)]);
        row.extend(four(core.map(|core| &core.share)));
        row.push(number(timber.threshold.as_ref().map(|threshold| threshold.value)));
        row.push(timber.threshold.as_ref().map_or_else(String::new, |threshold| threshold.unit.clone()));
        row.push(timber.cautions.iter().map(|caution| caution.code).collect::<Vec<_>>().join(" "));
        grid.rows.push(row);
    }
    grid
}

fn parts(profiles: &Profiles) -> Grid {
    let mut grid = heads(&[
        "timber",
        "part",
        "depth_from [mm]",
        "depth_to [mm]",
        "share [%]",
        "covered [%]",
        "quantity",
        "value",
        "u",
        "low",
        "high",
        "unit",
    ]);
    for timber in &profiles.profiles {
        for (name, part) in [("rim", &timber.rim), ("core", &timber.core), ("whole", &timber.whole)] {
            let Some(PartState { depth: [from, to], share, covered, values, .. }) = part else { continue };
            for entry in values {
                let mut row = vec![timber.timber.clone(), name.to_owned()];
                row.extend([Some(*from), Some(*to), *share, Some(*covered)].map(number));
                row.push(entry.quantity.to_owned());
                row.extend(four(Some(&entry.mean)));
                row.push(entry.mean.unit.to_owned());
                grid.rows.push(row);
            }
        }
    }
    grid
}

fn increments(profiles: &Profiles) -> Grid {
    let unit = &profiles.value.unit;
    let (value, u) = (format!("{} [{unit}]", profiles.value.name), format!("u({}) [{unit}]", profiles.value.name));
    let mut grid = heads(&["timber", "core", "face", "sample", "depth_from [mm]", "depth_to [mm]", &value, &u]);
    for timber in &profiles.profiles {
        for core in &timber.cores {
            for increment in &core.increments {
                let text = |text: &Option<String>| text.clone().unwrap_or_default();
                let mut row = vec![timber.timber.clone(), text(&core.core), text(&core.face), text(&increment.sample)];
                let [from, to] = increment.depth;
                row.extend([Some(from), Some(to), Some(increment.value), increment.u].map(number));
                grid.rows.push(row);
            }
        }
    }
    grid
}

/// One row a timber and depth.
pub(super) fn curves(profiles: &Profiles) -> Grid {
    let value = format!("{} [{}]", profiles.value.name, profiles.value.unit);
    let mut grid = heads(&["timber", "model", "depth [mm]", &value, "low", "high"]);
    for timber in &profiles.profiles {
        for point in &timber.curve {
            let [low, high] = point.interval.map_or([None; 2], |ends| ends.map(Some));
            let mut row = vec![timber.timber.clone(), timber.model.unwrap_or_default().to_owned()];
            row.extend([Some(point.depth), Some(point.value), low, high].map(number));
            grid.rows.push(row);
        }
    }
    grid
}

fn left_out(profiles: &Profiles) -> Grid {
    let mut grid = heads(&["sample", "timber", "left_out_because"]);
    let text = |text: &Option<String>| text.clone().unwrap_or_default();
    let row =
        |piece: &crate::study::NotInProfile| vec![text(&piece.sample), text(&piece.timber), piece.reason.to_owned()];
    grid.rows = profiles.left_out.iter().map(row).collect();
    grid
}
