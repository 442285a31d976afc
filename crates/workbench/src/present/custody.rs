//! What is said of the material in the studio's care: scales, what is worth weighing back, what lies where under which
//! tag, what is held between orders, and the bench between two clients.

use chrono::NaiveDate;
use craft::client::Client;
use craft::compare::{Outcome, WeighBack, compare_by_eye, weigh_back};
use craft::fact::{CustodyFact, Drying, Fact, Hardness, Holder, HomeFact, LeftOut, Material};
use craft::id::{ClientId, ShelfId, Thing, ThingKind};
use craft::ledger::{Judged, Role};
use craft::moment::Moment;
use craft::place::Place;
use craft::scale::{Coin, Known, ScaleProfile, Tare, Tried, Trust};
use craft::shelf::What;
use craft::studio::{Edit, Held, OrderEdit, Studio};
use craft::tag::Tag;
use craft::units::{Mass, Share, Span};

use super::record::reading_of_whole;
use super::words;

/// A thing as it is labelled: the order's tag, then its own label.
pub fn label(tag: Tag, thing: Thing) -> String {
    format!("{tag} {thing}")
}

/// How something was dried: "open in the room".
pub const fn drying(way: Drying) -> &'static str {
    match way {
        Drying::InAir => "open in the room",
        Drying::WithDesiccant => "closed up with a drying agent",
        Drying::Pressed => "pressed between paper",
        Drying::LowHeat => "with gentle heat",
    }
}

/// A long time: "2 days", "90 minutes".
pub fn long(span: Span) -> String {
    let minutes = (span.s() / 60.0).round();
    match minutes {
        whole if whole >= 2_880.0 => format!("{:.0} days", (whole / 1_440.0).round()),
        whole if whole > 120.0 => format!("{:.0} hours", (whole / 60.0).round()),
        whole if whole >= 2.0 => format!("{whole:.0} minutes"),
        _ => words::span(span),
    }
}

/// A coin: "a 1 euro coin".
pub const fn coin(coin: Coin) -> &'static str {
    match coin {
        Coin::FiveEuroCent => "a 5 cent coin",
        Coin::TenEuroCent => "a 10 cent coin",
        Coin::OneEuro => "a 1 euro coin",
        Coin::TwoEuro => "a 2 euro coin",
        Coin::OnePenny => "a penny",
        Coin::TwoPence => "a 2 pence coin",
        Coin::OnePound => "a pound coin",
        Coin::Dime => "a dime",
        Coin::Nickel => "a nickel",
        Coin::Quarter => "a quarter",
    }
}

/// What a scale was tried with: "a 1 euro coin (7.5 g)".
pub fn known(with: Known) -> String {
    let mass = words::mass(with.mass());
    match with {
        Known::Coin(of) => format!("{} ({mass})", coin(of)),
        Known::Weight { .. } => format!("a weight of {mass}"),
    }
}

/// What a try of a scale says: "a 1 euro coin (7.5 g) showed 7.51 g: it is right".
pub fn try_words(scale: &ScaleProfile, tried: &Tried) -> String {
    format!("{} showed {}: {}", known(tried.with), words::mass(tried.shown), try_says(scale, tried))
}

/// The same without what was put on it: "it is right".
pub fn try_says(scale: &ScaleProfile, tried: &Tried) -> &'static str {
    match (scale.judge(tried), tried.with) {
        (Outcome::Agrees, _) => "it is right",
        (Outcome::Differs { .. }, Known::Coin(_)) => {
            "that is out by more than its digits and the coin can be, so set it right"
        }
        (Outcome::Differs { .. }, Known::Weight { .. }) => {
            "that is out by more than its digits and the weight can be, so set it right"
        }
        (Outcome::CannotTell, _) => "that tells little: try something heavier",
    }
}

/// A scale in a list: "reads to 1 mg, it is right".
pub fn scale_short(scale: &ScaleProfile) -> String {
    let tried = match scale.newest_try() {
        None => "never tried",
        Some((_, Outcome::Agrees)) => "right when tried",
        Some((_, Outcome::Differs { .. })) => "out when tried",
        Some((_, Outcome::CannotTell)) => "tried with too little",
    };
    format!("reads to {}, {tried}", words::mass(scale.scale.readability))
}

/// The least that a scale can tell apart from nothing: "One reading of it is out by 2.2 mg at most, as a rule."
pub fn least_words(scale: &ScaleProfile) -> String {
    // What is shown after ± is twice the doubt, as everywhere.
    let twice = Mass::from_mg(2.0 * scale.least_doubt().mg());
    format!("What it reads is out by no more than {}, as a rule.", words::mass(twice))
}

/// A scale in a line: "reads to 1 mg, tried with a 1 euro coin (7.5 g): it is right".
pub fn scale_words(scale: &ScaleProfile) -> String {
    let reads = format!("reads to {}", words::mass(scale.scale.readability));
    let tried = match scale.newest_try() {
        None => "never tried: put a coin on it".to_owned(),
        Some((tried, outcome)) => {
            let shown = words::mass(tried.shown);
            let says = match outcome {
                Outcome::Agrees => "it is right".to_owned(),
                Outcome::Differs { .. } => format!("it shows {shown}, so set it right"),
                Outcome::CannotTell => format!("it shows {shown}, which tells little: try something heavier"),
            };
            format!("tried with {}: {says}", known(tried.with))
        }
    };
    format!("{reads}, {tried}")
}

/// How the packet is kept out of a reading.
pub fn tare_words(tare: Tare) -> String {
    match tare {
        Tare::Button => "set to nothing with the empty packet on it".to_owned(),
        Tare::Packet { shown } => {
            format!("the empty packet weighs {}, taken off for this same packet", words::mass(shown))
        }
    }
}

/// Whether a thing is worth weighing again on a scale.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Worth {
    /// A loss would show.
    Yes,
    /// It would, once the scale was tried with something of a known weight.
    TryFirst,
    /// The scale would show nothing, or does not carry it.
    No,
}

/// A thing that would be worth weighing again, or why it would not.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WeighRow {
    /// The thing.
    pub thing: Thing,
    /// Who: "envelope 1, the keep-back".
    pub who: String,
    /// It is worth doing.
    pub worth: Worth,
    /// What is expected and what would stand out: "161 mg by the book; a loss of 2.3 mg would show".
    pub words: String,
}

/// What weighing the things of a lot again on a scale of the shelf could show. Nothing where the lot was never weighed
/// whole, or the scale is not one.
pub fn weigh_rows(studio: &Studio, held: &Held, lot: u8, scale: &ShelfId) -> Vec<WeighRow> {
    let Some(whole) = reading_of_whole(held, lot) else { return Vec::new() };
    let Some(What::Scale(profile)) = studio.shelf().get(scale).map(|item| &item.what) else {
        return Vec::new();
    };
    let custody = &held.ledger.custody;
    let limit = studio.policies().tell_limit;
    let alone = |thing: Thing| custody.contents(thing).all(|(of, _)| of == lot);
    let rows = custody.holders(lot).filter_map(|(holder, share)| {
        let Holder::Thing(thing) = holder else { return None };
        let here = custody.things.get(&thing).is_some_and(craft::ledger::Held::is_here);
        if thing.kind == ThingKind::Stone || !here || !alone(thing) {
            return None;
        }
        let found = weigh_back(whole, share, profile.least_doubt(), limit);
        let (worth, words) = worth_of(profile, found);
        Some(WeighRow { thing, who: words::thing(held, thing), worth, words })
    });
    rows.collect()
}

/// What a scale could tell of one thing, and the same in words.
fn worth_of(scale: &ScaleProfile, found: WeighBack) -> (Worth, String) {
    let (expected, least) = (words::mass(found.expected), words::mass(found.least_loss));
    let (worth, tells) = match scale.trust() {
        _ if !scale.carries(found.expected) => {
            (Worth::No, "that is more than this scale carries, so the count stands".to_owned())
        }
        _ if !found.can_tell => {
            (Worth::No, format!("this scale would not show a loss below {least}, so the count stands"))
        }
        Trust::Untried => (
            Worth::TryFirst,
            "this scale was never tried, so try it with a coin or a known weight first, on its page of the shelf"
                .to_owned(),
        ),
        Trust::Out => (
            Worth::TryFirst,
            "this scale was out when it was tried, so set it right and try it with a coin or a known weight first"
                .to_owned(),
        ),
        Trust::Believed => (Worth::Yes, format!("a loss of {least} would show")),
    };
    (worth, format!("{expected} by the book; {tells}"))
}

/// What the eye said of a lot against the book: "envelope 2 looked like a quarter, and the book says a quarter".
pub fn judged_words(studio: &Studio, held: &Held, judged: &Judged) -> String {
    let book = held.ledger.custody.share(Holder::Thing(judged.thing), judged.lot);
    let (thing, looked) = (words::thing_plain(judged.thing), words::share(judged.part));
    let book_words = if book == Share::NONE { "nothing".to_owned() } else { words::share(book) };
    let said = match compare_by_eye(book, judged.part, studio.policies().tell_limit) {
        Outcome::Agrees => "which agrees",
        Outcome::CannotTell => "which the eye can't tell apart",
        Outcome::Differs { .. } => "which differs: look again",
    };
    format!("{thing} looked like {looked}, and the book says {book_words}, {said}")
}

/// What was judged by eye and still holds: of each thing and lot the newest look, where nothing was taken out of the
/// thing or put into it since.
pub fn judged_now(held: &Held) -> impl Iterator<Item = &Judged> {
    let all = &held.ledger.custody.judged;
    all.iter().enumerate().filter_map(move |(at, judged)| {
        let same = |later: &Judged| (later.thing, later.lot) == (judged.thing, judged.lot);
        let newest = !all.iter().skip(at + 1).any(same);
        (newest && super::record::still_holds(held, judged.thing, judged.entry)).then_some(judged)
    })
}

/// What carries a tag on the bench.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Carrier {
    /// The sheet under an open packet, on which material lies loose or wet.
    Sheet,
    /// A cavity of a tray with a stone in it.
    Cavity,
    /// A packet, envelope or bag.
    Packet,
}

/// One label that has to be there.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CarrierRow {
    /// What carries it.
    pub carrier: Carrier,
    /// The thing that lies on it, in it, or is it.
    pub thing: Thing,
    /// What is to be written on it: "A2B-C3H E1".
    pub label: String,
    /// What it is: "envelope 1, the keep-back, drawer 3".
    pub words: String,
}

/// Every sheet, cavity and packet of an order that is here, with the tag it has to carry.
pub fn carriers(studio: &Studio, held: &Held) -> Vec<CarrierRow> {
    let tag = held.order.tag;
    let here = held.ledger.custody.things.iter().filter(|(_, kept)| kept.is_here());
    let mut rows = Vec::new();
    for (&thing, kept) in here {
        let name = words::thing(held, thing);
        if kept.open {
            let words = format!("the sheet under {name}");
            rows.push(CarrierRow { carrier: Carrier::Sheet, thing, label: label(tag, thing), words });
        }
        match (&kept.place, thing.kind) {
            (Place::Cavity { mould, cell }, _) => {
                let words = format!("{name}, in {}", words::cavity(studio, mould, cell));
                rows.push(CarrierRow { carrier: Carrier::Cavity, thing, label: label(tag, thing), words });
            }
            (_, ThingKind::Wrapping | ThingKind::Envelope | ThingKind::Offcuts) => {
                let words = format!("{name}, {}", words::place(studio, &kept.place));
                rows.push(CarrierRow { carrier: Carrier::Packet, thing, label: label(tag, thing), words });
            }
            _ => {}
        }
    }
    rows.sort_by(|a, b| (a.carrier, &a.label).cmp(&(b.carrier, &b.label)));
    rows
}

/// The bench before a packet of an order is opened.
#[derive(Clone, Debug, PartialEq)]
pub struct BenchRow {
    /// What has to be done first: "Clear the bench of Bramble's material (A2B-C3H): …".
    pub words: String,
    /// What ticking it writes down, in the record of the order the bench was used for.
    pub tick: Edit,
}

/// What has to be cleared off the bench before a packet of `wanted` is opened; none where the bench is clear, or was
/// last used for the same client.
pub fn bench_row(studio: &Studio, wanted: Tag, now: Moment) -> Option<BenchRow> {
    let by = studio.bench_to_clear(wanted, now).ok()??;
    let (before, next) = (studio.orders().get(&by)?, studio.orders().get(&wanted)?);
    let words = format!(
        "Clear the bench of {}'s material ({by}): tools wiped, sheet taken away, nothing loose left. Then {}'s is opened.",
        words::remembered(before),
        words::remembered(next)
    );
    let tick = Edit::Order(by, OrderEdit::Fact(CustodyFact::BenchCleared.into()));
    Some(BenchRow { words, tick })
}

/// Something that is held for a client between two orders.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct HeldRow {
    /// The order whose it is.
    pub tag: Tag,
    /// The thing.
    pub thing: Thing,
    /// What it holds.
    pub material: Option<Material>,
    /// The label on it.
    pub label: String,
    /// What it is, where and since when: "envelope 1, the keep-back, drawer 3, held since 25 November".
    pub words: String,
    /// It can go over to another order of the client as it is; a keep-back needs the client's yes first.
    pub ready: bool,
    /// The order it went over to already, as far as its own order says, where it is still to be taken in.
    pub to: Option<Tag>,
}

/// Everything that is held for a client between orders: what the client asked to be held, and is here; and what one order
/// passed on and the other has not taken over, which is in neither until it does.
pub fn held_for(studio: &Studio, client: &ClientId, today: NaiveDate) -> Vec<HeldRow> {
    let mut rows = Vec::new();
    for (tag, held) in studio.awake().filter(|(_, held)| held.client() == client) {
        for (&thing, kept) in &held.ledger.custody.things {
            let to = kept.passed_to.filter(|to| is_still_to_take(studio, *to, (tag, thing)));
            if to.is_none() && (kept.left_out != Some(LeftOut::HeldForClient) || !kept.is_here()) {
                continue;
            }
            let lot = held.ledger.custody.contents(thing).next().map(|(lot, _)| lot);
            let material = lot.and_then(|lot| held.ledger.custody.lots.get(&lot)).map(|lot| lot.material);
            let left_here = Fact::from(HomeFact::LeftOut { thing, why: LeftOut::HeldForClient });
            let since = super::record::newest_day(held, |fact| *fact == left_here);
            let since =
                since.map(|day| format!(", held since {}", words::date(day, today))).unwrap_or_default();
            let place = words::place(studio, &kept.place);
            let ready = !kept.open && !matches!(kept.role, Role::KeepBack { released: false, .. });
            let what = words::thing(held, thing);
            let words = match to {
                Some(to) => format!("{what}, {place}, went over to {to} and is still to be taken over there"),
                None => format!("{what}, {place}{since}"),
            };
            rows.push(HeldRow { tag, thing, material, label: label(tag, thing), words, ready, to });
        }
    }
    rows
}

/// True where an order can be read and has not taken over what another passed on to it.
fn is_still_to_take(studio: &Studio, to: Tag, given: (Tag, Thing)) -> bool {
    let mut taken = studio.orders().get(&to).into_iter().flat_map(|held| held.ledger.custody.lots.values());
    studio.orders().contains_key(&to) && !taken.any(|lot| lot.before == Some(given))
}

/// A heading over [`held_for`]: "Held for Ida Lund".
pub fn held_heading(client: &Client) -> String {
    format!("Held for {}", client.name)
}

/// How the offcuts of a bag stand: "hard", "tacky: light them again", "not lit by themselves".
pub fn offcuts_words(held: &Held, bag: Thing) -> &'static str {
    match held.ledger.pours.offcuts_felt(bag) {
        Some(Hardness::Hard) => "hard",
        Some(Hardness::Tacky) => "tacky: light them again",
        Some(Hardness::Soft) => "soft: light them again",
        None if held.ledger.pours.is_added_to(bag) => {
            "hard, but more went in since: light them again before they go home"
        }
        None => "not lit by themselves: light drips and wet bits before they go home",
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::present::drying::moisture_note;
    use crate::present::sample::{Bench, at, bench, day, id, line, sheet};
    use craft::compare::Scale;
    use craft::reading::{Means, Reading};
    use craft::shelf::Item;
    use craft::stage::Stage;
    use craft::studio::{ClientEdit, ShelfEdit};

    fn held(bench: &Bench) -> &Held {
        bench.studio.order(bench.tag).unwrap()
    }

    fn profile(digit: f64, shown: Option<f64>) -> ScaleProfile {
        let scale = Scale { readability: Mass::from_mg(digit), repeatability: Mass::from_mg(digit) };
        let with = Known::Coin(Coin::OneEuro);
        let tried = shown.map(|shown| Tried { on: day(2026, 11, 20), with, shown: Mass::from_mg(shown) });
        ScaleProfile { scale, most: None, tare: Tare::Button, tried: tried.into_iter().collect() }
    }

    fn put(bench: &mut Bench, key: &str, profile: ScaleProfile) {
        let what = What::Scale(profile);
        let item = Item { name: line(key), retired: false, note: craft::text::Text::default(), what };
        bench.studio.apply(Edit::Shelf(id(key), ShelfEdit::Put(Box::new(item))), at(0)).unwrap();
    }

    #[test]
    fn a_scale_says_what_it_reads_and_how_its_coin_came_out() {
        assert_eq!(scale_words(&profile(1.0, None)), "reads to 1 mg, never tried: put a coin on it");
        let right = scale_words(&profile(1.0, Some(7_510.0)));
        assert_eq!(right, "reads to 1 mg, tried with a 1 euro coin (7.5 g): it is right");
        let wrong = scale_words(&profile(10.0, Some(37_500.0)));
        assert_eq!(
            wrong,
            "reads to 10 mg, tried with a 1 euro coin (7.5 g): it shows 37.5 g, so set it right"
        );
        assert!(tare_words(Tare::Packet { shown: Mass::from_mg(1_018.0) }).contains("1.02 g"));
        assert_eq!(long(Span::from_s(172_800.0)), "2 days");
        assert_eq!(long(Span::from_s(5_400.0)), "90 minutes");
    }

    #[test]
    fn weighing_back_is_offered_only_on_a_scale_that_can_tell() {
        let mut bench = bench(Stage::Here);
        put(&mut bench, "fine", profile(1.0, Some(7_500.0)));
        put(&mut bench, "coarse", profile(100.0, Some(7_500.0)));
        let rows = weigh_rows(&bench.studio, held(&bench), 1, &id("fine"));
        let said: Vec<_> = rows.iter().map(|row| (row.worth, row.words.as_str())).collect();
        assert_eq!(
            said,
            [
                (Worth::Yes, "0.321 g by the book; a loss of 2.7 mg would show"),
                (Worth::Yes, "0.161 g by the book; a loss of 2.3 mg would show"),
            ]
        );
        // One that was never tried, or was out, is tried before it is read; it would have told as much.
        for (key, shown, says) in [
            ("untried", None, "never tried, so try it with a coin"),
            ("out", Some(6_000.0), "out when it was tried, so set it right and try it with a coin"),
        ] {
            put(&mut bench, key, profile(1.0, shown));
            let rows = weigh_rows(&bench.studio, held(&bench), 1, &id(key));
            assert_eq!(rows.len(), 2);
            for row in rows {
                assert!(row.worth == Worth::TryFirst && row.words.contains(says), "{row:?}");
            }
        }
        // The wrapping with its packet is more than the scale carries; the keep-back with it is not.
        let most = Some(Mass::from_mg(400.0));
        let tare = Tare::Packet { shown: Mass::from_mg(100.0) };
        put(&mut bench, "small", ScaleProfile { most, tare, ..profile(1.0, Some(7_500.0)) });
        let rows = weigh_rows(&bench.studio, held(&bench), 1, &id("small"));
        let said: Vec<_> = rows.iter().map(|row| row.worth).collect();
        assert_eq!(said, [Worth::No, Worth::Yes]);
        assert!(rows[0].words.ends_with("more than this scale carries, so the count stands"), "{rows:?}");
        let coarse = weigh_rows(&bench.studio, held(&bench), 1, &id("coarse"));
        assert!(
            coarse.iter().all(|row| row.worth == Worth::No && row.words.contains("so the count stands")),
            "{coarse:?}"
        );
        assert!(weigh_rows(&bench.studio, held(&bench), 1, &id("nail-lamp")).is_empty(), "that is a lamp");
    }

    #[test]
    fn drying_and_damp_air_are_said_beside_the_weighings() {
        let mut bench = bench(Stage::Here);
        put(&mut bench, "fine", profile(1.0, Some(7_500.0)));
        assert_eq!(moisture_note(held(&bench), 1), "");
        let thing = Thing::envelope(1);
        bench.record(CustodyFact::Dried { thing, way: Drying::InAir, over: Span::from_s(172_800.0) });
        for air in [30, 55] {
            let reading =
                Reading { value: Mass::from_mg(150.0), doubt: Mass::from_mg(1.1), by: Means::Scale };
            bench.record(CustodyFact::WeighedOn { thing, scale: id("fine"), reading, air: Some(air) });
        }
        let note = moisture_note(held(&bench), 1);
        assert!(
            note.starts_with(
                "What is in envelope 1 was dried open in the room for 2 days after all of it was weighed"
            ),
            "{note}"
        );
        assert!(note.ends_with(
            "between 30 and 55 % when it was weighed: hair and petals take up and give off moisture."
        ));
        let part = Share::of(1, 3);
        bench.record(CustodyFact::Judged { thing, lot: 1, part, doubt: craft::compare::by_eye(part) });
        let judged = *held(&bench).ledger.custody.judged.first().unwrap();
        let said = judged_words(&bench.studio, held(&bench), &judged);
        assert_eq!(
            said,
            "envelope 1 looked like a third, and the book says a third, which the eye can't tell apart"
        );
    }

    #[test]
    fn the_wet_sheet_the_cavity_and_the_envelope_each_carry_the_tag() {
        let mut bench = bench(Stage::Here);
        bench.begin(1, "A1");
        bench.record(CustodyFact::Opened { thing: Thing::wrapping(1), check: bench.check() });
        let rows = carriers(&bench.studio, held(&bench));
        let own = bench.tag;
        let said: Vec<_> = rows.iter().map(|row| (row.carrier, row.label.clone())).collect();
        assert_eq!(
            said,
            [
                (Carrier::Sheet, format!("{own} W1")),
                (Carrier::Cavity, format!("{own} S1")),
                (Carrier::Packet, format!("{own} E1")),
                (Carrier::Packet, format!("{own} W1")),
            ]
        );
        assert!(rows.iter().all(|row| row.label.starts_with(&own.to_string())));
    }

    #[test]
    fn the_bench_is_cleared_between_clients_and_ticking_it_lets_the_next_one_in() {
        let mut bench = bench(Stage::Here);
        let client = Client { name: line("Tom Reed"), ..Client::default() };
        let put = ClientEdit::Put(Box::new(client));
        let now = bench.now();
        bench.studio.apply(Edit::Client("tom-reed".parse().unwrap(), put), now).unwrap();
        let other = (1_000..).find_map(Tag::from_number).unwrap();
        let mut wanted = sheet();
        (wanted.remembered.name, wanted.stones) = (line("Otto"), Vec::new());
        let open = OrderEdit::Open { client: "tom-reed".parse().unwrap(), sheet: Box::new(wanted) };
        bench.studio.apply(Edit::Order(other, open), now).unwrap();
        assert_eq!(bench_row(&bench.studio, bench.tag, now), None, "it is the same client");
        let row = bench_row(&bench.studio, other, now).unwrap();
        assert!(row.words.starts_with(&format!("Clear the bench of Bramble's material ({})", bench.tag)));
        bench.studio.apply(row.tick, now).unwrap();
        assert_eq!(bench_row(&bench.studio, other, now), None);
    }

    #[test]
    fn offcuts_are_hard_until_more_goes_in() {
        let mut bench = bench(Stage::Made);
        let (bag, stone) = (Thing::offcuts(1), Thing::stone(1));
        let press = craft::fact::Press {
            lamp: id("nail-lamp"),
            button: 1,
            seconds: Span::from_s(60.0),
            ramp: Span::ZERO,
        };
        let cured = craft::fact::PourFact::OffcutsCured { bag, press, hardness: Hardness::Hard };
        let to = Holder::Thing(bag);
        let cut = CustodyFact::Moved { from: stone, lot: 1, to, part: Share::from_millionths(1_000) };
        bench.record(CustodyFact::Opened { thing: bag, check: bench.check() });
        let mut said = Vec::new();
        for fact in [Fact::from(cut.clone()), cured.clone().into(), cut.into(), cured.into()] {
            bench.record(fact);
            said.push((offcuts_words(held(&bench), bag), words::offcuts(held(&bench), bag)));
        }
        assert_eq!(
            said,
            [
                ("not lit by themselves: light drips and wet bits before they go home", "offcuts"),
                ("hard", "offcuts, hardened"),
                ("hard, but more went in since: light them again before they go home", "offcuts"),
                ("hard", "offcuts, hardened"),
            ]
        );
    }

    #[test]
    fn what_is_held_for_a_client_is_listed_until_it_goes_over() {
        let mut bench = bench(Stage::Here);
        let client: ClientId = "ida-lund".parse().unwrap();
        let today = day(2026, 11, 26);
        assert!(held_for(&bench.studio, &client, today).is_empty());
        let thing = Thing::wrapping(1);
        bench.record(HomeFact::LeftOut { thing, why: LeftOut::HeldForClient });
        let rows = held_for(&bench.studio, &client, today);
        assert_eq!(rows.len(), 1);
        assert_eq!(rows[0].words, "wrapping 1, a tied lock in tissue, on the bench, held since 25 November");
        assert!(rows[0].ready && rows[0].material == Some(Material::Hair));
        let other = (1_000..).find_map(Tag::from_number).unwrap();
        let mut wanted = sheet();
        wanted.stones = Vec::new();
        let open = OrderEdit::Open { client: client.clone(), sheet: Box::new(wanted) };
        bench.studio.apply(Edit::Order(other, open), at(500)).unwrap();
        bench.record(CustodyFact::PassedOn { thing, to: other });
        // The power went before the other half was written: it is in neither order, and is offered to the second.
        let rows = held_for(&bench.studio, &client, today);
        assert_eq!((rows.len(), rows[0].to, rows[0].ready), (1, Some(other), true));
        assert!(
            rows[0].words.ends_with(&format!("went over to {other} and is still to be taken over there"))
        );
        let place = Place::Kept(1);
        let edits =
            crate::handling::take_over(&bench.studio, (bench.tag, thing), other, place, at(500)).unwrap();
        assert_eq!(edits.len(), 1, "it was passed on already: {edits:?}");
        for edit in edits {
            bench.studio.apply(edit, at(500)).unwrap();
        }
        assert_eq!(bench.studio.findings(), []);
        assert!(held_for(&bench.studio, &client, today).is_empty());
        assert_eq!(held_heading(&bench.studio.clients()[&client]), "Held for Ida Lund");
        assert!(offcuts_words(held(&bench), Thing::offcuts(1)).starts_with("not lit"));
    }
}
