//! Where a material is: piles and envelopes by share, each with its words below.

use craft::id::{Thing, ThingKind};
use craft::ledger::Role;
use egui::{Galley, Rect, Sense, Ui, WidgetInfo, pos2, vec2};
use std::sync::Arc;
use workbench::present::accounts::Account;
use workbench::present::board::stone_marks;
use workbench::present::labels::pack as labels;
use workbench::present::things::{PieceForm, form_of};
use workbench::present::words;

use crate::cx::Cx;
use crate::draw::lot::{Pile, PileKind, lot, piles, place};
use crate::draw::stone::StonePicture;
use crate::draw::things::{Form, ThingPicture};
use crate::look::{Face, Tokens, space};
use crate::pages::life::way_here_ui;
use crate::widgets::{gap, heading, second};

/// The room for the piles themselves.
const HIGH: f32 = 84.0;

/// One material: its heading, what the weighings say, and its piles.
pub(in crate::pages) fn ui(ui: &mut Ui, cx: &mut Cx<'_>, account: &Account) {
    heading(ui, labels::where_it_is(&account.name));
    second(ui, words::sentence_start(&account.words) + ".");
    gap(ui, 3.0 * space::STEP);
    piles_ui(ui, cx, account);
    gap(ui, space::STEP);
    way_here_ui(ui, cx, account.lot);
}

/// The piles of a material with their words below.
pub(in crate::pages) fn piles_ui(ui: &mut Ui, cx: &Cx<'_>, account: &Account) {
    let tokens = Tokens::of(ui);
    let marks = stone_marks(cx.view.studio, cx.held);
    let set = &cx.held.ledger.fit.set;
    let look = |thing: Thing| {
        let no = match thing.kind {
            ThingKind::Stone => Some(thing.no),
            ThingKind::Piece => set.iter().find(|(_, piece)| **piece == thing).map(|(no, _)| *no),
            _ => None,
        };
        no.and_then(|no| marks.iter().find(|mark| mark.no == no)).map(StonePicture::from)
    };
    let kept = |thing: Thing| {
        let kept = cx.held.ledger.custody.things.get(&thing);
        kept.is_some_and(|kept| matches!(kept.role, Role::KeepBack { .. }))
    };
    let all = piles(account, kept, look);
    let width = ui.available_width();
    let at = ui.cursor().min;
    let placed = place(&all, Rect::from_min_size(at, vec2(width, HIGH)));
    let lines: Vec<(f32, [Arc<Galley>; 2])> = placed
        .iter()
        .map(|pile| {
            let room = pile.column.width() + 3.0 * space::STEP;
            let share = words::share(pile.pile.share);
            let galley = |words: String, face: Face, ink| {
                let mut job = egui::text::LayoutJob::simple(words, face.font(), ink, room);
                job.halign = egui::Align::Center;
                ui.painter().layout_job(job)
            };
            let title = galley(share, Face::Strong, tokens.ink);
            let second = galley(caption(&pile.pile), Face::Second, tokens.ink_2);
            (pile.column.center().x, [title, second])
        })
        .collect();
    let below = lines.iter().map(|(_, [a, b])| a.size().y + b.size().y).fold(0.0, f32::max);
    let (_, response) = ui.allocate_exact_size(vec2(width, HIGH + 2.0 * space::STEP + below), Sense::hover());
    let name = placed.iter().map(|pile| format!("{} {}", words::share(pile.pile.share), caption(&pile.pile)));
    let name = name.collect::<Vec<_>>().join(", ");
    response.widget_info(|| WidgetInfo::labeled(egui::Role::Image, true, name.as_str()));
    lot(ui.painter(), tokens, &placed);
    for (x, [title, second]) in lines {
        let top = at.y + HIGH + 2.0 * space::STEP;
        let under = top + title.size().y;
        ui.painter().galley(pos2(x, top), title, tokens.ink);
        ui.painter().galley(pos2(x, under), second, tokens.ink_2);
    }
}

fn caption(pile: &Pile) -> String {
    match &pile.kind {
        PileKind::KeepBack => labels::PILE_KEEP_BACK.to_owned(),
        PileKind::Wrapping => labels::PILE_WRAPPING.to_owned(),
        PileKind::Envelope => pile.things.first().map(|thing| words::thing_plain(*thing)).unwrap_or_default(),
        PileKind::Stones(_) => words::count(pile.things.len(), "stone", "stones"),
        PileKind::Offcuts(_) => labels::PILE_OFFCUTS.to_owned(),
        PileKind::Tools => labels::PILE_TOOLS.to_owned(),
    }
}

/// How a thing of the open order is drawn.
pub(in crate::pages) fn thing_picture(cx: &Cx<'_>, thing: Thing) -> ThingPicture {
    let custody = &cx.held.ledger.custody;
    let stone = |no: u8| {
        let marks = stone_marks(cx.view.studio, cx.held);
        let unknown = StonePicture { outline: None, colour: None, begun: true, chosen: false };
        marks.iter().find(|mark| mark.no == no).map_or(unknown, StonePicture::from)
    };
    match thing.kind {
        ThingKind::Wrapping => ThingPicture::Wrapping,
        ThingKind::Keepsake => ThingPicture::Keepsake,
        ThingKind::Stone => ThingPicture::Stone(stone(thing.no)),
        ThingKind::Envelope => {
            let sealed = custody.things.get(&thing).is_some_and(|kept| kept.seal.is_some());
            ThingPicture::Envelope { holds: custody.contents(thing).next().is_some(), sealed }
        }
        ThingKind::Offcuts => {
            ThingPicture::Offcuts(cx.held.order.sheet.stones.first().and_then(|first| stone(first.no).colour))
        }
        ThingKind::Piece => {
            let no = cx.held.ledger.fit.set.iter().find(|(_, piece)| **piece == thing).map(|(no, _)| *no);
            let form = match form_of(cx.view.studio, cx.held) {
                PieceForm::Ring => Form::Ring,
                PieceForm::Pendant => Form::Pendant,
            };
            ThingPicture::Piece(form, stone(no.unwrap_or(0)))
        }
    }
}
