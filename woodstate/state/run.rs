//! A run of pieces: read, derived together where they were measured alike, doubted, classed.

use std::collections::{BTreeSet, HashMap};
use std::sync::{Arc, Mutex, PoisonError};

use crate::error::{CautionCode, Cautions, Finding, Result};
use crate::numeric::{BLOCK, Room};
use crate::quantity::Quantity;
use crate::reference::Reference;
use crate::table::Table;

use super::degradation_class::Judged;
use super::gather::{Columns, Gathered};
use super::inspect::{Checks, RowSet, Rows};
use super::limit::Limits;
use super::pieces::{Classes, Names, Numbers, PieceRun, SchemeNames};
use super::record::{Noted, Record};
use super::together::Plan;
use super::wood::Wood;
use super::zone::SUMMED;
use super::{Propagation, Readings, Results, Route, Rules, StateOptions, Status, propagate};

/// A batch under assessment: what every run of pieces needs.
pub(super) struct Assessor<'a> {
    pub(super) propagation: Propagation,
    pub(super) samples: &'a Table,
    /// What was found in the tables before any piece was looked at.
    pub(super) findings: &'a [Finding],
    pub(super) options: &'a StateOptions,
    pub(super) reference: &'a Reference,
    pub(super) limits: Limits,
    pub(super) columns: Columns<'a>,
    pub(super) checks: Checks<'a>,
    pub(super) record: Record<'a>,
    pub(super) woods: Vec<Wood>,
    pub(super) wood_of: HashMap<&'a str, usize>,
    pub(super) scheme: Arc<SchemeNames>,
    pub(super) plans: Mutex<Vec<Arc<WoodPlan>>>,
}

/// A plan and the wood it is for.
pub(super) struct WoodPlan {
    wood: usize,
    is_conditioned: bool,
    plan: Plan,
}

/// What the results rest on, for the sources.
#[derive(Debug, Default)]
pub(super) struct Rested {
    pub(super) raised: Cautions,
    /// Woods whose sound density, and whose normal shrinkage, were compared with.
    pub(super) compared: BTreeSet<usize>,
    pub(super) shrunk: BTreeSet<usize>,
    pub(super) is_converted: bool,
    pub(super) drawn: usize,
}

impl Rested {
    pub(super) fn join(&mut self, other: Self) {
        self.raised = self.raised.union(other.raised);
        self.compared.extend(other.compared);
        self.shrunk.extend(other.shrunk);
        self.is_converted |= other.is_converted;
        self.drawn += other.drawn;
    }
}

/// A run that is done.
pub(super) struct Assessed {
    pub(super) run: PieceRun,
    pub(super) findings: Vec<Finding>,
    pub(super) rested: Rested,
}

/// A piece on its way.
pub(super) struct Draft<'a> {
    pub(super) name: Option<&'a str>,
    pub(super) rows: Rows,
    pub(super) wood: usize,
    pub(super) noted: Noted<'a>,
    /// `None` where the rows cannot be used.
    pub(super) gathered: Option<Gathered>,
}

/// Fewest pieces that are worth a plan of their own.
const WORTH: usize = 24;

/// Samples that are tried for a plan, a block.
const TRIES: usize = 6;

impl<'a> Assessor<'a> {
    pub(super) fn run(&self, rows: Vec<RowSet>) -> Result<Assessed> {
        let n_pieces = rows.len();
        let mut findings = Vec::new();
        let mut rested = Rested::default();
        let mut results = Results::unknown(n_pieces, self.propagation.factor()?, &self.parts_of());
        let mut status = Vec::with_capacity(n_pieces);
        let mut cautions = Vec::with_capacity(n_pieces);
        let mut is_out_of_scope = Vec::with_capacity(n_pieces);
        let mut classes = Classes::new(&self.scheme, n_pieces);
        let mut taken: Vec<RowSet> = Vec::with_capacity(n_pieces);
        let mut noted: Vec<Noted<'a>> = Vec::with_capacity(n_pieces);
        let mut woods: Vec<usize> = Vec::with_capacity(n_pieces);
        let mut names: Vec<Option<&'a str>> = Vec::with_capacity(n_pieces);
        let mut rows = rows.into_iter();
        let mut room = Room::default();
        let mut drafts: Vec<Draft<'a>> = Vec::with_capacity(BLOCK);
        for start in (0..n_pieces).step_by(BLOCK) {
            drafts.clear();
            drafts.extend(rows.by_ref().take(BLOCK).map(|rows| self.draft(rows, &mut findings)));
            self.derive_block(&drafts, start, &mut room, &mut results)?;
            for (row, draft) in drafts.iter_mut().enumerate() {
                let end = self.finish(draft, start + row, &mut results, &mut findings)?;
                rested.note(start + row, draft.wood, end.cautions, &results);
                classes.push(&end.class);
                status.push(end.status);
                cautions.push(end.cautions);
                is_out_of_scope.push(end.is_out_of_scope);
                noted.push(draft.noted);
                woods.push(draft.wood);
                names.push(draft.name);
                taken.push(std::mem::replace(&mut draft.rows.rows, RowSet::One([0])));
            }
        }
        results.finish();
        let numbers = self.numbers(&taken, &noted);
        let names = Names {
            sample: names.into_iter().collect(),
            timber: taken.iter().map(|rows| self.record.timber(rows)).collect(),
            core_id: taken.iter().map(|rows| self.record.core_id(rows)).collect(),
            taxon: woods.iter().map(|wood| self.woods[*wood].name.as_deref()).collect(),
            charring: noted.iter().map(|noted| noted.charring).collect(),
            metal: noted.iter().map(|noted| noted.metal).collect(),
            prior_treatment: noted.iter().map(|noted| noted.prior_treatment).collect(),
        };
        for rows in &mut taken {
            rows.renumber(|row| self.samples.row_number(row));
        }
        let run = PieceRun { results, rows: taken, names, numbers, status, cautions, is_out_of_scope, classes };
        Ok(Assessed { run, findings, rested })
    }

    /// Quantities whose uncertainty is kept by origin.
    fn parts_of(&self) -> Vec<Quantity> {
        let mut parts_of = SUMMED.to_vec();
        parts_of.extend(self.options.parts_of.iter().filter(|quantity| !SUMMED.contains(quantity)));
        parts_of
    }

    fn numbers(&self, rows: &[RowSet], noted: &[Noted<'a>]) -> Numbers {
        let unknown = |number: Option<f64>| number.unwrap_or(f64::NAN);
        let depth = |end: usize| rows.iter().map(|rows| unknown(self.record.depth(rows)[end])).collect();
        Numbers {
            depth_from: depth(0),
            depth_to: depth(1),
            borer_damage: noted.iter().map(|noted| unknown(noted.borer_damage)).collect(),
            ash_content: noted.iter().map(|noted| unknown(noted.ash_content)).collect(),
        }
    }

    fn draft(&self, rows: RowSet, findings: &mut Vec<Finding>) -> Draft<'a> {
        let name = self.checks.name(&rows);
        let wood = self.record.taxon(&rows).and_then(|written| self.wood_of.get(written)).copied().unwrap_or_default();
        let noted = self.record.noted(&rows);
        let rows = self.checks.inspect(rows, findings);
        let gathered =
            (!rows.is_refused).then(|| self.columns.gather(&rows.rows, &self.woods[wood], self.options, &self.limits));
        Draft { name, rows, wood, noted, gathered }
    }

    pub(super) fn rules(&self, is_conditioned: bool) -> Rules<'a> {
        Rules { stated_first: self.options.stated_first, is_conditioned, ..Rules::plain(self.reference) }
    }

    /// Derives a block of pieces: those with a plan together, the others alone.
    fn derive_block(&self, drafts: &[Draft<'a>], start: usize, room: &mut Room, results: &mut Results) -> Result<()> {
        let known: Vec<Arc<WoodPlan>> = self.plans.lock().unwrap_or_else(PoisonError::into_inner).clone();
        let mut groups: Vec<(Arc<WoodPlan>, Vec<usize>)> = Vec::new();
        let mut loose: Vec<usize> = Vec::new();
        for (row, draft) in drafts.iter().enumerate() {
            let Some(gathered) = &draft.gathered else { continue };
            if let Some((_, rows)) = groups.iter_mut().find(|(plan, _)| plan.fits(draft.wood, gathered)) {
                rows.push(row);
            } else if let Some(plan) = known.iter().find(|plan| plan.fits(draft.wood, gathered)) {
                groups.push((Arc::clone(plan), vec![row]));
            } else {
                loose.push(row);
            }
        }
        let mut alone = Vec::new();
        for _ in 0..TRIES {
            if loose.len() < WORTH {
                break;
            }
            let Some((draft, gathered)) = gathered_of(drafts, loose[0]) else { break };
            let (rules, wood) = (self.rules(gathered.is_conditioned), draft.wood);
            let taxon = self.woods[wood].name.as_deref().unwrap_or_default();
            let (readings, each_u) = (&gathered.readings, self.columns.each_u());
            let plan = Plan::of(readings, each_u, &self.parts_of(), &rules, &self.propagation, taxon)?;
            let Some(plan) = plan else {
                alone.push(loose.remove(0));
                continue;
            };
            let plan = Arc::new(WoodPlan { wood, is_conditioned: gathered.is_conditioned, plan });
            let fits = |row: &usize| {
                gathered_of(drafts, *row).is_some_and(|(draft, gathered)| plan.fits(draft.wood, gathered))
            };
            let (fitting, others): (Vec<usize>, Vec<usize>) = loose.iter().partition(|row| fits(row));
            loose = others;
            if fitting.len() >= WORTH {
                self.plans.lock().unwrap_or_else(PoisonError::into_inner).push(Arc::clone(&plan));
                groups.push((plan, fitting));
            } else {
                alone.extend(fitting);
            }
        }
        alone.extend(loose);
        for (plan, rows) in groups {
            let readings: Vec<&Readings> = rows
                .iter()
                .filter_map(|row| gathered_of(drafts, *row))
                .map(|(_, gathered)| &gathered.readings)
                .collect();
            let at: Vec<usize> = rows.iter().map(|row| start + row).collect();
            let mut run = plan.plan.start_in(std::mem::take(room));
            let apart = plan.plan.run(&mut run, &readings, &at, &self.propagation, results);
            *room = run.into_room();
            alone.extend(apart.into_iter().map(|row| rows[row]));
        }
        for row in alone {
            let Some((draft, gathered)) = gathered_of(drafts, row) else { continue };
            let rules = self.rules(gathered.is_conditioned);
            let taxon = self.woods[draft.wood].name.as_deref().unwrap_or_default();
            let name = draft.name.unwrap_or_default();
            results.put(start + row, propagate(&gathered.readings, &rules, &self.propagation, name, taxon)?);
        }
        Ok(())
    }

    /// What becomes of a piece, and what to know of it.
    fn finish(&self, draft: &Draft<'a>, at: usize, results: &mut Results, findings: &mut Vec<Finding>) -> Result<End> {
        let mut end = End {
            status: if draft.rows.is_partial { Status::Partial } else { Status::Assessed },
            cautions: Cautions::NONE,
            is_out_of_scope: false,
            class: Judged::none("not assessed: see the finding of its row"),
        };
        let Some(gathered) = &draft.gathered else {
            end.status = Status::NotAssessed;
            return Ok(end);
        };
        let is_known = |quantity: &&Quantity| results.is_known(at, **quantity);
        // What sound wood would hold is known from the taxon alone: it is no result of the piece.
        let is_measured = Quantity::ALL.iter().filter(is_known).any(|q| *q != Quantity::SoundMaxWaterContent);
        self.report_missing(draft, gathered, (results, at), is_measured, findings);
        if self.report_impossible(draft, (results, at), findings) && is_measured {
            end.status = Status::Partial;
        }
        if !is_measured {
            end.status = Status::NotAssessed;
            results.forget(at);
            return Ok(end);
        }
        let wood = &self.woods[draft.wood];
        end.cautions = gathered.cautions.union(wood.cautions);
        let blocked = self.blocked(&mut end.cautions, &draft.noted);
        if let Some(code) = blocked {
            for quantity in [Quantity::ResidualBasicDensity, Quantity::LossOfWoodSubstance] {
                results.clear(at, quantity);
            }
            self.caution(&mut end.cautions, draft, wood, (results, at));
            end.class = Judged::none(code.story().text);
            return Ok(end);
        }
        self.caution(&mut end.cautions, draft, wood, (results, at));
        let is_often_impossible = results.impossible_draws(at) > self.limits.impossible_draws;
        end.cautions.insert_if(is_often_impossible, CautionCode::ImpossibleDraws);
        self.judge(&mut end, wood, &gathered.readings, (results, at))?;
        Ok(end)
    }
}

/// What became of a piece.
pub(super) struct End {
    pub(super) status: Status,
    pub(super) cautions: Cautions,
    pub(super) is_out_of_scope: bool,
    pub(super) class: Judged,
}

impl WoodPlan {
    fn fits(&self, wood: usize, gathered: &Gathered) -> bool {
        self.wood == wood && self.is_conditioned == gathered.is_conditioned && self.plan.fits(&gathered.readings)
    }
}

fn gathered_of<'d, 'a>(drafts: &'d [Draft<'a>], row: usize) -> Option<(&'d Draft<'a>, &'d Gathered)> {
    let draft = drafts.get(row)?;
    Some((draft, draft.gathered.as_ref()?))
}

impl Rested {
    fn note(&mut self, at: usize, wood: usize, cautions: Cautions, results: &Results) {
        let is_known = |quantity| results.is_known(at, quantity);
        self.raised = self.raised.union(cautions);
        if is_known(Quantity::ResidualBasicDensity) || is_known(Quantity::SoundMaxWaterContent) {
            self.compared.insert(wood);
        }
        if is_known(Quantity::Collapse) {
            self.shrunk.insert(wood);
        }
        self.is_converted |= results.value(at, Quantity::BasicDensity).is_some_and(|d| d.route == Route::Density12);
        self.drawn += usize::from(results.is_drawn(at));
    }
}
