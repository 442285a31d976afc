//! A mould: the shape of its cavity, and which stone lies or is planned in each place of its tray.

use craft::geometry::Dome;
use craft::shelf::{Body, Mould};
use egui::{Align, Layout, Sense, Ui, WidgetInfo, vec2};
use workbench::action::{Action, Nav};
use workbench::present::board::StoneMark;
use workbench::present::labels::shelf as labels;
use workbench::present::shelf_explained;
use workbench::present::shelf_words::{self, TrayLine};
use workbench::shelving::{self, Field as Of};

use super::form::{Form, cell, flow};
use crate::cx::Wish;
use crate::draw::pour::{PourPicture, pour, size};
use crate::draw::stone::StonePicture;
use crate::draw::tray::{TrayCell, tray};
use crate::look::{Face, Tokens, space};
use crate::widgets::{Field, choice, explain, gap, heading, link, one_of, say, second};

/// The room for the picture of the cavity.
const PICTURE: egui::Vec2 = vec2(200.0, 120.0);
/// The width of the choice of domes.
const DOME: f32 = 146.0;
/// One place of the tray as it is drawn.
const PLACE: egui::Vec2 = vec2(84.0, 76.0);
/// Rows of more places are broken, as they are drawn.
const LONGEST: usize = 10;

pub(super) fn ui(ui: &mut Ui, form: &mut Form<'_>, mould: &Mould) {
    second(ui, labels::MEASURE);
    gap(ui, 2.0 * space::STEP);
    flow(ui, |ui| {
        ui.spacing_mut().item_spacing.x = space::BLOCK;
        cell(ui, PICTURE.x, |ui| picture_ui(ui, mould));
        cell(ui, 260.0, |ui| {
            ui.spacing_mut().item_spacing.y = 3.0 * space::STEP;
            super::outline::kind_ui(ui, form, &mould.cavity.outline());
            let bodies = [Body::LetsLightIn, Body::Opaque].map(|body| (body, shelf_words::body(body)));
            if let Some(body) = one_of(ui, labels::BODY, Some(&mould.body), &bodies) {
                form.choose(shelving::with_body(&form.item, body));
            }
        });
    });
    form.trouble_ui(ui);
    gap(ui, 3.0 * space::STEP);
    flow(ui, |ui| {
        form.field_in(ui, &Of::Size, (labels::SIZE, ""), "10 × 8 mm", 140.0);
        super::outline::more_ui(ui, form, &mould.cavity.outline());
        cell(ui, DOME, |ui| dome_ui(ui, form, mould));
        if mould.cavity.dome() != Dome::Flat {
            form.field_in(ui, &Of::DomeHeight, (labels::DOME_HEIGHT, ""), "2.5 mm", 130.0);
        }
        form.field_in(ui, &Of::WallHeight, (labels::WALL_HEIGHT, ""), "1 mm", 130.0);
        form.field_in(ui, &Of::WallLeans, (labels::WALL_LEANS, ""), "0 °", 130.0);
    });
    if mould.cavity.dome() != Dome::Flat {
        gap(ui, 3.0 * space::STEP);
        let hint = if matches!(mould.cavity.dome(), Dome::Measured(_)) { "" } else { labels::HEIGHTS_HINT };
        let width = 420.0_f32.min(ui.available_width());
        form.field_in(ui, &Of::Heights, (labels::HEIGHTS, labels::HEIGHTS_WORDS), hint, width);
    }
    gap(ui, 2.0 * space::STEP);
    say(ui, Face::Body, Tokens::of(ui).ink_2, shelf_words::holds(&mould.cavity));
    if mould.cavity.dome() != Dome::Flat {
        say(ui, Face::Body, Tokens::of(ui).ink_2, shelf_words::strand(&mould.cavity));
    }
    gap(ui, 5.0 * space::STEP);
    heading(ui, labels::TRAY);
    gap(ui, space::STEP);
    tray_ui(ui, form, mould);
    gap(ui, 3.0 * space::STEP);
    let width = 420.0_f32.min(ui.available_width());
    form.field_in(ui, &Of::Cavities, (labels::CAVITIES, ""), labels::CAVITIES_HINT, width);
    explain(ui, &mut form.memory.explained, Some(|| shelf_explained::mould(&mould.cavity)));
}

fn dome_ui(ui: &mut Ui, form: &mut Form<'_>, mould: &Mould) {
    let mut domes = vec![Dome::HalfEllipse, Dome::CircularArc, Dome::Parabola, Dome::Flat];
    // A measured dome comes from its heights; here it is only left again.
    domes.extend(Some(mould.cavity.dome()).filter(|dome| matches!(dome, Dome::Measured(_))));
    let domes: Vec<_> =
        domes.into_iter().map(|dome| (dome, shelf_words::dome_name(dome).to_owned())).collect();
    let key = format!("shelf/{}/dome", form.id);
    let field = Field::new(&key, labels::DOME).wide(DOME);
    if let Some(dome) = choice(ui, field, Some(&mould.cavity.dome()), &domes) {
        form.choose(shelving::with_dome(&form.item, dome));
    }
}

fn picture_ui(ui: &mut Ui, mould: &Mould) {
    let fit = size(&mould.cavity, PICTURE);
    let (rect, response) = ui.allocate_exact_size(vec2(PICTURE.x, fit.y), Sense::hover());
    let words = shelf_words::holds(&mould.cavity);
    response.widget_info(|| WidgetInfo::labeled(egui::Role::Image, true, words.as_str()));
    let picture =
        PourPicture { cavity: &mould.cavity, layers: &[], newest: None, material: None, mark: false };
    pour(ui.painter(), Tokens::of(ui), rect, &picture);
}

fn tray_ui(ui: &mut Ui, form: &mut Form<'_>, mould: &Mould) {
    let lines = form.tray();
    let cells: Vec<TrayCell> = lines
        .iter()
        .map(|line| {
            let stone = line.stones.first().map(|stone| StonePicture::from(&stone.mark));
            TrayCell { cell: line.cell.clone(), stone }
        })
        .collect();
    let letters = |cell: &TrayCell| {
        cell.cell.as_str().trim_end_matches(|letter: char| letter.is_ascii_digit()).to_owned()
    };
    let rows: Vec<usize> = cells
        .chunk_by(|a, b| letters(a) == letters(b))
        .flat_map(|row| row.chunks(LONGEST).map(<[_]>::len))
        .collect();
    let longest = rows.iter().copied().max().unwrap_or(1).max(1);
    let wanted = PLACE * vec2(longest as f32, rows.len().max(1) as f32) + vec2(16.0, 16.0);
    let room = vec2(wanted.x.min(ui.available_width()), wanted.y);
    let (rect, _) = ui.allocate_exact_size(room, Sense::hover());
    let placed = tray(ui.painter(), Tokens::of(ui), rect, &mould.cavity.outline(), &cells);
    let mut go = None;
    for (place, line) in placed.iter().zip(&*lines) {
        let id = ui.scope_id().with(("shelf/cavity", form.id.as_str(), place.cell.as_str()));
        // The sentences under the picture take the keyboard; the picture takes the pointer.
        let response = ui.interact(place.rect, id, Sense::CLICK);
        match line.stones.first() {
            Some(stone) => {
                number_ui(ui, place.cavity.center(), &stone.mark);
                if response.clicked() {
                    go = Some((stone.tag, stone.page));
                }
                response.on_hover_text(stone.words.as_str());
            }
            None => {
                response.on_hover_text(labels::empty_cavity(line.cell.as_str()));
            }
        }
    }
    gap(ui, 2.0 * space::STEP);
    if let Some(asked) = sentences_ui(ui, &lines) {
        go = Some(asked);
    }
    if let Some((tag, page)) = go {
        form.wishes.push(Wish::Act(Action::Go(Nav::Bench(tag, page))));
    }
}

/// The stone's number on its picture, in whichever ink can be read on its colour.
fn number_ui(ui: &Ui, at: egui::Pos2, mark: &StoneMark) {
    let pale = |(red, green, blue): (u8, u8, u8)| {
        let light = 3 * u32::from(red) + 6 * u32::from(green) + u32::from(blue);
        light > 10 * MIDDLE
    };
    let ink = match mark.colour.filter(|_| mark.begun) {
        Some(colour) if pale(colour) => Tokens::LIGHT.ink,
        Some(_) => Tokens::DARK.ink,
        None if mark.begun => Tokens::LIGHT.ink,
        None => Tokens::of(ui).ink,
    };
    ui.painter().text(at, egui::Align2::CENTER_CENTER, mark.no, Face::Strong.font(), ink);
}

/// Half way between black and white, as a byte.
const MIDDLE: u32 = 118;

/// Every stone in the tray as a sentence that opens its order.
fn sentences_ui(ui: &mut Ui, lines: &[TrayLine]) -> Option<(craft::tag::Tag, craft::order::Page)> {
    let mut go = None;
    if lines.iter().all(|line| line.stones.is_empty()) {
        second(ui, labels::TRAY_EMPTY);
    }
    ui.with_layout(Layout::top_down(Align::LEFT), |ui| {
        ui.spacing_mut().item_spacing.y = 0.0;
        for stone in lines.iter().flat_map(|line| &line.stones) {
            if link(ui, &stone.words).clicked() {
                go = Some((stone.tag, stone.page));
            }
        }
    });
    go
}
