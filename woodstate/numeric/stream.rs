//! Streams of random numbers that are the same on every machine and in every order of rows.

use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{RngCore, SeedableRng};

use super::elementary;

/// Ends each part of a key; no UTF-8 text holds this byte.
const END: u8 = 0xff;

/// A stream of random numbers, chosen by a seed and a key.
///
/// Each row of a table has a stream of its own, keyed by its name. So a row draws the same numbers whatever rows
/// stand before it, and rows may be computed in any order or at once. Only operations that every machine rounds
/// alike are used, so that the same seed gives the same numbers to the last bit everywhere.
///
/// # Example
/// ```
/// use woodstate::numeric::Stream;
/// let mut a = Stream::keyed(1, &["DH-07", "mass_saturated"]);
/// let mut b = Stream::keyed(1, &["DH-07", "mass_saturated"]);
/// assert_eq!(a.normal(), b.normal());
/// ```
/// # Source
/// D. J. Bernstein 2008, `ChaCha`, a variant of Salsa20, with 8 rounds: the seed is the first eight bytes of the key
/// (little-endian, the rest 0), the key is the 64-bit nonce, the counter starts at 0.
#[derive(Debug, Clone)]
pub struct Stream {
    source: ChaCha8Rng,
}

impl Stream {
    /// The stream number `key` of `seed`.
    #[must_use]
    pub fn new(seed: u64, key: u64) -> Self {
        let mut bytes = [0; 32];
        for (byte, part) in bytes.iter_mut().zip(seed.to_le_bytes()) {
            *byte = part;
        }
        let mut source = ChaCha8Rng::from_seed(bytes);
        source.set_stream(key);
        Self { source }
    }

    /// The stream of `seed` that belongs to these words; see [`key_of`].
    #[must_use]
    pub fn keyed(seed: u64, parts: &[&str]) -> Self {
        Self::new(seed, key_of(parts))
    }

    /// A number between 0 and 1, never 0 and never 1.
    ///
    /// ```text
    /// (n + ½) / 2⁵²,  n = the upper 52 bits of the next 64
    /// ```
    pub fn uniform(&mut self) -> f64 {
        let one_to_two = f64::from_bits(0x3ff0_0000_0000_0000 | (self.source.next_u64() >> 12));
        (one_to_two - 1.0) + f64::EPSILON / 2.0
    }

    /// A place in a list of `count`, each equally likely; 0 for an empty list.
    ///
    /// # Source
    /// D. Lemire 2019, Fast random integer generation in an interval, ACM Transactions on Modeling and Computer
    /// Simulation 29, 3, doi:10.1145/3230636 \[memory].
    pub fn below(&mut self, count: usize) -> usize {
        let Ok(count) = u64::try_from(count) else { return 0 };
        let mut product = u128::from(self.source.next_u64()) * u128::from(count);
        // Shares of the 64 bits that would favour some places are drawn again.
        let uneven = u128::from(count.wrapping_neg().checked_rem(count).unwrap_or(0));
        while product & u128::from(u64::MAX) < uneven {
            product = u128::from(self.source.next_u64()) * u128::from(count);
        }
        usize::try_from(product >> 64).unwrap_or(0)
    }

    /// A standard normal number: the normal quantile of one [`uniform`](Self::uniform) number, at most 8.2 in size.
    pub fn normal(&mut self) -> f64 {
        elementary::normal_quantile(self.uniform())
    }

    /// A number of Student's t distribution with `nu` degrees of freedom, 0.25 ≤ ν < ∞.
    ///
    /// ```text
    /// t = a √( ν (w^(−2/ν) − 1) / w ),   w = a² + b² ≤ 1,  a and b uniform on −1 … 1
    /// ```
    /// # Source
    /// R. W. Bailey 1994, Polar generation of random variates with the t-distribution, Mathematics of Computation
    /// 62, 779-781, doi:10.1090/S0025-5718-1994-1219702-8.
    pub(super) fn student(&mut self, nu: f64) -> f64 {
        let (a, _, w) = self.disc();
        a * (nu * elementary::exp_m1(-2.0 / nu * elementary::ln(w)) / w).sqrt()
    }

    /// The cosine of a uniform angle: (a² − b²)/(a² + b²) of a point in the unit disc, so without a cosine.
    pub(super) fn cosine(&mut self) -> f64 {
        let (a, b, w) = self.disc();
        (a * a - b * b) / w
    }

    /// A point uniform in the unit disc, and the square of its distance from the centre.
    fn disc(&mut self) -> (f64, f64, f64) {
        loop {
            let a = 2.0 * self.uniform() - 1.0;
            let b = 2.0 * self.uniform() - 1.0;
            let w = a * a + b * b;
            if w <= 1.0 {
                return (a, b, w);
            }
        }
    }
}

/// A number for a list of words, the same in every build and on every machine.
///
/// FNV-1a with 64 bits over the UTF-8 bytes of each part, each part followed by the byte `ff`, so that `["ab", "c"]`
/// and `["a", "bc"]` differ.
///
/// # Example
/// ```
/// use woodstate::numeric::key_of;
/// assert_ne!(key_of(&["ab", "c"]), key_of(&["a", "bc"]));
/// ```
/// # Source
/// G. Fowler, L. C. Noll, K.-P. Vo, D. Eastlake, The FNV non-cryptographic hash algorithm, RFC 9923.
#[must_use]
pub fn key_of(parts: &[&str]) -> u64 {
    fnv(parts.iter().flat_map(|part| part.bytes().chain([END])))
}

pub(super) fn fnv(bytes: impl Iterator<Item = u8>) -> u64 {
    bytes.fold(0xcbf2_9ce4_8422_2325, |hash, byte| (hash ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3))
}
