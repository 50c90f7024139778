//! `depth-profile`: a value against depth, downwards, core by core.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::Serialize;

use crate::error::Result;
use crate::figure::markup::axis_title;
use crate::figure::{
    At, Bars, Datum, Figure, FigureAxis, FigureChoice, FigureData, Frame, Key, KeyMark, Layer, Paint, Panel, Stamp,
    Woods,
};
use crate::study::{Assessment, Axis, PieceRow, PieceRows, Profiles, TimberDepth};

use super::caption::{counted, joined, left_out, pieces, squares, without_bars};
use super::gather::{Gathered, Wanted, counted_order, missing};

/// A timber in depth, as numbers: what was measured, and what was fitted to it where that was done.
#[derive(Debug, Clone, Default, PartialEq, Serialize, JsonSchema)]
pub struct DepthProfile {
    /// Its name.
    pub timber: String,
    /// Its cores.
    pub cores: Vec<DepthCore>,
    /// Kinds of wood by depth, such as sapwood.
    pub zones: Vec<DepthZoneSpan>,
    /// A curve through the increments.
    pub curve: Option<DepthCurve>,
    /// How deep the soft rim reaches, mm.
    pub rim: Option<SoftRim>,
}

/// A core of a timber.
#[derive(Debug, Clone, Default, PartialEq, Serialize, JsonSchema)]
pub struct DepthCore {
    /// Its name; empty where it has none.
    pub name: String,
    /// Where each increment begins and ends, mm.
    pub spans: Vec<[f64; 2]>,
    /// Its value.
    pub values: Vec<f64>,
    /// One standard uncertainty of it; `None` where unknown.
    pub u: Vec<Option<f64>>,
}

/// A stretch of one kind of wood.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct DepthZoneSpan {
    /// From and to, mm.
    pub span: [f64; 2],
    /// The kind of wood.
    pub wood: String,
}

/// A curve against depth.
#[derive(Debug, Clone, Default, PartialEq, Serialize, JsonSchema)]
pub struct DepthCurve {
    /// Depth, mm.
    pub depth: Vec<f64>,
    /// The curve.
    pub value: Vec<f64>,
    /// Its band, one pair a depth; none at all where unknown.
    pub band: Vec<[f64; 2]>,
}

/// How deep the soft rim reaches.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct SoftRim {
    /// Depth, mm.
    pub depth: f64,
    /// Interval of that depth, mm; `None` where unknown.
    pub interval: Option<[f64; 2]>,
}

/// Timbers that are drawn where nobody chooses.
const MOST_TIMBERS: usize = 9;

/// A value against depth, a panel a timber, a series a core; each increment is drawn over the stretch that it was cut from.
///
/// Without a value it is the maximum water content. Where there are more than nine timbers, those with the most increments are
/// drawn, and the others are counted.
///
/// # Errors
/// [`ErrorKind::Content`](crate::error::ErrorKind::Content) where no piece has a depth, a timber and the value, and what
/// [`piece_rows`](crate::study::piece_rows) refuses.
pub fn depth_profile(assessment: &Assessment, choice: &FigureChoice) -> Result<Figure> {
    drawn(assessment, None, choice)
}

/// The same with the curve of each timber and the depth of its soft rim, where `profile` found them.
///
/// # Errors
/// As [`depth_profile`].
pub fn depth_profile_fitted(assessment: &Assessment, profiles: &Profiles, choice: &FigureChoice) -> Result<Figure> {
    drawn(assessment, Some(profiles), choice)
}

fn drawn(assessment: &Assessment, fitted: Option<&Profiles>, choice: &FigureChoice) -> Result<Figure> {
    let value = choice.value.first().map_or("max_water_content", String::as_str);
    let wanted = Wanted { kind: "depth-profile", values: vec![value], by: &[] };
    let choice = FigureChoice { by: Vec::new(), panels: None, ..choice.clone() };
    let gathered = Gathered::of(assessment, &choice, &wanted)?;
    let rows = &gathered.rows.rows;
    let mut timbers: BTreeMap<&str, Vec<&PieceRow>> = BTreeMap::new();
    for row in rows.iter().filter(|row| row.values[0].is_some() && span(row).is_some()) {
        if let Some(timber) = row.timber.as_deref() {
            timbers.entry(timber).or_default().push(row);
        }
    }
    if timbers.is_empty() {
        let what = format!("depth_from, depth_to and timber, and {value}");
        return Err(missing(assessment, &wanted, &what));
    }
    let n_timbers = timbers.len();
    let mut by_size: Vec<(&str, Vec<&PieceRow>)> = timbers.into_iter().collect();
    by_size.sort_by_key(|(_, rows)| std::cmp::Reverse(rows.len()));
    by_size.truncate(MOST_TIMBERS);
    by_size.sort_by_key(|(timber, _)| counted_order(timber));
    let shown: Vec<&PieceRow> = by_size.iter().flat_map(|(_, rows)| rows.iter().copied()).collect();
    let of_timber = |(timber, rows): &(&str, Vec<&PieceRow>)| {
        let found = fitted.and_then(|fitted| fitted.profiles.iter().find(|found| found.timber == *timber));
        DepthProfile { curve: found.and_then(curve), rim: found.and_then(rim), ..profile(timber, rows) }
    };
    let profiles: Vec<DepthProfile> = by_size.iter().map(of_timber).collect();
    let lacking = rows.iter().filter(|row| row.values[0].is_none()).count();
    let without =
        rows.iter().filter(|row| row.values[0].is_some() && (span(row).is_none() || row.timber.is_none())).count();
    let others = format!(
        "of {} with fewer increments (choose them with a condition)",
        counted(n_timbers - by_size.len(), "timber")
    );
    let not_shown = left_out(&[
        (rows.len() - shown.len() - lacking - without, others.as_str()),
        (without, "without depth or timber"),
        (lacking, "of which the value is unknown"),
    ]);
    let mut figure = depth_profile_of(&profiles, &gathered.rows.columns[0]);
    figure.caption = joined([figure.caption.as_str(), &sound(fitted, &profiles), &no_curve(fitted, &profiles)]);
    let counts = pieces(shown.len(), PieceRows::n_timbers(shown.iter().copied()), 0);
    figure.caption = joined([figure.caption.as_str(), &counts, &not_shown]);
    figure.data = data(&gathered.rows.columns[0], &shown);
    Ok(figure.recounted())
}

/// A value against depth from plain numbers, with curves and soft rims where they are given.
#[must_use]
pub fn depth_profile_of(profiles: &[DepthProfile], value: &Axis) -> Figure {
    let cores = || profiles.iter().flat_map(|profile| &profile.cores);
    let values: Vec<f64> = cores().flat_map(|core| core.values.iter().copied()).collect();
    let bars: Vec<Option<[f64; 2]>> = cores().flat_map(bars).collect();
    let curves = profiles.iter().filter_map(|profile| profile.curve.as_ref());
    let drawn: Vec<f64> = values.iter().copied().chain(curves.flat_map(|curve| curve.value.iter().copied())).collect();
    let x = FigureAxis::room_for_bars(&drawn, &bars, true);
    let deepest = cores().flat_map(|core| core.spans.iter().map(|span| span[1])).fold(0.0, f64::max);
    let panel = |profile: &DepthProfile| Panel {
        title: Some(profile.timber.clone()),
        x: FigureAxis::of(axis_title(&value.title, &value.unit), x),
        y: FigureAxis { is_turned: true, ..FigureAxis::of("Depth (mm)", [0.0, deepest * 1.04]) },
        layers: layers(profile),
        frame: Frame::Axes,
        height: if profiles.len() > 2 { 2.0 } else { 1.5 },
    };
    let most = profiles.iter().map(|profile| profile.cores.len()).max().unwrap_or(0);
    let mut legend: Vec<Key> = match most {
        0 | 1 => Vec::new(),
        _ => (0..most)
            .map(|core| Key { name: format!("core {}", core + 1), mark: KeyMark::Step(Stamp::Series(core)) })
            .collect(),
    };
    let mut key = |is: bool, name: &str, mark: KeyMark| {
        if is {
            legend.push(Key { name: name.to_owned(), mark });
        }
    };
    let has_curve = profiles.iter().any(|profile| profile.curve.is_some());
    let has_rim = profiles.iter().any(|profile| profile.rim.is_some());
    key(has_curve, "fitted curve", KeyMark::Line(Stamp::Quiet, true));
    key(has_rim, "depth of the soft rim", KeyMark::Line(Stamp::Others, false));
    for wood in woods(profiles) {
        key(true, &wood, KeyMark::Field(paint(&wood)));
    }
    let unknown = without_bars(&bars);
    let bars = if bars.iter().any(Option::is_some) { Bars::StandardUncertainty } else { Bars::Absent };
    let title = format!("{} against depth", super::caption::capital(&value.title));
    let several = if most > 1 { "Cores of a timber are numbered in the order of their names." } else { "" };
    let caption = joined([
        &format!(
            "{title}, counted downwards from the surface that the file names. Thick strokes are increments, each over the depth that it was cut from."
        ),
        several,
        &bars.sentence(),
        &unknown,
        squares(profiles.iter().map(|profile| profile.timber.as_str())),
    ]);
    let ends = values.iter().fold([f64::INFINITY, f64::NEG_INFINITY], |[a, b], v| [a.min(*v), b.max(*v)]);
    let alternative = format!(
        "{} in depth, {}: {} of increments from {:.0} to {:.0} {}, down to {:.0} mm.",
        counted(profiles.len(), "timber"),
        counted(cores().count(), "core"),
        value.title,
        ends[0],
        ends[1],
        value.unit,
        deepest
    );
    Figure {
        name: "depth-profile".to_owned(),
        title,
        caption,
        alternative,
        bars,
        panels: profiles.iter().map(panel).collect(),
        columns: if profiles.len() == 4 { 2 } else { 3 },
        legend,
        woods: Woods::Nowhere,
        data: FigureData::default(),
    }
}

fn span(row: &PieceRow) -> Option<[f64; 2]> {
    let [from, to] = [row.depth[0]?, row.depth[1]?];
    (from < to).then_some([from, to])
}

fn profile(timber: &str, rows: &[&PieceRow]) -> DepthProfile {
    let mut cores: BTreeMap<&str, DepthCore> = BTreeMap::new();
    let mut sorted: Vec<(&PieceRow, [f64; 2])> = rows.iter().filter_map(|row| Some((*row, span(row)?))).collect();
    sorted.sort_by(|a, b| a.1[0].total_cmp(&b.1[0]));
    for (row, span) in &sorted {
        let Some(value) = row.values[0] else { continue };
        let name = row.core.as_deref().unwrap_or_default();
        let core = cores.entry(name).or_insert_with(|| DepthCore { name: name.to_owned(), ..DepthCore::default() });
        core.spans.push(*span);
        core.values.push(value.value);
        core.u.push(value.u);
    }
    DepthProfile {
        timber: timber.to_owned(),
        cores: cores.into_values().collect(),
        zones: zones(&sorted),
        ..DepthProfile::default()
    }
}

/// The curve of a timber; `None` where there is none.
fn curve(found: &TimberDepth) -> Option<DepthCurve> {
    let points = &found.curve;
    let band: Option<Vec<[f64; 2]>> = points.iter().map(|point| point.interval).collect();
    (!points.is_empty()).then(|| DepthCurve {
        depth: points.iter().map(|point| point.depth).collect(),
        value: points.iter().map(|point| point.value).collect(),
        band: band.unwrap_or_default(),
    })
}

/// The soft rim of a timber; `None` where it has none or its end is not known.
fn rim(found: &TimberDepth) -> Option<SoftRim> {
    let depth = found.soft_rim.as_ref()?.depth.filter(|depth| depth.value > 0.0)?;
    let interval = match depth.interval {
        [Some(low), Some(high)] => Some([low, high]),
        _ => None,
    };
    Some(SoftRim { depth: depth.value, interval })
}

/// From which value wood was called sound, where a rim is shown.
fn sound(fitted: Option<&Profiles>, shown: &[DepthProfile]) -> String {
    let has_rim = |found: &&TimberDepth| shown.iter().any(|one| one.timber == found.timber && one.rim.is_some());
    let limits = fitted.into_iter().flat_map(|fitted| fitted.profiles.iter().filter(has_rim));
    let mut said: Vec<String> = limits
        .filter_map(|found| found.threshold.as_ref())
        .map(|limit| format!("{:.4} {} ({})", limit.value, limit.unit, limit.reason).replace(".0000", ""))
        .collect();
    said.sort();
    said.dedup();
    match said.as_slice() {
        [] => String::new(),
        [one] => format!("The soft rim ends where the curve passes {one}; its ground is an interval."),
        _ => {
            "The soft rim ends where the curve passes the limit of sound wood of its taxon; its ground is an interval."
                .to_owned()
        }
    }
}

/// How many of the timbers shown have no curve.
fn no_curve(fitted: Option<&Profiles>, shown: &[DepthProfile]) -> String {
    let without = shown.iter().filter(|profile| profile.curve.is_none()).count();
    match without {
        _ if fitted.is_none() => String::new(),
        0 => "Curves are fitted to means over increments; bands come from draws.".to_owned(),
        n if n == shown.len() => "Too few increments for curves.".to_owned(),
        n => format!(
            "Curves are fitted to means over increments, bands come from draws; {} too few increments for a curve.",
            if n == 1 { "1 timber has".to_owned() } else { format!("{n} timbers have") }
        ),
    }
}

/// Stretches of one kind of wood; none where two kinds lie at one depth, since the panel has one ground.
fn zones(sorted: &[(&PieceRow, [f64; 2])]) -> Vec<DepthZoneSpan> {
    let mut zones: BTreeMap<&str, [f64; 2]> = BTreeMap::new();
    for (row, span) in sorted {
        if let Some(wood) = row.wood_zone.as_deref() {
            let zone = zones.entry(wood).or_insert(*span);
            *zone = [zone[0].min(span[0]), zone[1].max(span[1])];
        }
    }
    let overlap = |a: &[f64; 2], b: &[f64; 2]| a[0] < b[1] && b[0] < a[1];
    let is_alone = |wood: &str| zones.iter().all(|(other, span)| *other == wood || !overlap(span, &zones[wood]));
    let alone = zones.keys().filter(|wood| is_alone(wood) && **wood != "heartwood");
    alone.map(|wood| DepthZoneSpan { span: zones[wood], wood: (*wood).to_owned() }).collect()
}

fn paint(wood: &str) -> Paint {
    match wood {
        // Plain grounds are those of bands and rims.
        "sapwood" => Paint::Dotted,
        _ => Paint::Hatched,
    }
}

fn woods(profiles: &[DepthProfile]) -> Vec<String> {
    let mut woods: Vec<String> =
        profiles.iter().flat_map(|profile| &profile.zones).map(|zone| zone.wood.clone()).collect();
    woods.sort();
    woods.dedup();
    woods
}

fn bars(core: &DepthCore) -> impl Iterator<Item = Option<[f64; 2]>> {
    core.values.iter().zip(&core.u).map(|(value, u)| u.map(|u| [value - u, value + u]))
}

fn layers(profile: &DepthProfile) -> Vec<Layer> {
    let mut layers: Vec<Layer> = profile
        .zones
        .iter()
        .map(|zone| Layer::Stretch { paint: paint(&zone.wood), span: zone.span, label: String::new() })
        .collect();
    if let Some(span) = profile.rim.and_then(|rim| rim.interval) {
        layers.push(Layer::Stretch { paint: Paint::Mist, span, label: String::new() });
    }
    if let Some(curve) = &profile.curve {
        if !curve.band.is_empty() {
            layers.push(Layer::SideBand {
                paint: Paint::PaleGrey,
                y: curve.depth.clone(),
                low: curve.band.iter().map(|ends| ends[0]).collect(),
                high: curve.band.iter().map(|ends| ends[1]).collect(),
            });
        }
        layers.push(Layer::Line { stamp: Stamp::Quiet, x: curve.value.clone(), y: curve.depth.clone() });
    }
    if let Some(rim) = profile.rim {
        layers.push(Layer::Rule { stamp: Stamp::Others, at: At::Y(rim.depth) });
    }
    layers.extend(profile.cores.iter().enumerate().map(|(series, core)| Layer::Steps {
        stamp: Stamp::Series(series),
        spans: core.spans.clone(),
        values: core.values.clone(),
        bars: bars(core).collect(),
    }));
    layers
}

fn data(value: &Axis, rows: &[&PieceRow]) -> FigureData {
    let Axis { name, unit, .. } = value;
    let columns = vec![
        "timber".to_owned(),
        "core_id".to_owned(),
        "sample".to_owned(),
        "wood_zone".to_owned(),
        "depth_from [mm]".to_owned(),
        "depth_to [mm]".to_owned(),
        format!("{name} [{unit}]"),
        format!("u({name}) [{unit}]"),
    ];
    let row = |row: &&PieceRow| {
        let text = |text: &Option<String>| Datum::text(text.as_deref());
        vec![
            text(&row.timber),
            text(&row.core),
            text(&row.sample),
            text(&row.wood_zone),
            Datum::number(row.depth[0]),
            Datum::number(row.depth[1]),
            Datum::number(row.values[0].map(|value| value.value)),
            Datum::number(row.values[0].and_then(|value| value.u)),
        ]
    };
    FigureData { columns, rows: rows.iter().map(row).collect() }
}
