//! The keys of the study file: how a table is read, how its pieces are named, instruments, waters, protocol.

use std::collections::{BTreeMap, BTreeSet};

use crate::quantity::counted;
use crate::table::{Decimal, DecimalEvidence, DecimalVerdict};

use super::column::Looked;
use super::item::{Item, quoted};
use super::sheet::Sheet;

/// Which row holds the header, which one units.
pub(super) fn rows(sheet: &Sheet) -> Vec<Item> {
    let number = sheet.grid.row_number(sheet.header);
    let known = counted(sheet.known, "known header");
    let mut items = vec![Item::key("header_row", format!("{known} in it"), &[(&number.to_string(), "")])];
    if let Some(units) = sheet.units.filter(|units| *units > sheet.header) {
        let number = sheet.grid.row_number(units).to_string();
        items.push(Item::key("units_row", "units stand in it and no piece", &[(&number, "")]));
    }
    items
}

/// The decimal mark, from what the cells of numbers show.
pub(super) fn decimal(evidence: DecimalEvidence, given: Option<Decimal>) -> Option<Item> {
    let cells = |n: usize| if n == 0 { "none".to_owned() } else { counted(n, "cell") };
    let seen = format!("\",\" in {}, \".\" in {}", cells(evidence.comma), cells(evidence.point));
    let both = [("\",\"", "12,5 is twelve and a half"), ("\".\"", "12.5 is twelve and a half")];
    let mark = |mark: Decimal| format!("\"{}\"", mark.mark());
    match (given, evidence.verdict()) {
        (Some(given), _) => Some(Item::key("decimal", "as given", &[(&mark(given), "")])),
        (None, DecimalVerdict::Shown(shown)) => Some(Item::key("decimal", seen, &[(&mark(shown), "")])),
        (None, DecimalVerdict::Unneeded) => None,
        (None, DecimalVerdict::Ambiguous) => {
            let why = format!("{} can be read in two ways, such as 1,234", counted(evidence.ambiguous, "cell"));
            Some(Item::key("decimal", why, &both))
        }
        (None, DecimalVerdict::Conflict) => {
            Some(Item::key("decimal", format!("both marks stand in the table: {seen}"), &both))
        }
    }
}

/// How pieces are named where no column does it, or where one names cores.
pub(super) fn sample(sheet: &Sheet, found: &mut [Looked]) -> Option<Item> {
    let place = |name: &str| found.iter().position(|looked| looked.is(name));
    let depth =
        found.iter().position(|looked| looked.meanings.first().is_some_and(|column| column.name == "depth_from"));
    let texts = |at: usize| -> BTreeMap<usize, String> { sheet.cells(found[at].place).collect() };
    let repeats = |at: usize| {
        let all: Vec<String> = texts(at).into_values().collect();
        all.iter().collect::<BTreeSet<_>>().len() < all.len()
    };
    let twice = |a: usize, b: usize| {
        let (a, b) = (texts(a), texts(b));
        let mut seen = BTreeSet::new();
        a.iter().filter(|(row, name)| !seen.insert((name.as_str(), b.get(row)))).count()
    };
    let composed = |part: &str, at: usize, depth: usize, why: &str| {
        let mut why = format!("\"{}\" {why} with different depths", found[at].item.name);
        match twice(at, depth) {
            0 => {}
            n => why.push_str(&format!(
                "; in {} a name stands again: rename it, or number repeats in a column replicate",
                counted(n, "row")
            )),
        }
        Item::key("sample", why, &[(&format!("[{}, \"depth_from\"]", quoted(part)), "")])
    };
    match (place("sample"), place("core_id").or_else(|| place("timber")), depth) {
        (Some(at), _, Some(depth)) if repeats(at) && twice(at, depth) * 2 < sheet.rows.len() => {
            let item = composed("core_id", at, depth, "repeats").asked();
            let looked = &mut found[at];
            let core =
                super::item::meant(&looked.item.name, "core_id", "it names cores; then compose the name: sample = ...");
            looked.item.why = "It repeats with different depths: does it name pieces or cores?".to_owned();
            if let Some(first) = looked.item.answers.first_mut() {
                first.clause = "it names pieces".to_owned();
                looked.item.answers.push(core);
                looked.item.state = super::ItemState::Question;
            }
            Some(item)
        }
        (Some(_), ..) => None,
        (None, Some(at), Some(depth)) if repeats(at) => {
            Some(composed(found[at].meanings[0].name, at, depth, "repeats"))
        }
        (None, Some(at), _) if !repeats(at) => {
            let name = found[at].meanings[0].name;
            let why = format!("no column names the pieces, and \"{}\" names each row once", found[at].item.name);
            Some(Item::key("sample", why, &[(&format!("[{}]", quoted(name)), "")]))
        }
        _ => {
            let say = "no column names the pieces: which columns together do?";
            Some(Item::key("sample", say, &[("[\"…\", \"…\"]", "names of columns of woodstate")]).asked())
        }
    }
}

/// Instruments, as far as the table has readings of them.
pub(super) fn instruments(sheet: &Sheet, found: &[Looked]) -> Vec<Item> {
    let of = |group: &str| -> Vec<&Looked> {
        let is_of = |looked: &&Looked| looked.meanings.first().is_some_and(|column| column.group == group);
        found.iter().filter(is_of).collect()
    };
    let (masses, mut items) = (of("mass"), Vec::new());
    if let Some(looked) = masses.first() {
        let cells = masses.iter().flat_map(|looked| sheet.cells(looked.place));
        let steps: Vec<usize> = cells.filter_map(|(_, text)| decimals(&text)).collect();
        let most = (0..=6_usize).max_by_key(|n| (steps.iter().filter(|step| *step == n).count(), *n)).unwrap_or(0);
        let unit = looked.item.unit.as_deref().filter(|unit| matches!(*unit, "g" | "kg" | "mg")).unwrap_or("g");
        let step = if most == 0 { "1".to_owned() } else { format!("0.{}1", "0".repeat(most - 1)) };
        let why = format!("Smallest step of its display? Most masses have {}", counted(most, "decimal"));
        items.push(Item::key("balance", why, &[(&format!("\"{step} {unit}\""), "")]).asked());
    }
    let is_size = |looked: &Looked| looked.is_number() && looked.meanings[0].name.starts_with("piece_");
    if !of("dimensions").is_empty() || found.iter().any(is_size) {
        items.push(Item::key("calliper", "Smallest step?", &[("\"… mm\"", "")]).asked());
    }
    items.push(Item::key("volume_method", "How was the volume found?", &[("\"…\"", "in your words")]).asked());
    if found.iter().any(|looked| looked.is("volume_saturated") || looked.is("volume_oven_dry")) {
        let why = "Standard uncertainty of one volume?";
        items.push(Item::key("volume_uncertainty", why, &[("\"… cm3\"", "")]).asked());
    }
    items
}

/// The waters: of weighing, and in the wood.
pub(super) fn water() -> Vec<Item> {
    let fresh = "tap or distilled water";
    vec![
        Item::key("weighing_temperature", "Of the water for weighing?", &[("\"… ± 1 Cel\"", "")]).asked(),
        Item::key("weighing_salinity", "Of the water for weighing?", &[("\"0 g/kg\"", fresh), ("\"… g/kg\"", "")]),
        Item::key(
            "pore_salinity",
            "Of the water in the wood? Its salt stays in the dry mass",
            &[("\"0 g/kg\"", "a find from fresh water"), ("\"… ± … g/kg\"", "sea or brackish water, as measured")],
        ),
    ]
}

/// How the laboratory worked.
pub(super) fn protocol() -> Vec<Item> {
    let blank = [("\"…\"", "")];
    vec![
        Item::key("surface_water", "How was surface water removed?", &blank).asked(),
        Item::key("drying_temperature", "Of the oven?", &[("\"… Cel\"", "")]).asked(),
    ]
}

/// Digits behind the decimal mark of a number.
fn decimals(text: &str) -> Option<usize> {
    let (whole, rest) = text.split_once(['.', ','])?;
    let is_digits = |part: &str| !part.is_empty() && part.bytes().all(|b| b.is_ascii_digit());
    (is_digits(whole) && is_digits(rest)).then_some(rest.len())
}
