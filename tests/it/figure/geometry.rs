//! Where labels lie: on the sheet, and not on each other.

use woodstate::figure::{Figure, FigureChoice, Journal, LabelBox, Sheet, SheetSize};

use super::{demo_figures, drawn, harbour, nasty};

fn sheets() -> Vec<Sheet> {
    let plain = SheetSize::ALL.map(|size| Sheet::of(size, None));
    let journals = Journal::ALL.map(|journal| Sheet::of(SheetSize::Single, Some(journal)));
    plain.into_iter().chain(journals).collect()
}

#[track_caller]
fn is_tidy(name: &str, figure: &Figure) {
    for sheet in sheets() {
        let ([width, height], labels) = (figure.size(&sheet).unwrap(), figure.labels(&sheet).unwrap());
        assert!((width - sheet.width).abs() < 1e-9, "{name}");
        for LabelBox { text, edges: [left, top, right, bottom] } in &labels {
            let is_on = *left > 0.0 && *top > 0.0 && *right < width && *bottom < height;
            assert!(
                is_on,
                "{name} at {width} mm: {text} leaves the sheet: {left} {top} {right} {bottom}, {height} high"
            );
        }
        for (place, a) in labels.iter().enumerate() {
            for b in &labels[place + 1..] {
                let [ours, theirs] = [a.edges, b.edges];
                let is_apart =
                    ours[2] <= theirs[0] || theirs[2] <= ours[0] || ours[3] <= theirs[1] || theirs[3] <= ours[1];
                assert!(is_apart, "{name} at {width} mm: \"{}\" lies on \"{}\": {ours:?} {theirs:?}", a.text, b.text);
            }
        }
    }
}

#[test]
fn labels_of_the_demonstration_lie_on_the_sheet_and_apart() {
    demo_figures().iter().for_each(|(kind, figure)| is_tidy(kind, figure));
}

#[test]
fn labels_of_nasty_batches_lie_on_the_sheet_and_apart() {
    for (name, figure) in nasty::figures() {
        if let Ok(figure) = figure {
            is_tidy(&name, &figure);
        }
    }
}

#[test]
fn labels_of_small_multiples_lie_on_the_sheet_and_apart() {
    let harbour = harbour("harbour/harbour.xlsx");
    for kind in ["density-water", "box-points", "estimates", "shrinkage"] {
        let choice = FigureChoice {
            panels: Some("taxon".to_owned()),
            by: vec!["context".to_owned()],
            ..FigureChoice::default()
        };
        is_tidy(kind, &drawn(&harbour, kind, &choice).unwrap());
    }
}
