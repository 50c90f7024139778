//! Following a treatment: the demonstration tanks, every caution, the command, treated wood, what the study file says.

mod beside;
mod demo;
mod law;
mod program;
mod study;
mod treated;

use woodstate::error::Result;
use woodstate::numeric::Watch;
use woodstate::study::{FollowQuestion, Following, Study, follow};
use woodstate::table::{Batch, SourceFile, log_of};

/// A log, timbers and samples as delimited text, with a study file: the one call of the API.
pub(crate) fn try_followed(log: &str, timbers: &str, samples: &str, study: &str) -> Result<Following> {
    let study = Study::parse(study, "woodstate.toml")?;
    let watch = Watch::silent();
    let table = |text: &str, name: &str| SourceFile::from_bytes(name, text.as_bytes().to_vec());
    let Batch { log, findings, samples: empty, .. } = log_of(&table(log, "log.csv"), &study.read, &watch)?;
    let others = folder_of(timbers, samples);
    let (timbers, samples) = match others {
        Some(folder) => {
            let batch = woodstate::table::read_batch(folder.path(), &study.read, &watch)?;
            (batch.timbers, batch.samples)
        }
        None => (None, empty),
    };
    follow(&study, &Batch { samples, timbers, log, findings }, &FollowQuestion::default(), &watch)
}

pub(crate) fn followed(log: &str, timbers: &str, study: &str) -> Following {
    try_followed(log, timbers, "", study).unwrap()
}

fn folder_of(timbers: &str, samples: &str) -> Option<tempfile::TempDir> {
    if timbers.is_empty() && samples.is_empty() {
        return None;
    }
    let folder = tempfile::tempdir().unwrap();
    let samples = if samples.is_empty() { "sample\nX\n" } else { samples };
    std::fs::write(folder.path().join("samples.csv"), samples).unwrap();
    if !timbers.is_empty() {
        std::fs::write(folder.path().join("timbers.csv"), timbers).unwrap();
    }
    Some(folder)
}

/// The words of the cautions, each once.
pub(crate) fn codes(following: &Following) -> Vec<&'static str> {
    let mut codes: Vec<&str> = following.cautions.iter().map(|caution| caution.code).collect();
    codes.sort_unstable();
    codes.dedup();
    codes
}
