//! What people state of a lift: `[lift]` of the study file, stations and loads along a timber, a rim that counts, the list as a file.

use serde_json::Value;
use woodstate::lift::Spot;
use woodstate::study::{Along, LiftQuestion, Study, SupportChoice, WaterChoice};
use woodstate::table::{Cell, Limits, read_sheet};

use super::{GRAVITY, near};
use crate::support::program::{Ended, Folder};

/// Every key of the table, all invented.
const ALL: &str = r#"
[lift]
supports = ["tray", "slings:0.2,0.25", "equalised:4"]
required_margin = 3
accepted_probability = "1 %"
water = "12 ± 1 g/kg"
temperature = "8 ± 2 Cel"
saturation = "90 ± 5 %"
drained = "60 ± 10 %"
attached = ["40 ± 10 kg of 2600 kg/m3"]
hollow_drains = true
sling_width = "100 mm"
sling_angle = 60
dynamic = "1.3 ± 0.1"
placing = "50 mm"
reduction = "30 %"
size_uncertainty = "2 %"
size_effect = true
time_under_load = "2 h"
rim_stiffness = "20 %"

[lift.strengths]
bending_strength = "12 ± 3 MPa"
rim_bending_strength = "2 ± 1 MPa"

[lift.timbers.B01]
stations = ["0 m: 340 x 62 mm", "3 m: 320 mm x 60 mm", "6.2 m: 300 × 58 mm"]
attached = ["bolt: 12 kg of 7800 kg/m3 at 1.5 m", "8 kg of 2600 kg/m3 from 0 m to 2 m"]
saturation = "80 %"
reduction = "40 %"

[lift.timbers.Q01]
bore = "80 mm"
"#;

#[test]
fn the_study_file_states_a_lift() {
    let stated = Study::parse(ALL, "woodstate.toml").unwrap().lift;
    assert_eq!(
        stated.supports,
        [
            SupportChoice::Tray,
            SupportChoice::Slings(Along::Share(0.2), Along::Share(0.25)),
            SupportChoice::Equalised(4)
        ]
    );
    assert_eq!((stated.required.margin, stated.required.probability), (Some(3.0), Some(0.01)));
    assert_eq!(stated.water, Some(WaterChoice::parse("12 ± 1 g/kg").unwrap()));
    let of = |found: Option<woodstate::quantity::Measured>| found.map(|found| (found.value, found.u));
    assert_eq!(of(stated.temperature), Some((8.0, Some(2.0))));
    assert_eq!(of(stated.saturation), Some((0.9, Some(0.05))));
    assert_eq!(of(stated.drained), Some((0.6, Some(0.1))));
    assert_eq!(of(stated.dynamic), Some((1.3, Some(0.1))));
    assert_eq!((stated.sling_width, stated.placing, stated.sling_angle), (Some(0.1), Some(0.05), Some(60.0)));
    assert_eq!((stated.reduction, stated.size_uncertainty, stated.rim_stiffness), (Some(0.3), Some(0.02), Some(0.2)));
    assert_eq!((stated.hollow_drains, stated.size_effect, stated.time_under_load), (true, true, Some(7200.0)));
    assert_eq!(stated.attached.len() + stated.strengths.len(), 3);
    let board = &stated.timbers["B01"];
    let places: Vec<f64> = board.stations.iter().map(|station| station.0.at).collect();
    let sizes: Vec<[f64; 2]> =
        board.stations.iter().map(|station| [station.0.shape.width(), station.0.shape.height()]).collect();
    assert_eq!((places, sizes), (vec![0.0, 3.0, 6.2], vec![[0.34, 0.062], [0.32, 0.06], [0.3, 0.058]]));
    assert_eq!(board.attached[0].spot, Spot::At(1.5));
    assert_eq!(board.attached[1].words(), "8 kg of 2600 kg/m3 from 0 m to 2 m");
    assert_eq!((board.reduction, of(board.saturation)), (Some(0.4), Some((0.8, None))));
    assert_eq!(stated.timbers["Q01"].bore, Some(0.08));
    // Nothing stated is nothing assumed.
    let silent = Study::parse("", "woodstate.toml").unwrap().lift;
    assert_eq!(silent, LiftQuestion::usual());
    assert_eq!(
        (silent.required.margin, silent.dynamic, silent.reduction, silent.sling_width),
        (None, None, None, None)
    );
}

#[test]
fn a_fault_is_told_with_its_place() {
    let fault = |text: &str| Study::parse(text, "woodstate.toml").unwrap_err().to_string();
    let cases = [
        ("[lift]\nslingwidth = \"100 mm\"\n", "woodstate.toml:2:1: ", "Did you mean sling_width?"),
        ("[lift]\nsling_width = \"100\"\n", "woodstate.toml:2:15: ", "as in \"100 mm\""),
        ("[lift]\nsling_width = \"10 kg\"\n", "woodstate.toml:2:15: ", "kg"),
        ("[lift]\nsupports = [\"tray\", \"sling:0.2\"]\n", "woodstate.toml:2:21: ", "is not a way of support"),
        ("[lift]\nrequired_margin = 0\n", "woodstate.toml:2:19: ", "required margin is 0"),
        ("[lift]\naccepted_probability = \"1 %\"\n", "woodstate.toml:2:24: ", "a number beside a required margin"),
        ("[lift]\nwater = \"brackish\"\n", "woodstate.toml:2:9: ", "state its salinity"),
        ("[lift]\ndynamic = \"1,3\"\n", "woodstate.toml:2:11: ", "decimal point"),
        ("[lift]\nsling_angle = 0\n", "woodstate.toml:2:15: ", "above 0 and up to 90"),
        ("[lift]\nsaturation = \"120 %\"\n", "woodstate.toml:2:14: ", "outside 0 to 100 %"),
        ("[lift]\nattached = [\"40 kg\"]\n", "woodstate.toml:2:13: ", "its density and where it hangs"),
        ("[lift.strengths]\nbending = \"12 MPa\"\n", "woodstate.toml:2:1: ", "is not one of bending_strength"),
        ("[lift.strengths]\nbending_strength = \"0 MPa\"\n", "woodstate.toml:2:20: ", "0 MPa is not above 0"),
        ("[lift.timbers.A]\nstations = [\"0: 300 mm\"]\n", "woodstate.toml:2:13: ", "as in \"0 m\""),
        ("[lift.timbers.A]\nstations = [\"1 m: 300 mm\", \"2 m: 300 mm\"]\n", "woodstate.toml:2:13: ", "0, the start"),
        (
            "[lift.timbers.A]\nstations = [\"0 m: 300 mm\", \"2 m: 0 mm\"]\n",
            "woodstate.toml:2:28: ",
            "diameter of the timber",
        ),
        ("[lift.timbers.A]\nstations = [\"0 m: 300 ± 5 mm\"]\n", "woodstate.toml:2:13: ", "size_uncertainty"),
    ];
    for (text, place, words) in cases {
        let said = fault(text);
        assert!(said.starts_with(place) && said.contains(words), "{text}: {said}");
    }
}

fn parsed(found: &Ended) -> Value {
    serde_json::from_str(&found.out).unwrap_or_else(|error| panic!("{error}: {}", found.err))
}

fn typed(others: &str) -> Value {
    let line = format!(
        "lift --length 6m --basic-density 560kg/m3 --water \"1000 kg/m3\" --support slings:0 --draws 0 --quiet --json {others}"
    );
    parsed(&Folder::of(&[]).run(&line))["lifts"][0].clone()
}

#[test]
fn places_of_slings_are_shares_or_distances() {
    let of = |way: &str| typed(&format!("--width 250mm --height 250mm --support \"{way}\""))["supports"][1].clone();
    let moment = |way: &str| number(&of(way)["moment_max"]["value"]);
    for (way, like) in [
        ("slings:1.2m", "slings:0.2"),
        ("slings:20%,25 %", "slings:0.2,0.25"),
        ("slings:1.2m,150 cm", "slings:0.2,0.25"),
        ("ground:1.8m", "ground:0.3"),
    ] {
        assert!((moment(way) / moment(like) - 1.0).abs() < 1e-12, "{way}");
        assert_eq!(of(way)["support"], way.replace("20%,25 %", "0.2,0.25").replace("150 cm", "1.5m"));
    }
    let line = "lift --length 6m --width 250mm --height 250mm --basic-density 560kg/m3 --draws 0 --support ";
    let run = |places: &str| Folder::of(&[]).run(&format!("{line}{places}"));
    // Slings that pass each other are told as impossible, and the other ways are still looked at.
    let crossed = run("slings:3.5m --support slings:0.2").out;
    let why = "slings:3.5m  place of a sling (m) is 2.5; allowed is a place beyond the sling before it, 3.5 m";
    assert!(
        crossed.contains(why) && crossed.contains("slings at 20 % of the length from each end  1.20, 4.80"),
        "{crossed}"
    );
    for places in ["1,2 m", "1.2 ± 0.1 m", "1.2", "-1m"] {
        let said = run(&format!("\"slings:{places}\"")).err;
        assert!(said.contains("slings:1.2m"), "{places}: {said}");
    }
}

#[test]
fn that_nothing_hangs_on_a_timber_can_be_stated() {
    let codes = |others: &str| typed(&format!("--width 250mm --height 250mm {others}"))["cautions"].to_string();
    assert!(codes("").contains("nothing-attached"));
    assert!(!codes("--attached none").contains("nothing-attached"));
    let mass = |others: &str| typed(&format!("--width 250mm --height 250mm {others}"))["mass_in_air"].clone();
    assert_eq!(mass("--attached none"), mass(""));
}

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap_or_else(|| panic!("{value} is no number"))
}

const DATA: &str = "datasets-demo/harbour";

/// The demonstration with these lines at the end of its study file.
fn harbour(lines: &str) -> Folder {
    let folder = Folder::with_demo();
    let path = format!("{DATA}/woodstate.toml");
    let mut text = String::from_utf8(folder.bytes(&path)).unwrap();
    text.push_str(lines);
    folder.put(&path, text.as_bytes());
    folder
}

#[test]
fn a_batch_is_lifted_as_its_study_file_states() {
    let folder = harbour(ALL);
    let run = |others: &str| parsed(&folder.run(&format!("lift {DATA} --quiet --draws 100 --json {others}")));
    let outcome = run("");
    let handling = &outcome["handling"];
    assert_eq!((&handling["required_margin"], &handling["accepted_probability"]), (&3.0.into(), &0.01.into()));
    assert_eq!(handling["supports"], serde_json::json!(["tray", "slings:0.2,0.25", "equalised:4"]));
    let of = |name: &str| {
        let lifts = outcome["lifts"].as_array().unwrap();
        lifts.iter().find(|lift| lift["timber"] == name).unwrap_or_else(|| panic!("{}", outcome["without"])).clone()
    };
    let (board, log) = (of("B01"), of("Q01"));
    assert_eq!(board["shape"], "rectangular, 3 stations");
    assert_eq!((&board["reduction"]["value"], &board["saturation"]["value"]), (&40.0.into(), &80.0.into()));
    assert_eq!(board["attached"].as_array().unwrap().len(), 3);
    assert_eq!((&log["shape"], &log["reduction"]["value"]), (&"hollow".into(), &30.0.into()));
    // Iron is recorded on B01; with a reduction of its own it has a margin.
    assert!(board["supports"][1]["margin"]["value"].as_f64().is_some(), "{}", board["supports"][1]);
    // What is typed comes before what the study file states.
    let typed = run("--required-margin 5 --support tray --sling-width 50mm");
    assert_eq!(
        (&typed["handling"]["required_margin"], &typed["handling"]["sling_width"]["value"]),
        (&5.0.into(), &50.0.into())
    );
    assert_eq!(typed["handling"]["dynamic"]["value"], 1.3);
}

#[test]
fn a_timber_that_is_not_there_is_told() {
    let found = harbour("[lift.timbers.B91]\nreduction = \"30 %\"\n").run(&format!("lift {DATA} --quiet --draws 0"));
    assert_eq!(found.code, 2, "{}", found.err);
    assert!(found.err.contains("unknown timber under [lift.timbers] \"B91\""), "{}", found.err);
    let short = "[lift.timbers.B01]\nstations = [\"0 m: 340 x 62 mm\", \"6 m: 300 x 58 mm\"]\n";
    let found = harbour(short).run(&format!("lift {DATA} --quiet --draws 0"));
    let said = "place of the last station (m) is 6; allowed is the end of the timber, 6.2 m";
    assert!(found.code == 3 && found.out.contains(said), "{}", found.out);
}

/// Stations on the straight line of a taper are that taper, and a bend between them is heavier.
#[test]
fn stations_are_the_timber_they_describe() {
    let taper = typed("--width 300mm --end-width 200mm --height 250mm --end-height 150mm");
    let stations =
        typed("--station \"0 m: 300 x 250 mm\" --station \"3 m: 250 x 200 mm\" --station \"6 m: 200 mm x 150 mm\"");
    for field in ["mass_in_air", "mass_submerged"] {
        near(number(&stations[field]["value"]) / number(&taper[field]["value"]), 1.0, 1e-12);
    }
    let moment = |lift: &Value| number(&lift["supports"][0]["moment_max"]["value"]);
    near(moment(&stations) / moment(&taper), 1.0, 1e-9);
    assert_eq!(stations["shape"], "rectangular, 3 stations");
    let log = typed("--station \"0 m: 400 mm, bore 150 mm\" --station \"6 m: 400 mm, bore 150 mm\"");
    let tube = typed("--diameter 400mm --bore 150mm");
    assert_eq!(log["mass_in_air"], tube["mass_in_air"]);
    let run =
        |others: &str| Folder::of(&[]).run(&format!("lift --length 6m --basic-density 560kg/m3 --quiet {others}"));
    let both = run("--width 300mm --height 250mm --station \"0 m: 300 mm\" --station \"6 m: 300 mm\"");
    assert!(both.code == 2 && both.err.contains("stations have sections of their own"), "{}", both.err);
    let short = run("--station \"0 m: 300 mm\" --station \"5 m: 300 mm\"");
    assert!(short.code == 1 && short.err.contains("allowed is the end of the timber, 6 m"), "{}", short.err);
}

/// Source: a load P in the middle of two end slings adds P L/4, FPL-GTR-282 table 9-1 (a load in the middle of a simple beam); spread
/// over the length P L/8. Under water it weighs `m g (1 - ρ_w/ρ)`.
#[test]
fn loads_hang_where_they_are_stated() {
    const SIZES: &str = "--width 250mm --height 250mm";
    let bare = typed(SIZES);
    let moment = |lift: &Value| number(&lift["supports"][0]["moment_max"]["value"]);
    let kg = |lift: &Value, field: &str| number(&lift[field]["value"]);
    for (spot, share) in [(" at 3 m", 0.25), ("", 0.125), (" from 0 m to 600 cm", 0.125)] {
        let loaded = typed(&format!("{SIZES} --attached \"bolt: 50 kg of 7800 kg/m3{spot}\""));
        near(moment(&loaded) - moment(&bare), 50.0 * GRAVITY * 6.0 * share, 1e-6);
        near(kg(&loaded, "mass_in_air") - kg(&bare, "mass_in_air"), 50.0, 1e-9);
        near(kg(&loaded, "mass_submerged") - kg(&bare, "mass_submerged"), 50.0 * (1.0 - 1000.0 / 7800.0), 1e-9);
    }
    let both = typed(&format!("{SIZES} --attached \"20 kg of 2600 kg/m3\" --attached \"30 kg of 7800 kg/m3 at 1 m\""));
    near(kg(&both, "mass_in_air") - kg(&bare, "mass_in_air"), 50.0, 1e-9);
    assert_eq!(both["attached"].as_array().unwrap().len(), 2);
    let off = Folder::of(&[]).run(&format!(
        "lift --length 6m {SIZES} --basic-density 560kg/m3 --quiet --attached \"5 kg of 2600 kg/m3 at 6.5 m\""
    ));
    assert!(off.code == 1 && off.err.contains("place of a load (m) is 6.5"), "{}", off.err);
}

/// A rim as stiff as the core is that core: the stress at the surface is that of one wood, M c/I of the whole section.
#[test]
fn a_rim_that_counts_bends_with_the_core() {
    const RIM: &str = "--width 250mm --height 250mm --rim 25mm --rim-density 560kg/m3";
    let check = |lift: &Value, name: &str| {
        let checks = lift["supports"][0]["checks"].as_array().unwrap().clone();
        checks.into_iter().find(|check| check["check"] == name)
    };
    let whole = typed("--width 250mm --height 250mm");
    let carries = typed(&format!("{RIM} --rim-stiffness 100% --rim-bending-strength \"2 MPa\""));
    let rim = check(&carries, "rim_tension").unwrap();
    let stress = |check: &Value| number(&check["stress"]["value"]);
    near(stress(&rim), stress(&check(&whole, "bending_tension").unwrap()), 1e-9);
    near(stress(&check(&carries, "bending_tension").unwrap()), 0.8 * stress(&rim), 1e-9);
    near(number(&rim["margin"]["value"]), 2.0 / stress(&rim), 1e-9);
    let codes = |lift: &Value| -> Vec<String> {
        lift["cautions"].as_array().unwrap().iter().map(|one| one["code"].as_str().unwrap().to_owned()).collect()
    };
    assert!(codes(&carries).contains(&"rim-carries".to_owned()));
    let weighs = typed(RIM);
    assert!(check(&weighs, "rim_tension").is_none() && codes(&weighs).contains(&"rim-weighs-only".to_owned()));
    // 200 mm of 250 mm carry: the stress grows by 1.25 to the third power.
    near(stress(&check(&weighs, "bending_tension").unwrap()) / stress(&rim), 1.25_f64.powi(3), 1e-9);
    let inside = typed(&format!("{RIM} --rim-stiffness 50% --bending-strength \"12 MPa\""));
    assert!(
        check(&inside, "rim_tension").unwrap()["strength"].is_null(),
        "what is stated of the core is not of the rim"
    );
}

/// `V [ρ_b + s ρ_w (1 - ρ_b/ρ_c)]` with s = 0.9 before and 0.9 · 0.6 after draining.
#[test]
fn a_drained_timber_is_lighter_by_what_ran_out() {
    let lift = typed("--width 250mm --height 250mm --saturation 90% --drained 60%");
    let mass = |s: f64| 0.375 * (560.0 + s * 1000.0 * (1.0 - 560.0 / 1500.0));
    near(number(&lift["mass_in_air"]["value"]), mass(0.9), 1e-9);
    near(number(&lift["mass_drained"]["value"]), mass(0.54), 1e-9);
    assert!(typed("--width 250mm --height 250mm")["mass_drained"].is_null());
}

#[test]
fn the_list_is_written_as_a_workbook_and_as_text() {
    let folder = Folder::with_demo();
    let run = |name: &str| {
        let found = folder.run(&format!("lift {DATA} --quiet --draws 0 -o {name}"));
        assert_eq!(found.code, 3, "{}", found.err);
        folder.bytes(name)
    };
    let csv = String::from_utf8(run("lift.csv")).unwrap();
    assert!(csv.starts_with("danger,timber,taxon,mass_in_air [kg],"), "{csv}");
    assert_eq!(csv.lines().count(), 1 + 28);
    assert!(csv.lines().last().unwrap().starts_with(",B10,"), "{csv}");
    for name in ["lift.xlsx", "lift.ods"] {
        let bytes = run(name);
        let sheet = |wanted: &str| read_sheet(&bytes, name, Some(wanted), &Limits::default()).unwrap();
        let list = sheet("lift");
        assert_eq!((list.cell(0, 0), list.cell(1, 0)), (Cell::Text("danger"), Cell::Number(1.0)));
        assert_eq!(list.cell(28, 1), Cell::Text("B10"));
        let heads = ["mass_in_air [kg]", "margin", "answer", "tray_width [mm]", "unknown", "not_assessed_because"];
        let found: Vec<String> = (0..40).map(|column| format!("{:?}", list.cell(0, column))).collect();
        assert!(heads.iter().all(|head| found.iter().any(|cell| cell.contains(head))), "{found:?}");
        for other in ["supports", "strengths", "surfacing", "stated", "cautions", "notes", "sources"] {
            assert!(matches!(sheet(other).cell(1, 1), Cell::Text(_) | Cell::Number(_)), "{name} {other}");
        }
    }
    let wrong = folder.run(&format!("lift {DATA} --quiet -o lift.pdf"));
    assert!(wrong.err.contains("unknown ending of a file of lifts \"pdf\""), "{}", wrong.err);
}
