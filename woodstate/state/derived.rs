//! All results of a piece before uncertainty, and what decides how they are derived.

use crate::quantity::{Number, Quantity};
use crate::reference::WaterCoefficients;

use super::Route;

/// What is not a number and decides how a piece is derived.
#[derive(Debug, Clone, PartialEq)]
pub struct Rules<'a> {
    /// Whether stated values come before measured ones.
    pub stated_first: bool,
    /// Whether the dry sizes are conditioned, not oven-dry.
    pub is_conditioned: bool,
    /// Equations of state of water.
    pub water: &'a WaterCoefficients,
}

/// All results of a piece: the reported values, and every route to a water content and a density.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Derived<N> {
    pub(super) values: [Option<(N, Route)>; Quantity::COUNT],
    pub(super) water_contents: [Option<N>; Route::TO_MAX_WATER_CONTENT.len()],
    pub(super) densities: [Option<N>; Route::TO_BASIC_DENSITY.len()],
    pub(super) impossible: [Option<f64>; Route::TO_BASIC_DENSITY.len()],
}

impl<N: Number> Derived<N> {
    /// The reported value of a quantity and its route; `None` if unknown.
    #[must_use]
    pub fn value(&self, quantity: Quantity) -> Option<(N, Route)> {
        self.values[quantity as usize]
    }

    /// Every route to the maximum water content, in the order of reporting.
    pub fn water_contents(&self) -> impl Iterator<Item = (Route, N)> {
        Route::TO_MAX_WATER_CONTENT
            .into_iter()
            .zip(self.water_contents)
            .filter_map(|(route, value)| Some((route, value?)))
    }

    /// Every route to the basic density, in the order of reporting.
    pub fn densities(&self) -> impl Iterator<Item = (Route, N)> {
        Route::TO_BASIC_DENSITY.into_iter().zip(self.densities).filter_map(|(route, value)| Some((route, value?)))
    }

    /// Routes whose density lies outside 0 to that of the cell wall, with what they give, kg/m3.
    pub fn impossible(&self) -> impl Iterator<Item = (Route, f64)> {
        Route::TO_BASIC_DENSITY.into_iter().zip(self.impossible).filter_map(|(route, value)| Some((route, value?)))
    }

    /// Two ways to one quantity that must agree: the first of the measured routes and each other.
    ///
    /// Without drying, and from the water content, a piece is taken as saturated: beside a density from its dry mass the
    /// saturation says what there is to say.
    pub(super) fn rivals(&self) -> impl Iterator<Item = [N; 2]> {
        let is_measured =
            |route: Route| matches!(route, Route::Displaced | Route::Immersed | Route::Geometric | Route::Stated);
        let pairs = |mut values: Vec<N>| {
            let others = values.split_off(values.len().min(1));
            let first = values.pop();
            others.into_iter().filter_map(move |other| Some([first?, other]))
        };
        let measured = self.densities().filter(|(route, _)| is_measured(*route)).map(|(_, value)| value);
        let is_direct = |route: Route| matches!(route, Route::Weighed | Route::Stated);
        let direct = self.water_contents().filter(|(route, _)| is_direct(*route)).map(|(_, value)| value);
        pairs(measured.collect()).chain(pairs(direct.collect()))
    }

    pub(super) fn set(&mut self, quantity: Quantity, value: Option<N>, route: Route) {
        if let Some(value) = value.filter(|value| value.is_finite()) {
            self.values[quantity as usize] = Some((value, route));
        }
    }

    pub(super) fn plain(&self, quantity: Quantity) -> Option<N> {
        self.value(quantity).map(|(value, _)| value)
    }
}

/// The first route with a value, or the stated one where it comes first.
pub(super) fn first<N: Number, const R: usize>(
    values: &[Option<N>; R],
    stated: Route,
    order: &[Route; R],
    rules: &Rules<'_>,
) -> Option<(N, Route)> {
    let known = |wanted: Option<Route>| {
        let mut routes =
            order.iter().zip(values).filter(move |(route, _)| wanted.is_none_or(|wanted| wanted == **route));
        routes.find_map(|(route, value)| Some(((*value)?, *route)))
    };
    known(Some(stated).filter(|_| rules.stated_first)).or_else(|| known(None))
}

pub(super) fn both<N: Number>(a: Option<N>, b: Option<N>, formula: impl FnOnce(N, N) -> N) -> Option<N> {
    Some(formula(a?, b?))
}

pub(super) fn possible_density<N: Number>(density: N, wall: Option<N>) -> Option<N> {
    let is_below_wall = wall.is_none_or(|wall| wall.is_above(density));
    let is_possible = density.is_finite() && density.is_above(N::exact(0.0)) && is_below_wall;
    is_possible.then_some(density)
}
