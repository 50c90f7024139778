//! What a column may mean: by its header, and asked again where no unit is written.

use crate::quantity::{Dimension, Unit, counted};
use crate::table::{ColumnSpec, ColumnType, Glossary, Meaning, cell_name, column_of};

use super::item::{Answer, Item, ItemState, meant};
use super::sheet::Sheet;

/// A column and the columns of woodstate that it may be.
#[derive(Debug)]
pub(super) struct Looked {
    pub(super) place: usize,
    pub(super) item: Item,
    pub(super) meanings: Vec<&'static ColumnSpec>,
}

impl Looked {
    /// Whether this column is, or is proposed to be, the one with this name.
    pub(super) fn is(&self, name: &str) -> bool {
        let is_sure = self.item.state != ItemState::Question || self.meanings.len() == 1;
        is_sure && self.meanings.first().is_some_and(|column| column.name == name)
    }

    /// Whether each of its meanings holds numbers.
    pub(super) fn is_number(&self) -> bool {
        let is_number = |column: &&ColumnSpec| matches!(column.holds, ColumnType::Number { .. });
        !self.meanings.is_empty() && self.meanings.iter().all(is_number)
    }
}

/// Every column of a sheet that has a header or holds something.
pub(super) fn columns(sheet: &Sheet, glossary: &'static Glossary) -> Vec<Looked> {
    let mut found: Vec<Looked> = Vec::new();
    for place in 0..sheet.grid.n_columns() {
        let (header, filled) = (sheet.header(place), sheet.cells(place).count());
        if header.is_empty() && filled == 0 {
            continue;
        }
        let (mut item, meanings) = match header.is_empty() {
            true => {
                let name = cell_name(0, place).trim_end_matches('0').to_owned();
                (Item::new(&format!("(column {name})"), "it has no header and is not read", Vec::new()), Vec::new())
            }
            false => item(&header, place, sheet, glossary),
        };
        let has_twin = found.iter().any(|other| other.item.name == header && !header.is_empty());
        if has_twin {
            item = Item::new(&header, "the header stands twice; rename one of the two columns", Vec::new());
        }
        item.filled = filled;
        for (_, text) in sheet.cells(place) {
            if item.examples.len() < 3 && !item.examples.contains(&text) {
                item.examples.push(text);
            }
        }
        let meanings = if has_twin { Vec::new() } else { meanings };
        found.push(Looked { place, item, meanings });
    }
    rule_out(&mut found);
    found
}

fn item(header: &str, place: usize, sheet: &Sheet, glossary: &'static Glossary) -> (Item, Vec<&'static ColumnSpec>) {
    let below = sheet.unit_below(place);
    if let Ok(column) = column_of(header, sheet.kind) {
        return own(header, column, below.as_deref());
    }
    let Some(known) = glossary.header(header, sheet.kind, below.as_deref()) else {
        return (unknown(header, sheet, glossary), Vec::new());
    };
    let word = format!("{} word", known.languages.join(" and "));
    let (why, hint) = match (known.meanings.as_slice(), known.ask, &known.unit) {
        ([], Some(ask), _) if known.misfits.is_empty() => (ask.to_owned(), None),
        ([], _, unit) => {
            let unit = unit.as_deref().unwrap_or_default();
            (format!("{word} for {}, but its unit [{unit}] does not fit", known.misfits.join(" or ")), None)
        }
        ([_], ..) => (word, None),
        (_, Some(ask), _) if ask.contains('?') => (ask.to_owned(), None),
        (_, ask, _) => (format!("{}?", ask.unwrap_or("Which of them is it")), None),
    };
    let mut item = Item::new(header, why, known.meanings.iter().flat_map(|meaning| answers(header, meaning)).collect());
    item.unit.clone_from(&known.unit);
    item.hint = hint;
    let lacks_unit = known.meanings.iter().any(is_bare);
    if lacks_unit && item.answers.len() > known.meanings.len() {
        let (only, end) = (known.meanings.len() == 1, " No unit is written: which one?");
        item.why = if only { format!("{}.{end}", item.why) } else { format!("{}{end}", item.why) };
    } else if lacks_unit {
        item.why.push_str("; no unit is written");
    } else if let Some(unit) = known.unit.filter(|_| below.is_some() && !header.ends_with([']', ')'])) {
        item.why = format!("{}; unit {unit} from the row of units", item.why);
    }
    let columns = known.meanings.iter().map(|meaning| meaning.column).collect();
    (item, columns)
}

/// A header that is a column of woodstate already; a number needs its unit.
fn own(header: &str, column: &'static ColumnSpec, below: Option<&str>) -> (Item, Vec<&'static ColumnSpec>) {
    let has_unit = header.ends_with([']', ')']) && !header.starts_with("u(") || header.matches(['[', '(']).count() > 1;
    let mut item = Item::new(header, "a column of woodstate as it stands", Vec::new());
    item.state = ItemState::Known;
    if let ColumnType::Number { unit: own, .. } = column.holds
        && !has_unit
    {
        let like = Unit::parse(own).ok();
        let unit = below.zip(like).and_then(|(unit, like)| Unit::parse_like(unit, like).ok());
        let meaning = Meaning { column, unit, clause: "" };
        let why = if unit.is_some() { "unit from the row of units" } else { "No unit is written: which one?" };
        item = Item::new(header, why, answers(header, &meaning));
        item.unit = below.map(str::to_owned);
    }
    (item, vec![column])
}

fn unknown(header: &str, sheet: &Sheet, glossary: &'static Glossary) -> Item {
    let mut near: Vec<String> =
        column_of(header, sheet.kind).err().unwrap_or_default().into_iter().map(str::to_owned).collect();
    let words = glossary.near(header, sheet.kind).into_iter();
    near.extend(words.map(|(word, column)| format!("\"{word}\" ({column})")));
    let near = if near.is_empty() { String::new() } else { format!(". Near: {}", near.join(", ")) };
    Item::new(header, format!("not in the glossary; it travels along untouched{near}"), Vec::new())
}

fn is_bare(meaning: &Meaning) -> bool {
    meaning.unit.is_none() && matches!(meaning.column.holds, ColumnType::Number { .. })
}

/// One line, or one for each unit that people use where none is written.
fn answers(header: &str, meaning: &Meaning) -> Vec<Answer> {
    let ColumnType::Number { unit: own, .. } = meaning.column.holds else {
        return vec![meant(header, &meaning.text(), meaning.clause)];
    };
    if meaning.unit.is_some() {
        return vec![meant(header, &meaning.text(), meaning.clause)];
    }
    let units: &[&str] = match Unit::parse(own).map(Unit::dimension) {
        Ok(Dimension::Mass) if own == "kg" => &["kg", "g"],
        Ok(Dimension::Mass) => &["g", "kg"],
        Ok(Dimension::Length) if own == "m" => &["m", "cm", "mm"],
        Ok(Dimension::Length) => &["mm", "cm"],
        Ok(Dimension::Density) if own == "mg/L" => &["mg/L", "g/L"],
        Ok(Dimension::Density) if own == "g/L" => &["g/L", "g/dL"],
        Ok(Dimension::Density) => &["kg/m3", "g/cm3"],
        Ok(Dimension::Ratio) if own == "mg/kg" => &["mg/kg", "%"],
        Ok(Dimension::Ratio) if own == "g/kg" => &["g/kg", "%"],
        Ok(Dimension::Ratio) => &["%", "1"],
        Ok(Dimension::Stress) => &["MPa", "kPa"],
        Ok(Dimension::Force) => &["N", "kN"],
        Ok(Dimension::Conductivity) => &["uS/cm", "mS/cm"],
        _ => &[own],
    };
    let with = |unit: &&str| Meaning { unit: Unit::parse(unit).ok(), ..meaning.clone() };
    units.iter().map(|unit| meant(header, &with(unit).text(), meaning.clause)).collect()
}

/// Where one of two names is taken by another header for certain, the other is left.
fn rule_out(found: &mut [Looked]) {
    let sure: Vec<(&'static str, String)> = found
        .iter()
        .filter(|looked| matches!(looked.item.state, ItemState::Proposal | ItemState::Known))
        .filter_map(|looked| Some((looked.meanings.first()?.name, looked.item.name.clone())))
        .collect();
    let is_name = |column: &&'static ColumnSpec| !matches!(column.holds, ColumnType::Number { .. });
    for looked in found.iter_mut().filter(|looked| looked.item.state == ItemState::Question) {
        let taken = |column: &ColumnSpec| sure.iter().find(|(name, _)| *name == column.name);
        let left: Vec<_> = looked.meanings.iter().copied().filter(|column| taken(column).is_none()).collect();
        if let ([only], true) = (left.as_slice(), looked.meanings.iter().all(is_name)) {
            let others = looked.meanings.iter().filter_map(|column| taken(column));
            let others: Vec<String> = others.map(|(name, header)| format!("{name} is \"{header}\"")).collect();
            looked.item.answers.retain(|answer| answer.meaning == only.name);
            looked.item.state = ItemState::Proposal;
            looked.item.why = format!("what is left, since {}", others.join(" and "));
            looked.meanings = left;
        }
    }
    refuse_twins(found);
}

/// Two headers proposed for one column: each becomes a question.
fn refuse_twins(found: &mut [Looked]) {
    let names: Vec<Option<&str>> = found
        .iter()
        .map(|looked| looked.meanings.first().filter(|_| looked.meanings.len() == 1).map(|column| column.name))
        .collect();
    for place in 0..found.len() {
        let Some(name) = names[place].filter(|_| found[place].item.state == ItemState::Proposal) else { continue };
        let others: Vec<String> = (0..found.len())
            .filter(|other| *other != place && names[*other] == Some(name))
            .map(|other| format!("\"{}\"", found[other].item.name))
            .collect();
        if !others.is_empty() {
            let looked = &mut found[place];
            looked.item.state = ItemState::Question;
            looked.item.why = format!("{} may mean {name} too: accept one of them only", counted_names(&others));
        }
    }
}

fn counted_names(names: &[String]) -> String {
    if names.len() > 3 { counted(names.len(), "other header") } else { names.join(" and ") }
}
