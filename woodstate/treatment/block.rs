//! A beam or a box with a rim: two or three directions, each with its own diffusivity.

use super::check;
use super::course::{Cells, soak};
use super::layered::split;
use super::line::{Cell, Lines, Room, Stepped};
use super::soaking::{BathStep, SoakOptions, Soaking};
use crate::error::Result;
use crate::numeric::{Abreast, Watch, Wide, widest};

/// Wood with a diffusivity in each of N directions.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Grain<const N: usize> {
    /// Diffusivity in each direction, m²/s.
    pub diffusivity: [f64; N],
    /// Share of its volume that solution fills, above 0 to 1.
    pub porosity: f64,
}

/// A rectangular piece whose rim, everywhere equally deep, differs from its core: with N = 2 a beam without end, with N = 3 a box.
///
/// ```text
/// φ ∂c/∂t = Σ ∂/∂x_i (φ D_i ∂c/∂x_i),  c = c_bath on all faces
/// ```
///
/// * c: concentration in the solution of the wood; φ: porosity; `D_i`: diffusivity in direction i, m²/s
///
/// Finite volumes on one quarter or eighth of the piece. One direction is advanced after the other, there and back, so that
/// errors fall as the square of the step of time; each step is made once whole and once in halves, and what differs decides
/// how long the next may be. Rows are advanced as in [`Layered`](crate::treatment::Layered): nothing is lost but by
/// rounding, nothing overshoots.
///
/// # Example
/// ```
/// use woodstate::numeric::Watch;
/// use woodstate::treatment::{BathStep, Block, Body, Grain, Ranged, SoakOptions};
/// // A uniform beam of 10 × 6 cm, compared with the product of two series.
/// let wood = Grain { diffusivity: [2e-11, 1e-11], porosity: 0.8 };
/// let bath = BathStep { duration: 2e7, concentration: 1.0 };
/// let options = SoakOptions { cells: 20, tolerance: 1e-4, ..SoakOptions::at(&[2e7]) };
/// let found = Block::new([0.05, 0.03], &[], wood)?.soak(&[bath], &options, &Watch::silent())?;
/// let across = [Ranged::exact(2e-11)?, Ranged::exact(1e-11)?];
/// let series = Body::beam([0.05, 0.03], across)?.uptake(2e7)?;
/// assert!((found.moments[0].mean - series.value()).abs() < 2e-3);
/// # Ok::<(), woodstate::error::Error>(())
/// ```
///
/// # Source
/// Splitting after Strang G 1968, SIAM J. Numer. Anal. 5:506 (from memory).
#[derive(Debug, Clone, PartialEq)]
pub struct Block<const N: usize> {
    half: [f64; N],
    rims: Vec<(f64, Grain<N>)>,
    core: Grain<N>,
}

impl<const N: usize> Block<N> {
    /// A piece by half its sizes.
    ///
    /// * `half`: half the size in each direction, m
    /// * `rims`: thickness in m and wood of each rim, from the surface inwards; none for a uniform piece
    /// * `core`: the wood inside
    ///
    /// # Errors
    /// A size, thickness or diffusivity that is not from 1e-30 to 1e30, a porosity that is not above 0 and up to 1; rims
    /// that leave no core in some direction; a number of directions other than 2 and 3.
    pub fn new(half: [f64; N], rims: &[(f64, Grain<N>)], core: Grain<N>) -> Result<Self> {
        if !(N == 2 || N == 3) {
            return Err(check::range("number of directions", check::real(N), "2 or 3"));
        }
        let thinnest = half.iter().copied().fold(f64::INFINITY, f64::min);
        let deep: f64 = rims.iter().map(|(thickness, _)| thickness).sum();
        for size in half {
            check::bounded("half size of the block", size)?;
        }
        for (thickness, _) in rims {
            check::bounded("thickness of a rim", *thickness)?;
        }
        if deep >= thinnest {
            let allowed = format!("below {thinnest} m, the shortest half size, so that a core is left");
            return Err(check::range("thickness of all rims", deep, allowed));
        }
        for wood in rims.iter().map(|(_, wood)| wood).chain([&core]) {
            for diffusivity in wood.diffusivity {
                check::bounded("diffusivity of a block", diffusivity)?;
            }
            check::porosity(wood.porosity)?;
        }
        Ok(Self { half, rims: rims.to_vec(), core })
    }

    /// The piece in one bath after the other; `cells` of the options are those of each direction. A box is slow with more than a few
    /// tens.
    ///
    /// # Errors
    /// As [`Layered::soak`](crate::treatment::Layered::soak), with 3 cells at least and 4 million in all directions together.
    pub fn soak(&self, baths: &[BathStep], options: &SoakOptions, watch: &Watch<'_>) -> Result<Soaking> {
        soak(&Grid::of(self, options.cells)?, baths, options, watch)
    }
}

/// Cells at least in a rim and in the core.
const LEAST: usize = 3;
/// Cells at most, of about 40 bytes.
const MOST: usize = 4_000_000;

/// Cells of one direction: their middles and widths from the centre outwards, and in which wood they lie, 0 outermost.
struct Axis {
    middle: Vec<f64>,
    width: Vec<f64>,
    wood: Vec<usize>,
}

/// Rows that are advanced together.
const TOGETHER: usize = 8;

struct Grid<const N: usize> {
    axes: [Axis; N],
    /// From one cell to the next in each direction, in the list of all cells.
    stride: [usize; N],
    store: Vec<f64>,
    /// The rows of each direction.
    rows: [Vec<Rows>; N],
    quickest: f64,
}

/// Some rows of one direction, side by side.
struct Rows {
    /// First cell of each row, in the list of all cells; fewer where the direction has no more.
    first: Vec<usize>,
    cells: Vec<Cell<TOGETHER>>,
}

/// Room for the work of a grid.
#[derive(Default)]
struct Work {
    lines: Room<TOGETHER>,
    values: Vec<Abreast<TOGETHER>>,
    whole: Vec<f64>,
}

impl<const N: usize> Grid<N> {
    fn of(block: &Block<N>, cells: usize) -> Result<Self> {
        check::cells(cells, LEAST)?;
        let axes = block.half.map(|half| Axis::of(half, block, cells));
        let mut stride = [1; N];
        let mut n_cells = 1;
        for (stride, axis) in stride.iter_mut().zip(&axes) {
            *stride = n_cells;
            n_cells *= axis.middle.len();
        }
        if n_cells > MOST {
            let allowed = format!("so many that there are up to {MOST} in all directions together, not {n_cells}");
            return Err(check::range("number of cells in a direction", check::real(cells), allowed));
        }
        let place = |cell: usize, axis: usize| cell / stride[axis] % axes[axis].middle.len();
        let woods: Vec<&Grain<N>> = block.rims.iter().map(|(_, wood)| wood).chain([&block.core]).collect();
        // The wood of a cell is that of the nearest face.
        let wood_of = |cell: usize| {
            let outermost = (0..N).map(|axis| axes[axis].wood[place(cell, axis)]).min();
            woods[outermost.unwrap_or(block.rims.len())]
        };
        let volume = |cell: usize| (0..N).map(|axis| axes[axis].width[place(cell, axis)]).product::<f64>();
        let store: Vec<f64> = (0..n_cells).map(|cell| wood_of(cell).porosity * volume(cell)).collect();
        let resistance = |cell: usize, axis: usize| {
            let wood = wood_of(cell);
            0.5 * axes[axis].width[place(cell, axis)] / (wood.porosity * wood.diffusivity[axis])
        };
        let link_of = |cell: usize, axis: usize| {
            let area = volume(cell) / axes[axis].width[place(cell, axis)];
            let is_last = place(cell, axis) + 1 == axes[axis].middle.len();
            let outer = if is_last { 0.0 } else { resistance(cell + stride[axis], axis) };
            area / (resistance(cell, axis) + outer)
        };
        let mut quickest = f64::INFINITY;
        let rows = std::array::from_fn(|axis| {
            let firsts: Vec<usize> = (0..n_cells).filter(|cell| place(*cell, axis) == 0).collect();
            let of = |first: &[usize]| {
                // Rows that are not there hold and pass nothing that matters.
                let cells = (0..axes[axis].middle.len()).map(|step| {
                    let (mut stores, mut links) = ([1.0; TOGETHER], [0.0; TOGETHER]);
                    for (row, first) in first.iter().enumerate() {
                        let cell = first + step * stride[axis];
                        (stores[row], links[row]) = (store[cell], link_of(cell, axis));
                        quickest = f64::min(quickest, stores[row] / links[row]);
                    }
                    Cell { store: Abreast(stores), link: Abreast(links) }
                });
                Rows { cells: cells.collect(), first: first.to_vec() }
            };
            firsts.chunks(TOGETHER).map(of).collect()
        });
        Ok(Self { axes, stride, store, rows, quickest })
    }

    /// All rows of one direction; gives what came in from the bath.
    fn sweep(&self, axis: usize, concentration: &mut [f64], bath: f64, time: f64, work: &mut Work) -> f64 {
        widest(Sweep { rows: &self.rows[axis], stride: self.stride[axis], concentration, bath, time, work })
    }

    /// Each direction but the last for half the time, the last for all of it, and back.
    fn round(&self, concentration: &mut [f64], bath: f64, time: f64, work: &mut Work) -> f64 {
        let there = (0..N).map(|axis| (axis, if axis + 1 == N { time } else { 0.5 * time }));
        let back = (0..N - 1).rev().map(|axis| (axis, 0.5 * time));
        there.chain(back).map(|(axis, time)| self.sweep(axis, concentration, bath, time, work)).sum()
    }
}

/// A step of all rows of one direction.
struct Sweep<'a> {
    rows: &'a [Rows],
    stride: usize,
    concentration: &'a mut [f64],
    bath: f64,
    time: f64,
    work: &'a mut Work,
}

impl Wide for Sweep<'_> {
    type Outcome = f64;

    #[inline(always)]
    fn run(self) -> f64 {
        let Self { rows, stride, concentration, bath, time, work } = self;
        let mut entered = 0.0;
        for rows in rows {
            work.values.resize(rows.cells.len(), Abreast::all(bath));
            for (step, values) in work.values.iter_mut().enumerate() {
                *values = Abreast::all(bath);
                for (value, first) in values.0.iter_mut().zip(&rows.first) {
                    *value = concentration[first + step * stride];
                }
            }
            entered += Lines(&rows.cells).take(&mut work.values, bath, time, &mut work.lines).0;
            for (step, values) in work.values.iter().enumerate() {
                for (value, first) in values.0.iter().zip(&rows.first) {
                    concentration[first + step * stride] = *value;
                }
            }
        }
        entered
    }
}

impl Axis {
    fn of<const N: usize>(half: f64, block: &Block<N>, cells: usize) -> Self {
        let deep: f64 = block.rims.iter().map(|(thickness, _)| thickness).sum();
        let inner = (block.rims.len(), half - deep);
        let rims = block.rims.iter().enumerate().rev().map(|(wood, (thickness, _))| (wood, *thickness));
        let mut axis = Self { middle: Vec::new(), width: Vec::new(), wood: Vec::new() };
        let mut from = 0.0;
        for (wood, thickness) in std::iter::once(inner).chain(rims) {
            let count = split(cells, thickness / half, LEAST);
            let width = thickness / check::real(count);
            for place in 0..count {
                axis.middle.push(from + width * (check::real(place) + 0.5));
                axis.width.push(width);
                axis.wood.push(wood);
            }
            from += thickness;
        }
        axis
    }
}

impl<const N: usize> Cells for Grid<N> {
    type Room = Work;

    fn store(&self) -> &[f64] {
        &self.store
    }

    fn quickest(&self) -> f64 {
        self.quickest
    }

    fn advance(&self, concentration: &mut [f64], bath: f64, time: f64, work: &mut Work) -> Stepped {
        let mut whole = std::mem::take(&mut work.whole);
        whole.clear();
        whole.extend_from_slice(concentration);
        self.round(&mut whole, bath, time, work);
        let halves = [0, 1].map(|_| self.round(concentration, bath, 0.5 * time, work));
        let differences = whole.iter().zip(concentration.iter()).map(|(whole, halves)| (whole - halves).abs());
        // The error of two halves is a third of the difference, in a scheme of second order.
        let error = differences.fold(0.0, f64::max) / 3.0;
        work.whole = whole;
        Stepped { error, entered: halves.iter().sum() }
    }

    fn centre(&self, concentration: &[f64]) -> f64 {
        // In each direction the cells are means of a parabola: as for a slab.
        let first = concentration[0];
        let inwards = self.stride.iter().map(|next| first - concentration.get(*next).unwrap_or(&first));
        first + inwards.sum::<f64>() / 6.0
    }

    fn places(&self) -> Vec<Vec<f64>> {
        self.axes.iter().map(|axis| axis.middle.clone()).collect()
    }
}
