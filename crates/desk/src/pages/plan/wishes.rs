//! What is wanted of a plan beyond the usual: presses, even steps, swirls, kept layers.

use craft::order::StoneSheet;
use craft::planner::{Even, OneMore, Pin, Plan, Problem, Region, Room, Wishes};
use egui::Ui;
use workbench::present::{plan_words, words};
use workbench::{shelving, typed};

use crate::cx::Cx;
use crate::look::space;
use crate::widgets::{Field, cells, gap, link, note, one_of, read, second, sentence};
use workbench::present::labels::plan as labels;

/// The wishes of a stone; `plan` is what they came to, where they came to anything, `even` what even steps cost, and `more`
/// what one more colour layer takes.
pub(super) fn ui(
    ui: &mut Ui,
    cx: &mut Cx<'_>,
    stone: &StoneSheet,
    plan: Option<&Plan>,
    (even, more): (Option<&Even>, Option<&OneMore>),
) {
    let mut now = stone.wishes.clone();
    note(ui, |ui| {
        ui.vertical(|ui| {
            presses_ui(ui, &mut now);
            gap(ui, 2.0 * space::STEP);
            even_ui(ui, &mut now, even);
            gap(ui, 2.0 * space::STEP);
            swirl_ui(ui, &mut now);
            gap(ui, 3.0 * space::STEP);
            if let Some(more) = more {
                one_more_ui(ui, &mut now, more);
                gap(ui, 3.0 * space::STEP);
            }
            second(ui, labels::KEPT_MORE);
            kept_ui(ui, cx, stone.no, &mut now);
            more_ui(ui, &mut now, plan);
        });
    });
    if now != stone.wishes {
        let no = stone.no;
        cx.sheet(|sheet| {
            if let Some(stone) = sheet.stones.iter_mut().find(|stone| stone.no == no) {
                (stone.wishes, stone.plan) = (now, None);
            }
        });
    }
}

fn presses_ui(ui: &mut Ui, wishes: &mut Wishes) {
    let [once, twice, thrice] = labels::PRESSED;
    let options = [(1, once), (2, twice), (3, thrice)];
    if let Some(presses) = one_of(ui, labels::PRESSES, Some(&wishes.presses), &options) {
        wishes.presses = presses;
    }
}

fn even_ui(ui: &mut Ui, wishes: &mut Wishes, even: Option<&Even>) {
    let [quick, same] = labels::STEPPED;
    let is_even = wishes.smooth.is_some();
    // Without two colour layers there is nothing to be even.
    if even.is_none() && !is_even {
        return;
    }
    if let Some(wanted) = one_of(ui, labels::STEPS, Some(&is_even), &[(false, quick), (true, same)]) {
        wishes.smooth = even.map(|even| even.wish).filter(|_| wanted);
    }
    if let Some(even) = even {
        second(ui, words::sentence(&words::sentence_start(&plan_words::even_cost(even))));
    }
}

/// What one more colour layer takes, and the press that plans it where there is room.
fn one_more_ui(ui: &mut Ui, wishes: &mut Wishes, more: &OneMore) {
    second(ui, plan_words::one_more(more));
    if let Room::Planned { pinned, .. } = &more.room
        && link(ui, labels::ONE_MORE).clicked()
    {
        *wishes = wishes.with_one_more(pinned);
    }
}

fn swirl_ui(ui: &mut Ui, wishes: &mut Wishes) {
    let [even, swirled] = labels::SWIRLED;
    let is_swirled = wishes.thinnest.is_some();
    if let Some(wanted) = one_of(ui, labels::COLOURS, Some(&is_swirled), &[(false, even), (true, swirled)]) {
        wishes.thinnest = wanted.then_some(Wishes::SWIRLED);
    }
}

/// The layers that are kept: their thickness and pigment, each to be changed or let go.
fn kept_ui(ui: &mut Ui, cx: &mut Cx<'_>, stone: u8, wishes: &mut Wishes) {
    let mut let_go = None;
    for (place, pin) in wishes.pinned.iter_mut().enumerate() {
        let no = place + 1;
        let (thick, load) = (labels::kept_thickness(no), labels::kept_load(no));
        let keys = ["thick", "load"].map(|what| format!("order/plan/{stone}/kept/{no}/{what}"));
        cells(ui, &[150.0, 170.0, 180.0], |ui, cell| match cell {
            0 => {
                let field = Field::new(&keys[0], &thick).wide(140.0);
                if let Some(length) = read(ui, cx.drafts, field, &words::length(pin.length()), typed::length)
                {
                    *pin = Pin::near(length, pin.load).unwrap_or(*pin);
                }
            }
            1 => {
                let field = Field::new(&keys[1], &load).wide(160.0);
                if let Some(load) = read(ui, cx.drafts, field, &pin.load.to_string(), shelving::load) {
                    pin.load = load;
                }
            }
            _ => {
                gap(ui, 5.0 * space::STEP);
                if link(ui, &labels::let_go(no)).clicked() {
                    let_go = Some(place);
                }
            }
        });
    }
    if let Some(place) = let_go {
        wishes.pinned.remove(place);
        cx.drafts.clear_under(&format!("order/plan/{stone}/kept/"));
    }
}

/// The colour layers of the plan that could be kept as well.
fn more_ui(ui: &mut Ui, wishes: &mut Wishes, plan: Option<&Plan>) {
    let Some(plan) = plan.filter(|_| wishes.pinned.len() < Problem::MOST_PINS) else { return };
    let mut due = wishes.pinned.clone();
    let mut free = Vec::new();
    for (no, layer) in (1..).zip(&plan.layers).filter(|(_, layer)| layer.region == Region::Colour) {
        let Some(pin) = Pin::of(layer.thickness, layer.load) else { continue };
        match due.iter().position(|kept| *kept == pin) {
            Some(place) => {
                due.remove(place);
            }
            None => free.push((no, pin)),
        }
    }
    sentence(ui, |ui| {
        for (no, pin) in free {
            if link(ui, &labels::keep_layer(no)).clicked() {
                wishes.pinned.push(pin);
            }
        }
    });
}
