//! The fonts of figures and how wide a text is in them.

use std::collections::HashMap;
use std::sync::OnceLock;

use skrifa::instance::{LocationRef, Size};
use skrifa::{FontRef, MetadataProvider};

/// A face of the fonts in `fonts/`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Face {
    Regular,
    Italic,
    Bold,
}

const REGULAR: &[u8] = include_bytes!("fonts/LiberationSans-Regular.ttf");
const ITALIC: &[u8] = include_bytes!("fonts/LiberationSans-Italic.ttf");
const BOLD: &[u8] = include_bytes!("fonts/LiberationSans-Bold.ttf");

/// The family of the fonts in `fonts/`.
pub(super) const FAMILY: &str = "Liberation Sans";

/// What stands for a character that the fonts lack.
const LACKING: char = '\u{25a1}';

impl Face {
    pub(super) const ALL: [Self; 3] = [Self::Regular, Self::Italic, Self::Bold];

    pub(super) fn bytes(self) -> &'static [u8] {
        match self {
            Self::Regular => REGULAR,
            Self::Italic => ITALIC,
            Self::Bold => BOLD,
        }
    }

    /// How wide a text is, in the unit of `size`, without kerning, which would make it narrower.
    pub(super) fn width(self, text: &str, size: f64) -> f64 {
        let advances = self.advances();
        text.chars().map(|character| advances.get(&character).copied().unwrap_or_default()).sum::<f64>() * size
    }

    /// Whether the face has a character.
    fn has(self, character: char) -> bool {
        self.advances().contains_key(&character)
    }

    /// How wide each character is, as a share of the height of an em.
    fn advances(self) -> &'static HashMap<char, f64> {
        static ADVANCES: [OnceLock<HashMap<char, f64>>; 3] = [const { OnceLock::new() }; 3];
        ADVANCES[self as usize].get_or_init(|| {
            let Ok(font) = FontRef::new(self.bytes()) else { return HashMap::new() };
            let metrics = font.glyph_metrics(Size::unscaled(), LocationRef::default());
            let per_em = f64::from(font.metrics(Size::unscaled(), LocationRef::default()).units_per_em.max(1));
            let one = |(code, glyph)| Some((char::from_u32(code)?, f64::from(metrics.advance_width(glyph)?) / per_em));
            font.charmap().mappings().filter_map(one).collect()
        })
    }
}

/// Whether the fonts of figures have a character.
///
/// # Example
/// ```
/// use woodstate::figure::font_has;
/// assert!("Ωρæ−≤±√".chars().all(font_has));
/// assert!(!font_has('木'));
/// ```
#[must_use]
pub fn font_has(character: char) -> bool {
    Face::Regular.has(character)
}

/// A text with a square for each character that the fonts lack: a single one of them would change the font of all.
pub(super) fn drawable(text: &str) -> String {
    let kept = |character: char| if Face::Regular.has(character) { character } else { LACKING };
    let plain = |character: char| if character.is_control() || character.is_whitespace() { ' ' } else { character };
    text.chars().map(plain).map(kept).collect()
}
