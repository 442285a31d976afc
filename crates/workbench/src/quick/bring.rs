//! From what a row says to the edits that lead there, each tried on a copy of the studio.

use chrono::NaiveDate;
use craft::digest::Digest;
use craft::fact::{
    Amount, Check, Choice, ClientFact, CustodyFact, Fact, FitFact, Hardness, Holder, HomeFact, How,
    LayerKind, PourFact,
};
use craft::id::Thing;
use craft::moment::Moment;
use craft::order::{About, LotShare, Page, Remembered, Sheet, StoneSheet, Words};
use craft::place::{Cell, Place};
use craft::planner::Style;
use craft::refusal::Refusal;
use craft::stage::Stage;
use craft::studio::{Edit, OrderEdit, Studio};
use craft::tag::Tag;
use craft::text::Line;
use craft::units::{Length, Load, Share};

use super::read::{Arrived, Draft, Made};
use super::{Field, Wrong, whose_edits};
use crate::present::words;

/// The thinnest and thickest layer that a record takes.
const LAYER: (Length, Length) = (Length::from_micro(50_000), Length::from_micro(10_000_000));

/// One order being brought in, on a copy of the studio.
#[derive(Debug)]
struct Bringing {
    trial: Studio,
    edits: Vec<Edit>,
    tag: Tag,
    day: NaiveDate,
    now: Moment,
}

pub(super) fn bring(studio: &Studio, draft: Draft, now: Moment) -> Result<Vec<Edit>, Wrong> {
    let mut order =
        Bringing { trial: studio.clone(), edits: Vec::new(), tag: draft.tag, day: draft.since, now };
    match order.all(draft) {
        Ok(()) => Ok(order.edits),
        Err(why) => Err(vec![(field_of(&why), why.to_string())]),
    }
}

/// The field that a refusal is about.
const fn field_of(why: &Refusal) -> Field {
    match why {
        Refusal::TagTaken(_) => Field::Tag,
        Refusal::NoClient(_) | Refusal::NoClientName => Field::Client,
        Refusal::NoName => Field::Name,
        Refusal::NoPlace(_) => Field::Place,
        Refusal::SharesTooLarge { .. } => Field::InEach,
        _ => Field::Stage,
    }
}

impl Bringing {
    fn edit(&mut self, edit: Edit) -> Result<(), Refusal> {
        self.trial.apply(edit.clone(), self.now)?;
        self.edits.push(edit);
        Ok(())
    }

    fn tell(&mut self, fact: impl Into<Fact>) -> Result<(), Refusal> {
        self.edit(Edit::Order(self.tag, OrderEdit::Told(self.day, fact.into())))
    }

    fn say(&mut self, page: Page, text: &str) -> Result<(), Refusal> {
        // Our own words are short; if ever not, the order is brought in without them.
        let Ok(text) = text.parse() else { return Ok(()) };
        let words = Words { about: About::Page(page), text };
        self.edit(Edit::Order(self.tag, OrderEdit::Story(words)))
    }

    fn all(&mut self, draft: Draft) -> Result<(), Refusal> {
        let (client, edits) = whose_edits(&self.trial, draft.whose);
        for edit in edits {
            self.edit(edit)?;
        }
        let made = draft.here.as_ref().and_then(|here| here.made.as_ref());
        let sheet = Box::new(Sheet {
            remembered: Remembered { name: draft.name, ..Remembered::default() },
            due: draft.due,
            stones: made.map(stones).unwrap_or_default(),
            ..Sheet::default()
        });
        self.edit(Edit::Order(self.tag, OrderEdit::Open { client, sheet }))?;
        if draft.stage > Stage::Asked {
            let told = words::date_with_year(self.now.day());
            self.say(Page::Brief, &format!("Brought in on {told}, as far as it had come by then."))?;
            self.tell(ClientFact::Answered)?;
            self.tell(ClientFact::KitPosted)?;
        }
        match draft.here {
            Some(here) => self.since_arrival(&here, draft.stage),
            None => Ok(()),
        }
    }

    fn since_arrival(&mut self, here: &Arrived, stage: Stage) -> Result<(), Refusal> {
        self.tell(CustodyFact::Received {
            lot: 1,
            material: here.material,
            seal: None,
            place: here.place.clone(),
            photo: None,
            keep_back: here.keep_back,
        })?;
        let Some(made) = &here.made else { return self.open_packet(here, None) };
        for stone in stones(made) {
            self.tell(PourFact::Begun { stone: stone.no, mould: stone.mould, cell: stone.cell })?;
        }
        self.open_packet(here, Some(made))?;
        self.pour(made, &here.place)?;
        let all: Vec<u8> = (1..=made.count).collect();
        if stage >= Stage::Shown {
            // No sheet of ours was shown; the digest stands for whatever was.
            let sheet = Digest::of(b"a proof from before this record was kept");
            self.tell(ClientFact::ProofSent { stones: all, sheet })?;
        }
        let Some(stone) = made.chosen else { return Ok(()) };
        self.tell(ClientFact::Chosen(Choice::Stone(stone)))?;
        if stage >= Stage::Set {
            self.tell(FitFact::Set { stone, piece: Thing::piece(1), place: here.place.clone() })?;
        }
        if stage >= Stage::Packed {
            let check = self.check();
            for thing in self.trial.order(self.tag)?.ledger.to_pack() {
                self.tell(HomeFact::Ticked { thing, check })?;
            }
        }
        if stage >= Stage::GoneHome {
            self.tell(HomeFact::Sent)?;
        }
        Ok(())
    }

    const fn check(&self) -> Check {
        Check { how: How::Picked, tag: self.tag }
    }

    /// The packet is opened once, for the keep-back and for what went into the stones, and put back.
    fn open_packet(&mut self, here: &Arrived, made: Option<&Made>) -> Result<(), Refusal> {
        let from = Thing::wrapping(1);
        let split = here.put_away && here.keep_back > Share::NONE;
        let into = made.filter(|made| made.in_each > Share::NONE);
        if !split && into.is_none() {
            return Ok(());
        }
        let check = self.check();
        self.tell(CustodyFact::Opened { thing: from, check })?;
        if split {
            self.tell(CustodyFact::SplitOff {
                from,
                lot: 1,
                into: Thing::envelope(1),
                part: here.keep_back,
                keep_back: true,
                seal: None,
                place: here.place.clone(),
            })?;
        }
        if let Some(made) = into {
            for no in 1..=made.count {
                let to = Holder::Thing(Thing::stone(no));
                self.tell(CustodyFact::Moved { from, lot: 1, to, part: made.in_each })?;
            }
        }
        self.tell(CustodyFact::Closed { thing: from, seal: None })?;
        self.tell(CustodyFact::Placed { thing: from, place: here.place.clone() })
    }

    /// One hard layer stands for all of them; nobody knows the others any more.
    fn pour(&mut self, made: &Made, place: &Place) -> Result<(), Refusal> {
        for stone in 1..=made.count {
            self.tell(PourFact::Laid {
                stone,
                layer: 1,
                kind: LayerKind::Material,
                thickness: made.depth.clamp(LAYER.0, LAYER.1),
                load: Load::ZERO,
                amount: Amount::ToTheMark,
                bottle: made.resin.clone(),
                pigment: None,
            })?;
            self.tell(PourFact::Felt { stone, layer: 1, hardness: Hardness::Hard })?;
            self.tell(PourFact::TakenOut { stone, place: place.clone() })?;
        }
        let share = if made.in_each_guessed {
            " How much went into each was not known and is put down as a hundredth."
        } else {
            ""
        };
        let mould = words::item_name(&self.trial, &made.mould);
        let text = format!(
            "Made before this record was kept. One layer stands for all of them, and the mould is put down as {mould}; \
             resin, lamp and pigment were not asked for.{share}"
        );
        self.say(Page::Pour, &text)
    }
}

/// The stones as the sheet names them, cavity after cavity.
fn stones(made: &Made) -> Vec<StoneSheet> {
    let part = made.in_each;
    let cells = made.cells.iter().cycle();
    let stone = |(no, cell): (u8, &Cell)| StoneSheet {
        no,
        mould: made.mould.clone(),
        cell: cell.clone(),
        resin: made.resin.clone(),
        lamp: made.lamp.clone(),
        pigment: made.pigment.clone(),
        style: Style::Even,
        face: made.depth,
        shares: if part > Share::NONE { vec![LotShare { lot: 1, part }] } else { Vec::new() },
        top: LayerKind::TopGloss,
        plan: None,
        caption: Line::default(),
        wishes: craft::planner::Wishes::default(),
    };
    (1..=made.count).zip(cells).map(stone).collect()
}
