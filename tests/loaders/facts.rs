//! Facts as they are written for `heldfast record`, one a line, recorded through the door.

use std::sync::LazyLock;

use chrono::NaiveDate;
use craft::fact::{Fact, LayerKind};
use craft::id::ClientId;
use craft::order::{LotShare, Order, Remembered, Sheet, StoneSheet};
use craft::planner::Style;
use craft::studio::{ClientEdit, Doc, Edit, OrderEdit, Studio};
use craft::tag::Tag;
use craft::units::{Length, Share};
use store::format::{Decoded, decode, encode};
use store::name::DocKind;

use super::documents::{ask, moment, someone, studio_with_a_shelf};
use super::{Law, holds, says_something};

/// A studio with one order of two stones.
fn begun() -> Option<(Studio, Tag)> {
    static MADE: LazyLock<Option<(Studio, Tag)>> = LazyLock::new(|| {
        let mut studio = studio_with_a_shelf();
        let client: ClientId = "ingrid".parse().ok()?;
        let put = Edit::Client(client.clone(), ClientEdit::Put(Box::new(someone())));
        studio.apply(put, moment(0)).ok()?;
        let tag: Tag = "A2B-C3H".parse().ok()?;
        let remembered = Remembered { name: "Sørine".parse().ok()?, ..Remembered::default() };
        let stones = vec![stone(1, "A1")?, stone(2, "A2")?];
        let sheet = Box::new(Sheet { remembered, stones, ..Sheet::default() });
        studio.apply(Edit::Order(tag, OrderEdit::Open { client, sheet }), moment(0)).ok()?;
        Some((studio, tag))
    });
    MADE.clone()
}

fn stone(no: u8, cell: &str) -> Option<StoneSheet> {
    Some(StoneSheet {
        no,
        mould: "oval-10x8".parse().ok()?,
        cell: cell.parse().ok()?,
        resin: "clear-casting".parse().ok()?,
        lamp: "small-lamp".parse().ok()?,
        pigment: "slate".parse().ok()?,
        style: Style::Deepening,
        face: Length::from_mm(1.5),
        shares: vec![LotShare { lot: 1, part: Share::of(1, 20) }],
        top: LayerKind::TopGloss,
        plan: None,
        caption: "warm grey".parse().ok()?,
        wishes: craft::planner::Wishes::default(),
    })
}

/// Each line is a fact, with the day it is told of in front or without; a minute passes between two.
pub(super) fn facts(bytes: &[u8]) -> Law {
    let text = String::from_utf8_lossy(bytes);
    let (mut studio, tag) = begun().ok_or("the studio of the tests cannot be made")?;
    let mut recorded = false;
    for (line, minute) in text.lines().zip(1..) {
        let told = line.split_once(' ').and_then(|(day, rest)| Some((day.parse::<NaiveDate>().ok()?, rest)));
        let fact = match ron::from_str::<Fact>(told.map_or(line, |(_, rest)| rest)) {
            Ok(fact) => fact,
            Err(why) => {
                says_something(&why.to_string())?;
                continue;
            }
        };
        let sealed = fact.to_string();
        holds(!sealed.contains(['\n', '\r']), || format!("its line is not one: {sealed:?}"))?;
        let edit = match told {
            Some((day, _)) => OrderEdit::Told(day, fact),
            None => OrderEdit::Fact(fact),
        };
        let before = studio.order(tag).map_or(0, |held| held.order.log.len());
        let applied = studio.apply(Edit::Order(tag, edit), moment(minute));
        let after = studio.order(tag).map_or(0, |held| held.order.log.len());
        match applied {
            Ok(done) => {
                recorded = true;
                holds(done.entry == Some(after) && after == before + 1, || format!("{done:?}"))?;
            }
            Err(why) => {
                says_something(&why.to_string())?;
                holds(after == before, || format!("refused and recorded: {why}"))?;
            }
        }
    }
    // Where nothing was recorded there is nothing to go in again.
    if recorded { goes_in_again(&studio, tag) } else { Ok(()) }
}

/// What the door let happen is written, read, and let in again as the same.
pub(super) fn goes_in_again(studio: &Studio, tag: Tag) -> Law {
    let held = studio.order(tag).map_err(|why| format!("the order is gone: {why}"))?;
    let bytes = encode(DocKind::Order, &held.order)
        .map_err(|why| format!("it was recorded and cannot be written: {why}"))?;
    let back = match decode::<Order>(DocKind::Order, &bytes) {
        Decoded::Whole(back) if back == held.order => back,
        other => return Err(format!("{:?} reads back as {other:?}", held.order)),
    };
    let mut found = studio.clone();
    found
        .take(Doc::Order(Box::new(back)))
        .map_err(|why| format!("what was recorded is not let in again: {why}"))?;
    holds(found == *studio, || "it adds up to something else when it is read".to_owned())?;
    for finding in found.findings() {
        says_something(&finding.to_string())?;
    }
    ask(held, moment(0))
}
