//! What a stone is made of and how: every change is planned at once.

use craft::fact::LayerKind;
use craft::id::ShelfId;
use craft::order::{LotShare, StoneSheet};
use craft::place::Cell;
use craft::planner::Style;
use craft::shelf::What;
use craft::studio::Studio;
use craft::text::Line;
use craft::units::Share;
use egui::Ui;
use workbench::present::{plan_words, words};
use workbench::typed;

use crate::cx::Cx;
use crate::look::space;
use crate::widgets::{Field, choice, gap, link, note, one_of, read, words as kept_words};
use workbench::present::labels::plan as labels;

/// The controls of one stone; false once they are to be closed.
pub(super) fn ui(ui: &mut Ui, cx: &mut Cx<'_>, stone: &StoneSheet) -> bool {
    let mut open = true;
    let before = stone.clone();
    let mut now = stone.clone();
    note(ui, |ui| {
        ui.vertical(|ui| {
            ui.horizontal_wrapped(|ui| {
                ui.spacing_mut().item_spacing.x = 4.0 * space::STEP;
                where_ui(ui, cx, &mut now);
            });
            gap(ui, 2.0 * space::STEP);
            ui.horizontal_wrapped(|ui| {
                ui.spacing_mut().item_spacing.x = 4.0 * space::STEP;
                mix_ui(ui, cx, &mut now);
            });
            gap(ui, 2.0 * space::STEP);
            style_ui(ui, &mut now);
            gap(ui, 2.0 * space::STEP);
            ui.horizontal_wrapped(|ui| {
                ui.spacing_mut().item_spacing.x = 4.0 * space::STEP;
                shares_ui(ui, cx, &mut now);
            });
            gap(ui, 2.0 * space::STEP);
            open = end_ui(ui, cx, stone);
        })
    });
    if now != before {
        if is_made_otherwise(&before, &now) {
            now.plan = None;
        }
        cx.sheet(|sheet| {
            if let Some(stone) = sheet.stones.iter_mut().find(|stone| stone.no == now.no) {
                *stone = now;
            }
        });
    }
    open
}

/// True where a stone would be made in another way, so that the plan that was kept no longer says how; its caption and
/// the cavity of the same mould it lies in change nothing of that.
fn is_made_otherwise(before: &StoneSheet, now: &StoneSheet) -> bool {
    let made = |stone: &StoneSheet| StoneSheet {
        cell: before.cell.clone(),
        plan: None,
        caption: Line::default(),
        ..stone.clone()
    };
    made(before) != made(now)
}

fn on_shelf(studio: &Studio, now: &ShelfId, is: fn(&What) -> bool) -> Vec<(ShelfId, String)> {
    let items = studio.shelf().iter().filter(|(id, item)| is(&item.what) && (!item.retired || *id == now));
    items.map(|(id, item)| (id.clone(), item.name.to_string())).collect()
}

fn where_ui(ui: &mut Ui, cx: &Cx<'_>, stone: &mut StoneSheet) {
    let studio = cx.view.studio;
    let moulds = on_shelf(studio, &stone.mould, |what| matches!(what, What::Mould(_)));
    if let Some(mould) =
        choice(ui, Field::new("order/plan/mould", labels::MOULD).wide(200.0), Some(&stone.mould), &moulds)
    {
        let free = cx.view.free_cells(cx.held, &mould);
        if let Some(cell) = free.into_iter().next() {
            stone.cell = cell;
        }
        stone.mould = mould;
    }
    let mut cells: Vec<Cell> = cx.view.free_cells(cx.held, &stone.mould);
    if !cells.contains(&stone.cell) {
        cells.insert(0, stone.cell.clone());
    }
    let cells: Vec<(Cell, String)> = cells.into_iter().map(|cell| (cell.clone(), cell.to_string())).collect();
    if let Some(cell) =
        choice(ui, Field::new("order/plan/cell", labels::CAVITY).wide(90.0), Some(&stone.cell), &cells)
    {
        stone.cell = cell;
    }
    let lamps = on_shelf(studio, &stone.lamp, |what| matches!(what, What::Lamp(_)));
    if let Some(lamp) =
        choice(ui, Field::new("order/plan/lamp", labels::LAMP).wide(170.0), Some(&stone.lamp), &lamps)
    {
        stone.lamp = lamp;
    }
    let resins = on_shelf(studio, &stone.resin, |what| matches!(what, What::Resin(_)));
    if let Some(resin) =
        choice(ui, Field::new("order/plan/resin", labels::RESIN).wide(200.0), Some(&stone.resin), &resins)
    {
        stone.resin = resin;
    }
}

fn mix_ui(ui: &mut Ui, cx: &mut Cx<'_>, stone: &mut StoneSheet) {
    let pigments = on_shelf(cx.view.studio, &stone.pigment, |what| matches!(what, What::Pigment(_)));
    let field = Field::new("order/plan/pigment", labels::PIGMENT).wide(200.0);
    if let Some(pigment) = choice(ui, field, Some(&stone.pigment), &pigments) {
        stone.pigment = pigment;
    }
    // Each stone has its own drafts: what was typed for one must never be handed in for another.
    let (face_key, caption_key) = (key(stone, "face"), key(stone, "caption"));
    let face = Field::new(&face_key, labels::FACE).wide(90.0);
    if let Some(face) = read(ui, cx.drafts, face, &words::length(stone.face), typed::length) {
        stone.face = face;
    }
    let tops =
        [LayerKind::TopGloss, LayerKind::TopSatin].map(|kind| (kind, words::layer_kind(kind).to_owned()));
    if let Some(top) =
        choice(ui, Field::new("order/plan/top", labels::TOP).wide(170.0), Some(&stone.top), &tops)
    {
        stone.top = top;
    }
    let caption = Field::new(&caption_key, labels::CAPTION).wide(240.0);
    if let Some(caption) = kept_words(ui, cx.drafts, caption, &stone.caption) {
        stone.caption = caption;
    }
}

/// The key of a stone's draft.
fn key(stone: &StoneSheet, what: &str) -> String {
    format!("order/plan/{}/{what}", stone.no)
}

fn style_ui(ui: &mut Ui, stone: &mut StoneSheet) {
    let styles = [Style::Deepening, Style::Even, Style::Quick].map(|style| (style, plan_words::style(style)));
    if let Some(style) = one_of(ui, labels::STYLE, Some(&stone.style), &styles) {
        stone.style = style;
    }
}

fn shares_ui(ui: &mut Ui, cx: &mut Cx<'_>, stone: &mut StoneSheet) {
    let lots: Vec<u8> = cx.held.ledger.custody.lots.keys().copied().collect();
    for lot in lots {
        let part = stone.shares.iter().find(|share| share.lot == lot).map_or(Share::NONE, |share| share.part);
        let label = labels::share_of(&words::lot(cx.held, lot));
        let key = key(stone, &format!("share/{lot}"));
        let field = Field::new(&key, &label).wide(180.0);
        if let Some(part) = read(ui, cx.drafts, field, &words::share(part), typed::share) {
            stone.shares.retain(|share| share.lot != lot);
            if part > Share::NONE {
                stone.shares.push(LotShare { lot, part });
                stone.shares.sort_by_key(|share| share.lot);
            }
        }
    }
}

fn end_ui(ui: &mut Ui, cx: &mut Cx<'_>, stone: &StoneSheet) -> bool {
    let mut open = true;
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = 5.0 * space::STEP;
        if link(ui, labels::DONE).clicked() {
            open = false;
        }
        let begun = cx.held.ledger.pours.stones.contains_key(&stone.no);
        if !begun && link(ui, &labels::leave_out(stone.no)).clicked() {
            let no = stone.no;
            cx.sheet(|sheet| sheet.stones.retain(|stone| stone.no != no));
            open = false;
        }
    });
    open
}

#[cfg(test)]
mod tests {
    use craft::units::Length;

    use super::*;

    fn stone() -> StoneSheet {
        let id = |text: &str| text.parse::<ShelfId>().unwrap();
        StoneSheet {
            no: 1,
            mould: id("oval"),
            cell: "A1".parse().unwrap(),
            resin: id("clear"),
            lamp: id("small"),
            pigment: id("black"),
            style: Style::Deepening,
            face: Length::from_mm(1.5),
            shares: Vec::new(),
            top: LayerKind::TopGloss,
            plan: None,
            caption: Line::default(),
            wishes: craft::planner::Wishes::default(),
        }
    }

    #[test]
    fn only_what_a_stone_is_made_of_asks_for_another_plan() {
        let before = stone();
        let with = |change: fn(&mut StoneSheet)| {
            let mut now = stone();
            change(&mut now);
            assert_ne!(now, before, "it is another stone");
            is_made_otherwise(&before, &now)
        };
        assert!(!with(|now| now.caption = "the one with the curl".parse().unwrap()));
        assert!(!with(|now| now.cell = "B2".parse().unwrap()));
        assert!(with(|now| now.mould = "round".parse().unwrap()));
        assert!(with(|now| now.resin = "other".parse().unwrap()));
        assert!(with(|now| now.lamp = "large".parse().unwrap()));
        assert!(with(|now| now.pigment = "white".parse().unwrap()));
        assert!(with(|now| now.style = Style::Quick));
        assert!(with(|now| now.face = Length::from_mm(1.0)));
        assert!(with(|now| now.shares.push(LotShare { lot: 1, part: Share::of(1, 20) })));
        assert!(with(|now| now.top = LayerKind::TopSatin));
    }
}
