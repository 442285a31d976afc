//! Backups of the whole studio, and putting one back.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use chrono::DateTime;
use craft::moment::Moment;
use craft::studio::Studio;
use store::backup::{self, About, BackupError, Contents, Going};
use store::folder::StudioFolder;
use store::told;
use store::vfs::{DiskVfs, Vfs};

use super::{Kept, same, sweep};
use crate::open::{OpenError, Opened, open};

/// What a backup made now says of itself.
pub fn about(studio: &Studio, now: Moment) -> About {
    About { studio: studio.policies().studio.to_string(), made: now.utc_text() }
}

/// Makes a backup and notes in the studio's folder, where that can be done, that it was made.
///
/// # Errors
/// Why there is none.
pub fn make(
    folder: &StudioFolder,
    about: &About,
    to: &Path,
    progress: &dyn Fn(u8),
    is_stopped: &dyn Fn() -> bool,
) -> Result<Kept, String> {
    let mut last = 0;
    let mut going = |percent: u8| {
        if percent != last {
            last = percent;
            progress(percent);
        }
        !is_stopped()
    };
    let made = backup::to_file(folder, about, to, &mut going).map_err(|why| told(&why))?;
    folder.note_backup(&about.made, to);
    let Contents { files, bytes, left_out, .. } = made;
    let made = about.made.clone();
    Ok(Kept::BackedUp { to: to.to_owned(), made, files: files.len(), bytes, left_out })
}

/// A studio that was put back from a backup.
#[derive(Debug)]
pub struct PutBack {
    /// The studio as it opens.
    pub opened: Opened,
    /// What the backup said of itself and held.
    pub contents: Contents,
    /// How many clients were forgotten again.
    pub forgotten: usize,
    /// What could not be done of that.
    pub troubles: Vec<String>,
}

/// Why a backup was not put back.
#[derive(Debug, thiserror::Error)]
pub enum NotPutBack {
    /// The backup or the folder.
    #[error(transparent)]
    Backup(#[from] BackupError),
    /// The studio that was put back does not open.
    #[error("the files of the backup are in {at}, and every one is as it was; but the studio does not open", at = at.display())]
    NotOpened {
        /// The folder.
        at: PathBuf,
        /// Why.
        #[source]
        source: OpenError,
    },
}

/// Puts a backup back into a new or empty folder. Every digest is compared before anything is written, every file is
/// read back, then the studio is opened, which reads every document and follows every record. Clients who are to be
/// forgotten, as the backup itself and the lists in `lists` say, are forgotten again, unless a list is certainly of another
/// studio that bears the same id. `going` hears how far it is, in
/// per cent, and says `false` to stop it.
///
/// # Errors
/// The backup cannot be used, the folder holds something, or the disk fails.
pub fn put_back(
    file: &Path,
    dir: &Path,
    lists: &dyn Fn(&About) -> Vec<PathBuf>,
    now: Moment,
    going: Going<'_>,
) -> Result<PutBack, NotPutBack> {
    let vfs: Arc<dyn Vfs> = Arc::new(DiskVfs);
    let mut known = |contents: &Contents| same::to_forget_in(file, contents, &lists(&contents.about));
    let restored = backup::restore(file, dir, vfs.clone(), &mut known, going)?;
    let contents = restored.contents;
    drop(restored.folder);
    let not_opened = |source| NotPutBack::NotOpened { at: dir.to_owned(), source };
    let mut opened = open(dir, vfs).map_err(not_opened)?;
    let swept = sweep::sweep(&opened.folder, &mut opened.studio, now);
    let (forgotten, troubles) = match swept {
        Ok(swept) => (swept.clients, swept.troubles),
        Err(why) => (0, vec![why]),
    };
    Ok(PutBack { opened, contents, forgotten, troubles })
}

/// Reads the moment of a backup, in milliseconds since 1970.
pub fn made_ms(made: &str) -> Option<i64> {
    DateTime::parse_from_rfc3339(made).ok().map(|made| made.timestamp_millis())
}

/// How many entries were recorded after that moment.
pub fn entries_since(studio: &Studio, utc_ms: i64) -> usize {
    studio.orders().values().map(|held| held.entries_since(utc_ms) as usize).sum()
}
