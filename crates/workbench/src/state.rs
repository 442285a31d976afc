//! The workbench itself: a pure state machine over actions and effects.

mod folder;
mod jobs;
mod keeping;
mod reading;

use std::collections::{BTreeMap, BTreeSet, VecDeque};
use std::sync::OnceLock;

use craft::id::DocId;
use craft::moment::Moment;
use craft::order::{Photo, Sheet};
use craft::refusal::Refusal;
use craft::studio::{Doc, Edit, OrderEdit, Studio};
use craft::tag::Tag;
use craft::text::Line;
use store::save::SaveOutcome;

use crate::action::{Action, Alarm, Effect, FolderNews, Job, JobId, Nav, Purpose, Rev, Source};
use crate::finding::Finding;
use crate::index::Index;
use crate::keeping::since::Since;
use crate::open::Trouble;
use crate::pictures::Pictures;
use crate::present::remedy_words;
use crate::present::undo_words::edit_label;
use crate::saving::{Saves, Standing};
use crate::undo::{Point, Scope, UndoStack};
use crate::view::{JobRow, View};
use crate::waits::{self, Kind, Wait};

use jobs::Running;
pub use jobs::paper_work;
pub use reading::Reading;

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

impl Notice {
    /// What the button says that would mend a refusal: "Close envelope 2 of Bramble". None where there is no remedy.
    pub fn remedy_words(&self, studio: &Studio) -> Option<String> {
        match self {
            Notice::Refused { remedy: Some(remedy), .. } => Some(remedy_words::remedy(remedy, studio)),
            _ => None,
        }
    }
}

/// How long after a save failed it is tried again by itself, in milliseconds of the computer's own count.
const SAVE_AGAIN_MS: i64 = 15_000;

/// In a studio of more orders than this what does not fit across documents is looked for again where it is shown and
/// from time to time, not after each change.
const MANY: usize = 500;

/// So many orders that are over may stay unfolded after they were looked into: about ten megabytes, and more than a bottle
/// learns from.
const UNFOLDED: usize = 200;

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
    pictures: Pictures,
    folder: Option<FolderNews>,
    keeping: crate::keeping::Keeping,
    next_job: u64,
    rung: BTreeSet<Rung>,
    troubles: Vec<Trouble>,
    /// What was found in the folder.
    found: Vec<Finding>,
    /// The same with what is found across documents, made when it is asked for.
    across: OnceLock<Vec<Finding>>,
    /// Something changed since that may change what is found.
    across_is_old: bool,
    /// What plans rest on may have changed since the board was asked last.
    plans_are_old: bool,
    /// Orders whose record the maker goes on with as it is.
    accepted: BTreeSet<Tag>,
    reading: Option<Reading>,
    /// When something began to be on its way to the disk that is still on its way.
    saving_since: Option<Moment>,
    read_only: Option<String>,
    /// How many changes were accepted.
    revision: u64,
    /// Made at the first look or tick, and kept fresh by every action from then on.
    index: OnceLock<Index>,
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
            pictures: Pictures::default(),
            folder: None,
            keeping: crate::keeping::Keeping::default(),
            next_job: 1,
            rung: BTreeSet::new(),
            troubles: Vec::new(),
            found: Vec::new(),
            across: OnceLock::new(),
            across_is_old: false,
            plans_are_old: true,
            accepted: BTreeSet::new(),
            reading: None,
            saving_since: None,
            read_only,
            revision: 0,
            index: OnceLock::new(),
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

    /// The studio.
    pub fn studio(&self) -> &Studio {
        &self.studio
    }

    /// Why nothing can be changed, where that is so.
    pub fn read_only(&self) -> Option<&str> {
        self.read_only.as_deref()
    }

    /// What could not be read when the studio was opened.
    pub fn troubles(&self) -> &[Trouble] {
        &self.troubles
    }

    /// Makes what the first look would have to wait for.
    pub fn make_ready(&self, now: Moment) {
        self.index(now);
    }

    fn index(&self, now: Moment) -> &Index {
        self.index.get_or_init(|| Index::new(&self.studio, now))
    }

    /// What there is to be seen. It costs nothing that grows with the number of orders, but for the very first look
    /// where no [`Action::Tick`] came before. The board is that of the moment of the last action.
    pub fn view(&self, now: Moment) -> View<'_> {
        let index = self.index(now);
        View {
            studio: &self.studio,
            board: &index.board,
            words: &index.words,
            taken: &index.taken,
            alike: &index.alike,
            revision: self.revision,
            nav: self.nav,
            notice: self.notices.get(self.shown()),
            undo: &self.undo,
            saves: &self.saves,
            jobs: self
                .jobs
                .iter()
                .map(|(&id, running)| JobRow { id, job: &running.job, percent: running.percent })
                .collect(),
            pictures: &self.pictures,
            folder: self.folder.as_ref(),
            keeping: &self.keeping,
            waits: waits::waits_of(&self.studio, &index.waiting, now),
            troubles: &self.troubles,
            bench: self,
            silence_ms: self.silence_ms(now),
            read_only: self.read_only.as_deref(),
            now,
        }
    }

    /// Takes one action in and says what is to be done in the world.
    pub fn handle(&mut self, action: Action, now: Moment) -> Vec<Effect> {
        self.turn_the_day(now);
        let answered = matches!(action, Action::SaveDone(..));
        let effects = self.take_in(action, now);
        // Each answer shows that the disk is there; what is on its way since then is counted anew.
        if !self.saves.is_saving() {
            self.saving_since = None;
        } else if answered || self.saving_since.is_none() {
            self.saving_since = Some(now);
        }
        effects
    }

    /// How long the disk has not answered what is on its way to it, in milliseconds; 0 where nothing is.
    fn silence_ms(&self, now: Moment) -> i64 {
        let since = self.saving_since.filter(|since| since.boot == now.boot);
        since.map_or(0, |since| now.since_boot_ms.saturating_sub(since.since_boot_ms).max(0))
    }

    fn take_in(&mut self, action: Action, now: Moment) -> Vec<Effect> {
        match action {
            Action::Edit(edit) => self.edit(edit, now),
            Action::Together(edits) => self.together(edits, now),
            Action::EditSheet { tag, base, sheet } => {
                let sheet = self.with_new_photos(tag, &base, *sheet);
                self.edit(Edit::Order(tag, OrderEdit::Sheet(Box::new(sheet))), now)
            }
            Action::Undo => self.step_back(now),
            Action::Redo => self.step_forth(now),
            Action::Go(nav) => {
                if matches!(nav, Nav::Board | Nav::Keeping) {
                    self.look_across_again();
                }
                self.nav = nav;
                let looked_at = if let Nav::Bench(tag, _) = nav { Some(tag) } else { None };
                self.studio.fold_beyond(UNFOLDED, looked_at);
                Vec::new()
            }
            Action::Start(job) => self.start(job, now),
            // What is to be forgotten is gone through with.
            Action::Cancel(id) if self.job(id).is_some_and(Job::is_gone_through_with) => Vec::new(),
            Action::Cancel(id) => self.cancel(id),
            Action::Pick(purpose) => vec![Effect::Pick(purpose)],
            Action::Picked(Purpose::Photos { tag, of }, files) => {
                let take =
                    |file| Job::TakePhoto { tag, of, caption: Line::default(), source: Source::File(file) };
                files.into_iter().flat_map(|file| self.start(take(file), now)).collect()
            }
            Action::Picked(Purpose::BoxPhoto { tag }, files) => {
                let take = |file| Job::TakeBoxPhoto { tag, source: Source::File(file) };
                files.into_iter().flat_map(|file| self.start(take(file), now)).collect()
            }
            Action::Progress(id, percent) => {
                if let Some(running) = self.jobs.get_mut(&id) {
                    running.percent = percent;
                }
                Vec::new()
            }
            Action::JobDone(id, end) => self.job_done(id, end, now),
            Action::SaveDone(doc, rev, outcome) => self.save_done(&doc, rev, outcome, now),
            Action::FolderTold(news) => self.folder_told(news, now),
            Action::Read(part) => self.read(*part, now),
            Action::Looked(found) => self.looked(found),
            Action::Written(since) => self.written(*since),
            Action::TakeEdition(file) => self.take_edition(&file, now),
            Action::GoOnWith(tag) => self.go_on_with(tag),
            Action::TakeBack(earlier) => self.take_back(*earlier, now),
            Action::HistoryTold(why) => self.history_told(why),
            Action::SaveAgain => self.save_again(),
            Action::Dismiss => {
                self.notices.remove(self.shown());
                Vec::new()
            }
            Action::Tick => {
                self.look_across_again();
                self.ask_for_plans(now);
                self.tick(now)
            }
        }
    }

    /// What is kept ready follows a new day, and waits that are over.
    fn turn_the_day(&mut self, now: Moment) {
        let Some(index) = self.index.get_mut() else { return };
        // Papers say what day it is.
        if index.turn(&self.studio, now) {
            self.plans_are_old = true;
            self.overtake(None);
        }
    }

    /// Whether something learned since speaks against a plan is asked for the board once all is read, and once more where
    /// something was taught: it looks into orders at rest, and a hand would feel that in the middle of a change.
    fn ask_for_plans(&mut self, now: Moment) {
        if !self.plans_are_old || self.reading().is_some_and(Reading::is_going_on) {
            return;
        }
        if let Some(index) = self.index.get_mut() {
            index.ask_again(&self.studio, now);
            self.plans_are_old = false;
        }
    }

    /// What is kept ready follows a change of a document.
    fn touched(&mut self, doc: &DocId, now: Moment) {
        self.revision += 1;
        self.keeping.since.changed(doc.clone(), now.utc_ms);
        // Looking through very many orders after each change would be felt under the hand.
        if self.studio.orders().len() > MANY {
            self.across_is_old = true;
        } else {
            self.across.take();
        }
        if let Some(index) = self.index.get_mut() {
            self.plans_are_old |= index.changed(&self.studio, doc, now);
        }
        match doc {
            DocId::Order(tag) => self.overtake(Some(*tag)),
            DocId::Policies | DocId::Shelf(_) | DocId::Client(_) => self.overtake(None),
            // No paper says what is on an invoice.
            DocId::Invoices(_) => {}
        }
    }

    /// The person's own change: a refusal said before has been answered by it. A failure has not; it stays until it
    /// is put away.
    fn edit(&mut self, edit: Edit, now: Moment) -> Vec<Effect> {
        self.refusal_answered();
        self.commit(edit, now)
    }

    /// Changes that belong together; the first refusal ends them, and stands.
    fn together(&mut self, edits: Vec<Edit>, now: Moment) -> Vec<Effect> {
        self.refusal_answered();
        let mut effects = Vec::new();
        for edit in edits {
            effects.extend(self.commit(edit, now));
            if self.notices.iter().any(|notice| matches!(notice, Notice::Refused { .. })) {
                break;
            }
        }
        effects
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

    /// Which of the notices is shown: a refusal, since it answers what the person did just now, or else the newest, so
    /// that what went well is not hidden behind what failed before; that stands there again once this is put away.
    fn shown(&self) -> usize {
        let refusal = self.notices.iter().position(|notice| matches!(notice, Notice::Refused { .. }));
        refusal.unwrap_or(self.notices.len().saturating_sub(1))
    }

    /// Has something said after everything that nobody has put away yet. Of two successes the newer one is told.
    fn say(&mut self, notice: Notice) -> Vec<Effect> {
        if matches!(notice, Notice::Said(_)) {
            self.notices.retain(|known| !matches!(known, Notice::Said(_)));
        }
        self.notices.push_back(notice);
        Vec::new()
    }

    /// A change through the studio's door. One that changes nothing is not worth a save or an undo point.
    fn commit(&mut self, edit: Edit, now: Moment) -> Vec<Effect> {
        if let Some(why) = &self.read_only {
            let why = why.clone();
            return self.say(Notice::Refused { why, remedy: None });
        }
        if let Some(why) = self.keeping.turns_away(&edit) {
            self.refusal_answered();
            return self.say(Notice::Refused { why: why.to_owned(), remedy: None });
        }
        if let Some(why) = self.has_to_wait(&edit) {
            self.refusal_answered();
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
                    (None, None) => self.undo.made(&done.doc, label),
                }
                self.touched(&done.doc, now);
                self.save(done.doc)
            }
            Err(refusal) => self.refused(&refusal),
        }
    }

    fn refused(&mut self, refusal: &Refusal) -> Vec<Effect> {
        let remedy = refusal.remedy().map(Box::new);
        self.refusal_answered();
        self.say(Notice::Refused { why: remedy_words::refusal(refusal, &self.studio), remedy })
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

    fn save_done(&mut self, doc: &DocId, rev: Rev, outcome: SaveOutcome, now: Moment) -> Vec<Effect> {
        // A backup that was made between the change and the save does not hold it.
        self.keeping.since.changed(doc.clone(), now.utc_ms);
        self.saves.ended(doc, rev, outcome);
        self.again_later(now)
    }

    fn written(&mut self, since: Since) -> Vec<Effect> {
        self.keeping.since.join(since);
        Vec::new()
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

    /// What a step back or forth may touch on the page that is looked at.
    pub(crate) fn undo_scope(&self) -> Scope {
        let Nav::Bench(tag, _) = self.nav else { return Scope::Everything };
        let client = self.studio.orders().get(&tag).map(|held| DocId::Client(held.client().clone()));
        Scope::Only([DocId::Order(tag)].into_iter().chain(client).collect())
    }

    fn step_back(&mut self, now: Moment) -> Vec<Effect> {
        let Some(point) = self.undo.take_undo(&self.undo_scope()) else { return Vec::new() };
        self.put_back(point, UndoStack::undone, now)
    }

    fn step_forth(&mut self, now: Moment) -> Vec<Effect> {
        let Some(point) = self.undo.take_redo(&self.undo_scope()) else { return Vec::new() };
        self.put_back(point, UndoStack::redone, now)
    }

    fn put_back(
        &mut self,
        point: Point,
        stepped: fn(&mut UndoStack, Doc, String),
        now: Moment,
    ) -> Vec<Effect> {
        let doc = point.before.id();
        let turned_away = self.read_only.clone().or_else(|| self.gone(&doc).map(str::to_owned));
        if let Some(why) = turned_away {
            self.undo.forget(&doc);
            self.refusal_answered();
            return self.say(Notice::Refused { why, remedy: None });
        }
        match self.studio.put_back(point.before) {
            Ok(done) => {
                self.touched(&done.doc, now);
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

    /// Rings what has become due, once, and asks to be woken for the next.
    fn tick(&mut self, now: Moment) -> Vec<Effect> {
        let running = waits::waits_of(&self.studio, &self.index(now).waiting, now);
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

#[cfg(test)]
mod tests;
