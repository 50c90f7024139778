//! The package of a workbook, looked at before anything in it is believed.

use std::io::{Cursor, Read};

use crate::error::{Error, Place, Result};

use super::Limits;

pub(super) const RESAVE: &str = "open it in a spreadsheet program and save it as .xlsx";

pub(super) fn of_file(file: &str) -> Place {
    Place { file: file.to_owned(), ..Place::default() }
}

/// What a package holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Package {
    /// A workbook (.xlsx).
    Workbook,
    /// An open document (.ods).
    OpenDocument,
}

const OPEN_DOCUMENT: &[u8] = b"application/vnd.oasis.opendocument.spreadsheet";

/// Unpacks every part into nothing and counts; what a part declares about its size may be a lie.
pub(super) fn inspect(bytes: &[u8], file: &str, limits: &Limits) -> Result<Package> {
    let fault = |text: String| Error::content(of_file(file), text);
    let resave = |text: &str| fault(text.to_owned()).with_hint(RESAVE);
    if bytes.starts_with(b"\xd0\xcf\x11\xe0") {
        let protected: Vec<u8> = "EncryptedPackage".encode_utf16().flat_map(u16::to_le_bytes).collect();
        return Err(match contains(bytes, &protected) {
            true => resave("the workbook is protected by a password").with_hint("save it without a password"),
            false => resave("this is a workbook of the old kind (.xls)"),
        });
    }
    if !bytes.starts_with(b"PK") {
        let text = "this is not a workbook (.xlsx)".to_owned();
        return Err(fault(text).with_hint("if it is text, give it the ending .csv"));
    }
    let broken = |error: zip::result::ZipError| resave(&format!("the workbook is damaged: {error}")).with_source(error);
    let mut archive = zip::ZipArchive::new(Cursor::new(bytes)).map_err(broken)?;
    if archive.len() > limits.max_entries {
        return Err(resave(&format!("the workbook has {} parts; allowed are {}", archive.len(), limits.max_entries)));
    }
    let packed = u64::try_from(bytes.len()).unwrap_or(u64::MAX);
    let budget = limits.max_unpacked.min(packed.saturating_mul(limits.max_ratio).max(1 << 20));
    let mut left = budget;
    let (mut is_workbook, mut is_open) = (false, false);
    for index in 0..archive.len() {
        let mut part = archive.by_index(index).map_err(broken)?;
        let name = part.name().map_err(broken)?.into_owned();
        if name == "xl/workbook.bin" {
            return Err(resave("this is a workbook of the binary (.xlsb) kind"));
        }
        is_workbook |= name == "[Content_Types].xml";
        let mut claim = Claim::default();
        let mut head = Vec::new();
        if name == "mimetype" {
            let most = u64::try_from(OPEN_DOCUMENT.len()).unwrap_or(u64::MAX);
            part.by_ref()
                .take(most)
                .read_to_end(&mut head)
                .map_err(|error| resave(&format!("the workbook is damaged: {name}: {error}")))?;
            is_open = head == OPEN_DOCUMENT;
        }
        let used = count(part.take(left + 1), &mut claim)
            .map_err(|error| resave(&format!("the workbook is damaged: {name}: {error}")).with_source(error))?;
        if used > left {
            return Err(resave(&format!("the workbook unpacks to more than {budget} bytes, which is the limit")));
        }
        if claim.largest > used {
            return Err(resave(&format!("the workbook is damaged: {name} claims {} texts", claim.largest)));
        }
        left -= used;
    }
    match (is_open, is_workbook) {
        (true, _) => Ok(Package::OpenDocument),
        (false, true) => Ok(Package::Workbook),
        (false, false) => Err(resave("this is a packed file, and no workbook")),
    }
}

fn count(mut part: impl Read, claim: &mut Claim) -> std::io::Result<u64> {
    let mut buffer = vec![0; 1 << 16];
    let mut used = 0;
    loop {
        match part.read(&mut buffer)? {
            0 => return Ok(used),
            n => {
                buffer[..n].iter().for_each(|byte| claim.look(*byte));
                used += u64::try_from(n).unwrap_or(u64::MAX);
            }
        }
    }
}

pub(super) fn contains(bytes: &[u8], wanted: &[u8]) -> bool {
    bytes.windows(wanted.len()).any(|window| window == wanted)
}

/// The largest number behind `uniqueCount`: the reader asks for memory by it, so no part may claim more texts than it
/// has bytes. NUL bytes are passed over, so that UTF-16 hides nothing.
#[derive(Debug, Default)]
struct Claim {
    n_matched: usize,
    number: u64,
    largest: u64,
}

impl Claim {
    const WORD: &[u8] = b"uniqueCount";

    fn look(&mut self, byte: u8) {
        match (Self::WORD.get(self.n_matched), byte) {
            (_, 0) => {}
            (Some(letter), _) if *letter == byte => self.n_matched += 1,
            (Some(_), _) => self.n_matched = usize::from(byte == Self::WORD[0]),
            (None, b'0'..=b'9') => {
                self.number = self.number.saturating_mul(10).saturating_add(u64::from(byte - b'0'));
                self.largest = self.largest.max(self.number);
            }
            (None, b'=' | b'"' | b'\'' | b' ' | b'\t' | b'\n' | b'\r') if self.number == 0 => {}
            (None, _) => (self.n_matched, self.number) = (usize::from(byte == Self::WORD[0]), 0),
        }
    }
}
