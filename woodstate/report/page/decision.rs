//! Decision sheets: a page a timber, to be printed, filled in and signed.

use serde::Serialize;

use crate::error::CautionCode;
use crate::quantity::{Quantity, counted, shown};
use crate::reference::RouteVerdict;
use crate::report::assessment::{cell, class};
use crate::state::Timber;
use crate::study::{Report, TimberAdvice, TimberGap};

use super::depth::{ZONE_HEADS, zone_cells};
use super::{TITLE, Table};

/// Cautions of a timber that fit on its page.
const MOST_CAUTIONS: usize = 5;

/// All decision sheets.
#[derive(Debug, Clone, Serialize)]
pub(in crate::report) struct Sheets {
    /// Title of the page.
    pub(in crate::report) title: String,
    /// Title of the study.
    pub(in crate::report) study: String,
    /// Day; empty where it was not given.
    pub(in crate::report) date: String,
    /// Laboratory; empty where it is not recorded.
    pub(in crate::report) laboratory: String,
    /// Name and version of the program.
    pub(in crate::report) program: String,
    /// One a timber.
    pub(in crate::report) timbers: Vec<Sheet>,
}

/// The sheet of a timber.
#[derive(Debug, Clone, Serialize)]
pub(in crate::report) struct Sheet {
    /// Anchor.
    pub(in crate::report) id: String,
    /// Name of the timber.
    pub(in crate::report) timber: String,
    /// Wood.
    pub(in crate::report) taxon: String,
    /// The class in words.
    pub(in crate::report) class: String,
    /// Rules of urgency that it fulfils.
    pub(in crate::report) urgent: Vec<String>,
    /// State by zone; no rows where no depth is known.
    pub(in crate::report) zones: Table,
    /// What the figures say.
    pub(in crate::report) says: Vec<String>,
    /// What to know before using them.
    pub(in crate::report) cautions: Vec<String>,
    /// Routes of treatment by verdict, and what is open.
    pub(in crate::report) routes: Vec<String>,
    /// What is not known of it.
    pub(in crate::report) not_known: Vec<&'static str>,
}

/// The sheets of a report.
pub(in crate::report) fn sheets(report: &Report) -> Sheets {
    let settings = &report.assessment.settings;
    let study = settings.title.clone().unwrap_or_else(|| TITLE.to_owned());
    let timbers = report.assessment.timbers.iter().enumerate().zip(&report.timber_gaps);
    Sheets {
        title: format!("Decision sheets: {study}"),
        study,
        date: report.date.clone().unwrap_or_default(),
        laboratory: settings.protocol.laboratory.clone().unwrap_or_default(),
        program: format!("{} {}", report.assessment.program.name, report.assessment.program.version),
        timbers: timbers.map(|((place, timber), gap)| sheet(report, place, timber, gap)).collect(),
    }
}

fn sheet(report: &Report, place: usize, timber: &Timber, gap: &TimberGap) -> Sheet {
    let assessment = &report.assessment;
    let mut zones = Table::new(format!("State of {} by zone", timber.timber), &ZONE_HEADS);
    for (name, zone) in [("outer", &timber.outer), ("inner", &timber.inner)] {
        if let Some(zone) = zone {
            zones.row(zone_cells(name, zone));
        }
    }
    let mut says = vec![format!(
        "{} of {}; decay readings: {}.",
        counted(timber.n_samples, "piece"),
        counted(timber.n_cores, "core"),
        timber.n_read
    )];
    if let Some(worst) = &timber.worst {
        let [content, residual] =
            [Quantity::MaxWaterContent, Quantity::ResidualBasicDensity].map(|quantity| cell(worst.values.of(quantity)));
        says.push(format!(
            "The most degraded piece is {}: max. water content {content} %, residual basic density {residual} %.",
            worst.sample.as_deref().unwrap_or("one without a name")
        ));
    }
    if let Some([low, high]) = timber.range.of(Quantity::MaxWaterContent).filter(|[low, high]| low < high) {
        says.push(format!("Over all pieces max. water content runs from {low:.0} to {high:.0} %."));
    }
    let in_depth = report.in_depth.as_ref().and_then(|all| all.profiles.iter().find(|one| one.timber == timber.timber));
    // The state of rim and core stands in the table; what is left fits on the page.
    says.extend(in_depth.into_iter().flat_map(|profile| profile.meaning.iter().skip(1).take(1).cloned()));
    let core = in_depth.and_then(|profile| profile.sound_core.as_ref());
    says.extend(
        core.map(|core| {
            format!("Sound inside the soft rim: {} % of the section.", shown(core.share.value, core.share.u))
        }),
    );
    let fulfilled = report.one_page.urgent.iter().filter(|urgent| urgent.timbers.binary_search(&timber.timber).is_ok());
    let mut cautions: Vec<String> =
        timber.cautions.iter().take(MOST_CAUTIONS).map(|code: CautionCode| code.story().text.to_owned()).collect();
    let more = timber.cautions.iter().count().saturating_sub(MOST_CAUTIONS);
    if more > 0 {
        cautions.push(format!("{more} more in the report"));
    }
    Sheet {
        id: anchor(place, &timber.timber),
        timber: timber.timber.clone(),
        taxon: timber.taxon.clone().unwrap_or_else(|| "wood unknown".to_owned()),
        class: class(&timber.degradation_class, assessment),
        urgent: fulfilled.map(|urgent| urgent.text.clone()).collect(),
        zones,
        says,
        cautions,
        routes: report.advice.timbers.get(place).map(routes).unwrap_or_default(),
        not_known: gap.not_known.clone(),
    }
}

/// Routes by verdict, the best first, and what is open.
fn routes(timber: &TimberAdvice) -> Vec<String> {
    let of = |verdict: &RouteVerdict| {
        let named: Vec<&str> =
            timber.routes.iter().filter(|route| route.verdict == *verdict).map(|route| route.route).collect();
        (!named.is_empty()).then(|| format!("{}: {}.", verdict.word(), named.join(", ")))
    };
    let mut lines: Vec<String> = RouteVerdict::ALL.iter().filter_map(of).collect();
    let open: Vec<&str> = timber.next.iter().map(|next| next.what).collect();
    if !open.is_empty() {
        lines.push(format!("Open: {}.", open.join(", ")));
    }
    lines
}

/// Anchor of the sheet of a timber: its place, and what of its name is plain.
pub(super) fn anchor(place: usize, name: &str) -> String {
    const LONGEST: usize = 24;
    let plain = |c: char| if c.is_ascii_alphanumeric() { c.to_ascii_lowercase() } else { '-' };
    let name: String = name.chars().map(plain).take(LONGEST).collect();
    let name = name.split('-').filter(|part| !part.is_empty()).collect::<Vec<_>>().join("-");
    let gap = if name.is_empty() { "" } else { "-" };
    format!("timber-{}{gap}{name}", place + 1)
}

#[cfg(test)]
mod tests {
    use super::anchor;

    #[test]
    fn an_anchor_has_nothing_of_a_path_or_of_markup() {
        assert_eq!(anchor(0, "../../etc/passwd"), "timber-1-etc-passwd");
        assert_eq!(anchor(1, "<b>\"x\"</b>"), "timber-2-b-x-b");
        assert_eq!(anchor(2, "Δ"), "timber-3");
    }
}
