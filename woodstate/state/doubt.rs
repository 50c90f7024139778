//! What to know before using the results of a piece: no decay reading, cautions, sources.

use crate::error::CautionCode;
use crate::quantity::Quantity;

use super::assess::Assessor;
use super::inspect::Rows;
use super::wood::Wood;
use super::{Condition, Piece, Propagated, Route};

impl Assessor<'_> {
    /// Why a piece has no decay reading, if it has none.
    pub(super) fn blocked(&self, piece: &mut Piece, rows: &Rows) -> Option<CautionCode> {
        let text = |name| rows.rows.iter().find_map(|row| self.samples.text(name, *row));
        let number = |name| rows.rows.iter().find_map(|row| self.samples.number(name, *row));
        let Condition { charring, borer_damage, metal, prior_treatment, ash_content } = &piece.condition;
        let is_unknown = |word: &Option<String>| matches!(word.as_deref(), None | Some("unknown"));
        let is_some = |word: &Option<String>| !is_unknown(word) && word.as_deref() != Some("none");
        let is_any_unknown =
            is_unknown(charring) || is_unknown(prior_treatment) || is_unknown(metal) || borer_damage.is_none();
        let is_rusty = number("iron_in_wood").is_some_and(|iron| iron > self.limit("iron_limit"));
        let is_doubtful = text("taxon_certainty").is_some_and(|word| !word.trim().eq_ignore_ascii_case("certain"));
        let notes = [
            (is_any_unknown, CautionCode::ConditionUnknown),
            (metal.as_deref() == Some("iron") || is_rusty, CautionCode::IronPossible),
            (is_doubtful, CautionCode::TaxonDoubtful),
        ];
        let reasons = [
            (is_some(charring), CautionCode::Charred),
            (is_some(prior_treatment), CautionCode::PriorTreatment),
            (borer_damage.is_some_and(|share| share > self.options.borer_damage_limit), CautionCode::BorerDamage),
            (ash_content.is_some_and(|ash| ash > self.options.ash_limit), CautionCode::Mineralised),
        ];
        for (holds, code) in notes.into_iter().chain(reasons) {
            piece.cautions.insert_if(holds, code);
        }
        reasons.into_iter().find(|(holds, _)| *holds).map(|(_, code)| code)
    }

    /// The condition of a piece as the samples say, or the timbers table.
    pub(super) fn condition(&self, rows: &Rows, timber: Option<&str>) -> Condition {
        let text = |name| rows.rows.iter().find_map(|row| self.samples.text(name, *row));
        let number = |name| rows.rows.iter().find_map(|row| self.samples.number(name, *row));
        let listed = || {
            let table = self.timbers?;
            let row = (0..table.n_rows()).find(|row| timber.is_some() && table.text("timber", *row) == timber)?;
            Some((table, row))
        };
        let either = |name| text(name).or_else(|| listed().and_then(|(table, row)| table.text(name, row)));
        Condition {
            charring: text("charring").map(str::to_owned),
            borer_damage: number("borer_damage"),
            metal: either("metal").map(str::to_owned),
            prior_treatment: either("prior_treatment").map(str::to_owned),
            ash_content: number("ash_content"),
        }
    }

    pub(super) fn caution(&self, piece: &mut Piece, rows: &Rows, wood: &Wood, results: &Propagated) {
        let limit = |name| self.limit(name);
        let of = |quantity| piece.values.of(quantity);
        let value = |quantity| of(quantity).map(|value| value.value);
        let is = |quantity, test: &dyn Fn(f64) -> bool| value(quantity).is_some_and(test);
        let route = of(Quantity::BasicDensity).map(|density| density.route);
        let hangs_up = rows.rows.iter().any(|row| {
            self.samples.number("mass_sinker_immersed", *row).is_none()
                && self.samples.number("mass_immersed", *row).is_some_and(|mass| mass <= 0.0)
        });
        let has_unknown_u = [Quantity::MaxWaterContent, Quantity::BasicDensity]
            .into_iter()
            .any(|quantity| of(quantity).is_some_and(|value| value.u.is_none()));
        let is_below_sound = value(Quantity::MaxWaterContent)
            .zip(value(Quantity::SoundMaxWaterContent))
            .is_some_and(|(content, sound)| content < limit("below_sound_share") / 100.0 * sound);
        let leached = limit("extractives_loss");
        let shrinks = of(Quantity::ShrinkageCrossSection).or(of(Quantity::ShrinkageVolumetric)).is_some();
        // A limit is passed when the value passes it by more than one standard uncertainty.
        let saturation = of(Quantity::Saturation);
        let margin = saturation.and_then(|value| value.u).unwrap_or(0.0);
        let is_below = saturation.is_some_and(|value| value.value + margin < limit("saturation_low"));
        let is_above = saturation.is_some_and(|value| value.value - margin > limit("saturation_high"));
        let found = [
            (is_below || hangs_up, CautionCode::NotSaturated),
            (is_above, CautionCode::SurfaceWater),
            (has_unknown_u, CautionCode::UncertaintyUnknown),
            (results.drawn.is_some(), CautionCode::MonteCarlo),
            (results.routes_disagree, CautionCode::RoutesDisagree),
            (route == Some(Route::SaturatedUndried), CautionCode::CellWallDecides),
            (route == Some(Route::SaturatedDried), CautionCode::FromWaterContent),
            (is_below_sound, CautionCode::BelowSound),
            (is(Quantity::ResidualBasicDensity, &|share| share > 100.0), CautionCode::ResidualAbove100),
            (
                is(Quantity::MaxWaterContent, &|content| content > limit("water_content_beyond_finds"))
                    || is(Quantity::BasicDensity, &|density| density < limit("basic_density_beyond_finds")),
                CautionCode::BeyondFinds,
            ),
            (
                wood.is_oak && is(Quantity::LossOfWoodSubstance, &|loss| loss > 0.0 && loss <= leached),
                CautionCode::ExtractivesLeached,
            ),
            (shrinks && wood.normal_shrinkage.is_none(), CautionCode::NormalShrinkageUnknown),
        ];
        for (holds, code) in found {
            piece.cautions.insert_if(holds, code);
        }
    }

    /// What the results of a piece rest on.
    pub(super) fn cite(&mut self, piece: &Piece, wood: &Wood) {
        let is_known = |quantity| piece.values.of(quantity).is_some();
        let name = wood.name.clone().unwrap_or_default();
        let is_compared = is_known(Quantity::ResidualBasicDensity) || is_known(Quantity::SoundMaxWaterContent);
        if is_compared && self.cited.insert(("density", name.clone())) {
            self.sources.extend(wood.cited.iter().cloned());
        }
        if is_known(Quantity::Collapse) && self.cited.insert(("shrinkage", name)) {
            self.sources.extend(wood.shrinkage_cited.iter().cloned());
        }
        let raised = [
            (CautionCode::ExtractivesLeached, "extractives_loss"),
            (CautionCode::WaterAssumed, "weighing_temperature"),
            (CautionCode::SaltPossible, "sea_salinity"),
            (CautionCode::BelowSound, "below_sound_share"),
            (CautionCode::RoutesDisagree, "routes_disagree"),
            (CautionCode::RoutesDisagree, "routes_disagree_share"),
            (CautionCode::RepeatsDiffer, "repeats_differ_share"),
            (CautionCode::ImpossibleDraws, "impossible_draws_share"),
            (CautionCode::IronPossible, "iron_limit"),
            (CautionCode::BeyondFinds, "water_content_beyond_finds"),
            (CautionCode::BeyondFinds, "basic_density_beyond_finds"),
            (CautionCode::MonteCarlo, "second_order_share_compared"),
            (CautionCode::MonteCarlo, "second_order_share"),
        ];
        let used = raised.into_iter().filter(|(code, _)| piece.cautions.contains(*code)).map(|(_, name)| name);
        let is_converted = piece.values.of(Quantity::BasicDensity).is_some_and(|d| d.route == Route::Density12);
        for name in used.chain(is_converted.then_some("basic_density_of_density_12")) {
            let constant = self.reference.constant(name).filter(|_| self.cited.insert(("constant", name.to_owned())));
            self.sources.extend(constant.map(|constant| self.reference.constant_source(constant)));
        }
    }
}
