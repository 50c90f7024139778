//! Every quantity of a piece from its readings, by every route: one set of formulas for values and derivatives.
#![allow(clippy::wildcard_imports, reason = "this is where every formula is used")]

use crate::quantity::{Number, Quantity};
use crate::reference::WaterCoefficients;

use super::basic_density::*;
use super::loss::*;
use super::max_water_content::*;
use super::pore_salt::*;
use super::porosity::*;
use super::saturated_density::*;
use super::shrinkage::*;
use super::volume::*;
use super::water_density::*;
use super::{Cause, Route};

/// What is not a number and decides how a piece is derived.
#[derive(Debug, Clone, PartialEq)]
pub struct Rules<'a> {
    /// Whether stated values come before measured ones.
    pub stated_first: bool,
    /// Whether the dry sizes are conditioned, not oven-dry.
    pub is_conditioned: bool,
    /// Normal volumetric shrinkage and shrinkage of the cross-section of the taxon, %.
    pub normal_shrinkage: Option<(f64, f64)>,
    /// Basic density over density at 12 %, where shrinkage and fibre saturation are unknown.
    pub basic_density_of_density_12: f64,
    /// Equations of state of water.
    pub water: &'a WaterCoefficients,
}

/// All results of a piece: the reported values, and every route to a water content and a density.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Derived<N> {
    values: [Option<(N, Route)>; Quantity::COUNT],
    water_contents: [Option<N>; Route::TO_MAX_WATER_CONTENT.len()],
    densities: [Option<N>; Route::TO_BASIC_DENSITY.len()],
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
    };
    let piece = Weighed::of(causes, rules);

    derived.water_contents = piece.water_contents(stated(Quantity::MaxWaterContent), &of);
    derived.densities = piece.densities(stated(Quantity::BasicDensity), &derived.water_contents, &of, rules);
    let water_route = first(&derived.water_contents, Route::Stated, &Route::TO_MAX_WATER_CONTENT, rules);
    let density_route = first(&derived.densities, Route::Stated, &Route::TO_BASIC_DENSITY, rules);
    if let Some((value, route)) = water_route {
        derived.set(Quantity::MaxWaterContent, Some(value), route);
    }
    if let Some((value, route)) = density_route {
        derived.set(Quantity::BasicDensity, Some(value), route);
    }

    let wall = of(Cause::CellWallDensity);
    let density = derived.plain(Quantity::BasicDensity);
    let sound = of(Cause::SoundBasicDensity);
    let pores = Some(piece.pore_density);
    let residual = both(density, sound, residual_basic_density);
    derived.set(Quantity::ResidualBasicDensity, residual, Route::Computed);
    derived.set(Quantity::Porosity, both(density, wall, porosity), Route::Computed);
    derived.set(Quantity::Saturation, piece.saturation(&derived, wall), Route::Computed);
    let saturated = density.zip(wall).map(|(density, wall)| saturated_density(density, piece.pore_density, wall));
    derived.set(Quantity::SaturatedDensity, saturated, Route::Computed);
    let submerged = saturated.map(|saturated| submerged_density(saturated, piece.weighing_density));
    derived.set(Quantity::SubmergedDensity, submerged, Route::Computed);
    let sinks = density.map(|density| sink_water_content(density, piece.weighing_density));
    derived.set(Quantity::SinkWaterContent, sinks, Route::Computed);
    let sound_content = sound
        .zip(wall)
        .zip(pores)
        .map(|((sound, wall), pores)| max_water_content_of_density(sound, pores, wall, N::exact(0.0)));
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

/// The masses, volumes and waters that the routes start from.
struct Weighed<N> {
    saturated: Option<N>,
    dry: Option<N>,
    displaced: Option<N>,
    immersed: Option<N>,
    geometric: Option<N>,
    weighing_density: N,
    pore_density: N,
    pore_salinity: N,
}

impl<N: Number> Weighed<N> {
    fn of(causes: &[Option<N>; Cause::COUNT], rules: &Rules<'_>) -> Self {
        let of = |cause: Cause| causes[cause.index()];
        let zero = N::exact(0.0);
        let calibrated = |cause: Cause| match of(Cause::BalanceCalibration) {
            Some(error) => of(cause).map(|mass| mass * (error + 1.0)),
            None => of(cause),
        };
        let temperature = of(Cause::WeighingTemperature).unwrap_or(N::exact(20.0));
        let pore_salinity = of(Cause::PoreSalinity).unwrap_or(zero);
        let density = |salinity| match of(Cause::WaterDensity) {
            Some(density) => density,
            None => water_density(temperature, salinity, rules.water),
        };
        let weighing_density = density(of(Cause::WeighingSalinity).unwrap_or(zero));
        let pore_density = density(pore_salinity);
        let saturated = calibrated(Cause::MassSaturated);
        let dried = calibrated(Cause::MassOvenDry);
        let dry = match saturated {
            Some(saturated) => dried.map(|dried| mass_without_salt(dried, saturated, pore_salinity)),
            // Without the saturated mass the salt in the dry mass is unknown, unless there is none.
            None => dried.filter(|_| of(Cause::PoreSalinity).is_none_or(|salinity| salinity.value() <= 0.0)),
        };
        let hung = calibrated(Cause::MassImmersed).map(|mass| match calibrated(Cause::MassSinkerImmersed) {
            Some(sinker) => mass - sinker,
            None => mass,
        });
        let displaced = of(Cause::VolumeSaturated)
            .or(calibrated(Cause::MassDisplaced).map(|mass| volume_displaced(mass, weighing_density)));
        let immersed = saturated.zip(hung).map(|(saturated, hung)| volume_immersed(saturated, hung, weighing_density));
        let cylinder = both(of(Cause::PieceDiameter), of(Cause::PieceLength), volume_cylinder);
        let prism = of(Cause::PieceLength)
            .zip(of(Cause::PieceWidth))
            .zip(of(Cause::PieceThickness))
            .map(|((length, width), thickness)| volume_prism(length, width, thickness));
        let possible = |volume: &N| volume.value() > 0.0;
        Self {
            saturated,
            dry,
            displaced: displaced.filter(possible),
            immersed: immersed.filter(possible),
            geometric: prism.or(cylinder).filter(possible),
            weighing_density,
            pore_density,
            pore_salinity,
        }
    }

    /// Density without drying, from the mass in air and whichever volume there is.
    fn undried(&self, wall: Option<N>) -> Option<N> {
        let volume = self.immersed.or(self.displaced).or(self.geometric)?;
        let density = basic_density_undried(self.saturated?, volume, self.pore_density, wall?);
        possible_density(density, wall)
    }

    fn water_contents(
        &self,
        stated: Option<N>,
        of: &impl Fn(Cause) -> Option<N>,
    ) -> [Option<N>; Route::TO_MAX_WATER_CONTENT.len()] {
        let wall = of(Cause::CellWallDensity);
        let from_density =
            |density: N| Some(max_water_content_of_density(density, self.pore_density, wall?, self.pore_salinity));
        let weighed =
            both(self.saturated, self.dry, |saturated, dry| max_water_content(saturated, dry, self.pore_salinity));
        let stated = stated.or(of(Cause::WaterContentDryBasis)).or(of(Cause::WaterContentWetBasis).map(dry_basis));
        let measured = self.dry.zip(self.displaced.or(self.immersed).or(self.geometric));
        let measured = measured.and_then(|(dry, volume)| possible_density(basic_density(dry, volume), wall));
        [weighed, stated, self.undried(wall).and_then(from_density), measured.and_then(from_density)]
            .map(|content| content.filter(|content| content.value() >= 0.0 && content.value().is_finite()))
    }

    fn densities(
        &self,
        stated: Option<N>,
        water_contents: &[Option<N>; Route::TO_MAX_WATER_CONTENT.len()],
        of: &impl Fn(Cause) -> Option<N>,
        rules: &Rules<'_>,
    ) -> [Option<N>; Route::TO_BASIC_DENSITY.len()] {
        let wall = of(Cause::CellWallDensity);
        let over = |volume: Option<N>| both(self.dry, volume, basic_density);
        let [weighed, stated_content, ..] = *water_contents;
        let from_content = weighed.or(stated_content).zip(wall).map(|(content, wall)| {
            basic_density_of_water_content(content, self.pore_density, wall, self.pore_salinity)
        });
        let at_12 =
            of(Cause::Density12).map(|density| match of(Cause::ShrinkageCoefficient).zip(of(Cause::FibreSaturation)) {
                Some((coefficient, fibre)) => basic_density_of_density_12(density, coefficient, fibre),
                None => density * rules.basic_density_of_density_12,
            });
        [
            over(self.displaced),
            over(self.immersed),
            over(self.geometric),
            stated,
            self.undried(wall),
            from_content,
            at_12,
        ]
        .map(|density| density.and_then(|density| possible_density(density, wall)))
    }

    /// Filling of the pores, where water content and density do not come from one another.
    fn saturation(&self, derived: &Derived<N>, wall: Option<N>) -> Option<N> {
        let (content, content_route) = derived.value(Quantity::MaxWaterContent)?;
        let (density, density_route) = derived.value(Quantity::BasicDensity)?;
        let is_content_measured = matches!(content_route, Route::Weighed | Route::Stated);
        let is_density_measured =
            matches!(density_route, Route::Displaced | Route::Immersed | Route::Geometric | Route::Stated);
        if !(is_content_measured && is_density_measured) {
            return None;
        }
        Some(saturation(content, density, self.pore_density, wall?, self.pore_salinity))
    }
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
    let Some((normal_volume, normal_cross)) = rules.normal_shrinkage else { return };
    let beyond = |value: Option<N>, normal| value.map(|value| collapse(value, N::exact(normal)));
    let is_oven_dry = !rules.is_conditioned;
    derived.set(Quantity::Collapse, beyond(cross.filter(|_| is_oven_dry), normal_cross), Route::Dimensions);
    derived.set(Quantity::Collapse, beyond(of_sizes.filter(|_| is_oven_dry), normal_volume), Route::Dimensions);
    derived.set(Quantity::Collapse, beyond(of_volumes, normal_volume), Route::Volumes);
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

fn both<N: Number>(a: Option<N>, b: Option<N>, formula: impl FnOnce(N, N) -> N) -> Option<N> {
    Some(formula(a?, b?))
}

fn possible_density<N: Number>(density: N, wall: Option<N>) -> Option<N> {
    let highest = wall.map_or(f64::INFINITY, Number::value);
    (density.value() > 0.0 && density.value() < highest).then_some(density)
}
