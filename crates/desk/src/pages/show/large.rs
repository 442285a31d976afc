//! A photo large, in its place: looked at closely, named, shown on the proof, or made ready for a message.

use std::path::PathBuf;

use craft::digest::Digest;
use craft::id::Thing;
use craft::order::Photo;
use egui::{Align, Layout, Ui, vec2};
use workbench::action::{Action, Job};
use workbench::present::labels::show as labels;
use workbench::present::showing;

use super::ShowPage;
use crate::cx::{Asked, Cx, Wish};
use crate::look::{Face, Tokens, space};
use crate::widgets::glass::{Glass, glass};
use crate::widgets::photos::{Seen, again, seen};
use crate::widgets::{Field, entered, fold, form_line, gap, link, plain_button, say, words};

/// The words beside a large photo, in points.
const BESIDE: f32 = 230.0;
/// Narrower than this they stand under it, in points.
const NARROW: f32 = 520.0;
/// The widest a photo is shown, in points.
const WIDEST: f32 = 560.0;

impl ShowPage {
    /// The photo, and beside it what can be done with it; under it where there is no room beside.
    pub(super) fn large_ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>, photos: &[&Photo], place: usize) {
        let Some(photo) = photos.get(place) else { return };
        let Some((_, _, mut under)) = self.large.take() else { return };
        let room = ui.available_width();
        if room < NARROW {
            let there = self.glass_ui(ui, cx, photos, (place, room), &mut under);
            self.large = self.beside_ui(ui, cx, photos, (place, there), under);
        } else {
            ui.horizontal_top(|ui| {
                ui.spacing_mut().item_spacing.x = 5.0 * space::STEP;
                let width = (room - BESIDE - 5.0 * space::STEP).min(WIDEST);
                let there = self.glass_ui(ui, cx, photos, (place, width), &mut under);
                ui.allocate_ui_with_layout(vec2(BESIDE, 0.0), Layout::top_down(Align::LEFT), |ui| {
                    ui.set_width(BESIDE);
                    self.large = self.beside_ui(ui, cx, photos, (place, there), under);
                });
            });
        }
        if fold(ui, labels::FOR_MESSAGE, &mut self.message) {
            message_ui(ui, cx, photo);
        }
    }

    /// The photo itself; true where it is there to be seen.
    fn glass_ui(
        &mut self,
        ui: &mut Ui,
        cx: &mut Cx<'_>,
        photos: &[&Photo],
        (place, width): (usize, f32),
        under: &mut Glass,
    ) -> bool {
        let Some(photo) = photos.get(place) else { return false };
        let mut size = vec2(width, width * 0.75);
        let what = seen(ui, cx, (photo.original, photo.kind), size * under.closer.min(4.0));
        if let Seen::Photo(shown) = &what {
            size.y = (width * shown.size.y / shown.size.x.max(1.0)).min(width);
        }
        let name = match photo.of {
            Some(thing) => labels::photo(thing.no, place + 1, photos.len()),
            None => labels::loose_photo(place + 1),
        };
        let response = glass(ui, under, &what, size, &labels::large(&name));
        if std::mem::take(&mut self.opened) {
            response.scroll_to_me(Some(Align::Center));
            response.request_focus();
        }
        matches!(what, Seen::Photo(_))
    }

    /// Words about the photo and what can be done with it; gives what is looked at large from now on.
    #[expect(clippy::unused_self, reason = "it reads as one of the page's parts")]
    fn beside_ui(
        &self,
        ui: &mut Ui,
        cx: &mut Cx<'_>,
        photos: &[&Photo],
        (place, there): (usize, bool),
        mut under: Glass,
    ) -> Option<(Option<Thing>, Digest, Glass)> {
        let photo = photos.get(place)?;
        let which = (photo.original, photo.kind);
        caption_ui(ui, cx, photo);
        say(ui, Face::Second, Tokens::of(ui).ink_2, labels::LARGE_WORDS);
        gap(ui, space::STEP);
        let mut next = Some(*photo);
        ui.horizontal_wrapped(|ui| {
            ui.spacing_mut().item_spacing.x = 5.0 * space::STEP;
            if link(ui, labels::CLOSER).clicked() {
                under.come_closer(under.centre);
            }
            if under.closer > 1.0 && link(ui, labels::FARTHER).clicked() {
                under.go_back();
            }
        });
        if !there && link(ui, workbench::present::labels::photos::AGAIN).clicked() {
            again(ui, cx, which, vec2(WIDEST, WIDEST));
        }
        let shown = photo.of.and_then(|of| cx.held.order.sheet.photo_of(of));
        if shown.is_some_and(|shown| shown.original != photo.original)
            && link(ui, labels::SHOW_THIS).clicked()
        {
            let (original, of) = (photo.original, photo.of);
            cx.sheet(|sheet| showing::show_on_papers(sheet, &original, of));
        }
        if photos.len() > 1 && link(ui, labels::NEXT).clicked() {
            next = photos.get((place + 1) % photos.len()).copied();
            under = Glass::default();
        }
        if link(ui, labels::CLOSE).clicked() {
            next = None;
        }
        next.map(|photo| (photo.of, photo.original, under))
    }
}

/// The word about one photo.
fn caption_ui(ui: &mut Ui, cx: &mut Cx<'_>, photo: &Photo) {
    let key = format!("order/show/photo/{}", photo.original.short());
    let field = Field::new(&key, labels::PHOTO_CAPTION).wide(0.0);
    if let Some(caption) = words(ui, cx.drafts, field, &photo.caption) {
        let (original, of) = (photo.original, photo.of);
        cx.sheet(|sheet| {
            let mut all = sheet.photos.iter_mut();
            if let Some(photo) = all.find(|photo| photo.original == original && photo.of == of) {
                photo.caption = caption;
            }
        });
    }
}

/// Writes a smaller copy of a photo for a message, to a place that is typed or chosen.
pub(in crate::pages) fn message_ui(ui: &mut Ui, cx: &mut Cx<'_>, photo: &Photo) {
    say(ui, Face::Body, Tokens::of(ui).ink_2, labels::MESSAGE_WORDS);
    // Each photo has its own: what was chosen for one is no place for another.
    let key = &format!("order/message/picture/{}", photo.original.short());
    let response = form_line(ui, cx.drafts, Field::new(key, labels::MESSAGE_PATH).wide(420.0));
    let entered = entered(ui, &response);
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = space::ROW;
        if plain_button(ui, labels::CHOOSE_PLACE).clicked() {
            let no = photo.of.filter(|of| of.kind == craft::id::ThingKind::Stone).map(|of| of.no);
            let name = labels::picture_name(&cx.tag.to_string(), no);
            cx.wish(Wish::Ask(Asked::SaveAs(name, key.clone())));
        }
        let typed = cx.drafts.text(key).trim().to_owned();
        let pressed = ui
            .add_enabled_ui(!typed.is_empty(), |ui| plain_button(ui, labels::WRITE_PICTURE))
            .inner
            .clicked();
        if (entered || pressed) && !typed.is_empty() {
            let to = PathBuf::from(typed);
            cx.act(Action::Start(Job::MessageImage { photo: photo.original, kind: photo.kind, to }));
            cx.drafts.clear(key);
        }
    });
}
