//! Rules for sheets and settings.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Debug;

use crate::cure::Button;
use crate::fact::LayerKind;
use crate::id::{DocId, ShelfId, StoneName, Thing};
use crate::ledger::{Held, Layer, Ledger};
use crate::order::{Sheet, StoneSheet};
use crate::place::Cell;
use crate::planner::PlannedLayer;
use crate::policies::Policies;
use crate::refusal::Refusal;
use crate::shelf::{Item, What};
use crate::text::Line;
use crate::units::Share;

use super::Studio;

/// What a sheet must be by itself, wherever it comes from.
pub(super) fn check_itself(sheet: &Sheet) -> Result<(), Refusal> {
    if sheet.remembered.name.is_empty() {
        return Err(Refusal::NoName);
    }
    let stones = sheet.stones.iter().map(|stone| Thing::stone(stone.no));
    let labels = stones.chain(sheet.things.iter().map(|note| note.thing));
    let mut labels = labels.chain(sheet.photos.iter().filter_map(|photo| photo.of));
    if let Some(label) = labels.find(|label| label.no == 0) {
        return Err(Refusal::NoLabel(label));
    }
    once(sheet.stones.iter().map(|stone| stone.no), |no| StoneName(*no).to_string())?;
    once(sheet.things.iter().map(|note| note.thing), |thing| format!("the note on {thing}"))?;
    once(sheet.photos.iter().map(|photo| (photo.original, photo.of)), |(photo, _)| {
        format!("photo {}", photo.short())
    })?;
    for stone in &sheet.stones {
        if !matches!(stone.top, LayerKind::TopGloss | LayerKind::TopSatin) {
            return Err(Refusal::NotATop(stone.no));
        }
    }
    Ok(())
    // Two stones may be planned in one cavity, one after the other; that it is free is asked when one is begun.
}

fn once<T: Ord + Debug>(all: impl Iterator<Item = T>, name: impl Fn(&T) -> String) -> Result<(), Refusal> {
    let mut seen = BTreeSet::new();
    for one in all {
        if seen.contains(&one) {
            return Err(Refusal::Twice(name(&one)));
        }
        seen.insert(one);
    }
    Ok(())
}

impl Studio {
    /// Every rule of a sheet: by itself, against the shelf, and against what has really been done.
    pub(super) fn check_sheet(&self, sheet: &Sheet, old: &Sheet, ledger: &Ledger) -> Result<(), Refusal> {
        check_itself(sheet)?;
        // What is begun is made as it was planned, whatever became of the shelf since.
        for stone in sheet.stones.iter().filter(|stone| !ledger.pours.stones.contains_key(&stone.no)) {
            self.check_stone(stone)?;
        }
        check_shares(sheet, old, ledger)?;
        if let Some(setting) = &sheet.setting {
            self.must_be(setting, |what| matches!(what, What::Setting(_)), "a setting")?;
        }
        for (&no, begun) in &ledger.pours.stones {
            let stone = sheet.stone(no).ok_or(Refusal::StoneStays(no))?;
            if (&stone.mould, &stone.cell) != (&begun.mould, &begun.cell) {
                return Err(Refusal::InCavity(no));
            }
            check_laid(old.stone(no), stone, &begun.layers)?;
        }
        Ok(())
    }

    fn check_stone(&self, stone: &StoneSheet) -> Result<(), Refusal> {
        let mould = self.must_be(&stone.mould, |what| matches!(what, What::Mould(_)), "a mould")?;
        if let What::Mould(mould) = &mould.what
            && !mould.cells.contains(&stone.cell)
        {
            return Err(Refusal::NoCell { mould: stone.mould.clone(), cell: stone.cell.clone() });
        }
        self.must_be(&stone.resin, |what| matches!(what, What::Resin(_)), "a bottle of resin")?;
        self.must_be(&stone.lamp, |what| matches!(what, What::Lamp(_)), "a lamp")?;
        self.must_be(&stone.pigment, |what| matches!(what, What::Pigment(_)), "a pigment")?;
        Ok(())
    }

    /// An item that must be on the shelf and of a kind.
    pub(super) fn must_be(
        &self,
        id: &ShelfId,
        is: impl Fn(&What) -> bool,
        wanted: &'static str,
    ) -> Result<&Item, Refusal> {
        let item = self.item(id)?;
        if is(&item.what) { Ok(item) } else { Err(Refusal::NotA { item: id.clone(), wanted }) }
    }

    pub(super) fn put_policies(&mut self, policies: Policies) -> Result<(), Refusal> {
        if policies.studio != self.policies.studio {
            return Err(Refusal::Policies("the studio's id stays for good; every record rests on it"));
        }
        policies.check().map_err(Refusal::Policies)?;
        self.places_keep_their_numbers(&policies)?;
        self.policies = policies;
        Ok(())
    }

    /// Records name a place by its number, so the list never gets shorter and no two places change over.
    fn places_keep_their_numbers(&self, policies: &Policies) -> Result<(), Refusal> {
        let (old, new) = (&self.policies.places, &policies.places);
        if new.len() < old.len() {
            return Err(Refusal::Policies(
                "places keep their numbers; leave one that is no longer used on the list, without a name",
            ));
        }
        let moved = |(at, name): (usize, &Line)| {
            let was_here = old.get(at) == Some(name);
            !name.is_empty()
                && !was_here
                && old.iter().enumerate().any(|(other, old)| other != at && old == name)
        };
        if new.iter().enumerate().any(moved) {
            return Err(Refusal::Policies(
                "a place with that name has another number already; things would seem to lie elsewhere, so give it a \
                 name that was not used",
            ));
        }
        let goes = |(at, name): (usize, &Line)| !name.is_empty() && new.get(at).is_none_or(Line::is_empty);
        if old.iter().enumerate().any(goes) {
            self.all_orders_are_read(false)?;
        }
        for (tag, held) in &self.orders {
            for no in held.kept().iter().filter(|kept| kept.is_here).map(|kept| kept.place) {
                if self.policies.place(no).is_some_and(|name| !name.is_empty())
                    && policies.place(no).is_none_or(Line::is_empty)
                {
                    return Err(Refusal::PlaceInUse(no, *tag));
                }
            }
        }
        Ok(())
    }

    /// Undo of a longer list of places gives the old list with as many places without a name, where a record names one.
    pub(super) fn put_policies_back(&mut self, policies: Policies) -> Result<(), Refusal> {
        let (short, long) = (policies.places.len(), self.policies.places.len());
        if short < long {
            self.all_orders_are_read(false)?;
        }
        let named = |held: &super::Held| held.names_a_place_beyond(short);
        if short < long && self.orders.values().any(named) {
            return self.put_policies(policies);
        }
        let all = self.policies.places.clone();
        self.policies.places.truncate(short);
        self.put_policies(policies).inspect_err(|_| self.policies.places = all)
    }

    /// What stands on the shelf keeps what records and sheets point to.
    pub(super) fn keeps_what_is_used(&self, id: &ShelfId, item: &Item, undo: bool) -> Result<(), Refusal> {
        let Some(old) = self.shelf.get(id) else { return Ok(()) };
        match (&old.what, &item.what) {
            (What::Mould(old), What::Mould(new)) => {
                let gone = |cell: &Cell| old.cells.contains(cell) && !new.cells.contains(cell);
                if old.cells.iter().any(gone) {
                    self.all_orders_are_read(false)?;
                }
                self.no_cavity_in_use(id, gone)
            }
            (What::Lamp(old), What::Lamp(new)) => {
                let moved = |(at, button): (usize, &Button)| {
                    let was = old.buttons.iter().position(|old| old.name() == button.name());
                    let here = old.buttons.get(at).is_some_and(|old| old.name() == button.name());
                    !here && was.is_some()
                };
                let left = new.buttons.len();
                if undo && left < old.buttons.len() {
                    self.all_orders_are_read(false)?;
                }
                let lost = left < old.buttons.len() && !(undo && self.buttons_are_free(id, left));
                if lost || new.buttons.iter().enumerate().any(moved) {
                    return Err(Refusal::ButtonsStay(id.clone()));
                }
                Ok(())
            }
            _ => Ok(()),
        }
    }

    /// True where no bottle was tried and no stone was lit with a button of this lamp beyond the first `left`.
    fn buttons_are_free(&self, id: &ShelfId, left: usize) -> bool {
        let lies_beyond = |lamp: &ShelfId, button: u8| lamp == id && usize::from(button) > left;
        let tried = |item: &Item| match &item.what {
            What::Resin(bottle) => {
                bottle.first_sets.iter().any(|tried| lies_beyond(&tried.lamp, tried.button))
            }
            _ => false,
        };
        let pressed = |held: &super::Held| held.names_a_button_beyond(id, left);
        // A bottle whose file could not be read may have been tried with it.
        let unread = |doc: &DocId| matches!(doc, DocId::Shelf(id) if !self.shelf.contains_key(id));
        !self.locked.keys().any(unread)
            && !self.shelf.values().any(tried)
            && !self.orders.values().any(pressed)
    }

    /// Refuses to take away a cavity in which a stone sits or is planned.
    fn no_cavity_in_use(&self, id: &ShelfId, gone: impl Fn(&Cell) -> bool) -> Result<(), Refusal> {
        for (by, held) in self.awake() {
            let ledger = &held.ledger;
            let begun = |no: u8| ledger.pours.stones.get(&no);
            let sits = |no: u8| ledger.custody.thing(Thing::stone(no)).is_ok_and(Held::is_here);
            let sitting = ledger.pours.stones.iter().filter(|(no, stone)| !stone.taken_out && sits(**no));
            let sitting = sitting.map(|(no, stone)| (*no, &stone.mould, &stone.cell));
            let planned = held.order.sheet.stones.iter().filter(|stone| begun(stone.no).is_none());
            let planned = planned.map(|stone| (stone.no, &stone.mould, &stone.cell));
            if let Some((stone, mould, cell)) =
                sitting.chain(planned).find(|(_, of, cell)| *of == id && gone(cell))
            {
                let (mould, cell) = (mould.clone(), cell.clone());
                return Err(Refusal::CellInUse { mould, cell, by, stone });
            }
        }
        Ok(())
    }
}

/// The shares of a lot are no more than the lot without its keep-back. What was on the sheet before is left alone, so
/// that an order never gets stuck.
fn check_shares(sheet: &Sheet, old: &Sheet, ledger: &Ledger) -> Result<(), Refusal> {
    let wanted = |sheet: &Sheet| {
        let mut sums: BTreeMap<u8, u64> = BTreeMap::new();
        for share in sheet.client_stones().flat_map(|stone| &stone.shares) {
            *sums.entry(share.lot).or_default() += u64::from(share.part.millionths());
        }
        sums
    };
    let before = wanted(old);
    for (lot, sum) in wanted(sheet) {
        if before.get(&lot) == Some(&sum) {
            continue;
        }
        let here = ledger.custody.lots.get(&lot);
        if lot == 0 || (here.is_none() && ledger.custody.lots.keys().any(|no| *no > lot)) {
            return Err(Refusal::NoLot(lot));
        }
        let kept = here.map_or(Share::NONE, |lot| lot.keep_back);
        let most = Share::WHOLE.less(kept).unwrap_or(Share::NONE);
        if sum > u64::from(most.millionths()) {
            return Err(Refusal::SharesTooLarge { lot, most });
        }
    }
    Ok(())
}

/// What a person lays and presses counts, and not what was worked out about it: thickness, load and button.
fn same_layer(a: &PlannedLayer, b: &PlannedLayer) -> bool {
    (a.thickness, a.load, &a.button) == (b.thickness, b.load, &b.button)
}

/// A plan may change only where nothing is laid yet; where something is, it stays or becomes what was really laid.
fn check_laid(old: Option<&StoneSheet>, new: &StoneSheet, laid: &[Layer]) -> Result<(), Refusal> {
    let Some(old) = old.and_then(|stone| stone.plan.as_ref()) else { return Ok(()) };
    let new_layers = new.plan.as_ref().map_or(&[][..], |plan| &plan.layers);
    for (place, (layer, laid)) in old.layers.iter().zip(laid).enumerate() {
        let as_laid = |new: &&PlannedLayer| (new.thickness, new.load) == (laid.thickness, laid.load);
        let planned = new_layers.get(place);
        if !planned.is_some_and(|new| same_layer(new, layer)) && !planned.as_ref().is_some_and(as_laid) {
            let layer = u8::try_from(place + 1).unwrap_or(u8::MAX);
            return Err(Refusal::LaidOtherwise { stone: new.no, layer });
        }
    }
    Ok(())
}
