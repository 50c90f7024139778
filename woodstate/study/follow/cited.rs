//! Published figures that were used, and those that stand beside results and decide nothing.

use crate::quantity::{Cited, Evidence, counted};
use crate::reference::Reference;

use super::FollowOptions;
use super::outcome::{TankCourse, TimberCourse, TreatedTimber};

/// The figures that were used, and those that stand beside results.
pub(super) fn sources(
    reference: &Reference,
    asked: &FollowOptions,
    timbers: &[TimberCourse],
    tanks: &[TankCourse],
    treated: &[TreatedTimber],
) -> Vec<Cited> {
    let mut names: Vec<&str> = Vec::new();
    if tanks.iter().any(|tank| tank.washing.is_some()) {
        names.extend(["washed_conductivity_low", "washed_conductivity_high", "washed_iron_low", "washed_iron_high"]);
    }
    let is = |word: &str| {
        let of = |tank: &TankCourse| tank.impregnant.as_ref().is_some_and(|name| name.to_lowercase().contains(word));
        tanks.iter().any(of)
    };
    if is("sucrose") || is("sugar") {
        names.extend(["sugar_bath_ph", "sucrose_step"]);
        if asked.ph_fall_limit.is_none() {
            names.push("sugar_bath_ph_fall");
        }
    }
    if is("peg") {
        names.push("peg_2000_step");
    }
    if asked.volume_loss_limit.is_none() {
        names.push("bath_volume_loss");
    }
    if treated.iter().any(|one| one.no_efficiency.is_none()) {
        names.extend(["efficiency_peg_low", "efficiency_peg_high"]);
    }
    let constants = names.into_iter().filter_map(|name| reference.constant(name));
    let mut cited: Vec<Cited> = constants.map(|constant| reference.constant_source(constant)).collect();
    let stated = |used_for: String| Cited {
        used_for,
        id: "study-file".to_owned(),
        citation: "the study file".to_owned(),
        place: "[follow]".to_owned(),
        evidence: Evidence::Stated,
    };
    let n = timbers.iter().filter(|timber| timber.diffusivity_from == Some("stated")).count();
    if let Some([low, high]) = asked.diffusivity.filter(|_| n > 0) {
        cited.push(stated(format!("diffusivity of {}: {low:e} to {high:e} m2/s", counted(n, "timber"))));
    }
    cited
}
