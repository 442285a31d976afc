//! Earlier versions, backups and forgetting, as the workbench takes part in them.

use std::path::PathBuf;

use craft::id::{ClientId, DocId};
use craft::moment::Moment;
use craft::studio::Doc;
use craft::tag::Tag;
use store::name::DocPath;

use super::{Notice, Workbench};
use crate::action::{Effect, Job, Work};
use crate::finding::{Finding, Owners};
use crate::keeping::backup::made_ms;
use crate::keeping::forget::Forgetting;
use crate::keeping::hand_over::Handed;
use crate::keeping::history::taken_back;
use crate::keeping::loose::photos_of_doc;
use crate::keeping::sweep::{AllSwept, Sweeping};
use crate::keeping::{Keep, KeepWork, Keeping, Kept, Made, forget, work_for};
use crate::open::path_of;
use crate::present::{backup_words, finding_words, forget_words, hand_over_words, job_words, undo_words};
use crate::saving::Standing;

impl Workbench {
    /// The same, with what was read of backups and of who is forgotten.
    #[must_use]
    pub fn with_keeping(self, keeping: Keeping) -> Self {
        Self { keeping, ..self }
    }

    /// What the workbench knows of backups, earlier versions and who is forgotten.
    pub fn keeping(&self) -> &Keeping {
        &self.keeping
    }

    /// An earlier version goes through the studio's door as any change does, and can be undone as any.
    pub(super) fn take_back(&mut self, earlier: Doc, now: Moment) -> Vec<Effect> {
        let id = earlier.id();
        let turned_away = self.read_only.clone().or_else(|| self.gone(&id).map(str::to_owned));
        // Of an order only its sheet and its words go back, which ask no other order.
        let waits = !matches!(earlier, Doc::Order(_));
        let turned_away = turned_away.or_else(|| self.not_all_read().filter(|_| waits));
        if let Some(why) = turned_away {
            return self.say(Notice::Refused { why, remedy: None });
        }
        let label = undo_words::taken_back(&id, &self.studio);
        let done = taken_back(&self.studio, earlier, now).and_then(|doc| self.studio.put_back(doc));
        match done {
            Ok(done) => {
                self.refusal_answered();
                if done.before == self.studio.doc(&done.doc) {
                    return Vec::new();
                }
                if let Some(before) = done.before {
                    self.undo.changed(before, label);
                }
                self.touched(&done.doc, now);
                self.save(done.doc)
            }
            Err(refusal) => self.refused(&refusal),
        }
    }

    /// Why a document may not go back to what was forgotten.
    pub(super) fn gone(&self, id: &DocId) -> Option<&'static str> {
        if self.keeping.is_held_back(id) {
            return Some(forget_words::UNDER_WAY);
        }
        self.keeping.is_forgotten(id).then_some(forget_words::FORGOTTEN_ALREADY)
    }

    pub(super) fn history_told(&mut self, why: String) -> Vec<Effect> {
        // The change itself is safe, so nothing that was asked for has failed.
        let notice = Notice::Said(why);
        // What nobody has read yet need not be said twice.
        if self.notices.contains(&notice) { Vec::new() } else { self.say(notice) }
    }

    pub(super) fn keep_work(&self, keep: &Keep, now: Moment) -> Result<Work, String> {
        match keep {
            Keep::Forget(client) => drop(self.may_forget(client, now)?),
            Keep::HandOver { tag, .. } if self.keeping.is_held_back(&DocId::Order(*tag)) => {
                return Err(forget_words::UNDER_WAY.to_owned());
            }
            Keep::PutInPlace { doc, .. } => self.may_put_in_place(doc)?,
            Keep::ReadHistory(doc) => {
                if let Some(why) = self.gone(doc) {
                    return Err(why.to_owned());
                }
            }
            _ => {}
        }
        // What asks every order is asked once every order is read.
        if let (Keep::WriteList { .. }, Some(why)) = (keep, self.not_all_read()) {
            return Err(why);
        }
        let owners = self.owners();
        let work = work_for(&self.studio, &self.keeping, &owners, keep, now)?;
        Ok(Work::Keep(Box::new(match work {
            KeepWork::Forget { who, note } => {
                KeepWork::Forget { who: Box::new(self.with_what_comes_back(*who)), note }
            }
            KeepWork::Sweep(all) => {
                let each = |one: Sweeping| one.but(|who| self.with_what_comes_back(who));
                KeepWork::Sweep(all.into_iter().map(each).collect())
            }
            other => other,
        })))
    }

    /// Whose the orders are that cannot be read.
    fn owners(&self) -> Owners {
        forget::owners(&self.found, &self.keeping.forgotten)
    }

    /// Only where a file could not be used something else may lie in its place.
    fn may_put_in_place(&self, doc: &DocId) -> Result<(), String> {
        let turned_away = self.read_only.clone().or_else(|| self.gone(doc).map(str::to_owned));
        let is_forgotten = self.found.iter().any(|finding| finding.is_forgotten(doc));
        let turned_away =
            turned_away.or_else(|| is_forgotten.then(|| forget_words::FORGOTTEN_ALREADY.to_owned()));
        let is_unread = self.found.iter().any(|finding| finding.is_unreadable(doc));
        match turned_away {
            Some(why) => Err(why),
            None if is_unread => Ok(()),
            None => Err(finding_words::READ_ALREADY.to_owned()),
        }
    }

    /// What lies on the disk now is taken in.
    fn in_place(&mut self, doc: Doc, beside: Option<&str>, now: Moment) -> Vec<Effect> {
        let id = doc.id();
        if let Err(refusal) = self.studio.take_anew(doc) {
            return self.say(Notice::Failed(refusal.to_string()));
        }
        self.found.retain(|finding| !finding.is_unreadable(&id));
        if let (Some(name), Ok(path)) = (beside, path_of(&id)) {
            let file =
                path.kind().folder().map_or_else(|| name.to_owned(), |folder| format!("{folder}/{name}"));
            let is_told =
                |finding: &Finding| matches!(finding, Finding::Beside { file: known, .. } if *known == file);
            if !self.found.iter().any(is_told) {
                self.found.push(Finding::Beside { file, gone: None });
            }
        }
        self.found_anew();
        self.touched(&id, now);
        self.say(Notice::Said(finding_words::in_place(&id, beside)))
    }

    /// Photos that a step back or forth would bring back are not without a name.
    fn with_what_comes_back(&self, mut who: Forgetting) -> Forgetting {
        let docs = self.undo.points().map(|point| &point.before);
        let others = docs.filter(|doc| !who.ids().contains(&doc.id()));
        let named: Vec<_> = others.flat_map(photos_of_doc).collect();
        who.staying.back.extend(named);
        who
    }

    /// Everything of a client that would be forgotten now.
    ///
    /// # Errors
    /// Why it cannot be now, and what to do.
    pub fn may_forget(&self, client: &ClientId, now: Moment) -> Result<Forgetting, String> {
        if let Some(why) = &self.read_only {
            return Err(why.clone());
        }
        if let Some(why) = self.not_all_read() {
            return Err(why);
        }
        // What shall be saved is gathered now, so nothing recorded meanwhile may be written over by it.
        if !self.keeping.under_way.is_empty() || self.keeping.sweep_later {
            return Err(forget_words::ONE_AT_A_TIME.to_owned());
        }
        let who = forget::forgetting(&self.studio, client, &self.owners(), now)?;
        let who = self.with_what_comes_back(who);
        let theirs = |tag: Tag| who.tags.contains(&tag);
        // A photo that is being taken in is named by nothing yet, whosever it is.
        let waits = |job: &Job| takes_photo(job) || keeps_of(job).is_some_and(theirs);
        if self.jobs.values().any(|running| waits(&running.job)) {
            return Err(forget_words::AT_WORK.to_owned());
        }
        if who.ids().iter().any(|id| !matches!(self.saves.standing(id), Standing::Saved)) {
            return Err(forget_words::NOT_SAVED.to_owned());
        }
        Ok(who)
    }

    /// Names the folder in which this computer keeps who is forgotten, apart from any studio.
    pub fn keep_lists_in(&mut self, lists: PathBuf) {
        self.keeping.lists = Some(lists);
    }

    /// What is being forgotten takes no change until it is, and nothing leads back to what it was.
    pub(super) fn begins(&mut self, work: &Work) {
        if let Work::Keep(work) = work
            && let KeepWork::Forget { who, .. } = work.as_ref()
        {
            self.keeping.under_way = who.ids();
            for id in &self.keeping.under_way {
                self.undo.forget(id);
            }
        }
    }

    /// A job that was begun is over, however it ended. Only one client is forgotten at a time.
    pub(super) fn ends(&mut self, job: &Job) {
        match job {
            Job::Keep(Keep::Forget(_)) => self.keeping.under_way.clear(),
            Job::Keep(Keep::Sweep) => self.keeping.sweep_later = false,
            _ => {}
        }
    }

    /// Everything is read: what is left of those who were forgotten before is looked for, once. It waits while a photo is
    /// being taken in, for that is named by nothing yet and would be taken for what is left.
    pub(super) fn sweep_now(&mut self, now: Moment) -> Vec<Effect> {
        let waits = |job: &Job| takes_photo(job) || matches!(job, Job::Keep(Keep::Sweep));
        let may = self.not_all_read().is_none() && !self.jobs.values().any(|running| waits(&running.job));
        if self.keeping.sweep_later && may { self.start(Job::Keep(Keep::Sweep), now) } else { Vec::new() }
    }

    /// What is left and cannot be removed now is told of, and takes no change until the next start.
    fn swept(&mut self, swept: AllSwept, now: Moment) -> Vec<Effect> {
        let AllSwept { gone, troubles } = swept;
        for gone in &gone {
            self.take_over(gone, now);
        }
        self.found.extend(troubles.into_iter().map(Finding::NotForgotten));
        self.found_anew();
        Vec::new()
    }

    pub(super) fn kept(&mut self, kept: Kept, now: Moment) -> Vec<Effect> {
        match kept {
            Kept::History(doc, versions) => {
                self.keeping.history = Some((doc, versions));
                Vec::new()
            }
            Kept::InPlace(doc, beside) => self.in_place(*doc, beside.as_deref(), now),
            Kept::BackedUp { to, made, files, bytes, left_out } => {
                self.keeping.since.kept(made_ms(&made).unwrap_or(i64::MIN));
                (self.keeping.last_backup, self.keeping.last_backup_in) = (Some(made), Some(to.clone()));
                self.keeping.made = Some(Made { to: to.clone(), files, bytes, left_out: left_out.clone() });
                let mut said = backup_words::made(&to, files, bytes);
                if !left_out.is_empty() {
                    said = format!("{said}; {}", backup_words::left_out(&left_out));
                }
                self.say(Notice::Said(said))
            }
            Kept::HandedOver(Handed { to, missing }) => {
                let said = if missing.is_empty() {
                    Notice::Said(hand_over_words::done(&to))
                } else {
                    Notice::Failed(hand_over_words::done_without(&to, &missing))
                };
                self.keeping.handed = Some(to);
                self.say(said)
            }
            Kept::Listed(to) => self.say(Notice::Said(job_words::list_written(&to))),
            Kept::Forgotten(gone, not_noted) => {
                let effects = self.forgotten(&gone, now);
                if let Some(why) = not_noted {
                    self.say(Notice::Failed(forget_words::not_noted(&why)));
                }
                effects
            }
            Kept::Swept(swept) => self.swept(swept, now),
            Kept::ReceiptWritten(to) => self.say(Notice::Said(forget_words::receipt_written(&to))),
            Kept::PutBack(back) => {
                let said = backup_words::put_back(&back.to, &back.made, back.files, now);
                self.keeping.back = Some(*back);
                self.say(Notice::Said(said))
            }
        }
    }

    /// What is on the disk already is taken over here, and nothing leads back to it. A sheet that is not still says which
    /// photos there are: blanked here, the next save of the order would lose that.
    fn take_over(&mut self, gone: &forget::Gone, now: Moment) {
        let who = &gone.who;
        self.keeping.history = None;
        let tags = who.tags.iter().map(ToString::to_string);
        self.keeping.forgotten.add(who.client.as_str(), &who.day.to_string(), tags);
        for id in who.ids() {
            self.undo.forget(&id);
        }
        for doc in who.docs.iter().filter(|doc| gone.saved.contains(&doc.id())) {
            let id = doc.id();
            self.keeping.blanked.remove(&id);
            match self.studio.take(doc.clone()) {
                Ok(()) => self.touched(&id, now),
                Err(refusal) => drop(self.say(Notice::Failed(refusal.to_string()))),
            }
        }
        let paths: Vec<DocPath> = who.ids().iter().filter_map(|id| path_of(id).ok()).collect();
        let is_gone = |file: &str| gone.troubles.is_empty() && paths.iter().any(|path| path.has_beside(file));
        forget::settle(&mut self.found, &self.keeping.forgotten, &is_gone);
        self.found_anew();
    }

    fn forgotten(&mut self, gone: &forget::Gone, now: Moment) -> Vec<Effect> {
        self.take_over(gone, now);
        let receipt = forget_words::receipt(self.studio.policies().name.as_str(), gone);
        let said = if gone.troubles.is_empty() {
            Notice::Said(forget_words::DONE.to_owned())
        } else {
            Notice::Failed(format!("{}: {}", forget_words::NOT_WHOLE, gone.troubles.join("; ")))
        };
        self.keeping.receipt = Some(receipt);
        self.say(said)
    }
}

/// The order of which a job keeps something, or gives it away.
fn keeps_of(job: &Job) -> Option<Tag> {
    match job {
        Job::TakePhoto { tag, .. }
        | Job::TakeBoxPhoto { tag, .. }
        | Job::IssuePaper { tag, .. }
        | Job::CopyPaper { tag, .. }
        | Job::Keep(Keep::HandOver { tag, .. }) => Some(*tag),
        _ => None,
    }
}

/// True where a photo is being taken in.
fn takes_photo(job: &Job) -> bool {
    matches!(job, Job::TakePhoto { .. } | Job::TakeBoxPhoto { .. })
}
