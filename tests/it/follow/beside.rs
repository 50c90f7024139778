//! Each caution is raised by a smallest log, is quiet just beside its limit, and tells its whole story.

use woodstate::error::CourseCautionCode;
use woodstate::report::{explanation_view, text};
use woodstate::study::{Following, explain};
use woodstate::treatment::{BathHistory, Body, Ranged};

use super::{codes, followed, try_followed};
use crate::support::expected::equals;

const TIMBERS: &str = "timber,timber_width [mm],timber_height [mm],prior_treatment\nT1,200,40,none\nT2,200,40,peg\n";
const DAY: f64 = 86_400.0;

/// A true course of T1, or T2, weighed every thirty days in 100 g/L and later 200 g/L; `lag` kg are missing in the last three.
fn weighed(timber: &str, n: u32, lag: f64, more: &str) -> String {
    weighed_with(0.004, timber, n, lag, more)
}

fn weighed_with(scatter: f64, timber: &str, n: u32, lag: f64, more: &str) -> String {
    let body = Body::beam([0.1, 0.02], [Ranged::exact(2e-11).unwrap(); 2]).unwrap();
    let bath = BathHistory::new(&[0.0, 150.0 * DAY], &[100.0, 200.0]).unwrap();
    let mut log =
        String::from("date,tank,timber,mass_drained [kg],concentration_mass_per_volume [g/L],bath_temperature [Cel]\n");
    log.push_str("2024-01-01,P1,,,100,18\n2024-05-30,P1,,,200,18\n");
    for k in 0..n {
        let mass = 20.0 + 0.01 * bath.average(&body, 30.0 * DAY * f64::from(k)).unwrap();
        let noise = if k % 2 == 0 { scatter } else { -scatter };
        let less = if k + 3 >= n { lag } else { 0.0 };
        log.push_str(&format!("{},P1,{timber},{:.4},,\n", date(30 * k), mass + noise - less));
    }
    log + more
}

/// The day so many days after the first of January 2024.
fn date(mut days: u32) -> String {
    let lengths = [31, 29, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31, 31, 28, 31, 30, 31, 30];
    let mut month = 0;
    while days >= lengths[month] {
        days -= lengths[month];
        month += 1;
    }
    format!("{}-{:02}-{:02}", 2024 + month / 12, month % 12 + 1, days + 1)
}

fn bath(rows: &[&str]) -> String {
    let head = "date,tank,bath_volume [L],concentration_mass_fraction [%],ph_bath [pH],water_changed\n";
    rows.iter().fold(head.to_owned(), |log, row| log + row + "\n")
}

const SUGAR: &str = "[follow]\nimpregnant = \"sucrose\"\napparent_volume = \"0.6 cm3/g\"\nstep = \"10 %\"\n";

/// A washing in four baths of eight weeks.
fn washing(warm: &str, column: &str) -> String {
    let mut log = format!(
        "date,tank,timber,bath_volume [L],{column},bath_temperature [Cel],water_changed\n2024-01-01,D1,T1,,,,\n"
    );
    let rows = [
        (0, "22", "no"),
        (14, "420", "no"),
        (56, "690", "yes"),
        (70, "210", "no"),
        (112, "330", "yes"),
        (126, "120", "no"),
    ];
    for (place, (day, value, change)) in rows.iter().enumerate() {
        let temperature = if place == 0 { warm } else { "12" };
        log.push_str(&format!("{},D1,,900,{value},{temperature},{change}\n", date(*day)));
    }
    log.push_str(&format!("{},D1,,900,180,12,no\n", date(168)));
    log
}

const SIZES: &str = "sample,timber,radial_saturated [mm],radial_conditioned [mm],conditioning_rh [%]\n";
const CONTROLS: &str = "timber,control_of,treatment\nT1,,PEG\nC1,T1,\n";

fn treated(timbers: &str, humidity: &str) -> Following {
    let samples = format!("{SIZES}A,T1,40,39.5,55\nB,C1,40,37,{humidity}\n");
    try_followed("date,tank\n2024-01-01,P1\n", timbers, &samples, "").unwrap()
}

/// A case that raises the caution, and one just beside it.
fn cases(code: CourseCautionCode) -> (Following, Following) {
    use CourseCautionCode as C;
    let course = |n, lag| followed(&weighed("T1", n, lag, ""), TIMBERS, "");
    match code {
        C::UptakeStalled => (course(14, 0.06), course(14, 0.0)),
        C::BathLosesVolume => {
            let fallen =
                |to: &str| followed(&bath(&["2024-01-01,P1,1000,,,", &format!("2024-01-15,P1,{to},,,")]), "", "");
            (fallen("959"), fallen("961"))
        }
        C::AdditionTooLarge => {
            let risen =
                |to: &str| followed(&bath(&["2024-01-01,P1,,10,,", &format!("2024-01-15,P1,,{to},,")]), "", SUGAR);
            (risen("22.1"), risen("21.9"))
        }
        C::BathWeakened => {
            let fallen = |to: &str, change: &str| {
                followed(&bath(&["2024-01-01,P1,,20,,", &format!("2024-01-15,P1,,{to},,{change}")]), "", SUGAR)
            };
            assert!(!codes(&fallen("17.9", "yes")).contains(&code.word()), "a change of the bath is written down");
            (fallen("17.9", "no"), fallen("18.1", "no"))
        }
        C::SugarFerments => {
            let sour = |ph: &str, study: &str| followed(&bath(&[&format!("2024-01-01,P1,,20,{ph},")]), "", study);
            let fast =
                |to: &str| followed(&bath(&["2024-01-01,P1,,20,7.2,", &format!("2024-01-08,P1,,20,{to},")]), "", SUGAR);
            assert!(codes(&fast("6.6")).contains(&code.word()) && !codes(&fast("6.8")).contains(&code.word()));
            let of_peg = SUGAR.replace("sucrose", "PEG 2000");
            assert!(!codes(&sour("5.9", of_peg.as_str())).contains(&code.word()));
            (sour("5.9", SUGAR), sour("6.0", SUGAR))
        }
        C::DiffusivityOpen => {
            let scattered = weighed_with(0.1, "T1", 6, 0.0, "");
            (followed(&scattered, TIMBERS, ""), course(14, 0.0))
        }
        C::CourseTooShort => (course(4, 0.0), course(5, 0.0)),
        C::CourseWithoutFit => {
            let falling = weighed("T1", 8, 0.0, "").replace(",20.", ",19.").replace(",21.", ",18.");
            (followed(&falling, TIMBERS, ""), course(8, 0.0))
        }
        C::BasisUnknown => {
            let by_mass = weighed("T1", 8, 0.0, "")
                .replace("mass_per_volume [g/L]", "mass_fraction [%]")
                .replace(",200,", ",20,")
                .replace(",100,", ",10,");
            (followed(&by_mass, TIMBERS, ""), followed(&by_mass, TIMBERS, SUGAR))
        }
        C::SizeUnknown => (followed(&weighed("T9", 8, 0.0, ""), TIMBERS, ""), course(8, 0.0)),
        C::TreatedBefore => (followed(&weighed("T2", 8, 0.0, ""), TIMBERS, ""), course(8, 0.0)),
        C::TemperatureUncorrected => {
            let warm =
                |to: &str| followed(&weighed("T1", 14, 0.0, &format!("2024-06-30,P1,,,200,{to}\n")), TIMBERS, "");
            (warm("23.1"), warm("22.9"))
        }
        C::ConductivityUncorrected => {
            let read = |warm| followed(&washing(warm, "conductivity [uS/cm]"), TIMBERS, "");
            (read("17.1"), read("16.9"))
        }
        C::ControlClimate => (treated(CONTROLS, "53.9"), treated(CONTROLS, "54.1")),
        C::ControlMissing => (treated(&CONTROLS.replace("C1,T1,", "C1,,"), "55"), treated(CONTROLS, "55")),
        C::RowUndated => {
            (followed("date,tank\n,P1\n2024-01-01,P1\n", "", ""), followed("date,tank\n2024-01-01,P1\n", "", ""))
        }
    }
}

#[test]
fn every_caution_is_raised_and_is_quiet_just_beside() {
    for &code in CourseCautionCode::ALL {
        let (raised, quiet) = cases(code);
        assert!(codes(&raised).contains(&code.word()), "{} is not raised: {:?}", code.word(), codes(&raised));
        assert!(
            !codes(&quiet).contains(&code.word()),
            "{} is raised beside its case: {:?}",
            code.word(),
            quiet.cautions
        );
        let entry = raised.legend.iter().find(|entry| entry.code == code.word()).unwrap();
        assert!(entry.count > 0);
    }
}

#[test]
fn every_story_reads_as_expected() {
    let stories: Vec<String> = CourseCautionCode::ALL
        .iter()
        .map(|code| text(&explanation_view(&explain(code.word()).unwrap()), 100))
        .collect();
    equals("follow/stories.txt", &stories.join("\n"));
}

#[test]
fn a_timber_that_was_moved_follows_the_bath_that_it_lies_in() {
    let log = "date,tank,timber,mass_drained [kg],concentration_mass_per_volume [g/L]\n2024-01-01,P1,,,100\n2024-01-01,P2,,,300\n\
               2024-01-01,P1,T1,20,\n2024-03-01,P2,T1,20.4,\n2024-05-01,P2,T1,20.9,\n";
    let study = "[follow]\ntarget = \"90 %\"\ndiffusivity = [\"1e-11 m2/s\", \"3e-11 m2/s\"]\n";
    let following = followed(log, TIMBERS, study);
    assert_eq!(following.timbers[0].tanks, ["P1", "P2"]);
    let stayed = followed(&log.replace(",P2,T1", ",P1,T1"), TIMBERS, study);
    let share = |following: &Following| following.timbers[0].average_now.as_ref().unwrap().value;
    assert!(share(&following) < share(&stayed), "in a bath three times as strong the wood is farther from it");
}

#[test]
fn a_washing_is_fitted_through_its_changes() {
    let following = followed(&washing("12", "chloride_in_water [mg/L]"), TIMBERS, "");
    let washing = following.tanks[0].washing.as_ref().unwrap();
    assert_eq!((washing.baths.len(), washing.readings.len(), washing.column), (3, 7, "chloride_in_water"));
    assert_eq!(washing.readings.iter().map(|reading| reading.bath).collect::<Vec<_>>(), [1, 1, 1, 2, 2, 3, 3]);
    let fit = washing.diffusivity.as_ref().unwrap();
    assert!(fit.value > 1e-12 && fit.value < 1e-9, "{fit:?}");
    assert_eq!(washing.pieces, ["T1"]);
    assert_eq!(washing.flat, None, "without a criterion nothing is judged");
    assert!(following.questions.iter().any(|ask| ask.key == "flat_chloride"));
}

#[test]
fn a_curve_is_flat_by_the_criterion_of_the_user_alone() {
    let judged = |criterion: &str, count: usize| {
        let study = format!(
            "[follow]\nflat_chloride = \"{criterion} mg/L\"\nflat_readings = {count}\nchloride_limit = \"200 mg/L\"\n"
        );
        let following = followed(&washing("12", "chloride_in_water [mg/L]"), TIMBERS, &study);
        let washing = following.tanks[0].washing.clone().unwrap();
        (washing.flat.unwrap(), washing.limits)
    };
    // Rises a week: (420 − 22)/2, (690 − 420)/6, (330 − 210)/6, (180 − 120)/6.
    assert!(judged("20.1", 2).0.is_met && !judged("19.9", 2).0.is_met);
    assert!(judged("10.1", 1).0.is_met && !judged("9.9", 1).0.is_met);
    let (missing, limits) = judged("1000", 9);
    assert!(!missing.is_met && missing.text.starts_with("not told"), "{}", missing.text);
    assert!(limits[0].is_met && limits[0].text.contains("180 mg/L, within the limit of 200"), "{}", limits[0].text);
}
