//! A column of texts in little memory.

use std::fmt;

/// Texts of a column, one a row; `None` where the cell is empty.
///
/// Few different texts are kept once each and a number a row; many are kept one behind the other.
///
/// # Example
/// ```
/// use woodstate::table::Texts;
///
/// let texts: Texts = [Some("oak"), None, Some("oak")].into_iter().collect();
/// assert_eq!((texts.len(), texts.get(0), texts.get(1)), (3, Some("oak"), None));
/// ```
#[derive(Clone, Default)]
pub struct Texts {
    /// The texts one behind the other: one a row, or one a word.
    arena: String,
    /// Where each text ends; with [`UNKNOWN`] where the row has none.
    ends: Vec<usize>,
    /// The word of each row, where rows share words.
    words: Option<Vec<u32>>,
}

/// Marks a row without text in `ends`.
const UNKNOWN: usize = 1 << (usize::BITS - 1);

/// Marks a row without text in `words`.
const NO_WORD: u32 = u32::MAX;

impl Texts {
    /// The text of a row; `None` if the cell is empty, or beyond the last row.
    #[must_use]
    pub fn get(&self, row: usize) -> Option<&str> {
        match &self.words {
            Some(words) => self.entry(usize::try_from(*words.get(row).filter(|word| **word != NO_WORD)?).ok()?),
            None => self.entry(row),
        }
    }

    /// The number of rows.
    #[must_use]
    pub fn len(&self) -> usize {
        self.words.as_ref().map_or(self.ends.len(), Vec::len)
    }

    /// Whether there are no rows.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.len() == 0
    }

    /// The texts from the first row to the last.
    pub fn iter(&self) -> impl Iterator<Item = Option<&str>> {
        (0..self.len()).map(|row| self.get(row))
    }

    fn entry(&self, at: usize) -> Option<&str> {
        let end = *self.ends.get(at)?;
        let start = at.checked_sub(1).map_or(0, |before| self.ends[before] & !UNKNOWN);
        if end & UNKNOWN == 0 { self.arena.get(start..end) } else { None }
    }

    fn store(&mut self, text: Option<&str>) {
        self.arena.push_str(text.unwrap_or_default());
        self.ends.push(self.arena.len() | if text.is_some() { 0 } else { UNKNOWN });
    }

    /// The same texts, one a row.
    fn apart(self) -> Self {
        let mut apart = Self::default();
        for text in self.iter() {
            apart.store(text);
        }
        apart
    }
}

/// Equal texts are equal, however they are kept.
impl PartialEq for Texts {
    fn eq(&self, other: &Self) -> bool {
        self.len() == other.len() && self.iter().eq(other.iter())
    }
}

impl fmt::Debug for Texts {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_list().entries(self.iter()).finish()
    }
}

impl<S: AsRef<str>> FromIterator<Option<S>> for Texts {
    fn from_iter<I: IntoIterator<Item = Option<S>>>(texts: I) -> Self {
        let mut builder = TextsBuilder::default();
        for text in texts {
            builder.push(text.as_ref().map(AsRef::as_ref));
        }
        builder.finish()
    }
}

impl From<Vec<Option<String>>> for Texts {
    fn from(texts: Vec<Option<String>>) -> Self {
        texts.into_iter().collect()
    }
}

/// Fills a [`Texts`] row by row, or part by part.
#[derive(Debug)]
pub(super) struct TextsBuilder {
    texts: Texts,
    /// Places in `texts.ends` by hash, plus one; 0 is free. Its length is a power of two, or 0.
    index: Vec<u32>,
}

impl Default for TextsBuilder {
    fn default() -> Self {
        Self { texts: Texts { words: Some(Vec::new()), ..Texts::default() }, index: Vec::new() }
    }
}

/// So few different texts are always shared.
const FEW: usize = 64;

/// Steps in the index after which words are no longer shared.
const MOST_STEPS: usize = 64;

impl TextsBuilder {
    /// Adds a row.
    pub(super) fn push(&mut self, text: Option<&str>) {
        let word = match (text, &self.texts.words) {
            (_, None) => return self.texts.store(text),
            (None, Some(_)) => Some(NO_WORD),
            (Some(text), Some(words)) => match words.last().filter(|last| **last != NO_WORD) {
                Some(last) if self.word(*last) == Some(text) => Some(*last),
                _ => self.find(text),
            },
        };
        match (word, &mut self.texts.words) {
            (Some(word), Some(words)) => words.push(word),
            _ => {
                self.part_words();
                self.texts.store(text);
            }
        }
    }

    /// Adds the rows of another column.
    pub(super) fn append(&mut self, other: &Texts) {
        let Some(added) = &other.words else {
            self.part_words();
            let base = self.texts.arena.len();
            self.texts.arena.push_str(&other.arena);
            // The mark is not touched: no text is that long.
            self.texts.ends.extend(other.ends.iter().map(|end| end + base));
            return;
        };
        let known: Option<Vec<u32>> = match self.texts.words {
            Some(_) => (0..other.ends.len()).map(|word| self.find(other.entry(word)?)).collect(),
            None => None,
        };
        match (known, &mut self.texts.words) {
            (Some(known), Some(words)) => {
                let of = |word: &u32| known.get(*word as usize).copied().unwrap_or(NO_WORD);
                words.extend(added.iter().map(of));
            }
            _ => {
                self.part_words();
                for text in other.iter() {
                    self.texts.store(text);
                }
            }
        }
    }

    /// The finished column.
    pub(super) fn finish(mut self) -> Texts {
        self.texts.arena.shrink_to_fit();
        self.texts.ends.shrink_to_fit();
        if let Some(words) = &mut self.texts.words {
            words.shrink_to_fit();
        }
        self.texts
    }

    /// Keeps one text a row from here on.
    fn part_words(&mut self) {
        if self.texts.words.is_some() {
            self.texts = std::mem::take(&mut self.texts).apart();
            self.index = Vec::new();
        }
    }

    fn word(&self, word: u32) -> Option<&str> {
        self.texts.entry(word as usize)
    }

    /// The word of a text, a new one if it has none; `None` if there are too many to be shared.
    fn find(&mut self, text: &str) -> Option<u32> {
        let n_words = self.texts.ends.len();
        if self.index.len() < 2 * (n_words + 1) {
            self.index = vec![0; (4 * (n_words + 1)).next_power_of_two().max(4 * FEW)];
            for word in 0..n_words {
                let at = self.texts.entry(word).and_then(|text| self.place(text).ok())?;
                self.index[at] = u32::try_from(word + 1).ok()?;
            }
        }
        match self.place(text) {
            Err(word) => word,
            Ok(at) => {
                let n_rows = self.texts.words.as_ref().map_or(0, Vec::len);
                if n_words >= FEW && 4 * n_words > n_rows {
                    return None;
                }
                self.texts.store(Some(text));
                let number = u32::try_from(n_words + 1).ok().filter(|number| *number != NO_WORD)?;
                self.index[at] = number;
                Some(number - 1)
            }
        }
    }

    /// The free place of a text in the index, or else its word; no word where the search takes too long.
    fn place(&self, text: &str) -> Result<usize, Option<u32>> {
        let mask = self.index.len() - 1;
        let first = hash(text.as_bytes());
        for step in 0..MOST_STEPS {
            let at = first.wrapping_add(step) & mask;
            match self.index[at].checked_sub(1) {
                None => return Ok(at),
                Some(word) if self.word(word) == Some(text) => return Err(Some(word)),
                Some(_) => {}
            }
        }
        Err(None)
    }
}

/// Mixes eight bytes at a time; the upper bits are the good ones.
fn hash(bytes: &[u8]) -> usize {
    let mix = |hash: u64, word: u64| (hash.rotate_left(5) ^ word).wrapping_mul(0x517c_c1b7_2722_0a95);
    let (words, rest) = bytes.as_chunks::<8>();
    let mut last = [0; 8];
    last[..rest.len()].copy_from_slice(rest);
    let hash = words.iter().chain([&last]).fold(bytes.len() as u64, |hash, word| mix(hash, u64::from_le_bytes(*word)));
    usize::try_from(hash >> 32).unwrap_or_default()
}
