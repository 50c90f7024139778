//! The day that a build system gives, so that it can be the same at each run.

use woodstate::error::{Error, Result};

/// The day of `SOURCE_DATE_EPOCH`, seconds since 1970 in UTC; `None` where it is not set.
///
/// Source: reproducible-builds.org, specification of SOURCE_DATE_EPOCH \[memory].
pub fn of_build() -> Result<Option<String>> {
    const VARIABLE: &str = "SOURCE_DATE_EPOCH";
    let Some(text) = std::env::var_os(VARIABLE) else { return Ok(None) };
    let text = text.to_string_lossy();
    match text.parse::<i64>().ok().and_then(of_seconds) {
        Some(day) => Ok(Some(day)),
        None => {
            Err(Error::file(VARIABLE, "read", format!("\"{text}\" is not a number of seconds from 0 to 253402300799")))
        }
    }
}

/// The day of a number of seconds since 1970, up to the year 9999.
pub fn of_seconds(seconds: i64) -> Option<String> {
    if !(0..=253_402_300_799).contains(&seconds) {
        return None;
    }
    let mut days = seconds / 86_400;
    let is_leap = |year: i64| (year % 4 == 0 && year % 100 != 0) || year % 400 == 0;
    let of_year = |year| if is_leap(year) { 366 } else { 365 };
    let mut year = 1970;
    while days >= of_year(year) {
        days -= of_year(year);
        year += 1;
    }
    let february = if is_leap(year) { 29 } else { 28 };
    let mut month = 1;
    for length in [31, february, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31] {
        if days < length {
            break;
        }
        days -= length;
        month += 1;
    }
    Some(format!("{year:04}-{month:02}-{:02}", days + 1))
}

#[cfg(test)]
mod tests {
    use super::of_seconds;

    /// Source: GNU coreutils 9.1, `date --utc --date=@N +%F`.
    #[test]
    fn days_are_those_of_the_calendar() {
        let day = |seconds| of_seconds(seconds).unwrap_or_default();
        assert_eq!(day(0), "1970-01-01");
        assert_eq!(day(951_782_400), "2000-02-29");
        assert_eq!(day(1_795_737_600), "2026-11-27");
        assert_eq!(day(253_402_300_799), "9999-12-31");
        assert_eq!(of_seconds(-1), None);
    }
}
