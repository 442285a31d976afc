//! The answer to a proof: the stones that were shown, what the client said, and by which way.

use chrono::NaiveDate;
use craft::digest::Digest;
use craft::fact::Choice;
use craft::id::Thing;
use craft::order::{About, PhotoKind};
use craft::studio::{Held, Studio};

use super::board::{StoneMark, nudge_day, stone_marks};
use super::words;

/// By which way an answer came.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Way {
    /// Written.
    Message,
    /// On the telephone.
    Phone,
    /// On paper.
    Letter,
    /// Face to face.
    Person,
}

impl Way {
    /// All of them.
    pub const ALL: [Way; 4] = [Way::Message, Way::Phone, Way::Letter, Way::Person];

    /// In words: "by phone".
    pub const fn words(self) -> &'static str {
        match self {
            Way::Message => "by message",
            Way::Phone => "by phone",
            Way::Letter => "by letter",
            Way::Person => "in person",
        }
    }
}

/// Words and the way they came, as one text of the story: "the dark one, it is her (said by phone)".
pub fn told(said: &str, way: Option<Way>) -> String {
    let said = said.trim();
    match way {
        None => said.to_owned(),
        Some(way) if said.is_empty() => format!("(said {})", way.words()),
        Some(way) => format!("{said} (said {})", way.words()),
    }
}

/// The words alone, and the way where it was noted.
pub fn said(text: &str) -> (&str, Option<Way>) {
    let found = Way::ALL.into_iter().find_map(|way| {
        let end = format!("(said {})", way.words());
        text.strip_suffix(end.as_str()).map(|before| (before.trim_end(), Some(way)))
    });
    found.unwrap_or((text, None))
}

/// A stone that was shown.
#[derive(Clone, Debug, PartialEq)]
pub struct Shown {
    /// As it is drawn.
    pub mark: StoneMark,
    /// Its newest photo.
    pub photo: Option<(Digest, PhotoKind)>,
    /// What the proof said of it.
    pub caption: String,
}

/// The answer as it stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Answer {
    /// The entry that holds it.
    pub entry: u32,
    /// What was chosen.
    pub choice: Choice,
    /// The day: "24 November".
    pub day: String,
    /// The client's words; empty where none are written.
    pub said: String,
    /// By which way.
    pub way: Option<Way>,
}

/// One proof and its answer.
#[derive(Clone, Debug, PartialEq)]
pub struct Round {
    /// Which round, from 1.
    pub no: usize,
    /// When it was sent: "21 November".
    pub sent: String,
    /// The stones on it, in their order.
    pub stones: Vec<Shown>,
    /// The answer; none while it is waited for.
    pub answer: Option<Answer>,
}

/// All proofs of an order, the oldest first.
pub fn rounds(studio: &Studio, held: &Held, today: NaiveDate) -> Vec<Round> {
    let marks = stone_marks(studio, held);
    let rounds = held.ledger.client.rounds.iter().enumerate();
    rounds
        .map(|(place, round)| Round {
            no: place + 1,
            sent: words::date(round.sent.day(), today),
            stones: round.stones.iter().map(|no| shown(held, &marks, *no)).collect(),
            answer: round.answer.map(|(entry, choice)| answer(held, entry, choice, today)),
        })
        .collect()
}

fn shown(held: &Held, marks: &[StoneMark], no: u8) -> Shown {
    let unknown = StoneMark { no, outline: None, colour: None, begun: true, chosen: false };
    let sheet = &held.order.sheet;
    Shown {
        mark: marks.iter().find(|mark| mark.no == no).cloned().unwrap_or(unknown),
        photo: sheet.photo_of(Thing::stone(no)).map(|photo| (photo.original, photo.kind)),
        caption: sheet.stone(no).map(|stone| stone.caption.to_string()).unwrap_or_default(),
    }
}

fn answer(held: &Held, entry: u32, choice: Choice, today: NaiveDate) -> Answer {
    let day = held.order.log.entry(entry).map(|entry| words::date(entry.day(), today)).unwrap_or_default();
    let text = held.order.story.about(About::Entry(entry)).map(ToString::to_string).unwrap_or_default();
    let (said, way) = said(&text);
    Answer { entry, choice, day, said: said.to_owned(), way }
}

/// When a gentle reminder is due: true where that is today or past, with the day in words. None where no answer is
/// waited for.
pub fn reminder(studio: &Studio, held: &Held, today: NaiveDate) -> Option<(bool, String)> {
    let (_, due) = nudge_day(studio, held)?;
    Some((due <= today, words::near(due, today)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::present::sample::bench;
    use craft::fact::ClientFact;
    use craft::stage::Stage;

    #[test]
    fn words_and_way_come_apart_as_they_were_put_together() {
        for words in ["the dark one, it is her", "", "2 (the small one)"] {
            for way in Way::ALL.into_iter().map(Some).chain([None]) {
                assert_eq!(said(&told(words, way)), (words, way));
            }
        }
        assert_eq!(said("none (said nobody)"), ("none (said nobody)", None));
    }

    #[test]
    fn a_round_shows_its_stones_and_a_change_of_mind_counts() {
        let mut bench = bench(Stage::Shown);
        let today = bench.now().day();
        let all = rounds(&bench.studio, bench.studio.order(bench.tag).unwrap(), today);
        assert_eq!(all.len(), 1);
        assert_eq!(all[0].stones.iter().map(|stone| stone.mark.no).collect::<Vec<_>>(), [1, 2]);
        assert!(all[0].answer.is_none() && all[0].stones[0].photo.is_some());
        for no in [1, 2] {
            bench.record(ClientFact::Chosen(Choice::Stone(no)));
        }
        let all = rounds(&bench.studio, bench.studio.order(bench.tag).unwrap(), today);
        let answer = all[0].answer.as_ref().unwrap();
        assert_eq!((answer.choice, answer.said.as_str()), (Choice::Stone(2), ""));
        assert!(all[0].stones[1].mark.chosen && !all[0].stones[0].mark.chosen);
    }

    #[test]
    fn a_reminder_waits_a_week_and_ends_with_the_answer() {
        let mut bench = bench(Stage::Shown);
        let today = bench.now().day();
        let of = |bench: &crate::present::sample::Bench, day| {
            reminder(&bench.studio, bench.studio.order(bench.tag).unwrap(), day)
        };
        assert!(matches!(of(&bench, today), Some((false, _))));
        let week = today.checked_add_days(chrono::Days::new(7)).unwrap();
        assert!(matches!(of(&bench, week), Some((true, _))));
        bench.record(ClientFact::Chosen(Choice::Stone(1)));
        assert_eq!(of(&bench, week), None);
    }
}
