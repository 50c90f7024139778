//! The tables of `summary`: how quantities spread in each group, and the shares of classes.

use crate::quantity::{Quantity, counted, shown, shown_value};
use crate::site::{ClassShare, Classes, Group, NoMean, Spread};
use crate::study::{Counts, Summary};

use super::{Align, Block, Grid, View, choice_sentence};

const UNKNOWN: &str = "unknown";

/// The view of `summary`.
#[must_use]
pub fn summary_view(summary: &Summary) -> View {
    let mut view = View::default();
    for choice in &summary.choices {
        view.push(Block::Paragraph(choice_sentence(choice)));
    }
    view.blocks.extend(group_blocks(&summary.groups, &summary.settings.scheme_title));
    for note in &summary.notes {
        view.push(Block::Paragraph(note.clone()));
    }
    view.push(Block::Paragraph(closing(summary)));
    view
}

/// A table a quantity, and one of classes.
pub(super) fn group_blocks(groups: &[Group], scheme_title: &str) -> Vec<Block> {
    let mut blocks = Vec::new();
    let values = groups.first().map_or(&[][..], |group| group.values.as_slice());
    for (place, spread) in values.iter().enumerate() {
        // A heading is shown in capitals, and a unit must not be.
        blocks.push(Block::Paragraph(format!("{}, {}:", title(spread), spread.unit)));
        blocks.push(Block::Table(spreads(groups, place)));
    }
    if !groups.is_empty() {
        blocks.push(Block::Paragraph(format!("degradation class, {scheme_title}:")));
        blocks.push(Block::Table(classes(groups)));
    }
    blocks
}

fn title(spread: &Spread) -> &str {
    Quantity::of_name(&spread.quantity).map_or(spread.quantity.as_str(), |quantity| quantity.spec().title)
}

/// Heads of the columns that make groups.
fn heads(groups: &[Group]) -> Vec<(String, Align)> {
    let by = groups.first().map_or(&[][..], |group| group.by.as_slice());
    by.iter().map(|key| (key.column.clone(), Align::Left)).collect()
}

fn grid(mut by: Vec<(String, Align)>, others: &[(&str, Align)]) -> Grid {
    let n_names = by.len();
    by.extend(others.iter().map(|(head, align)| ((*head).to_owned(), *align)));
    let heads: Vec<(&str, Align)> = by.iter().map(|(head, align)| (head.as_str(), *align)).collect();
    Grid { n_names, ..Grid::new(&heads) }
}

fn keys(group: &Group) -> Vec<String> {
    group.by.iter().map(|key| key.value.clone().unwrap_or_else(|| UNKNOWN.to_owned())).collect()
}

fn spreads(groups: &[Group], place: usize) -> Grid {
    let heads = heads(groups);
    let mut grid = grid(
        heads,
        &[
            ("pieces", Align::Right),
            ("unknown", Align::Right),
            ("timbers", Align::Right),
            ("mean", Align::Right),
            ("sd", Align::Right),
            ("median", Align::Right),
            ("quartiles", Align::Right),
            ("range", Align::Right),
        ],
    );
    let has_mean = groups.iter().any(|group| group.values[place].mean.is_some());
    let has_unknown = groups.iter().any(|group| group.values[place].n_unknown > 0);
    let row = |group: &Group| {
        let spread = &group.values[place];
        let known = |number: Option<f64>| number.map_or_else(|| UNKNOWN.to_owned(), shown_value);
        let mean = match (spread.mean, spread.no_mean) {
            (Some(mean), _) => shown(mean, spread.u_of_mean),
            (None, Some(NoMean::SeveralZones)) if has_mean => "zones mixed".to_owned(),
            (None, Some(NoMean::ZoneUnknown)) if has_mean => "depth unknown".to_owned(),
            (None, Some(NoMean::SeveralZones | NoMean::ZoneUnknown)) => String::new(),
            (None, _) => {
                if has_mean {
                    UNKNOWN.to_owned()
                } else {
                    String::new()
                }
            }
        };
        let sd = if spread.mean.is_some() { known(spread.sd) } else { String::new() };
        let pair = |low: Option<f64>, high: Option<f64>| match (low, high) {
            (Some(low), Some(high)) => format!("{} - {}", shown_value(low), shown_value(high)),
            _ => UNKNOWN.to_owned(),
        };
        let cells = [
            spread.n.to_string(),
            if has_unknown { spread.n_unknown.to_string() } else { String::new() },
            spread.n_timbers.to_string(),
            mean,
            sd,
            known(spread.median),
            pair(spread.lower_quartile, spread.upper_quartile),
            pair(spread.min, spread.max),
        ];
        keys(group).into_iter().chain(cells).collect()
    };
    grid.rows = groups.iter().map(row).collect();
    grid.without_empty_columns()
}

/// One line a class and group, pieces beside timbers.
fn classes(groups: &[Group]) -> Grid {
    let heads = heads(groups);
    let mut grid = grid(
        heads,
        &[
            ("class", Align::Left),
            ("pieces", Align::Right),
            ("share %", Align::Right),
            ("timbers", Align::Right),
            ("share %", Align::Right),
        ],
    );
    // A class is a part of what a row is called.
    grid.n_names += 1;
    for group in groups {
        let (pieces, timbers) = (&group.classes, &group.timber_classes);
        let mut line = |class: &str, cells: [String; 4]| {
            grid.rows.push(keys(group).into_iter().chain([class.to_owned()]).chain(cells).collect());
        };
        for (of_pieces, of_timbers) in pieces.shares.iter().zip(&timbers.shares) {
            if pieces.n + timbers.n > 0 {
                let class = of_pieces.class.as_deref().unwrap_or("not decided");
                let [one, two] = [(of_pieces, pieces.n), (of_timbers, timbers.n)].map(|(share, n)| counts(share, n));
                line(class, [one.0, one.1, two.0, two.1]);
            }
        }
        for (what, n, of_timbers) in apart(pieces, timbers) {
            if n + of_timbers > 0 {
                line(what, [n.to_string(), String::new(), of_timbers.to_string(), String::new()]);
            }
        }
    }
    grid
}

/// Those that no share counts.
pub(super) fn apart(pieces: &Classes, timbers: &Classes) -> [(&'static str, usize, usize); 3] {
    [
        ("(not read)", pieces.unread, timbers.unread),
        ("(out of scope)", pieces.out_of_scope, timbers.out_of_scope),
        ("(wood unknown)", pieces.scope_unknown, timbers.scope_unknown),
    ]
}

/// `12 of 40` and `30 (18 - 46)`.
pub(super) fn counts(share: &ClassShare, n: usize) -> (String, String) {
    let per_cent = |share: f64| format!("{:.0}", share * 100.0);
    let shown = match (share.share, share.interval) {
        (Some(share), Some([low, high])) => format!("{} ({} - {})", per_cent(share), per_cent(low), per_cent(high)),
        _ => UNKNOWN.to_owned(),
    };
    (format!("{} of {n}", share.n), shown)
}

fn closing(summary: &Summary) -> String {
    let Counts { rows, assessed, partial, not_assessed, left_out, .. } = summary.counts;
    let left_out = if left_out == 0 { String::new() } else { format!(" + {left_out} left out") };
    let nothing = if summary.groups.is_empty() { "There is no piece to sum up. " } else { "" };
    format!(
        "{nothing}{} = {assessed} assessed + {partial} partly + {not_assessed} not{left_out}. Pieces that were not assessed are \
         counted as unknown. The long story of a word: woodstate explain summary",
        counted(rows, "row"),
    )
}

/// The tables of `summary` for a pipe.
#[must_use]
pub fn summary_plain(summary: &Summary) -> View {
    let left = |heads: &[&'static str]| heads.iter().map(|head| (*head, Align::Left)).collect::<Vec<_>>();
    let mut values = grid(
        heads(&summary.groups),
        &left(&[
            "quantity",
            "unit",
            "pieces",
            "pieces_unknown",
            "timbers",
            "mean",
            "u_of_mean",
            "sd",
            "min",
            "lower_quartile",
            "median",
            "upper_quartile",
            "max",
        ]),
    );
    let number = |number: Option<f64>| number.map(|number| number.to_string()).unwrap_or_default();
    for (group, spread) in
        summary.groups.iter().flat_map(|group| group.values.iter().map(move |spread| (group, spread)))
    {
        let counts = [spread.n, spread.n_unknown, spread.n_timbers].map(|n| n.to_string());
        let Spread { mean, u_of_mean, sd, min, lower_quartile, median, upper_quartile, max, .. } = spread;
        let numbers = [mean, u_of_mean, sd, min, lower_quartile, median, upper_quartile, max].map(|n| number(*n));
        let names = [spread.quantity.clone(), spread.unit.to_owned()];
        values.rows.push(keys(group).into_iter().chain(names).chain(counts).chain(numbers).collect());
    }
    let mut classes = grid(
        heads(&summary.groups),
        &left(&[
            "class",
            "pieces",
            "of_pieces",
            "share",
            "share_low",
            "share_high",
            "timbers",
            "of_timbers",
            "timber_share",
            "timber_share_low",
            "timber_share_high",
        ]),
    );
    let cells = |share: &ClassShare, n: usize| {
        let ends = share.interval.map_or([None, None], |ends| ends.map(Some));
        [share.n.to_string(), n.to_string(), number(share.share), number(ends[0]), number(ends[1])]
    };
    for group in &summary.groups {
        let (pieces, timbers) = (&group.classes, &group.timber_classes);
        for (one, two) in pieces.shares.iter().zip(&timbers.shares) {
            let class = one.class.as_deref().unwrap_or("not_decided").to_owned();
            let row = keys(group).into_iter().chain([class]).chain(cells(one, pieces.n)).chain(cells(two, timbers.n));
            classes.rows.push(row.collect());
        }
        for ((_, n, of_timbers), word) in
            apart(pieces, timbers).into_iter().zip(["not_read", "out_of_scope", "wood_unknown"])
        {
            let empty = || std::iter::repeat_n(String::new(), 4);
            let row = keys(group).into_iter().chain([word.to_owned(), n.to_string()]).chain(empty());
            classes.rows.push(row.chain([of_timbers.to_string()]).chain(empty()).collect());
        }
    }
    View { blocks: vec![Block::Table(values), Block::Table(classes)] }
}
