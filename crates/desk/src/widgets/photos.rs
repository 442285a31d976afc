//! Photos and pages to look at. Their pixels become textures once, are kept while they are shown, and are let go with
//! the first frame that does not show them. A photo that is not in memory is asked for, once, and its place says so.

use std::collections::BTreeMap;
use std::sync::Arc;

use craft::digest::Digest;
use craft::order::PhotoKind;
use egui::epaint::RectShape;
use egui::{Align2, Color32, ColorImage, Context, Pos2, Rect, Response, Sense, Stroke, StrokeKind};
use egui::{TextureHandle, TextureId, TextureOptions, Ui, Vec2, WidgetInfo, pos2, vec2};
use workbench::action::{Action, Job};
use workbench::pictures::{LARGEST_SIDE_PX, Pixels};
use workbench::present::labels::photos as words;

use crate::cx::Cx;
use crate::look::{Face, Tokens, space};

/// The sizes a photo is asked for in, by its long side in pixels: few, so that one that is there serves many places.
const SIDES_PX: [u32; 4] = [320, 640, 1_280, LARGEST_SIDE_PX];

/// The whole of a texture.
pub const WHOLE: Rect = Rect { min: Pos2 { x: 0.0, y: 0.0 }, max: Pos2 { x: 1.0, y: 1.0 } };

/// A photo by its original and the kind of its file, as [`craft::order::Photo`] has them.
pub type Which = (Digest, PhotoKind);

/// Pixels on the graphics card.
#[derive(Clone, Copy, Debug)]
pub struct Shown {
    /// The texture.
    pub texture: TextureId,
    /// Its size in pixels.
    pub size: Vec2,
}

/// What there is to be seen of a photo.
#[derive(Clone, Debug)]
pub enum Seen {
    /// The photo.
    Photo(Shown),
    /// Why it is not there, or that it is being read.
    Words(String),
}

/// A photo in its place, whole and upright within `size` points, named `alt` for those who do not see it.
///
/// It is looked at, not pressed; [`photo_button`] is one that can be pressed.
pub fn photo(ui: &mut Ui, cx: &mut Cx<'_>, which: Which, size: Vec2, alt: &str) -> Response {
    let (rect, response) = ui.allocate_exact_size(size, Sense::hover());
    response.widget_info(|| WidgetInfo::labeled(egui::Role::Image, true, alt));
    if ui.is_rect_visible(rect) {
        let seen = seen(ui, cx, which, size);
        paint(ui, rect, &seen);
        describe(ui, &response, &seen);
    }
    response
}

/// The same, to be pressed: a button of the name `alt`; `chosen` draws a line around it.
pub fn photo_button(
    ui: &mut Ui,
    cx: &mut Cx<'_>,
    which: Which,
    size: Vec2,
    (alt, chosen): (&str, bool),
) -> Response {
    let (rect, response) = ui.allocate_exact_size(size, Sense::click());
    response.widget_info(|| WidgetInfo::selected(egui::Role::Button, true, chosen, alt));
    if ui.is_rect_visible(rect) {
        let seen = seen(ui, cx, which, size);
        paint(ui, rect, &seen);
        describe(ui, &response, &seen);
        let tokens = Tokens::of(ui);
        if chosen || response.has_focus() || response.hovered() {
            let width = if response.has_focus() { 2.5 } else { 1.5 };
            let colour = if chosen || response.has_focus() { tokens.accent } else { tokens.ink_3 };
            let stroke = Stroke::new(width, colour);
            ui.painter().rect_stroke(rect.expand(2.0), space::RADIUS_WIDE, stroke, StrokeKind::Outside);
        }
    }
    response.on_hover_cursor(egui::CursorIcon::PointingHand)
}

/// What there is to be seen of a photo that is shown within `size` points; asks for it where it is missing.
pub fn seen(ui: &Ui, cx: &mut Cx<'_>, which: Which, size: Vec2) -> Seen {
    let (digest, kind) = which;
    let wanted_px = side_px(ui, size);
    let view = cx.view;
    let card = ui.ctx().plugin_or_default::<Card>();
    let read = view.picture(&digest);
    let kept = card.lock().photo(&digest);
    let best = match (&kept, read) {
        (Some((side_px, _)), Some(picture)) => (*side_px).max(picture.side_px),
        (Some((side_px, _)), None) => *side_px,
        (None, Some(picture)) => picture.side_px,
        (None, None) => 0,
    };
    let failed = read.and_then(|picture| picture.pixels.as_ref().err());
    if best < wanted_px && failed.is_none() {
        ask(cx, Job::Picture { photo: digest, kind, side_px: wanted_px });
    }
    if let Some(picture) = read
        && let Ok(pixels) = &picture.pixels
        && kept.as_ref().is_none_or(|(side_px, _)| *side_px < picture.side_px)
    {
        let texture = upload(ui.ctx(), pixels);
        return Seen::Photo(card.lock().put_photo(digest, picture.side_px, texture));
    }
    match (kept, failed) {
        (Some((_, shown)), _) => Seen::Photo(shown),
        (None, Some(why)) => Seen::Words(words::failed(why)),
        (None, None) => Seen::Words(words::READING.to_owned()),
    }
}

/// Reads a photo once more that could not be read.
pub fn again(ui: &Ui, cx: &mut Cx<'_>, (photo, kind): Which, size: Vec2) {
    let side_px = side_px(ui, size);
    ask(cx, Job::Picture { photo, kind, side_px });
}

/// The pixels of a page as a texture, kept while they are shown.
pub fn page(ctx: &Context, pixels: &Arc<Pixels>) -> Shown {
    let card = ctx.plugin_or_default::<Card>();
    let kept = card.lock().page(pixels);
    if let Some(shown) = kept {
        return shown;
    }
    let texture = upload(ctx, pixels);
    card.lock().put_page(pixels.clone(), texture)
}

/// A picture as large as it fits into `rect`, in its middle.
pub fn fitted(rect: Rect, size: Vec2) -> Rect {
    let size = size.max(Vec2::splat(1.0));
    let scale = (rect.size() / size).min_elem();
    Rect::from_center_size(rect.center(), size * scale)
}

/// Draws what there is to be seen into a rectangle.
pub fn paint(ui: &Ui, rect: Rect, seen: &Seen) {
    let tokens = Tokens::of(ui);
    let painter = ui.painter();
    painter.rect_filled(rect, space::RADIUS_WIDE, tokens.tint);
    match seen {
        Seen::Photo(shown) => {
            let at = fitted(rect, shown.size);
            let corners =
                if at.size() == rect.size() { space::RADIUS_WIDE } else { egui::CornerRadius::ZERO };
            painter.add(RectShape::filled(at, corners, Color32::WHITE).with_texture(shown.texture, WHOLE));
        }
        Seen::Words(words) => {
            let inner = rect.shrink(2.0 * space::STEP);
            let mut job = egui::text::LayoutJob::simple(
                words.clone(),
                Face::Second.font(),
                tokens.ink_2,
                inner.width().max(1.0),
            );
            job.halign = egui::Align::Center;
            let galley = painter.layout_job(job);
            let top = Align2::CENTER_CENTER.align_size_within_rect(galley.size(), inner).top();
            painter.with_clip_rect(rect).galley(pos2(inner.center().x, top), galley, tokens.ink_2);
        }
    }
}

/// Whoever does not see the place hears what stands in it.
fn describe(ui: &Ui, response: &Response, seen: &Seen) {
    if let Seen::Words(words) = seen {
        ui.ctx().accesskit_node_builder(response.id, |node| node.set_description(words.as_str()));
    }
}

fn ask(cx: &mut Cx<'_>, job: Job) {
    if !cx.view.is_under_way(&job) {
        cx.act(Action::Start(job));
    }
}

/// The long side to ask for, in pixels, and no more than the graphics card takes.
fn side_px(ui: &Ui, size: Vec2) -> u32 {
    let wanted = size.max_elem() * ui.ctx().pixels_per_point();
    let most = u32::try_from(ui.input(|input| input.max_texture_side)).unwrap_or(LARGEST_SIDE_PX);
    side_for(wanted).min(most)
}

fn side_for(wanted_px: f32) -> u32 {
    SIDES_PX.into_iter().find(|side| *side as f32 >= wanted_px).unwrap_or(LARGEST_SIDE_PX)
}

fn upload(ctx: &Context, pixels: &Pixels) -> TextureHandle {
    let size = [pixels.width as usize, pixels.height as usize];
    let image = ColorImage::from_rgba_unmultiplied(size, &pixels.rgba);
    ctx.load_texture("a picture", image, TextureOptions::LINEAR)
}

/// One picture on the graphics card.
struct Held {
    side_px: u32,
    texture: TextureHandle,
    shown: bool,
}

impl Held {
    fn show(&mut self) -> Shown {
        self.shown = true;
        let [width, height] = self.texture.size();
        Shown { texture: self.texture.id(), size: vec2(width as f32, height as f32) }
    }
}

/// What is on the graphics card. A page is known by the place of its pixels in memory, which it holds on to.
#[derive(Default)]
struct Card {
    photos: BTreeMap<Digest, Held>,
    pages: BTreeMap<usize, (Arc<Pixels>, Held)>,
}

impl Card {
    fn photo(&mut self, digest: &Digest) -> Option<(u32, Shown)> {
        self.photos.get_mut(digest).map(|held| (held.side_px, held.show()))
    }

    fn put_photo(&mut self, digest: Digest, side_px: u32, texture: TextureHandle) -> Shown {
        let mut held = Held { side_px, texture, shown: true };
        let shown = held.show();
        self.photos.insert(digest, held);
        shown
    }

    fn page(&mut self, pixels: &Arc<Pixels>) -> Option<Shown> {
        self.pages.get_mut(&address(pixels)).map(|(_, held)| held.show())
    }

    fn put_page(&mut self, pixels: Arc<Pixels>, texture: TextureHandle) -> Shown {
        let mut held = Held { side_px: 0, texture, shown: true };
        let shown = held.show();
        self.pages.insert(address(&pixels), (pixels, held));
        shown
    }

    /// Lets go what was not shown since the last time.
    fn let_go(&mut self) {
        self.photos.retain(|_, held| std::mem::take(&mut held.shown));
        self.pages.retain(|_, (_, held)| std::mem::take(&mut held.shown));
    }
}

fn address(pixels: &Arc<Pixels>) -> usize {
    Arc::as_ptr(pixels).addr()
}

impl egui::Plugin for Card {
    fn debug_name(&self) -> &'static str {
        "photos"
    }

    fn on_end_pass(&mut self, _ui: &mut Ui) {
        self.let_go();
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn frame(ctx: &Context, add: impl FnMut(&mut Ui)) {
        let input = egui::RawInput {
            screen_rect: Some(Rect::from_min_size(Pos2::ZERO, vec2(400.0, 300.0))),
            ..egui::RawInput::default()
        };
        ctx.run_ui(input, add).textures_delta.clear();
    }

    #[test]
    fn a_page_is_put_on_the_card_once_and_let_go_when_it_is_not_shown() {
        let ctx = Context::default();
        let pixels = Arc::new(Pixels { width: 2, height: 3, rgba: vec![255; 24] });
        let mut seen = Vec::new();
        for _ in 0..3 {
            frame(&ctx, |ui| {
                let shown = page(ui.ctx(), &pixels);
                assert_eq!(shown.size, vec2(2.0, 3.0));
                seen.push(shown.texture);
            });
        }
        seen.dedup();
        assert_eq!(seen.len(), 1, "uploaded once");
        let held = |ctx: &Context| ctx.plugin_or_default::<Card>().lock().pages.len();
        assert_eq!(held(&ctx), 1);
        frame(&ctx, |_| {});
        assert_eq!(held(&ctx), 0);
        assert_eq!(Arc::strong_count(&pixels), 1, "its pixels are let go too");
    }

    #[test]
    fn a_photo_is_asked_for_in_few_sizes_none_smaller_than_its_place() {
        for wanted in [1.0, 320.0, 321.0, 900.0, 1_280.0, 2_000.0] {
            assert!(side_for(wanted) as f32 >= wanted, "{wanted}");
        }
        assert_eq!(side_for(9_000.0), LARGEST_SIDE_PX);
        assert_eq!(side_for(320.0), side_for(120.0));
    }

    #[test]
    fn a_picture_keeps_its_shape_in_its_place() {
        let place = Rect::from_min_size(pos2(10.0, 20.0), vec2(100.0, 100.0));
        let wide = fitted(place, vec2(400.0, 300.0));
        assert_eq!((wide.size(), wide.center()), (vec2(100.0, 75.0), place.center()));
        assert_eq!(fitted(place, vec2(30.0, 60.0)).size(), vec2(50.0, 100.0));
    }
}
