//! State of preservation of waterlogged wood, with its uncertainty.
//!
//! Wood that has lain in water or wet ground for centuries keeps its shape while bacteria take its substance; water fills
//! the place. woodstate reads what a laboratory measured on samples of such wood and gives, for every piece and every
//! timber, maximum water content, densities, losses, shrinkage and a degradation class, each with its uncertainty, its
//! cautions and its sources.
//!
//! # A batch, from file to class
//!
//! ```
//! # #[cfg(feature = "report")] {
//! use std::path::Path;
//! use woodstate::numeric::Watch;
//! use woodstate::quantity::Quantity;
//! use woodstate::study::{Study, assess};
//! use woodstate::table::read_batch;
//!
//! let file = Path::new("datasets-demo/harbour/harbour.xlsx");
//! let study = Study::beside(file)?.unwrap();
//! let batch = read_batch(file, &study.read, &Watch::silent())?;
//! let outcome = assess(&study, batch, &Watch::silent())?;
//!
//! let piece = outcome.samples.get(0).unwrap();
//! let content = piece.value(Quantity::MaxWaterContent).unwrap();
//! assert_eq!(content.shown(), "534.1 ± 6.6");
//! assert_eq!(piece.degradation_class.most_likely.as_deref(), Some("I"));
//! # }
//! # Ok::<(), woodstate::error::Error>(())
//! ```
//!
//! # A formula alone
//!
//! Formulas take numbers, with the unit in their doc. They are generic over [`quantity::Number`]: with `f64` they give a
//! value, with a [`quantity::Jet`] its partial derivatives too.
//!
//! ```
//! let density = woodstate::state::basic_density(237.7, 2785.652);
//! assert!((density - 85.33_f64).abs() < 0.005);
//! ```
//!
//! # The layers, in the order of the data
//!
//! | layer | what |
//! |---|---|
//! | [`error`] | errors, findings about a file, cautions about a result, and the story of each word |
//! | [`quantity`] | single values, units, sources, how numbers are shown |
//! | [`numeric`] | distributions, random streams, propagation; knows no wood |
//! | `table` | files in and out, typed columns |
//! | [`mod@reference`] | published constants with source and evidence |
//! | [`state`] | water content, densities, losses, shrinkage, class |
//! | [`mod@profile`] | a timber in depth: soft rim, sound core, sections |
//! | [`site`] | groups of pieces: spread, means, shares of classes |
//! | [`strength`] | strength against state: curves, bands, comparison, inverse |
//! | [`mod@lift`] | the weight of a timber, slings, stresses, margins |
//! | [`treatment`] | which route for which timber, diffusion in wood, the numbers of baths |
//! | `study` | the study file, one function a command |
//! | `figure` | figures as plain data, then SVG, PNG, PDF |
//! | `report` | views of outcomes: text, JSON, sheets, pages |
//! | `notebook` | cells and scripts over the functions of `study` |
//!
//! # Features
//!
//! `table`, `figure`, `report` and `cli` are on by default, and so are `notebook` (cells and scripts) and `kernel` (the Jupyter kernel of the program); `frame` (data frames and Parquet) is asked for. Without them the crate is the science on numbers and slices.

pub mod error;
#[cfg(feature = "figure")]
pub mod figure;
pub mod lift;
#[cfg(feature = "notebook")]
pub mod notebook;
pub mod numeric;
pub mod profile;
pub mod quantity;
pub mod reference;
#[cfg(feature = "report")]
pub mod report;
pub mod site;
pub mod state;
pub mod strength;
#[cfg(feature = "table")]
pub mod study;
#[cfg(feature = "table")]
pub mod table;
pub mod treatment;

#[doc = include_str!("changes.md")]
pub mod changes {}
