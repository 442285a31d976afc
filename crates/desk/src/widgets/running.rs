//! What takes a while: one line each with how far it is, once it has taken more than a moment, and a way to stop it.

use std::collections::BTreeMap;
use std::time::Duration;

use egui::{ProgressBar, Ui, vec2};
use workbench::action::{Action, Job, JobId};
use workbench::keeping::Keep;
use workbench::present::labels::papers::{STOP, stop};
use workbench::present::words::sentence_start;
use workbench::view::View;

use super::{link, say};
use crate::cx::{Cx, Wish};
use crate::look::{Face, Tokens, space};

/// What is done sooner than this is not worth a line, in seconds.
const MOMENT_S: f64 = 0.3;

/// Since when each job was seen, in seconds of the window's own time.
#[derive(Debug, Default)]
pub struct Running {
    since: BTreeMap<JobId, f64>,
}

impl Running {
    /// Shows the jobs `which` asks for.
    pub fn ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>, which: impl Fn(&Job) -> bool) {
        self.rows(ui, cx.view, cx.wishes, which);
    }

    /// The same where no order is open. What is gone through with once it was begun has nothing that stops it.
    pub fn rows(
        &mut self,
        ui: &mut Ui,
        view: &View<'_>,
        wishes: &mut Vec<Wish>,
        which: impl Fn(&Job) -> bool,
    ) {
        let now_s = ui.input(|input| input.time);
        self.since.retain(|id, _| view.jobs.iter().any(|row| row.id == *id));
        let mut named = Vec::new();
        for row in view.jobs.iter().filter(|row| which(row.job)) {
            let since_s = *self.since.entry(row.id).or_insert(now_s);
            let left_s = MOMENT_S - (now_s - since_s);
            if left_s > 0.0 {
                ui.ctx().request_repaint_after(Duration::from_secs_f64(left_s));
                continue;
            }
            let words = row.words();
            let name = stop(row.job, 0);
            let nth = named.iter().filter(|other| **other == name).count();
            named.push(name);
            ui.horizontal_wrapped(|ui| {
                ui.spacing_mut().item_spacing.x = space::ROW;
                let bar = ProgressBar::new(f32::from(row.percent) / 100.0)
                    .desired_width(160.0)
                    .desired_height(6.0)
                    .fill(Tokens::of(ui).accent);
                ui.allocate_ui(vec2(160.0, 20.0), |ui| ui.add(bar));
                say(ui, Face::Second, Tokens::of(ui).ink_2, format!("{}.", sentence_start(&words)));
                if matches!(row.job, Job::Keep(Keep::Forget(_) | Keep::Sweep)) {
                    return;
                }
                let link = link(ui, STOP).accessible_name(stop(row.job, nth));
                if link.on_hover_text(words.as_str()).clicked() {
                    wishes.push(Wish::Act(Action::Cancel(row.id)));
                }
            });
        }
    }
}
