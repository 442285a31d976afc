//! Who is remembered.

use craft::order::Dated;
use craft::text::Line;
use egui::Ui;
use workbench::present::labels::brief as labels;
use workbench::typed;

use super::{BriefPage, beside_fields};
use crate::cx::Cx;
use crate::look::{Face, Tokens, space};
use crate::widgets::{
    Field, cells, entered, form_line, gap, heading, link, long_words, say, second, sentence, tick, wrong,
};

const DATE_WHAT: &str = "order/brief/date/what";
const DATE_ON: &str = "order/brief/date/on";
const NEVER: &str = "order/brief/never";

impl BriefPage {
    pub(super) fn remembered_ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>) {
        let now = &cx.held.order.sheet.remembered;
        heading(ui, labels::REMEMBERED);
        gap(ui, space::STEP);
        let field = Field::new("order/brief/name", labels::NAME).wide(0.0);
        if let Some(name) = long_words(ui, cx.drafts, field, &now.name) {
            cx.sheet(|sheet| {
                // A name that is spelled otherwise has not been confirmed.
                sheet.remembered.spelling_confirmed = false;
                sheet.remembered.name = name;
            });
        }
        let confirmed = now.spelling_confirmed;
        ui.horizontal(|ui| {
            if tick(ui, labels::SPELLING, confirmed).clicked() {
                cx.sheet(move |sheet| sheet.remembered.spelling_confirmed = !confirmed);
            }
            let ink = if confirmed { Tokens::of(ui).ink } else { Tokens::of(ui).ink_2 };
            say(ui, Face::Body, ink, labels::SPELLING);
        });
        gap(ui, space::STEP);
        let field = Field::new("order/brief/about", labels::ABOUT).wide(0.0).hint(labels::ABOUT_HINT);
        if let Some(about) = long_words(ui, cx.drafts, field, &now.about) {
            cx.sheet(|sheet| sheet.remembered.about = about);
        }
        gap(ui, 3.0 * space::STEP);
        self.dates_ui(ui, cx);
        gap(ui, 3.0 * space::STEP);
        self.never_ui(ui, cx);
    }

    fn dates_ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>) {
        let dates = &cx.held.order.sheet.remembered.dates;
        if self.adding.0.take().is_some_and(|dated| dates.contains(&dated)) {
            cx.drafts.clear_under("order/brief/date/");
            self.tried = None;
        }
        list_ui(ui, labels::DATES, dates, labels::dated, |gone| {
            cx.sheet(move |sheet| sheet.remembered.dates.retain(|dated| *dated != gone));
        });
        let mut add = false;
        cells(ui, &[120.0, 120.0, 90.0], |ui, place| match place {
            0 => {
                let field = Field::new(DATE_WHAT, labels::DATE_WHAT).wide(0.0).hint(labels::DATE_WHAT_HINT);
                let response = form_line(ui, cx.drafts, field);
                add |= entered(ui, &response);
            }
            1 => {
                let field = Field::new(DATE_ON, labels::DATE_ON).wide(0.0).hint(labels::DATE_ON_HINT);
                let response = form_line(ui, cx.drafts, field);
                add |= entered(ui, &response);
            }
            _ => {
                beside_fields(ui);
                add |= link(ui, labels::DATE_ADD).clicked();
            }
        });
        let (what, on) =
            (cx.drafts.text(DATE_WHAT).trim().to_owned(), cx.drafts.text(DATE_ON).trim().to_owned());
        if add {
            self.tried = Some(DATE_ON);
        }
        if on.is_empty() && what.is_empty() {
            return;
        }
        match self.dated(cx, &what, &on) {
            Ok((dated, echo)) => {
                if add {
                    self.adding.0 = Some(dated.clone());
                    cx.sheet(|sheet| sheet.remembered.dates.push(dated));
                } else {
                    second(ui, echo);
                }
            }
            Err(why) if self.tried == Some(DATE_ON) => {
                wrong(ui, &why);
            }
            Err(_) => {}
        }
    }

    /// The day as it is typed; a day of the year that is written without one is the last such day.
    #[expect(clippy::unused_self, reason = "it reads as one of the page's parts")]
    fn dated(&self, cx: &Cx<'_>, what: &str, on: &str) -> Result<(Dated, String), String> {
        let today = cx.view.now.day();
        let typed = typed::past_day(on, today).or_else(|_| typed::day(on, today))?;
        let what: Line = what.parse().map_err(|why: craft::text::TextError| why.to_string())?;
        if what.is_empty() {
            return Err(labels::DATE_WANTED.to_owned());
        }
        Ok((Dated { what, on: typed.value }, typed.echo))
    }

    fn never_ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>) {
        let never = &cx.held.order.sheet.remembered.never_say;
        if self.adding.1.take().is_some_and(|line| never.contains(&line)) {
            cx.drafts.clear(NEVER);
        }
        list_ui(
            ui,
            labels::NEVER,
            never,
            |line| format!("\u{201c}{line}\u{201d}"),
            |gone| {
                cx.sheet(move |sheet| sheet.remembered.never_say.retain(|line| *line != gone));
            },
        );
        let mut add = false;
        cells(ui, &[250.0, 90.0], |ui, place| {
            if place == 0 {
                let field = Field::new(NEVER, labels::NEVER_WORD).wide(0.0).hint(labels::NEVER_HINT);
                let response = form_line(ui, cx.drafts, field);
                add |= entered(ui, &response);
            } else {
                beside_fields(ui);
                add |= link(ui, labels::NEVER_ADD).clicked();
            }
        });
        match cx.drafts.text(NEVER).parse::<Line>() {
            Ok(line) if add && !line.is_empty() => {
                self.adding.1 = Some(line.clone());
                if !never.contains(&line) {
                    cx.sheet(|sheet| sheet.remembered.never_say.push(line));
                }
            }
            Ok(_) => {}
            Err(why) => {
                wrong(ui, &why.to_string());
            }
        }
    }
}

/// A short list, each with a way to take it away.
fn list_ui<T: Clone>(
    ui: &mut Ui,
    label: &str,
    all: &[T],
    name: impl Fn(&T) -> String,
    mut take_away: impl FnMut(T),
) {
    let tokens = Tokens::of(ui);
    say(ui, Face::Second, tokens.ink_3, label);
    for one in all {
        sentence(ui, |ui| {
            let said = name(one);
            say(ui, Face::Body, tokens.ink, &*said);
            let away = link(ui, labels::TAKE_AWAY).accessible_name(labels::take_away(&said));
            if away.clicked() {
                take_away(one.clone());
            }
        });
    }
}
