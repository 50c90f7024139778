//! Every kind on the demonstration data, as people see it.

use std::fmt::Write;

use woodstate::figure::{FigureChoice, Journal, Sheet, SheetSize};
use woodstate::table::SourceFile;

use super::{demo_figures, drawn, harbour, kinds};
use crate::support::expected::equals;

#[test]
fn the_drawings_are_those_that_were_looked_at() {
    for (kind, figure) in demo_figures() {
        assert_eq!(figure.name, kind);
        equals(&format!("figure/{kind}.svg"), &figure.svg(&Sheet::of(SheetSize::Single, None)).unwrap());
    }
}

#[test]
fn captions_and_descriptions_say_what_is_shown() {
    let mut text = String::new();
    for (kind, figure) in demo_figures() {
        writeln!(text, "{kind}: {}\n{}\n{}\n", figure.title, figure.caption, figure.alternative).unwrap();
        assert!(figure.caption.contains(&figure.bars.sentence()), "{kind}: the caption says what bars mean");
        assert!(figure.caption.contains("n = "), "{kind}: the caption says how many");
    }
    equals("figure/captions.txt", &text);
}

#[test]
fn pictures_and_pages_have_the_same_bytes_every_time() {
    let sheet = Sheet::of(SheetSize::Single, None);
    let mut text = String::new();
    for (kind, figure) in demo_figures() {
        let (png, pdf) = (figure.png(&sheet, 100).unwrap(), figure.pdf(&sheet).unwrap());
        assert_eq!(png, figure.png(&sheet, 100).unwrap(), "{kind}");
        assert_eq!(pdf, figure.pdf(&sheet).unwrap(), "{kind}");
        let sha256 = |bytes| SourceFile::from_bytes("", bytes).sha256().to_owned();
        writeln!(text, "{kind}\n  png {}\n  pdf {}", sha256(png), sha256(pdf)).unwrap();
    }
    equals("figure/bytes.txt", &text);
}

/// Source: W3C 2003, PNG specification, 11.2.2 and 11.3.5.3: width and height in the header, dots per metre in pHYs.
#[test]
fn a_picture_has_the_width_of_its_sheet() {
    let figure = drawn(&harbour("harbour/harbour.xlsx"), "shrinkage", &FigureChoice::default()).unwrap();
    let png = figure.png(&Sheet::of(SheetSize::Single, None), 300).unwrap();
    let number = |at: usize| u32::from_be_bytes(png[at..at + 4].try_into().unwrap());
    assert_eq!(number(16), 1004, "85 mm at 300 dots per inch");
    assert_eq!((&png[37..41], number(41)), (b"pHYs".as_slice(), 11_811));
    assert!(figure.png(&Sheet::of(SheetSize::Single, None), 10).is_err());
}

#[test]
fn the_csv_has_a_row_a_piece() {
    let figure = drawn(&harbour("harbour/harbour.xlsx"), "density-water", &FigureChoice::default()).unwrap();
    let csv = figure.csv();
    assert_eq!(csv.lines().count(), 1 + 158);
    let head = "sample,timber,group,shown,max_water_content [%],u(max_water_content) [%],route of max_water_content,";
    assert!(csv.starts_with(head), "{csv}");
    assert_eq!(csv.lines().filter(|line| line.contains(",no: one computed from the other,")).count(), 8);
}

#[test]
fn ids_begin_with_the_prefix_and_are_not_repeated() {
    let sheet = Sheet::of(SheetSize::Single, None).with_prefix("f7-").unwrap();
    for (kind, figure) in demo_figures() {
        let svg = figure.svg(&sheet).unwrap();
        let mut ids: Vec<&str> =
            svg.match_indices(" id=\"").filter_map(|(at, _)| svg[at + 5..].split('"').next()).collect();
        let n = ids.len();
        assert!(ids.iter().all(|id| id.starts_with("f7-")), "{kind}");
        ids.sort_unstable();
        ids.dedup();
        assert_eq!(ids.len(), n, "{kind}");
        assert!(svg.contains("role=\"img\" aria-labelledby=\"f7-title f7-text\""));
        assert!(!svg.contains(" opacity="), "{kind}: plain opacity makes a group of each element");
    }
    assert!(Sheet::of(SheetSize::Single, None).with_prefix("7\"").is_err());
}

#[test]
fn sizes_are_those_of_the_words() {
    let widths = SheetSize::ALL.map(|size| Sheet::of(size, None).width.to_string());
    assert_eq!(widths, ["85", "120", "170", "155", "254"]);
    let widths = Journal::ALL.map(|journal| Sheet::of(SheetSize::Double, Some(journal)).width.to_string());
    assert_eq!(widths, ["190", "174", "176"]);
    assert_eq!(kinds().len(), 17);
}
