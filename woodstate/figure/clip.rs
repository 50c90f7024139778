//! What of a line or a field lies in a window: nothing is bent at its edge.

use super::scene::Spot;

/// Left, top, right, bottom.
pub(super) type Window = [f64; 4];

/// The parts of a line that lie in a window.
///
/// Source: Y.-D. Liang, B. A. Barsky 1984, A new concept and method for line clipping, ACM Transactions on Graphics 3, 1-22,
/// doi:10.1145/357332.357333 \[memory].
pub(super) fn line(points: &[Spot], window: Window) -> Vec<Vec<Spot>> {
    let mut parts: Vec<Vec<Spot>> = Vec::new();
    let mut part: Vec<Spot> = Vec::new();
    for pair in points.windows(2) {
        let [from, to] = [pair[0], pair[1]];
        match segment(from, to, window) {
            // It touches the edge at one place and is outside otherwise.
            Some([a, b]) if a.iter().zip(&b).all(|(a, b)| a.total_cmp(b).is_eq()) => {}
            Some([a, b]) => {
                if part.last() != Some(&a) {
                    parts.extend(Some(std::mem::take(&mut part)).filter(|part| part.len() > 1));
                    part = vec![a];
                }
                part.push(b);
            }
            None => parts.extend(Some(std::mem::take(&mut part)).filter(|part| part.len() > 1)),
        }
    }
    parts.extend(Some(part).filter(|part| part.len() > 1));
    parts
}

/// The part of a straight line that lies in a window.
pub(super) fn segment(from: Spot, to: Spot, [left, top, right, bottom]: Window) -> Option<[Spot; 2]> {
    let [dx, dy] = [to[0] - from[0], to[1] - from[1]];
    let (mut enter, mut leave) = (0.0_f64, 1.0_f64);
    for (toward, room) in [(-dx, from[0] - left), (dx, right - from[0]), (-dy, from[1] - top), (dy, bottom - from[1])] {
        if toward.abs() < f64::EPSILON {
            if room < 0.0 {
                return None;
            }
        } else if toward < 0.0 {
            enter = enter.max(room / toward);
        } else {
            leave = leave.min(room / toward);
        }
    }
    let at = |share: f64| [from[0] + share * dx, from[1] + share * dy];
    (enter <= leave).then(|| [at(enter), at(leave)])
}

/// The part of a field that lies in a window.
///
/// Source: I. E. Sutherland, G. W. Hodgman 1974, Reentrant polygon clipping, Communications of the ACM 17, 32-42,
/// doi:10.1145/360767.360802 \[memory].
pub(super) fn field(corners: &[Spot], [left, top, right, bottom]: Window) -> Vec<Spot> {
    let mut kept = corners.to_vec();
    for (axis, limit, sign) in [(0, left, 1.0), (0, right, -1.0), (1, top, 1.0), (1, bottom, -1.0)] {
        let room = |spot: &Spot| sign * (spot[axis] - limit);
        let mut next = Vec::with_capacity(kept.len() + 2);
        for (place, to) in kept.iter().enumerate() {
            let from = &kept[(place + kept.len() - 1) % kept.len()];
            let (before, after) = (room(from), room(to));
            if (before < 0.0) != (after < 0.0) {
                let share = before / (before - after);
                next.push([from[0] + share * (to[0] - from[0]), from[1] + share * (to[1] - from[1])]);
            }
            if after >= 0.0 {
                next.push(*to);
            }
        }
        kept = next;
    }
    kept
}

#[cfg(test)]
mod tests {
    use super::*;

    const WINDOW: Window = [0.0, 0.0, 10.0, 10.0];

    #[test]
    fn a_line_keeps_its_slope_at_the_edge() {
        let parts = line(&[[-10.0, -5.0], [10.0, 5.0], [20.0, 0.0]], WINDOW);
        assert_eq!(parts, [vec![[0.0, 0.0], [10.0, 5.0]]]);
        let parts = line(&[[5.0, 5.0], [15.0, 5.0], [5.0, 6.0]], WINDOW);
        assert_eq!(parts, [vec![[5.0, 5.0], [10.0, 5.0]], vec![[10.0, 5.5], [5.0, 6.0]]]);
        assert_eq!(line(&[[-5.0, 20.0], [-1.0, -20.0]], WINDOW), Vec::<Vec<Spot>>::new());
    }

    #[test]
    fn a_field_is_cut_at_the_edge() {
        let cut = field(&[[-5.0, 2.0], [5.0, 2.0], [5.0, 4.0], [-5.0, 4.0]], WINDOW);
        assert_eq!(cut.len(), 4);
        assert!([[0.0, 2.0], [5.0, 2.0], [5.0, 4.0], [0.0, 4.0]].iter().all(|corner| cut.contains(corner)));
        assert_eq!(field(&[[20.0, 20.0], [30.0, 20.0], [30.0, 30.0]], WINDOW), Vec::<Spot>::new());
    }
}
