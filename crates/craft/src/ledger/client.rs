//! The client's side of the fold.

use crate::digest::Digest;
use crate::fact::{Choice, ClientFact, MessageKind};
use crate::moment::Moment;

use super::{Ledger, Stamp, Unfit};

/// One proof sheet and its answer.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Round {
    /// The entry that sent it.
    pub entry: u32,
    /// When it was sent.
    pub sent: Moment,
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
    pub kit_posted: Option<Moment>,
    /// Messages that went out.
    pub messages: Vec<(MessageKind, Moment)>,
    /// Proof sheets and their answers.
    pub rounds: Vec<Round>,
    /// The order was called off.
    pub called_off: bool,
    /// The client wrote back.
    pub thanked: bool,
}

impl ClientSide {
    /// The stones the client has chosen, in the order they were chosen.
    pub fn chosen(&self) -> impl Iterator<Item = u8> {
        self.rounds.iter().filter_map(|round| match round.answer {
            Some((_, Choice::Stone(no))) => Some(no),
            _ => None,
        })
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
            ClientFact::KitPosted => self.client.kit_posted = Some(stamp.at),
            ClientFact::MessageSent { about } => self.client.messages.push((*about, stamp.at)),
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
        }
        let (entry, sent) = (stamp.number, stamp.at);
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
        Ok(())
    }

    /// Refuses new work on an order that was called off or has gone home. What is told of may be told out of turn.
    pub(super) fn must_go_on(&self, stamp: Stamp) -> Result<(), Unfit> {
        if self.client.called_off {
            Err(Unfit::CalledOff)
        } else if self.home.sent.is_some() && !stamp.told {
            Err(Unfit::AlreadySent)
        } else {
            Ok(())
        }
    }
}
