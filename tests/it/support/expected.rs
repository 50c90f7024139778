//! Texts compared with files in `tests/it/expected`; `UPDATE_EXPECTED=1` writes them anew.

use std::fs;
use std::path::Path;

/// The text equals the file, or the first line that differs is shown.
#[track_caller]
pub(crate) fn equals(file: &str, actual: &str) {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/it/expected").join(file);
    if std::env::var_os("UPDATE_EXPECTED").is_some() {
        fs::write(&path, actual).unwrap();
        return;
    }
    let expected = fs::read_to_string(&path).unwrap_or_else(|error| panic!("{file}: {error}"));
    if expected == actual {
        return;
    }
    let (mut wanted, mut got) = (expected.lines(), actual.lines());
    for line in 1.. {
        let pair = (wanted.next(), got.next());
        if pair.0 != pair.1 || pair == (None, None) {
            let shown = |line: Option<&str>| line.unwrap_or("(end of the text)").to_owned();
            panic!("{file}:{line}\n  expected: {}\n  actual:   {}\nall of it:\n{actual}", shown(pair.0), shown(pair.1));
        }
    }
}
