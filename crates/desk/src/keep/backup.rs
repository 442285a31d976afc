//! Backups: when the last was made, a new one, and one that is put back.

use egui::Ui;
use workbench::action::Job;
use workbench::keeping::Keep;
use workbench::present::backup_words;
use workbench::present::labels::keeping as labels;
use workbench::present::words::sentence;
use workbench::view::View;

use super::Kx;
use crate::cx::{Asked, Wish};
use crate::look::{Face, Tokens, space};
use crate::widgets::{
    Field, PathForm, Running, fold, form_line, gap, heading, link, main_button, path_form, plain_button, say,
    second,
};

/// The drafts of the paths.
const TO: &str = "keeping/backup";
const FILE: &str = "keeping/restore/file";
const FOLDER: &str = "keeping/restore/to";

/// What the part remembers.
#[derive(Debug, Default)]
pub(super) struct BackupUi {
    /// One is to be put back.
    restoring: bool,
}

impl BackupUi {
    pub(super) fn ui(&mut self, ui: &mut Ui, kx: &mut Kx<'_>, reminder: Option<&str>, running: &mut Running) {
        let view = kx.view;
        let tokens = Tokens::of(ui);
        heading(ui, labels::BACKUP);
        match reminder {
            Some(words) => say(ui, Face::Body, tokens.ink, sentence(words)),
            None => second(ui, last(view)),
        };
        if let Some(made) = &view.keeping.made {
            for line in backup_words::said(made) {
                second(ui, line);
            }
        }
        gap(ui, 2.0 * space::STEP);
        let name = backup_words::file_name(view.now);
        let ask = Asked::SaveAs(name.clone(), TO.to_owned());
        let form = PathForm {
            key: TO,
            label: labels::BACKUP_FILE,
            hint: &name,
            ask,
            choose: labels::BACKUP_PLACE,
            height: space::MAIN,
        };
        let busy = view.jobs.iter().any(|row| is_backup(row.job));
        let asked = path_form(ui, kx.drafts, kx.wishes, form, |ui| {
            ui.add_enabled_ui(!busy, |ui| main_button(ui, labels::BACKUP_MAKE)).inner
        });
        if let Some(to) = asked.filter(|_| !busy) {
            kx.start(Keep::Backup { to });
        }
        running.rows(ui, view, kx.wishes, is_backup);
        gap(ui, 3.0 * space::STEP);
        let shown = fold(ui, labels::RESTORE, &mut self.restoring);
        if shown || view.jobs.iter().any(|row| is_restore(row.job)) {
            restore_ui(ui, kx, running);
        }
        back_ui(ui, kx);
    }
}

/// What is known of the last backup.
fn last(view: &View<'_>) -> String {
    let known = view.keeping;
    // One that was made since the studio was opened is told of in full below.
    let place = known.last_backup_in.as_deref().filter(|_| known.made.is_none());
    backup_words::last(known.last_backup.as_deref(), place, view.now)
}

fn is_backup(job: &Job) -> bool {
    matches!(job, Job::Keep(Keep::Backup { .. }))
}

fn is_restore(job: &Job) -> bool {
    matches!(job, Job::Keep(Keep::PutBack { .. }))
}

/// Which backup, and where to.
fn restore_ui(ui: &mut Ui, kx: &mut Kx<'_>, running: &mut Running) {
    second(ui, labels::RESTORE_WORDS);
    gap(ui, 2.0 * space::STEP);
    form_line(ui, kx.drafts, Field::new(FILE, labels::RESTORE_FILE).wide(520.0));
    gap(ui, space::STEP);
    if plain_button(ui, labels::RESTORE_PICK).clicked() {
        kx.wishes.push(Wish::Ask(Asked::File(FILE.to_owned())));
    }
    gap(ui, 2.0 * space::STEP);
    let ask = Asked::NewFolder(labels::RESTORED.to_owned(), FOLDER.to_owned());
    let form = PathForm {
        key: FOLDER,
        label: labels::RESTORE_TO,
        hint: "",
        ask,
        choose: labels::RESTORE_FOLDER,
        height: space::PRESS,
    };
    let file = kx.drafts.text(FILE).trim().to_owned();
    let busy = kx.view.jobs.iter().any(|row| is_restore(row.job));
    let asked = path_form(ui, kx.drafts, kx.wishes, form, |ui| {
        ui.add_enabled_ui(!busy, |ui| plain_button(ui, labels::RESTORE_DO)).inner
    });
    if asked.is_some() && file.is_empty() {
        kx.wishes.push(Wish::Ask(Asked::File(FILE.to_owned())));
    }
    if let Some(to) = asked.filter(|_| !file.is_empty() && !busy) {
        kx.drafts.put(FILE, file.as_str());
        kx.start(Keep::PutBack { file: file.into(), to });
    }
    running.rows(ui, kx.view, kx.wishes, is_restore);
}

/// What came of it, and the way into the studio that was put back.
fn back_ui(ui: &mut Ui, kx: &mut Kx<'_>) {
    let view = kx.view;
    let Some(back) = &view.keeping.back else { return };
    let tokens = Tokens::of(ui);
    gap(ui, 2.0 * space::STEP);
    for (place, line) in backup_words::back_said(back, view.now).into_iter().enumerate() {
        say(ui, Face::Body, if place == 0 { tokens.ink } else { tokens.ink_2 }, line);
    }
    if link(ui, labels::RESTORE_OPEN).clicked() {
        kx.wishes.push(Wish::OpenStudio(back.to.clone()));
    }
}
