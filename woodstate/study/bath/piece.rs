//! A timber as diffusion sees it: its shape, its rim, how fast.

use super::number::BathNumber;
use super::wood::BathTimber;
use crate::error::{Error, ErrorKind, Result};
use crate::profile::Section;
use crate::treatment::{Body, Form, Ranged};

/// A timber as diffusion sees it.
#[derive(Debug, Clone, PartialEq)]
pub struct BathPiece {
    /// Its name.
    pub timber: String,
    /// Its section, mm; `None` where unknown.
    pub section: Option<Section>,
    /// Length, mm; `None` where unknown.
    pub length: Option<f64>,
    /// Depth of the soft rim, mm; `None` where unknown.
    pub soft_rim: Option<BathNumber>,
    /// Share of pores in rim and core; `None` where unknown.
    pub porosity: Option<[f64; 2]>,
    /// Why its section is unknown.
    pub why_not: Option<String>,
}

/// Diffusivities of a piece, m²/s.
#[derive(Debug, Clone, Copy)]
pub(super) struct Ways {
    pub(super) across: Ranged,
    pub(super) along: Option<Ranged>,
    pub(super) rim: Option<Ranged>,
}

impl BathPiece {
    /// A piece of stated sizes, mm: a round one by its diameter, a rectangular one by width and height.
    ///
    /// # Errors
    /// [`ErrorKind::Missing`] where neither is complete, [`ErrorKind::Range`] for a size that is not above 0 or a rim that leaves no core.
    pub fn stated(
        diameter: Option<f64>,
        [width, height]: [Option<f64>; 2],
        length: Option<f64>,
        rim: Option<f64>,
    ) -> Result<Self> {
        let section = match (diameter, width, height) {
            (Some(diameter), None, None) => Section::round(diameter)?,
            (None, Some(width), Some(height)) => Section::rectangular(width, height)?,
            _ => {
                let what = "the section".to_owned();
                let cure = "give either --diameter, or --width and --height, or a file with a timbers table".to_owned();
                return Err(Error::new(ErrorKind::Missing { what, cure }));
            }
        };
        for (name, size, most) in [("length", length, f64::INFINITY), ("depth of the soft rim", rim, section.deepest())]
        {
            if size.is_some_and(|size| size <= 0.0 || size >= most) {
                let allowed = match most.is_finite() {
                    true => format!("above 0 and below {most} mm, the middle of the section"),
                    false => "a number above 0 mm".to_owned(),
                };
                return Err(Error::new(ErrorKind::Range {
                    name: name.to_owned(),
                    value: size.unwrap_or_default(),
                    allowed,
                }));
            }
        }
        let soft_rim = rim.map(|rim| BathNumber::bare(rim, "mm"));
        let timber = "stated piece".to_owned();
        Ok(Self { timber, section: Some(section), length, soft_rim, porosity: None, why_not: None })
    }

    /// A timber of a bath.
    #[must_use]
    pub fn of(timber: &BathTimber) -> Self {
        Self {
            timber: timber.timber.clone(),
            section: timber.section.clone(),
            length: timber.length,
            soft_rim: timber.soft_rim,
            porosity: timber.porosity,
            why_not: timber.not_counted.clone(),
        }
    }

    /// Half its sizes across, m, and its shape in words.
    pub(super) fn across(&self) -> Option<(Vec<f64>, Form, String)> {
        let metres = |millimetres: f64| millimetres / 1000.0;
        Some(match self.section.as_ref()? {
            Section::Round { diameter } => {
                (vec![metres(diameter / 2.0)], Form::Cylinder, format!("round, {diameter} mm"))
            }
            Section::Rectangular { width, height } => {
                (vec![metres(width / 2.0), metres(height / 2.0)], Form::Slab, format!("{width} x {height} mm"))
            }
            Section::Polygon(outline) => {
                let deepest = outline.deepest();
                let round = (deepest * 20.0).round() / 10.0;
                (vec![metres(deepest)], Form::Slab, format!("outline, taken as a board of {round} mm"))
            }
        })
    }

    /// The uniform body, ends counted where a diffusivity along the grain and a length are known.
    pub(super) fn body(&self, ways: &Ways) -> Result<Option<Body>> {
        let Some((half, form, _)) = self.across() else { return Ok(None) };
        let end = self.length.map(|length| length / 2000.0).zip(ways.along);
        let across = ways.across;
        Ok(Some(match (half.as_slice(), form, end) {
            ([radius], Form::Cylinder, None) => Body::cylinder(*radius, across)?,
            ([radius], Form::Cylinder, Some((half, along))) => Body::round(*radius, across, half, along)?,
            ([half], _, None) => Body::slab(*half, across)?,
            ([side], _, Some((half, along))) => Body::beam([*side, half], [across, along])?,
            ([width, height, ..], _, None) => Body::beam([*width, *height], [across; 2])?,
            ([width, height, ..], _, Some((half, along))) => {
                Body::prism([*width, *height, half], [across, across, along])?
            }
            ([], ..) => return Ok(None),
        }))
    }
}
