//! The state of every piece and every timber of a batch.

use std::collections::{BTreeSet, HashMap};
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::{Arc, Mutex};

use schemars::JsonSchema;
use serde::Serialize;

use crate::error::{CautionCode, Finding, FindingCode, Result, Severity};
use crate::numeric::{Watch, both, map_ordered};
use crate::quantity::{Cited, Evidence, Quantity};
use crate::reference::{Basis, Constant, Reference};
use crate::table::Batch;

use super::gather::Columns;
use super::inspect::{Checks, RowSet, check_timbers, pieces};
use super::limit::Limits;
use super::pieces::SchemeNames;
use super::record::Record;
use super::run::{Assessed, Assessor, Rested};
use super::timber::timbers;
use super::wood::Wood;
use super::{Pieces, Propagation, RUN, StateOptions, Timber};

/// What sound wood of a taxon was taken to be.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct UsedReference {
    /// The taxon.
    pub taxon: String,
    /// Basic density of sound wood, kg/m3.
    pub basic_density: f64,
    /// One standard uncertainty, kg/m3; `None` where unknown.
    pub u: Option<f64>,
    /// What stands behind it.
    pub basis: Basis,
    /// Published values behind it; 0 for one that is stated.
    pub n_values: usize,
}

/// The state of a batch.
#[derive(Debug, Clone, PartialEq)]
pub struct State {
    /// Every piece, in the order of the file; every row of the samples is in one of them.
    pub pieces: Pieces,
    /// Every timber, in the order of their names.
    pub timbers: Vec<Timber>,
    /// What was found in the tables, in the order of the file.
    pub findings: Vec<Finding>,
    /// What sound wood of each taxon was taken to be, in the order of their names.
    pub references: Vec<UsedReference>,
    /// Every published or stated number that was used.
    pub sources: Vec<Cited>,
    /// Pieces whose uncertainty was drawn.
    pub drawn: usize,
}

/// Assesses a batch.
///
/// A row that cannot be assessed is listed with the finding that says why; a value that cannot be used leaves the rest of
/// its row alone. The order of rows does not matter.
///
/// # Errors
/// A broken build of the reference files, options outside their range, or a stop asked for through `watch`.
///
/// # Example
/// ```
/// use woodstate::numeric::Watch;
/// use woodstate::quantity::Quantity;
/// use woodstate::reference::Reference;
/// use woodstate::state::{StateOptions, assess};
/// use woodstate::table::{Batch, Numbers, Table, TableKind, Values};
///
/// let samples = Table::from_columns(TableKind::Samples, vec![
///     ("sample".into(), Values::Texts(vec![Some("K1".into())].into())),
///     ("mass_saturated".into(), Values::Numbers(Numbers::from_values([Some(5.00)]))),
///     ("mass_oven_dry".into(), Values::Numbers(Numbers::from_values([Some(1.00)]))),
/// ])?;
/// let reference = Reference::shipped()?;
/// let options = StateOptions::unstated(reference)?;
/// let state = assess(&Batch::of_samples(samples), &options, reference, &Watch::silent())?;
/// let content = state.pieces.view(0).unwrap().value(Quantity::MaxWaterContent).unwrap();
/// assert!((content.value - 400.0).abs() < 1e-9);
/// assert_eq!(content.u, None); // no balance was stated
/// # Ok::<(), woodstate::error::Error>(())
/// ```
pub fn assess(batch: &Batch, options: &StateOptions, reference: &Reference, watch: &Watch<'_>) -> Result<State> {
    let samples = &batch.samples;
    let mut findings = batch.findings.clone();
    let same_taxon = |a: &str, b: &str| match (reference.taxon(a), reference.taxon(b)) {
        (Some(a), Some(b)) => a.name == b.name,
        _ => false,
    };
    let ruling = Quantity::of_name(&options.scheme.quantity).unwrap_or(options.propagation.ruling);
    let record = Record::of(samples, batch.timbers.as_ref());
    let (rows, of_timbers) =
        both(options.threads(), || pieces(samples), || check_timbers(samples, batch.timbers.as_ref(), same_taxon));
    findings.extend(of_timbers);
    let (woods, wood_of) = woods(&record, &rows, options, reference, &mut findings);
    let assessor = Assessor {
        propagation: Propagation { ruling, ..options.propagation.clone() },
        samples,
        findings: &batch.findings,
        options,
        limits: Limits::of(reference),
        reference,
        columns: Columns::of(samples, options),
        checks: Checks::of(samples, &batch.findings),
        scheme: Arc::new(SchemeNames {
            id: options.scheme.id.clone(),
            labels: options.scheme.classes.iter().map(|class| class.label.clone()).collect(),
        }),
        record,
        woods,
        wood_of,
        plans: Mutex::new(Vec::new()),
    };
    let total = rows.len();
    let done = AtomicUsize::new(0);
    let mut rows = rows.into_iter();
    let parts = (0..total.div_ceil(RUN)).map(|_| rows.by_ref().take(RUN).collect()).collect();
    let assessed = map_ordered(options.threads(), parts, |rows: Vec<RowSet>| {
        let n = rows.len();
        watch.advance("assessing pieces", done.load(Ordering::Relaxed), total)?;
        let run = assessor.run(rows);
        done.fetch_add(n, Ordering::Relaxed);
        run
    })?;
    watch.advance("assessing pieces", total, total)?;
    let mut rested = Rested::default();
    let mut runs = Vec::with_capacity(assessed.len());
    for run in assessed {
        let Assessed { run, findings: found, rested: on } = run?;
        findings.extend(found);
        rested.join(on);
        runs.push(run);
    }
    let sources = assessor.sources(&rested);
    let mut references: Vec<UsedReference> = assessor.woods.iter().filter_map(Wood::used_reference).collect();
    references.sort_by(|a, b| a.taxon.cmp(&b.taxon));
    references.dedup();
    let pieces = Pieces::of(runs);
    let timbers = timbers(&pieces, batch.timbers.as_ref(), options, watch)?;
    findings.sort_by(|a, b| order(a).cmp(&order(b)));
    Ok(State { pieces, timbers, findings, references, sources, drawn: rested.drawn })
}

/// Findings stand in the order of the file.
fn order(finding: &Finding) -> (&str, Option<&str>, Option<usize>, &str, FindingCode) {
    let place = &finding.place;
    (&place.file, place.sheet.as_deref(), place.row, place.cell.as_deref().unwrap_or_default(), finding.code)
}

/// Every wood that is written, each with what is known of it, and the place of each word; the first is no word at all.
fn woods<'a>(
    record: &Record<'a>,
    rows: &[RowSet],
    options: &StateOptions,
    reference: &Reference,
    findings: &mut Vec<Finding>,
) -> (Vec<Wood>, HashMap<&'a str, usize>) {
    let mut woods = vec![Wood::of(None, options, reference)];
    let mut wood_of: HashMap<&str, usize> = HashMap::new();
    let mut is_bare = false;
    for rows in rows {
        let Some(written) = record.taxon(rows) else {
            is_bare = true;
            continue;
        };
        if wood_of.contains_key(written) {
            continue;
        }
        let wood = Wood::of(Some(written), options, reference);
        if !wood.is_listed && wood.sound.is_none() {
            let near = reference.near_taxa(written);
            let mut text = "not in the list of taxa; nothing that needs sound wood is computed".to_owned();
            if !near.is_empty() {
                text = format!("{text}. Did you mean {}?", near.join(" or "));
            }
            let place = record.samples.place(rows[0], "taxon");
            let mut finding = Finding::new(FindingCode::TaxonUnknown, Severity::Warning, place, text).found(written);
            finding.count = record.count_taxon(written).max(1);
            findings.push(finding);
        }
        wood_of.insert(written, woods.len());
        woods.push(wood);
    }
    if !is_bare {
        woods[0] = Wood::default();
    }
    (woods, wood_of)
}

/// What every assessment rests on.
fn shared_sources(options: &StateOptions, reference: &Reference) -> Vec<Cited> {
    let water = |used_for: &str, id| reference.cited(used_for, id, "coefficients", Evidence::Memory);
    let mut sources = vec![
        water("density of fresh water", "tanaka-2001"),
        water("density of saline water", "unesco-eos80"),
        reference.scheme_source(&options.scheme),
    ];
    // What the user states in place of a constant is in the settings, and not a published number.
    let used = [
        ("cell_wall_density", options.cell_wall_density.value),
        ("decided_at", options.decided_at * 100.0),
        ("borer_damage_limit", options.borer_damage_limit),
        ("ash_limit", options.ash_limit),
        ("saturation_low", f64::NAN),
        ("saturation_high", f64::NAN),
    ];
    for (name, value) in used {
        let is_used = |constant: &&Constant| value.is_nan() || value.total_cmp(&constant.value).is_eq();
        let constant = reference.constant(name).filter(is_used);
        sources.extend(constant.map(|constant| reference.constant_source(constant)));
    }
    sources
}

impl Assessor<'_> {
    /// Every published or stated number that the results rest on.
    fn sources(&self, rested: &Rested) -> Vec<Cited> {
        let mut sources: BTreeSet<Cited> = shared_sources(self.options, self.reference).into_iter().collect();
        sources.extend(rested.compared.iter().flat_map(|wood| self.woods[*wood].cited.iter().cloned()));
        sources.extend(rested.shrunk.iter().flat_map(|wood| self.woods[*wood].shrinkage_cited.iter().cloned()));
        let used = RAISED.iter().filter(|(code, _)| rested.raised.contains(*code)).map(|(_, name)| *name);
        for name in used.chain(rested.is_converted.then_some("basic_density_of_density_12")) {
            let constant = self.reference.constant(name);
            sources.extend(constant.map(|constant| self.reference.constant_source(constant)));
        }
        sources.into_iter().collect()
    }
}

/// The numbers that stand behind cautions.
const RAISED: [(CautionCode, &str); 13] = [
    (CautionCode::ExtractivesLeached, "extractives_loss"),
    (CautionCode::WaterAssumed, "weighing_temperature"),
    (CautionCode::SaltPossible, "sea_salinity"),
    (CautionCode::BelowSound, "below_sound_share"),
    (CautionCode::RoutesDisagree, "routes_disagree"),
    (CautionCode::RoutesDisagree, "routes_disagree_share"),
    (CautionCode::RepeatsDiffer, "repeats_differ_share"),
    (CautionCode::ImpossibleDraws, "impossible_draws_share"),
    (CautionCode::IronPossible, "iron_limit"),
    (CautionCode::BeyondFinds, "water_content_beyond_finds"),
    (CautionCode::BeyondFinds, "basic_density_beyond_finds"),
    (CautionCode::MonteCarlo, "second_order_share_compared"),
    (CautionCode::MonteCarlo, "second_order_share"),
];
