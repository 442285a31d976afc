//! The bench: the open order. The remembered one on top, its route, and the page that is open.

use craft::id::DocId;
use craft::order::Page;
use craft::tag::Tag;
use egui::{Ui, vec2};
use workbench::action::{Action, Nav};
use workbench::present::finding_words;
use workbench::present::heading::{Heading, heading};
use workbench::present::words;
use workbench::view::View;

use super::undo::undo_ui;
use super::{Desk, Side};
use crate::cx::{Cx, Wish};
use crate::look::{Face, Tokens, space};
use crate::widgets::{fold, gap, link, rule, say, scrolled, tab};
use workbench::present::labels::keeping;
use workbench::present::labels::shell as labels;

/// Below this height a page has little room, in points.
const LOW: f32 = 480.0;
/// Below this height of the whole window the head is one line and the strip is thin, in points.
const LOWEST: f32 = 500.0;

/// True in a window so low that the page needs nearly all of it.
pub(super) fn is_lowest(ui: &Ui) -> bool {
    ui.ctx().content_rect().height() < LOWEST
}

/// Takes the keys that belong to the open page wherever the keyboard stands in the window, unless something lies over
/// it.
pub(super) fn take_keys(ui: &Ui, desk: &mut Desk, view: &View<'_>, wishes: &mut Vec<Wish>) {
    let Nav::Bench(tag, page) = view.nav else { return };
    if desk.over.is_some() || desk.side != Side::Route {
        return;
    }
    let Some(held) = view.studio.orders().get(&tag) else { return };
    let Desk { drafts, pages, root, .. } = desk;
    pages.take_keys(ui, page, &mut Cx::new(view, (tag, held), root.as_deref(), drafts, wishes));
}

pub(super) fn ui(ui: &mut Ui, desk: &mut Desk, view: &View<'_>, at: (Tag, Page), wishes: &mut Vec<Wish>) {
    let (tag, page) = at;
    let (Some(heading), Some(held)) =
        (heading(view.studio, view.board, tag, view.now), view.studio.orders().get(&tag))
    else {
        say(ui, Face::Body, Tokens::of(ui).ink_2, labels::no_order(tag));
        return;
    };
    // In a low window the page needs the room more than the line about the order does.
    let lowest = is_lowest(ui);
    if lowest {
        line_ui(ui, desk, view, at, &heading, wishes);
        found_ui(ui, desk, view, tag, wishes);
    } else {
        let low = ui.available_height() < LOW;
        heading_ui(ui, view, &heading, low, wishes);
        found_ui(ui, desk, view, tag, wishes);
        gap(ui, if low { space::STEP } else { 4.0 * space::STEP });
        route_ui(ui, desk, at, &heading, wishes);
    }
    let Desk { drafts, pages, side, root, .. } = desk;
    let mut cx = Cx::new(view, (tag, held), root.as_deref(), drafts, wishes);
    let id = (tag.to_string(), words::page(page), format!("{side:?}"));
    scrolled(ui, id, |ui| {
        gap(ui, if lowest { 2.0 } else { 5.0 } * space::STEP);
        match side {
            Side::Route => pages.ui(ui, page, &mut cx),
            Side::Messages => pages.messages.ui(ui, &mut cx),
            Side::Papers => pages.papers.ui(ui, &mut cx),
            Side::Life => pages.life.ui(ui, &mut cx, page),
        }
        gap(ui, space::BLOCK);
    });
}

fn heading_ui(ui: &mut Ui, view: &View<'_>, heading: &Heading, low: bool, wishes: &mut Vec<Wish>) {
    let tokens = Tokens::of(ui);
    ui.horizontal(|ui| {
        let face = if low { Face::NameSmall } else { Face::Name };
        say(ui, face, tokens.ink, heading.name.as_str()).on_hover_text(heading.line());
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| undo_ui(ui, view, wishes));
    });
    if !low {
        ui.add_space(-space::STEP);
        say(ui, Face::Body, tokens.ink_2, heading.line());
    }
}

/// The way to what was found about this order; nothing where nothing was.
fn found_ui(ui: &mut Ui, desk: &mut Desk, view: &View<'_>, tag: Tag, wishes: &mut Vec<Wish>) {
    let Some(words) = finding_words::not_together(desk.keep.found_of(view, tag)) else { return };
    if link(ui, &keeping::of_this_order(&words)).clicked() {
        desk.keep.leave_earlier();
        wishes.push(Wish::Act(Action::Go(Nav::Keeping)));
    }
}

/// The whole head as one line: the tag, the name, and the open page, which opens the route.
fn line_ui(
    ui: &mut Ui,
    desk: &mut Desk,
    view: &View<'_>,
    at: (Tag, Page),
    heading: &Heading,
    wishes: &mut Vec<Wish>,
) {
    let tokens = Tokens::of(ui);
    let (tag, page) = at;
    let side = match desk.side {
        Side::Route => words::page(page),
        Side::Messages => labels::MESSAGES,
        Side::Papers => labels::PAPERS,
        Side::Life => labels::LIFE,
    };
    let id = ui.scope_id().with("route is open");
    let mut open = ui.data(|data| data.get_temp(id)).unwrap_or(false);
    ui.horizontal(|ui| {
        ui.spacing_mut().interact_size.y = 26.0;
        say(ui, Face::Second, tokens.ink_2, tag.to_string());
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            fold(ui, side, &mut open);
            let name =
                egui::RichText::new(heading.name.as_str()).font(Face::Heading.font()).color(tokens.ink);
            ui.with_layout(egui::Layout::left_to_right(egui::Align::Center), |ui| {
                ui.add(egui::Label::new(name).truncate()).on_hover_text(heading.line());
            });
        });
    });
    if open {
        let before = wishes.len();
        let side = desk.side;
        route_ui(ui, desk, at, heading, wishes);
        // What was chosen is shown, with all the room there is.
        open = wishes.len() == before && desk.side == side;
        ui.horizontal_wrapped(|ui| undo_ui(ui, view, wishes));
    } else {
        rule(ui);
    }
    ui.data_mut(|data| data.insert_temp(id, open));
}

fn route_ui(ui: &mut Ui, desk: &mut Desk, at: (Tag, Page), heading: &Heading, wishes: &mut Vec<Wish>) {
    let (tag, open) = at;
    ui.scope(|ui| {
        ui.spacing_mut().item_spacing = vec2(26.0, space::TIGHT);
        ui.horizontal_wrapped(|ui| {
            for page in Page::ALL {
                let here = desk.side == Side::Route && page == open;
                if tab(ui, words::page(page), here, page <= heading.next_page).clicked() {
                    desk.side = Side::Route;
                    wishes.push(Wish::Act(Action::Go(Nav::Bench(tag, page))));
                }
            }
            ui.add_space(space::BLOCK);
            for (side, words) in [(Side::Messages, labels::MESSAGES), (Side::Papers, labels::PAPERS)] {
                if tab(ui, words, desk.side == side, true).clicked() {
                    desk.side = side;
                }
            }
            if tab(ui, keeping::EARLIER_WAY, false, true).clicked() {
                wishes.push(Wish::Earlier(DocId::Order(tag)));
            }
        });
        // The line under the open page lies on the rule.
        ui.spacing_mut().item_spacing.y = 0.0;
        ui.add_space(-space::STEP - 1.0);
        rule(ui);
    });
}
