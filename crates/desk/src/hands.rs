//! The computer's own hands: does what [`Window`](crate::window::Window) asks for, and brings the answers back.

use std::num::NonZeroU8;
use std::path::PathBuf;

use craft::tag::Tag;
use egui::{Context, UserAttentionType, ViewportCommand};
use workbench::action::Purpose;
use workbench::present::words::sentence;

use crate::app::appear;
use crate::cx::Asked;
use crate::platform::dialogs::{Answer, Dialogs, Pick, Request};
use crate::platform::notice::{self, Urgency};
use crate::platform::opening::Opening;
use crate::platform::prefs::Preferences;
use crate::platform::printing::{Media, PrintJob, Printing};
use crate::platform::sound::{Ringing, Sound};
use crate::platform::{Places, Programs, Wake};
use crate::window::{Outward, Window};
use workbench::present::labels::shell as labels;

/// What is to be said where a dialog gave nothing at once: that is how a computer without dialogs answers.
const NO_DIALOG: &str = labels::NO_DIALOG;

/// What a dialog was asked for.
#[derive(Debug)]
enum For {
    Photos(Purpose),
    Path(Asked, Option<Tag>),
}

/// Everything that reaches outside the window.
#[derive(Debug)]
pub(crate) struct Hands {
    places: Option<Places>,
    programs: Programs,
    sound: Option<Sound>,
    ringing: Vec<Ringing>,
    dialogs: Dialogs,
    open_for: Vec<(Request, For)>,
    /// That there is no sound has been said.
    silent: bool,
    /// How many dialogs were asked for.
    asked: u64,
    opening: Opening,
    printing: Printing,
}

impl Hands {
    /// Hands that call `ctx` back when an answer has come.
    pub(crate) fn new(ctx: &Context, places: Option<Places>) -> Self {
        let wake = || {
            let ctx = ctx.clone();
            Wake::new(move || ctx.request_repaint())
        };
        let programs = Programs::on_the_path();
        Self {
            sound: places.as_ref().map(|places| Sound::new(&places.cache, programs.clone())),
            ringing: Vec::new(),
            dialogs: Dialogs::new(wake()),
            open_for: Vec::new(),
            silent: false,
            asked: 0,
            opening: Opening::new(wake()),
            printing: Printing::new(wake(), programs.clone()),
            places,
            programs,
        }
    }

    /// Does what is asked for.
    pub(crate) fn do_all(&mut self, ctx: &Context, window: &mut Window) {
        for outward in window.take_outward() {
            self.one(ctx, window, outward);
        }
    }

    fn one(&mut self, ctx: &Context, window: &mut Window, outward: Outward) {
        match outward {
            Outward::Copy(words) => {
                ctx.copy_text(words);
                window.tell(labels::COPIED);
            }
            Outward::Quit => ctx.send_viewport_cmd(ViewportCommand::Close),
            Outward::Remember(prefs) => {
                appear(ctx, &prefs);
                let saved = self.places.as_ref().map(|places| prefs.save(&places.config));
                if let Some(Err(why)) = saved {
                    window.tell(&format!("{}.", store::told(&why)));
                }
            }
            Outward::Ring { said, notice } => {
                self.ring(ctx, window, &said);
                self.notify(window, &notice);
            }
            Outward::Notify(words) => self.notify(window, &words),
            Outward::Open(path) => self.opening.ask(path),
            Outward::Print(pdf, title, media) => {
                self.printing.ask(PrintJob {
                    pdf,
                    title,
                    copies: NonZeroU8::MIN,
                    media: media.unwrap_or(Media::A4),
                });
            }
            Outward::Ask(asked, on) => {
                let (pick, title) = match &asked {
                    Asked::Folder(_) | Asked::NewFolder(..) => (Pick::Folder, labels::CHOOSE_FOLDER),
                    Asked::File(_) => (Pick::File, labels::CHOOSE_FILE),
                    Asked::SaveAs(name, _) => (Pick::SaveAs(name.clone()), labels::SAVE_AS),
                };
                self.ask(pick, title, For::Path(asked, on));
            }
            Outward::Photos(purpose) => self.ask(Pick::Photos, labels::CHOOSE_PHOTOS, For::Photos(purpose)),
        }
    }

    fn ask(&mut self, pick: Pick, title: &str, what_for: For) {
        self.asked += 1;
        let request = Request { no: self.asked, pick, title: title.to_owned(), start: None };
        self.open_for.push((request.clone(), what_for));
        self.dialogs.ask(request);
    }

    fn ring(&mut self, ctx: &Context, window: &mut Window, words: &str) {
        ctx.send_viewport_cmd(ViewportCommand::RequestUserAttention(UserAttentionType::Critical));
        if window.prefs().sound
            && let Some(sound) = &self.sound
        {
            match sound.ring() {
                Ok(ringing) => self.ringing.push(ringing),
                Err(why) => {
                    // Said once: a computer without sound has none the next time either.
                    let silent = std::mem::replace(&mut self.silent, true);
                    let why = if silent { String::new() } else { sentence(&store::told(&why)) };
                    window.tell(format!("{} {why}", sentence(words)).trim_end());
                }
            }
        }
    }

    fn notify(&self, window: &Window, words: &str) {
        if window.prefs().notices {
            // The window says it too, so a computer that shows no notices loses nothing.
            drop(notice::show(&self.programs, Urgency::Alarm, "Heldfast", words));
        }
    }

    /// Keeps the preferences as they are at the end; a computer that would not is not worth keeping the window open.
    pub(crate) fn keep(&self, prefs: &Preferences) {
        if let Some(places) = &self.places {
            drop(prefs.save(&places.config));
        }
    }

    /// Brings back what has been answered.
    pub(crate) fn bring_back(&mut self, window: &mut Window) {
        let mut silent = None;
        self.ringing.retain(|ringing| match ringing.outcome() {
            None => true,
            Some(Ok(())) => false,
            Some(Err(why)) => {
                silent = Some(store::told(&why));
                false
            }
        });
        if let Some(why) = silent {
            window.tell(&format!("{}.", workbench::present::words::sentence_start(&why)));
        }
        while let Some(outcome) = self.opening.poll() {
            window.tell(&outcome.unwrap_or_else(|why| format!("{}.", store::told(&why))));
        }
        while let Some(outcome) = self.printing.poll() {
            window.tell(&outcome.unwrap_or_else(|why| format!("{}.", store::told(&why))));
        }
        while let Some((request, answer)) = self.dialogs.poll() {
            self.dialog_answered(window, &request, answer);
        }
    }

    fn dialog_answered(&mut self, window: &mut Window, request: &Request, answer: Answer) {
        let Some(place) = self.open_for.iter().position(|(asked, _)| asked == request) else { return };
        let (_, what_for) = self.open_for.remove(place);
        let paths: Vec<PathBuf> = match answer {
            Answer::Picked(paths) => paths,
            Answer::Nothing { quick } => {
                if quick {
                    window.tell(NO_DIALOG);
                }
                return;
            }
        };
        match (what_for, paths.first()) {
            (For::Photos(purpose), Some(_)) => window.picked(purpose, paths),
            (For::Path(asked, on), Some(path)) => window.answered(&asked, on, path),
            (_, None) => {}
        }
    }
}
