//! `heldfast hand-over DIR TAG DIR2`: everything of one order in a folder that needs no program of ours.

use std::io::Write;
use std::path::Path;

use anyhow::{Error, Result};
use craft::tag::Tag;
use workbench::clock::{Clock as _, SystemClock};
use workbench::keeping::hand_over::{self, Handed};
use workbench::present::hand_over_words;

use super::look_into;

pub(crate) fn run(dir: &Path, tag: Tag, to: &Path, out: &mut dyn Write) -> Result<bool> {
    let opened = look_into(dir)?;
    let now = SystemClock::new().now();
    let work = hand_over::hand_over(&opened.studio, tag, to.to_owned(), now).map_err(Error::msg)?;
    let Handed { to, missing } = hand_over::write(&opened.folder, &work).map_err(Error::msg)?;
    if missing.is_empty() {
        writeln!(out, "{}", hand_over_words::done(&to))?;
    } else {
        writeln!(out, "{}", hand_over_words::done_without(&to, &missing))?;
    }
    Ok(missing.is_empty())
}
