//! Where a published number comes from, and how well that is known.

use std::fmt;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// How well the origin of a number is known. No tag may be raised without opening the source.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Evidence {
    /// The figure was read in the cited source itself.
    Read,
    /// Read in a transcription or a secondary page; the original was not opened.
    Copy,
    /// Computed from a formula and inputs given here; as good as those.
    Derived,
    /// From memory, not verified; never a citation.
    Memory,
    /// A choice of this project without an author; never a published limit.
    Proposal,
    /// A fact of the trade for which nobody is cited.
    CommonPractice,
    /// Stated by the user in the study file or in a table.
    Stated,
}

impl Evidence {
    /// All tags, the strongest first.
    pub const ALL: [Self; 7] =
        [Self::Read, Self::Copy, Self::Derived, Self::Memory, Self::Proposal, Self::CommonPractice, Self::Stated];

    /// What the tag means, in one sentence.
    #[must_use]
    pub fn meaning(self) -> &'static str {
        match self {
            Self::Read => "The figure was read in the cited source itself.",
            Self::Copy => "Read in a transcription or a secondary page; the original was not opened.",
            Self::Derived => "Computed from a formula and inputs that are given; as good as those.",
            Self::Memory => {
                "A number from memory, not checked in the source: never cite it without opening the source."
            }
            Self::Proposal => "A choice of this project without an author: never a published limit.",
            Self::CommonPractice => "A fact of the trade for which nobody is cited.",
            Self::Stated => "Stated by the user in the study file or in a table.",
        }
    }

    /// The tag as it is shown in square brackets.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Read => "read",
            Self::Copy => "copy",
            Self::Derived => "derived",
            Self::Memory => "memory",
            Self::Proposal => "proposal",
            Self::CommonPractice => "common practice, no source",
            Self::Stated => "stated by the user",
        }
    }
}

impl fmt::Display for Evidence {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word())
    }
}

/// One published number's origin: the work, the place in it, the evidence.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, JsonSchema)]
pub struct Cited {
    /// What the number is and what it is used for, with its value.
    pub used_for: String,
    /// Short name of the work, such as `wood-handbook-2021`.
    pub id: String,
    /// Author, year, title, number.
    pub citation: String,
    /// Table, equation, page or row.
    pub place: String,
    /// How well this is known.
    pub evidence: Evidence,
}

impl fmt::Display for Cited {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {}, {} [{}]", self.used_for, self.citation, self.place, self.evidence)
    }
}
