//! Formulas called on their own, where pore water and bath differ or the result is no quantity of a piece.

use crate::uncertainty::Case;
use woodstate::state::{
    basic_density, basic_density_of_water_content, basic_density_undried, cell_wall_density_with_ash,
    mass_without_salt, max_water_content, max_water_content_of_density, organic_basic_density, saturated_density,
    submerged_density, volume_cylinder, volume_immersed, volume_prism,
};

/// Source: uncertainties 3.2.3, case `volume_immersed`.
#[test]
fn volume_from_the_mass_under_water() {
    let case = Case::named("volume_immersed");
    let [air, bath] = ["mass_saturated", "mass_immersed"].map(|name| case.jet(name));
    case.check(&[("volume", volume_immersed(air, bath, case.jet("water_density")))]);
}

/// Source: uncertainties 3.2.3, cases `geometric_cylinder`, `geometric_prism`.
#[test]
fn volumes_from_the_shape() {
    let case = Case::named("geometric_cylinder");
    let volume = volume_cylinder(case.jet("piece_diameter"), case.jet("piece_length"));
    case.check(&[("volume", volume), ("basic_density", basic_density(case.jet("mass_oven_dry"), volume))]);
    let case = Case::named("geometric_prism");
    let [length, width, thickness] = ["piece_length", "piece_width", "piece_thickness"].map(|name| case.jet(name));
    let volume = volume_prism(length, width, thickness);
    case.check(&[("volume", volume), ("basic_density", basic_density(case.jet("mass_oven_dry"), volume))]);
}

/// Source: uncertainties 3.2.3, case `max_water_content_pore_salt`.
#[test]
fn salt_carries_its_uncertainty_into_the_dry_mass() {
    let case = Case::named("max_water_content_pore_salt");
    let [wet, dried, salinity] = ["mass_saturated", "mass_oven_dry", "pore_water_salinity"].map(|name| case.jet(name));
    let dry = mass_without_salt(dried, wet, salinity);
    case.check(&[("mass_oven_dry_without_salt", dry), ("max_water_content", max_water_content(wet, dry, salinity))]);
}

/// Source: uncertainties 3.2.3, case `basic_density_saturated_undried_pore_salt`: pore water and bath apart.
#[test]
fn undried_piece_with_salty_pores_in_another_water() {
    let case = Case::named("basic_density_saturated_undried_pore_salt");
    let [wet, hung, bath] = ["mass_saturated", "mass_immersed", "bath_water_density"].map(|name| case.jet(name));
    let [pores, salinity, wall] =
        ["pore_water_density", "pore_water_salinity", "cell_wall_density"].map(|name| case.jet(name));
    let volume = volume_immersed(wet, hung, bath);
    let density = basic_density_undried(wet, volume, pores, wall);
    let content = max_water_content_of_density(density, pores, wall, salinity);
    case.check(&[("volume", volume), ("basic_density", density), ("max_water_content", content)]);
}

/// Source: uncertainties 3.2.3, case `basic_density_saturated_dried_pore_salt`.
#[test]
fn density_from_water_content_with_salty_pores() {
    let case = Case::named("basic_density_saturated_dried_pore_salt");
    let [wet, dried, salinity] = ["mass_saturated", "mass_oven_dry", "pore_water_salinity"].map(|name| case.jet(name));
    let dry = mass_without_salt(dried, wet, salinity);
    let content = max_water_content(wet, dry, salinity);
    let [pores, wall] = ["pore_water_density", "cell_wall_density"].map(|name| case.jet(name));
    let density = basic_density_of_water_content(content, pores, wall, salinity);
    case.check(&[("mass_oven_dry_without_salt", dry), ("max_water_content", content), ("basic_density", density)]);
}

/// Source: uncertainties 3.2.3, case `saturated_density_pore_salt`: pore water and bath apart.
#[test]
fn saturated_density_with_salty_pores_in_fresh_water() {
    let case = Case::named("saturated_density_pore_salt");
    let [density, pores, wall] =
        ["basic_density", "pore_water_density", "cell_wall_density"].map(|name| case.jet(name));
    let saturated = saturated_density(density, pores, wall);
    let submerged = submerged_density(saturated, case.jet("bath_water_density"));
    case.check(&[("saturated_density", saturated), ("submerged_density", submerged)]);
}

/// Source: uncertainties 3.2.3, case `ash_free`.
#[test]
fn ash_is_taken_off_the_density() {
    let case = Case::named("ash_free");
    let density = basic_density(case.jet("mass_oven_dry"), case.jet("volume_saturated"));
    let [ash, ash_density, clean] =
        ["ash_content", "ash_density", "organic_cell_wall_density"].map(|name| case.jet(name));
    let organic = organic_basic_density(density, ash);
    let wall = cell_wall_density_with_ash(clean, ash_density, ash);
    case.check(&[("basic_density", density), ("organic_basic_density", organic), ("cell_wall_density", wall)]);
}
