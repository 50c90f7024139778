//! From a table to curves: which pieces are used, what is said of them.

use woodstate::error::{CurveCautionCode, Result};
use woodstate::numeric::Watch;
use woodstate::strength::ModelChoice;
use woodstate::study::{Curves, FitQuestion, LeftOutBecause, Study, fit};
use woodstate::table::{SourceFile, batch_of};

const HEAD: &str = "sample,timber,taxon,charring,borer_damage [%],prior_treatment,condition_at_test,decay_type,basic_density \
                    [kg/m3],compression_parallel [MPa]\n";

/// A sound row: sample and timber from a number, density and strength.
fn row(number: usize, density: f64, strength: f64) -> String {
    format!("K{number},B{number:02},Quercus robur,none,0,none,saturated,erosion_bacteria,{density},{strength}\n")
}

/// Twelve invented pieces of twelve timbers.
fn rows() -> Vec<String> {
    let of = |place: usize| {
        let density = 150.0 + 30.0 * f64::from(u32::try_from(place).unwrap());
        let strength = 26.0 * (density / 560.0).powf(1.6) * [1.03, 0.96, 1.01, 1.04, 0.97][place % 5];
        row(place, density, (10.0 * strength).round() / 10.0)
    };
    (0..12).map(of).collect()
}

fn asked(csv: &str, question: &FitQuestion) -> Result<Curves> {
    let study = Study::unstated()?;
    let batch = batch_of(&SourceFile::from_bytes("d.csv", csv.as_bytes().to_vec()), &study.read, &Watch::silent())?;
    fit(&study, batch, question, &Watch::silent())
}

fn question() -> FitQuestion {
    FitQuestion {
        model: ModelChoice::of_word("power").unwrap(),
        replicates: 0,
        ..FitQuestion::of("compression_parallel", "basic_density")
    }
}

fn check(rows: &[String]) -> Curves {
    asked(&(HEAD.to_owned() + &rows.concat()), &question()).unwrap()
}

fn has(curves: &Curves, code: CurveCautionCode) -> bool {
    curves.fits[0].cautions.iter().any(|caution| caution.of == code)
}

/// A piece more, with one cell of the sound row changed.
fn with(from: &str, to: &str) -> Curves {
    let more = row(99, 300.0, 9.0).replace(from, to);
    check(&rows().into_iter().chain([more]).collect::<Vec<_>>())
}

#[test]
fn pieces_that_show_no_strength_of_wet_wood_are_left_out_and_listed() {
    for (from, to, because) in [
        (",none,0,", ",through,0,", LeftOutBecause::Charred),
        (",none,0,", ",none,40,", LeftOutBecause::Bored),
        (",0,none,", ",0,peg,", LeftOutBecause::TreatedBefore),
        ("saturated", "conditioned", LeftOutBecause::TestedConditioned),
        ("saturated", "treated", LeftOutBecause::TestedTreated),
        (",300,", ",,", LeftOutBecause::StateUnknown),
    ] {
        let curves = with(from, to);
        assert_eq!((curves.fits[0].n, curves.left_out.len()), (12, 1), "{because:?}");
        assert_eq!((curves.left_out[0].sample.as_deref(), curves.left_out[0].because), (Some("K99"), because));
        assert!(has(&curves, CurveCautionCode::PiecesLeftOut));
        // What is left out moves nothing.
        assert_eq!(curves.fits[0].parameters, check(&rows()).fits[0].parameters);
    }
    let whole = with("", "");
    assert_eq!((whole.fits[0].n, whole.left_out.len()), (13, 0));
    assert!(!has(&whole, CurveCautionCode::PiecesLeftOut));
}

#[test]
fn conditioned_pieces_are_used_where_they_are_asked_for_and_it_is_said() {
    let dry: Vec<String> = rows().iter().map(|row| row.replace("saturated", "conditioned")).collect();
    let csv = HEAD.to_owned() + &dry.concat();
    let error = asked(&csv, &question()).unwrap_err().to_string();
    assert!(error.starts_with("number of pieces with compression_parallel and basic_density is 0"), "{error}");
    let condition = Some("condition_at_test == 'conditioned'".to_owned());
    let curves = asked(&csv, &FitQuestion { condition, ..question() }).unwrap();
    assert_eq!(curves.fits[0].n, 12);
    assert!(has(&curves, CurveCautionCode::DryTests) && !has(&check(&rows()), CurveCautionCode::DryTests));
}

#[test]
fn dry_pieces_are_not_compared_with_green_sound_wood() {
    let dry: Vec<String> = rows().iter().map(|row| row.replace("saturated", "conditioned")).collect();
    let condition = Some("condition_at_test == 'conditioned'".to_owned());
    let question = FitQuestion { condition, relative: true, ..question() };
    let error = asked(&(HEAD.to_owned() + &dry.concat()), &question).unwrap_err().to_string();
    assert!(error.contains("tested dry and dry wood is stronger than wet wood"), "{error}");
}

#[test]
fn cautions_of_pieces_speak_and_are_quiet_beside() {
    use CurveCautionCode as Code;
    let quiet = check(&rows());
    for (from, to, code) in [
        ("saturated", "", Code::TestConditionUnknown),
        ("erosion_bacteria", "brown_rot", Code::BrownRot),
        ("Quercus robur", "Fraxinus excelsior", Code::SeveralWoods),
        (",300,9", ",90,", Code::BeyondRange),
    ] {
        assert!(has(&with(from, to), code), "{code:?}");
        assert!(!has(&quiet, code), "{code:?}");
    }
    assert!(!has(&with(",300,9", ",300,"), Code::BeyondRange));
    assert_eq!(with(",300,9", ",300,").not_tested, 1);
}

#[test]
fn timbers_are_the_units_where_they_are_known_and_enough() {
    let of = |n: usize| {
        let named =
            |(place, row): (usize, String)| row.replacen(&format!("B{place:02}"), &format!("T{}", place % n), 1);
        check(&rows().into_iter().enumerate().map(named).collect::<Vec<_>>())
    };
    // Two parameters: from six timbers on.
    assert_eq!((of(6).fits[0].independent, of(6).fits[0].n_timbers), ("timbers", Some(6)));
    assert_eq!(of(5).fits[0].independent, "pieces");
    assert!(has(&of(5), CurveCautionCode::PiecesOfOneTimber) && !has(&of(6), CurveCautionCode::PiecesOfOneTimber));
    let unknown: Vec<String> =
        rows().iter().enumerate().map(|(place, row)| row.replace(&format!("B{place:02}"), "")).collect();
    assert_eq!((check(&unknown).fits[0].independent, check(&unknown).fits[0].n_timbers), ("pieces", None));
}

/// Source: P = 49000 G^1.11 kPa of green hardwood [memory], by hand: at G = 0.5 22.70 MPa.
#[test]
fn a_share_is_that_of_green_sound_wood_of_the_taxon() {
    let study = "[references.\"Quercus robur\"]\nbasic_density = \"500 ± 20 kg/m3\"\nsource = \"invented\"\n";
    let study = Study::parse(study, "woodstate.toml").unwrap();
    let csv = HEAD.to_owned() + &rows().concat();
    let of = |relative| {
        let batch = batch_of(&SourceFile::from_bytes("d.csv", csv.clone().into_bytes()), &study.read, &Watch::silent());
        fit(&study, batch.unwrap(), &FitQuestion { relative, ..question() }, &Watch::silent()).unwrap()
    };
    let (share, strength) = (of(true), of(false));
    let ratio = strength.fits[0].parameters[0].value / share.fits[0].parameters[0].value;
    assert!((ratio - 49.0 * 0.5_f64.powf(1.11)).abs() < 1e-6, "{ratio}");
    assert_eq!((share.value.unit.as_str(), strength.value.unit.as_str()), ("1", "MPa"));
    let cited: Vec<_> = share.sources.iter().filter(|source| source.used_for.contains("sound hardwood")).collect();
    assert!(cited.iter().any(|source| source.evidence.word() == "memory"), "{cited:?}");
    assert!(!strength.sources.iter().any(|source| source.used_for.contains("sound hardwood")));
}

#[test]
fn groups_have_curves_of_their_own_and_are_compared() {
    let other =
        |row: &String| row.replace("Quercus robur", "Fraxinus excelsior").replacen('K', "F", 1).replacen(",B", ",F", 1);
    let both: Vec<String> = rows().into_iter().chain(rows().iter().map(other)).collect();
    let by = vec!["taxon".to_owned()];
    let curves = asked(&(HEAD.to_owned() + &both.concat()), &FitQuestion { by: by.clone(), ..question() }).unwrap();
    assert_eq!(curves.fits.len(), 2);
    let several = curves.one_or_several.unwrap();
    assert_eq!(several.meaning, "One curve describes all groups as well as curves of their own do.");
    assert!(several.tests.iter().all(|test| test.f < 1e-9 && test.probability > 0.99), "{several:?}");
    let few: Vec<String> = rows().into_iter().chain(rows()[..2].iter().map(other)).collect();
    let curves = asked(&(HEAD.to_owned() + &few.concat()), &FitQuestion { by, ..question() }).unwrap();
    assert_eq!((curves.fits.len(), curves.without.len(), curves.without[0].n), (1, 1, 2));
    assert_eq!(curves.without[0].reason, "number of pieces for the model power is 2; allowed is at least 3");
}

#[test]
fn the_order_of_rows_changes_no_curve() {
    let mut turned = rows();
    turned.rotate_left(5);
    let question = FitQuestion { model: ModelChoice::Auto, replicates: 50, ..question() };
    let of = |rows: &[String]| asked(&(HEAD.to_owned() + &rows.concat()), &question).unwrap().fits[0].clone();
    let (here, there) = (of(&rows()), of(&turned));
    assert_eq!((here.parameters, here.curve, here.compared), (there.parameters, there.curve, there.compared));
}
