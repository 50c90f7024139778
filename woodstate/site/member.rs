//! A piece as a member of a group.

use crate::state::{DepthZone, Parts};

/// How a piece or a timber stands to the classes of a scheme.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum ClassStanding {
    /// Its class is decided: the label.
    Decided(String),
    /// A class was read and is not decided.
    NotDecided,
    /// No class could be read.
    Unread,
    /// The scheme was not made for its wood.
    OutOfScope,
    /// Its wood is unknown, so it is unknown whether the scheme holds.
    ScopeUnknown,
}

/// A piece as a member of a group.
#[derive(Debug, Clone, PartialEq)]
pub struct Member {
    /// What its group is called, one entry a column; `None` where unknown.
    pub key: Vec<Option<String>>,
    /// Its timber; `None` where unknown.
    pub timber: Option<String>,
    /// Its wood; `None` where unknown.
    pub taxon: Option<String>,
    /// Its depth zone.
    pub zone: DepthZone,
    /// Its values, one a quantity; `None` where unknown.
    pub values: Vec<Option<f64>>,
    /// Where the uncertainty of each value comes from; `None` where unknown.
    pub parts: Vec<Option<Parts>>,
    /// Its class.
    pub class: ClassStanding,
}
