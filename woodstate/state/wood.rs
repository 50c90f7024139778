//! The wood of a piece: its taxon, what sound wood of it is like, whether the scheme holds for it.

use crate::error::{CautionCode, Cautions};
use crate::quantity::{Cited, Evidence, Measured};
use crate::reference::{Basis, Reference, Taxon};

use super::{Reading, StateOptions, UsedReference};

/// What is known of a wood.
#[derive(Debug, Clone, Default)]
pub(super) struct Wood {
    /// Name of the list where it is known, otherwise as written.
    pub(super) name: Option<String>,
    /// Whether the list has it.
    pub(super) is_listed: bool,
    /// Basic density of sound wood, kg/m3.
    pub(super) sound: Option<Reading>,
    /// What stands behind it, and how many published values.
    basis: Option<(Basis, usize)>,
    /// Normal volumetric shrinkage and shrinkage of the cross-section, %.
    pub(super) normal_shrinkage: Option<[Reading; 2]>,
    /// Whether the scheme was made for it.
    pub(super) is_in_scope: bool,
    /// Whether it is an oak, whose extractives may be leached.
    pub(super) is_oak: bool,
    /// What to know of its reference.
    pub(super) cautions: Cautions,
    /// Where its reference and its normal shrinkage come from.
    pub(super) cited: Vec<Cited>,
    /// Where its normal shrinkage comes from.
    pub(super) shrinkage_cited: Vec<Cited>,
}

impl Wood {
    /// What is known of the wood that is written so; `None` where nothing is written.
    pub(super) fn of(written: Option<&str>, options: &StateOptions, reference: &Reference) -> Self {
        let mut wood = Self::default();
        let Some(written) = written else {
            wood.cautions.insert(CautionCode::TaxonUnknown);
            return wood;
        };
        let taxon = reference.taxon(written);
        wood.is_listed = taxon.is_some();
        wood.name = Some(taxon.map_or(written, |taxon| &taxon.name).to_owned());
        wood.set_sound(written, taxon, options, reference);
        let Some(taxon) = taxon else {
            wood.cautions.insert_if(wood.sound.is_none(), CautionCode::TaxonUnknown);
            wood.is_in_scope = options.scheme.scope.iter().any(|name| name == written);
            return wood;
        };
        wood.cautions.insert_if(wood.sound.is_none(), CautionCode::ReferenceUnknown);
        // A scheme of the user holds for what belongs to its taxa; the shipped one for exactly those that it names.
        let is_open = options.scheme.evidence == Evidence::Stated;
        wood.is_in_scope = options.scheme.scope.iter().any(|name| {
            reference
                .taxon(name)
                .is_some_and(|scope| scope.name == taxon.name || (is_open && reference.belongs_to(taxon, scope)))
        });
        wood.is_oak = taxon.genus.as_deref() == Some("Quercus");
        if let Some(normal) = reference.normal_shrinkage(taxon) {
            let reading = |measured: Measured| Reading::normal(measured.value, measured.u);
            wood.normal_shrinkage = Some([reading(normal.volumetric), reading(normal.cross_section)]);
            wood.shrinkage_cited = normal.cited;
        }
        wood
    }

    /// Whether it is known which wood this is.
    pub(super) fn is_named(&self) -> bool {
        self.name.is_some() && (self.is_listed || self.basis == Some((Basis::Stated, 0)))
    }

    fn set_sound(&mut self, written: &str, taxon: Option<&Taxon>, options: &StateOptions, reference: &Reference) {
        let is_meant = |name: &str| {
            name == written
                || taxon.is_some_and(|taxon| reference.taxon(name).is_some_and(|own| own.name == taxon.name))
        };
        if let Some(own) = options.references.iter().find(|own| is_meant(&own.taxon)) {
            self.sound = Some(Reading::normal(own.density.value, own.density.u));
            self.basis = Some((Basis::Stated, 0));
            self.cited.push(own.cited());
            return;
        }
        let Some(sound) = taxon.and_then(|taxon| reference.sound_density(taxon)) else { return };
        self.cautions.insert_if(sound.basis == Basis::Genus, CautionCode::ReferenceByGenus);
        self.cautions.insert_if(sound.basis == Basis::Type, CautionCode::ReferenceByType);
        self.sound = Some(Reading::normal(sound.density.value, sound.density.u));
        self.basis = Some((sound.basis, sound.values.len()));
        self.cited = sound.cited;
    }

    /// What sound wood of it was taken to be.
    pub(super) fn used_reference(&self) -> Option<UsedReference> {
        let (taxon, sound, (basis, n_values)) = (self.name.clone()?, self.sound?, self.basis?);
        Some(UsedReference { taxon, basic_density: sound.value, u: sound.u, basis, n_values })
    }
}
