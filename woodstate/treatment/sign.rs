//! Signs in a log that something goes wrong, as plain numbers.

use super::check;
use crate::error::Result;

/// One week, d.
const WEEK: f64 = 7.0;

/// How far the last weighings of a timber lag behind their forecast, in standard deviations of their mean; 0 where one does not lag.
///
/// ```text
/// z = (mean of forecast − mass)/(s/√n)
/// ```
///
/// * `lags`: forecast less mass, kg, of the last weighings; the forecast is that of earlier weighings alone
/// * `scatter`: s, standard deviation of the earlier weighings about their fit, kg
///
/// # Errors
/// No weighing, a scatter that is not above 0.
///
/// # Example
/// ```
/// let z = woodstate::treatment::lag(&[0.3, 0.4, 0.5], 0.1)?;
/// assert!((z - 0.4 / (0.1 / 3.0_f64.sqrt())).abs() < 1e-12);
/// assert_eq!(woodstate::treatment::lag(&[0.3, -0.01, 0.5], 0.1)?, 0.0);
/// # Ok::<(), woodstate::error::Error>(())
/// ```
///
/// # Source
/// Ours, a proposal.
pub fn lag(lags: &[f64], scatter: f64) -> Result<f64> {
    if lags.is_empty() {
        return Err(check::range("number of weighings", 0.0, "at least 1"));
    }
    check::positive("scatter", scatter)?;
    if lags.iter().any(|lag| *lag <= 0.0) {
        return Ok(0.0);
    }
    let n = check::real(lags.len());
    Ok(lags.iter().sum::<f64>() / n / (scatter / n.sqrt()))
}

/// What a bath lost of its volume, % a week.
///
/// ```text
/// 100 (V₁ − V₂)/V₁ 7/t
/// ```
///
/// * `volumes`: V₁, V₂, any unit; `days`: t, d
///
/// # Errors
/// A volume or time that is not above 0.
///
/// # Example
/// ```
/// assert!((woodstate::treatment::loss_a_week([800.0, 760.0], 14.0)? - 2.5).abs() < 1e-12);
/// # Ok::<(), woodstate::error::Error>(())
/// ```
///
/// # Source
/// Definition.
pub fn loss_a_week([before, after]: [f64; 2], days: f64) -> Result<f64> {
    for (name, value) in [("volume of a bath", before), ("volume of a bath", after), ("days", days)] {
        check::positive(name, value)?;
    }
    Ok(100.0 * (before - after) / before * WEEK / days)
}

/// Change of a reading a week.
///
/// # Errors
/// A time that is not above 0 d.
///
/// # Example
/// ```
/// assert!((woodstate::treatment::change_a_week([7.2, 6.4], 14.0)? + 0.4).abs() < 1e-12);
/// # Ok::<(), woodstate::error::Error>(())
/// ```
///
/// # Source
/// Definition.
pub fn change_a_week([before, after]: [f64; 2], days: f64) -> Result<f64> {
    check::positive("days", days)?;
    Ok((after - before) * WEEK / days)
}
