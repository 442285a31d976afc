//! Photos on a page: taken in by their path, by the system's dialog or dropped, and shown small.

use std::collections::BTreeMap;
use std::fmt;
use std::path::PathBuf;

use craft::digest::Digest;
use craft::id::Thing;
use craft::order::PhotoKind;
use craft::text::Line;
use egui::{
    Color32, ColorImage, Rect, Response, Sense, TextureHandle, TextureOptions, Ui, Vec2, WidgetInfo, pos2,
};
use workbench::action::{Action, Job, Purpose, Source};
use workbench::present::labels::pack as labels;

use crate::cx::Cx;
use crate::look::{Face, Tokens, space};
use crate::widgets::{Field, form_line, plain_button, say};

/// The pictures of one page that are on the graphics card.
#[derive(Default)]
pub(in crate::pages) struct Thumbs(BTreeMap<Digest, (u32, TextureHandle)>);

impl fmt::Debug for Thumbs {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_tuple("Thumbs").field(&self.0.len()).finish()
    }
}

impl Thumbs {
    /// A photo within `size`, as large as it fits; asked for where it is not here yet. Named by `name`.
    pub(in crate::pages) fn ui(
        &mut self,
        ui: &mut Ui,
        cx: &mut Cx<'_>,
        photo: (Digest, PhotoKind),
        (size, name): (Vec2, &str),
    ) -> Response {
        let (rect, response) = ui.allocate_exact_size(size, Sense::hover());
        response.widget_info(|| WidgetInfo::labeled(egui::Role::Image, true, name));
        if ui.is_rect_visible(rect) {
            self.paint(ui, cx, photo, rect);
        }
        response
    }

    /// The same in a rectangle that is there already.
    pub(in crate::pages) fn paint(
        &mut self,
        ui: &Ui,
        cx: &mut Cx<'_>,
        photo: (Digest, PhotoKind),
        rect: Rect,
    ) {
        let tokens = Tokens::of(ui);
        let wanted = side_for(rect.size().max_elem() * ui.ctx().pixels_per_point());
        let picture = cx.view.picture(&photo.0);
        if picture.is_none_or(|picture| picture.side_px < wanted && picture.pixels.is_ok()) {
            let job = Job::Picture { photo: photo.0, kind: photo.1, side_px: wanted };
            if !cx.view.is_under_way(&job) {
                cx.act(Action::Start(job));
            }
        }
        let painter = ui.painter().with_clip_rect(rect.intersect(ui.clip_rect()));
        painter.rect_filled(rect, space::RADIUS, tokens.tint);
        match picture.map(|picture| (picture.side_px, &picture.pixels)) {
            Some((side_px, Ok(pixels))) => {
                let known = self.0.get(&photo.0).is_some_and(|(side, _)| *side == side_px);
                if !known {
                    let size = [pixels.width as usize, pixels.height as usize];
                    let image = ColorImage::from_rgba_unmultiplied(size, &pixels.rgba);
                    let texture = ui.ctx().load_texture(photo.0.to_string(), image, TextureOptions::LINEAR);
                    self.0.insert(photo.0, (side_px, texture));
                }
                if let Some((_, texture)) = self.0.get(&photo.0) {
                    let of = texture.size_vec2();
                    let scale = (rect.size() / of).min_elem();
                    let at = Rect::from_center_size(rect.center(), of * scale);
                    let whole = Rect::from_min_max(pos2(0.0, 0.0), pos2(1.0, 1.0));
                    painter.image(texture.id(), at, whole, Color32::WHITE);
                }
            }
            Some((_, Err(_))) => {
                let galley = painter.layout(
                    labels::NO_PICTURE.to_owned(),
                    Face::Second.font(),
                    tokens.ink_3,
                    rect.width() - 8.0,
                );
                painter.galley(rect.center() - 0.5 * galley.size(), galley, tokens.ink_3);
            }
            None => {}
        }
    }
}

/// A few sizes only, so that a window that is made wider does not ask again and again.
const fn side_for(side: f32) -> u32 {
    match side {
        ..=160.0 => 160,
        ..=480.0 => 480,
        _ => 960,
    }
}

/// What a photo will be of.
#[derive(Clone, Copy, Debug)]
pub(in crate::pages) struct Wanted<'a> {
    /// The key of its path among the drafts.
    pub(in crate::pages) key: &'a str,
    /// The thing; none for the box as a whole.
    pub(in crate::pages) of: Option<Thing>,
    /// The same in words: "the packed box".
    pub(in crate::pages) words: &'a str,
    /// Its caption.
    pub(in crate::pages) caption: &'a str,
}

/// A path field, a button for the system's dialog, and what is being taken in. True where a photo was asked for.
pub(in crate::pages) fn take_in_ui(ui: &mut Ui, cx: &mut Cx<'_>, wanted: Wanted<'_>) -> bool {
    let mut asked = false;
    if plain_button(ui, &labels::choose_photos(wanted.words)).clicked() {
        cx.act(Action::Pick(Purpose::Photos { tag: cx.tag, of: wanted.of }));
        asked = true;
    }
    let label = labels::photo_path(wanted.words);
    let response =
        form_line(ui, cx.drafts, Field::new(wanted.key, &label).wide(260.0).hint(labels::PHOTO_HINT));
    let entered = response.lost_focus() && ui.input(|input| input.key_pressed(egui::Key::Enter));
    let path = cx.drafts.text(wanted.key).trim().to_owned();
    if !path.is_empty() {
        let pressed = plain_button(ui, &labels::take_in(wanted.words)).clicked();
        if pressed || entered {
            let caption = wanted.caption.parse::<Line>().unwrap_or_default();
            let source = Source::File(PathBuf::from(path));
            cx.act(Action::Start(Job::TakePhoto { tag: cx.tag, of: wanted.of, caption, source }));
            cx.drafts.clear(wanted.key);
            asked = true;
        }
    }
    let tokens = Tokens::of(ui);
    say(ui, Face::Second, tokens.ink_3, labels::DROP);
    for row in &cx.view.jobs {
        if matches!(row.job, Job::TakePhoto { tag, .. } if *tag == cx.tag) {
            say(ui, Face::Second, tokens.ink_2, row.words());
        }
    }
    asked
}
