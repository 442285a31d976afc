//! What the maker's hands do again and again: take something in, pour, take out, tick.

use craft::fact::{
    Amount, Check, Choice, ClientFact, CustodyFact, Fact, Hardness, Holder, HomeFact, How, LayerKind,
    Material, MessageKind, PourFact, Press, Seal,
};
use craft::id::{ShelfId, Thing};
use craft::place::Place;
use craft::planner::PlannedLayer;
use craft::reading::{Means, Reading};
use craft::refusal::Refusal;
use craft::units::{Length, Load, Mass, Share, Span};

use super::pen::{Writing, read};
use super::pictures::Scene;

/// What came in one wrapping.
#[derive(Clone, Copy, Debug)]
pub(super) struct Came<'a> {
    pub(super) material: Material,
    pub(super) seal: Option<u32>,
    /// Which place of the studio's list.
    pub(super) place: u16,
    pub(super) looks: &'a str,
    pub(super) scene: Option<Scene>,
}

/// How thick the clear layer on the face is.
const TOP_COAT: Length = Length::from_micro(200_000);
/// How long it is lit, and how long the lamp takes to come up, where no lamp was planned with.
const TOP_COAT_LIT: (Span, Span) = (Span::from_micro(60_000_000), Span::ZERO);

fn seconds(span: Span) -> i64 {
    span.micro() / 1_000_000
}

impl Writing<'_> {
    /// The enquiry is answered and the kit posted, each on its day.
    pub(super) fn kit(&mut self, answered: u32, posted: u32) -> Result<(), Refusal> {
        self.on(answered, (9, 20)).fact(ClientFact::Answered)?;
        self.on(posted, (15, 40)).fact(ClientFact::KitPosted)?;
        self.wait(240);
        self.message(MessageKind::KitPosted).map(drop)
    }

    /// A message goes out.
    pub(super) fn message(&mut self, about: MessageKind) -> Result<u32, Refusal> {
        self.fact(ClientFact::MessageSent { about })
    }

    /// A lot comes in, is described and photographed.
    pub(super) fn receive(&mut self, lot: u8, came: &Came<'_>) -> Result<(), Refusal> {
        let wrapping = Thing::wrapping(lot);
        let photo = match came.scene {
            Some(scene) => Some(self.photo(scene, wrapping, "As it came.")?),
            None => None,
        };
        let keep_back = self.pen.studio.policies().keep_back;
        self.fact(CustodyFact::Received {
            lot,
            material: came.material,
            seal: came.seal.map(Seal),
            place: Place::Kept(came.place),
            photo,
            keep_back,
        })?;
        self.thing(wrapping, came.looks)
    }

    /// A tag read off what is in the hand.
    fn check(&self, how: How) -> Check {
        Check { how, tag: self.tag }
    }

    /// Opens a thing. Gives the place it goes back to.
    fn open(&mut self, thing: Thing) -> Result<Place, Refusal> {
        let ledger = &self.pen.studio.order(self.tag)?.ledger;
        let place = ledger.custody.things.get(&thing).map_or(Place::Bench, |held| held.place.clone());
        let check = self.check(How::Typed);
        self.fact(CustodyFact::Opened { thing, check })?;
        Ok(place)
    }

    /// Closes a thing and puts it back.
    fn close(&mut self, thing: Thing, place: Place) -> Result<(), Refusal> {
        self.fact(CustodyFact::Closed { thing, seal: None })?;
        self.fact(CustodyFact::Placed { thing, place }).map(drop)
    }

    /// The keep-back of a lot goes into its own sealed envelope.
    pub(super) fn keep_back(&mut self, lot: u8, envelope: u8, seal: u32) -> Result<(), Refusal> {
        let (from, into) = (Thing::wrapping(lot), Thing::envelope(envelope));
        let part = self.pen.studio.policies().keep_back;
        let back = self.open(from)?;
        self.wait(150);
        self.fact(CustodyFact::SplitOff {
            from,
            lot,
            into,
            part,
            keep_back: true,
            seal: Some(Seal(seal)),
            place: Place::Kept(3),
        })?;
        self.wait(60);
        self.close(from, back)
    }

    /// A thing is put on the scale.
    pub(super) fn weigh(&mut self, thing: Thing, milligrams: i64) -> Result<u32, Refusal> {
        let value = Mass::from_micro(milligrams * 1_000_000);
        let scale = self.pen.studio.policies().scale;
        let reading =
            scale.map_or(Reading { value, doubt: value, by: Means::ByEye }, |scale| scale.reads(value));
        self.fact(CustodyFact::Weighed { thing, reading })
    }

    /// A thing is judged by eye, within a third either way.
    pub(super) fn judge(&mut self, thing: Thing, milligrams: i64) -> Result<u32, Refusal> {
        let value = Mass::from_micro(milligrams * 1_000_000);
        let doubt = Mass::from_micro(milligrams * 333_333);
        self.fact(CustodyFact::Weighed { thing, reading: Reading { value, doubt, by: Means::ByEye } })
    }

    /// Takes a cavity for each stone, then puts its shares in: wrappings are opened one after the other.
    pub(super) fn begin(&mut self, stones: &[u8]) -> Result<(), Refusal> {
        let mut shares = Vec::new();
        for &stone in stones {
            let Some(wanted) = self.sheet_now()?.stone(stone).cloned() else {
                return Err(Refusal::NotOnSheet(stone));
            };
            shares.extend(wanted.shares.iter().map(|share| (share.lot, stone, share.part)));
            self.fact(PourFact::Begun { stone, mould: wanted.mould, cell: wanted.cell })?;
            self.wait(30);
        }
        shares.sort_unstable();
        let mut lots: Vec<u8> = shares.iter().map(|share| share.0).collect();
        lots.dedup();
        for lot in lots {
            let from = Thing::wrapping(lot);
            let back = self.open(from)?;
            for &(_, stone, part) in shares.iter().filter(|share| share.0 == lot) {
                self.wait(40);
                let to = Holder::Thing(Thing::stone(stone));
                self.fact(CustodyFact::Moved { from, lot, to, part })?;
            }
            self.wait(20);
            self.close(from, back)?;
        }
        Ok(())
    }

    /// A little of a lot stays on the tools.
    pub(super) fn left_on_tools(&mut self, lot: u8, part: Share) -> Result<(), Refusal> {
        let from = Thing::wrapping(lot);
        let back = self.open(from)?;
        self.fact(CustodyFact::Moved { from, lot, to: Holder::Tools, part })?;
        self.close(from, back)
    }

    /// The planned layer of a stone, from 1.
    fn planned(&self, stone: u8, layer: u8) -> Result<Option<(LayerKind, PlannedLayer)>, Refusal> {
        let Some(plan) = self.sheet_now()?.stone(stone).and_then(|stone| stone.plan.as_ref()) else {
            return Ok(None);
        };
        let planned = usize::from(layer).checked_sub(1).and_then(|place| plan.layers.get(place));
        Ok(planned.map(|planned| (plan.kind_of(layer, planned), planned.clone())))
    }

    /// The pigment of a stone, where a layer of it has any.
    pub(super) fn pigment_of(&self, stone: u8, load: Load) -> Result<Option<ShelfId>, Refusal> {
        let pigment = self.sheet_now()?.stone(stone).map(|stone| stone.pigment.clone());
        Ok(pigment.filter(|_| load.is_positive()))
    }

    /// Lays the planned layer of a stone; false where the plan has no such layer.
    pub(super) fn lay(&mut self, stone: u8, layer: u8) -> Result<bool, Refusal> {
        let Some((kind, planned)) = self.planned(stone, layer)? else { return Ok(false) };
        self.wait(seconds(planned.lay));
        self.fact(PourFact::Laid {
            stone,
            layer,
            kind,
            thickness: planned.thickness,
            load: planned.load,
            amount: Amount::ToTheMark,
            bottle: read("clear-casting")?,
            pigment: self.pigment_of(stone, planned.load)?,
        })?;
        Ok(true)
    }

    /// The lamp goes on over the same planned layer of some stones. Gives the entry and how long it is to be on.
    pub(super) fn lamp_on(&mut self, stones: &[u8], layer: u8) -> Result<(u32, Span), Refusal> {
        let first = stones.first().copied().unwrap_or(0);
        let none = || Refusal::NotOnSheet(first);
        let (_, planned) = self.planned(first, layer)?.ok_or_else(none)?;
        let sheet = self.sheet_now()?.stone(first).ok_or_else(none)?;
        let light = sheet.plan.as_ref().and_then(|plan| plan.lights.get(usize::from(planned.light)));
        let ramp = light.map_or(Span::ZERO, |light| light.button.ramp());
        let button = u8::try_from(planned.light + 1).unwrap_or(u8::MAX);
        let press = Press { lamp: sheet.lamp.clone(), button, seconds: planned.seconds, ramp };
        let on = self.fact(PourFact::LampOn { stones: stones.to_vec(), press })?;
        Ok((on, planned.seconds))
    }

    /// One planned layer of some stones of one kind, from laying to feeling it hard; false where there is no more.
    pub(super) fn layer(&mut self, stones: &[u8], layer: u8) -> Result<bool, Refusal> {
        for &stone in stones {
            if !self.lay(stone, layer)? {
                return Ok(false);
            }
        }
        let first = stones.first().copied().unwrap_or(0);
        let Some((_, planned)) = self.planned(first, layer)? else { return Ok(false) };
        self.wait(seconds(planned.settle));
        let (on, lit) = self.lamp_on(stones, layer)?;
        self.wait(seconds(lit));
        self.fact(PourFact::LampOff { on, lit })?;
        self.wait(seconds(planned.cool));
        self.fact(PourFact::Cooled { stones: stones.to_vec() })?;
        for &stone in stones {
            self.wait(15);
            self.fact(PourFact::Felt { stone, layer, hardness: Hardness::Hard })?;
        }
        Ok(true)
    }

    /// Pours stones of one kind from the first layer to the last, takes them out, and coats their faces.
    pub(super) fn pour(&mut self, stones: &[u8]) -> Result<(), Refusal> {
        let mut layer = 1;
        while self.layer(stones, layer)? {
            layer += 1;
        }
        for &stone in stones {
            self.wait(90);
            self.fact(PourFact::TakenOut { stone, place: Place::Kept(4) })?;
        }
        self.coat(stones, layer)
    }

    /// The thin clear layer on the face, under the first button of the lamp.
    fn coat(&mut self, stones: &[u8], layer: u8) -> Result<(), Refusal> {
        let mut press = None;
        for &stone in stones {
            let wanted = self.sheet_now()?.stone(stone).ok_or(Refusal::NotOnSheet(stone))?;
            let (kind, lamp) = (wanted.top, wanted.lamp.clone());
            let light = wanted.plan.as_ref().and_then(|plan| plan.lights.first());
            let (lit, ramp) = light.map_or(TOP_COAT_LIT, |light| (light.button.total(), light.button.ramp()));
            press = Some(Press { lamp, button: 1, seconds: lit, ramp });
            self.wait(120);
            self.fact(PourFact::Laid {
                stone,
                layer,
                kind,
                thickness: TOP_COAT,
                load: Load::ZERO,
                amount: Amount::Drops(1),
                bottle: read("thin-clear")?,
                pigment: None,
            })?;
        }
        let Some(press) = press else { return Ok(()) };
        let lit = press.seconds;
        self.wait(60);
        let on = self.fact(PourFact::LampOn { stones: stones.to_vec(), press })?;
        self.wait(seconds(lit));
        self.fact(PourFact::LampOff { on, lit })?;
        self.wait(60);
        self.fact(PourFact::Cooled { stones: stones.to_vec() })?;
        for &stone in stones {
            self.wait(15);
            self.fact(PourFact::Felt { stone, layer, hardness: Hardness::Hard })?;
        }
        Ok(())
    }

    /// A proof goes out with the message; the client answers some days later, or not yet.
    pub(super) fn show(&mut self, stones: &[u8]) -> Result<(), Refusal> {
        // The sheet itself is not in the demo; its digest stands for it.
        let sheet = craft::digest::Digest::of(format!("proof of {} {stones:?}", self.tag).as_bytes());
        self.fact(ClientFact::ProofSent { stones: stones.to_vec(), sheet })?;
        self.wait(120);
        self.message(MessageKind::Proof).map(drop)
    }

    /// The client chooses.
    pub(super) fn chosen(&mut self, stone: u8) -> Result<u32, Refusal> {
        self.fact(ClientFact::Chosen(Choice::Stone(stone)))
    }

    /// Ticks things into the box.
    pub(super) fn tick(&mut self, things: &[Thing]) -> Result<(), Refusal> {
        for &thing in things {
            self.wait(35);
            let check = self.check(How::Picked);
            self.fact(HomeFact::Ticked { thing, check })?;
        }
        Ok(())
    }

    /// Ticks whatever is left.
    pub(super) fn pack(&mut self) -> Result<(), Refusal> {
        let left = self.pen.studio.order(self.tag)?.ledger.to_pack();
        self.tick(&left)
    }

    /// The box goes off with its message.
    pub(super) fn send(&mut self) -> Result<(), Refusal> {
        if !self.pen.studio.order(self.tag)?.ledger.home.box_seen {
            self.fact(HomeFact::NotPhotographed)?;
        }
        self.fact(Fact::Home(HomeFact::Sent))?;
        self.wait(300);
        self.message(MessageKind::Posted).map(drop)
    }
}
