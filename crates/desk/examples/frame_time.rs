//! What a frame costs on every page, headless: the words laid out and the triangles made, without a screen.
//!
//! `cargo run --release -p desk --example frame_time -- FOLDER [--once PAGE]`
//!
//! FOLDER is a studio, such as the demo studio. With `--once` one page is drawn a thousand times and nothing is
//! measured: that is for a tool that counts instructions from outside.

use std::error::Error;
use std::io::Write as _;
use std::path::PathBuf;
use std::sync::Arc;
use std::time::Instant;

use craft::order::Page;
use desk::look::dress;
use desk::platform::prefs::Preferences;
use desk::window::{Places, Window};
use egui::{Context, RawInput, Rect, pos2};
use workbench::action::{Action, Nav};
use workbench::clock::SystemClock;
use workbench::present::words;

/// Frames that are measured on each page.
const FRAMES: usize = 301;

fn main() -> Result<(), Box<dyn Error>> {
    let mut arguments = std::env::args().skip(1);
    let root = PathBuf::from(arguments.next().ok_or("name the folder of a studio")?);
    let once = arguments.next().filter(|word| word == "--once").and_then(|_| arguments.next());
    let places = Places { home: root.clone(), demo: root.clone() };
    let mut window =
        Window::new(Arc::new(SystemClock::new()), Arc::new(|| {}), places, Preferences::default());
    let began = Instant::now();
    window.open(&root);
    let opened = began.elapsed();
    let ctx = Context::default();
    dress(&ctx);
    let first = Instant::now();
    frame(&ctx, &mut window);
    let mut out = std::io::stdout().lock();
    writeln!(out, "opened in {opened:.2?}, first frame in {:.2?}", first.elapsed())?;
    let session = window.session().ok_or("there is no studio in that folder")?;
    let tag = session.view().board.rows.first().ok_or("the studio has no order")?.tag;
    let pages = Page::ALL.map(|page| (words::page(page), Nav::Bench(tag, page)));
    for (name, nav) in [("board", Nav::Board), ("shelf", Nav::Shelf)].into_iter().chain(pages) {
        window.act(Action::Go(nav));
        if let Some(wanted) = &once {
            if wanted == name {
                (0..1_000).for_each(|_| frame(&ctx, &mut window));
            }
            continue;
        }
        (0..30).for_each(|_| frame(&ctx, &mut window));
        let mut spent: Vec<f64> = (0..FRAMES)
            .map(|_| {
                let began = Instant::now();
                frame(&ctx, &mut window);
                began.elapsed().as_secs_f64() * 1e3
            })
            .collect();
        spent.sort_by(f64::total_cmp);
        writeln!(out, "{name:8} median {:.3} ms, least {:.3} ms", spent[FRAMES / 2], spent[0])?;
    }
    Ok(())
}

fn frame(ctx: &Context, window: &mut Window) {
    let screen = Rect::from_min_max(pos2(0.0, 0.0), pos2(1280.0, 800.0));
    let input = RawInput { screen_rect: Some(screen), ..RawInput::default() };
    window.logic();
    let mut output = ctx.run_ui(input, |ui| window.ui(ui));
    let shapes = std::mem::take(&mut output.shapes);
    drop(ctx.tessellate(shapes, output.pixels_per_point));
    output.drop_without_applying_deltas();
}
