//! `advise`: from the state of each timber to routes of treatment with reasons.

use std::collections::{BTreeMap, BTreeSet};

use crate::error::Result;
use crate::numeric::{Watch, map_ordered};
use crate::quantity::Cited;
use crate::reference::{Disagreement, Reference, RouteVerdict, TreatmentRoute, TreatmentStep};
use crate::state::{PieceView, Timber};
use crate::table::Batch;
use crate::treatment::any_holds;

use super::advice::{Advice, DisagreementAdvice, NextOfAll, RouteEntry, Said, StepAdvice, TimberAdvice, VerdictCounts};
use super::advised::{Advising, Alike};
use super::assess::assess;
use super::circumstances::Gathering;
use super::envelope::{Program, SCHEMA_VERSION, SourceTable};
use super::{Assessment, Safety, SafetyForm, Study};

/// What `advise` is asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct AdviseQuestion {
    /// Draws of the state of each zone; none at 0.
    pub draws: usize,
    /// How much of the safety notes is shown.
    pub safety: SafetyForm,
}

impl AdviseQuestion {
    /// 1000 draws, and the safety notes in the form that the study file names.
    #[must_use]
    pub fn usual(study: &Study) -> Self {
        Self { draws: 1000, safety: study.safety }
    }
}

/// Assesses a batch and judges every route of treatment for every timber.
///
/// # Errors
/// As [`assess`] and [`advise_assessed`].
///
/// # Example
/// ```
/// use woodstate::numeric::Watch;
/// use woodstate::reference::RouteVerdict;
/// use woodstate::study::{AdviseQuestion, Study, advise};
/// use woodstate::table::{SourceFile, batch_of};
/// let study = Study::unstated()?;
/// let csv = "sample,timber,taxon,mass_saturated [g],mass_oven_dry [g]\nK1,B7,oak,20.9,3.4\n";
/// let batch = batch_of(&SourceFile::from_bytes("a.csv", csv.into()), &study.read, &Watch::silent())?;
/// let advice = advise(&study, batch, &AdviseQuestion::usual(&study), &Watch::silent())?;
/// let timber = &advice.timbers[0];
/// assert_eq!(timber.routes[0].route, "wet-storage");
/// assert_eq!(timber.routes[0].verdict, RouteVerdict::Possible);
/// assert_eq!(timber.next[0].what, "prior_treatment");
/// # Ok::<(), woodstate::error::Error>(())
/// ```
pub fn advise(study: &Study, batch: Batch, question: &AdviseQuestion, watch: &Watch<'_>) -> Result<Advice> {
    advise_assessed(study, &assess(study, batch, watch)?, question, watch)
}

/// Timbers that a thread takes at a time.
const TOGETHER: usize = 512;

/// Judges every route of treatment for every timber of an assessment.
///
/// # Errors
/// A broken build of the reference files, and a stop asked for through `watch`.
pub fn advise_assessed(
    study: &Study,
    assessment: &Assessment,
    question: &AdviseQuestion,
    watch: &Watch<'_>,
) -> Result<Advice> {
    let reference = Reference::shipped()?;
    let gathering = Gathering::of(reference, study, assessment);
    let advising = Advising::new(reference, question.draws, study.options.propagation.seed);
    let total = assessment.timbers.len();
    let parts: Vec<(usize, &[Timber])> = assessment.timbers.chunks(TOGETHER).enumerate().collect();
    let of_part = |(part, timbers): (usize, &[Timber])| -> Result<Vec<(TimberAdvice, Vec<Option<bool>>)>> {
        watch.advance("judging routes", part * TOGETHER, total)?;
        let mut alike = Alike::new();
        let one = |timber: &Timber| {
            let view = |place: &usize| assessment.samples.view(*place);
            let pieces: Vec<PieceView<'_>> = timber.places.iter().filter_map(view).collect();
            let gathered = gathering.timber(timber, &pieces);
            let at = &gathered.circumstances;
            let due = reference.treatment_steps().iter().map(|step| any_holds(&step.due, at)).collect();
            (advising.timber(timber, &gathered, &mut alike), due)
        };
        Ok(timbers.iter().map(one).collect())
    };
    let mut timbers = Vec::with_capacity(total);
    let mut due = Vec::with_capacity(total);
    for part in map_ordered(study.read.n_threads(), parts, of_part)? {
        for (timber, of_steps) in part? {
            timbers.push(timber);
            due.push(of_steps);
        }
    }
    let routes: Vec<RouteEntry> = entries(reference, &timbers);
    let steps = steps(reference, &timbers, &due);
    let safety = Safety::of_work(reference, &dangerous(reference, &routes), question.safety)?;
    Ok(Advice {
        schema_version: SCHEMA_VERSION,
        kind: "advise",
        program: Program::this(),
        source: SourceTable::of(&assessment.batch),
        settings: assessment.settings.clone(),
        counts: assessment.counts,
        choices: assessment.choices.clone(),
        draws: question.draws,
        laboratory: study.laboratory.lines.clone(),
        routes,
        statements: advising.statements,
        next: next_of_all(&timbers),
        steps,
        disagreements: reference.disagreements().iter().map(|one| disagreement(one, reference)).collect(),
        notes: notes(question.draws, assessment),
        safety,
        cautions: assessment.cautions.clone(),
        findings: assessment.findings.clone(),
        sources: sources(reference, assessment),
        timbers,
    })
}

fn entries(reference: &'static Reference, timbers: &[TimberAdvice]) -> Vec<RouteEntry> {
    let entry = |route: &'static TreatmentRoute| RouteEntry {
        route: &route.word,
        title: &route.title,
        about: &route.about,
        irreversible: route.irreversible.as_ref().map(|said| Said::of(said, reference)),
        procedure: route.procedure.iter().map(|said| Said::of(said, reference)).collect(),
        hazards: reference.hazards_of(&route.word).map(|hazard| hazard.word.as_str()).collect(),
        timbers: VerdictCounts::default(),
    };
    let mut entries: Vec<RouteEntry> = reference.routes().iter().map(entry).collect();
    for advice in timbers.iter().flat_map(|timber| &timber.routes) {
        if let Some(entry) = entries.iter_mut().find(|entry| entry.route == advice.route) {
            match advice.verdict {
                RouteVerdict::Suited => entry.timbers.suited += 1,
                RouteVerdict::Possible => entry.timbers.possible += 1,
                RouteVerdict::Doubtful => entry.timbers.doubtful += 1,
                RouteVerdict::Excluded => entry.timbers.excluded += 1,
            }
        }
    }
    entries
}

/// Routes that are not excluded for every timber, and the work of the steps.
fn dangerous<'a>(reference: &'a Reference, routes: &[RouteEntry]) -> Vec<&'a str> {
    let is_open = |entry: &RouteEntry| entry.timbers.suited + entry.timbers.possible + entry.timbers.doubtful > 0;
    let open: BTreeSet<&str> = routes.iter().filter(|entry| is_open(entry)).map(|entry| entry.route).collect();
    let open = reference.routes().iter().map(|route| route.word.as_str()).filter(|word| open.contains(word));
    let works = reference.treatment_steps().iter().flat_map(|step| &step.work).map(String::as_str);
    open.chain(works).collect()
}

/// What to measure or state next, over all timbers.
fn next_of_all(timbers: &[TimberAdvice]) -> Vec<NextOfAll> {
    let mut found: BTreeMap<&'static str, NextOfAll> = BTreeMap::new();
    for next in timbers.iter().flat_map(|timber| &timber.next) {
        let of_all = found.entry(next.what).or_insert_with(|| NextOfAll {
            what: next.what,
            act: next.act.clone(),
            is_measured: next.is_measured,
            n_timbers: 0,
            n_verdicts: 0,
        });
        of_all.n_timbers += 1;
        of_all.n_verdicts += next.n_routes;
    }
    let mut found: Vec<NextOfAll> = found.into_values().collect();
    found.sort_by_key(|next| (!next.is_measured, std::cmp::Reverse(next.n_verdicts)));
    found
}

fn steps(reference: &'static Reference, timbers: &[TimberAdvice], due: &[Vec<Option<bool>>]) -> Vec<StepAdvice> {
    let step = |(place, step): (usize, &'static TreatmentStep)| {
        let named = |wanted: Option<bool>| -> Vec<String> {
            let found = timbers.iter().zip(due).filter(|(_, due)| due.get(place) == Some(&wanted));
            found.map(|(timber, _)| timber.timber.clone()).collect()
        };
        let is_always = step.due.is_empty();
        StepAdvice {
            step: &step.word,
            title: &step.title,
            inputs: &step.inputs,
            stop: Said::of(&step.stop, reference),
            decides: &step.decides,
            said: step.said.iter().map(|said| Said::of(said, reference)).collect(),
            is_always,
            due: if is_always { Vec::new() } else { named(Some(true)) },
            unknown: if is_always { Vec::new() } else { named(None) },
        }
    };
    reference.treatment_steps().iter().enumerate().map(step).collect()
}

fn disagreement(one: &'static Disagreement, reference: &'static Reference) -> DisagreementAdvice {
    DisagreementAdvice {
        about: &one.about,
        routes: &one.routes,
        sides: one.sides.iter().map(|side| Said::of(side, reference)).collect(),
        so: &one.so,
    }
}

/// How the verdicts are to be read.
fn notes(draws: usize, assessment: &Assessment) -> Vec<String> {
    let mut notes = vec![
        "The conservator decides. A verdict says what was published and what is known of the timber; it is no instruction, and \
         licensed practice and local rules come first."
            .to_owned(),
    ];
    let verdicts: Vec<String> =
        RouteVerdict::ALL.iter().map(|verdict| format!("{}: {}", verdict.word(), verdict.meaning())).collect();
    notes.push(verdicts.join(" "));
    notes.push(
        "Rim and core are judged apart and the worst zone decides. Routes stand by verdict, then by the evidence that it rests \
         on (read, stated, derived, copy, common practice, proposal, memory); there is no score."
            .to_owned(),
    );
    notes.push(format!(
        "Heavily, moderately and slightly degraded are the worst, the middle and the best classes of {}, for the woods it was \
         made for only ({}); that authors mean these by their words is a reading of ours [proposal]. Other woods need limits of \
         the laboratory's own, heavily_degraded and slightly_degraded under [laboratory].",
        assessment.settings.scheme_title,
        assessment.settings.scheme_scope.join("; "),
    ));
    notes.push(if draws == 0 {
        "Nothing was drawn.".to_owned()
    } else {
        format!(
            "The share of draws is under measurement uncertainty only: {draws} draws a timber, seed {}, of the one quantity that \
             each zone is graded by, normal about its value with its standard uncertainty, zones independently. It does not say \
             whether the sample speaks for the timber, nor whether an author's condition is right.",
            assessment.settings.seed
        )
    });
    notes
}

/// Every sentence that may be shown, and what the assessment used.
fn sources(reference: &Reference, assessment: &Assessment) -> Vec<Cited> {
    let of_routes = reference.routes().iter().flat_map(TreatmentRoute::statements);
    let of_steps = reference.treatment_steps().iter().flat_map(|step| step.said.iter().chain([&step.stop]));
    let of_sides = reference.disagreements().iter().flat_map(|one| &one.sides);
    let said = of_routes.chain([reference.no_support()]).chain(of_steps).chain(of_sides);
    let mut cited: Vec<Cited> = said.map(|said| reference.statement_source(said)).collect();
    cited.sort();
    cited.dedup();
    assessment.sources.iter().cloned().chain(cited).collect()
}
