//! Where a session reads and writes: below one folder.

use std::path::{Component, Path, PathBuf};

use crate::error::{Error, ErrorKind, Result};
use crate::study::STUDY_FILE;

/// The folder of a notebook and the root below which it may read and write.
#[derive(Debug, Clone)]
pub(super) struct Folder {
    /// Paths of cells start here.
    base: PathBuf,
    /// The same folder without links.
    real: PathBuf,
    /// The nearest folder above that holds a study file, or else the base itself; `None` where everything is open.
    root: Option<PathBuf>,
}

impl Folder {
    /// The folder of a notebook or a script; `is_open` takes the limit away.
    pub(super) fn of(base: &Path, is_open: bool) -> Self {
        let base = if base.as_os_str().is_empty() { Path::new(".") } else { base };
        let real = base.canonicalize().unwrap_or_else(|_| base.to_owned());
        let above = real.ancestors().find(|folder| folder.join(STUDY_FILE).is_file());
        let root = (!is_open).then(|| above.unwrap_or(&real).to_owned());
        Self { base: base.to_owned(), real, root }
    }

    /// A path as a cell names it.
    pub(super) fn path(&self, named: &str) -> Result<PathBuf> {
        let joined = if self.base == Path::new(".") { PathBuf::from(named) } else { self.base.join(named) };
        let Some(root) = &self.root else { return Ok(joined) };
        // A link inside that leads outside is followed before it is judged; what does not exist yet has a folder that does.
        let absolute = self.real.join(named);
        let existing = absolute.ancestors().find_map(|part| Some((part, part.canonicalize().ok()?)));
        let is_plain = |rest: &Path| rest.components().all(|part| matches!(part, Component::Normal(_)));
        let is_inside = existing
            .is_some_and(|(part, real)| real.starts_with(root) && absolute.strip_prefix(part).is_ok_and(is_plain));
        if is_inside {
            return Ok(joined);
        }
        let why = format!("it lies outside {}, and cells reach no other place", root.display());
        Err(Error::new(ErrorKind::File { path: PathBuf::from(named), doing: "reach", why })
            .with_hint("put the file below that folder, or start with --anywhere"))
    }

    /// The folder that a path of a cell starts from.
    pub(super) fn base(&self) -> &Path {
        &self.base
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_above_the_root_is_reached() {
        let folder = Folder::of(Path::new("datasets-demo/harbour"), false);
        assert!(folder.path("samples.csv").is_ok());
        assert!(folder.path("new/figure.svg").is_ok());
        assert!(folder.path("../harbour/samples.csv").is_ok());
        for outside in ["../../Cargo.toml", "/etc/hostname", "new/../../../x.csv"] {
            let error = folder.path(outside).unwrap_err().to_string();
            assert!(error.contains("cells reach no other place"), "{error}");
        }
        assert!(Folder::of(Path::new("datasets-demo/harbour"), true).path("../../Cargo.toml").is_ok());
    }
}
