//! Screens and papers speak bench words: a test over everything that is said of one order at every stage.

use craft::cure::PigmentClass;
use craft::fact::{MessageKind, PaperKind};
use craft::foreseen::{Stone, foresee};
use craft::heat::Sources;
use craft::order::Page;
use craft::planner::{Even, OneMore, Plan, Room, Smooth, plan};
use craft::shelf::{Body, What};
use craft::stage::Stage;
use craft::studio::{Edit, ShelfEdit, Studio};
use craft::units::{Length, Share, Span};

use super::plan_words::Explained;
use super::sample::{Bench, at, bench, day, id, problem, studio, usual_plan};
use super::{accounts, board, cautions, find, messages, pages, paper_facts, plan_words, undo_words, words};
use super::{
    card_words, learn_words, pour_explained, pour_words, shelf_explained, shelf_words, stone_words,
    trying_words,
};
use crate::pouring;
use crate::shelving::Kind;
use crate::shelving::card::{CardTyped, card};
use crate::shelving::observations::{self, Gauge, HabitTyped, WarmthTyped, WedgeTyped, With};
use crate::trying::TryOut;

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

/// The signs of reckoning in a formula, which is said in words.
fn signs_in(formula: &str) -> Vec<char> {
    formula.chars().filter(|sign| "×÷√²³π∑Σ±−=+·⅔<>^*/".contains(*sign)).collect()
}

/// What an explanation says outside its formula.
fn outside_formula(all: impl IntoIterator<Item = Explained>) -> Vec<String> {
    let each = |one: Explained| {
        assert!(
            one.plain.ends_with('.') && !one.formula.is_empty(),
            "plain words first, a formula last: {one:?}"
        );
        assert_eq!(signs_in(one.formula), Vec::<char>::new(), "a maker never meets a sign: {}", one.formula);
        let values = one.values.into_iter().flat_map(|(name, value)| [name.to_owned(), value]);
        let words = [one.title, one.plain, one.source].map(str::to_owned);
        words.into_iter().chain(values).collect::<Vec<_>>()
    };
    all.into_iter().flat_map(each).collect()
}

/// Names and words of something that is told.
fn named(told: impl IntoIterator<Item = (&'static str, String)>) -> Vec<String> {
    told.into_iter().flat_map(|(name, words)| [name.to_owned(), words]).collect()
}

/// What the plan page says of a plan.
fn of_plan(bench: &Bench, plan: &Plan) -> Vec<String> {
    let (studio, held) = (&bench.studio, bench.studio.order(bench.tag).unwrap());
    let stone = &held.order.sheet.stones[0];
    let (cavity, parts) = (studio.cavity_of(stone).unwrap(), studio.parts_of(bench.tag, stone).unwrap());
    let asked = Stone { cavity: &cavity, parts: &parts, colour: (31, 77, 58), sources: Sources::TYPICAL };
    let foreseen = foresee(plan, &asked).unwrap();
    let marks: Vec<_> = foreseen.layers.iter().map(|layer| layer.mark).collect();
    let card = plan_words::card(plan, &marks);
    let facts = plan_words::facts(plan, &card, cavity.depth());
    let mut said: Vec<String> = facts.into_iter().flat_map(|(title, words)| [title, words]).collect();
    said.extend([card.time, card.guess, card.caution, card.hidden_words.to_owned()]);
    said.extend(card.layers.into_iter().flat_map(|layer| {
        let names = [layer.name, layer.sure].map(str::to_owned);
        let words =
            [layer.lay, layer.wait, layer.light, layer.cool, layer.pigment, layer.fill, layer.thickness];
        names.into_iter().chain(words).chain(named(layer.rows)).collect::<Vec<_>>()
    }));
    let ahead = plan_words::ahead(held, plan, &foreseen);
    said.push(ahead.binds);
    said.extend(ahead.care);
    said.extend(named(ahead.whole));
    let blocks = ahead.layers.into_iter().chain(ahead.material);
    said.extend(blocks.flat_map(|(name, told)| std::iter::once(name).chain(named(told)).collect::<Vec<_>>()));
    let pots = studio.pots_of(bench.tag, &[(stone, plan)]).unwrap();
    for scale in [None, studio.bench_scale()] {
        for pots in plan_words::pots(studio, &pots, scale.as_ref()) {
            said.extend([pots.title, pots.note]);
            said.extend(pots.rows.into_iter().flat_map(|(name, words)| [name, words]));
        }
    }
    said.push(plan_words::top_coat(studio, held, stone));
    if let Some(told) = plan_words::top_coats(studio, held) {
        said.extend([told.title, told.note]);
        said.extend(told.rows.into_iter().flat_map(|(name, words)| [name, words]));
    }
    said.extend(outside_formula([plan_words::explained_top_coat(&studio.top_coat_of(stone).unwrap())]));
    let makes = studio.candidates_of(bench.tag, stone, None).unwrap();
    said.extend(plan_words::candidates(held, &makes).into_iter().flat_map(|(name, words)| [name, words]));
    let shared = studio.how_many(bench.tag, stone, None).unwrap();
    for told in plan_words::how_many(held, &shared) {
        said.extend([told.title, told.note]);
        said.extend(told.rows.into_iter().flat_map(|(name, words)| [name, words]));
    }
    said.extend(outside_formula([plan_words::explained_how_many(&shared)]));
    let wish = Smooth { reference: 5, seconds: 30 };
    let even = Even { wish, more: Span::from_s(180.0), is_even: true };
    for room in [Room::Lacks(Length::from_micro(300_000)), Room::Cannot] {
        let more = OneMore { thickness: Length::from_micro(400_000), has: 1.04, room };
        said.push(plan_words::one_more(&more));
        said.extend(outside_formula([plan_words::explained_one_more(&more)]));
    }
    said.push(plan_words::even_cost(&even));
    said.extend(outside_formula(plan_words::explained(plan, stone_words::pigment(studio, &stone.pigment))));
    said.extend(outside_formula(plan_words::explained_ahead(plan, &foreseen)));
    said.extend(outside_formula([
        plan_words::explained_pots(&pots),
        plan_words::explained_spread(&makes),
        plan_words::explained_even(&even),
    ]));
    said
}

/// What the pour page says at each step of the first stone.
fn of_pour(mut bench: Bench) -> Vec<String> {
    let mut said = Vec::new();
    let mut look = |bench: &Bench| {
        let (studio, held, now) = (&bench.studio, bench.studio.order(bench.tag).unwrap(), bench.now());
        let step = pouring::step(studio, held, 1, now);
        let words = pour_words::step(studio, held, 1, &step);
        said.push(words.title);
        said.extend(words.lines);
        said.extend([pour_words::short(&step), pour_words::then(held, 1, &step)]);
        said.extend(pour_words::heat(studio, held, (1, &step), now.day()));
        said.extend(pour_words::next_layer(studio, held, 1));
        let layers = pour_words::layers(studio, held, 1, now);
        said.extend(layers.into_iter().flat_map(|row| [row.name, row.words]));
        said.extend(outside_formula(pour_explained::explained(studio, held, 1, &step)));
    };
    look(&bench);
    bench.begin(1, "A1");
    look(&bench);
    for layer in 1..=u8::try_from(usual_plan().layers.len()).unwrap() {
        if layer > 1 {
            bench.lay(1, layer);
        }
        look(&bench);
        bench.harden(1, layer);
        look(&bench);
    }
    said
}

/// What the shelf and a layer that is tried out say.
fn of_shelf(studio: &Studio) -> Vec<String> {
    let today = day(2026, 5, 3);
    let mut said: Vec<String> = Kind::ALL
        .into_iter()
        .flat_map(|kind| shelf_words::rows(studio, kind, false))
        .map(|row| row.words)
        .collect();
    said.extend(PigmentClass::ALL.into_iter().map(|class| shelf_words::class(class).to_owned()));
    for item in studio.shelf().values() {
        match &item.what {
            What::Pigment(pigment) => {
                let shown = CardTyped { load: "0.5 %", seen: "1.2", hidden: "1.4", day: "1 May" };
                let test = card(&shown, today).unwrap();
                said.extend([shelf_words::takes_words(&pigment.mix), shelf_words::hides_words(&pigment.mix)]);
                said.push(card_words::said(pigment, &test).unwrap());
                said.extend(outside_formula(shelf_explained::pigment(pigment, Some(&test))));
            }
            What::Mould(mould) => {
                said.extend([shelf_words::holds(&mould.cavity), shelf_words::strand(&mould.cavity)]);
                said.extend(outside_formula(shelf_explained::mould(&mould.cavity)));
            }
            What::Lamp(lamp) => said.extend(outside_formula(shelf_explained::lamp(lamp))),
            _ => {}
        }
    }
    let mut tryout = TryOut::begun(studio);
    let pigment = TryOut::pigments(studio).into_iter().find_map(|(id, _)| id);
    tryout.choose_pigment(studio, pigment.clone());
    let (trial, tried) = tryout.tried(&tryout.means(studio, today).unwrap()).unwrap();
    let told = trying_words::told(&trial, &tried);
    said.extend(told.into_iter().flat_map(|told| [told.title.to_owned(), told.words, told.more]));
    let pigment = pigment.and_then(|id| stone_words::pigment(studio, &id));
    said.extend(outside_formula(trying_words::explained(&trial, &tried, pigment)));
    said
}

/// What a test, a habit and the warmth of a layer say before they are kept, and the bottle's page after.
fn of_learning(mut studio: Studio) -> Vec<String> {
    let (bottle, today) = (id("clear-resin"), day(2026, 11, 25));
    let lamp = id("nail-lamp");
    let with = With { lamp, button: 1, body: Body::LetsLightIn, pigment: None, gauge: Gauge::Caliper };
    let patches = [("3 s", "1.1"), ("6 s", "1.8"), ("12 s", "2.45"), ("24 s", "3.15"), ("48 s", "3.85")]
        .map(|(light, thick)| (light.to_owned(), thick.to_owned()));
    let typed = WedgeTyped { load: "", day: "3 May", patches: &patches };
    let (wedge, seconds) = observations::wedge(&studio, &with, &typed, today).unwrap();
    let typed = HabitTyped { load: "", day: "4 May", thickness: "2", times: "20" };
    let habit = observations::habit(&studio, &with, &typed, today).unwrap();
    let told = Some(observations::Told::Read);
    let typed = WarmthTyped { load: "", day: "5 May", thickness: "2", room: "25", told, read: "61" };
    let warm = observations::warmth(&studio, &with, &typed, today).unwrap();
    let mut said = Vec::new();
    for (seen, seconds) in [(&wedge, seconds.as_slice()), (&habit, &[])] {
        let trial = learn_words::trial(&studio, &bottle, (seen, seconds), today).unwrap();
        said.extend(trial.notes);
        said.extend([trial.layer, trial.won]);
        said.extend(trial.plot.map(|plot| plot.words));
        said.extend(outside_formula(trial.explained));
    }
    let warmth = learn_words::warmth_trial(&studio, &bottle, &warm, today).unwrap();
    said.push(warmth.words);
    said.extend(outside_formula([warmth.explained]));
    for seen in [wedge, habit, warm] {
        let item = observations::with_seen(&studio.shelf()[&bottle], seen).unwrap();
        studio.apply(Edit::Shelf(bottle.clone(), ShelfEdit::Put(Box::new(item))), at(0)).unwrap();
    }
    let told = learn_words::told(&studio, &bottle, today).unwrap();
    assert!(told.explained.len() > 3, "depth, what it wins, warmth, full light: {:?}", told.explained);
    said.extend([told.won, told.recorded, told.warmth]);
    said.extend(told.lamps.into_iter().flat_map(|of| {
        [of.lamp, of.sure, of.new].into_iter().chain(of.layers).chain(of.notes).collect::<Vec<_>>()
    }));
    said.extend(told.seen.into_iter().flat_map(|line| [line.words, line.more]));
    said.extend(outside_formula(told.explained));
    said
}

/// The first sign that only a formula has: a Greek letter, or one of reckoning. Between two figures "×" is a size.
fn formula_sign_in(text: &str) -> Option<char> {
    let letters: Vec<char> = text.chars().filter(|letter| !letter.is_whitespace()).collect();
    let is_figure = |at: Option<usize>| at.and_then(|at| letters.get(at)).is_some_and(char::is_ascii_digit);
    let is_sign = |(at, letter): (usize, char)| match letter {
        '\u{370}'..='\u{3ff}' | '=' | '÷' | '√' | '∛' | '−' | '²' | '^' | '∑' | '∫' | '≥' | '≤' => {
            true
        }
        '×' => !(is_figure(at.checked_sub(1)) && is_figure(Some(at + 1))),
        _ => false,
    };
    letters.iter().copied().enumerate().find(|found| is_sign(*found)).map(|(_, letter)| letter)
}

#[test]
fn plans_tests_cards_and_all_their_explanations_speak_bench_words_and_keep_signs_to_the_formula() {
    let bench = bench(Stage::Here);
    let mut said = of_plan(&bench, &usual_plan());
    let mut swirled = plan(&problem(PigmentClass::Pearl)).unwrap();
    swirled.thinnest = Some(Share::of(1, 2));
    said.extend(of_plan(&bench, &swirled));
    said.extend(of_shelf(&bench.studio));
    said.extend(of_learning(studio()));
    said.extend(of_pour(bench));
    assert!(said.len() > 300, "only {} things are said", said.len());
    for words in said {
        assert_eq!(code_words_in(&words), Vec::<&str>::new(), "{words}");
        assert_eq!(formula_sign_in(&words), None, "{words}");
    }
}

#[test]
fn a_sign_of_a_formula_would_be_noticed() {
    for (words, sign) in [("α of it", Some('α')), ("depth = 2", Some('=')), ("per cent × mm", Some('×'))]
    {
        assert_eq!(formula_sign_in(words), sign, "{words}");
    }
    assert_eq!(formula_sign_in("oval, 10 × 8 mm, 167.6 mm³, from 40 to 60 °C"), None);
}

#[test]
fn a_code_word_would_be_noticed() {
    assert_eq!(code_words_in("the lots of this ledger"), ["lot", "ledger"]);
    assert_eq!(code_words_in("Dp is 1.0 mm, tc 1 s"), ["Dp", "tc"]);
    assert_eq!(code_words_in("a slot ahead, a rehash"), Vec::<&str>::new(), "parts of words are no words");
}
