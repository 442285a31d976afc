//! Draws every picture of the desk, by day and by night, into one PNG, to be looked at.
//!
//! `cargo run -p desk --example drawings -- drawings.png`

#[path = "../tests/it/window/raster.rs"]
mod raster;

use anyhow::{Context as _, anyhow};
use craft::fact::{LayerKind, Material};
use craft::geometry::{Cavity, Dome, Outline};
use craft::id::Thing;
use craft::units::{Length, Share};
use desk::draw::lot::{Pile, PileKind, lot, place};
use desk::draw::pour::{LayerFill, PourPicture, layer_colour, pour};
use desk::draw::qr::qr;
use desk::draw::ring::{WaitRing, Waiting, ring};
use desk::draw::stone::{StonePicture, fit, stone, stone_in};
use desk::draw::things::{Form, ThingPicture, thing};
use desk::draw::tick::{Tick, tick};
use desk::draw::tray::{TrayCell, tray};
use desk::look::{self, Face, Tokens};
use egui::{Align2, Color32, Painter, Rect, Vec2, pos2, vec2};
use egui_kittest::Harness;

const SHEET: Vec2 = vec2(1_180.0, 900.0);
const CHESTNUT: (u8, u8, u8) = (124, 72, 40);
const COLOURS: [(u8, u8, u8); 5] = [CHESTNUT, (168, 110, 62), (196, 150, 104), (62, 84, 76), (226, 218, 202)];

fn main() -> anyhow::Result<()> {
    let to = std::env::args().nth(1).unwrap_or_else(|| "drawings.png".to_owned());
    let per_point = std::env::args().nth(2).and_then(|n| n.parse().ok()).unwrap_or(1.0);
    let mut harness = Harness::builder()
        .with_size(vec2(2.0 * SHEET.x, SHEET.y))
        .with_pixels_per_point(per_point)
        .renderer(raster::Raster::default())
        .build_ui(|ui| {
            look::dress(ui.ctx());
            for (i, tokens) in [Tokens::LIGHT, Tokens::DARK].iter().enumerate() {
                let all = Rect::from_min_size(pos2(i as f32 * SHEET.x, 0.0), SHEET);
                let painter = ui.painter().with_clip_rect(all);
                painter.rect_filled(all, 0, tokens.page);
                sheet(&painter, tokens, all);
            }
        });
    harness.run();
    let picture = harness.render().map_err(|why| anyhow!(why))?;
    picture.save(&to).with_context(|| format!("the picture could not be written to {to}"))
}

fn sheet(painter: &Painter, tokens: &Tokens, all: Rect) {
    let at = |x: f32, y: f32, w: f32, h: f32| Rect::from_min_size(all.min + vec2(x, y), vec2(w, h));
    cards(painter, tokens, at(32.0, 24.0, 1116.0, 130.0));
    large(painter, tokens, at(32.0, 170.0, 860.0, 340.0));
    stones(painter, tokens, at(910.0, 170.0, 240.0, 150.0));
    lots(painter, tokens, at(32.0, 530.0, 500.0, 110.0));
    things(painter, tokens, at(560.0, 530.0, 600.0, 110.0));
    trays(painter, tokens, at(32.0, 670.0, 360.0, 200.0));
    small(painter, tokens, at(420.0, 690.0, 700.0, 180.0));
    code(painter, at(920.0, 340.0, 200.0, 160.0));
    doms(painter, tokens, at(560.0, 790.0, 600.0, 100.0));
}

fn words(painter: &Painter, tokens: &Tokens, x: f32, y: f32, said: &str) {
    painter.text(pos2(x, y), Align2::CENTER_TOP, said, Face::Second.font(), tokens.ink_2);
}

fn oval() -> Outline {
    Outline::Oval { length: Length::from_mm(10.0), width: Length::from_mm(8.0) }
}

fn cavity(dome: Dome, dome_mm: f64) -> anyhow::Result<Cavity> {
    Ok(Cavity::new(oval(), dome, Length::from_mm(dome_mm), Length::from_mm(1.0))?)
}

fn layers(tokens: &Tokens) -> Vec<LayerFill> {
    use LayerKind::{BackCoat, Clear, Opaque, Tinted};
    [
        (1.2, LayerKind::Material, 0.0),
        (1.6, Clear, 0.0),
        (2.2, Tinted, 0.3),
        (2.7, Tinted, 0.8),
        (3.1, Opaque, 1.0),
        (3.5, BackCoat, 0.0),
    ]
    .map(|(top, kind, depth)| LayerFill {
        top: Length::from_mm(top),
        colour: layer_colour(tokens, kind, Some(CHESTNUT), depth),
    })
    .to_vec()
}

fn cards(painter: &Painter, tokens: &Tokens, rect: Rect) {
    let Ok(cavity) = cavity(Dome::HalfEllipse, 2.5) else { return };
    let layers = layers(tokens);
    for n in 1..=layers.len() {
        let card = Rect::from_min_size(rect.min + vec2(146.0 * (n - 1) as f32, 0.0), vec2(124.0, 92.0));
        let picture = PourPicture {
            cavity: &cavity,
            layers: &layers[..n],
            newest: Some(n - 1),
            material: Some(Material::Hair),
            mark: true,
        };
        let body = pour(painter, tokens, card, &picture);
        words(painter, tokens, body.center().x, body.bottom() + 8.0, "fill to here");
    }
}

fn large(painter: &Painter, tokens: &Tokens, rect: Rect) {
    let centre = pos2(rect.left() + 160.0, rect.center().y);
    ring(painter, tokens, centre, &WaitRing::large(0.6, Waiting::Light, 160.0));
    painter.text(centre, Align2::CENTER_CENTER, "0:36", Face::Lamp.font(), tokens.ink);
    let Ok(cavity) = cavity(Dome::HalfEllipse, 2.5) else { return };
    let layers = layers(tokens);
    let picture = PourPicture {
        cavity: &cavity,
        layers: &layers[..2],
        newest: Some(1),
        material: Some(Material::Hair),
        mark: true,
    };
    let to = Rect::from_min_size(rect.min + vec2(390.0, 0.0), vec2(420.0, 330.0));
    pour(painter, tokens, to, &picture);
}

fn stones(painter: &Painter, tokens: &Tokens, rect: Rect) {
    let round = Outline::Round { diameter: Length::from_mm(6.0) };
    let slim = Outline::Oval { length: Length::from_mm(18.0), width: Length::from_mm(9.0) };
    let outlines = [Some(oval()), Some(round), Some(slim), None];
    let per_mm = fit(outlines.iter().map(Option::as_ref), vec2(64.0, 48.0));
    for (row, (begun, chosen)) in [(true, false), (true, true), (false, false)].into_iter().enumerate() {
        for (i, outline) in outlines.iter().cloned().enumerate() {
            let colour = COLOURS.get((row + i) % 5).copied();
            let picture = StonePicture { outline, colour, begun, chosen };
            let centre = rect.min + vec2(32.0 + 60.0 * i as f32, 24.0 + 48.0 * row as f32);
            stone(painter, tokens, centre, per_mm, &picture);
        }
    }
}

fn lots(painter: &Painter, tokens: &Tokens, rect: Rect) {
    let look =
        |colour| StonePicture { outline: Some(oval()), colour: Some(colour), begun: true, chosen: false };
    let stones = COLOURS.iter().take(3).copied().map(look).collect();
    let pile = |kind, num, things| Pile { kind, share: Share::of(num, 100), things };
    let piles = [
        pile(PileKind::KeepBack, 60, vec![Thing::envelope(1)]),
        pile(PileKind::Envelope, 26, vec![Thing::envelope(2)]),
        pile(PileKind::Stones(stones), 8, vec![Thing::stone(1)]),
        pile(PileKind::Offcuts(Some(CHESTNUT)), 4, vec![Thing::offcuts(1)]),
        pile(PileKind::Tools, 2, vec![]),
    ];
    let placed = place(&piles, rect.with_max_y(rect.bottom() - 28.0));
    lot(painter, tokens, &placed);
    for (placed, said) in placed.iter().zip(["keep-back", "left over", "3 stones", "offcuts", "on the tools"])
    {
        words(painter, tokens, placed.column.center().x, placed.column.bottom() + 8.0, said);
    }
}

fn things(painter: &Painter, tokens: &Tokens, rect: Rect) {
    let stone = StonePicture { outline: Some(oval()), colour: Some(CHESTNUT), begun: true, chosen: false };
    let all = [
        ThingPicture::Wrapping,
        ThingPicture::Envelope { holds: false, sealed: false },
        ThingPicture::Envelope { holds: true, sealed: false },
        ThingPicture::Envelope { holds: true, sealed: true },
        ThingPicture::Stone(stone.clone()),
        ThingPicture::Offcuts(Some(CHESTNUT)),
        ThingPicture::Keepsake,
        ThingPicture::Piece(Form::Ring, stone.clone()),
        ThingPicture::Piece(Form::Pendant, stone),
    ];
    for (i, picture) in all.iter().enumerate() {
        let corner = rect.min + vec2(64.0 * i as f32, 0.0);
        thing(painter, tokens, Rect::from_min_size(corner, vec2(46.0, 32.0)), picture);
        let twice = Rect::from_min_size(corner + vec2(0.0, 44.0), vec2(60.0, 60.0));
        thing(painter, tokens, twice, picture);
    }
}

fn trays(painter: &Painter, tokens: &Tokens, rect: Rect) {
    let cells: Vec<TrayCell> = ["A1", "A2", "A3", "A4", "B1", "B2", "B3", "B4"]
        .iter()
        .enumerate()
        .filter_map(|(i, mark)| {
            let colour = COLOURS.get(i % 5).copied();
            let stone = StonePicture { outline: None, colour, begun: i != 4, chosen: i == 1 };
            Some(TrayCell { cell: mark.parse().ok()?, stone: (i % 3 < 2).then_some(stone) })
        })
        .collect();
    tray(painter, tokens, rect, &oval(), &cells);
}

fn small(painter: &Painter, tokens: &Tokens, rect: Rect) {
    for (i, state) in [Tick::Ticked, Tick::Empty, Tick::NotPossible].into_iter().enumerate() {
        tick(painter, tokens, rect.min + vec2(24.0, 12.0 + 36.0 * i as f32), state);
    }
    for (i, fraction) in [0.0, 0.25, 0.6, 1.0].into_iter().enumerate() {
        for (row, waiting) in [Waiting::Light, Waiting::Other].into_iter().enumerate() {
            let centre = rect.min + vec2(80.0 + 44.0 * i as f32, 16.0 + 44.0 * row as f32);
            ring(painter, tokens, centre, &WaitRing::small(fraction, waiting));
        }
    }
    let colours = COLOURS.into_iter().enumerate();
    for (i, colour) in colours {
        let outline = Some(oval());
        let picture = StonePicture { outline, colour: Some(colour), begun: true, chosen: i == 2 };
        let seat = Rect::from_min_size(rect.min + vec2(270.0 + 48.0 * i as f32, 0.0), vec2(46.0, 32.0));
        stone_in(painter, tokens, seat, &picture);
    }
}

fn code(painter: &Painter, rect: Rect) {
    // Not a code that says anything: a pattern to look at.
    let modules: Vec<bool> = (0..25_usize * 25).map(|i| (i * i / 7 + i / 25) % 3 == 0).collect();
    qr(painter, rect, &modules, 25);
    painter.rect_stroke(rect, 0, egui::Stroke::new(1.0, Color32::GRAY), egui::StrokeKind::Inside);
}

fn doms(painter: &Painter, tokens: &Tokens, rect: Rect) {
    let kinds = [
        (Dome::CircularArc, 2.0, Material::Petals),
        (Dome::Parabola, 2.5, Material::Ashes),
        (Dome::Flat, 0.0, Material::Fur),
        (Dome::HalfEllipse, 1.5, Material::Cloth),
        (Dome::HalfEllipse, 6.0, Material::Milk),
    ];
    for (i, (dome, height, material)) in kinds.into_iter().enumerate() {
        let Ok(cavity) = cavity(dome, height) else { continue };
        let layers = [
            LayerFill { top: Length::from_mm(0.5 * cavity.depth().mm()), colour: tokens.resin },
            LayerFill { top: Length::from_mm(0.8 * cavity.depth().mm()), colour: tokens.resin },
        ];
        let picture = PourPicture {
            cavity: &cavity,
            layers: &layers,
            newest: None,
            material: Some(material),
            mark: false,
        };
        let card = Rect::from_min_size(rect.min + vec2(120.0 * i as f32, 0.0), vec2(112.0, 92.0));
        pour(painter, tokens, card, &picture);
    }
}
