//! Colours, shapes and dashes, in a fixed order: a series is told by two of them, never by colour alone.
//!
//! Source of the colours of series: M. Okabe, K. Ito 2008, Color Universal Design; of the scale from dark to light: viridis
//! of N. Smith and S. van der Walt 2015 (CC0), every eighth of its table. Both are copied from the tables of matplotlib. The
//! scale of correlations joins the first two colours of the series over near-white.

use super::layer::{Paint, Stamp};

/// Red, green, blue.
pub(super) type Rgb = [u8; 3];

/// The shape of a point.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Shape {
    Circle,
    Square,
    Triangle,
    Diamond,
    Nabla,
    Cross,
    Plus,
}

const SERIES: [Rgb; 7] = [
    [0x00, 0x72, 0xb2],
    [0xd5, 0x5e, 0x00],
    [0x00, 0x9e, 0x73],
    [0xe6, 0x9f, 0x00],
    [0xcc, 0x79, 0xa7],
    [0x56, 0xb4, 0xe9],
    [0x00, 0x00, 0x00],
];

const SHAPES: [Shape; 7] =
    [Shape::Circle, Shape::Square, Shape::Triangle, Shape::Diamond, Shape::Nabla, Shape::Cross, Shape::Plus];

/// Dashes and gaps, as multiples of the width of the line.
const DASHES: [&[f64]; 5] = [&[], &[5.0, 2.0], &[1.2, 1.8], &[7.0, 2.0, 1.2, 2.0], &[9.0, 2.0, 1.2, 2.0, 1.2, 2.0]];

const RAMP: [Rgb; 9] = [
    [0x44, 0x01, 0x54],
    [0x47, 0x2d, 0x7b],
    [0x3b, 0x52, 0x8b],
    [0x2c, 0x72, 0x8e],
    [0x21, 0x91, 0x8c],
    [0x28, 0xae, 0x80],
    [0x5e, 0xc9, 0x62],
    [0xad, 0xdc, 0x30],
    [0xfd, 0xe7, 0x25],
];

/// The ends of the scale of correlations, and its middle.
const DIVERGING: [Rgb; 3] = [[0xd5, 0x5e, 0x00], [0xf7, 0xf5, 0xf2], [0x00, 0x72, 0xb2]];

pub(super) const INK: Rgb = [0x1a, 0x1a, 0x1a];
pub(super) const QUIET: Rgb = [0x59, 0x59, 0x59];
const PALE_GREY: Rgb = [0xd9, 0xd9, 0xd9];
const MIST: Rgb = [0xf0, 0xf0, 0xf0];
pub(super) const WHITE: Rgb = [0xff, 0xff, 0xff];

impl Stamp {
    pub(super) fn rgb(self) -> Rgb {
        match self {
            Self::Series(n) => SERIES[n % SERIES.len()],
            Self::Quiet => QUIET,
            Self::Others => [0x99, 0x99, 0x99],
        }
    }

    /// The shape moves on by one after each round of colours, so that no two series of the first 49 look alike.
    pub(super) fn shape(self) -> Shape {
        match self {
            Self::Series(n) => SHAPES[(n + n / SERIES.len()) % SHAPES.len()],
            Self::Quiet | Self::Others => Shape::Circle,
        }
    }

    pub(super) fn is_open(self) -> bool {
        self == Self::Others
    }

    pub(super) fn dash(self) -> &'static [f64] {
        match self {
            Self::Series(n) => DASHES[(n + n / SERIES.len()) % DASHES.len()],
            Self::Quiet => &[],
            Self::Others => DASHES[2],
        }
    }
}

impl Paint {
    pub(super) fn rgb(self) -> Rgb {
        match self {
            Self::Pale(n) => mixed(Stamp::Series(n).rgb(), WHITE, 0.72),
            Self::PaleGrey => PALE_GREY,
            Self::Mist => MIST,
            Self::Ramp(place) => between(&RAMP, place),
            Self::Diverging(place) => between(&DIVERGING, f64::midpoint(place, 1.0)),
            Self::Hatched | Self::Dotted | Self::Empty => WHITE,
        }
    }

    /// Black or white, whichever stands out.
    pub(super) fn ink(self) -> Rgb {
        if luminance(self.rgb()) > 0.3 { INK } else { WHITE }
    }
}

/// How light a colour looks, 0 to 1.
///
/// Source: Web Content Accessibility Guidelines 2.1, relative luminance \[memory].
pub(super) fn luminance(rgb: Rgb) -> f64 {
    let linear = |channel: u8| {
        let share = f64::from(channel) / 255.0;
        if share <= 0.040_45 { share / 12.92 } else { ((share + 0.055) / 1.055).powf(2.4) }
    };
    let [r, g, b] = rgb.map(linear);
    0.2126 * r + 0.7152 * g + 0.0722 * b
}

fn between(scale: &[Rgb], place: f64) -> Rgb {
    let last = scale.len() - 1;
    let at = place.clamp(0.0, 1.0) * super::real(last);
    let low = super::whole(at).min(last - 1);
    mixed(scale[low], scale[low + 1], at - super::real(low))
}

#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "OK because a mean of two channels lies between 0 and 255"
)]
fn mixed(a: Rgb, b: Rgb, share: f64) -> Rgb {
    std::array::from_fn(|k| (f64::from(a[k]) + share * (f64::from(b[k]) - f64::from(a[k]))).round() as u8)
}
