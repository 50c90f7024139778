//! The columns of the three tables: names, units, what is allowed.

use crate::error::near;
use crate::quantity::{Quantity, QuantitySpec};

/// One of the three tables.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum TableKind {
    /// One row a piece that was measured.
    Samples,
    /// One row a timber.
    Timbers,
    /// One row a date and tank or timber.
    Log,
}

impl TableKind {
    /// All three.
    pub const ALL: [Self; 3] = [Self::Samples, Self::Timbers, Self::Log];

    /// Name of its sheet, its file and its part of the study file.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Samples => "samples",
            Self::Timbers => "timbers",
            Self::Log => "log",
        }
    }

    /// Its columns, the derived quantities included where they may be stated.
    pub fn columns(self) -> impl Iterator<Item = &'static ColumnSpec> {
        let (own, stated): (&[ColumnSpec], &[ColumnSpec]) = match self {
            Self::Samples => (SAMPLES, &STATED),
            Self::Timbers => (TIMBERS, &[]),
            Self::Log => (LOG, &[]),
        };
        own.iter().chain(stated)
    }

    /// The column with this name; timber columns may stand among the samples.
    #[must_use]
    pub fn column(self, name: &str) -> Option<&'static ColumnSpec> {
        self.columns().chain(self.guests()).find(|column| column.name == name)
    }

    /// Columns of another table that may stand in this one.
    pub(super) fn guests(self) -> &'static [ColumnSpec] {
        if self == Self::Samples { TIMBERS } else { &[] }
    }
}

/// What a column holds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum ColumnType {
    /// Any text; names and numbers of finds are text.
    Text,
    /// One of a list of words; an empty cell is unknown.
    Word(&'static [&'static str]),
    /// A day.
    Date,
    /// A measured number.
    Number {
        /// UCUM code of the unit in which it is kept.
        unit: &'static str,
        /// Smallest allowed value.
        low: f64,
        /// Largest allowed value.
        high: f64,
    },
}

/// A column: its name, its group, what it holds and means.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ColumnSpec {
    /// Name in files and results.
    pub name: &'static str,
    /// Group of columns that belong together.
    pub group: &'static str,
    /// What it holds.
    pub holds: ColumnType,
    /// What it means, in one sentence.
    pub meaning: &'static str,
}

impl ColumnSpec {
    /// Its header in a file: the name, and the unit of a number in square brackets.
    #[must_use]
    pub fn header(&self) -> String {
        self.headed(self.name)
    }

    /// Header of the column of its standard uncertainties.
    #[must_use]
    pub fn header_of_u(&self) -> String {
        self.headed(&format!("u({})", self.name))
    }

    fn headed(&self, name: &str) -> String {
        match self.holds {
            // The code of pH has its brackets already.
            ColumnType::Number { unit, .. } if unit.starts_with('[') => format!("{name} {unit}"),
            ColumnType::Number { unit, .. } => format!("{name} [{unit}]"),
            ColumnType::Text | ColumnType::Word(_) | ColumnType::Date => name.to_owned(),
        }
    }

    /// What a cell may hold, in words.
    #[must_use]
    pub fn allowed(&self) -> String {
        match self.holds {
            ColumnType::Text => "any text".to_owned(),
            ColumnType::Word(words) => words.join(", "),
            ColumnType::Date => "a day as year-month-day, such as 2024-05-01".to_owned(),
            ColumnType::Number { unit, low, high } => format!("a number from {low} to {high} {unit}"),
        }
    }

    /// The word of the list that a text means, ignoring case and taking `_`, `-` and space as the same.
    ///
    /// # Errors
    /// The nearest words of the list, if it has no such word or there is no list.
    pub fn word_of(&self, text: &str) -> Result<&'static str, Vec<&'static str>> {
        let ColumnType::Word(allowed) = self.holds else { return Err(Vec::new()) };
        let (plain, words) = (text.trim().to_lowercase().replace([' ', '-'], "_"), || allowed.iter().copied());
        words().find(|word| *word == plain).ok_or_else(|| near(text, words()))
    }
}

const fn text(name: &'static str, group: &'static str, meaning: &'static str) -> ColumnSpec {
    ColumnSpec { name, group, holds: ColumnType::Text, meaning }
}

const fn word(
    name: &'static str,
    group: &'static str,
    words: &'static [&'static str],
    meaning: &'static str,
) -> ColumnSpec {
    ColumnSpec { name, group, holds: ColumnType::Word(words), meaning }
}

const fn date(name: &'static str, group: &'static str, meaning: &'static str) -> ColumnSpec {
    ColumnSpec { name, group, holds: ColumnType::Date, meaning }
}

const fn number(
    name: &'static str,
    group: &'static str,
    unit: &'static str,
    (low, high): (f64, f64),
    meaning: &'static str,
) -> ColumnSpec {
    ColumnSpec { name, group, holds: ColumnType::Number { unit, low, high }, meaning }
}

const METALS: &[&str] = &["none", "iron", "copper_alloy", "lead", "other", "unknown"];
const TREATMENTS: &[&str] = &["none", "peg", "sugar", "alum", "resin", "biocide", "other", "unknown"];

const MASS: (f64, f64) = (1e-6, 1e6);
const SIZE: (f64, f64) = (1e-3, 1e5);
const SHARE: (f64, f64) = (0.0, 100.0);
const STRENGTH: (f64, f64) = (0.0, 1000.0);

const SAMPLES: &[ColumnSpec] = &[
    text("sample", "who", "Name of the piece, unique in the table."),
    text("timber", "who", "Timber that the piece comes from."),
    text("core_id", "who", "Core that the piece was cut from."),
    text("site", "who", "Site."),
    text("context", "who", "Context of the excavation."),
    text("find_number", "who", "Find number."),
    text("replicate", "who", "Number of a repeat measurement of the same piece."),
    date("date_sampled", "who", "Day on which the piece was taken."),
    text("photo", "who", "Photograph."),
    text("note", "who", "Note."),
    text("taxon", "wood", "Wood as the anatomist names it."),
    text("taxon_certainty", "wood", "How sure the identification is."),
    word(
        "wood_zone",
        "wood",
        &["heartwood", "sapwood", "transition", "mixed", "pith", "knot", "bark", "reaction_wood", "unknown"],
        "Part of the stem.",
    ),
    text("face", "where", "Face of the timber from which the depth counts."),
    number("position_along", "where", "mm", (0.0, 1e6), "Place along the timber."),
    word("core_direction", "where", &["radial", "tangential", "oblique"], "Direction of the core."),
    number("depth_from", "where", "mm", (0.0, 1e5), "Depth at which the piece begins."),
    number("depth_to", "where", "mm", (0.0, 1e5), "Depth at which the piece ends."),
    word(
        "depth_reference",
        "where",
        &["present_surface", "worked_face", "waney_edge"],
        "Surface from which the depth counts.",
    ),
    number("core_recovery", "where", "%", (0.0, 110.0), "Length of core brought up, as a share of the length cut."),
    word(
        "charring",
        "condition",
        &["none", "surface", "partial", "through", "unknown"],
        "How far the piece is charred.",
    ),
    number("borer_damage", "condition", "%", SHARE, "Share of the piece lost to shipworm or gribble."),
    word("cracks", "condition", &["none", "few", "many", "unknown"], "Cracks."),
    word(
        "decay_type",
        "condition",
        &["erosion_bacteria", "tunnelling_bacteria", "soft_rot", "brown_rot", "white_rot", "mixed", "unknown"],
        "What decayed the wood.",
    ),
    word("metal", "condition", METALS, "Metal in or on the piece."),
    word("prior_treatment", "condition", TREATMENTS, "Treatment before sampling."),
    number("mass_as_received", "mass", "g", MASS, "Mass as the piece came in."),
    number("mass_saturated", "mass", "g", MASS, "Mass in air of the fully saturated piece, surface water removed."),
    number("mass_oven_dry", "mass", "g", MASS, "Mass after drying to constant mass in the oven."),
    number("mass_air_dry", "mass", "g", MASS, "Mass in balance with room air; never used as oven-dry mass."),
    number("mass_immersed", "mass", "g", (-1e6, 1e6), "Mass read while the piece hangs under water below the balance."),
    number("mass_displaced", "mass", "g", MASS, "Rise of a tared vessel of water while the piece is held under."),
    number("mass_sinker_immersed", "mass", "g", MASS, "Mass read while the sinker alone hangs under water."),
    number("weighing_water_temperature", "water", "Cel", (-2.0, 40.0), "Temperature of the water for weighing."),
    number("weighing_water_salinity", "water", "g/kg", (0.0, 42.0), "Salinity of the water for weighing."),
    number("pore_water_salinity", "water", "g/kg", (0.0, 42.0), "Salinity of the water in the wood."),
    number("volume_saturated", "volume", "cm3", (1e-6, 1e9), "Volume of the saturated piece."),
    number("volume_oven_dry", "volume", "cm3", (1e-6, 1e9), "Volume of the oven-dry piece."),
    word("sample_form", "volume", &["cylinder", "prism", "irregular"], "Shape that was measured by calliper."),
    number("piece_diameter", "volume", "mm", SIZE, "Diameter of a cylinder, saturated."),
    number("piece_length", "volume", "mm", SIZE, "Length, saturated."),
    number("piece_width", "volume", "mm", SIZE, "Width of a prism, saturated."),
    number("piece_thickness", "volume", "mm", SIZE, "Thickness of a prism, saturated."),
    number("water_content_dry_basis", "stated", "%", (0.0, 1e4), "Water over oven-dry mass, saturated piece."),
    number("water_content_wet_basis", "stated", "%", (0.0, 99.9), "Water over total mass, saturated piece."),
    number("density_12", "stated", "kg/m3", (10.0, 1600.0), "Density at 12 % moisture content."),
    number(
        "shrinkage_coefficient",
        "stated",
        "1",
        (0.01, 2.0),
        "Volumetric shrinkage per unit of moisture content, on the saturated volume.",
    ),
    number("fibre_saturation", "stated", "%", (5.0, 60.0), "Fibre saturation point."),
    number("radial_saturated", "dimensions", "mm", SIZE, "Radial size, saturated."),
    number("radial_oven_dry", "dimensions", "mm", SIZE, "Radial size, oven-dry."),
    number("radial_conditioned", "dimensions", "mm", SIZE, "Radial size, conditioned."),
    number("tangential_saturated", "dimensions", "mm", SIZE, "Tangential size, saturated."),
    number("tangential_oven_dry", "dimensions", "mm", SIZE, "Tangential size, oven-dry."),
    number("tangential_conditioned", "dimensions", "mm", SIZE, "Tangential size, conditioned."),
    number("longitudinal_saturated", "dimensions", "mm", SIZE, "Size along the grain, saturated."),
    number("longitudinal_oven_dry", "dimensions", "mm", SIZE, "Size along the grain, oven-dry."),
    number("longitudinal_conditioned", "dimensions", "mm", SIZE, "Size along the grain, conditioned."),
    number("conditioning_rh", "dimensions", "%", SHARE, "Relative humidity of conditioning."),
    number("ash_content", "composition", "%", SHARE, "Ash, share of oven-dry mass."),
    number("extractives", "composition", "%", SHARE, "Extractives, share of oven-dry mass."),
    number("lignin", "composition", "%", SHARE, "Lignin, share of oven-dry mass."),
    number("holocellulose", "composition", "%", SHARE, "Holocellulose, share of oven-dry mass."),
    number("cellulose", "composition", "%", SHARE, "Cellulose, share of oven-dry mass."),
    number("hemicellulose", "composition", "%", SHARE, "Hemicellulose, share of oven-dry mass."),
    number("iron_in_wood", "chemistry", "mg/kg", (0.0, 1e6), "Iron, share of oven-dry mass."),
    number("sulfur_in_wood", "chemistry", "mg/kg", (0.0, 1e6), "Sulfur, share of oven-dry mass."),
    number("sulfur_reduced_in_wood", "chemistry", "mg/kg", (0.0, 1e6), "Reduced sulfur, share of oven-dry mass."),
    number("chloride_in_wood", "chemistry", "mg/kg", (0.0, 1e6), "Chloride, share of oven-dry mass."),
    number("ph_wood", "chemistry", "[pH]", (0.0, 14.0), "Acidity of the wood."),
    word(
        "condition_at_test",
        "mechanics",
        &["saturated", "conditioned", "treated"],
        "State of the piece in the strength test.",
    ),
    number("bending_strength", "mechanics", "MPa", STRENGTH, "Modulus of rupture."),
    number("bending_modulus", "mechanics", "MPa", (0.0, 1e5), "Modulus of elasticity in bending."),
    number("compression_parallel", "mechanics", "MPa", STRENGTH, "Compression strength along the grain."),
    number("compression_radial", "mechanics", "MPa", STRENGTH, "Compression strength, radial."),
    number("compression_tangential", "mechanics", "MPa", STRENGTH, "Compression strength, tangential."),
    number("shear_parallel", "mechanics", "MPa", STRENGTH, "Shear strength along the grain."),
    number("janka_side", "mechanics", "N", (0.0, 1e5), "Janka hardness, side."),
    number("janka_end", "mechanics", "N", (0.0, 1e5), "Janka hardness, end."),
    number("brinell", "mechanics", "MPa", STRENGTH, "Brinell hardness."),
    number("pin_penetration", "mechanics", "mm", (0.0, 1e3), "Depth of a driven pin."),
    number("pin_diameter", "mechanics", "mm", (0.1, 50.0), "Diameter of the pin."),
];

const TIMBERS: &[ColumnSpec] = &[
    text("timber", "who", "Name of the timber, unique in the table."),
    text("taxon", "wood", "Wood as the anatomist names it."),
    number("timber_length", "size", "m", (1e-3, 200.0), "Length of the timber."),
    number("timber_width", "size", "mm", (1.0, 1e4), "Width of a squared timber or plank."),
    number("timber_height", "size", "mm", (1.0, 1e4), "Height of a squared timber or plank."),
    number("timber_diameter", "size", "mm", (1.0, 1e4), "Diameter of a round timber."),
    text("section_outline", "size", "Corners of any other section in their order, mm: x y; x y; x y."),
    word("metal", "condition", METALS, "Metal in or on the timber."),
    word("prior_treatment", "condition", TREATMENTS, "Treatment before sampling."),
    text("site", "who", "Site."),
    text("context", "who", "Context of the excavation."),
    text("find_number", "who", "Find number."),
    date("date_lifted", "who", "Day on which the timber was lifted."),
    text("control_of", "treatment", "Timber that this one is the untreated control of."),
    text("treatment", "treatment", "Treatment that the timber was given."),
    text("note", "who", "Note."),
];

const LOG: &[ColumnSpec] = &[
    date("date", "who", "Day of the reading."),
    text("tank", "who", "Tank."),
    text("timber", "who", "Timber."),
    number("mass_drained", "mass", "kg", (1e-3, 1e6), "Mass of the timber after draining."),
    number("bath_temperature", "bath", "Cel", (-5.0, 100.0), "Temperature of the bath."),
    number("concentration_mass_fraction", "bath", "%", SHARE, "Mass of solute over mass of solution."),
    number("concentration_mass_per_volume", "bath", "g/L", (0.0, 1500.0), "Mass of solute over volume of solution."),
    number("conductivity", "bath", "uS/cm", (0.0, 1e6), "Electrical conductivity of the bath."),
    number("chloride_in_water", "bath", "mg/L", (0.0, 1e6), "Chloride in the bath."),
    number("iron_in_water", "bath", "mg/L", (0.0, 1e6), "Iron in the bath."),
    number("ph_bath", "bath", "[pH]", (0.0, 14.0), "Acidity of the bath."),
    number("bath_volume", "bath", "L", (1e-3, 1e8), "Volume of the bath."),
    word("water_changed", "bath", &["yes", "no"], "Whether the water was changed."),
    text("note", "who", "Note."),
];

/// The derived quantities as columns that may be stated.
static STATED: [ColumnSpec; Quantity::COUNT] = stated();

const fn stated() -> [ColumnSpec; Quantity::COUNT] {
    let mut columns = [SAMPLES[0]; Quantity::COUNT];
    let mut place = 0;
    while place < Quantity::COUNT {
        let QuantitySpec { name, unit, low, high, meaning, .. } = Quantity::SPECS[place];
        columns[place] = number(name, "stated", unit, (low, high), meaning);
        place += 1;
    }
    columns
}
