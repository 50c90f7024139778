//! The state of every piece and every timber of a batch.

use std::collections::BTreeMap;

use crate::error::{CautionCode, Cautions, Finding, FindingCode, Result, Severity};
use crate::numeric::Watch;
use crate::quantity::{Cited, Evidence, Quantity};
use crate::reference::Reference;
use crate::table::{Batch, Table};

use super::gather::{Columns, Gathered};
use super::inspect::{Rows, check_timbers, pieces, with_sample};
use super::timber::timbers;
use super::wood::Wood;
use super::{
    ByQuantity, ClassReading, Doubt, OutsideScope, Piece, Propagated, Route, Routes, Rules, StateOptions, Status,
    Timber, propagate,
};

/// The state of a batch.
#[derive(Debug, Clone, PartialEq)]
pub struct State {
    /// Every piece, in the order of the file; every row of the samples is in one of them.
    pub pieces: Vec<Piece>,
    /// Every timber, in the order of their names.
    pub timbers: Vec<Timber>,
    /// What was found in the tables, in the order of the file.
    pub findings: Vec<Finding>,
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
///     ("sample".into(), Values::Texts(vec![Some("K1".into())])),
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
    let mut assessor = Assessor {
        samples,
        timbers: batch.timbers.as_ref(),
        options,
        reference,
        columns: Columns::of(samples),
        woods: BTreeMap::new(),
        findings,
        sources: shared_sources(options, reference),
        drawn: 0,
    };
    let total = rows.len();
    let mut pieces = Vec::with_capacity(total);
    for (done, rows) in rows.into_iter().enumerate() {
        watch.advance("assessing pieces", done, total)?;
        pieces.push(assessor.piece(rows)?);
    }
    watch.advance("assessing pieces", total, total)?;
    let Assessor { mut findings, mut sources, drawn, .. } = assessor;
    let timbers = timbers(&pieces, batch.timbers.as_ref(), options)?;
    findings.sort_by(|a, b| order(a).cmp(&order(b)));
    sources.sort();
    sources.dedup();
    Ok(State { pieces, timbers, findings, sources, drawn })
}

/// Findings stand in the order of the file.
fn order(finding: &Finding) -> (&str, Option<&str>, Option<usize>, &str, FindingCode) {
    let place = &finding.place;
    (&place.file, place.sheet.as_deref(), place.row, place.cell.as_deref().unwrap_or_default(), finding.code)
}

/// What every assessment rests on.
fn shared_sources(options: &StateOptions, reference: &Reference) -> Vec<Cited> {
    let mut sources = vec![
        reference.cited("tanaka-2001", "density of fresh water, coefficients", Evidence::Memory),
        reference.cited("unesco-eos80", "density of saline water, coefficients", Evidence::Memory),
        reference.scheme_source(&options.scheme),
    ];
    let used = ["cell_wall_density", "saturation_low", "saturation_high"];
    sources.extend(used.iter().filter_map(|name| reference.constant(name)).map(|c| reference.constant_source(c)));
    sources
}

struct Assessor<'a> {
    samples: &'a Table,
    timbers: Option<&'a Table>,
    options: &'a StateOptions,
    reference: &'a Reference,
    columns: Columns<'a>,
    woods: BTreeMap<Option<String>, Wood>,
    findings: Vec<Finding>,
    sources: Vec<Cited>,
    drawn: usize,
}

impl Assessor<'_> {
    fn piece(&mut self, rows: Rows) -> Result<Piece> {
        let row = rows.rows[0];
        let text = |name| self.samples.text(name, row).map(str::to_owned);
        let timber = text("timber");
        let wood = self.wood(&rows, timber.as_deref());
        let number = |name| rows.rows.iter().find_map(|row| self.samples.number(name, *row));
        let depth = (number("depth_from"), number("depth_to"));
        let depth = if matches!(depth, (Some(from), Some(to)) if to <= from) { (None, None) } else { depth };
        let mut piece = Piece {
            sample: rows.sample.clone(),
            timber,
            core_id: text("core_id"),
            depth_from: depth.0,
            depth_to: depth.1,
            rows: rows.rows.iter().map(|row| self.samples.row_number(*row)).collect(),
            status: if rows.is_partial { Status::Partial } else { Status::Assessed },
            taxon: wood.name.clone(),
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
            normal_shrinkage: wood.normal_shrinkage,
            ..Rules::plain(self.reference)
        };
        let name = piece.sample.clone().unwrap_or_default();
        let taxon = wood.name.clone().unwrap_or_default();
        let results = propagate(&gathered.readings, &rules, &self.options.propagation, &name, &taxon)?;
        self.report_missing(&rows, &gathered, &results);
        if results.values.is_empty() {
            piece.status = Status::NotAssessed;
            return Ok(piece);
        }
        self.fill(&mut piece, &rows, &wood, &gathered, results)?;
        Ok(piece)
    }

    /// The wood of a piece: as the samples say, or the timbers table.
    fn wood(&mut self, rows: &Rows, timber: Option<&str>) -> Wood {
        let own = rows.rows.iter().find_map(|row| self.samples.text("taxon", *row));
        let of_timber = || {
            let table = self.timbers?;
            let row = (0..table.n_rows()).find(|row| timber.is_some() && table.text("timber", *row) == timber)?;
            table.text("taxon", row)
        };
        let written = own.or_else(of_timber).map(str::to_owned);
        if let Some(wood) = self.woods.get(&written) {
            return wood.clone();
        }
        let wood = Wood::of(written.as_deref(), self.options, self.reference);
        if let Some(written) = written.as_deref().filter(|_| !wood.is_listed && wood.sound.is_none()) {
            let count =
                (0..self.samples.n_rows()).filter(|row| self.samples.text("taxon", *row) == Some(written)).count();
            let near = self.reference.near_taxa(written);
            let mut text =
                format!("\"{written}\" is not in the list of taxa; nothing that needs sound wood is computed");
            if !near.is_empty() {
                text = format!("{text}. Did you mean {}?", near.join(" or "));
            }
            let place = self.samples.place(rows.rows[0], "taxon");
            let mut finding = Finding::new(FindingCode::TaxonUnknown, Severity::Warning, place, text).found(written);
            finding.count = count.max(1);
            self.findings.push(finding);
        }
        self.woods.insert(written, wood.clone());
        wood
    }

    /// Which readings are missing, and what that leaves.
    fn report_missing(&mut self, rows: &Rows, gathered: &Gathered, results: &Propagated) {
        let row = rows.rows[0];
        let has = |cause| gathered.readings.of(cause).is_some();
        let name = rows.sample.as_deref().unwrap_or_default();
        let is_weighed = has(super::Cause::MassSaturated);
        let is_dry = has(super::Cause::MassOvenDry);
        let route = results.values.of(Quantity::BasicDensity).map(|density| density.route);
        let (column, severity, text) = if results.values.is_empty() {
            let missing = match (is_weighed, is_dry) {
                (true, false) => "mass_oven_dry",
                (false, true) => "mass_saturated",
                _ => "mass_saturated",
            };
            let text = format!("{missing} of {name} is empty and no other route is left; the row is not assessed");
            (missing, Severity::Error, text)
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
        self.caution(piece, rows, wood, &results);
        if piece.values.of(Quantity::ResidualBasicDensity).is_some() {
            self.sources.extend(wood.cited.iter().cloned());
        }
        if piece.values.of(Quantity::Collapse).is_some() {
            self.sources.extend(wood.shrinkage_cited.iter().cloned());
        }
        let blocked = self.blocked(piece, rows);
        let Propagated { water_contents, densities, drawn, .. } = results;
        piece.routes = Routes { max_water_content: water_contents, basic_density: densities };
        if let Some(code) = blocked {
            for quantity in [Quantity::ResidualBasicDensity, Quantity::LossOfWoodSubstance] {
                piece.values.set(quantity, None);
                piece.parts.set(quantity, None);
            }
            piece.degradation_class = ClassReading::none(&self.options.scheme, code.story().text);
            return Ok(());
        }
        let drawn = drawn.unwrap_or_default();
        let scheme_quantity = Quantity::of_name(&self.options.scheme.quantity);
        let drawn = scheme_quantity.and_then(|quantity| drawn.get(quantity as usize)?.as_ref());
        piece.degradation_class = self.class(piece, wood, drawn)?;
        Ok(())
    }

    fn class(&self, piece: &mut Piece, wood: &Wood, drawn: Option<&crate::numeric::Sample>) -> Result<ClassReading> {
        let scheme = &self.options.scheme;
        if !wood.is_in_scope {
            if wood.name.is_none() || self.options.outside_scope == OutsideScope::NoClass {
                let code = if wood.name.is_none() { CautionCode::TaxonUnknown } else { CautionCode::ClassOutOfScope };
                piece.cautions.insert(code);
                return Ok(ClassReading::none(scheme, code.story().text));
            }
            piece.cautions.insert(CautionCode::ClassedOutOfScope);
            piece.is_out_of_scope = true;
        }
        let value = Quantity::of_name(&scheme.quantity).and_then(|quantity| piece.values.of(quantity));
        let Some(value) = value else {
            return Ok(ClassReading::none(scheme, format!("{} is unknown", scheme.quantity)));
        };
        let doubt = match (drawn, value.u) {
            (Some(sample), _) => Doubt::Drawn(sample),
            (None, Some(u)) => Doubt::Normal(u),
            (None, None) => Doubt::Unknown,
        };
        ClassReading::of(scheme, value.value, doubt, self.options.boundary, self.options.decided_at)
    }

    /// Why a piece has no decay reading, if it has none.
    fn blocked(&self, piece: &mut Piece, rows: &Rows) -> Option<CautionCode> {
        let text = |name| rows.rows.iter().find_map(|row| self.samples.text(name, *row));
        let number = |name| rows.rows.iter().find_map(|row| self.samples.number(name, *row));
        let treatment = text("prior_treatment").or_else(|| {
            let table = self.timbers?;
            let row = (0..table.n_rows())
                .find(|row| piece.timber.is_some() && table.text("timber", *row) == piece.timber.as_deref())?;
            table.text("prior_treatment", row)
        });
        let is_unknown = |word: Option<&str>| matches!(word, None | Some("unknown"));
        let charring = text("charring");
        let borers = number("borer_damage");
        piece.cautions.insert_if(
            is_unknown(charring) || is_unknown(treatment) || borers.is_none(),
            CautionCode::ConditionUnknown,
        );
        let reasons = [
            (!is_unknown(charring) && charring != Some("none"), CautionCode::Charred),
            (!is_unknown(treatment) && treatment != Some("none"), CautionCode::PriorTreatment),
            (borers.is_some_and(|share| share > self.options.borer_damage_limit), CautionCode::BorerDamage),
            (number("ash_content").is_some_and(|ash| ash > self.options.ash_limit), CautionCode::Mineralised),
        ];
        for (holds, code) in reasons {
            piece.cautions.insert_if(holds, code);
        }
        reasons.into_iter().find(|(holds, _)| *holds).map(|(_, code)| code)
    }

    fn caution(&self, piece: &mut Piece, rows: &Rows, wood: &Wood, results: &Propagated) {
        let limit = |name| self.reference.constant(name).map_or(f64::NAN, |constant| constant.value);
        let of = |quantity| piece.values.of(quantity);
        let value = |quantity| of(quantity).map(|value| value.value);
        let is = |quantity, test: &dyn Fn(f64) -> bool| value(quantity).is_some_and(test);
        let route = of(Quantity::BasicDensity).map(|density| density.route);
        let hangs_up = rows.rows.iter().any(|row| {
            self.samples.number("mass_sinker_immersed", *row).is_none()
                && self.samples.number("mass_immersed", *row).is_some_and(|mass| mass <= 0.0)
        });
        let has_unknown_u = [Quantity::MaxWaterContent, Quantity::BasicDensity]
            .into_iter()
            .any(|quantity| of(quantity).is_some_and(|value| value.u.is_none()));
        let is_below_sound = value(Quantity::MaxWaterContent)
            .zip(value(Quantity::SoundMaxWaterContent))
            .is_some_and(|(content, sound)| content < limit("below_sound_share") / 100.0 * sound);
        let leached = limit("extractives_loss");
        let shrinks = of(Quantity::ShrinkageCrossSection).or(of(Quantity::ShrinkageVolumetric)).is_some();
        let found = [
            (is(Quantity::Saturation, &|s| s < limit("saturation_low")) || hangs_up, CautionCode::NotSaturated),
            (is(Quantity::Saturation, &|s| s > limit("saturation_high")), CautionCode::SurfaceWater),
            (has_unknown_u, CautionCode::UncertaintyUnknown),
            (results.drawn.is_some(), CautionCode::MonteCarlo),
            (results.routes_disagree, CautionCode::RoutesDisagree),
            (route == Some(Route::SaturatedUndried), CautionCode::CellWallDecides),
            (route == Some(Route::SaturatedDried), CautionCode::FromWaterContent),
            (is_below_sound, CautionCode::BelowSound),
            (is(Quantity::ResidualBasicDensity, &|share| share > 100.0), CautionCode::ResidualAbove100),
            (
                wood.is_oak && is(Quantity::LossOfWoodSubstance, &|loss| loss > 0.0 && loss <= leached),
                CautionCode::ExtractivesLeached,
            ),
            (shrinks && wood.normal_shrinkage.is_none(), CautionCode::NormalShrinkageUnknown),
        ];
        for (holds, code) in found {
            piece.cautions.insert_if(holds, code);
        }
    }
}
