//! The kinds of figures, one file each: from an outcome to plain data.

mod box_points;
mod caption;
mod class_probability;
mod class_shares;
mod correlation;
mod density_water;
mod depth_profile;
mod estimates;
mod gather;
mod lift_margin;
mod lift_moment;
mod lift_surfacing;
mod measured_predicted;
mod series;
mod shrinkage;
mod strength_curve;
mod ternary;
mod uptake_course;
mod washing_curve;

use crate::error::{Error, ErrorKind, Result, near};
use crate::study::{Assessment, Curves, Following, Lifts, Profiles};

use super::{Figure, FigureChoice};

pub use box_points::box_points;
pub use class_probability::class_probability;
pub use class_shares::class_shares;
pub use correlation::correlation;
pub use density_water::density_water;
pub use depth_profile::{
    DepthCore, DepthCurve, DepthProfile, DepthZoneSpan, SoftRim, depth_profile, depth_profile_fitted, depth_profile_of,
};
pub use estimates::estimates;
pub use lift_margin::lift_margin;
pub use lift_moment::lift_moment;
pub use lift_surfacing::lift_surfacing;
pub use measured_predicted::measured_predicted;
pub use series::series;
pub use shrinkage::shrinkage;
pub use strength_curve::strength_curve;
pub use ternary::ternary;
pub use uptake_course::uptake_course;
pub use washing_curve::washing_curve;

/// A kind of figure.
pub(super) struct Kind {
    pub(super) word: &'static str,
    pub(super) shows: &'static str,
    pub(super) needs: &'static str,
    pub(super) takes: Takes,
    pub(super) make: Make,
}

/// Which parts of a choice a kind can follow.
pub(super) struct Takes {
    /// How many values at most.
    values: usize,
    against: bool,
    by: bool,
    panels: bool,
}

/// What a kind is made of.
pub(super) enum Make {
    Assessed(fn(&Assessment, &FigureChoice) -> Result<Figure>),
    Fitted(fn(&Curves, &FigureChoice) -> Result<Figure>),
    Followed(fn(&Following, &FigureChoice) -> Result<Figure>),
    InDepth(fn(&Assessment, &Profiles, &FigureChoice) -> Result<Figure>),
    Lifted(fn(&Lifts, &FigureChoice) -> Result<Figure>),
}

const MANY: usize = usize::MAX;

/// All kinds, in the order of how often they are needed.
pub(super) const KINDS: &[Kind] = &[
    Kind {
        word: "density-water",
        shows: "basic density against maximum water content, beside the line of saturated wood",
        needs: "mass_saturated, mass_oven_dry, and a volume: volume_saturated, mass_immersed, mass_displaced or sizes",
        takes: Takes { values: 0, against: false, by: true, panels: true },
        make: Make::Assessed(density_water),
    },
    Kind {
        word: "depth-profile",
        shows: "a value against depth, core by core, with the curve and the soft rim where there are some",
        needs: "depth_from, depth_to, timber; --value, without it max_water_content",
        takes: Takes { values: 1, against: false, by: false, panels: false },
        make: Make::InDepth(depth_profile_fitted),
    },
    Kind {
        word: "class-shares",
        shows: "shares of the degradation classes by group",
        needs: "taxon inside the scope of the scheme, mass_saturated, mass_oven_dry; --by, without it depth_zone",
        takes: Takes { values: 0, against: false, by: true, panels: false },
        make: Make::Assessed(class_shares),
    },
    Kind {
        word: "class-probability",
        shows: "probability of each degradation class, piece by piece",
        needs: "taxon inside the scope of the scheme, mass_saturated, mass_oven_dry",
        takes: Takes { values: 0, against: false, by: false, panels: false },
        make: Make::Assessed(class_probability),
    },
    Kind {
        word: "box-points",
        shows: "every value by group, with boxes",
        needs: "--value, without it max_water_content; --by, without it taxon",
        takes: Takes { values: 1, against: false, by: true, panels: true },
        make: Make::Assessed(box_points),
    },
    Kind {
        word: "strength-curve",
        shows: "strength against state: pieces, curve, bands, residuals",
        needs: "--value such as bending_modulus and --against such as basic_density; --by for a curve a group",
        takes: Takes { values: 1, against: true, by: true, panels: false },
        make: Make::Fitted(strength_curve),
    },
    Kind {
        word: "measured-predicted",
        shows: "measured against predicted strength",
        needs: "--value and --against, as strength-curve",
        takes: Takes { values: 1, against: true, by: true, panels: false },
        make: Make::Fitted(measured_predicted),
    },
    Kind {
        word: "lift-surfacing",
        shows: "weight of timbers while they break the surface",
        needs: "timber_length, timber_width and timber_height or timber_diameter, and a basic density",
        takes: Takes { values: 0, against: false, by: false, panels: false },
        make: Make::Lifted(lift_surfacing),
    },
    Kind {
        word: "lift-moment",
        shows: "bending moment along a timber by way of support",
        needs: "as lift-surfacing; --where chooses the timber",
        takes: Takes { values: 0, against: false, by: false, panels: false },
        make: Make::Lifted(lift_moment),
    },
    Kind {
        word: "lift-margin",
        shows: "stress over strength by way of support, timber by timber",
        needs: "as lift-surfacing, and the taxon or tests of strength",
        takes: Takes { values: 0, against: false, by: false, panels: false },
        make: Make::Lifted(lift_margin),
    },
    Kind {
        word: "estimates",
        shows: "a value with its interval, piece by piece",
        needs: "--value, without it max_water_content",
        takes: Takes { values: 1, against: false, by: true, panels: true },
        make: Make::Assessed(estimates),
    },
    Kind {
        word: "correlation",
        shows: "correlation of measured quantities, as a map with numbers",
        needs: "two quantities that five pieces have; --value names them",
        takes: Takes { values: MANY, against: false, by: false, panels: false },
        make: Make::Assessed(correlation),
    },
    Kind {
        word: "shrinkage",
        shows: "shrinkage of each piece by direction",
        needs: "radial_saturated and radial_oven_dry, the same for tangential and longitudinal, or volume_saturated and volume_oven_dry",
        takes: Takes { values: MANY, against: false, by: true, panels: true },
        make: Make::Assessed(shrinkage),
    },
    Kind {
        word: "ternary",
        shows: "cellulose, hemicellulose and lignin as shares of their sum",
        needs: "cellulose, hemicellulose, lignin; or three others with --value",
        takes: Takes { values: 3, against: false, by: true, panels: true },
        make: Make::Assessed(ternary),
    },
    Kind {
        word: "series",
        shows: "numbers against time",
        needs: "a log with date and numbers, or date_sampled; --value, --by for lines",
        takes: Takes { values: MANY, against: false, by: true, panels: false },
        make: Make::Assessed(series),
    },
    Kind {
        word: "uptake-course",
        shows: "mass of treated timbers against time with the fitted course, and how near wood is to its bath",
        needs: "a log with date, timber, mass_drained and a concentration of the bath; sizes in the timbers table",
        takes: Takes { values: 0, against: false, by: false, panels: false },
        make: Make::Followed(uptake_course),
    },
    Kind {
        word: "washing-curve",
        shows: "chloride or conductivity of washing baths against time, changes marked, with the fitted curve",
        needs: "a log with date, tank and chloride_in_water or conductivity, water_changed",
        takes: Takes { values: 0, against: false, by: false, panels: false },
        make: Make::Followed(washing_curve),
    },
];

impl Kind {
    /// The kind with a word.
    ///
    /// # Errors
    /// [`ErrorKind::Name`] with the kinds there are, and the nearest one as a hint.
    pub(super) fn of_word(word: &str) -> Result<&'static Self> {
        if let Some(kind) = KINDS.iter().find(|kind| kind.word == word) {
            return Ok(kind);
        }
        let words = || KINDS.iter().map(|kind| kind.word);
        let allowed = words().map(str::to_owned).collect();
        let error = Error::new(ErrorKind::Name { what: "kind of figure", found: word.to_owned(), allowed });
        Err(match near(word, words()).first() {
            Some(nearest) => error.with_hint(format!("did you mean {nearest}?")),
            None => error.with_hint("what each kind needs: woodstate figure --list"),
        })
    }

    /// Refuses a part of a choice that the kind does not follow: nothing that was asked for is dropped in silence.
    ///
    /// # Errors
    /// [`ErrorKind::Name`] with the parts that it follows; [`ErrorKind::Range`] for too many values.
    pub(super) fn checked(&self, choice: &FigureChoice) -> Result<()> {
        let Takes { values, against, by, panels } = self.takes;
        let parts = [
            ("value", values > 0, !choice.value.is_empty()),
            ("against", against, choice.against.is_some()),
            ("by", by, !choice.by.is_empty()),
            ("panels", panels, choice.panels.is_some()),
            // A log has no pieces to choose from.
            ("where", !matches!(self.make, Make::Followed(_)), choice.condition.is_some()),
        ];
        if let Some((part, ..)) = parts.iter().find(|(_, is_taken, is_asked)| *is_asked && !*is_taken) {
            let mut allowed: Vec<String> =
                parts.iter().filter(|(_, is_taken, _)| *is_taken).map(|(part, ..)| (*part).to_owned()).collect();
            if allowed.is_empty() {
                allowed.push("none".to_owned());
            }
            let error = ErrorKind::Name { what: "option of this kind of figure", found: (*part).to_owned(), allowed };
            return Err(Error::new(error).with_hint(format!("{} shows {}", self.word, self.shows)));
        }
        if choice.value.len() > values {
            let allowed = if values == 1 { "one".to_owned() } else { format!("at most {values}") };
            let name = format!("number of values of {}", self.word);
            return Err(Error::new(ErrorKind::Range { name, value: super::real(choice.value.len()), allowed }));
        }
        Ok(())
    }
}
