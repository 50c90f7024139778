//! Whether a test on a timber is fulfilled: yes, no, or not to be told, and what is missing then.

use crate::reference::{Grade, RecordedFact, RouteTest, Taxon};

use super::circumstance::{Circumstances, NoGrade};
use super::gap::{Gap, GapAnswer, closed};

/// The answer to a test.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Answer {
    /// It is fulfilled.
    Yes,
    /// It is not.
    No,
    /// It cannot be told, for lack of this.
    Unknown(Gap),
}

impl Answer {
    fn of(is: bool) -> Self {
        if is { Self::Yes } else { Self::No }
    }
}

/// Circumstances, and what is supposed beyond them.
#[derive(Clone, Copy)]
pub(super) struct Supposed<'a> {
    pub(super) at: &'a Circumstances<'a>,
    /// Grades of the zones that stand for those known; none for a zone takes what is known of it.
    pub(super) grades: &'a [Option<Grade>],
    /// What gaps are supposed to be.
    pub(super) closed: &'a [(Gap, GapAnswer)],
    /// Whether what is not known is taken as it is best for the route.
    pub(super) is_hopeful: bool,
    /// What stays unknown all the same.
    pub(super) held: Option<Gap>,
}

impl<'a> Supposed<'a> {
    pub(super) fn known(at: &'a Circumstances<'a>) -> Self {
        Self { at, grades: &[], closed: &[], is_hopeful: false, held: None }
    }

    /// Whether these gaps are taken as they are best for the route.
    pub(super) fn hopes(&self, gaps: &[Option<Gap>]) -> bool {
        self.is_hopeful && !gaps.iter().flatten().any(|gap| Some(*gap) == self.held)
    }

    fn grade(&self, zone: usize) -> Result<Grade, Gap> {
        if let Some(grade) = self.grades.get(zone).copied().flatten() {
            return Ok(grade);
        }
        let why = match self.at.zones.get(zone).map(|zone| zone.grade) {
            Some(Ok(grade)) => return Ok(grade),
            Some(Err(why)) => why,
            None => NoGrade::State,
        };
        let gap = match why {
            NoGrade::Wood(_) => Gap::Wood,
            NoGrade::Limits => Gap::GradeLimits(zone),
            NoGrade::State => Gap::State(zone),
        };
        match (self.answer_to(gap), why) {
            (Some(GapAnswer::Grade(grade)), _) => Ok(grade),
            (Some(GapAnswer::Wood("Quercus robur")), NoGrade::Wood(Some(grade))) => Ok(grade),
            _ => Err(gap),
        }
    }

    fn answer_to(&self, gap: Gap) -> Option<GapAnswer> {
        self.closed.iter().find(|(known, _)| *known == gap).map(|(_, answer)| *answer)
    }

    /// Whether a test is fulfilled in a zone.
    pub(super) fn answer(&self, test: &RouteTest, zone: usize) -> Answer {
        let answer = self.plain(test, zone);
        let Answer::Unknown(gap) = answer else { return answer };
        let supposed = self.answer_to(gap);
        match supposed.and_then(|supposed| closed(test, gap, supposed)) {
            Some(is) => Answer::of(is),
            None => answer,
        }
    }

    fn plain(&self, test: &RouteTest, zone: usize) -> Answer {
        let at = self.at;
        match test {
            RouteTest::Recorded { fact, among } => recorded(at, *fact, among),
            RouteTest::AboveLimit { substance } => match (at.substance(*substance), at.laboratory.limit(*substance)) {
                (None, _) => Answer::Unknown(Gap::Substance(*substance)),
                (Some(found), _) if found.value <= 0.0 => Answer::No,
                (Some(_), None) => Answer::Unknown(Gap::Limit(*substance)),
                (Some(found), Some(limit)) => Answer::of(found.value > limit),
            },
            RouteTest::Grade { among } => match self.grade(zone) {
                Ok(grade) => Answer::of(among.contains(&grade)),
                Err(gap) => Answer::Unknown(gap),
            },
            RouteTest::Mixed => self.mixed(),
            RouteTest::Wood { among } => self.wood(among),
            RouteTest::HumidityAbove { percent } => match at.laboratory.display_humidity {
                Some(humidity) => Answer::of(humidity > *percent),
                None => Answer::Unknown(Gap::Humidity),
            },
            RouteTest::TooLarge { room } | RouteTest::Fits { room } => {
                let Some(inner) = at.laboratory.room(*room) else { return Answer::Unknown(Gap::Room(*room)) };
                let wanted = matches!(test, RouteTest::Fits { .. });
                at.size.fits(inner).map_or(Answer::Unknown(Gap::Size), |fits| Answer::of(fits == wanted))
            }
            RouteTest::WithoutSolvent { among } => match &at.laboratory.solvents {
                Some(solvents) => Answer::of(!among.iter().all(|solvent| solvents.contains(solvent))),
                None => Answer::Unknown(Gap::Solvents),
            },
            RouteTest::Demanded { demand, is } => match at.laboratory.says(*demand) {
                Some(says) => Answer::of(says == *is),
                None => Answer::Unknown(Gap::Demand(*demand)),
            },
        }
    }

    fn mixed(&self) -> Answer {
        if !self.at.has_zones {
            return Answer::Unknown(Gap::Zones);
        }
        let mut first = None;
        let mut is_mixed = false;
        for zone in 0..self.at.zones.len() {
            match self.grade(zone) {
                Ok(grade) => is_mixed |= *first.get_or_insert(grade) != grade,
                Err(gap) => return Answer::Unknown(gap),
            }
        }
        Answer::of(is_mixed)
    }

    fn wood(&self, among: &[String]) -> Answer {
        let reference = self.at.reference;
        let supposed = match self.answer_to(Gap::Wood) {
            Some(GapAnswer::Wood(name)) => reference.taxon(name),
            _ => None,
        };
        let Some(taxon) = supposed.or(self.at.taxon) else { return Answer::Unknown(Gap::Wood) };
        let wanted = || among.iter().filter_map(|name| reference.taxon(name));
        let is_below = |other: &Taxon| reference.belongs_to(taxon, other);
        if wanted().any(is_below) {
            Answer::Yes
        } else if wanted().any(|other| reference.belongs_to(other, taxon)) {
            Answer::Unknown(Gap::Wood)
        } else {
            Answer::No
        }
    }
}

fn recorded(at: &Circumstances<'_>, fact: RecordedFact, among: &[String]) -> Answer {
    let recorded = at.fact(fact);
    if recorded.words.iter().any(|word| among.iter().any(|other| other == word)) {
        Answer::Yes
    } else if recorded.is_complete {
        Answer::No
    } else {
        Answer::Unknown(Gap::Recorded(fact))
    }
}
