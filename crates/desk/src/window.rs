//! The window without a screen under it: what is open, what is done each frame, and what the computer is asked for.
//! Everything that reaches outside is data, so that a whole day can be tried without a screen.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use craft::moment::Moment;
use craft::policies::Policies;
use craft::studio::Edit;
use craft::tag::Tag;
use egui::Ui;
use workbench::action::{Action, Alarm, Effect, Nav, Purpose};
use workbench::clock::Clock;
use workbench::demo::Demo;
use workbench::founding::{self, NotFounded};
use workbench::present::heading::window_title;
use workbench::present::job_words::founding as founding_words;
use workbench::present::labels::shell as labels;
use workbench::present::leaving;
use workbench::present::strip;
use workbench::present::words::sentence;
use workbench::runner::Aside;
use workbench::session::Session;
use workbench::state::Notice;
use workbench::view::View;
use workbench::waits::Standing;

use crate::cx::{Asked, Wish};
use crate::platform::prefs::{Preferences, WindowPlace, Zoom};
use crate::platform::printing::Media;
use crate::shell::{Desk, First, NewStudio};

/// What the computer under the window is asked for.
#[derive(Clone, Debug, PartialEq)]
pub enum Outward {
    /// Rings.
    Ring {
        /// What the window says.
        said: String,
        /// What a notice outside the window says, where others may read it: no name.
        notice: String,
    },
    /// Shows a notice outside the window.
    Notify(String),
    /// Opens a file.
    Open(PathBuf),
    /// Prints a PDF under a name, on that paper.
    Print(PathBuf, String, Option<Media>),
    /// Puts words on the clipboard.
    Copy(String),
    /// Asks for a folder or a file name, on the page of this order; the answer comes through [`Window::answered`].
    Ask(Asked, Option<Tag>),
    /// Asks for photos; the answer comes through [`Window::picked`].
    Photos(Purpose),
    /// Remembers the preferences.
    Remember(Preferences),
    /// Ends the program.
    Quit,
}

/// Where things are on this computer.
#[derive(Clone, Debug)]
pub struct Places {
    /// The person's own folder, where a studio is proposed.
    pub home: PathBuf,
    /// Where the demo studio is written.
    pub demo: PathBuf,
    /// Where this computer keeps who is forgotten, apart from any studio; none where it names no folder for that.
    pub lists: Option<PathBuf>,
}

/// What is open.
#[derive(Debug)]
enum Stand {
    First(Box<First>),
    Open(Box<Opened>),
}

#[derive(Debug)]
struct Opened {
    root: PathBuf,
    session: Session,
    desk: Desk,
    wake_at: Option<Moment>,
    /// The day that was looked at last: promises and reminders turn with it.
    day: Option<chrono::NaiveDate>,
}

/// The window.
pub struct Window {
    stand: Stand,
    clock: Arc<dyn Clock>,
    wake: Arc<dyn Fn() + Send + Sync>,
    places: Places,
    prefs: Preferences,
    outward: Vec<Outward>,
    /// What the person was warned of when the studio was to be closed, and how many changes were accepted by then.
    warned: Option<(Vec<String>, u64)>,
    /// The demo studio that is being written, and where.
    founding: Option<(PathBuf, Aside<Result<Demo, NotFounded>>)>,
}

impl std::fmt::Debug for Window {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Window")
            .field("stand", &self.stand)
            .field("prefs", &self.prefs)
            .finish_non_exhaustive()
    }
}

impl Window {
    /// A window on its first page.
    pub fn new(
        clock: Arc<dyn Clock>,
        wake: Arc<dyn Fn() + Send + Sync>,
        places: Places,
        prefs: Preferences,
    ) -> Self {
        let mut first = First::new(&places.home);
        first.recent.clone_from(&prefs.recent);
        let first = Stand::First(Box::new(first));
        Self { stand: first, clock, wake, places, prefs, outward: Vec::new(), warned: None, founding: None }
    }

    /// Opens a studio; where that cannot be done the first page says why.
    pub fn open(&mut self, root: &Path) {
        match Session::open_waking(root, self.clock.clone(), self.wake.clone()) {
            Ok(session) => {
                let mut opened = Opened {
                    root: root.to_owned(),
                    session,
                    desk: Desk::new(self.prefs.clone()).over(root),
                    wake_at: None,
                    day: None,
                };
                if let Some(lists) = &self.places.lists {
                    opened.session.bench.keep_lists_in(lists.clone());
                }
                let effects = opened.session.act(Action::Tick);
                self.stand = Stand::Open(Box::new(opened));
                self.take_effects(effects);
                self.prefs.studio = Some(root.to_owned());
                if root != self.places.demo {
                    self.prefs.recent.retain(|known| known != root);
                    self.prefs.recent.insert(0, root.to_owned());
                    self.prefs.recent.truncate(RECENT);
                }
                self.remember();
            }
            Err(why) => self.fail(&store::told(&why), Some(root)),
        }
    }

    fn fail(&mut self, why: &str, root: Option<&Path>) {
        // What is typed on the first page stays there.
        if !matches!(self.stand, Stand::First(_)) {
            self.stand = Stand::First(Box::new(First::new(&self.places.home)));
        }
        if let Stand::First(first) = &mut self.stand {
            let told = match root {
                Some(root) if !why.contains(&*root.display().to_string()) => {
                    format!("{}: {why}", root.display())
                }
                _ => why.to_owned(),
            };
            first.tell(&sentence(&told));
            first.recent.clone_from(&self.prefs.recent);
        }
    }

    /// The studio that is open.
    pub fn root(&self) -> Option<&Path> {
        match &self.stand {
            Stand::Open(opened) => Some(&opened.root),
            Stand::First(_) => None,
        }
    }

    /// The session over the open studio.
    pub fn session(&mut self) -> Option<&mut Session> {
        match &mut self.stand {
            Stand::Open(opened) => Some(&mut opened.session),
            Stand::First(_) => None,
        }
    }

    /// What the window is called.
    pub fn title(&self) -> String {
        match &self.stand {
            Stand::First(_) => "Heldfast".to_owned(),
            Stand::Open(opened) => window_title(&opened.session.view()),
        }
    }

    /// Takes in what came back and what has become due; runs when the window is hidden too. Gives how many
    /// milliseconds until it should run again, where something is waited for.
    pub fn logic(&mut self) -> Option<u64> {
        let now = self.clock.now();
        self.look_at_founding();
        let founding = self.is_founding().then_some(FOUNDING_LOOK_MS);
        let Stand::Open(opened) = &mut self.stand else { return founding };
        let mut effects = opened.session.pump();
        let turned = opened.day != Some(now.day());
        opened.day = Some(now.day());
        let due = turned
            || opened.wake_at.is_some_and(|at| at.boot != now.boot || now.since_boot_ms >= at.since_boot_ms);
        if due {
            opened.wake_at = None;
            effects.extend(opened.session.act(Action::Tick));
        }
        self.take_effects(effects);
        self.forget_the_warning();
        self.next_look(now)
    }

    fn next_look(&self, now: Moment) -> Option<u64> {
        let Stand::Open(opened) = &self.stand else { return None };
        let view = opened.session.bench.view(now);
        let running = view.waits.iter().filter(|wait| wait.standing == Standing::Running);
        // The digits change each time a whole second of a wait is over.
        let second = running.map(|wait| wait.remaining().micro().rem_euclid(1_000_000) / 1_000 + 1).min();
        let wake = opened.wake_at.map(|at| (at.since_boot_ms - now.since_boot_ms).max(1));
        // A disk that does not answer is told of without anybody having to move.
        let saving = view.saves.is_saving().then_some(1_000);
        let least = second.into_iter().chain(wake).chain(saving).chain([until_midnight(now)]).min()?;
        u64::try_from(least).ok()
    }

    /// Shows one frame.
    pub fn ui(&mut self, ui: &mut Ui) {
        let now = self.clock.now();
        let wishes = match &mut self.stand {
            Stand::First(first) => first.ui(ui, &self.places.demo),
            Stand::Open(opened) => {
                let view = opened.session.bench.view(now);
                opened.desk.ui(ui, &view)
            }
        };
        for wish in wishes {
            self.grant(wish);
        }
    }

    fn grant(&mut self, wish: Wish) {
        match wish {
            Wish::Act(action) => self.act(action),
            Wish::HandIn { edits, clear } => self.hand_in(edits, &clear),
            Wish::Side(side) => self.on_desk(|desk| desk.show_side(side)),
            Wish::Stone(tag, stone) => self.on_desk(|desk| desk.show_stone(tag, stone)),
            Wish::Test(bottle) => {
                self.on_desk(|desk| desk.show_test(bottle));
                self.act(Action::Go(Nav::Shelf));
            }
            Wish::Paper(kind) => self.on_desk(|desk| desk.show_paper(kind)),
            Wish::Life(lot) => self.on_desk(|desk| desk.show_life(lot)),
            Wish::Copy(words) => self.outward.push(Outward::Copy(words)),
            Wish::Open(path) => self.outward.push(Outward::Open(path)),
            Wish::Print(path, name, media) => self.outward.push(Outward::Print(path, name, media)),
            Wish::Ask(asked) => {
                let on = self.open_order();
                self.outward.push(Outward::Ask(asked, on));
            }
            Wish::Earlier(doc) => {
                self.on_desk(|desk| desk.show_earlier(doc));
                self.act(Action::Go(Nav::Keeping));
            }
            Wish::OpenStudio(root) => self.change_studio(&root),
            Wish::ReadAgain => self.read_again(),
            Wish::MakeStudio(new) => self.make_studio(&new),
            Wish::Demo(root) => self.demo(&root),
            Wish::LeaveStudio => self.leave(),
            Wish::Prefer(prefs) => {
                self.prefs =
                    Preferences { studio: self.prefs.studio.clone(), window: self.prefs.window, ..prefs };
                self.remember();
            }
            Wish::Quit => self.outward.push(Outward::Quit),
        }
    }

    fn on_desk(&mut self, change: impl FnOnce(&mut Desk)) {
        if let Stand::Open(opened) = &mut self.stand {
            change(&mut opened.desk);
        }
    }

    /// Hands edits that belong together to the workbench, and lets go of what was typed for them once they are made.
    fn hand_in(&mut self, edits: Vec<Edit>, clear: &[String]) {
        self.act(Action::Together(edits));
        if let Stand::Open(opened) = &mut self.stand {
            let refused =
                opened.session.bench.notices().any(|notice| matches!(notice, Notice::Refused { .. }));
            if !refused {
                opened.desk.let_go(clear);
            }
        }
    }

    /// Hands one action to the workbench.
    pub fn act(&mut self, action: Action) {
        if let Stand::Open(opened) = &mut self.stand {
            let effects = opened.session.act(action);
            self.take_effects(effects);
        }
    }

    fn take_effects(&mut self, effects: Vec<Effect>) {
        for effect in effects {
            match effect {
                Effect::Pick(purpose) => self.outward.push(Outward::Photos(purpose)),
                Effect::Ring(alarm) => self.ring(&alarm),
                Effect::Notify(words) => self.outward.push(Outward::Notify(words)),
                Effect::Open(path) => self.outward.push(Outward::Open(path)),
                Effect::Copy(words) => self.outward.push(Outward::Copy(words)),
                Effect::WakeAt(at) => self.wake_at(at),
                // The runner has done these.
                Effect::Save(..) | Effect::Run(..) | Effect::Stop(_) => {}
            }
        }
    }

    fn wake_at(&mut self, at: Moment) {
        if let Stand::Open(opened) = &mut self.stand {
            let sooner = opened.wake_at.is_none_or(|known| at.since_boot_ms < known.since_boot_ms);
            if sooner {
                opened.wake_at = Some(at);
            }
        }
    }

    fn ring(&mut self, alarm: &Alarm) {
        let Stand::Open(opened) = &self.stand else { return };
        let view = opened.session.bench.view(self.clock.now());
        let said = strip::rung(view.studio, &view.waits, alarm);
        let notice = strip::rung_outside(&view.waits, alarm);
        self.outward.push(Outward::Ring { said, notice });
    }

    fn make_studio(&mut self, new: &NewStudio) {
        // A folder below one that is not there yet is made with it.
        if let Some(above) = new.folder.parent() {
            drop(std::fs::create_dir_all(above));
        }
        match made(new) {
            Ok(()) => self.open(&new.folder),
            Err(why) => self.fail(&why, None),
        }
    }

    /// The demo studio as it was left, or a fresh one.
    fn demo(&mut self, root: &Path) {
        if let Some(above) = root.parent() {
            drop(std::fs::create_dir_all(above));
        }
        if root.join("studio.ron").exists() {
            return self.change_studio(root);
        }
        if self.is_founding() {
            return;
        }
        let (to, now) = (root.to_owned(), self.clock.now());
        let write = move |onward: workbench::runner::Onward<'_>| founding::demo_telling(&to, now, onward);
        match Aside::start("demo", self.wake.clone(), write) {
            Ok(aside) => self.founding = Some((root.to_owned(), aside)),
            Err(_) => self.fail(workbench::present::job_words::NO_THREAD, None),
        }
        self.look_at_founding();
    }

    /// True while the demo studio is being written.
    pub fn is_founding(&self) -> bool {
        self.founding.is_some()
    }

    /// Opens the demo studio once it is written, and says how far it is until then.
    fn look_at_founding(&mut self) {
        let Some((root, aside)) = &self.founding else { return };
        let (root, answer) = (root.clone(), aside.answer());
        let under_way = answer.is_none().then(|| founding_words(aside.percent()));
        if let Stand::First(first) = &mut self.stand {
            first.under_way = under_way;
        }
        let Some(answer) = answer else { return };
        self.founding = None;
        match answer {
            Ok(Ok(_)) => self.change_studio(&root),
            Ok(Err(why)) => self.fail(&store::told(&why), None),
            Err(why) => self.fail(&why, None),
        }
    }

    /// The order that is open.
    fn open_order(&self) -> Option<Tag> {
        match &self.stand {
            Stand::Open(opened) => match opened.session.view().nav {
                Nav::Bench(tag, _) => Some(tag),
                Nav::Board | Nav::Shelf | Nav::TryOut | Nav::Keeping => None,
            },
            Stand::First(_) => None,
        }
    }

    /// Whether the studio may be closed now. Where something would be lost, that is said once; asked again while the
    /// same would be lost, it may.
    pub fn may_close(&mut self) -> bool {
        let Stand::Open(opened) = &self.stand else { return true };
        let view = opened.session.view();
        let holding = leaving::holding(&view, opened.desk.is_typing());
        // What is said of a later change may read the same, and the person has not heard it yet.
        let would_be_lost = (holding, view.revision);
        if would_be_lost.0.is_empty() || self.warned.as_ref() == Some(&would_be_lost) {
            self.warned = None;
            return true;
        }
        let words = leaving::not_yet(&would_be_lost.0);
        self.warned = Some(would_be_lost);
        self.tell(&words);
        false
    }

    /// Once nothing would be lost any more the warning is over: the next one is given anew.
    fn forget_the_warning(&mut self) {
        let Stand::Open(opened) = &mut self.stand else { return };
        let is_over = |view: &View<'_>| leaving::holding(view, opened.desk.is_typing()).is_empty();
        if self.warned.is_some()
            && is_over(&opened.session.view())
            && let Some((holding, _)) = self.warned.take()
        {
            opened.desk.unsay(&leaving::not_yet(&holding));
        }
    }

    fn change_studio(&mut self, root: &Path) {
        self.leave();
        if matches!(&self.stand, Stand::First(_)) {
            self.open(root);
        }
    }

    /// Opens the studio anew, and shows what was found.
    fn read_again(&mut self) {
        let Some(root) = self.root().map(Path::to_owned) else { return };
        self.change_studio(&root);
        self.act(Action::Go(Nav::Keeping));
    }

    /// Saves everything and shows the first page. Where something would be lost it stays, until it is asked again.
    fn leave(&mut self) {
        if !self.may_close() {
            return;
        }
        let first = Stand::First(Box::new(First::new(&self.places.home)));
        if let Stand::Open(opened) = std::mem::replace(&mut self.stand, first)
            && let Err(left) = opened.session.close()
        {
            self.fail(&left.join("; "), Some(&opened.root));
        }
        if let Stand::First(first) = &mut self.stand {
            first.recent.clone_from(&self.prefs.recent);
        }
    }

    /// Ends the work.
    ///
    /// # Errors
    /// Everything the person should know before the program is gone.
    pub fn close(self) -> Result<(), Vec<String>> {
        match self.stand {
            Stand::First(_) => Ok(()),
            Stand::Open(opened) => opened.session.close(),
        }
    }

    /// The answer to [`Outward::Ask`], with the order on whose page it was asked.
    pub fn answered(&mut self, asked: &Asked, on: Option<Tag>, path: &Path) {
        let (Asked::Folder(key) | Asked::SaveAs(_, key) | Asked::File(key) | Asked::NewFolder(_, key)) =
            asked;
        let path = match asked {
            Asked::NewFolder(name, _) => path.join(name),
            Asked::Folder(_) | Asked::SaveAs(..) | Asked::File(_) => path.to_owned(),
        };
        let words = path.display().to_string();
        match &mut self.stand {
            Stand::First(first) => first.drafts.put(key, words),
            Stand::Open(opened) => opened.desk.put_draft(on, key, words),
        }
    }

    /// The answer to [`Outward::Photos`], or photos that were dropped on the window.
    pub fn picked(&mut self, purpose: Purpose, files: Vec<PathBuf>) {
        self.act(Action::Picked(purpose, files));
    }

    /// Photos that were dropped on the window go to the open order.
    pub fn dropped(&mut self, files: Vec<PathBuf>) {
        let Stand::Open(opened) = &self.stand else { return };
        let of = opened.desk.photo_of();
        match self.open_order().filter(|_| !opened.desk.is_covered()) {
            Some(tag) => self.picked(Purpose::Photos { tag, of }, files),
            None => self.tell(labels::DROPPED_NOWHERE),
        }
    }

    /// Says something that only the computer under the window could know.
    pub fn tell(&mut self, words: &str) {
        match &mut self.stand {
            Stand::First(first) => first.tell(words),
            Stand::Open(opened) => opened.desk.tell(words),
        }
    }

    /// What is asked of the computer since the last time.
    pub fn take_outward(&mut self) -> Vec<Outward> {
        std::mem::take(&mut self.outward)
    }

    /// The preferences as they are.
    pub fn prefs(&self) -> &Preferences {
        &self.prefs
    }

    /// Everything is drawn larger or smaller, by the keys that every window has.
    pub fn zoomed(&mut self, zoom: Zoom) {
        self.prefs.zoom = zoom;
        if let Stand::Open(opened) = &mut self.stand {
            opened.desk.prefs.zoom = zoom;
        }
        self.remember();
    }

    /// Where the window stands on the screen, to be remembered at the end.
    pub fn stands(&mut self, place: WindowPlace) {
        self.prefs.window = Some(place);
    }

    fn remember(&mut self) {
        self.outward.push(Outward::Remember(self.prefs.clone()));
    }
}

/// How often it is looked how far the demo studio is, in milliseconds.
const FOUNDING_LOOK_MS: u64 = 100;

/// How many studios the first page offers to open again.
const RECENT: usize = 4;

/// Milliseconds until the local day turns.
fn until_midnight(now: Moment) -> i64 {
    const DAY_MS: i64 = 86_400_000;
    let local_ms = now.utc_ms + i64::from(now.offset_min) * 60_000;
    DAY_MS - local_ms.rem_euclid(DAY_MS)
}

/// Makes a studio with the starter shelf.
fn made(new: &NewStudio) -> Result<(), String> {
    let name = new.name.parse().map_err(|why| format!("the name: {why}"))?;
    let settings = Policies::new(founding::new_studio_id(), name, new.currency);
    founding::found(&new.folder, settings).map_err(|why| store::told(&why))
}
