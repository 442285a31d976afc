//! What does not hold together: what is wrong, what is safe, and the one way out of each.

use std::collections::BTreeMap;

use egui::Ui;
use workbench::action::Action;
use workbench::finding::{Edition, Finding};
use workbench::present::finding_words::{self, Both, FindingRow};
use workbench::present::labels::keeping as labels;
use workbench::present::words::sentence;

use super::Kx;
use crate::cx::Wish;
use crate::look::{Face, Tokens, space};
use crate::widgets::{Column, columns, gap, heading, link, plain_button, rule, say, second};

/// How many are shown at first, and so many more each time more are wanted.
const SHOWN: usize = 20;
/// How many entries of each of two editions are shown.
const ENTRIES: usize = 12;

/// What the part remembers.
#[derive(Debug, Default)]
pub(super) struct FoundUi {
    /// How many more than at first are shown.
    more: usize,
    /// The two editions of an order, by the file of the copy and the changes so far.
    both: BTreeMap<String, (u64, Option<Both>)>,
}

impl FoundUi {
    pub(super) fn ui(&mut self, ui: &mut Ui, kx: &mut Kx<'_>) {
        let view = kx.view;
        let findings = view.findings();
        heading(ui, labels::FOUND);
        if let Some(words) = view.reading_words() {
            second(ui, format!("{} {}", sentence(&words), labels::FOUND_LATER));
        } else if findings.is_empty() {
            second(ui, labels::ALL_WELL);
        } else if let Some(words) = finding_words::not_together(findings.len()) {
            second(ui, sentence(&words));
        }
        let shown = (SHOWN + self.more).min(findings.len());
        let mut names: BTreeMap<String, usize> = BTreeMap::new();
        for (place, finding) in findings.iter().take(shown).enumerate() {
            if place > 0 {
                rule(ui);
            }
            gap(ui, 3.0 * space::STEP);
            let row = finding_words::row(finding);
            self.row_ui(ui, kx, finding, &row, &mut names);
            gap(ui, 3.0 * space::STEP);
        }
        let left = findings.len() - shown;
        if left > 0 && link(ui, &labels::more(left.min(SHOWN))).clicked() {
            self.more += SHOWN;
        }
    }

    fn row_ui(
        &mut self,
        ui: &mut Ui,
        kx: &mut Kx<'_>,
        finding: &Finding,
        row: &FindingRow,
        names: &mut BTreeMap<String, usize>,
    ) {
        let tokens = Tokens::of(ui);
        if let Some(whose) = finding_words::whose(finding, kx.view.studio) {
            say(ui, Face::Second, tokens.ink_2, whose);
        }
        if let Some(file) = &row.file {
            say(ui, Face::Second, tokens.ink_3, file.as_str());
        }
        say(ui, Face::Strong, tokens.ink, sentence(&row.wrong));
        told(ui, labels::SAFE, &row.safe);
        told(ui, labels::TO_DO, &row.way_out.words);
        if let Finding::Edition(edition) = finding {
            self.both_ui(ui, kx, edition);
        }
        gap(ui, space::STEP);
        let mut button = |ui: &mut Ui, words: &str| {
            let nth = names.entry(words.to_owned()).or_default();
            let name = labels::nth(words, *nth);
            *nth += 1;
            plain_button(ui, words).accessible_name(name).clicked()
        };
        if let Some(doc) = finding_words::with_versions(finding)
            && link(ui, labels::EARLIER_WAY)
                .accessible_name(labels::earlier_of_file(row.file.as_deref()))
                .clicked()
        {
            kx.wishes.push(Wish::Earlier(doc));
        }
        // One way out: what the program can do, or else where the file lies.
        if let Some(action) = &row.way_out.action {
            if button(ui, &row.way_out.button) {
                kx.act(Action::clone(action));
            }
        } else if let (Some(file), Some(root)) = (&row.file, kx.root)
            && button(ui, labels::FOLDER)
        {
            let file = root.join(file);
            kx.wishes.push(Wish::Open(file.parent().unwrap_or(root).to_owned()));
        }
    }

    /// What each of two editions says that the other does not; nothing is merged.
    fn both_ui(&mut self, ui: &mut Ui, kx: &Kx<'_>, edition: &Edition) {
        let view = kx.view;
        let known = self.both.get(&edition.file).is_some_and(|(at, _)| *at == view.revision);
        if !known {
            let both = finding_words::both(edition, view.studio, view.now);
            self.both.insert(edition.file.clone(), (view.revision, both));
        }
        let Some((_, Some(both))) = self.both.get(&edition.file) else { return };
        gap(ui, 2.0 * space::STEP);
        columns(ui, 0.5, |ui, column| match column {
            Column::First => entries_ui(ui, labels::ONLY_HERE, &both.here),
            Column::Second => entries_ui(ui, labels::ONLY_COPY, &both.copy),
        });
        if !both.otherwise.is_empty() {
            gap(ui, 2.0 * space::STEP);
            entries_ui(ui, labels::OTHERWISE, &both.otherwise);
        }
    }
}

/// A label with its sentence behind it.
fn told(ui: &mut Ui, label: &str, words: &str) {
    let tokens = Tokens::of(ui);
    let mut job = egui::text::LayoutJob::default();
    let set = |ink| egui::text::TextFormat { font_id: Face::Body.font(), color: ink, ..Default::default() };
    job.append(&format!("{label}: "), 0.0, set(tokens.ink_3));
    job.append(&format!("{words}."), 0.0, set(tokens.ink_2));
    ui.label(job);
}

fn entries_ui(ui: &mut Ui, label: &str, entries: &[String]) {
    let tokens = Tokens::of(ui);
    say(ui, Face::SecondStrong, tokens.ink_2, label);
    if entries.is_empty() {
        second(ui, labels::NOTHING_MORE);
    }
    for entry in entries.iter().take(ENTRIES) {
        second(ui, sentence(entry));
    }
    if entries.len() > ENTRIES {
        second(ui, labels::and_more(entries.len() - ENTRIES));
    }
}
