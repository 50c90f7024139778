//! Numbers written as text, and what their decimal mark gives away.
//!
//! One grammar for every file: an optional sign (`+`, `-`, U+2212), digits, at most one decimal mark, an optional
//! exponent. Groups of three digits may be set apart by no-break or thin spaces. A leading `<` makes a value below a
//! limit. Per-cent signs, units, NaN and infinity are no part of a number.

/// The mark between units and tenths.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Decimal {
    /// `12.5`
    Point,
    /// `12,5`
    Comma,
}

impl Decimal {
    /// The mark itself.
    #[must_use]
    pub fn mark(self) -> char {
        match self {
            Self::Point => '.',
            Self::Comma => ',',
        }
    }
}

/// What a text says as a number.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum NumberText {
    /// A finite number.
    Value(f64),
    /// Less than this number, as in `<0.1`: below the limit of a measurement.
    BelowLimit(f64),
    /// Not a number in this grammar.
    Unreadable,
}

/// Reads a number with the declared decimal mark.
///
/// # Example
/// ```
/// use woodstate::table::{Decimal, NumberText, parse_number};
///
/// assert_eq!(parse_number("12.50", Decimal::Point), NumberText::Value(12.5));
/// assert_eq!(parse_number("\u{2212}1\u{202f}234,5", Decimal::Comma), NumberText::Value(-1234.5));
/// assert_eq!(parse_number("< 0.1", Decimal::Point), NumberText::BelowLimit(0.1));
/// assert_eq!(parse_number("1,5", Decimal::Point), NumberText::Unreadable);
/// assert_eq!(parse_number("12 %", Decimal::Point), NumberText::Unreadable);
/// ```
#[must_use]
pub fn parse_number(text: &str, decimal: Decimal) -> NumberText {
    if let Some(value) = short(text.as_bytes(), decimal.mark()) {
        return NumberText::Value(value);
    }
    let text = text.trim();
    if let Some(value) = plain(text, decimal) {
        return NumberText::Value(value);
    }
    match text.strip_prefix('<') {
        Some(limit) => spelled(limit.trim_start(), decimal).map_or(NumberText::Unreadable, NumberText::BelowLimit),
        None => spelled(text, decimal).map_or(NumberText::Unreadable, NumberText::Value),
    }
}

/// The most usual case, at most 15 digits with at most one mark: whole digits and the power of ten are exact, and so
/// their quotient is the nearest number, as it is in the whole grammar.
fn short(text: &[u8], mark: char) -> Option<f64> {
    const TENS: [f64; 16] = [1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15];
    let (digits, is_negative) = match text.split_first()? {
        (b'-', digits) => (digits, true),
        _ => (text, false),
    };
    if digits.len() > 16 {
        return None;
    }
    let (mut whole, mut n_digits, mut tenths_from) = (0_u64, 0, None);
    for byte in digits {
        match byte.wrapping_sub(b'0') {
            digit @ 0..=9 => {
                whole = 10 * whole + u64::from(digit);
                n_digits += 1;
            }
            _ if char::from(*byte) == mark && tenths_from.is_none() => tenths_from = Some(n_digits),
            _ => return None,
        }
    }
    if !(1..=15).contains(&n_digits) {
        return None;
    }
    #[allow(clippy::cast_precision_loss, reason = "OK because 15 digits are less than 2^53")]
    let value = whole as f64 / TENS[n_digits - tenths_from.unwrap_or(n_digits)];
    Some(if is_negative { -value } else { value })
}

/// What a plain number says, at most one mark among digits; `None` for every other text.
fn short_testimony(text: &[u8]) -> Option<Option<Testimony>> {
    let digits = text.strip_prefix(b"-").unwrap_or(text);
    let (mut mark, mut n_digits) = (None, 0);
    for (at, byte) in digits.iter().enumerate() {
        match byte {
            b'0'..=b'9' => n_digits += 1,
            b'.' | b',' if mark.is_none() => mark = Some((*byte, at)),
            _ => return None,
        }
    }
    let Some((mark, at)) = mark else { return Some(None) };
    // More digits could be too large to be a number.
    if !(1..=300).contains(&n_digits) {
        return None;
    }
    let is_grouped = (1..=3).contains(&at) && digits.len() == at + 4 && &digits[..at] != b"0";
    let decimal = if mark == b'.' { Decimal::Point } else { Decimal::Comma };
    Some(Some(if is_grouped { Testimony::TwoWays } else { Testimony::Shows(decimal) }))
}

/// The usual case without an allocation: short ASCII without groups of thousands.
fn plain(text: &str, decimal: Decimal) -> Option<f64> {
    let mut buffer = [0_u8; 32];
    let buffer = buffer.get_mut(..text.len())?;
    for (to, from) in buffer.iter_mut().zip(text.bytes()) {
        *to = match from {
            b'0'..=b'9' | b'+' | b'-' | b'e' | b'E' => from,
            mark if char::from(mark) == decimal.mark() => b'.',
            _ => return None,
        };
    }
    finite(std::str::from_utf8(buffer).ok()?)
}

/// The whole grammar.
fn spelled(text: &str, decimal: Decimal) -> Option<f64> {
    let text = without_groups(text, decimal)?;
    let plain: Option<String> = text
        .chars()
        .map(|c| match c {
            '0'..='9' | '+' | '-' | 'e' | 'E' => Some(c),
            MINUS => Some('-'),
            _ => (c == decimal.mark()).then_some('.'),
        })
        .collect();
    finite(&plain?)
}

/// Only digits, signs, a point and an exponent reach this, so that no word such as `inf` is taken.
fn finite(plain: &str) -> Option<f64> {
    plain.parse().ok().filter(|value: &f64| value.is_finite())
}

const MINUS: char = '\u{2212}';

/// No-break space, figure space, thin space, narrow no-break space.
fn is_group_space(c: char) -> bool {
    matches!(c, '\u{a0}' | '\u{2007}' | '\u{2009}' | '\u{202f}')
}

/// Takes out the spaces between groups of three digits; `None` if they stand elsewhere.
fn without_groups(text: &str, decimal: Decimal) -> Option<String> {
    let whole_end = text.find(|c: char| c == decimal.mark() || matches!(c, 'e' | 'E')).unwrap_or(text.len());
    let (whole, rest) = text.split_at(whole_end);
    if rest.contains(is_group_space) {
        return None;
    }
    if !whole.contains(is_group_space) {
        return Some(text.to_owned());
    }
    let digits = whole.trim_start_matches(['+', '-', MINUS]);
    let mut groups = digits.split(is_group_space);
    let first_fits = groups.next().is_some_and(|first| matches!(first.len(), 1..=3));
    let others_fit = groups.all(|group| group.len() == 3 && group.bytes().all(|b| b.is_ascii_digit()));
    (first_fits && others_fit).then(|| text.chars().filter(|c| !is_group_space(*c)).collect())
}

/// What the numbers of a file say about its decimal mark, cell by cell.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct DecimalEvidence {
    /// Cells that are numbers with a decimal point only, such as `12.5` or `1,234.5`.
    pub point: usize,
    /// Cells that are numbers with a decimal comma only, such as `12,5` or `1.234,5`.
    pub comma: usize,
    /// Cells that may have groups of thousands, such as `1.234` or `1,234`.
    pub ambiguous: usize,
}

/// What follows from a [`DecimalEvidence`].
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DecimalVerdict {
    /// Some cells show this mark and none shows the other.
    Shown(Decimal),
    /// No cell has a mark: either reading gives the same numbers.
    Unneeded,
    /// The only cells with a mark can be read in two ways; the person must say which.
    Ambiguous,
    /// Some cells show a point and some a comma; the person must say which.
    Conflict,
}

impl DecimalEvidence {
    /// The evidence of many texts.
    ///
    /// # Example
    /// ```
    /// use woodstate::table::{Decimal, DecimalEvidence, DecimalVerdict};
    ///
    /// assert_eq!(DecimalEvidence::of(["12,5", "7", "oak"]).verdict(), DecimalVerdict::Shown(Decimal::Comma));
    /// assert_eq!(DecimalEvidence::of(["1.234", "7"]).verdict(), DecimalVerdict::Ambiguous);
    /// assert_eq!(DecimalEvidence::of(["1.25", "1,25"]).verdict(), DecimalVerdict::Conflict);
    /// ```
    #[must_use]
    pub fn of<'a>(texts: impl IntoIterator<Item = &'a str>) -> Self {
        let mut evidence = Self::default();
        for text in texts {
            evidence.look(text);
        }
        evidence
    }

    /// Takes one more text into account; one that is not a number says nothing.
    pub fn look(&mut self, text: &str) {
        match short_testimony(text.as_bytes()).unwrap_or_else(|| testimony(text)) {
            Some(Testimony::Shows(Decimal::Point)) => self.point += 1,
            Some(Testimony::Shows(Decimal::Comma)) => self.comma += 1,
            Some(Testimony::TwoWays) => self.ambiguous += 1,
            None => {}
        }
    }

    /// Takes what other cells of the same file say into account.
    pub(super) fn add(&mut self, other: Self) {
        self.point += other.point;
        self.comma += other.comma;
        self.ambiguous += other.ambiguous;
    }

    /// What follows.
    #[must_use]
    pub fn verdict(&self) -> DecimalVerdict {
        match (self.point, self.comma, self.ambiguous) {
            (0, 0, 0) => DecimalVerdict::Unneeded,
            (0, 0, _) => DecimalVerdict::Ambiguous,
            (_, 0, _) => DecimalVerdict::Shown(Decimal::Point),
            (0, _, _) => DecimalVerdict::Shown(Decimal::Comma),
            _ => DecimalVerdict::Conflict,
        }
    }
}

enum Testimony {
    Shows(Decimal),
    TwoWays,
}

/// What one text says; `None` for a word and for a number without a mark.
fn testimony(text: &str) -> Option<Testimony> {
    let text = text.trim();
    let text = text.strip_prefix('<').map_or(text, str::trim_start).trim_start_matches(['+', '-', MINUS]);
    let first = text.bytes().next()?;
    let last_mark = text.rfind(['.', ','])?;
    if !(first.is_ascii_digit() || matches!(first, b'.' | b',')) {
        return None;
    }
    let decimal = if text.as_bytes()[last_mark] == b'.' { Decimal::Point } else { Decimal::Comma };
    if is_grouped(text, &['.']) || is_grouped(text, &[',']) {
        return Some(Testimony::TwoWays);
    }
    let (whole, rest) = text.split_at(last_mark);
    let other = if decimal == Decimal::Point { ',' } else { '.' };
    let readable = match whole.contains(other) {
        true => is_grouped(whole, &[other]) && parse_number(&format!("0{rest}"), decimal) != NumberText::Unreadable,
        false => parse_number(text, decimal) != NumberText::Unreadable,
    };
    readable.then_some(Testimony::Shows(decimal))
}

/// Whether a text is `1.234` or `1.234.567`: groups of three digits, the first of one to three and not 0.
fn is_grouped(text: &str, mark: &[char]) -> bool {
    let mut groups = text.split(mark);
    let is_digits = |group: &str| group.bytes().all(|b| b.is_ascii_digit());
    let first_fits =
        groups.next().is_some_and(|first| matches!(first.len(), 1..=3) && is_digits(first) && first != "0");
    let mut groups = groups.peekable();
    first_fits && groups.peek().is_some() && groups.all(|group| group.len() == 3 && is_digits(group))
}
