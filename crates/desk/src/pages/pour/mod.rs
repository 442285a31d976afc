//! The pour page: one stone, layer by layer, with what is to be done now as one big step.

mod controls;
mod keys;
mod layers;
mod picture;
mod ring;

use std::collections::{BTreeMap, BTreeSet};

use chrono::NaiveDate;
use craft::fact::LayerKind;
use craft::foreseen::{Against, Heard};
use craft::id::Thing;
use craft::moment::Moment;
use craft::order::Page;
use craft::place::Place;
use craft::tag::Tag;
use craft::units::Length;
use egui::{Align, FontId, Layout, Ui, vec2};
use workbench::pouring::{self, Light, Step, Why};
use workbench::present::labels::common::EXPLAIN;
use workbench::present::labels::pour as label;
use workbench::present::labels::shell::not_yet;
use workbench::present::plan_words::Explained;
use workbench::present::pour_explained;
use workbench::present::pour_words::{self, StepWords};

use super::common;
use super::guard::Guard;
use super::kept::Kept;
use super::pack::TagField;
use crate::cx::{Cx, Wish};
use crate::look::{Face, Tokens, space};
use crate::widgets::{explained, fold, gap, heading, link, main_button, rule, say, second, tab};

/// The pour page's own state.
#[derive(Debug, Default)]
pub(super) struct PourPage {
    /// The stone that is looked at, once one was.
    stone: Option<u8>,
    /// The layer that goes under the lamp although it may still settle.
    hurried: Option<(u8, u8)>,
    /// Stones that do not go under the lamp with this one.
    left_out: BTreeSet<u8>,
    /// A layer that is laid otherwise than planned.
    otherwise: Otherwise,
    /// Where a stone is put down.
    put: Option<(u8, Place)>,
    /// Where trimmings are put.
    bag: Option<Place>,
    /// The bag whose offcuts are lit, and by which press.
    curing: Option<Thing>,
    cure_with: usize,
    /// The page is to be seen from its top.
    to_top: bool,
    /// The packet that is to be opened, and its tag.
    opening: Option<Thing>,
    tag: TagField,
    /// The stone that was begun just now: the keyboard goes to the tag of its packet.
    begun: Option<u8>,
    /// A stone that was said to be out; the next one comes up once that is accepted.
    taking_out: Option<u8>,
    /// Where a packet goes back to, where that is not where it came from.
    back: Option<(Thing, Place)>,
    /// When the space bar went down last.
    spaced: Option<Moment>,
    /// A stone that was asked for; its plan is opened once it is on the sheet.
    remade: Option<u8>,
    /// What can be done with a stone that did not come out is shown.
    not_right: bool,
    /// How the figures of the page are worked out is shown.
    explained: bool,
    explanations: Kept<(Tag, u8, u64, std::mem::Discriminant<Step>), Vec<Explained>>,
    heat: Option<Heat>,
    trouble: Option<String>,
    /// What speaks against the plans of the order's stones.
    doubted: Option<Doubted>,
}

/// What was looked up once: whether what was learned speaks against the plans of an order's stones, as the studio is at
/// this revision.
#[derive(Debug)]
struct Doubted {
    of: (Tag, u64, NaiveDate),
    heard: Heard,
    against: BTreeMap<u8, Option<Against>>,
}

/// What differs from the plan in the layer that is laid.
#[derive(Debug, Default)]
struct Otherwise {
    /// The stone and the layer.
    of: Option<(u8, u8)>,
    open: bool,
    kind: Option<LayerKind>,
    thickness: Option<Length>,
}

/// One stone as it stands now.
struct Now<'a> {
    no: u8,
    step: &'a Step,
    words: &'a StepWords,
    /// Where the page begins, scrolled or not.
    top: f32,
    /// Another stone that hands are wanted at.
    other: Option<(u8, &'a Step)>,
    /// What the space bar does here, while no lamp wants it.
    space: Space,
    /// What the plan warns of in the layer at hand.
    heat: Option<&'a str>,
}

/// The warning of a layer, worked out once for each layer and state of the studio.
#[derive(Debug)]
struct Heat {
    of: (u8, u8, u64),
    words: Option<String>,
}

/// What the space bar does for the page's main button.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Space {
    /// Nothing: it is the lamp's, or what is to be done is not done blindly.
    No,
    /// Nothing yet: something else of the page has the keyboard.
    Held,
    /// It stands for the button.
    Ready,
    /// It went down.
    Pressed,
}

/// From this width on the step and the picture stand side by side.
const BESIDE: f32 = 620.0;
/// The column of one stone in the row of them.
const STONE: f32 = 150.0;
/// Between the two.
const BETWEEN: f32 = 36.0;
/// Below this height of the page a wait stands beside its words, in points.
const LOW: f32 = 330.0;
/// The ring of a low window.
const LOW_RING: f32 = 168.0;
/// The widest both together grow.
const WIDEST: f32 = 1_100.0;

impl Doubted {
    /// What speaks against the plan of a stone: looked up again only where the studio has changed, or the day.
    fn against(&mut self, cx: &Cx<'_>, no: u8) -> Option<&Against> {
        let (studio, today, heard) = (cx.view.studio, self.of.2, &mut self.heard);
        let look = || {
            let stone = cx.held.order.sheet.stone(no)?;
            studio.against_heard(cx.tag, stone, today, heard)
        };
        self.against.entry(no).or_insert_with(look).as_ref()
    }
}

impl PourPage {
    pub(crate) fn ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>, guard: &mut Guard) {
        let top = ui.cursor().top();
        if std::mem::take(&mut self.to_top) {
            ui.scroll_to_cursor(Some(Align::TOP));
        }
        self.accepted(cx);
        let steps = self.steps_of(cx);
        let Some(no) = self.looked_at(&steps) else {
            empty_ui(ui, cx);
            return;
        };
        self.stone = Some(no);
        let step = self.step_of(&steps, no);
        let free = pouring::is_for_space(&step) && !pouring::lamp_wants_space(&cx.view.waits, &steps);
        let pressed = keys::take(ui, cx, self, (no, &step));
        let space = match (free, pressed) {
            (false, _) => Space::No,
            (true, false) if keys::is_held(ui) => Space::Held,
            (true, false) => Space::Ready,
            (true, true) => Space::Pressed,
        };
        let words = pour_words::step(cx.view.studio, cx.held, no, &step);
        let heat = self.heat_of(cx, no, &step);
        let other = steps.iter().find(|(other, step)| *other != no && step.is_for_hands());
        let other = other.map(|(other, step)| (*other, step));
        let heat = heat.as_deref();
        let now = Now { no, step: &step, words: &words, top, other, space, heat };
        // In a low window the wait comes first, so that its digits are seen without scrolling.
        let is_low = ui.clip_rect().height() < LOW && step.wait().is_some();
        if is_low {
            self.low_ui(ui, cx, &now);
            gap(ui, 4.0 * space::STEP);
            self.stones_ui(ui, &steps, no);
            picture::ui(ui, cx, &now);
        } else {
            self.stones_ui(ui, &steps, no);
            if matches!(step, Step::Open(_) | Step::PutIn { .. }) {
                guard.before_ui(ui, cx, matches!(step, Step::Open(_)));
                if matches!(step, Step::PutIn { .. }) {
                    guard.cavity_ui(ui, cx, no);
                }
            }
            self.step_ui(ui, cx, &now);
        }
        meanwhile_ui(self, ui, &now);
        gap(ui, 5.0 * space::STEP);
        if matches!(step, Step::Open(_) | Step::PutIn { .. } | Step::Close(_)) {
            guard.tags_ui(ui, cx);
        }
        layers::ui(ui, cx, no);
        self.after_ui(ui, cx, no, &step);
        common::words_ui(ui, cx, Page::Pour);
        common::cautions_ui(ui, cx, Page::Pour);
        self.explained_ui(ui, cx, (no, &step));
    }

    /// How the figures of the page are worked out; put together again only where the studio or the kind of step is another.
    fn explained_ui(&mut self, ui: &mut Ui, cx: &Cx<'_>, (no, step): (u8, &Step)) {
        if !pour_explained::has_any(cx.held, no, step) {
            return;
        }
        gap(ui, 4.0 * space::STEP);
        if !fold(ui, EXPLAIN, &mut self.explained) {
            return;
        }
        gap(ui, 3.0 * space::STEP);
        let of = (cx.tag, no, cx.view.revision, std::mem::discriminant(step));
        let all = || pour_explained::explained(cx.view.studio, cx.held, no, step);
        for one in self.explanations.get(of, all) {
            explained(ui, one);
        }
    }

    /// What the plan warns of in the layer that is laid or lit next.
    fn heat_of(&mut self, cx: &Cx<'_>, no: u8, step: &Step) -> Option<String> {
        let layer = match step {
            Step::Lay(lay) => lay.layer,
            Step::Settle(_, light) | Step::Light(light) => light.layer,
            _ => return None,
        };
        let of = (no, layer, cx.view.revision);
        let (studio, today) = (cx.view.studio, cx.view.now.day());
        let same = self.heat.take().filter(|heat| heat.of == of);
        let fresh = || Heat { of, words: pour_words::heat(studio, cx.held, (no, step), today) };
        self.heat.insert(same.unwrap_or_else(fresh)).words.clone()
    }

    /// The lamp's key, wherever the keyboard stands in the window: taken before anything is drawn, so that nothing else
    /// is pressed with it. Leaves it alone while no step asks for the lamp.
    pub(super) fn lamp_key(&mut self, ui: &Ui, cx: &mut Cx<'_>) {
        if !keys::is_space_down(ui) {
            return;
        }
        let steps = self.steps_of(cx);
        if let Some(no) = self.looked_at(&steps) {
            let step = self.step_of(&steps, no);
            keys::take_lamp(ui, cx, self, (no, &step));
        }
    }

    fn looked_at(&self, steps: &[(u8, Step)]) -> Option<u8> {
        let chosen = self.stone.filter(|no| steps.iter().any(|(other, _)| other == no));
        chosen.or_else(|| pouring::first_stone(steps))
    }

    /// What every stone of the order waits for, as the board says it too.
    fn steps_of(&mut self, cx: &Cx<'_>) -> Vec<(u8, Step)> {
        let of = (cx.tag, cx.view.revision, cx.view.now.day());
        let doubted = self.doubted.take().filter(|doubted| doubted.of == of);
        let mut doubted =
            doubted.unwrap_or_else(|| Doubted { of, heard: Heard::default(), against: BTreeMap::new() });
        let steps = pouring::steps(cx.view.studio, cx.held, cx.view.now).into_iter().map(|(no, step)| {
            let against = if step.goes_by_its_plan() { doubted.against(cx, no) } else { None };
            (no, step.unless(against))
        });
        let steps = steps.collect();
        self.doubted = Some(doubted);
        steps
    }

    fn step_of(&self, steps: &[(u8, Step)], no: u8) -> Step {
        let step = steps.iter().find(|(other, _)| *other == no).map(|(_, step)| step.clone());
        self.hurry(no, step.unwrap_or(Step::Plan))
    }

    /// Goes on from what was handed in before, where it was accepted; where it was refused all stays as it is.
    fn accepted(&mut self, cx: &mut Cx<'_>) {
        if let Some(new) = self.remade.take()
            && cx.held.order.sheet.stone(new).is_some()
        {
            plan_it(cx, new);
        }
        let pours = &cx.held.ledger.pours.stones;
        if let Some(no) = self.taking_out.take()
            && pours.get(&no).is_some_and(|stone| stone.taken_out)
        {
            // The next stone that wants hands comes up.
            *self = Self::default();
        }
    }

    /// A layer that the maker wants under the lamp does not settle any more.
    fn hurry(&self, no: u8, step: Step) -> Step {
        match step {
            Step::Settle(_, light) if self.hurried == Some((no, light.layer)) => {
                Step::Light(Light { why: Why::Hurried, ..light })
            }
            step => step,
        }
    }

    /// The stones of the order side by side, each with how it stands.
    fn stones_ui(&mut self, ui: &mut Ui, steps: &[(u8, Step)], open: u8) {
        for row in steps.chunks(common::columns_in(ui.available_width(), STONE)) {
            ui.horizontal_top(|ui| {
                ui.spacing_mut().item_spacing.x = 0.0;
                for (no, step) in row {
                    if stone_ui(ui, *no, step, *no == open) {
                        self.look_at(*no);
                    }
                }
            });
        }
        gap(ui, 4.0 * space::STEP);
    }

    /// Shows this stone from its top.
    pub(super) fn show(&mut self, no: u8) {
        self.look_at(no);
        self.to_top = true;
    }

    fn look_at(&mut self, no: u8) {
        if self.stone != Some(no) {
            *self = Self { stone: Some(no), ..Self::default() };
        }
    }

    /// The step, and the picture of the mould beside or under it.
    fn step_ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>, now: &Now<'_>) {
        let room = ui.available_width().min(WIDEST);
        if room < BESIDE {
            self.left_ui(ui, cx, now);
            gap(ui, 4.0 * space::STEP);
            picture::ui(ui, cx, now);
            return;
        }
        let column = (room - BETWEEN) / 2.0;
        ui.horizontal_top(|ui| {
            ui.spacing_mut().item_spacing.x = BETWEEN;
            ui.allocate_ui_with_layout(vec2(column, 300.0), Layout::top_down(Align::LEFT), |ui| {
                ui.set_width(column);
                ui.spacing_mut().item_spacing.x = 2.0 * space::STEP;
                self.left_ui(ui, cx, now);
            });
            ui.allocate_ui_with_layout(vec2(column, 300.0), Layout::top_down(Align::LEFT), |ui| {
                ui.set_width(column);
                ui.spacing_mut().item_spacing.x = 2.0 * space::STEP;
                picture::ui(ui, cx, now);
            });
        });
    }

    fn left_ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>, now: &Now<'_>) {
        words_ui(ui, now);
        if let Some(wait) = now.step.wait() {
            // What stands below the ring is to be seen with it.
            let above = ui.cursor().top() - now.top;
            let beside = ring::ui(ui, now.no, wait, ui.clip_rect().height() - above - ring::BELOW);
            if let Some(words) = beside {
                say(ui, Face::Body, Tokens::of(ui).ink_2, words);
            }
            gap(ui, 3.0 * space::STEP);
        }
        controls::ui(self, ui, cx, now);
        if now.step.wait().is_none() {
            cares_ui(ui, now.step);
        }
    }

    /// The wait and its words side by side.
    fn low_ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>, now: &Now<'_>) {
        ui.horizontal_top(|ui| {
            ui.spacing_mut().item_spacing.x = 5.0 * space::STEP;
            let high = ui.clip_rect().height() - 7.0 * space::STEP;
            let beside = now.step.wait().and_then(|wait| ring::ui(ui, now.no, wait, high.min(LOW_RING)));
            let room = ui.available_width();
            ui.allocate_ui_with_layout(vec2(room, LOW_RING), Layout::top_down(Align::LEFT), |ui| {
                ui.set_width(room);
                ui.spacing_mut().item_spacing.x = 2.0 * space::STEP;
                if let Some(words) = beside {
                    say(ui, Face::Heading, Tokens::of(ui).ink, words);
                }
                words_ui(ui, now);
                controls::ui(self, ui, cx, now);
                cares_ui(ui, now.step);
            });
        });
    }

    /// What comes after the last layer, and what is done with a stone that did not come out.
    fn after_ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>, no: u8, step: &Step) {
        let begun = cx.held.ledger.pours.stones.contains_key(&no);
        let idle = !matches!(step, Step::Lit(_) | Step::LightOver(_) | Step::AskLamp(_) | Step::Closed(_));
        if cx.held.ledger.pours.stones.values().any(|stone| stone.taken_out) && !cx.held.ledger.home.is_gone()
        {
            controls::bag_ui(self, ui, cx);
            controls::cure_ui(self, ui, cx);
        }
        self.not_right &= idle;
        if begun && idle && fold(ui, label::NOT_RIGHT, &mut self.not_right) {
            ui.horizontal_wrapped(|ui| {
                ui.spacing_mut().item_spacing.x = 5.0 * space::STEP;
                if link(ui, label::SET_ASIDE).clicked() {
                    cx.fact(pouring::set_aside(no));
                }
                if link(ui, label::REMAKE).clicked() {
                    self.remake(cx, no);
                }
            });
        }
        if let Some(why) = &self.trouble {
            say(ui, Face::Body, Tokens::of(ui).care, not_yet(why));
        }
        gap(ui, 5.0 * space::STEP);
    }

    fn remake(&mut self, cx: &mut Cx<'_>, no: u8) {
        match pouring::another_like(cx.view.studio, cx.held, no) {
            Ok(stone) => {
                self.remade = Some(stone.no);
                let set_aside = cx.fact_edit(pouring::set_aside(no));
                let planned = cx.sheet_edit(|sheet| sheet.stones.push(stone));
                cx.hand_in(vec![set_aside, planned], &[]);
                self.trouble = None;
            }
            Err(why) => self.trouble = Some(why),
        }
    }
}

/// Opens the plan of this stone.
fn plan_it(cx: &mut Cx<'_>, no: u8) {
    cx.go(Page::Plan);
    cx.wish(Wish::Stone(cx.tag, no));
}

fn words_ui(ui: &mut Ui, now: &Now<'_>) {
    let tokens = Tokens::of(ui);
    ui.label(egui::RichText::new(&now.words.title).font(title_font()).color(tokens.ink));
    gap(ui, space::STEP);
    for words in &now.words.lines {
        say(ui, Face::Body, tokens.ink_2, words.as_str());
    }
    if let Some(words) = now.heat {
        say(ui, Face::Body, tokens.care, words);
    }
    gap(ui, 3.0 * space::STEP);
}

fn cares_ui(ui: &mut Ui, step: &Step) {
    gap(ui, 2.0 * space::STEP);
    for care in cares(step) {
        say(ui, Face::Second, Tokens::of(ui).care, *care);
    }
}

/// One stone of the row; true where it was pressed.
fn stone_ui(ui: &mut Ui, no: u8, step: &Step, open: bool) -> bool {
    let column = ui.allocate_ui_with_layout(vec2(STONE, 44.0), Layout::top_down(Align::LEFT), |ui| {
        ui.set_width(STONE);
        ui.spacing_mut().item_spacing.y = space::TIGHT;
        let pressed = tab(ui, &label::stone(no), open, true).clicked();
        say(ui, Face::Second, Tokens::of(ui).ink_3, pour_words::short(step));
        pressed
    });
    column.inner
}

/// The size of words read from an arm's length.
fn title_font() -> FontId {
    FontId::new(Face::LampWords.font().size, Face::Strong.font().family)
}

/// The cautions that stand beside a step, always in sight.
fn cares(step: &Step) -> &'static [&'static str] {
    match step {
        Step::Light(_) | Step::Lit(_) | Step::LightOver(_) | Step::AskLamp(_) => {
            &[label::CARE_LIGHT, label::CARE_WET]
        }
        Step::Lay(lay) if lay.pigment.is_some() => &[label::CARE_WET, label::CARE_PIGMENT],
        Step::Lay(_) | Step::Settle(..) | Step::Cool(_) | Step::Feel { .. } => &[label::CARE_WET],
        _ => &[],
    }
}

fn empty_ui(ui: &mut Ui, cx: &mut Cx<'_>) {
    heading(ui, label::EMPTY);
    second(ui, label::EMPTY_MORE);
    gap(ui, 4.0 * space::STEP);
    if main_button(ui, label::TO_PLAN).clicked() {
        cx.go(Page::Plan);
    }
    gap(ui, space::BLOCK);
    common::words_ui(ui, cx, Page::Pour);
    common::cautions_ui(ui, cx, Page::Pour);
}

/// Another stone that hands are wanted at while this one waits.
fn meanwhile_ui(page: &mut PourPage, ui: &mut Ui, now: &Now<'_>) {
    let waits = now.step.wait().is_some() || matches!(now.step, Step::Closed(_));
    if let Some((other, step)) = now.other.filter(|_| waits) {
        gap(ui, 3.0 * space::STEP);
        rule(ui);
        gap(ui, 2.0 * space::STEP);
        if link(ui, &pour_words::meanwhile(other, step)).clicked() {
            page.look_at(other);
        }
    }
}
