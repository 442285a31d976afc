//! The guard against mix-ups before a packet is opened: orders whose names are alike, the bench to be cleared of another
//! client's material, and what has to bear this order's tag.

use chrono::NaiveDate;
use craft::id::Thing;
use craft::tag::Tag;
use egui::Ui;
use workbench::action::Action;
use workbench::present::alike::{self, AlikeRow};
use workbench::present::custody::{BenchRow, Carrier, CarrierRow, bench_row, carriers};
use workbench::present::labels::guard as labels;

use crate::cx::Cx;
use crate::look::{Face, Tokens, space};
use crate::widgets::{care, cells, fold, gap, note, say, second, tick};

/// What was worked out, and what it was worked out from.
#[derive(Debug, Default)]
pub(super) struct Guard {
    of: Option<(u64, Tag, NaiveDate)>,
    alike: Vec<AlikeRow>,
    /// What stands over them before something is opened, and while what came is written down.
    headings: [String; 2],
    bench: Option<BenchRow>,
    carriers: Vec<CarrierRow>,
    /// What has to bear the tag is shown.
    tags: bool,
}

impl Guard {
    /// Looks through the whole studio again only after a change of it.
    fn look(&mut self, cx: &Cx<'_>) {
        let of = (cx.view.revision, cx.tag, cx.view.now.day());
        if self.of == Some(of) {
            return;
        }
        self.alike = cx.view.alike(cx.tag);
        self.headings = [alike::heading(&self.alike), alike::heading_coming(&self.alike)];
        self.bench = bench_row(cx.view.studio, cx.tag, cx.view.now);
        self.carriers = carriers(cx.view.studio, cx.held);
        self.of = Some(of);
    }

    /// What is looked at before anything of this order is opened. Nothing where there is nothing to mix it up with.
    /// `opens` where the next thing done here opens a packet.
    pub(super) fn before_ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>, opens: bool) {
        self.alike_ui(ui, cx);
        if opens {
            self.bench_ui(ui, cx);
        }
        // What lies under something open is loose or wet, and is told apart by what stands on its sheet alone.
        let sheets = self.carriers.iter().filter(|row| row.carrier == Carrier::Sheet);
        for row in sheets {
            say(ui, Face::Strong, Tokens::of(ui).ink, labels::sheet(row));
            gap(ui, 3.0 * space::STEP);
        }
    }

    /// The orders whose names are alike, wherever something of this one comes into the hand.
    pub(super) fn alike_ui(&mut self, ui: &mut Ui, cx: &Cx<'_>) {
        self.look(cx);
        self.box_ui(ui, &self.headings[0]);
    }

    /// The same while a packet that came is written down.
    pub(super) fn coming_ui(&mut self, ui: &mut Ui, cx: &Cx<'_>) {
        self.look(cx);
        self.box_ui(ui, &self.headings[1]);
    }

    /// The one cavity that what is taken out goes into, by its tag.
    pub(super) fn cavity_ui(&mut self, ui: &mut Ui, cx: &Cx<'_>, stone: u8) {
        self.look(cx);
        let into = |row: &&CarrierRow| row.carrier == Carrier::Cavity && row.thing == Thing::stone(stone);
        if let Some(row) = self.carriers.iter().find(into) {
            say(ui, Face::Strong, Tokens::of(ui).ink, labels::cavity(row));
            gap(ui, 3.0 * space::STEP);
        }
    }

    fn box_ui(&self, ui: &mut Ui, heading: &str) {
        if !self.alike.is_empty() {
            note(ui, |ui| ui.vertical(|ui| self.rows_ui(ui, heading)));
            gap(ui, 4.0 * space::STEP);
        }
    }

    /// The orders whose names are alike, this one first.
    fn rows_ui(&self, ui: &mut Ui, heading: &str) {
        care(ui, heading);
        gap(ui, space::STEP);
        let tokens = Tokens::of(ui);
        for row in &self.alike {
            cells(ui, &[TAG, 0.0], |ui, place| {
                if place == 0 {
                    say(ui, Face::Strong, tokens.ink, row.tag.to_string());
                } else {
                    let (face, ink) =
                        if row.own { (Face::Strong, tokens.ink) } else { (Face::Body, tokens.ink_2) };
                    say(ui, face, ink, labels::alike(row));
                }
            });
        }
    }

    /// The bench is ticked as clear between two clients.
    fn bench_ui(&self, ui: &mut Ui, cx: &mut Cx<'_>) {
        let Some(row) = &self.bench else { return };
        let mut ticked = false;
        cells(ui, &[TICK, 0.0], |ui, place| {
            if place == 0 {
                ticked = tick(ui, labels::BENCH_CLEAR, false).clicked();
            } else {
                say(ui, Face::Strong, Tokens::of(ui).ink, labels::BENCH_HEAD);
                second(ui, row.words.as_str());
            }
        });
        gap(ui, 4.0 * space::STEP);
        if ticked {
            cx.act(Action::Edit(row.tick.clone()));
        }
    }

    /// Everything that has to bear the tag, where it is asked for.
    pub(super) fn tags_ui(&mut self, ui: &mut Ui, cx: &Cx<'_>) {
        self.look(cx);
        if self.carriers.is_empty() {
            return;
        }
        if fold(ui, labels::TAGS, &mut self.tags) {
            second(ui, labels::TAGS_SAYS);
            gap(ui, space::STEP);
            for row in &self.carriers {
                cells(ui, &[LABEL, 0.0], |ui, place| {
                    let tokens = Tokens::of(ui);
                    if place == 0 {
                        say(ui, Face::Strong, tokens.ink, row.label.as_str());
                    } else {
                        say(ui, Face::Body, tokens.ink_2, row.words.as_str());
                    }
                });
            }
        }
        gap(ui, 4.0 * space::STEP);
    }
}

/// The column of a tag.
const TAG: f32 = 84.0;
/// The column of a tag with the label of a thing.
const LABEL: f32 = 112.0;
/// The column of a tick box.
const TICK: f32 = 26.0;
