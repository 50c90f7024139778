//! The demonstration tanks: what is true there is found, and what was made to go wrong is seen.

use woodstate::numeric::Watch;
use woodstate::study::{FollowQuestion, Following, Study, TimberCourse, follow};
use woodstate::table::read_log;

use crate::support::program::demo;

/// Source: `python3 datasets-demo/make.py --truth tank`, m²/s. R02 lay against the wall for half a year, so its course is not one of
/// diffusion.
const TRUTH: [(&str, f64); 3] = [("R01", 4e-12), ("R03", 6e-12), ("R04", 8e-12)];

fn tank() -> Following {
    let file = demo("tank/log.csv");
    let study = Study::beside(&file).unwrap().unwrap();
    let batch = read_log(&file, &study.read, &Watch::silent()).unwrap();
    follow(&study, &batch, &FollowQuestion::default(), &Watch::silent()).unwrap()
}

fn timber<'a>(following: &'a Following, name: &str) -> &'a TimberCourse {
    following.timbers.iter().find(|timber| timber.timber == name).unwrap()
}

#[test]
fn fitted_intervals_hold_the_true_diffusivities() {
    let following = tank();
    for (name, truth) in TRUTH {
        let found = timber(&following, name).diffusivity.as_ref().unwrap();
        let [Some(low), Some(high)] = found.interval else { panic!("{name}: {found:?}") };
        assert!(low < truth && truth < high, "{name}: {truth} is not in {found:?}");
        assert!(high / low < 8.0, "{name}: {found:?} says something");
    }
}

#[test]
fn what_was_made_to_go_wrong_is_seen_and_nothing_else() {
    let following = tank();
    let seen: Vec<(&str, &str, &str)> = following
        .cautions
        .iter()
        .map(|caution| {
            let place = caution.timber.as_deref().or(caution.tank.as_deref()).unwrap_or_default();
            (caution.code, place, caution.date.as_deref().unwrap_or_default())
        })
        .collect();
    assert_eq!(
        seen,
        [
            ("uptake-stalled", "R02", "2023-09-30"),
            ("bath-loses-volume", "P1", "2023-12-31"),
            ("addition-too-large", "P1", "2023-03-01"),
            ("sugar-ferments", "S1", "2022-12-30"),
            ("control-climate", "R03", ""),
        ]
    );
}

#[test]
fn the_forecast_moves_as_weighings_come_in_and_ends_where_it_is_shown() {
    let following = tank();
    let timber = timber(&following, "R01");
    assert!(timber.history.len() > 5 && timber.history.len() <= 13, "{}", timber.history.len());
    assert!(timber.history.windows(2).all(|pair| pair[0].weighings < pair[1].weighings));
    let last = timber.history.last().unwrap();
    assert_eq!((last.weighings, &last.average_target), (timber.weighings.len(), &timber.average_target));
    let [early, late] = &timber.average_target.as_ref().unwrap().interval;
    // Days as year-month-day stand in the order of their text.
    let day = |day: &Option<String>| day.clone().unwrap();
    let value = day(&timber.average_target.as_ref().unwrap().day);
    assert!(day(early) <= value && value <= day(late));
    assert!(day(&timber.centre_target.as_ref().unwrap().day) > value, "the centre lags");
}

#[test]
fn treated_wood_is_judged_beside_its_control() {
    let following = tank();
    let [one, other] = following.treated.as_slice() else { panic!("{:?}", following.treated) };
    assert_eq!((one.timber.as_str(), one.control.as_deref(), one.climate), ("R01", Some("C01"), Some(55.0)));
    let cross = one.directions.iter().find(|direction| direction.direction == "cross_section").unwrap();
    // True there: 1.1 and 2.0 % beside 6.5 and 14.2 %, so 3.08 beside 19.8 % of the cross-section.
    let truth = 100.0 * (19.777 - 3.078) / 19.777;
    let [low, high] = cross.interval.unwrap();
    assert!(low < truth && truth < high, "{cross:?}");
    assert!(one.accepted.as_ref().unwrap().is_met);
    assert_eq!((other.timber.as_str(), other.climate, other.accepted.as_ref()), ("R03", None, None));
}

#[test]
fn the_same_log_gives_the_same_outcome() {
    assert_eq!(tank(), tank());
}
