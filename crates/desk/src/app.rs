//! The window on a real screen: eframe under [`Window`], and the computer's own hands.

use std::path::PathBuf;
use std::sync::Arc;
use std::time::Duration;

use eframe::{App, CreationContext, NativeOptions};
use egui::{Context, ThemePreference, Ui, ViewportBuilder, ViewportCommand};
use workbench::clock::{Clock, SystemClock};

use crate::look::dress;
use crate::platform::prefs::{Appearance, Prefs};
use crate::window::{Outward, Places, Window};

/// How the window is opened.
#[derive(Clone, Debug)]
pub struct Opening {
    /// The studio to open; none shows the first page.
    pub studio: Option<PathBuf>,
    /// Where things are.
    pub places: Places,
    /// The person's preferences.
    pub prefs: Prefs,
}

struct Shown {
    window: Option<Window>,
    title: String,
}

/// Opens the window and returns when it is closed.
///
/// # Errors
/// The system would not open a window.
pub fn run(opening: Opening) -> Result<(), eframe::Error> {
    let viewport = ViewportBuilder::default()
        .with_title("Heldfast")
        .with_app_id("heldfast")
        .with_inner_size([1280.0, 800.0])
        .with_min_inner_size([560.0, 400.0]);
    let options = NativeOptions { viewport, ..NativeOptions::default() };
    eframe::run_native("Heldfast", options, Box::new(move |cc| Ok(Box::new(Shown::new(cc, opening)))))
}

impl Shown {
    fn new(cc: &CreationContext<'_>, opening: Opening) -> Self {
        dress(&cc.egui_ctx);
        appear(&cc.egui_ctx, &opening.prefs);
        let ctx = cc.egui_ctx.clone();
        let clock: Arc<dyn Clock> = Arc::new(SystemClock::new());
        let mut window =
            Window::new(clock, Arc::new(move || ctx.request_repaint()), opening.places, opening.prefs);
        if let Some(studio) = &opening.studio {
            window.open(studio);
        }
        Self { window: Some(window), title: String::new() }
    }

    fn outward(ctx: &Context, outward: Outward) {
        match outward {
            Outward::Copy(words) => ctx.copy_text(words),
            Outward::Quit => ctx.send_viewport_cmd(ViewportCommand::Close),
            Outward::Remember(prefs) => appear(ctx, &prefs),
            Outward::Ring(_) => {
                ctx.send_viewport_cmd(ViewportCommand::RequestUserAttention(egui::UserAttentionType::Critical));
            }
            Outward::Notify(_) | Outward::Open(_) | Outward::Print(..) | Outward::Ask(_) | Outward::Photos(_) => {}
        }
    }
}

/// Light or dark, large or small.
fn appear(ctx: &Context, prefs: &Prefs) {
    ctx.set_theme(match prefs.appearance {
        Appearance::System => ThemePreference::System,
        Appearance::Light => ThemePreference::Light,
        Appearance::Dark => ThemePreference::Dark,
    });
    ctx.set_zoom_factor(prefs.zoom);
}

impl App for Shown {
    fn logic(&mut self, ctx: &Context, _frame: &mut eframe::Frame) {
        let Some(window) = &mut self.window else { return };
        if let Some(ms) = window.logic() {
            ctx.request_repaint_after(Duration::from_millis(ms));
        }
        let dropped: Vec<PathBuf> =
            ctx.input(|input| input.raw.dropped_files.iter().map(|file| file.path().to_owned()).collect());
        if !dropped.is_empty() {
            window.dropped(dropped);
        }
        let title = window.title();
        if title != self.title {
            ctx.send_viewport_cmd(ViewportCommand::Title(title.clone()));
            self.title = title;
        }
        for outward in window.take_outward() {
            Self::outward(ctx, outward);
        }
    }

    fn ui(&mut self, ui: &mut Ui, _frame: &mut eframe::Frame) {
        let Some(window) = &mut self.window else { return };
        window.ui(ui);
        for outward in window.take_outward() {
            Self::outward(ui.ctx(), outward);
        }
    }

    fn on_exit(&mut self, _gl: Option<&eframe::glow::Context>) {
        if let Some(window) = self.window.take()
            && let Err(left) = window.close()
        {
            use std::io::Write as _;
            drop(writeln!(std::io::stderr(), "heldfast: {}", left.join("; ")));
        }
    }
}
