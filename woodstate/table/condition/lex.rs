//! The words of a condition, each with its place.

use crate::error::Result;
use crate::table::day::is_day;

use super::fault::Text;

/// How two things are compared.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Sign {
    Equal,
    Unequal,
    Below,
    AtMost,
    Above,
    AtLeast,
}

impl Sign {
    /// The sign where both sides change places.
    pub(super) fn turned(self) -> Self {
        match self {
            Self::Below => Self::Above,
            Self::AtMost => Self::AtLeast,
            Self::Above => Self::Below,
            Self::AtLeast => Self::AtMost,
            same => same,
        }
    }

    pub(super) fn word(self) -> &'static str {
        match self {
            Self::Equal => "==",
            Self::Unequal => "!=",
            Self::Below => "<",
            Self::AtMost => "<=",
            Self::Above => ">",
            Self::AtLeast => ">=",
        }
    }

    pub(super) fn is_order(self) -> bool {
        !matches!(self, Self::Equal | Self::Unequal)
    }
}

/// One word of a condition.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Token {
    And,
    Or,
    Not,
    In,
    Open,
    Close,
    Comma,
    Sign(Sign),
    /// A name; `true` where it stood between backquotes.
    Name(String, bool),
    /// A number, and the unit behind it as it was written, with its place.
    Number(f64, Option<(String, usize)>),
    /// A text between quotes, or a day.
    Word(String),
    End,
}

/// A word and its place: characters in front of it.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Placed {
    pub(super) token: Token,
    pub(super) at: usize,
}

const QUOTES: [char; 11] = ['\'', '"', '‘', '’', '‚', '‛', '“', '”', '„', '«', '»'];
const SIGNS: [(&str, Sign); 12] = [
    ("==", Sign::Equal),
    ("!=", Sign::Unequal),
    ("<>", Sign::Unequal),
    ("<=", Sign::AtMost),
    ("=<", Sign::AtMost),
    (">=", Sign::AtLeast),
    ("≠", Sign::Unequal),
    ("≤", Sign::AtMost),
    ("≥", Sign::AtLeast),
    ("=", Sign::Equal),
    ("<", Sign::Below),
    (">", Sign::Above),
];
/// What other languages write, and what is written here.
const FOREIGN: [(&str, &str); 5] = [("&&", "and"), ("&", "and"), ("||", "or"), ("|", "or"), ("!", "not")];

/// The words of a text; the last one is its end.
pub(super) fn words(text: &Text) -> Result<Vec<Placed>> {
    let mut lexer = Lexer { text, at: 0 };
    let mut words = Vec::new();
    loop {
        lexer.skip(char::is_whitespace);
        let at = lexer.at;
        let token = lexer.token()?;
        let is_end = token == Token::End;
        words.push(Placed { token, at });
        if is_end {
            return Ok(words);
        }
    }
}

struct Lexer<'a> {
    text: &'a Text,
    at: usize,
}

impl Lexer<'_> {
    fn peek(&self, ahead: usize) -> Option<char> {
        self.text.characters.get(self.at + ahead).copied()
    }

    fn skip(&mut self, is: impl Fn(char) -> bool) -> String {
        let start = self.at;
        while self.peek(0).is_some_and(&is) {
            self.at += 1;
        }
        self.text.characters[start..self.at].iter().collect()
    }

    fn takes(&mut self, word: &str) -> bool {
        let is_there = word.chars().enumerate().all(|(ahead, c)| self.peek(ahead) == Some(c));
        self.at += if is_there { word.chars().count() } else { 0 };
        is_there
    }

    fn token(&mut self) -> Result<Token> {
        let at = self.at;
        let Some(first) = self.peek(0) else { return Ok(Token::End) };
        let is_digit = |c: Option<char>| c.is_some_and(|c| c.is_ascii_digit());
        let is_number = is_digit(Some(first))
            || (matches!(first, '-' | '−' | '+') && (is_digit(self.peek(1)) || self.peek(1) == Some('.')))
            || (first == '.' && is_digit(self.peek(1)));
        if is_number {
            return self.number();
        }
        if let Some(found) = SIGNS.iter().find(|(word, _)| self.takes(word)) {
            return Ok(Token::Sign(found.1));
        }
        if let Some((found, ours)) = FOREIGN.iter().find(|(word, _)| self.takes(word)) {
            return Err(self.text.fault(at, format!("{found} is not known here; write the word {ours}")));
        }
        if QUOTES.contains(&first) {
            return self.quoted(first);
        }
        match first {
            '(' | '[' => self.one(Token::Open),
            ')' | ']' => self.one(Token::Close),
            ',' | ';' => self.one(Token::Comma),
            '`' => self.backquoted(),
            c if c.is_alphabetic() || c == '_' => Ok(self.name()),
            c => Err(self.text.fault(at, format!("{c} has no meaning in a condition"))),
        }
    }

    #[allow(clippy::unnecessary_wraps, reason = "OK because every arm of the match above is a result")]
    fn one(&mut self, token: Token) -> Result<Token> {
        self.at += 1;
        Ok(token)
    }

    fn name(&mut self) -> Token {
        let name = self.skip(|c| c.is_alphanumeric() || c == '_');
        match name.to_ascii_lowercase().as_str() {
            "and" => Token::And,
            "or" => Token::Or,
            "not" => Token::Not,
            "in" => Token::In,
            _ => Token::Name(name, false),
        }
    }

    fn backquoted(&mut self) -> Result<Token> {
        let start = self.at;
        self.at += 1;
        let name = self.skip(|c| c != '`');
        if !self.takes("`") {
            return Err(self.text.fault(start, "this backquote has no other at the end of the name"));
        }
        Ok(Token::Name(name, true))
    }

    /// Straight quotes end with themselves, printed ones with any printed one.
    fn quoted(&mut self, first: char) -> Result<Token> {
        let start = self.at;
        self.at += 1;
        let is_end = |c: char| if matches!(first, '\'' | '"') { c == first } else { QUOTES[2..].contains(&c) };
        let word = self.skip(|c| !is_end(c));
        if self.peek(0).is_none() {
            return Err(self.text.fault(start, "this quotation mark has no other at the end of the word"));
        }
        self.at += 1;
        Ok(Token::Word(word))
    }

    fn number(&mut self) -> Result<Token> {
        let start = self.at;
        if let Some(day) = self.day() {
            return Ok(Token::Word(day));
        }
        let sign = match self.peek(0) {
            Some('-' | '−') => "-",
            _ => "",
        };
        self.skip(|c| matches!(c, '-' | '−' | '+'));
        let mut digits = self.skip(|c| c.is_ascii_digit() || c == '.');
        if self.peek(0) == Some(',') && self.peek(1).is_some_and(|c| c.is_ascii_digit()) {
            self.at += 1;
            let rest = self.skip(|c| c.is_ascii_digit());
            let text = format!(
                "the decimal mark in conditions is the point: {sign}{digits}.{rest} (a list needs a space: {digits}, {rest})"
            );
            return Err(self.text.fault(start, text));
        }
        if matches!(self.peek(0), Some('e' | 'E')) {
            let signed = usize::from(matches!(self.peek(1), Some('-' | '+')));
            if self.peek(1 + signed).is_some_and(|c| c.is_ascii_digit()) {
                let mark: String = self.text.characters[self.at..=self.at + signed].iter().collect();
                self.at += 1 + signed;
                digits = format!("{digits}{mark}{}", self.skip(|c| c.is_ascii_digit()));
            }
        }
        let number = format!("{sign}{digits}").parse::<f64>().ok().filter(|number| number.is_finite());
        let Some(number) = number else {
            return Err(self.text.fault(start, format!("{sign}{digits} is not a number")));
        };
        Ok(Token::Number(number, self.unit()))
    }

    /// A day: year-month-day.
    fn day(&mut self) -> Option<String> {
        let text: String = self.text.characters[self.at..].iter().take(10).collect();
        let is_over = self.peek(10).is_none_or(|c| !c.is_alphanumeric());
        (is_over && is_day(&text)).then(|| {
            self.at += 10;
            text
        })
    }

    /// The unit behind a number, if a unit stands there.
    fn unit(&mut self) -> Option<(String, usize)> {
        let before = self.at;
        self.skip(char::is_whitespace);
        let at = self.at;
        let ends = |c: char| {
            c.is_whitespace()
                || matches!(c, '(' | ')' | ']' | ',' | ';' | '<' | '>' | '=' | '!' | '&' | '|' | '#' | '≤' | '≥' | '≠')
        };
        let unit = if self.peek(0) == Some('[') {
            format!("{}{}", self.skip(|c| c != ']'), self.skip(|c| c == ']'))
        } else {
            self.skip(|c| !ends(c) && !QUOTES.contains(&c) && c != '`')
        };
        if unit.is_empty() || matches!(unit.to_ascii_lowercase().as_str(), "and" | "or" | "not" | "in") {
            self.at = before;
            return None;
        }
        Some((unit, at))
    }
}
