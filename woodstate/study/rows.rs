//! Pieces as rows of plain values: what a figure is made of.

use std::collections::{BTreeMap, BTreeSet};

use schemars::JsonSchema;
use serde::Serialize;

use crate::error::Result;
use crate::quantity::Quantity;
use crate::reference::Reference;
use crate::site::ClassStanding;
use crate::table::{Choice, Condition, Datum, NameKind};

use super::piece::Pieces;
use super::summary::{Woods, column, number};
use super::{Assessment, Axis};

/// Which pieces of an assessment, and which of their values.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct RowQuestion {
    /// Quantities and columns of numbers.
    pub values: Vec<String>,
    /// Columns that make groups; none for one group of all.
    pub by: Vec<String>,
    /// Which pieces; `None` for all.
    pub condition: Option<String>,
}

/// Pieces as rows.
#[derive(Debug, Clone, PartialEq)]
pub struct PieceRows {
    /// What each value is, in the order of the question.
    pub columns: Vec<Axis>,
    /// The columns that make groups.
    pub by: Vec<String>,
    /// The pieces, in the order of the file.
    pub rows: Vec<PieceRow>,
    /// What conditions kept.
    pub choices: Vec<Choice>,
    /// Labels of the classes, the worst first.
    pub classes: Vec<String>,
    /// Coverage of every interval.
    pub coverage: f64,
}

/// A piece as a row.
#[derive(Debug, Clone, PartialEq)]
pub struct PieceRow {
    /// Its name.
    pub sample: Option<String>,
    /// Its timber.
    pub timber: Option<String>,
    /// Its core.
    pub core: Option<String>,
    /// What kind of wood of the tree it is; `None` where that was not recorded.
    pub wood_zone: Option<String>,
    /// When it was taken.
    pub date: Option<String>,
    /// Where it begins and ends, mm below the surface.
    pub depth: [Option<f64>; 2],
    /// What it has in each column that makes groups; `None` where unknown.
    pub key: Vec<Option<String>>,
    /// Its values, in the order of the columns.
    pub values: Vec<Option<RowValue>>,
    /// How it stands to the classes.
    pub class: ClassStanding,
    /// Probability of each class, the worst first; `None` where unknown.
    pub class_shares: Option<Vec<f64>>,
}

/// A value of a row.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct RowValue {
    /// The value.
    pub value: f64,
    /// One standard uncertainty; `None` where unknown.
    pub u: Option<f64>,
    /// Interval with the coverage of the settings; `None` where unknown.
    pub interval: Option<[f64; 2]>,
    /// Word of the route; `None` for a column of the file.
    pub route: Option<&'static str>,
}

/// Pieces of an assessment as rows.
///
/// # Errors
/// [`ErrorKind::Name`](crate::error::ErrorKind::Name) for a column that does not exist or holds no numbers,
/// [`ErrorKind::Condition`](crate::error::ErrorKind::Condition) with the place of a fault in the condition.
pub fn piece_rows(assessment: &Assessment, question: &RowQuestion) -> Result<PieceRows> {
    let pieces = Pieces::of(assessment);
    let names = pieces.names();
    let values = question.values.iter().map(|name| number(&names, name)).collect::<Result<Vec<_>>>()?;
    let by = question.by.iter().map(|name| column(&names, name)).collect::<Result<Vec<_>>>()?;
    let condition = question.condition.as_ref().map(|text| Condition::parse(text, &names)).transpose()?;
    let reference = Reference::shipped()?;
    let (kept, chosen) = kept(&pieces, condition.as_ref(), reference);
    let mut choices = assessment.choices.clone();
    choices.extend(chosen);
    let mut woods = Woods { reference, spelt: BTreeMap::new() };
    let mut rows = Vec::with_capacity(kept.len());
    for place in kept {
        let Some(view) = assessment.samples.view(place) else { continue };
        let word = |name: &str| match pieces.datum(name, place) {
            Datum::Number(number) => Some(number.to_string()),
            Datum::Text(text) => Some(text.trim().to_owned()).filter(|text| !text.is_empty()),
            Datum::Unknown => None,
        };
        let mut key_of = |name: &String| match name.as_str() {
            "taxon" => word(name).map(|written| woods.folded(&written)),
            _ => word(name),
        };
        let value_of = |(name, _): &(String, &'static str)| match Quantity::of_name(name) {
            Some(quantity) => view.value(quantity).map(|value| RowValue {
                value: value.value,
                u: value.u,
                interval: value.interval,
                route: Some(value.route.word()),
            }),
            None => match pieces.datum(name, place) {
                Datum::Number(value) => Some(RowValue { value, u: pieces.u(name, place), interval: None, route: None }),
                Datum::Text(_) | Datum::Unknown => None,
            },
        };
        rows.push(PieceRow {
            sample: view.sample().map(str::to_owned),
            timber: view.timber().map(str::to_owned),
            core: view.core_id().map(str::to_owned),
            wood_zone: word("wood_zone").filter(|word| word != "unknown"),
            date: word("date_sampled"),
            depth: view.depth(),
            key: by.iter().map(&mut key_of).collect(),
            values: values.iter().map(value_of).map(|value| value.filter(|value| value.value.is_finite())).collect(),
            class: pieces.standing(place),
            class_shares: view.class_shares().map(<[f64]>::to_vec),
        });
    }
    let axis = |(name, unit): &(String, &'static str)| Axis {
        name: name.clone(),
        title: title(name),
        unit: (*unit).to_owned(),
    };
    Ok(PieceRows {
        columns: values.iter().map(axis).collect(),
        by,
        rows,
        choices,
        classes: pieces.labels(),
        coverage: assessment.settings.coverage,
    })
}

/// What a condition keeps of the pieces of an assessment; `None` where there is none.
///
/// # Errors
/// [`ErrorKind::Condition`](crate::error::ErrorKind::Condition) with the place of a fault in the condition.
pub fn chosen(assessment: &Assessment, condition: Option<&str>) -> Result<Option<Choice>> {
    let pieces = Pieces::of(assessment);
    let condition = condition.map(|text| Condition::parse(text, &pieces.names())).transpose()?;
    Ok(kept(&pieces, condition.as_ref(), Reference::shipped()?).1)
}

/// The places of the pieces that a condition keeps, counted from 0, and what became of the others.
///
/// # Errors
/// [`ErrorKind::Condition`](crate::error::ErrorKind::Condition) with the place of a fault in the condition.
pub fn chosen_places(assessment: &Assessment, condition: &str) -> Result<(Vec<usize>, Choice)> {
    let pieces = Pieces::of(assessment);
    let condition = Condition::parse(condition, &pieces.names())?;
    let datum = |name: &str, piece: usize| pieces.datum(name, piece);
    let reference = Reference::shipped()?;
    Ok(condition.choose(pieces.n(), "piece", &datum, &|a, b| super::choose::is_wood(reference, a, b)))
}

/// The names of an assessment of which something is known of a piece: numbers and texts.
#[must_use]
pub fn known_names(assessment: &Assessment) -> Vec<String> {
    let pieces = Pieces::of(assessment);
    let names = pieces.names();
    let is_known = |name: &&str| (0..pieces.n()).any(|place| !matches!(pieces.datum(name, place), Datum::Unknown));
    names.all().filter(is_known).map(str::to_owned).collect()
}

/// The names of an assessment that hold numbers, and of how many pieces a number is known.
#[must_use]
pub fn known_numbers(assessment: &Assessment) -> Vec<(String, usize)> {
    let pieces = Pieces::of(assessment);
    let names = pieces.names();
    let is_number = |name: &&str| matches!(names.kind(name), Ok((_, NameKind::Number { .. })));
    let count =
        |name: &str| (0..pieces.n()).filter(|place| matches!(pieces.datum(name, *place), Datum::Number(_))).count();
    names.all().filter(is_number).map(|name| (name.to_owned(), count(name))).filter(|(_, n)| *n > 0).collect()
}

pub(super) fn kept(
    pieces: &Pieces<'_>,
    condition: Option<&Condition>,
    reference: &Reference,
) -> (Vec<usize>, Option<Choice>) {
    let Some(condition) = condition else { return ((0..pieces.n()).collect(), None) };
    let datum = |name: &str, piece: usize| pieces.datum(name, piece);
    let (kept, choice) = condition.choose(pieces.n(), "piece", &datum, &|a, b| super::choose::is_wood(reference, a, b));
    (kept, Some(choice))
}

/// What a quantity or a column is called in a sentence.
pub(super) fn title(name: &str) -> String {
    Quantity::of_name(name).map_or_else(|| name.replace('_', " "), |quantity| quantity.spec().title.to_owned())
}

impl PieceRows {
    /// How many timbers the rows at these places come from.
    #[must_use]
    pub fn n_timbers<'a>(rows: impl IntoIterator<Item = &'a PieceRow>) -> usize {
        rows.into_iter().filter_map(|row| row.timber.as_deref()).collect::<BTreeSet<_>>().len()
    }
}
