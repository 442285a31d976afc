//! Orders that are over, read again: what was worked out of the very same bytes stands in the folder's summaries, and
//! the order itself lies packed until it is looked into.

use std::collections::BTreeSet;
use std::fmt;
use std::sync::Arc;

use craft::digest::Digest;
use craft::id::StudioId;
use craft::order::Order;
use craft::studio::{Packed, Studio, Summary};
use craft::tag::Tag;
use store::folder::{FileBytes, StudioFolder};
use store::format::{Decoded, Since, decode};
use store::name::{DocKind, DocPath};
use store::summaries::Summaries;

/// How hard the text of an order is pressed: quickly. Pressing harder wins a tenth and takes three times as long.
const LEVEL: u8 = 1;

/// How a seal stands in the text of an order, and how long it is. Within words a quotation mark is led by a stroke, so
/// nothing else reads like this.
const SEAL: &[u8] = b"seal: \"";
const SEAL_LEN: usize = 64;

/// The text of an order's file, pressed. It is without its seals, which are half of what cannot be pressed and follow
/// from the rest.
struct Text(Box<[u8]>);

impl fmt::Debug for Text {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "an order in {} bytes", self.0.len())
    }
}

impl Packed for Text {
    fn unpack(&self) -> Option<Order> {
        let limit = usize::try_from(store::format::CAP).ok()?;
        let text = miniz_oxide::inflate::decompress_to_vec_zlib_with_limit(&self.0, limit).ok()?;
        match decode(DocKind::Order, &text) {
            Decoded::Whole::<Order>(order) => {
                let log = order.log.sealed_anew(&order.studio, order.tag);
                Some(Order { log, ..order })
            }
            Decoded::Newer(_) | Decoded::Broken(_) => None,
        }
    }
}

fn packed(file: &FileBytes) -> Arc<dyn Packed> {
    // Only the program spells a seal like this for sure; what a hand wrote is pressed as it is.
    let text = match file.since {
        Since::AsSaved => without_seals(&file.bytes),
        Since::Changed | Since::Unknown => file.bytes.clone(),
    };
    Arc::new(Text(miniz_oxide::deflate::compress_to_vec_zlib(&text, LEVEL).into_boxed_slice()))
}

/// The same text with every seal as nought.
fn without_seals(bytes: &[u8]) -> Vec<u8> {
    let mut text = bytes.to_vec();
    let mut at = 0;
    while let Some(rest) = text.get_mut(at..) {
        let Some(found) = memchr::memmem::find(rest, SEAL) else { break };
        let start = found + SEAL.len();
        if let Some(seal) = rest.get_mut(start..start + SEAL_LEN)
            && seal.iter().all(u8::is_ascii_hexdigit)
        {
            seal.fill(b'0');
        }
        at += start;
    }
    text
}

/// What is known of the orders at rest that were read.
#[derive(Debug, Default)]
pub(super) struct Noted {
    /// The names of those that were summed up before.
    again: BTreeSet<String>,
    /// Those that were summed up now.
    anew: Summaries,
}

impl Noted {
    pub(super) fn join(&mut self, mut others: Self) {
        self.again.append(&mut others.again);
        self.anew.join(&others.anew);
    }
}

/// Lets an order in by what is known of it.
pub(super) fn take(
    studio: &mut Studio,
    summary: Summary,
    (path, file): (&DocPath, &FileBytes),
    noted: &mut Noted,
) {
    noted.again.insert(path.stem().to_owned());
    studio.take_resting(summary, packed(file));
}

/// How the orders of a folder are put to rest.
#[derive(Debug)]
pub(super) struct Resting {
    /// Who sums up; none where that cannot be told, and then nothing is kept.
    made_by: Option<String>,
    before: Summaries,
}

impl Resting {
    /// What was summed up before in this folder.
    pub(super) fn begin(folder: &StudioFolder, studio: &StudioId) -> Self {
        let made_by = made_by(studio);
        let before = made_by.as_ref().map(|made_by| folder.load_summaries(made_by));
        Self { before: before.unwrap_or_default(), made_by }
    }

    /// What is known of the order in a file with these bytes. It must be of the tag that the file bears and end with the
    /// seal that the file ends with; else the file is read as if nothing were known.
    pub(super) fn known(&self, path: &DocPath, file: &FileBytes) -> Option<Summary> {
        let summary: Summary = self.before.get(path.stem(), &file.digest)?;
        let lies: Tag = path.stem().parse().ok()?;
        (summary.tag == lies && last_seal(&file.bytes) == Some(summary.seal)).then_some(summary)
    }

    /// Keeps what is known of the orders at rest, where it is not what was kept before. What another program kept goes.
    pub(super) fn keep(&self, folder: &StudioFolder, noted: Noted) {
        let Noted { again, mut anew } = noted;
        if anew.is_empty() && again.len() == self.before.len() && !self.before.is_empty() {
            return;
        }
        for stem in &again {
            anew.take_over(stem, &self.before);
        }
        // It is read faster next time; no work depends on it.
        match &self.made_by {
            Some(made_by) => drop(folder.save_summaries(made_by, &anew)),
            None => drop(folder.remove_summaries()),
        }
    }
}

/// The seal that stands last in an order's text.
fn last_seal(bytes: &[u8]) -> Option<Digest> {
    let start = memchr::memmem::rfind(bytes, SEAL)? + SEAL.len();
    std::str::from_utf8(bytes.get(start..start + SEAL_LEN)?).ok()?.parse().ok()
}

/// Puts an order that was just read to rest, where it is over, and notes what is known of it.
pub(super) fn lay_to_rest(studio: &mut Studio, (path, file): (&DocPath, &FileBytes), noted: &mut Noted) {
    let Ok(tag) = path.stem().parse::<Tag>() else { return };
    if let Some(summary) = studio.lay_to_rest(tag, || packed(file)) {
        noted.anew.put(path.stem(), file.digest, summary);
    }
}

/// Who sums up: this very program, for this studio. The size and the time of the program's own file tell two builds of one
/// version apart; where it has none, nothing is kept.
fn made_by(studio: &StudioId) -> Option<String> {
    let program = std::env::current_exe().and_then(std::fs::metadata).ok()?;
    let changed = program.modified().ok()?.duration_since(std::time::UNIX_EPOCH).ok()?;
    let (size, shape) = (program.len(), Summary::SHAPE);
    Some(format!("{} {shape} {size} {} {studio}", env!("CARGO_PKG_VERSION"), changed.as_nanos()))
}

#[cfg(test)]
mod tests;
