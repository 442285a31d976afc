//! The moments of an order as they stand, and what was sent.

use chrono::NaiveDate;
use craft::fact::{ClientFact, Fact, MessageKind};
use craft::moment::Moment;
use craft::studio::{Held, Studio};
use craft::tag::Tag;

use super::{ready, standing};
use crate::present::showing::{Sending, sending};

/// How a moment stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stands {
    /// Its words can be sent now.
    Ready,
    /// They went out on this day.
    Sent(NaiveDate),
    /// What they would say has not happened yet, or is over.
    NotNow,
}

/// A message that went out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Sent {
    /// The entry that says so; the words are in the story about it.
    pub entry: u32,
    /// Which moment it was for.
    pub kind: MessageKind,
    /// The day.
    pub day: NaiveDate,
}

/// What went out, newest first.
pub fn sent(held: &Held) -> Vec<Sent> {
    let entries = standing(held).into_iter().rev();
    let messages = entries.filter_map(|(number, entry)| match entry.fact {
        Fact::Client(ClientFact::MessageSent { about }) => {
            Some(Sent { entry: number, kind: about, day: entry.day() })
        }
        _ => None,
    });
    messages.collect()
}

/// Every moment in the order they come, and how it stands: what can be sent again is ready again. The proof stands as
/// its sheet does, wherever it was said that it went.
pub fn moments(studio: &Studio, tag: Tag, now: Moment) -> Vec<(MessageKind, Stands)> {
    let ready = ready(studio, tag, now);
    let sent = studio.order(tag).map(sent).unwrap_or_default();
    let proof_day = match studio.order(tag).map(sending) {
        Ok(Sending::Sent(day)) => Some(day),
        _ => None,
    };
    let stands = |kind: MessageKind| match sent.iter().find(|sent| sent.kind == kind) {
        _ if ready.contains(&kind) => Stands::Ready,
        Some(sent) => Stands::Sent(sent.day),
        None => Stands::NotNow,
    };
    let stands = |kind: MessageKind| match proof_day {
        Some(day) if kind == MessageKind::Proof => Stands::Sent(day),
        _ => stands(kind),
    };
    MessageKind::ALL.into_iter().map(|kind| (kind, stands(kind))).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::present::sample::bench;
    use craft::stage::Stage;

    #[test]
    fn a_moment_is_ready_until_it_is_sent_and_the_others_are_not_now() {
        let mut bench = bench(Stage::KitSent);
        let stands = |bench: &crate::present::sample::Bench, kind| {
            let all = moments(&bench.studio, bench.tag, bench.now());
            all.into_iter().find(|(of, _)| *of == kind).map(|(_, stands)| stands).unwrap()
        };
        assert_eq!(stands(&bench, MessageKind::KitPosted), Stands::Ready);
        assert_eq!(stands(&bench, MessageKind::ThankYou), Stands::NotNow);
        bench.record(ClientFact::MessageSent { about: MessageKind::KitPosted });
        let today = bench.now().day();
        assert_eq!(stands(&bench, MessageKind::KitPosted), Stands::Sent(today));
        let held = bench.studio.order(bench.tag).unwrap();
        let newest = sent(held)[0];
        assert_eq!((newest.kind, newest.day), (MessageKind::KitPosted, today));
        assert_eq!(newest.entry, held.order.log.len(), "the entry that was just written");
    }
}
