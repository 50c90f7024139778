//! The one reader and the one writer of files.
//!
//! A file appears whole or not at all: it is written beside its target and then renamed. What woodstate wrote into a
//! folder stands in `woodstate-files.sha256` there, in the form that `sha256sum --check` understands. A file whose
//! fingerprint still is the one in that list is replaced, or removed where a later run has no such file; anything else is
//! left alone unless the caller forces it.

use std::collections::BTreeMap;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::sync::OnceLock;
use std::{fs, io};

use sha2::Digest;

use crate::error::{Error, ErrorKind, Result};
use crate::numeric::map_ordered;

/// Name of the list of written files, one per folder.
pub const LEDGER: &str = "woodstate-files.sha256";

/// A file that was read.
#[derive(Clone)]
pub struct SourceFile {
    /// The file, as the person named it.
    pub name: String,
    /// Its content.
    pub bytes: Vec<u8>,
    sha256: OnceLock<String>,
}

impl std::fmt::Debug for SourceFile {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "SourceFile({}, {} bytes, {})", self.name, self.bytes.len(), self.sha256())
    }
}

impl SourceFile {
    /// Content that came from elsewhere, such as the standard input.
    #[must_use]
    pub fn from_bytes(name: impl Into<String>, bytes: Vec<u8>) -> Self {
        Self { name: name.into(), bytes, sha256: OnceLock::new() }
    }

    /// SHA-256 of the content, 64 lower-case hexadecimal digits; computed when it is first asked for.
    ///
    /// # Example
    /// ```
    /// let file = woodstate::table::SourceFile::from_bytes("-", b"abc".to_vec());
    /// assert!(file.sha256().starts_with("ba7816bf"));
    /// ```
    /// # Source
    /// The digest of "abc": NIST FIPS 180-4, example SHA-256, one block.
    #[must_use]
    pub fn sha256(&self) -> &str {
        self.sha256.get_or_init(|| hexadecimal(&sha2::Sha256::digest(&self.bytes)))
    }
}

/// Reads a file.
///
/// # Errors
/// What the operating system says.
pub fn read_file(path: impl AsRef<Path>) -> Result<SourceFile> {
    let path = path.as_ref();
    let bytes = fs::read(path).map_err(|error| file_error(path, "read", error))?;
    Ok(SourceFile::from_bytes(path.to_string_lossy(), bytes))
}

/// Names of the files of a folder in Unicode, in their order; folders and hidden files are left out.
///
/// # Errors
/// What the operating system says.
pub fn file_names(folder: impl AsRef<Path>) -> Result<Vec<String>> {
    let folder = folder.as_ref();
    let failed = |error| file_error(folder, "read", error);
    let mut names = Vec::new();
    for entry in fs::read_dir(folder).map_err(failed)? {
        let entry = entry.map_err(failed)?;
        let name = entry.file_name().to_string_lossy().into_owned();
        if !name.starts_with('.') && !entry.path().is_dir() {
            names.push(name);
        }
    }
    names.sort_unstable();
    Ok(names)
}

/// What the operating system says of a file, in words for a person.
///
/// # Example
/// ```
/// use std::io::{Error, ErrorKind};
/// let error = woodstate::table::file_error("a.csv", "read", Error::from(ErrorKind::NotFound));
/// assert_eq!(error.to_string(), "cannot read a.csv: there is no such file or folder");
/// ```
pub fn file_error(path: impl Into<PathBuf>, doing: &'static str, error: io::Error) -> Error {
    let system = error.to_string();
    let why = match error.kind() {
        io::ErrorKind::NotFound => "there is no such file or folder",
        io::ErrorKind::PermissionDenied => "the system does not permit it",
        io::ErrorKind::IsADirectory => "it is a folder",
        io::ErrorKind::NotADirectory => "a part of the path is a file and not a folder",
        io::ErrorKind::StorageFull => "the disk is full",
        io::ErrorKind::ReadOnlyFilesystem => "the disk can only be read",
        _ => system.split(" (os error").next().unwrap_or(&system),
    };
    Error::file(path, doing, why).with_source(error)
}

/// What may happen to a file that exists.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Overwrite {
    /// Replace it if woodstate wrote it and nobody changed it since.
    IfOurs,
    /// Replace it, whatever it is.
    Force,
}

/// A file to be written.
#[derive(Debug, Clone, Copy)]
pub struct FileOut<'a> {
    /// Its name in the folder.
    pub name: &'a str,
    /// Its content.
    pub body: FileBody<'a>,
}

/// The content of a file to be written.
#[derive(Clone, Copy)]
pub enum FileBody<'a> {
    /// Content that is there.
    Bytes(&'a [u8]),
    /// A function that writes it, the same at each call, so that a long file is never held in memory.
    Stream(&'a dyn Fn(&mut dyn Write) -> Result<()>),
}

impl std::fmt::Debug for FileBody<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Bytes(bytes) => write!(f, "Bytes({})", bytes.len()),
            Self::Stream(_) => write!(f, "Stream"),
        }
    }
}

impl<'a> FileOut<'a> {
    /// A file with content that is there.
    #[must_use]
    pub fn bytes(name: &'a str, bytes: &'a [u8]) -> Self {
        Self { name, body: FileBody::Bytes(bytes) }
    }

    /// A file whose content is made while it is written.
    #[must_use]
    pub fn stream(name: &'a str, stream: &'a dyn Fn(&mut dyn Write) -> Result<()>) -> Self {
        Self { name, body: FileBody::Stream(stream) }
    }
}

/// Writes one file; the folder is made if it is missing.
///
/// # Errors
/// [`ErrorKind::WouldOverwrite`] if the file is not ours, or what the operating system says.
pub fn write_file(path: impl AsRef<Path>, bytes: &[u8], overwrite: Overwrite) -> Result<()> {
    let path = path.as_ref();
    let Some(name) = path.file_name().and_then(|name| name.to_str()) else {
        return Err(Error::file(path, "write", "the path does not end in a file name in Unicode"));
    };
    let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."));
    write_files(folder, &[FileOut::bytes(name, bytes)], overwrite)
}

/// Writes files beside those of earlier runs, which stay; refuses all of them if it must refuse one.
///
/// # Errors
/// As [`write_all`].
pub fn write_files(folder: impl AsRef<Path>, files: &[FileOut<'_>], overwrite: Overwrite) -> Result<()> {
    let folder = folder.as_ref();
    write(folder, files, overwrite)?.put(folder)
}

/// Writes all files of a run into one folder, which is made if it is missing; refuses all of them if it must refuse one.
/// No target is touched before all of them are on the disk beside their targets.
///
/// Files of an earlier run that nobody changed and that this run does not have are removed; their names are returned. A
/// changed one stays and is ours no more.
///
/// # Errors
/// [`ErrorKind::WouldOverwrite`] for the first file that is not ours, before anything is written, or what the
/// operating system says.
pub fn write_all(folder: impl AsRef<Path>, files: &[FileOut<'_>], overwrite: Overwrite) -> Result<Vec<String>> {
    let folder = folder.as_ref();
    let mut ledger = write(folder, files, overwrite)?;
    let removed = ledger.remove_others(folder, files)?;
    ledger.put(folder)?;
    Ok(removed)
}

/// Puts files in place; the list of them is returned and not written.
fn write(folder: &Path, files: &[FileOut<'_>], overwrite: Overwrite) -> Result<Ledger> {
    let mut ledger = Ledger::read(folder);
    for file in files {
        let path = folder.join(file.name);
        if file.name == LEDGER || !is_plain_name(file.name) {
            return Err(Error::file(path, "write", "a file may not have this name"));
        }
        if path.is_dir() {
            return Err(Error::file(path, "write", "it is a folder"));
        }
        if overwrite == Overwrite::IfOurs && !ledger.lets_replace(&path, file)? {
            let hint = "name another place with --out, or replace the file with --force";
            return Err(Error::new(ErrorKind::WouldOverwrite { path }).with_hint(hint));
        }
    }
    fs::create_dir_all(folder).map_err(|error| file_error(folder, "make folder", error))?;
    let beside: Vec<Beside> =
        files.iter().map(|file| Beside::write(&folder.join(file.name), file.body)).collect::<Result<_>>()?;
    map_ordered(SYNCED_TOGETHER, beside.iter().collect(), Beside::sync)?.into_iter().collect::<Result<()>>()?;
    for (file, beside) in files.iter().zip(beside) {
        match beside.put() {
            Ok(sha256) => ledger.0.insert(file.name.to_owned(), sha256),
            Err(error) => {
                // What was replaced so far stays ours.
                ledger.put(folder)?;
                return Err(error);
            }
        };
    }
    Ok(ledger)
}

/// Files that wait for the disk together, which takes them in the time of one.
const SYNCED_TOGETHER: usize = 16;

/// Only names that mean the same file on every system and fit on one line of the list.
fn is_plain_name(name: &str) -> bool {
    !matches!(name, "" | "." | "..") && !name.contains(['/', '\\', ':']) && !name.contains(char::is_control)
}

/// File name to fingerprint, as written.
#[derive(Debug, Default)]
struct Ledger(BTreeMap<String, String>);

impl Ledger {
    /// The list of a folder. One that is missing or damaged knows nothing, so that every file needs force.
    fn read(folder: &Path) -> Self {
        let text = fs::read_to_string(folder.join(LEDGER)).unwrap_or_default();
        let entry = |line: &str| {
            let (sha256, name) = line.split_once("  ")?;
            let is_digest = sha256.len() == 64 && sha256.bytes().all(|b| b.is_ascii_hexdigit());
            (is_digest && is_plain_name(name)).then(|| (name.to_owned(), sha256.to_owned()))
        };
        Self(text.lines().map(entry).collect::<Option<_>>().unwrap_or_default())
    }

    fn text(&self) -> String {
        self.0.iter().map(|(name, sha256)| format!("{sha256}  {name}\n")).collect()
    }

    fn put(&self, folder: &Path) -> Result<()> {
        let beside = Beside::write(&folder.join(LEDGER), FileBody::Bytes(self.text().as_bytes()))?;
        beside.sync()?;
        beside.put().map(drop)
    }

    /// Removes what is listed, unchanged and not among these files, and forgets everything else that is not.
    fn remove_others(&mut self, folder: &Path, files: &[FileOut<'_>]) -> Result<Vec<String>> {
        let (kept, others) =
            std::mem::take(&mut self.0).into_iter().partition(|(name, _)| files.iter().any(|file| file.name == name));
        self.0 = kept;
        let mut removed = Vec::new();
        for (name, written) in BTreeMap::<String, String>::into_iter(others) {
            let path = folder.join(&name);
            if digest_of(&path).is_ok_and(|present| present == written) {
                fs::remove_file(&path).map_err(|error| file_error(&path, "remove", error))?;
                removed.push(name);
            }
        }
        Ok(removed)
    }

    /// Whether a target is free, is ours and unchanged, or already holds what is to be written.
    fn lets_replace(&self, path: &Path, file: &FileOut<'_>) -> Result<bool> {
        match digest_of(path) {
            Ok(present) => {
                Ok(self.0.get(file.name) == Some(&present)
                    || Digesting::new(io::sink()).take(path, file.body)? == present)
            }
            Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(true),
            Err(error) => Err(file_error(path, "write", error)),
        }
    }
}

/// A file that is on the disk beside its target; it disappears unless it is put there.
#[derive(Debug)]
struct Beside {
    file: tempfile::NamedTempFile,
    target: PathBuf,
    sha256: String,
}

impl Beside {
    fn write(target: &Path, body: FileBody<'_>) -> Result<Self> {
        let failed = |error: io::Error| file_error(target, "write", error);
        let folder = target.parent().unwrap_or(Path::new("."));
        // Opened here and not by the crate, which would keep the file from everybody but its owner.
        let create = |path: &Path| fs::File::options().write(true).create_new(true).open(path);
        let mut builder = tempfile::Builder::new();
        let mut file = builder.prefix(".woodstate-").make_in(folder, create).map_err(failed)?;
        let sha256 = Digesting::new(file.as_file_mut()).take(target, body)?;
        Ok(Self { file, target: target.to_owned(), sha256 })
    }

    /// Waits until it is on the disk.
    fn sync(&self) -> Result<()> {
        self.file.as_file().sync_all().map_err(|error| file_error(&self.target, "write", error))
    }

    /// Puts the file in place of its target and gives its fingerprint.
    fn put(self) -> Result<String> {
        let Self { file, target, sha256 } = self;
        file.persist(&target).map_err(|error| file_error(&target, "write", error.error))?;
        Ok(sha256)
    }
}

/// Passes bytes on and takes their fingerprint.
struct Digesting<W> {
    out: W,
    digest: sha2::Sha256,
    /// What the system said, which the words of a body may have lost.
    failed: Option<io::Error>,
}

impl<W: Write> Digesting<W> {
    fn new(out: W) -> Self {
        Self { out, digest: sha2::Sha256::new(), failed: None }
    }

    /// Writes the whole content and gives its fingerprint.
    fn take(self, path: &Path, body: FileBody<'_>) -> Result<String> {
        let mut out = io::BufWriter::with_capacity(1 << 16, self);
        let done = match body {
            FileBody::Bytes(bytes) => out.write_all(bytes).map_err(|error| file_error(path, "write", error)),
            FileBody::Stream(stream) => stream(&mut out),
        };
        let done = done.and_then(|()| out.flush().map_err(|error| file_error(path, "write", error)));
        let (this, _) = out.into_parts();
        match (done, this.failed) {
            (Ok(()), _) => Ok(hexadecimal(&this.digest.finalize())),
            (Err(_), Some(error)) => Err(file_error(path, "write", error)),
            (Err(error), None) => Err(error),
        }
    }
}

impl<W: Write> Write for Digesting<W> {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        match self.out.write(bytes) {
            Ok(n) => {
                self.digest.update(&bytes[..n]);
                Ok(n)
            }
            Err(error) => {
                let system = error.raw_os_error().map(io::Error::from_raw_os_error);
                self.failed = Some(system.unwrap_or_else(|| error.kind().into()));
                Err(error)
            }
        }
    }

    fn flush(&mut self) -> io::Result<()> {
        self.out.flush()
    }
}

/// The fingerprint of a file, which is not held in memory.
fn digest_of(path: &Path) -> io::Result<String> {
    let mut out = Digesting::new(io::sink());
    io::copy(&mut fs::File::open(path)?, &mut out)?;
    Ok(hexadecimal(&out.digest.finalize()))
}

fn hexadecimal(digest: &[u8]) -> String {
    digest.iter().map(|byte| format!("{byte:02x}")).collect()
}
