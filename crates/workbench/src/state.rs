//! The workbench itself: a pure state machine over actions and effects.

use std::collections::{BTreeMap, BTreeSet};

use craft::digest::Digest;
use craft::fact::HomeFact;
use craft::moment::Moment;
use craft::order::{Photo, PhotoKind};
use craft::policies::PaperSize;
use craft::studio::{Edit, OrderEdit, Studio};
use craft::tag::Tag;
use craft::text::Line;
use papers::document::Stamp;

use crate::action::{
    Action, Alarm, Effect, Job, JobEnd, JobId, Nav, Outcome, PaperWork, Purpose, Source, Work,
};
use crate::present::paper_facts;
use crate::present::undo_words::edit_label;
use crate::saving::Saves;
use crate::undo::UndoStack;
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
    rung: BTreeSet<(Tag, Kind, u32, Vec<u8>)>,
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

    fn edit(&mut self, edit: Edit, now: Moment) -> Vec<Effect> {
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
                self.notice = None;
                match (fact, done.before) {
                    (Some(fact), _) => self.undo.happened(&done.doc, fact),
                    (None, Some(before)) => self.undo.changed(before, label),
                    (None, None) => {}
                }
                self.save(done.doc)
            }
            Err(refusal) => {
                let remedy = refusal.remedy().map(Box::new);
                self.notice = Some(Notice::Refused { why: refusal.to_string(), remedy });
                Vec::new()
            }
        }
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
        match self.studio.put_back(point.before.clone()) {
            Ok(done) => {
                if let Some(after) = done.before {
                    self.undo.undone(after, point.label);
                }
                self.save(done.doc)
            }
            Err(refusal) => {
                self.notice = Some(Notice::Refused { why: refusal.to_string(), remedy: None });
                Vec::new()
            }
        }
    }

    fn step_forth(&mut self) -> Vec<Effect> {
        let Some(point) = self.undo.take_redo() else { return Vec::new() };
        match self.studio.put_back(point.before.clone()) {
            Ok(done) => {
                if let Some(before) = done.before {
                    self.undo.redone(before, point.label);
                }
                self.save(done.doc)
            }
            Err(refusal) => {
                self.notice = Some(Notice::Refused { why: refusal.to_string(), remedy: None });
                Vec::new()
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
        match job {
            Job::TakePhoto { source, .. } => match &self.read_only {
                Some(why) => Err(why.clone()),
                None => Ok(Work::TakePhoto { source: source.clone() }),
            },
            Job::IssuePaper { tag, kind } => paper_work(&self.studio, *tag, *kind, now)
                .map(|work| Work::IssuePaper(Box::new(PaperWork { keep: self.read_only.is_none(), ..work }))),
            Job::MessageImage { photo, kind, to } => {
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
                self.edit(Edit::Order(tag, OrderEdit::Fact(fact.into())), now)
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
        self.edit(Edit::Order(tag, OrderEdit::Sheet(Box::new(sheet))), now)
    }

    /// Rings what has become due, once, and asks to be woken for the next.
    fn tick(&mut self, now: Moment) -> Vec<Effect> {
        let running = waits(&self.studio, now);
        let key = |wait: &Wait| (wait.tag, wait.kind, wait.entry, wait.stones.clone());
        let live: BTreeSet<_> = running.iter().map(key).collect();
        self.rung.retain(|rung| live.contains(rung));
        let mut effects = Vec::new();
        for wait in &running {
            if wait.is_over() && self.rung.insert(key(wait)) {
                let (tag, stones, entry) = (wait.tag, wait.stones.clone(), wait.entry);
                effects.push(Effect::Ring(Alarm { tag, stones, entry }));
            }
        }
        if let Some(next) = running.iter().find(|wait| !wait.is_over()) {
            let ms = next.remaining().micro().div_euclid(1_000) + 1;
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
