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
    let mut splitter = Splitter::new(text, candidate, 1);
    // Of each line: cells up to the last that is not empty, and all cells.
    let mut widths: Vec<(usize, usize)> = Vec::new();
    while widths.len() < 200 {
        let (mut filled, mut width) = (0, 0);
        let record = splitter.record(|cell| {
            width += 1;
            if !cell.trim().is_empty() {
                filled = width;
            }
            Ok::<(), Torn>(())
        });
        match record? {
            None => break,
            Some(_) if filled > 0 => widths.push((filled, width)),
            Some(_) => {}
        }
    }
    // Empty cells at the end of a line may be left over from a spreadsheet.
    let has = |(filled, width): (usize, usize), usual: usize| filled <= usual && usual <= width;
    let count = |usual: usize| widths.iter().filter(|line| has(**line, usual)).count();
    let any = widths.iter().flat_map(|(filled, width)| [*filled, *width]).filter(|width| *width > 1);
    let is_first = |usual: usize| widths.first().is_some_and(|line| has(*line, usual));
    let usual = any.max_by_key(|width| (count(*width), is_first(*width), *width));
    let fit = usual.map(|usual| (is_first(usual), count(usual), usual));
    Ok(fit.filter(|(_, n, _)| 2 * n >= widths.len()))
}
