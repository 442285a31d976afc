//! Ready words for the moments at which a client hears from the studio. Nothing is claimed beyond the record.

mod desk;

use chrono::NaiveDate;
use craft::client::{Client, WriteWhen};
use craft::fact::{Fact, HomeFact, MessageKind};
use craft::ledger::Role;
use craft::moment::Moment;
use craft::order::{Occasion, Parcel, ParcelKind};
use craft::studio::{Held, Studio};
use craft::tag::Tag;

use super::paper_facts::proof_stones;
use super::record::{newest_custody, newest_day, standing};
use super::words;

pub use desk::{Sent, Stands, moments, sent};
pub use papers::document::qr::{Modules, QrError, modules as qr};

/// A message, ready to be copied or carried over to the phone.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Message {
    /// The subject line.
    pub subject: String,
    /// Plain text.
    pub body: String,
    /// Where it goes: the client's address or number; may be empty.
    pub to: String,
    /// Why it should not be sent now, where the client has asked for that.
    pub hold: Option<String>,
}

/// The ready words for a moment of an order.
///
/// # Errors
/// A sentence why not: what it would say has not been recorded yet, or it would hold words the client asked never
/// to read.
pub fn message(studio: &Studio, tag: Tag, kind: MessageKind, now: Moment) -> Result<Message, String> {
    let held = studio.order(tag).map_err(|refusal| refusal.to_string())?;
    let none = Client::default();
    let client = studio.clients().get(&held.order.client).unwrap_or(&none);
    let letter = Letter { held, client, today: now.day() };
    let paragraphs = letter.paragraphs(kind)?;
    let mut parts = vec![letter.greeting()];
    parts.extend(paragraphs.into_iter().filter(|words| !words.is_empty()));
    parts.push(format!("With kind wishes,\n{}", studio.policies().name));
    let message = Message {
        subject: letter.subject(kind),
        body: parts.join("\n\n"),
        to: client.contact.to_string(),
        hold: letter.hold(kind),
    };
    match never_said(held, &[&message.subject, &message.body]) {
        Some(words) => Err(format!(
            "the client asked never to read \"{words}\", and this message would say it; change what it was taken from, or write this one by hand"
        )),
        None => Ok(message),
    }
}

/// The first of an order's never-say words that stands in one of the texts.
pub fn never_said(held: &Held, texts: &[&str]) -> Option<String> {
    let never = held.order.sheet.remembered.never_say.iter();
    let said = never.filter(|line| texts.iter().any(|text| words::says(text, line.as_str())));
    said.map(ToString::to_string).next()
}

struct Letter<'a> {
    held: &'a Held,
    client: &'a Client,
    today: NaiveDate,
}

impl Letter<'_> {
    fn greeting(&self) -> String {
        if self.client.name.is_empty() { "Hello,".to_owned() } else { format!("Dear {},", self.client.name) }
    }

    fn name(&self) -> String {
        words::remembered(self.held)
    }

    fn day(&self, day: NaiveDate) -> String {
        words::date(day, self.today)
    }

    /// The subject line. For a surprise it says nothing of a studio, an order or the one remembered.
    fn subject(&self, kind: MessageKind) -> String {
        if self.held.order.sheet.occasion == Occasion::Surprise {
            return "A short note for you".to_owned();
        }
        let name = self.name();
        match kind {
            MessageKind::KitPosted => format!("The sending kit for {name} is on its way"),
            MessageKind::ArrivedSafely => format!("For {name}: it is here"),
            MessageKind::Proof => format!("For {name}: the stones to choose from"),
            MessageKind::Nudge => format!("For {name}: no hurry, only a reminder"),
            MessageKind::Finished => format!("For {name}: it is finished"),
            MessageKind::Posted => format!("For {name}: it is on its way home"),
            MessageKind::ThankYou => format!("For {name}: thank you"),
        }
    }

    /// Why it should wait, as the client has asked.
    fn hold(&self, kind: MessageKind) -> Option<String> {
        let asks = matches!(kind, MessageKind::Proof | MessageKind::Nudge);
        match self.client.write_when {
            WriteWhen::OnlyQuestions if !asks => {
                Some("The client wishes to hear only when an answer is needed.".to_owned())
            }
            WriteWhen::NotAtHome => match self.held.order.sheet.due {
                Some(due) if self.today >= due => None,
                Some(due) => Some(format!(
                    "It is a surprise in the same house: do not write before {}.",
                    self.day(due)
                )),
                None => Some("It is a surprise in the same house: ask when writing is safe.".to_owned()),
            },
            _ => None,
        }
    }

    fn paragraphs(&self, kind: MessageKind) -> Result<Vec<String>, String> {
        match kind {
            MessageKind::KitPosted => self.kit_posted(),
            MessageKind::ArrivedSafely => self.arrived_safely(),
            MessageKind::Proof => self.proof(),
            MessageKind::Nudge => self.nudge(),
            MessageKind::Finished => self.finished(),
            MessageKind::Posted => self.posted(),
            MessageKind::ThankYou => self.thank_you(),
        }
    }

    fn parcel(&self, kind: ParcelKind) -> Option<&Parcel> {
        self.held.order.sheet.parcels.iter().rev().find(|parcel| parcel.kind == kind)
    }

    /// " with the post, tracking number AB12".
    fn carried(&self, kind: ParcelKind) -> String {
        let Some(parcel) = self.parcel(kind) else { return String::new() };
        let by = if parcel.carrier.is_empty() { String::new() } else { format!(" with {}", parcel.carrier) };
        if parcel.tracking.is_empty() { by } else { format!("{by}, tracking number {}", parcel.tracking) }
    }

    fn kit_posted(&self) -> Result<Vec<String>, String> {
        let Some(at) = self.held.ledger.client.kit_posted else {
            return Err("the sending kit has not been posted yet; record that first".to_owned());
        };
        Ok(vec![
            format!("The sending kit for {} left on {}{}.", self.name(), self.day(at.day()), self.carried(ParcelKind::Kit)),
            "A sheet in it says how to pack what you send, and how little is enough. Please keep the rest at home, and \
             take all the time you need."
                .to_owned(),
            self.spelling(),
        ])
    }

    /// Asks for the spelling once, where it has not been confirmed.
    fn spelling(&self) -> String {
        let remembered = &self.held.order.sheet.remembered;
        if remembered.spelling_confirmed || remembered.name.is_empty() {
            return String::new();
        }
        format!(
            "One question: is the name spelled \"{}\", letter for letter? It will stand on every paper just so.",
            remembered.name
        )
    }

    fn arrived_safely(&self) -> Result<Vec<String>, String> {
        let custody = &self.held.ledger.custody;
        let came = |fact: &Fact| matches!(fact, Fact::Custody(craft::fact::CustodyFact::Received { .. }));
        let Some(day) = newest_day(self.held, came) else {
            return Err("nothing has been received yet; record what came first".to_owned());
        };
        let materials: Vec<String> = custody.lots.keys().map(|lot| self.material(*lot)).collect();
        let put_away = custody.things.values().any(|kept| matches!(kept.role, Role::KeepBack { .. }));
        let keep_back = if put_away {
            "A part is kept back already, in an envelope of its own. It is opened only if you say yes."
        } else {
            ""
        };
        Ok(vec![
            format!(
                "What you sent for {} is here: {} came on {}. It is written down, and has its own place.",
                self.name(),
                words::list(&materials),
                self.day(day)
            ),
            keep_back.to_owned(),
            "All of it stays yours, and whatever is not used comes home to you.".to_owned(),
            self.spelling(),
        ])
    }

    fn material(&self, lot: u8) -> String {
        let kept = self.held.ledger.custody.lots.get(&lot);
        kept.map(|kept| format!("the {}", words::material(kept.material))).unwrap_or_default()
    }

    fn proof(&self) -> Result<Vec<String>, String> {
        let client = &self.held.ledger.client;
        if client.open_round().is_none() && client.chosen().next().is_some() {
            return Err("a stone is chosen already, so there is no proof to send".to_owned());
        }
        let shown = client.open_round().map_or_else(|| proof_stones(self.held), |round| round.stones.clone());
        if shown.is_empty() {
            return Err("no stone is ready to be shown yet".to_owned());
        }
        let stones = words::count(shown.len(), "stone", "stones");
        Ok(vec![
            format!("With this comes a sheet with {stones} made for {}, each with its number, its photo and its outline in true size.", self.name()),
            "Please write back with the number of the one you choose. If it is none of them, say so, and we find \
             another way. Screens show colours a little differently from the stone in the hand."
                .to_owned(),
            "There is no wrong answer, and the others come home to you as well.".to_owned(),
        ])
    }

    fn nudge(&self) -> Result<Vec<String>, String> {
        let Some(round) = self.held.ledger.client.open_round() else {
            return Err("no proof waits for an answer, so there is nothing to remind of".to_owned());
        };
        let due = self.held.order.sheet.due.filter(|due| *due > self.today);
        let by = due.map(|due| {
            format!("It is promised for {}, and the setting comes after your answer.", self.day(due))
        });
        Ok(vec![
            format!(
                "On {} the sheet with the stones for {} went out to you. This is only to be sure that it reached you.",
                self.day(round.sent.day()),
                self.name()
            ),
            "If choosing is hard just now, that is quite all right: tell me, and it waits.".to_owned(),
            by.unwrap_or_default(),
        ])
    }

    fn finished(&self) -> Result<Vec<String>, String> {
        let set = &self.held.ledger.fit.set;
        if set.is_empty() {
            return Err("no stone has been set yet, so nothing is finished".to_owned());
        }
        let stones: Vec<u8> = set.keys().copied().collect();
        let verb = if stones.len() == 1 { "is" } else { "are" };
        Ok(vec![
            format!("The piece for {} is finished: {} {verb} set.", self.name(), super::undo_words::stone_list(&stones)),
            "Next everything is counted into the box: the piece, the other stones and all that was not used. You will \
             hear from me when it is in the post."
                .to_owned(),
        ])
    }

    fn posted(&self) -> Result<Vec<String>, String> {
        let Some(at) = self.held.ledger.home.sent else {
            return Err("the parcel has not been sent yet; record that first".to_owned());
        };
        let count = words::count(self.held.ledger.packed().len(), "thing", "things");
        Ok(vec![
            format!(
                "The box for {} left on {}{}.",
                self.name(),
                self.day(at.day()),
                self.carried(ParcelKind::Home)
            ),
            format!(
                "In it: {count}, each counted and on the list that lies with them. If anything is not as the list says, please write at once."
            ),
            "A short word when it has reached you would set my mind at rest.".to_owned(),
        ])
    }

    fn thank_you(&self) -> Result<Vec<String>, String> {
        if self.held.ledger.home.arrived.is_none() {
            return Err("it is not recorded as arrived yet; a thank-you comes after".to_owned());
        }
        let arrived = newest_day(self.held, |fact| matches!(fact, Fact::Home(HomeFact::Arrived)));
        let on = arrived.map(|day| format!("that it reached you on {}", self.day(day)));
        Ok(vec![
            format!("I am glad {}.", on.unwrap_or_else(|| "that it reached you".to_owned())),
            format!(
                "Thank you for trusting me with something of {}\u{2019}s. If anything about the piece worries you, write at any time.",
                self.name()
            ),
        ])
    }
}

/// The moments that have gone out, with their day, newest first.
pub fn sent_log(held: &Held, today: NaiveDate) -> Vec<(MessageKind, String)> {
    let messages = standing(held).into_iter().rev().filter_map(|(_, entry)| match entry.fact {
        Fact::Client(craft::fact::ClientFact::MessageSent { about }) => {
            Some((about, words::date(entry.day(), today)))
        }
        _ => None,
    });
    messages.collect()
}

/// The moments whose words could be sent now and have not been, in the order they come.
pub fn ready(studio: &Studio, tag: Tag, now: Moment) -> Vec<MessageKind> {
    let Ok(held) = studio.order(tag) else { return Vec::new() };
    let sent = |kind| held.ledger.client.messages.iter().any(|(about, _)| *about == kind);
    // A newer custody entry than the last message brings "arrived safely" back: a second parcel came.
    let again =
        newest_custody(held, |fact| matches!(fact, craft::fact::CustodyFact::Received { .. }).then_some(()))
            .is_some_and(|((), number, _)| {
                !standing(held).into_iter().any(|(entry_no, entry)| {
                    entry_no > number
                        && matches!(
                            entry.fact,
                            Fact::Client(craft::fact::ClientFact::MessageSent {
                                about: MessageKind::ArrivedSafely
                            })
                        )
                })
            });
    let due = |kind: &MessageKind| match kind {
        MessageKind::ArrivedSafely => again,
        MessageKind::Nudge => super::board::nudge_day(studio, held).is_some_and(|(_, due)| due <= now.day()),
        kind => !sent(*kind),
    };
    MessageKind::ALL.into_iter().filter(due).filter(|kind| message(studio, tag, *kind, now).is_ok()).collect()
}

#[cfg(test)]
mod tests;
