//! The class of a piece, and why it is not decided.

use crate::error::{CautionCode, Result};
use crate::quantity::Quantity;

use super::degradation_class::Judged;
use super::piece::biased;
use super::run::{Assessor, End};
use super::wood::Wood;
use super::{Cause, Doubt, OutsideScope, Readings, Results, derive};

impl Assessor<'_> {
    /// The class that the value of the scheme's quantity gives, if the scheme holds for the wood. It is not decided where the
    /// piece is known to be measured wrongly, whatever its measurement uncertainty.
    pub(super) fn judge(
        &self,
        end: &mut End,
        wood: &Wood,
        readings: &Readings,
        (results, at): (&Results, usize),
    ) -> Result<()> {
        let scheme = &self.options.scheme;
        if !wood.is_in_scope {
            if !wood.is_named() || self.options.outside_scope == OutsideScope::NoClass {
                let code = if !wood.is_named() { CautionCode::TaxonUnknown } else { CautionCode::ClassOutOfScope };
                end.cautions.insert(code);
                end.class = Judged::none(code.story().text);
                return Ok(());
            }
            end.cautions.insert(CautionCode::ClassedOutOfScope);
            end.is_out_of_scope = true;
        }
        let quantity = Quantity::of_name(&scheme.quantity);
        let Some((quantity, value)) = quantity.and_then(|quantity| Some((quantity, results.value(at, quantity)?)))
        else {
            end.class = Judged::none(format!("{} is unknown", scheme.quantity));
            return Ok(());
        };
        let doubt = match (results.sample(at, quantity), value.u) {
            (Some(sample), _) => Doubt::Drawn(sample),
            (None, Some(u)) => Doubt::Normal(u),
            (None, None) => Doubt::Unknown,
        };
        end.class = Judged::of(scheme, value.value, doubt, self.options.boundary, self.options.decided_at)?;
        if end.class.most_likely.is_none() {
            return Ok(());
        }
        end.cautions.insert_if(self.does_salt_decide(end, readings), CautionCode::SaltDecides);
        if let Some(code) = biased(end.cautions) {
            end.class.decided = false;
            end.class.reason = Some(code.story().text.into());
        }
        Ok(())
    }

    /// Whether the class would be another, or unknown, if the pores held sea water, where nobody recorded what they hold.
    fn does_salt_decide(&self, end: &End, readings: &Readings) -> bool {
        if !end.cautions.contains(CautionCode::SaltPossible) {
            return false;
        }
        let mut salty = readings.values();
        salty[Cause::PoreSalinity.index()] = Some(self.limits.sea_salinity);
        let scheme = &self.options.scheme;
        let derived = derive(&salty, &self.rules(false));
        let value = Quantity::of_name(&scheme.quantity).and_then(|quantity| derived.value(quantity));
        value.and_then(|(value, _)| scheme.class_of(value, self.options.boundary)) != end.class.most_likely
    }
}
