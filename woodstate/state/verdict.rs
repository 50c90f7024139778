//! The class of a piece, and why it is not decided.

use crate::error::{CautionCode, Result};
use crate::numeric::Sample;
use crate::quantity::Quantity;

use super::assess::Assessor;
use super::wood::Wood;
use super::{Cause, ClassReading, Doubt, OutsideScope, Piece, Readings, Rules, derive};

impl Assessor<'_> {
    /// The class that the value of the scheme's quantity gives, if the scheme holds for the wood.
    pub(super) fn class(&self, piece: &mut Piece, wood: &Wood, drawn: Option<&Sample>) -> Result<ClassReading> {
        let scheme = &self.options.scheme;
        if !wood.is_in_scope {
            if !wood.is_named() || self.options.outside_scope == OutsideScope::NoClass {
                let code = if !wood.is_named() { CautionCode::TaxonUnknown } else { CautionCode::ClassOutOfScope };
                piece.cautions.insert(code);
                return Ok(ClassReading::none(scheme, code.story().text));
            }
            piece.cautions.insert(CautionCode::ClassedOutOfScope);
            piece.is_out_of_scope = true;
        }
        let value = Quantity::of_name(&scheme.quantity).and_then(|quantity| piece.values.of(quantity));
        let Some(value) = value else {
            return Ok(ClassReading::none(scheme, format!("{} is unknown", scheme.quantity)));
        };
        let doubt = match (drawn, value.u) {
            (Some(sample), _) => Doubt::Drawn(sample),
            (None, Some(u)) => Doubt::Normal(u),
            (None, None) => Doubt::Unknown,
        };
        ClassReading::of(scheme, value.value, doubt, self.options.boundary, self.options.decided_at)
    }

    /// A class is not decided where the piece is known to be measured wrongly, whatever its measurement uncertainty.
    pub(super) fn doubt_class(&self, class: &mut ClassReading, piece: &mut Piece, readings: &Readings) {
        if class.most_likely.is_none() {
            return;
        }
        piece.cautions.insert_if(self.does_salt_decide(class, piece, readings), CautionCode::SaltDecides);
        if let Some(code) = piece.bias() {
            class.decided = false;
            class.reason = Some(code.story().text.to_owned());
        }
    }

    /// Whether the class would be another, or unknown, if the pores held sea water, where nobody recorded what they hold.
    fn does_salt_decide(&self, class: &ClassReading, piece: &Piece, readings: &Readings) -> bool {
        if !piece.cautions.contains(CautionCode::SaltPossible) {
            return false;
        }
        let mut salty = readings.values();
        salty[Cause::PoreSalinity.index()] = Some(self.limit("sea_salinity"));
        let rules = Rules { stated_first: self.options.stated_first, ..Rules::plain(self.reference) };
        let scheme = &self.options.scheme;
        let value = Quantity::of_name(&scheme.quantity).and_then(|quantity| derive(&salty, &rules).value(quantity));
        let place = value.and_then(|(value, _)| scheme.class_of(value, self.options.boundary));
        place.map(|place| &scheme.classes[place].label) != class.most_likely.as_ref()
    }
}
