//! Which character stands between the cells.

use crate::error::{Error, Result};

use super::split::{Splitter, Torn};
use super::{of_file, torn_quote};

const CANDIDATES: [u8; 4] = [b';', b',', b'\t', b'|'];

/// How a candidate cuts the first lines: whether the first line has the usual number of cells, how many lines have
/// it, and that number.
type Fit = (bool, usize, usize);

/// The one delimiter that cuts the lines most evenly; `None` if no candidate cuts any line.
pub(super) fn sniff(text: &str, file: &str) -> Result<Option<char>> {
    let fits = CANDIDATES.map(|candidate| (fit(text, candidate), candidate));
    let viable = fits.iter().filter_map(|(fit, candidate)| fit.ok().flatten().map(|fit| (fit, *candidate)));
    let Some((best, delimiter)) = viable.clone().max() else {
        let torn = fits.iter().find_map(|(fit, _)| fit.err());
        return torn.map_or(Ok(None), |torn| Err(torn_quote(torn, file)));
    };
    let n_equal = viable.filter(|(fit, _)| (fit.0, fit.1) == (best.0, best.1)).count();
    // A first line that is not cut may be a title above a table, or the header of one column of decimal commas.
    if n_equal == 1 && (best.0 || best.2 > 2) {
        return Ok(Some(char::from(delimiter)));
    }
    let text = "the delimiter cannot be told: ; , tab and | fit equally well or badly";
    Err(Error::content(of_file(file), text).with_hint("name it, as in --delimiter \";\""))
}

/// How a candidate cuts the first 200 lines; `None` if most of them stay in one piece.
fn fit(text: &str, candidate: u8) -> std::result::Result<Option<Fit>, Torn> {
    let mut splitter = Splitter::new(text, candidate);
    let mut widths = Vec::new();
    while widths.len() < 200 {
        let (mut width, mut length) = (0, 0);
        let record = splitter.record(|cell| {
            width += 1;
            length += cell.trim().len();
            Ok::<(), Torn>(())
        });
        match record? {
            None => break,
            Some(_) if length > 0 => widths.push(width),
            Some(_) => {}
        }
    }
    let count = |width: usize| widths.iter().filter(|other| **other == width).count();
    let usual = widths.iter().copied().filter(|width| *width > 1).max_by_key(|width| (count(*width), *width));
    let fit = usual.map(|usual| (widths.first() == Some(&usual), count(usual), usual));
    Ok(fit.filter(|(_, n, _)| 2 * n >= widths.len()))
}
