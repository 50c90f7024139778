//! What the files of an assessment hold, for programs: unit, meaning and evidence of each column.

use crate::quantity::{Cited, Quantity};
use crate::state::Route;
use crate::study::Assessment;
use crate::table::{
    ColumnType, Constraints, Decimal, Field, FieldEvidence, MadeBy, Package, PackageSource, Resource, Schema, SheetOut,
    TableKind, TextStyle,
};

/// The description of every file of `assess --out DIR`. `sheets` are those that were written, for their headers;
/// `workbook` says of the workbook that it holds them too, or why there is none.
pub(super) fn metadata(assessment: &Assessment, sheets: &[SheetOut<'_>], style: TextStyle, workbook: &str) -> Package {
    let mut package = package(assessment, &format!("{IN_TEXT} {workbook}"));
    for sheet in sheets {
        let name = sheet.name.replace(' ', "_");
        let resource = Resource::file(&name, describe(&sheet.name), format!("{name}.csv"));
        package.resources.push(resource.table(schema(assessment, sheet, style), None, style.delimiter));
    }
    let kind = assessment.kind;
    let json = format!("The same with full precision; its JSON schema: woodstate schema {kind}.");
    package.resources.push(Resource::file("json", &json, format!("{kind}.json")));
    package
}

/// The description of one file of results, which is called `name`.
pub(super) fn metadata_of(assessment: &Assessment, sheet: &SheetOut<'_>, style: TextStyle, name: &str) -> Package {
    let point = TextStyle { decimal: Decimal::Point, ..style };
    let file = Resource::file("results", describe(&sheet.name), name);
    let (what, resource) = match file.format {
        "ods" => (BESIDE, file.table(schema(assessment, sheet, point), Some(&sheet.name), style.delimiter)),
        "parquet" => ("", file.columns(schema(assessment, sheet, point))),
        _ => (IN_TEXT, file.table(schema(assessment, sheet, style), None, style.delimiter)),
    };
    let mut package = package(assessment, what);
    package.resources.push(resource);
    package
}

const IN_TEXT: &str =
    "In delimited text an apostrophe stands before a text that a spreadsheet program would take for a formula.";

const BESIDE: &str = "The other sheets are explained in the sheet \"columns\".";

fn package(assessment: &Assessment, more: &str) -> Package {
    let title = assessment.settings.title.clone().unwrap_or_else(|| "State of waterlogged wood".to_owned());
    let what = "Results of woodstate. A blank cell is unknown, never 0 and never none. Every u is one standard \
                uncertainty; an interval has the coverage that is stated with it.";
    let mut package =
        Package::new(format!("woodstate-{}", assessment.kind), title, format!("{what} {more}").trim_end());
    package.sources = sources(assessment);
    package.made_by = Some(made_by(assessment));
    package
}

fn schema(assessment: &Assessment, sheet: &SheetOut<'_>, style: TextStyle) -> Schema {
    let mut fields: Vec<Field> =
        sheet.columns.iter().map(|column| field(&sheet.name, &column.header, assessment)).collect();
    if style.decimal == Decimal::Comma {
        fields.iter_mut().filter(|field| field.holds == "number").for_each(|field| field.decimal_char = Some(','));
    }
    Schema::of(fields)
}

fn made_by(assessment: &Assessment) -> MadeBy {
    let settings = &assessment.settings;
    let read = assessment.samples.views().find(|piece| piece.class_shares().is_some());
    MadeBy {
        program: assessment.program.name,
        version: assessment.program.version,
        coverage: settings.coverage,
        seed: settings.seed,
        scheme: settings.scheme.clone(),
        class_labels: read.map(|piece| piece.class_labels().to_vec()).unwrap_or_default(),
    }
}

/// The tables that were read, the study file, and the works that numbers come from.
fn sources(assessment: &Assessment) -> Vec<PackageSource> {
    let table = |table: &crate::study::SourceTable| {
        let sheet = table.sheet.as_ref().map(|sheet| format!(", sheet {sheet}")).unwrap_or_default();
        let title = format!("{}: {}{sheet}", table.table, table.file);
        PackageSource { title, sha256: Some(table.sha256.clone()), evidence: None }
    };
    let settings = &assessment.settings;
    let study = settings.study_file.as_ref().map(|file| PackageSource {
        title: format!("study file: {file}"),
        sha256: settings.study_sha256.clone(),
        evidence: None,
    });
    let work = |cited: &Cited| PackageSource {
        title: format!("{}: {}, {}", cited.used_for, cited.citation, cited.place),
        sha256: None,
        evidence: Some(cited.evidence.word().to_owned()),
    };
    let tables = assessment.source.iter().map(table);
    tables.chain(study).chain(assessment.sources.iter().map(work)).collect()
}

fn describe(sheet: &str) -> &'static str {
    match sheet {
        "results" => "One row a piece: every quantity with its uncertainty, its interval and its route, and the class.",
        "timbers" => "One row a timber: outer and inner zone apart, since no mean is taken across them.",
        "routes" => "Every route to the quantities that can be reached by several.",
        "findings" => "What was found in the files, with its place and its cure.",
        "method" => "What was stated or assumed, in words.",
        "columns" => "Unit and meaning of each column of results, timbers and routes, and what its numbers rest on.",
        "references" => "What sound wood of each taxon was taken to be.",
        "sources" => "Every published or stated number that was used, and where it comes from.",
        _ => "The table as it was read; a cell that could not be used stands as it was typed.",
    }
}

/// Columns of results that are neither quantities nor columns of the tables.
const WORDS: [(&str, &str, &str); 47] = [
    ("rows", "string", "Rows of the file that hold the piece, counted as in the file."),
    ("row", "integer", "Row of the file, counted as in the file."),
    ("status", "string", "assessed, partial or not_assessed."),
    ("pieces", "integer", "Pieces of the timber."),
    ("pieces read", "integer", "Pieces from which decay was read."),
    ("cores", "integer", "Cores of the timber."),
    (
        "soft_rim_from [mm]",
        "number",
        "Depth beyond which the soft rim ends, by the increments; from which value wood counts as sound is a proposal of ours.",
    ),
    ("soft_rim_to [mm]", "number", "Depth before which the soft rim ends; empty where no sound increment was reached."),
    ("worst sample", "string", "Piece with the worst reading."),
    ("degradation_class", "string", "Most likely class by the scheme."),
    (
        "class decided",
        "string",
        "yes where the probability of the class reaches the stated one and nothing is known to be measured wrongly.",
    ),
    ("class reason", "string", "Why no class is given, or why it is not decided."),
    ("cautions", "string", "Words of cautions; woodstate explain WORD tells their stories."),
    ("quantity", "string", "Word of the quantity."),
    ("route", "string", "Way by which the value was reached."),
    ("value", "any", "The value."),
    ("u", "number", "One standard uncertainty of the value."),
    ("unit", "string", "UCUM code of the unit."),
    ("code", "string", "Word of the finding; woodstate explain WORD tells its story."),
    ("severity", "string", "note, warning or error."),
    ("file", "string", "File in which it was found."),
    ("sheet", "string", "Sheet in which it was found."),
    ("cell", "string", "Cell in which it was found."),
    ("column", "string", "Header of the column in which it was found."),
    ("text", "string", "What it says."),
    ("allowed", "string", "What is allowed there."),
    ("cure", "string", "What to do."),
    ("count", "integer", "How often it was found."),
    ("item", "string", "What the text is about."),
    ("table", "string", "Table that the column stands in."),
    ("header", "string", "Header of the column."),
    ("meaning", "string", "What the column holds."),
    ("rests on", "string", "What its numbers rest on besides the readings, and how well the origin of that is known."),
    ("basic_density of sound wood [kg/m3]", "number", "Basic density of sound wood of the taxon."),
    ("u [kg/m3]", "number", "One standard uncertainty of the basic density of sound wood, for one tree."),
    ("basis", "string", "What the reference rests on: the taxon itself, or a group that it belongs to."),
    ("published values", "integer", "Published values that it rests on."),
    ("used for", "string", "What the number is and what it is used for."),
    ("citation", "string", "Author, year, title, number."),
    ("place", "string", "Table, equation, page or row."),
    ("evidence", "string", "How well the origin of the number is known."),
    ("what the evidence means", "string", "The same in one sentence."),
    ("id", "string", "Short name of the work."),
    ("outer depth_from [mm]", "number", "Depth at which the outer zone begins."),
    ("outer depth_to [mm]", "number", "Depth at which the outer zone ends."),
    ("inner depth_from [mm]", "number", "Depth at which the inner zone begins."),
    ("inner depth_to [mm]", "number", "Depth at which the inner zone ends."),
];

/// What a column holds, from its header.
pub(super) fn field(sheet: &str, header: &str, assessment: &Assessment) -> Field {
    if sheet.starts_with("input") {
        return echoed(header);
    }
    let mut field = known(header, assessment).unwrap_or_else(|| Field::new(header, "any", "Column of the file."));
    // The cell of the file that a finding quotes, not a result.
    if sheet == "findings" && header == "value" {
        field = Field::new(header, "string", "What stands there.");
    }
    field.evidence = evidence(&field, assessment);
    field
}

/// A column of the echo: a cell that could not be used is text there, so every cell is allowed.
fn echoed(header: &str) -> Field {
    let (uncertain, name, unit) = parts(header);
    let column = TableKind::ALL.into_iter().find_map(|kind| kind.column(name));
    let Some(spec) = column.filter(|_| header != "row") else {
        let own = "Column of the file; it travels along untouched.";
        let what = if header == "row" { "Row of the file, counted as in the file." } else { own };
        return Field::new(header, "any", what);
    };
    let mut field = Field::new(header, "any", spec.meaning);
    field.unit = unit.map(str::to_owned);
    if uncertain == Some("u") {
        field.description = format!("One standard uncertainty, as stated in the file, of: {}", spec.meaning);
        field.uncertainty_of = Some(spec.header());
    }
    field
}

fn known(header: &str, assessment: &Assessment) -> Option<Field> {
    if let Some((_, holds, meaning)) = WORDS.iter().find(|(name, ..)| *name == header) {
        return Some(Field::new(header, holds, *meaning));
    }
    if let Some(label) = header.strip_prefix("probability of class ") {
        let mut field = Field::new(header, "number", format!("Probability that the piece belongs to class {label}."));
        field.constraints = Constraints { minimum: Some(0.0), maximum: Some(1.0), ..Constraints::default() };
        return Some(field);
    }
    if let Some(name) = header.strip_prefix("route of ") {
        let words: &[Route] = match Quantity::of_name(name)? {
            Quantity::MaxWaterContent => &Route::TO_MAX_WATER_CONTENT,
            Quantity::BasicDensity => &Route::TO_BASIC_DENSITY,
            _ => &[],
        };
        let mut field = Field::new(header, "string", "Way by which the value was reached; woodstate explain WORD.");
        field.constraints.words = words.iter().map(|route| route.word().to_owned()).collect();
        return Some(field);
    }
    let zone = ["outer ", "inner ", "smallest ", "largest "].into_iter().find(|zone| header.starts_with(zone));
    let bare = zone.and_then(|zone| header.strip_prefix(zone)).unwrap_or(header);
    let (part, name, unit) = parts(bare);
    let Some(quantity) = Quantity::of_name(name) else {
        let spec = TableKind::ALL.into_iter().find_map(|kind| kind.column(name))?;
        let holds = if matches!(spec.holds, ColumnType::Number { .. }) { "number" } else { "string" };
        return Some(Field { unit: unit.map(str::to_owned), ..Field::new(header, holds, spec.meaning) });
    };
    let spec = quantity.spec();
    let mut field = Field::new(header, "number", format!("{} Formula: {}.", spec.meaning, spec.formula));
    field.unit = unit.map(str::to_owned);
    let of = format!("{}{name} [{}]", zone.unwrap_or_default(), unit.unwrap_or_default());
    match (part, zone) {
        (Some("u"), _) => {
            field.description = format!("One standard uncertainty of {name}.");
            field.uncertainty_of = Some(of);
        }
        (Some(end), _) => {
            let end = if end == "low" { "Lower" } else { "Upper" };
            field.description = format!("{end} end of the interval of {name}.");
            field.interval_of = Some(of);
            field.coverage = Some(assessment.settings.coverage);
        }
        (None, Some(zone @ ("outer " | "inner "))) => {
            field.description = format!("Mean of the {zone}zone of the timber. {}", spec.meaning);
        }
        (None, Some(end)) => field.description = format!("The {end}of the timber. {}", spec.meaning),
        (None, None) => {}
    }
    Some(field)
}

/// `low(name) [unit]` as its part, name and unit.
fn parts(header: &str) -> (Option<&str>, &str, Option<&str>) {
    let (name, unit) = match header.split_once(" [") {
        Some((name, unit)) => (name, unit.strip_suffix(']')),
        None => (header, None),
    };
    for part in ["u", "low", "high"] {
        let inner = name.strip_prefix(part).and_then(|rest| rest.strip_prefix('(')?.strip_suffix(')'));
        if let Some(inner) = inner {
            return (Some(part), inner, unit);
        }
    }
    (None, name, unit)
}

/// How the use of a number begins, and the columns that rest on it. A number that is in none of these lines decides about
/// cautions.
const RESTS: [(&str, &[&str]); 7] = [
    (
        "density of the cell wall",
        &["porosity", "saturation", "saturated_density", "submerged_density", "sound_max_water_content"],
    ),
    (
        "density of fresh water",
        &["basic_density", "saturation", "saturated_density", "submerged_density", "sink_water_content"],
    ),
    (
        "density of saline water",
        &["basic_density", "saturation", "saturated_density", "submerged_density", "sink_water_content"],
    ),
    ("basic density of sound", &["residual_basic_density", "loss_of_wood_substance", "sound_max_water_content"]),
    ("scatter of basic density", &["residual_basic_density", "loss_of_wood_substance", "sound_max_water_content"]),
    ("class limits", &["degradation_class", "probability of class"]),
    ("least probability", &["class decided"]),
];

fn evidence(field: &Field, assessment: &Assessment) -> Vec<FieldEvidence> {
    if field.uncertainty_of.is_some() || field.interval_of.is_some() {
        return Vec::new();
    }
    let rests = |cited: &&Cited| {
        let columns = RESTS.iter().find(|(use_of, _)| cited.used_for.starts_with(use_of));
        let names: &[&str] = columns.map_or(&["cautions"], |(_, names)| *names);
        names.iter().any(|name| names_column(&field.name, name))
    };
    let one = |cited: &Cited| FieldEvidence {
        used_for: cited.used_for.clone(),
        source: cited.id.clone(),
        evidence: cited.evidence.word(),
    };
    assessment.sources.iter().filter(rests).map(one).collect()
}

fn names_column(header: &str, name: &str) -> bool {
    let bare = ["outer ", "inner ", "smallest ", "largest "].into_iter().find_map(|zone| header.strip_prefix(zone));
    let bare = bare.unwrap_or(header);
    parts(bare).1 == name || (name == "probability of class" && header.starts_with(name))
}
