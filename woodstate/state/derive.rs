//! Every quantity of a piece from its readings, by every route: one set of formulas for values and derivatives.
#![allow(clippy::wildcard_imports, reason = "this is where every formula is used")]

use crate::quantity::{Number, Quantity};
use crate::reference::WaterCoefficients;

use super::loss::*;
use super::max_water_content::*;
use super::porosity::*;
use super::saturated_density::*;
use super::shrinkage::*;
use super::weighed::Weighed;
use super::{Cause, Route};

/// What is not a number and decides how a piece is derived.
#[derive(Debug, Clone, PartialEq)]
pub struct Rules<'a> {
    /// Whether stated values come before measured ones.
    pub stated_first: bool,
    /// Whether the dry sizes are conditioned, not oven-dry.
    pub is_conditioned: bool,
    /// Equations of state of water.
    pub water: &'a WaterCoefficients,
}

/// All results of a piece: the reported values, and every route to a water content and a density.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Derived<N> {
    values: [Option<(N, Route)>; Quantity::COUNT],
    water_contents: [Option<N>; Route::TO_MAX_WATER_CONTENT.len()],
    densities: [Option<N>; Route::TO_BASIC_DENSITY.len()],
    impossible: [Option<f64>; Route::TO_BASIC_DENSITY.len()],
}

impl<N: Number> Derived<N> {
    /// The reported value of a quantity and its route; `None` if unknown.
    #[must_use]
    pub fn value(&self, quantity: Quantity) -> Option<(N, Route)> {
        self.values[quantity as usize]
    }

    /// Every route to the maximum water content, in the order of reporting.
    pub fn water_contents(&self) -> impl Iterator<Item = (Route, N)> {
        Route::TO_MAX_WATER_CONTENT
            .into_iter()
            .zip(self.water_contents)
            .filter_map(|(route, value)| Some((route, value?)))
    }

    /// Every route to the basic density, in the order of reporting.
    pub fn densities(&self) -> impl Iterator<Item = (Route, N)> {
        Route::TO_BASIC_DENSITY.into_iter().zip(self.densities).filter_map(|(route, value)| Some((route, value?)))
    }

    /// Routes whose density lies outside 0 to that of the cell wall, with what they give, kg/m3.
    pub fn impossible(&self) -> impl Iterator<Item = (Route, f64)> {
        Route::TO_BASIC_DENSITY.into_iter().zip(self.impossible).filter_map(|(route, value)| Some((route, value?)))
    }

    fn set(&mut self, quantity: Quantity, value: Option<N>, route: Route) {
        if let Some(value) = value.filter(|value| value.value().is_finite()) {
            self.values[quantity as usize] = Some((value, route));
        }
    }

    fn plain(&self, quantity: Quantity) -> Option<N> {
        self.value(quantity).map(|(value, _)| value)
    }
}

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
    let wall = of(Cause::CellWallDensity);
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
    let sound_content = both(sound, wall, |sound, wall| {
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

/// The first route with a value, or the stated one where it comes first.
fn first<N: Number, const R: usize>(
    values: &[Option<N>; R],
    stated: Route,
    order: &[Route; R],
    rules: &Rules<'_>,
) -> Option<(N, Route)> {
    let known = |wanted: Option<Route>| {
        let mut routes =
            order.iter().zip(values).filter(move |(route, _)| wanted.is_none_or(|wanted| wanted == **route));
        routes.find_map(|(route, value)| Some(((*value)?, *route)))
    };
    known(Some(stated).filter(|_| rules.stated_first)).or_else(|| known(None))
}

pub(super) fn both<N: Number>(a: Option<N>, b: Option<N>, formula: impl FnOnce(N, N) -> N) -> Option<N> {
    Some(formula(a?, b?))
}

pub(super) fn possible_density<N: Number>(density: N, wall: Option<N>) -> Option<N> {
    let highest = wall.map_or(f64::INFINITY, Number::value);
    (density.value() > 0.0 && density.value() < highest).then_some(density)
}
