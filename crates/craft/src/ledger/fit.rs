//! How the stones sit in their settings.

use std::collections::BTreeMap;

use crate::fact::{Dimension, Feel, FitFact, FitWork};
use crate::id::{Thing, ThingKind};
use crate::place::Place;
use crate::reading::Reading;
use crate::units::Length;

use super::custody::{Held, must_be_put_down};
use super::{Ledger, Stamp, Unfit};

/// What is known of one stone's fit.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct StoneFit {
    /// The newest reading of each dimension.
    pub measured: BTreeMap<Dimension, Reading<Length>>,
    /// How it sat, each time it was tried.
    pub tried: Vec<Feel>,
    /// What was done to it.
    pub worked: Vec<FitWork>,
}

/// The fits of all stones.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct FitSide {
    /// By stone.
    pub stones: BTreeMap<u8, StoneFit>,
    /// Which stone is in which piece.
    pub set: BTreeMap<u8, Thing>,
}

impl Ledger {
    pub(super) fn step_fit(&mut self, fact: &FitFact, stamp: Stamp) -> Result<(), Unfit> {
        match fact {
            FitFact::Measured { stone, what, reading } => {
                self.must_be_loose(*stone)?;
                if !reading.value.is_positive() || reading.doubt < Length::ZERO {
                    return Err(Unfit::BelowNothing { what: "length" });
                }
                self.fit.stones.entry(*stone).or_default().measured.insert(*what, *reading);
            }
            FitFact::Tried { stone, feel } => {
                self.must_be_loose(*stone)?;
                self.fit.stones.entry(*stone).or_default().tried.push(*feel);
            }
            FitFact::Worked { stone, work } => {
                self.must_be_loose(*stone)?;
                self.fit.stones.entry(*stone).or_default().worked.push(*work);
            }
            FitFact::Set { stone, piece, place } => self.set(*stone, *piece, place, stamp)?,
        }
        Ok(())
    }

    fn set(&mut self, stone: u8, piece: Thing, place: &Place, stamp: Stamp) -> Result<(), Unfit> {
        self.must_go_on(stamp)?;
        self.must_be_loose(stone)?;
        if piece.kind != ThingKind::Piece {
            return Err(Unfit::WrongKind { thing: piece, wanted: "a piece" });
        }
        must_be_put_down(piece, place)?;
        if !self.client.chosen().any(|chosen| chosen == stone) && !stamp.told {
            return Err(Unfit::NotChosen(stone));
        }
        if !self.pours.stone(stone)?.taken_out && !stamp.told {
            return Err(Unfit::InMould(stone));
        }
        if self.custody.things.contains_key(&piece) {
            self.custody.thing_at_hand(piece)?;
        } else {
            self.custody.must_be_free(piece)?;
        }
        if let Some(on) = self.pours.stone(stone)?.under_lamp() {
            return Err(Unfit::UnderLamp { stone, on });
        }
        let held = self.custody.thing_at_hand(Thing::stone(stone))?;
        held.part_of = Some(piece);
        // Told of without having been taken out: it cannot be set and sit in its mould.
        if matches!(held.place, Place::Cavity { .. }) {
            held.place = place.clone();
        }
        if let Some(begun) = self.pours.stones.get_mut(&stone) {
            begun.taken_out = true;
        }
        // A piece may hold several stones; the first one set makes it.
        self.custody.things.entry(piece).or_insert_with(|| Held::new(place.clone(), stamp.number));
        self.fit.set.insert(stone, piece);
        Ok(())
    }

    fn must_be_loose(&mut self, stone: u8) -> Result<(), Unfit> {
        if self.fit.set.contains_key(&stone) {
            return Err(Unfit::AlreadySet(stone));
        }
        self.custody.thing_at_hand(Thing::stone(stone)).map(|_| ())
    }
}
