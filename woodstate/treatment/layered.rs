//! A slab, cylinder or sphere whose wood changes with depth.

use super::course::{Cells, soak};
use super::line::{Cell, Lines, Room, Stepped};
use super::soaking::{BathStep, SoakOptions, Soaking};
use super::{Form, check};
use crate::error::Result;
use crate::numeric::{Abreast, Watch};

/// Wood of one kind between two depths.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Layer {
    /// Thickness, m.
    pub thickness: f64,
    /// Diffusivity D of the solute in it, m²/s: that of `dc/dt = D d²c/dx²`.
    pub diffusivity: f64,
    /// Share of its volume that solution fills, above 0 to 1.
    pub porosity: f64,
}

/// A piece of wood in layers, such as a soft rim over a sound core, from the surface to the centre.
///
/// ```text
/// φ dc/dt = 1/rᵐ d/dr (rᵐ φ D dc/dr),  m = 0, 1, 2 for slab, cylinder, sphere;  c = c_bath on the surface
/// ```
///
/// * c: concentration in the solution of the wood, mass per volume of solution; it passes from layer to layer without a jump
/// * φ: porosity; D: diffusivity, m²/s; r: distance from the centre, m
///
/// Finite volumes: what leaves a cell enters its neighbour, so nothing is lost but by rounding. Between two cells the
/// resistances of their halves add (the harmonic mean). Errors fall as the square of the size of cells; no concentration
/// leaves the bounds that bath and wood set.
///
/// # Example
/// ```
/// use woodstate::numeric::Watch;
/// use woodstate::treatment::{BathStep, Form, Layer, Layered, SoakOptions};
/// // 8 mm of soft rim over 17 mm of sound core, in 10 % and then 20 % for a hundred days each, looked at in the end.
/// let rim = Layer { thickness: 0.008, diffusivity: 1e-10, porosity: 0.9 };
/// let core = Layer { thickness: 0.017, diffusivity: 2e-12, porosity: 0.6 };
/// let days = 86_400.0;
/// let baths = [100.0, 200.0].map(|concentration| BathStep { duration: 100.0 * days, concentration });
/// let piece = Layered::new(Form::Slab, &[rim, core])?;
/// let found = piece.soak(&baths, &SoakOptions::at(&[200.0 * days]), &Watch::silent())?;
/// // The mean looks well, 120 of 200; the centre has 8.
/// assert!((found.moments[0].mean - 120.03).abs() < 0.01);
/// assert!((found.moments[0].centre - 8.185).abs() < 0.01);
/// # Ok::<(), woodstate::error::Error>(())
/// ```
///
/// # Source
/// Patankar SV 1980, Numerical Heat Transfer and Fluid Flow, Hemisphere, section 4.2 (from memory).
#[derive(Debug, Clone, PartialEq)]
pub struct Layered {
    form: Form,
    layers: Vec<Layer>,
}

impl Layered {
    /// Layers from the surface inwards; the last ends in the centre.
    ///
    /// # Errors
    /// No layer; a thickness or diffusivity that is not from 1e-30 to 1e30, a porosity that is not above 0 and up to 1.
    pub fn new(form: Form, layers: &[Layer]) -> Result<Self> {
        if layers.is_empty() {
            return Err(check::range("number of layers", 0.0, "at least 1"));
        }
        for layer in layers {
            check::bounded("thickness of a layer", layer.thickness)?;
            check::bounded("diffusivity of a layer", layer.diffusivity)?;
            check::porosity(layer.porosity)?;
        }
        Ok(Self { form, layers: layers.to_vec() })
    }

    /// The piece in one bath after the other.
    ///
    /// # Errors
    /// No bath; a duration that is not above 0, a concentration below 0; times out of order or after the last bath; fewer than 4
    /// cells; a tolerance outside 1e-12 to 0.01. [`Stopped`](crate::error::ErrorKind::Stopped) when the watch says so.
    pub fn soak(&self, baths: &[BathStep], options: &SoakOptions, watch: &Watch<'_>) -> Result<Soaking> {
        soak(&Row::of(self, options.cells)?, baths, options, watch)
    }
}

/// Cells at least in a layer.
const LEAST: usize = 4;

struct Row {
    form: Form,
    /// Distance of the middle of each cell from the centre, m.
    middle: Vec<f64>,
    store: Vec<f64>,
    cells: Vec<Cell<1>>,
}

impl Row {
    fn of(piece: &Layered, cells: usize) -> Result<Self> {
        check::cells(cells, LEAST)?;
        let whole: f64 = piece.layers.iter().map(|layer| layer.thickness).sum();
        let (mut middle, mut store, mut link) = (Vec::new(), Vec::new(), Vec::new());
        // Resistance of the outer half of the cell before.
        let (mut inner_half, mut from) = (0.0, 0.0);
        for layer in piece.layers.iter().rev() {
            let count = split(cells, layer.thickness / whole, LEAST);
            let width = layer.thickness / check::real(count);
            let half = 0.5 * width / (layer.porosity * layer.diffusivity);
            for place in 0..count {
                let [low, high] = [place, place + 1].map(|edge| from + width * check::real(edge));
                if !store.is_empty() {
                    link.push(piece.form.area(low) / (inner_half + half));
                }
                middle.push(f64::midpoint(low, high));
                store.push(layer.porosity * piece.form.volume(low, high));
                inner_half = half;
            }
            from += layer.thickness;
        }
        link.push(piece.form.area(whole) / inner_half);
        let cell = |(store, link): (&f64, &f64)| Cell { store: Abreast([*store]), link: Abreast([*link]) };
        let cells = store.iter().zip(&link).map(cell).collect();
        Ok(Self { form: piece.form, middle, store, cells })
    }
}

/// How many of the cells a part of the way gets.
#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "OK because the share is between 0 and 1")]
pub(super) fn split(cells: usize, share: f64, least: usize) -> usize {
    ((check::real(cells) * share).round() as usize).max(least)
}

impl Cells for Row {
    type Room = (Vec<Abreast<1>>, Room<1>);

    fn store(&self) -> &[f64] {
        &self.store
    }

    fn quickest(&self) -> f64 {
        self.cells.iter().map(|cell| cell.store.0[0] / cell.link.0[0]).fold(f64::INFINITY, f64::min)
    }

    fn advance(&self, concentration: &mut [f64], bath: f64, time: f64, room: &mut Self::Room) -> Stepped {
        let (now, work) = room;
        now.clear();
        now.extend(concentration.iter().map(|value| Abreast([*value])));
        let stepped = Lines(&self.cells).advance(now, bath, time, work);
        for (value, now) in concentration.iter_mut().zip(now) {
            [*value] = now.0;
        }
        stepped
    }

    fn centre(&self, concentration: &[f64]) -> f64 {
        inwards(concentration, self.form.inwards())
    }

    fn places(&self) -> Vec<Vec<f64>> {
        vec![self.middle.clone()]
    }
}

/// The value in the centre, of the parabola through the two innermost cells.
fn inwards(concentration: &[f64], part: f64) -> f64 {
    let [first, second, ..] = concentration else { return concentration.first().copied().unwrap_or(0.0) };
    first + part * (first - second)
}
