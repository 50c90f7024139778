//! The command, as its users type it.

use jsonschema::Validator;

use crate::support::expected::equals;
use crate::support::program::Folder;

const LOG: &str = "datasets-demo/tank/log.csv";

#[test]
fn the_text_reads_as_expected() {
    let folder = Folder::with_demo();
    equals("follow/tank.txt", &folder.run(&format!("follow {LOG}")).out);
    equals("follow/washing.txt", &folder.run("follow datasets-demo/harbour").out);
    equals("follow/plain.txt", &folder.run(&format!("follow {LOG} --plain")).out);
}

#[test]
fn outcomes_are_valid_under_the_schema() {
    let folder = Folder::with_demo();
    let schema = folder.run("schema following").out;
    let validator: Validator = jsonschema::validator_for(&serde_json::from_str(&schema).unwrap()).unwrap();
    for data in [LOG, "datasets-demo/tank", "datasets-demo/harbour/log.csv", "datasets-demo/harbour/harbour.xlsx"] {
        let outcome = folder.json(&format!("follow {data}"));
        let errors: Vec<String> = validator.iter_errors(&outcome).map(|error| error.to_string()).collect();
        assert_eq!(errors, Vec::<String>::new(), "{data}");
        assert_eq!(outcome["kind"], "following");
    }
}

#[test]
fn a_file_a_folder_and_a_workbook_are_read_alike() {
    let folder = Folder::with_demo();
    let timbers = |data: &str| folder.json(&format!("follow {data}"))["timbers"].clone();
    assert_eq!(timbers(LOG), timbers("datasets-demo/tank"));
    assert_eq!(timbers("datasets-demo/harbour/log.csv"), timbers("datasets-demo/harbour/harbour.xlsx"));
}

#[test]
fn a_log_on_standard_input_is_followed_alone() {
    let folder = Folder::of(&[]);
    let ended = folder.piped("follow - --json", b"date,tank,bath_volume [L]\n2024-01-01,P1,800\n2024-01-08,P1,700\n");
    assert_eq!(ended.code, 0, "{}", ended.err);
    assert!(ended.out.contains("bath-loses-volume"));
}

#[test]
fn endings_tell_how_it_went() {
    let folder = Folder::with_demo();
    assert_eq!(folder.run(&format!("follow {LOG} --quiet")).code, 0);
    assert_eq!(folder.run(&format!("follow {LOG} --quiet --strict")).code, 4);
    let bare = folder.run(&format!("follow {LOG} --target 0.9"));
    assert_eq!(bare.code, 2, "{}", bare.err);
    assert!(bare.err.contains("write it with its unit"), "{}", bare.err);
    folder.put("undated.csv", b"date,tank,bath_volume [L]\n,P1,800\n2024-01-08,P1,700\n");
    assert_eq!(folder.run("follow undated.csv --quiet").code, 3);
    folder.put("bad.csv", b"date,tank,concentration [%]\n");
    let without = folder.run("follow datasets-demo/messy --quiet");
    assert!(without.code != 0 && without.err.contains("holds no log"), "{}", without.err);
}

#[test]
fn a_target_that_is_typed_comes_before_that_of_the_study() {
    let folder = Folder::with_demo();
    let day = |target: &str| {
        let outcome = folder.json(&format!("follow {LOG} {target}"));
        outcome["timbers"][0]["average_target"]["day"].as_str().unwrap().to_owned()
    };
    assert!(day("--target \"80 %\"") < day(""));
    assert_eq!(day("--target \"90 %\""), day(""));
}

#[test]
fn one_file_is_written_in_each_form() {
    let folder = Folder::with_demo();
    for name in ["f.json", "f.csv", "f.tsv"] {
        let ended = folder.run(&format!("follow {LOG} --quiet -o {name}"));
        assert_eq!(ended.code, 0, "{}", ended.err);
    }
    let csv = String::from_utf8(folder.bytes("f.csv")).unwrap();
    assert!(csv.starts_with("timber,tanks,shape,first,last,weighings,gained [kg]"), "{csv}");
    assert_eq!(csv.lines().count(), 5);
    let refused = folder.run(&format!("follow {LOG} --quiet -o f.docx"));
    assert!(refused.code != 0 && refused.err.contains("json"), "{}", refused.err);
}

#[test]
fn a_bare_per_cent_of_a_bath_is_asked_for_its_basis() {
    let folder = Folder::with_demo();
    folder.put("l.csv", b"date,tank,PEG [%]\n2024-01-01,P1,10\n");
    let ended = folder.run("follow l.csv");
    assert!(ended.err.contains("PEG [%]") || ended.out.contains("PEG [%]"), "{}{}", ended.out, ended.err);
}

#[test]
fn figures_are_drawn_of_tanks() {
    let folder = Folder::with_demo();
    for (kind, data) in [("uptake-course", "datasets-demo/tank"), ("washing-curve", "datasets-demo/harbour")] {
        let ended = folder.run(&format!("figure {kind} {data} --quiet -o {kind}.svg --data {kind}.csv"));
        assert!(ended.code == 0 || ended.code == 3, "{}", ended.err);
        assert!(String::from_utf8(folder.bytes(&format!("{kind}.svg"))).unwrap().starts_with("<svg"));
    }
    let none = folder.run("figure washing-curve datasets-demo/tank --quiet");
    assert!(none.err.contains("washing-curve needs a log with date, tank"), "{}", none.err);
}

#[test]
fn a_report_has_the_course_and_the_treated_wood() {
    let folder = Folder::with_demo();
    let ended = folder.run("report datasets-demo/tank --out out --quiet");
    assert!(ended.code == 0 || ended.code == 3, "{}", ended.err);
    let page = String::from_utf8(folder.bytes("out/report.html")).unwrap();
    for said in [
        "Following the treatment",
        "uptake-stalled",
        "How the forecast of R01 moved",
        "83.94",
        "Diffusion knows no collapse",
    ] {
        assert!(page.contains(said), "{said}");
    }
    assert!(
        folder.path("out/figure-uptake-course.svg").is_file() && !folder.path("out/figure-washing-curve.svg").is_file()
    );
    std::fs::remove_file(folder.path("datasets-demo/tank/log.csv")).unwrap();
    let ended = folder.run("report datasets-demo/tank --out bare --quiet");
    let page = String::from_utf8(folder.bytes("bare/report.html")).unwrap();
    assert!(page.contains("No log of a treatment was kept") && page.contains("83.94"), "{}", ended.err);
}

#[test]
fn neighbours_of_a_log_are_read_by_their_names() {
    let folder = Folder::of(&[]);
    let log = b"date,tank,timber,mass_drained [kg],concentration_mass_per_volume [g/L]\n2024-01-01,P1,T1,20,100\n2024-02-01,P1,T1,20.1,100\n";
    let timbers = b"timber,timber_diameter [mm]\nT1,80\n";
    for (name, beside) in [("log.csv", "timbers.csv"), ("barge_log.csv", "barge_timbers.csv")] {
        folder.put(name, log);
        folder.put(beside, timbers);
        assert_eq!(folder.json(&format!("follow {name}"))["timbers"][0]["shape"], "round, 80 mm", "{name}");
    }
    folder.put("other.csv", log);
    assert_eq!(folder.json("follow other.csv")["timbers"][0]["shape"], serde_json::Value::Null, "a log alone");
    folder.put("empty/note.txt", b"");
    let none = folder.run("follow empty");
    assert!(none.code == 5 && none.err.contains("the folder holds no log.csv"), "{}: {}", none.code, none.err);
}
