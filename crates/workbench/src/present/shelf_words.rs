//! The shelf in words: its lists, what a mould holds, and which stone lies or is planned in each cavity of a tray.

use craft::cure::{Mix, PigmentClass, Provenance};
use craft::density::Density;
use craft::geometry::{Cavity, Dome};
use craft::id::{ShelfId, Thing};
use craft::order::Page;
use craft::place::Cell;
use craft::policies::Policies;
use craft::shelf::{Body, Bottle, Item, What};
use craft::studio::{Held, Studio};
use craft::tag::Tag;
use craft::units::{Length, Share};

use super::board::StoneMark;
use super::paper_facts::{colour_of, outline_of};
use super::{plan_words, words};
use crate::shelving::{Backing, Kind};

/// The density of hardened clear resin (common practice, no source).
pub(super) const RESIN: Density = Density::from_kg_per_m3(1_100);
/// How fine a length over the dome is worked out: below what a caliper shows.
const FINE: Length = Length::from_micro(1_000);

/// One item in the list of its kind.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Row<'a> {
    /// Its id.
    pub id: &'a ShelfId,
    /// The item.
    pub item: &'a Item,
    /// What it is, in a line.
    pub words: String,
}

/// The items of one kind, those in use or those out of use, by their names' order on the shelf.
pub fn rows(studio: &Studio, kind: Kind, retired: bool) -> Vec<Row<'_>> {
    let of_kind =
        studio.shelf().iter().filter(|(_, item)| Kind::of(&item.what) == kind && item.retired == retired);
    of_kind.map(|(id, item)| Row { id, item, words: in_a_line(item) }).collect()
}

/// An item in a line: "1 mm deeper with each 2.7 times the light, a guess", "oval, 10 × 8 mm, 9 cavities".
fn in_a_line(item: &Item) -> String {
    match &item.what {
        // Once something was seen, the depth that was typed is only where it began.
        What::Resin(bottle) if !bottle.observations.is_empty() => match of_bottle(bottle) {
            Provenance::Tested(day) if is_newest_dead(bottle) => {
                format!("tested on {}: nothing set", words::date_with_year(day))
            }
            Provenance::Tested(day) => format!("tested on {}", words::date_with_year(day)),
            other => source_short(other).to_owned(),
        },
        What::Resin(bottle) => format!(
            "{} deeper with each 2.7 times the light, {}",
            words::length(bottle.resin.penetration()),
            source_short(bottle.resin.provenance)
        ),
        What::Pigment(pigment) => {
            format!("{}, {}", class(pigment.mix.class), source_short(pigment.mix.provenance))
        }
        What::Lamp(lamp) => words::count(lamp.buttons.len(), "button", "buttons"),
        What::Mould(mould) => format!(
            "{}, {}",
            words::outline(&mould.cavity.outline()),
            words::count(mould.cells.len(), "cavity", "cavities")
        ),
        What::Setting(setting) => format!("opening {}", words::outline(&setting.opening)),
        What::Scale(scale) => super::custody::scale_short(scale),
    }
}

/// True for an item of a kind of which a value is still the guess it came with.
pub fn is_guess(item: &Item, kind: Kind) -> bool {
    let provenance = match &item.what {
        What::Resin(bottle) if kind == Kind::Resin => of_bottle(bottle),
        What::Pigment(pigment) if kind == Kind::Pigment => pigment.mix.provenance,
        _ => return false,
    };
    provenance == Provenance::Typical
}

/// What stands behind what is known of a bottle: its newest test, else what was seen of it, else its figures.
fn of_bottle(bottle: &Bottle) -> Provenance {
    let tests = bottle.observations.iter().filter(|seen| seen.is_wedge()).map(|seen| seen.on);
    match (tests.max(), bottle.resin.provenance) {
        (Some(day), _) => Provenance::Tested(day),
        (None, Provenance::Typical) if !bottle.observations.is_empty() => Provenance::Practised,
        (None, typed) => typed,
    }
}

/// Whether nothing set in the newest test.
fn is_newest_dead(bottle: &Bottle) -> bool {
    let tests = bottle.observations.iter().filter(|seen| seen.is_wedge());
    tests.max_by_key(|seen| seen.on).is_some_and(|newest| !newest.is_test())
}

/// What a class of pigment is called.
pub const fn class(class: PigmentClass) -> &'static str {
    match class {
        PigmentClass::Clear => "no pigment",
        PigmentClass::Dye => "see-through dye",
        PigmentClass::Pearl => "pearl, mica or glitter",
        PigmentClass::White => "white",
        PigmentClass::Colour => "opaque colour",
        PigmentClass::Dark => "opaque dark colour",
        PigmentClass::Black => "black",
    }
}

/// The load in per cent at which it is said what a pigment does.
pub(super) const SAID_AT_PERCENT: f64 = 0.5;

/// Under what a pigment takes of the light: "At 0.5 %, 1 mm takes 86 % of the light; 0 takes none, black takes about 8.".
pub fn takes_words(mix: &Mix) -> String {
    let taken = (1.0 - (-mix.absorption.get() * SAID_AT_PERCENT).exp()) * 100.0;
    let taken = match taken {
        none if none <= 0.0 => "none".to_owned(),
        little if little < 1.0 => "less than 1 %".to_owned(),
        much if much > 99.0 => "more than 99 %".to_owned(),
        part => format!("{part:.0} %"),
    };
    format!("At {SAID_AT_PERCENT} %, 1 mm takes {taken} of the light; 0 takes none, black takes about 8.")
}

/// Under what hides the metal: "Hides the metal at 0.5 %: 0.44 mm thick. The figure is per cent times mm.".
pub fn hides_words(mix: &Mix) -> String {
    let thick = Length::from_mm(mix.hiding.get() / SAID_AT_PERCENT);
    format!(
        "Hides the metal at {SAID_AT_PERCENT} %: {} thick. The figure is per cent times mm.",
        words::length(thick)
    )
}

/// What the body of a mould does with light.
pub const fn body(body: Body) -> &'static str {
    match body {
        Body::LetsLightIn => "lets light in",
        Body::Opaque => "dark",
    }
}

/// What a dome is called where it is chosen.
pub const fn dome_name(dome: Dome) -> &'static str {
    match dome {
        Dome::HalfEllipse => "half-ellipse",
        Dome::CircularArc => "circular",
        Dome::Parabola => "parabola",
        Dome::Flat => "flat",
        Dome::Measured(_) => "as measured",
    }
}

/// What stands behind a value, where it is chosen.
pub const fn backing(backing: Backing) -> &'static str {
    match backing {
        Backing::Guess => "cautious guess",
        Backing::Practice => "what works for me",
        Backing::Test => "my own test",
    }
}

/// Where a value came from, as a sentence of its own: "A cautious guess." or "Your test of 3 May 2026."
pub fn source(provenance: Provenance) -> String {
    let words = plan_words::provenance(provenance);
    match provenance {
        Provenance::Typical => format!("A {words}."),
        _ => format!("{}.", words::sentence_start(&words)),
    }
}

/// The same in a list: "a guess".
const fn source_short(provenance: Provenance) -> &'static str {
    match provenance {
        Provenance::Typical => "a guess",
        Provenance::Practised => "works for you",
        Provenance::Tested(_) => "tested",
    }
}

/// What a cavity holds: "Full, it holds 0.21 ml of resin; the stone weighs about 0.24 g and is 3.5 mm high."
pub fn holds(cavity: &Cavity) -> String {
    let ml = cavity.volume().mm3() / 1_000.0;
    let decimals = if ml < 0.1 { 3 } else { 2 };
    format!(
        "Full, it holds {ml:.decimals$} ml of resin; the stone weighs about {} and is {} high.",
        words::mass(cavity.mass(RESIN)),
        words::length(cavity.depth())
    )
}

/// How long a strand over the dome is: "A strand laid lengthwise over the dome is 11.4 mm long."
pub fn strand(cavity: &Cavity) -> String {
    let tenths = Length::from_micro((cavity.arc_along_length(FINE).micro() + 50_000) / 100_000 * 100_000);
    format!("A strand laid lengthwise over the dome is {} long.", words::length(tenths))
}

/// What the scale is good for: the least that is worth putting on it, at the studio's own limit.
pub fn scale_tells(house: &Policies) -> Option<String> {
    let limit = if house.tell_limit > Share::NONE { house.tell_limit } else { craft::compare::USUAL_LIMIT };
    let least = house.scale?.least_sensible(limit)?;
    Some(format!("It is worth weighing on this scale from {} up.", words::mass(least)))
}

/// One cavity of a tray and what is in it.
#[derive(Clone, Debug, PartialEq)]
pub struct TrayLine {
    /// Its mark.
    pub cell: Cell,
    /// What lies or is planned in it; what lies in it comes first.
    pub stones: Vec<TrayStone>,
}

/// A stone that lies or is planned in a cavity.
#[derive(Clone, Debug, PartialEq)]
pub struct TrayStone {
    /// Its order.
    pub tag: Tag,
    /// As it is drawn.
    pub mark: StoneMark,
    /// The page where it is worked on.
    pub page: Page,
    /// "A1: stone 2 of Ada lies in it".
    pub words: String,
}

/// Every cavity of a mould with what lies or is planned in it, over all orders; nothing where it is not a mould.
pub fn tray(studio: &Studio, id: &ShelfId) -> Vec<TrayLine> {
    let Some(Item { what: What::Mould(mould), .. }) = studio.shelf().get(id) else { return Vec::new() };
    let mut lines: Vec<TrayLine> =
        mould.cells.iter().map(|cell| TrayLine { cell: cell.clone(), stones: Vec::new() }).collect();
    let mut put = |cell: &Cell, stone: TrayStone| {
        if let Some(line) = lines.iter_mut().find(|line| line.cell == *cell) {
            line.stones.push(stone);
        }
    };
    for (_, held) in studio.awake() {
        for (no, stone) in &held.ledger.pours.stones {
            let sits =
                held.ledger.custody.things.get(&Thing::stone(*no)).is_some_and(craft::ledger::Held::is_here);
            if stone.mould == *id && !stone.taken_out && sits {
                put(&stone.cell, tray_stone(studio, held, (id, &stone.cell, *no), true));
            }
        }
    }
    for (_, held) in studio.awake() {
        let planned = held.order.sheet.stones.iter();
        let planned = planned.filter(|stone| !held.ledger.pours.stones.contains_key(&stone.no));
        for stone in planned.filter(|stone| stone.mould == *id) {
            put(&stone.cell, tray_stone(studio, held, (id, &stone.cell, stone.no), false));
        }
    }
    lines
}

fn tray_stone(
    studio: &Studio,
    held: &Held,
    (mould, cell, no): (&ShelfId, &Cell, u8),
    begun: bool,
) -> TrayStone {
    let sheet = held.order.sheet.stone(no);
    let mark = StoneMark {
        no,
        outline: outline_of(studio, mould),
        colour: sheet.and_then(|stone| colour_of(studio, &stone.pigment)),
        begun,
        chosen: held.ledger.client.chosen().any(|chosen| chosen == no),
    };
    let how = if begun { "lies in it" } else { "is planned" };
    TrayStone {
        tag: held.order.tag,
        mark,
        page: if begun { Page::Pour } else { Page::Plan },
        words: format!("{cell}: {name} of {} {how}", words::remembered(held), name = words::stone(no)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::present::sample::{bench, id};
    use craft::geometry::Outline;
    use craft::stage::Stage;

    #[test]
    fn a_bottle_whose_newest_test_set_nothing_says_so_in_its_line() {
        use craft::learning::{Observation, Seen, WedgePoint};
        use craft::reading::{Means, Reading};
        use craft::units::{Length, Span};
        let here = bench(Stage::Here);
        let stone = here.studio.order(here.tag).unwrap().order.sheet.stones[0].clone();
        let mut item = here.studio.shelf()[&stone.resin].clone();
        let mut tested = |day: u32, mm: f64| {
            let What::Resin(bottle) = &mut item.what else { panic!("no bottle") };
            let depth =
                Reading { value: Length::from_mm(mm), doubt: Length::from_mm(0.05), by: Means::Caliper };
            let points = [30.0, 60.0].map(|s| WedgePoint { light: Span::from_s(s), depth }).to_vec();
            bottle.observations.push(Observation {
                on: chrono::NaiveDate::from_ymd_opt(2026, 3, day).unwrap(),
                lamp: stone.lamp.clone(),
                button: 1,
                lamp_lit: None,
                body: Body::Opaque,
                pigment: None,
                seen: Seen::Wedge { points },
            });
            in_a_line(&item)
        };
        assert_eq!(tested(1, 1.2), "tested on 1 March 2026");
        assert_eq!(tested(2, 0.0), "tested on 2 March 2026: nothing set");
        assert_eq!(tested(3, 1.2), "tested on 3 March 2026");
    }

    #[test]
    fn a_tray_says_what_lies_in_each_cavity_and_what_is_planned() {
        let here = bench(Stage::Here);
        let stone = here.studio.order(here.tag).unwrap().order.sheet.stones[0].clone();
        let line = |studio: &Studio| {
            tray(studio, &stone.mould).into_iter().find(|line| line.cell == stone.cell).unwrap()
        };
        let planned = line(&here.studio);
        assert_eq!(planned.stones.len(), 1);
        assert!(planned.stones[0].words.ends_with(" is planned"), "{:?}", planned.stones);
        assert_eq!((planned.stones[0].page, planned.stones[0].mark.begun), (Page::Plan, false));
        let free = tray(&here.studio, &stone.mould).into_iter().filter(|line| line.stones.is_empty()).count();
        assert!(free > 0, "some cavities are free");
        assert_eq!(tray(&here.studio, &id("no-such-mould")), Vec::new());
    }

    #[test]
    fn a_stone_that_has_left_its_mould_is_not_in_the_tray() {
        let made = bench(Stage::GoneHome);
        let held = made.studio.order(made.tag).unwrap();
        assert!(held.ledger.pours.stones.values().any(|stone| stone.taken_out));
        let mould = held.order.sheet.stones[0].mould.clone();
        assert!(
            tray(&made.studio, &mould).iter().all(|line| line.stones.iter().all(|stone| !stone.mark.begun))
        );
    }

    #[test]
    fn what_a_cavity_holds_is_its_volume() {
        let mm = Length::from_mm;
        // Half an ellipsoid over an upright wall: ⅔·π·a·b·h + π·a·b·w = (⅔·2.5 + 1)·20π = 167.6 mm³ (elementary
        // geometry), which weighs 0.184 g at 1.1 g/cm³.
        let oval = Outline::Oval { length: mm(10.0), width: mm(8.0) };
        let cavity = Cavity::new(oval.clone(), Dome::HalfEllipse, mm(2.5), mm(1.0)).unwrap();
        let said = holds(&cavity);
        assert_eq!(
            said,
            "Full, it holds 0.17 ml of resin; the stone weighs about 0.184 g and is 3.5 mm high."
        );
        let flat = Cavity::new(oval, Dome::Flat, Length::ZERO, mm(1.0)).unwrap();
        assert_ne!(holds(&flat), said, "another shape holds another volume");
        assert_eq!(strand(&flat), "A strand laid lengthwise over the dome is 10 mm long.");
    }

    #[test]
    fn a_list_has_one_line_for_each_item_and_those_out_of_use_stand_apart() {
        let bench = bench(Stage::Here);
        for kind in Kind::ALL {
            let all = bench.studio.shelf().values().filter(|item| Kind::of(&item.what) == kind).count();
            let (used, retired) = (rows(&bench.studio, kind, false), rows(&bench.studio, kind, true));
            assert_eq!(used.len() + retired.len(), all, "{kind:?}");
            assert!(used.iter().all(|row| !row.words.is_empty() && !row.item.retired));
        }
    }

    #[test]
    fn whoever_has_a_glitter_finds_it_among_the_kinds_of_pigment() {
        assert!(PigmentClass::ALL.into_iter().any(|kind| class(kind).contains("glitter")));
        assert_eq!(
            class(PigmentClass::Pearl),
            plan_words::pigment(PigmentClass::Pearl),
            "and on the plan by one name"
        );
    }

    #[test]
    fn a_guess_owns_up_to_being_one() {
        let day = chrono::NaiveDate::from_ymd_opt(2026, 5, 3).unwrap();
        assert_eq!(source(Provenance::Typical), "A cautious guess.");
        assert_eq!(source(Provenance::Practised), "What works for you.");
        assert_eq!(source(Provenance::Tested(day)), "Your test of 3 May 2026.");
    }
}
