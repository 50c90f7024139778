//! Tables for a pipe: one name and one unit a column, words instead of marks.

use crate::error::{CautionCode, Cautions, Finding};
use crate::quantity::{Quantity, decimals, shown_value};
use crate::state::{ByQuantity, ClassReading, Piece, Timber, Value};
use crate::study::{Assessment, Checkup};

use super::{Align, Block, Grid, View};

/// The quantities of a piece that are shown.
const OF_PIECE: [Quantity; 4] =
    [Quantity::MaxWaterContent, Quantity::SoundMaxWaterContent, Quantity::BasicDensity, Quantity::ResidualBasicDensity];

/// The tables of `assess` for a pipe.
#[must_use]
pub fn assessment_plain(assessment: &Assessment) -> View {
    let mut view = View::default();
    view.push(Block::Table(pieces(assessment)));
    if !assessment.timbers.is_empty() {
        view.push(Block::Table(timbers(assessment)));
    }
    view
}

/// The findings of `check` for a pipe.
#[must_use]
pub fn checkup_plain(checkup: &Checkup) -> View {
    let heads =
        ["code", "severity", "file", "sheet", "row", "cell", "column", "sample", "value", "text", "allowed", "cure"];
    let mut grid = Grid::new(&heads.map(|head| (head, Align::Left)));
    grid.rows = checkup.findings.iter().map(finding).collect();
    View { blocks: vec![Block::Table(grid)] }
}

fn finding(finding: &Finding) -> Vec<String> {
    let place = &finding.place;
    let text = |text: &Option<String>| text.clone().unwrap_or_default();
    vec![
        finding.code.word().to_owned(),
        format!("{:?}", finding.severity).to_lowercase(),
        place.file.clone(),
        text(&place.sheet),
        place.row.map(|row| row.to_string()).unwrap_or_default(),
        text(&place.cell),
        text(&place.column),
        text(&finding.sample),
        text(&finding.value),
        finding.text.clone(),
        text(&finding.allowed),
        finding.cure.clone(),
    ]
}

fn grid(heads: &[String]) -> Grid {
    let columns: Vec<(&str, Align)> = heads.iter().map(|head| (head.as_str(), Align::Left)).collect();
    Grid::new(&columns)
}

fn names(names: &[&str]) -> Vec<String> {
    names.iter().map(|name| (*name).to_owned()).collect()
}

fn quantity_heads(quantity: Quantity, before: &str) -> [String; 2] {
    let spec = quantity.spec();
    [format!("{before}{} [{}]", spec.name, spec.unit), format!("{before}u({}) [{}]", spec.name, spec.unit)]
}

const OF_CLASS: [&str; 4] = ["degradation_class", "class decided", "class probability", "cautions"];

fn pieces(assessment: &Assessment) -> Grid {
    let mut heads = names(&["sample", "timber", "depth_from [mm]", "depth_to [mm]", "status"]);
    heads.extend(OF_PIECE.iter().flat_map(|quantity| quantity_heads(*quantity, "")));
    heads.extend(names(&OF_CLASS));
    let mut grid = grid(&heads);
    grid.rows = assessment.samples.iter().map(|one| piece(&one)).collect();
    grid
}

fn piece(piece: &Piece) -> Vec<String> {
    let number = |number: Option<f64>| number.map(|number| number.to_string()).unwrap_or_default();
    let mut row = vec![
        piece.sample.clone().unwrap_or_default(),
        piece.timber.clone().unwrap_or_default(),
        number(piece.depth_from),
        number(piece.depth_to),
        piece.status.word().to_owned(),
    ];
    row.extend(OF_PIECE.iter().flat_map(|quantity| value(piece.value(*quantity))));
    row.extend(class(&piece.degradation_class));
    row.push(words(piece.cautions));
    row
}

fn timbers(assessment: &Assessment) -> Grid {
    let mut heads = names(&["timber", "taxon", "pieces", "cores"]);
    for zone in ["outer ", "inner "] {
        heads.extend(quantity_heads(Quantity::MaxWaterContent, zone));
    }
    let unit = Quantity::MaxWaterContent.spec().unit;
    heads.extend(["smallest", "largest"].map(|end| format!("{end} max_water_content [{unit}]")));
    heads.extend(names(&["soft_rim_from [mm]", "soft_rim_to [mm]"]));
    heads.push("worst sample".to_owned());
    heads.extend(names(&OF_CLASS));
    let mut grid = grid(&heads);
    grid.rows = assessment.timbers.iter().map(timber).collect();
    grid
}

fn timber(timber: &Timber) -> Vec<String> {
    let mut row = vec![
        timber.timber.clone(),
        timber.taxon.clone().unwrap_or_default(),
        timber.n_samples.to_string(),
        timber.n_cores.to_string(),
    ];
    let content = |values: &ByQuantity<Value>| values.of(Quantity::MaxWaterContent);
    for zone in [&timber.outer, &timber.inner] {
        row.extend(value(zone.as_ref().and_then(|zone| content(&zone.values))));
    }
    let range = timber.range.of(Quantity::MaxWaterContent);
    row.extend([0, 1].map(|end| range.map(|range| shown_value(range[end])).unwrap_or_default()));
    let rim = timber.soft_rim.map_or([None; 2], |rim| rim.between);
    row.extend(rim.map(|end| end.map(|end| end.to_string()).unwrap_or_default()));
    row.push(timber.worst.as_ref().and_then(|worst| worst.sample.clone()).unwrap_or_default());
    row.extend(class(&timber.degradation_class));
    row.push(words(timber.cautions));
    row
}

/// Value and uncertainty with the digits that the uncertainty supports; empty where unknown.
fn value(value: Option<Value>) -> [String; 2] {
    let Some(value) = value else { return [String::new(), String::new()] };
    match value.u.filter(|u| *u > 0.0) {
        Some(u) => {
            let digits = usize::try_from(decimals(u)).unwrap_or(0);
            [value.value, u].map(|number| format!("{number:.digits$}"))
        }
        None => [shown_value(value.value), value.u.map(|_| "0".to_owned()).unwrap_or_default()],
    }
}

fn class(class: &ClassReading) -> [String; 3] {
    let label = class.most_likely.clone().unwrap_or_default();
    let share = class.probability.as_ref().and_then(|shares| shares.get(&label));
    let decided = if class.decided { "yes" } else { "no" };
    let probability = share.map(|share| format!("{share:.3}")).unwrap_or_default();
    [label, decided.to_owned(), probability]
}

fn words(cautions: Cautions) -> String {
    cautions.iter().map(CautionCode::word).collect::<Vec<_>>().join(" ")
}
