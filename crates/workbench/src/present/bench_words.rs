//! Screens and papers speak bench words: a test over everything that is said of one order at every stage.

use craft::fact::{MessageKind, PaperKind};
use craft::order::Page;
use craft::stage::Stage;

use super::sample::{Bench, bench, usual_plan};
use super::{accounts, board, cautions, find, messages, pages, paper_facts, plan_words, undo_words, words};

/// Words of the code that no screen and no paper says.
const CODE_WORDS: [&str; 9] = ["lot", "holder", "reserve", "dose", "Dp", "tc", "hash", "head", "ledger"];

/// The code words that stand in a text, by themselves or in the plural. Large letters matter only for the symbols.
fn code_words_in(text: &str) -> Vec<&'static str> {
    let pieces: Vec<&str> = text.split(|letter: char| !letter.is_alphanumeric()).collect();
    let is = |piece: &str, word: &str| {
        if word == "Dp" { piece == word } else { piece.to_lowercase().trim_end_matches('s') == word }
    };
    CODE_WORDS.into_iter().filter(|word| pieces.iter().any(|piece| is(piece, word))).collect()
}

/// Everything said of an order as it stands.
fn everything(bench: &Bench) -> Vec<String> {
    let (studio, tag, now) = (&bench.studio, bench.tag, bench.now());
    let held = studio.order(tag).unwrap();
    let mut said = Vec::new();
    for row in board::board(studio, now).rows {
        said.extend([row.action, row.due, row.stage_words.to_owned(), row.group.title().to_owned()]);
    }
    for page in Page::ALL {
        let view = pages::page(studio, tag, page, now).unwrap();
        said.push(view.main.words);
        said.extend(view.known.into_iter().flat_map(|line| [line.label, line.words]));
        said.extend(view.missing.into_iter().map(|missing| missing.words));
        said.extend(cautions::on_page(page, held).into_iter().map(|hazard| hazard.words().to_owned()));
    }
    for account in accounts::accounts(studio, held) {
        said.extend([account.name, account.came, account.words, account.advice, account.worth]);
        said.extend(account.holders.into_iter().flat_map(|row| [row.who, row.words, row.place, row.weighed]));
    }
    for kind in MessageKind::ALL {
        said.push(words::message(kind).to_owned());
        match messages::message(studio, tag, kind, now) {
            Ok(message) => said.extend([message.subject, message.body]),
            Err(why) => said.push(why),
        }
    }
    said.extend(PaperKind::ALL.into_iter().map(|kind| match paper_facts::paper(studio, tag, kind, now) {
        Ok(paper) => paper_facts::texts(&paper).join("\n"),
        Err(why) => why,
    }));
    said.extend(held.order.log.entries().map(|(_, entry)| undo_words::fact_words(&entry.fact)));
    said.extend(find::find(studio, "drawer").into_iter().map(|hit| hit.by));
    said
}

#[test]
fn no_code_word_reaches_a_screen_or_a_paper() {
    for stage in Stage::ALL {
        let said = everything(&bench(stage));
        assert!(said.len() > 60, "{stage:?} says only {} things", said.len());
        for words in said {
            assert_eq!(code_words_in(&words), Vec::<&str>::new(), "at {stage:?}: {words}");
        }
    }
}

#[test]
fn the_pouring_card_and_its_explanation_speak_bench_words_too() {
    let plan = usual_plan();
    let card = plan_words::card(&plan, &[]);
    let mut said = vec![card.time, card.guess, card.hidden_words.to_owned()];
    said.extend(card.layers.into_iter().flat_map(|layer| {
        [
            layer.name.to_owned(),
            layer.lay,
            layer.wait,
            layer.light,
            layer.cool,
            layer.pigment,
            layer.sure.to_owned(),
        ]
    }));
    for explained in plan_words::explained(&plan, None) {
        said.extend([explained.title.to_owned(), explained.formula.to_owned(), explained.source.to_owned()]);
        said.extend(explained.values.into_iter().flat_map(|(name, value)| [name.to_owned(), value]));
    }
    for words in said {
        assert_eq!(code_words_in(&words), Vec::<&str>::new(), "{words}");
    }
}

#[test]
fn a_code_word_would_be_noticed() {
    assert_eq!(code_words_in("the lots of this ledger"), ["lot", "ledger"]);
    assert_eq!(code_words_in("Dp is 1.0 mm, tc 1 s"), ["Dp", "tc"]);
    assert_eq!(code_words_in("a slot ahead, a rehash"), Vec::<&str>::new(), "parts of words are no words");
}
