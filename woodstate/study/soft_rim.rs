//! Between which depths the soft rim of each timber of an assessment ends.

use std::collections::BTreeMap;

use crate::error::Result;
use crate::profile::{Degraded, Increment, Threshold, monotone_depth, rim_between};
use crate::quantity::Quantity;
use crate::reference::Reference;
use crate::state::{PieceView, Pieces, SoftRim, Timber};

/// Gives each timber the depths between which its soft rim ends, as far as its increments tell without a curve.
///
/// # Errors
/// A broken build of the reference files.
pub(super) fn add_soft_rims(timbers: &mut [Timber], pieces: &Pieces) -> Result<()> {
    let reference = Reference::shipped()?;
    let Some(limit) = reference.constant("sound_residual_basic_density") else { return Ok(()) };
    let quantity = Quantity::ResidualBasicDensity;
    let threshold = Threshold { value: limit.value, degraded: Degraded::Below };
    let mut by_timber: BTreeMap<&str, Vec<Increment>> = BTreeMap::new();
    for piece in pieces.views() {
        if let (Some(timber), Some(increment)) = (piece.timber(), increment(piece, quantity)) {
            by_timber.entry(timber).or_default().push(increment);
        }
    }
    for timber in timbers {
        let Some(increments) = by_timber.get(timber.timber.as_str()).filter(|increments| increments.len() > 1) else {
            continue;
        };
        let treads = monotone_depth(increments, threshold.degraded)?;
        let between = rim_between(&treads, threshold);
        timber.soft_rim = Some(SoftRim {
            quantity: quantity.name(),
            sound_from: limit.value,
            unit: quantity.spec().unit,
            evidence: limit.evidence,
            between,
        });
    }
    Ok(())
}

/// A piece as an increment; `None` where its depth or its decay is not known.
fn increment(piece: PieceView<'_>, quantity: Quantity) -> Option<Increment> {
    let [Some(from), Some(to)] = piece.depth() else { return None };
    piece.value(quantity).filter(|_| piece.unread().is_none()).map(|value| Increment::new(from, to, value.value))
}
