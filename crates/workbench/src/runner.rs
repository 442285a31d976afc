//! Performs effects: the only module that owns threads, the folder and the papers engine.
//!
//! One saver writes the newest revision of each document; one worker does one job after the other; one looker looks
//! photos and papers through; one copier makes backups and puts them back; one watch, for a
//! window, looks now and then whether the folder is there and nobody else changed it. All answer with
//! actions, which the caller drains and hands to the workbench. What needs a window is handed back.

mod aside;
mod looking;
mod reading;
mod spread;

use std::collections::{BTreeMap, BTreeSet, VecDeque};
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::Path;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::{Receiver, RecvTimeoutError, Sender, channel};
use std::sync::{Arc, Condvar, Mutex, MutexGuard, PoisonError};
use std::thread::JoinHandle;
use std::time::Duration;

use craft::digest::Digest;
use craft::fact::PaperKind;
use craft::id::DocId;
use craft::order::PhotoKind;
use craft::studio::Doc;
use papers::document::{Assets, Pixels, Sheet, render};
use papers::photo;
use store::folder::StudioFolder;
use store::heads::Heads;
use store::photos::PhotoName;
use store::save::{SaveError, SaveOutcome};
use store::watch::{News, Watch};

use crate::action::{
    Action, Effect, FolderNews, JobEnd, JobId, Outcome, Outside, PaperWork, Rev, Source, Work,
};
use crate::keeping::{KeepWork, lies_in};
use crate::open::{Rest, path_of};
use crate::present::job_words;

pub use aside::{Aside, Onward};
use reading::ToRead;
pub(crate) use spread::spread;

/// The long side of a photo on a paper, in pixels: 60 mm at 300 dots an inch, with room to spare.
const PAPER_SIDE_PX: u32 = 1_200;

/// What the saver still has to do.
#[derive(Debug, Default)]
struct Pending {
    docs: BTreeMap<DocId, (Rev, Doc)>,
    heads: Option<Heads>,
    stop: bool,
}

#[derive(Debug, Default)]
struct Desk {
    pending: Mutex<Pending>,
    ring: Condvar,
}

/// A lock that outlives a panic elsewhere: the data under it is only ever replaced whole.
fn held<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}

/// Which jobs shall not be done.
#[derive(Debug, Default)]
pub(crate) struct Halt {
    stopped: Mutex<BTreeSet<JobId>>,
    /// Set once no further job shall begin.
    begin_none: AtomicBool,
}

impl Halt {
    fn is_stopped(&self, id: JobId) -> bool {
        held(&self.stopped).contains(&id)
    }

    fn may_begin(&self, id: JobId) -> bool {
        !self.begin_none.load(Ordering::SeqCst) && !self.is_stopped(id)
    }
}

/// Ends the looking at once, however long the next look is away.
#[derive(Debug, Default)]
struct Bell {
    stop: Mutex<bool>,
    ring: Condvar,
}

/// Starts a thread of a name.
type Spawn<'a> = &'a mut dyn FnMut(&str, Box<dyn FnOnce() + Send>) -> std::io::Result<JoinHandle<()>>;

/// Performs effects.
#[derive(Debug)]
pub struct Runner {
    folder: Arc<StudioFolder>,
    desk: Arc<Desk>,
    jobs: Option<Sender<(JobId, Work)>>,
    /// What takes long and nobody waits for: a worker of its own does it.
    to_look: Option<Sender<(JobId, Work)>>,
    /// The same for backups, which may be many gigabytes: a photo is taken in meanwhile.
    to_copy: Option<Sender<(JobId, Work)>>,
    pub(crate) halt: Arc<Halt>,
    answers: Receiver<Action>,
    own_answers: VecDeque<Action>,
    waiting_for: usize,
    threads: Vec<JoinHandle<()>>,
    news: Option<Receiver<Action>>,
    bell: Arc<Bell>,
    to_read: Option<ToRead>,
}

impl Runner {
    /// Starts the saver and the worker. `wake` is called, from their threads, whenever an answer is ready.
    ///
    /// # Errors
    /// The system gives no thread.
    pub fn start(folder: Arc<StudioFolder>, wake: Arc<dyn Fn() + Send + Sync>) -> std::io::Result<Self> {
        Self::start_with(folder, None, wake)
    }

    /// The same, with what of the studio is still to be read when that is asked for.
    ///
    /// # Errors
    /// The system gives no thread.
    pub fn start_with(
        folder: Arc<StudioFolder>,
        rest: Option<Rest>,
        wake: Arc<dyn Fn() + Send + Sync>,
    ) -> std::io::Result<Self> {
        Self::start_on(folder, rest, wake, &mut |name, work| {
            std::thread::Builder::new().name(name.to_owned()).spawn(work)
        })
    }

    fn start_on(
        folder: Arc<StudioFolder>,
        rest: Option<Rest>,
        wake: Arc<dyn Fn() + Send + Sync>,
        spawn: Spawn<'_>,
    ) -> std::io::Result<Self> {
        let (answer, answers) = channel();
        let (jobs, to_do) = channel();
        let (to_look, looks) = channel();
        let (to_copy, copies) = channel();
        // It stands before its threads do, so that one that was started is ended where the next cannot be.
        let mut runner = Self {
            folder: folder.clone(),
            desk: Arc::new(Desk::default()),
            jobs: Some(jobs),
            to_look: Some(to_look),
            to_copy: Some(to_copy),
            halt: Arc::new(Halt::default()),
            answers,
            own_answers: VecDeque::new(),
            waiting_for: 0,
            threads: Vec::new(),
            news: None,
            bell: Arc::default(),
            to_read: rest.map(|rest| ToRead::new(rest, answer.clone(), wake.clone())),
        };
        let saver = {
            let (desk, folder) = (runner.desk.clone(), folder.clone());
            let (answer, wake) = (answer.clone(), wake.clone());
            move || save_all(&desk, &folder, &answer, &*wake)
        };
        runner.threads.push(spawn("saver", Box::new(saver))?);
        for (name, to_do) in [("worker", to_do), ("looker", looks)] {
            let (halt, folder) = (runner.halt.clone(), folder.clone());
            let (answer, wake) = (answer.clone(), wake.clone());
            let worker = move || work_off(&to_do, &halt, &folder, &answer, &*wake);
            runner.threads.push(spawn(name, Box::new(worker))?);
        }
        let halt = runner.halt.clone();
        let copier = move || work_off(&copies, &halt, &folder, &answer, &*wake);
        runner.threads.push(spawn("copier", Box::new(copier))?);
        Ok(runner)
    }

    /// Looks at the folder every so often, in a thread of its own, and answers where something about it is odd.
    ///
    /// # Errors
    /// The system gives no thread.
    pub fn watch(&mut self, every: Duration, wake: Arc<dyn Fn() + Send + Sync>) -> std::io::Result<()> {
        let (answer, news) = channel();
        let (bell, folder) = (self.bell.clone(), self.folder.clone());
        let look = move || look_after(&bell, &folder, every, &answer, &*wake);
        self.threads.push(std::thread::Builder::new().name("watch".to_owned()).spawn(look)?);
        self.news = Some(news);
        Ok(())
    }

    /// The folder.
    pub fn folder(&self) -> &Arc<StudioFolder> {
        &self.folder
    }

    /// Performs what needs no window, and hands the rest back.
    pub fn perform(&mut self, effects: Vec<Effect>) -> Vec<Effect> {
        let mut rest = Vec::new();
        for effect in effects {
            match effect {
                Effect::Save(id, rev, doc) => {
                    // A newer revision takes the place of one that has not begun; that one gets no answer of its own.
                    if held(&self.desk.pending).docs.insert(id, (rev, doc)).is_none() {
                        self.waiting_for += 1;
                    }
                    self.desk.ring.notify_one();
                }
                Effect::Run(id, Work::ReadOrders { now }) => self.read_on(id, now),
                Effect::Run(id, work) => {
                    self.waiting_for += 1;
                    let jobs = match &work {
                        Work::LookThrough(_) => &self.to_look,
                        work if copies_a_studio(work) => &self.to_copy,
                        _ => &self.jobs,
                    };
                    if jobs.as_ref().is_none_or(|jobs| jobs.send((id, work)).is_err()) {
                        let why = job_words::NO_WORKER.to_owned();
                        self.own_answers.push_back(Action::JobDone(id, JobEnd::Failed(why)));
                    }
                }
                Effect::Stop(id) => drop(held(&self.halt.stopped).insert(id)),
                other => rest.push(other),
            }
        }
        rest
    }

    /// Leaves the newest witness of all records to be written when there is time.
    pub fn note_heads(&self, heads: Heads) {
        held(&self.desk.pending).heads = Some(heads);
        self.desk.ring.notify_one();
    }

    /// From here on no job begins; the one that is being done is finished, but for a backup, which is stopped. Jobs that
    /// wait are answered as cancelled.
    pub fn begin_no_more(&self) {
        self.halt.begin_none.store(true, Ordering::SeqCst);
    }

    /// An answer that is ready.
    pub fn answer(&mut self) -> Option<Action> {
        let answer = self.own_answers.pop_front().or_else(|| self.answers.try_recv().ok());
        let answer = answer.or_else(|| self.news.as_ref()?.try_recv().ok())?;
        self.answered(&answer);
        Some(answer)
    }

    /// Waits for an answer; `None` once nothing is under way.
    pub fn wait_for_answer(&mut self) -> Option<Action> {
        if let Some(answer) = self.own_answers.pop_front() {
            self.answered(&answer);
            return Some(answer);
        }
        while self.waiting_for > 0 {
            match self.answers.recv_timeout(Duration::from_mins(1)) {
                Ok(answer) => {
                    self.answered(&answer);
                    return Some(answer);
                }
                Err(RecvTimeoutError::Timeout) => {}
                Err(RecvTimeoutError::Disconnected) => return None,
            }
        }
        None
    }

    fn answered(&mut self, answer: &Action) {
        let is_news = matches!(
            answer,
            Action::Progress(..)
                | Action::FolderTold(_)
                | Action::HistoryTold(_)
                | Action::Read(_)
                | Action::Looked(_)
                | Action::Written(_)
        );
        if !is_news {
            self.waiting_for = self.waiting_for.saturating_sub(1);
        }
    }
}

impl Drop for Runner {
    /// Every document handed over is written before the program ends; jobs that have not begun are not begun.
    fn drop(&mut self) {
        self.begin_no_more();
        *held(&self.bell.stop) = true;
        self.bell.ring.notify_all();
        held(&self.desk.pending).stop = true;
        self.desk.ring.notify_all();
        self.jobs = None;
        self.to_look = None;
        self.to_copy = None;
        self.to_read = None;
        for thread in self.threads.drain(..) {
            drop(thread.join());
        }
    }
}

fn look_after(bell: &Bell, folder: &StudioFolder, every: Duration, answer: &Sender<Action>, wake: &dyn Fn()) {
    let mut watch = Watch::new();
    loop {
        let stop = bell.ring.wait_timeout_while(held(&bell.stop), every, |stop| !*stop);
        let (stop, _) = stop.unwrap_or_else(PoisonError::into_inner);
        if *stop {
            return;
        }
        drop(stop);
        for news in folder_news(watch.look(folder)) {
            if answer.send(Action::FolderTold(news)).is_err() {
                return;
            }
            wake();
        }
    }
}

/// What one look found, files of the same fate together.
fn folder_news(found: Vec<News>) -> Vec<FolderNews> {
    let mut all = Vec::new();
    let mut touched: BTreeMap<Outside, Vec<String>> = BTreeMap::new();
    for news in found {
        match news {
            News::Gone => all.push(FolderNews::Gone),
            News::Back => all.push(FolderNews::Back),
            News::Touched(path, how) => touched.entry(how).or_default().push(path.to_string()),
        }
    }
    all.extend(touched.into_iter().map(|(how, files)| FolderNews::Changed { files, how }));
    all
}

fn save_all(desk: &Desk, folder: &StudioFolder, answer: &Sender<Action>, wake: &dyn Fn()) {
    loop {
        let mut pending = held(&desk.pending);
        let next = loop {
            if let Some((id, (rev, doc))) = pending.docs.pop_first() {
                break Some((id, rev, doc));
            }
            if let Some(heads) = pending.heads.take() {
                drop(pending);
                // It is only a witness: a fault there costs it, and no document that is still to be written.
                drop(catch_unwind(AssertUnwindSafe(|| folder.save_heads(&heads))));
                pending = held(&desk.pending);
                continue;
            }
            if pending.stop {
                break None;
            }
            pending = desk.ring.wait(pending).unwrap_or_else(PoisonError::into_inner);
        };
        drop(pending);
        let Some((id, rev, doc)) = next else { return };
        // Whatever goes wrong inside costs this save, never the saver: later documents still have to be written.
        let outcome = catch_unwind(AssertUnwindSafe(|| save_doc(folder, &doc)))
            .unwrap_or_else(|_| SaveOutcome::NotSaved(fault(folder, &doc)));
        // Where the save itself came to nothing, that is what has to be said.
        let is_saved = matches!(outcome, SaveOutcome::Saved(_));
        let missed = folder.history_trouble().filter(|_| is_saved);
        if answer.send(Action::SaveDone(id, rev, outcome)).is_err() {
            return;
        }
        if missed.is_some_and(|why| answer.send(Action::HistoryTold(why)).is_err()) {
            return;
        }
        wake();
    }
}

/// A save that did not come to its end.
fn fault(folder: &StudioFolder, doc: &Doc) -> SaveError {
    let name = path_of(&doc.id()).map_or_else(|why| why.to_string(), |path| path.to_string());
    let source = Arc::new(std::io::Error::other(job_words::SAVE_FAULT));
    SaveError::Failed { path: folder.root().join(name), step: job_words::SAVE_STEP, source }
}

/// Writes one document.
pub fn save_doc(folder: &StudioFolder, doc: &Doc) -> SaveOutcome {
    let path = match path_of(&doc.id()) {
        Ok(path) => path,
        Err(why) => return SaveOutcome::NotSaved(why.into()),
    };
    match doc {
        Doc::Policies(policies) => folder.save(&path, &**policies),
        Doc::Shelf(_, item) => folder.save(&path, &**item),
        Doc::Client(_, client) => folder.save(&path, &**client),
        Doc::Order(order) => folder.save(&path, &**order),
        Doc::Invoices(series) => folder.save(&path, &**series),
    }
}

/// True of a backup and of putting one back: whoever ends the program does not wait for it, and asks for it anew.
fn copies_a_studio(work: &Work) -> bool {
    matches!(work, Work::Keep(keep) if matches!(**keep, KeepWork::Backup { .. } | KeepWork::PutBack(_)))
}

fn work_off(
    to_do: &Receiver<(JobId, Work)>,
    halt: &Halt,
    folder: &StudioFolder,
    answer: &Sender<Action>,
    wake: &dyn Fn(),
) {
    while let Ok((id, work)) = to_do.recv() {
        let is_ending = || halt.begin_none.load(Ordering::SeqCst);
        let gives_way = copies_a_studio(&work);
        let is_stopped = || halt.is_stopped(id) || (gives_way && is_ending());
        let end = if halt.may_begin(id) {
            let tell = |action| {
                // A caller that is gone needs to hear nothing.
                if answer.send(action).is_ok() {
                    wake();
                }
            };
            let progress = |percent| tell(Action::Progress(id, percent));
            let going =
                Going { progress: &progress, tell: &tell, is_stopped: &is_stopped, is_ending: &is_ending };
            // A fault in a picture decoder or the page engine costs the job, never the program.
            catch_unwind(AssertUnwindSafe(|| do_work(folder, &work, &going)))
                .unwrap_or_else(|_| Err(job_words::FAULT_INSIDE.to_owned()))
                .map_or_else(JobEnd::Failed, JobEnd::Done)
        } else {
            JobEnd::Cancelled
        };
        let gave_way = gives_way && is_ending() && !matches!(end, JobEnd::Done(_));
        let was_stopped = held(&halt.stopped).remove(&id) || gave_way;
        let end = if was_stopped { JobEnd::Cancelled } else { end };
        if answer.send(Action::JobDone(id, end)).is_err() {
            return;
        }
        wake();
    }
}

/// How a job tells of itself, and hears that it shall stop.
struct Going<'a> {
    progress: &'a dyn Fn(u8),
    /// Tells what was found on the way.
    tell: &'a dyn Fn(Action),
    is_stopped: &'a dyn Fn() -> bool,
    /// The program is about to end: what may be left undone is left.
    is_ending: &'a dyn Fn() -> bool,
}

fn do_work(folder: &StudioFolder, work: &Work, going: &Going<'_>) -> Result<Outcome, String> {
    match work {
        Work::TakePhoto { source } => take_photo(folder, source, going),
        Work::Keep(work) => crate::keeping::carry_out(folder, work, going.progress, going.is_stopped)
            .map(|kept| Outcome::Kept(Box::new(kept))),
        Work::IssuePaper(paper) => write_paper(folder, paper, going),
        Work::MessageImage { photo, kind, to } => {
            let original = original(folder, *photo, *kind)?;
            let image = photo::message_image(&original).map_err(|why| why.to_string())?;
            write_outside(folder, to, &image)?;
            Ok(Outcome::ImageWritten(to.clone()))
        }
        Work::CopyPaper { tag, kind, file, to } => {
            let name = paper_file_name(*kind, file);
            let paper = folder.paper(&tag.to_string(), &name, *file).map_err(|why| why.to_string())?;
            let paper = paper.ok_or_else(|| job_words::paper_gone(*kind))?;
            write_outside(folder, to, &paper)?;
            Ok(Outcome::CopyWritten(to.clone()))
        }
        Work::Picture { photo, kind, side_px } => {
            picture(&original(folder, *photo, *kind)?, *side_px).map_err(|why| why.to_string())
        }
        // The reader does that, in a thread of its own.
        Work::ReadOrders { .. } => Ok(Outcome::OrdersRead),
        Work::LookThrough(files) => looking::look_through(folder, files, going),
        Work::PreviewPaper { paper, dpi } => {
            let issued = set_paper(folder, paper, going.progress)?;
            let page = |page| issued.pixels(page, f64::from(*dpi)).map(Arc::new);
            Ok(Outcome::PaperSet((0..issued.pages()).filter_map(page).collect()))
        }
    }
}

/// A photo to look at, made smaller in linear light just as papers show it.
fn picture(original: &[u8], side_px: u32) -> Result<Outcome, photo::PhotoError> {
    let small = photo::decode(&photo::for_paper(original, side_px)?)?;
    let rgba =
        small.rgb.as_chunks::<3>().0.iter().flat_map(|&[red, green, blue]| [red, green, blue, u8::MAX]);
    let rgba = rgba.collect();
    Ok(Outcome::PictureRead(Arc::new(Pixels { width: small.width, height: small.height, rgba })))
}

/// Writes a file where the maker wants it, and never among those of the studio.
fn write_outside(folder: &StudioFolder, to: &Path, bytes: &[u8]) -> Result<(), String> {
    let not_written = |why: std::io::Error| job_words::not_written(to, &why);
    let whole = std::path::absolute(to).map_err(not_written)?;
    if lies_in(folder, whole.parent().unwrap_or(&whole)) {
        return Err(job_words::within_the_studio(to));
    }
    write_whole(to, bytes).map_err(not_written)
}

/// Writes a file outside the studio so that it is there whole or, where something goes wrong, as it was before.
pub(crate) fn write_whole(to: &Path, bytes: &[u8]) -> std::io::Result<()> {
    write_beside(to, bytes, &|beside| std::fs::rename(beside, to))
}

/// The same for a file of a new name: one that is there stays as it is, and the new one is on the disk with its name.
pub(crate) fn write_new(to: &Path, bytes: &[u8]) -> std::io::Result<()> {
    write_beside(to, bytes, &|beside| match std::fs::hard_link(beside, to) {
        Ok(()) => std::fs::remove_file(beside),
        Err(error) if error.kind() == std::io::ErrorKind::AlreadyExists => Err(error),
        Err(_no_second_names) if std::fs::symlink_metadata(to).is_ok() => {
            Err(std::io::ErrorKind::AlreadyExists.into())
        }
        Err(_no_second_names) => std::fs::rename(beside, to),
    })?;
    let above = to.parent().filter(|above| !above.as_os_str().is_empty()).unwrap_or(Path::new("."));
    let confirmed = std::fs::File::open(above).and_then(|above| above.sync_all());
    if confirmed.is_err() {
        // It is told as not written, so that it is asked for again, under the same name.
        drop(std::fs::remove_file(to));
    }
    confirmed
}

fn write_beside(to: &Path, bytes: &[u8], put: &dyn Fn(&Path) -> std::io::Result<()>) -> std::io::Result<()> {
    use std::io::Write as _;
    let mut name = std::ffi::OsString::from(".");
    name.push(to.file_name().ok_or(std::io::ErrorKind::InvalidFilename)?);
    name.push(format!(".{:08x}.part", fastrand::u32(..)));
    let beside = to.with_file_name(name);
    let written = std::fs::File::create_new(&beside).and_then(|mut file| {
        file.write_all(bytes)?;
        file.sync_all()?;
        put(&beside)
    });
    if written.is_err() {
        // What went wrong is told; a part that cannot be removed either has its name to tell what it is.
        drop(std::fs::remove_file(&beside));
    }
    written
}

/// Reads a picked file, within the size a photo may have.
fn read_photo(path: &Path) -> Result<Vec<u8>, String> {
    use std::io::Read as _;
    let failed = |why: std::io::Error| job_words::not_read(path, &why);
    // Opening a pipe would wait for its other end, perhaps for ever.
    if !std::fs::metadata(path).map_err(failed)?.is_file() {
        return Err(job_words::not_a_file(path));
    }
    let file = std::fs::File::open(path).map_err(failed)?;
    let mut bytes = Vec::new();
    let most = u64::try_from(photo::MAX_BYTES).unwrap_or(u64::MAX) + 1;
    file.take(most).read_to_end(&mut bytes).map_err(failed)?;
    Ok(bytes)
}

fn take_photo(folder: &StudioFolder, source: &Source, going: &Going<'_>) -> Result<Outcome, String> {
    let (bytes, name): (Arc<[u8]>, String) = match source {
        Source::File(path) => (read_photo(path)?.into(), format!("{}: ", path.display())),
        Source::Bytes(bytes) => (bytes.clone(), String::new()),
    };
    let named = |why: photo::PhotoError| format!("{name}{why}");
    // Decoding the whole picture now means that it can be shown and printed later.
    photo::decode(&bytes).map_err(named)?;
    let kind = photo::recognise(&bytes).map_err(named)?;
    // No sheet would name it, so it would be nobody's.
    if (going.is_stopped)() {
        return Err(job_words::STOPPED.to_owned());
    }
    let kept = folder.keep_photo(&bytes, kind.extension()).map_err(|why| why.to_string())?;
    let kind = match kind {
        photo::Kind::Jpeg => PhotoKind::Jpeg,
        photo::Kind::Png => PhotoKind::Png,
    };
    Ok(Outcome::PhotoKept { original: kept.hash(), kind })
}

fn original(folder: &StudioFolder, digest: Digest, kind: PhotoKind) -> Result<Vec<u8>, String> {
    let name: PhotoName = PhotoName::new(digest, kind.extension()).map_err(|why| why.to_string())?;
    let bytes = folder.photo(&name).map_err(|why| why.to_string())?;
    bytes.ok_or_else(|| job_words::photo_gone(&digest))
}

fn write_paper(folder: &StudioFolder, work: &PaperWork, going: &Going<'_>) -> Result<Outcome, String> {
    let issued = set_paper(folder, work, going.progress)?;
    let (file, pages) = (Digest::of(&issued.pdf), issued.pages());
    let name = paper_file_name(work.kind, &file);
    if work.keep && (going.is_stopped)() {
        return Err(job_words::STOPPED.to_owned());
    }
    if work.keep {
        folder.issue_paper(&work.tag.to_string(), &name, &issued.pdf).map_err(|why| why.to_string())?;
    }
    Ok(Outcome::PaperWritten { file, name, pages, pdf: issued.pdf.into() })
}

/// The name of an issued paper's file, which follows from the record alone: its kind and its digest.
pub fn paper_file_name(kind: PaperKind, file: &Digest) -> String {
    let digest = file.to_string();
    format!("{kind}-{}.pdf", digest.get(..16).unwrap_or(&digest))
}

/// Sets a paper with the photos it asks for, without keeping it.
///
/// # Errors
/// A photo is missing or damaged, or the paper cannot be set; says what to do.
pub fn set_paper(
    folder: &StudioFolder,
    work: &PaperWork,
    progress: &dyn Fn(u8),
) -> Result<papers::document::Issued, String> {
    let mut assets = Assets::default();
    let all = work.photos.len().max(1);
    for (done, (digest, kind)) in work.photos.iter().enumerate() {
        let jpeg = photo::for_paper(&original(folder, *digest, *kind)?, PAPER_SIDE_PX)
            .map_err(|why| why.to_string())?;
        assets.photos.insert(digest.to_string(), jpeg.into());
        progress(u8::try_from((done + 1) * 80 / all).unwrap_or(80));
    }
    render(&work.paper, &Sheet::new(work.size, work.issued_at), &assets).map_err(|why| why.to_string())
}

#[cfg(test)]
mod tests;
