//! Softwood or hardwood.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::{Reference, Taxon};
use crate::quantity::Cited;

/// Softwood or hardwood: the wood of conifers or of broadleaved trees, however hard it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum WoodGroup {
    /// Wood of a conifer.
    Softwood,
    /// Wood of a broadleaved tree.
    Hardwood,
}

impl WoodGroup {
    /// The word in results.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Softwood => "softwood",
            Self::Hardwood => "hardwood",
        }
    }
}

impl Reference {
    /// Whether a taxon is a softwood or a hardwood; `None` for a type that holds both.
    ///
    /// # Example
    /// ```
    /// use woodstate::reference::{Reference, WoodGroup};
    /// let reference = Reference::shipped().unwrap();
    /// let group = |name| reference.wood_group(reference.taxon(name).unwrap());
    /// assert_eq!(group("Scots pine"), Some(WoodGroup::Softwood));
    /// assert_eq!(group("Salix/Populus"), Some(WoodGroup::Hardwood));
    /// ```
    /// # Source
    /// Common practice, no source: conifers give softwood, broadleaved trees hardwood.
    #[must_use]
    pub fn wood_group(&self, taxon: &Taxon) -> Option<WoodGroup> {
        if let Some(genus) = &taxon.genus {
            return self.strengths.group_of_genus(genus);
        }
        let mut groups = taxon.members.iter().map(|name| self.wood_group(self.taxon(name)?));
        let first = groups.next()??;
        groups.all(|group| group == Some(first)).then_some(first)
    }

    /// Where it is from that a taxon is a softwood or a hardwood.
    #[must_use]
    pub fn wood_group_source(&self, taxon: &Taxon, group: WoodGroup) -> Cited {
        self.cited_by(&self.strengths.group_origin, format!("{} is a {}", taxon.name, group.word()))
    }
}
