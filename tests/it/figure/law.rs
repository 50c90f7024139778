//! What holds for every figure: points outside are counted, nothing is drawn outside, wrong words are answered.

use woodstate::error::ErrorKind;
use woodstate::figure::{FigureChoice, Journal, Layer, Sheet, SheetSize, check_figure_kind};

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
