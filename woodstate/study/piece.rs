//! Pieces of an assessment as conditions and groups see them: the one place that looks into them for that.

use std::collections::{BTreeMap, BTreeSet};

use crate::error::CautionCode;
use crate::quantity::Quantity;
use crate::site::ClassStanding;
use crate::state::{self, DepthZone, Parts, PieceView, Status, Timber, depth_zones};
use crate::table::{Datum, NameKind, Names};

use super::Assessment;
use super::choose::{Listed, datum_of, names_of};

/// The pieces of an assessment.
pub(super) struct Pieces<'a> {
    assessment: &'a Assessment,
    /// Rows of each piece in the table.
    rows: Vec<Vec<usize>>,
    zones: Vec<DepthZone>,
    listed: Listed<'a>,
    /// Woods that the scheme is known not to be made for.
    out_of_scope: BTreeSet<&'a str>,
}

impl<'a> Pieces<'a> {
    pub(super) fn of(assessment: &'a Assessment) -> Self {
        let samples = &assessment.batch.samples;
        let places: BTreeMap<usize, usize> = (0..samples.n_rows()).map(|row| (samples.row_number(row), row)).collect();
        let pieces = &assessment.samples;
        let row = |number: &usize| places.get(number).copied();
        let is_outside = |piece: &PieceView<'a>| piece.cautions().contains(CautionCode::ClassOutOfScope);
        Self {
            assessment,
            rows: pieces.views().map(|piece| piece.rows().iter().filter_map(row).collect()).collect(),
            zones: zones(pieces, &assessment.timbers),
            listed: Listed::of(assessment.batch.timbers.as_ref()),
            out_of_scope: pieces.views().filter(is_outside).filter_map(PieceView::taxon).collect(),
        }
    }

    pub(super) fn n(&self) -> usize {
        self.assessment.samples.len()
    }

    fn view(&self, piece: usize) -> Option<PieceView<'a>> {
        self.assessment.samples.view(piece)
    }

    pub(super) fn timber(&self, piece: usize) -> Option<&'a str> {
        self.view(piece)?.timber()
    }

    pub(super) fn sample(&self, piece: usize) -> Option<&'a str> {
        self.view(piece)?.sample()
    }

    /// What the timbers table says of a timber.
    pub(super) fn listed(&self, name: &str, timber: &str) -> Datum<'a> {
        self.listed.datum(name, timber)
    }

    pub(super) fn taxon(&self, piece: usize) -> Option<&'a str> {
        self.view(piece)?.taxon()
    }

    /// Depth to which a piece reaches below the surface of its timber, mm.
    pub(super) fn depth_to(&self, piece: usize) -> Option<f64> {
        self.view(piece)?.depth()[1]
    }

    /// Whether a decay reading was taken: not charred, treated before or bored beyond the limit.
    pub(super) fn is_whole(&self, piece: usize) -> bool {
        self.view(piece).is_some_and(|view| view.unread().is_none())
    }

    pub(super) fn zone(&self, piece: usize) -> DepthZone {
        self.zones[piece]
    }

    /// What a piece may be chosen, grouped and summed up by.
    pub(super) fn names(&self) -> Names {
        let mut names = names_of(&self.assessment.batch);
        for quantity in Quantity::ALL {
            names = names.with(quantity.name(), NameKind::Number { unit: quantity.spec().unit });
        }
        let words = |words: &[&str]| NameKind::Words(words.iter().map(|word| (*word).to_owned()).collect());
        let statuses = [Status::Assessed, Status::Partial, Status::NotAssessed].map(Status::word);
        names
            .with("status", words(&statuses))
            .with("depth_zone", words(&["outer", "between", "inner"]))
            .with("degradation_class", NameKind::Words(self.labels()))
    }

    /// Labels of the classes, the worst first.
    pub(super) fn labels(&self) -> Vec<String> {
        self.assessment.scheme_labels.clone()
    }

    /// What a name holds for a piece. A class that is not decided is unknown.
    pub(super) fn datum(&self, name: &str, place: usize) -> Datum<'a> {
        let Some(piece) = self.view(place) else { return Datum::Unknown };
        let text = |text: Option<&'a str>| text.map_or(Datum::Unknown, Datum::Text);
        if let Some(quantity) = Quantity::of_name(name) {
            return piece.value(quantity).map_or(Datum::Unknown, |value| Datum::Number(value.value));
        }
        match name {
            "status" => Datum::Text(piece.status().word()),
            "depth_zone" => text(self.zone(place).word()),
            "degradation_class" => text(piece.class_label().filter(|_| piece.is_decided())),
            "sample" => text(piece.sample()),
            "timber" => text(piece.timber()),
            "taxon" => text(piece.taxon()),
            _ => self.read(name, place),
        }
    }

    /// What the tables say: of repeats the mean of the numbers, otherwise the first that is known; of the timber where the
    /// samples say nothing.
    fn read(&self, name: &str, place: usize) -> Datum<'a> {
        let (mut total, mut n) = (0.0, 0.0);
        for row in &self.rows[place] {
            match datum_of(&self.assessment.batch.samples, name, *row) {
                Datum::Number(number) => (total, n) = (total + number, n + 1.0),
                Datum::Text(text) => return Datum::Text(text),
                Datum::Unknown => {}
            }
        }
        if n > 0.0 {
            return Datum::Number(total / n);
        }
        self.timber(place).map_or(Datum::Unknown, |timber| self.listed.datum(name, timber))
    }

    /// The standard uncertainty that the file states of a column of numbers, where one row measured it.
    pub(super) fn u(&self, name: &str, place: usize) -> Option<f64> {
        match self.rows[place].as_slice() {
            [row] => self.assessment.batch.samples.numbers(name)?.u(*row),
            _ => None,
        }
    }

    /// One standard uncertainty of a result, shared causes included; `None` where unknown.
    pub(super) fn whole_u(&self, quantity: Quantity, place: usize) -> Option<f64> {
        self.view(place)?.value(quantity)?.u
    }

    /// Where the uncertainty of a result comes from; `None` for a column of the file.
    pub(super) fn parts(&self, name: &str, place: usize) -> Option<Parts> {
        self.view(place)?.parts(Quantity::of_name(name)?)
    }

    /// How a piece stands to the classes.
    pub(super) fn standing(&self, place: usize) -> ClassStanding {
        let Some(piece) = self.view(place) else { return ClassStanding::Unread };
        let cautions = piece.cautions();
        let is_outside = |taxon| self.out_of_scope.contains(taxon);
        if cautions.contains(CautionCode::ClassedOutOfScope) || piece.taxon().is_some_and(is_outside) {
            return ClassStanding::OutOfScope;
        }
        match piece.class_label() {
            Some(label) if piece.is_decided() => ClassStanding::Decided(label.to_owned()),
            Some(_) => ClassStanding::NotDecided,
            None if cautions.contains(CautionCode::TaxonUnknown) => ClassStanding::ScopeUnknown,
            None => ClassStanding::Unread,
        }
    }

    /// How each timber stands to the classes: as a whole, whatever pieces are looked at.
    pub(super) fn timbers(&self) -> BTreeMap<String, ClassStanding> {
        let standing = |timber: &Timber| {
            let pieces = &timber.places;
            let all = |wanted| !pieces.is_empty() && pieces.iter().all(|place| self.standing(*place) == wanted);
            let class = &timber.degradation_class;
            match &class.most_likely {
                _ if all(ClassStanding::OutOfScope) => ClassStanding::OutOfScope,
                Some(label) if class.decided => ClassStanding::Decided(label.clone()),
                Some(_) => ClassStanding::NotDecided,
                None if all(ClassStanding::ScopeUnknown) => ClassStanding::ScopeUnknown,
                None => ClassStanding::Unread,
            }
        };
        self.assessment.timbers.iter().map(|timber| (timber.timber.clone(), standing(timber))).collect()
    }
}

/// The depth zone of each piece; one of unknown timber has none.
fn zones(pieces: &state::Pieces, timbers: &[Timber]) -> Vec<DepthZone> {
    let mut zones = vec![DepthZone::Unknown; pieces.len()];
    for places in timbers.iter().map(|timber| &timber.places) {
        let of_timber: Vec<PieceView<'_>> = places.iter().filter_map(|place| pieces.view(*place)).collect();
        for (place, zone) in places.iter().zip(depth_zones(&of_timber)) {
            zones[*place] = zone;
        }
    }
    zones
}
