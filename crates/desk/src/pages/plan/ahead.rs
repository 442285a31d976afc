//! What follows from a plan, folded away under it: layers, material, stone, pots and candidates.

use craft::foreseen::{Candidates, Foreseen, HowMany, OrderPots, Part, Stone, foresee};
use craft::geometry::Cavity;
use craft::heat::Sources;
use craft::order::StoneSheet;
use craft::planner::{Even, OneMore, Plan, Problem, even, one_more};
use craft::shelf::Pigment;
use egui::{Align, Layout, Sense, Ui, vec2};
use workbench::present::plan_words::{self, AheadWords, Explained, HowManyWords, PotsWords, Told};
use workbench::present::stone_words;

use super::Shown;
use crate::cx::Cx;
use crate::draw::stone::{StonePicture, stone_in};
use crate::look::{Face, Tokens, space};
use crate::pages::common;
use crate::widgets::{explained as explained_one, fold, gap, say, second};
use workbench::present::labels::plan as labels;

/// What follows from a plan, kept until the plan or what it is for changes: it takes some milliseconds.
#[derive(Clone, Debug)]
pub(super) struct Ahead {
    parts: Vec<Part>,
    cavity: Cavity,
    colour: (u8, u8, u8),
    sources: Sources,
    plan: Plan,
    answer: Result<Foreseen, String>,
}

impl Ahead {
    /// What follows from this plan, as it was where nothing of it has changed.
    pub(super) fn of(
        cx: &Cx<'_>,
        stone: &StoneSheet,
        (plan, cavity): (&Plan, &Cavity),
        before: Option<Self>,
    ) -> Self {
        let studio = cx.view.studio;
        let parts = studio.parts_of(cx.tag, stone).unwrap_or_default();
        let colour = stone_words::colour(studio, stone).unwrap_or((128, 128, 128));
        let of_lamp = (&stone.lamp, plan.lights.as_slice());
        let today = cx.view.now.day();
        let sources = studio.heat_sources(&stone.resin, of_lamp, &plan.cure.resin, today);
        let sources = sources.unwrap_or(Sources::TYPICAL);
        let same = |old: &Self| {
            let stays = (&old.parts, &old.cavity, &old.plan) == (&parts, cavity, plan);
            stays && (old.colour, old.sources) == (colour, sources)
        };
        before.filter(same).unwrap_or_else(|| {
            let asked = Stone { cavity, parts: &parts, colour, sources };
            let answer = foresee(plan, &asked).map_err(|why| why.to_string());
            Self { answer, parts, cavity: cavity.clone(), colour, sources, plan: plan.clone() }
        })
    }

    /// The answer, or why there is none.
    pub(super) fn answer(&self) -> Result<&Foreseen, &str> {
        self.answer.as_ref().map_err(String::as_str)
    }
}

/// What is worked out only once its fold is open, and kept until something in the studio changes.
#[derive(Debug)]
pub(super) struct Later {
    revision: u64,
    stone: u8,
    pots: Result<(Vec<OrderPots>, Vec<PotsWords>), String>,
    makes: Vec<(u8, Candidates)>,
    makes_words: Vec<(String, String)>,
    shared: Vec<HowMany>,
    shared_words: Vec<HowManyWords>,
    even: Option<Even>,
    more: Option<OneMore>,
}

impl Later {
    /// As it was where nothing in the studio has changed, else worked out now.
    pub(super) fn of(
        cx: &Cx<'_>,
        stone: &StoneSheet,
        problem: Option<&Problem>,
        plan: Option<&Plan>,
        before: Option<Self>,
    ) -> Self {
        let same = |old: &Self| (old.revision, old.stone) == (cx.view.revision, stone.no);
        before.filter(same).unwrap_or_else(|| {
            let studio = cx.view.studio;
            let scale = studio.bench_scale();
            let makes = studio.candidates_of(cx.tag, stone, scale.as_ref()).unwrap_or_default();
            let shared = studio.how_many(cx.tag, stone, scale.as_ref()).unwrap_or_default();
            Self {
                shared_words: plan_words::how_many(cx.held, &shared),
                shared,
                revision: cx.view.revision,
                stone: stone.no,
                pots: pots(cx),
                makes_words: plan_words::candidates(cx.held, &makes),
                makes,
                even: problem.and_then(|problem| even(problem).ok().flatten()),
                more: problem.zip(plan).and_then(|(problem, plan)| {
                    let pigment = stone_words::pigment(studio, &stone.pigment);
                    one_more(problem, plan, pigment.is_some_and(|pigment| !pigment.cards.is_empty()))
                }),
            }
        })
    }

    pub(super) fn even(&self) -> Option<&Even> {
        self.even.as_ref()
    }

    /// One more colour layer, where the plan is short of surely hiding the metal.
    pub(super) fn more(&self) -> Option<&OneMore> {
        self.more.as_ref()
    }
}

/// The pots of all stones of the order that are planned or can be.
fn pots(cx: &Cx<'_>) -> Result<(Vec<OrderPots>, Vec<PotsWords>), String> {
    let studio = cx.view.studio;
    let plan_of = |stone: &StoneSheet| {
        stone.plan.clone().or_else(|| studio.plan_for(cx.tag, stone, cx.view.now.day()).ok())
    };
    let planned: Vec<(&StoneSheet, Plan)> =
        cx.held.order.sheet.stones.iter().filter_map(|stone| Some((stone, plan_of(stone)?))).collect();
    let asked: Vec<(&StoneSheet, &Plan)> = planned.iter().map(|(stone, plan)| (*stone, plan)).collect();
    let pots = studio.pots_of(cx.tag, &asked).map_err(|why| why.to_string())?;
    let scale = studio.bench_scale();
    let mut words = plan_words::pots(studio, &pots, scale.as_ref());
    words.extend(plan_words::top_coats(studio, cx.held));
    Ok((pots, words))
}

/// Everything that is explained of what follows, and of what was worked out later.
pub(super) fn explained(shown: &Shown, later: Option<&Later>, pigment: Option<&Pigment>) -> Vec<Explained> {
    let mut all: Vec<Explained> = plan_words::explained(&shown.plan, pigment).into();
    if let Ok(foreseen) = shown.ahead.answer() {
        all.extend(plan_words::explained_ahead(&shown.plan, foreseen));
    }
    all.extend(shown.coat.as_ref().map(plan_words::explained_top_coat));
    if let Some(later) = later {
        all.extend(later.even().map(plan_words::explained_even));
        all.extend(later.more().map(plan_words::explained_one_more));
        all.extend(later.pots.as_ref().ok().map(|(pots, _)| plan_words::explained_pots(pots)));
        if !later.makes.is_empty() {
            all.push(plan_words::explained_spread(&later.makes));
        }
    }
    all
}

/// What to expect: layers side by side, then the material, then the whole stone with its two drops.
pub(super) fn expect_ui(ui: &mut Ui, words: &AheadWords, shown: &Shown) {
    blocks_ui(ui, &words.layers);
    blocks_ui(ui, &words.material);
    told_ui(ui, &words.whole);
    if let Some(look) = shown.ahead.answer().ok().and_then(|foreseen| foreseen.look) {
        gap(ui, 2.0 * space::STEP);
        ui.horizontal_top(|ui| {
            ui.spacing_mut().item_spacing.x = 6.0 * space::STEP;
            drop_ui(ui, shown, look.over_metal, labels::OVER_METAL);
            drop_ui(ui, shown, look.over_dark, labels::OVER_DARK);
        });
    }
}

/// A stone in a colour, with a word under it.
fn drop_ui(ui: &mut Ui, shown: &Shown, colour: (u8, u8, u8), words: &str) {
    let size = vec2(96.0, 64.0);
    ui.allocate_ui_with_layout(vec2(size.x, size.y + 22.0), Layout::top_down(Align::Center), |ui| {
        let (rect, _) = ui.allocate_exact_size(size, Sense::hover());
        let outline = Some(shown.cavity.outline());
        let picture = StonePicture { outline, colour: Some(colour), begun: true, chosen: false };
        stone_in(ui.painter(), Tokens::of(ui), rect, &picture);
        second(ui, words);
    });
}

/// The width of one block of words.
const BLOCK: f32 = 340.0;
/// Between two of them.
const BETWEEN: f32 = 28.0;

fn blocks_ui(ui: &mut Ui, blocks: &[(String, Told)]) {
    let tokens = Tokens::of(ui);
    let room = ui.available_width();
    let columns = common::columns_in(room + BETWEEN, BLOCK + BETWEEN).max(1);
    for row in blocks.chunks(columns) {
        ui.horizontal_top(|ui| {
            ui.spacing_mut().item_spacing.x = BETWEEN;
            for (name, told) in row {
                let width = BLOCK.min(room);
                ui.allocate_ui_with_layout(vec2(width, 0.0), Layout::top_down(Align::LEFT), |ui| {
                    ui.set_width(width);
                    say(ui, Face::Strong, tokens.ink, name.as_str());
                    told_ui(ui, told);
                });
            }
        });
        gap(ui, 3.0 * space::STEP);
    }
}

/// The column of names.
const NAME: f32 = 84.0;

/// A name and a few words, one line each, in the small face.
fn told_ui(ui: &mut Ui, told: &[(&'static str, String)]) {
    for (name, words) in told {
        row_ui(ui, (name, NAME), words);
    }
}

fn row_ui(ui: &mut Ui, (name, column): (&str, f32), words: &str) {
    let tokens = Tokens::of(ui);
    ui.horizontal_top(|ui| {
        ui.spacing_mut().item_spacing.x = 2.0 * space::STEP;
        ui.allocate_ui_with_layout(vec2(column, 17.0), Layout::top_down(Align::LEFT), |ui| {
            ui.set_width(column);
            say(ui, Face::Second, tokens.ink_3, name);
        });
        ui.vertical(|ui| say(ui, Face::Second, tokens.ink, words));
    });
}

/// The column of names of pots and materials.
const POT: f32 = 170.0;

/// The pots, colour by colour.
pub(super) fn pots_ui(ui: &mut Ui, later: &Later) {
    let tokens = Tokens::of(ui);
    match &later.pots {
        Err(why) => {
            say(ui, Face::Body, tokens.care, workbench::present::labels::shell::not_yet(why));
        }
        Ok((_, all)) => {
            for pots in all {
                say(ui, Face::Strong, tokens.ink, pots.title.as_str());
                for (name, words) in &pots.rows {
                    row_ui(ui, (name, POT), words);
                }
                if !pots.note.is_empty() {
                    second(ui, pots.note.as_str());
                }
                gap(ui, 3.0 * space::STEP);
            }
        }
    }
}

/// How many stones each material makes: number by number, then for the share that is planned.
pub(super) fn makes_ui(ui: &mut Ui, later: &Later, is_explained: &mut bool) {
    for told in &later.shared_words {
        say(ui, Face::Strong, Tokens::of(ui).ink, told.title.as_str());
        for (name, words) in &told.rows {
            row_ui(ui, (name, NAME), words);
        }
        if !told.note.is_empty() {
            second(ui, told.note.as_str());
        }
        gap(ui, 3.0 * space::STEP);
    }
    if later.makes_words.is_empty() {
        second(ui, labels::NO_SHARE);
    }
    for (name, words) in &later.makes_words {
        row_ui(ui, (name, POT), words);
    }
    if !later.shared.is_empty() && fold(ui, labels::MAKES_HOW, is_explained) {
        explained_one(ui, &plan_words::explained_how_many(&later.shared));
    }
}
