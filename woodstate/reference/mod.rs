//! Published constants, each with its source and evidence, compiled in and parsed once.
//!
//! | file | what |
//! |---|---|
//! | `sources.toml` | the works that are cited |
//! | `taxa.toml` | woods as anatomists name them, with common names |
//! | `basic_density.toml` | basic density of sound wood, several sources side by side |
//! | `shrinkage.toml` | normal shrinkage of sound wood, green to oven-dry |
//! | `strength.toml` | strength and stiffness of sound wood, by specific gravity and of species; softwood or hardwood |
//! | `lifting.toml` | examples of dynamic factors, size and time under load |
//! | `schemes.toml` | class schemes |
//! | `hazards.toml` | dangers of treatments and of the work around them, exposure limits |
//! | `impregnants.toml` | impregnants: volume in water, density, published baths |
//! | `chemicals.toml` | atomic weights, chelating agents and bases |
//! | `routes.toml` | routes of treatment, what is done before, where sources disagree |
//! | `constants.toml` | cell wall, water, and the limits that are proposals of ours |
//!
//! Not here: formulas. A formula takes numbers; what calls it takes them from here and keeps their source.

mod chemical;
mod constant;
mod density;
mod hazard;
mod impregnant;
mod lifting;
mod origin;
mod printed_unit;
mod route;
mod route_test;
mod scheme;
mod shrinkage;
mod sound_strength;
mod source;
mod strength;
mod strength_file;
mod taxon;
mod wood_group;

use std::collections::BTreeMap;
use std::sync::OnceLock;

pub use chemical::Chemical;
pub use constant::{Constant, WaterCoefficients};
pub use density::{Basis, SoundDensity};
pub use hazard::{ExposureLimit, Hazard, Statement};
pub use impregnant::{BathBasis, Impregnant, PublishedBaths, PublishedLimit, PublishedRange};
pub use lifting::{DynamicExample, SizeEffect, TimeEffect};
pub use route::{
    Disagreement, RouteRule, RouteVerdict, Support, SupportBasis, TreatmentRoute, TreatmentStep, weakness,
};
pub use route_test::{Demand, Grade, RecordedFact, Room, RouteTest, Substance};
pub use scheme::{Boundary, ClassBand, Scheme};
pub use shrinkage::NormalShrinkage;
pub use sound_strength::{SoundStrength, StrengthBasis};
pub use source::Source;
pub use strength::{Agreement, StrengthCondition, StrengthFunction};
pub use taxon::{Rank, Taxon};
pub use wood_group::WoodGroup;

use crate::error::{Error, ErrorKind, Result};
use crate::quantity::{Cited, Evidence};

/// All published constants of this build.
///
/// # Example
/// ```
/// use woodstate::reference::Reference;
/// let reference = Reference::shipped().unwrap();
/// let oak = reference.taxon("pedunculate oak").unwrap();
/// assert_eq!(oak.name, "Quercus robur");
/// ```
#[derive(Debug)]
pub struct Reference {
    sources: Vec<Source>,
    taxa: Vec<Taxon>,
    names: BTreeMap<String, usize>,
    densities: Vec<density::Entry>,
    between_trees: density::BetweenTrees,
    shrinkages: Vec<shrinkage::Entry>,
    strengths: strength_file::Strengths,
    schemes: Vec<Scheme>,
    hazards: hazard::Hazards,
    routes: route::Routes,
    constants: Vec<Constant>,
    lifting: lifting::Lifting,
    water: WaterCoefficients,
    impregnants: Vec<Impregnant>,
    chemicals: chemical::Chemicals,
}

impl Reference {
    /// The constants compiled into this build.
    ///
    /// # Errors
    /// [`ErrorKind::Reference`] if a compiled-in file is broken: a fault of the build, not of the caller.
    pub fn shipped() -> Result<&'static Self> {
        static SHIPPED: OnceLock<std::result::Result<Reference, (&'static str, String)>> = OnceLock::new();
        SHIPPED
            .get_or_init(Self::read)
            .as_ref()
            .map_err(|(file, text)| Error::new(ErrorKind::Reference { file, text: text.clone() }))
    }

    fn read() -> std::result::Result<Self, (&'static str, String)> {
        let sources = source::read()?;
        let taxa = taxon::read()?;
        let names = taxon::index(&taxa)?;
        let (between_trees, densities) = density::read()?;
        let (constants, water) = constant::read()?;
        let reference = Self {
            sources,
            taxa,
            names,
            densities,
            between_trees,
            shrinkages: shrinkage::read()?,
            strengths: strength_file::read()?,
            schemes: scheme::read()?,
            hazards: hazard::read()?,
            routes: route::read()?,
            constants,
            lifting: lifting::read()?,
            water,
            impregnants: impregnant::read()?,
            chemicals: chemical::read()?,
        };
        reference.every_name_resolves()?;
        Ok(reference)
    }

    fn every_name_resolves(&self) -> std::result::Result<(), (&'static str, String)> {
        let densities = self.densities.iter().map(|entry| ("basic_density.toml", &entry.taxon));
        let shrinkages = self.shrinkages.iter().map(|entry| ("shrinkage.toml", &entry.taxon));
        let members = self.taxa.iter().flat_map(|taxon| &taxon.members).map(|name| ("taxa.toml", name));
        let rows = self.strengths.rows.iter().map(|row| ("strength.toml", &row.taxon));
        let scopes = self.schemes.iter().flat_map(|scheme| &scheme.scope).map(|name| ("schemes.toml", name));
        let woods = self.routes.woods().map(|name| ("routes.toml", name));
        for hazard in self.hazards() {
            if let Some(route) = hazard.routes.iter().find(|word| self.route(word).is_err()) {
                return Err(("hazards.toml", format!("route \"{route}\" of \"{}\" has no entry", hazard.word)));
            }
        }
        let works = self.treatment_steps().iter().flat_map(|step| &step.work);
        if let Some(work) = works.into_iter().find(|work| !self.hazardous_works().contains(work)) {
            return Err(("routes.toml", format!("work \"{work}\" is none of hazards.toml")));
        }
        for (file, name) in densities.chain(woods).chain(shrinkages).chain(rows).chain(members).chain(scopes) {
            if !self.taxa.iter().any(|taxon| taxon.name == *name) {
                return Err((file, format!("taxon \"{name}\" has no entry in taxa.toml")));
            }
        }
        let cited = self.densities.iter().map(|entry| ("basic_density.toml", &entry.source));
        let cited = cited.chain(self.shrinkages.iter().map(|entry| ("shrinkage.toml", &entry.source)));
        let cited = cited.chain(self.schemes.iter().map(|scheme| ("schemes.toml", &scheme.source)));
        let cited = cited.chain(self.strengths.origins().map(|origin| ("strength.toml", &origin.source)));
        let cited = cited.chain(self.constants.iter().map(|constant| ("constants.toml", &constant.source)));
        let cited = cited.chain(self.lifting.sources().map(|source| ("lifting.toml", source)));
        let cited = cited.map(|(file, id)| (file, id.as_str()));
        let cited = cited.chain(self.hazards.origins().map(|id| ("hazards.toml", id)));
        let of_impregnants = self.impregnants.iter().flat_map(Impregnant::sources);
        let cited = cited.chain(of_impregnants.map(|source| ("impregnants.toml", source.as_str())));
        let cited = cited.chain(self.chemicals.sources().map(|source| ("chemicals.toml", source.as_str())));
        let cited = cited.chain(self.routes.statements().map(|said| ("routes.toml", said.source.as_str())));
        for (file, id) in cited {
            if !self.sources.iter().any(|source| source.id == id) {
                return Err((file, format!("source \"{id}\" has no entry in sources.toml")));
            }
        }
        Ok(())
    }

    /// The work and the place from which a number comes.
    pub(crate) fn cited(&self, used_for: impl Into<String>, id: &str, place: &str, evidence: Evidence) -> Cited {
        let citation = self.sources.iter().find(|source| source.id == id).map_or(id, |source| &source.citation);
        Cited {
            used_for: used_for.into(),
            id: id.to_owned(),
            citation: citation.to_owned(),
            place: place.to_owned(),
            evidence,
        }
    }

    /// All works that are cited.
    #[must_use]
    pub fn sources(&self) -> &[Source] {
        &self.sources
    }

    /// All taxa.
    #[must_use]
    pub fn taxa(&self) -> &[Taxon] {
        &self.taxa
    }

    /// All class schemes.
    #[must_use]
    pub fn schemes(&self) -> &[Scheme] {
        &self.schemes
    }

    /// Coefficients of the equations of state of water.
    #[must_use]
    pub fn water(&self) -> &WaterCoefficients {
        &self.water
    }
}
