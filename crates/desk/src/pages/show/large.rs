//! A photo large, in its place: looked at closely, named, shown on the proof, or made ready for a message.

use std::path::PathBuf;

use craft::order::Photo;
use egui::{Ui, vec2};
use workbench::action::{Action, Job};
use workbench::present::labels::show as labels;
use workbench::present::showing;

use super::ShowPage;
use crate::cx::{Asked, Cx, Wish};
use crate::look::{Face, Tokens, space};
use crate::widgets::glass::{Glass, glass};
use crate::widgets::photos::{Seen, again, seen};
use crate::widgets::{Field, fold, form_line, gap, line, link, plain_button, say};

/// The widest a photo is shown, in points.
const WIDEST: f32 = 560.0;

impl ShowPage {
    pub(super) fn large_ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>, photos: &[&Photo], place: usize) {
        let Some(photo) = photos.get(place) else { return };
        let Some((_, _, mut under)) = self.large.take() else { return };
        let which = (photo.original, photo.kind);
        let width = ui.available_width().min(WIDEST);
        let mut size = vec2(width, width * 0.75);
        let what = seen(ui, cx, which, size * under.closer.min(4.0));
        if let Seen::Photo(shown) = &what {
            size.y = (width * shown.size.y / shown.size.x.max(1.0)).min(width);
        }
        let name = match photo.of {
            Some(thing) => labels::photo(thing.no, place + 1, photos.len()),
            None => labels::loose_photo(place + 1),
        };
        let response = glass(ui, &mut under, &what, size, &labels::large(&name));
        if std::mem::take(&mut self.opened) {
            response.scroll_to_me(Some(egui::Align::Center));
            response.request_focus();
        }
        say(ui, Face::Second, Tokens::of(ui).ink_2, labels::LARGE_WORDS);
        gap(ui, space::STEP);
        caption_ui(ui, cx, photo);
        let mut next = Some((photo.of, photo.original, under));
        ui.horizontal_wrapped(|ui| {
            ui.spacing_mut().item_spacing.x = 5.0 * space::STEP;
            if link(ui, labels::CLOSER).clicked() {
                under.come_closer(under.centre);
                next = Some((photo.of, photo.original, under));
            }
            if under.closer > 1.0 && link(ui, labels::FARTHER).clicked() {
                under.go_back();
                next = Some((photo.of, photo.original, under));
            }
            if matches!(what, Seen::Words(_)) && link(ui, workbench::present::labels::photos::AGAIN).clicked()
            {
                again(ui, cx, which, size);
            }
            if let Some(other) = photos.get((place + 1) % photos.len().max(1)).filter(|_| photos.len() > 1)
                && link(ui, labels::NEXT).clicked()
            {
                next = Some((other.of, other.original, Glass::default()));
            }
            let of = photo.of.filter(|of| {
                cx.held.order.sheet.photo_of(*of).is_some_and(|shown| shown.original != photo.original)
            });
            if let Some(of) = of
                && link(ui, labels::SHOW_THIS).clicked()
            {
                let original = photo.original;
                cx.sheet(|sheet| showing::show_on_papers(sheet, &original, Some(of)));
            }
            if link(ui, labels::CLOSE).clicked() {
                next = None;
            }
        });
        message_ui(ui, cx, photo, &mut self.message);
        self.large = next;
    }
}

/// The word about one photo.
fn caption_ui(ui: &mut Ui, cx: &mut Cx<'_>, photo: &Photo) {
    let key = format!("order/show/photo/{}", photo.original.short());
    let field = Field::new(&key, labels::PHOTO_CAPTION).wide(420.0);
    if let Some(said) = line(ui, cx.drafts, field, photo.caption.as_str())
        && let Ok(caption) = said.parse::<craft::text::Line>()
    {
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
pub(in crate::pages) fn message_ui(ui: &mut Ui, cx: &mut Cx<'_>, photo: &Photo, open: &mut bool) {
    if !fold(ui, labels::FOR_MESSAGE, open) {
        return;
    }
    say(ui, Face::Body, Tokens::of(ui).ink_2, labels::MESSAGE_WORDS);
    let key = "order/message/picture";
    let response = form_line(ui, cx.drafts, Field::new(key, labels::MESSAGE_PATH).wide(420.0));
    let entered = response.lost_focus() && ui.input(|input| input.key_pressed(egui::Key::Enter));
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = space::ROW;
        if plain_button(ui, labels::CHOOSE_PLACE).clicked() {
            let no = photo.of.filter(|of| of.kind == craft::id::ThingKind::Stone).map(|of| of.no);
            let name = labels::picture_name(&cx.tag.to_string(), no);
            cx.wish(Wish::Ask(Asked::SaveAs(name, key.to_owned())));
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
