//! What stands over an order: the remembered one, and a line about the order; and the window's own title.

use craft::id::ThingKind;
use craft::moment::Moment;
use craft::order::Page;
use craft::studio::{Held, Studio};
use craft::tag::Tag;

use super::board::{client_name, next_words, page_of};
use super::words;

/// What stands over every page of an order.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Heading {
    /// The remembered one.
    pub name: String,
    /// Phrases about the order, in the order they are read.
    pub phrases: Vec<String>,
    /// The next thing to be done.
    pub next: String,
    /// The page where that is done.
    pub next_page: Page,
    /// The furthest page the work has come to.
    pub stage: String,
}

/// What stands over the pages of an order; none for an order that is not there.
pub fn heading(studio: &Studio, tag: Tag, now: Moment) -> Option<Heading> {
    let held = studio.orders().get(&tag)?;
    let today = now.day();
    let sheet = &held.order.sheet;
    let due = sheet.due.map(|day| format!("promised {}", words::date(day, today)));
    let phrases = [
        Some(sheet.remembered.about.to_string()),
        Some(format!("for {}", client_name(studio, held))),
        Some(format!("tag {tag}")),
        due,
        packet(studio, held),
    ];
    let next = held.next(today, studio.policies().nudge_days);
    Some(Heading {
        name: words::remembered(held),
        phrases: phrases.into_iter().flatten().filter(|words| !words.is_empty()).collect(),
        next: next_words(studio, held, next, today),
        next_page: page_of(next),
        stage: words::stage(held.stage()).to_owned(),
    })
}

/// Where the client's packet is: "packet in drawer 3".
fn packet(studio: &Studio, held: &Held) -> Option<String> {
    let mut wrappings =
        held.ledger.custody.things.iter().filter(|(thing, _)| thing.kind == ThingKind::Wrapping);
    let (_, first) = wrappings.next().filter(|(_, kept)| kept.is_here())?;
    Some(format!("packet {}", words::place_in(studio, &first.place)))
}

/// What the window is called: the open order in front, so that it is told apart in a row of windows.
pub fn window_title(studio: &Studio, open: Option<Tag>) -> String {
    match open.and_then(|tag| studio.orders().get(&tag).map(|held| (tag, held))) {
        Some((tag, held)) => format!("{} · {tag} · Heldfast", words::remembered(held)),
        None => format!("{} · Heldfast", studio.policies().name),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::present::sample::bench;
    use craft::stage::Stage;

    #[test]
    fn the_heading_says_whose_it_is_and_where_the_packet_lies() {
        let bench = bench(Stage::Here);
        let heading = heading(&bench.studio, bench.tag, bench.now()).unwrap();
        assert!(heading.phrases.iter().any(|words| words.starts_with("for ")), "{heading:?}");
        assert!(heading.phrases.contains(&format!("tag {}", bench.tag)));
        assert!(heading.phrases.iter().any(|words| words.starts_with("packet ")), "{heading:?}");
        assert_eq!(heading.next, "begin stone 1 in cavity A1 of Oval 10 × 8");
        assert_eq!(heading.next_page, Page::Pour);
    }

    #[test]
    fn the_window_is_called_after_the_open_order() {
        let bench = bench(Stage::Here);
        let title = window_title(&bench.studio, Some(bench.tag));
        assert!(title.ends_with(&format!(" · {} · Heldfast", bench.tag)), "{title}");
        assert_eq!(window_title(&bench.studio, None), format!("{} · Heldfast", bench.studio.policies().name));
    }
}
