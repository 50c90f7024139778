//! Cautions: what a person should know before using a result.

use schemars::JsonSchema;
use serde::{Serialize, Serializer};

use super::story::codes;

codes! {
    /// The word of a caution.
    CautionCode:
    NotSaturated "not-saturated" "not saturated: less water than the pores can hold"
        means "Mass and volume show that part of the pore space was not filled with water."
        so "The maximum water content is too low, so the piece looks better preserved than it is; densities from water content are too high. No class is decided."
        because "Air or gas left in the wood, or a volume that is too large."
        cure "saturate under vacuum and weigh again, or use a density from mass and volume; below 95 % by more than its uncertainty is a limit of ours (a proposal, not published)"
    SurfaceWater "surface-water" "more water than the pores can hold: surface water or a small volume"
        means "Mass and volume show more water than the pore space can hold."
        so "The maximum water content is too high, so the piece looks worse than it is. No class is decided."
        because "Water left on the surface, a volume that is too small, or a wrong cell-wall density."
        cure "blot and weigh again, or check the volume; above 105 % by more than its uncertainty is a limit of ours (a proposal, not published)"
    SaltPossible "salt-possible" "salinity of the pore water not recorded; computed as fresh"
        means "Nobody recorded how salty the water in the wood was."
        so "If the find comes from the sea and was not desalted, salt dried into the dry mass: a true 450 % reads 387 % at 35 g/kg. The uncertainty shown leaves this out. No class is decided where sea water would change it."
        because "No pore_water_salinity in the table and no pore_salinity in the study file."
        cure "measure the conductivity of the storage water, or write pore_salinity = \"0 g/kg\" under [water] if the wood was desalted"
    SaltDecides "salt-decides" "salinity of the pore water not recorded, and sea water would change the class"
        means "The class was computed for fresh water in the pores; with sea water it would be another, or unknown."
        so "No class is decided."
        because "No pore_water_salinity in the table and no pore_salinity in the study file."
        cure "measure the conductivity of the storage water, or write pore_salinity under [water] in woodstate.toml"
    WaterAssumed "water-assumed" "water for weighing not fully recorded; 20 ± 5 °C and fresh water stand in for what is missing"
        means "Temperature, its uncertainty or the salinity of the weighing water was not recorded."
        so "20 °C, ± 5 °C and fresh water stand in for what is missing. This changes densities by about 0.1 %; sea water would change them by 2.5 %."
        because "No weighing_water_temperature or weighing_water_salinity in the table, and none in the study file."
        cure "write weighing_temperature and weighing_salinity under [water] in woodstate.toml"
    UncertaintyUnknown "uncertainty-unknown" "uncertainty unknown: an input has none"
        means "A reading has no stated uncertainty, so that of the result is unknown too."
        so "The result has no ±, and its class is given without a probability and not decided."
        because "Neither a u(...) column nor an instrument of the study file covers the reading."
        cure "state the balance, the calliper or the volume method under [instruments] in woodstate.toml, or add a u(...) column"
    MonteCarlo "monte-carlo" "some uncertainties by Monte Carlo, because the formula bends within them"
        means "The uncertainty is so large that a straight-line propagation is not good enough for some of the results."
        so "Their uncertainty, interval and class probability come from random draws with the seed in the settings; the values are those computed from the readings."
        because "A very light piece, a difference of two nearly equal masses, or a reference for sound wood that few know well."
        cure "nothing to do; a larger piece, a finer balance or a reference of your own would help"
    RoutesDisagree "routes-disagree" "two routes to one quantity disagree"
        means "Two ways to the same density or water content differ by more than three times their combined uncertainty, or by more than 10 % where that is unknown."
        so "At least one reading is wrong. All routes are listed; the reported one follows the fixed order."
        because "Air in the piece, surface water, an irregular shape measured by calliper, or a swapped reading."
        cure "compare the routes and check the readings of the odd one"
    CellWallDecides "cell-wall-decides" "density without drying: the assumed cell-wall density decides its uncertainty"
        means "The piece was not dried, so its substance is computed from an assumed cell-wall density."
        so "An error of that density is common to all such pieces and does not average out."
        because "No oven-dry mass."
        cure "dry a part of the pieces, and compare"
    FromWaterContent "from-water-content" "density computed from the water content"
        means "The density was not measured: it was computed from the water content of a piece taken as saturated."
        so "It cannot confirm the water content, nor can one be plotted as evidence for the other."
        because "No volume, and no mass under water."
        cure "weigh the piece under water, or measure its volume"
    BelowSound "below-sound" "less water than sound wood of that taxon would hold"
        means "The water content lies well below that of saturated sound wood."
        so "The piece is not saturated, or it is another taxon, or minerals fill its pores."
        because "Air in the wood, a wrong name, bog iron or salts."
        cure "saturate under vacuum, check the taxon, measure the ash"
    ResidualAbove100 "residual-above-100" "residual density above 100 %"
        means "The piece is denser than the reference for sound wood."
        so "It is reported as it is. Loss of wood substance is then negative."
        because "Minerals, a reference that is too low for this tree, knots, or volume lost by collapse."
        cure "give a reference of your own under [references], and measure the ash"
    Mineralised "mineralised" "mineralised: no decay reading"
        means "The ash content lies above the stated limit."
        so "Mineral mass counts as wood, so no loss and no class are read."
        because "Bog iron, carbonates, sulfides or salts in the pores."
        cure "read the ash-free density; the limit is ash_limit in woodstate.toml (5 %, a proposal of ours)"
    Charred "charred" "charred: no decay reading"
        means "The piece is charred."
        so "Charred wood shows low water contents and high densities whatever its decay, so no loss and no class are read."
        because "Fire before or during burial, or wood worked with fire."
        cure "sample below the charred layer"
    ConditionUnknown "condition-unknown" "charring, borer damage, metal or earlier treatment unknown: read as if there were none"
        means "Nobody recorded whether the piece is charred, bored, near metal or was treated before."
        so "A charred, treated or mineral-filled piece looks better preserved than it is, a bored one worse."
        because "The columns charring, borer_damage, metal or prior_treatment are empty or say unknown."
        cure "look at the piece and write what you see; none is an answer, an empty cell is not"
    IronPossible "iron-possible" "iron: its minerals may count as wood"
        means "The piece or its timber holds iron, or lies near it."
        so "Rust and iron sulfides count as wood, so the piece looks better preserved than it is."
        because "Fastenings, or iron from the ground."
        cure "measure the ash; read the ash-free density"
    TaxonDoubtful "taxon-doubtful" "identification of the wood is not certain"
        means "The certainty of the identification is given as another word than certain."
        so "Everything that needs sound wood of the taxon, and the scope of the class scheme, rests on an uncertain name."
        because "A small or badly preserved sample."
        cure "have the wood identified again before the class is used"
    RepeatsDiffer "repeats-differ" "repeats of one reading differ by more than 5 %: no class is decided"
        means "A piece was measured more than once and its readings differ more than balances do."
        so "Their mean is used, and their scatter is in the uncertainty, which two repeats hardly show."
        because "A slip in one of them, water lost between weighings, or two pieces under one name."
        cure "measure again; 5 % is a limit of ours (a proposal, not published)"
    ShapeUnknown "shape-unknown" "sizes of two shapes and no sample_form: no volume from them"
        means "Diameter and width are both given, and nobody says whether the piece is a cylinder or a prism."
        so "No volume is computed from its sizes."
        because "The column sample_form is empty."
        cure "write cylinder, prism or irregular"
    ImpossibleDraws "impossible-draws" "many random draws are impossible: no class is decided"
        means "The stated uncertainty reaches into what cannot be, such as a mass below 0."
        so "Those draws are left out, so the uncertainty shown is that of the possible ones."
        because "An uncertainty as large as the reading itself."
        cure "check the stated uncertainty, or take a larger piece; 5 % is a limit of ours (a proposal, not published)"
    RimUnread "rim-unread" "the outermost increment has no decay reading: no class is decided"
        means "The rim of a core was not read, for the reason shown with its piece."
        so "The timber is known below its rim only; the rim is often the worst zone."
        because "Charring, borers, minerals or missing readings in the outermost increment."
        cure "look at the rim by another way, or sample another face"
    BorerDamage "borer-damage" "bored by shipworm or gribble: no decay reading"
        means "The share lost to borers lies above the stated limit."
        so "Tunnels hold water that is no sign of bacterial decay, so no loss and no class are read."
        because "The timber stood open in sea water."
        cure "sample between the tunnels; the limit is borer_damage_limit in woodstate.toml (10 %, a proposal of ours)"
    PriorTreatment "prior-treatment" "treated before: no decay reading"
        means "The piece holds the substance of an earlier treatment."
        so "Impregnant counts as wood, so no loss and no class are read."
        because "The find was treated or stored in an additive."
        cure "sample an untreated part, or extract the impregnant first"
    TaxonUnknown "taxon-unknown" "taxon unknown: no loss, no class"
        means "The wood is not identified, or its name is not in the list."
        so "Nothing that needs sound wood of the taxon is computed."
        because "No identification, or a name without an entry."
        cure "have the wood identified, or give a reference under [references] in woodstate.toml"
    ReferenceUnknown "reference-unknown" "no density of sound wood for this taxon"
        means "The taxon is known and the list has no basic density for it."
        so "No residual density and no loss are computed."
        because "No published value is in the list."
        cure "give one under [references] in woodstate.toml"
    ReferenceByGenus "reference-by-genus" "reference of the genus, not of the species"
        means "Sound wood is taken as the mean over species of a genus."
        so "The uncertainty of the reference is larger, and it is common to all pieces of that taxon."
        because "The wood can often be named to the genus only."
        cure "nothing to do; a reference from sound wood of the site is better"
    ReferenceByType "reference-by-type" "reference of a wood type that several taxa share"
        means "Sound wood is taken as the mean over the taxa that a wood type stands for."
        so "The uncertainty of the reference is larger, and it is common to all pieces of that taxon."
        because "The taxa of the type cannot be told apart by their anatomy."
        cure "nothing to do; a reference from sound wood of the site is better"
    ClassOutOfScope "class-out-of-scope" "outside the scope of the class scheme: no class"
        means "The scheme was made for other wood."
        so "No class is given. Sound poplar or willow holds more water than the limits for oak allow for well preserved wood."
        because "The taxon is not in the scope of the scheme."
        cure "read the loss of wood substance, or give a scheme of your own under [schemes]"
    ClassedOutOfScope "classed-out-of-scope" "classed outside the scope of the scheme, as asked"
        means "The scheme was made for other wood and was applied because the study file asks for it."
        so "The class is shown and never counted together with those inside the scope."
        because "outside_scope = \"classify\" in woodstate.toml."
        cure "read the loss of wood substance instead"
    BeyondFinds "beyond-finds" "beyond what was ever published of finds: check units and decimal marks"
        means "The water content lies above 1500 %, or the basic density below 50 kg/m3."
        so "It is reported as it is, and no class is decided."
        because "Most often a unit or a decimal mark: mg for g, 471 for 4.71."
        cure "check the readings; the limits are ours (published spans end near 1500 %, from memory)"
    ExtractivesLeached "extractives-leached" "small loss: leached extractives may explain it"
        means "The loss is of the size of the extractives that water alone can dissolve from oak."
        so "It need not be decay."
        because "Oak lost 7.4 % of its mass in ten years of wet peat while its main components stayed nearly unchanged."
        cure "measure the extractives"
    ShrinkageConditioned "shrinkage-conditioned" "shrinkage to the conditioned, not the oven-dry, size"
        means "The dry size was measured in conditioned air."
        so "The shrinkage is smaller than to the oven-dry state and is not compared with handbook values."
        because "No oven-dry size."
        cure "nothing to do if that is what you want to know"
    NormalShrinkageUnknown "normal-shrinkage-unknown" "normal shrinkage of the taxon unknown: no collapse"
        means "The list has no normal shrinkage for this taxon."
        so "Shrinkage is given, collapse is not."
        because "The handbook table at hand covers few taxa."
        cure "nothing to do"
    DepthUnknown "depth-unknown" "depth of some pieces unknown: they enter no mean"
        means "Pieces of the timber have no depth, so rim and core cannot be told apart."
        so "They enter no mean; each stands for itself, and the worst zone or piece decides."
        because "depth_from and depth_to are empty."
        cure "write down the depth of each piece below the present surface"
    OneCore "one-core" "one core: probability of the timber's class not stated"
        means "Scatter along and round a timber is often larger than within a core, and one core does not show it."
        so "The class of the timber is that of its worst zone, without a probability."
        because "One core, or pieces whose core is not named."
        cure "take a second core from another face, some way along"
    TimberPartly "timber-partly" "some pieces of the timber have no decay reading"
        means "Pieces of the timber were left out of its reading, for the reason shown with each."
        so "The timber is judged by the rest."
        because "Charring, borers, minerals, an earlier treatment, or missing readings."
        cure "see the cautions of its pieces"
}

/// A set of cautions, one bit each.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Hash)]
pub struct Cautions(u64);

impl Cautions {
    /// The empty set.
    pub const NONE: Self = Self(0);

    /// Adds a caution.
    pub fn insert(&mut self, code: CautionCode) {
        self.0 |= 1 << code as u64;
    }

    /// Adds a caution where a condition holds.
    pub fn insert_if(&mut self, condition: bool, code: CautionCode) {
        if condition {
            self.insert(code);
        }
    }

    /// Whether the caution is in the set.
    #[must_use]
    pub fn contains(self, code: CautionCode) -> bool {
        self.0 & (1 << code as u64) != 0
    }

    /// Whether the set is empty.
    #[must_use]
    pub fn is_empty(self) -> bool {
        self.0 == 0
    }

    /// Both sets together.
    #[must_use]
    pub fn union(self, other: Self) -> Self {
        Self(self.0 | other.0)
    }

    /// The cautions in the order of [`CautionCode::ALL`].
    pub fn iter(self) -> impl Iterator<Item = CautionCode> {
        CautionCode::ALL.iter().copied().filter(move |code| self.contains(*code))
    }
}

/// Written as the list of `{code, text}` that stands in a row of an outcome.
impl Serialize for Cautions {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_seq(self.iter().map(|code| Line { code: code.word(), text: code.story().text }))
    }
}

impl JsonSchema for Cautions {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "Cautions".into()
    }

    fn json_schema(generator: &mut schemars::SchemaGenerator) -> schemars::Schema {
        <Vec<Line>>::json_schema(generator)
    }
}

#[derive(Serialize, JsonSchema)]
struct Line {
    code: &'static str,
    text: &'static str,
}
