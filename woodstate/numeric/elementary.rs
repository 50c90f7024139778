//! Elementary functions made of `+ − × ÷ √` only, which every machine rounds alike.
//!
//! The logarithm of the platform differs in its last digit between systems; a random draw built on it would differ
//! too, and with it every printed digit that hangs on a rounding. These few are slower and the same everywhere.

use std::f64::consts::LOG2_E;

/// ln 2 in two parts; a whole number below 2¹¹ times the first part is exact.
const LN_2_HIGH: f64 = f64::from_bits(0x3fe6_2e42_fee0_0000);
const LN_2_LOW: f64 = 1.908_214_929_270_587_7e-10;

const TWO_POWER_52: f64 = 4_503_599_627_370_496.0;

/// Natural logarithm of a positive finite number.
///
/// ```text
/// x = 2^k m, √½ < m ≤ √2;  ln x = k ln 2 + 2 (s + s³/3 + s⁵/5 + …),  s = (m − 1)/(m + 1)
/// ```
pub(super) fn ln(x: f64) -> f64 {
    const TERMS: [f64; 11] = [
        1.0 / 23.0,
        1.0 / 21.0,
        1.0 / 19.0,
        1.0 / 17.0,
        1.0 / 15.0,
        1.0 / 13.0,
        1.0 / 11.0,
        1.0 / 9.0,
        1.0 / 7.0,
        1.0 / 5.0,
        1.0 / 3.0,
    ];
    if x < f64::MIN_POSITIVE {
        return ln(x * 4.0 * TWO_POWER_52) - 54.0 * (LN_2_HIGH + LN_2_LOW);
    }
    let bits = x.to_bits();
    // The exponent becomes a float by standing in the last places of 2⁵².
    let mut k = f64::from_bits(0x4330_0000_0000_0000 | (bits >> 52)) - TWO_POWER_52 - 1023.0;
    let mut m = f64::from_bits((bits & 0x000f_ffff_ffff_ffff) | 0x3ff0_0000_0000_0000);
    if m > std::f64::consts::SQRT_2 {
        m *= 0.5;
        k += 1.0;
    }
    let s = (m - 1.0) / (m + 1.0);
    let square = s * s;
    k * LN_2_HIGH + (2.0 * s + (2.0 * s * square * horner(&TERMS, square) + k * LN_2_LOW))
}

/// eˣ − 1 for 0 ≤ x < 700.
pub(super) fn exp_m1(x: f64) -> f64 {
    const TERMS: [f64; 14] = [
        1.0 / 87_178_291_200.0,
        1.0 / 6_227_020_800.0,
        1.0 / 479_001_600.0,
        1.0 / 39_916_800.0,
        1.0 / 3_628_800.0,
        1.0 / 362_880.0,
        1.0 / 40_320.0,
        1.0 / 5_040.0,
        1.0 / 720.0,
        1.0 / 120.0,
        1.0 / 24.0,
        1.0 / 6.0,
        0.5,
        1.0,
    ];
    // Adding 1.5 · 2⁵² rounds to a whole number k and leaves it in the last bits.
    let shifted = x * LOG2_E + 1.5 * TWO_POWER_52;
    let k = shifted - 1.5 * TWO_POWER_52;
    let two_power_k = f64::from_bits(shifted.to_bits().wrapping_add(1023) << 52);
    let r = (x - k * LN_2_HIGH) - k * LN_2_LOW;
    two_power_k * (r * horner(&TERMS, r)) + (two_power_k - 1.0)
}

/// The number below which a standard normal value lies with probability `p`, 0 < p < 1.
///
/// # Source
/// M. J. Wichura 1988, Algorithm AS 241: The percentage points of the normal distribution, Applied Statistics 37,
/// 477-484, doi:10.2307/2347330, routine PPND16 (relative accuracy about 1 in 10¹⁶).
pub(super) fn normal_quantile(p: f64) -> f64 {
    let q = p - 0.5;
    if q.abs() <= 0.425 {
        return q * ratio(&CENTRE, 0.180_625 - q * q);
    }
    let r = (-ln(if q < 0.0 { p } else { 1.0 - p })).sqrt();
    let size = if r <= 5.0 { ratio(&TAIL, r - 1.6) } else { ratio(&FAR, r - 5.0) };
    size.copysign(q)
}

fn ratio((over, under): &([f64; 8], [f64; 8]), x: f64) -> f64 {
    horner(over, x) / horner(under, x)
}

fn horner<const N: usize>(coefficients: &[f64; N], x: f64) -> f64 {
    coefficients.iter().fold(0.0, |sum, coefficient| sum * x + coefficient)
}

/// Numerator and denominator, highest power first: |p − 1/2| ≤ 0.425.
const CENTRE: ([f64; 8], [f64; 8]) = (
    [
        2.5090809287301226727e3,
        3.3430575583588128105e4,
        6.7265770927008700853e4,
        4.5921953931549871457e4,
        1.3731693765509461125e4,
        1.9715909503065514427e3,
        1.3314166789178437745e2,
        3.387132872796366608,
    ],
    [
        5.226495278852854561e3,
        2.8729085735721942674e4,
        3.930789580009271061e4,
        2.1213794301586595867e4,
        5.3941960214247511077e3,
        6.871870074920579083e2,
        4.2313330701600911252e1,
        1.0,
    ],
);
/// Numerator and denominator, highest power first: up to 5 in √(−ln p).
const TAIL: ([f64; 8], [f64; 8]) = (
    [
        7.7454501427834140764e-4,
        2.27238449892691845833e-2,
        2.4178072517745061177e-1,
        1.27045825245236838258,
        3.64784832476320460504,
        5.7694972214606914055,
        4.6303378461565452959,
        1.42343711074968357734,
    ],
    [
        1.05075007164441684324e-9,
        5.475938084995344946e-4,
        1.51986665636164571966e-2,
        1.4810397642748007459e-1,
        6.8976733498510000455e-1,
        1.6763848301838038494,
        2.05319162663775882187,
        1.0,
    ],
);
/// Numerator and denominator, highest power first: beyond.
const FAR: ([f64; 8], [f64; 8]) = (
    [
        2.01033439929228813265e-7,
        2.71155556874348757815e-5,
        1.2426609473880784386e-3,
        2.6532189526576123093e-2,
        2.9656057182850489123e-1,
        1.7848265399172913358,
        5.4637849111641143699,
        6.6579046435011037772,
    ],
    [
        2.04426310338993978564e-15,
        1.4215117583164458887e-7,
        1.8463183175100546818e-5,
        7.868691311456132591e-4,
        1.48753612908506148525e-2,
        1.3692988092273580531e-1,
        5.9983220655588793769e-1,
        1.0,
    ],
);
