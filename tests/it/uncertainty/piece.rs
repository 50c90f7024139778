//! Whole pieces through `derive` and `propagate`, against the frozen cases with one water.

use woodstate::quantity::{Jet, Quantity};
use woodstate::reference::Reference;
use woodstate::state::{Cause, Derived, Propagation, Reading, Readings, Rules, derive, propagate};

use crate::uncertainty::{Case, PLACES, agrees};

/// The cause that an input of a frozen case is; a trailing number belongs to the piece.
fn cause(input: &str) -> Cause {
    match input {
        "mass_saturated" => Cause::MassSaturated,
        "mass_oven_dry" => Cause::MassOvenDry,
        "mass_immersed" => Cause::MassImmersed,
        "volume_saturated" => Cause::VolumeSaturated,
        "basic_density" => Cause::Stated(Quantity::BasicDensity),
        "piece_diameter" => Cause::PieceDiameter,
        "piece_length" => Cause::PieceLength,
        "piece_width" => Cause::PieceWidth,
        "piece_thickness" => Cause::PieceThickness,
        "radial_saturated" => Cause::RadialSaturated,
        "radial_oven_dry" => Cause::RadialDry,
        "tangential_saturated" => Cause::TangentialSaturated,
        "tangential_oven_dry" => Cause::TangentialDry,
        "longitudinal_saturated" => Cause::LongitudinalSaturated,
        "longitudinal_oven_dry" => Cause::LongitudinalDry,
        "ash_content" => Cause::AshContent,
        "balance_factor" => Cause::BalanceCalibration,
        "pore_water_salinity" => Cause::PoreSalinity,
        "water_density" | "pore_water_density" => Cause::WaterDensity,
        "cell_wall_density" => Cause::CellWallDensity,
        "reference_density" => Cause::SoundBasicDensity,
        other => panic!("{other} is no cause"),
    }
}

/// The frozen case has a factor of 1, a piece an error of 0.
fn value_of(cause: Cause, value: f64) -> f64 {
    if cause == Cause::BalanceCalibration { value - 1.0 } else { value }
}

fn rules() -> Rules<'static> {
    Rules::plain(Reference::shipped().unwrap())
}

/// The piece made of all inputs whose name is a cause after `ending` is taken off, or that have no ending.
fn derived(case: &Case, ending: &str) -> Derived<Jet<PLACES>> {
    let mut causes = [None; Cause::COUNT];
    for (place, (name, value, _)) in case.inputs().into_iter().enumerate() {
        let other_piece = name.ends_with(|c: char| c.is_ascii_digit()) && !name.ends_with(ending);
        if !other_piece {
            let cause = cause(name.strip_suffix(ending).unwrap_or(name));
            causes[cause.index()] = Some(Jet::cause(value_of(cause, value), place));
        }
    }
    derive(&causes, &rules())
}

fn quantity(derived: &Derived<Jet<PLACES>>, quantity: &str) -> Jet<PLACES> {
    derived.value(Quantity::of_name(quantity).unwrap()).unwrap_or_else(|| panic!("{quantity} is unknown")).0
}

/// `derive` with derivatives and `propagate` both give what the package gives.
#[track_caller]
fn check(name: &str, quantities: &[&str]) {
    let case = Case::named(name);
    let piece = derived(&case, "");
    let results: Vec<_> = quantities.iter().map(|name| (*name, quantity(&piece, name))).collect();
    case.check(&results);
    let mut readings = Readings::default();
    for (name, value, u) in case.inputs() {
        readings.set(cause(name), Reading::normal(value_of(cause(name), value), Some(u)));
    }
    let propagated = propagate(&readings, &rules(), &Propagation::usual(), "A-1", "Quercus").unwrap();
    assert!(propagated.drawn.is_none(), "{name} was drawn");
    for (quantity, jet) in results {
        let of = Quantity::of_name(quantity).unwrap();
        let value = propagated.values.of(of).unwrap();
        agrees(quantity, value.value, jet.value);
        agrees(quantity, value.u.unwrap(), jet.variance(&case.u()).sqrt());
        agrees(quantity, propagated.parts.of(of).unwrap().u(), value.u.unwrap());
    }
}

/// Source: uncertainties 3.2.3, cases `max_water_content` and `max_water_content_pore_salt`.
#[test]
fn water_content_of_two_masses() {
    check("max_water_content", &["max_water_content"]);
    check("max_water_content_pore_salt", &["max_water_content"]);
}

/// Source: uncertainties 3.2.3, case `basic_density_immersed`: r -0.964, both rest on the dry mass.
#[test]
fn density_and_water_content_of_one_dry_mass_are_anticorrelated() {
    check("basic_density_immersed", &["basic_density", "max_water_content"]);
}

/// Source: uncertainties 3.2.3, case `basic_density_saturated_undried`: r -0.99998, both rest on the cell wall.
#[test]
fn undried_piece_knows_one_thing_not_two() {
    check("basic_density_saturated_undried", &["basic_density", "max_water_content"]);
}

/// Source: uncertainties 3.2.3, cases `basic_density_saturated_dried`, with and without salty pores.
#[test]
fn density_from_water_content_alone() {
    check("basic_density_saturated_dried", &["basic_density", "max_water_content"]);
    check("basic_density_saturated_dried_pore_salt", &["basic_density", "max_water_content"]);
}

/// Source: uncertainties 3.2.3, case `saturated_density`: a stated basic density, one water for pores and bath.
#[test]
fn saturated_and_submerged_density() {
    check("saturated_density", &["saturated_density", "submerged_density"]);
}

/// Source: uncertainties 3.2.3, cases `residual_and_porosity` and `residual_saturated_undried`.
#[test]
fn residual_density_and_porosity_share_the_density_only() {
    check("residual_and_porosity", &["basic_density", "porosity", "residual_basic_density", "loss_of_wood_substance"]);
    let undried = ["basic_density", "porosity", "residual_basic_density", "loss_of_wood_substance"];
    check("residual_saturated_undried", &undried);
}

/// Source: uncertainties 3.2.3, case `saturation`.
#[test]
fn saturation_of_a_measured_volume() {
    check("saturation", &["saturation", "basic_density", "max_water_content"]);
}

/// Source: uncertainties 3.2.3, case `shrinkage`.
#[test]
fn shrinkage_of_three_directions() {
    let directions = ["shrinkage_radial", "shrinkage_tangential", "shrinkage_longitudinal"];
    check("shrinkage", &[&directions[..], &["shrinkage_cross_section", "shrinkage_volumetric"]].concat());
}

/// Source: uncertainties 3.2.3, cases `geometric_cylinder`, `geometric_prism`.
#[test]
fn density_of_turned_and_sawn_pieces() {
    check("geometric_cylinder", &["basic_density"]);
    check("geometric_prism", &["basic_density"]);
}

/// Source: uncertainties 3.2.3, case `shared_balance`: a common factor of the balance cancels from the water content
/// and stays in the density.
#[test]
fn error_of_the_balance_cancels_from_the_water_content() {
    check("shared_balance", &["max_water_content", "basic_density"]);
}

/// Source: uncertainties 3.2.3, case `mean_of_five`: with a shared cell wall r of two pieces is 0.959, and the mean of
/// five has u 8.40 kg/m3; counted as independent it would have 3.99, the root of the sum of squares of the frozen u
/// over five.
#[test]
fn mean_of_five_pieces_keeps_the_uncertainty_that_they_share() {
    let case = Case::named("mean_of_five");
    let pieces: Vec<_> = ["_1", "_2", "_3", "_4", "_5"].map(|ending| derived(&case, ending)).into();
    let mean = |name: &str| {
        let all = pieces.iter().map(|piece| quantity(piece, name));
        all.reduce(|sum, jet| sum + jet).unwrap() / 5.0
    };
    let mut results = vec![
        ("mean_basic_density", mean("basic_density")),
        ("mean_residual_basic_density", mean("residual_basic_density")),
    ];
    let names = [
        ("basic_density_1", "residual_basic_density_1"),
        ("basic_density_2", "residual_basic_density_2"),
        ("basic_density_3", "residual_basic_density_3"),
        ("basic_density_4", "residual_basic_density_4"),
        ("basic_density_5", "residual_basic_density_5"),
    ];
    for (piece, (density, residual)) in pieces.iter().zip(names) {
        results.push((density, quantity(piece, "basic_density")));
        results.push((residual, quantity(piece, "residual_basic_density")));
    }
    case.check(&results);
    let alone: f64 = pieces.iter().map(|piece| quantity(piece, "basic_density").variance(&case.u())).sum();
    assert!((alone.sqrt() / 5.0 - 3.99).abs() < 0.005, "{}", alone.sqrt() / 5.0);
}
