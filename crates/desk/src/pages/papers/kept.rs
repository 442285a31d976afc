//! A paper as it was written and kept: opened, printed, copied.

use std::path::PathBuf;

use craft::fact::PaperKind;
use craft::policies::PaperSize;
use egui::Ui;
use workbench::action::{Action, Job};
use workbench::present::labels::papers as labels;
use workbench::present::paper_rows::{Kept, PaperRow, copy_name, print_title};

use crate::cx::{Asked, Cx, Wish};
use crate::look::space;
use crate::platform::printing::Media;
use crate::widgets::{Field, entered, form_line, link, plain_button};

fn path(cx: &Cx<'_>, kept: &Kept) -> Option<PathBuf> {
    cx.root.map(|root| kept.below.iter().fold(root.to_owned(), |path, part| path.join(part)))
}

pub(super) fn open(cx: &mut Cx<'_>, kept: &Kept) {
    if let Some(path) = path(cx, kept) {
        cx.wish(Wish::Open(path));
    }
}

pub(super) fn print(cx: &mut Cx<'_>, kind: PaperKind, kept: &Kept) {
    if let Some(path) = path(cx, kept) {
        let media = media(kind, cx.view.studio.policies().paper);
        cx.wish(Wish::Print(path, print_title(cx.tag, kind), Some(media)));
    }
}

/// The paper a kind is set on: the card on its own size, all else on what is in the printer.
pub(super) const fn media(kind: PaperKind, paper: PaperSize) -> Media {
    match (kind, paper) {
        (PaperKind::Care, _) => Media::A6,
        (_, PaperSize::A4) => Media::A4,
        (_, PaperSize::Letter) => Media::Letter,
    }
}

/// Where a copy shall be; true once it is asked for.
pub(super) fn copy_ui(ui: &mut Ui, cx: &mut Cx<'_>, kind: PaperKind, kept: &Kept) -> bool {
    let key = "order/papers/copy";
    let response = form_line(ui, cx.drafts, Field::new(key, labels::COPY_PATH).wide(420.0));
    let entered = entered(ui, &response);
    let mut done = false;
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = space::ROW;
        if plain_button(ui, labels::CHOOSE_PLACE).clicked() {
            cx.wish(Wish::Ask(Asked::SaveAs(copy_name(cx.tag, kind), key.to_owned())));
        }
        let typed = cx.drafts.text(key).trim().to_owned();
        let pressed =
            ui.add_enabled_ui(!typed.is_empty(), |ui| plain_button(ui, labels::SAVE_COPY)).inner.clicked();
        if (entered || pressed) && !typed.is_empty() {
            let to = PathBuf::from(typed);
            cx.act(Action::Start(Job::CopyPaper { tag: cx.tag, kind, file: kept.file, to }));
            cx.drafts.clear(key);
            done = true;
        }
    });
    done
}

/// The same paper as it was written before.
pub(super) fn before_ui(ui: &mut Ui, cx: &mut Cx<'_>, row: &PaperRow) {
    let many = row.kept.len();
    for (place, kept) in row.kept.iter().enumerate().skip(1) {
        if link(ui, &labels::open_from(&row.name, &kept.on, many - place)).clicked() {
            open(cx, kept);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_care_card_has_its_own_paper_and_the_rest_what_is_in_the_printer() {
        assert_eq!(media(PaperKind::Care, PaperSize::Letter), Media::A6);
        assert_eq!(media(PaperKind::Kit, PaperSize::Letter), Media::Letter);
        assert_eq!(media(PaperKind::Proof, PaperSize::A4), Media::A4);
    }
}
