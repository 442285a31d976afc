//! The window on a real screen: eframe under [`Window`], and the computer's own hands beside it.

use std::path::PathBuf;
use std::sync::Arc;
use std::time::Duration;

use eframe::{App, CreationContext, NativeOptions};
use egui::{Context, ThemePreference, Ui, ViewportBuilder, ViewportCommand, vec2};
use winit::platform::x11::EventLoopBuilderExtX11 as _;
use workbench::clock::{Clock, SystemClock};

use crate::hands::Hands;
use crate::look::dress;
use crate::platform::Places as Own;
use crate::platform::libraries::Screen;
use crate::platform::prefs::{Appearance, Preferences, WindowPlace, Zoom};
use crate::window::{Places, Window};

/// How the window is opened.
#[derive(Debug)]
pub struct Opening {
    /// The studio to open; none shows the first page.
    pub studio: Option<PathBuf>,
    /// Where studios are.
    pub places: Places,
    /// Where the program's own files are; none on a computer that says nothing about it.
    pub own: Option<Own>,
    /// The person's preferences.
    pub prefs: Preferences,
    /// What is to be said first.
    pub said: Vec<String>,
    /// The kind of screen whose libraries are all there.
    pub screen: Option<Screen>,
}

struct Shown {
    window: Option<Window>,
    hands: Hands,
    title: String,
    /// The window is to close once this frame is drawn.
    close_after: bool,
}

/// The size of a first window, in points.
const SIZE: egui::Vec2 = vec2(1_280.0, 800.0);
/// The smallest it can be made.
const LEAST: egui::Vec2 = vec2(560.0, 400.0);

/// Opens the window and returns when it is closed.
///
/// # Errors
/// The system would not open a window.
pub fn run(opening: Opening) -> Result<(), eframe::Error> {
    let place = opening.prefs.window.filter(WindowPlace::is_sensible);
    let mut viewport = ViewportBuilder::default()
        .with_title("Heldfast")
        .with_app_id("heldfast")
        .with_inner_size(place.map_or(SIZE, |place| place.size.into()))
        .with_min_inner_size(LEAST);
    if let Some(at) = place.and_then(|place| place.at) {
        viewport = viewport.with_position(at);
    }
    let mut options = NativeOptions { viewport, ..NativeOptions::default() };
    // Left alone, the window takes Wayland wherever it is named, and never goes back to X11 where its libraries miss.
    if opening.screen == Some(Screen::X11) {
        options.event_loop_builder = Some(Box::new(|builder| {
            builder.with_x11();
        }));
    }
    eframe::run_native("Heldfast", options, Box::new(move |cc| Ok(Box::new(Shown::new(cc, opening)))))
}

impl Shown {
    fn new(cc: &CreationContext<'_>, opening: Opening) -> Self {
        dress(&cc.egui_ctx);
        appear(&cc.egui_ctx, &opening.prefs);
        let ctx = cc.egui_ctx.clone();
        let clock: Arc<dyn Clock> = Arc::new(SystemClock::new());
        let wake = Arc::new(move || ctx.request_repaint());
        let mut window = Window::new(clock, wake, opening.places, opening.prefs);
        if let Some(studio) = &opening.studio {
            window.open(studio);
        }
        for words in &opening.said {
            window.tell(words);
        }
        let hands = Hands::new(&cc.egui_ctx, opening.own);
        Self { window: Some(window), hands, title: String::new(), close_after: false }
    }
}

/// Light or dark, large or small.
pub(crate) fn appear(ctx: &Context, prefs: &Preferences) {
    ctx.set_theme(match prefs.appearance {
        Appearance::AsTheSystem => ThemePreference::System,
        Appearance::Light => ThemePreference::Light,
        Appearance::Dark => ThemePreference::Dark,
    });
    ctx.set_zoom_factor(prefs.zoom.factor());
}

/// Where the window stands, in points at the size everything is drawn at.
fn place_of(ctx: &Context) -> Option<WindowPlace> {
    let zoom = ctx.zoom_factor();
    ctx.input(|input| {
        let viewport = input.viewport();
        let inner = viewport.inner_rect?;
        let at = viewport.outer_rect.map(|outer| [outer.left() * zoom, outer.top() * zoom]);
        Some(WindowPlace { size: [inner.width() * zoom, inner.height() * zoom], at })
    })
}

impl App for Shown {
    fn logic(&mut self, ctx: &Context, _frame: &mut eframe::Frame) {
        let Some(window) = &mut self.window else { return };
        if let Some(ms) = window.logic() {
            ctx.request_repaint_after(Duration::from_millis(ms));
        }
        self.hands.bring_back(window);
        let dropped: Vec<PathBuf> =
            ctx.input(|input| input.raw.dropped_files.iter().map(|file| file.path().to_owned()).collect());
        if !dropped.is_empty() {
            window.dropped(dropped);
        }
        if let Some(place) = place_of(ctx) {
            window.stands(place);
        }
        let title = window.title();
        if title != self.title {
            ctx.send_viewport_cmd(ViewportCommand::Title(title.clone()));
            self.title = title;
        }
        // A field that is being typed into hands in what it holds before the window goes.
        if ctx.input(|input| input.viewport().close_requested()) && ctx.text_edit_focused() {
            ctx.send_viewport_cmd(ViewportCommand::CancelClose);
            ctx.memory_mut(|memory| {
                if let Some(id) = memory.focused() {
                    memory.surrender_focus(id);
                }
            });
            self.close_after = true;
            ctx.request_repaint();
            return;
        }
        if ctx.input(|input| input.viewport().close_requested()) && !window.may_close() {
            ctx.send_viewport_cmd(ViewportCommand::CancelClose);
        }
        let zoom = Zoom::new(ctx.zoom_factor());
        if zoom != window.prefs().zoom {
            window.zoomed(zoom);
        }
        self.hands.do_all(ctx, window);
    }

    fn ui(&mut self, ui: &mut Ui, _frame: &mut eframe::Frame) {
        let Some(window) = &mut self.window else { return };
        window.ui(ui);
        if std::mem::take(&mut self.close_after) {
            ui.ctx().send_viewport_cmd(ViewportCommand::Close);
        }
        self.hands.do_all(ui.ctx(), window);
    }

    fn on_exit(&mut self, _gl: Option<&eframe::glow::Context>) {
        let Some(window) = self.window.take() else { return };
        self.hands.keep(window.prefs());
        if let Err(left) = window.close() {
            use std::io::Write as _;
            drop(writeln!(std::io::stderr(), "heldfast: {}", left.join("; ")));
        }
    }
}
