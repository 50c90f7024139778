//! The least that chemistry asks for: chelating agent for iron, base for acid.

use crate::quantity::Number;

/// Chelating agent that iron binds at the least, in the unit of the iron.
///
/// ```text
/// m = m_Fe M/(M_Fe k)
/// ```
///
/// * `iron`: `m_Fe`, mass of iron
/// * `iron_molar_mass`, `agent_molar_mass`: `M_Fe`, M, g/mol
/// * `takes`: k, moles of metal that one mole of the agent binds
///
/// A bath needs more: calcium and magnesium bind the agent as well ([`agent_for_hardness`]), and the last of the iron is
/// deep in the wood.
///
/// # Example
/// ```
/// // 1 g of iron and disodium EDTA dihydrate.
/// let need = woodstate::treatment::agent_for_iron(1.0, 55.845, 372.24, 1.0_f64);
/// assert!((need - 6.6656).abs() < 5e-5);
/// ```
///
/// # Source
/// Balance of moles (derived).
#[must_use]
pub fn agent_for_iron<N: Number>(iron: N, iron_molar_mass: f64, agent_molar_mass: f64, takes: f64) -> N {
    iron * (agent_molar_mass / (iron_molar_mass * takes))
}

/// Chelating agent that the hardness of the bath's water binds, kg.
///
/// ```text
/// m = 10⁻⁶ h V M/k
/// ```
///
/// * `hardness`: h, calcium and magnesium together, mmol/L
/// * `volume`: V, L; `agent_molar_mass`: M, g/mol; `takes`: k, as in [`agent_for_iron`]
///
/// # Example
/// ```
/// // 1000 L of hard water.
/// let need = woodstate::treatment::agent_for_hardness(3.0, 1000.0, 372.24, 1.0_f64);
/// assert!((need - 1.116_72).abs() < 1e-9);
/// ```
///
/// # Source
/// Balance of moles (derived).
#[must_use]
pub fn agent_for_hardness<N: Number>(hardness: N, volume: N, agent_molar_mass: f64, takes: f64) -> N {
    hardness * volume * (agent_molar_mass / (1e6 * takes))
}

/// Sulfuric acid that reduced sulfur comes to once all of it has oxidised, in the unit of the sulfur.
///
/// ```text
/// m = m_S M_acid/M_S
/// ```
///
/// * `sulfur`: `m_S`, mass of reduced sulfur
/// * `sulfur_molar_mass`, `acid_molar_mass`: g/mol
///
/// # Example
/// ```
/// let acid = woodstate::treatment::acid_of_sulfur(1.0, 32.06, 98.072_f64);
/// assert!((acid - 3.059).abs() < 5e-4);
/// ```
///
/// # Source
/// Balance of moles (derived): one of sulfur, one of acid.
#[must_use]
pub fn acid_of_sulfur<N: Number>(sulfur: N, sulfur_molar_mass: f64, acid_molar_mass: f64) -> N {
    sulfur * (acid_molar_mass / sulfur_molar_mass)
}

/// Base that neutralises sulfuric acid, in the unit of the acid.
///
/// ```text
/// m = m_acid M/(M_acid k)
/// ```
///
/// * `acid`: `m_acid`; `acid_molar_mass`, `base_molar_mass`: `M_acid`, M, g/mol
/// * `takes`: k, moles of sulfuric acid that one mole of the base neutralises
///
/// # Example
/// ```
/// // 1 g of acid and sodium hydrogen carbonate, of which two neutralise one.
/// let base = woodstate::treatment::base_for_acid(1.0, 98.072, 84.006, 0.5_f64);
/// assert!((base - 1.7131).abs() < 5e-5);
/// ```
///
/// # Source
/// Balance of moles (derived).
#[must_use]
pub fn base_for_acid<N: Number>(acid: N, acid_molar_mass: f64, base_molar_mass: f64, takes: f64) -> N {
    acid * (base_molar_mass / (acid_molar_mass * takes))
}
