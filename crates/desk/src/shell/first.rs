//! The first page: look around the demo studio, start a studio in three questions, or open a folder.

use std::path::PathBuf;

use craft::money::Currency;
use egui::{Frame, Ui};

use crate::cx::{Asked, Wish};
use crate::look::{Face, Tokens, space};
use crate::widgets::{
    Drafts, Field, care, form_line, gap, heading, link, main_button, one_of, plain_button, say,
};
use workbench::present::labels::first as labels;

/// A studio to be made: the three answers.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NewStudio {
    /// What it is called.
    pub name: String,
    /// The folder it is kept in.
    pub folder: PathBuf,
    /// What its prices are in.
    pub currency: Currency,
}

/// The first page.
#[derive(Debug, Default)]
pub struct First {
    /// What is being typed.
    pub drafts: Drafts,
    /// What is to be said: why the last wish could not be done, and what was odd at the start.
    told: Vec<String>,
    /// What is being written meanwhile, and how far it is.
    pub under_way: Option<String>,
    /// The studios that were opened before, the newest in front.
    pub recent: Vec<PathBuf>,
    currency: Option<Currency>,
}

/// The keys of the drafts.
const NAME: &str = "first/name";
const FOLDER: &str = "first/folder";
const OPEN: &str = "first/open";

impl First {
    /// A first page that proposes folders under `home`.
    pub fn new(home: &std::path::Path) -> Self {
        let mut first = Self::default();
        first.drafts.put(FOLDER, home.join(labels::FOLDER_NAME).display().to_string());
        first
    }

    /// Says something over the page.
    pub fn tell(&mut self, words: &str) {
        if !self.told.iter().any(|told| told == words) {
            self.told.push(words.to_owned());
        }
    }

    /// Shows the page; `demo` is where the demo studio would go.
    pub fn ui(&mut self, ui: &mut Ui, demo: &std::path::Path) -> Vec<Wish> {
        let mut wishes = Vec::new();
        let tokens = Tokens::of(ui);
        let frame = Frame::new().fill(tokens.page).inner_margin(space::PAGE);
        egui::CentralPanel::default().frame(frame).show(ui, |ui| {
            egui::ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
                ui.set_max_width(680.0);
                gap(ui, space::BLOCK);
                say(ui, Face::Name, tokens.ink, "Heldfast");
                say(
                    ui,
                    Face::Body,
                    tokens.ink_2,
                    "A workbench for memorial stones, from the first enquiry to the thank-you. Nothing entrusted goes \
                     missing. Everything stays in one folder of yours: no account, no network.",
                );
                for told in &self.told {
                    gap(ui, 3.0 * space::STEP);
                    care(ui, told.as_str());
                }
                if let Some(words) = &self.under_way {
                    gap(ui, 3.0 * space::STEP);
                    say(ui, Face::Body, tokens.ink, words);
                }
                gap(ui, space::BLOCK);
                demo_ui(ui, demo, &mut wishes);
                gap(ui, space::BLOCK);
                self.start_ui(ui, &mut wishes);
                gap(ui, space::BLOCK);
                self.open_ui(ui, &mut wishes);
            });
        });
        wishes
    }

    fn start_ui(&mut self, ui: &mut Ui, wishes: &mut Vec<Wish>) {
        let tokens = Tokens::of(ui);
        heading(ui, labels::START);
        say(ui, Face::Body, tokens.ink_2, labels::START_MORE);
        gap(ui, 2.0 * space::STEP);
        form_line(ui, &mut self.drafts, Field::new(NAME, labels::NAME).wide(360.0).hint(labels::NAME_HINT));
        gap(ui, 2.0 * space::STEP);
        ui.horizontal(|ui| {
            form_line(ui, &mut self.drafts, Field::new(FOLDER, labels::FOLDER).wide(440.0));
            ui.vertical(|ui| {
                gap(ui, 22.0);
                if plain_button(ui, labels::CHOOSE).clicked() {
                    wishes.push(Wish::Ask(Asked::Folder(FOLDER.to_owned())));
                }
            });
        });
        gap(ui, 2.0 * space::STEP);
        let currencies =
            [(Currency::EUR, labels::EURO), (Currency::GBP, labels::POUND), (Currency::USD, labels::DOLLAR)];
        let now = self.currency.unwrap_or(Currency::EUR);
        if let Some(taken) = one_of(ui, labels::CURRENCY, Some(&now), &currencies) {
            self.currency = Some(taken);
        }
        gap(ui, 3.0 * space::STEP);
        if plain_button(ui, labels::START_NOW).clicked() {
            let name = self.drafts.text(NAME).trim().to_owned();
            let folder = self.drafts.text(FOLDER).trim().to_owned();
            if name.is_empty() {
                self.told = vec![labels::NAME_WANTED.to_owned()];
            } else if folder.is_empty() {
                self.told = vec![labels::FOLDER_WANTED.to_owned()];
            } else {
                self.told.clear();
                wishes.push(Wish::MakeStudio(NewStudio {
                    name,
                    folder: PathBuf::from(folder),
                    currency: now,
                }));
            }
        }
    }

    fn open_ui(&mut self, ui: &mut Ui, wishes: &mut Vec<Wish>) {
        heading(ui, labels::OPEN);
        for known in &self.recent {
            if link(ui, &labels::open_again(known)).clicked() {
                wishes.push(Wish::OpenStudio(known.clone()));
            }
        }
        ui.horizontal(|ui| {
            form_line(ui, &mut self.drafts, Field::new(OPEN, labels::OPEN_FOLDER).wide(480.0));
            ui.vertical(|ui| {
                gap(ui, 22.0);
                ui.horizontal(|ui| {
                    if plain_button(ui, labels::LOOK).clicked() {
                        wishes.push(Wish::Ask(Asked::Folder(OPEN.to_owned())));
                    }
                    let folder = self.drafts.text(OPEN).trim().to_owned();
                    let open = |ui: &mut Ui| plain_button(ui, labels::OPEN_NOW);
                    if ui.add_enabled_ui(!folder.is_empty(), open).inner.clicked() {
                        self.told.clear();
                        wishes.push(Wish::OpenStudio(PathBuf::from(folder)));
                    }
                });
            });
        });
    }
}

fn demo_ui(ui: &mut Ui, demo: &std::path::Path, wishes: &mut Vec<Wish>) {
    let tokens = Tokens::of(ui);
    heading(ui, labels::DEMO);
    say(ui, Face::Body, tokens.ink_2, labels::DEMO_MORE);
    gap(ui, 2.0 * space::STEP);
    if main_button(ui, labels::DEMO_NOW).clicked() {
        wishes.push(Wish::Demo(demo.to_owned()));
    }
}
