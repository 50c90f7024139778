//! A description of tables for programs: Data Package, Table Schema and Table Dialect, version 2, as far as they are used.
//!
//! The standard has no word for a unit: `unit` (a UCUM code), `uncertaintyOf`, `intervalOf`, `coverage` and `evidence` are
//! ours. There is no date in it: the same tables give the same text.
//!
//! # Source
//! Data Package, Table Schema and Table Dialect, version 2.0 (2024), <https://datapackage.org/standard/data-package/>,
//! pages Data Package, Table Schema, Table Dialect.

use serde::Serialize;

use super::text::guarded;
use crate::table::{ColumnSpec, ColumnType, TableKind};

/// Name of the file that describes the others of its folder.
pub const PACKAGE_FILE: &str = "datapackage.json";

const PROFILE: &str = "https://datapackage.org/profiles/2.0/datapackage.json";

/// A set of files and what they hold.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "camelCase")]
pub struct Package {
    /// The standard that it follows.
    #[serde(rename = "$schema")]
    pub profile: &'static str,
    /// Short name for programs.
    pub name: String,
    /// Name for people.
    pub title: String,
    /// What it is.
    pub description: String,
    /// What it was made from.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub sources: Vec<PackageSource>,
    /// How it was made, where it holds results.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub made_by: Option<MadeBy>,
    /// The files, or the sheets of a workbook.
    pub resources: Vec<Resource>,
}

impl Package {
    /// A package without files.
    #[must_use]
    pub fn new(name: impl Into<String>, title: impl Into<String>, description: impl Into<String>) -> Self {
        let (name, title, description) = (name.into(), title.into(), description.into());
        Self { profile: PROFILE, name, title, description, sources: Vec::new(), made_by: None, resources: Vec::new() }
    }
}

/// How results were made.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "camelCase")]
pub struct MadeBy {
    /// Name of the program.
    pub program: &'static str,
    /// Its version.
    pub version: &'static str,
    /// Coverage of every interval.
    pub coverage: f64,
    /// Seed of random draws.
    pub seed: u64,
    /// Class scheme.
    pub scheme: String,
    /// Its labels, the worst first.
    pub class_labels: Vec<String>,
}

/// What a package was made from.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "camelCase")]
pub struct PackageSource {
    /// What it is.
    pub title: String,
    /// SHA-256 of its bytes.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub sha256: Option<String>,
    /// How well its origin is known.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub evidence: Option<String>,
}

/// A file of a package, or a sheet of it.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "camelCase")]
pub struct Resource {
    /// Short name for programs: lower case.
    pub name: String,
    /// What it holds.
    pub description: String,
    /// Whether it is a table.
    #[serde(rename = "type", skip_serializing_if = "Option::is_none")]
    pub holds: Option<&'static str>,
    /// Its file.
    pub path: String,
    /// Ending of the file.
    pub format: &'static str,
    /// What programs call the format.
    pub mediatype: &'static str,
    /// Encoding of a text.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub encoding: Option<&'static str>,
    /// How its cells stand apart.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub dialect: Option<Dialect>,
    /// Its columns.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub schema: Option<Schema>,
}

impl Resource {
    /// A file that is no table: its name tells the rest.
    #[must_use]
    pub fn file(name: impl Into<String>, description: impl Into<String>, path: impl Into<String>) -> Self {
        let (name, description, path) = (name.into(), description.into(), path.into());
        let (format, mediatype, encoding) = match path.rsplit('.').next() {
            Some("xlsx") => ("xlsx", "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet", None),
            Some("json") => ("json", "application/json", Some("utf-8")),
            Some("ods") => ("ods", "application/vnd.oasis.opendocument.spreadsheet", None),
            Some("parquet") => ("parquet", "application/vnd.apache.parquet", None),
            Some("csv") => ("csv", "text/csv", Some("utf-8")),
            Some("tsv") => ("tsv", "text/tab-separated-values", Some("utf-8")),
            _ => ("txt", "text/plain", Some("utf-8")),
        };
        Self { name, description, holds: None, path, format, mediatype, encoding, dialect: None, schema: None }
    }

    /// A table: a sheet of a workbook, or a text with a character between its cells.
    ///
    /// The columns of a text are named as they stand there: with an apostrophe before a header that begins like a formula.
    #[must_use]
    pub fn table(self, mut schema: Schema, sheet: Option<&str>, delimiter: char) -> Self {
        let dialect = match sheet {
            Some(sheet) => {
                let excel = (self.format == "xlsx").then(|| SheetDialect { sheet: sheet.to_owned() });
                Dialect { sheet_name: Some(sheet.to_owned()), excel, ..Dialect::default() }
            }
            None => {
                for field in &mut schema.fields {
                    field.name = guarded(&field.name).into_owned();
                }
                Dialect { delimiter: Some(delimiter), ..Dialect::default() }
            }
        };
        Self { holds: Some("table"), dialect: Some(dialect), schema: Some(schema), ..self }
    }

    /// A table whose format says by itself how its cells stand apart.
    #[must_use]
    pub fn columns(self, schema: Schema) -> Self {
        Self { holds: Some("table"), schema: Some(schema), ..self }
    }
}

/// How the cells of a table stand apart.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
#[serde(rename_all = "camelCase")]
pub struct Dialect {
    /// Character between two cells of a text.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub delimiter: Option<char>,
    /// Sheet of a workbook.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub sheet_name: Option<String>,
    /// The same for the validator Frictionless 5, which does not know `sheetName`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub excel: Option<SheetDialect>,
}

/// Sheet of a workbook, in the words of Frictionless 5.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct SheetDialect {
    /// Its name.
    pub sheet: String,
}

/// The columns of a table and what ties them together.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
#[serde(rename_all = "camelCase")]
pub struct Schema {
    /// The columns.
    pub fields: Vec<Field>,
    /// What stands for unknown.
    pub missing_values: Vec<String>,
    /// Columns that name a row; each is filled and no two rows are alike in them.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub primary_key: Vec<String>,
    /// Columns of which no two rows are alike, where a cell may be blank.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub unique_keys: Vec<Vec<String>>,
    /// Columns that name a row of another table.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub foreign_keys: Vec<ForeignKey>,
}

impl Schema {
    /// A schema of these columns, in which a blank cell is unknown.
    #[must_use]
    pub fn of(fields: Vec<Field>) -> Self {
        Self { fields, missing_values: vec![String::new()], ..Self::default() }
    }

    /// A schema of columns of one of the three tables.
    #[must_use]
    pub fn of_table(kind: TableKind, columns: &[&'static ColumnSpec]) -> Self {
        let mut schema = Self::of(columns.iter().map(|column| Field::of_column(column)).collect());
        let has = |name: &str| columns.iter().any(|column| column.name == name);
        let (key, repeat) = match kind {
            TableKind::Samples => ("sample", "replicate"),
            TableKind::Timbers => ("timber", ""),
            TableKind::Log => return schema,
        };
        if has(key) {
            if let Some(field) = schema.fields.iter_mut().find(|field| field.name == key) {
                field.constraints.required = Some(true);
            }
            if has(repeat) {
                schema.unique_keys.push(vec![key.to_owned(), repeat.to_owned()]);
            } else {
                schema.primary_key.push(key.to_owned());
            }
        }
        schema
    }
}

/// A column that names a row of another table.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct ForeignKey {
    /// Columns here.
    pub fields: Vec<String>,
    /// Where they point to.
    pub reference: KeyReference,
}

impl ForeignKey {
    /// One column that names a row of another table by its column of the same name.
    #[must_use]
    pub fn to(table: &str, column: &str) -> Self {
        let fields = vec![column.to_owned()];
        Self { fields: fields.clone(), reference: KeyReference { resource: table.to_owned(), fields } }
    }
}

/// A table and its columns that are pointed to.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct KeyReference {
    /// Name of the table in the package.
    pub resource: String,
    /// Columns there.
    pub fields: Vec<String>,
}

/// A column.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
#[serde(rename_all = "camelCase")]
pub struct Field {
    /// Its header.
    pub name: String,
    /// What its cells are: `string`, `number`, `integer`, `date`, `any`.
    #[serde(rename = "type")]
    pub holds: &'static str,
    /// What it means.
    pub description: String,
    /// UCUM code.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub unit: Option<String>,
    /// Column of which this is one standard uncertainty.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub uncertainty_of: Option<String>,
    /// Column of which this is an end of the interval.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub interval_of: Option<String>,
    /// Coverage of the interval.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub coverage: Option<f64>,
    /// What the numbers of the column rest on, besides the readings of the piece.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub evidence: Vec<FieldEvidence>,
    /// Decimal mark, where it is not the point.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub decimal_char: Option<char>,
    /// What a cell may hold.
    #[serde(skip_serializing_if = "Constraints::is_empty")]
    pub constraints: Constraints,
}

/// One thing that the numbers of a column rest on.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "camelCase")]
pub struct FieldEvidence {
    /// What is used.
    pub used_for: String,
    /// Short name of the work.
    pub source: String,
    /// How well its origin is known.
    pub evidence: &'static str,
}

impl Field {
    /// A column without unit and without limits.
    #[must_use]
    pub fn new(name: impl Into<String>, holds: &'static str, description: impl Into<String>) -> Self {
        Self { name: name.into(), holds, description: description.into(), ..Self::default() }
    }

    /// A column of one of the three tables; its name is the whole header.
    #[must_use]
    pub fn of_column(spec: &ColumnSpec) -> Self {
        let mut field = Self::new(spec.header(), "string", spec.meaning);
        match spec.holds {
            ColumnType::Text => {}
            ColumnType::Date => field.holds = "date",
            ColumnType::Word(words) => field.constraints.words = words.iter().map(|word| (*word).to_owned()).collect(),
            ColumnType::Number { unit, low, high } => {
                field.holds = "number";
                field.unit = Some(unit.to_owned());
                field.constraints.minimum = Some(low);
                field.constraints.maximum = Some(high);
            }
        }
        field
    }
}

/// What a cell of a column may hold.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct Constraints {
    /// Whether it must be filled.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub required: Option<bool>,
    /// Smallest value.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub minimum: Option<f64>,
    /// Largest value.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub maximum: Option<f64>,
    /// Words, where it holds one of a list.
    #[serde(rename = "enum", skip_serializing_if = "Vec::is_empty")]
    pub words: Vec<String>,
}

impl Constraints {
    /// Whether anything is allowed.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        *self == Self::default()
    }
}
