//! Each caution about a lift is raised by a smallest case and is quiet just beside it.

use woodstate::error::LiftCautionCode as Code;
use woodstate::lift::Requirement;
use woodstate::numeric::Watch;
use woodstate::quantity::Measured;
use woodstate::study::{
    Along, LiftQuestion, Lifts, StatedLoad, StatedStrength, Study, SupportChoice, TypedTimber, WaterChoice, lift,
    lift_typed,
};
use woodstate::table::{SourceFile, batch_of};

use super::exactly;

/// An oak log of which everything is known.
fn log() -> TypedTimber {
    TypedTimber {
        length: exactly(5.0),
        width: None,
        height: None,
        diameter: Some((exactly(0.3), None)),
        bore: None,
        basic_density: exactly(400.0),
        rim: Some((exactly(0.02), exactly(350.0))),
        taxon: Some("oak".to_owned()),
    }
}

/// Everything stated.
fn stated() -> LiftQuestion {
    LiftQuestion {
        supports: vec![SupportChoice::Tray, SupportChoice::BestSlings],
        required: Requirement { margin: Some(2.0), probability: Some(0.05) },
        sling_width: Some(0.1),
        sling_angle: Some(90.0),
        dynamic: Some(exactly(1.2)),
        placing: Some(0.02),
        water: Some(WaterChoice::parse("fresh").unwrap()),
        temperature: Some(exactly(10.0)),
        saturation: Some(exactly(1.0)),
        attached: vec![StatedLoad::even(exactly(10.0), 2600.0)],
        reduction: Some(0.1),
        draws: 400,
        ..LiftQuestion::usual()
    }
}

fn is_raised(lifts: &Lifts, code: Code) -> bool {
    lifts.lifts.iter().any(|lift| lift.cautions.iter().any(|caution| caution.of == code))
}

fn typed(timber: &TypedTimber, question: &LiftQuestion) -> Lifts {
    lift_typed(&Study::unstated().unwrap(), timber, question, &Watch::silent()).unwrap()
}

fn each_way(code: Code, timber: &TypedTimber, question: &LiftQuestion) {
    assert!(is_raised(&typed(timber, question), code), "{} is not raised", code.word());
    assert!(!is_raised(&typed(&log(), &stated()), code), "{} is raised beside its case", code.word());
}

#[test]
fn what_always_holds_is_always_said() {
    let found = typed(&log(), &stated());
    for code in [Code::ScreeningOnly, Code::SurfaceGrowth, Code::ShortTimes, Code::LiftingGear, Code::DiversNear] {
        assert!(is_raised(&found, code), "{}", code.word());
    }
    let words: Vec<&str> = found.safety.notes.iter().map(|note| note.word.as_str()).collect();
    assert!(words.contains(&"lifting") && words.contains(&"hydrogen-sulfide"), "{words:?}");
}

#[test]
fn what_is_not_stated_is_said() {
    let with = |change: fn(&mut LiftQuestion)| {
        let mut question = stated();
        change(&mut question);
        question
    };
    let cases = [
        (Code::NoRequirement, with(|question| question.required = Requirement::default())),
        (Code::AcceptanceNotStated, with(|question| question.required.probability = None)),
        (Code::FullLengthInstead, with(|question| question.required.margin = Some(1000.0))),
        (Code::StillLoad, with(|question| question.dynamic = None)),
        (Code::PlacingNotStated, with(|question| question.placing = None)),
        (Code::SlingWidthUnknown, with(|question| question.sling_width = None)),
        (Code::UprightSlings, with(|question| question.sling_angle = None)),
        (
            Code::UnevenSlings,
            with(|question| question.supports.push(SupportChoice::Fixed([0.1, 0.5, 0.9].map(Along::Share).to_vec()))),
        ),
        (Code::SaturatedTaken, with(|question| question.saturation = None)),
        (Code::WaterTaken, with(|question| question.water = None)),
        (Code::NothingAttached, with(|question| question.attached.clear())),
        (Code::DamageUnknown, with(|question| question.reduction = None)),
        (Code::RimCarries, with(|question| question.rim_stiffness = Some(0.2))),
        (Code::Floats, with(|question| question.saturation = Some(exactly(0.3)))),
    ];
    for (code, question) in cases {
        each_way(code, &log(), &question);
    }
}

#[test]
fn what_is_known_of_the_timber_is_said() {
    let with = |change: fn(&mut TypedTimber)| {
        let mut timber = log();
        change(&mut timber);
        timber
    };
    let cases = [
        (Code::RimUnknown, with(|timber| timber.rim = None)),
        (Code::StrengthUnknown, with(|timber| timber.taxon = None)),
        (Code::InputUnsure, with(|timber| timber.length = Measured::of_unknown_uncertainty(5.0))),
        (Code::StrengthExtrapolated, with(|timber| timber.basic_density = exactly(250.0))),
        (Code::HollowFull, with(|timber| timber.bore = Some(0.1))),
    ];
    for (code, timber) in cases {
        each_way(code, &timber, &stated());
    }
    assert!(is_raised(&typed(&log(), &stated()), Code::RimWeighsOnly));
    assert!(!is_raised(&typed(&with(|timber| timber.rim = None), &stated()), Code::RimWeighsOnly));
}

#[test]
fn a_stated_strength_is_no_upper_bound() {
    assert!(is_raised(&typed(&log(), &stated()), Code::StrengthUpperBound));
    let mut question = stated();
    let of = |property: &str| StatedStrength { property: property.to_owned(), value: exactly(10.0) };
    let all =
        ["bending_strength", "compression_parallel", "shear_parallel", "compression_perpendicular", "bending_modulus"];
    question.strengths = all.map(of).to_vec();
    let found = typed(&log(), &question);
    assert!(!is_raised(&found, Code::StrengthUpperBound) && !is_raised(&found, Code::StrengthUnknown));
    // A reduction of a tenth is taken from what is stated, and not from the modulus.
    let of = |property: &str| found.lifts[0].strengths.iter().find(|one| one.property == property).unwrap();
    assert!((of("bending_strength").strength.value - 9.0).abs() < 1e-12);
    assert!((of("bending_modulus").strength.value - 10.0).abs() < 1e-12);
}

/// A batch in delimited text: sizes stand with the pieces.
fn batch(rows: &[String], question: &LiftQuestion) -> Lifts {
    let head = "sample,timber,core_id,taxon,charring,borer_damage [%],cracks,metal,prior_treatment,depth_from [mm],depth_to [mm],\
                basic_density [kg/m3],u(basic_density) [kg/m3],condition_at_test,compression_parallel [MPa],timber_length [m],\
                timber_diameter [mm]\n";
    let text = format!("{head}{}", rows.concat());
    let study = Study::unstated().unwrap();
    let source = SourceFile::from_bytes("d.csv", text.into_bytes());
    let batch = batch_of(&source, &study.read, &Watch::silent()).unwrap();
    lift(&study, batch, question, &Watch::silent()).unwrap()
}

/// An increment of the core of a timber: its depth and density, the damage of the timber and a test.
fn row(timber: &str, from: u32, density: f64, damage: &str, test: &str) -> String {
    let to = from + 10;
    format!(
        "{timber}-{from},{timber},{timber}-K,Quercus robur,none,{damage},none,{from},{to},{density},5,saturated,{test},4,300\n"
    )
}

#[test]
fn a_degraded_core_stands_for_the_whole_timber() {
    let sound = "0,none,none";
    let of = |inner: f64| -> Vec<String> {
        let densities = [150.0, 160.0, 180.0, 300.0, inner, inner];
        (0..6_u32).zip(densities).map(|(place, density)| row("T", 10 * place, density, sound, "")).collect()
    };
    let found = batch(&of(240.0), &stated());
    assert!(is_raised(&found, Code::NoSoundCore), "{:?}", found.lifts[0].cautions);
    assert!(!is_raised(&batch(&of(540.0), &stated()), Code::NoSoundCore));
    assert!(is_raised(&batch(&of(540.0), &stated()), Code::RimWeighsOnly));
}

#[test]
fn damage_without_a_stated_reduction_gives_no_margin() {
    let piece = |damage: &str| vec![row("T", 0, 400.0, damage, "")];
    let mut question = stated();
    question.reduction = None;
    for damage in ["0,many,none", "5,none,none", "0,none,iron"] {
        let found = batch(&piece(damage), &question);
        assert!(is_raised(&found, Code::DamageWithoutReduction), "{damage}");
        let slings = &found.lifts[0].supports[1];
        assert!(slings.margin.is_none() && slings.verdict == "not_assessed");
        assert!(
            slings.reason.as_deref().unwrap().contains("no margin without a stated reduction"),
            "{:?}",
            slings.reason
        );
        assert_eq!(found.lifts[0].answer.support, "tray");
    }
    assert!(!is_raised(&batch(&piece("0,none,none"), &question), Code::DamageWithoutReduction));
    assert!(!is_raised(&batch(&piece("0,many,none"), &stated()), Code::DamageWithoutReduction));
}

/// Ten invented timbers between 200 and 500 kg/m3 were tested; one within them and one below were not.
#[test]
fn a_curve_of_the_batch_holds_within_what_was_tested() {
    let sound = "0,none,none";
    let tested = |place: u32| {
        let density = 200.0 + 30.0 * f64::from(place);
        let strength = 20.0 * (density / 560.0).powf(1.3) * [1.03, 0.97, 1.01, 0.99, 1.0][place as usize % 5];
        row(&format!("T{place:02}"), 0, density, sound, &format!("{strength:.2}"))
    };
    let with = |density: f64| {
        let mut rows: Vec<String> = (0..11).map(tested).collect();
        rows.push(row("X", 0, density, sound, ""));
        batch(&rows, &stated())
    };
    let found = with(350.0);
    let of = |found: &Lifts, timber: &str| {
        let lift = found.lifts.iter().find(|lift| lift.timber == timber).unwrap();
        lift.strengths.iter().find(|one| one.property == "compression_parallel").unwrap().strength.clone()
    };
    let by_curve = of(&found, "X");
    assert_eq!(by_curve.route, Some("curve"));
    let expected = 0.9 * 20.0 * (350.0_f64 / 560.0).powf(1.3);
    assert!((by_curve.value / expected - 1.0).abs() < 0.02, "{} {expected}", by_curve.value);
    assert!(by_curve.u.unwrap() / by_curve.value < 0.06);
    // A timber's own test comes before the curve, and a single test has no scatter.
    assert_eq!((of(&found, "T03").route, of(&found, "T03").u), (Some("measured"), None));
    assert!(!is_raised(&found, Code::CurveNotReached));
    let below = with(150.0);
    assert!(is_raised(&below, Code::CurveNotReached));
    assert_eq!(of(&below, "X").route, Some("handbook"));
}

#[test]
fn timbers_without_sizes_are_listed() {
    let text = "sample,timber,basic_density [kg/m3],taxon\nA,T,400,Quercus robur\n";
    let study = Study::unstated().unwrap();
    let read =
        batch_of(&SourceFile::from_bytes("d.csv", text.as_bytes().to_vec()), &study.read, &Watch::silent()).unwrap();
    let found = lift(&study, read, &stated(), &Watch::silent()).unwrap();
    assert!(found.lifts.is_empty());
    assert_eq!(found.without[0].reason, "its length is unknown; fill in timber_length");
}

/// Every code stands in one of the tests above.
#[test]
fn every_caution_has_its_case() {
    let text = include_str!("caution.rs");
    for code in Code::ALL {
        assert!(text.contains(&format!("Code::{code:?}")), "{}", code.word());
    }
}
