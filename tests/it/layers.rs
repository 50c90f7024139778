//! The architecture as a test: who may import whom, who may name which foreign crate, what must be absent.

use std::fs;
use std::path::{Path, PathBuf};

/// In the order of the data. A layer may import itself and those before it.
const LAYERS: [&str; 17] = [
    "error",
    "quantity",
    "numeric",
    "table",
    "reference",
    "state",
    "profile",
    "site",
    "strength",
    "lift",
    "treatment",
    "study",
    "figure",
    "report",
    "notebook",
    "cli",
    "kernel",
];

/// Layers that know nothing of each other.
const STRANGERS: [&str; 3] = ["profile", "site", "strength"];

/// A foreign crate and the files or folders that may name it.
const OWNERS: [(&str, &[&str]); 36] = [
    ("statrs", &["numeric/distribution.rs"]),
    ("rand_chacha", &["numeric/stream.rs"]),
    ("zmij", &["table/text"]),
    ("encoding_rs", &["table/text.rs"]),
    ("calamine", &["table/sheet.rs", "table/sheet"]),
    ("zip", &["table/sheet.rs", "table/sheet"]),
    ("rust_xlsxwriter", &["table/workbook.rs"]),
    ("tempfile", &["table/file.rs"]),
    ("sha2", &["table/file.rs", "kernel"]),
    ("toml", &["reference/source.rs", "study/origin.rs", "table/glossary"]),
    ("serde_json", &["report/json.rs", "notebook/value", "kernel"]),
    ("minijinja", &["report/html.rs"]),
    ("comfy_table", &["report/text.rs"]),
    ("quick_xml", &["table/sheet.rs", "table/sheet"]),
    ("polars", &["table/frame.rs"]),
    ("plotters", &["figure/scale.rs"]),
    ("skrifa", &["figure/font.rs"]),
    ("resvg", &["figure/export.rs"]),
    ("krilla", &["figure/export.rs"]),
    ("krilla_svg", &["figure/export.rs"]),
    ("rayon", &["numeric/parallel.rs"]),
    ("starlark", &["notebook"]),
    ("allocative", &["notebook"]),
    ("zeromq", &["kernel"]),
    ("tokio", &["kernel"]),
    ("hmac", &["kernel"]),
    ("bytes", &["kernel"]),
    ("base64", &["kernel"]),
    ("libm", &["numeric/distribution.rs", "numeric/error_function.rs", "numeric/bessel.rs"]),
    ("pulp", &["numeric/widest.rs"]),
    ("clap", &["cli", "kernel"]),
    ("clap_complete", &["cli"]),
    ("clap_mangen", &["cli"]),
    ("anstream", &["cli"]),
    ("indicatif", &["cli"]),
    ("ctrlc", &["cli", "kernel"]),
];

/// The folders of the program, which is no part of the library.
const PROGRAM: [&str; 2] = ["cli", "kernel"];

/// Files that hold formulas.
const FORMULAS: [&str; 13] = [
    "lift/weight",
    "state/basic_density",
    "state/cell_wall",
    "state/loss",
    "state/max_water_content",
    "state/pore_salt",
    "state/porosity",
    "state/saturated_density",
    "state/shrinkage",
    "state/volume",
    "state/water_density",
    "treatment/held",
    "treatment/solution",
];

#[test]
fn modules_import_only_earlier_layers() {
    for (rank, layer) in LAYERS.iter().enumerate() {
        let strangers = STRANGERS.iter().filter(|other| STRANGERS.contains(layer) && *other != layer);
        let forbidden: Vec<&str> = LAYERS[rank + 1..].iter().chain(strangers).copied().collect();
        for (path, text) in sources(&root().join(layer)) {
            let name = path.display();
            // The program is a crate of its own: its `crate` is not the library.
            if PROGRAM.contains(layer) {
                continue;
            }
            for grouped in ["crate::{", "super::super"] {
                assert!(!text.contains(grouped), "{name}: write one `use crate::module` per module");
            }
            for other in &forbidden {
                assert!(!mentions(&text, &format!("crate::{other}")), "{name} imports {other}");
            }
        }
    }
}

#[test]
fn each_layer_is_in_the_list() {
    for entry in fs::read_dir(root()).unwrap() {
        let name = entry.unwrap().file_name().into_string().unwrap();
        let is_known = LAYERS.contains(&name.as_str()) || ["lib.rs", "changes.md"].contains(&name.as_str());
        assert!(is_known, "woodstate/{name} is not in the list of layers");
    }
}

#[test]
fn a_module_is_imported_in_one_line() {
    for (path, text) in sources(&root()) {
        let mut modules: Vec<&str> = text
            .lines()
            .filter_map(|line| line.strip_prefix("use crate::"))
            .filter_map(|path| path.rsplit_once("::"))
            .map(|(module, _)| module)
            .collect();
        let all = modules.len();
        modules.sort_unstable();
        modules.dedup();
        assert_eq!(modules.len(), all, "{} imports a module in two lines", path.display());
    }
}

#[test]
fn each_foreign_crate_has_one_owner() {
    for (path, text) in sources(&root()) {
        for (foreign, homes) in OWNERS {
            let is_named = mentions(&text, &format!("{foreign}::"));
            let is_at_home = homes.iter().any(|home| path.starts_with(root().join(home)));
            assert!(!is_named || is_at_home, "{} names {foreign}", path.display());
        }
    }
}

#[test]
fn no_foreign_type_stands_in_a_public_signature() {
    for (path, text) in library() {
        for line in code(&text).filter(|line| line.trim_start().starts_with("pub fn")) {
            for (foreign, _) in OWNERS {
                assert!(!mentions(line, &format!("{foreign}::")), "{}: {line}", path.display());
            }
        }
    }
}

#[test]
fn no_source_of_ours_is_unsafe() {
    // Derives of the cell language may implement its marker trait; nobody writes the word.
    for (path, text) in sources(&root()) {
        assert!(!mentions(&text, "unsafe"), "{} is unsafe", path.display());
    }
}

#[test]
fn formulas_know_no_tables() {
    for name in FORMULAS {
        let text = fs::read_to_string(root().join(name).with_extension("rs")).unwrap();
        assert!(!code(&text).any(|line| line.contains("crate::table")), "{name}.rs knows a table");
    }
}

#[test]
fn no_number_of_the_trade_is_typed_into_a_formula() {
    // Factors of units, percent and the shape of a formula; 12 and 1.12 are the name of the density at 12 %.
    const ALLOWED: [&str; 12] =
        ["0.0", "1.0", "100.0", "1000.0", "1e-3", "-1e-3", "1e4", "4000.0", "12.0", "1.12", "0", "2"];
    for name in FORMULAS {
        let text = fs::read_to_string(root().join(name).with_extension("rs")).unwrap();
        for line in code(&text) {
            for number in numbers(line) {
                assert!(ALLOWED.contains(&number.as_str()), "{name}.rs holds {number}: {line}");
            }
        }
    }
}

#[test]
fn the_library_reads_no_clock_no_environment_and_no_unseeded_randomness() {
    let absent = ["std::env", "SystemTime", "Instant", "thread_rng", "from_entropy", "from_os_rng", "env::var"];
    for (path, text) in library() {
        for word in absent {
            assert!(!code(&text).any(|line| line.contains(word)), "{} names {word}", path.display());
        }
    }
}

#[test]
fn files_are_touched_in_one_file_of_the_library() {
    for (path, text) in sources(&root()) {
        let is_owner = path.ends_with("table/file.rs") || is_program(&path);
        assert!(is_owner || !mentions(&text, "std::fs"), "{} touches files", path.display());
    }
}

#[test]
fn views_compute_nothing() {
    for (path, text) in sources(&root().join("report")) {
        for word in ["crate::numeric", "crate::reference::Reference", ".sqrt()", ".powi(", ".ln()"] {
            assert!(!code(&text).any(|line| line.contains(word)), "{} names {word}", path.display());
        }
    }
}

#[test]
fn no_file_is_longer_than_a_sitting() {
    for (path, text) in sources(&root()) {
        assert!(text.lines().count() <= 500, "{} is longer than 500 lines", path.display());
    }
}

#[test]
fn the_readme_and_the_guide_keep_their_length() {
    for (name, most) in [("README.md", 120), ("DEVELOPERS.md", 200)] {
        let text = fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join(name)).unwrap();
        assert!(text.lines().count() <= most, "{name} is longer than {most} lines");
    }
}

#[test]
fn the_code_map_names_every_folder() {
    let text = fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("DEVELOPERS.md")).unwrap();
    for entry in fs::read_dir(root()).unwrap() {
        let name = entry.unwrap().file_name().into_string().unwrap();
        let is_named = name.contains('.') || text.contains(&format!("`{name}/`"));
        assert!(is_named, "DEVELOPERS.md does not name {name}");
    }
}

/// Whether a file belongs to the program.
fn is_program(path: &Path) -> bool {
    PROGRAM.iter().any(|folder| path.starts_with(root().join(folder)))
}

/// The sources of the library.
fn library() -> Vec<(PathBuf, String)> {
    sources(&root()).into_iter().filter(|(path, _)| !is_program(path)).collect()
}

/// Lines that are not comments.
fn code(text: &str) -> impl Iterator<Item = &str> {
    text.lines().filter(|line| !line.trim_start().starts_with("//"))
}

/// Whether code names a path, not as the end of a longer word.
fn mentions(text: &str, path: &str) -> bool {
    code(text).any(|line| {
        line.match_indices(path).any(|(at, _)| {
            let before = line[..at].chars().next_back();
            let after = line[at + path.len()..].chars().next();
            let is_word = |c: Option<char>| c.is_some_and(|c| c.is_alphanumeric() || c == '_');
            !is_word(before) && (path.ends_with("::") || !is_word(after))
        })
    })
}

/// The numbers of a line of code.
fn numbers(line: &str) -> Vec<String> {
    let words = line.split(|c: char| !(c.is_alphanumeric() || matches!(c, '.' | '_' | '-')));
    let is_number = |word: &&str| word.trim_start_matches('-').starts_with(|c: char| c.is_ascii_digit());
    words.filter(is_number).map(str::to_owned).collect()
}

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("woodstate")
}

fn sources(dir: &Path) -> Vec<(PathBuf, String)> {
    let Ok(entries) = fs::read_dir(dir) else { return Vec::new() };
    let mut found: Vec<(PathBuf, String)> = entries
        .map(|entry| entry.unwrap().path())
        .flat_map(|path| match () {
            () if path.is_dir() => sources(&path),
            () if path.extension().is_some_and(|ext| ext == "rs") => {
                vec![(path.clone(), fs::read_to_string(&path).unwrap())]
            }
            () => Vec::new(),
        })
        .collect();
    found.sort();
    found
}
