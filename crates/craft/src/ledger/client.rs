//! The client's side of the fold.

use std::collections::BTreeMap;

use crate::digest::Digest;
use crate::fact::{Choice, ClientFact, MessageKind, Wish};
use crate::id::Thing;

use super::{Happened, Ledger, Stamp, Unfit};

/// One proof sheet and its answer.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Round {
    /// The entry that sent it.
    pub entry: u32,
    /// When it was sent.
    pub sent: Happened,
    /// The stones on it.
    pub stones: Vec<u8>,
    /// The sheet's digest.
    pub sheet: Digest,
    /// The answer, with the entry that holds it.
    pub answer: Option<(u32, Choice)>,
}

/// What passed with the client.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct ClientSide {
    /// The enquiry was answered.
    pub answered: bool,
    /// The kit was posted, when.
    pub kit_posted: Option<Happened>,
    /// Messages that went out.
    pub messages: Vec<(MessageKind, Happened)>,
    /// Proof sheets and their answers.
    pub rounds: Vec<Round>,
    /// The order was called off.
    pub called_off: bool,
    /// The client wrote back.
    pub thanked: bool,
    /// The newest word of the client on what is to become of a thing, with its entry.
    pub wishes: BTreeMap<Thing, (u32, Wish)>,
}

impl ClientSide {
    /// The stone the client has chosen: the newest answer counts.
    pub fn chosen(&self) -> impl Iterator<Item = u8> {
        let newest = self.rounds.iter().rev().find_map(|round| round.answer);
        newest.into_iter().filter_map(|(_, choice)| match choice {
            Choice::Stone(no) => Some(no),
            Choice::NoneOfThese => None,
        })
    }

    /// The newest word of the client on what is to become of `thing`.
    pub fn wish(&self, thing: Thing) -> Option<Wish> {
        self.wishes.get(&thing).map(|(_, wish)| *wish)
    }

    /// The proof that waits for an answer.
    pub fn open_round(&self) -> Option<&Round> {
        self.rounds.last().filter(|round| round.answer.is_none())
    }
}

impl Ledger {
    pub(super) fn step_client(&mut self, fact: &ClientFact, stamp: Stamp) -> Result<(), Unfit> {
        match fact {
            ClientFact::Answered => self.client.answered = true,
            ClientFact::KitPosted => self.client.kit_posted = Some(stamp.happened()),
            ClientFact::MessageSent { about } => self.client.messages.push((*about, stamp.happened())),
            ClientFact::ProofSent { stones, sheet } => self.send_proof(stones, *sheet, stamp)?,
            ClientFact::Chosen(choice) => self.take_answer(*choice, stamp)?,
            ClientFact::CalledOff => {
                self.client.called_off = true;
            }
            ClientFact::Thanked => {
                if self.home.sent.is_none() && !stamp.told {
                    return Err(Unfit::NotSent);
                }
                self.client.thanked = true;
            }
            ClientFact::Instructed { thing, wish } => {
                self.custody.thing(*thing)?;
                self.client.wishes.insert(*thing, (stamp.number, *wish));
            }
        }
        Ok(())
    }

    fn send_proof(&mut self, stones: &[u8], sheet: Digest, stamp: Stamp) -> Result<(), Unfit> {
        self.must_go_on(stamp)?;
        if stones.is_empty() || !super::pour::all_different(stones) {
            return Err(Unfit::NoStone);
        }
        for &no in stones {
            let stone = self.pours.stone(no)?;
            if !stone.is_finished() && !stamp.told {
                return Err(Unfit::NotFinished(no));
            }
            self.must_be_usable(no, stamp)?;
        }
        let (entry, sent) = (stamp.number, stamp.happened());
        self.client.rounds.push(Round { entry, sent, stones: stones.to_vec(), sheet, answer: None });
        Ok(())
    }

    fn take_answer(&mut self, choice: Choice, stamp: Stamp) -> Result<(), Unfit> {
        self.must_go_on(stamp)?;
        let round = self.client.rounds.last_mut().ok_or(Unfit::NothingShown)?;
        if let Choice::Stone(no) = choice
            && !round.stones.contains(&no)
        {
            return Err(Unfit::NotShown(no));
        }
        if let Some((_, Choice::Stone(before))) = round.answer
            && choice != Choice::Stone(before)
            && self.fit.set.contains_key(&before)
        {
            return Err(Unfit::AlreadySet(before));
        }
        round.answer = Some((stamp.number, choice));
        match choice {
            Choice::Stone(no) if !self.fit.set.contains_key(&no) => self.must_be_usable(no, stamp),
            _ => Ok(()),
        }
    }

    /// A stone that can be shown and set: here, and not set aside. What was told of may have been so then.
    fn must_be_usable(&mut self, no: u8, stamp: Stamp) -> Result<(), Unfit> {
        if stamp.told {
            return Ok(());
        }
        self.custody.thing_here(Thing::stone(no))?;
        if self.pours.stone(no)?.set_aside { Err(Unfit::IsAside(no)) } else { Ok(()) }
    }

    /// Refuses new work on an order that was called off or has gone home. What is told of may be told out of turn.
    pub(super) fn must_go_on(&self, stamp: Stamp) -> Result<(), Unfit> {
        if self.client.called_off {
            Err(Unfit::CalledOff)
        } else if self.home.is_gone() && !stamp.told {
            Err(Unfit::AlreadySent)
        } else {
            Ok(())
        }
    }
}
