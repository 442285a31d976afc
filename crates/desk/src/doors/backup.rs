//! `heldfast backup DIR FILE`: the whole studio in one new file.

use std::io::Write;
use std::path::Path;
use std::sync::Arc;

use anyhow::{Error, Result};
use store::folder::StudioFolder;
use store::vfs::DiskVfs;
use workbench::clock::{Clock as _, SystemClock};
use workbench::keeping::{Kept, backup};
use workbench::present::backup_words;

use super::look_into;

pub(crate) fn run(dir: &Path, file: &Path, out: &mut dyn Write) -> Result<bool> {
    let opened = look_into(dir)?;
    let about = backup::about(&opened.studio, SystemClock::new().now());
    // The note says where it is, from wherever the program is started next.
    let file = &std::path::absolute(file)?;
    let kept = backup::make(&opened.folder, &about, file, &|_| (), &|| false).map_err(Error::msg)?;
    let Kept::BackedUp { to, made, files, bytes, left_out } = kept else { return Ok(false) };
    writeln!(out, "{}", backup_words::made(&to, files, bytes))?;
    if !left_out.is_empty() {
        writeln!(out, "{}", backup_words::left_out(&left_out))?;
    }
    // Where a window has the studio open, only the note of when it was backed up is not written.
    if let Ok(folder) = StudioFolder::open(dir, Arc::new(DiskVfs)) {
        folder.note_backup(&made, &to);
    }
    for trouble in &opened.troubles {
        writeln!(out, "in it as it is: {}: {}", trouble.file, trouble.what)?;
    }
    Ok(opened.troubles.is_empty() && left_out.unread.is_empty())
}
