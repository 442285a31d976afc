//! A stone to begin with: what the next stone of an order is most likely to be, for the maker to change.

use craft::id::{Thing, is_practice};
use std::collections::{BTreeMap, BTreeSet};

use chrono::NaiveDate;
use craft::fact::LayerKind;
use craft::id::ShelfId;
use craft::order::StoneSheet;
use craft::place::{Cell, Place};
use craft::planner::{Plan, Style};
use craft::shelf::{Item, What};
use craft::studio::{Held, Studio};
use craft::tag::Tag;
use craft::units::{Length, Share};

/// The face of a first stone: as thick as a few strands need (common practice, no source).
const USUAL_FACE: Length = Length::from_micro(1_500_000);

/// The cavities in which something lies, of all moulds and over all orders, kept from one look to the next.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub(crate) struct Taken {
    /// Which orders have something in a cavity.
    cavities: BTreeMap<ShelfId, BTreeMap<Cell, BTreeSet<Tag>>>,
    /// Where each order has something.
    orders: BTreeMap<Tag, Vec<(ShelfId, Cell)>>,
}

impl Taken {
    /// The cavities in which something lies now.
    pub(crate) fn new(studio: &Studio) -> Self {
        let mut taken = Self::default();
        studio.orders().values().for_each(|held| taken.put(held));
        taken
    }

    /// Takes in where the things of an order lie, in place of what was known of it.
    pub(crate) fn put(&mut self, held: &Held) {
        let tag = held.tag();
        for (mould, cell) in self.orders.remove(&tag).unwrap_or_default() {
            if let Some(cells) = self.cavities.get_mut(&mould) {
                if let Some(tags) = cells.get_mut(&cell) {
                    tags.remove(&tag);
                }
                cells.retain(|_, tags| !tags.is_empty());
            }
        }
        self.cavities.retain(|_, cells| !cells.is_empty());
        // Nothing of an order at rest lies in a cavity.
        let lying = Some(held).filter(|held| held.at_rest().is_none()).into_iter().flat_map(lying);
        let lie: Vec<(ShelfId, Cell)> = lying.map(|(mould, cell)| (mould.clone(), cell.clone())).collect();
        for (mould, cell) in &lie {
            self.cavities.entry(mould.clone()).or_default().entry(cell.clone()).or_default().insert(tag);
        }
        if !lie.is_empty() {
            self.orders.insert(tag, lie);
        }
    }

    /// Takes in where the things of other orders lie.
    pub(crate) fn join(&mut self, others: Self) {
        for (mould, cells) in others.cavities {
            let own = self.cavities.entry(mould).or_default();
            for (cell, tags) in cells {
                own.entry(cell).or_default().extend(tags);
            }
        }
        self.orders.extend(others.orders);
    }

    /// As [`free_cells`], without looking through the orders.
    pub(crate) fn free_cells(&self, studio: &Studio, held: &Held, mould: &ShelfId) -> Vec<Cell> {
        let cells = self.cavities.get(mould);
        free(studio, held, mould, |cell| cells.is_some_and(|cells| cells.contains_key(cell)))
    }
}

/// The cavities in which things of an order lie.
fn lying(held: &Held) -> impl Iterator<Item = (&ShelfId, &Cell)> {
    held.ledger.custody.things.values().filter_map(|kept| match &kept.place {
        Place::Cavity { mould, cell } => Some((mould, cell)),
        _ => None,
    })
}

/// The cavities of a mould that nothing lies in and no stone of this order is meant for, in the order of its tray.
///
/// It looks through all orders; what is drawn again and again asks [`View::free_cells`](crate::view::View::free_cells).
pub fn free_cells(studio: &Studio, held: &Held, mould: &ShelfId) -> Vec<Cell> {
    let all = studio.awake().flat_map(|(_, held)| lying(held));
    let taken: BTreeSet<&Cell> = all.filter(|(of, _)| *of == mould).map(|(_, cell)| cell).collect();
    free(studio, held, mould, |cell| taken.contains(cell))
}

fn free(studio: &Studio, held: &Held, mould: &ShelfId, is_taken: impl Fn(&Cell) -> bool) -> Vec<Cell> {
    let Some(Item { what: What::Mould(shape), .. }) = studio.shelf().get(mould) else { return Vec::new() };
    let stones = held.order.sheet.stones.iter().filter(|stone| stone.mould == *mould);
    let meant: BTreeSet<&Cell> = stones.map(|stone| &stone.cell).collect();
    shape.cells.iter().filter(|cell| !meant.contains(cell) && !is_taken(cell)).cloned().collect()
}

/// The stones of an order that are not begun and keep no plan yet.
pub fn unplanned(held: &Held) -> impl Iterator<Item = &StoneSheet> {
    let begun = &held.ledger.pours.stones;
    held.order.sheet.stones.iter().filter(|stone| stone.plan.is_none() && !begun.contains_key(&stone.no))
}

/// A plan for each of them for which one can be made with what is known today, with the number of its stone.
pub fn plans_to_keep(studio: &Studio, held: &Held, today: NaiveDate) -> Vec<(u8, Plan)> {
    let tag = held.order.tag;
    unplanned(held).filter_map(|stone| Some((stone.no, studio.plan_for(tag, stone, today).ok()?))).collect()
}

/// The next stone of an order: like the one before it in the next free cavity, or the first of everything on the shelf.
///
/// # Errors
/// What is missing on the shelf, and what to do.
pub fn next(studio: &Studio, held: &Held) -> Result<StoneSheet, String> {
    let stones = &held.order.sheet.stones;
    let no = next_no(held, false)?;
    let first = match held.order.sheet.client_stones().last().or(stones.last()) {
        Some(last) => StoneSheet { no, plan: None, caption: craft::text::Line::default(), ..last.clone() },
        None => from_shelf(studio, held, no)?,
    };
    let cell = free_cells(studio, held, &first.mould).into_iter().next();
    Ok(StoneSheet { cell: cell.unwrap_or_else(|| first.cell.clone()), ..first })
}

/// The next free number of the client's stones, or of the practice stones.
pub(crate) fn next_no(held: &Held, practice: bool) -> Result<u8, String> {
    let sheet = held.order.sheet.stones.iter().map(|stone| stone.no);
    let taken =
        sheet.chain(held.ledger.pours.stones.keys().copied()).filter(|no| is_practice(*no) == practice);
    let no = match taken.max() {
        Some(last) => last.checked_add(1),
        None if practice => Some(Thing::practice(1).no),
        None => Some(1),
    };
    no.filter(|no| is_practice(*no) == practice)
        .ok_or_else(|| "an order has at most 200 stones and 55 practice stones".to_owned())
}

/// A practice stone like another stone, to try its plan with material of the maker's own: made in the same way, in the next
/// free cavity. What the other takes of a lot it only stands for.
///
/// # Errors
/// There are no more numbers.
pub fn practice(studio: &Studio, held: &Held, like: &StoneSheet) -> Result<StoneSheet, String> {
    let cell = free_cells(studio, held, &like.mould).into_iter().next();
    Ok(StoneSheet {
        no: next_no(held, true)?,
        cell: cell.unwrap_or_else(|| like.cell.clone()),
        caption: craft::text::Line::default(),
        ..like.clone()
    })
}

fn from_shelf(studio: &Studio, held: &Held, no: u8) -> Result<StoneSheet, String> {
    let find = |wanted: &str, is: fn(&What) -> bool| {
        let mut all = studio.shelf().iter().filter(|(_, item)| !item.retired && is(&item.what));
        all.next()
            .map(|(id, _)| id.clone())
            .ok_or_else(|| format!("there is no {wanted} on the shelf; add one there"))
    };
    let mould = find("mould", |what| matches!(what, What::Mould(_)))?;
    let cells = free_cells(studio, held, &mould);
    let cell = match cells.into_iter().next() {
        Some(cell) => cell,
        None => "A1".parse()?,
    };
    let shares = held.ledger.custody.lots.keys().take(1);
    Ok(StoneSheet {
        no,
        mould,
        cell,
        resin: find("resin", |what| matches!(what, What::Resin(_)))?,
        lamp: find("lamp", |what| matches!(what, What::Lamp(_)))?,
        pigment: find("pigment", |what| matches!(what, What::Pigment(pigment) if pigment.mix.class.hides()))?,
        style: Style::Deepening,
        face: USUAL_FACE,
        shares: shares.map(|lot| craft::order::LotShare { lot: *lot, part: Share::of(1, 20) }).collect(),
        top: LayerKind::TopGloss,
        plan: None,
        caption: craft::text::Line::default(),
        wishes: craft::planner::Wishes::default(),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::present::sample::bench;
    use craft::stage::Stage;

    #[test]
    fn the_next_stone_is_like_the_last_in_another_cavity() {
        let bench = bench(Stage::Here);
        let held = bench.studio.order(bench.tag).unwrap();
        let last = held.order.sheet.stones.last().unwrap().clone();
        let next = next(&bench.studio, held).unwrap();
        assert_eq!(next.no, last.no + 1);
        assert_eq!((&next.mould, &next.pigment, next.face), (&last.mould, &last.pigment, last.face));
        assert_eq!(next.plan, None);
        let free = free_cells(&bench.studio, held, &next.mould);
        assert!(free.is_empty() || free.contains(&next.cell));
        assert!(held.order.sheet.stones.iter().all(|stone| free.is_empty() || stone.cell != next.cell));
    }

    #[test]
    fn a_practice_stone_is_made_like_another_and_numbered_apart() {
        let bench = bench(Stage::Here);
        let mut held = bench.studio.order(bench.tag).unwrap().clone();
        let like = held.order.sheet.stones[0].clone();
        let first = practice(&bench.studio, &held, &like).unwrap();
        assert!(Thing::stone(first.no).is_practice());
        assert_eq!((&first.mould, &first.plan, &first.shares), (&like.mould, &like.plan, &like.shares));
        held.wake().unwrap().order.sheet.stones.push(first.clone());
        assert_eq!(practice(&bench.studio, &held, &like).unwrap().no, first.no + 1);
        let next = next(&bench.studio, &held).unwrap();
        assert!(!Thing::stone(next.no).is_practice(), "the client's stones go on from their own numbers");
        assert_eq!(usize::from(next.no), held.order.sheet.stones.len(), "{}", next.no);
    }

    #[test]
    fn a_first_stone_takes_what_is_on_the_shelf_and_can_be_planned() {
        let bench = bench(Stage::Here);
        let mut held = bench.studio.order(bench.tag).unwrap().clone();
        held.wake().unwrap().order.sheet.stones.clear();
        let first = next(&bench.studio, &held).unwrap();
        assert_eq!(first.no, 1);
        assert!(bench.studio.plan_for(bench.tag, &first, crate::present::sample::at(0).day()).is_ok());
    }
}
