//! A hand at the keyboard: drives the whole window without a screen, and reads it as a screen reader does.

use std::path::{Path, PathBuf};
use std::sync::{Arc, LazyLock};

use ::papers::photo::sample::{SampleOutline, SampleStone, stone_picture};
use accesskit::Role;
use craft::studio::Studio;
use desk::look::dress;
use desk::platform::prefs::Preferences;
use desk::window::{Outward, Places, Window};
use egui::{Event, Key, Modifiers, Rect, Shape, Vec2, vec2};
use egui_kittest::kittest::{By, NodeT as _, Queryable as _};
use egui_kittest::{Harness, Node};
use tempfile::TempDir;
use workbench::action::{Action, Nav};

use super::raster::Raster;
use crate::support::HandClock;

/// The two windows every page is looked at in, and a small one in which everything is twice as large.
pub(crate) const SIZES: [(&str, Vec2); 3] = [
    ("1280×800", vec2(1280.0, 800.0)),
    ("1920×1080", vec2(1920.0, 1080.0)),
    ("1280×800 at 200 %", vec2(640.0, 400.0)),
];

/// The most steps of the Tab key that are tried to come somewhere.
const MOST_TABS: usize = 400;

/// The whole window under a hand.
pub(crate) struct Hand {
    harness: Harness<'static, Window>,
    pub(crate) clock: Arc<HandClock>,
    dir: TempDir,
    /// What the computer was asked for so far.
    pub(crate) outward: Vec<Outward>,
}

impl Hand {
    /// A window on its first page, over an empty folder.
    pub(crate) fn new(size: Vec2) -> Self {
        Self::over(tempfile::tempdir().unwrap(), HandClock::new(), size)
    }

    /// A window on the demo studio.
    pub(crate) fn demo(size: Vec2) -> Self {
        // Every hand's clock begins at the same moment, so the studio is made once and copied.
        static MADE: LazyLock<TempDir> = LazyLock::new(|| {
            let made = tempfile::tempdir().unwrap();
            let now = workbench::clock::Clock::now(&*HandClock::new());
            workbench::founding::demo(&made.path().join("studio"), now).unwrap();
            made
        });
        let hand = Self::new(size);
        copy(&MADE.path().join("studio"), &hand.root());
        hand.opened()
    }

    /// The demo studio with one order open on the page of a key.
    pub(crate) fn on(find: &str, page: Key) -> Self {
        let mut hand = Self::demo(SIZES[0].1);
        hand.ctrl(Key::F);
        hand.write(find);
        hand.key(Key::Enter);
        hand.ctrl(page);
        hand
    }

    /// A window on a new studio with the starter shelf.
    pub(crate) fn empty(size: Vec2) -> Self {
        let hand = Self::new(size);
        workbench::founding::found(&hand.root(), crate::support::policies()).unwrap();
        hand.opened()
    }

    /// The same window with its studio open.
    pub(crate) fn opened(mut self) -> Self {
        let root = self.root();
        self.harness.state_mut().open(&root);
        self.settle();
        self
    }

    fn over(dir: TempDir, clock: Arc<HandClock>, size: Vec2) -> Self {
        let lists = Some(dir.path().join("forgotten"));
        let places = Places { home: dir.path().to_owned(), demo: dir.path().join("demo"), lists };
        let window = Window::new(clock.clone(), Arc::new(|| {}), places, Preferences::default());
        let harness = Harness::builder()
            .with_size(size)
            .with_theme(egui::Theme::Light)
            .with_max_steps(64)
            .with_render_cursor(false)
            .with_context_setup(dress)
            .renderer(Raster::default())
            .build_ui_state(
                |ui, window: &mut Window| {
                    window.logic();
                    window.ui(ui);
                },
                window,
            );
        Self { harness, clock, dir, outward: Vec::new() }
    }

    /// The folder of the studio.
    pub(crate) fn root(&self) -> PathBuf {
        self.dir.path().join("studio")
    }

    /// A file beside the studio.
    pub(crate) fn beside(&self, name: &str) -> PathBuf {
        self.dir.path().join(name)
    }

    /// A photo of a stone, beside the studio.
    pub(crate) fn photo(&self, name: &str, seed: u64) -> PathBuf {
        let stone = SampleStone {
            seed,
            outline: SampleOutline::Round,
            ground: [230, 228, 224],
            strand: [120, 80, 50],
            flecks: None,
            metal: None,
            cloth: [112, 118, 116],
        };
        let path = self.beside(name);
        std::fs::write(&path, stone_picture(&stone, 96, 72).unwrap()).unwrap();
        path
    }

    /// Closes the window and opens the same studio in a new one, at the same time of day.
    pub(crate) fn reopened(self) -> Self {
        self.reopened_after(|_, _| {})
    }

    /// The same, with something done to the folder in between.
    pub(crate) fn reopened_after(mut self, between: impl FnOnce(&Studio, &HandClock)) -> Self {
        let size = self.harness.ctx.content_rect().size();
        let studio = self.window().session().expect("a studio is open").view().studio.clone();
        let Self { harness, clock, dir, .. } = self;
        harness.into_state().close().expect("everything is on the disk");
        between(&studio, &clock);
        Self::over(dir, clock, size).opened()
    }

    /// Lets everything that is under way end, and shows it.
    pub(crate) fn settle(&mut self) {
        for _ in 0..3 {
            self.harness.run();
            while self.harness.state_mut().is_founding() {
                self.harness.state_mut().logic();
                std::thread::yield_now();
            }
            if let Some(session) = self.harness.state_mut().session() {
                // What was refused or failed is for the screen to say.
                drop(session.settle());
            }
            self.outward.extend(self.harness.state_mut().take_outward());
        }
        self.harness.run();
    }

    /// Time passes.
    pub(crate) fn pass(&mut self, seconds: i64) {
        self.clock.pass(seconds);
        self.settle();
    }

    /// The hand rests for so many seconds of the window's own clock.
    pub(crate) fn rest(&mut self, seconds: f64) {
        let now = self.harness.ctx.input(|input| input.time);
        self.harness.input_mut().time = Some(now + seconds);
        self.settle();
        // From here on it goes on by itself, frame by frame.
        self.harness.input_mut().time = None;
    }

    pub(crate) fn window(&mut self) -> &mut Window {
        self.harness.state_mut()
    }

    /// Does one thing without the screen.
    pub(crate) fn act(&mut self, action: Action) {
        self.harness.state_mut().act(action);
        self.settle();
    }

    /// Goes somewhere without the screen.
    pub(crate) fn go(&mut self, nav: Nav) {
        self.act(Action::Go(nav));
    }

    pub(crate) fn resize(&mut self, size: Vec2) {
        self.harness.set_size(size);
        self.settle();
    }

    /// A file the dialog would have given.
    pub(crate) fn answer(&mut self, path: &Path) {
        let asked = self.outward.iter().rev().find_map(|outward| match outward {
            Outward::Ask(asked, on) => Some((asked.clone(), *on)),
            _ => None,
        });
        let (asked, on) = asked.expect("something was asked for");
        self.harness.state_mut().answered(&asked, on, path);
        self.settle();
    }

    /// The photos the dialog would have given.
    pub(crate) fn give_photos(&mut self, files: &[PathBuf]) {
        let purpose = self.outward.iter().rev().find_map(|outward| match outward {
            Outward::Photos(purpose) => Some(purpose.clone()),
            _ => None,
        });
        self.harness.state_mut().picked(purpose.expect("photos were asked for"), files.to_vec());
        self.settle();
    }

    // The keyboard.

    pub(crate) fn key(&mut self, key: Key) {
        self.keys(Modifiers::NONE, key);
    }

    pub(crate) fn keys(&mut self, modifiers: Modifiers, key: Key) {
        self.harness.key_press_modifiers(modifiers, key);
        self.settle();
    }

    /// A key with the command key held.
    pub(crate) fn ctrl(&mut self, key: Key) {
        self.keys(Modifiers::COMMAND, key);
    }

    /// Types into what has the keyboard, over what stands there.
    pub(crate) fn write(&mut self, words: &str) {
        self.harness.key_press_modifiers(Modifiers::COMMAND, Key::A);
        self.harness.run();
        self.harness.event(Event::Text(words.to_owned()));
        self.settle();
    }

    /// Steps with Tab until the control of that name has the keyboard.
    pub(crate) fn tab_to(&mut self, name: &str) {
        for _ in 0..MOST_TABS {
            if self.focused().as_deref() == Some(name) {
                return;
            }
            self.harness.key_press(Key::Tab);
            self.harness.run();
        }
        panic!("Tab never comes to \"{name}\"; there is: {:#?}", self.names());
    }

    /// Presses the control of that name, by the keyboard alone.
    pub(crate) fn press(&mut self, name: &str) {
        self.tab_to(name);
        self.key(Key::Enter);
    }

    /// Presses the control of that name with the pointer, while another may still have the keyboard.
    pub(crate) fn click(&mut self, name: &str) {
        let is_it = |node: &Node<'_>| {
            is_control(node.accesskit_node().role()) && name_of(node).as_deref() == Some(name)
        };
        let node = self.all().find(is_it).unwrap_or_else(|| panic!("no \"{name}\": {:#?}", self.names()));
        let screen = self.harness.ctx.content_rect();
        assert!(screen.contains(node.rect().center()), "\"{name}\" is out of sight");
        node.click();
        self.settle();
    }

    /// Fills a field in and leaves it.
    pub(crate) fn fill(&mut self, name: &str, words: &str) {
        self.tab_to(name);
        self.write(words);
        self.harness.key_press(Key::Tab);
        self.settle();
    }

    /// Opens a list and takes one of its words.
    pub(crate) fn choose(&mut self, name: &str, words: &str) {
        self.press(name);
        self.press(words);
    }

    // What is to be seen.

    /// The name of what has the keyboard.
    pub(crate) fn focused(&self) -> Option<String> {
        let focused = |node: &Node<'_>| node.is_focused() && node.accesskit_node().role() != Role::Window;
        self.all().find(focused).and_then(|node| name_of(&node))
    }

    fn all(&self) -> impl Iterator<Item = Node<'_>> {
        self.harness.query_all(By::new())
    }

    /// The names of all controls.
    pub(crate) fn names(&self) -> Vec<String> {
        self.all()
            .filter(|node| is_control(node.accesskit_node().role()))
            .filter_map(|node| name_of(&node))
            .collect()
    }

    /// True where words stand on the screen, however their lines are broken.
    pub(crate) fn reads(&self, words: &str) -> bool {
        let all: Vec<String> = self.texts().into_iter().map(|(_, text)| text.trim().to_owned()).collect();
        all.join(" ").contains(words)
    }

    /// What the pictures are called for whoever does not see them.
    pub(crate) fn images(&self) -> Vec<String> {
        let pictures = self.all().filter(|node| node.accesskit_node().role() == Role::Image);
        pictures.filter_map(|node| name_of(&node)).collect()
    }

    /// True where words stand on the screen, or name a control.
    pub(crate) fn sees(&self, words: &str) -> bool {
        self.texts().iter().any(|(_, text)| text.contains(words))
            || self.all().any(|node| name_of(&node).is_some_and(|name| name.contains(words)))
    }

    /// True where words stand on the screen and nothing of them is cut off.
    pub(crate) fn shows(&self, words: &str) -> bool {
        let screen = self.harness.ctx.content_rect();
        self.painted()
            .iter()
            .any(|text| text.words.contains(words) && text.clip.intersect(screen).contains_rect(text.rect))
    }

    /// Everything that is written, with its place.
    pub(crate) fn texts(&self) -> Vec<(Rect, String)> {
        self.painted().into_iter().map(|text| (text.rect, text.words)).collect()
    }

    fn painted(&self) -> Vec<Painted> {
        let mut all = Vec::new();
        for clipped in &self.harness.output().shapes {
            collect(&clipped.shape, clipped.clip_rect, &mut all);
        }
        all
    }

    /// What is wrong with the screen: words cut off at the side, words over words, controls without a name, two of one
    /// name.
    pub(crate) fn faults(&self) -> Vec<String> {
        let painted = self.painted();
        let screen = self.harness.ctx.content_rect();
        let mut faults = Vec::new();
        let seen: Vec<&Painted> = painted.iter().filter(|text| text.shown().is_positive()).collect();
        for text in &seen {
            let (rect, clip) = (text.rect, text.clip.intersect(screen));
            if rect.left() < clip.left() - 1.0 || rect.right() > clip.right() + 1.0 {
                faults.push(format!("cut off: \"{}\" {rect:?} in {clip:?}", text.words));
            }
        }
        for (place, a) in seen.iter().enumerate() {
            for b in seen.iter().skip(place + 1) {
                let both = a.shown().intersect(b.shown());
                if both.width() > 2.0 && both.height() > 3.0 && a.layer_like(b) {
                    faults.push(format!("over each other: \"{}\" and \"{}\"", a.words, b.words));
                }
            }
        }
        let mut names = Vec::new();
        for node in self.all() {
            let role = node.accesskit_node().role();
            if is_control(role) {
                match name_of(&node) {
                    Some(name) if !name.trim().is_empty() => names.push((format!("{role:?}"), name)),
                    _ => faults.push(format!("a {role:?} without a name at {:?}", node.rect())),
                }
            }
        }
        names.sort();
        let twice =
            names.windows(2).filter(|pair| pair.first() == pair.get(1)).filter_map(|pair| pair.first());
        faults.extend(twice.map(|(role, name)| format!("two {role}s called \"{name}\"")));
        faults
    }

    /// The picture on the screen.
    pub(crate) fn picture(&mut self) -> image::RgbaImage {
        self.harness.render().unwrap()
    }

    pub(crate) fn ctx(&self) -> &egui::Context {
        &self.harness.ctx
    }

    pub(crate) fn harness(&mut self) -> &mut Harness<'static, Window> {
        &mut self.harness
    }
}

/// Copies a folder with all that is in it.
fn copy(from: &Path, to: &Path) {
    std::fs::create_dir_all(to).unwrap();
    for entry in std::fs::read_dir(from).unwrap() {
        let entry = entry.unwrap();
        let target = to.join(entry.file_name());
        if entry.file_type().unwrap().is_dir() {
            copy(&entry.path(), &target);
        } else {
            std::fs::copy(entry.path(), target).unwrap();
        }
    }
}

/// Words on the screen.
struct Painted {
    rect: Rect,
    clip: Rect,
    words: String,
}

impl Painted {
    fn shown(&self) -> Rect {
        self.rect.intersect(self.clip)
    }

    /// Words of a dialog lie over those of the page on purpose: only what shares a clip can be over each other.
    fn layer_like(&self, other: &Self) -> bool {
        self.clip == other.clip
    }
}

fn collect(shape: &Shape, clip: Rect, all: &mut Vec<Painted>) {
    match shape {
        Shape::Text(text) if !text.galley.text().trim().is_empty() => {
            // Row by row: words that begin within a line leave room for what stands before them.
            for row in &text.galley.rows {
                let rect = row.visuals.mesh_bounds.translate(row.pos.to_vec2() + text.pos.to_vec2());
                if rect.is_positive() {
                    all.push(Painted { rect, clip, words: row.text() });
                }
            }
        }
        Shape::Vec(shapes) => shapes.iter().for_each(|shape| collect(shape, clip, all)),
        _ => {}
    }
}

fn is_control(role: Role) -> bool {
    matches!(
        role,
        Role::Button
            | Role::TextInput
            | Role::MultilineTextInput
            | Role::CheckBox
            | Role::ComboBox
            | Role::RadioButton
            | Role::Slider
            | Role::SpinButton
            | Role::Link
    )
}

/// What a node is called: its own label, or that of the words that name it.
fn name_of(node: &Node<'_>) -> Option<String> {
    let node = node.accesskit_node();
    let labelled = node.labelled_by().find_map(|label| label.label().or_else(|| label.value()));
    labelled.or_else(|| node.label())
}
