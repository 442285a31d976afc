//! `heldfast list DIR [--csv]`: every order, one a line.

use std::io::Write;
use std::path::Path;

use anyhow::Result;
use workbench::clock::{Clock as _, SystemClock};
use workbench::keeping::list;

use super::look_into;

pub(crate) fn run(dir: &Path, csv: bool, out: &mut dyn Write) -> Result<bool> {
    let opened = look_into(dir)?;
    let now = SystemClock::new().now();
    if csv {
        write!(out, "{}", list::csv(&opened.studio, now))?;
    } else {
        for line in list::plain(&opened.studio, now) {
            writeln!(out, "{line}")?;
        }
    }
    // An order that cannot be read is in no list, so the list is not whole.
    for (doc, why) in opened.studio.locked() {
        if matches!(doc, craft::id::DocId::Order(_)) {
            writeln!(std::io::stderr(), "heldfast: not in the list: {why}")?;
        }
    }
    Ok(!opened.studio.locked().keys().any(|doc| matches!(doc, craft::id::DocId::Order(_))))
}
