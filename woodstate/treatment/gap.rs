//! What is not known and could change a verdict, and what it could turn out to be.

use crate::reference::{Demand, Grade, RecordedFact, Room, RouteTest, Substance};

/// Something that is not known of a timber, or not stated by the laboratory.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Gap {
    /// Something that is recorded in words.
    Recorded(RecordedFact),
    /// A substance was not measured.
    Substance(Substance),
    /// A zone was not measured, or its reading is known to be wrong; its place among the zones.
    State(usize),
    /// Pieces have no depth, so rim and core are not told apart.
    Zones,
    /// The wood is unknown, or named less exactly than the condition.
    Wood,
    /// The size of the timber.
    Size,
    /// A substance was measured, and the laboratory states no limit.
    Limit(Substance),
    /// The wood is outside the scope of the class scheme, and the laboratory states no limits of its own; the zone.
    GradeLimits(usize),
    /// The inner size of a tank or vessel.
    Room(Room),
    /// Which solvents the laboratory is equipped for.
    Solvents,
    /// A demand of the laboratory.
    Demand(Demand),
    /// The humidity of display.
    Humidity,
}

impl Gap {
    /// Whether a measurement on the timber closes it; otherwise the laboratory states something.
    #[must_use]
    pub fn is_measured(self) -> bool {
        matches!(self, Self::Recorded(_) | Self::Substance(_) | Self::State(_) | Self::Zones | Self::Wood | Self::Size)
    }

    /// What it could turn out to be.
    #[must_use]
    pub fn answers(self) -> &'static [GapAnswer] {
        const GRADES: [GapAnswer; 3] =
            [GapAnswer::Grade(Grade::Heavy), GapAnswer::Grade(Grade::Middle), GapAnswer::Grade(Grade::Slight)];
        const YES_NO: [GapAnswer; 2] = [GapAnswer::Yes, GapAnswer::No];
        const METALS: [GapAnswer; 2] = [GapAnswer::Word("none"), GapAnswer::Word("iron")];
        const CHARRED: [GapAnswer; 2] = [GapAnswer::Word("none"), GapAnswer::Word("surface")];
        const TREATED: [GapAnswer; 2] = [GapAnswer::Word("none"), GapAnswer::Word("peg")];
        const WOODS: [GapAnswer; 3] = [
            GapAnswer::Wood("Quercus robur"),
            GapAnswer::Wood("Pinus sylvestris"),
            GapAnswer::Wood("Fraxinus excelsior"),
        ];
        match self {
            Self::Recorded(RecordedFact::Metal) => &METALS,
            Self::Recorded(RecordedFact::Charring) => &CHARRED,
            Self::Recorded(RecordedFact::PriorTreatment) => &TREATED,
            Self::State(_) | Self::GradeLimits(_) => &GRADES,
            Self::Wood => &WOODS,
            _ => &YES_NO,
        }
    }
}

/// What a gap could turn out to be.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum GapAnswer {
    /// A word.
    Word(&'static str),
    /// A wood.
    Wood(&'static str),
    /// A grade.
    Grade(Grade),
    /// It is above its limit, too large, not equipped, wanted, mixed: the test that asks is fulfilled.
    Yes,
    /// The test that asks is not fulfilled.
    No,
}

impl Gap {
    /// What an answer means, in words.
    #[must_use]
    pub fn words(self, answer: GapAnswer) -> String {
        let is_yes = answer == GapAnswer::Yes;
        let either = |yes: &str, no: &str| if is_yes { yes.to_owned() } else { no.to_owned() };
        match (self, answer) {
            (_, GapAnswer::Word(word)) => word.to_owned(),
            (_, GapAnswer::Wood("Fraxinus excelsior")) => "another wood, such as ash".to_owned(),
            (_, GapAnswer::Wood(name)) => name.to_owned(),
            (_, GapAnswer::Grade(grade)) => grade.words().to_owned(),
            (Self::Substance(_) | Self::Limit(_), _) => {
                either("above the laboratory's limit", "below the laboratory's limit")
            }
            (Self::Zones, _) => either("rim and core differ", "rim and core are alike"),
            (Self::Size | Self::Room(_), _) => either("the timber does not fit", "the timber fits"),
            (Self::Solvents, _) => either("not equipped", "equipped"),
            (Self::Humidity, _) => either("above the limit of the rule", "not above it"),
            _ => either("yes", "no"),
        }
    }
}

/// Whether a test is fulfilled, if a gap turns out to be this; `None` where the gap says nothing of the test.
pub(super) fn closed(test: &RouteTest, gap: Gap, answer: GapAnswer) -> Option<bool> {
    match (test, gap, answer) {
        (RouteTest::Recorded { fact, among }, Gap::Recorded(known), GapAnswer::Word(word)) => {
            (*fact == known).then(|| among.iter().any(|other| other == word))
        }
        (RouteTest::AboveLimit { substance }, Gap::Substance(known) | Gap::Limit(known), _) => {
            (*substance == known).then_some(answer == GapAnswer::Yes)
        }
        (RouteTest::Mixed, Gap::Zones, _) => Some(answer == GapAnswer::Yes),
        (RouteTest::TooLarge { .. }, Gap::Size, _) => Some(answer == GapAnswer::Yes),
        (RouteTest::Fits { .. }, Gap::Size, _) => Some(answer == GapAnswer::No),
        (RouteTest::TooLarge { room }, Gap::Room(known), _) => (*room == known).then_some(answer == GapAnswer::Yes),
        (RouteTest::Fits { room }, Gap::Room(known), _) => (*room == known).then_some(answer == GapAnswer::No),
        (RouteTest::WithoutSolvent { .. }, Gap::Solvents, _) | (RouteTest::HumidityAbove { .. }, Gap::Humidity, _) => {
            Some(answer == GapAnswer::Yes)
        }
        (RouteTest::Demanded { demand, is }, Gap::Demand(known), _) => {
            (*demand == known).then_some(*is == (answer == GapAnswer::Yes))
        }
        _ => None,
    }
}
