//! `profile`: each timber in depth.

use std::collections::{BTreeMap, BTreeSet};

use crate::error::{Error, ErrorKind, Result};
use crate::numeric::{Watch, map_watched};
use crate::profile::{Degraded, DepthModel, Increment, ProfileOptions, Tread, depth_profile, monotone_depth};
use crate::quantity::Quantity;
use crate::reference::Reference;
use crate::state::PieceView;
use crate::table::{Batch, Condition, Datum};

use super::assess::assess;
use super::curve::Axis;
use super::depth::{DepthLegend, Profiles, TimberDepth};
use super::envelope::{Program, SCHEMA_VERSION, SourceTable, Stopped};
use super::increments::{GatheredDepths, TimberIncrements, gather};
use super::pair::is_mechanic;
use super::piece::Pieces;
use super::rows::{kept, title};
use super::section::SectionForm;
use super::summary::number;
use super::threshold::{ThresholdChoice, Thresholds, degraded};
use super::timber_depth::{Shown, shown};
use super::{Assessment, Study};

/// What a profile is asked for.
#[derive(Debug, Clone, PartialEq)]
pub struct ProfileQuestion {
    /// What is looked at against depth: a quantity or a column of numbers.
    pub value: String,
    /// Up to which value wood counts as sound.
    pub threshold: ThresholdChoice,
    /// Form of the sections; `None` for the one whose sizes are given.
    pub section: Option<SectionForm>,
    /// The model; `None` for the one with the smallest AICc.
    pub model: Option<DepthModel>,
    /// Which pieces; `None` for all.
    pub condition: Option<String>,
    /// Profiles that are drawn again for each timber; none at 0.
    pub replicates: usize,
}

impl ProfileQuestion {
    /// Residual basic density with the usual threshold, the model chosen, 500 draws.
    #[must_use]
    pub fn usual() -> Self {
        Self {
            value: Quantity::ResidualBasicDensity.name().to_owned(),
            threshold: ThresholdChoice::Usual,
            section: None,
            model: None,
            condition: None,
            replicates: 500,
        }
    }
}

/// Assesses a batch and looks at each timber in depth.
///
/// # Errors
/// As [`assess`] and [`profile_assessed`].
pub fn profile(study: &Study, batch: Batch, question: &ProfileQuestion, watch: &Watch<'_>) -> Result<Profiles> {
    let mut study = study.clone();
    study.options.parts_of.extend(Quantity::of_name(question.value.trim()));
    profile_assessed(&study, &assess(&study, batch, watch)?, question, watch)
}

/// Looks at each timber of an assessment in depth.
///
/// Where the uncertainty of the quantity by origin was not kept ([`StateOptions::parts_of`](crate::state::StateOptions::parts_of)),
/// the uncertainty of single increments is unknown here.
///
/// # Errors
/// [`ErrorKind::Name`] for a column that does not exist or holds no numbers, [`ErrorKind::Condition`] with the place of a
/// fault in the condition, [`ErrorKind::Quantity`] for a threshold that cannot be read, [`ErrorKind::Range`] where no piece
/// has depth and value, and a stop asked for through `watch`, unless it keeps what is done.
pub fn profile_assessed(
    study: &Study,
    assessment: &Assessment,
    question: &ProfileQuestion,
    watch: &Watch<'_>,
) -> Result<Profiles> {
    let pieces = Pieces::of(assessment);
    let names = pieces.names();
    let (name, unit) = number(&names, &question.value)?;
    let value = Axis { title: title(&name), name, unit: unit.to_owned() };
    let condition = question.condition.as_ref().map(|text| Condition::parse(text, &names)).transpose()?;
    let (kept, chosen) = kept(&pieces, condition.as_ref(), Reference::shipped()?);
    let mut choices = assessment.choices.clone();
    choices.extend(chosen);
    let side = degraded(&value.name, is_mechanic(&value.name));
    let GatheredDepths { timbers, left_out } = gather(assessment, &pieces, &kept, &value.name, question.section);
    if timbers.is_empty() {
        return Err(nothing(&pieces, &kept, &value));
    }
    let thresholds = Thresholds::new(study, &value, side.unwrap_or(Degraded::Below), &question.threshold)?;
    let propagation = &study.options.propagation;
    let one = |(timber, found): (&String, &TimberIncrements)| -> Result<TimberDepth> {
        let first = found.places.first().and_then(|place| assessment.samples.view(*place));
        let taxon = first.and_then(PieceView::taxon).filter(|taxon| {
            let same = |place: &usize| assessment.samples.view(*place).and_then(PieceView::taxon) == Some(*taxon);
            found.places.iter().all(same)
        });
        let used = assessment.references.iter().find(|used| Some(used.taxon.as_str()) == taxon);
        let is_in_scope = found
            .places
            .iter()
            .all(|place| assessment.samples.view(*place).is_some_and(|view| view.class_label().is_some()));
        let threshold = match side {
            Some(_) => thresholds.of(used.map(|used| used.basic_density), is_in_scope)?,
            None => Err(format!("it is not known on which side of {} wood is degraded", value.title)),
        };
        let options = ProfileOptions {
            // Where nobody knows which side is degraded there is no soft rim, and levels take the side that fits better.
            degraded: side.map_or_else(|| closer(&found.increments), Ok)?,
            threshold: threshold.as_ref().ok().map(|threshold| threshold.value),
            section: found.section.clone(),
            model: question.model,
            coverage: propagation.coverage,
            replicates: question.replicates,
            seed: propagation.seed,
        };
        let options = match question.model {
            Some(model) if model.n_parameters() > found.increments.len() => ProfileOptions { model: None, ..options },
            _ => options,
        };
        let profile = depth_profile(&found.increments, &options, watch)?;
        let what = Shown {
            study,
            assessment,
            pieces: &pieces,
            value: &value,
            found,
            options: &options,
            is_in_scope,
            has_side: side.is_some(),
            watch,
        };
        shown(&what, timber, taxon, threshold, &profile)
    };
    let items: Vec<(&String, &TimberIncrements)> = timbers.iter().collect();
    let profiles = map_watched(study.read.n_threads(), items, "timbers in depth", watch, one)?;
    Ok(Profiles {
        schema_version: SCHEMA_VERSION,
        kind: "profile",
        program: Program::this(),
        source: SourceTable::of(&assessment.batch),
        settings: assessment.settings.clone(),
        counts: assessment.counts,
        choices,
        value,
        stopped: Stopped::of(profiles.len(), timbers.len()),
        replicates: question.replicates,
        without: without(assessment, &pieces, &kept, &timbers),
        notes: notes(&profiles),
        cautions: DepthLegend::of(&profiles),
        profiles,
        left_out,
        findings: assessment.findings.clone(),
        sources: assessment.sources.clone(),
    })
}

/// The side on which a curve that never turns lies closer to the increments.
fn closer(increments: &[Increment]) -> Result<Degraded> {
    let squares = |side| -> Result<f64> {
        let of = |tread: &Tread| (tread.depth[1] - tread.depth[0]) * (tread.measured - tread.level).powi(2);
        Ok(monotone_depth(increments, side)?.iter().map(of).sum())
    };
    Ok(if squares(Degraded::Above)? < squares(Degraded::Below)? { Degraded::Above } else { Degraded::Below })
}

/// The error where no piece can be used: how many have which number.
fn nothing(pieces: &Pieces<'_>, kept: &[usize], value: &Axis) -> Error {
    let has = |name: &str, place: usize| matches!(pieces.datum(name, place), Datum::Number(_));
    let count = |name: &str| kept.iter().filter(|place| has(name, **place)).count();
    let deep = count("depth_to").min(count("depth_from"));
    Error::new(ErrorKind::Range {
        name: format!("number of pieces with a depth and {}", value.name),
        value: 0.0,
        allowed: format!(
            "at least 1; of {} pieces {deep} have a depth, {} have {}",
            kept.len(),
            count(&value.name),
            value.name
        ),
    })
    .with_hint("fill in depth_from and depth_to, or name another quantity with --value")
}

/// Timbers of the pieces that are looked at, and where all are looked at those without pieces, that have no profile.
fn without(
    assessment: &Assessment,
    pieces: &Pieces<'_>,
    kept: &[usize],
    in_depth: &BTreeMap<String, TimberIncrements>,
) -> Vec<String> {
    let is_whole = kept.len() == pieces.n();
    let named: BTreeSet<&str> = kept.iter().filter_map(|place| pieces.timber(*place)).collect();
    let names = assessment.timbers.iter().map(|timber| timber.timber.as_str());
    let left = names.filter(|name| (is_whole || named.contains(name)) && !in_depth.contains_key(*name));
    left.map(str::to_owned).collect()
}

/// How the numbers are to be read.
fn notes(profiles: &[TimberDepth]) -> Vec<String> {
    let mut notes = Vec::new();
    let mut say = |is: bool, text: &str| {
        if is {
            notes.push(text.to_owned());
        }
    };
    say(true, "An increment is the mean over its thickness, and is fitted as such.");
    say(
        profiles.iter().any(|profile| profile.soft_rim.is_some()),
        "\"By increments\" needs no curve: if wood is better preserved the deeper it lies, the soft rim ends between these depths.",
    );
    say(
        profiles.iter().any(|profile| profile.threshold.as_ref().is_some_and(|one| one.reason.contains("proposal"))),
        "The limit of sound wood is a proposal of ours; nobody published one. State your own with --threshold, such as \
         --threshold \"60 %\".",
    );
    say(
        profiles.iter().any(|profile| profile.sound_core.is_some()),
        "The proportion of sound to degraded material is what McConnachie, Eaton and Jones 2008 (e-Preservation Science 5, 29-35) \
         propose to judge a timber by; they publish no limit for it that we could read.",
    );
    say(
        profiles.iter().any(|profile| profile.sound_core.is_some()),
        "The rim is taken to run round the section at one depth. Means over the whole section are for the mass of a timber, not \
         for its state.",
    );
    notes
}
