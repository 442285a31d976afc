//! The studio's folder as others see and change it.

use craft::moment::Moment;

use super::{Notice, Workbench};
use crate::action::{Effect, FolderNews};
use crate::present::folder_words;

impl Workbench {
    /// Takes in what a look at the folder found. Once it is back, what could not be saved is tried again at once.
    pub(super) fn folder_told(&mut self, news: FolderNews, now: Moment) -> Vec<Effect> {
        match news {
            FolderNews::Gone => {
                self.folder = Some(news);
                Vec::new()
            }
            FolderNews::Back => {
                self.folder = None;
                let failed = self.failed_saves();
                self.say(Notice::Said(folder_words::news(&news, !failed.is_empty())));
                self.save_failed_at = (!failed.is_empty()).then_some(now);
                failed.into_iter().flat_map(|doc| self.save(doc)).collect()
            }
            FolderNews::Changed { .. } => {
                let notice = Notice::Failed(folder_words::news(&news, false));
                // What nobody has read yet need not be said twice.
                if self.notices.contains(&notice) { Vec::new() } else { self.say(notice) }
            }
        }
    }
}
