//! `template`: the columns of an empty form, and what to know before it is filled in.

use schemars::JsonSchema;
use serde::Serialize;

use crate::table::{ColumnSpec, ColumnType, TableKind};

use super::Program;
use super::envelope::SCHEMA_VERSION;

/// Which columns of the samples a form has.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum FormColumns {
    /// Those from which water content, density and class follow.
    Usual,
    /// Every column there is, the derived quantities included where they may be stated.
    All,
}

/// The outcome of `template`: the columns of a form, table by table.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Template {
    /// Version of this form.
    pub schema_version: u32,
    /// `template`.
    pub kind: &'static str,
    /// The program.
    pub program: Program,
    /// Which columns of the samples there are.
    pub columns: FormColumns,
    /// The tables.
    pub tables: Vec<FormTable>,
    /// What to know before filling it in: what about, and the text.
    pub notes: Vec<(&'static str, &'static str)>,
}

/// A table of a form.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct FormTable {
    /// samples, timbers or log.
    pub table: &'static str,
    /// Its columns from left to right.
    pub columns: Vec<FormColumn>,
    #[serde(skip)]
    pub(crate) specs: Vec<&'static ColumnSpec>,
    #[serde(skip)]
    pub(crate) kind: TableKind,
}

/// A column of a form.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct FormColumn {
    /// Its header: name and unit.
    pub header: String,
    /// Its name.
    pub name: &'static str,
    /// Group of columns that belong together.
    pub group: &'static str,
    /// UCUM code of a number.
    pub unit: Option<&'static str>,
    /// What a cell may hold, in words.
    pub allowed: String,
    /// Words of the list, where it holds one of a list.
    pub words: Vec<&'static str>,
    /// What it means.
    pub meaning: &'static str,
}

/// Columns of the samples that lead to water content, density, loss and class, in the order of the form.
const USUAL: [&str; 30] = [
    "sample",
    "timber",
    "core_id",
    "site",
    "context",
    "find_number",
    "date_sampled",
    "taxon",
    "wood_zone",
    "depth_from",
    "depth_to",
    "depth_reference",
    "charring",
    "borer_damage",
    "metal",
    "prior_treatment",
    "mass_saturated",
    "mass_oven_dry",
    "mass_immersed",
    "mass_displaced",
    "mass_sinker_immersed",
    "weighing_water_temperature",
    "volume_saturated",
    "sample_form",
    "piece_diameter",
    "piece_length",
    "piece_width",
    "piece_thickness",
    "ash_content",
    "note",
];

/// What to know before a form is filled in. The cautions are common practice, no source.
const NOTES: [(&str, &str); 12] = [
    (
        "blank cells",
        "A blank cell means unknown. It never means 0, none or no. Write 0 or none only where somebody looked.",
    ),
    (
        "headers",
        "Leave the header row as it is; the unit of a column stands in it. Delete columns that you do not need, and add \
         columns of your own: they travel along untouched.",
    ),
    ("numbers", "A number alone, in the unit of the header. No words, no signs such as < or ~ beside it."),
    (
        "uncertainty",
        "Where it differs from row to row, add a column such as u(mass_saturated) [g]: one standard uncertainty. \
         Otherwise state the instruments once in woodstate.toml.",
    ),
    (
        "sample",
        "One row a piece that was measured; each has its own name. Repeats of the same piece need the column replicate.",
    ),
    (
        "mass under water",
        "mass_immersed is read while the piece hangs in water below the balance; mass_displaced is the rise of a tared \
         vessel of water while the piece is held under. They are opposite readings: fill in the one that was read.",
    ),
    (
        "saturated",
        "mass_saturated is that of the fully saturated piece with its surface water removed. A piece that held air is too \
         light, and so is its water content.",
    ),
    ("depth", "depth_from and depth_to count from the surface that depth_reference names."),
    (
        "sampling",
        "A piece that is cut is lost to the find: agree on number and place with the owner and the authority, and record \
         and photograph it first. Common practice, no source.",
    ),
    (
        "drying",
        "Oven drying destroys the piece: shape, cells and most later analyses are gone. Keep a twin where one is needed. \
         Common practice, no source.",
    ),
    (
        "oven and chemicals",
        "An oven burns, and wood that was treated or kept with solvents, biocides or glycols can give off vapours that harm \
         or catch fire. Read the safety data sheets, ventilate, and follow the rules of your laboratory and the law of your \
         place; where these differ from this note, they hold. Common practice, no source.",
    ),
    (
        "water from the store",
        "Storage water can hold biocides, metals and germs: gloves, and what the person in charge of safety says. Common \
         practice, no source.",
    ),
];

/// The columns of a form.
///
/// # Example
/// ```
/// use woodstate::study::{FormColumns, template};
/// use woodstate::table::TableKind;
///
/// let form = template(&[TableKind::Samples], FormColumns::Usual);
/// assert_eq!(form.tables[0].columns[0].header, "sample");
/// assert!(form.tables[0].columns.iter().any(|column| column.header == "mass_saturated [g]"));
/// ```
#[must_use]
pub fn template(tables: &[TableKind], columns: FormColumns) -> Template {
    let tables = TableKind::ALL.into_iter().filter(|kind| tables.contains(kind)).map(|kind| table(kind, columns));
    Template {
        schema_version: SCHEMA_VERSION,
        kind: "template",
        program: Program::this(),
        columns,
        tables: tables.collect(),
        notes: NOTES.to_vec(),
    }
}

fn table(kind: TableKind, columns: FormColumns) -> FormTable {
    let specs = match (kind, columns) {
        (TableKind::Samples, FormColumns::Usual) => USUAL.iter().filter_map(|name| kind.column(name)).collect(),
        _ => by_group(kind.columns().collect()),
    };
    FormTable { table: kind.name(), columns: specs.iter().map(|spec| column(spec)).collect(), specs, kind }
}

/// Groups in the order in which each begins; a note comes last, where people look for it.
fn by_group(mut columns: Vec<&'static ColumnSpec>) -> Vec<&'static ColumnSpec> {
    let mut groups: Vec<&str> = Vec::new();
    for column in &columns {
        if !groups.contains(&column.group) {
            groups.push(column.group);
        }
    }
    let place = |column: &&ColumnSpec| groups.iter().position(|group| *group == column.group);
    columns.sort_by_key(|column| (column.name == "note", place(column)));
    columns
}

fn column(spec: &ColumnSpec) -> FormColumn {
    let (unit, words) = match spec.holds {
        ColumnType::Number { unit, .. } => (Some(unit), Vec::new()),
        ColumnType::Word(words) => (None, words.to_vec()),
        ColumnType::Text | ColumnType::Date => (None, Vec::new()),
    };
    FormColumn {
        header: spec.header(),
        name: spec.name,
        group: spec.group,
        unit,
        allowed: spec.allowed(),
        words,
        meaning: spec.meaning,
    }
}

#[cfg(test)]
mod tests {
    use super::{FormColumns, TableKind, USUAL, template};

    #[test]
    fn every_usual_column_is_one_of_the_samples() {
        let form = template(&TableKind::ALL, FormColumns::Usual);
        assert_eq!(form.tables[0].columns.len(), USUAL.len());
    }

    #[test]
    fn columns_of_a_group_stand_together() {
        for table in template(&TableKind::ALL, FormColumns::All).tables {
            let mut groups: Vec<&str> =
                table.columns.iter().filter(|column| column.name != "note").map(|column| column.group).collect();
            groups.dedup();
            let runs = groups.len();
            groups.sort_unstable();
            groups.dedup();
            assert_eq!(groups.len(), runs, "{}", table.table);
        }
    }
}
