//! From inline text or a workbook to an outcome.

use woodstate::error::{CautionCode, FindingCode, Result};
use woodstate::numeric::Watch;
use woodstate::quantity::Quantity;
use woodstate::state::{Piece, Value};
use woodstate::study::{Assessment, Study, assess};
use woodstate::table::{SourceFile, batch_of};

/// Assesses a file under a study file; both are given as their content.
pub(crate) fn try_assess(name: &str, bytes: impl Into<Vec<u8>>, study: &str) -> Result<Assessment> {
    let study = Study::parse(study, "woodstate.toml")?;
    let batch = batch_of(&SourceFile::from_bytes(name, bytes.into()), &study.read, &Watch::silent())?;
    assess(&study, batch, &Watch::silent())
}

/// Assesses delimited text that can be read.
#[track_caller]
pub(crate) fn assessed(csv: &str, study: &str) -> Assessment {
    try_assess("d.csv", csv, study).unwrap()
}

/// The words of what was found, once each.
pub(crate) fn findings(assessment: &Assessment) -> Vec<FindingCode> {
    let mut codes: Vec<FindingCode> = assessment.findings.iter().map(|finding| finding.code).collect();
    codes.sort();
    codes.dedup();
    codes
}

/// Whether a piece or a timber has a caution.
pub(crate) fn is_raised(assessment: &Assessment, code: CautionCode) -> bool {
    assessment.samples.iter().any(|piece| piece.cautions.contains(code))
        || assessment.timbers.iter().any(|timber| timber.cautions.contains(code))
}

/// The piece with this name.
#[track_caller]
pub(crate) fn piece(assessment: &Assessment, name: &str) -> Piece {
    let found = assessment.samples.iter().find(|piece| piece.sample.as_deref() == Some(name));
    found.unwrap_or_else(|| panic!("no piece {name}"))
}

/// A value of the only piece.
#[track_caller]
pub(crate) fn value(assessment: &Assessment, quantity: Quantity) -> Value {
    assessment.samples.get(0).unwrap().value(quantity).unwrap_or_else(|| panic!("{} is unknown", quantity.name()))
}
