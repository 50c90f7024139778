//! The degradation class of a piece: the band of a scheme in which its value lies, with a probability.

use std::borrow::Cow;
use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::Serialize;

use crate::error::{Error, ErrorKind, Result};
use crate::numeric::{Sample, between, normal_interval_probability, normal_tails, student_cdf};
use crate::reference::{Boundary, ClassBand, Scheme};

/// A class reading.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct ClassReading {
    /// Short name of the scheme.
    pub scheme: String,
    /// Label of the class in which the value lies; `None` where no class is read.
    pub most_likely: Option<String>,
    /// Whether its probability reaches the stated one.
    pub decided: bool,
    /// Probability of each class; `None` where it is unknown.
    pub probability: Option<BTreeMap<String, f64>>,
    /// Why there is no class or no decision, in words; `None` where it is decided.
    pub reason: Option<String>,
}

/// What is known of the error of a value.
#[derive(Debug, Clone, Copy)]
pub enum Doubt<'a> {
    /// Nothing.
    Unknown,
    /// Normal, with this standard uncertainty.
    Normal(f64),
    /// Student, with this scale and these degrees of freedom: the scatter of few cores.
    Student(f64, f64),
    /// Random draws.
    Drawn(&'a Sample),
}

impl ClassReading {
    /// No class, for a stated reason.
    #[must_use]
    pub fn none(scheme: &Scheme, reason: impl Into<String>) -> Self {
        let reason = Some(reason.into());
        Self { scheme: scheme.id.clone(), most_likely: None, decided: false, probability: None, reason }
    }

    /// The class of a value.
    ///
    /// ```text
    /// P(class) = P(from <= X < to),   decided if the largest P >= decided_at
    /// ```
    ///
    /// * `value`: in the unit of the scheme's quantity
    /// * `doubt`: what is known of its error. With [`Doubt::Unknown`] the class is given and not decided.
    /// * `boundary`: the class that owns a value exactly on a boundary
    /// * `decided_at`: least probability of a decision, 0 to 1
    ///
    /// The probability says how sure the class is *given the uncertainty stated*; it says nothing of the rest of the
    /// timber. The class named is the most probable one; without a probability, the one in which the value lies.
    ///
    /// # Errors
    /// An uncertainty that is not a number.
    ///
    /// # Example
    /// ```
    /// use woodstate::reference::{Boundary, Reference};
    /// use woodstate::state::{ClassReading, Doubt};
    /// let scheme = Reference::shipped().unwrap().scheme("oak-water-content").unwrap();
    /// let class = ClassReading::of(scheme, 452.0, Doubt::Normal(21.0), Boundary::Worse, 0.8).unwrap();
    /// assert_eq!(class.most_likely.as_deref(), Some("I"));
    /// assert!(class.decided);
    /// let near = ClassReading::of(scheme, 391.0, Doubt::Normal(18.0), Boundary::Worse, 0.8).unwrap();
    /// assert!(!near.decided);
    /// assert!((near.probability.unwrap()["I"] - 0.3085).abs() < 5e-4);
    /// ```
    pub fn of(scheme: &Scheme, value: f64, doubt: Doubt<'_>, boundary: Boundary, decided_at: f64) -> Result<Self> {
        Ok(Self::named(scheme, &Judged::of(scheme, value, doubt, boundary, decided_at)?))
    }

    fn named(scheme: &Scheme, judged: &Judged) -> Self {
        let labels = scheme.classes.iter().map(|class| class.label.clone());
        let shares = labels.zip(judged.shares.iter().copied()).collect();
        Self {
            scheme: scheme.id.clone(),
            most_likely: judged
                .most_likely
                .and_then(|place| scheme.classes.get(place))
                .map(|class| class.label.clone()),
            decided: judged.decided,
            probability: (!judged.shares.is_empty()).then_some(shares),
            reason: judged.reason.as_deref().map(str::to_owned),
        }
    }
}

/// Probability of each class of a scheme for many values with normal errors.
///
/// * `values`: in the unit of the scheme's quantity; `u`: their standard uncertainties, as many
///
/// Returns one column a class, in the order of the scheme; not a number where a value or its uncertainty is none.
///
/// # Errors
/// Columns of different length, or a negative uncertainty.
///
/// # Example
/// ```
/// use woodstate::reference::Reference;
/// use woodstate::state::class_probabilities;
/// let scheme = Reference::shipped()?.scheme("oak-water-content")?;
/// let shares = class_probabilities(scheme, &[391.0, 150.0], &[18.0, 2.0])?;
/// assert!((shares[0][0] - 0.3085).abs() < 5e-4);
/// assert!(shares[2][1] > 0.999);
/// # Ok::<(), woodstate::error::Error>(())
/// ```
pub fn class_probabilities(scheme: &Scheme, values: &[f64], u: &[f64]) -> Result<Vec<Vec<f64>>> {
    if values.len() != u.len() {
        let kind =
            ErrorKind::Shape { what: "a column of standard uncertainties", found: u.len(), expected: values.len() };
        return Err(Error::new(kind));
    }
    if let Some(value) = u.iter().copied().find(|u| *u < 0.0) {
        let name = "standard uncertainty".to_owned();
        return Err(Error::new(ErrorKind::Range { name, value, allowed: "a number of 0 or more".to_owned() }));
    }
    let ends = |class: &ClassBand| [class.from.unwrap_or(f64::NEG_INFINITY), class.to.unwrap_or(f64::INFINITY)];
    let mut limits: Vec<f64> = scheme.classes.iter().flat_map(ends).collect();
    limits.sort_by(f64::total_cmp);
    limits.dedup();
    let place = |end: f64| limits.partition_point(|limit| *limit < end);
    let bands: Vec<[usize; 2]> = scheme.classes.iter().map(|class| ends(class).map(place)).collect();
    let mut shares = vec![Vec::with_capacity(values.len()); bands.len()];
    let mut tails = vec![[0.0; 2]; limits.len()];
    for (value, u) in values.iter().zip(u) {
        for (tails, limit) in tails.iter_mut().zip(&limits) {
            // A value without doubt that lies on a limit is in the band that begins there.
            *tails = match *limit {
                f64::NEG_INFINITY => [0.0, 1.0],
                f64::INFINITY => [1.0, 0.0],
                _ if *u <= 0.0 && limit <= value => [0.0, 1.0],
                _ => normal_tails((limit - value) / u),
            };
        }
        let is_known = value.is_finite() && u.is_finite();
        for (shares, [low, high]) in shares.iter_mut().zip(&bands) {
            shares.push(if is_known { between(tails[*low], tails[*high]) } else { f64::NAN });
        }
    }
    Ok(shares)
}

/// A class by its place in the scheme.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Judged {
    pub(super) most_likely: Option<usize>,
    pub(super) decided: bool,
    /// Probability of each class; empty where unknown.
    pub(super) shares: Vec<f64>,
    pub(super) reason: Option<Cow<'static, str>>,
}

impl Judged {
    pub(super) fn none(reason: impl Into<Cow<'static, str>>) -> Self {
        Self { most_likely: None, decided: false, shares: Vec::new(), reason: Some(reason.into()) }
    }

    pub(super) fn of(
        scheme: &Scheme,
        value: f64,
        doubt: Doubt<'_>,
        boundary: Boundary,
        decided_at: f64,
    ) -> Result<Self> {
        let Some(place) = scheme.class_of(value, boundary) else {
            return Ok(Self::none(format!("{} is unknown", scheme.quantity)));
        };
        if matches!(doubt, Doubt::Unknown) {
            let reason = "the uncertainty is unknown, so the probability is unknown too";
            return Ok(Self { most_likely: Some(place), ..Self::none(reason) });
        }
        let mut shares = Vec::with_capacity(scheme.classes.len());
        let mut best = (0.0, place);
        for (at, class) in scheme.classes.iter().enumerate() {
            let (low, high) = (class.from.unwrap_or(f64::NEG_INFINITY), class.to.unwrap_or(f64::INFINITY));
            let share = share(low, high, value, doubt, at == place)?;
            if share > best.0 {
                best = (share, at);
            }
            shares.push(share);
        }
        let decided = best.0 >= decided_at;
        let reason = (!decided).then(|| format!("no class reaches a probability of {decided_at}").into());
        Ok(Self { most_likely: Some(best.1), decided, shares, reason })
    }
}

fn share(low: f64, high: f64, value: f64, doubt: Doubt<'_>, holds_value: bool) -> Result<f64> {
    let certain = if holds_value { 1.0 } else { 0.0 };
    match doubt {
        Doubt::Drawn(sample) => Ok(sample.share_between(low, high)),
        Doubt::Normal(0.0) | Doubt::Student(0.0, _) | Doubt::Unknown => Ok(certain),
        Doubt::Normal(u) => normal_interval_probability(low, high, value, u),
        Doubt::Student(scale, nu) if scale > 0.0 => {
            let below = |end: f64| match end {
                f64::INFINITY => Ok(1.0),
                f64::NEG_INFINITY => Ok(0.0),
                end => student_cdf((end - value) / scale, nu),
            };
            Ok(below(high)? - below(low)?)
        }
        Doubt::Student(scale, _) => {
            let name = "scale of a class probability".to_owned();
            Err(Error::new(ErrorKind::Range { name, value: scale, allowed: "a number of 0 or more".to_owned() }))
        }
    }
}
