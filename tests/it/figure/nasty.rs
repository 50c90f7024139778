//! Batches that no one would show: one piece, all pieces equal, forty groups with long names.

use std::fmt::Write;

use woodstate::error::ErrorKind;
use woodstate::figure::{Figure, FigureChoice, Sheet, SheetSize, font_has, uptake_course, washing_curve};
use woodstate::table::SourceFile;

use super::{assessed, drawn, kinds};
use crate::follow::followed;
use crate::support::expected::equals;

const HEAD: &str = "sample,timber,core_id,taxon,context,wood_zone,depth_from [mm],depth_to [mm],date_sampled,mass_saturated [g],\
    mass_oven_dry [g],mass_immersed [g],cellulose [%],hemicellulose [%],lignin [%],radial_saturated [mm],\
    radial_oven_dry [mm],tangential_saturated [mm],tangential_oven_dry [mm],bending_strength [MPa]";

/// Sixty characters with marks of XML and of titles, and two characters that the fonts lack.
const NAMES: [&str; 2] = [
    "Ξύλινο σκάφος <Κ&Δ> «λιμάνι» 木船 βόρεια πλευρά, τομή δ^{2}_{x}",
    "Skibsvrag \"\"Ærø\"\" & ålegræsbund <øst> – køl, spant og bordplanke",
];

/// Forty groups, names of sixty characters, unknown values.
pub(super) fn crowd() -> String {
    let mut csv = format!("{HEAD}\n");
    let mut k = 0_u32;
    for group in 0_u32..40 {
        let name = NAMES[usize::from(group % 2 == 1)];
        for place in 0..=group % 4 {
            k += 1;
            let dry = 1.0 + 0.05 * f64::from((k * 7) % 23);
            let wet = dry * (3.0 + 0.2 * f64::from((k * 5) % 19));
            let below = dry * 0.335 + 0.004 * f64::from((k * 3) % 11);
            let shown = if k.is_multiple_of(9) { String::new() } else { format!("{dry:.2}") };
            let taxon = if group % 5 == 0 { "Pinus sylvestris" } else { "\"Quercus, deciduous\"" };
            let zone = if place == 0 && group % 3 == 0 { "sapwood" } else { "heartwood" };
            writeln!(
                csv,
                "\"{name} {k}\",\"T{} {name}\",K{},{taxon},\"{group:02} {name}\",{zone},{},{},202{}-0{}-11,{wet:.2},{shown},\
                 {below:.3},{},{},{},20,{:.1},20,{:.1},{}",
                group / 2,
                group % 2,
                place * 10,
                place * 10 + 10,
                k % 4,
                1 + k % 9,
                20 + k % 13,
                5 + k % 7,
                40 + k % 17,
                19.0 - 0.1 * f64::from(k % 9),
                17.0 - 0.2 * f64::from(k % 11),
                15 + k % 20,
            )
            .unwrap();
        }
    }
    csv
}

/// A few pieces with the parts of their wood.
pub(super) fn parts() -> String {
    crowd().lines().take(24).map(|line| format!("{}\n", line.replace("木船", "σκ"))).collect()
}

fn one() -> String {
    crowd().lines().take(2).map(|line| format!("{line}\n")).collect()
}

fn equal() -> String {
    let row = |k: u32| {
        format!("E{k},T1,K1,\"Quercus, deciduous\",c,heartwood,0,10,2024-03-04,6,1,0.335,40,10,30,20,19,20,18,20\n")
    };
    format!("{HEAD}\n{}", (0..6).map(row).collect::<String>())
}

fn asked(kind: &str, is_crowd: bool) -> FigureChoice {
    if kind.starts_with("lift-") {
        return FigureChoice::default();
    }
    let by = match kind {
        _ if !is_crowd => Vec::new(),
        "depth-profile" | "class-probability" | "correlation" => Vec::new(),
        "series" => vec!["taxon".to_owned()],
        _ => vec!["context".to_owned()],
    };
    let (value, against) = match kind {
        "strength-curve" | "measured-predicted" => ("bending_strength", Some("max_water_content".to_owned())),
        "series" => ("bending_strength", None),
        "uptake-course" | "washing-curve" => return FigureChoice::default(),
        "ternary" | "correlation" | "shrinkage" | "density-water" | "class-shares" | "class-probability" => {
            return FigureChoice { by, ..FigureChoice::default() };
        }
        _ => ("max_water_content", None),
    };
    FigureChoice { value: vec![value.to_owned()], against, by, ..FigureChoice::default() }
}

/// The nasty figures there are, and the errors of those that cannot be.
pub(super) fn figures() -> Vec<(String, woodstate::error::Result<Figure>)> {
    let mut all = Vec::new();
    for (name, csv) in [("crowd", crowd()), ("one", one()), ("equal", equal())] {
        let assessment = assessed(&csv);
        for kind in kinds() {
            all.push((format!("{name} {kind}"), drawn(&assessment, kind, &asked(kind, name == "crowd"))));
        }
    }
    for (name, log) in [
        ("crowd", crowded_log()),
        ("one", crowded_log().lines().take(2).fold(String::new(), |log, line| log + line + "\n")),
    ] {
        let timbers = format!("timber,timber_diameter [mm]\n\"{} 0\",60\n\"{} 3\",80\n", NAMES[0], NAMES[1]);
        let following = followed(&log, &timbers, "[follow]\ntarget = \"90 %\"\n");
        let choice = FigureChoice::default();
        all.push((format!("{name} log uptake-course"), uptake_course(&following, &choice)));
        all.push((format!("{name} log washing-curve"), washing_curve(&following, &choice)));
    }
    all
}

/// Nine timbers and eight tanks with names of sixty characters; masses that rise, that stand and that fall.
fn crowded_log() -> String {
    let mut log = "date,tank,timber,mass_drained [kg],concentration_mass_per_volume [g/L],chloride_in_water [mg/L],water_changed\n".to_owned();
    for month in 1..8_u32 {
        for k in 0..9_u32 {
            let name = NAMES[usize::from(k % 2 == 1)];
            let mass = 20.0 + f64::from(k) + 0.1 * f64::from(month).sqrt() * (1.0 - f64::from(k % 3));
            writeln!(log, "2024-{month:02}-01,\"bath {name}\",\"{name} {k}\",{mass:.2},{},,", 100 * month.min(3))
                .unwrap();
            if k < 8 {
                let change = if month % 2 == 0 { "yes" } else { "no" };
                writeln!(log, "2024-{month:02}-15,\"{name} {k}\",,,,{},{change}", 900 / (month + k)).unwrap();
            }
        }
    }
    log
}

#[test]
fn nasty_batches_give_figures_or_say_why_not() {
    let mut text = String::new();
    for (name, figure) in figures() {
        match figure {
            Ok(figure) => {
                let svg = figure.svg(&Sheet::of(SheetSize::Single, None)).unwrap();
                let sha256 = SourceFile::from_bytes("", svg.into_bytes()).sha256().to_owned();
                writeln!(text, "{name}\n  {}\n  {}\n  svg {sha256}", figure.caption, figure.alternative).unwrap();
            }
            Err(error) => writeln!(text, "{name}\n  error: {error}").unwrap(),
        }
    }
    equals("figure/nasty.txt", &text);
}

#[test]
fn names_are_never_taken_for_marks() {
    for (name, figure) in figures() {
        let Ok(figure) = figure else { continue };
        let svg = figure.svg(&Sheet::of(SheetSize::Double, None)).unwrap();
        assert!(!svg.contains("<Κ") && !svg.contains("<øst"), "{name}");
        let mut reader = quick_xml::Reader::from_str(&svg);
        loop {
            match reader.read_event() {
                Ok(quick_xml::events::Event::Eof) => break,
                Ok(_) => {}
                Err(error) => panic!("{name}: {error}"),
            }
        }
    }
}

#[test]
fn every_character_of_a_label_is_in_the_fonts() {
    for (name, figure) in figures() {
        let Ok(figure) = figure else { continue };
        for label in figure.labels(&Sheet::of(SheetSize::Double, None)).unwrap() {
            assert!(label.text.chars().all(font_has), "{name}: {}", label.text);
        }
        let has_square =
            figure.labels(&Sheet::of(SheetSize::Slide, None)).unwrap().iter().any(|label| label.text.contains('□'));
        assert!(!has_square || figure.caption.contains('□'), "{name}: {}", figure.caption);
    }
}

#[test]
fn a_kind_without_its_numbers_names_what_it_needs_and_what_it_found() {
    let error = drawn(
        &assessed("sample,mass_saturated [g],mass_oven_dry [g]\nA,5,1\n"),
        "density-water",
        &FigureChoice::default(),
    );
    // Without a volume the density comes from the water content.
    let error = error.unwrap_err();
    assert!(matches!(error.kind(), ErrorKind::Content { .. }));
    let text = error.to_string();
    assert!(text.contains("needs max_water_content (from mass_saturated and mass_oven_dry)"), "{text}");
    assert!(text.contains("found: max_water_content of 1 piece, basic_density of 1 piece"), "{text}");
    let error =
        drawn(&assessed("sample,mass_saturated [g],mass_oven_dry [g]\nA,5,1\n"), "ternary", &FigureChoice::default());
    assert!(
        error
            .unwrap_err()
            .to_string()
            .ends_with("ternary needs cellulose, hemicellulose, lignin; found: nothing of that")
    );
}
