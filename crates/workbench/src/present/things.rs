//! The things of an order as rows: what each is called, what is known of it, and how it stands to the box.

use chrono::NaiveDate;
use craft::compare::by_eye;
use craft::fact::{Choice, CustodyFact, Holder, LeftOut};
use craft::id::{Thing, ThingKind};
use craft::ledger::{Held as Kept, Role};
use craft::order::About;
use craft::place::Place;
use craft::policies::keep_back_is_sound;
use craft::reading::{Means, Reading};
use craft::shelf::What;
use craft::studio::{Held, Studio};
use craft::units::{Mass, Share};

use super::paper_facts::outline_of;
use super::record::{newest_custody, reading_now, reading_of_whole};
use super::undo_words::stone_list;
use super::{choosing, words};
use crate::typed::{self, Amount, Typed};

/// How a thing stands to the box.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Standing {
    /// It has still to be ticked.
    Loose,
    /// It stands open, and must be closed first.
    Open,
    /// It is in the box.
    Boxed,
    /// It stays out, and why.
    LeftOut(LeftOut),
    /// It cannot be found.
    Lost,
    /// It has left with a parcel.
    Gone,
}

/// One thing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ThingRow {
    /// Which.
    pub thing: Thing,
    /// What is written on it: "E1".
    pub label: String,
    /// What it is: "Keep-back envelope".
    pub title: String,
    /// What is known of it: "a third of the hair, seal 13, never opened".
    pub second: String,
    /// How it stands to the box.
    pub standing: Standing,
}

/// Every thing that can go home, the finished piece first. What was set into a piece and an emptied envelope are left
/// out.
pub fn rows(studio: &Studio, held: &Held, today: NaiveDate) -> Vec<ThingRow> {
    let custody = &held.ledger.custody;
    let waiting = held.ledger.to_pack();
    let clients = custody.things.iter().filter(|(thing, _)| !thing.is_practice());
    let shown = clients.filter_map(|(thing, kept)| {
        let standing = standing(kept, waiting.contains(thing))?;
        let row = ThingRow {
            thing: *thing,
            label: words::label(*thing),
            title: title(studio, held, *thing, kept),
            second: second(studio, held, (*thing, kept), today),
            standing,
        };
        Some((rank(*thing, kept), row))
    });
    let mut shown: Vec<(u8, ThingRow)> = shown.collect();
    shown.sort_by_key(|(rank, row)| (*rank, row.thing));
    shown.into_iter().map(|(_, row)| row).collect()
}

fn standing(kept: &Kept, waits: bool) -> Option<Standing> {
    match (kept.lost, kept.part_of, kept.left_out, &kept.place) {
        (true, ..) => Some(Standing::Lost),
        (_, Some(_), ..) => None,
        (_, _, Some(why), _) => Some(Standing::LeftOut(why)),
        (.., Place::Box) => Some(Standing::Boxed),
        (.., Place::Post | Place::Home) => Some(Standing::Gone),
        _ if kept.open => Some(Standing::Open),
        _ if waits => Some(Standing::Loose),
        _ => None,
    }
}

const fn rank(thing: Thing, kept: &Kept) -> u8 {
    match (thing.kind, kept.role) {
        (ThingKind::Piece, _) => 0,
        (ThingKind::Stone, _) => 1,
        (ThingKind::Offcuts, _) => 2,
        (_, Role::KeepBack { .. }) => 3,
        (ThingKind::Envelope, _) => 4,
        (ThingKind::Wrapping, _) => 5,
        (ThingKind::Keepsake, _) => 6,
    }
}

fn title(studio: &Studio, held: &Held, thing: Thing, kept: &Kept) -> String {
    let described = held.order.sheet.description(thing).filter(|words| !words.is_empty());
    let several = held.ledger.custody.lots.len() > 1;
    let said = match (thing.kind, kept.role) {
        (_, Role::KeepBack { lot, .. }) if several => format!("keep-back of {}", words::lot(held, lot)),
        (_, Role::KeepBack { .. }) => "keep-back envelope".to_owned(),
        (ThingKind::Piece, _) => piece(studio, held, thing),
        (ThingKind::Stone, _) => stone(held, thing.no),
        (ThingKind::Offcuts, _) => words::offcuts(held, thing).to_owned(),
        (ThingKind::Wrapping, _) if several => format!("the wrapping of {}", words::lot(held, thing.no)),
        (ThingKind::Wrapping, _) => "the client\u{2019}s wrapping".to_owned(),
        _ => described.map_or_else(|| words::thing_plain(thing), ToString::to_string),
    };
    words::sentence_start(&said)
}

fn stone(held: &Held, no: u8) -> String {
    let chosen = held.ledger.client.chosen().any(|chosen| chosen == no);
    let answered = held.ledger.client.chosen().next().is_some();
    let aside = held.ledger.pours.stones.get(&no).is_some_and(|stone| stone.set_aside);
    match (chosen, aside, answered) {
        (true, ..) => format!("{name}, the chosen one", name = words::stone(no)),
        (_, true, _) => format!("{name}, set aside", name = words::stone(no)),
        (_, _, true) => format!("{name}, spare", name = words::stone(no)),
        _ => words::stone(no),
    }
}

fn set_in(held: &Held, piece: Thing) -> Vec<u8> {
    held.ledger.fit.set.iter().filter(|(_, of)| **of == piece).map(|(no, _)| *no).collect()
}

/// "ring with stone 1".
fn piece(studio: &Studio, held: &Held, thing: Thing) -> String {
    let item = held.order.sheet.setting.as_ref().and_then(|id| studio.shelf().get(id));
    let kind = match item.map(|item| &item.what) {
        Some(What::Setting(setting)) if !setting.kind.is_empty() => setting.kind.to_string(),
        _ => "finished piece".to_owned(),
    };
    match set_in(held, thing) {
        stones if stones.is_empty() => kind,
        stones => format!("{kind} with {}", stone_list(&stones)),
    }
}

fn second(studio: &Studio, held: &Held, (thing, kept): (Thing, &Kept), today: NaiveDate) -> String {
    let custody = &held.ledger.custody;
    let mut said: Vec<String> = Vec::new();
    match thing.kind {
        ThingKind::Piece => said.extend(chosen(held, &set_in(held, thing), today)),
        ThingKind::Stone => {
            said.extend(chosen(held, &[thing.no], today));
            let mould = held.order.sheet.stone(thing.no).map(|stone| &stone.mould);
            said.extend(mould.and_then(|mould| outline_of(studio, mould)).as_ref().map(words::outline));
        }
        ThingKind::Keepsake => said.push("came along, and goes back".to_owned()),
        ThingKind::Wrapping if custody.contents(thing).next().is_none() => {
            said.push("empty, and goes back".to_owned());
        }
        _ => {}
    }
    if !matches!(thing.kind, ThingKind::Stone | ThingKind::Piece) {
        said.extend(custody.contents(thing).map(|(lot, share)| held_share(held, lot, share)));
    }
    said.extend(kept.seal.map(|seal| format!("seal {seal}")));
    if matches!(kept.role, Role::KeepBack { .. }) && !was_opened(held, thing) {
        said.push("never opened".to_owned());
    }
    let described = held.order.sheet.description(thing).filter(|_| thing.kind == ThingKind::Wrapping);
    let described = described.map(ToString::to_string).filter(|words| !words.is_empty());
    described.into_iter().chain([said.join(", ")]).collect::<Vec<_>>().join("  \u{b7}  ")
}

fn held_share(held: &Held, lot: u8, share: Share) -> String {
    let lot = words::lot(held, lot);
    if share == Share::WHOLE { format!("all of {lot}") } else { format!("{} of {lot}", words::share(share)) }
}

fn was_opened(held: &Held, thing: Thing) -> bool {
    let opened = |fact: &CustodyFact| {
        matches!(fact, CustodyFact::Opened { thing: opened, .. } if *opened == thing).then_some(())
    };
    newest_custody(held, opened).is_some()
}

/// When one of these stones was chosen, and in which words.
fn chosen(held: &Held, stones: &[u8], today: NaiveDate) -> Option<String> {
    let answer = held.ledger.client.rounds.iter().rev().find_map(|round| round.answer);
    let (entry, _) =
        answer.filter(|(_, choice)| matches!(choice, Choice::Stone(no) if stones.contains(no)))?;
    let day = held.order.log.entry(entry).map(craft::log::Entry::day)?;
    let said = held.order.story.about(About::Entry(entry)).map(|text| choosing::said(text.as_str()).0);
    let said = said
        .filter(|said| !said.is_empty())
        .map(|said| format!(": \u{201c}{said}\u{201d}"))
        .unwrap_or_default();
    Some(format!("chosen {}{said}", words::date(day, today)))
}

/// An amount as a share of a material: a weight is held against what came.
///
/// # Errors
/// Nobody has said how much came, so that a weight is no share of it.
pub fn share_of(held: &Held, lot: u8, amount: &Amount) -> Result<Share, String> {
    let reading = match amount {
        Amount::Share(share) => return Ok(*share),
        Amount::Mass(reading) => reading,
    };
    let whole = reading_of_whole(held, lot).filter(|whole| whole.value > Mass::ZERO).ok_or_else(|| {
        format!(
            "nobody has said how much there was of {}; write a share of it, such as \"a quarter\"",
            words::lot(held, lot)
        )
    })?;
    let share = (reading.value.mg() / whole.value.mg() * 1e6).round();
    if share > 1e6 {
        return Err(format!("that is more than came: {}", words::reading_mass(&whole)));
    }
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "between nothing and a million"
    )]
    let millionths = share.max(0.0) as u32;
    Ok(Share::from_millionths(millionths))
}

/// An amount as a reading of what one thing holds: a share judged by eye is held against what came.
///
/// # Errors
/// The thing holds nothing, or nobody has said how much came.
pub fn reading_of(held: &Held, thing: Thing, amount: &Amount) -> Result<Reading<Mass>, String> {
    let share = match amount {
        Amount::Mass(reading) => return Ok(*reading),
        Amount::Share(share) => *share,
    };
    let lot = match thing.kind {
        ThingKind::Wrapping => Some(thing.no),
        _ => held.ledger.custody.contents(thing).next().map(|(lot, _)| lot),
    };
    let whole = lot.and_then(|lot| reading_of_whole(held, lot)).ok_or_else(|| {
        "a share needs a whole: write a weight, such as \"31 mg\", or by eye \"about 30 mg\"".to_owned()
    })?;
    let part = |share: Share| Mass::from_mg((whole.value.mg() * share.fraction()).max(0.0));
    Ok(Reading { value: part(share), doubt: part(by_eye(share)), by: Means::ByEye })
}

/// A share that is typed as the keep-back that is agreed.
///
/// # Errors
/// The text is no share, or one that cannot be agreed as a keep-back.
pub fn agreed_keep_back(text: &str) -> Result<Typed<Share>, String> {
    let typed = typed::share(text)?;
    if keep_back_is_sound(typed.value) {
        Ok(typed)
    } else {
        Err("a keep-back is between a hundredth and nine tenths of what came".to_owned())
    }
}

/// What a finished piece looks like from the front.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PieceForm {
    /// A ring.
    Ring,
    /// A pendant, or anything else that hangs.
    Pendant,
}

/// What the finished piece of an order looks like: as its setting is called, and where no setting is chosen, a ring once
/// a ring size is written down.
pub fn form_of(studio: &Studio, held: &Held) -> PieceForm {
    let item = held.order.sheet.setting.as_ref().and_then(|id| studio.shelf().get(id));
    let is_ring = match item.map(|item| &item.what) {
        Some(What::Setting(setting)) if !setting.kind.is_empty() => is_called_ring(setting.kind.as_str()),
        _ => !held.order.sheet.ring.is_empty(),
    };
    if is_ring { PieceForm::Ring } else { PieceForm::Pendant }
}

/// True where "ring" is a word of its own: an earring is none.
fn is_called_ring(kind: &str) -> bool {
    let mut words = kind.split(|letter: char| !letter.is_alphanumeric());
    words.any(|word| word.eq_ignore_ascii_case("ring") || word.eq_ignore_ascii_case("rings"))
        && !kind.split_whitespace().any(|word| word.eq_ignore_ascii_case("ear"))
}

/// What a scale or the eye said of a thing, where that still holds.
pub fn weighed(held: &Held, thing: Thing) -> Option<String> {
    reading_now(held, thing).map(|reading| words::reading_mass(&reading))
}

/// The lots that came and have no keep-back yet, with what was agreed.
pub fn keep_backs_due(held: &Held) -> Vec<(u8, Share)> {
    let custody = &held.ledger.custody;
    let due = custody.lots.iter().filter(|(no, lot)| {
        lot.keep_back > Share::NONE
            && !custody.has_keep_back(**no)
            && custody.share(Holder::Thing(Thing::wrapping(**no)), **no) > Share::NONE
            && custody.things.get(&Thing::wrapping(**no)).is_some_and(Kept::is_here)
    });
    due.map(|(no, lot)| (*no, lot.keep_back)).collect()
}

/// What keeps the box from being closed, as a clause after "Not yet:"; none where nothing does.
pub fn box_waits_for(held: &Held, rows: &[ThingRow]) -> Option<String> {
    let loose: Vec<String> = rows
        .iter()
        .filter(|row| matches!(row.standing, Standing::Loose | Standing::Open))
        .map(|row| words::thing_plain(row.thing))
        .collect();
    match loose.len() {
        0 if rows.iter().all(|row| row.standing != Standing::Boxed) => {
            Some("nothing of this order is in the box".to_owned())
        }
        0 if !held.ledger.home.box_seen => {
            Some("photograph the open box, or say that it was looked through by eye".to_owned())
        }
        0 => None,
        1 => Some(format!("{} is not in the box", loose.concat())),
        2 | 3 => Some(format!("{} are not in the box", words::list(&loose))),
        more => Some(format!("{more} things are not in the box")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::present::sample::{Bench, bench};
    use craft::fact::HomeFact;
    use craft::order::Words;
    use craft::stage::Stage;
    use craft::studio::{Edit, OrderEdit};

    fn rows_of(bench: &Bench) -> Vec<ThingRow> {
        rows(&bench.studio, bench.studio.order(bench.tag).unwrap(), bench.now().day())
    }

    #[test]
    fn the_piece_stands_first_and_a_spare_is_called_one() {
        let mut bench = bench(Stage::Set);
        let held = bench.studio.order(bench.tag).unwrap();
        let (entry, _) = held.ledger.client.rounds[0].answer.unwrap();
        let text = "the dark one, it is her (said by phone)".parse().unwrap();
        let edit = OrderEdit::Story(Words { about: About::Entry(entry), text });
        let now = bench.now();
        bench.studio.apply(Edit::Order(bench.tag, edit), now).unwrap();
        let rows = rows_of(&bench);
        assert_eq!(rows[0].thing, Thing::piece(1));
        assert!(rows[0].title.ends_with(" with stone 1"), "{rows:?}");
        assert!(rows[0].second.ends_with(": \u{201c}the dark one, it is her\u{201d}"), "{rows:?}");
        let spare = rows.iter().find(|row| row.thing == Thing::stone(2)).unwrap();
        assert_eq!(spare.title, "Stone 2, spare");
        let kept = rows.iter().find(|row| row.thing == Thing::envelope(1)).unwrap();
        assert_eq!(kept.title, "Keep-back envelope");
        assert_eq!(kept.second, "a third of the hair, seal 13, never opened");
        // The stone that was set is part of the piece, and no row of its own.
        assert!(rows.iter().all(|row| row.thing != Thing::stone(1)));
    }

    #[test]
    fn the_rows_are_those_that_packing_waits_for() {
        let bench = bench(Stage::Set);
        let held = bench.studio.order(bench.tag).unwrap();
        let mut shown: Vec<Thing> = rows_of(&bench)
            .iter()
            .filter(|row| matches!(row.standing, Standing::Loose | Standing::Open))
            .map(|row| row.thing)
            .collect();
        shown.sort();
        assert_eq!(shown, held.ledger.to_pack());
    }

    #[test]
    fn a_box_says_what_it_waits_for_until_it_may_be_closed() {
        let mut bench = bench(Stage::Set);
        let waits = |bench: &Bench| {
            box_waits_for(bench.studio.order(bench.tag).unwrap(), &rows_of(bench)).unwrap_or_default()
        };
        let things = bench.studio.order(bench.tag).unwrap().ledger.to_pack();
        assert_eq!(waits(&bench), format!("{} things are not in the box", things.len()));
        let check = bench.check();
        for thing in &things[1..] {
            bench.record(HomeFact::Ticked { thing: *thing, check });
        }
        assert_eq!(waits(&bench), format!("{} is not in the box", words::thing_plain(things[0])));
        bench.record(HomeFact::Ticked { thing: things[0], check });
        assert!(waits(&bench).starts_with("photograph the open box"));
        bench.record(HomeFact::NotPhotographed);
        assert_eq!(waits(&bench), "");
    }

    #[test]
    fn a_weight_is_a_share_of_what_came_and_a_share_is_a_weight() {
        let bench = bench(Stage::Here);
        let held = bench.studio.order(bench.tag).unwrap();
        // 482 mg came (the sample): 120.5 mg is a quarter of it.
        let mass = |mg| {
            let doubt = Mass::from_mg(1.0);
            Amount::Mass(Reading { value: Mass::from_mg(mg), doubt, by: Means::Scale })
        };
        assert_eq!(share_of(held, 1, &mass(120.5)), Ok(Share::of(1, 4)));
        assert_eq!(share_of(held, 1, &Amount::Share(Share::of(1, 3))), Ok(Share::of(1, 3)));
        assert!(share_of(held, 1, &mass(500.0)).unwrap_err().contains("more than came"));
        assert!(share_of(held, 2, &mass(10.0)).is_err());
        let read = reading_of(held, Thing::wrapping(1), &Amount::Share(Share::of(1, 4))).unwrap();
        assert_eq!((read.value, read.by), (Mass::from_mg(120.5), Means::ByEye));
        assert!(read.doubt > Mass::ZERO);
    }

    #[test]
    fn a_keep_back_is_agreed_only_where_the_door_takes_it() {
        for text in ["0 %", "nothing", "all", "95 %", "0.5 %", "a lot"] {
            assert!(agreed_keep_back(text).is_err(), "{text}");
        }
        assert!(agreed_keep_back("all").unwrap_err().contains("nine tenths"));
        for (text, share) in
            [("1 %", Share::of(1, 100)), ("a third", Share::of(1, 3)), ("90 %", Share::of(9, 10))]
        {
            assert_eq!(agreed_keep_back(text).map(|typed| typed.value), Ok(share), "{text}");
        }
    }

    #[test]
    fn a_piece_looks_as_its_setting_is_called() {
        for kind in ["ring", "Signet ring", "ring, open", "stacking rings"] {
            assert!(is_called_ring(kind), "{kind}");
        }
        for kind in ["earring", "ear ring", "earrings", "pendant", "key-ringlet", "drawstring"] {
            assert!(!is_called_ring(kind), "{kind}");
        }
        let ring = bench(Stage::Set);
        assert_eq!(form_of(&ring.studio, ring.studio.order(ring.tag).unwrap()), PieceForm::Ring);
        // Without a setting a ring size says it.
        let form = |size: &str| {
            let mut sheet = crate::present::sample::sheet();
            (sheet.setting, sheet.ring) = (None, crate::present::sample::line(size));
            let bench = Bench::open(sheet);
            form_of(&bench.studio, bench.studio.order(bench.tag).unwrap())
        };
        assert_eq!((form("UK N"), form("")), (PieceForm::Ring, PieceForm::Pendant));
    }

    #[test]
    fn a_keep_back_is_due_until_it_is_put_away() {
        let kept = bench(Stage::Here);
        assert!(keep_backs_due(kept.studio.order(kept.tag).unwrap()).is_empty());
        let mut fresh = Bench::open(crate::present::sample::sheet());
        fresh.receive(1, craft::fact::Material::Hair);
        assert_eq!(keep_backs_due(fresh.studio.order(fresh.tag).unwrap()), [(1, Share::of(1, 3))]);
    }
}
