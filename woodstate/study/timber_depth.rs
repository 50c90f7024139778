//! One timber in depth, from numbers to what is said of it.

use crate::error::{DepthCautionCode, Result};
use crate::numeric::Watch;
use crate::profile::{DepthModel, DepthProfile, Drawn, Increment, ProfileOptions, RimDepth, Section, section_weights};
use crate::quantity::Quantity;
use crate::state::{ClassReading, Doubt, PieceView};

use super::curve::{Axis, ComparedModel};
use super::depth::{
    BetweenCores, CoreDepth, DepthLevel, DepthNumber, DepthPoint, DepthThreshold, IncrementValue, PartState, PartValue,
    ProfileBreak, ProfileParameter, SoftRimDepth, SoundCore, TimberDepth, TimberSection,
};
use super::depth_meaning;
use super::increments::{TimberIncrements, increment};
use super::piece::Pieces;
use super::{Assessment, Study};

/// Depths at which a curve is given.
const POINTS: u32 = 41;

/// Quantities of which means are taken over parts of a section.
const MEANS: [Quantity; 4] =
    [Quantity::MaxWaterContent, Quantity::BasicDensity, Quantity::ResidualBasicDensity, Quantity::LossOfWoodSubstance];

/// What a timber is shown from.
pub(super) struct Shown<'a> {
    pub(super) study: &'a Study,
    pub(super) assessment: &'a Assessment,
    pub(super) pieces: &'a Pieces<'a>,
    pub(super) value: &'a Axis,
    pub(super) found: &'a TimberIncrements,
    pub(super) options: &'a ProfileOptions,
    /// Whether the class scheme is made for its pieces.
    pub(super) is_in_scope: bool,
    /// Whether it is known on which side of the scale wood is degraded.
    pub(super) has_side: bool,
    pub(super) watch: &'a Watch<'a>,
}

pub(super) fn shown(
    what: &Shown<'_>,
    timber: &str,
    taxon: Option<&str>,
    threshold: std::result::Result<DepthThreshold, String>,
    profile: &DepthProfile,
) -> Result<TimberDepth> {
    let Shown { options, found, value, .. } = what;
    let fit = profile.fit();
    let model = fit.map(|fit| fit.shape.model);
    let border = profile.border(options);
    let deepest = profile.range[1];
    let middle = options.section.as_ref().map_or(deepest, Section::deepest);
    let rim_end = border.unwrap_or(middle).min(middle);
    let has_threshold = options.threshold.is_some();
    let rim = if has_threshold && rim_end > 0.0 { what.part([0.0, rim_end], border.is_none(), true)? } else { None };
    let core = match border.filter(|_| has_threshold && rim_end < middle) {
        Some(border) => what.part([border, middle], true, true)?,
        None => None,
    };
    let mut cautions = found.cautions.clone();
    for caution in &profile.cautions {
        // The reason why a section is unknown was said where it was looked for.
        let is_told = what.has_side || caution.of != DepthCautionCode::NotMonotone;
        if is_told && cautions.iter().all(|said| said.of != caution.of) {
            cautions.push(caution.clone());
        }
    }
    let mut shown = TimberDepth {
        timber: timber.to_owned(),
        taxon: taxon.map(str::to_owned),
        meaning: Vec::new(),
        n: profile.n,
        cores: what.cores(profile),
        depth: Some(profile.range),
        model: model.map(DepthModel::word),
        formula: model.map(DepthModel::formula),
        reason: depth_meaning::reason(profile, options),
        compared: compared(profile),
        parameters: parameters(profile, options, &value.unit),
        break_depth: found_break(profile),
        curve: curve(profile, options, what.watch)?,
        levels: profile.treads.iter().map(level).collect(),
        threshold: threshold.as_ref().ok().cloned(),
        soft_rim: soft_rim(profile),
        section: options.section.as_ref().map(section),
        sound_core: sound_core(profile, options),
        rim,
        core,
        whole: what.part([0.0, middle], true, false)?,
        between_cores: between(profile, &value.unit),
        cautions,
    };
    shown.meaning = depth_meaning::of_timber(&shown, value, threshold.err());
    Ok(shown)
}

impl Shown<'_> {
    /// The mean state of a part of the section; `None` where no increment lies in it.
    fn part(&self, depth: [f64; 2], to_middle: bool, is_zone: bool) -> Result<Option<PartState>> {
        let section = self.options.section.as_ref();
        let Some(weights) = section_weights(&self.found.increments, section, depth, to_middle)? else {
            return Ok(None);
        };
        let coverage = self.options.coverage;
        let (mut values, mut class) = (Vec::new(), None);
        let scheme = &self.study.options.scheme;
        // Water content is a share of dry mass: over rim and core together its mean by volume says nothing.
        let wanted = MEANS.into_iter().filter(|quantity| is_zone || *quantity != Quantity::MaxWaterContent);
        for quantity in wanted {
            let of = |place: &usize| -> Option<Increment> {
                let view = self.assessment.samples.view(*place)?;
                increment(self.pieces, view, *place, quantity.name())
            };
            let increments: Option<Vec<Increment>> = self.found.places.iter().map(of).collect();
            let Some(mut increments) = increments else { continue };
            for (increment, model) in increments.iter_mut().zip(&self.found.increments) {
                (increment.core, increment.face) = (model.core, model.face);
            }
            let mean = weights.mean_of(&increments)?;
            let interval = mean.interval(coverage)?;
            if is_zone && self.is_in_scope && scheme.quantity == quantity.name() {
                let options = &self.study.options;
                let doubt = match mean.u.filter(|_| mean.n_cores > 1) {
                    Some(u) => Doubt::Student(u, mean.freedom),
                    None => Doubt::Unknown,
                };
                let mut reading = ClassReading::of(scheme, mean.value, doubt, options.boundary, options.decided_at)?;
                if reading.probability.is_none() {
                    reading.reason = Some("probability not stated: it needs the scatter between cores".to_owned());
                }
                class = Some(reading);
            }
            let interval = interval.map_or([None; 2], |ends| ends.map(Some));
            let mean = DepthNumber { value: mean.value, u: mean.u, interval, unit: quantity.spec().unit };
            values.push(PartValue { quantity: quantity.name(), mean });
        }
        if is_zone && class.is_none() {
            let reason = if self.is_in_scope {
                format!("{} is unknown", scheme.quantity)
            } else {
                "not every piece has a class reading".to_owned()
            };
            class = Some(ClassReading::none(scheme, reason));
        }
        let share = section.map(|section| {
            100.0 * (section.share_deeper(depth[0]) - section.share_deeper(depth[1].min(section.deepest())))
        });
        let mut used: Vec<usize> = self
            .found
            .increments
            .iter()
            .zip(&weights.weights)
            .filter(|(_, weight)| **weight > 0.0)
            .map(|(increment, _)| increment.core)
            .collect();
        used.sort_unstable();
        used.dedup();
        let covered = 100.0 * weights.covered;
        Ok(Some(PartState { depth, share, covered, n_cores: used.len(), values, degradation_class: class }))
    }

    fn cores(&self, profile: &DepthProfile) -> Vec<CoreDepth> {
        let of_core = |(number, (core, face)): (usize, &(Option<String>, Option<String>))| {
            let all = self.found.places.iter().zip(&self.found.increments);
            let mut increments: Vec<IncrementValue> = all
                .filter(|(_, increment)| increment.core == number)
                .map(|(place, increment)| {
                    let shared: f64 = increment.shared.iter().map(|part| part * part).sum();
                    IncrementValue {
                        sample: self.assessment.samples.view(*place).and_then(PieceView::sample).map(str::to_owned),
                        depth: increment.depth,
                        value: increment.value,
                        u: increment.u.map(|own| (own * own + shared).sqrt()),
                    }
                })
                .collect();
            increments.sort_by(|a, b| a.depth[0].total_cmp(&b.depth[0]).then(a.depth[1].total_cmp(&b.depth[1])));
            let rim = profile.rim.as_ref();
            let rim_between = rim.and_then(|rim| rim.by_core.iter().find(|(core, _)| *core == number));
            CoreDepth {
                core: core.clone(),
                face: face.clone(),
                increments,
                rim_between: rim_between.map(|(_, between)| *between),
            }
        };
        let mut cores: Vec<CoreDepth> = self.found.cores.iter().enumerate().map(of_core).collect();
        cores.sort_by(|a, b| a.core.cmp(&b.core).then_with(|| a.face.cmp(&b.face)));
        cores
    }
}

fn compared(profile: &DepthProfile) -> Vec<ComparedModel> {
    let one = |entry: &crate::profile::Considered| ComparedModel {
        model: entry.model.word(),
        aicc: entry.aicc,
        weight: entry.weight,
        reason: entry.reason.map(crate::profile::NotWeighed::reason),
    };
    profile.choice.considered.iter().map(one).collect()
}

fn parameters(profile: &DepthProfile, options: &ProfileOptions, unit: &str) -> Vec<ProfileParameter> {
    let Some(fit) = profile.fit() else { return Vec::new() };
    let one = |(place, parameter): (usize, &crate::profile::DepthParameter)| ProfileParameter {
        name: parameter.name,
        meaning: parameter.meaning,
        value: fit.shape.parameters[place],
        u: fit.u[place],
        interval: profile
            .draws
            .as_ref()
            .map_or([None; 2], |draws| draws.parameter(fit.shape.model, place, options.coverage).interval),
        unit: parameter.unit.of(unit),
    };
    fit.shape.model.parameters().iter().enumerate().map(one).collect()
}

fn found_break(profile: &DepthProfile) -> Option<ProfileBreak> {
    let found = profile.break_depth.as_ref()?;
    let ends = |range: &crate::profile::BreakRange| {
        [(!range.is_open_low).then_some(range.low), (!range.is_open_high).then_some(range.high)]
    };
    Some(ProfileBreak {
        depth: found.depth,
        intervals: found.ranges.iter().map(ends).collect(),
        drawn: profile.break_drawn.map(|drawn| drawn.interval),
        unit: "mm",
    })
}

fn curve(profile: &DepthProfile, options: &ProfileOptions, watch: &Watch<'_>) -> Result<Vec<DepthPoint>> {
    let Some(fit) = profile.fit() else { return Ok(Vec::new()) };
    let mut depths: Vec<f64> =
        (0..POINTS).map(|place| profile.range[1] * f64::from(place) / f64::from(POINTS - 1)).collect();
    if let (DepthModel::Step, Some(found)) = (fit.shape.model, &profile.break_depth) {
        // Both sides of the border, so that a line through the points is as sharp as the step.
        depths.extend([found.depth * (1.0 - 1e-9), found.depth]);
        depths.sort_by(f64::total_cmp);
    }
    let at = |depth: f64| {
        watch.go_on()?;
        let drawn = profile.draws.as_ref().map(|draws| draws.of(options.coverage, |shape| shape.at(depth)).interval);
        let interval = match drawn {
            Some([Some(low), Some(high)]) => Some([low, high]),
            _ => None,
        };
        Ok(DepthPoint { depth, value: fit.shape.at(depth), interval })
    };
    depths.into_iter().map(at).collect()
}

fn level(tread: &crate::profile::Tread) -> DepthLevel {
    DepthLevel { depth: tread.depth, measured: tread.measured, level: tread.level }
}

fn soft_rim(profile: &DepthProfile) -> Option<SoftRimDepth> {
    let rim = profile.rim.as_ref()?;
    let (end, depth) = match rim.depth {
        None if rim.between[1].is_none() => ("beyond_cores", None),
        None => ("no_curve", None),
        Some(RimDepth::NoRim) => ("none", Some(0.0)),
        Some(RimDepth::At(depth)) => ("found", Some(depth)),
        Some(RimDepth::Beyond(_)) => ("beyond_cores", None),
    };
    let number = |value: f64| {
        let Drawn { u, interval } = rim.drawn.unwrap_or(Drawn { u: None, interval: [None; 2] });
        DepthNumber { value, u: spread(u), interval, unit: "mm" }
    };
    Some(SoftRimDepth { end, depth: depth.map(number), between: rim.between, reached: rim.reached })
}

fn section(section: &Section) -> TimberSection {
    let sizes = match section {
        Section::Round { diameter } => vec![*diameter],
        Section::Rectangular { width, height } => vec![*width, *height],
        Section::Polygon(_) => Vec::new(),
    };
    TimberSection { form: section.word(), sizes, area: section.area(), middle: section.deepest() }
}

/// Draws that all say the same, at the end of a scale, do not make a number exact.
fn spread(u: Option<f64>) -> Option<f64> {
    u.filter(|u| *u > 0.0)
}

/// What is left inside the rim, and how far that is known from the draws of its depth.
fn sound_core(profile: &DepthProfile, options: &ProfileOptions) -> Option<SoundCore> {
    let section = options.section.as_ref()?;
    let rim = profile.rim.as_ref()?;
    let depth = match rim.depth? {
        RimDepth::NoRim => 0.0,
        RimDepth::At(depth) => depth,
        RimDepth::Beyond(_) => return None,
    };
    let drawn = |number: &dyn Fn(f64) -> f64| {
        let ends = rim.drawn.map_or([None; 2], |drawn| drawn.interval);
        // Deep rims leave little: the ends change places, and a rim whose end was not reached may leave nothing.
        [ends[1].map(number), ends[0].map(number)]
    };
    let u_of = |number: &dyn Fn(f64) -> f64| {
        let u = rim.drawn.and_then(|drawn| drawn.u)?;
        spread(Some((number((depth - u).max(0.0)) - number(depth + u)) / 2.0))
    };
    let sizes = section.sizes_inside(depth);
    let size = |(place, value): (usize, &f64)| {
        let of = |depth: f64| section.sizes_inside(depth).get(place).copied().unwrap_or(0.0);
        DepthNumber { value: *value, u: u_of(&of), interval: drawn(&of), unit: "mm" }
    };
    let share = |depth: f64| 100.0 * section.share_deeper(depth);
    Some(SoundCore {
        sizes: sizes.iter().enumerate().map(size).collect(),
        share: DepthNumber { value: share(depth), u: u_of(&share), interval: drawn(&share), unit: "%" },
    })
}

fn between(profile: &DepthProfile, unit: &str) -> Option<BetweenCores> {
    let scatter = profile.scatter.as_ref()?;
    Some(BetweenCores {
        n_cores: scatter.n_cores,
        between: scatter.between,
        within: scatter.within,
        probability: scatter.probability,
        unit: unit.to_owned(),
        meaning: depth_meaning::of_cores(scatter),
    })
}
