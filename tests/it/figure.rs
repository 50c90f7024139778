//! Figures: what they say, where their labels lie, and that the same input gives the same bytes.

mod demo;
mod geometry;
mod law;
mod nasty;
mod outside;

mod program;

use woodstate::figure::{Figure, FigureChoice, figure_assessed, figure_list};
use woodstate::numeric::Watch;
use woodstate::study::{Assessment, Study, assess};
use woodstate::table::{SourceFile, batch_of, read_batch};

use crate::support::program::demo;

/// A figure of a batch: the one call of the API.
pub(crate) fn drawn(assessment: &Assessment, kind: &str, choice: &FigureChoice) -> woodstate::error::Result<Figure> {
    drawn_under(&Study::unstated()?, assessment, kind, choice)
}

fn drawn_under(
    study: &Study,
    assessment: &Assessment,
    kind: &str,
    choice: &FigureChoice,
) -> woodstate::error::Result<Figure> {
    Ok(figure_assessed(study, assessment, kind, choice, &Watch::silent())?.figure)
}

/// A file of the demonstration data, assessed under the study file beside it.
pub(crate) fn harbour(name: &str) -> Assessment {
    let file = demo(name);
    let study = Study::beside(&file).unwrap().unwrap();
    let batch = read_batch(&file, &study.read, &Watch::silent()).unwrap();
    assess(&study, batch, &Watch::silent()).unwrap()
}

/// Delimited text, assessed under a study file.
pub(crate) fn assessed(csv: &str) -> Assessment {
    let study = Study::parse("[instruments]\nbalance = \"0.01 g\"\n", "woodstate.toml").unwrap();
    let batch = batch_of(&SourceFile::from_bytes("d.csv", csv.into()), &study.read, &Watch::silent()).unwrap();
    assess(&study, batch, &Watch::silent()).unwrap()
}

/// What each kind is asked for in these tests.
pub(crate) fn choice(kind: &str) -> FigureChoice {
    match kind {
        "strength-curve" | "measured-predicted" => FigureChoice {
            value: vec!["bending_modulus".to_owned()],
            against: Some("basic_density".to_owned()),
            ..FigureChoice::default()
        },
        _ => FigureChoice::default(),
    }
}

/// The words of all kinds.
pub(crate) fn kinds() -> Vec<&'static str> {
    figure_list().kinds.iter().map(|kind| kind.kind).collect()
}

/// Every kind on the demonstration data that has what it needs; the composition is invented here.
pub(crate) fn demo_figures() -> Vec<(&'static str, Figure)> {
    let tank = harbour("tank");
    let (harbour, tests) = (harbour("harbour/harbour.xlsx"), harbour("strength/mechanics.csv"));
    let composition = assessed(&nasty::parts());
    let of_tank = Study::beside(&demo("tank")).unwrap().unwrap();
    let one = |kind: &'static str| {
        if kind == "uptake-course" {
            return (kind, drawn_under(&of_tank, &tank, kind, &choice(kind)).unwrap());
        }
        let assessment = match kind {
            "strength-curve" | "measured-predicted" | "correlation" => &tests,
            "ternary" => &composition,
            _ => &harbour,
        };
        (kind, drawn(assessment, kind, &choice(kind)).unwrap())
    };
    kinds().into_iter().map(one).collect()
}
