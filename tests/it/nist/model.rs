//! The 27 models, as the headers of the files print them, on numbers that carry their derivatives along.

use std::f64::consts::PI;

use woodstate::numeric::Model;
use woodstate::quantity::{Jet, Number};

/// Most parameters of a set.
const N: usize = 9;

type J = Jet<N>;
type Curve = fn(&[f64], &[J]) -> J;

/// Names of the sets, with their models.
pub(super) const SETS: [(&str, Curve); 27] = [
    ("Bennett5", |x, b| b[0] * pow(b[1] + x[0], -b[2].inverse())),
    ("BoxBOD", rise),
    ("Chwirut1", chwirut),
    ("Chwirut2", chwirut),
    ("DanWood", |x, b| b[0] * exp(b[1] * x[0].ln())),
    ("ENSO", enso),
    ("Eckerle4", |x, b| b[0] / b[1] * exp(-square((-b[2] + x[0]) / b[1]) / 2.0)),
    ("Gauss1", gauss),
    ("Gauss2", gauss),
    ("Gauss3", gauss),
    ("Hahn1", cubics),
    ("Kirby2", |x, b| {
        let (x, xx) = (x[0], x[0] * x[0]);
        (b[0] + b[1] * x + b[2] * xx) / (b[3] * x + b[4] * xx + 1.0)
    }),
    ("Lanczos1", lanczos),
    ("Lanczos2", lanczos),
    ("Lanczos3", lanczos),
    ("MGH09", |x, b| b[0] * (b[1] * x[0] + x[0] * x[0]) / (b[2] * x[0] + b[3] + x[0] * x[0])),
    ("MGH10", |x, b| b[0] * exp(b[1] / (b[2] + x[0]))),
    ("MGH17", |x, b| b[0] + b[1] * exp(-b[3] * x[0]) + b[2] * exp(-b[4] * x[0])),
    ("Misra1a", rise),
    ("Misra1b", |x, b| b[0] * (-square((b[1] * x[0] / 2.0 + 1.0).inverse()) + 1.0)),
    ("Misra1c", |x, b| b[0] * (-(b[1] * x[0] * 2.0 + 1.0).sqrt().inverse() + 1.0)),
    ("Misra1d", |x, b| b[0] * b[1] * x[0] / (b[1] * x[0] + 1.0)),
    ("Nelson", |x, b| b[0] - b[1] * x[0] * exp(-b[2] * x[1])),
    ("Rat42", |x, b| b[0] / (exp(b[1] - b[2] * x[0]) + 1.0)),
    ("Rat43", |x, b| b[0] / pow(exp(b[1] - b[2] * x[0]) + 1.0, b[3].inverse())),
    ("Roszman1", |x, b| b[0] - b[1] * x[0] - arctan(b[2] / (-b[3] + x[0])) / PI),
    ("Thurber", cubics),
];

/// A model for the solver.
pub(super) fn model(curve: Curve) -> impl Model {
    move |x: &[f64], b: &[f64], slope: &mut [f64]| {
        let mut jets = [Jet::exact(0.0); N];
        for (k, &b) in b.iter().enumerate() {
            jets[k] = Jet::cause(b, k);
        }
        let value = curve(x, &jets);
        slope.copy_from_slice(&value.slope[..b.len()]);
        value.value
    }
}

/// The same model, value alone.
pub(super) fn value(curve: Curve) -> impl Fn(&[f64], &[f64]) -> f64 + Sync {
    move |x: &[f64], b: &[f64]| {
        let mut jets = [Jet::exact(0.0); N];
        for (jet, &b) in jets.iter_mut().zip(b) {
            *jet = Jet::exact(b);
        }
        curve(x, &jets).value
    }
}

fn rise(x: &[f64], b: &[J]) -> J {
    b[0] * (-exp(-b[1] * x[0]) + 1.0)
}

fn chwirut(x: &[f64], b: &[J]) -> J {
    exp(-b[0] * x[0]) / (b[1] + b[2] * x[0])
}

fn enso(x: &[f64], b: &[J]) -> J {
    let year = 2.0 * PI * x[0] / 12.0;
    let wave = |period: J, cosine: J, sine: J| {
        let angle = period.inverse() * (2.0 * PI * x[0]);
        cosine * cos(angle) + sine * sin(angle)
    };
    b[0] + b[1] * year.cos() + b[2] * year.sin() + wave(b[3], b[4], b[5]) + wave(b[6], b[7], b[8])
}

fn gauss(x: &[f64], b: &[J]) -> J {
    let peak = |height: J, at: J, width: J| height * exp(-square((-at + x[0]) / width));
    b[0] * exp(-b[1] * x[0]) + peak(b[2], b[3], b[4]) + peak(b[5], b[6], b[7])
}

fn cubics(x: &[f64], b: &[J]) -> J {
    let (x, xx, xxx) = (x[0], x[0] * x[0], x[0] * x[0] * x[0]);
    (b[0] + b[1] * x + b[2] * xx + b[3] * xxx) / (b[4] * x + b[5] * xx + b[6] * xxx + 1.0)
}

fn lanczos(x: &[f64], b: &[J]) -> J {
    b[0] * exp(-b[1] * x[0]) + b[2] * exp(-b[3] * x[0]) + b[4] * exp(-b[5] * x[0])
}

fn apply(a: J, value: f64, slope: f64) -> J {
    Jet { value, slope: a.slope.map(|part| part * slope) }
}

fn exp(a: J) -> J {
    apply(a, a.value.exp(), a.value.exp())
}

fn ln(a: J) -> J {
    apply(a, a.value.ln(), 1.0 / a.value)
}

fn pow(a: J, b: J) -> J {
    exp(b * ln(a))
}

fn square(a: J) -> J {
    a * a
}

fn cos(a: J) -> J {
    apply(a, a.value.cos(), -a.value.sin())
}

fn sin(a: J) -> J {
    apply(a, a.value.sin(), a.value.cos())
}

fn arctan(a: J) -> J {
    apply(a, a.value.atan(), 1.0 / (1.0 + a.value * a.value))
}
