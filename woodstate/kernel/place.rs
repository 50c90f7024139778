//! Folders of a person, as Jupyter looks for them.

use std::env;
use std::path::PathBuf;

/// Where data of Jupyter lie for this person.
pub fn jupyter_data() -> Option<PathBuf> {
    if let Some(folder) = env::var_os("JUPYTER_DATA_DIR") {
        return Some(folder.into());
    }
    if cfg!(windows) {
        return env::var_os("APPDATA").map(|folder| PathBuf::from(folder).join("jupyter"));
    }
    if cfg!(target_os = "macos") {
        return home().map(|home| home.join("Library/Jupyter"));
    }
    data().map(|data| data.join("jupyter"))
}

/// Where woodstate keeps what cells were run.
pub fn history_file() -> Option<PathBuf> {
    let folder = if cfg!(windows) { env::var_os("APPDATA").map(PathBuf::from) } else { data() };
    folder.map(|folder| folder.join("woodstate").join("history.jsonl"))
}

fn data() -> Option<PathBuf> {
    let own = env::var_os("XDG_DATA_HOME").filter(|folder| !folder.is_empty()).map(PathBuf::from);
    own.or_else(|| home().map(|home| home.join(".local/share")))
}

fn home() -> Option<PathBuf> {
    env::var_os("HOME").filter(|home| !home.is_empty()).map(PathBuf::from)
}
