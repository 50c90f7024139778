//! Where in its timber a piece lies.

/// The zone of a piece among the pieces of its timber.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum DepthZone {
    /// In the outermost increments of the cores, as far as they overlap.
    Outer,
    /// Of known depth, and in neither of the other two.
    Between,
    /// In the deepest increments of cores that have several, as far as they overlap.
    Inner,
    /// Its depth is unknown.
    Unknown,
}

impl DepthZone {
    /// The word in conditions and groups; `None` where unknown.
    #[must_use]
    pub fn word(self) -> Option<&'static str> {
        match self {
            Self::Outer => Some("outer"),
            Self::Between => Some("between"),
            Self::Inner => Some("inner"),
            Self::Unknown => None,
        }
    }
}
