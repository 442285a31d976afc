//! A pigment with its swatch book.

use craft::cure::PigmentClass;
use craft::shelf::Pigment;
use egui::{Sense, Stroke, Ui, vec2};
use workbench::present::labels::shelf as labels;
use workbench::present::{shelf_explained, shelf_words};
use workbench::shelving::{self, Field as Of, Value};
use workbench::typed;

use super::card;
use super::form::{CELL, Form, cell, flow};
use crate::draw::shade;
use crate::look::{Face, Tokens, space};
use crate::widgets::{Field, choice, explain, form_read, gap, heading, link, say, second};

pub(super) fn ui(ui: &mut Ui, form: &mut Form<'_>, pigment: &Pigment) {
    flow(ui, |ui| {
        cell(ui, CELL, |ui| class_ui(ui, form, pigment));
        colour_ui(ui, form, pigment);
    });
    form.trouble_ui(ui);
    gap(ui, 4.0 * space::STEP);
    flow(ui, |ui| {
        let mix = &pigment.mix;
        form.field(ui, &Of::Takes, (labels::TAKES, &shelf_words::takes_words(mix)), "4");
        if pigment.mix.class.hides() {
            form.field(ui, &Of::HidesAt, (labels::HIDES, &shelf_words::hides_words(mix)), "0.7");
        }
    });
    gap(ui, 2.0 * space::STEP);
    let mut test = None;
    if pigment.mix.class.hides() {
        test = card::ui(ui, form, pigment);
        gap(ui, 3.0 * space::STEP);
    }
    if pigment.mix.class != PigmentClass::Clear {
        flow(ui, |ui| {
            form.field_in(ui, &Of::Least, (labels::LEAST, ""), "0.1 %", 160.0);
            form.field_in(ui, &Of::Most, (labels::MOST, ""), "2 %", 160.0);
            form.field_in(ui, &Of::Ceiling, (labels::CEILING, labels::CEILING_WORDS), "2 %", 160.0);
        });
        gap(ui, 2.0 * space::STEP);
    }
    form.backing_ui(ui, &Value::Mix, labels::BACKING);
    gap(ui, 5.0 * space::STEP);
    swatches_ui(ui, form, pigment);
    let all = || shelf_explained::pigment(pigment, test.as_ref());
    explain(ui, &mut form.memory.explained, Some(all));
}

fn class_ui(ui: &mut Ui, form: &mut Form<'_>, pigment: &Pigment) {
    let classes = PigmentClass::ALL.map(|class| (class, shelf_words::class(class).to_owned()));
    let key = format!("shelf/{}/class", form.id);
    let field = Field::new(&key, labels::CLASS).wide(CELL);
    if let Some(class) = choice(ui, field, Some(&pigment.mix.class), &classes) {
        form.choose(shelving::with_class(&form.item, class));
    }
}

fn colour_ui(ui: &mut Ui, form: &mut Form<'_>, pigment: &Pigment) {
    cell(ui, 56.0, |ui| {
        let label = say(ui, Face::Second, Tokens::of(ui).ink_3, labels::COLOUR_SHORT);
        let (rect, response) = ui.allocate_exact_size(vec2(48.0, space::PRESS), Sense::hover());
        let words = labels::colour_words(pigment.colour);
        response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Label, true, words.as_str()));
        response.labelled_by(label.id);
        let edge = Stroke::new(1.0, Tokens::of(ui).ink_3);
        ui.painter().rect(rect, space::RADIUS, shade(pigment.colour), edge, egui::StrokeKind::Inside);
    });
    for (of, label) in [Of::Red, Of::Green, Of::Blue].into_iter().zip(labels::PARTS) {
        form.field_in(ui, &of, (label, ""), "128", 78.0);
    }
}

fn swatches_ui(ui: &mut Ui, form: &mut Form<'_>, pigment: &Pigment) {
    heading(ui, labels::SWATCHES);
    if pigment.swatches.is_empty() {
        second(ui, labels::NO_SWATCH);
    }
    for (at, swatch) in pigment.swatches.iter().enumerate() {
        gap(ui, 2.0 * space::STEP);
        let no = at + 1;
        flow(ui, |ui| {
            form.field_in(ui, &Of::Scoops(at), (&labels::scoops(no), ""), "1", 90.0);
            form.field_in(ui, &Of::Drops(at), (&labels::drops(no), ""), "10", 90.0);
            form.field_in(ui, &Of::Weighed(at), (&labels::swatch_weighed(no), ""), "0.5 %", 130.0);
            form.field_in(ui, &Of::CameOut(at), (&labels::came_out(no), ""), "", 240.0);
        });
        ui.horizontal_wrapped(|ui| {
            if let Some(photo) = &swatch.photo {
                second(ui, labels::swatch_photo(&photo.to_string().chars().take(12).collect::<String>()));
            }
            if link(ui, &labels::remove_swatch(no)).clicked() {
                // The mixes behind it take other numbers; what is typed elsewhere stays.
                for part in ["Scoops", "Drops", "CameOut", "Weighed"] {
                    form.drafts.clear_under(&format!("shelf/{}/{part}", form.id));
                }
                form.choose(shelving::without_swatch(&form.item, at));
            }
        });
    }
    gap(ui, 2.0 * space::STEP);
    // Nothing is filled in that the maker has not said.
    let keys = ["scoops", "drops"].map(|what| format!("shelf/{}/new-mix/{what}", form.id));
    let (mut scoops, mut drops) = (None, None);
    flow(ui, |ui| {
        let field = Field::new(&keys[0], labels::NEW_SCOOPS).wide(150.0);
        scoops = form_read(ui, form.drafts, field, shelving::scoops);
        let field = Field::new(&keys[1], labels::NEW_DROPS).wide(150.0);
        drops = form_read(ui, form.drafts, field, typed::drops);
    });
    let both = scoops.zip(drops);
    let pressed = ui.add_enabled_ui(both.is_some(), |ui| link(ui, labels::ADD_SWATCH)).inner.clicked();
    if let Some(mix) = both.filter(|_| pressed) {
        form.drafts.clear_under(&format!("shelf/{}/new-mix/", form.id));
        form.choose(shelving::with_another_swatch(&form.item, mix));
    }
}
