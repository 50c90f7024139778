//! Readings that are missing or lead to what cannot be.

use crate::error::{Finding, FindingCode, Severity};
use crate::quantity::Quantity;

use super::assess::Assessor;
use super::gather::Gathered;
use super::inspect::{Rows, with_sample};
use super::{Cause, Propagated, Route};

impl Assessor<'_> {
    /// Which readings are missing, and what that leaves.
    pub(super) fn report_missing(&mut self, rows: &Rows, gathered: &Gathered, results: &Propagated, is_measured: bool) {
        let row = rows.rows[0];
        let has = |cause| gathered.readings.of(cause).is_some();
        let name = rows.sample.as_deref().unwrap_or_default();
        let (is_weighed, is_dry) = (has(Cause::MassSaturated), has(Cause::MassOvenDry));
        let is_salty = gathered.readings.of(Cause::PoreSalinity).is_some_and(|salinity| salinity.value > 0.0);
        let route = results.values.of(Quantity::BasicDensity).map(|density| density.route);
        let (column, severity, text) = if !is_measured && is_dry && !is_weighed && is_salty {
            let text = format!(
                "mass_saturated of {name} is empty, so the salt in its dry mass cannot be told from wood; the row is not \
                 assessed"
            );
            ("mass_saturated", Severity::Error, text)
        } else if !is_measured {
            let (column, missing) = match (is_weighed, is_dry) {
                (true, _) => ("mass_oven_dry", "mass_oven_dry"),
                (false, true) => ("mass_saturated", "mass_saturated"),
                (false, false) => ("mass_saturated", "mass_saturated and mass_oven_dry"),
            };
            let are = if missing.contains("and") { "are" } else { "is" };
            let text = format!("{missing} of {name} {are} empty and no other route is left; the row is not assessed");
            (column, Severity::Error, text)
        } else if is_weighed && !is_dry && route == Some(Route::SaturatedUndried) {
            let text = format!(
                "mass_oven_dry of {name} is empty: no oven-dry route; its volume is known, so the piece goes on without \
                 drying"
            );
            ("mass_oven_dry", Severity::Warning, text)
        } else if is_dry && !is_weighed {
            let text =
                format!("mass_saturated of {name} is empty: the water content comes from the density, if at all");
            ("mass_saturated", Severity::Warning, text)
        } else {
            return;
        };
        let finding = Finding::new(FindingCode::MassMissing, severity, self.samples.place(row, column), text);
        self.findings.push(with_sample(finding, rows.sample.as_ref()));
    }

    /// Routes that give what cannot be; whether there are any.
    pub(super) fn report_impossible(&mut self, rows: &Rows, results: &Propagated) -> bool {
        let wall = self.options.cell_wall_density.value;
        // Without drying is the way of pieces that were not dried; beside a dry mass it only says that air is left.
        let is_dried = results.densities.iter().any(|density| density.route < Route::SaturatedUndried);
        let told = |(route, _): &&(Route, f64)| !(is_dried && *route == Route::SaturatedUndried);
        let impossible: Vec<_> = results.impossible.iter().filter(told).collect();
        let mut said = Vec::new();
        for (route, density) in &impossible {
            let (column, hint) = match route {
                Route::Displaced if self.samples.number("volume_saturated", rows.rows[0]).is_some() => {
                    ("volume_saturated", "")
                }
                Route::Displaced => ("mass_displaced", "; is it a mass under water?"),
                Route::Immersed | Route::SaturatedUndried => ("mass_immersed", "; is it the displaced mass?"),
                Route::Geometric => ("piece_length", ""),
                Route::Stated => ("basic_density", ""),
                _ => ("mass_saturated", ""),
            };
            if said.contains(&column) {
                continue;
            }
            said.push(column);
            let text = format!(
                "the route {route} gives a basic density of {density:.0} kg/m3, and possible is 0 to {wall} kg/m3; it is \
                 not used{hint}"
            );
            let place = self.samples.place(rows.rows[0], column);
            let mut finding = Finding::new(FindingCode::PairImpossible, Severity::Warning, place, text);
            if let Some(found) = self.samples.number(column, rows.rows[0]) {
                finding = finding.found(found.to_string());
            }
            self.findings.push(with_sample(finding, rows.sample.as_ref()));
        }
        !impossible.is_empty()
    }
}
