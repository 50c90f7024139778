//! The tables of `assess` for a person: pieces, timbers, legend.

use std::collections::BTreeMap;

use crate::error::{CautionCode, Cautions};
use crate::quantity::{Quantity, counted};
use crate::state::{ByQuantity, ClassReading, Piece, Status, Timber, Value};
use crate::study::{Assessment, Counts};

use super::{Align, Block, Grid, View};

/// The view of `assess`.
#[must_use]
pub fn assessment_view(assessment: &Assessment) -> View {
    let marks = Marks::of(assessment);
    let mut view = View::default();
    view.push(Block::Table(pieces(assessment, &marks)));
    if !assessment.timbers.is_empty() {
        view.push(Block::Table(timbers(assessment, &marks)));
    }
    let legend = marks.legend(assessment);
    if !legend.is_empty() {
        view.push(Block::Legend(legend));
    }
    view.push(Block::Paragraph(closing(assessment)));
    view
}

/// A letter for each caution that some pieces have; what all have needs none.
struct Marks {
    letters: BTreeMap<CautionCode, String>,
    of_all: Vec<CautionCode>,
}

impl Marks {
    fn of(assessment: &Assessment) -> Self {
        let assessed = || assessment.samples.iter().filter(|piece| piece.status != Status::NotAssessed);
        let of_all: Vec<CautionCode> = CautionCode::ALL
            .iter()
            .copied()
            .filter(|code| assessed().count() > 1 && assessed().all(|piece| piece.cautions.contains(*code)))
            .collect();
        let raised = assessment.samples.iter().map(|piece| piece.cautions);
        let raised = raised.chain(assessment.timbers.iter().map(|timber| timber.cautions));
        let raised = raised.fold(Cautions::NONE, Cautions::union);
        let lettered = raised.iter().filter(|code| !of_all.contains(code));
        let letters = lettered.enumerate().map(|(place, code)| (code, letter(place))).collect();
        Self { letters, of_all }
    }

    fn shown(&self, cautions: Cautions) -> String {
        let letters = cautions.iter().filter_map(|code| self.letters.get(&code).map(String::as_str));
        letters.collect::<Vec<_>>().join(" ")
    }

    fn legend(&self, assessment: &Assessment) -> Vec<(String, String)> {
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

fn pieces(assessment: &Assessment, marks: &Marks) -> Grid {
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
    grid.rows = assessment.samples.iter().map(|piece| piece_row(piece, marks)).collect();
    grid.without_empty_columns()
}

fn piece_row(piece: &Piece, marks: &Marks) -> Vec<String> {
    let name = piece.sample.clone().unwrap_or_else(|| format!("(row {})", piece.rows[0]));
    let timber = piece.timber.clone().unwrap_or_default();
    let depth = depth([piece.depth_from, piece.depth_to]);
    if piece.status == Status::NotAssessed {
        let why = format!("not assessed: see the findings of row {}", rows(&piece.rows));
        return [name, timber, depth, String::new(), String::new(), String::new(), String::new(), why, String::new()]
            .to_vec();
    }
    let shown = |quantity| cell(piece.value(quantity));
    let mut class = class(&piece.degradation_class);
    if piece.status == Status::Partial {
        class = format!("{class} (partly assessed: see row {})", rows(&piece.rows));
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

fn rows(rows: &[usize]) -> String {
    rows.iter().map(usize::to_string).collect::<Vec<_>>().join(", ")
}

fn cell(value: Option<Value>) -> String {
    value.map_or_else(|| "unknown".to_owned(), |value| value.shown())
}

fn depth([from, to]: [Option<f64>; 2]) -> String {
    match (from, to) {
        (Some(from), Some(to)) => format!("{from}-{to}"),
        (Some(from), None) => format!("{from}-?"),
        (None, Some(to)) => format!("?-{to}"),
        (None, None) => String::new(),
    }
}

/// A class in words: `I  99 %`, `not decided: II 69 %, I 31 %`, `no class`.
fn class(class: &ClassReading) -> String {
    let Some(label) = &class.most_likely else { return "no class".to_owned() };
    let Some(probability) = &class.probability else { return format!("{label}, not decided") };
    let mut shares: Vec<(&str, f64)> = probability.iter().map(|(label, share)| (label.as_str(), *share)).collect();
    shares.sort_by(|a, b| b.1.total_cmp(&a.1));
    if class.decided {
        return format!("{label} {}", percent(shares[0].1));
    }
    let shares: Vec<String> = shares
        .into_iter()
        .filter(|(_, share)| *share >= 0.005)
        .map(|(label, share)| format!("{label} {}", percent(share)))
        .collect();
    format!("not decided: {}", shares.join(", "))
}

fn percent(share: f64) -> String {
    if share > 0.995 { "> 99 %".to_owned() } else { format!("{:.0} %", share * 100.0) }
}

fn timbers(assessment: &Assessment, marks: &Marks) -> Grid {
    let mut grid = Grid::new(&[
        ("timber\n", Align::Left),
        ("taxon\n", Align::Left),
        ("pieces\n(cores)", Align::Right),
        ("outer: water\ncontent %", Align::Right),
        ("inner: water\ncontent %", Align::Right),
        ("all pieces\nfrom - to %", Align::Right),
        ("worst\npiece", Align::Left),
        ("class\n", Align::Left),
        ("\n", Align::Left),
    ]);
    grid.rows = assessment.timbers.iter().map(|timber| timber_row(timber, marks)).collect();
    grid.without_empty_columns()
}

fn timber_row(timber: &Timber, marks: &Marks) -> Vec<String> {
    let content = |values: &ByQuantity<Value>| cell(values.of(Quantity::MaxWaterContent));
    let zone = |zone: &Option<crate::state::Zone>| zone.as_ref().map(|zone| content(&zone.values)).unwrap_or_default();
    let range = timber.range.of(Quantity::MaxWaterContent);
    let worst = timber.worst.as_ref().and_then(|worst| worst.sample.clone());
    vec![
        timber.timber.clone(),
        timber.taxon.clone().unwrap_or_else(|| "unknown".to_owned()),
        format!("{} ({})", timber.n_samples, timber.n_cores),
        zone(&timber.outer),
        zone(&timber.inner),
        range.map(|[low, high]| format!("{low:.0} - {high:.0}")).unwrap_or_default(),
        worst.unwrap_or_default(),
        class(&timber.degradation_class),
        marks.shown(timber.cautions),
    ]
}

fn closing(assessment: &Assessment) -> String {
    let Counts { rows, assessed, partial, not_assessed, undried, drawn, .. } = assessment.counts;
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
         {not_assessed} not. The long story of a word: woodstate explain {example}",
        assessment.settings.scheme_title,
        assessment.settings.decided_at * 100.0,
        counted(rows, "row"),
        counted(undried, "piece"),
    )
}
