//! Several figures drawn at once.

use crate::error::Result;
use crate::numeric::map_ordered;

use super::{Figure, Sheet};

/// A figure, drawn.
#[derive(Debug, Clone, PartialEq)]
pub struct Drawing {
    /// The figure.
    pub figure: Figure,
    /// As SVG, to stand in a page.
    pub svg: String,
    /// As PNG.
    pub png: Vec<u8>,
    /// As PDF.
    pub pdf: Vec<u8>,
}

/// Draws figures on sheets of one kind, on at most so many threads; ids of each begin with the name of its kind.
///
/// # Errors
/// As [`Figure::svg`] and [`Figure::png`].
pub fn draw_all(figures: Vec<Figure>, sheet: &Sheet, dpi: u32, threads: usize) -> Result<Vec<Drawing>> {
    let draw = |figure: Figure| {
        let sheet = sheet.clone().with_prefix(&format!("{}-", figure.name))?;
        let (svg, png, pdf) = (figure.svg(&sheet)?, figure.png(&sheet, dpi)?, figure.pdf(&sheet)?);
        Ok(Drawing { figure, svg, png, pdf })
    };
    map_ordered(threads, figures, draw)?.into_iter().collect()
}
