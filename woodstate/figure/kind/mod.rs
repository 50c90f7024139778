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
mod measured_predicted;
mod series;
mod shrinkage;
mod strength_curve;
mod ternary;

use crate::error::{Error, ErrorKind, Result, near};
use crate::study::{Assessment, Curves};

use super::{Figure, FigureChoice};

pub use box_points::box_points;
pub use class_probability::class_probability;
pub use class_shares::class_shares;
pub use correlation::correlation;
pub use density_water::density_water;
pub use depth_profile::{DepthCore, DepthCurve, DepthProfile, DepthZoneSpan, SoftRim, depth_profile, depth_profile_of};
pub use estimates::estimates;
pub use measured_predicted::measured_predicted;
pub use series::series;
pub use shrinkage::shrinkage;
pub use strength_curve::strength_curve;
pub use ternary::ternary;

/// A kind of figure.
pub(super) struct Kind {
    pub(super) word: &'static str,
    pub(super) shows: &'static str,
    pub(super) needs: &'static str,
    pub(super) make: Make,
}

/// What a kind is made of.
pub(super) enum Make {
    OfAssessment(fn(&Assessment, &FigureChoice) -> Result<Figure>),
    OfCurves(fn(&Curves, &FigureChoice) -> Result<Figure>),
}

/// All kinds, in the order of how often they are needed.
pub(super) const KINDS: &[Kind] = &[
    Kind {
        word: "density-water",
        shows: "basic density against maximum water content, beside the line of saturated wood",
        needs: "mass_saturated, mass_oven_dry, and a volume: volume_saturated, mass_immersed, mass_displaced or sizes",
        make: Make::OfAssessment(density_water),
    },
    Kind {
        word: "depth-profile",
        shows: "a value against depth, core by core",
        needs: "depth_from, depth_to, timber; --value, without it max_water_content",
        make: Make::OfAssessment(depth_profile),
    },
    Kind {
        word: "class-shares",
        shows: "shares of the degradation classes by group",
        needs: "taxon inside the scope of the scheme, mass_saturated, mass_oven_dry; --by, without it depth_zone",
        make: Make::OfAssessment(class_shares),
    },
    Kind {
        word: "class-probability",
        shows: "probability of each degradation class, piece by piece",
        needs: "taxon inside the scope of the scheme, mass_saturated, mass_oven_dry",
        make: Make::OfAssessment(class_probability),
    },
    Kind {
        word: "box-points",
        shows: "every value by group, with boxes",
        needs: "--value, without it max_water_content; --by, without it taxon",
        make: Make::OfAssessment(box_points),
    },
    Kind {
        word: "strength-curve",
        shows: "strength against state: pieces, curve, bands, residuals",
        needs: "--value such as bending_modulus and --against such as basic_density; --by for a curve a group",
        make: Make::OfCurves(strength_curve),
    },
    Kind {
        word: "measured-predicted",
        shows: "measured against predicted strength",
        needs: "--value and --against, as strength-curve",
        make: Make::OfCurves(measured_predicted),
    },
    Kind {
        word: "estimates",
        shows: "a value with its interval, piece by piece",
        needs: "--value, without it max_water_content",
        make: Make::OfAssessment(estimates),
    },
    Kind {
        word: "correlation",
        shows: "correlation of measured quantities, as a map with numbers",
        needs: "two quantities that five pieces have; --value names them",
        make: Make::OfAssessment(correlation),
    },
    Kind {
        word: "shrinkage",
        shows: "shrinkage of each piece by direction",
        needs: "radial_saturated and radial_oven_dry, the same for tangential and longitudinal, or volume_saturated and volume_oven_dry",
        make: Make::OfAssessment(shrinkage),
    },
    Kind {
        word: "ternary",
        shows: "cellulose, hemicellulose and lignin as shares of their sum",
        needs: "cellulose, hemicellulose, lignin; or three others with --value",
        make: Make::OfAssessment(ternary),
    },
    Kind {
        word: "series",
        shows: "numbers against time",
        needs: "a log with date and numbers, or date_sampled; --value, --by for lines",
        make: Make::OfAssessment(series),
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
}
