//! How far a timber sags, and what slings at fixed heights carry.

use crate::error::Result;

use super::beam::{Beam, Peak};
use super::section::PASCAL;
use super::{Held, LayeredSection, LoadLine, Rim, Timber, check};

/// How stiff the wood of the core is, `MPa`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stiffness {
    /// Modulus of elasticity along the grain.
    pub modulus: f64,
    /// Shear modulus; `None` leaves the sag by shear out, which is small unless the timber is short for its height.
    pub shear_modulus: Option<f64>,
}

/// The line to which a timber sags.
#[derive(Debug, Clone, PartialEq)]
pub struct Sag {
    /// Places along the timber, m.
    pub places: Vec<f64>,
    /// How far each lies below the line through the outermost supports, mm; above it is negative.
    pub below: Vec<f64>,
}

impl Sag {
    /// The largest distance from that line, mm, without its sign.
    #[must_use]
    pub fn largest(&self) -> Peak {
        let both = self.places.iter().zip(&self.below);
        both.fold(Peak::default(), |most, (place, below)| {
            if below.abs() > most.value { Peak { value: below.abs(), place: *place } } else { most }
        })
    }

    /// At a place, mm, by a straight line between the two places next to it.
    #[must_use]
    pub fn at(&self, place: f64) -> f64 {
        let next = self.places.partition_point(|x| *x < place).clamp(1, self.places.len().max(2) - 1);
        let ends = (self.places.get(next - 1), self.places.get(next), self.below.get(next - 1), self.below.get(next));
        match ends {
            (Some(a), Some(b), Some(low), Some(high)) if b > a => low + (high - low) * (place - a) / (b - a),
            _ => 0.0,
        }
    }
}

/// Parts into which a stretch between two changes is cut.
const PARTS: usize = 16;

/// Places and weights of Gauss and Legendre with four points, on -1 to 1.
const GAUSS: [[f64; 2]; 4] = [
    [-0.861_136_311_594_052_6, 0.347_854_845_137_453_8],
    [-0.339_981_043_584_856_3, 0.652_145_154_862_546_1],
    [0.339_981_043_584_856_3, 0.652_145_154_862_546_1],
    [0.861_136_311_594_052_6, 0.347_854_845_137_453_8],
];

impl Beam<'_> {
    /// The line to which the timber sags; `None` where at some place nothing carries.
    ///
    /// ```text
    /// v'' = - M/(E I)   (Euler and Bernoulli),   and with a shear modulus   v' = θ + V/(G A')   (Timoshenko)
    /// ```
    ///
    /// Without support, and in a tray, nothing sags.
    ///
    /// # Errors
    /// A modulus that is not above 0.
    ///
    /// # Example
    /// ```
    /// use woodstate::lift::{Beam, LoadLine, Rim, Shape, Stiffness, Support, Timber};
    /// let beam = Timber::prismatic(6.0, Shape::rectangle(0.25, 0.25)?)?;
    /// let line = LoadLine::new(&beam, Rim::NONE, [11637.224, 11637.224], &[])?;
    /// let held = Support::Slings { first: 0.0, second: 6.0 }.held(&line)?;
    /// let hung = Beam { timber: &beam, rim: Rim::NONE, line: &line, held: &held[0] };
    /// let sag = hung.sag(Stiffness { modulus: 8600.0, shear_modulus: None })?.unwrap();
    /// assert!((sag.at(3.0) - 4.384).abs() < 5e-4);
    /// # Ok::<(), woodstate::error::Error>(())
    /// ```
    ///
    /// # Source
    /// Timoshenko SP 1955, Strength of Materials, chapters 5 and 6 (from memory).
    pub fn sag(&self, stiffness: Stiffness) -> Result<Option<Sag>> {
        check::positive("modulus of elasticity (MPa)", stiffness.modulus)?;
        stiffness.shear_modulus.map_or(Ok(()), |g| check::positive("shear modulus (MPa)", g))?;
        let mut breaks = Vec::new();
        self.breaks(&mut breaks);
        let (mut slope, mut below) = (0.0, 0.0);
        let (mut places, mut line, mut slopes) = (Vec::new(), Vec::new(), Vec::new());
        places.extend(breaks.first());
        line.push(0.0);
        slopes.push(0.0);
        for pair in breaks.windows(2) {
            let width = (pair[1] - pair[0]) / check::real(PARTS);
            for part in 0..PARTS {
                let from = pair[0] + width * check::real(part);
                let (mut turned, mut fallen) = (0.0, slope * width);
                for [point, weight] in GAUSS {
                    let x = from + width * f64::midpoint(1.0, point);
                    let Some(section) = LayeredSection::of(&self.timber.shape_at(x), self.rim) else { return Ok(None) };
                    let step = weight * width / 2.0;
                    let bend = -self.moment(x) / (stiffness.modulus * PASCAL * section.second_moment);
                    turned += step * bend;
                    fallen += step * bend * (from + width - x);
                    if let Some(g) = stiffness.shear_modulus {
                        fallen += step * self.force_before(x) / (g * PASCAL * section.shear_area);
                    }
                }
                slope += turned;
                below += fallen;
                places.push(from + width);
                line.push(below);
                slopes.push(slope);
            }
        }
        Ok(Some(self.levelled(places, &line, &slopes)))
    }

    /// Puts the outermost supports on a level, or a single one level in itself.
    fn levelled(&self, places: Vec<f64>, line: &[f64], slopes: &[f64]) -> Sag {
        let ends = self.held.iter().map(|held| held.place);
        let (first, last) = ends.fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), x| (a.min(x), b.max(x)));
        let row_of = |x: f64| {
            let next = places.partition_point(|place| *place < x).min(places.len() - 1);
            let is_nearer = next > 0 && (x - places[next - 1]).abs() < (places[next] - x).abs();
            if is_nearer { next - 1 } else { next }
        };
        if first > last {
            return Sag { below: vec![0.0; places.len()], places };
        }
        let (a, b) = (row_of(first), row_of(last));
        let (x, at) = (places[a], line[a]);
        let tilt = if b > a { (line[b] - at) / (places[b] - x) } else { slopes[a] };
        let below = places.iter().zip(line).map(|(place, low)| 1000.0 * (low - at - tilt * (place - x))).collect();
        Sag { places, below }
    }
}

/// The forces in slings that all hang from one height and do not stretch; negative where one would have to push down.
///
/// Slings are never so even: this is what a perfect rig would give, and the start for asking what an uneven one does.
///
/// # Errors
/// Fewer than two places, places out of order or outside the timber, a stiffness that is not above 0, a timber of which some
/// part carries nothing.
///
/// # Example
/// ```
/// use woodstate::lift::{LoadLine, Rim, Shape, Stiffness, Timber, forces_at_one_height};
/// let beam = Timber::prismatic(4.0, Shape::rectangle(0.2, 0.2)?)?;
/// let line = LoadLine::new(&beam, Rim::NONE, [10_000.0, 10_000.0], &[])?;
/// let wood = Stiffness { modulus: 8000.0, shear_modulus: None };
/// let held = forces_at_one_height(&beam, Rim::NONE, &line, &[0.0, 2.0, 4.0], wood)?;
/// // Two equal spans: the middle holds five eighths.
/// assert!((held[1].force / line.force() - 0.625).abs() < 1e-12);
/// # Ok::<(), woodstate::error::Error>(())
/// ```
///
/// # Source
/// Method of forces: Timoshenko SP 1955, Strength of Materials, chapter 7 (from memory).
pub fn forces_at_one_height(
    timber: &Timber,
    rim: Rim,
    line: &LoadLine,
    places: &[f64],
    stiffness: Stiffness,
) -> Result<Vec<Held>> {
    let ([first, inner @ .., last], length) = (places, line.length()) else {
        return Err(check::range("number of slings", check::real(places.len()), "2 or more"));
    };
    for pair in places.windows(2) {
        check::along("place of a sling (m)", pair[1], length)?;
        if pair[1] <= pair[0] {
            let allowed = format!("a place beyond the sling before it, {} m", pair[0]);
            return Err(check::range("place of a sling (m)", pair[1], allowed));
        }
    }
    check::along("place of a sling (m)", *first, length)?;
    let span = last - first;
    let beyond = |place: f64| (place - first) / span;
    let of = |line: &LoadLine, held: &[Held]| -> Result<Vec<f64>> {
        let Some(sag) = (Beam { timber, rim, line, held }).sag(stiffness)? else {
            return Err(check::range("depth of the rim (m)", rim.depth, "less, so that a core is left everywhere"));
        };
        Ok(inner.iter().map(|place| sag.at(*place)).collect())
    };
    // Zero forces at the inner places make them ends of parts, where a sag is exact.
    let resting = |outer: [f64; 2], force: &dyn Fn(usize) -> f64| {
        let mut held = vec![Held { place: *first, force: outer[0] }];
        held.extend(inner.iter().enumerate().map(|(row, place)| Held { place: *place, force: force(row) }));
        held.push(Held { place: *last, force: outer[1] });
        held
    };
    let (whole, far) = (line.force(), line.force() * beyond(line.centre()));
    let loaded = of(line, &resting([whole - far, far], &|_| 0.0))?;
    let mut empty = LoadLine::default();
    empty.fill(timber, 0.0, [0.0, 0.0], &[], 1.0);
    let mut rows: Vec<Vec<f64>> = loaded.iter().map(|below| vec![-below]).collect();
    for (column, place) in inner.iter().enumerate().rev() {
        let share = beyond(*place);
        let lifted = of(&empty, &resting([share - 1.0, -share], &|row| if row == column { 1.0 } else { 0.0 }))?;
        rows.iter_mut().zip(lifted).for_each(|(row, below)| row.insert(0, below));
    }
    let forces = solved(rows);
    let (mut near, mut away) = (whole - far, far);
    for (force, place) in forces.iter().zip(inner) {
        near -= force * (1.0 - beyond(*place));
        away -= force * beyond(*place);
    }
    Ok(resting([near, away], &|row| forces[row]))
}

/// Unknowns of linear equations, whose right side is the last column, by elimination with pivots.
fn solved(mut rows: Vec<Vec<f64>>) -> Vec<f64> {
    let n = rows.len();
    for column in 0..n {
        let pivot = (column..n).max_by(|a, b| rows[*a][column].abs().total_cmp(&rows[*b][column].abs()));
        rows.swap(column, pivot.unwrap_or(column));
        let head = rows[column].clone();
        for row in rows.iter_mut().skip(column + 1) {
            let factor = row[column] / head[column];
            row.iter_mut().zip(&head).for_each(|(value, above)| *value -= factor * above);
        }
    }
    let mut found = vec![0.0; n];
    for row in (0..n).rev() {
        let rest: f64 = (row + 1..n).map(|column| rows[row][column] * found[column]).sum();
        found[row] = (rows[row][n] - rest) / rows[row][row];
    }
    found
}
