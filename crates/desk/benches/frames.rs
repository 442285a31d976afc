//! What a frame costs on every page, headless: the words laid out and the triangles made, without a screen.
//!
//! `cargo bench -p desk --bench frames -- FOLDER [--once PAGE FRAMES]`
//!
//! FOLDER is a studio, such as the demo studio. With `--once` one page is drawn so many times and nothing is measured:
//! that is for a tool that counts instructions from outside. The difference of two such counts is what the frames
//! between them cost. The clock stands still there, so that the two draw the same.

use std::error::Error;
use std::io::Write as _;
use std::path::PathBuf;
use std::sync::Arc;
use std::time::{Instant, SystemTime, UNIX_EPOCH};

use craft::moment::{BootId, Moment};
use craft::order::Page;
use desk::look::dress;
use desk::platform::prefs::Preferences;
use desk::window::{Places, Window};
use egui::{Context, RawInput, Rect, pos2};
use workbench::action::{Action, Nav};
use workbench::clock::{Clock, SystemClock};
use workbench::present::words;

/// What `cargo bench` says before the rest.
const CARGOS: &str = "--bench";

/// Frames that are measured on each page.
const FRAMES: usize = 301;

fn main() -> Result<(), Box<dyn Error>> {
    let mut arguments = std::env::args().skip(1).filter(|word| word != CARGOS);
    let root = PathBuf::from(arguments.next().ok_or("name the folder of a studio")?);
    let once = arguments.next().filter(|word| word == "--once").and_then(|_| arguments.next());
    let frames: usize = arguments.next().map_or(Ok(1_000), |count| count.parse())?;
    let clock: Arc<dyn Clock> =
        if once.is_some() { Arc::new(Still(moment()?)) } else { Arc::new(SystemClock::new()) };
    let places = Places { home: root.clone(), demo: root.clone(), lists: None };
    let mut window = Window::new(clock, Arc::new(|| {}), places, Preferences::default());
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
    for (name, nav) in
        [("board", Nav::Board), ("shelf", Nav::Shelf), ("keeping", Nav::Keeping)].into_iter().chain(pages)
    {
        window.act(Action::Go(nav));
        if let Some(wanted) = &once {
            if wanted == name {
                (0..frames).for_each(|_| frame(&ctx, &mut window));
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

/// A clock that stands still.
#[derive(Debug)]
struct Still(Moment);

impl Clock for Still {
    fn now(&self) -> Moment {
        self.0
    }
}

/// Now, by the wall clock alone: a tool that counts instructions may not let the others be read.
fn moment() -> Result<Moment, Box<dyn Error>> {
    let utc_ms = i64::try_from(SystemTime::now().duration_since(UNIX_EPOCH)?.as_millis())?;
    Ok(Moment { utc_ms, offset_min: 0, boot: BootId(1), since_boot_ms: 0, awake_ms: 0 })
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
