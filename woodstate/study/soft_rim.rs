//! Between which depths the soft rim of each timber of an assessment ends.

use crate::error::Result;
use crate::numeric::map_ordered;
use crate::profile::{Degraded, Increment, Threshold, monotone_depth, rim_between};
use crate::quantity::Quantity;
use crate::reference::Reference;
use crate::state::{PieceView, Pieces, SoftRim, Timber};

/// Timbers that a thread takes at a time.
const TOGETHER: usize = 512;

/// Gives each timber the depths between which its soft rim ends, as far as its increments tell without a curve.
///
/// # Errors
/// A broken build of the reference files.
pub(super) fn add_soft_rims(timbers: &mut [Timber], pieces: &Pieces, threads: usize) -> Result<()> {
    let reference = Reference::shipped()?;
    let Some(limit) = reference.constant("sound_residual_basic_density") else { return Ok(()) };
    let quantity = Quantity::ResidualBasicDensity;
    let threshold = Threshold { value: limit.value, degraded: Degraded::Below };
    let of_timber = |timber: &mut Timber| -> Result<()> {
        let found = timber.places.iter().filter_map(|place| increment(pieces.view(*place)?, quantity));
        let increments: Vec<Increment> = found.collect();
        if increments.len() < 2 {
            return Ok(());
        }
        let treads = monotone_depth(&increments, threshold.degraded)?;
        let between = rim_between(&treads, threshold);
        timber.soft_rim = Some(SoftRim {
            quantity: quantity.name(),
            sound_from: limit.value,
            unit: quantity.spec().unit,
            evidence: limit.evidence,
            between,
        });
        Ok(())
    };
    let parts: Vec<&mut [Timber]> = timbers.chunks_mut(TOGETHER).collect();
    map_ordered(threads, parts, |part| part.iter_mut().try_for_each(of_timber))?.into_iter().collect()
}

/// A piece as an increment; `None` where its depth or its decay is not known.
fn increment(piece: PieceView<'_>, quantity: Quantity) -> Option<Increment> {
    let [Some(from), Some(to)] = piece.depth() else { return None };
    piece.value(quantity).filter(|_| piece.unread().is_none()).map(|value| Increment::new(from, to, value.value))
}
