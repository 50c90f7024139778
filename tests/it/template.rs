//! Forms: what is written can be filled in and read, and nothing of somebody else is lost.

use serde_json::Value;

use crate::support::program::Folder;

/// A row of the usual columns: a name, both masses and the mass under water.
fn filled(header: &str) -> String {
    let cell = |head: &str| match head {
        "sample" => "P1",
        "timber" => "B1",
        "taxon" => "\"Quercus, deciduous\"",
        "mass_saturated [g]" => "5.00",
        "mass_oven_dry [g]" => "1.00",
        "mass_immersed [g]" => "0.40",
        _ => "",
    };
    format!("{header}\n{}\n", header.split(',').map(cell).collect::<Vec<_>>().join(","))
}

fn text(folder: &Folder, name: &str) -> String {
    String::from_utf8(folder.bytes(name)).unwrap()
}

#[test]
fn an_empty_form_is_read_without_a_complaint_but_that_it_has_no_rows() {
    for (out, read) in
        [("form.xlsx", "form.xlsx"), ("form.csv", "form.csv"), ("a/samples.csv", "a"), ("b/x.csv", "b/x.csv")]
    {
        for columns in ["usual", "all"] {
            let folder = Folder::of(&[]);
            let ended = folder.run(&format!("template --columns {columns} -o {out}"));
            assert_eq!(ended.code, 0, "{out}: {}", ended.err);
            assert!(ended.out.contains(&format!("woodstate check {read}")), "{}", ended.out);
            let outcome = folder.json(&format!("check {read}"));
            let findings = outcome["findings"].as_array().unwrap();
            let codes: Vec<&str> = findings.iter().map(|finding| finding["code"].as_str().unwrap()).collect();
            assert_eq!(codes, ["table-empty"; 3], "{out} {columns}");
            assert_eq!(outcome["source"].as_array().unwrap().len(), 3, "{out}");
            assert_eq!(folder.run(&format!("check {read}")).code, 3);
        }
    }
}

#[test]
fn a_form_whose_timbers_and_log_stay_empty_is_whole() {
    let folder = Folder::of(&[]);
    folder.run("template -o form.csv");
    let header = text(&folder, "form.csv");
    folder.put("form.csv", filled(header.trim_end()).as_bytes());
    for command in ["check form.csv", "assess form.csv"] {
        let ended = folder.run(command);
        assert_eq!(ended.code, 0, "{command}: {}{}", ended.out, ended.err);
    }
    // 100 (5 - 1) / 1 %.
    let outcome = folder.json("assess form.csv");
    assert_eq!(outcome["samples"][0]["values"]["max_water_content"]["value"], 400.0);
    assert_eq!(outcome["samples"][0]["values"]["basic_density"]["route"], "immersed");
}

#[test]
fn timbers_beside_a_form_of_another_name_are_read_with_it() {
    let folder = Folder::of(&[]);
    folder.run("template -o form.csv");
    let header = text(&folder, "form.csv");
    let without_taxon = filled(header.trim_end()).replace("\"Quercus, deciduous\"", "");
    folder.put("form.csv", without_taxon.as_bytes());
    folder.put("form_timbers.csv", b"timber,taxon\nB1,\"Quercus, deciduous\"\n");
    assert_eq!(folder.json("assess form.csv")["samples"][0]["taxon"], "Quercus, deciduous");
}

#[test]
fn a_form_that_somebody_filled_in_is_not_replaced_and_an_untouched_one_is() {
    let folder = Folder::of(&[]);
    assert_eq!(folder.run("template -o form.csv").code, 0);
    assert_eq!(folder.run("template -o form.csv --columns all").code, 0);
    let header = text(&folder, "form.csv");
    folder.put("form.csv", format!("{header}P1\n").as_bytes());
    let ended = folder.run("template -o form.csv");
    assert!(ended.code == 5 && ended.err.contains("form.csv") && ended.err.contains("--force"), "{}", ended.err);
    assert_eq!(text(&folder, "form.csv"), format!("{header}P1\n"));
    assert_eq!(folder.run("template -o form.csv --force").code, 0);
}

#[test]
fn a_form_leaves_the_results_beside_it() {
    let folder = Folder::with_demo();
    folder.run("assess datasets-demo/harbour --out state --quiet");
    assert_eq!(folder.run("template -o state/form.xlsx --tables log --force").code, 0);
    assert!(folder.path("state/results.csv").is_file());
}

#[test]
fn the_same_form_has_the_same_bytes() {
    let of = || {
        let folder = Folder::of(&[]);
        folder.run("template -o form.xlsx");
        (folder.bytes("form.xlsx"), folder.bytes("datapackage.json"))
    };
    assert_eq!(of(), of());
}

#[test]
fn another_ending_and_several_tables_on_standard_output_end_with_2() {
    let folder = Folder::of(&[]);
    for (command, says) in [("template -o form.doc", "FILE.xlsx"), ("template -o -", "--tables samples -o -")] {
        let ended = folder.run(command);
        assert!(ended.code == 2 && ended.err.contains(says), "{command}: {}", ended.err);
    }
    let header = folder.run("template --tables log -o -").out;
    assert!(header.starts_with("date,tank,timber,mass_drained [kg]") && header.contains(",ph_bath [pH],"), "{header}");
}

#[test]
fn the_package_of_a_form_says_units_limits_words_and_keys() {
    let folder = Folder::of(&[]);
    folder.run("template -o form.xlsx");
    let package: Value = serde_json::from_slice(&folder.bytes("datapackage.json")).unwrap();
    let samples = &package["resources"][0];
    assert_eq!((&samples["path"], &samples["dialect"]["sheetName"]), (&"form.xlsx".into(), &"samples".into()));
    let field = |name: &str| {
        let fields = samples["schema"]["fields"].as_array().unwrap();
        fields.iter().find(|field| field["name"] == name).unwrap_or_else(|| panic!("{name}")).clone()
    };
    let ash = field("ash_content [%]");
    assert_eq!((&ash["unit"], &ash["type"]), (&"%".into(), &"number".into()));
    assert_eq!((&ash["constraints"]["minimum"], &ash["constraints"]["maximum"]), (&0.0.into(), &100.0.into()));
    assert_eq!(field("sample_form")["constraints"]["enum"], serde_json::json!(["cylinder", "prism", "irregular"]));
    assert_eq!(samples["schema"]["primaryKey"], serde_json::json!(["sample"]));
    assert_eq!(samples["schema"]["foreignKeys"][0]["reference"]["resource"], "timbers");
}

#[test]
fn every_column_of_every_result_is_described() {
    let folder = Folder::with_demo();
    folder.run("assess datasets-demo/harbour --out state --quiet");
    let package: Value = serde_json::from_slice(&folder.bytes("state/datapackage.json")).unwrap();
    let resources = package["resources"].as_array().unwrap();
    let tables = resources.iter().filter(|resource| resource["type"] == "table");
    for table in tables.clone() {
        let path = table["path"].as_str().unwrap();
        let written = text(&folder, &format!("state/{path}"));
        let names: Vec<&str> =
            table["schema"]["fields"].as_array().unwrap().iter().map(|field| field["name"].as_str().unwrap()).collect();
        assert_eq!(written.lines().next().unwrap().replace('"', ""), names.join(","), "{path}");
        for field in table["schema"]["fields"].as_array().unwrap() {
            assert_ne!(field["description"], "Column of the file.", "{path}: {}", field["name"]);
        }
    }
    let files = std::fs::read_dir(folder.path("state")).unwrap();
    let csv = files.filter(|entry| entry.as_ref().unwrap().file_name().to_str().unwrap().ends_with(".csv")).count();
    assert_eq!(tables.count(), csv);
}

#[test]
fn the_package_of_results_says_units_coverage_evidence_and_what_it_was_made_from() {
    let folder = Folder::with_demo();
    folder.run("assess datasets-demo/harbour --out state --quiet --coverage 0.9");
    let package: Value = serde_json::from_slice(&folder.bytes("state/datapackage.json")).unwrap();
    let outcome = folder.json("assess datasets-demo/harbour --coverage 0.9");
    assert_eq!(package["sources"][0]["sha256"], outcome["source"][0]["sha256"]);
    assert_eq!((&package["madeBy"]["coverage"], &package["madeBy"]["classLabels"][0]), (&0.9.into(), &"I".into()));
    let fields = package["resources"][0]["schema"]["fields"].as_array().unwrap();
    let field = |name: &str| fields.iter().find(|field| field["name"] == name).unwrap_or_else(|| panic!("{name}"));
    assert_eq!(field("basic_density [kg/m3]")["unit"], "kg/m3");
    assert_eq!(field("u(basic_density) [kg/m3]")["uncertaintyOf"], "basic_density [kg/m3]");
    let low = field("low(basic_density) [kg/m3]");
    assert_eq!((&low["intervalOf"], &low["coverage"]), (&"basic_density [kg/m3]".into(), &0.9.into()));
    assert!(field("route of basic_density")["constraints"]["enum"].as_array().unwrap().contains(&"immersed".into()));
    let works = |name: &str| -> Vec<String> {
        let evidence = field(name)["evidence"].as_array().unwrap();
        evidence.iter().map(|work| work["source"].as_str().unwrap().to_owned()).collect()
    };
    assert_eq!(works("degradation_class"), ["de-jong-1977"]);
    assert!(works("porosity [%]").iter().all(|work| work == "kakenhi-63510231"));
    // Every source of the outcome stands at one column at least.
    let all: Vec<String> = fields
        .iter()
        .filter_map(|field| field["evidence"].as_array())
        .flatten()
        .map(|work| work["usedFor"].as_str().unwrap().to_owned())
        .collect();
    for source in outcome["sources"].as_array().unwrap() {
        assert!(all.iter().any(|used| source["used_for"] == used.as_str()), "{source}");
    }
}
