//! The fonts of figures and how wide a text is in them.

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
        let Ok(font) = FontRef::new(self.bytes()) else { return size * super::real(text.chars().count()) };
        let (glyphs, metrics) = (font.charmap(), font.glyph_metrics(Size::unscaled(), LocationRef::default()));
        let per_em = font.metrics(Size::unscaled(), LocationRef::default()).units_per_em;
        let advance = |character: char| glyphs.map(character).and_then(|glyph| metrics.advance_width(glyph));
        let units: f64 = text.chars().map(|character| f64::from(advance(character).unwrap_or_default())).sum();
        units / f64::from(per_em.max(1)) * size
    }

    /// Whether the face has a character.
    pub(super) fn has(self, character: char) -> bool {
        FontRef::new(self.bytes()).is_ok_and(|font| font.charmap().map(character).is_some())
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
    let Ok(font) = FontRef::new(REGULAR) else { return text.to_owned() };
    let glyphs = font.charmap();
    let kept = |character: char| if glyphs.map(character).is_some() { character } else { LACKING };
    let plain = |character: char| if character.is_control() || character.is_whitespace() { ' ' } else { character };
    text.chars().map(plain).map(kept).collect()
}
