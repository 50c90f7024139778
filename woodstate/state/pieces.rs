//! Many pieces, kept as columns.

use std::collections::BTreeMap;
use std::sync::Arc;

use schemars::JsonSchema;
use serde::ser::SerializeSeq;
use serde::{Serialize, Serializer};

use crate::error::{CautionCode, Cautions};
use crate::quantity::Quantity;
use crate::table::Texts;

use super::degradation_class::Judged;
use super::inspect::RowSet;
use super::piece::{biased, unread};
use super::{ByQuantity, ClassReading, Condition, Parts, Piece, RUN, Results, Routes, Status, Value};

/// The pieces of a batch, in the order of the file.
///
/// A piece takes some hundred bytes here; [`get`](Self::get) and [`iter`](Self::iter) take whole [`Piece`]s out.
#[derive(Debug, Clone, Default)]
pub struct Pieces {
    runs: Vec<PieceRun>,
    n_pieces: usize,
}

/// What the classes of a scheme are called.
#[derive(Debug)]
pub(super) struct SchemeNames {
    pub(super) id: String,
    pub(super) labels: Vec<String>,
}

/// Up to [`RUN`] pieces.
#[derive(Debug, Clone)]
pub(super) struct PieceRun {
    pub(super) results: Results,
    pub(super) rows: Vec<RowSet>,
    pub(super) names: Names,
    pub(super) numbers: Numbers,
    pub(super) status: Vec<Status>,
    pub(super) cautions: Vec<Cautions>,
    pub(super) is_out_of_scope: Vec<bool>,
    pub(super) classes: Classes,
}

/// The texts of pieces.
#[derive(Debug, Clone)]
pub(super) struct Names {
    pub(super) sample: Texts,
    pub(super) timber: Texts,
    pub(super) core_id: Texts,
    pub(super) taxon: Texts,
    pub(super) charring: Texts,
    pub(super) metal: Texts,
    pub(super) prior_treatment: Texts,
}

/// What was recorded of pieces beside their readings; not a number where unknown.
#[derive(Debug, Clone, Default)]
pub(super) struct Numbers {
    pub(super) depth_from: Vec<f64>,
    pub(super) depth_to: Vec<f64>,
    pub(super) borer_damage: Vec<f64>,
    pub(super) ash_content: Vec<f64>,
}

/// The classes of pieces, by their places in the scheme.
#[derive(Debug, Clone)]
pub(super) struct Classes {
    scheme: Arc<SchemeNames>,
    most_likely: Vec<Option<u8>>,
    decided: Vec<bool>,
    /// One a class and piece, not a number where unknown; none where unknown of all.
    shares: Vec<f64>,
    reasons: Vec<Option<u16>>,
    reason_texts: Vec<String>,
}

impl Classes {
    pub(super) fn new(scheme: &Arc<SchemeNames>, n_pieces: usize) -> Self {
        Self {
            scheme: Arc::clone(scheme),
            most_likely: Vec::with_capacity(n_pieces),
            decided: Vec::with_capacity(n_pieces),
            shares: Vec::with_capacity(n_pieces * scheme.labels.len()),
            reasons: Vec::with_capacity(n_pieces),
            reason_texts: Vec::new(),
        }
    }

    /// Adds the class of the next piece.
    pub(super) fn push(&mut self, judged: &Judged) {
        self.most_likely.push(judged.most_likely.and_then(|place| u8::try_from(place).ok()));
        self.decided.push(judged.decided);
        let n_classes = self.scheme.labels.len();
        let unknown = n_classes - judged.shares.len().min(n_classes);
        self.shares.extend(&judged.shares);
        self.shares.extend(std::iter::repeat_n(f64::NAN, unknown));
        let reason = judged.reason.as_deref().map(|reason| {
            self.reason_texts.iter().position(|text| text == reason).unwrap_or_else(|| {
                self.reason_texts.push(reason.to_owned());
                self.reason_texts.len() - 1
            })
        });
        self.reasons.push(reason.and_then(|place| u16::try_from(place).ok()));
    }

    fn label(&self, piece: usize) -> Option<&str> {
        self.scheme.labels.get(usize::from(self.most_likely[piece]?)).map(String::as_str)
    }

    fn shares(&self, piece: usize) -> Option<&[f64]> {
        let n_classes = self.scheme.labels.len();
        let shares = &self.shares[piece * n_classes..(piece + 1) * n_classes];
        shares.first().is_some_and(|share| share.is_finite()).then_some(shares)
    }

    fn reason(&self, piece: usize) -> Option<&str> {
        self.reasons[piece].and_then(|place| self.reason_texts.get(usize::from(place))).map(String::as_str)
    }

    fn reading(&self, piece: usize) -> ClassReading {
        let of_classes = |shares: &[f64]| self.scheme.labels.iter().cloned().zip(shares.iter().copied()).collect();
        ClassReading {
            scheme: self.scheme.id.clone(),
            most_likely: self.label(piece).map(str::to_owned),
            decided: self.decided[piece],
            probability: self.shares(piece).map(of_classes),
            reason: self.reason(piece).map(str::to_owned),
        }
    }
}

/// A piece in its columns: what it is asked for is looked up.
#[derive(Debug, Clone, Copy)]
pub struct PieceView<'a> {
    run: &'a PieceRun,
    at: usize,
}

impl Pieces {
    pub(super) fn of(runs: Vec<PieceRun>) -> Self {
        let n_pieces = runs.iter().map(|run| run.rows.len()).sum();
        Self { runs, n_pieces }
    }

    /// How many there are.
    #[must_use]
    pub fn len(&self) -> usize {
        self.n_pieces
    }

    /// Whether there are none.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.n_pieces == 0
    }

    /// The piece at a place, in its columns; `None` beyond the last.
    #[must_use]
    pub fn view(&self, place: usize) -> Option<PieceView<'_>> {
        let (run, at) = (self.runs.get(place / RUN)?, place % RUN);
        (at < run.rows.len()).then_some(PieceView { run, at })
    }

    /// All pieces, each in its columns.
    pub fn views(&self) -> impl Iterator<Item = PieceView<'_>> {
        self.runs.iter().flat_map(|run| (0..run.rows.len()).map(move |at| PieceView { run, at }))
    }

    /// The piece at a place, taken out; `None` beyond the last.
    #[must_use]
    pub fn get(&self, place: usize) -> Option<Piece> {
        self.view(place).map(PieceView::piece)
    }

    /// The places of the pieces of each timber, by its name; pieces without a timber are in none.
    pub(super) fn by_timber(&self) -> BTreeMap<&str, Vec<usize>> {
        let mut groups: BTreeMap<&str, Vec<usize>> = BTreeMap::new();
        let mut last: Option<(&str, Vec<usize>)> = None;
        for (place, view) in self.views().enumerate() {
            let Some(timber) = view.timber() else { continue };
            match &mut last {
                Some((name, places)) if *name == timber => places.push(place),
                _ => {
                    // Pieces of a timber stand together in most files: one search a timber, not one a piece.
                    if let Some((name, places)) = last.replace((timber, vec![place])) {
                        groups.entry(name).or_default().extend(places);
                    }
                }
            }
        }
        if let Some((name, places)) = last {
            groups.entry(name).or_default().extend(places);
        }
        groups
    }

    /// All pieces, each taken out.
    pub fn iter(&self) -> impl Iterator<Item = Piece> {
        self.views().map(PieceView::piece)
    }
}

impl<'a> PieceView<'a> {
    /// Its name.
    #[must_use]
    pub fn sample(self) -> Option<&'a str> {
        self.run.names.sample.get(self.at)
    }

    /// The timber it comes from.
    #[must_use]
    pub fn timber(self) -> Option<&'a str> {
        self.run.names.timber.get(self.at)
    }

    /// The core it was cut from.
    #[must_use]
    pub fn core_id(self) -> Option<&'a str> {
        self.run.names.core_id.get(self.at)
    }

    /// The wood: the name of the list where it is known, otherwise as it was written.
    #[must_use]
    pub fn taxon(self) -> Option<&'a str> {
        self.run.names.taxon.get(self.at)
    }

    /// How far it is charred.
    #[must_use]
    pub fn charring(self) -> Option<&'a str> {
        self.run.names.charring.get(self.at)
    }

    /// Metal in or on the piece or its timber.
    #[must_use]
    pub fn metal(self) -> Option<&'a str> {
        self.run.names.metal.get(self.at)
    }

    /// Treatment before sampling, of the piece or its timber.
    #[must_use]
    pub fn prior_treatment(self) -> Option<&'a str> {
        self.run.names.prior_treatment.get(self.at)
    }

    /// Depths at which it begins and ends, mm.
    #[must_use]
    pub fn depth(self) -> [Option<f64>; 2] {
        let Numbers { depth_from, depth_to, .. } = &self.run.numbers;
        [known(depth_from[self.at]), known(depth_to[self.at])]
    }

    /// Share lost to borers, %.
    #[must_use]
    pub fn borer_damage(self) -> Option<f64> {
        known(self.run.numbers.borer_damage[self.at])
    }

    /// Ash, % of oven-dry mass.
    #[must_use]
    pub fn ash_content(self) -> Option<f64> {
        known(self.run.numbers.ash_content[self.at])
    }

    /// Rows of the file that measured it, counted as in the file.
    #[must_use]
    pub fn rows(self) -> &'a [usize] {
        &self.run.rows[self.at]
    }

    /// What became of it.
    #[must_use]
    pub fn status(self) -> Status {
        self.run.status[self.at]
    }

    /// What to know before using its results.
    #[must_use]
    pub fn cautions(self) -> Cautions {
        self.run.cautions[self.at]
    }

    /// The reported value of a quantity; `None` where unknown.
    #[must_use]
    pub fn value(self, quantity: Quantity) -> Option<Value> {
        self.run.results.value(self.at, quantity)
    }

    /// The plain value of a quantity; `None` where unknown.
    pub(super) fn number(self, quantity: Quantity) -> Option<f64> {
        let number = self.run.results.values(quantity)?.get(self.at).copied();
        number.filter(|number| number.is_finite())
    }

    /// The reported values of all quantities.
    #[must_use]
    pub fn values(self) -> ByQuantity<Value> {
        let is_known = |quantity| self.run.results.is_known(self.at, quantity);
        ByQuantity::gathered(Quantity::ALL, is_known, |quantity| self.value(quantity))
    }

    /// Where the uncertainty of a quantity comes from; `None` where it is unknown or was not kept.
    #[must_use]
    pub fn parts(self, quantity: Quantity) -> Option<Parts> {
        self.run.results.parts(self.at, quantity)
    }

    /// Every route to the maximum water content.
    pub fn water_contents(self) -> impl Iterator<Item = Value> + 'a {
        self.run.results.water_contents(self.at)
    }

    /// Every route to the basic density.
    pub fn densities(self) -> impl Iterator<Item = Value> + 'a {
        self.run.results.densities(self.at)
    }

    /// Label of its class; `None` where no class is read.
    #[must_use]
    pub fn class_label(self) -> Option<&'a str> {
        self.run.classes.label(self.at)
    }

    /// Whether its class is decided.
    #[must_use]
    pub fn is_decided(self) -> bool {
        self.run.classes.decided[self.at]
    }

    /// Probability of each class, in the order of the scheme; `None` where unknown.
    #[must_use]
    pub fn class_shares(self) -> Option<&'a [f64]> {
        self.run.classes.shares(self.at)
    }

    /// Labels of the scheme, in its order.
    #[must_use]
    pub fn class_labels(self) -> &'a [String] {
        &self.run.classes.scheme.labels
    }

    /// The first caution that says the water content is known to be measured wrongly, or not well enough for a class.
    #[must_use]
    pub fn bias(self) -> Option<CautionCode> {
        biased(self.cautions())
    }

    /// The first caution that takes the decay reading from it: charred, treated before, bored or mineralised.
    #[must_use]
    pub fn unread(self) -> Option<CautionCode> {
        unread(self.cautions())
    }

    /// Why there is no class or no decision.
    #[must_use]
    pub fn class_reason(self) -> Option<&'a str> {
        self.run.classes.reason(self.at)
    }

    /// Whether some uncertainty was drawn.
    #[must_use]
    pub fn is_drawn(self) -> bool {
        self.run.results.is_drawn(self.at)
    }

    /// The piece, taken out.
    #[must_use]
    pub fn piece(self) -> Piece {
        let Self { run, at } = self;
        let text = |text: Option<&str>| text.map(str::to_owned);
        let mut parts = ByQuantity::default();
        for &quantity in Quantity::ALL {
            parts.set(quantity, run.results.parts(at, quantity));
        }
        Piece {
            sample: text(self.sample()),
            timber: text(self.timber()),
            core_id: text(self.core_id()),
            depth_from: self.depth()[0],
            depth_to: self.depth()[1],
            rows: self.rows().to_vec(),
            status: self.status(),
            taxon: text(self.taxon()),
            condition: Condition {
                charring: text(self.charring()),
                borer_damage: self.borer_damage(),
                metal: text(self.metal()),
                prior_treatment: text(self.prior_treatment()),
                ash_content: self.ash_content(),
            },
            values: self.values(),
            routes: Routes {
                max_water_content: self.water_contents().collect(),
                basic_density: self.densities().collect(),
            },
            degradation_class: run.classes.reading(at),
            cautions: self.cautions(),
            parts,
            is_out_of_scope: run.is_out_of_scope[at],
        }
    }
}

fn known(number: f64) -> Option<f64> {
    Some(number).filter(|number| number.is_finite())
}

/// Equal pieces, in the same order.
impl PartialEq for Pieces {
    fn eq(&self, other: &Self) -> bool {
        self.len() == other.len() && self.iter().eq(other.iter())
    }
}

/// Written as a list of [`Piece`]s.
impl Serialize for Pieces {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let mut list = serializer.serialize_seq(Some(self.n_pieces))?;
        for piece in self.iter() {
            list.serialize_element(&piece)?;
        }
        list.end()
    }
}

impl JsonSchema for Pieces {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        Vec::<Piece>::schema_name()
    }

    fn inline_schema() -> bool {
        true
    }

    fn json_schema(generator: &mut schemars::SchemaGenerator) -> schemars::Schema {
        Vec::<Piece>::json_schema(generator)
    }
}
