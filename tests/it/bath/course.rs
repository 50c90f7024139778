//! How long: endless baths, schedules, rims, warmth.

use woodstate::error::{BathCautionCode, ErrorKind};
use woodstate::numeric::Watch;
use woodstate::study::{BathPiece, BathPlan, BathTiming, bath_time};

use super::{near, plan};

fn time(piece: BathPiece, plan: &BathPlan) -> BathTiming {
    bath_time(&[piece], None, plan, 1, &Watch::silent()).unwrap()
}

fn pole() -> BathPiece {
    BathPiece::stated(Some(100.0), [None, None], None, None).unwrap()
}

fn board(thickness: f64) -> BathPiece {
    // So wide that its edges do not count.
    BathPiece::stated(None, [Some(1e9), Some(thickness)], None, None).unwrap()
}

/// Source: round 0.10 m, 1e-11 m²/s: 90 % after 967.631 d; 0.5 m long with 5e-11 m²/s along the grain: 812.064 d (derived).
#[test]
fn a_pole_takes_as_long_as_its_series_says() {
    let plan = plan(&[("diffusivity", "1e-11 m2/s"), ("diffusivity_along", "5e-11 m2/s")]);
    near(time(pole(), &plan).timbers[0].endless[1].average.value, 967.631, 5e-4);
    let short = BathPiece::stated(Some(100.0), [None, None], Some(500.0), None).unwrap();
    near(time(short, &plan).timbers[0].endless[1].average.value, 812.064, 5e-4);
}

/// Source: slab, T for 50, 90, 95, 99 % on average 0.196731, 0.848085, 1.12901, 1.78129; centre 0.378748, 1.0311, 1.96431 for 50, 90,
/// 99 % (derived).
#[test]
fn a_board_takes_as_long_as_its_series_says() {
    let plan = plan(&[("diffusivity", "1e-10 m2/s")]);
    let endless = &time(board(40.0), &plan).timbers[0].endless;
    let reduced = |days: f64| days * 86_400.0 * 1e-10 / (0.02 * 0.02);
    for (times, expected) in endless.iter().zip([0.196_731, 0.848_085, 1.129_01, 1.781_29]) {
        near(reduced(times.average.value), expected, 5e-6 * expected.max(1.0));
    }
    for (place, expected) in [(0, 0.378_748), (1, 1.0311), (3, 1.964_31)] {
        near(reduced(endless[place].centre.unwrap().value), expected, 1e-5 * expected);
    }
}

/// Source: 90 % on average in a board of 10 cm after 17 a of spraying a hull, 3.95e-12 m²/s (UNESCO Manual p. 200, copy), and after 10
/// months by a museum's rule of 1 month a cm, 8.06e-11 m²/s (Stadtmuseum Ingolstadt, read); implied by 0.8481 a²/t (derived). Both lie in
/// the wide range that is taken where nobody measured one.
#[test]
fn published_cases_lie_in_the_wide_range() {
    for (diffusivity, days) in [("3.95e-12 m2/s", 17.0 * 365.25), ("8.06e-11 m2/s", 10.0 * 30.4375)] {
        let ninety = time(board(100.0), &plan(&[("diffusivity", diffusivity)])).timbers[0].endless[1].average.value;
        near(ninety / days, 1.0, 2e-3);
        let wide = time(board(100.0), &plan(&[])).timbers[0].endless[1].average.interval.unwrap();
        assert!(wide[0] < days && days < wide[1]);
    }
}

/// Half the thickness takes a quarter of the time.
#[test]
fn half_the_thickness_takes_a_quarter_of_the_time() {
    let plan = plan(&[("diffusivity", "1e-12 to 1e-10 m2/s")]);
    let (thick, thin) = (time(board(80.0), &plan), time(board(40.0), &plan));
    for (thick, thin) in thick.timbers[0].endless.iter().zip(&thin.timbers[0].endless) {
        near(thick.average.value / thin.average.value, 4.0, 1e-6);
    }
}

/// Source: Arrhenius with 36.5 kJ/mol from 20 to 40 °C: 2.60235 (derived; the energy is that of PEG 600 in polymer gels, Masaro et al.
/// 1998, read).
#[test]
fn warmth_shortens_by_arrhenius() {
    let cold = plan(&[("diffusivity", "1e-11 m2/s")]);
    let mut warm = cold.clone();
    for (key, text) in
        [("temperature", "40 Cel"), ("diffusivity_temperature", "20 Cel"), ("activation_energy", "36.5 kJ/mol")]
    {
        warm.set(key, text).unwrap();
    }
    let ratio = time(pole(), &cold).timbers[0].endless[0].average.value
        / time(pole(), &warm).timbers[0].endless[0].average.value;
    near(ratio, 2.602_35, 5e-6);
    warm.activation_energy = None;
    let error = bath_time(&[pole()], None, &warm, 1, &Watch::silent()).unwrap_err();
    assert!(matches!(error.kind(), ErrorKind::Missing { .. }), "{error}");
}

/// Two equal baths are one: superposition.
#[test]
fn a_bath_cut_in_two_is_the_same_bath() {
    let texts = [("diffusivity", "1e-11 m2/s"), ("temperature", "20 Cel"), ("impregnant", "PEG 2000")];
    let (mut one, mut two) = (plan(&texts), plan(&texts));
    one.set("steps", "10 % by mass for 200 d").unwrap();
    two.set("steps", "10 % by mass for 70 d, 10 % by mass for 130 d").unwrap();
    let of = |plan: &BathPlan| {
        let course = time(pole(), plan).timbers[0].course.clone().unwrap();
        course.baths.last().unwrap().mean.unwrap().value
    };
    near(of(&one), of(&two), 1e-9 * of(&one));
    // And what one bath brings in is its share of the strength.
    let uptake = woodstate::treatment::cylinder_uptake(1e-11 * 200.0 * 86_400.0 / 0.0025).unwrap();
    let strength = time(pole(), &one).timbers[0].course.clone().unwrap().baths[0].strength;
    near(of(&one), uptake * strength, 1e-9 * of(&one));
}

/// The first impregnant is washed out again while the second comes in.
#[test]
fn a_first_impregnant_leaves_while_the_second_comes() {
    let mut plan = plan(&[("diffusivity", "1e-10 m2/s"), ("temperature", "20 Cel"), ("impregnant", "PEG 400")]);
    for (key, text) in [
        ("steps", "10 % by mass for 300 d"),
        ("second_impregnant", "PEG 4000"),
        ("second_diffusivity", "1e-11 m2/s"),
        ("second_steps", "30 % by mass for 300 d"),
    ] {
        plan.set(key, text).unwrap();
    }
    let timing = time(pole(), &plan);
    let first = timing.timbers[0].course.as_ref().unwrap();
    assert!(first.baths[1].mean.unwrap().value < 0.5 * first.baths[0].mean.unwrap().value);
    let second = timing.timbers[0].second.as_ref().unwrap();
    assert!(second.baths[0].mean.unwrap().value > 0.0);
}

/// A rim like its core is no rim, and a faster one shortens.
#[test]
fn a_rim_like_its_core_changes_nothing() {
    let uniform = plan(&[("diffusivity", "1e-11 m2/s")]);
    let mut rimmed = uniform.clone();
    rimmed.set("diffusivity_rim", "1e-11 m2/s").unwrap();
    let mut faster = uniform.clone();
    faster.set("diffusivity_rim", "1e-10 m2/s").unwrap();
    for piece in [
        BathPiece::stated(Some(100.0), [None, None], None, Some(15.0)).unwrap(),
        BathPiece::stated(None, [Some(100.0), Some(60.0)], None, Some(15.0)).unwrap(),
    ] {
        let ninety = |plan: &BathPlan| time(piece.clone(), plan).timbers[0].endless[1].average.value;
        near(ninety(&rimmed) / ninety(&uniform), 1.0, 0.01);
        assert!(ninety(&faster) < 0.8 * ninety(&uniform));
        assert!(time(piece.clone(), &rimmed).timbers[0].has_rim);
    }
}

/// A short beam with a rim is a box with a rim; of a round one the ends are left out, and it is said.
#[test]
fn the_ends_of_a_beam_with_a_rim_count() {
    let mut rimmed = plan(&[("diffusivity", "1e-11 m2/s"), ("diffusivity_along", "5e-11 m2/s")]);
    let uniform = rimmed.clone();
    rimmed.set("diffusivity_rim", "1e-11 m2/s").unwrap();
    let mut faster = rimmed.clone();
    faster.set("diffusivity_rim", "1e-10 m2/s").unwrap();
    let beam = BathPiece::stated(None, [Some(100.0), Some(60.0)], Some(250.0), Some(12.0)).unwrap();
    let found = |plan: &BathPlan| time(beam.clone(), plan);
    let ninety = |plan: &BathPlan| found(plan).timbers[0].endless[1].average.value;
    near(ninety(&rimmed) / ninety(&uniform), 1.0, 0.01);
    assert!(ninety(&faster) < 0.8 * ninety(&uniform));
    assert!(found(&rimmed).timbers[0].has_rim && found(&rimmed).timbers[0].has_ends);
    let pole = BathPiece::stated(Some(100.0), [None, None], Some(250.0), Some(12.0)).unwrap();
    let timed = time(pole, &rimmed);
    assert!(timed.timbers[0].has_rim && !timed.timbers[0].has_ends);
    assert!(timed.cautions.iter().any(|caution| caution.code == BathCautionCode::EndsNotCounted.word()));
}

/// Intervals of one width scale; those of two are computed. Both say the same where they must.
#[test]
fn intervals_of_rim_and_core_scale_or_are_computed() {
    let piece = BathPiece::stated(Some(100.0), [None, None], None, Some(15.0)).unwrap();
    let mut scaled = plan(&[("diffusivity", "1e-12 to 1e-10 m2/s")]);
    scaled.set("diffusivity_rim", "1e-11 to 1e-9 m2/s").unwrap();
    let mut computed = scaled.clone();
    computed.set("diffusivity_rim", "1.0000001e-11 to 1e-9 m2/s").unwrap();
    let ninety = |plan: &BathPlan| time(piece.clone(), plan).timbers[0].endless[1].average;
    let (a, b) = (ninety(&scaled), ninety(&computed));
    near(a.value / b.value, 1.0, 1e-3);
    for end in [0, 1] {
        near(a.interval.unwrap()[end] / b.interval.unwrap()[end], 1.0, 1e-2);
    }
}
