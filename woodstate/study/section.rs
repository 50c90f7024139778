//! The section of a timber: from what the tables say of its sizes.

use std::collections::BTreeSet;

use crate::error::{DepthCautionCode, Error, ErrorKind, Finding, FindingCode, Result, Severity};
use crate::profile::{DepthCaution, Section};
use crate::table::{Batch, Datum};

use super::piece::Pieces;

/// Form of a section.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SectionForm {
    /// A circle, by `timber_diameter`.
    Round,
    /// A rectangle, by `timber_width` and `timber_height`.
    Rectangular,
    /// By `section_outline`.
    Polygon,
}

impl SectionForm {
    /// All forms.
    pub const ALL: [Self; 3] = [Self::Round, Self::Rectangular, Self::Polygon];

    /// Its word.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Round => "round",
            Self::Rectangular => "rectangular",
            Self::Polygon => "polygon",
        }
    }
}

/// The section of the timber of a piece, or a caution that says why it is unknown; neither where no size is given.
pub(super) fn section(
    pieces: &Pieces<'_>,
    place: usize,
    form: Option<SectionForm>,
) -> (Option<Section>, Option<DepthCaution>) {
    let number = |name: &str| match pieces.datum(name, place) {
        Datum::Number(number) => Some(number),
        _ => None,
    };
    let outline = match pieces.datum("section_outline", place) {
        Datum::Text(text) => Some(text),
        _ => None,
    };
    let (diameter, width, height) = (number("timber_diameter"), number("timber_width"), number("timber_height"));
    let given = [
        (SectionForm::Round, diameter.is_some()),
        (SectionForm::Rectangular, width.is_some() && height.is_some()),
        (SectionForm::Polygon, outline.is_some()),
    ];
    let given: Vec<SectionForm> = given.into_iter().filter(|(_, is)| *is).map(|(form, _)| form).collect();
    let unknown = |detail: String| (None, Some(DepthCaution::new(DepthCautionCode::SectionUnknown, detail)));
    let form = match (form, given.as_slice()) {
        (Some(form), given) if given.contains(&form) => form,
        (Some(form), _) => return unknown(format!("its sizes are not those of a {} section", form.word())),
        (None, [form]) => *form,
        (None, []) => return (None, None),
        (None, several) => {
            let words: Vec<&str> = several.iter().map(|form| form.word()).collect();
            return unknown(format!("sizes of several forms are given: choose with --section {}", words.join(" or ")));
        }
    };
    let made = match form {
        SectionForm::Round => diameter.map(Section::round),
        SectionForm::Rectangular => width.zip(height).map(|(width, height)| Section::rectangular(width, height)),
        SectionForm::Polygon => outline.map(of_outline),
    };
    match made {
        Some(Ok(section)) => (Some(section), None),
        Some(Err(error)) => unknown(error.to_string()),
        None => (None, None),
    }
}

/// The outlines of a batch that cannot be used, each with its cell; one that stands in many rows is said once.
pub(super) fn outline_findings(batch: &Batch) -> Vec<Finding> {
    let mut said: BTreeSet<&str> = BTreeSet::new();
    let mut findings = Vec::new();
    for table in batch.tables() {
        let rows = (0..table.n_rows()).filter_map(|row| Some((row, table.text("section_outline", row)?)));
        for (row, outline) in rows {
            let Err(error) = of_outline(outline) else { continue };
            if said.insert(outline) {
                let place = table.place(row, "section_outline");
                let finding = Finding::new(FindingCode::OutlineUnreadable, Severity::Warning, place, error.to_string());
                findings.push(finding.found(outline));
            }
        }
    }
    findings
}

fn of_outline(text: &str) -> Result<Section> {
    Section::polygon(&corners(text)?)
}

/// The corners of an outline, mm, from `x y; x y; …`.
fn corners(text: &str) -> Result<Vec<[f64; 2]>> {
    let wrong = || {
        let allowed = "corners in mm with semicolons between, such as 0 0; 300 0; 280 200; 20 200".to_owned();
        Error::new(ErrorKind::Quantity { found: text.to_owned(), allowed })
    };
    let corner = |corner: &str| {
        let numbers: Vec<f64> =
            corner.split_whitespace().map(str::parse).collect::<std::result::Result<_, _>>().map_err(|_| wrong())?;
        match numbers.as_slice() {
            [x, y] => Ok([*x, *y]),
            _ => Err(wrong()),
        }
    };
    text.split(';').filter(|corner| !corner.trim().is_empty()).map(corner).collect()
}
