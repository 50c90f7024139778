//! Numbers side by side, which a processor takes together.

use std::ops::{Add, AddAssign, Mul, Sub};

/// W numbers, each with its own fate.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Abreast<const W: usize>(pub(crate) [f64; W]);

impl<const W: usize> Abreast<W> {
    /// The same number W times.
    #[inline(always)]
    pub(crate) const fn all(number: f64) -> Self {
        Self([number; W])
    }

    #[inline(always)]
    pub(crate) fn map(self, f: impl Fn(f64) -> f64) -> Self {
        let mut out = self;
        for number in &mut out.0 {
            *number = f(*number);
        }
        out
    }

    #[inline(always)]
    pub(crate) fn with(self, other: Self, f: impl Fn(f64, f64) -> f64) -> Self {
        let mut out = self;
        for row in 0..W {
            out.0[row] = f(self.0[row], other.0[row]);
        }
        out
    }

    /// The lesser of two numbers that are no NaN; one instruction, unlike [`f64::min`].
    #[inline(always)]
    pub(crate) fn least(self, other: Self) -> Self {
        self.with(other, |a, b| if b < a { b } else { a })
    }

    /// The greater of two numbers that are no NaN.
    #[inline(always)]
    pub(crate) fn most(self, other: Self) -> Self {
        self.with(other, |a, b| if b > a { b } else { a })
    }

    /// The number itself where another lies between two bounds, otherwise 0; a NaN lies nowhere.
    #[inline(always)]
    pub(crate) fn where_within(self, other: Self, low: Self, high: Self) -> Self {
        let mut out = self;
        for row in 0..W {
            let is_within = (other.0[row] >= low.0[row]) & (other.0[row] <= high.0[row]);
            out.0[row] = if is_within { self.0[row] } else { 0.0 };
        }
        out
    }

    pub(crate) fn sum(self) -> f64 {
        self.0.iter().sum()
    }
}

macro_rules! each {
    ($trait:ident, $name:ident, $sign:tt) => {
        impl<const W: usize> $trait for Abreast<W> {
            type Output = Self;

            #[inline(always)]
            fn $name(self, other: Self) -> Self {
                self.with(other, |a, b| a $sign b)
            }
        }
    };
}
each!(Add, add, +);
each!(Sub, sub, -);
each!(Mul, mul, *);

impl<const W: usize> Mul<Abreast<W>> for f64 {
    type Output = Abreast<W>;

    #[inline(always)]
    fn mul(self, all: Abreast<W>) -> Abreast<W> {
        all.map(|number| self * number)
    }
}

impl<const W: usize> AddAssign for Abreast<W> {
    #[inline(always)]
    fn add_assign(&mut self, other: Self) {
        *self = *self + other;
    }
}
