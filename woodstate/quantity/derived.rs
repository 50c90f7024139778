//! The derived quantities: the words that stand in results, and are legal input columns too.

/// A derived quantity: what it is called, its unit and what it means.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct QuantitySpec {
    /// The word in files, commands, JSON and reports.
    pub name: &'static str,
    /// UCUM code.
    pub unit: &'static str,
    /// Smallest value a stated one can have, in `unit`.
    pub low: f64,
    /// Largest value a stated one can have, in `unit`.
    pub high: f64,
    /// Column head in a table for people.
    pub title: &'static str,
    /// Formula in words and symbols.
    pub formula: &'static str,
    /// What it means, in one sentence.
    pub meaning: &'static str,
}

macro_rules! quantities {
    ($($variant:ident $name:literal [$unit:literal $low:literal $high:literal] $title:literal = $formula:literal $meaning:literal)*) => {
        /// A derived quantity.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum Quantity {
            $(#[doc = $meaning] $variant),*
        }

        impl Quantity {
            /// All quantities, in the order in which they are listed.
            pub const ALL: &'static [Self] = &[$(Self::$variant),*];

            /// How many there are.
            pub const COUNT: usize = Self::ALL.len();

            pub(crate) const SPECS: &'static [QuantitySpec] = &[$(QuantitySpec {
                name: $name,
                unit: $unit,
                low: $low,
                high: $high,
                title: $title,
                formula: $formula,
                meaning: $meaning,
            }),*];
        }
    };
}

quantities! {
    MaxWaterContent "max_water_content" ["%" 0.0 10000.0] "max. water content" = "100 (m_w - m_0) / m_0"
        "Water in the fully saturated piece, as a share of its oven-dry mass."
    BasicDensity "basic_density" ["kg/m3" 1.0 1600.0] "basic density" = "m_0 / V"
        "Oven-dry mass over waterlogged volume."
    ResidualBasicDensity "residual_basic_density" ["%" 0.0 300.0] "residual basic density" = "100 rho_b / rho_ref"
        "Basic density as a share of that of sound wood of the taxon."
    LossOfWoodSubstance "loss_of_wood_substance" ["%" -200.0 100.0] "loss of wood substance" = "100 - residual basic density"
        "Share of the wood substance that is gone; negative where the piece is denser than the reference. Not the loss of wood-substance density."
    Porosity "porosity" ["%" 0.0 100.0] "porosity" = "100 (1 - rho_b / rho_c)"
        "Share of the waterlogged volume that is not cell wall; bound water counts as pore."
    Saturation "saturation" ["%" 0.0 200.0] "saturation" = "100 ((m_w - m_0) / rho_w) / (V - m_0 / rho_c)"
        "Share of the pore volume that was filled with water when the piece was weighed."
    SaturatedDensity "saturated_density" ["kg/m3" 900.0 1700.0] "saturated density" = "rho_w + rho_b (1 - rho_w / rho_c)"
        "Mass of the fully saturated piece over its volume."
    SubmergedDensity "submerged_density" ["kg/m3" -100.0 700.0] "submerged density" = "saturated density - rho_w"
        "Weight of the saturated piece under water like that in its pores, as mass over volume."
    SinkWaterContent "sink_water_content" ["%" -50.0 10000.0] "sinks above" = "100 (rho_w / rho_b - 1)"
        "Water content above which the piece sinks in water like that in its pores; below it, it floats. Negative for wood that always sinks."
    SoundMaxWaterContent "sound_max_water_content" ["%" 0.0 2000.0] "sound wood would hold" = "100 (rho_w / rho_ref - rho_w / rho_c)"
        "Water that saturated sound wood of the taxon would hold, from theory."
    ShrinkageRadial "shrinkage_radial" ["%" -50.0 100.0] "radial shrinkage" = "100 (L_w - L_0) / L_w"
        "Loss of radial size on drying, as a share of the saturated size."
    ShrinkageTangential "shrinkage_tangential" ["%" -50.0 100.0] "tangential shrinkage" = "100 (L_w - L_0) / L_w"
        "Loss of tangential size on drying, as a share of the saturated size."
    ShrinkageLongitudinal "shrinkage_longitudinal" ["%" -50.0 100.0] "longitudinal shrinkage" = "100 (L_w - L_0) / L_w"
        "Loss of length along the grain on drying, as a share of the saturated size."
    ShrinkageCrossSection "shrinkage_cross_section" ["%" -50.0 100.0] "cross-section shrinkage" = "100 - (100 - b_R)(100 - b_T) / 100"
        "Loss of area across the grain on drying."
    ShrinkageVolumetric "shrinkage_volumetric" ["%" -50.0 100.0] "volumetric shrinkage" = "100 (V_w - V_0) / V_w, or 100 - (100 - b_R)(100 - b_T)(100 - b_L) / 10000"
        "Loss of volume on drying."
    Collapse "collapse" ["%" -50.0 100.0] "collapse" = "measured - normal shrinkage"
        "Shrinkage beyond that of sound wood of the taxon: volumetric where it was measured, otherwise of the cross-section."
    OrganicBasicDensity "organic_basic_density" ["kg/m3" 1.0 1600.0] "ash-free basic density" = "rho_b (1 - a)"
        "Basic density without ash."
}

impl Quantity {
    /// Name, unit and meaning.
    #[must_use]
    pub fn spec(self) -> &'static QuantitySpec {
        &Self::SPECS[self as usize]
    }

    /// The word in files, commands, JSON and reports.
    #[must_use]
    pub fn name(self) -> &'static str {
        self.spec().name
    }

    /// The quantity with this word.
    #[must_use]
    pub fn of_name(name: &str) -> Option<Self> {
        Self::ALL.iter().copied().find(|quantity| quantity.name() == name)
    }
}
