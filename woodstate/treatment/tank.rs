//! What to weigh for a tank: impregnant and water, where the water in the wood counts.

use super::{check, check::range};
use crate::error::Result;

/// Impregnant and water that stand together.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Solution {
    /// Impregnant, kg.
    pub impregnant: f64,
    /// Water, kg.
    pub water: f64,
}

/// A tank with wood in it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tank {
    /// Volume up to the level of the bath, wood included, L.
    pub volume: f64,
    /// Volume of the wood, L.
    pub wood_volume: f64,
    /// What the wood holds at first, kg: its water, and the impregnant of earlier baths.
    pub wood: Solution,
    /// Density of what the wood holds, kg/m³.
    pub wood_solution_density: f64,
}

/// What a bath is made of.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BathMix {
    /// What to pour in.
    pub poured: Solution,
    /// Mass fraction of the bath when it is fresh; stronger than what it comes to.
    pub at_first: f64,
    /// Mass fraction once bath and wood stand together.
    pub at_last: f64,
    /// Solution in the wood then, kg.
    pub wood: Solution,
}

impl Solution {
    /// A solution of two masses, kg.
    ///
    /// # Errors
    /// A mass below 0, or both 0.
    pub fn new(impregnant: f64, water: f64) -> Result<Self> {
        check::not_negative("impregnant", impregnant)?;
        check::not_negative("water", water)?;
        check::positive("mass of solution", impregnant + water)?;
        Ok(Self { impregnant, water })
    }

    /// Mass, kg.
    #[must_use]
    pub fn mass(&self) -> f64 {
        self.impregnant + self.water
    }

    /// Impregnant over solution by mass, 0 to 1; `None` where there is nothing.
    ///
    /// Two solutions that stand together come to the fraction of their [`joined`](Self::joined) masses.
    ///
    /// # Example
    /// ```
    /// use woodstate::treatment::Solution;
    /// // 300 kg of a bath of 20 % around wood with 68.571 kg of water.
    /// let bath = Solution::new(60.0, 240.0)?;
    /// let wood = Solution::new(0.0, 68.571)?;
    /// assert!((bath.joined(wood).fraction().unwrap() - 0.162_791).abs() < 5e-7);
    /// # Ok::<(), woodstate::error::Error>(())
    /// ```
    #[must_use]
    pub fn fraction(&self) -> Option<f64> {
        (self.mass() > 0.0).then(|| self.impregnant / self.mass())
    }

    /// Both together.
    #[must_use]
    pub fn joined(&self, other: Self) -> Self {
        Self { impregnant: self.impregnant + other.impregnant, water: self.water + other.water }
    }

    /// Impregnant to add for a mass fraction, kg.
    ///
    /// ```text
    /// Δm = w W/(1 − w) − m
    /// ```
    ///
    /// * `target`: w, 0 to below 1
    /// * m, W: impregnant and water of this solution; for a tank, those of the bath and of the wood together
    ///
    /// # Errors
    /// A target of 1 or more, or below the fraction that is there; a mass below 0.
    ///
    /// # Example
    /// ```
    /// // From 10 to 20 % with 100 kg of water.
    /// let solution = woodstate::treatment::Solution::new(100.0 / 9.0, 100.0)?;
    /// assert!((solution.addition(0.2)? - 13.888_889).abs() < 5e-7);
    /// # Ok::<(), woodstate::error::Error>(())
    /// ```
    ///
    /// # Source
    /// Balance of masses (derived).
    pub fn addition(&self, target: f64) -> Result<f64> {
        check::fraction("target mass fraction", target)?;
        let Self { impregnant, water } = Self::new(self.impregnant, self.water)?;
        let added = target * water / (1.0 - target) - impregnant;
        // A target that is there already may miss by a rounding.
        if added < -1e-12 * impregnant {
            let allowed =
                format!("at least {}, what is there; only water makes it weaker", impregnant / (impregnant + water));
            return Err(range("target mass fraction", target, allowed));
        }
        Ok(added.max(0.0))
    }

    /// Impregnant to add at each of several steps, kg.
    ///
    /// The volume of the solution grows with each; what is taken out in between counts as a new solution.
    ///
    /// # Errors
    /// As [`addition`](Self::addition), for each target after the one before.
    ///
    /// # Example
    /// ```
    /// let water = woodstate::treatment::Solution::new(0.0, 900.0)?;
    /// let steps = water.additions(&[0.1, 0.25, 0.4])?;
    /// assert!((steps[0] - 100.0).abs() < 1e-9 && (steps[1] - 200.0).abs() < 1e-9 && (steps[2] - 300.0).abs() < 1e-9);
    /// # Ok::<(), woodstate::error::Error>(())
    /// ```
    pub fn additions(&self, targets: &[f64]) -> Result<Vec<f64>> {
        let mut now = *self;
        let step = |target: &f64| {
            let added = now.addition(*target)?;
            now.impregnant += added;
            Ok(added)
        };
        targets.iter().map(step).collect()
    }
}

impl Tank {
    /// Impregnant and water to pour in, so that bath and wood come to a mass fraction together.
    ///
    /// ```text
    /// m = w ρ (V_bath + V_pore) − m_wood        W = (1 − w) ρ (V_bath + V_pore) − W_wood
    /// ```
    ///
    /// * `target`: w, mass fraction in the end, 0 to below 1
    /// * `solution_density`: ρ at that fraction, kg/m³
    /// * `V_bath`: volume of the tank less that of the wood; `V_pore`: volume of the solution in the wood, which stays what it is
    ///
    /// # Errors
    /// A volume, mass or density that cannot be; a bath that would need less than no impregnant or water: the wood holds
    /// more of it than the target allows.
    ///
    /// # Example
    /// ```
    /// use woodstate::treatment::{Solution, Tank};
    /// // A beam of 80 L with 68.571 kg of water in 300 L, to 20 % in the end.
    /// let wood = Solution::new(0.0, 68.571)?;
    /// let tank = Tank { volume: 300.0, wood_volume: 80.0, wood, wood_solution_density: 997.0 };
    /// let mix = tank.mix(0.2, 1031.13)?;
    /// assert!((mix.poured.impregnant - 59.553).abs() < 1e-3);
    /// assert!((mix.poured.water - 169.642).abs() < 1e-3);
    /// // The fresh bath has 26 %: without the water in the wood it would come to 15.4 % and not to 20 %.
    /// assert!((mix.at_first - 0.259_83).abs() < 1e-5);
    /// # Ok::<(), woodstate::error::Error>(())
    /// ```
    ///
    /// # Source
    /// Balance of masses (derived); volumes of bath and pores are taken as unchanged by the exchange.
    pub fn mix(&self, target: f64, solution_density: f64) -> Result<BathMix> {
        check::fraction("target mass fraction", target)?;
        check::positive("solution density", solution_density)?;
        check::positive("density of the solution in the wood", self.wood_solution_density)?;
        check::positive("volume of the tank", self.volume)?;
        check::not_negative("volume of the wood", self.wood_volume)?;
        check::not_negative("impregnant in the wood", self.wood.impregnant)?;
        check::not_negative("water in the wood", self.wood.water)?;
        let bath_volume = self.volume - self.wood_volume;
        if bath_volume <= 0.0 {
            let allowed = format!("below {} L, the volume of the tank", self.volume);
            return Err(range("volume of the wood", self.wood_volume, allowed));
        }
        let pore_volume = self.wood.mass() * 1000.0 / self.wood_solution_density;
        if pore_volume > self.wood_volume {
            let allowed = format!("up to {} L, the volume of the wood", self.wood_volume);
            return Err(range("volume of the solution in the wood", pore_volume, allowed));
        }
        let of_volume = |volume: f64| {
            let mass = volume * solution_density / 1000.0;
            Solution { impregnant: target * mass, water: (1.0 - target) * mass }
        };
        let all = of_volume(bath_volume + pore_volume);
        let poured = Solution { impregnant: all.impregnant - self.wood.impregnant, water: all.water - self.wood.water };
        for (name, mass) in [("impregnant to pour in", poured.impregnant), ("water to pour in", poured.water)] {
            if mass < 0.0 {
                return Err(range(name, mass, "0 kg or more; the wood holds too much of it for this target and tank"));
            }
        }
        check::positive("solution to pour in", poured.mass())?;
        let at_first = poured.impregnant / poured.mass();
        Ok(BathMix { poured, at_first, at_last: target, wood: of_volume(pore_volume) })
    }
}
