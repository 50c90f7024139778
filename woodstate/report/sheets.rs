//! An outcome as sheets: results, timbers, routes, input, findings, method, sources.

use crate::error::CautionCode;
use crate::quantity::{Quantity, Unit, decimals};
use crate::state::{ByQuantity, ClassReading, Piece, Timber, Value};
use crate::study::Assessment;
use crate::table::{CellOut, ColumnOut, SheetOut};

use super::cell::{count, word};
use super::echo::echo;
use super::method::method;

/// The sheets of an assessment, in their order.
pub(super) fn sheets(assessment: &Assessment) -> Vec<SheetOut> {
    let mut sheets = vec![results(assessment), timbers(assessment), routes(assessment)];
    sheets.extend(assessment.batch.tables().map(echo));
    sheets.push(findings(assessment));
    sheets.push(two_columns("method", "item", "text", method(assessment)));
    sheets.push(references(assessment));
    sheets.push(sources(assessment));
    sheets
}

/// The pieces, one a row.
pub(super) fn results(assessment: &Assessment) -> SheetOut {
    let mut columns =
        heads(&["sample", "timber", "core_id", "depth_from [mm]", "depth_to [mm]", "rows", "status", "taxon"]);
    columns.extend(heads(&["charring", "borer_damage [%]", "metal", "prior_treatment", "ash_content [%]"]));
    for quantity in Quantity::ALL {
        columns.extend(quantity_heads(*quantity, ""));
        columns.extend(interval_heads(*quantity));
        columns.push(ColumnOut::new(format!("route of {}", quantity.name())));
    }
    columns.extend(class_heads(assessment));
    columns.push(ColumnOut::new("cautions"));
    let mut sheet = SheetOut::new("results", columns);
    sheet.rows = assessment.samples.iter().map(|piece| result_row(piece, assessment)).collect();
    sheet
}

fn result_row(piece: &Piece, assessment: &Assessment) -> Vec<CellOut> {
    let rows = match piece.rows.as_slice() {
        [row] => count(*row),
        rows => CellOut::text(rows.iter().map(usize::to_string).collect::<Vec<_>>().join(" ")),
    };
    let mut row = vec![
        word(piece.sample.as_deref()),
        word(piece.timber.as_deref()),
        word(piece.core_id.as_deref()),
        CellOut::known(piece.depth_from),
        CellOut::known(piece.depth_to),
        rows,
        CellOut::text(piece.status.word()),
        word(piece.taxon.as_deref()),
        word(piece.condition.charring.as_deref()),
        CellOut::known(piece.condition.borer_damage),
        word(piece.condition.metal.as_deref()),
        word(piece.condition.prior_treatment.as_deref()),
        CellOut::known(piece.condition.ash_content),
    ];
    for quantity in Quantity::ALL {
        let value = piece.value(*quantity);
        row.extend(value_cells(value));
        row.extend(interval_cells(value));
        row.push(word(value.map(|value| value.route.word())));
    }
    row.extend(class_cells(&piece.degradation_class, assessment));
    row.push(CellOut::text(piece.cautions.iter().map(CautionCode::word).collect::<Vec<_>>().join(" ")));
    row
}

/// Every route to the quantities that have several.
fn routes(assessment: &Assessment) -> SheetOut {
    let mut sheet = SheetOut::new("routes", heads(&["sample", "quantity", "route", "value", "u", "unit"]));
    for piece in &assessment.samples {
        let of = [
            (Quantity::MaxWaterContent, &piece.routes.max_water_content),
            (Quantity::BasicDensity, &piece.routes.basic_density),
        ];
        for (quantity, value) in
            of.iter().flat_map(|(quantity, values)| values.iter().map(move |value| (quantity, value)))
        {
            let mut row =
                vec![word(piece.sample.as_deref()), CellOut::text(quantity.name()), CellOut::text(value.route.word())];
            row.extend(value_cells(Some(*value)));
            row.push(CellOut::text(value.unit));
            sheet.rows.push(row);
        }
    }
    sheet
}

/// The quantities that a timber is summed up in.
const OF_TIMBER: [Quantity; 4] =
    [Quantity::MaxWaterContent, Quantity::BasicDensity, Quantity::ResidualBasicDensity, Quantity::LossOfWoodSubstance];

fn timbers(assessment: &Assessment) -> SheetOut {
    let mut columns = heads(&["timber", "taxon", "pieces", "pieces read", "cores"]);
    for zone in ["outer", "inner"] {
        columns.extend(heads(&[]));
        for end in ["from", "to"] {
            columns.push(ColumnOut::new(format!("{zone} depth_{end} [mm]")));
        }
        for quantity in OF_TIMBER {
            columns.extend(quantity_heads(quantity, &format!("{zone} ")));
        }
    }
    for quantity in OF_TIMBER {
        let unit = quantity.spec().unit;
        columns.push(ColumnOut::new(format!("smallest {} [{unit}]", quantity.name())));
        columns.push(ColumnOut::new(format!("largest {} [{unit}]", quantity.name())));
    }
    columns.push(ColumnOut::new("worst sample"));
    columns.extend(class_heads(assessment));
    columns.push(ColumnOut::new("cautions"));
    let mut sheet = SheetOut::new("timbers", columns);
    sheet.rows = assessment.timbers.iter().map(|timber| timber_row(timber, assessment)).collect();
    sheet
}

fn timber_row(timber: &Timber, assessment: &Assessment) -> Vec<CellOut> {
    let mut row = vec![
        CellOut::text(&timber.timber),
        word(timber.taxon.as_deref()),
        count(timber.n_samples),
        count(timber.n_read),
        count(timber.n_cores),
    ];
    for zone in [&timber.outer, &timber.inner] {
        let depth = zone.as_ref().map_or([None, None], |zone| zone.depth);
        row.extend(depth.map(CellOut::known));
        let values = zone.as_ref().map(|zone| zone.values).unwrap_or_default();
        row.extend(OF_TIMBER.iter().flat_map(|quantity| value_cells(values.of(*quantity))));
    }
    let ends = |range: &ByQuantity<[f64; 2]>, quantity| {
        let range = range.of(quantity);
        [CellOut::known(range.map(|range| range[0])), CellOut::known(range.map(|range| range[1]))]
    };
    row.extend(OF_TIMBER.iter().flat_map(|quantity| ends(&timber.range, *quantity)));
    row.push(word(timber.worst.as_ref().and_then(|worst| worst.sample.as_deref())));
    row.extend(class_cells(&timber.degradation_class, assessment));
    row.push(CellOut::text(timber.cautions.iter().map(CautionCode::word).collect::<Vec<_>>().join(" ")));
    row
}

fn findings(assessment: &Assessment) -> SheetOut {
    let columns = heads(&[
        "code", "severity", "file", "sheet", "row", "cell", "column", "sample", "value", "text", "allowed", "cure",
        "count",
    ]);
    let mut sheet = SheetOut::new("findings", columns);
    for finding in &assessment.findings {
        let place = &finding.place;
        let severity = format!("{:?}", finding.severity).to_lowercase();
        sheet.rows.push(vec![
            CellOut::text(finding.code.word()),
            CellOut::text(severity),
            CellOut::text(&place.file),
            word(place.sheet.as_deref()),
            place.row.map_or(CellOut::Empty, count),
            word(place.cell.as_deref()),
            word(place.column.as_deref()),
            word(finding.sample.as_deref()),
            word(finding.value.as_deref()),
            CellOut::text(&finding.text),
            word(finding.allowed.as_deref()),
            CellOut::text(&finding.cure),
            count(finding.count),
        ]);
    }
    sheet
}

fn references(assessment: &Assessment) -> SheetOut {
    let columns = ["taxon", "basic_density of sound wood [kg/m3]", "u [kg/m3]", "basis", "published values"];
    let mut sheet = SheetOut::new("references", heads(&columns));
    for used in &assessment.references {
        let basis = format!("{:?}", used.basis).to_lowercase();
        sheet.rows.push(vec![
            CellOut::text(&used.taxon),
            CellOut::number(used.basic_density),
            CellOut::known(used.u),
            CellOut::text(basis),
            count(used.n_values),
        ]);
    }
    sheet
}

fn sources(assessment: &Assessment) -> SheetOut {
    let columns = ["used for", "citation", "place", "evidence", "what the evidence means", "id"];
    let mut sheet = SheetOut::new("sources", heads(&columns));
    for cited in &assessment.sources {
        let evidence = (cited.evidence.word(), cited.evidence.meaning());
        let texts = [&cited.used_for, &cited.citation, &cited.place, evidence.0, evidence.1, &cited.id];
        sheet.rows.push(texts.map(CellOut::text).to_vec());
    }
    sheet
}

fn two_columns(name: &str, left: &str, right: &str, items: Vec<(String, String)>) -> SheetOut {
    let mut sheet = SheetOut::new(name, heads(&[left, right]));
    sheet.rows = items.into_iter().map(|(left, right)| vec![CellOut::text(left), CellOut::text(right)]).collect();
    sheet
}

fn heads(names: &[&str]) -> Vec<ColumnOut> {
    names.iter().map(|name| ColumnOut::new(*name)).collect()
}

fn quantity_heads(quantity: Quantity, before: &str) -> [ColumnOut; 2] {
    let spec = quantity.spec();
    let unit = Unit::parse(spec.unit).map_or(spec.unit, Unit::code);
    [format!("{before}{} [{unit}]", spec.name), format!("{before}u({}) [{unit}]", spec.name)].map(ColumnOut::new)
}

/// Ends of the interval of the stated coverage.
fn interval_heads(quantity: Quantity) -> [ColumnOut; 2] {
    let spec = quantity.spec();
    ["low", "high"].map(|end| ColumnOut::new(format!("{end}({}) [{}]", spec.name, spec.unit)))
}

/// Value and uncertainty, shown with the digits that the uncertainty supports.
fn value_cells(value: Option<Value>) -> [CellOut; 2] {
    let Some(value) = value else { return [CellOut::Empty, CellOut::Empty] };
    let number = |number| CellOut::Number { value: number, decimals: decimals_of(&value) };
    [number(value.value), value.u.map_or(CellOut::Empty, number)]
}

fn interval_cells(value: Option<Value>) -> [CellOut; 2] {
    let Some((value, ends)) = value.and_then(|value| Some((value, value.interval?))) else {
        return [CellOut::Empty, CellOut::Empty];
    };
    ends.map(|end| CellOut::Number { value: end, decimals: decimals_of(&value) })
}

fn decimals_of(value: &Value) -> Option<u8> {
    value.u.and_then(|u| u8::try_from(decimals(u).max(0)).ok())
}

fn class_heads(assessment: &Assessment) -> Vec<ColumnOut> {
    let mut columns = heads(&["degradation_class", "class decided"]);
    columns.extend(labels(assessment).into_iter().map(|label| ColumnOut::new(format!("probability of class {label}"))));
    columns.push(ColumnOut::new("class reason"));
    columns
}

fn class_cells(class: &ClassReading, assessment: &Assessment) -> Vec<CellOut> {
    let mut cells = vec![word(class.most_likely.as_deref()), CellOut::text(if class.decided { "yes" } else { "no" })];
    for label in labels(assessment) {
        cells.push(CellOut::known(class.probability.as_ref().and_then(|shares| shares.get(&label).copied())));
    }
    cells.push(word(class.reason.as_deref()));
    cells
}

/// The labels of the scheme, as the outcome holds them.
fn labels(assessment: &Assessment) -> Vec<String> {
    let classes = assessment.samples.iter().find_map(|piece| piece.degradation_class.probability.as_ref());
    classes.map(|shares| shares.keys().cloned().collect()).unwrap_or_default()
}
