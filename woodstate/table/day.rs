//! Days, written as ISO 8601 does.

/// Whether a text is a day written as year-month-day, without a time behind it.
pub(crate) fn is_day(text: &str) -> bool {
    let bytes = text.as_bytes();
    let number = |from: usize, to: usize| text.get(from..to).and_then(|part| part.parse::<u32>().ok());
    bytes.len() == 10
        && bytes.iter().enumerate().all(|(at, b)| if at == 4 || at == 7 { *b == b'-' } else { b.is_ascii_digit() })
        && number(5, 7).is_some_and(|month| (1..=12).contains(&month))
        && number(8, 10).is_some_and(|day| (1..=31).contains(&day))
}

/// Days from 1970-01-01 to a day written as year-month-day, with or without a time behind it.
pub(crate) fn day_of(text: &str) -> Option<f64> {
    let part = |range: std::ops::Range<usize>| text.get(range)?.parse::<i64>().ok();
    Some(day_number(part(0..4)?, part(5..7)?, part(8..10)?))
}

/// A number of days from 1970-01-01 as year-month-day.
pub(crate) fn written_day(days: f64) -> String {
    let (year, month, day) = civil(days);
    format!("{year:04}-{month:02}-{day:02}")
}

/// Days from 1970-01-01 to a date of the Gregorian calendar.
///
/// Source: E. G. Richards 2013, Calendars, in Explanatory Supplement to the Astronomical Almanac, 3rd ed., section 15.11
/// \[memory], with years that begin in March.
pub(crate) fn day_number(year: i64, month: i64, day: i64) -> f64 {
    let shifted = if month <= 2 { year - 1 } else { year };
    let month = (month + 9) % 12;
    let days = 365 * shifted + shifted.div_euclid(4) - shifted.div_euclid(100)
        + shifted.div_euclid(400)
        + (153 * month + 2) / 5
        + day
        - 1;
    // 1970-01-01 is the day 719468 of this count.
    #[allow(clippy::cast_precision_loss, reason = "OK because a date has fewer than 2^53 days")]
    let number = (days - 719_468) as f64;
    number
}

/// Year, month and day of a number of days from 1970-01-01.
pub(crate) fn civil(days: f64) -> (i64, i64, i64) {
    #[allow(clippy::cast_possible_truncation, reason = "OK because `as` saturates and dates are far from its ends")]
    let days = days.floor() as i64 + 719_468;
    let era = days.div_euclid(146_097);
    let of_era = days.rem_euclid(146_097);
    let year_of_era = (of_era - of_era / 1460 + of_era / 36_524 - of_era / 146_096) / 365;
    let of_year = of_era - (365 * year_of_era + year_of_era / 4 - year_of_era / 100);
    let shifted = (5 * of_year + 2) / 153;
    let day = of_year - (153 * shifted + 2) / 5 + 1;
    let month = if shifted < 10 { shifted + 3 } else { shifted - 9 };
    (year_of_era + era * 400 + i64::from(month <= 2), month, day)
}
