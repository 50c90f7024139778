//! Faults of the file system: one sentence, exit code 5, nothing half-written.

use std::fs;
use std::io::Write;
use std::path::Path;

use woodstate::error::{Error, ErrorKind, Result};
use woodstate::table::{FileOut, Overwrite, read_file, write_all, write_file};

use crate::support::program::Folder;

const TWO: &[u8] = b"sample,mass_saturated [g],mass_oven_dry [g]\nK1,5.25,1.05\nK2,9.5,4.5\n";

/// Everything below a folder: names, and the content of files.
fn all(folder: &Path) -> Vec<(String, Option<Vec<u8>>)> {
    let mut found = Vec::new();
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        let name = path.display().to_string();
        if path.is_dir() {
            found.push((name, None));
            found.extend(all(&path));
        } else {
            found.push((name, Some(fs::read(&path).unwrap())));
        }
    }
    found.sort();
    found
}

/// Runs the program and says how it ended; nothing in the folder may change.
#[track_caller]
fn check_refused(files: &[(&str, &[u8])], arguments: &str, sentence: &str) {
    let folder = Folder::of(files);
    let before = all(&folder.path("."));
    let ended = folder.run(arguments);
    assert_eq!(ended.code, 5, "{}", ended.err);
    let said: Vec<&str> = ended.err.lines().filter(|line| line.starts_with("woodstate:")).collect();
    assert_eq!(said, [format!("woodstate: {sentence}")], "{}", ended.err);
    assert!(all(&folder.path(".")) == before);
}

#[test]
fn what_cannot_be_read_is_named_with_its_reason() {
    check_refused(&[], "assess none.csv", "cannot read none.csv: there is no such file or folder");
    let files = [("d.csv", TWO), ("x/y", &b""[..])];
    check_refused(&files, "assess d.csv --study x", "cannot read x: it is a folder");
    check_refused(
        &files,
        "assess d.csv/e.csv",
        "cannot read d.csv/e.csv: a part of the path is a file and not a folder",
    );
}

#[test]
fn a_place_that_cannot_be_written_is_named_with_its_reason() {
    let files = [("d.csv", TWO), ("note", &b"mine"[..]), ("state/results.csv/inner", &b"mine"[..])];
    for arguments in ["assess d.csv --out d.csv", "assess d.csv --out d.csv --force", "study d.csv --out d.csv --force"]
    {
        check_refused(&files, arguments, "cannot write d.csv: it is what was read; name another file with --out");
    }
    let own = [("results.csv", TWO)];
    let sentence = "cannot write ./results.csv: it is what was read; name another file with --out";
    check_refused(&own, "assess results.csv --out . --force", sentence);
    for out in ["note", "d.csv/state"] {
        let sentence = format!("cannot write {out}/assess.json: a part of the path is a file and not a folder");
        check_refused(&files, &format!("assess d.csv --out {out}"), &sentence);
    }
    for force in ["", " --force"] {
        let arguments = format!("assess d.csv --out state{force}");
        check_refused(&files, &arguments, "cannot write state/results.csv: it is a folder");
    }
}

/// `/proc` takes no files from anybody, not even from an administrator.
#[test]
#[cfg(target_os = "linux")]
fn a_folder_that_takes_no_files_ends_the_command() {
    let folder = Folder::of(&[("d.csv", TWO)]);
    let ended = folder.run("assess d.csv --out /proc/woodstate");
    assert_eq!(ended.code, 5);
    assert!(ended.err.contains("cannot make folder /proc/woodstate: "), "{}", ended.err);
}

/// `/dev/full` is a disk that is always full (Linux, full(4)).
#[test]
#[cfg(target_os = "linux")]
fn a_full_disk_behind_standard_output_ends_the_command() {
    let folder = Folder::of(&[("d.csv", TWO)]);
    for arguments in ["assess d.csv", "assess d.csv --json", "check d.csv --plain"] {
        let full = fs::File::options().write(true).open("/dev/full").unwrap();
        let output = folder.command(arguments).stdout(full).output().unwrap();
        assert_eq!(output.status.code(), Some(5), "{arguments}");
        let err = String::from_utf8(output.stderr).unwrap();
        assert!(err.contains("woodstate: cannot write standard output: the disk is full\n"), "{arguments}: {err}");
    }
}

fn stopped() -> Error {
    Error::file("elsewhere", "write", "stopped half-way")
}

/// A body that ends half-way.
fn half(out: &mut dyn Write) -> Result<()> {
    out.write_all(&[b'x'; 1 << 20]).unwrap();
    Err(stopped())
}

fn whole(out: &mut dyn Write) -> Result<()> {
    (0..1_000).try_for_each(|_| out.write_all(b"1,2\n")).map_err(|_| stopped())
}

#[test]
fn a_body_that_fails_half_way_leaves_every_file_as_it_was() {
    let folder = tempfile::tempdir().unwrap();
    write_all(folder.path(), &[FileOut::bytes("a.csv", b"old"), FileOut::bytes("b.csv", b"old")], Overwrite::IfOurs)
        .unwrap();
    let before = all(folder.path());
    let files = [FileOut::bytes("a.csv", b"new"), FileOut::stream("b.csv", &half), FileOut::bytes("c.csv", b"new")];
    let error = write_all(folder.path(), &files, Overwrite::IfOurs).unwrap_err();
    assert_eq!(error.to_string(), stopped().to_string());
    assert!(all(folder.path()) == before);
}

#[test]
fn a_streamed_file_is_ours_by_the_fingerprint_of_what_was_written() {
    let folder = tempfile::tempdir().unwrap();
    let write = |file: FileOut<'_>| write_all(folder.path(), &[file], Overwrite::IfOurs);
    write(FileOut::stream("a.csv", &whole)).unwrap();
    let written = read_file(folder.path().join("a.csv")).unwrap();
    assert_eq!(written.bytes, b"1,2\n".repeat(1_000));
    let list = fs::read_to_string(folder.path().join(woodstate::table::LEDGER)).unwrap();
    assert_eq!(list, format!("{}  a.csv\n", written.sha256()));
    write(FileOut::bytes("a.csv", b"other")).unwrap();
    // Somebody else's file with the content that is to be written harms nobody.
    fs::remove_file(folder.path().join(woodstate::table::LEDGER)).unwrap();
    fs::write(folder.path().join("a.csv"), b"1,2\n".repeat(1_000)).unwrap();
    write(FileOut::stream("a.csv", &whole)).unwrap();
    fs::write(folder.path().join("a.csv"), b"mine").unwrap();
    let error = write(FileOut::stream("a.csv", &whole)).unwrap_err();
    assert!(matches!(error.kind(), ErrorKind::WouldOverwrite { .. }));
    assert_eq!(read_file(folder.path().join("a.csv")).unwrap().bytes, b"mine");
}

#[test]
fn a_file_in_the_place_of_a_folder_is_left() {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("a"), b"mine").unwrap();
    let error = write_file(folder.path().join("a/b.csv"), b"1", Overwrite::Force).unwrap_err();
    assert!(matches!(error.kind(), ErrorKind::File { doing: "make folder", .. }), "{error}");
    assert_eq!(all(folder.path()).len(), 1);
}
