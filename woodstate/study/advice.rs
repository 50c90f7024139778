//! The outcome of `advise`: routes of treatment for each timber, with reasons, gaps and dangers.

use schemars::JsonSchema;
use serde::Serialize;

use crate::error::Finding;
use crate::quantity::{Cited, Evidence};
use crate::reference::{Grade, Reference, RouteVerdict, Statement};
use crate::state::Value;
use crate::table::Choice;

use super::assess::Counts;
use super::envelope::{LegendEntry, Program, Settings, SourceTable};
use super::{LaboratoryLine, Safety};

/// The outcome of `advise`.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Advice {
    /// Version of this form.
    pub schema_version: u32,
    /// `advise`.
    pub kind: &'static str,
    /// The program.
    pub program: Program,
    /// The tables that were read.
    pub source: Vec<SourceTable>,
    /// What was stated or assumed.
    pub settings: Settings,
    /// How many rows became what.
    pub counts: Counts,
    /// What conditions kept.
    #[serde(rename = "where")]
    pub choices: Vec<Choice>,
    /// Draws of the state of each zone.
    pub draws: usize,
    /// What the laboratory states of its own limits.
    pub laboratory: Vec<LaboratoryLine>,
    /// The routes that were judged, in the order of the reference file.
    pub routes: Vec<RouteEntry>,
    /// What reasons say, each once; a reason names its place here, counted from 0.
    pub statements: Vec<Said>,
    /// Every timber, in the order of their names.
    pub timbers: Vec<TimberAdvice>,
    /// What to measure or to state next, over all timbers: measurements first, then what changes the most verdicts.
    pub next: Vec<NextOfAll>,
    /// What is done before any treatment.
    pub steps: Vec<StepAdvice>,
    /// Where sources do not agree, side by side.
    pub disagreements: Vec<DisagreementAdvice>,
    /// How the verdicts are to be read.
    pub notes: Vec<String>,
    /// Dangers of the routes that are not excluded for every timber, and of the steps.
    pub safety: Safety,
    /// Cautions about the state that the verdicts rest on.
    pub cautions: Vec<LegendEntry>,
    /// What was found in the files.
    pub findings: Vec<Finding>,
    /// Every published or stated number and sentence that was used.
    pub sources: Vec<Cited>,
}

/// A sentence with its origin.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Said {
    /// Word of the rule that it belongs to; `None` for what an author recommends or says.
    pub rule: Option<&'static str>,
    /// What a recommendation rests on.
    pub basis: Option<&'static str>,
    /// The sentence.
    pub text: &'static str,
    /// Short name of the work, which `explain` knows.
    pub source: &'static str,
    /// The beginning of the citation: who said it, and when.
    pub who: &'static str,
    /// Author, year, title.
    pub citation: &'static str,
    /// Place in it.
    pub place: &'static str,
    /// How well that is known.
    pub evidence: Evidence,
}

impl Said {
    pub(super) fn of(said: &'static Statement, reference: &'static Reference) -> Self {
        Self {
            rule: None,
            basis: None,
            text: &said.text,
            source: &said.source,
            who: who(reference.citation(said)),
            citation: reference.citation(said),
            place: &said.place,
            evidence: said.evidence,
        }
    }

    /// The sentence with the beginning of the citation, which names who said it, and its evidence.
    #[must_use]
    pub fn shown(&self) -> String {
        format!("{} ({}) [{}]", self.text, self.who, self.evidence)
    }
}

/// A citation up to its year, or up to the first comma or bracket where it has none near its beginning.
fn who(citation: &'static str) -> &'static str {
    const LONGEST: usize = 60;
    let mut end = 0;
    for word in citation.split_inclusive([' ', ',', ';', ':']) {
        end += word.len();
        if word.chars().take_while(char::is_ascii_digit).count() == 4 && end <= LONGEST {
            return citation[..end].trim_end_matches([' ', ',', ';', ':']);
        }
    }
    citation.split([',', '(', ';']).next().unwrap_or(citation).trim()
}

/// For how many timbers a route is what.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, JsonSchema)]
pub struct VerdictCounts {
    /// Suited.
    pub suited: usize,
    /// Possible.
    pub possible: usize,
    /// Doubtful.
    pub doubtful: usize,
    /// Excluded.
    pub excluded: usize,
}

/// A route that was judged.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct RouteEntry {
    /// Its word.
    pub route: &'static str,
    /// What it is called.
    pub title: &'static str,
    /// What is done.
    pub about: &'static str,
    /// Why it cannot be undone; `None` where it is not held to be irreversible.
    pub irreversible: Option<Said>,
    /// Published figures of its procedure, and cautions.
    pub procedure: Vec<Said>,
    /// Words of the dangers it brings.
    pub hazards: Vec<&'static str>,
    /// For how many timbers it is what.
    pub timbers: VerdictCounts,
}

/// A timber.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct TimberAdvice {
    /// Its name.
    pub timber: String,
    /// Its wood; `None` where unknown.
    pub taxon: Option<String>,
    /// Its zones, each judged for itself.
    pub zones: Vec<ZoneAdvice>,
    /// The routes: by verdict, then by the evidence that it rests on, then in the order of the reference file.
    pub routes: Vec<RouteAdvice>,
    /// What to measure or to state next.
    pub next: Vec<NextAdvice>,
}

/// The state of a zone as the routes are judged by it.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct ZoneAdvice {
    /// `outer`, `inner`, `worst piece`, or `whole` where no depth is known.
    pub zone: &'static str,
    /// From which depth to which, mm.
    pub depth: [Option<f64>; 2],
    /// Maximum water content.
    pub max_water_content: Option<Value>,
    /// Residual basic density.
    pub residual_basic_density: Option<Value>,
    /// How far it is degraded; `None` where that is not known.
    pub grade: Option<Grade>,
    /// By what, or why it is not known.
    pub reason: String,
}

/// A route for a timber.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct RouteAdvice {
    /// Its word.
    pub route: &'static str,
    /// What it is called.
    pub title: &'static str,
    /// The verdict: that of the worst zone.
    pub verdict: RouteVerdict,
    /// Share of the draws in which the verdict holds, under measurement uncertainty only; `None` where no zone has a grade
    /// with a known uncertainty.
    pub holds: Option<f64>,
    /// The evidence that the verdict rests on.
    pub evidence: Evidence,
    /// The verdict in each zone, in their order.
    pub zones: Vec<RouteVerdict>,
    /// Whether a trial piece comes first, because the route cannot be undone.
    pub trial_piece: bool,
    /// Why.
    pub reasons: Vec<ReasonAdvice>,
}

/// A reason.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct ReasonAdvice {
    /// `for`, `against`, or `open` where something is not known.
    pub bearing: &'static str,
    /// The best verdict that it leaves.
    pub at_best: RouteVerdict,
    /// What is said: its place in `statements`, counted from 0.
    pub statement: usize,
    /// The weaker of the evidence of what is said and of the grade of the zone that it asks for.
    pub rests_on: Evidence,
    /// The zone it was found in; `None` where zones do not matter.
    pub zone: Option<&'static str>,
    /// What was measured, recorded or stated, with its uncertainty; `None` where the reason asks for nothing.
    pub found: Option<String>,
    /// What is not known.
    pub missing: Vec<&'static str>,
}

/// Something to be measured or to be stated.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct NextAdvice {
    /// Column of the tables or key of the study file.
    pub what: &'static str,
    /// What to do.
    pub act: String,
    /// Whether it is measured on the timber; otherwise the laboratory states it.
    pub is_measured: bool,
    /// How many verdicts would change.
    pub n_routes: usize,
    /// Which verdict would change from what to what.
    pub changes: Vec<ChangeAdvice>,
}

/// Something to be measured or to be stated, over all timbers.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct NextOfAll {
    /// Column of the tables or key of the study file.
    pub what: &'static str,
    /// What to do.
    pub act: String,
    /// Whether it is measured on timbers; otherwise the laboratory states it.
    pub is_measured: bool,
    /// For how many timbers it would change a verdict.
    pub n_timbers: usize,
    /// How many verdicts it would change in all.
    pub n_verdicts: usize,
}

/// A verdict that would change.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct ChangeAdvice {
    /// The route.
    pub route: &'static str,
    /// If it turned out to be this.
    pub found: String,
    /// The verdict now.
    pub from: RouteVerdict,
    /// The verdict then, if nothing else were known.
    pub alone: RouteVerdict,
    /// The verdict then, if what else is not known turned out well.
    pub at_best: RouteVerdict,
    /// What else is not known of the route.
    pub also: Vec<&'static str>,
}

/// What is done before any treatment.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct StepAdvice {
    /// Its word.
    pub step: &'static str,
    /// What it is called.
    pub title: &'static str,
    /// What has to be at hand.
    pub inputs: &'static [String],
    /// When it is done with.
    pub stop: Said,
    /// Who decides.
    pub decides: &'static str,
    /// What to know.
    pub said: Vec<Said>,
    /// Whether it is due for every timber, whatever was measured.
    pub is_always: bool,
    /// Timbers for which it is known to be due; none listed where it is due for every timber.
    pub due: Vec<String>,
    /// Timbers of which it is not known.
    pub unknown: Vec<String>,
}

/// Sources that do not agree.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct DisagreementAdvice {
    /// What it is about.
    pub about: &'static str,
    /// Words of the routes that it concerns; none for all.
    pub routes: &'static [String],
    /// What each source says.
    pub sides: Vec<Said>,
    /// What follows for a reader.
    pub so: &'static str,
}
