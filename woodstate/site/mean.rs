//! How uncertain measurement makes a mean.

use std::collections::BTreeMap;

use crate::numeric::sum;
use crate::state::{Cause, Parts};

/// Standard uncertainty of the mean of some pieces from the measurement of these pieces, in the unit of the value; `None` for
/// no pieces.
///
/// ```text
/// u² = Σᵢ vᵢ / n²  +  Σₖ ( Σᵢ sᵢₖ / n )²
/// ```
/// * `vᵢ`: variance of piece i from its own readings; it averages out
/// * `sᵢₖ`: sensitivity of piece i to the shared cause k times the standard uncertainty of the cause; it does not average out.
///   A cause that belongs to the wood, such as the density of sound wood, is shared by the pieces of one taxon, and the parts
///   of several taxa add as squares.
///
/// It says nothing of how the pieces stand for their timbers or the site.
///
/// # Example
/// ```
/// use woodstate::site::u_of_mean;
/// use woodstate::state::Parts;
/// let own = Parts { own_variance: 4.0, ..Parts::default() };
/// let mut shared = Parts::default();
/// shared.shared[0] = 2.0;
/// let four = |parts: Parts| u_of_mean(&[(parts, None); 4]).unwrap();
/// assert_eq!((four(own), four(shared)), (1.0, 2.0));
/// ```
///
/// # Source
/// JCGM 100:2008 (GUM), 5.2.2, eq. 13 \[memory], with the mean as the function.
#[must_use]
pub fn u_of_mean(pieces: &[(Parts, Option<&str>)]) -> Option<f64> {
    if pieces.is_empty() {
        return None;
    }
    let n: f64 = pieces.iter().map(|_| 1.0).sum();
    let own = sum(&pieces.iter().map(|(parts, _)| parts.own_variance).collect::<Vec<_>>()) / (n * n);
    let squared = |parts: &[f64]| (sum(parts) / n).powi(2);
    let mut squares = vec![own];
    for place in 0..Cause::SHARED {
        let mut by_taxon: BTreeMap<Option<&str>, Vec<f64>> = BTreeMap::new();
        for (parts, taxon) in pieces {
            let taxon = taxon.filter(|_| Cause::is_shared_by_taxon(place));
            by_taxon.entry(taxon).or_default().push(parts.shared[place]);
        }
        squares.extend(by_taxon.values().map(|parts| squared(parts)));
    }
    Some(sum(&squares).sqrt())
}
