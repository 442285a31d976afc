//! Handing one order over as a folder that needs no program of ours.

use std::path::Path;

use egui::Ui;
use workbench::action::{Action, Job};
use workbench::keeping::Keep;
use workbench::present::labels::keeping as labels;

use crate::cx::{Asked, Cx, Wish};
use crate::look::space;
use crate::widgets::{PathForm, Running, fold, gap, link, path_form, plain_button, second};

/// The draft of the folder.
const TO: &str = "order/hand over";

/// What it remembers.
#[derive(Debug, Default)]
pub(crate) struct HandOver {
    open: bool,
    running: Running,
}

impl HandOver {
    pub(crate) fn ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>) {
        if !fold(ui, labels::HAND_OVER, &mut self.open) {
            return;
        }
        let tag = cx.tag;
        second(ui, labels::HAND_OVER_WORDS);
        gap(ui, 2.0 * space::STEP);
        let form = PathForm {
            key: TO,
            label: labels::HAND_OVER_TO,
            hint: "",
            ask: Asked::NewFolder(tag.to_string(), TO.to_owned()),
            choose: labels::HAND_OVER_FOLDER,
            height: space::PRESS,
        };
        let asked = path_form(ui, cx.drafts, cx.wishes, form, |ui| plain_button(ui, labels::HAND_OVER_DO));
        if let Some(to) = asked {
            cx.act(Action::Start(Job::Keep(Keep::HandOver { tag, to })));
        }
        self.running.ui(ui, cx, |job| matches!(job, Job::Keep(Keep::HandOver { tag: of, .. }) if *of == tag));
        let typed = Path::new(cx.drafts.text(TO).trim());
        let done = cx.view.keeping.handed.as_deref().filter(|handed| *handed == typed);
        if let Some(handed) = done.map(Path::to_owned)
            && link(ui, labels::HAND_OVER_OPEN).clicked()
        {
            cx.wish(Wish::Open(handed));
        }
    }
}
