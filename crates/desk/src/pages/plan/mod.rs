//! The plan: each stone as a row of pours, with what it needs at the lamp, before anything is poured.

mod ahead;
mod card;
mod controls;
mod wishes;

use craft::fact::Material;
use craft::foreseen::TopCoat;
use craft::geometry::Cavity;
use craft::id::is_practice;
use craft::learning::LearningError;
use craft::order::{Page, StoneSheet};
use craft::planner::{Plan, Problem, promised};
use craft::shrinkage::PourMark;
use craft::studio::{PlanningError, kept_or};
use craft::tag::Tag;
use egui::{Align, Layout, Ui, vec2};
use workbench::present::pages::page;
use workbench::present::plan_words::{self, AheadWords, PlanCard};
use workbench::present::stone_words;
use workbench::stones;

use self::ahead::{Ahead, Later};
use super::common;
use crate::cx::{Cx, Wish};
use crate::look::{Face, Tokens, space};
use crate::widgets::{
    explained, fold, gap, heading, link, main_button, note, pair, plain_button, rule, say, second, sentence,
    tab,
};
use workbench::present::labels::plan as labels;
use workbench::present::labels::shell as labels_shell;

/// The plan page's own state.
#[derive(Debug, Default)]
pub(super) struct PlanPage {
    stone: Option<u8>,
    changing: bool,
    folds: Folds,
    /// The part that was opened just now.
    opened: Option<&'static str>,
    trouble: Option<String>,
    planned: Option<Planned>,
    later: Option<Later>,
}

/// Which parts of the page stand open.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
#[expect(clippy::struct_excessive_bools, reason = "each part opens and closes by itself")]
struct Folds {
    expect: bool,
    wishes: bool,
    pots: bool,
    makes: bool,
    makes_explained: bool,
    explained: bool,
}

impl Folds {
    /// The heading of what stands open now and did not before.
    fn opened_since(self, before: Self) -> Option<&'static str> {
        let parts = [
            (self.expect && !before.expect, labels::EXPECT),
            (self.wishes && !before.wishes, labels::WISHES),
            (self.pots && !before.pots, labels::POTS),
            (self.makes && !before.makes, labels::MAKES),
            (self.explained && !before.explained, labels::EXPLAIN),
        ];
        parts.into_iter().find(|(opened, _)| *opened).map(|(_, words)| words)
    }

    /// True where something is to be seen that is worked out only then.
    fn want_later(self) -> bool {
        self.wishes || self.pots || self.makes || self.explained
    }
}

/// What was worked out for one stone: made again only where something in the studio has changed.
#[derive(Debug)]
struct Planned {
    of: (Tag, u8),
    revision: u64,
    /// What the planner was asked, where it was: it is asked again only where this has changed.
    problem: Option<Problem>,
    answer: Result<Shown, PlanningError>,
}

/// A stone's plan as it is to be shown.
#[derive(Debug)]
struct Shown {
    cavity: Cavity,
    material: Option<Material>,
    colour: Option<(u8, u8, u8)>,
    plan: Plan,
    card: PlanCard,
    ahead: Ahead,
    ahead_words: Option<AheadWords>,
    /// What was learned of what it is made with, a sentence each.
    learned: Vec<String>,
    /// Why the rest is to be planned again: layers that were laid otherwise, or what was learned since; empty where nothing
    /// is.
    again: String,
    facts: [(String, String); 4],
    /// What the coat on the face takes, and the step after the last layer in words.
    coat: Option<TopCoat>,
    coat_words: String,
    uses: String,
    /// True where the stone keeps this very plan.
    kept: bool,
    /// True where another stone keeps none yet.
    others: bool,
}

impl PlanPage {
    pub(crate) fn ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>) {
        let stones = &cx.held.order.sheet.stones;
        let open = self.stone.and_then(|no| stones.iter().find(|stone| stone.no == no)).or(stones.first());
        let Some(stone) = open else {
            self.empty_ui(ui, cx);
            return;
        };
        self.head_ui(ui, cx, stone);
        if self.changing {
            gap(ui, 3.0 * space::STEP);
            self.changing = controls::ui(ui, cx, stone);
        }
        gap(ui, 5.0 * space::STEP);
        let before = self.folds;
        let planned = self.planned(cx, stone);
        match &planned.answer {
            Ok(shown) => self.plan_ui(ui, cx, stone, shown),
            Err(why) => {
                stuck_ui(ui, why, planned.problem.as_ref());
                // Nothing but a newer test takes back what one said.
                let waits = matches!(why, PlanningError::Learning(LearningError::NothingSets { .. }));
                if waits && link(ui, labels::TEST_YOURS).clicked() {
                    cx.wish(Wish::Test(stone.resin.clone()));
                }
                gap(ui, 3.0 * space::STEP);
                fold(ui, labels::WISHES, &mut self.folds.wishes);
            }
        }
        // What stands below the foot of the window would be opened unseen.
        self.opened = self.folds.opened_since(before);
        self.folds_ui(ui, cx, stone, &planned);
        self.planned = Some(planned);
        gap(ui, space::BLOCK);
        self.rest_ui(ui, cx);
    }

    /// Shows this stone.
    pub(super) fn show(&mut self, no: u8) {
        if self.stone != Some(no) {
            (self.stone, self.changing) = (Some(no), false);
        }
    }

    /// What the pages of every order have, and where the materials stand.
    #[expect(clippy::unused_self, reason = "it reads as one of the page's parts")]
    fn rest_ui(&self, ui: &mut Ui, cx: &mut Cx<'_>) {
        if let Some(told) = page(cx.view.studio, cx.tag, Page::Plan, cx.view.now) {
            common::missing_ui(ui, cx, &told);
        }
        common::words_ui(ui, cx, Page::Plan);
        common::cautions_ui(ui, cx, Page::Plan);
    }

    fn empty_ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>) {
        heading(ui, labels::EMPTY);
        second(ui, labels::EMPTY_MORE);
        gap(ui, 4.0 * space::STEP);
        if main_button(ui, labels::FIRST).clicked() {
            self.add(cx);
        }
        self.trouble_ui(ui);
        gap(ui, space::BLOCK);
        self.rest_ui(ui, cx);
    }

    fn add(&mut self, cx: &mut Cx<'_>) {
        self.put(cx, stones::next(cx.view.studio, cx.held));
    }

    /// Puts a new stone on the sheet and shows it.
    fn put(&mut self, cx: &mut Cx<'_>, stone: Result<StoneSheet, String>) {
        match stone {
            Ok(stone) => {
                self.trouble = None;
                self.stone = Some(stone.no);
                self.changing = true;
                cx.sheet(|sheet| sheet.stones.push(stone));
            }
            Err(why) => self.trouble = Some(why),
        }
    }

    fn trouble_ui(&self, ui: &mut Ui) {
        if let Some(why) = &self.trouble {
            say(ui, Face::Body, Tokens::of(ui).care, labels_shell::not_yet(why));
        }
    }

    fn head_ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>, stone: &StoneSheet) {
        let tokens = Tokens::of(ui);
        let room = ui.available_width();
        ui.horizontal_top(|ui| {
            ui.allocate_ui_with_layout(
                vec2((room - 260.0).max(220.0), 44.0),
                Layout::top_down(Align::LEFT),
                |ui| {
                    heading(ui, labels::stone_title(stone.no));
                    sentence(ui, |ui| {
                        ui.spacing_mut().item_spacing.x = space::STEP;
                        let words = stone_words::phrases(cx.view.studio, stone).join("  ·  ");
                        say(ui, Face::Body, tokens.ink_2, format!("{words}  · "));
                        if link(ui, if self.changing { labels::CLOSE } else { labels::CHANGE }).clicked() {
                            self.changing = !self.changing;
                        }
                    });
                },
            );
            ui.with_layout(Layout::right_to_left(Align::TOP), |ui| {
                ui.spacing_mut().item_spacing.x = 14.0;
                if link(ui, labels::ADD).clicked() {
                    self.add(cx);
                }
                if link(ui, labels::PRACTISE).clicked() {
                    self.put(cx, stones::practice(cx.view.studio, cx.held, stone));
                }
                let all: Vec<u8> = cx.held.order.sheet.stones.iter().map(|stone| stone.no).rev().collect();
                ui.spacing_mut().interact_size.y = 26.0;
                for no in all {
                    let response =
                        tab(ui, &labels::tab(no), no == stone.no, true).accessible_name(labels::stone(no));
                    if response.clicked() {
                        self.stone = Some(no);
                    }
                }
                words_beside(ui, labels::STONES);
            });
        });
        if is_practice(stone.no) {
            second(ui, labels::PRACTICE_IS);
        }
        self.trouble_ui(ui);
    }

    /// The plan of a stone and its words, taken out of the page: as they were, where nothing has changed since.
    fn planned(&mut self, cx: &Cx<'_>, stone: &StoneSheet) -> Planned {
        let of = (cx.tag, stone.no);
        let before = self.planned.take().filter(|planned| planned.of == of);
        match before {
            Some(planned) if planned.revision == cx.view.revision => planned,
            before => {
                let (before, ahead) = apart(before);
                let (problem, plan) = answer(cx, stone, before);
                let answer = plan.and_then(|plan| shown(cx, stone, plan, ahead));
                Planned { of, revision: cx.view.revision, problem, answer }
            }
        }
    }

    fn plan_ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>, stone: &StoneSheet, shown: &Shown) {
        card::ui(ui, shown);
        if !shown.coat_words.is_empty() {
            second(ui, shown.coat_words.as_str());
        }
        gap(ui, 5.0 * space::STEP);
        rule(ui);
        gap(ui, 4.0 * space::STEP);
        facts_ui(ui, &shown.facts);
        gap(ui, 4.0 * space::STEP);
        let care = shown.ahead_words.iter().flat_map(|words| words.care.iter().map(String::as_str));
        let notes = [shown.card.guess.as_str(), shown.card.caution.as_str()].into_iter().chain(care);
        let notes = notes.chain(shown.learned.iter().map(String::as_str));
        // One frame for all of them, so that the button stays in sight.
        let notes: Vec<&str> = notes.filter(|words| !words.is_empty()).collect();
        if !notes.is_empty() {
            note(ui, |ui| ui.vertical(|ui| notes_ui(ui, cx, stone, &notes)));
            gap(ui, 2.0 * space::STEP);
        }
        if let (None, Err(why)) = (&shown.ahead_words, shown.ahead.answer()) {
            say(ui, Face::Body, Tokens::of(ui).care, labels_shell::not_yet(why));
        }
        self.again_ui(ui, cx, stone, shown);
        gap(ui, 2.0 * space::STEP);
        self.keep_ui(ui, cx, stone, shown);
        gap(ui, 2.0 * space::STEP);
        // Under the button, which stays in sight in the smallest window.
        if let Some(words) = &shown.ahead_words {
            second(ui, words.binds.as_str());
            gap(ui, space::STEP);
        }
        sentence(ui, |ui| {
            ui.spacing_mut().item_spacing.x = 6.0 * space::STEP;
            fold(ui, labels::EXPECT, &mut self.folds.expect);
            fold(ui, labels::WISHES, &mut self.folds.wishes);
            fold(ui, labels::POTS, &mut self.folds.pots);
            fold(ui, labels::MAKES, &mut self.folds.makes);
        });
    }

    /// What stands open under the plan, or under why there is none.
    fn folds_ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>, stone: &StoneSheet, planned: &Planned) {
        let shown = planned.answer.as_ref().ok();
        let before = self.later.take();
        if self.folds.want_later() {
            let plan = shown.map(|shown| &shown.plan);
            self.later = Some(Later::of(cx, stone, planned.problem.as_ref(), plan, before));
        }
        let (folds, later) = (self.folds, self.later.as_ref());
        if let Some((shown, words)) = shown.and_then(|shown| Some((shown, shown.ahead_words.as_ref()?)))
            && folds.expect
        {
            part(ui, labels::EXPECT, self.opened);
            ahead::expect_ui(ui, words, shown);
        }
        if folds.wishes {
            part(ui, labels::WISHES, self.opened);
            if planned.problem.is_some() || shown.is_none() {
                let plan = shown.map(|shown| &shown.plan);
                let asked = (later.and_then(Later::even), later.and_then(Later::more));
                wishes::ui(ui, cx, stone, plan, asked);
            } else {
                second(ui, labels::BEGUN);
            }
        }
        let (Some(shown), Some(later)) = (shown, later) else { return };
        if folds.pots {
            part(ui, labels::POTS, self.opened);
            ahead::pots_ui(ui, later);
        }
        if folds.makes {
            part(ui, labels::MAKES, self.opened);
            ahead::makes_ui(ui, later, &mut self.folds.makes_explained);
        }
        if folds.explained {
            gap(ui, 4.0 * space::STEP);
            if self.opened == Some(labels::EXPLAIN) {
                ui.scroll_to_cursor(Some(Align::TOP));
            }
            let pigment = stone_words::pigment(cx.view.studio, &stone.pigment);
            for one in ahead::explained(shown, Some(later), pigment) {
                explained(ui, &one);
            }
        }
    }

    /// Why the rest of a begun stone is to be planned again, and the way to do it.
    fn again_ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>, stone: &StoneSheet, shown: &Shown) {
        if shown.again.is_empty() {
            return;
        }
        sentence(ui, |ui| {
            say(ui, Face::Body, Tokens::of(ui).ink, &shown.again);
            if link(ui, labels::PLAN_ON).clicked() {
                match cx.view.studio.plan_on(cx.tag, stone, cx.view.now.day()) {
                    Ok(plan) => {
                        self.trouble = None;
                        keep(cx, stone, plan);
                    }
                    Err(why) => self.trouble = Some(why.to_string()),
                }
            }
        });
    }

    fn keep_ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>, stone: &StoneSheet, shown: &Shown) {
        let tokens = Tokens::of(ui);
        ui.horizontal(|ui| {
            ui.spacing_mut().item_spacing.x = 20.0;
            let words = if shown.kept { labels::POUR } else { labels::KEEP };
            if main_button(ui, words).clicked() {
                if !shown.kept {
                    keep(cx, stone, shown.plan.clone());
                }
                cx.go(Page::Pour);
                cx.wish(Wish::Stone(cx.tag, stone.no));
            }
            if shown.others && plain_button(ui, labels::KEEP_ALL).clicked() {
                keep_all(cx);
            }
            fold(ui, labels::EXPLAIN, &mut self.folds.explained);
            // Two buttons leave no room beside them.
            if !shown.others {
                ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                    ui.add(
                        egui::Label::new(
                            egui::RichText::new(shown.uses.as_str())
                                .font(Face::Body.font())
                                .color(tokens.ink_3),
                        )
                        .truncate(),
                    );
                });
            }
        });
        if shown.others {
            gap(ui, 2.0 * space::STEP);
            say(ui, Face::Body, tokens.ink_3, shown.uses.as_str());
        }
    }
}

/// The plan of a stone, with what was asked for it: the plan that was kept once the stone is begun, else what the
/// shelf and the sheet give now.
fn answer(
    cx: &Cx<'_>,
    stone: &StoneSheet,
    before: Option<Planned>,
) -> (Option<Problem>, Result<Plan, PlanningError>) {
    let begun = cx.held.ledger.pours.stones.contains_key(&stone.no);
    if let Some(kept) = stone.plan.as_ref().filter(|_| begun) {
        return (None, Ok(kept.clone()));
    }
    match cx.view.studio.problem_learned(cx.tag, stone, cx.view.now.day()) {
        Err(why) => (None, Err(why)),
        Ok((problem, _)) => match before {
            Some(Planned { problem: Some(asked), answer, .. }) if asked == problem => {
                (Some(problem), answer.map(|shown| shown.plan))
            }
            _ => {
                let plan = promised(&problem).map(|new| kept_or(stone, new)).map_err(PlanningError::from);
                (Some(problem), plan)
            }
        },
    }
}

/// What was worked out before, and apart from it what follows from it.
fn apart(before: Option<Planned>) -> (Option<Planned>, Option<Ahead>) {
    let ahead =
        before.as_ref().and_then(|planned| planned.answer.as_ref().ok()).map(|shown| shown.ahead.clone());
    (before, ahead)
}

/// What is to be known of a plan, a line each; the words on a test lead to that of the stone's bottle.
fn notes_ui(ui: &mut Ui, cx: &mut Cx<'_>, stone: &StoneSheet, notes: &[&str]) {
    let ink = Tokens::of(ui).ink_2;
    for words in notes {
        let Some((before, after)) = words.split_once(labels::TEST_YOURS) else {
            say(ui, Face::Body, ink, *words);
            continue;
        };
        sentence(ui, |ui| {
            ui.spacing_mut().item_spacing.x = 0.0;
            // A line with a link in it stands as near to the next as any other.
            ui.spacing_mut().interact_size.y = 0.0;
            say(ui, Face::Body, ink, before);
            if link(ui, labels::TEST_YOURS).clicked() {
                cx.wish(Wish::Test(stone.resin.clone()));
            }
            say(ui, Face::Body, ink, after);
        });
    }
}

/// A heading within the page, over what a fold has opened; brought into sight where that was just now.
fn part(ui: &mut Ui, words: &str, opened: Option<&str>) {
    gap(ui, 5.0 * space::STEP);
    if opened == Some(words) {
        ui.scroll_to_cursor(Some(Align::TOP));
    }
    heading(ui, words);
    gap(ui, 2.0 * space::STEP);
}

/// A plan with its words and all that is drawn with it.
fn shown(cx: &Cx<'_>, stone: &StoneSheet, plan: Plan, before: Option<Ahead>) -> Result<Shown, PlanningError> {
    let studio = cx.view.studio;
    let begun = cx.held.ledger.pours.stones.contains_key(&stone.no);
    let cavity = studio.cavity_of(stone)?;
    let ahead = Ahead::of(cx, stone, (&plan, &cavity), before);
    let layers = ahead.answer().map_or(&[][..], |foreseen| foreseen.layers.as_slice());
    let marks: Vec<PourMark> = layers.iter().map(|layer| layer.mark).collect();
    let card = plan_words::card(&plan, &marks);
    let learned = plan_words::learned(studio, stone, &plan, cx.view.now.day());
    let mut ahead_words = ahead.answer().ok().map(|foreseen| plan_words::ahead(cx.held, &plan, foreseen));
    if let Some(words) = &mut ahead_words {
        learned.at_layers(words);
    }
    Ok(Shown {
        ahead_words,
        learned: learned.notes,
        ahead,
        again: if begun {
            plan_words::again(studio, cx.tag, stone, cx.view.now.day())
        } else {
            String::new()
        },
        material: studio.materials_of(cx.tag, stone)?.first().copied(),
        colour: stone_words::colour(studio, stone),
        facts: plan_words::facts(&plan, &card, cavity.depth()),
        coat: studio.top_coat_of(stone).ok(),
        coat_words: plan_words::top_coat(studio, cx.held, stone),
        uses: stone_words::uses(studio, cx.held, stone),
        kept: stone.plan.as_ref() == Some(&plan),
        others: stones::unplanned(cx.held).any(|other| other.no != stone.no),
        cavity,
        plan,
        card,
    })
}

/// Keeps a plan with the stone it was made for. Where a field that was left by this very click has changed the stone,
/// the plan is of another one, and the next look shows the new.
fn keep(cx: &mut Cx<'_>, planned: &StoneSheet, plan: Plan) {
    let of = StoneSheet { plan: None, ..planned.clone() };
    cx.sheet(|sheet| {
        if let Some(stone) = sheet.stones.iter_mut().find(|stone| stone.no == of.no) {
            let now = StoneSheet { plan: None, ..stone.clone() };
            if now == of {
                stone.plan = Some(plan);
            }
        }
    });
}

/// Keeps the plan of every stone that keeps none yet. A stone that was changed in this frame is left for the next press.
fn keep_all(cx: &mut Cx<'_>) {
    let before = cx.held.order.sheet.stones.clone();
    let plans = stones::plans_to_keep(cx.view.studio, cx.held, cx.view.now.day());
    cx.sheet(|sheet| {
        for (no, plan) in plans {
            let same = |stone: &&mut StoneSheet| stone.no == no && before.contains(stone);
            if let Some(stone) = sheet.stones.iter_mut().find(same) {
                stone.plan = Some(plan);
            }
        }
    });
}

/// Words in a row of steps, on the same line as they are.
fn words_beside(ui: &mut Ui, words: &str) {
    let tokens = Tokens::of(ui);
    let galley = ui.painter().layout_no_wrap(words.to_owned(), Face::Body.font(), tokens.ink_2);
    let (rect, _) = ui.allocate_exact_size(vec2(galley.size().x, 26.0), egui::Sense::hover());
    let at = egui::pos2(rect.left(), rect.center().y - galley.size().y / 2.0);
    ui.painter().galley(at, galley, tokens.ink_2);
}

/// What the plan promises, side by side.
fn facts_ui(ui: &mut Ui, facts: &[(String, String); 4]) {
    let column = (ui.available_width() / facts.len().max(1) as f32).min(220.0);
    ui.horizontal_top(|ui| {
        ui.spacing_mut().item_spacing.x = 0.0;
        for (title, words) in facts {
            ui.allocate_ui_with_layout(vec2(column, 44.0), Layout::top_down(Align::LEFT), |ui| {
                ui.set_width(column - 4.0 * space::STEP);
                pair(ui, title, words);
            });
            ui.add_space(4.0 * space::STEP);
        }
    });
}

/// Nothing fits: what binds, and the smallest change that frees it.
fn stuck_ui(ui: &mut Ui, why: &PlanningError, problem: Option<&Problem>) {
    let tokens = Tokens::of(ui);
    let (words, change) = match why {
        PlanningError::Plan(why) => {
            let said =
                problem.map_or_else(|| plan_words::not_yet(why), |of| plan_words::not_yet_for(of, why));
            (said.words, said.change)
        }
        PlanningError::Shelf(why) => (labels_shell::not_yet(why), String::new()),
        PlanningError::Learning(why) => (labels_shell::not_yet(why), String::new()),
    };
    say(ui, Face::Body, tokens.care, words);
    if !change.is_empty() {
        say(ui, Face::Body, tokens.ink, change);
    }
}
