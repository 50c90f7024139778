//! What holds for every figure: points outside are counted, nothing is drawn outside, wrong words are answered.

use woodstate::error::ErrorKind;
use woodstate::figure::{FigureChoice, Journal, Layer, Sheet, SheetSize, Stamp, Ticks, check_figure_kind};

use super::{drawn, harbour};

#[test]
fn points_outside_the_axes_are_counted_and_not_drawn() {
    let figure = drawn(&harbour("harbour/harbour.xlsx"), "density-water", &FigureChoice::default()).unwrap();
    assert_eq!(figure.n_outside(), 0);
    let values: Vec<f64> = figure.panels[0]
        .layers
        .iter()
        .flat_map(|layer| if let Layer::Points { x, .. } = layer { x.clone() } else { Vec::new() })
        .collect();
    let beyond = values.iter().filter(|value| **value > 400.0).count();
    let narrow = figure.clone().with_x_range([0.0, 400.0]);
    assert_eq!(narrow.n_outside(), beyond);
    let end = format!(" Outside the axes: {beyond} points, which are not drawn.");
    assert!(narrow.caption.ends_with(&end), "{}", narrow.caption);
    let svg = narrow.svg(&Sheet::of(SheetSize::Single, None)).unwrap();
    assert!(svg.len() < figure.svg(&Sheet::of(SheetSize::Single, None)).unwrap().len());
    // The sentence is said once, and goes when it is no longer true.
    assert_eq!(narrow.with_x_range(figure.panels[0].x.range).caption, figure.caption);
}

#[test]
fn a_misspelt_word_is_answered_with_the_nearest_one() {
    let error = check_figure_kind("density-watter").unwrap_err();
    assert!(matches!(error.kind(), ErrorKind::Name { what: "kind of figure", .. }));
    assert_eq!(error.hint(), Some("did you mean density-water?"));
    assert_eq!(SheetSize::of_word("singel").unwrap_err().hint(), Some("did you mean single?"));
    assert_eq!(Journal::of_word("springr").unwrap_err().hint(), Some("did you mean springer?"));
}

#[test]
fn the_order_of_rows_moves_no_box() {
    let csv = |order: [usize; 6]| {
        let rows = ["5.1", "6.2", "4.3", "5.4", "7.5", "3.6"];
        let row = |k: usize| format!("S{k},\"Quercus, deciduous\",{},1\n", rows[k]);
        format!("sample,taxon,mass_saturated [g],mass_oven_dry [g]\n{}", order.map(row).concat())
    };
    let boxes = |csv: &str| {
        let figure = drawn(&super::assessed(csv), "box-points", &FigureChoice::default()).unwrap();
        figure.panels[0].layers.iter().filter(|layer| matches!(layer, Layer::Box { .. })).cloned().collect::<Vec<_>>()
    };
    let first = boxes(&csv([0, 1, 2, 3, 4, 5]));
    assert_eq!(first.len(), 1);
    assert_eq!(first, boxes(&csv([5, 3, 1, 0, 2, 4])));
}

#[test]
fn a_sheet_that_no_page_has_is_refused() {
    let figure = drawn(&harbour("harbour/harbour.xlsx"), "shrinkage", &FigureChoice::default()).unwrap();
    for width in [0.0, 29.0, 1201.0, f64::NAN] {
        let sheet = Sheet { width, ..Sheet::of(SheetSize::Single, None) };
        assert!(matches!(figure.svg(&sheet).unwrap_err().kind(), ErrorKind::Range { .. }), "{width}");
    }
}

#[test]
fn very_many_points_become_a_picture_and_text_stays_text() {
    let mut figure = drawn(&harbour("harbour/harbour.xlsx"), "shrinkage", &FigureChoice::default()).unwrap();
    let sheet = Sheet::of(SheetSize::Single, None);
    let mut with = |n: u32| {
        let x: Vec<f64> = (0..n).map(|k| f64::from(k % 400) / 10.0).collect();
        let y = (0..n).map(|k| f64::from(k / 400) / 30.0).collect();
        let (x_bars, y_bars) = (vec![None; x.len()], vec![None; x.len()]);
        figure.panels[0].layers = vec![Layer::Points { stamp: Stamp::Series(0), x, y, x_bars, y_bars }];
        figure.svg(&sheet).unwrap()
    };
    let (few, many) = (with(20_000), with(20_001));
    assert!(!few.contains("<image") && many.contains("<image") && many.contains(">Radial shrinkage</text>"));
    assert!(many.len() < few.len(), "{} and {} bytes", many.len(), few.len());
    assert!(figure.pdf(&sheet).unwrap().len() > 10_000);
}

#[test]
fn what_a_kind_does_not_follow_is_refused_and_not_dropped() {
    let harbour = harbour("harbour/harbour.xlsx");
    let words = |words: &[&str]| words.iter().map(|word| (*word).to_owned()).collect::<Vec<_>>();
    let said = |kind: &str, choice: FigureChoice| drawn(&harbour, kind, &choice).unwrap_err().to_string();
    let plain = FigureChoice::default;
    let text = said("depth-profile", FigureChoice { by: words(&["taxon"]), ..plain() });
    assert_eq!(text, "unknown option of this kind of figure \"by\"; known: value, where");
    let text = said("density-water", FigureChoice { value: words(&["porosity"]), ..plain() });
    assert_eq!(text, "unknown option of this kind of figure \"value\"; known: by, panels, where");
    let text = said("box-points", FigureChoice { value: words(&["porosity", "saturation"]), ..plain() });
    assert_eq!(text, "number of values of box-points is 2; allowed is one");
    let text = said("ternary", FigureChoice { value: words(&["lignin"]), ..plain() });
    assert_eq!(text, "number of values of ternary is 1; allowed is three, or none");
}

#[test]
fn names_stand_in_the_order_in_which_people_count() {
    let rows: String = ["T10", "T2", "T1b", "", "T1"].iter().map(|name| format!("S{name},{name},5,1\n")).collect();
    let csv = format!("sample,timber,mass_saturated [g],mass_oven_dry [g]\n{rows}");
    let choice = FigureChoice { by: vec!["timber".to_owned()], ..FigureChoice::default() };
    let figure = drawn(&super::assessed(&csv), "box-points", &choice).unwrap();
    let Ticks::Names { names, .. } = &figure.panels[0].y.ticks else { panic!("no names") };
    assert_eq!(names, &["T1", "T1b", "T2", "T10", "unknown"]);
}
