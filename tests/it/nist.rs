//! Fits against the certified results of the NIST Statistical Reference Datasets (`tests/data/nist/README.md`).

mod data;
mod model;
mod nonlinear;
