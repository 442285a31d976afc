//! Rules for sheets and settings.

use std::collections::BTreeSet;
use std::fmt::Debug;

use crate::id::{ShelfId, Thing};
use crate::ledger::{Layer, Ledger};
use crate::order::{Sheet, StoneSheet};
use crate::place::Place;
use crate::planner::PlannedLayer;
use crate::policies::Policies;
use crate::refusal::Refusal;
use crate::shelf::{Item, What};
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
    once(sheet.stones.iter().map(|stone| stone.no), |no| format!("stone {no}"))?;
    once(sheet.things.iter().map(|note| note.thing), |thing| format!("the note on {thing}"))?;
    once(sheet.photos.iter().map(|photo| (photo.original, photo.of)), |(photo, _)| {
        format!("photo {}", photo.short())
    })
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
        for stone in &sheet.stones {
            self.check_stone(stone)?;
        }
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
        if policies.name.is_empty() {
            return Err(Refusal::Policies("write the studio's name; it stands on every paper"));
        }
        if !(Share::of(1, 100)..=Share::of(9, 10)).contains(&policies.keep_back) {
            return Err(Refusal::Policies("a keep-back is between a hundredth and nine tenths of a lot"));
        }
        if !(Share::of(1, 1000)..=Share::of(1, 2)).contains(&policies.tell_limit) {
            return Err(Refusal::Policies("the limit for telling is between a thousandth and a half"));
        }
        let listed = u16::try_from(policies.places.len()).unwrap_or(u16::MAX);
        for (tag, held) in &self.orders {
            for thing in held.ledger.custody.things.values() {
                if let Place::Kept(no) = thing.place
                    && no > listed
                {
                    return Err(Refusal::PlaceInUse(no, *tag));
                }
            }
        }
        self.policies = policies;
        Ok(())
    }
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
