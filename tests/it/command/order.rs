//! The order of rows and the size of a table change nothing.

use std::fmt::Write;

use serde_json::Value;

use crate::support::program::{Folder, demo};

/// Samples by name without their row numbers, and timbers.
fn check(samples: &str) -> (Vec<Value>, Value) {
    let folder = Folder::of(&[("samples.csv", samples.as_bytes())]);
    for name in ["timbers.csv", "woodstate.toml"] {
        folder.put(name, &std::fs::read(demo("harbour").join(name)).unwrap());
    }
    let mut outcome = folder.json("assess .");
    let mut pieces = outcome["samples"].as_array().unwrap().clone();
    for piece in &mut pieces {
        piece.as_object_mut().unwrap().remove("rows");
    }
    pieces.sort_by_key(|piece| piece["sample"].as_str().unwrap().to_owned());
    (pieces, outcome["timbers"].take())
}

#[test]
fn shuffled_rows_give_the_same_pieces_and_timbers() {
    let text = std::fs::read_to_string(demo("harbour/samples.csv")).unwrap();
    let (head, body) = text.split_once('\n').unwrap();
    let rows: Vec<&str> = body.lines().collect();
    let expected = check(&text);
    assert_eq!(expected.0.len(), 158);
    // 161 = 7 * 23, so steps of 45 and 100 visit every row once.
    for step in [160, 45, 100] {
        let shuffled: Vec<&str> = (0..rows.len()).map(|n| rows[n * step % rows.len()]).collect();
        let (pieces, timbers) = check(&format!("{head}\n{}\n", shuffled.join("\n")));
        for (piece, other) in expected.0.iter().zip(&pieces) {
            assert_eq!(piece, other);
        }
        assert_eq!(expected.1, timbers);
    }
}

#[test]
fn ten_thousand_rows_are_counted_right() {
    let mut text = String::from("sample,timber,mass_saturated [g],mass_oven_dry [g]\n");
    for n in 0..10_000 {
        // Every hundredth has no dry mass, and every hundredth has an impossible saturated mass.
        let dry = if n % 100 == 0 { String::new() } else { format!("{:.2}", 1.0 + f64::from(n % 90) / 100.0) };
        let wet = if n % 100 == 50 { "-1".to_owned() } else { "5.00".to_owned() };
        writeln!(text, "K{n},B{},{wet},{dry}", n % 400).unwrap();
    }
    let outcome = Folder::of(&[("d.csv", text.as_bytes())]).json("assess d.csv --quiet");
    let counts = &outcome["counts"];
    let count = |name: &str| counts[name].as_u64().unwrap();
    assert_eq!((count("rows"), count("pieces"), count("timbers")), (10_000, 10_000, 400));
    assert_eq!((count("assessed"), count("partial"), count("not_assessed")), (9_800, 0, 200));
    assert_eq!(outcome["samples"].as_array().unwrap().len(), 10_000);
}
