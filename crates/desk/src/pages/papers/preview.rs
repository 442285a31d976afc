//! A paper as it would be printed, page by page.

use craft::fact::PaperKind;
use craft::policies::PaperSize;
use egui::{Ui, vec2};
use workbench::action::{Action, Job};
use workbench::pictures::FINEST_DPI;
use workbench::present::labels::papers as labels;
use workbench::present::paper_rows::PaperRow;

use super::PapersPage;
use crate::cx::Cx;
use crate::look::{Face, Tokens, space};
use crate::widgets::glass::glass;
use crate::widgets::photos::{Seen, page, paint};
use crate::widgets::{gap, say, second};

/// How finely a page is set, in dots an inch: few steps, so that one serves many sizes of the window.
const DPI: [u16; 3] = [96, 150, FINEST_DPI];
/// The widest a page is shown, in points.
const WIDEST: f32 = 760.0;

impl PapersPage {
    pub(super) fn preview_ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>, row: &PaperRow) {
        let kind = row.kind;
        let paper_mm = size_mm(kind, cx.view.studio.policies().paper);
        let small = if kind == PaperKind::Care { 0.6 } else { 1.0 };
        let width = (ui.available_width() * small).min(WIDEST);
        let closest = self.glasses.values().map(|glass| glass.closer).fold(1.0, f32::max);
        let wanted = dpi_for(ui, width * closest.min(2.0), paper_mm);
        let view = cx.view;
        let preview = view.preview(cx.tag, kind);
        let failed = preview.is_some_and(|preview| preview.pages.is_err() && !preview.is_stale);
        if !failed && preview.is_none_or(|preview| preview.is_stale || preview.dpi < wanted) {
            let job = Job::PreviewPaper { tag: cx.tag, kind, dpi: wanted };
            if !view.is_under_way(&job) {
                cx.act(Action::Start(job));
            }
        }
        let room = vec2(width, width * paper_mm.1 / paper_mm.0);
        match preview.map(|preview| (&preview.pages, preview.is_stale)) {
            None => {
                let (rect, _) = ui.allocate_exact_size(room, egui::Sense::hover());
                paint(ui, rect, &Seen::Words(labels::SETTING.to_owned()));
            }
            Some((Err(why), _)) => {
                let words = format!("{}.", workbench::present::words::sentence_start(why));
                say(ui, Face::Body, Tokens::of(ui).care, words);
            }
            Some((Ok(pages), stale)) => {
                let words = match (stale, row.kept.is_empty()) {
                    (true, _) => labels::RENEWING,
                    (false, true) => labels::PREVIEW,
                    (false, false) => labels::PREVIEW_KEPT,
                };
                second(ui, words);
                for (place, pixels) in pages.iter().enumerate() {
                    gap(ui, 2.0 * space::STEP);
                    let size = vec2(width, width * pixels.height as f32 / pixels.width.max(1) as f32);
                    let name = labels::page(&row.name, place + 1, pages.len());
                    let under = self.glasses.entry(place).or_default();
                    let at = ui.cursor().min;
                    if ui.is_rect_visible(egui::Rect::from_min_size(at, size)) {
                        let seen = Seen::Photo(page(ui.ctx(), pixels));
                        glass(ui, under, &seen, size, &name);
                    } else {
                        glass(ui, under, &Seen::Words(String::new()), size, &name);
                    }
                }
            }
        }
    }
}

/// Width and height of the paper.
const fn size_mm(kind: PaperKind, paper: PaperSize) -> (f32, f32) {
    match (kind, paper) {
        (PaperKind::Care, _) => (105.0, 148.0),
        (_, PaperSize::A4) => (210.0, 297.0),
        (_, PaperSize::Letter) => (215.9, 279.4),
    }
}

/// How finely a page of `width` points is set, and no finer than the graphics card takes.
fn dpi_for(ui: &Ui, width: f32, (width_mm, height_mm): (f32, f32)) -> u16 {
    let wanted = width * ui.ctx().pixels_per_point() * 25.4 / width_mm;
    let most = ui.input(|input| input.max_texture_side) as f32 * 25.4 / height_mm;
    let fits = |dpi: &u16| f32::from(*dpi) < most;
    let enough = DPI.into_iter().filter(fits).find(|dpi| f32::from(*dpi) >= wanted);
    enough.or_else(|| DPI.into_iter().rfind(fits)).unwrap_or(DPI[0])
}
