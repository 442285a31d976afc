//! Things that take a while: how they are begun, and what comes of them.

use std::collections::{BTreeMap, BTreeSet};

use craft::digest::Digest;
use craft::fact::HomeFact;
use craft::id::DocId;
use craft::moment::Moment;
use craft::order::{Photo, PhotoKind};
use craft::policies::PaperSize;
use craft::studio::{Edit, OrderEdit, Studio};
use craft::tag::Tag;
use papers::document::Stamp;

use super::{Notice, Workbench};
use crate::action::{Effect, Job, JobEnd, JobId, Outcome, PaperWork, Work};
use crate::keeping::Keep;
use crate::keeping::files::named;
use crate::pictures::{FINEST_DPI, LARGEST_SIDE_PX, Picture, Preview};
use crate::present::{backup_words, job_words, labels, paper_facts};

/// A job that runs.
#[derive(Clone, Debug)]
pub(super) struct Running {
    pub(super) job: Job,
    pub(super) percent: u8,
    /// How long the order's record was when a paper of it was begun.
    entries: u32,
    /// Something that a paper to look at may say has changed since it was begun.
    overtaken: bool,
}

impl Workbench {
    /// A job that is under way.
    pub fn job(&self, id: JobId) -> Option<&Job> {
        self.jobs.get(&id).map(|running| &running.job)
    }

    /// Stops a job; what it brings by then is not missed.
    pub(super) fn cancel(&mut self, id: JobId) -> Vec<Effect> {
        let Some(running) = self.jobs.remove(&id) else { return Vec::new() };
        if running.job == Job::ReadOrders {
            self.reading_ended(false);
        }
        if let Job::Keep(Keep::PutBack { to, .. }) = &running.job {
            self.say(Notice::Said(backup_words::back_stopped(to)));
        }
        vec![Effect::Stop(id)]
    }

    pub(super) fn start(&mut self, job: Job, now: Moment) -> Vec<Effect> {
        // Nothing is left to be read, or somebody reads already.
        if job == Job::ReadOrders && self.reading.is_none_or(|reading| reading.is_going_on()) {
            return Vec::new();
        }
        // What is only looked at is asked for by whoever draws it, and once is enough.
        if job.is_quiet() && self.jobs.values().any(|running| running.job == job) {
            return Vec::new();
        }
        let work = match self.work_for(&job, now) {
            Ok(work) => work,
            Err(why) => return self.failed(&job, why, false),
        };
        self.begins(&work);
        if job == Job::LookThrough {
            self.look_anew();
        }
        let entries = match &job {
            Job::IssuePaper { tag, .. } => self.entries(*tag),
            _ => 0,
        };
        let id = JobId(self.next_job);
        self.next_job += 1;
        if let (Job::ReadOrders, Some(reading)) = (&job, &mut self.reading) {
            reading.job = Some(id);
        }
        self.jobs.insert(id, Running { job, percent: 0, entries, overtaken: false });
        vec![Effect::Run(id, work)]
    }

    fn entries(&self, tag: Tag) -> u32 {
        self.studio.order(tag).map_or(0, |held| held.order.log.len())
    }

    fn work_for(&self, job: &Job, now: Moment) -> Result<Work, String> {
        match (job, &self.read_only) {
            (Job::Keep(keep), _) => self.keep_work(keep, now),
            (Job::TakePhoto { .. } | Job::TakeBoxPhoto { .. } | Job::IssuePaper { .. }, Some(why)) => {
                Err(why.clone())
            }
            (Job::TakePhoto { tag, source, .. } | Job::TakeBoxPhoto { tag, source }, None) => {
                self.not_gone(*tag)?;
                self.studio.order(*tag).map_err(|refusal| refusal.to_string())?;
                Ok(Work::TakePhoto { source: source.clone() })
            }
            (Job::IssuePaper { tag, kind }, None) => {
                self.not_gone(*tag)?;
                paper_work(&self.studio, *tag, *kind, now).map(|work| Work::IssuePaper(Box::new(work)))
            }
            // The others leave the studio as it is.
            (Job::MessageImage { photo, kind, to }, _) => {
                Ok(Work::MessageImage { photo: *photo, kind: *kind, to: to.clone() })
            }
            (Job::CopyPaper { tag, kind, file, to }, _) => {
                Ok(Work::CopyPaper { tag: *tag, kind: *kind, file: *file, to: to.clone() })
            }
            (Job::ReadOrders, _) => Ok(Work::ReadOrders { now }),
            (Job::LookThrough, _) => Ok(Work::LookThrough(named(&self.studio, &self.keeping.forgotten))),
            (Job::Picture { photo, kind, side_px }, _) => {
                let side_px = (*side_px).clamp(1, LARGEST_SIDE_PX);
                Ok(Work::Picture { photo: *photo, kind: *kind, side_px })
            }
            (Job::PreviewPaper { tag, kind, dpi }, _) => {
                let paper = paper_work(&self.studio, *tag, *kind, now)?;
                let dpi = (*dpi).min(FINEST_DPI);
                Ok(Work::PreviewPaper { paper: Box::new(PaperWork { keep: false, ..paper }), dpi })
            }
        }
    }

    /// What is kept of an order once its client is forgotten would stay for good.
    fn not_gone(&self, tag: Tag) -> Result<(), String> {
        self.gone(&DocId::Order(tag)).map_or(Ok(()), |why| Err(why.to_owned()))
    }

    pub(super) fn job_done(&mut self, id: JobId, end: JobEnd, now: Moment) -> Vec<Effect> {
        let mut effects = self.job_ended(id, end, now);
        effects.extend(self.sweep_now(now));
        effects
    }

    fn job_ended(&mut self, id: JobId, end: JobEnd, now: Moment) -> Vec<Effect> {
        // Reading that was stopped just as the last of it was read has still read all of it.
        if matches!(end, JobEnd::Done(Outcome::OrdersRead)) && !self.jobs.contains_key(&id) {
            self.reading_ended(true);
            return Vec::new();
        }
        // A job that was cancelled, or is long over, says nothing any more.
        let Some(Running { job, entries, overtaken, .. }) = self.jobs.remove(&id) else { return Vec::new() };
        self.ends(&job);
        match (job, end) {
            (
                Job::TakePhoto { tag, of, caption, .. },
                JobEnd::Done(Outcome::PhotoKept { original, kind }),
            ) => {
                self.keeping.since.photo(now.utc_ms);
                self.note_photo(tag, Photo { original, kind, of, caption }, now)
            }
            (Job::TakeBoxPhoto { tag, .. }, JobEnd::Done(Outcome::PhotoKept { original, kind })) => {
                self.keeping.since.photo(now.utc_ms);
                self.note_box_photo(tag, (original, kind), now)
            }
            (Job::IssuePaper { tag, .. }, JobEnd::Done(Outcome::PaperWritten { .. }))
                if self.entries(tag) != entries =>
            {
                // The paper says what the record said then, so it must not stand after what came since.
                self.say(Notice::Failed(job_words::PAPER_OVERTAKEN.to_owned()))
            }
            (Job::IssuePaper { tag, kind }, JobEnd::Done(Outcome::PaperWritten { file, .. })) => {
                let fact = HomeFact::PaperIssued { paper: kind, file };
                self.commit(Edit::Order(tag, OrderEdit::Fact(fact.into())), now)
            }
            (Job::Picture { photo, side_px, .. }, JobEnd::Done(Outcome::PictureRead(pixels))) => {
                self.pictures.put_photo(photo, Picture { side_px, pixels: Ok(pixels) });
                Vec::new()
            }
            (Job::PreviewPaper { tag, kind, dpi }, JobEnd::Done(Outcome::PaperSet(pages))) => {
                self.pictures.put_preview(tag, kind, Preview { dpi, pages: Ok(pages), is_stale: overtaken });
                Vec::new()
            }
            (Job::ReadOrders, JobEnd::Done(_)) => {
                self.reading_ended(true);
                // Only now is it known which files are named.
                self.start(Job::LookThrough, now)
            }
            (Job::ReadOrders, JobEnd::Cancelled) => {
                self.reading_ended(false);
                Vec::new()
            }
            (_, JobEnd::Done(Outcome::Kept(kept))) => self.kept(*kept, now),
            (_, JobEnd::Done(Outcome::ImageWritten(path))) => {
                self.say(Notice::Said(job_words::image_written(&path)))
            }
            (_, JobEnd::Done(Outcome::CopyWritten(path))) => {
                self.say(Notice::Said(job_words::copy_written(&path)))
            }
            (job, JobEnd::Failed(why)) => self.failed(&job, why, overtaken),
            (_, JobEnd::Cancelled | JobEnd::Done(_)) => Vec::new(),
        }
    }

    /// A job came to nothing. What was only to be looked at says so where it would be seen, everything else at once.
    fn failed(&mut self, job: &Job, why: String, is_stale: bool) -> Vec<Effect> {
        match job {
            Job::Picture { photo, side_px, .. } => {
                let picture = Picture { side_px: *side_px, pixels: Err(why) };
                self.pictures.put_photo(*photo, picture);
                Vec::new()
            }
            Job::PreviewPaper { tag, kind, dpi } => {
                let preview = Preview { dpi: *dpi, pages: Err(why), is_stale };
                self.pictures.put_preview(*tag, *kind, preview);
                Vec::new()
            }
            Job::ReadOrders => {
                self.reading_ended(false);
                self.say(Notice::Failed(why))
            }
            Job::TakePhoto { .. }
            | Job::TakeBoxPhoto { .. }
            | Job::IssuePaper { .. }
            | Job::MessageImage { .. }
            | Job::CopyPaper { .. }
            | Job::LookThrough
            | Job::Keep(_) => self.say(Notice::Failed(why)),
        }
    }

    /// Something changed that papers to look at may say: those of one order, or all of them.
    pub(super) fn overtake(&mut self, order: Option<Tag>) {
        self.pictures.overtake(order);
        for running in self.jobs.values_mut() {
            if let Job::PreviewPaper { tag, .. } = &running.job {
                running.overtaken |= order.is_none_or(|order| order == *tag);
            }
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

    /// Notes a photo, and records that it shows the box as it is packed; one that is known already shows it as well. Where
    /// something came out of the box in the meantime the photo is noted only.
    fn note_box_photo(
        &mut self,
        tag: Tag,
        (original, kind): (Digest, PhotoKind),
        now: Moment,
    ) -> Vec<Effect> {
        let caption = labels::pack::BOX_CAPTION.parse().unwrap_or_default();
        let mut effects = self.note_photo(tag, Photo { original, kind, of: None, caption }, now);
        if self.studio.order(tag).is_ok_and(|held| !held.ledger.to_pack().is_empty()) {
            return effects;
        }
        let fact = HomeFact::BoxPhotographed { photo: original };
        effects.extend(self.commit(Edit::Order(tag, OrderEdit::Fact(fact.into())), now));
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

/// The moment as a paper's file states it, in UTC. The dates a paper says in words are local.
pub(super) fn stamp(now: Moment) -> Stamp {
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
