//! The causes of a result: readings of one piece, and what many pieces share.

use crate::quantity::Quantity;

/// Something that a result depends on and that has an uncertainty.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Cause {
    /// Mass in air of the saturated piece, g.
    MassSaturated,
    /// Oven-dry mass, g.
    MassOvenDry,
    /// Mass read under water, g.
    MassImmersed,
    /// Mass of displaced water, g.
    MassDisplaced,
    /// Mass of the sinker under water, g.
    MassSinkerImmersed,
    /// Volume of the saturated piece, cm3.
    VolumeSaturated,
    /// Volume of the oven-dry piece, cm3.
    VolumeOvenDry,
    /// Diameter, mm.
    PieceDiameter,
    /// Length, mm.
    PieceLength,
    /// Width, mm.
    PieceWidth,
    /// Thickness, mm.
    PieceThickness,
    /// Stated water content, % of dry mass.
    WaterContentDryBasis,
    /// Stated water content, % of total mass.
    WaterContentWetBasis,
    /// Density at 12 % moisture content, kg/m3.
    Density12,
    /// Volumetric shrinkage per unit of moisture content.
    ShrinkageCoefficient,
    /// Fibre saturation point, %.
    FibreSaturation,
    /// Radial size, saturated, mm.
    RadialSaturated,
    /// Radial size, dry, mm.
    RadialDry,
    /// Tangential size, saturated, mm.
    TangentialSaturated,
    /// Tangential size, dry, mm.
    TangentialDry,
    /// Size along the grain, saturated, mm.
    LongitudinalSaturated,
    /// Size along the grain, dry, mm.
    LongitudinalDry,
    /// Ash, % of oven-dry mass.
    AshContent,
    /// Density of the cell wall, kg/m3: shared.
    CellWallDensity,
    /// Basic density of sound wood of the taxon, kg/m3: shared by the pieces of a taxon.
    SoundBasicDensity,
    /// Temperature of the water for weighing, °C: shared.
    WeighingTemperature,
    /// Salinity of the water for weighing, g/kg: shared.
    WeighingSalinity,
    /// Salinity of the pore water, g/kg: shared.
    PoreSalinity,
    /// Relative error common to all weighings, as a fraction: shared.
    BalanceCalibration,
    /// Density of all water, kg/m3, where it is stated instead of computed: shared.
    WaterDensity,
    /// Normal volumetric shrinkage of the taxon, %: shared by the pieces of a taxon.
    NormalShrinkageVolumetric,
    /// Normal shrinkage of the cross-section of the taxon, %: shared by the pieces of a taxon.
    NormalShrinkageCrossSection,
    /// Basic density over density at 12 % moisture content, where no better conversion is known: shared.
    Density12Factor,
    /// Density of ash, kg/m3, where the cell wall is corrected for it: shared.
    AshDensity,
    /// A derived quantity that was stated, in its own unit.
    Stated(Quantity),
}

impl Cause {
    const FIRST_SHARED: usize = Self::CellWallDensity.index();
    const FIRST_STATED: usize = 34;

    /// How many causes there are.
    pub const COUNT: usize = Self::FIRST_STATED + Quantity::COUNT;

    /// How many of them are shared by many pieces.
    pub const SHARED: usize = Self::FIRST_STATED - Self::FIRST_SHARED;

    /// Place of the cause in a list of all causes.
    #[must_use]
    pub const fn index(self) -> usize {
        match self {
            Self::MassSaturated => 0,
            Self::MassOvenDry => 1,
            Self::MassImmersed => 2,
            Self::MassDisplaced => 3,
            Self::MassSinkerImmersed => 4,
            Self::VolumeSaturated => 5,
            Self::VolumeOvenDry => 6,
            Self::PieceDiameter => 7,
            Self::PieceLength => 8,
            Self::PieceWidth => 9,
            Self::PieceThickness => 10,
            Self::WaterContentDryBasis => 11,
            Self::WaterContentWetBasis => 12,
            Self::Density12 => 13,
            Self::ShrinkageCoefficient => 14,
            Self::FibreSaturation => 15,
            Self::RadialSaturated => 16,
            Self::RadialDry => 17,
            Self::TangentialSaturated => 18,
            Self::TangentialDry => 19,
            Self::LongitudinalSaturated => 20,
            Self::LongitudinalDry => 21,
            Self::AshContent => 22,
            Self::CellWallDensity => 23,
            Self::SoundBasicDensity => 24,
            Self::WeighingTemperature => 25,
            Self::WeighingSalinity => 26,
            Self::PoreSalinity => 27,
            Self::BalanceCalibration => 28,
            Self::WaterDensity => 29,
            Self::NormalShrinkageVolumetric => 30,
            Self::NormalShrinkageCrossSection => 31,
            Self::Density12Factor => 32,
            Self::AshDensity => 33,
            Self::Stated(quantity) => Self::FIRST_STATED + quantity as usize,
        }
    }

    /// Whether the cause belongs to the wood, so that only pieces of one taxon share it.
    #[must_use]
    pub(super) fn is_of_taxon(index: usize) -> bool {
        [Self::SoundBasicDensity, Self::NormalShrinkageVolumetric, Self::NormalShrinkageCrossSection]
            .iter()
            .any(|cause| cause.index() == index)
    }

    /// Whether the shared cause at this place is shared by the pieces of one taxon alone.
    #[must_use]
    pub fn is_shared_by_taxon(place: usize) -> bool {
        Self::is_of_taxon(Self::FIRST_SHARED + place)
    }

    /// Place among the shared causes; `None` for a reading of one piece.
    #[must_use]
    pub fn shared_index(index: usize) -> Option<usize> {
        index.checked_sub(Self::FIRST_SHARED).filter(|place| *place < Self::SHARED)
    }

    /// The readings and the table columns they come from; the dry sizes come from two columns and stand apart.
    pub const READINGS: [(Self, &'static str); 17] = [
        (Self::MassSaturated, "mass_saturated"),
        (Self::MassOvenDry, "mass_oven_dry"),
        (Self::MassImmersed, "mass_immersed"),
        (Self::MassDisplaced, "mass_displaced"),
        (Self::MassSinkerImmersed, "mass_sinker_immersed"),
        (Self::VolumeSaturated, "volume_saturated"),
        (Self::VolumeOvenDry, "volume_oven_dry"),
        (Self::PieceDiameter, "piece_diameter"),
        (Self::PieceLength, "piece_length"),
        (Self::PieceWidth, "piece_width"),
        (Self::PieceThickness, "piece_thickness"),
        (Self::WaterContentDryBasis, "water_content_dry_basis"),
        (Self::WaterContentWetBasis, "water_content_wet_basis"),
        (Self::Density12, "density_12"),
        (Self::ShrinkageCoefficient, "shrinkage_coefficient"),
        (Self::FibreSaturation, "fibre_saturation"),
        (Self::AshContent, "ash_content"),
    ];

    /// The three directions: name of the columns, saturated size, dry size.
    pub const DIRECTIONS: [(&'static str, Self, Self); 3] = [
        ("radial", Self::RadialSaturated, Self::RadialDry),
        ("tangential", Self::TangentialSaturated, Self::TangentialDry),
        ("longitudinal", Self::LongitudinalSaturated, Self::LongitudinalDry),
    ];
}
