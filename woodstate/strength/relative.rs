//! Strength as a share of that of sound wood.

use crate::error::Result;
use crate::quantity::Measured;
use crate::reference::{SoundStrength, StrengthCondition};

use super::pair::range;

/// In which state a piece was tested.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Tested {
    /// Full of water, as it was found.
    Saturated,
    /// In balance with room air.
    Conditioned,
}

/// Strength of a piece as a share of that of sound wood of its taxon, 0 to 1 and above.
///
/// ```text
/// share = σ / σ_sound,   u = share · u(σ_sound)/σ_sound
/// ```
/// * `strength`: of the piece, in the unit of `sound`
/// * `sound`: of the same property; green for a piece tested full of water
///
/// The uncertainty is that of sound wood alone: it is common to all pieces of a taxon, does not average out, and is unknown
/// where that of sound wood is.
///
/// # Errors
/// A reference at 12 % moisture content for a wet test, and the other way round: dry sound wood is up to twice as strong as
/// green sound wood, and the share would show that as decay. A strength of sound wood that is not above 0.
///
/// # Example
/// ```
/// use woodstate::quantity::Measured;
/// use woodstate::reference::{Reference, StrengthCondition, WoodGroup};
/// use woodstate::strength::{Tested, relative_strength};
/// let reference = Reference::shipped()?;
/// let density = Measured::new(560.0, 50.0);
/// let at = |moisture| reference.strength_at("compression_parallel", WoodGroup::Hardwood, moisture, density).unwrap();
/// // 12.9 of 25.74 MPa.
/// let share = relative_strength(12.9, Tested::Saturated, &at(StrengthCondition::Green))?;
/// assert!((share.value - 0.5011).abs() < 5e-5);
/// assert!(relative_strength(12.9, Tested::Saturated, &at(StrengthCondition::Twelve)).is_err());
/// # Ok::<(), woodstate::error::Error>(())
/// ```
/// # Source
/// Green against 12 %: Forest Products Laboratory 2021, Wood Handbook, FPL-GTR-282, p. 5-34 \[copy]: above about 25 % moisture
/// content strength no longer changes.
pub fn relative_strength(strength: f64, tested: Tested, sound: &SoundStrength) -> Result<Measured> {
    let is_wet = sound.condition == StrengthCondition::Green;
    if is_wet != (tested == Tested::Saturated) {
        let (moisture, allowed) = match tested {
            Tested::Saturated => {
                (12.0, "green wood, since the piece was tested wet and wet wood is weaker than dry wood")
            }
            Tested::Conditioned => {
                (f64::INFINITY, "12, since the piece was tested dry and dry wood is stronger than wet wood")
            }
        };
        return Err(range("moisture content of the sound wood for comparison, %,", moisture, allowed));
    }
    let whole = sound.value.value;
    if !(whole > 0.0 && whole.is_finite() && strength.is_finite()) {
        return Err(range(
            "strength of sound wood",
            whole,
            "a finite number above 0, and a finite strength of the piece",
        ));
    }
    let value = strength / whole;
    Ok(Measured { value, u: sound.value.u.map(|u| value * u / whole) })
}
