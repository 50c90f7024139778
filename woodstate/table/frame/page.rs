//! The pages of a Parquet file, looked at before anything in them is believed.
//!
//! The reader of the format asks for memory by the numbers that a page says of itself; one wrong byte there would end the
//! program. Only the headers of pages are read here, in Thrift's compact protocol.

/// What a page says of itself.
#[derive(Debug, Default)]
struct Page {
    /// Bytes when unpacked.
    unpacked: i64,
    /// Bytes in the file.
    packed: i64,
    /// Most values that any of its kinds of header names.
    n_values: i64,
}

/// Bytes that the pages of a column unpack to; `None` if their headers contradict each other, the file or the number of
/// values of the column.
pub(super) fn unpacked_size(mut chunk: &[u8], n_values: usize) -> Option<usize> {
    let mut sum = 0_usize;
    while !chunk.is_empty() {
        let mut header = Header { rest: chunk, page: Page::default() };
        header.fields(&mut Vec::new())?;
        let Header { rest, page } = header;
        let (unpacked, packed) = (usize::try_from(page.unpacked).ok()?, usize::try_from(page.packed).ok()?);
        if usize::try_from(page.n_values).ok()? > n_values {
            return None;
        }
        chunk = rest.get(packed..)?;
        sum = sum.checked_add(unpacked)?;
    }
    Some(sum)
}

struct Header<'a> {
    rest: &'a [u8],
    page: Page,
}

impl Header<'_> {
    /// The fields of one structure; `path` holds the numbers of the fields that it stands in.
    fn fields(&mut self, path: &mut Vec<i64>) -> Option<()> {
        const DEEPEST: usize = 8;
        if path.len() > DEEPEST {
            return None;
        }
        let mut field = 0_i64;
        loop {
            let byte = self.byte()?;
            if byte == 0 {
                return Some(());
            }
            field = match byte >> 4 {
                0 => self.number()?,
                step => field.checked_add(i64::from(step))?,
            };
            path.push(field);
            self.value(byte & 15, path)?;
            path.pop();
        }
    }

    fn value(&mut self, kind: u8, path: &mut Vec<i64>) -> Option<()> {
        match kind {
            // True and false stand in the kind.
            1 | 2 => {}
            3 => drop(self.byte()?),
            4..=6 => {
                let number = self.number()?;
                match path.as_slice() {
                    [2] => self.page.unpacked = number,
                    [3] => self.page.packed = number,
                    // Values of a data page, a dictionary and a data page of the second kind; rows of the last.
                    [5 | 7 | 8, 1] | [8, 3] => {
                        self.page.n_values = if number < 0 { number } else { self.page.n_values.max(number) };
                    }
                    _ => {}
                }
            }
            7 => self.rest = self.rest.get(8..)?,
            8 => {
                let length = usize::try_from(self.varint()?).ok()?;
                self.rest = self.rest.get(length..)?;
            }
            12 => self.fields(path)?,
            // No header of a page holds a list, a set or a map.
            _ => return None,
        }
        Some(())
    }

    fn byte(&mut self) -> Option<u8> {
        let (first, rest) = self.rest.split_first()?;
        self.rest = rest;
        Some(*first)
    }

    /// A whole number: 7 bits a byte, the lowest first.
    fn varint(&mut self) -> Option<u64> {
        let mut number = 0_u64;
        for shift in (0..64).step_by(7) {
            let byte = self.byte()?;
            number |= u64::from(byte & 127) << shift;
            if byte < 128 {
                return Some(number);
            }
        }
        None
    }

    /// A whole number with its sign in the lowest bit.
    fn number(&mut self) -> Option<i64> {
        let number = self.varint()?;
        let half = i64::try_from(number >> 1).ok()?;
        Some(if number & 1 == 0 { half } else { -half - 1 })
    }
}
