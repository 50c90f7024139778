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
