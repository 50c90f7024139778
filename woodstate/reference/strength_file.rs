//! `strength.toml`: what it holds, with every unit and form found.

use std::collections::BTreeMap;

use serde::Deserialize;

use super::WoodGroup;
use super::origin::Origin;
use super::printed_unit::{PrintedUnit, printed};
use super::sound_strength::{Row, Table};
use super::source::parse;
use super::strength::{Agreement, StrengthCondition, StrengthFunction};
use crate::quantity::Evidence;

const FILE: &str = "strength.toml";

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    unit: Vec<PrintedUnit>,
    wood_group: Groups,
    form: BTreeMap<String, Origin>,
    compared: Origin,
    scope: Scope,
    functions: Functions,
    within_species: Within,
    table: Vec<Table>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Groups {
    softwood: Vec<String>,
    hardwood: Vec<String>,
    source: String,
    place: String,
    evidence: Evidence,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Scope {
    gravity_from: f64,
    gravity_to: f64,
    source: String,
    place: String,
    evidence: Evidence,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Functions {
    list: Vec<Line>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Line {
    form: String,
    property: String,
    groups: Vec<WoodGroup>,
    condition: StrengthCondition,
    a: f64,
    b: f64,
    unit: String,
    compared: Option<Agreement>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Within {
    coefficient_of_variation: BTreeMap<String, f64>,
    source: String,
    place: String,
    evidence: Evidence,
}

/// The content of the file, with every unit and form found.
#[derive(Debug)]
pub(super) struct Strengths {
    pub(super) functions: Vec<StrengthFunction>,
    pub(super) rows: Vec<Row>,
    /// Scatter between specimens of a species, relative, by property.
    pub(super) within: BTreeMap<String, f64>,
    /// Densities over 1000 kg/m3 for which the functions were made.
    pub(super) scope: (f64, f64),
    genera: BTreeMap<String, WoodGroup>,
    pub(super) group_origin: Origin,
    pub(super) compared_origin: Origin,
    pub(super) scope_origin: Origin,
    pub(super) within_origin: Origin,
}

impl Strengths {
    pub(super) fn group_of_genus(&self, genus: &str) -> Option<WoodGroup> {
        self.genera.get(genus).copied()
    }

    pub(super) fn origins(&self) -> impl Iterator<Item = &Origin> {
        let single = [&self.group_origin, &self.compared_origin, &self.scope_origin, &self.within_origin];
        let functions = self.functions.iter().map(|function| &function.origin);
        single.into_iter().chain(functions).chain(self.rows.iter().map(|row| &row.origin))
    }
}

pub(super) fn read() -> Result<Strengths, (&'static str, String)> {
    let File { unit, wood_group, form, compared, scope, functions, within_species, table } =
        parse(FILE, include_str!("strength.toml"))?;
    let functions = functions.list.into_iter().map(|line| resolved(line, &unit, &form)).collect::<Result<_, _>>()?;
    let mut rows = Vec::new();
    for table in table {
        rows.extend(table.rows(&unit).map_err(|text| (FILE, text))?);
    }
    let softwood = wood_group.softwood.into_iter().map(|genus| (genus, WoodGroup::Softwood));
    let mut genera = BTreeMap::new();
    for (genus, group) in softwood.chain(wood_group.hardwood.into_iter().map(|genus| (genus, WoodGroup::Hardwood))) {
        if let Some(other) = genera.insert(genus.clone(), group) {
            return Err((FILE, format!("genus \"{genus}\" stands twice, as {} and {}", other.word(), group.word())));
        }
    }
    Ok(Strengths {
        functions,
        rows,
        within: within_species.coefficient_of_variation,
        scope: (scope.gravity_from, scope.gravity_to),
        genera,
        group_origin: origin(wood_group.source, wood_group.place, wood_group.evidence),
        compared_origin: compared,
        scope_origin: origin(scope.source, scope.place, scope.evidence),
        within_origin: origin(within_species.source, within_species.place, within_species.evidence),
    })
}

fn origin(source: String, place: String, evidence: Evidence) -> Origin {
    Origin { source, place, evidence }
}

fn resolved(
    line: Line,
    units: &[PrintedUnit],
    forms: &BTreeMap<String, Origin>,
) -> Result<StrengthFunction, (&'static str, String)> {
    let unit = printed(units, &line.unit).map_err(|text| (FILE, text))?;
    let Some(origin) = forms.get(&line.form) else {
        return Err((FILE, format!("form \"{}\" has no entry", line.form)));
    };
    Ok(StrengthFunction {
        form: line.form,
        property: line.property,
        groups: line.groups,
        condition: line.condition,
        a: line.a,
        b: line.b,
        printed_unit: line.unit,
        unit: unit.column.clone(),
        compared: line.compared,
        times: unit.times,
        origin: origin.clone(),
    })
}
