//! Every quantity of a piece from its readings, by every route: one set of formulas for values and derivatives.
#![allow(clippy::wildcard_imports, reason = "this is where every formula is used")]

use crate::quantity::{Number, Quantity};

use super::derived::{both, first, possible_density};
use super::loss::*;
use super::max_water_content::*;
use super::porosity::*;
use super::saturated_density::*;
use super::shrinkage::*;
use super::weighed::Weighed;
use super::{Cause, Derived, Route, Rules};

/// Derives every quantity of a piece that its causes allow.
///
/// `causes` holds one entry a [`Cause`], `None` where nothing is known. With `f64` the values come out, with
/// [`Jet`](crate::quantity::Jet) also their partial derivatives. A result that is impossible (a water content below 0, a
/// density outside 0 to that of the cell wall) is unknown.
#[must_use]
pub fn derive<N: Number>(causes: &[Option<N>; Cause::COUNT], rules: &Rules<'_>) -> Derived<N> {
    let of = |cause: Cause| causes[cause.index()];
    let stated = |quantity| of(Cause::Stated(quantity));
    let mut derived = Derived {
        values: [None; Quantity::COUNT],
        water_contents: [None; Route::TO_MAX_WATER_CONTENT.len()],
        densities: [None; Route::TO_BASIC_DENSITY.len()],
        impossible: [None; Route::TO_BASIC_DENSITY.len()],
    };
    let piece = Weighed::of(causes, rules);

    derived.water_contents = piece.water_contents(stated(Quantity::MaxWaterContent), &of);
    let densities = piece.densities(stated(Quantity::BasicDensity), &derived.water_contents, &of);
    let wall = piece.wall;
    derived.densities = densities.map(|density| possible_density(density?, wall));
    for (place, density) in densities.into_iter().enumerate() {
        let is_lost = density.is_some() && derived.densities[place].is_none();
        derived.impossible[place] = density.map(Number::value).filter(|_| is_lost);
    }
    let water_route = first(&derived.water_contents, Route::Stated, &Route::TO_MAX_WATER_CONTENT, rules);
    let density_route = first(&derived.densities, Route::Stated, &Route::TO_BASIC_DENSITY, rules);
    if let Some((value, route)) = water_route {
        derived.set(Quantity::MaxWaterContent, Some(value), route);
    }
    if let Some((value, route)) = density_route {
        derived.set(Quantity::BasicDensity, Some(value), route);
    }

    let density = derived.plain(Quantity::BasicDensity);
    let sound = of(Cause::SoundBasicDensity);
    let residual = both(density, sound, residual_basic_density);
    derived.set(Quantity::ResidualBasicDensity, residual, Route::Computed);
    derived.set(Quantity::Porosity, both(density, wall, porosity), Route::Computed);
    derived.set(Quantity::Saturation, piece.saturation(&derived, wall), Route::Computed);
    let saturated = density.zip(wall).map(|(density, wall)| saturated_density(density, piece.pore_density, wall));
    derived.set(Quantity::SaturatedDensity, saturated, Route::Computed);
    let submerged = saturated.map(|saturated| submerged_density(saturated, piece.pore_density));
    derived.set(Quantity::SubmergedDensity, submerged, Route::Computed);
    let sinks = density.map(|density| sink_water_content(density, piece.pore_density));
    derived.set(Quantity::SinkWaterContent, sinks, Route::Computed);
    let sound_content = both(sound, of(Cause::CellWallDensity), |sound, wall| {
        max_water_content_of_density(sound, piece.pore_density, wall, piece.pore_salinity)
    });
    derived.set(Quantity::SoundMaxWaterContent, sound_content, Route::Computed);
    derived.set(
        Quantity::OrganicBasicDensity,
        both(density, of(Cause::AshContent), organic_basic_density),
        Route::Computed,
    );
    set_shrinkages(&mut derived, &of, rules);

    let set_loss = |derived: &mut Derived<N>| {
        let loss = derived.plain(Quantity::ResidualBasicDensity).map(loss_of_wood_substance);
        derived.set(Quantity::LossOfWoodSubstance, loss, Route::Computed);
    };
    set_loss(&mut derived);
    for &quantity in Quantity::ALL {
        let is_open = derived.values[quantity as usize].is_none();
        let is_routed = matches!(quantity, Quantity::MaxWaterContent | Quantity::BasicDensity);
        if !is_routed && (is_open || rules.stated_first) {
            derived.set(quantity, stated(quantity), Route::Stated);
        }
    }
    // A loss that nobody stated follows a residual density that somebody did.
    if derived.value(Quantity::LossOfWoodSubstance).is_none_or(|(_, route)| route != Route::Stated) {
        set_loss(&mut derived);
    }
    derived
}

fn set_shrinkages<N: Number>(derived: &mut Derived<N>, of: &impl Fn(Cause) -> Option<N>, rules: &Rules<'_>) {
    let size_route = if rules.is_conditioned { Route::ConditionedSize } else { Route::OvenDrySize };
    let quantities = [Quantity::ShrinkageRadial, Quantity::ShrinkageTangential, Quantity::ShrinkageLongitudinal];
    let [radial, tangential, longitudinal] =
        Cause::DIRECTIONS.map(|(_, saturated, dry)| both(of(saturated), of(dry), shrinkage));
    for (quantity, value) in quantities.into_iter().zip([radial, tangential, longitudinal]) {
        derived.set(quantity, value, size_route);
    }
    let cross = both(radial, tangential, shrinkage_cross_section);
    derived.set(Quantity::ShrinkageCrossSection, cross, Route::Dimensions);
    let of_volumes = both(of(Cause::VolumeSaturated), of(Cause::VolumeOvenDry), shrinkage);
    let of_sizes = radial.zip(tangential).zip(longitudinal).map(|((r, t), l)| shrinkage_volumetric(r, t, l));
    derived.set(Quantity::ShrinkageVolumetric, of_sizes, Route::Dimensions);
    derived.set(Quantity::ShrinkageVolumetric, of_volumes, Route::Volumes);
    let beyond = |value: Option<N>, normal| both(value, of(normal), collapse);
    let oven_dry = |value: Option<N>| value.filter(|_| !rules.is_conditioned);
    let of_cross = beyond(oven_dry(cross), Cause::NormalShrinkageCrossSection);
    derived.set(Quantity::Collapse, of_cross, Route::Dimensions);
    let of_volume = beyond(oven_dry(of_sizes), Cause::NormalShrinkageVolumetric);
    derived.set(Quantity::Collapse, of_volume, Route::Dimensions);
    derived.set(Quantity::Collapse, beyond(of_volumes, Cause::NormalShrinkageVolumetric), Route::Volumes);
}
