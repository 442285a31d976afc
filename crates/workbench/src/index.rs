//! What would be worked out from all orders at each look, kept ready: the board, the orders that wait, the words to
//! find by. Only what an edit touched is done again, so that a frame costs the same with ten orders and ten thousand.

use std::collections::BTreeSet;

use chrono::NaiveDate;
use craft::fact::{Fact, PourFact};
use craft::foreseen::Heard;
use craft::id::DocId;
use craft::moment::Moment;
use craft::stage::Next;
use craft::studio::{Held, Studio};
use craft::tag::Tag;

use crate::present::alike::AlikeIndex;
use crate::present::board::{Board, BoardRow, board, row, row_heard};
use crate::present::find;
use crate::stones::Taken;
use crate::waits;

/// What follows from all orders, as it stands now.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Index {
    /// The local day the board was made for.
    day: NaiveDate,
    /// Every order as a row.
    pub(crate) board: Board,
    /// The orders in which something waits.
    pub(crate) waiting: BTreeSet<Tag>,
    /// The words of every order.
    pub(crate) words: find::Index,
    /// The cavities in which something lies.
    pub(crate) taken: Taken,
    /// The names of every order that is not over.
    pub(crate) alike: AlikeIndex,
}

impl Index {
    /// Everything, from the studio as it stands.
    pub(crate) fn new(studio: &Studio, now: Moment) -> Self {
        let waiting = studio.orders().values().filter(|held| waits::has_any(studio, held, now));
        Self {
            day: now.day(),
            board: board(studio, now),
            waiting: waiting.map(Held::tag).collect(),
            words: find::Index::new(studio),
            taken: Taken::new(studio),
            alike: AlikeIndex::new(studio),
        }
    }

    /// Takes in what follows from orders that were read later, which are in the studio by now.
    pub(crate) fn join(&mut self, studio: &Studio, part: Self, now: Moment) {
        self.waiting.extend(part.waiting);
        self.words.join(part.words);
        self.taken.join(part.taken);
        self.alike.join(part.alike);
        if part.day == self.day {
            self.board.put(part.board.rows);
        } else {
            self.board = board(studio, now);
            self.day = now.day();
        }
    }

    /// A new day says "tomorrow" of other orders: makes the board anew where the local day is another one. True where
    /// it is. Within a day only what waits is said otherwise as time goes by.
    pub(crate) fn turn(&mut self, studio: &Studio, now: Moment) -> bool {
        let turned = self.day != now.day();
        if turned {
            self.day = now.day();
            self.board = board(studio, now);
        } else {
            let waiting = self.waiting.iter().filter_map(|tag| studio.orders().get(tag));
            let rows = waiting.map(|held| row(studio, held, now));
            let stale = rows.filter(|row| self.board.row(row.tag) != Some(row)).collect();
            self.board.put(stale);
        }
        turned
    }

    /// Takes a change of one document in. True where what was learned of bottles, lamps and pigments may be another now, so
    /// that plans are to be asked for again ([`Index::ask_again`]).
    pub(crate) fn changed(&mut self, studio: &Studio, doc: &DocId, now: Moment) -> bool {
        let orders = studio.orders().values();
        let touched: Vec<&Held> = match doc {
            DocId::Policies => {
                *self = Self::new(studio, now);
                return true;
            }
            DocId::Invoices(_) => return false,
            DocId::Order(tag) => studio.orders().get(tag).into_iter().collect(),
            DocId::Client(id) => orders.filter(|held| held.client() == id).collect(),
            DocId::Shelf(id) => orders
                .filter(|held| {
                    let stones = held.stones();
                    stones.iter().any(|stone| stone.mould == *id || stone.pigment == *id)
                })
                .collect(),
        };
        for held in &touched {
            self.words.put(studio, held);
            self.taken.put(held);
            self.alike.put(studio, held);
            if waits::has_any(studio, held, now) {
                self.waiting.insert(held.tag());
            } else {
                self.waiting.remove(&held.tag());
            }
        }
        self.board.put(touched.iter().map(|held| row(studio, held, now)).collect());
        match doc {
            DocId::Shelf(_) => true,
            _ => touched.iter().any(|held| held.at_rest().is_none() && has_taught(held)),
        }
    }

    /// Whether a plan is still to be poured by rests on what every order and the shelf have taught since: asked again of the
    /// stones that are to be begun or poured next.
    pub(crate) fn ask_again(&mut self, studio: &Studio, now: Moment) {
        let by_plan = |row: &&BoardRow| matches!(row.next, Next::Begin { .. } | Next::Pour { .. });
        let tags = self.board.rows.iter().filter(by_plan).map(|row| row.tag);
        let asked = tags.filter_map(|tag| studio.orders().get(&tag));
        let mut heard = Heard::default();
        let rows = asked.map(|held| row_heard(studio, held, now, Some(&mut heard)));
        let stale = rows.filter(|row| self.board.row(row.tag) != Some(row)).collect();
        self.board.put(stale);
    }
}

/// True where the newest entry of an order may say something of how resin sets, or take such a word back.
fn has_taught(held: &Held) -> bool {
    let newest = held.order.log.entries().last();
    newest.is_some_and(|(_, entry)| {
        matches!(
            entry.fact,
            Fact::Pour(PourFact::Felt { .. } | PourFact::LampOff { .. } | PourFact::Cooled { .. })
                | Fact::Struck { .. }
        )
    })
}

#[cfg(test)]
mod tests;
