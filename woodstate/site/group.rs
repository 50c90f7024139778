//! Groups of pieces.

use std::cmp::Ordering;
use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::Serialize;

use crate::error::Result;

use super::{ClassStanding, Classes, Member, Spread};

/// A column that makes groups, and what it holds in one of them.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct GroupKey {
    /// The column.
    pub column: String,
    /// What it holds; `None` where unknown.
    pub value: Option<String>,
}

/// A group of pieces.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Group {
    /// What its pieces have in common; empty for all pieces.
    pub by: Vec<GroupKey>,
    /// Its pieces.
    pub n_pieces: usize,
    /// The timbers that its pieces come from.
    pub n_timbers: usize,
    /// Pieces whose timber is unknown.
    pub n_without_timber: usize,
    /// Pieces whose depth zone is unknown.
    pub n_without_zone: usize,
    /// How each quantity spreads.
    pub values: Vec<Spread>,
    /// Classes of its pieces.
    pub classes: Classes,
    /// Classes of its timbers: of each whole timber, its worst zone.
    pub timber_classes: Classes,
}

/// Groups of members with the same key, in the order of their keys; what is unknown comes last.
///
/// * `by`: the columns of the keys
/// * `quantities`: name and unit of each value of a member
/// * `timbers`: how each timber stands to the classes; one that is not there has no class reading
/// * `labels`: the classes, the worst first
/// * `coverage`: of the intervals, 0 to 1
///
/// # Errors
/// A coverage that is not between 0 and 1.
pub fn groups(
    members: &[Member],
    by: &[String],
    quantities: &[(String, &'static str)],
    timbers: &BTreeMap<String, ClassStanding>,
    labels: &[String],
    coverage: f64,
) -> Result<Vec<Group>> {
    let mut by_key: BTreeMap<&[Option<String>], Vec<&Member>> = BTreeMap::new();
    for member in members {
        by_key.entry(&member.key).or_default().push(member);
    }
    let mut sorted: Vec<(&[Option<String>], Vec<&Member>)> = by_key.into_iter().collect();
    sorted.sort_by(|(a, _), (b, _)| order(a, b));
    let unread = ClassStanding::Unread;
    let group = |(key, members): (&[Option<String>], Vec<&Member>)| {
        let mut names: Vec<&str> = members.iter().filter_map(|member| member.timber.as_deref()).collect();
        names.sort_unstable();
        names.dedup();
        let values = quantities.iter().enumerate();
        let of_timbers = names.iter().map(|name| timbers.get(*name).unwrap_or(&unread));
        let keys = by.iter().zip(key).map(|(column, value)| GroupKey { column: column.clone(), value: value.clone() });
        Ok(Group {
            by: keys.collect(),
            n_pieces: members.len(),
            n_timbers: names.len(),
            n_without_timber: members.iter().filter(|member| member.timber.is_none()).count(),
            n_without_zone: members.iter().filter(|member| member.zone.word().is_none()).count(),
            values: values.map(|(place, (name, unit))| Spread::of(name, unit, &members, place)).collect(),
            classes: Classes::of(members.iter().map(|member| &member.class), labels, coverage)?,
            timber_classes: Classes::of(of_timbers, labels, coverage)?,
        })
    };
    sorted.into_iter().map(group).collect()
}

/// Numbers by size, words by letter, what is unknown at the end.
fn order(a: &[Option<String>], b: &[Option<String>]) -> Ordering {
    let number = |text: &str| text.parse::<f64>().ok();
    let one = |(a, b): (&Option<String>, &Option<String>)| match (a, b) {
        (Some(a), Some(b)) => match (number(a), number(b)) {
            (Some(x), Some(y)) => x.total_cmp(&y),
            (Some(_), None) => Ordering::Less,
            (None, Some(_)) => Ordering::Greater,
            (None, None) => a.cmp(b),
        },
        (None, None) => Ordering::Equal,
        (None, Some(_)) => Ordering::Greater,
        (Some(_), None) => Ordering::Less,
    };
    a.iter().zip(b).map(one).fold(Ordering::Equal, Ordering::then)
}
