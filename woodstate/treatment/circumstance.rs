//! What is known of a timber and of the laboratory that would treat it, as plain data.

use crate::quantity::{Evidence, Measured};
use crate::reference::{Demand, Grade, RecordedFact, Reference, Room, Substance, Taxon};

/// What was recorded in words: the words that were found, and whether nothing is left open.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Recorded<'a> {
    /// The words found, without `unknown`, each once.
    pub words: Vec<&'a str>,
    /// Whether every piece, or the timber as a whole, has a word.
    pub is_complete: bool,
}

impl<'a> Recorded<'a> {
    /// One word for the whole; `unknown` is no word.
    ///
    /// # Example
    /// ```
    /// use woodstate::treatment::Recorded;
    /// assert!(Recorded::of("none").is_complete);
    /// assert!(!Recorded::of("unknown").is_complete);
    /// ```
    #[must_use]
    pub fn of(word: &'a str) -> Self {
        let words: Vec<&str> = Some(word).filter(|word| *word != "unknown").into_iter().collect();
        Self { is_complete: !words.is_empty(), words }
    }
}

/// The size of a timber, mm: what is known of its length, width and height.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct TimberSize {
    /// The sizes that are known, the largest first.
    known: Vec<f64>,
    is_complete: bool,
}

impl TimberSize {
    /// The three sizes of a timber, mm; a diameter stands for two of them.
    ///
    /// # Example
    /// ```
    /// use woodstate::treatment::TimberSize;
    /// let size = TimberSize::new([Some(6200.0), Some(340.0), None]);
    /// assert_eq!(size.fits(&[6000.0, 800.0, 800.0]), Some(false));
    /// assert_eq!(size.fits(&[7000.0, 800.0, 800.0]), None);
    /// ```
    #[must_use]
    pub fn new(sizes: [Option<f64>; 3]) -> Self {
        let mut known: Vec<f64> = sizes.into_iter().flatten().collect();
        known.sort_by(|a, b| b.total_cmp(a));
        Self { is_complete: known.len() == sizes.len(), known }
    }

    /// The sizes that are known, mm, the largest first.
    #[must_use]
    pub fn known(&self) -> &[f64] {
        &self.known
    }

    /// Whether it fits into a room of these inner sizes, mm, the largest first; `None` where that cannot be told. A room of
    /// which fewer sizes are stated is compared by those.
    #[must_use]
    pub fn fits(&self, room: &[f64]) -> Option<bool> {
        // The k-th largest of the known sizes is at most the k-th largest of all: where one does not fit, none does.
        if self.known.iter().zip(room).any(|(size, room)| size > room) {
            return Some(false);
        }
        // Another size might be the largest.
        self.is_complete.then_some(true)
    }
}

/// The laboratory's own limits; `None` is "not stated".
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Laboratory {
    /// Inner sizes of the largest room of each kind, mm, the largest first.
    pub rooms: [Option<Vec<f64>>; 4],
    /// Solvents that it is equipped and licensed for.
    pub solvents: Option<Vec<String>>,
    /// Retreatability wanted, formaldehyde work, later analysis wanted, reburial monitored.
    pub demands: [Option<bool>; 4],
    /// The highest relative humidity at which the timber will be kept, %.
    pub display_humidity: Option<f64>,
    /// Iron, chloride and reduced sulfur above which wood is not treated as it is, mg/kg of oven-dry mass.
    pub limits: [Option<f64>; 3],
}

impl Laboratory {
    /// The room of a kind.
    #[must_use]
    pub fn room(&self, room: Room) -> Option<&[f64]> {
        self.rooms[room as usize].as_deref()
    }

    /// What it says to a demand.
    #[must_use]
    pub fn says(&self, demand: Demand) -> Option<bool> {
        self.demands[demand as usize]
    }

    /// Its limit of a substance, mg/kg.
    #[must_use]
    pub fn limit(&self, substance: Substance) -> Option<f64> {
        self.limits[substance as usize]
    }
}

/// Why the grade of a zone is not known.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NoGrade {
    /// The wood is not known; with the wood of the scheme it would be this.
    Wood(Option<Grade>),
    /// The wood is outside the scope of the scheme, and the laboratory states no limits of its own.
    Limits,
    /// The zone was not measured, or its reading is known to be wrong.
    State,
}

/// A zone of a timber.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct JudgedZone {
    /// How far it is degraded, or why nobody knows.
    pub grade: Result<Grade, NoGrade>,
    /// How well the limits behind the grade are known.
    pub evidence: Evidence,
}

/// Everything that routes are judged by.
#[derive(Debug, Clone)]
pub struct Circumstances<'a> {
    /// The list of woods.
    pub reference: &'a Reference,
    /// The laboratory.
    pub laboratory: &'a Laboratory,
    /// Metal, charring and earlier treatment.
    pub recorded: [Recorded<'a>; 3],
    /// Iron, chloride and reduced sulfur in the wood, mg/kg of oven-dry mass: the worst piece.
    pub substances: [Option<Measured>; 3],
    /// The wood; `None` where unknown.
    pub taxon: Option<&'a Taxon>,
    /// Its size.
    pub size: TimberSize,
    /// Its zones, from the surface inwards; at least one.
    pub zones: Vec<JudgedZone>,
    /// Whether rim and core are told apart.
    pub has_zones: bool,
}

impl Circumstances<'_> {
    /// What was recorded of a fact.
    #[must_use]
    pub fn fact(&self, fact: RecordedFact) -> &Recorded<'_> {
        &self.recorded[fact as usize]
    }

    /// A substance in the wood, mg/kg.
    #[must_use]
    pub fn substance(&self, substance: Substance) -> Option<Measured> {
        self.substances[substance as usize]
    }
}
