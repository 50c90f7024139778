//! The tables of `assess` for a person: pieces, timbers, legend.

use std::collections::BTreeMap;

use crate::error::{CautionCode, Cautions};
use crate::quantity::{Quantity, counted};
use crate::state::{ClassReading, Piece, PieceView, SoftRim, Status, Timber, Value, Zone};
use crate::study::{Assessment, Counts};

use super::{Align, Block, Grid, View, choice_sentence};

/// The view of `assess`.
#[must_use]
pub fn assessment_view(assessment: &Assessment) -> View {
    let marks = Marks::of(assessment);
    let mut view = View::default();
    for choice in &assessment.choices {
        let judged = "Timbers are judged by the rows that are kept.";
        view.push(Block::Paragraph(format!("{} {judged}", choice_sentence(choice))));
    }
    if !assessment.samples.is_empty() {
        view.push(Block::Table(pieces(assessment, &marks, usize::MAX)));
    }
    if !assessment.timbers.is_empty() {
        view.push(Block::Table(timbers(assessment, &marks, usize::MAX)));
    }
    let legend = marks.legend(assessment);
    if !legend.is_empty() {
        view.push(Block::Legend(legend));
    }
    view.push(Block::Paragraph(closing(assessment)));
    view
}

/// What is to be said of `assess` where the pieces and timbers themselves stand in files.
#[must_use]
pub fn assessment_short_view(assessment: &Assessment) -> View {
    let marks = Marks::of(assessment);
    let mut view = View::default();
    let (pieces, timbers) = (counted(assessment.counts.pieces, "piece"), counted(assessment.counts.timbers, "timber"));
    view.push(Block::Paragraph(format!("{pieces} and {timbers}: their tables are in the files.")));
    let legend = marks.legend(assessment);
    if !legend.is_empty() {
        view.push(Block::Legend(legend));
    }
    view.push(Block::Paragraph(closing(assessment)));
    view
}

/// A letter for each caution that some pieces have; what all have needs none.
pub(super) struct Marks {
    letters: BTreeMap<CautionCode, String>,
    of_all: Vec<CautionCode>,
}

impl Marks {
    pub(super) fn of(assessment: &Assessment) -> Self {
        let assessed = || assessment.samples.views().filter(|piece| piece.status() != Status::NotAssessed);
        let is_of_all = |code: &CautionCode| assessed().all(|piece| piece.cautions().contains(*code));
        let are_several = assessed().nth(1).is_some();
        let of_all: Vec<CautionCode> =
            CautionCode::ALL.iter().copied().filter(|code| are_several && is_of_all(code)).collect();
        let raised = assessment.samples.views().map(PieceView::cautions);
        let raised = raised.chain(assessment.timbers.iter().map(|timber| timber.cautions));
        let raised = raised.fold(Cautions::NONE, Cautions::union);
        let lettered = raised.iter().filter(|code| !of_all.contains(code));
        let letters = lettered.enumerate().map(|(place, code)| (code, letter(place))).collect();
        Self { letters, of_all }
    }

    /// The mark of a caution with this word.
    pub(super) fn mark(&self, word: &str) -> Option<&str> {
        let lettered = self.letters.iter().find(|(code, _)| code.word() == word).map(|(_, letter)| letter.as_str());
        lettered.or_else(|| self.of_all.iter().any(|code| code.word() == word).then_some("all"))
    }

    fn shown(&self, cautions: Cautions) -> String {
        let letters = cautions.iter().filter_map(|code| self.letters.get(&code).map(String::as_str));
        letters.collect::<Vec<_>>().join(" ")
    }

    pub(super) fn legend(&self, assessment: &Assessment) -> Vec<(String, String)> {
        let raised = |code: CautionCode| {
            let entry = assessment.cautions.iter().find(|entry| entry.code == code.word());
            entry.map(|entry| (entry.samples, entry.timbers)).unwrap_or_default()
        };
        let line = |mark: String, code: CautionCode| {
            let counts = match raised(code) {
                (pieces, 0) => counted(pieces, "piece"),
                (0, timbers) => counted(timbers, "timber"),
                (pieces, timbers) => format!("{}, {}", counted(pieces, "piece"), counted(timbers, "timber")),
            };
            (mark, format!("{} ({counts}) [{}]", code.story().text, code.word()))
        };
        let of_all = self.of_all.iter().map(|code| line("all".to_owned(), *code));
        let mut lettered: Vec<_> = self.letters.iter().collect();
        lettered.sort_by_key(|(code, _)| **code);
        of_all.chain(lettered.into_iter().map(|(code, letter)| line(letter.clone(), *code))).collect()
    }
}

/// a … z, aa, ab, ...
fn letter(place: usize) -> String {
    const LETTERS: &str = "abcdefghijklmnopqrstuvwxyz";
    let last = LETTERS.chars().nth(place % 26).unwrap_or('a').to_string();
    if place < 26 { last } else { letter(place / 26 - 1) + &last }
}

/// The pieces, at most so many.
pub(super) fn pieces(assessment: &Assessment, marks: &Marks, most: usize) -> Grid {
    piece_grid(assessment.samples.iter().take(most).map(|piece| piece_row(&piece, assessment, marks)).collect())
}

/// The pieces at these places.
pub(super) fn pieces_at(assessment: &Assessment, marks: &Marks, places: &[usize]) -> Grid {
    let piece = |place: &usize| assessment.samples.get(*place);
    piece_grid(places.iter().filter_map(piece).map(|piece| piece_row(&piece, assessment, marks)).collect())
}

fn piece_grid(rows: Vec<Vec<String>>) -> Grid {
    let mut grid = Grid::new(&[
        ("sample\n", Align::Left),
        ("timber\n", Align::Left),
        ("depth\nmm", Align::Right),
        ("max. water\ncontent %", Align::Right),
        ("sound wood\nwould hold %", Align::Right),
        ("basic density\nkg/m3", Align::Right),
        ("residual basic\ndensity %", Align::Right),
        ("class\n", Align::Left),
        ("\n", Align::Left),
    ]);
    grid.rows = rows;
    without_unknown_columns(grid, &["timber\n", "depth\nmm"])
}

const UNKNOWN: &str = "unknown";

/// The grid without the columns that are empty, and without those of these heads in which nothing is known.
fn without_unknown_columns(mut grid: Grid, heads: &[&str]) -> Grid {
    for place in (0..grid.columns.len()).filter(|place| heads.contains(&grid.columns[*place].head.as_str())).rev() {
        if grid.rows.iter().all(|row| matches!(row[place].as_str(), "" | UNKNOWN | NONE)) {
            grid.rows.iter_mut().for_each(|row| row[place].clear());
        }
    }
    grid.without_empty_columns()
}

fn piece_row(piece: &Piece, assessment: &Assessment, marks: &Marks) -> Vec<String> {
    let name = piece.sample.clone().unwrap_or_else(|| format!("(row {})", piece.rows[0]));
    let timber = piece.timber.clone().unwrap_or_else(|| UNKNOWN.to_owned());
    let depth = depth([piece.depth_from, piece.depth_to]);
    if piece.status == Status::NotAssessed {
        let why = format!("not assessed: see the findings of {}", rows(&piece.rows));
        return [name, timber, depth, String::new(), String::new(), String::new(), String::new(), why, String::new()]
            .to_vec();
    }
    let shown = |quantity| cell(piece.value(quantity));
    let mut class = class(&piece.degradation_class, assessment);
    if piece.status == Status::Partial {
        class = format!("{class} (partly assessed: see {})", rows(&piece.rows));
    }
    vec![
        name,
        timber,
        depth,
        shown(Quantity::MaxWaterContent),
        shown(Quantity::SoundMaxWaterContent),
        shown(Quantity::BasicDensity),
        shown(Quantity::ResidualBasicDensity),
        class,
        marks.shown(piece.cautions),
    ]
}

/// `row 3`, `rows 3 and 4`, `rows 3, 4 and 7`.
fn rows(rows: &[usize]) -> String {
    let numbers: Vec<String> = rows.iter().map(usize::to_string).collect();
    match numbers.split_last() {
        Some((last, [])) => format!("row {last}"),
        Some((last, others)) => format!("rows {} and {last}", others.join(", ")),
        None => String::new(),
    }
}

pub(super) fn cell(value: Option<Value>) -> String {
    value.map_or_else(|| UNKNOWN.to_owned(), |value| value.shown())
}

pub(super) fn depth([from, to]: [Option<f64>; 2]) -> String {
    match (from, to) {
        (Some(from), Some(to)) => format!("{from}-{to}"),
        (Some(from), None) => format!("{from}-?"),
        (None, Some(to)) => format!("?-{to}"),
        (None, None) => UNKNOWN.to_owned(),
    }
}

/// A class in words: `I 99 %`, `not decided: I 31 %, II 69 %`, `I > 99 %, not decided: not saturated`, `no class`.
pub(super) fn class(class: &ClassReading, assessment: &Assessment) -> String {
    let Some(label) = &class.most_likely else { return "no class".to_owned() };
    let reason = class.reason.as_deref().map(short).unwrap_or_default();
    let reason = if reason.is_empty() { String::new() } else { format!(": {reason}") };
    let Some(probability) = &class.probability else { return format!("{label}, not decided{reason}") };
    let share = probability.get(label).copied().unwrap_or_default();
    match () {
        () if class.decided => format!("{label} {}", percent(share)),
        () if share >= assessment.settings.decided_at => format!("{label} {}, not decided{reason}", percent(share)),
        () => format!("not decided: {}", shares(probability, &assessment.settings.scheme_limits)),
    }
}

/// A reason in a few words: what stands before its colon; of two clauses the one that says what follows.
fn short(reason: &str) -> &str {
    let reason = reason.split(':').next().unwrap_or(reason);
    let reason = reason.split(", so ").next().unwrap_or(reason);
    reason.rsplit("; ").next().unwrap_or(reason).trim()
}

pub(super) fn percent(share: f64) -> String {
    if share > 0.995 { "> 99 %".to_owned() } else { format!("{:.0} %", share * 100.0) }
}

/// The shares of the classes in the order of the scheme, in whole per cent that add up to 100.
fn shares(probability: &BTreeMap<String, f64>, limits: &str) -> String {
    let place = |label: &str| limits.split("; ").position(|class| class.starts_with(&format!("{label} ")));
    let mut shares: Vec<(&str, f64)> = probability.iter().map(|(label, share)| (label.as_str(), *share)).collect();
    shares.sort_by_key(|(label, _)| place(label).unwrap_or(usize::MAX));
    let mut whole: Vec<f64> = shares.iter().map(|(_, share)| (share * 100.0).floor()).collect();
    let mut by_rest: Vec<usize> = (0..shares.len()).collect();
    by_rest.sort_by(|a, b| (shares[*b].1 * 100.0 - whole[*b]).total_cmp(&(shares[*a].1 * 100.0 - whole[*a])));
    for place in by_rest {
        if whole.iter().sum::<f64>() < 100.0 {
            whole[place] += 1.0;
        }
    }
    let shown = shares.iter().zip(whole).filter(|((_, share), _)| *share >= 0.005);
    let shown = shown.map(
        |((label, _), whole)| {
            if whole < 1.0 { format!("{label} < 1 %") } else { format!("{label} {whole:.0} %") }
        },
    );
    shown.collect::<Vec<_>>().join(", ")
}

/// The timbers, at most so many.
pub(super) fn timbers(assessment: &Assessment, marks: &Marks, most: usize) -> Grid {
    let mut grid = Grid::new(&[
        ("timber\n", Align::Left),
        ("taxon\n", Align::Left),
        ("pieces\n(cores)", Align::Right),
        ("outer: water\ncontent %", Align::Right),
        ("inner: water\ncontent %", Align::Right),
        ("soft rim\nmm", Align::Right),
        ("all pieces\nfrom - to %", Align::Right),
        ("worst\npiece", Align::Left),
        ("class\n", Align::Left),
        ("\n", Align::Left),
    ]);
    grid.rows = assessment.timbers.iter().take(most).map(|timber| timber_row(timber, assessment, marks)).collect();
    without_unknown_columns(
        grid,
        &[
            "outer: water\ncontent %",
            "inner: water\ncontent %",
            "soft rim\nmm",
            "all pieces\nfrom - to %",
            "worst\npiece",
        ],
    )
}

/// There is nothing that could be known.
const NONE: &str = "none";

fn timber_row(timber: &Timber, assessment: &Assessment, marks: &Marks) -> Vec<String> {
    let content = |zone: &Zone| cell(zone.values.of(Quantity::MaxWaterContent));
    let unknown = || UNKNOWN.to_owned();
    let inner = match &timber.inner {
        Some(zone) => content(zone),
        None if has_second_increment(timber, assessment) => unknown(),
        None => NONE.to_owned(),
    };
    let range = timber.range.of(Quantity::MaxWaterContent);
    let worst = timber.worst.as_ref().map(|worst| worst.sample.clone().unwrap_or_else(unknown));
    vec![
        timber.timber.clone(),
        timber.taxon.clone().unwrap_or_else(unknown),
        format!("{} ({})", timber.n_samples, timber.n_cores),
        timber.outer.as_ref().map_or_else(unknown, content),
        inner,
        timber.soft_rim.map_or_else(unknown, rim),
        range.map_or_else(unknown, |[low, high]| format!("{low:.0} - {high:.0}")),
        worst.unwrap_or_else(unknown),
        class(&timber.degradation_class, assessment),
        marks.shown(timber.cautions),
    ]
}

/// The depths between which a soft rim ends.
fn rim(rim: SoftRim) -> String {
    match rim.between {
        [Some(low), Some(high)] => format!("{low} - {high}"),
        [Some(low), None] => format!("> {low}"),
        _ => UNKNOWN.to_owned(),
    }
}

/// Whether a core of a timber has, or may have, an increment below its outermost one.
fn has_second_increment(timber: &Timber, assessment: &Assessment) -> bool {
    let of_timber = || assessment.samples.views().filter(|piece| piece.timber() == Some(&timber.timber));
    let has_depth = |piece: PieceView<'_>| piece.depth() != [None, None];
    let mut cores: Vec<&str> = of_timber().filter_map(PieceView::core_id).collect();
    cores.sort_unstable();
    let is_twice = cores.array_windows().any(|[a, b]| a == b);
    timber.n_samples == 0 || is_twice || !of_timber().all(has_depth)
}

pub(super) fn closing(assessment: &Assessment) -> String {
    let Counts { rows, assessed, partial, not_assessed, left_out, undried, drawn, .. } = assessment.counts;
    let left_out = if left_out == 0 { String::new() } else { format!(" + {left_out} left out") };
    let drawn = match drawn {
        0 => String::new(),
        drawn => {
            let pieces = counted(drawn, "piece");
            format!(" The uncertainty of {pieces} was drawn (seed {}).", assessment.settings.seed)
        }
    };
    let example = assessment.cautions.first().map_or("max_water_content", |entry| entry.code);
    format!(
        "± is one standard uncertainty. Scheme: {}; a class is decided from a probability of {} % that this piece lies in \
         it, given its measurement uncertainty.{drawn} {} = {assessed} assessed ({} without drying) + {partial} partly + \
         {not_assessed} not{left_out}. The long story of a word: woodstate explain {example}",
        assessment.settings.scheme_title,
        assessment.settings.decided_at * 100.0,
        counted(rows, "row"),
        counted(undried, "piece"),
    )
}
