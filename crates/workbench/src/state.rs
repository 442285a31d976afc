//! The workbench itself: a pure state machine over actions and effects.

use std::collections::{BTreeMap, BTreeSet};

use craft::digest::Digest;
use craft::fact::HomeFact;
use craft::moment::Moment;
use craft::order::{Photo, PhotoKind};
use craft::policies::PaperSize;
use craft::refusal::Refusal;
use craft::studio::{Doc, Edit, OrderEdit, Studio};
use craft::tag::Tag;
use craft::text::Line;
use papers::document::Stamp;

use crate::action::{
    Action, Alarm, Effect, Job, JobEnd, JobId, Nav, Outcome, PaperWork, Purpose, Source, Work,
};
use crate::present::paper_facts;
use crate::present::undo_words::edit_label;
use crate::saving::Saves;
use crate::undo::{Point, UndoStack};
use crate::view::{JobRow, View};
use crate::waits::{Kind, Wait, waits};

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

/// A job that runs.
#[derive(Clone, Debug)]
struct Running {
    job: Job,
    percent: u8,
}

/// One stone's wait: the order, what for, the stone, and when it began. Stones that waited together may be felt one
/// by one, so each has rung by itself.
type Rung = (Tag, Kind, u8, i64, i64);

/// The program without its window.
#[derive(Debug)]
pub struct Workbench {
    studio: Studio,
    nav: Nav,
    notice: Option<Notice>,
    undo: UndoStack,
    saves: Saves,
    jobs: BTreeMap<JobId, Running>,
    next_job: u64,
    rung: BTreeSet<Rung>,
    read_only: Option<String>,
}

impl Workbench {
    /// A workbench over a studio; `read_only` says why nothing can be changed, where that is so.
    pub fn new(studio: Studio, read_only: Option<String>) -> Self {
        Self {
            studio,
            nav: Nav::default(),
            notice: None,
            undo: UndoStack::default(),
            saves: Saves::default(),
            jobs: BTreeMap::new(),
            next_job: 1,
            rung: BTreeSet::new(),
            read_only,
        }
    }

    /// What there is to be seen.
    pub fn view(&self, now: Moment) -> View<'_> {
        View {
            studio: &self.studio,
            nav: self.nav,
            notice: self.notice.as_ref(),
            undo: &self.undo,
            saves: &self.saves,
            jobs: self
                .jobs
                .iter()
                .map(|(&id, running)| JobRow { id, job: &running.job, percent: running.percent })
                .collect(),
            waits: waits(&self.studio, now),
            read_only: self.read_only.as_deref(),
            now,
        }
    }

    /// Takes one action in and says what is to be done in the world.
    pub fn handle(&mut self, action: Action, now: Moment) -> Vec<Effect> {
        match action {
            Action::Edit(edit) => self.edit(edit, now),
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
                Vec::new()
            }
            Action::SaveAgain => self.save_again(),
            Action::Dismiss => {
                self.notice = None;
                Vec::new()
            }
            Action::Tick => self.tick(now),
        }
    }

    /// The person's own change: what was said before has been answered by it.
    fn edit(&mut self, edit: Edit, now: Moment) -> Vec<Effect> {
        self.notice = None;
        self.commit(edit, now)
    }

    /// A change through the studio's door. One that changes nothing is not worth a save or an undo point.
    fn commit(&mut self, edit: Edit, now: Moment) -> Vec<Effect> {
        if let Some(why) = &self.read_only {
            self.notice = Some(Notice::Refused { why: why.clone(), remedy: None });
            return Vec::new();
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
                    (None, None) => {}
                }
                self.save(done.doc)
            }
            Err(refusal) => self.refused(&refusal),
        }
    }

    fn refused(&mut self, refusal: &Refusal) -> Vec<Effect> {
        let remedy = refusal.remedy().map(Box::new);
        self.notice = Some(Notice::Refused { why: refusal.to_string(), remedy });
        Vec::new()
    }

    fn save(&mut self, id: craft::id::DocId) -> Vec<Effect> {
        let Some(doc) = self.studio.doc(&id) else { return Vec::new() };
        let rev = self.saves.changed(id.clone());
        vec![Effect::Save(id, rev, doc)]
    }

    fn save_again(&mut self) -> Vec<Effect> {
        let unsaved: Vec<_> = self.saves.unsaved().map(|(doc, _)| doc.clone()).collect();
        unsaved.into_iter().flat_map(|doc| self.save(doc)).collect()
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
                self.notice = None;
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
            Err(why) => {
                self.notice = Some(Notice::Failed(why));
                return Vec::new();
            }
        };
        let id = JobId(self.next_job);
        self.next_job += 1;
        self.jobs.insert(id, Running { job, percent: 0 });
        vec![Effect::Run(id, work)]
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
            (Job::IssuePaper { tag, kind }, JobEnd::Done(Outcome::PaperWritten { file, .. })) => {
                let fact = HomeFact::PaperIssued { paper: kind, file };
                self.commit(Edit::Order(tag, OrderEdit::Fact(fact.into())), now)
            }
            (_, JobEnd::Done(Outcome::ImageWritten(path))) => {
                self.notice = Some(Notice::Said(format!("the picture is at {}", path.display())));
                Vec::new()
            }
            (_, JobEnd::Failed(why)) => {
                self.notice = Some(Notice::Failed(why));
                Vec::new()
            }
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
        let mut effects = Vec::new();
        for wait in &running {
            let before = self.rung.len();
            if wait.is_over() {
                self.rung.extend(rungs(wait));
            }
            if self.rung.len() > before {
                let (tag, stones, entry) = (wait.tag, wait.stones.clone(), wait.entry);
                effects.push(Effect::Ring(Alarm { tag, stones, entry }));
            }
        }
        if let Some(next) = running.iter().find(|wait| !wait.is_over()) {
            let us = next.remaining().micro();
            let ms = us.div_euclid(1_000) + i64::from(us.rem_euclid(1_000) > 0);
            effects.push(Effect::WakeAt(Moment {
                utc_ms: now.utc_ms + ms,
                since_boot_ms: now.since_boot_ms + ms,
                awake_ms: now.awake_ms + ms,
                ..now
            }));
        }
        effects
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

/// The local wall clock as a paper's date.
fn stamp(now: Moment) -> Stamp {
    use chrono::{Datelike as _, Timelike as _};
    let Some(local) = now.local() else {
        return Stamp { year: 1970, month: 1, day: 1, hour: 0, minute: 0, second: 0 };
    };
    let small = |value: u32| u8::try_from(value).unwrap_or(0);
    Stamp {
        year: local.year(),
        month: small(local.month()),
        day: small(local.day()),
        hour: small(local.hour()),
        minute: small(local.minute()),
        second: small(local.second()),
    }
}

#[cfg(test)]
mod tests;
