//! Readings that are missing or lead to what cannot be.

use crate::error::{Finding, FindingCode, Severity};
use crate::quantity::Quantity;

use super::gather::Gathered;
use super::inspect::with_sample;
use super::run::{Assessor, Draft};
use super::{Cause, Results, Route};

impl Assessor<'_> {
    /// Which readings are missing, and what that leaves.
    pub(super) fn report_missing(
        &self,
        draft: &Draft<'_>,
        gathered: &Gathered,
        (results, at): (&Results, usize),
        is_measured: bool,
        findings: &mut Vec<Finding>,
    ) {
        let row = draft.rows.rows[0];
        let has = |cause| gathered.readings.of(cause).is_some();
        let name = draft.name.unwrap_or_default();
        let (is_weighed, is_dry) = (has(Cause::MassSaturated), has(Cause::MassOvenDry));
        let is_salty = gathered.readings.of(Cause::PoreSalinity).is_some_and(|salinity| salinity.value > 0.0);
        let route = results.value(at, Quantity::BasicDensity).map(|density| density.route);
        let (column, severity, text) = if !is_measured && is_dry && is_weighed {
            let text =
                "the dry mass is less than the salt that the pore water left in it, or no possible result follows";
            ("mass_oven_dry", Severity::Error, text.to_owned())
        } else if !is_measured && is_dry && !is_weighed && is_salty {
            let text = format!(
                "{}, so the salt in its dry mass cannot be told from wood",
                self.lack(findings, "mass_saturated", row)
            );
            ("mass_saturated", Severity::Error, text)
        } else if !is_measured {
            let (column, other) = match (is_weighed, is_dry) {
                (true, _) => ("mass_oven_dry", None),
                (false, true) => ("mass_saturated", None),
                (false, false) => ("mass_saturated", Some("mass_oven_dry")),
            };
            let other = other.map(|other| format!(", {}", self.lack(findings, other, row))).unwrap_or_default();
            let text = format!("{}{other}, and no other route is left", self.lack(findings, column, row));
            (column, Severity::Error, text)
        } else if is_weighed && !is_dry && route == Some(Route::SaturatedUndried) {
            let text = format!(
                "{}: no oven-dry route; its volume is known, so the piece goes on without drying",
                self.lack(findings, "mass_oven_dry", row)
            );
            ("mass_oven_dry", Severity::Warning, text)
        } else if is_dry && !is_weighed {
            let text = format!(
                "{}: the water content comes from the density, if at all",
                self.lack(findings, "mass_saturated", row)
            );
            ("mass_saturated", Severity::Warning, text)
        } else {
            return;
        };
        let end = if severity == Severity::Error { "; the row is not assessed" } else { "" };
        let text = format!("{name}: {text}{end}");
        let finding = Finding::new(FindingCode::MassMissing, severity, self.samples.place(row, column), text);
        findings.push(with_sample(finding, draft.name));
    }

    /// Why a reading is not there: no column, an empty cell, or a cell that could not be used.
    fn lack(&self, findings: &[Finding], column: &str, row: usize) -> String {
        let place = self.samples.place(row, column);
        let has_finding = || self.findings.iter().chain(findings).any(|finding| finding.place == place);
        if place.column.is_none() {
            format!("there is no column {column}")
        } else if has_finding() {
            format!("{column} could not be used (see its finding)")
        } else {
            format!("{column} is empty")
        }
    }

    /// Routes that give what cannot be; whether there are any.
    pub(super) fn report_impossible(
        &self,
        draft: &Draft<'_>,
        (results, at): (&Results, usize),
        findings: &mut Vec<Finding>,
    ) -> bool {
        if results.impossible(at).is_empty() {
            return false;
        }
        let row = draft.rows.rows[0];
        let wall = self.options.cell_wall_density.value;
        // Without drying is the way of pieces that were not dried; beside a dry mass it only says that air is left.
        let is_dried = results.densities(at).any(|density| density.route < Route::SaturatedUndried);
        let told = |(route, _): &&(Route, f64)| !(is_dried && *route == Route::SaturatedUndried);
        let impossible: Vec<_> = results.impossible(at).iter().filter(told).collect();
        let mut said = Vec::new();
        for (route, density) in &impossible {
            let (column, hint) = match route {
                Route::Displaced if self.samples.number("volume_saturated", row).is_some() => ("volume_saturated", ""),
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
            let place = self.samples.place(row, column);
            let mut finding = Finding::new(FindingCode::PairImpossible, Severity::Warning, place, text);
            if let Some(found) = self.samples.number(column, row) {
                finding = finding.found(found.to_string());
            }
            findings.push(with_sample(finding, draft.name));
        }
        !impossible.is_empty()
    }
}
