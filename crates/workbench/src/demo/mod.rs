//! A studio of our own invention, to look round in: nineteen orders, each at another point of the work.
//!
//! Everything in it was written down through [`Studio::apply`], as a maker would write it, with the times of the days
//! and weeks before. The stones are planned by the real planner from the starter shelf. The same moment always gives
//! the same studio. It is a scenario, never a record of anybody: the people, places, parcels and photos are made up.
//!
//! ```
//! use craft::moment::{BootId, Moment};
//!
//! let noon = 1_783_512_000_000;
//! let today = Moment { utc_ms: noon, offset_min: 60, boot: BootId(1), since_boot_ms: 9_000_000, awake_ms: 9_000_000 };
//! let demo = workbench::demo::build(today)?;
//! assert!(demo.studio.findings().is_empty());
//! # Ok::<(), craft::refusal::Refusal>(())
//! ```

mod bills;
mod calendar;
mod hands;
pub mod many;
mod pen;
mod people;
mod pictures;
mod stories;
#[cfg(test)]
mod tests;

use craft::digest::Digest;
use craft::moment::Moment;
use craft::order::PhotoKind;
use craft::refusal::Refusal;
use craft::studio::Studio;

use calendar::Calendar;
use pen::Pen;

/// The demo studio and the photos that its orders name.
#[derive(Clone, Debug, PartialEq)]
pub struct Demo {
    /// The studio.
    pub studio: Studio,
    /// The photos, in the order they were drawn.
    pub photos: Vec<DemoPhoto>,
}

/// A drawn photo.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DemoPhoto {
    /// The file.
    pub bytes: Vec<u8>,
    /// Its digest, by which orders name it.
    pub digest: Digest,
    /// What kind of file it is.
    pub kind: PhotoKind,
}

/// The demo studio as it stands at `today`: one stone settles, one is under the lamp, the rest waits for its turn.
///
/// # Errors
/// None, unless the rules of the studio have changed and the demo was not changed with them.
pub fn build(today: Moment) -> Result<Demo, Refusal> {
    let mut pen = Pen::new(people::policies()?, Calendar::new(today));
    for (id, item) in crate::starter::shelf() {
        pen.shelf(id, item)?;
    }
    people::write(&mut pen)?;
    stories::write(&mut pen)?;
    bills::write(&mut pen)?;
    Ok(Demo { studio: pen.studio, photos: pen.photos })
}
