//! `class-shares`: shares of the classes by group, with what has no class shown apart.

use crate::error::Result;
use crate::figure::{
    Bars, Datum, Figure, FigureAxis, FigureChoice, FigureData, Frame, Key, KeyMark, Layer, Paint, Panel, Woods, real,
};
use crate::site::{ClassStanding, Classes};
use crate::study::{Assessment, PieceRows};

use super::caption::{capital, joined, squares};
use super::gather::{Gathered, Wanted, missing};

/// What has no class, in the order in which it is drawn.
const WITHOUT: [(&str, Paint); 2] =
    [("outside the scope of the scheme", Paint::Dotted), ("no class reading", Paint::Empty)];

/// Shares of the classes by group, of the pieces inside the scope of the scheme that have a class reading, decided or not;
/// how many pieces that are, and how many have none, stand in a panel beside.
///
/// Groups are those of `by`, without it the depth zones.
///
/// # Errors
/// [`ErrorKind::Content`](crate::error::ErrorKind::Content) where no piece has a class reading, and what
/// [`piece_rows`](crate::study::piece_rows) refuses.
pub fn class_shares(assessment: &Assessment, choice: &FigureChoice) -> Result<Figure> {
    let wanted = Wanted { kind: "class-shares", values: vec!["max_water_content"], by: &["depth_zone"] };
    let choice = FigureChoice { panels: None, ..choice.clone() };
    let gathered = Gathered::of(assessment, &choice, &wanted)?;
    let all: Vec<usize> = (0..gathered.rows.rows.len()).collect();
    let groups = gathered.groups(&all);
    let counted = |(name, places): &(String, Vec<usize>)| {
        let standing: Vec<ClassStanding> = places.iter().map(|place| gathered.row(*place).class.clone()).collect();
        let classes = Classes::of(&standing, &gathered.rows.classes, gathered.rows.coverage)?;
        let timbers = PieceRows::n_timbers(places.iter().map(|place| gathered.row(*place)));
        Ok((name.clone(), classes, places.len(), timbers))
    };
    let groups: Vec<(String, Classes, usize, usize)> = groups.iter().map(counted).collect::<Result<_>>()?;
    let n: usize = groups.iter().map(|(_, classes, ..)| classes.n).sum();
    if n == 0 {
        let what = "a taxon inside the scope of the scheme, and what a water content comes from (mass_saturated and mass_oven_dry)";
        return Err(missing(assessment, &wanted, what));
    }
    let names: Vec<String> = groups.iter().map(|(name, ..)| name.clone()).collect();
    let beside = groups.iter().map(|(.., n, timbers)| format!("{n} ({timbers})")).collect();
    let shares = Panel {
        title: None,
        x: FigureAxis::of("Share of pieces with a class reading (%)", [0.0, 100.0]),
        y: FigureAxis::of_names(names.clone(), Vec::new(), ""),
        layers: groups.iter().enumerate().flat_map(|(row, (_, classes, ..))| stack(row, classes)).collect(),
        frame: Frame::Axes,
        height: 1.0,
    };
    let most = groups.iter().map(|(.., n, _)| *n).max().unwrap_or(1);
    let counts = Panel {
        x: FigureAxis::of("Number of pieces", [0.0, real(most) * 1.02]),
        y: FigureAxis::of_names(names.clone(), beside, "n (timbers)"),
        layers: groups.iter().enumerate().flat_map(|(row, (_, classes, ..))| numbers(row, classes)).collect(),
        ..shares.clone()
    };
    let n_classes = gathered.rows.classes.len();
    let class = |(place, label): (usize, &String)| Key {
        name: format!("class {label}"),
        mark: KeyMark::Field(paint(place, n_classes)),
    };
    let mut legend: Vec<Key> = gathered.rows.classes.iter().enumerate().map(class).collect();
    let mut key = |name: &str, paint| legend.push(Key { name: name.to_owned(), mark: KeyMark::Field(paint) });
    key("not decided", Paint::Hatched);
    key("with a class reading", Paint::PaleGrey);
    WITHOUT.iter().for_each(|(name, paint)| key(name, *paint));
    let settings = &assessment.settings;
    let (outside, unread) = groups.iter().fold((0, 0), |(outside, unread), (_, classes, ..)| {
        (outside + classes.out_of_scope, unread + classes.unread + classes.scope_unknown)
    });
    let caption = joined([
        &format!(
            "Degradation classes by {}, scheme {}: {}.",
            gathered.by_words(&choice),
            settings.scheme_title,
            settings.scheme_limits
        ),
        "Left: shares of the pieces that lie inside the scope of the scheme and have a class reading, decided or not; a class is \
         decided where its probability reaches the stated one. Right: how many pieces these are, and how many have no class.",
        &gathered.counts(&all),
        &format!(
            "{n} have a class reading, {outside} lie outside the scope of the scheme, {unread} have no reading or unknown wood."
        ),
        "Pieces of one timber are not independent.",
        &Bars::Absent.sentence(),
        squares(names.iter().map(String::as_str)),
    ]);
    let told = groups.iter().map(|(name, classes, ..)| {
        let shares = classes.shares.iter().map(|share| {
            let class = share.class.as_deref().map_or("not decided".to_owned(), |class| format!("class {class}"));
            format!("{class} {:.0} %", share.share.unwrap_or_default() * 100.0)
        });
        format!("{name}: {}", shares.collect::<Vec<_>>().join(", "))
    });
    let alternative =
        format!("Stacked shares of degradation classes. {}.", told.take(12).collect::<Vec<_>>().join("; "));
    Ok(Figure {
        name: wanted.kind.to_owned(),
        title: format!("Shares of degradation classes by {}", gathered.by_words(&choice)),
        caption,
        alternative: capital(&alternative),
        bars: Bars::Absent,
        panels: vec![shares, counts],
        columns: 2,
        legend,
        woods: Woods::Rows.only_if(gathered.has_wood_names(&choice)),
        data: data(&groups),
    })
}

/// The worst class is the darkest.
pub(super) fn paint(place: usize, n: usize) -> Paint {
    Paint::Ramp(0.08 + 0.84 * real(place) / real(n.saturating_sub(1).max(1)))
}

fn stack(row: usize, classes: &Classes) -> Vec<Layer> {
    let n = classes.shares.iter().filter(|share| share.class.is_some()).count();
    let mut from = 0.0;
    let field = |(place, share): (usize, &crate::site::ClassShare)| {
        let part = share.share.unwrap_or_default() * 100.0;
        let span = [from, from + part];
        from += part;
        let paint = if share.class.is_some() { paint(place, n) } else { Paint::Hatched };
        (part > 0.0).then(|| Layer::Field { paint, at: real(row), span, label: Some(format!("{}", share.n)) })
    };
    classes.shares.iter().enumerate().filter_map(field).collect()
}

fn numbers(row: usize, classes: &Classes) -> Vec<Layer> {
    let parts = [
        (classes.n, Paint::PaleGrey),
        (classes.out_of_scope, WITHOUT[0].1),
        (classes.unread + classes.scope_unknown, WITHOUT[1].1),
    ];
    let mut from = 0;
    let field = |(n, paint): (usize, Paint)| {
        let span = [real(from), real(from + n)];
        from += n;
        (n > 0).then(|| Layer::Field { paint, at: real(row), span, label: None })
    };
    parts.into_iter().filter_map(field).collect()
}

fn data(groups: &[(String, Classes, usize, usize)]) -> FigureData {
    let columns = ["group", "timbers", "what", "pieces", "share [1]", "share from [1]", "share to [1]"];
    let mut rows = Vec::new();
    for (name, classes, _, timbers) in groups {
        let mut row = |what: &str, n: usize, share: Option<f64>, interval: Option<[f64; 2]>| {
            rows.push(vec![
                Datum::text(Some(name)),
                Datum::number(real(*timbers)),
                Datum::text(Some(what)),
                Datum::number(real(n)),
                Datum::number(share),
                Datum::number(interval.map(|ends| ends[0])),
                Datum::number(interval.map(|ends| ends[1])),
            ]);
        };
        for share in &classes.shares {
            let what = share.class.as_deref().map_or("not decided".to_owned(), |class| format!("class {class}"));
            row(&what, share.n, share.share, share.interval);
        }
        row("outside the scope of the scheme", classes.out_of_scope, None, None);
        row("no class reading", classes.unread, None, None);
        row("unknown wood", classes.scope_unknown, None, None);
    }
    FigureData { columns: columns.map(str::to_owned).to_vec(), rows }
}
