//! Practice stones: poured of the maker's own material to try a plan first, and never a client's stone.

use crate::fact::{Choice, ClientFact, CustodyFact, Fact, FitFact, Holder, HomeFact};
use crate::id::{Thing, is_practice};

use super::{Ledger, Stone, Unfit};

/// Refuses what would make a practice stone the client's: nothing entrusted goes into it, and it is neither shown, chosen,
/// set, packed, lost for the client nor passed on. What is told of is no exception.
pub(super) fn must_stay_the_makers(fact: &Fact) -> Result<(), Unfit> {
    match of_client(fact) {
        Some(no) => Err(Unfit::Practice(no)),
        None => Ok(()),
    }
}

fn of_client(fact: &Fact) -> Option<u8> {
    let stone = |thing: &Thing| thing.is_practice().then_some(thing.no);
    match fact {
        Fact::Client(ClientFact::ProofSent { stones, .. }) => {
            stones.iter().copied().find(|no| is_practice(*no))
        }
        Fact::Client(ClientFact::Chosen(Choice::Stone(no))) | Fact::Fit(FitFact::Set { stone: no, .. }) => {
            is_practice(*no).then_some(*no)
        }
        Fact::Custody(CustodyFact::Moved { from, to, .. }) => stone(from).or(match to {
            Holder::Thing(to) => stone(to),
            Holder::Tools => None,
        }),
        Fact::Client(ClientFact::Instructed { thing, .. })
        | Fact::Custody(CustodyFact::PassedOn { thing, .. } | CustodyFact::Lost { thing })
        | Fact::Home(
            HomeFact::Ticked { thing, .. }
            | HomeFact::LeftOut { thing, .. }
            | HomeFact::CameBack { thing, .. }
            | HomeFact::Fault { thing },
        ) => stone(thing),
        _ => None,
    }
}

impl Ledger {
    /// The stones that were begun for the client: all but the practice stones.
    pub fn client_stones(&self) -> impl Iterator<Item = (&u8, &Stone)> {
        self.pours.stones.iter().filter(|(no, _)| !is_practice(**no))
    }
}
