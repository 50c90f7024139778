//! What was weighed and measured of a piece, and the routes that lead from there to a density.
#![allow(clippy::wildcard_imports, reason = "this is where every formula is used")]

use crate::quantity::{Number, Quantity};

use super::basic_density::*;
use super::cell_wall::*;
use super::derived::{both, possible_density};
use super::max_water_content::*;
use super::pore_salt::*;
use super::porosity::*;
use super::volume::*;
use super::water_density::*;
use super::{Cause, Derived, Route, Rules};

/// The masses, volumes and waters that the routes start from.
pub(super) struct Weighed<N> {
    saturated: Option<N>,
    dry: Option<N>,
    displaced: Option<N>,
    immersed: Option<N>,
    geometric: Option<N>,
    /// Density of the cell wall, with its ash where that is known.
    pub(super) wall: Option<N>,
    pub(super) pore_density: N,
    pub(super) pore_salinity: N,
}

impl<N: Number> Weighed<N> {
    pub(super) fn of(causes: &[Option<N>; Cause::COUNT], rules: &Rules<'_>) -> Self {
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
            None => dried.filter(|_| of(Cause::PoreSalinity).is_none_or(|salinity| !salinity.is_above(zero))),
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
        let clean = of(Cause::CellWallDensity);
        let wall = clean
            .zip(of(Cause::AshDensity))
            .zip(of(Cause::AshContent))
            .map(|((clean, ash_density), ash)| cell_wall_density_with_ash(clean, ash_density, ash))
            .or(clean);
        Self { saturated, dry, displaced, immersed, geometric: prism.or(cylinder), wall, pore_density, pore_salinity }
    }

    /// Density without drying, from the mass in air and whichever volume there is.
    fn undried(&self, wall: Option<N>) -> Option<N> {
        let volume = self.immersed.or(self.displaced).or(self.geometric)?;
        Some(basic_density_undried(self.saturated?, volume, self.pore_density, wall?))
    }

    /// Water content by every route.
    pub(super) fn water_contents(
        &self,
        stated: Option<N>,
        of: &impl Fn(Cause) -> Option<N>,
    ) -> [Option<N>; Route::TO_MAX_WATER_CONTENT.len()] {
        let wall = self.wall;
        let from_density = |density: N| {
            let density = possible_density(density, wall)?;
            Some(max_water_content_of_density(density, self.pore_density, wall?, self.pore_salinity))
        };
        let weighed =
            both(self.saturated, self.dry, |saturated, dry| max_water_content(saturated, dry, self.pore_salinity));
        let stated = stated.or(of(Cause::WaterContentDryBasis)).or(of(Cause::WaterContentWetBasis).map(dry_basis));
        let measured = both(self.dry, self.displaced.or(self.immersed).or(self.geometric), basic_density);
        [weighed, stated, self.undried(wall).and_then(from_density), measured.and_then(from_density)]
            .map(|content| content.filter(|content| content.is_finite() && !N::exact(0.0).is_above(*content)))
    }

    /// Density by every route, the impossible ones among them.
    pub(super) fn densities(
        &self,
        stated: Option<N>,
        water_contents: &[Option<N>; Route::TO_MAX_WATER_CONTENT.len()],
        of: &impl Fn(Cause) -> Option<N>,
    ) -> [Option<N>; Route::TO_BASIC_DENSITY.len()] {
        let wall = self.wall;
        let over = |volume: Option<N>| both(self.dry, volume, basic_density);
        let [weighed, stated_content, ..] = *water_contents;
        let from_content = weighed.or(stated_content).zip(wall).map(|(content, wall)| {
            basic_density_of_water_content(content, self.pore_density, wall, self.pore_salinity)
        });
        let at_12 = of(Cause::Density12).and_then(|density| {
            match of(Cause::ShrinkageCoefficient).zip(of(Cause::FibreSaturation)) {
                Some((coefficient, fibre)) => Some(basic_density_of_density_12(density, coefficient, fibre)),
                None => Some(density * of(Cause::Density12Factor)?),
            }
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
    }

    /// Filling of the pores, where water content and density do not come from one another.
    pub(super) fn saturation(&self, derived: &Derived<N>, wall: Option<N>) -> Option<N> {
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
