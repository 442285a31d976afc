//! The tar container of a backup: plain files only, in the POSIX.1-1988 "ustar" form (IEEE Std 1003.1, pax utility,
//! "ustar Interchange Format"), which every tar program reads.
//!
//! Reading is stricter than any tar program: a link, a folder, a device, a name that leads elsewhere or a wrong
//! checksum ends it.

use std::io::{self, ErrorKind, Read, Write};

/// The size of a block.
const BLOCK: usize = 512;

/// Where a header's fields begin, and how long they are.
const NAME: (usize, usize) = (0, 100);
const MODE: (usize, usize) = (100, 8);
const OWNER: (usize, usize) = (108, 8);
const GROUP: (usize, usize) = (116, 8);
const SIZE: (usize, usize) = (124, 12);
const WRITTEN: (usize, usize) = (136, 12);
const SUM: (usize, usize) = (148, 8);
const KIND: (usize, usize) = (156, 1);
const MAGIC: (usize, usize) = (257, 8);
const PREFIX: (usize, usize) = (345, 155);

/// "ustar", a zero byte, and version 00.
const USTAR: &[u8; 8] = b"ustar\x0000";

/// What is wrong with a container.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum Odd {
    /// It ends in the middle.
    #[error("it ends too early; its end has been cut off")]
    CutOff,
    /// A header is not one.
    #[error("it is not a backup, or it is damaged: the block at byte {0} is no header of a file")]
    NoHeader(u64),
    /// An entry is something else than a plain file.
    #[error("\"{0}\" in it is a link, a folder or a device, and a backup holds plain files only")]
    NotAFile(String),
    /// A name leads elsewhere or is not one of ours.
    #[error("\"{0}\" in it is not a name that a backup holds")]
    Name(String),
    /// A name stands twice.
    #[error("\"{0}\" stands in it twice")]
    Twice(String),
    /// A file is larger than any of its kind may be.
    #[error("\"{0}\" in it says it is {1} bytes long, and no such file is larger than {2}")]
    TooLarge(String, u64, u64),
    /// Something follows after the end.
    #[error("something follows after its end")]
    Trailing,
}

fn field(header: &[u8; BLOCK], (at, len): (usize, usize)) -> &[u8] {
    header.get(at..at + len).unwrap_or_default()
}

fn put(header: &mut [u8; BLOCK], (at, len): (usize, usize), bytes: &[u8]) {
    if let Some(place) = header.get_mut(at..at + bytes.len().min(len)) {
        place.copy_from_slice(bytes.get(..place.len()).unwrap_or_default());
    }
}

/// The sum of all bytes, those of the sum itself counted as spaces.
fn sum(header: &[u8; BLOCK]) -> u64 {
    let of_sum = SUM.0..SUM.0 + SUM.1;
    header
        .iter()
        .enumerate()
        .map(|(at, &byte)| u64::from(if of_sum.contains(&at) { b' ' } else { byte }))
        .sum()
}

/// Writes one plain file.
///
/// # Errors
/// The name has more than a header can hold, or the writer fails.
pub(super) fn write_file(out: &mut dyn Write, name: &str, bytes: &[u8]) -> io::Result<()> {
    let mut header = [0_u8; BLOCK];
    let (prefix, last) = if name.len() <= NAME.1 {
        ("", name)
    } else {
        let cut = |at: &usize| *at <= PREFIX.1 && name.len() - at - 1 <= NAME.1;
        let at = name.match_indices('/').map(|(at, _)| at).find(cut).ok_or(ErrorKind::InvalidFilename)?;
        (name.get(..at).unwrap_or_default(), name.get(at + 1..).unwrap_or_default())
    };
    put(&mut header, NAME, last.as_bytes());
    put(&mut header, PREFIX, prefix.as_bytes());
    put(&mut header, MODE, b"0000600\0");
    put(&mut header, OWNER, b"0000000\0");
    put(&mut header, GROUP, b"0000000\0");
    put(&mut header, SIZE, format!("{:011o}\0", bytes.len()).as_bytes());
    put(&mut header, WRITTEN, b"00000000000\0");
    put(&mut header, KIND, b"0");
    put(&mut header, MAGIC, USTAR);
    let sum = sum(&header);
    put(&mut header, SUM, format!("{sum:06o}\0 ").as_bytes());
    out.write_all(&header)?;
    out.write_all(bytes)?;
    let over = bytes.len() % BLOCK;
    if over > 0 {
        out.write_all([0_u8; BLOCK].get(over..).unwrap_or_default())?;
    }
    Ok(())
}

/// Writes the end: two empty blocks.
///
/// # Errors
/// The writer fails.
pub(super) fn write_end(out: &mut dyn Write) -> io::Result<()> {
    out.write_all(&[0_u8; 2 * BLOCK])
}

/// Why reading ended.
#[derive(Debug)]
pub(super) enum Broke {
    /// The disk failed.
    Disk(io::Error),
    /// The container is not a good one.
    Odd(Odd),
}

impl From<Odd> for Broke {
    fn from(odd: Odd) -> Self {
        Self::Odd(odd)
    }
}

/// Reads containers file by file.
pub(super) struct Reader<'a> {
    input: &'a mut dyn Read,
    at: u64,
}

impl<'a> Reader<'a> {
    pub(super) fn new(input: &'a mut dyn Read) -> Self {
        Self { input, at: 0 }
    }

    /// The next file; `None` after the last one. `cap` says how large a file of this name may be, and gives `None` for
    /// a name that may not be there at all.
    pub(super) fn next(
        &mut self,
        cap: impl Fn(&str) -> Option<u64>,
    ) -> Result<Option<(String, Vec<u8>)>, Broke> {
        let began = self.at;
        let header = self.block()?;
        if header.iter().all(|&byte| byte == 0) {
            return if self.block()?.iter().all(|&byte| byte == 0) {
                self.must_be_over().map(|()| None)
            } else {
                Err(Odd::NoHeader(began).into())
            };
        }
        if octal(field(&header, SUM)) != Some(sum(&header)) || field(&header, MAGIC) != USTAR {
            return Err(Odd::NoHeader(began).into());
        }
        let name = name_of(&header).ok_or(Odd::NoHeader(began))?;
        if !matches!(field(&header, KIND), b"0") {
            return Err(Odd::NotAFile(name).into());
        }
        let size = octal(field(&header, SIZE)).ok_or(Odd::NoHeader(began))?;
        let most = cap(&name).ok_or_else(|| Odd::Name(name.clone()))?;
        if size > most {
            return Err(Odd::TooLarge(name, size, most).into());
        }
        let bytes = self.bytes(size)?;
        Ok(Some((name, bytes)))
    }

    /// The bytes of a file, and past what fills its last block. No room is made for what is not there.
    fn bytes(&mut self, size: u64) -> Result<Vec<u8>, Broke> {
        let mut bytes = Vec::new();
        let read = (&mut *self.input).take(size).read_to_end(&mut bytes).map_err(Broke::Disk)?;
        self.at += read as u64;
        if (read as u64) < size {
            return Err(Odd::CutOff.into());
        }
        let over = read % BLOCK;
        if over > 0 {
            let mut filling = [0_u8; BLOCK];
            let filling = filling.get_mut(over..).unwrap_or_default();
            self.fill(filling)?;
            if filling.iter().any(|&byte| byte != 0) {
                return Err(Odd::NoHeader(self.at).into());
            }
        }
        Ok(bytes)
    }

    fn block(&mut self) -> Result<[u8; BLOCK], Broke> {
        let mut block = [0_u8; BLOCK];
        self.fill(&mut block)?;
        Ok(block)
    }

    fn fill(&mut self, place: &mut [u8]) -> Result<(), Broke> {
        self.input.read_exact(place).map_err(|error| match error.kind() {
            ErrorKind::UnexpectedEof => Odd::CutOff.into(),
            _ => Broke::Disk(error),
        })?;
        self.at += place.len() as u64;
        Ok(())
    }

    fn must_be_over(&mut self) -> Result<(), Broke> {
        let mut more = [0_u8; 1];
        match self.input.read(&mut more) {
            Ok(0) => Ok(()),
            Ok(_) => Err(Odd::Trailing.into()),
            Err(error) => Err(Broke::Disk(error)),
        }
    }
}

/// A number in octal digits, ended by a zero byte or a space.
fn octal(field: &[u8]) -> Option<u64> {
    let digits = field.iter().position(|byte| matches!(byte, 0 | b' ')).unwrap_or(field.len());
    let (digits, rest) = field.split_at(digits);
    let sound = !digits.is_empty()
        && digits.iter().all(|digit| (b'0'..=b'7').contains(digit))
        && rest.iter().all(|byte| matches!(byte, 0 | b' '));
    let text = std::str::from_utf8(digits).ok().filter(|_| sound)?;
    u64::from_str_radix(text, 8).ok()
}

fn name_of(header: &[u8; BLOCK]) -> Option<String> {
    let text = |field: &[u8]| {
        let end = field.iter().position(|&byte| byte == 0).unwrap_or(field.len());
        let (text, rest) = field.split_at(end);
        let sound = rest.iter().all(|&byte| byte == 0);
        std::str::from_utf8(text).ok().filter(|_| sound).map(str::to_owned)
    };
    let (prefix, name) = (text(field(header, PREFIX))?, text(field(header, NAME))?);
    if prefix.is_empty() { Some(name) } else { Some(format!("{prefix}/{name}")) }
}
