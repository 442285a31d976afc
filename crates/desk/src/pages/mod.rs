//! The pages of an order, in the order of the work, and the sides beside them.

mod after;
mod arrival;
pub(crate) mod begin;
mod between;
mod brief;
mod choose;
mod common;
mod fit;
mod guard;
mod kept;
mod life;
mod messages;
mod pack;
mod papers;
mod plan;
mod pour;
mod show;
mod weigh;

use craft::order::Page;
use egui::Ui;

use crate::cx::Cx;

/// What each page remembers while its order is open.
#[derive(Debug, Default)]
pub(crate) struct Pages {
    brief: brief::BriefPage,
    arrival: arrival::ArrivalPage,
    plan: plan::PlanPage,
    pour: pour::PourPage,
    show: show::ShowPage,
    choose: choose::ChoosePage,
    fit: fit::FitPage,
    pack: pack::PackPage,
    after: after::AfterPage,
    guard: guard::Guard,
    between: between::Between,
    pub(crate) life: life::LifePage,
    pub(crate) messages: messages::MessagesPage,
    pub(crate) papers: papers::PapersPage,
}

impl Pages {
    /// Shows one page.
    pub(crate) fn ui(&mut self, ui: &mut Ui, page: Page, cx: &mut Cx<'_>) {
        match page {
            Page::Brief => self.brief.ui(ui, cx, &mut self.between),
            Page::Arrival => self.arrival.ui(ui, cx, &mut self.guard, &mut self.between),
            Page::Plan => self.plan.ui(ui, cx),
            Page::Pour => self.pour.ui(ui, cx, &mut self.guard),
            Page::Show => self.show.ui(ui, cx),
            Page::Choose => self.choose.ui(ui, cx),
            Page::Fit => self.fit.ui(ui, cx, &mut self.guard),
            Page::Pack => self.pack.ui(ui, cx, &mut self.guard),
            Page::After => self.after.ui(ui, cx, &mut self.between),
        }
    }

    /// Takes the keys that belong to an open page wherever the keyboard stands, before anything is drawn.
    pub(crate) fn take_keys(&mut self, ui: &Ui, page: Page, cx: &mut Cx<'_>) {
        if page == Page::Pour {
            self.pour.lamp_key(ui, cx);
        }
    }

    /// Shows this stone on the plan page and on the pour page.
    pub(crate) fn look_at(&mut self, stone: u8) {
        self.plan.show(stone);
        self.pour.show(stone);
    }

    /// What photos that are dropped on an open page are of.
    pub(crate) fn photo_of(&self, page: Page) -> Option<craft::id::Thing> {
        match page {
            Page::Arrival => self.arrival.photo_of(),
            Page::Show => self.show.photo_of(),
            _ => None,
        }
    }
}
