//! An outcome as sheets: results, timbers, routes, input, findings, columns, method, references, sources.

use crate::error::CautionCode;
use crate::quantity::{Quantity, Unit};
use crate::state::{ByQuantity, ClassReading, PieceView, Timber, Value};
use crate::study::Assessment;
use crate::table::{CellOut, ColumnOut, SheetOut};

use super::cell::{count, word};
use super::columns::columns;
use super::echo::echo;
use super::method::method;

/// The sheets of an assessment, in their order.
pub(super) fn sheets(assessment: &Assessment) -> Vec<SheetOut<'_>> {
    let mut sheets = vec![results(assessment), timbers(assessment), routes(assessment)];
    let explained = columns(assessment, &sheets);
    sheets.extend(assessment.batch.tables().map(echo));
    sheets.extend([findings(assessment), explained]);
    sheets.push(two_columns("method", "item", "text", method(assessment)));
    sheets.push(references(assessment));
    sheets.push(sources(assessment));
    sheets
}

/// The pieces, one a row.
pub(super) fn results(assessment: &Assessment) -> SheetOut<'_> {
    let mut columns =
        heads(&["sample", "timber", "core_id", "depth_from [mm]", "depth_to [mm]", "rows", "status", "taxon"]);
    columns.extend(heads(&["charring", "borer_damage [%]", "metal", "prior_treatment", "ash_content [%]"]));
    for quantity in Quantity::ALL {
        columns.extend(quantity_heads(*quantity, ""));
        columns.extend(interval_heads(*quantity));
        columns.push(ColumnOut::new(format!("route of {}", quantity.name())));
    }
    let labels = labels(assessment);
    columns.extend(class_heads(&labels));
    columns.push(ColumnOut::new("cautions"));
    let pieces = &assessment.samples;
    SheetOut::made("results", columns, pieces.len(), move |row, cells| {
        if let Some(piece) = pieces.view(row) {
            result_row(piece, &labels, cells);
        }
    })
}

fn result_row<'a>(piece: PieceView<'a>, labels: &[String], row: &mut Vec<CellOut<'a>>) {
    let rows = match piece.rows() {
        [row] => count(*row),
        rows => CellOut::text(rows.iter().map(usize::to_string).collect::<Vec<_>>().join(" ")),
    };
    row.extend([
        word(piece.sample()),
        word(piece.timber()),
        word(piece.core_id()),
        CellOut::known(piece.depth()[0]),
        CellOut::known(piece.depth()[1]),
        rows,
        CellOut::text(piece.status().word()),
        word(piece.taxon()),
        word(piece.charring()),
        CellOut::known(piece.borer_damage()),
        word(piece.metal()),
        word(piece.prior_treatment()),
        CellOut::known(piece.ash_content()),
    ]);
    for quantity in Quantity::ALL {
        let value = piece.value(*quantity);
        row.extend(value_cells(value));
        row.extend(interval_cells(value));
        row.push(word(value.map(|value| value.route.word())));
    }
    row.extend([word(piece.class_label()), CellOut::text(if piece.is_decided() { "yes" } else { "no" })]);
    for label in labels {
        let place = piece.class_labels().iter().position(|other| other == label);
        row.push(CellOut::known(piece.class_shares().and_then(|shares| shares.get(place?).copied())));
    }
    row.push(word(piece.class_reason()));
    row.push(CellOut::text(piece.cautions().iter().map(CautionCode::word).collect::<Vec<_>>().join(" ")));
}

/// Every route to the quantities that have several.
fn routes<'a>(assessment: &'a Assessment) -> SheetOut<'a> {
    let of = |piece: PieceView<'a>| {
        let water = piece.water_contents().map(|value| (Quantity::MaxWaterContent, value));
        water.chain(piece.densities().map(|value| (Quantity::BasicDensity, value)))
    };
    // The first row of each piece.
    let mut n_rows = 0;
    let starts: Vec<usize> = assessment
        .samples
        .views()
        .map(|piece| {
            n_rows += of(piece).count();
            n_rows - of(piece).count()
        })
        .collect();
    let columns = heads(&["sample", "quantity", "route", "value", "u", "unit"]);
    SheetOut::made("routes", columns, n_rows, move |row, cells| {
        let at = starts.partition_point(|start| *start <= row).saturating_sub(1);
        let Some(piece) = assessment.samples.view(at) else { return };
        let Some((quantity, value)) = of(piece).nth(row - starts[at]) else { return };
        cells.extend([word(piece.sample()), CellOut::text(quantity.name()), CellOut::text(value.route.word())]);
        cells.extend(value_cells(Some(value)));
        cells.push(CellOut::text(value.unit));
    })
}

/// The quantities that a timber is summed up in.
const OF_TIMBER: [Quantity; 4] =
    [Quantity::MaxWaterContent, Quantity::BasicDensity, Quantity::ResidualBasicDensity, Quantity::LossOfWoodSubstance];

fn timbers(assessment: &Assessment) -> SheetOut<'_> {
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
    columns.extend(heads(&["soft_rim_from [mm]", "soft_rim_to [mm]", "worst sample"]));
    let labels = labels(assessment);
    columns.extend(class_heads(&labels));
    columns.push(ColumnOut::new("cautions"));
    let timbers = &assessment.timbers;
    SheetOut::made("timbers", columns, timbers.len(), move |row, cells| timber_row(&timbers[row], &labels, cells))
}

fn timber_row<'a>(timber: &'a Timber, labels: &[String], row: &mut Vec<CellOut<'a>>) {
    row.extend([
        CellOut::text(timber.timber.as_str()),
        word(timber.taxon.as_deref()),
        count(timber.n_samples),
        count(timber.n_read),
        count(timber.n_cores),
    ]);
    for zone in [&timber.outer, &timber.inner] {
        let depth = zone.as_ref().map_or([None, None], |zone| zone.depth);
        row.extend(depth.map(CellOut::known));
        let value = |quantity| zone.as_ref().and_then(|zone| zone.values.of(quantity));
        row.extend(OF_TIMBER.iter().flat_map(|quantity| value_cells(value(*quantity))));
    }
    let ends = |range: &ByQuantity<[f64; 2]>, quantity| {
        let range = range.of(quantity);
        [CellOut::known(range.map(|range| range[0])), CellOut::known(range.map(|range| range[1]))]
    };
    row.extend(OF_TIMBER.iter().flat_map(|quantity| ends(&timber.range, *quantity)));
    row.extend(timber.soft_rim.map_or([None; 2], |rim| rim.between).map(CellOut::known));
    row.push(word(timber.worst.as_ref().and_then(|worst| worst.sample.as_deref())));
    class_cells(&timber.degradation_class, labels, row);
    row.push(CellOut::text(timber.cautions.iter().map(CautionCode::word).collect::<Vec<_>>().join(" ")));
}

fn findings(assessment: &Assessment) -> SheetOut<'_> {
    let columns = heads(&[
        "code", "severity", "file", "sheet", "row", "cell", "column", "sample", "value", "text", "allowed", "cure",
        "count",
    ]);
    let findings = &assessment.findings;
    SheetOut::made("findings", columns, findings.len(), move |row, cells| {
        let (finding, place) = (&findings[row], &findings[row].place);
        let severity = format!("{:?}", finding.severity).to_lowercase();
        cells.extend([
            CellOut::text(finding.code.word()),
            CellOut::text(severity),
            CellOut::text(place.file.as_str()),
            word(place.sheet.as_deref()),
            place.row.map_or(CellOut::Empty, count),
            word(place.cell.as_deref()),
            word(place.column.as_deref()),
            word(finding.sample.as_deref()),
            word(finding.value.as_deref()),
            CellOut::text(finding.text.as_str()),
            word(finding.allowed.as_deref()),
            CellOut::text(finding.cure.as_str()),
            count(finding.count),
        ]);
    })
}

fn references(assessment: &Assessment) -> SheetOut<'_> {
    let columns = ["taxon", "basic_density of sound wood [kg/m3]", "u [kg/m3]", "basis", "published values"];
    let mut rows = Vec::new();
    for used in &assessment.references {
        let basis = format!("{:?}", used.basis).to_lowercase();
        rows.push(vec![
            CellOut::text(used.taxon.as_str()),
            CellOut::number(used.basic_density),
            CellOut::known(used.u),
            CellOut::text(basis),
            count(used.n_values),
        ]);
    }
    SheetOut::of_rows("references", heads(&columns), rows)
}

fn sources(assessment: &Assessment) -> SheetOut<'_> {
    let columns = ["used for", "citation", "place", "evidence", "what the evidence means", "id"];
    let mut rows = Vec::new();
    for cited in &assessment.sources {
        let evidence = (cited.evidence.word(), cited.evidence.meaning());
        let texts: [&str; 6] = [&cited.used_for, &cited.citation, &cited.place, evidence.0, evidence.1, &cited.id];
        rows.push(texts.map(CellOut::text).to_vec());
    }
    SheetOut::of_rows("sources", heads(&columns), rows)
}

fn two_columns<'a>(name: &str, left: &str, right: &str, items: Vec<(String, String)>) -> SheetOut<'a> {
    let rows = items.into_iter().map(|(left, right)| vec![CellOut::text(left), CellOut::text(right)]).collect();
    SheetOut::of_rows(name, heads(&[left, right]), rows)
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
fn value_cells(value: Option<Value>) -> [CellOut<'static>; 2] {
    let Some(value) = value else { return [CellOut::Empty, CellOut::Empty] };
    let number = |number| CellOut::Number { value: number, u: value.u };
    [number(value.value), value.u.map_or(CellOut::Empty, number)]
}

fn interval_cells(value: Option<Value>) -> [CellOut<'static>; 2] {
    let Some((value, ends)) = value.and_then(|value| Some((value, value.interval?))) else {
        return [CellOut::Empty, CellOut::Empty];
    };
    ends.map(|end| CellOut::Number { value: end, u: value.u })
}

fn class_heads(labels: &[String]) -> Vec<ColumnOut> {
    let mut columns = heads(&["degradation_class", "class decided"]);
    columns.extend(labels.iter().map(|label| ColumnOut::new(format!("probability of class {label}"))));
    columns.push(ColumnOut::new("class reason"));
    columns
}

fn class_cells<'a>(class: &'a ClassReading, labels: &[String], cells: &mut Vec<CellOut<'a>>) {
    cells.extend([word(class.most_likely.as_deref()), CellOut::text(if class.decided { "yes" } else { "no" })]);
    for label in labels {
        cells.push(CellOut::known(class.probability.as_ref().and_then(|shares| shares.get(label).copied())));
    }
    cells.push(word(class.reason.as_deref()));
}

/// The labels of the scheme, as the outcome holds them.
fn labels(assessment: &Assessment) -> Vec<String> {
    let read = assessment.samples.views().find(|piece| piece.class_shares().is_some());
    let mut labels = read.map(|piece| piece.class_labels().to_vec()).unwrap_or_default();
    labels.sort();
    labels
}
