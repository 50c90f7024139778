//! Fits against the certified results of the NIST Statistical Reference Datasets (`tests/data/nist/README.md`).

mod anova;
mod data;
mod model;
mod nonlinear;

/// 15 numbers of our own.
pub(crate) const GROUP: [f64; 15] = [
    298.713, 329.449, 386.116, 307.224, 310.677, 481.27, 371.309, 357.581, 508.927, 439.79, 414.586, 432.065, 414.063,
    387.864, 239.734,
];
