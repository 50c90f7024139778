//! How the values of some pieces spread.

use std::collections::BTreeSet;

use schemars::JsonSchema;
use serde::Serialize;

use crate::numeric::{mean, quantile, sd};
use crate::state::{DepthZone, Parts};

use super::{Member, u_of_mean};

/// Why a group has no mean.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum NoMean {
    /// Its pieces lie in several depth zones: a mean would mix rims with cores.
    SeveralZones,
    /// The depth zone of one of several pieces is unknown: a mean might mix rims with cores.
    ZoneUnknown,
    /// No value is known.
    NothingKnown,
}

/// How the values of one quantity spread over the pieces of a group. What is `None` is unknown.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Spread {
    /// The quantity or column.
    pub quantity: String,
    /// UCUM code of everything below but the counts.
    pub unit: &'static str,
    /// Pieces whose value is known.
    pub n: usize,
    /// Pieces whose value is unknown.
    pub n_unknown: usize,
    /// Timbers of the pieces whose value is known.
    pub n_timbers: usize,
    /// Arithmetic mean over the pieces; `None` over several depth zones, or unknown ones.
    pub mean: Option<f64>,
    /// Standard uncertainty of that mean from the measurement of these pieces alone.
    pub u_of_mean: Option<f64>,
    /// Why there is no mean.
    pub no_mean: Option<NoMean>,
    /// Standard deviation between the pieces, where there is a mean.
    pub sd: Option<f64>,
    /// Smallest value.
    pub min: Option<f64>,
    /// Lower quartile.
    pub lower_quartile: Option<f64>,
    /// Median.
    pub median: Option<f64>,
    /// Upper quartile.
    pub upper_quartile: Option<f64>,
    /// Largest value.
    pub max: Option<f64>,
}

impl Spread {
    /// How the values at one place of the members spread.
    ///
    /// Quartiles are those of type 7. Mean and standard deviation are left out where the pieces with a known value lie in more
    /// than one depth zone, or where the zone of one of several is unknown: what is outer in one timber is not averaged with what is inner in the same or in another one.
    ///
    /// # Source
    /// R. J. Hyndman, Y. Fan 1996, Sample quantiles in statistical packages, The American Statistician 50, 361-365,
    /// doi:10.1080/00031305.1996.10473566, definition 7.
    #[must_use]
    pub fn of(quantity: &str, unit: &'static str, members: &[&Member], place: usize) -> Self {
        let value = |member: &Member| member.values.get(place).copied().flatten();
        let known: Vec<&Member> = members.iter().copied().filter(|member| value(member).is_some()).collect();
        // In the order of size, so that the order of rows moves no digit.
        let mut sorted: Vec<f64> = known.iter().filter_map(|member| value(member)).collect();
        sorted.sort_unstable_by(f64::total_cmp);
        let zones: BTreeSet<DepthZone> = known.iter().map(|member| member.zone).collect();
        let is_unknown = zones.contains(&DepthZone::Unknown);
        let no_mean = match (known.len(), zones.len() - usize::from(is_unknown)) {
            (0, _) => Some(NoMean::NothingKnown),
            (1, _) => None,
            (_, 2..) => Some(NoMean::SeveralZones),
            _ => is_unknown.then_some(NoMean::ZoneUnknown),
        };
        let parts = known.iter().map(|member| Some((member.parts.get(place).copied()??, member.taxon.as_deref())));
        let parts: Option<Vec<(Parts, Option<&str>)>> = parts.collect();
        let has_mean = no_mean.is_none();
        let at = |share| quantile(&sorted, share);
        Self {
            quantity: quantity.to_owned(),
            unit,
            n: known.len(),
            n_unknown: members.len() - known.len(),
            n_timbers: known.iter().filter_map(|member| member.timber.as_deref()).collect::<BTreeSet<_>>().len(),
            mean: mean(&sorted).filter(|_| has_mean),
            u_of_mean: parts.filter(|_| has_mean).and_then(|parts| u_of_mean(&in_order(parts))),
            no_mean,
            sd: sd(&sorted).filter(|_| has_mean),
            min: at(0.0),
            lower_quartile: at(0.25),
            median: at(0.5),
            upper_quartile: at(0.75),
            max: at(1.0),
        }
    }
}

/// Parts in an order that does not depend on that of the rows.
fn in_order(mut parts: Vec<(Parts, Option<&str>)>) -> Vec<(Parts, Option<&str>)> {
    parts.sort_by(|(a, one), (b, other)| {
        let shared = || {
            let pairs = a.shared.iter().zip(&b.shared).map(|(a, b)| a.total_cmp(b));
            pairs.fold(std::cmp::Ordering::Equal, std::cmp::Ordering::then)
        };
        one.cmp(other).then_with(|| a.own_variance.total_cmp(&b.own_variance)).then_with(shared)
    });
    parts
}
