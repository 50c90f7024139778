//! The shape of a timber, as diffusion sees it.

use crate::error::Result;
use crate::quantity::shown_value;
use crate::table::{Batch, Table};
use crate::treatment::{Body, Ranged};

/// A timber with diffusivity 1 m²/s across the grain.
#[derive(Debug, Clone)]
pub(super) struct Shape {
    pub(super) body: Body,
    pub(super) words: String,
    /// Area of the section times length, or the area alone where the length is unknown; only ratios are used.
    pub(super) area: f64,
    pub(super) length: Option<f64>,
}

/// What the tables say of a timber.
pub(super) fn told<'a>(batch: &'a Batch, timber: &str) -> Option<(&'a Table, usize)> {
    let tables = batch.timbers.iter().chain(Some(&batch.samples));
    tables.into_iter().find_map(|table| {
        let is_it = |row: &usize| table.text("timber", *row).is_some_and(|name| name.trim() == timber);
        (0..table.n_rows()).find(is_it).map(|row| (table, row))
    })
}

const MM: f64 = 1e-3;

/// The shape of a timber; `None` where its sizes are unknown or contradict each other.
pub(super) fn shape(batch: &Batch, timber: &str, grain_ratio: Option<f64>) -> Result<Option<Shape>> {
    let Some((table, row)) = told(batch, timber) else { return Ok(None) };
    let size = |name| table.number(name, row);
    let (diameter, width, height) = (size("timber_diameter"), size("timber_width"), size("timber_height"));
    let length = size("timber_length");
    let one = Ranged::exact(1.0)?;
    let half = |mm: f64| mm * MM / 2.0;
    let ends = match (grain_ratio, length) {
        (Some(ratio), Some(length)) => Some((Ranged::exact(ratio)?, length / 2.0)),
        _ => None,
    };
    let (body, mut words, area) = match (diameter, width, height) {
        (Some(d), None, None) => {
            let body = match ends {
                Some((along, half_length)) => Body::round(half(d), one, half_length, along)?,
                None => Body::cylinder(half(d), one)?,
            };
            (body, format!("round, {} mm", shown_value(d)), std::f64::consts::PI * half(d).powi(2))
        }
        (None, Some(w), Some(h)) => {
            let body = match ends {
                Some((along, half_length)) => Body::prism([half(w), half(h), half_length], [one, one, along])?,
                None => Body::beam([half(w), half(h)], [one, one])?,
            };
            (body, format!("{} x {} mm", shown_value(w), shown_value(h)), w * h * MM * MM)
        }
        (None, Some(thickness), None) | (None, None, Some(thickness)) => {
            (Body::slab(half(thickness), one)?, format!("board, {} mm", shown_value(thickness)), thickness * MM)
        }
        _ => return Ok(None),
    };
    if let (Some(_), Some(length)) = (ends, length) {
        words.push_str(&format!(", {} m long", shown_value(length)));
    }
    Ok(Some(Shape { body, words, area, length }))
}
