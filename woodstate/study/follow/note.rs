//! How the numbers of a followed treatment are to be read.

use super::FollowOptions;
use super::outcome::{TankCourse, TimberCourse, TreatedTimber};

/// How the numbers are to be read.
pub(super) fn notes(
    asked: &FollowOptions,
    timbers: &[TimberCourse],
    tanks: &[TankCourse],
    treated: &[TreatedTimber],
) -> Vec<String> {
    let mut notes = Vec::new();
    let mut say = |is: bool, text: &str| {
        if is {
            notes.push(text.to_owned());
        }
    };
    let is_foretold = timbers.iter().any(|timber| timber.average_target.is_some());
    let has = timbers.iter().any(|timber| timber.diffusivity.is_some());
    say(
        has,
        "Diffusion knows no collapse: a day that is foretold says when impregnant will be there, not that the wood bears the way \
         to it.",
    );
    say(
        is_foretold,
        "A forecast holds for the last bath as it was read, if it stands as it is; its interval comes from that of the \
         diffusivity alone.",
    );
    say(
        has,
        "One diffusivity stands for the whole timber. The centre lags behind the average; over a sound core it lags more than is \
         shown here.",
    );
    say(
        timbers.iter().any(|timber| timber.diffusivity_from == Some("fitted")),
        "A timber is taken to enter its bath on the day of its first row, without impregnant; its pores keep their volume; a \
         reading of the bath holds until the next one.",
    );
    say(
        has && asked.grain_ratio.is_none(),
        "The ends of timbers are left out: grain_ratio is not stated. Short timbers are quicker than foretold.",
    );
    say(
        timbers.iter().any(|timber| timber.diffusivity_from == Some("stated")),
        "Where a diffusivity is stated, its value is the geometric mean of the two ends.",
    );
    let washed = || tanks.iter().filter_map(|tank| tank.washing.as_ref());
    say(
        washed().any(|washing| washing.diffusivity.is_some()),
        "The wood in a washing tank is taken to be the timbers that the log names there; what they do not hold is not known. What \
         is left inside at a change of water is carried on.",
    );
    say(washed().count() > 0, "A reading in a row with a change is taken as one of the old water.");
    say(
        treated.iter().any(|one| one.directions.iter().any(|direction| direction.u.is_some())),
        "Efficiencies: treated wood and control are taken as independent, and the pieces of a timber as independent of each other.",
    );
    notes
}
