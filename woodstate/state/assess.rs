//! The state of every piece and every timber of a batch.

use std::collections::{BTreeMap, BTreeSet};
use std::rc::Rc;

use schemars::JsonSchema;
use serde::Serialize;

use crate::error::{CautionCode, Cautions, Finding, FindingCode, Result, Severity};
use crate::numeric::Watch;
use crate::quantity::{Cited, Evidence, Quantity};
use crate::reference::{Basis, Constant, Reference};
use crate::table::{Batch, Table};

use super::gather::{Columns, Gathered};
use super::inspect::{Rows, check_timbers, pieces};
use super::timber::timbers;
use super::wood::Wood;
use super::{
    ByQuantity, ClassReading, Piece, Propagated, Propagation, Routes, Rules, StateOptions, Status, Timber, propagate,
};

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
    pub pieces: Vec<Piece>,
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
/// let content = state.pieces[0].value(Quantity::MaxWaterContent).unwrap();
/// assert!((content.value - 400.0).abs() < 1e-9);
/// assert_eq!(content.u, None); // no balance was stated
/// # Ok::<(), woodstate::error::Error>(())
/// ```
pub fn assess(batch: &Batch, options: &StateOptions, reference: &Reference, watch: &Watch<'_>) -> Result<State> {
    let samples = &batch.samples;
    let mut findings = batch.findings.clone();
    let rows = pieces(samples, &mut findings);
    let same_taxon = |a: &str, b: &str| match (reference.taxon(a), reference.taxon(b)) {
        (Some(a), Some(b)) => a.name == b.name,
        _ => false,
    };
    check_timbers(samples, batch.timbers.as_ref(), same_taxon, &mut findings);
    let ruling = Quantity::of_name(&options.scheme.quantity).unwrap_or(options.propagation.ruling);
    let mut assessor = Assessor {
        propagation: Propagation { ruling, ..options.propagation.clone() },
        samples,
        timbers: batch.timbers.as_ref(),
        options,
        reference,
        columns: Columns::of(samples),
        woods: BTreeMap::new(),
        findings,
        sources: shared_sources(options, reference).into_iter().collect(),
        cited: BTreeSet::new(),
        drawn: 0,
    };
    let total = rows.len();
    let mut pieces = Vec::with_capacity(total);
    for (done, rows) in rows.into_iter().enumerate() {
        watch.advance("assessing pieces", done, total)?;
        pieces.push(assessor.piece(&rows)?);
    }
    watch.advance("assessing pieces", total, total)?;
    let Assessor { mut findings, sources, drawn, woods, .. } = assessor;
    let mut references: Vec<UsedReference> = woods.values().filter_map(|wood| wood.used_reference()).collect();
    references.sort_by(|a, b| a.taxon.cmp(&b.taxon));
    references.dedup();
    let timbers = timbers(&pieces, batch.timbers.as_ref(), options)?;
    findings.sort_by(|a, b| order(a).cmp(&order(b)));
    Ok(State { pieces, timbers, findings, references, sources: sources.into_iter().collect(), drawn })
}

/// Findings stand in the order of the file.
fn order(finding: &Finding) -> (&str, Option<&str>, Option<usize>, &str, FindingCode) {
    let place = &finding.place;
    (&place.file, place.sheet.as_deref(), place.row, place.cell.as_deref().unwrap_or_default(), finding.code)
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

/// A batch under assessment.
pub(super) struct Assessor<'a> {
    pub(super) propagation: Propagation,
    pub(super) samples: &'a Table,
    pub(super) timbers: Option<&'a Table>,
    pub(super) options: &'a StateOptions,
    pub(super) reference: &'a Reference,
    pub(super) columns: Columns<'a>,
    pub(super) woods: BTreeMap<Option<String>, Rc<Wood>>,
    pub(super) findings: Vec<Finding>,
    pub(super) sources: BTreeSet<Cited>,
    /// What was cited already, by name.
    pub(super) cited: BTreeSet<(&'static str, String)>,
    pub(super) drawn: usize,
}

impl Assessor<'_> {
    fn piece(&mut self, rows: &Rows) -> Result<Piece> {
        let text = |name| rows.rows.iter().find_map(|row| self.samples.text(name, *row)).map(str::to_owned);
        let timber = text("timber");
        let wood = self.wood(rows, timber.as_deref());
        let number = |name| rows.rows.iter().find_map(|row| self.samples.number(name, *row));
        let depth = (number("depth_from"), number("depth_to"));
        let depth = if matches!(depth, (Some(from), Some(to)) if to <= from) { (None, None) } else { depth };
        let mut piece = Piece {
            sample: rows.sample.clone(),
            timber: timber.clone(),
            core_id: text("core_id"),
            depth_from: depth.0,
            depth_to: depth.1,
            rows: rows.rows.iter().map(|row| self.samples.row_number(*row)).collect(),
            status: if rows.is_partial { Status::Partial } else { Status::Assessed },
            taxon: wood.name.clone(),
            condition: self.condition(rows, timber.as_deref()),
            values: ByQuantity::default(),
            routes: Routes::default(),
            degradation_class: ClassReading::none(&self.options.scheme, "not assessed: see the finding of its row"),
            cautions: Cautions::NONE,
            parts: ByQuantity::default(),
            is_out_of_scope: false,
        };
        if rows.is_refused {
            piece.status = Status::NotAssessed;
            return Ok(piece);
        }
        let gathered = self.columns.gather(&rows.rows, &wood, self.options, self.reference);
        let rules = Rules {
            stated_first: self.options.stated_first,
            is_conditioned: gathered.is_conditioned,
            ..Rules::plain(self.reference)
        };
        let name = piece.sample.clone().unwrap_or_default();
        let taxon = wood.name.clone().unwrap_or_default();
        let results = propagate(&gathered.readings, &rules, &self.propagation, &name, &taxon)?;
        let is_known = |quantity: &&Quantity| results.values.of(**quantity).is_some();
        // What sound wood would hold is known from the taxon alone: it is no result of the piece.
        let is_measured = Quantity::ALL.iter().filter(is_known).any(|q| *q != Quantity::SoundMaxWaterContent);
        self.report_missing(rows, &gathered, &results, is_measured);
        if self.report_impossible(rows, &results) && is_measured {
            piece.status = Status::Partial;
        }
        if !is_measured {
            piece.status = Status::NotAssessed;
            return Ok(piece);
        }
        self.fill(&mut piece, rows, &wood, &gathered, results)?;
        Ok(piece)
    }

    /// The wood of a piece: as the samples say, or the timbers table.
    fn wood(&mut self, rows: &Rows, timber: Option<&str>) -> Rc<Wood> {
        let own = rows.rows.iter().find_map(|row| self.samples.text("taxon", *row));
        let of_timber = || {
            let table = self.timbers?;
            let row = (0..table.n_rows()).find(|row| timber.is_some() && table.text("timber", *row) == timber)?;
            table.text("taxon", row)
        };
        let written = own.or_else(of_timber).map(str::to_owned);
        if let Some(wood) = self.woods.get(&written) {
            return Rc::clone(wood);
        }
        let wood = Rc::new(Wood::of(written.as_deref(), self.options, self.reference));
        if let Some(written) = written.as_deref().filter(|_| !wood.is_listed && wood.sound.is_none()) {
            let count =
                (0..self.samples.n_rows()).filter(|row| self.samples.text("taxon", *row) == Some(written)).count();
            let near = self.reference.near_taxa(written);
            let mut text = "not in the list of taxa; nothing that needs sound wood is computed".to_owned();
            if !near.is_empty() {
                text = format!("{text}. Did you mean {}?", near.join(" or "));
            }
            let place = self.samples.place(rows.rows[0], "taxon");
            let mut finding = Finding::new(FindingCode::TaxonUnknown, Severity::Warning, place, text).found(written);
            finding.count = count.max(1);
            self.findings.push(finding);
        }
        self.woods.insert(written, Rc::clone(&wood));
        wood
    }

    fn fill(
        &mut self,
        piece: &mut Piece,
        rows: &Rows,
        wood: &Wood,
        gathered: &Gathered,
        results: Propagated,
    ) -> Result<()> {
        piece.cautions = gathered.cautions.union(wood.cautions);
        piece.values = results.values;
        piece.parts = results.parts;
        self.drawn += usize::from(results.drawn.is_some());
        let blocked = self.blocked(piece, rows);
        if blocked.is_some() {
            for quantity in [Quantity::ResidualBasicDensity, Quantity::LossOfWoodSubstance] {
                piece.values.set(quantity, None);
                piece.parts.set(quantity, None);
            }
        }
        self.caution(piece, rows, wood, &results);
        self.cite(piece, wood);
        let Propagated { water_contents, densities, drawn, impossible_draws, .. } = results;
        piece.routes = Routes { max_water_content: water_contents, basic_density: densities };
        if let Some(code) = blocked {
            piece.degradation_class = ClassReading::none(&self.options.scheme, code.story().text);
            return Ok(());
        }
        piece
            .cautions
            .insert_if(impossible_draws > self.limit("impossible_draws_share") / 100.0, CautionCode::ImpossibleDraws);
        let drawn = drawn.unwrap_or_default();
        let scheme_quantity = Quantity::of_name(&self.options.scheme.quantity);
        let drawn = scheme_quantity.and_then(|quantity| drawn.get(quantity as usize)?.as_ref());
        let mut class = self.class(piece, wood, drawn)?;
        self.doubt_class(&mut class, piece, &gathered.readings);
        piece.degradation_class = class;
        Ok(())
    }

    /// The value of a limit; not a number, which no comparison passes, if the build has none.
    pub(super) fn limit(&self, name: &str) -> f64 {
        self.reference.constant(name).map_or(f64::NAN, |constant| constant.value)
    }
}
