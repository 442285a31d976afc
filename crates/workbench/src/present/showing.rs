//! The proof as it stands: which stones are on it, which photo each shows, and the next step to send it.

use std::collections::BTreeSet;

use chrono::NaiveDate;
use craft::digest::Digest;
use craft::fact::{Choice, ClientFact, Fact, MessageKind, PaperKind, PourFact};
use craft::id::Thing;
use craft::moment::Moment;
use craft::order::{Photo, Sheet};
use craft::stage::is_made;
use craft::studio::{Held, Studio};
use craft::tag::Tag;

use super::board::nudge_day;
use super::messages::sent;
use super::paper_facts::{paper, proof_stones};
use super::record::standing;
use super::undo_words::stone_list;
use super::words;

/// Where a stone stands towards the proof.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Standing {
    /// It is on the proof.
    On,
    /// It is kept as a spare; the entry that says so.
    Spare(u32),
    /// The client did not take it in an earlier round.
    TurnedDown,
    /// Its last layer is not hard yet.
    InWork,
    /// It is not in the studio any more, or set into a piece.
    Away,
}

impl Standing {
    /// In words; nothing of a stone that is on the proof.
    pub const fn words(self) -> &'static str {
        match self {
            Standing::On => "",
            Standing::Spare(_) => "kept as a spare, so it goes home unset",
            Standing::TurnedDown => "shown before and not chosen, so it goes home unset",
            Standing::InWork => "still in work: its last layer is not hard yet",
            Standing::Away => "not among the loose stones here any more",
        }
    }
}

/// Every stone that was begun, with where it stands, by number.
pub fn stones(held: &Held) -> Vec<(u8, Standing)> {
    // A proof that was sent shows what was on it, until none of it is chosen and another is made.
    let newest = held.ledger.client.rounds.last();
    let sent = newest.filter(|round| !matches!(round.answer, Some((_, Choice::NoneOfThese))));
    let sent = sent.map(|round| round.stones.clone());
    let on: BTreeSet<u8> = sent.unwrap_or_else(|| proof_stones(held)).into_iter().collect();
    let shown_before = |no: u8| held.ledger.client.rounds.iter().any(|round| round.stones.contains(&no));
    let begun = held.ledger.client_stones();
    begun
        .map(|(&no, stone)| {
            let aside = stone.set_aside.then(|| set_aside_by(held, no)).flatten();
            let here =
                held.ledger.custody.things.get(&Thing::stone(no)).is_some_and(craft::ledger::Held::is_here);
            let at = match aside {
                _ if on.contains(&no) => Standing::On,
                Some(entry) => Standing::Spare(entry),
                None if !here => Standing::Away,
                None if !is_made(&held.order.sheet, no, stone) => Standing::InWork,
                None if shown_before(no) => Standing::TurnedDown,
                None => Standing::Away,
            };
            (no, at)
        })
        .collect()
}

fn set_aside_by(held: &Held, no: u8) -> Option<u32> {
    let is = |fact: &Fact| matches!(fact, Fact::Pour(PourFact::SetAside { stone }) if *stone == no);
    standing(held).into_iter().rev().find(|(_, entry)| is(&entry.fact)).map(|(number, _)| number)
}

/// The photos of a thing, in the order they were taken in. The last one is the one that papers show.
pub fn photos(sheet: &Sheet, of: Option<Thing>) -> Vec<&Photo> {
    sheet.photos.iter().filter(|photo| photo.of == of).collect()
}

/// Makes a photo the one that papers show of its thing.
pub fn show_on_papers(sheet: &mut Sheet, original: &Digest, of: Option<Thing>) {
    let place = sheet.photos.iter().position(|photo| photo.original == *original && photo.of == of);
    if let Some(place) = place {
        let photo = sheet.photos.remove(place);
        sheet.photos.push(photo);
    }
}

/// Says what is on a photo that was taken in without that. Where the same picture is there of that thing already, one
/// of the two goes.
pub fn assign(sheet: &mut Sheet, original: &Digest, to: Thing) {
    let known = sheet.photos.iter().any(|photo| photo.original == *original && photo.of == Some(to));
    if known {
        sheet.photos.retain(|photo| photo.original != *original || photo.of.is_some());
    } else if let Some(photo) =
        sheet.photos.iter_mut().find(|photo| photo.original == *original && photo.of.is_none())
    {
        photo.of = Some(to);
    }
}

/// The newest proof sheet that was written and not sent.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Written {
    /// The entry that says so.
    pub entry: u32,
    /// The file.
    pub file: Digest,
    /// It shows the stones as they stand now; else it has to be written again.
    pub stands: bool,
}

/// The newest proof sheet that was written since the last one was sent.
pub fn written(held: &Held) -> Option<Written> {
    let papers = held.ledger.home.papers.iter().rev();
    let (entry, file) = papers
        .filter(|(_, kind, _)| *kind == PaperKind::Proof)
        .map(|(entry, _, file)| (*entry, *file))
        .next()?;
    let mut later = standing(held).into_iter().filter(|(number, _)| *number > entry);
    if later.any(|(_, later)| matches!(later.fact, Fact::Client(ClientFact::ProofSent { .. }))) {
        return None;
    }
    let stands = craft::paper::standing(held, PaperKind::Proof) == craft::paper::Standing::Holds;
    Some(Written { entry, file, stands })
}

/// The next thing to do for the proof.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Step {
    /// No stone is finished.
    Pour,
    /// This stone has no photo.
    Photograph(u8),
    /// The sheet cannot be written: why.
    Held(String),
    /// The sheet is to be written.
    Write,
    /// The sheet is to be sent: the stones on it, and the file.
    Send(Vec<u8>, Digest),
    /// The client's answer is awaited.
    Answer,
    /// The client has chosen this stone.
    Chosen(u8),
}

/// The next thing to do for the proof of an order.
pub fn step(studio: &Studio, held: &Held, tag: Tag, now: Moment) -> Step {
    let client = &held.ledger.client;
    if client.open_round().is_some() {
        return Step::Answer;
    }
    if let Some(no) = client.chosen().next() {
        return Step::Chosen(no);
    }
    let on = proof_stones(held);
    if on.is_empty() {
        return Step::Pour;
    }
    let bare = |no: &&u8| held.order.sheet.photo_of(Thing::stone(**no)).is_none();
    if let Some(no) = on.iter().find(bare) {
        return Step::Photograph(*no);
    }
    if let Some((stones, sheet)) = waiting(held) {
        return Step::Send(stones, sheet);
    }
    match paper(studio, tag, PaperKind::Proof, now) {
        Ok(_) => Step::Write,
        Err(why) => Step::Held(why),
    }
}

/// How far the proof is on its way to the client.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Sending {
    /// No sheet waits to be sent.
    Nothing,
    /// The sheet is written as the stones stand now and waits: the stones on it, and the file.
    Waits(Vec<u8>, Digest),
    /// It went to the client on this day.
    Sent(NaiveDate),
}

/// How far the proof of an order is on its way.
pub fn sending(held: &Held) -> Sending {
    let client = &held.ledger.client;
    if client.open_round().is_some() || client.chosen().next().is_some() {
        return client.rounds.last().map_or(Sending::Nothing, |round| Sending::Sent(round.sent.day()));
    }
    waiting(held).map_or(Sending::Nothing, |(stones, sheet)| Sending::Waits(stones, sheet))
}

/// The stones of a sheet that can go out as it is written, and its file.
fn waiting(held: &Held) -> Option<(Vec<u8>, Digest)> {
    let on = proof_stones(held);
    let bare = on.iter().any(|no| held.order.sheet.photo_of(Thing::stone(*no)).is_none());
    let written = written(held).filter(|written| written.stands)?;
    (!on.is_empty() && !bare).then_some((on, written.file))
}

/// What is recorded once the proof is sent, wherever that is said: the sheet with the stones on it, then the message it
/// went with. A message that was noted since the last round is not noted twice, unless its words are to be kept with
/// it. None while no sheet waits.
pub fn proof_sent(held: &Held, with_words: bool) -> Vec<ClientFact> {
    let Sending::Waits(stones, sheet) = sending(held) else { return Vec::new() };
    let last = held.ledger.client.rounds.last().map_or(0, |round| round.entry);
    let noted = sent(held).iter().any(|sent| sent.kind == MessageKind::Proof && sent.entry > last);
    let message = (with_words || !noted).then_some(ClientFact::MessageSent { about: MessageKind::Proof });
    std::iter::once(ClientFact::ProofSent { stones, sheet }).chain(message).collect()
}

/// The rounds that were sent, oldest first: "stones 1 and 2, sent on 12 November; stone 1 was chosen".
pub fn rounds(held: &Held, now: Moment) -> Vec<String> {
    let told = held.ledger.client.rounds.iter().map(|round| {
        let answer = match round.answer {
            None => "no answer yet".to_owned(),
            Some((_, Choice::Stone(no))) => format!("{name} was chosen", name = words::stone(no)),
            Some((_, Choice::NoneOfThese)) => "none of these".to_owned(),
        };
        let sent = words::date(round.sent.day(), now.day());
        format!("{}, sent on {sent}; {answer}", stone_list(&round.stones))
    });
    told.collect()
}

/// The proof that waits for its answer: "The proof went to the client on 11 November. A gentle reminder is due.".
pub fn with_client(studio: &Studio, held: &Held, now: Moment) -> String {
    let Some(round) = held.ledger.client.open_round() else { return String::new() };
    let sent = went(round.sent.day(), now);
    match nudge_day(studio, held) {
        Some(_) if reminder_is_due(studio, held, now) => format!("{sent} A gentle reminder is due."),
        Some((_, due)) => format!("{sent} A gentle reminder is due {}.", words::near(due, now.day())),
        None => sent,
    }
}

/// That the proof is with the client, said alike wherever it is said: "The proof went to the client on 11 November.".
pub fn went(day: NaiveDate, now: Moment) -> String {
    format!("The proof went to the client on {}.", words::date(day, now.day()))
}

/// True once the client has had a proof for as long as the studio waits before a gentle reminder.
pub fn reminder_is_due(studio: &Studio, held: &Held, now: Moment) -> bool {
    nudge_day(studio, held).is_some_and(|(_, due)| due <= now.day())
}

/// What the page says first: the stone that was chosen, or how many stones are on the proof, and what they still miss.
pub fn head(held: &Held) -> String {
    if let Some(no) = held.ledger.client.chosen().next() {
        return format!("The client chose {name}.", name = words::stone(no));
    }
    let on: Vec<u8> =
        stones(held).into_iter().filter(|(_, at)| *at == Standing::On).map(|(no, _)| no).collect();
    let bare: Vec<u8> =
        on.iter().copied().filter(|no| held.order.sheet.photo_of(Thing::stone(*no)).is_none()).collect();
    match (on.len(), bare.len()) {
        (0, _) => "No stone is on it yet.".to_owned(),
        (1, 0) => "One stone, with its photo.".to_owned(),
        (many, 0) => format!("{many} stones, each with a photo."),
        (_, 1) => format!("{} still misses a photo.", words::sentence_start(&stone_list(&bare))),
        _ => format!("{} still miss photos.", words::sentence_start(&stone_list(&bare))),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::present::sample::{Bench, bench};
    use craft::fact::{HomeFact, Mistake};
    use craft::order::PhotoKind;
    use craft::stage::Stage;
    use craft::studio::{Edit, OrderEdit};

    fn held(bench: &Bench) -> &Held {
        bench.studio.order(bench.tag).unwrap()
    }

    fn next(bench: &Bench) -> Step {
        step(&bench.studio, held(bench), bench.tag, bench.now())
    }

    #[test]
    fn a_made_order_is_written_then_sent_then_answered() {
        let mut bench = bench(Stage::Made);
        assert_eq!(stones(held(&bench)), [(1, Standing::On), (2, Standing::On)]);
        let change = |bench: &mut Bench, change: &dyn Fn(&mut Sheet)| {
            let mut sheet = held(bench).order.sheet.clone();
            change(&mut sheet);
            let edit = Edit::Order(bench.tag, OrderEdit::Sheet(Box::new(sheet)));
            let now = bench.now();
            bench.studio.apply(edit, now).unwrap();
        };
        let second = Some(Thing::stone(2));
        let photo = held(&bench).order.sheet.photo_of(Thing::stone(2)).unwrap().clone();
        change(&mut bench, &|sheet| sheet.photos.retain(|photo| photo.of != second));
        assert_eq!(next(&bench), Step::Photograph(2));
        assert_eq!(head(held(&bench)), "Stone 2 still misses a photo.");
        change(&mut bench, &|sheet| sheet.photos.push(photo.clone()));
        assert_eq!(next(&bench), Step::Write);
        assert_eq!(head(held(&bench)), "2 stones, each with a photo.");
        let file = Digest::of(b"the sheet");
        bench.record(HomeFact::PaperIssued { paper: PaperKind::Proof, file });
        assert_eq!(next(&bench), Step::Send(vec![1, 2], file));
        bench.record(ClientFact::ProofSent { stones: vec![1, 2], sheet: file });
        assert_eq!(next(&bench), Step::Answer);
        assert_eq!(written(held(&bench)), None, "what was sent is not sent again");
        bench.record(ClientFact::Chosen(Choice::Stone(2)));
        assert_eq!(next(&bench), Step::Chosen(2));
        let told = rounds(held(&bench), bench.now());
        assert!(
            told[0].starts_with("stones 1 and 2, sent on") && told[0].ends_with("stone 2 was chosen"),
            "{told:?}"
        );
    }

    #[test]
    fn that_the_proof_is_sent_is_one_record_with_its_message_and_has_one_day_everywhere() {
        let mut bench = bench(Stage::Made);
        assert_eq!((sending(held(&bench)), proof_sent(held(&bench), true)), (Sending::Nothing, Vec::new()));
        let sheet = Digest::of(b"the sheet");
        bench.record(HomeFact::PaperIssued { paper: PaperKind::Proof, file: sheet });
        let proof = ClientFact::ProofSent { stones: vec![1, 2], sheet };
        let message = ClientFact::MessageSent { about: MessageKind::Proof };
        assert_eq!(sending(held(&bench)), Sending::Waits(vec![1, 2], sheet));
        assert_eq!(proof_sent(held(&bench), false), [proof.clone(), message.clone()]);
        // A message that was noted on its own is not noted twice, unless it has words of its own.
        bench.record(message.clone());
        assert_eq!(proof_sent(held(&bench), false), std::slice::from_ref(&proof));
        assert_eq!(proof_sent(held(&bench), true), [proof.clone(), message]);
        bench.record(proof);
        assert_eq!(sending(held(&bench)), Sending::Sent(bench.now().day()));
        let moments = crate::present::messages::moments(&bench.studio, bench.tag, bench.now());
        let day = bench.now().day();
        assert!(moments.contains(&(MessageKind::Proof, crate::present::messages::Stands::Sent(day))));
        assert_eq!(went(day, bench.now()), "The proof went to the client on 25 November.");
        bench.record(ClientFact::Chosen(Choice::NoneOfThese));
        assert_eq!(sending(held(&bench)), Sending::Nothing, "another proof is to be made");
    }

    #[test]
    fn a_sheet_that_shows_other_stones_is_written_again() {
        let mut bench = bench(Stage::Made);
        bench.record(HomeFact::PaperIssued { paper: PaperKind::Proof, file: Digest::of(b"the sheet") });
        assert!(written(held(&bench)).unwrap().stands);
        bench.record(PourFact::SetAside { stone: 2 });
        let Some((_, Standing::Spare(entry))) = stones(held(&bench)).pop() else { panic!("a spare") };
        assert!(!written(held(&bench)).unwrap().stands);
        bench.record(Fact::Struck { entry, why: Mistake::DidNotHappen });
        assert_eq!(stones(held(&bench)).pop(), Some((2, Standing::On)));
    }

    #[test]
    fn stones_of_an_earlier_round_and_stones_in_work_are_told_apart() {
        let mut none = bench(Stage::Shown);
        none.record(ClientFact::Chosen(Choice::NoneOfThese));
        assert_eq!(stones(held(&none)), [(1, Standing::TurnedDown), (2, Standing::TurnedDown)]);
        assert_eq!(next(&none), Step::Pour);
        let mut work = bench(Stage::Here);
        work.begin(1, "A1");
        assert_eq!(stones(held(&work)), [(1, Standing::InWork)]);
        assert_eq!(head(held(&work)), "No stone is on it yet.");
    }

    #[test]
    fn the_photo_that_papers_show_can_be_another_one_and_a_loose_one_finds_its_stone() {
        let photo = |bytes: &[u8], of| Photo {
            original: Digest::of(bytes),
            kind: PhotoKind::Png,
            of,
            caption: "".parse().unwrap(),
        };
        let stone = Some(Thing::stone(1));
        let mut sheet = Sheet {
            photos: vec![photo(b"a", stone), photo(b"b", stone), photo(b"c", None)],
            ..Sheet::default()
        };
        assert_eq!(sheet.photo_of(Thing::stone(1)).unwrap().original, Digest::of(b"b"));
        show_on_papers(&mut sheet, &Digest::of(b"a"), stone);
        assert_eq!(sheet.photo_of(Thing::stone(1)).unwrap().original, Digest::of(b"a"));
        assert_eq!(photos(&sheet, stone).len(), 2);
        assign(&mut sheet, &Digest::of(b"c"), Thing::stone(1));
        assert_eq!((photos(&sheet, stone).len(), photos(&sheet, None).len()), (3, 0));
        sheet.photos.push(photo(b"a", None));
        assign(&mut sheet, &Digest::of(b"a"), Thing::stone(1));
        assert_eq!(photos(&sheet, stone).len(), 3, "one picture of a stone stands once");
        assert!(photos(&sheet, None).is_empty());
    }
}
