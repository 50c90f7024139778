//! A drawing in pixels and as PDF.

use std::sync::{Arc, OnceLock};

use krilla::geom::Size;
use krilla::page::PageSettings;
use krilla_svg::{SurfaceExt, SvgSettings};
use resvg::tiny_skia::{Pixmap, Transform};
use resvg::usvg::{Options, Tree, fontdb};

use crate::error::{Error, Result};

use super::font::{FAMILY, Face};

/// The fonts of woodstate alone: a drawing does not depend on the computer.
fn fonts() -> Arc<fontdb::Database> {
    static FONTS: OnceLock<Arc<fontdb::Database>> = OnceLock::new();
    let load = || {
        let mut fonts = fontdb::Database::new();
        Face::ALL.into_iter().for_each(|face| fonts.load_font_data(face.bytes().to_vec()));
        fonts.set_sans_serif_family(FAMILY);
        Arc::new(fonts)
    };
    Arc::clone(FONTS.get_or_init(load))
}

fn tree(svg: &str, dpi: f32) -> Result<Tree> {
    let options = Options { dpi, font_family: FAMILY.to_owned(), fontdb: fonts(), ..Options::default() };
    Tree::from_str(svg, &options).map_err(|error| broken("read", &error))
}

/// A drawing in pixels, as PNG.
pub(super) fn png(svg: &str, dpi: u32) -> Result<Vec<u8>> {
    #[allow(clippy::cast_precision_loss, reason = "OK because the caller allows at most 2400 dots per inch")]
    let tree = tree(svg, dpi as f32)?;
    let mut bytes = drawn(&tree)?;
    with_dots(&mut bytes, dpi);
    Ok(bytes)
}

/// A drawing in so many pixels a hundredth of a millimetre, as PNG.
pub(super) fn pixels(svg: &str, per_unit: f64) -> Result<Vec<u8>> {
    #[allow(clippy::cast_possible_truncation, reason = "OK because a picture needs no more digits")]
    let dpi = (per_unit * 2540.0) as f32;
    drawn(&tree(svg, dpi)?)
}

fn drawn(tree: &Tree) -> Result<Vec<u8>> {
    let size = tree.size().to_int_size();
    let too_large = || Error::file("figure", "draw", "it has more pixels than fit into memory; take fewer with --dpi");
    let mut pixels = Pixmap::new(size.width(), size.height()).ok_or_else(too_large)?;
    resvg::render(tree, Transform::identity(), &mut pixels.as_mut());
    pixels.encode_png().map_err(|error| broken("write", &error))
}

/// Tells how many dots an inch has, behind the header of a PNG: the chunk pHYs.
///
/// Source: W3C 2003, Portable Network Graphics (PNG) Specification (Second Edition), 11.3.5.3 \[memory].
fn with_dots(png: &mut Vec<u8>, dpi: u32) {
    const HEADER: usize = 8 + 25;
    let per_metre = (f64::from(dpi) / 0.0254).round();
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "OK because the caller allows at most 2400 dots per inch"
    )]
    let per_metre = (per_metre as u32).to_be_bytes();
    let mut chunk = b"pHYs".to_vec();
    chunk.extend(per_metre);
    chunk.extend(per_metre);
    chunk.push(1);
    let check = crc(&chunk).to_be_bytes();
    let whole: Vec<u8> = 9_u32.to_be_bytes().into_iter().chain(chunk).chain(check).collect();
    if png.len() >= HEADER {
        png.splice(HEADER..HEADER, whole);
    }
}

/// The check of a chunk.
///
/// Source: the same specification, annex D \[memory].
fn crc(bytes: &[u8]) -> u32 {
    let step = |sum: u32, byte: &u8| {
        (0..8).fold(sum ^ u32::from(*byte), |sum, _| if sum & 1 == 1 { 0xedb8_8320 ^ (sum >> 1) } else { sum >> 1 })
    };
    !bytes.iter().fold(u32::MAX, step)
}

/// A drawing as PDF, one page of its size; its title is told to the reader, no date.
pub(super) fn pdf(svg: &str, title: &str) -> Result<Vec<u8>> {
    const PER_INCH: f32 = 72.0;
    let tree = tree(svg, PER_INCH)?;
    let (width, height) = (tree.size().width(), tree.size().height());
    let page = PageSettings::from_wh(width, height).zip(Size::from_wh(width, height));
    let Some((settings, size)) = page else { return Err(Error::file("figure", "draw", "it has no size")) };
    let mut document = krilla::Document::new();
    document.set_metadata(krilla::metadata::Metadata::new().title(title.to_owned()).creator("woodstate".to_owned()));
    let mut page = document.start_page_with(settings);
    let mut surface = page.surface();
    if surface.draw_svg(&tree, size, SvgSettings::default()).is_none() {
        return Err(Error::file("figure", "draw", "it cannot be drawn as PDF"));
    }
    surface.finish();
    page.finish();
    document.finish().map_err(|error| Error::file("figure", "write", format!("{error:?}")))
}

fn broken(doing: &'static str, error: &impl std::fmt::Display) -> Error {
    Error::file("figure", doing, error)
}
