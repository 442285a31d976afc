//! The nine pages of the bench: what is known, what is missing, and the one main action.

mod arrival;
mod brief;
mod client;
mod fit;
mod home;
mod plan;
mod pour;

use chrono::NaiveDate;
use craft::moment::Moment;
use craft::order::{About, Page};
use craft::studio::{Held, Studio};
use craft::tag::Tag;

use super::board::{by_record, page_of};
use super::words;

/// Something that is known.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Line {
    /// What: "due".
    pub label: String,
    /// The words: "12 December".
    pub words: String,
}

/// Something that is missing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Missing {
    /// What, as a clause: "no date is promised yet".
    pub words: String,
    /// The page where it is mended.
    pub go: Page,
}

/// The one main action.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Main {
    /// The phrase: "pour layer 2 of stone 1".
    pub words: String,
    /// The page where it is done.
    pub go: Page,
}

/// A page of an order.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PageView {
    /// Which.
    pub page: Page,
    /// What is known, in the order it is read.
    pub known: Vec<Line>,
    /// What is missing.
    pub missing: Vec<Missing>,
    /// The one main action of the order; done here, or on the page it names.
    pub main: Main,
}

impl PageView {
    /// True where the main action is done on this very page.
    pub fn is_here(&self) -> bool {
        self.main.go == self.page
    }
}

/// A page of an order as it stands now; none for an order that is not there.
pub fn page(studio: &Studio, tag: Tag, page: Page, now: Moment) -> Option<PageView> {
    let held = studio.orders().get(&tag)?;
    let mut sheet = Builder { studio, held, today: now.day(), page, known: Vec::new(), missing: Vec::new() };
    if held.ledger.client.called_off {
        sheet.know("called off", "everything goes home as it is");
    }
    match page {
        Page::Brief => brief::fill(&mut sheet),
        Page::Arrival => arrival::fill(&mut sheet),
        Page::Plan => plan::fill(&mut sheet),
        Page::Pour => pour::fill(&mut sheet),
        Page::Show => client::fill_show(&mut sheet),
        Page::Choose => client::fill_choose(&mut sheet),
        Page::Fit => fit::fill(&mut sheet),
        Page::Pack => home::fill_pack(&mut sheet),
        Page::After => home::fill_after(&mut sheet),
    }
    if let Some(said) = held.order.story.about(About::Page(page)) {
        sheet.know("your words", said.as_str());
    }
    let (next, words) = by_record(studio, held, now);
    let main = Main { go: page_of(next), words };
    Some(PageView { page, known: sheet.known, missing: sheet.missing, main })
}

/// A page being filled.
struct Builder<'a> {
    studio: &'a Studio,
    held: &'a Held,
    today: NaiveDate,
    page: Page,
    known: Vec<Line>,
    missing: Vec<Missing>,
}

impl<'a> Builder<'a> {
    /// Writes down what is known; nothing to say is left out.
    fn know(&mut self, label: impl Into<String>, words: impl Into<String>) {
        let words = words.into();
        if !words.is_empty() {
            self.known.push(Line { label: label.into(), words });
        }
    }

    /// Writes down what is missing here.
    fn miss(&mut self, words: impl Into<String>) {
        self.miss_at(words, self.page);
    }

    fn miss_at(&mut self, words: impl Into<String>, go: Page) {
        self.missing.push(Missing { words: words.into(), go });
    }

    /// Known where it is there, else missing.
    fn know_or_miss(&mut self, label: &str, words: Option<String>, missing: &str) {
        match words.filter(|words| !words.is_empty()) {
            Some(words) => self.know(label, words),
            None => self.miss(missing),
        }
    }

    fn day(&self, day: NaiveDate) -> String {
        words::date(day, self.today)
    }

    fn ledger(&self) -> &'a craft::ledger::Ledger {
        &self.held.ledger
    }

    fn sheet(&self) -> &'a craft::order::Sheet {
        &self.held.order.sheet
    }
}

/// Phrases in one line, empty ones left out.
fn joined(phrases: impl IntoIterator<Item = String>) -> String {
    phrases.into_iter().filter(|words| !words.is_empty()).collect::<Vec<_>>().join(", ")
}

#[cfg(test)]
mod tests;
