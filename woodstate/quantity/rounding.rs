//! How a number is shown: rounded to what its uncertainty supports.

/// Digits after the decimal point that show `u` with two leading digits; negative where whole digits are rounded off.
///
/// # Example
/// ```
/// use woodstate::quantity::decimals;
/// assert_eq!((decimals(0.0996), decimals(8.06), decimals(123.0)), (2, 1, -1));
/// ```
#[must_use]
pub fn decimals(u: f64) -> i32 {
    leading(u, 1).map_or(0, |exponent| 1 - exponent)
}

/// Value ± one standard uncertainty, both rounded to the two leading digits of the uncertainty.
///
/// A value without uncertainty is shown with four significant digits and "± unknown".
///
/// # Example
/// ```
/// use woodstate::quantity::shown;
/// assert_eq!(shown(192.34, Some(8.06)), "192.3 ± 8.1");
/// assert_eq!(shown(451.7, Some(21.2)), "452 ± 21");
/// assert_eq!(shown(900.0, None), "900 ± unknown");
/// ```
///
/// # Source
/// JCGM 100:2008, 7.2.6: usually two digits of uncertainty suffice, and the estimate is rounded to agree (from memory).
#[must_use]
pub fn shown(value: f64, u: Option<f64>) -> String {
    match u {
        Some(u) if u > 0.0 && u.is_finite() => {
            let digits = decimals(u);
            format!("{} ± {}", rounded(value, digits), rounded(u, digits))
        }
        Some(u) if u <= 0.0 => format!("{} ± 0", shown_value(value)),
        _ => format!("{} ± unknown", shown_value(value)),
    }
}

/// A value alone, with four significant digits and without trailing zeros after the point.
///
/// # Example
/// ```
/// use woodstate::quantity::shown_value;
/// assert_eq!(shown_value(103.448), "103.4");
/// assert_eq!(shown_value(0.25), "0.25");
/// ```
#[must_use]
pub fn shown_value(value: f64) -> String {
    let digits = leading(value.abs(), 3).map_or(0, |exponent| 3 - exponent);
    let text = rounded(value, digits.max(0));
    if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').to_owned() } else { text }
}

/// So many of something: `1 row`, `2 rows`.
#[cfg(feature = "table")]
pub(crate) fn counted(n: usize, one: &str) -> String {
    if n == 1 { format!("1 {one}") } else { format!("{n} {one}s") }
}

/// The decimal exponent of a positive number after rounding it to `more + 1` leading digits.
fn leading(number: f64, more: usize) -> Option<i32> {
    if !(number > 0.0 && number.is_finite()) {
        return None;
    }
    format!("{number:.more$e}").split_once('e')?.1.parse().ok()
}

fn rounded(value: f64, digits: i32) -> String {
    let text = match usize::try_from(digits) {
        Ok(digits) => format!("{value:.digits$}"),
        Err(_) => {
            let step = 10_f64.powi(-digits);
            format!("{:.0}", (value / step).round() * step)
        }
    };
    let is_zero = text.chars().all(|c| matches!(c, '-' | '0' | '.'));
    if is_zero { text.trim_start_matches('-').to_owned() } else { text }
}
