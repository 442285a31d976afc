//! The board: every order as one row, by whose turn it is and what is promised when.

use std::cmp::Reverse;
use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;

use chrono::{Days, NaiveDate};
use craft::fact::Hardness;
use craft::foreseen::Heard;
use craft::geometry::Outline;
use craft::id::is_practice;
use craft::moment::Moment;
use craft::order::{ErrandKind, Page};
use craft::stage::{Next, Stage, Turn};
use craft::studio::{Held, Studio};
use craft::tag::Tag;

use super::paper_facts::{colour_of, outline_of};
use super::wait_words::State;
use super::words;
use crate::pouring::{self, Step};
use crate::waits;

/// The groups of the board, in the order they stand.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Group {
    /// The maker's hands are wanted.
    Hands,
    /// The lamp or the clock is at work.
    Lamp,
    /// Someone else is.
    Others,
    /// To pack and post.
    Parcel,
    /// Over.
    Home,
}

impl Group {
    /// All groups in order.
    pub const ALL: [Group; 5] = [Group::Hands, Group::Lamp, Group::Others, Group::Parcel, Group::Home];

    /// What stands over the group.
    pub const fn title(self) -> &'static str {
        match self {
            Group::Hands => "For your hands today",
            Group::Lamp => "Under the lamp or cooling",
            Group::Others => "Waiting for someone",
            Group::Parcel => "To pack and post",
            Group::Home => "Gone home",
        }
    }

    const fn of(turn: Turn) -> Self {
        match turn {
            Turn::Hands => Group::Hands,
            Turn::Lamp => Group::Lamp,
            Turn::Others => Group::Others,
            Turn::Parcel => Group::Parcel,
            Turn::Nobody => Group::Home,
        }
    }
}

/// A stone as it is drawn in a row.
#[derive(Clone, Debug, PartialEq)]
pub struct StoneMark {
    /// Its number.
    pub no: u8,
    /// Its outline; none where its mould is no longer on the shelf.
    pub outline: Option<Outline>,
    /// Its colour, red, green and blue; none where its pigment is no longer on the shelf.
    pub colour: Option<(u8, u8, u8)>,
    /// It has been begun.
    pub begun: bool,
    /// The client chose it.
    pub chosen: bool,
}

/// One order on the board.
#[derive(Clone, Debug, PartialEq)]
pub struct BoardRow {
    /// Its tag.
    pub tag: Tag,
    /// The one remembered.
    pub name: String,
    /// Whose order it is.
    pub client: String,
    /// The promise: "due in 3 days"; empty without one, or once it has gone home.
    pub due: String,
    /// The promised day.
    pub due_on: Option<NaiveDate>,
    /// How far it has come.
    pub stage: Stage,
    /// The same in a word.
    pub stage_words: &'static str,
    /// The stones as they are drawn.
    pub stones: Vec<StoneMark>,
    /// What is next.
    pub next: Next,
    /// The same as a phrase: "pour layer 2 of stone 1".
    pub action: String,
    /// The page where that is done.
    pub page: Page,
    /// The group it stands in.
    pub group: Group,
    /// When it was sent home, in milliseconds of UTC; 0 for what is still to be done.
    pub gone_ms: i64,
}

impl BoardRow {
    /// Where it stands among the others: what has gone home with the newest first, everything else by its promise.
    fn rank(&self) -> Rank<&str> {
        let promise = (self.due_on.is_none(), self.due_on);
        Rank {
            group: self.group,
            gone: Reverse(self.gone_ms),
            promise,
            name: self.name.as_str(),
            tag: self.tag,
        }
    }
}

/// Where a row stands among the others.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
struct Rank<N> {
    group: Group,
    gone: Reverse<i64>,
    promise: (bool, Option<NaiveDate>),
    name: N,
    tag: Tag,
}

impl<N> Rank<N> {
    fn named<'a, M>(&'a self, name: impl FnOnce(&'a N) -> M) -> Rank<M> {
        let Self { group, gone, promise, tag, .. } = *self;
        Rank { group, gone, promise, name: name(&self.name), tag }
    }
}

/// All orders, sorted by group, then by promise.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Board {
    /// The rows.
    pub rows: Vec<BoardRow>,
    /// Where the row of each order stands, so that one is found without looking through all.
    ranks: BTreeMap<Tag, Rank<String>>,
}

impl Board {
    /// A board of these rows.
    fn of(mut rows: Vec<BoardRow>) -> Self {
        rows.sort_by(|a, b| a.rank().cmp(&b.rank()));
        let ranks = rows.iter().map(|row| (row.tag, row.rank().named(|name| (*name).to_owned()))).collect();
        Self { rows, ranks }
    }

    /// The row of an order. Costs next to nothing however many orders there are.
    pub fn row(&self, tag: Tag) -> Option<&BoardRow> {
        self.rows.get(self.place(tag)?)
    }

    fn place(&self, tag: Tag) -> Option<usize> {
        let rank = self.ranks.get(&tag)?.named(String::as_str);
        self.rows.binary_search_by(|row| row.rank().cmp(&rank)).ok()
    }

    /// The groups that have rows, in order.
    pub fn groups(&self) -> impl Iterator<Item = (Group, &[BoardRow])> {
        Group::ALL.into_iter().map(|group| (group, self.group(group))).filter(|(_, rows)| !rows.is_empty())
    }

    /// Which of [`Board::rows`] stand in a group. Costs next to nothing however many orders there are, so that a list
    /// can show a dozen rows out of its middle.
    pub fn range(&self, group: Group) -> Range<usize> {
        let from = self.rows.partition_point(|row| row.group < group);
        let until = self.rows.partition_point(|row| row.group <= group);
        from..until
    }

    /// The rows of a group, as [`Board::range`].
    pub fn group(&self, group: Group) -> &[BoardRow] {
        self.rows.get(self.range(group)).unwrap_or_default()
    }

    /// Puts rows where they belong now, in place of what their orders had before.
    pub(crate) fn put(&mut self, mut rows: Vec<BoardRow>) {
        if rows.len() > 1 {
            let tags: BTreeSet<Tag> = rows.iter().map(|row| row.tag).collect();
            let mut all = std::mem::take(&mut self.rows);
            all.retain(|row| !tags.contains(&row.tag));
            all.append(&mut rows);
            *self = Self::of(all);
        }
        for row in rows {
            if let Some(old) = self.place(row.tag) {
                self.rows.remove(old);
            }
            self.ranks.insert(row.tag, row.rank().named(|name| (*name).to_owned()));
            let at = self.rows.partition_point(|other| other.rank() < row.rank());
            self.rows.insert(at, row);
        }
    }

    /// What stands on a board without orders.
    pub const EMPTY: &'static str =
        "No orders yet. Open one when someone asks: a name is enough to begin with.";
}

/// The board as it stands now by what the orders themselves say: what all of them taught since is asked afterwards, for
/// that looks into orders at rest.
pub fn board(studio: &Studio, now: Moment) -> Board {
    Board::of(studio.orders().values().map(|held| row_heard(studio, held, now, None)).collect())
}

/// One order as a row.
pub fn row(studio: &Studio, held: &Held, now: Moment) -> BoardRow {
    row_heard(studio, held, now, Some(&mut Heard::default()))
}

/// The same for one order of many, with what was heard for the others; nothing is asked of them where that is none.
pub(crate) fn row_heard(studio: &Studio, held: &Held, now: Moment, heard: Option<&mut Heard>) -> BoardRow {
    let Doing { next, words: action, group } = doing(studio, held, now, heard);
    let stage = held.stage();
    let due_on = held.due();
    let due =
        due_on.filter(|_| stage != Stage::GoneHome).map(|day| words::due(day, now.day())).unwrap_or_default();
    let sent = held.sent().filter(|_| group == Group::Home);
    BoardRow {
        tag: held.tag(),
        name: words::remembered(held),
        client: client_name(studio, held),
        due,
        due_on,
        stage,
        stage_words: words::stage(stage),
        stones: stone_marks(studio, held),
        next,
        action,
        page: page_of(next),
        group,
        gone_ms: sent.map_or(0, |sent| sent.at.utc_ms),
    }
}

/// What is next of an order at this very moment, and who it waits for.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Doing {
    /// What is next by its record.
    pub(crate) next: Next,
    /// The same as a phrase, by the clock.
    pub(crate) words: String,
    /// Whose turn it is, by the clock.
    pub(crate) group: Group,
}

/// What is next of an order now: a wait that is over is for the hands, as the strip says.
pub(crate) fn doing(studio: &Studio, held: &Held, now: Moment, heard: Option<&mut Heard>) -> Doing {
    let next = resumed(held, held.next(now.day(), studio.policies().nudge_days));
    let at_stone = at_stone(studio, held, (next, now), heard);
    let waits = matches!(next, Next::UnderLamp { .. } | Next::Cooling { .. })
        || matches!(at_stone, Some((_, Group::Lamp)));
    if let Some((state, stones)) = over(studio, held, next, now).filter(|_| waits) {
        let stones = words::stones(&stones);
        let words = match state {
            State::LightOver => format!("{}: put the lamp off for {stones}", state.words()),
            _ => format!("{}: feel {stones}", state.words()),
        };
        return Doing { next, words, group: Group::Hands };
    }
    if let Some((words, group)) = at_stone {
        return Doing { next, words, group };
    }
    let group = match next {
        // A paused lamp goes on only by hand.
        Next::Cooling { stone } if waits::is_paused(held, stone) => Group::Hands,
        _ => Group::of(next.turn()),
    };
    Doing { next, words: next_words(studio, held, next, now.day()), group }
}

/// What the pour page says of the stone that is next, where that is another thing than its record tells: the packet that
/// comes first, a layer that settles, a plan that something speaks against.
fn at_stone(
    studio: &Studio,
    held: &Held,
    (next, now): (Next, Moment),
    heard: Option<&mut Heard>,
) -> Option<(String, Group)> {
    let (Next::Begin { stone } | Next::Pour { stone, .. } | Next::Light { stone, .. }) = next else {
        return None;
    };
    let name = words::stone(stone);
    let step = match heard {
        Some(heard) => pouring::asked(studio, held, (stone, now), heard),
        None => pouring::step(studio, held, stone, now),
    };
    let said = match step {
        Step::PlanAgain(_) => format!("plan {name} again: something learned since speaks against its plan"),
        Step::Open(thing) => format!("open {} for {name}", words::thing_plain(thing)),
        Step::PutIn { lot, .. } => format!("put its share of {} into {name}", words::lot(held, lot)),
        Step::NoShare => format!("say how much goes into {name}"),
        Step::Close(thing) => format!("close {}", words::thing_plain(thing)),
        Step::Settle(..) => return Some((format!("{name} is {}", State::Settling.words()), Group::Lamp)),
        _ => return None,
    };
    Some((said, Group::Hands))
}

/// What is next of an order by its record alone, for what is drawn again and again.
pub(crate) fn by_record(studio: &Studio, held: &Held, now: Moment) -> (Next, String) {
    let next = resumed(held, held.next(now.day(), studio.policies().nudge_days));
    (next, next_words(studio, held, next, now.day()))
}

/// The stones whose wait is over where only the clock is waited for: light before what has cooled.
fn over(studio: &Studio, held: &Held, next: Next, now: Moment) -> Option<(State, Vec<u8>)> {
    let at_lamp = matches!(next, Next::UnderLamp { .. } | Next::Cooling { .. } | Next::Light { .. });
    if !at_lamp {
        return None;
    }
    let waits = waits::waits_of(studio, [&held.tag()], now);
    let first = |state: State| {
        let of_state = waits.iter().filter(|wait| State::of(wait) == state);
        let mut stones: Vec<u8> = of_state.flat_map(|wait| wait.stones.iter().copied()).collect();
        stones.sort_unstable();
        stones.dedup();
        (!stones.is_empty()).then_some((state, stones))
    };
    let paused = matches!(next, Next::Cooling { stone } if waits::is_paused(held, stone));
    first(State::LightOver).or_else(|| first(State::Cool).filter(|_| !paused))
}

/// The same, but a lamp that is paused comes before others that cool by themselves.
fn resumed(held: &Held, next: Next) -> Next {
    let paused =
        || held.order.sheet.stones.iter().map(|stone| stone.no).find(|no| waits::is_paused(held, *no));
    match next {
        Next::Cooling { .. } => paused().map_or(next, |stone| Next::Cooling { stone }),
        _ => next,
    }
}

/// The client's name, or what stands for it where the file is not here.
pub(crate) fn client_name(studio: &Studio, held: &Held) -> String {
    studio
        .clients()
        .get(held.client())
        .map_or_else(|| held.client().to_string(), |client| client.name.to_string())
}

/// The stones of an order as they are drawn: those for the client.
pub fn stone_marks(studio: &Studio, held: &Held) -> Vec<StoneMark> {
    let stones = held.stones();
    let clients = stones.iter().filter(|stone| !is_practice(stone.no));
    let marks = clients.map(|stone| StoneMark {
        no: stone.no,
        outline: outline_of(studio, &stone.mould),
        colour: colour_of(studio, &stone.pigment),
        begun: stone.begun,
        chosen: stone.chosen,
    });
    marks.collect()
}

/// The page where the next thing is done.
pub const fn page_of(next: Next) -> Page {
    match next {
        Next::Answer | Next::PostKit => Page::Brief,
        Next::AwaitMaterial | Next::KeepBack { .. } | Next::CloseUp { .. } => Page::Arrival,
        Next::Plan => Page::Plan,
        Next::UnderLamp { .. }
        | Next::Cooling { .. }
        | Next::Feel { .. }
        | Next::Light { .. }
        | Next::Pour { .. }
        | Next::TakeOut { .. }
        | Next::Begin { .. } => Page::Pour,
        Next::SendProof => Page::Show,
        Next::Nudge | Next::AwaitChoice => Page::Choose,
        Next::SetStone { .. } | Next::AskErrand { .. } | Next::AwaitErrand { .. } => Page::Fit,
        Next::Pack { .. } | Next::Post => Page::Pack,
        Next::AwaitArrival | Next::Thank | Next::Done => Page::After,
    }
}

/// The next thing as a phrase: "pour layer 2 of stone 1".
pub fn next_words(studio: &Studio, held: &Held, next: Next, today: NaiveDate) -> String {
    match next {
        Next::UnderLamp { stone } => format!("{name} is {}", State::Lit.words(), name = words::stone(stone)),
        Next::Cooling { stone } if waits::is_paused(held, stone) => {
            format!("{}: give {name} the rest", State::Paused.words(), name = words::stone(stone))
        }
        Next::Cooling { stone } => {
            format!("{name} is {}", State::Cooling.words(), name = words::stone(stone))
        }
        Next::Feel { stone, layer } => format!("feel layer {layer} of {name}", name = words::stone(stone)),
        Next::Light { stone, layer } => light_words(held, stone, layer),
        Next::Pour { stone, layer } => format!("pour layer {layer} of {name}", name = words::stone(stone)),
        Next::TakeOut { stone } => format!("take {name} out of its mould", name = words::stone(stone)),
        Next::CloseUp { thing } => format!("close {}", words::thing_plain(thing)),
        Next::KeepBack { lot } if held.ledger.custody.lots.len() > 1 => {
            format!("put the keep-back of {} in its envelope", words::lot(held, lot))
        }
        Next::KeepBack { .. } => "put the keep-back in its envelope".to_owned(),
        Next::Plan => "plan the stones".to_owned(),
        Next::Begin { stone } => begin_words(studio, held, stone),
        Next::SendProof => "send the proof".to_owned(),
        Next::SetStone { stone } => format!("set {name}", name = words::stone(stone)),
        Next::Pack { left } => {
            format!("pack the box: {} to tick", words::count(usize::from(left), "thing", "things"))
        }
        Next::Post => "post the box".to_owned(),
        Next::Answer => "answer the enquiry".to_owned(),
        Next::PostKit => "post the sending kit".to_owned(),
        Next::Nudge | Next::AwaitChoice => proof_words(studio, held, today),
        Next::AskErrand { kind } | Next::AwaitErrand { kind } => errand_words(held, kind, today),
        Next::AwaitMaterial => match held.ledger.client.kit_posted {
            Some(at) => format!("kit posted {}: waiting for the material", words::near(at.day(), today)),
            None => "waiting for the material".to_owned(),
        },
        Next::AwaitArrival => match held.ledger.home.sent {
            Some(at) => format!("posted {}: waiting to hear that it arrived", words::near(at.day(), today)),
            None => "waiting to hear that it arrived".to_owned(),
        },
        Next::Thank => "it has arrived: say thank you".to_owned(),
        Next::Done if held.is_called_off() => "called off, and nothing of it is here".to_owned(),
        Next::Done => "nothing more to do".to_owned(),
    }
}

fn light_words(held: &Held, stone: u8, layer: u8) -> String {
    let newest = held.ledger.pours.stones.get(&stone).and_then(|stone| stone.layers.last());
    match newest.and_then(|layer| layer.felt) {
        Some(Hardness::Soft) => {
            format!("layer {layer} of {name} is soft: light it again", name = words::stone(stone))
        }
        _ => format!("light layer {layer} of {name}", name = words::stone(stone)),
    }
}

fn begin_words(studio: &Studio, held: &Held, no: u8) -> String {
    match held.order.sheet.stone(no) {
        Some(stone) => format!(
            "begin {name} in {}",
            words::cavity(studio, &stone.mould, &stone.cell),
            name = words::stone(no)
        ),
        None => format!("begin {name}", name = words::stone(no)),
    }
}

/// When a gentle reminder is due: days after the proof, or after the last message since.
pub(crate) fn nudge_day(studio: &Studio, held: &Held) -> Option<(NaiveDate, NaiveDate)> {
    let client = &held.ledger.client;
    let sent = client.open_round()?.sent.day();
    let last = client.messages.iter().rev().map(|(_, at)| at.day()).find(|day| *day >= sent).unwrap_or(sent);
    let due = last.checked_add_days(Days::new(u64::from(studio.policies().nudge_days)))?;
    Some((sent, due))
}

fn proof_words(studio: &Studio, held: &Held, today: NaiveDate) -> String {
    match nudge_day(studio, held) {
        Some((sent, due)) if due <= today => {
            format!("proof sent {}: send a gentle reminder", words::near(sent, today))
        }
        Some((sent, due)) => {
            format!("proof sent {}: nudge {}", words::near(sent, today), words::near(due, today))
        }
        None => "waiting for the answer to the proof".to_owned(),
    }
}

fn errand_words(held: &Held, kind: ErrandKind, today: NaiveDate) -> String {
    let errand = held.order.sheet.errands.iter().find(|errand| errand.kind == kind && errand.back.is_none());
    let who = errand.filter(|errand| !errand.who.is_empty()).map(|errand| format!(" from {}", errand.who));
    let by = errand
        .and_then(|errand| errand.expected)
        .map(|day| format!(", expected {}", words::near(day, today)));
    let verb = if errand.is_some_and(|errand| errand.asked.is_none()) { "ask for" } else { "waiting for" };
    format!("{verb} {}{}{}", words::errand(kind), who.unwrap_or_default(), by.unwrap_or_default())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::present::sample::{Bench, at, bench, day, id, line, sheet};
    use craft::fact::{ClientFact, HomeFact, PourFact};
    use craft::order::Errand;

    fn action(bench: &Bench) -> (Group, String) {
        let row = row(&bench.studio, bench.studio.order(bench.tag).unwrap(), bench.now());
        (row.group, row.action)
    }

    #[test]
    fn each_stage_shows_its_own_next_action() {
        let said = |stage| action(&bench(stage));
        assert_eq!(said(Stage::Asked), (Group::Hands, "post the sending kit".to_owned()));
        assert_eq!(
            said(Stage::KitSent),
            (Group::Others, "kit posted today: waiting for the material".to_owned())
        );
        assert_eq!(said(Stage::Here), (Group::Hands, "begin stone 1 in cavity A1 of Oval 10 × 8".to_owned()));
        assert_eq!(said(Stage::Made), (Group::Hands, "send the proof".to_owned()));
        assert_eq!(said(Stage::Shown), (Group::Others, "proof sent today: nudge 2 December".to_owned()));
        assert_eq!(said(Stage::Chosen), (Group::Hands, "set stone 1".to_owned()));
        assert_eq!(said(Stage::Set), (Group::Parcel, "pack the box: 6 things to tick".to_owned()));
        assert_eq!(said(Stage::Packed), (Group::Parcel, "post the box".to_owned()));
        assert_eq!(
            said(Stage::GoneHome),
            (Group::Others, "posted today: waiting to hear that it arrived".to_owned())
        );
    }

    #[test]
    fn the_lamp_has_a_group_of_its_own_and_wet_resin_is_for_the_hands() {
        let mut bench = bench(Stage::Here);
        bench.begin(1, "A1");
        assert_eq!(action(&bench), (Group::Lamp, "stone 1 is settling".to_owned()), "as the pour page says");
        let later = row(&bench.studio, bench.studio.order(bench.tag).unwrap(), at(600));
        assert_eq!((later.group, later.action.as_str()), (Group::Hands, "light layer 1 of stone 1"));
        bench.light(1);
        assert_eq!(action(&bench), (Group::Lamp, "stone 1 is cooling".to_owned()));
        bench.record(PourFact::Felt { stone: 1, layer: 1, hardness: Hardness::Soft });
        assert_eq!(action(&bench), (Group::Hands, "layer 1 of stone 1 is soft: light it again".to_owned()));
    }

    #[test]
    fn the_board_says_of_a_stone_what_its_page_says() {
        let mut bench = bench(Stage::Here);
        bench.record(PourFact::Begun { stone: 1, mould: id("oval-ten"), cell: "A1".parse().unwrap() });
        let (held, now) = (bench.studio.order(bench.tag).unwrap(), bench.now());
        let step = pouring::asked(&bench.studio, held, (1, now), &mut Heard::default());
        let Step::Open(thing) = step else { panic!("{step:?}") };
        let said = format!("open {} for stone 1", words::thing_plain(thing));
        assert_eq!(action(&bench), (Group::Hands, said));
    }

    #[test]
    fn a_plan_that_something_speaks_against_is_to_be_made_again_on_the_board_too() {
        let mut bench = bench(Stage::Here);
        let stone = bench.studio.order(bench.tag).unwrap().order.sheet.stones[0].clone();
        assert!(action(&bench).1.starts_with("begin stone 1"));
        let mut item = bench.studio.shelf()[&stone.resin].clone();
        let craft::shelf::What::Resin(bottle) = &mut item.what else { panic!("not a bottle") };
        bottle.observations.push(craft::learning::Observation {
            on: bench.now().day(),
            lamp: stone.lamp.clone(),
            button: 1,
            lamp_lit: None,
            body: craft::shelf::Body::Opaque,
            pigment: None,
            seen: craft::learning::Seen::Wedge {
                points: [60.0, 120.0]
                    .map(|s| craft::learning::WedgePoint {
                        light: craft::units::Span::from_s(s),
                        depth: craft::reading::Reading {
                            value: craft::units::Length::ZERO,
                            doubt: craft::units::Length::from_mm(0.05),
                            by: craft::reading::Means::ByEye,
                        },
                    })
                    .to_vec(),
            },
        });
        let put = craft::studio::ShelfEdit::Put(Box::new(item));
        let put = craft::studio::Edit::Shelf(stone.resin.clone(), put);
        // A window that is open says it once the second has turned.
        let (now, tag) = (bench.now(), bench.tag);
        let mut open = crate::state::Workbench::new(bench.studio.clone(), None);
        let row = |open: &crate::state::Workbench| open.view(now).board.row(tag).unwrap().action.clone();
        assert!(row(&open).starts_with("begin stone 1"), "{}", row(&open));
        open.handle(crate::action::Action::Edit(put.clone()), now);
        open.handle(crate::action::Action::Tick, now);
        assert!(row(&open).starts_with("plan stone 1 again"), "{}", row(&open));
        bench.studio.apply(put, bench.now()).unwrap();
        let held = bench.studio.order(bench.tag).unwrap();
        let step = pouring::asked(&bench.studio, held, (1, bench.now()), &mut Heard::default());
        assert!(matches!(step, Step::PlanAgain(_)), "{step:?}");
        assert!(action(&bench).1.starts_with("plan stone 1 again"), "{:?}", action(&bench));
    }

    #[test]
    fn an_errand_names_who_and_when() {
        let mut waiting = sheet();
        waiting.errands = vec![Errand {
            kind: ErrandKind::Setting,
            what: line("UK N"),
            who: line("the caster"),
            asked: Some(day(2026, 11, 20)),
            expected: Some(day(2026, 11, 26)),
            back: None,
        }];
        let bench = Bench::open(waiting);
        let held = bench.studio.order(bench.tag).unwrap();
        assert_eq!(
            errand_words(held, ErrandKind::Setting, bench.now().day()),
            "waiting for the setting from the caster, expected tomorrow"
        );
    }

    #[test]
    fn rows_stand_by_turn_and_then_by_promise() {
        let mut home = bench(Stage::GoneHome);
        home.record(HomeFact::Arrived);
        home.record(ClientFact::Thanked);
        let mut studio = home.studio.clone();
        let add = |studio: &mut Studio, number, name: &str, due| {
            let mut sheet = sheet();
            (sheet.remembered.name, sheet.due, sheet.stones) = (line(name), due, Vec::new());
            let tag = Tag::from_number(number).unwrap();
            let edit = craft::studio::OrderEdit::Open {
                client: "ida-lund".parse().unwrap(),
                sheet: Box::new(sheet),
            };
            studio.apply(craft::studio::Edit::Order(tag, edit), at(0)).unwrap();
        };
        add(&mut studio, 7_000, "Late", Some(day(2026, 11, 20)));
        add(&mut studio, 9_000, "Some day", None);
        add(&mut studio, 11_000, "Soon", Some(day(2026, 11, 28)));
        let board = board(&studio, at(600));
        let rows: Vec<_> = board.rows.iter().map(|row| (row.name.as_str(), row.due.as_str())).collect();
        assert_eq!(
            rows,
            [("Late", "5 days late"), ("Soon", "due in 3 days"), ("Some day", ""), ("Bramble", "")]
        );
        let groups: Vec<_> = board.groups().map(|(group, rows)| (group.title(), rows.len())).collect();
        assert_eq!(groups, [("For your hands today", 3), ("Gone home", 1)]);
    }

    #[test]
    fn stones_are_drawn_as_they_are_and_survive_an_empty_shelf() {
        let bench = bench(Stage::Chosen);
        let held = bench.studio.order(bench.tag).unwrap();
        let marks = stone_marks(&bench.studio, held);
        assert_eq!(
            marks.iter().map(|mark| (mark.no, mark.chosen)).collect::<Vec<_>>(),
            [(1, true), (2, false)]
        );
        assert_eq!(marks[0].colour, Some((31, 77, 58)));
        assert_eq!(outline_of(&bench.studio, &id("gone")), None);
        assert_eq!(board(&crate::present::sample::studio(), at(0)), Board::default());
    }
}
