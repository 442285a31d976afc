//! Showing and choosing: the proof, its answer and the client's words.

use craft::fact::{Choice, MessageKind, PaperKind};
use craft::id::Thing;
use craft::ledger::Round;
use craft::order::{About, Page};

use super::Builder;
use crate::present::board::nudge_day;
use crate::present::paper_facts::proof_stones;
use crate::present::undo_words::stone_list;
use crate::present::words;

pub(super) fn fill_show(page: &mut Builder<'_>) {
    let open = page.ledger().client.open_round();
    let shown = open.map_or_else(|| proof_stones(page.held), |round| round.stones.clone());
    if shown.is_empty() && page.ledger().client.rounds.is_empty() {
        page.miss_at("no stone is finished yet", Page::Pour);
    }
    for no in &shown {
        match page.sheet().photo_of(Thing::stone(*no)) {
            Some(photo) => {
                let words = if photo.caption.is_empty() {
                    "photo kept as taken".to_owned()
                } else {
                    format!("photo kept as taken, {}", photo.caption)
                };
                page.know(words::stone(*no), words);
            }
            None => page.miss(format!("{name} has no photo yet", name = words::stone(*no))),
        }
    }
    let issued = page.ledger().home.papers.iter().any(|(_, kind, _)| *kind == PaperKind::Proof);
    if issued {
        page.know("proof sheet", "issued, and kept as issued");
    } else if !shown.is_empty() && open.is_none() {
        page.miss("no proof sheet is issued yet");
    }
    for round in &page.ledger().client.rounds {
        page.know("sent", format!("{} on {}", stone_list(&round.stones), page.day(round.sent.day())));
    }
    if open.is_none() && !shown.is_empty() && page.ledger().client.chosen().next().is_none() {
        page.miss("the proof is not sent yet");
    }
    let message = page.ledger().client.messages.iter().rev().find(|(about, _)| *about == MessageKind::Proof);
    match message {
        Some((_, at)) => page.know("message", format!("sent on {}", page.day(at.day()))),
        None if open.is_some() => page.miss("no message with the proof is noted as sent"),
        None => {}
    }
    nudge(page);
}

fn nudge(page: &mut Builder<'_>) {
    if let Some((_, due)) = nudge_day(page.studio, page.held) {
        page.know("gentle reminder", words::near(due, page.today));
    }
}

pub(super) fn fill_choose(page: &mut Builder<'_>) {
    let rounds = &page.ledger().client.rounds;
    if rounds.is_empty() {
        page.miss_at("no proof is sent yet", Page::Show);
    }
    for (place, round) in rounds.iter().enumerate() {
        let label = if rounds.len() == 1 { "the answer".to_owned() } else { format!("round {}", place + 1) };
        answer(page, &label, round);
    }
    nudge(page);
}

fn answer(page: &mut Builder<'_>, label: &str, round: &Round) {
    let Some((entry, choice)) = round.answer else {
        page.know(label, format!("{} shown on {}", stone_list(&round.stones), page.day(round.sent.day())));
        page.miss("the client has not answered yet");
        return;
    };
    let day = page.held.order.log.entry(entry).map(|entry| page.day(entry.day())).unwrap_or_default();
    let what = match choice {
        Choice::Stone(no) => words::stone(no),
        Choice::NoneOfThese => "none of these: another round is made".to_owned(),
    };
    page.know(label, format!("{what}, on {day}"));
    match page.held.order.story.about(About::Entry(entry)).filter(|said| !said.is_empty()) {
        Some(said) => page.know("in the client's words", format!("\"{said}\"")),
        None => page.miss("the client's own words are not written down"),
    }
}
