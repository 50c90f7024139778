//! Outcomes as JSON, and the JSON schema of each kind.

use std::io::Write;

use schemars::generate::SchemaSettings;
use schemars::transform::RecursiveTransform;
use schemars::{JsonSchema, Schema};
use serde::Serialize;

use crate::error::{Error, ErrorKind, Result, near};
use crate::figure::{DrawnFigure, FigureList};
use crate::study::{
    Advice, Assessment, BathFreezing, BathMixing, BathTiming, BathWashing, Checkup, Curves, Explanation, Following,
    Lifts, Profiles, Program, Report, Starter, StudyText, Summary, Template,
};
use crate::table::file_error;

use super::{Align, Block, Grid, View};

/// An outcome as JSON: one object with full precision, `null` where unknown.
///
/// # Errors
/// None for the outcomes of `study`; the serializer's own words otherwise.
pub fn json<T: Serialize>(outcome: &T) -> Result<String> {
    let text = serde_json::to_string_pretty(outcome).map_err(unwritable)?;
    Ok(text + "\n")
}

/// Writes an outcome as [`json`] does, without holding the text.
pub(super) fn json_into<T: Serialize>(outcome: &T, out: &mut dyn Write) -> Result<()> {
    serde_json::to_writer_pretty(&mut *out, outcome).map_err(unwritable)?;
    out.write_all(b"\n").map_err(|error| file_error("JSON", "write", error))
}

/// Makes the schema of a kind.
type Make = fn() -> Schema;

/// Each kind that has a schema: its word, what it is, its schema.
const KINDS: [(&str, &str, Make); 20] = [
    ("study", "the study file woodstate.toml", study),
    ("assess", "woodstate assess --json", strict::<Assessment>),
    ("check", "woodstate check --json", strict::<Checkup>),
    ("summary", "woodstate summary --json", strict::<Summary>),
    ("fit", "woodstate fit --json", strict::<Curves>),
    ("profile", "woodstate profile --json", strict::<Profiles>),
    ("bath_mix", "woodstate bath mix --json", strict::<BathMixing>),
    ("bath_wash", "woodstate bath wash --json", strict::<BathWashing>),
    ("bath_time", "woodstate bath time --json", strict::<BathTiming>),
    ("bath_freeze", "woodstate bath freeze --json", strict::<BathFreezing>),
    ("following", "woodstate follow --json", strict::<Following>),
    ("advise", "woodstate advise --json", strict::<Advice>),
    ("lift", "woodstate lift --json", strict::<Lifts>),
    ("figure", "woodstate figure --json", strict::<DrawnFigure>),
    ("figures", "woodstate figure --list --json", strict::<FigureList>),
    ("report", "woodstate report --json", strict::<Report>),
    ("explain", "woodstate explain --json", strict::<Explanation>),
    ("starter", "woodstate study --json", strict::<Starter>),
    ("template", "woodstate template --json", strict::<Template>),
    ("schema", "woodstate schema --json", strict::<SchemaList>),
];

/// The kinds that have a JSON schema.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct SchemaList {
    /// Version of this form.
    pub schema_version: u32,
    /// `schema`.
    pub kind: &'static str,
    /// The program.
    pub program: Program,
    /// Word of each kind and what it is.
    pub kinds: Vec<(&'static str, &'static str)>,
}

/// The kinds that have a JSON schema.
#[must_use]
pub fn schema_list() -> SchemaList {
    let kinds = KINDS.iter().map(|(kind, what, _)| (*kind, *what)).collect();
    SchemaList { schema_version: 1, kind: "schema", program: Program::this(), kinds }
}

/// The view of `schema` without a word, for people and for a pipe.
#[must_use]
pub fn schema_list_view(list: &SchemaList) -> View {
    let mut grid = Grid::new(&[("kind", Align::Left), ("what", Align::Left)]);
    grid.rows = list.kinds.iter().map(|(kind, what)| vec![(*kind).to_owned(), (*what).to_owned()]).collect();
    View { blocks: vec![Block::Table(grid)] }
}

/// The JSON schema of a kind of outcome, or of the study file.
///
/// # Errors
/// [`ErrorKind::Name`] with the kinds there are.
///
/// # Example
/// ```
/// let schema = woodstate::report::json_schema("study")?;
/// assert!(schema.contains("\"cell_wall_density\""));
/// # Ok::<(), woodstate::error::Error>(())
/// ```
pub fn json_schema(kind: &str) -> Result<String> {
    if let Some((_, what, make)) = KINDS.iter().find(|(word, ..)| *word == kind) {
        let mut schema = make();
        schema.insert("title".to_owned(), format!("woodstate {kind}: {what}").into());
        return json(&schema);
    }
    let words = || KINDS.iter().map(|(word, ..)| *word);
    let hint = near(kind, words()).first().map(|word| format!("woodstate schema {word}"));
    let allowed = words().map(str::to_owned).collect();
    let error = Error::new(ErrorKind::Name { what: "kind of outcome", found: kind.to_owned(), allowed });
    Err(match hint {
        Some(hint) => error.with_hint(hint),
        None => error,
    })
}

/// What may stand in a study file: every key is optional, and there are no others.
fn study() -> Schema {
    let settings = SchemaSettings::draft2020_12().for_deserialize().with_transform(RecursiveTransform(without_null));
    settings.into_generator().into_root_schema_for::<StudyText>()
}

/// What is written, no more and no less: every key is there, `null` where unknown, and there are no others.
fn strict<T: JsonSchema>() -> Schema {
    let settings = SchemaSettings::draft2020_12().for_serialize().with_transform(RecursiveTransform(close));
    settings.into_generator().into_root_schema_for::<T>()
}

fn close(schema: &mut Schema) {
    let is_open = schema.get("properties").is_some() && schema.get("additionalProperties").is_none();
    if is_open {
        schema.insert("additionalProperties".to_owned(), false.into());
    }
}

/// TOML has no null: a key that is not there has no default to be shown.
fn without_null(schema: &mut Schema) {
    if schema.get("default").is_some_and(serde_json::Value::is_null) {
        schema.remove("default");
    }
}

fn unwritable(error: serde_json::Error) -> Error {
    Error::file("JSON", "write", error.to_string()).with_source(error)
}
