//! The workbench itself: a pure state machine over actions and effects.

use std::collections::{BTreeMap, BTreeSet, VecDeque};

use craft::digest::Digest;
use craft::fact::HomeFact;
use craft::id::DocId;
use craft::moment::Moment;
use craft::order::{Photo, PhotoKind, Sheet};
use craft::policies::PaperSize;
use craft::refusal::Refusal;
use craft::studio::{Doc, Edit, OrderEdit, Studio};
use craft::tag::Tag;
use craft::text::Line;
use papers::document::Stamp;

use crate::action::{
    Action, Alarm, Effect, Job, JobEnd, JobId, Nav, Outcome, PaperWork, Purpose, Source, Work,
};
use crate::open::Trouble;
use crate::present::paper_facts;
use crate::present::undo_words::edit_label;
use crate::saving::{Saves, Standing};
use crate::undo::{Point, UndoStack};
use crate::view::{JobRow, View};
use crate::waits::{self, Kind, Wait, waits};

/// Something to be said to the person.
#[derive(Clone, Debug, PartialEq)]
pub enum Notice {
    /// The door did not open: why, and the edit that would mend it.
    Refused {
        /// Why.
        why: String,
        /// What would mend it.
        remedy: Option<Box<Edit>>,
    },
    /// Something could not be done.
    Failed(String),
    /// Something was done.
    Said(String),
}

/// Why a paper that was set is not recorded as issued.
const PAPER_OVERTAKEN: &str = "something was recorded while the paper was being set; issue it again";

/// How long after a save failed it is tried again by itself, in milliseconds of the computer's own count.
const SAVE_AGAIN_MS: i64 = 15_000;

/// A job that runs.
#[derive(Clone, Debug)]
struct Running {
    job: Job,
    percent: u8,
    /// How long the order's record was when a paper of it was begun.
    entries: u32,
}

/// One stone's wait: the order, what for, the stone, and when it began. Stones that waited together may be felt one
/// by one, so each has rung by itself.
type Rung = (Tag, Kind, u8, i64, i64);

/// The program without its window.
#[derive(Debug)]
pub struct Workbench {
    studio: Studio,
    nav: Nav,
    notices: VecDeque<Notice>,
    undo: UndoStack,
    saves: Saves,
    save_failed_at: Option<Moment>,
    jobs: BTreeMap<JobId, Running>,
    next_job: u64,
    rung: BTreeSet<Rung>,
    troubles: Vec<Trouble>,
    read_only: Option<String>,
}

impl Workbench {
    /// A workbench over a studio; `read_only` says why nothing can be changed, where that is so.
    pub fn new(studio: Studio, read_only: Option<String>) -> Self {
        Self {
            studio,
            nav: Nav::default(),
            notices: VecDeque::new(),
            undo: UndoStack::default(),
            saves: Saves::default(),
            save_failed_at: None,
            jobs: BTreeMap::new(),
            next_job: 1,
            rung: BTreeSet::new(),
            troubles: Vec::new(),
            read_only,
        }
    }

    /// The same, with what could not be read when the studio was opened.
    #[must_use]
    pub fn with_troubles(self, troubles: Vec<Trouble>) -> Self {
        Self { troubles, ..self }
    }

    /// Everything that is to be said and that nobody has put away, the oldest in front.
    pub fn notices(&self) -> impl Iterator<Item = &Notice> {
        self.notices.iter()
    }

    /// How all documents stand.
    pub fn saves(&self) -> &Saves {
        &self.saves
    }

    /// What there is to be seen.
    pub fn view(&self, now: Moment) -> View<'_> {
        View {
            studio: &self.studio,
            nav: self.nav,
            notice: self.notices.front(),
            board: crate::present::board::board(&self.studio, now),
            undo: &self.undo,
            saves: &self.saves,
            jobs: self
                .jobs
                .iter()
                .map(|(&id, running)| JobRow { id, job: &running.job, percent: running.percent })
                .collect(),
            waits: waits(&self.studio, now),
            troubles: &self.troubles,
            read_only: self.read_only.as_deref(),
            now,
        }
    }

    /// Takes one action in and says what is to be done in the world.
    pub fn handle(&mut self, action: Action, now: Moment) -> Vec<Effect> {
        match action {
            Action::Edit(edit) => self.edit(edit, now),
            Action::EditSheet { tag, base, sheet } => {
                let sheet = self.with_new_photos(tag, &base, *sheet);
                self.edit(Edit::Order(tag, OrderEdit::Sheet(Box::new(sheet))), now)
            }
            Action::Undo => self.step_back(),
            Action::Redo => self.step_forth(),
            Action::Go(nav) => {
                self.nav = nav;
                Vec::new()
            }
            Action::Start(job) => self.start(job, now),
            Action::Cancel(id) => self.jobs.remove(&id).map(|_| vec![Effect::Stop(id)]).unwrap_or_default(),
            Action::Pick(purpose) => vec![Effect::Pick(purpose)],
            Action::Picked(Purpose::Photos { tag, of }, files) => {
                let take =
                    |file| Job::TakePhoto { tag, of, caption: Line::default(), source: Source::File(file) };
                files.into_iter().flat_map(|file| self.start(take(file), now)).collect()
            }
            Action::Progress(id, percent) => {
                if let Some(running) = self.jobs.get_mut(&id) {
                    running.percent = percent;
                }
                Vec::new()
            }
            Action::JobDone(id, end) => self.job_done(id, end, now),
            Action::SaveDone(doc, rev, outcome) => {
                self.saves.ended(&doc, rev, outcome);
                self.again_later(now)
            }
            Action::SaveAgain => self.save_again(),
            Action::Dismiss => {
                self.notices.pop_front();
                Vec::new()
            }
            Action::Tick => self.tick(now),
        }
    }

    /// The person's own change: a refusal said before has been answered by it. A failure has not; it stays until it
    /// is put away.
    fn edit(&mut self, edit: Edit, now: Moment) -> Vec<Effect> {
        self.refusal_answered();
        self.commit(edit, now)
    }

    /// The sheet as it was edited, and the photos that jobs noted on the order's own since it was drafted.
    fn with_new_photos(&self, tag: Tag, base: &Sheet, mut sheet: Sheet) -> Sheet {
        let now = self.studio.order(tag).map(|held| held.order.sheet.photos.clone()).unwrap_or_default();
        let same = |a: &Photo, b: &Photo| a.original == b.original && a.of == b.of;
        let knows = |photos: &[Photo], photo: &Photo| photos.iter().any(|known| same(known, photo));
        let fresh =
            now.into_iter().filter(|photo| !knows(&base.photos, photo) && !knows(&sheet.photos, photo));
        let fresh: Vec<Photo> = fresh.collect();
        sheet.photos.extend(fresh);
        sheet
    }

    fn refusal_answered(&mut self) {
        self.notices.retain(|notice| !matches!(notice, Notice::Refused { .. }));
    }

    /// Has something said after everything that nobody has read yet.
    fn say(&mut self, notice: Notice) -> Vec<Effect> {
        self.notices.push_back(notice);
        Vec::new()
    }

    /// A change through the studio's door. One that changes nothing is not worth a save or an undo point.
    fn commit(&mut self, edit: Edit, now: Moment) -> Vec<Effect> {
        if let Some(why) = &self.read_only {
            let why = why.clone();
            return self.say(Notice::Refused { why, remedy: None });
        }
        let label = edit_label(&edit, &self.studio);
        let fact = match &edit {
            Edit::Order(_, OrderEdit::Fact(fact) | OrderEdit::Told(_, fact)) => Some(fact.clone()),
            _ => None,
        };
        match self.studio.apply(edit, now) {
            Ok(done) => {
                match (fact, done.before) {
                    (Some(fact), _) => self.undo.happened(&done.doc, fact),
                    (None, before) if before == self.studio.doc(&done.doc) => return Vec::new(),
                    (None, Some(before)) => self.undo.changed(before, label),
                    (None, None) => self.undo.made(label),
                }
                self.save(done.doc)
            }
            Err(refusal) => self.refused(&refusal),
        }
    }

    fn refused(&mut self, refusal: &Refusal) -> Vec<Effect> {
        let remedy = refusal.remedy().map(Box::new);
        self.refusal_answered();
        self.say(Notice::Refused { why: refusal.to_string(), remedy })
    }

    fn save(&mut self, id: DocId) -> Vec<Effect> {
        let Some(doc) = self.studio.doc(&id) else { return Vec::new() };
        let rev = self.saves.changed(id.clone());
        vec![Effect::Save(id, rev, doc)]
    }

    fn save_again(&mut self) -> Vec<Effect> {
        let unsaved: Vec<_> = self.saves.unsaved().map(|(doc, _)| doc.clone()).collect();
        unsaved.into_iter().flat_map(|doc| self.save(doc)).collect()
    }

    /// The documents whose save failed in a way that may pass; another program's file would only be quarrelled with
    /// again.
    fn failed_saves(&self) -> Vec<DocId> {
        let may_pass = |standing: &Standing| matches!(standing, Standing::NotSaved(_) | Standing::InDoubt(_));
        self.saves.unsaved().filter(|(_, how)| may_pass(how)).map(|(doc, _)| doc.clone()).collect()
    }

    /// After a save ended: asks to be woken where one has to be tried again.
    fn again_later(&mut self, now: Moment) -> Vec<Effect> {
        if self.failed_saves().is_empty() {
            self.save_failed_at = None;
            return Vec::new();
        }
        let since = *self.save_failed_at.get_or_insert(now);
        let due = since.since_boot_ms.saturating_add(SAVE_AGAIN_MS);
        let left_ms = if since.boot == now.boot { due.saturating_sub(now.since_boot_ms).max(0) } else { 0 };
        vec![Effect::WakeAt(ahead(now, left_ms))]
    }

    /// Tries the failed saves again, where the last try is long enough ago.
    fn retry_saves(&mut self, now: Moment) -> Vec<Effect> {
        let failed = self.failed_saves();
        let long_ago = self.save_failed_at.is_none_or(|since| {
            since.boot != now.boot || now.since_boot_ms.saturating_sub(since.since_boot_ms) >= SAVE_AGAIN_MS
        });
        if failed.is_empty() {
            return Vec::new();
        }
        if !long_ago {
            return self.again_later(now);
        }
        self.save_failed_at = Some(now);
        failed.into_iter().flat_map(|doc| self.save(doc)).collect()
    }

    fn step_back(&mut self) -> Vec<Effect> {
        let Some(point) = self.undo.take_undo() else { return Vec::new() };
        self.put_back(point, UndoStack::undone)
    }

    fn step_forth(&mut self) -> Vec<Effect> {
        let Some(point) = self.undo.take_redo() else { return Vec::new() };
        self.put_back(point, UndoStack::redone)
    }

    fn put_back(&mut self, point: Point, stepped: fn(&mut UndoStack, Doc, String)) -> Vec<Effect> {
        let doc = point.before.id();
        match self.studio.put_back(point.before) {
            Ok(done) => {
                self.refusal_answered();
                if let Some(other) = done.before {
                    stepped(&mut self.undo, other, point.label);
                }
                self.save(done.doc)
            }
            Err(refusal) => {
                // The states behind it hold this change too, so their labels would no longer be true.
                self.undo.forget(&doc);
                self.refused(&refusal)
            }
        }
    }

    fn start(&mut self, job: Job, now: Moment) -> Vec<Effect> {
        let work = match self.work_for(&job, now) {
            Ok(work) => work,
            Err(why) => return self.say(Notice::Failed(why)),
        };
        let entries = match &job {
            Job::IssuePaper { tag, .. } => self.entries(*tag),
            Job::TakePhoto { .. } | Job::MessageImage { .. } => 0,
        };
        let id = JobId(self.next_job);
        self.next_job += 1;
        self.jobs.insert(id, Running { job, percent: 0, entries });
        vec![Effect::Run(id, work)]
    }

    fn entries(&self, tag: Tag) -> u32 {
        self.studio.order(tag).map_or(0, |held| held.order.log.len())
    }

    fn work_for(&self, job: &Job, now: Moment) -> Result<Work, String> {
        match (job, &self.read_only) {
            (Job::TakePhoto { .. } | Job::IssuePaper { .. }, Some(why)) => Err(why.clone()),
            (Job::TakePhoto { tag, source, .. }, None) => {
                self.studio.order(*tag).map_err(|refusal| refusal.to_string())?;
                Ok(Work::TakePhoto { source: source.clone() })
            }
            (Job::IssuePaper { tag, kind }, None) => {
                paper_work(&self.studio, *tag, *kind, now).map(|work| Work::IssuePaper(Box::new(work)))
            }
            // Only this one leaves the studio as it is.
            (Job::MessageImage { photo, kind, to }, _) => {
                Ok(Work::MessageImage { photo: *photo, kind: *kind, to: to.clone() })
            }
        }
    }

    fn job_done(&mut self, id: JobId, end: JobEnd, now: Moment) -> Vec<Effect> {
        // A job that was cancelled, or is long over, says nothing any more.
        let Some(running) = self.jobs.remove(&id) else { return Vec::new() };
        match (running.job, end) {
            (
                Job::TakePhoto { tag, of, caption, .. },
                JobEnd::Done(Outcome::PhotoKept { original, kind }),
            ) => self.note_photo(tag, Photo { original, kind, of, caption }, now),
            (Job::IssuePaper { tag, .. }, JobEnd::Done(Outcome::PaperWritten { .. }))
                if self.entries(tag) != running.entries =>
            {
                // The paper says what the record said then, so it must not stand after what came since.
                self.say(Notice::Failed(PAPER_OVERTAKEN.to_owned()))
            }
            (Job::IssuePaper { tag, kind }, JobEnd::Done(Outcome::PaperWritten { file, .. })) => {
                let fact = HomeFact::PaperIssued { paper: kind, file };
                self.commit(Edit::Order(tag, OrderEdit::Fact(fact.into())), now)
            }
            (_, JobEnd::Done(Outcome::ImageWritten(path))) => {
                self.say(Notice::Said(format!("the picture is at {}", path.display())))
            }
            (_, JobEnd::Failed(why)) => self.say(Notice::Failed(why)),
            (_, JobEnd::Cancelled | JobEnd::Done(_)) => Vec::new(),
        }
    }

    fn note_photo(&mut self, tag: Tag, photo: Photo, now: Moment) -> Vec<Effect> {
        let Ok(held) = self.studio.order(tag) else { return Vec::new() };
        let mut sheet = held.order.sheet.clone();
        // The same picture of the same thing, taken in again, changes nothing.
        if sheet.photos.iter().any(|known| known.original == photo.original && known.of == photo.of) {
            return Vec::new();
        }
        sheet.photos.push(photo);
        self.commit(Edit::Order(tag, OrderEdit::Sheet(Box::new(sheet))), now)
    }

    /// Rings what has become due, once, and asks to be woken for the next.
    fn tick(&mut self, now: Moment) -> Vec<Effect> {
        let running = waits(&self.studio, now);
        let live: BTreeSet<Rung> = running.iter().flat_map(rungs).collect();
        self.rung.retain(|rung| live.contains(rung));
        let mut effects = self.retry_saves(now);
        for wait in &running {
            let before = self.rung.len();
            if wait.rings() {
                self.rung.extend(rungs(wait));
            }
            if self.rung.len() > before {
                let (tag, stones, entry) = (wait.tag, wait.stones.clone(), wait.entry);
                effects.push(Effect::Ring(Alarm { tag, stones, entry }));
            }
        }
        if let Some(next) = running.iter().find(|wait| wait.standing == waits::Standing::Running) {
            let us = next.remaining().micro();
            let ms = us.div_euclid(1_000) + i64::from(us.rem_euclid(1_000) > 0);
            effects.push(Effect::WakeAt(ahead(now, ms)));
        }
        effects
    }
}

/// The moment so many milliseconds on.
fn ahead(now: Moment, ms: i64) -> Moment {
    Moment {
        utc_ms: now.utc_ms.saturating_add(ms),
        since_boot_ms: now.since_boot_ms.saturating_add(ms),
        awake_ms: now.awake_ms.saturating_add(ms),
        ..now
    }
}

/// The waits of the single stones.
fn rungs(wait: &Wait) -> impl Iterator<Item = Rung> {
    let &Wait { tag, kind, since, .. } = wait;
    wait.stones.iter().map(move |&stone| (tag, kind, stone, since.utc_ms, since.since_boot_ms))
}

/// Everything that is needed to write a paper.
///
/// # Errors
/// Why it cannot be written yet.
pub fn paper_work(
    studio: &Studio,
    tag: Tag,
    kind: craft::fact::PaperKind,
    now: Moment,
) -> Result<PaperWork, String> {
    let held = studio.order(tag).map_err(|refusal| refusal.to_string())?;
    let paper = paper_facts::paper(studio, tag, kind, now)?;
    let size = match (kind, studio.policies().paper) {
        (craft::fact::PaperKind::Care, _) => papers::document::PaperSize::A6,
        (_, PaperSize::A4) => papers::document::PaperSize::A4,
        (_, PaperSize::Letter) => papers::document::PaperSize::Letter,
    };
    let wanted: BTreeSet<&str> = paper.photos().into_iter().map(|photo| photo.name.as_str()).collect();
    let known = held.order.sheet.photos.iter();
    let asked = known.filter(|photo| wanted.contains(photo.original.to_string().as_str()));
    let photos: BTreeMap<Digest, PhotoKind> = asked.map(|photo| (photo.original, photo.kind)).collect();
    Ok(PaperWork {
        tag,
        kind,
        paper,
        size,
        issued_at: stamp(now),
        photos: photos.into_iter().collect(),
        keep: true,
    })
}

/// The moment as a paper's file states it, in UTC. The dates a paper says in words are local.
fn stamp(now: Moment) -> Stamp {
    use chrono::{DateTime, Datelike as _, Timelike as _};
    let Some(utc) = DateTime::from_timestamp_millis(now.utc_ms) else {
        return Stamp { year: 1970, month: 1, day: 1, hour: 0, minute: 0, second: 0 };
    };
    let small = |value: u32| u8::try_from(value).unwrap_or(0);
    Stamp {
        year: utc.year(),
        month: small(utc.month()),
        day: small(utc.day()),
        hour: small(utc.hour()),
        minute: small(utc.minute()),
        second: small(utc.second()),
    }
}

#[cfg(test)]
mod tests;
