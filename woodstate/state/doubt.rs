//! What to know before using the results of a piece: no decay reading, cautions.

use crate::error::{CautionCode, Cautions};
use crate::quantity::Quantity;

use super::record::Noted;
use super::run::{Assessor, Draft};
use super::wood::Wood;
use super::{Results, Route};

impl Assessor<'_> {
    /// Why a piece has no decay reading, if it has none.
    pub(super) fn blocked(&self, cautions: &mut Cautions, noted: &Noted<'_>) -> Option<CautionCode> {
        let Noted { charring, borer_damage, metal, prior_treatment, ash_content, iron, certainty } = *noted;
        let is_unknown = |word: Option<&str>| matches!(word, None | Some("unknown"));
        let is_some = |word: Option<&str>| !is_unknown(word) && word != Some("none");
        let is_any_unknown =
            is_unknown(charring) || is_unknown(prior_treatment) || is_unknown(metal) || borer_damage.is_none();
        let is_rusty = iron.is_some_and(|iron| iron > self.limits.iron);
        let is_doubtful = certainty.is_some_and(|word| !word.trim().eq_ignore_ascii_case("certain"));
        let notes = [
            (is_any_unknown, CautionCode::ConditionUnknown),
            (metal == Some("iron") || is_rusty, CautionCode::IronPossible),
            (is_doubtful, CautionCode::TaxonDoubtful),
        ];
        let reasons = [
            (is_some(charring), CautionCode::Charred),
            (is_some(prior_treatment), CautionCode::PriorTreatment),
            (borer_damage.is_some_and(|share| share > self.options.borer_damage_limit), CautionCode::BorerDamage),
            (ash_content.is_some_and(|ash| ash > self.options.ash_limit), CautionCode::Mineralised),
        ];
        for (holds, code) in notes.into_iter().chain(reasons) {
            cautions.insert_if(holds, code);
        }
        reasons.into_iter().find(|(holds, _)| *holds).map(|(_, code)| code)
    }

    pub(super) fn caution(
        &self,
        cautions: &mut Cautions,
        draft: &Draft<'_>,
        wood: &Wood,
        (results, at): (&Results, usize),
    ) {
        let limits = &self.limits;
        let of = |quantity| results.value(at, quantity);
        let value = |quantity| of(quantity).map(|value| value.value);
        let is = |quantity, test: &dyn Fn(f64) -> bool| value(quantity).is_some_and(test);
        let route = of(Quantity::BasicDensity).map(|density| density.route);
        let hangs_up = self.record.hangs_up(&draft.rows.rows);
        let has_unknown_u = [Quantity::MaxWaterContent, Quantity::BasicDensity]
            .into_iter()
            .any(|quantity| of(quantity).is_some_and(|value| value.u.is_none()));
        let is_below_sound = value(Quantity::MaxWaterContent)
            .zip(value(Quantity::SoundMaxWaterContent))
            .is_some_and(|(content, sound)| content < limits.below_sound_share * sound);
        let leached = limits.extractives_loss;
        let shrinks = of(Quantity::ShrinkageCrossSection).or(of(Quantity::ShrinkageVolumetric)).is_some();
        // A limit is passed when the value passes it by more than one standard uncertainty.
        let saturation = of(Quantity::Saturation);
        let margin = saturation.and_then(|value| value.u).unwrap_or(0.0);
        let is_below = saturation.is_some_and(|value| value.value + margin < limits.saturation_low);
        let is_above = saturation.is_some_and(|value| value.value - margin > limits.saturation_high);
        let found = [
            (is_below || hangs_up, CautionCode::NotSaturated),
            (is_above, CautionCode::SurfaceWater),
            (has_unknown_u, CautionCode::UncertaintyUnknown),
            (results.is_drawn(at), CautionCode::MonteCarlo),
            (results.routes_disagree(at), CautionCode::RoutesDisagree),
            (route == Some(Route::SaturatedUndried), CautionCode::CellWallDecides),
            (route == Some(Route::SaturatedDried), CautionCode::FromWaterContent),
            (is_below_sound, CautionCode::BelowSound),
            (is(Quantity::ResidualBasicDensity, &|share| share > 100.0), CautionCode::ResidualAbove100),
            (
                is(Quantity::MaxWaterContent, &|content| content > limits.water_content_beyond_finds)
                    || is(Quantity::BasicDensity, &|density| density < limits.basic_density_beyond_finds),
                CautionCode::BeyondFinds,
            ),
            (
                wood.is_oak && is(Quantity::LossOfWoodSubstance, &|loss| loss > 0.0 && loss <= leached),
                CautionCode::ExtractivesLeached,
            ),
            (shrinks && wood.normal_shrinkage.is_none(), CautionCode::NormalShrinkageUnknown),
        ];
        for (holds, code) in found {
            cautions.insert_if(holds, code);
        }
    }
}
