//! A thing as a row: a tick box where it is counted, its picture, what it is, and what can be done at its end.

use egui::{Rect, Response, Sense, Ui, UiBuilder, WidgetInfo, pos2, vec2};

use crate::draw::things::{self, SIZE, ThingPicture};
use crate::look::{Face, Tokens, space};
use crate::widgets::{link, tick};

/// The tick box of a row.
#[derive(Clone, Copy, Debug)]
pub(in crate::pages) struct Box<'a> {
    /// Its name: "tick envelope 1".
    pub(in crate::pages) name: &'a str,
    /// It is ticked.
    pub(in crate::pages) ticked: bool,
    /// It can be turned.
    pub(in crate::pages) possible: bool,
}

/// What a row shows.
#[derive(Clone, Copy, Debug)]
pub(in crate::pages) struct Row<'a> {
    /// Its picture.
    pub(in crate::pages) picture: &'a ThingPicture,
    /// What it is.
    pub(in crate::pages) title: &'a str,
    /// What is known of it.
    pub(in crate::pages) second: &'a str,
    /// It is not where it should be: told in the colour of care.
    pub(in crate::pages) care: bool,
    /// What is written on it: "E1".
    pub(in crate::pages) label: &'a str,
    /// Its tick box.
    pub(in crate::pages) tick: Option<Box<'a>>,
    /// A link at its end, as it reads and as it is named.
    pub(in crate::pages) link: Option<(&'a str, &'a str)>,
}

/// What was pressed.
#[derive(Debug)]
pub(in crate::pages) struct Pressed {
    /// The tick box.
    pub(in crate::pages) tick: Option<Response>,
    /// The link.
    pub(in crate::pages) link: bool,
}

/// Between the parts of a row.
const GAP: f32 = 5.0 * space::STEP;
/// The tick box.
const TICK: f32 = 26.0;

pub(in crate::pages) fn ui(ui: &mut Ui, row: Row<'_>) -> Pressed {
    let tokens = Tokens::of(ui);
    let width = ui.available_width();
    let painter = ui.painter();
    let label = painter.layout_no_wrap(row.label.to_owned(), Face::Second.font(), tokens.ink_3);
    let link_width = row.link.map_or(0.0, |(words, _)| {
        painter.layout_no_wrap(words.to_owned(), Face::Strong.font(), tokens.accent).size().x
            + 3.0 * space::STEP
    });
    let before = row.tick.map_or(0.0, |_| TICK + GAP);
    let left = before + SIZE.x + GAP;
    let room = (width - left - label.size().x - link_width - 2.0 * space::STEP).max(80.0);
    let title = painter.layout(row.title.to_owned(), Face::Strong.font(), tokens.ink, room);
    let second = {
        let ink = if row.care { tokens.care } else { tokens.ink_2 };
        painter.layout(row.second.to_owned(), Face::Second.font(), ink, room)
    };
    let words_high = title.size().y + second.size().y;
    let high = (words_high + 4.0 * space::STEP).max(space::THING_ROW - 1.0);
    let (rect, response) = ui.allocate_exact_size(vec2(width, high), Sense::hover());
    response.widget_info(|| {
        WidgetInfo::labeled(egui::Role::Label, true, format!("{}, {}, {}", row.title, row.second, row.label))
    });
    let middle = rect.center().y;
    let tick = row.tick.map(|box_| {
        let at = Rect::from_center_size(pos2(rect.left() + 0.5 * TICK, middle), vec2(TICK, TICK));
        let mut child = ui.new_child(UiBuilder::new().max_rect(at).id_salt(box_.name));
        if !box_.possible {
            child.disable();
        }
        tick(&mut child, box_.name, box_.ticked)
    });
    if ui.is_rect_visible(rect) {
        let painter = ui.painter();
        let picture = Rect::from_center_size(pos2(rect.left() + before + 0.5 * SIZE.x, middle), SIZE);
        things::thing(painter, tokens, picture, row.picture);
        let top = middle - 0.5 * words_high;
        let under = top + title.size().y;
        painter.galley(pos2(rect.left() + left, top), title, tokens.ink);
        painter.galley(pos2(rect.left() + left, under), second, tokens.ink_2);
        let at = pos2(rect.right() - link_width - label.size().x, middle - 0.5 * label.size().y);
        painter.galley(at, label, tokens.ink_3);
        painter.hline(rect.x_range(), rect.bottom() + 0.5, tokens.hairline());
    }
    let pressed = row.link.is_some_and(|(words, name)| {
        let at = Rect::from_min_max(
            pos2(rect.right() - link_width + 3.0 * space::STEP, middle - 13.0),
            pos2(rect.right(), middle + 13.0),
        );
        let mut child = ui.new_child(UiBuilder::new().max_rect(at).id_salt(name));
        link(&mut child, words).accessible_name(name).clicked()
    });
    ui.add_space(1.0 - ui.spacing().item_spacing.y);
    Pressed { tick, link: pressed }
}
