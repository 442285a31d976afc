//! What stands over an order: the remembered one, and a line about the order; and the window's own title.

use craft::id::ThingKind;
use craft::moment::Moment;
use craft::order::Page;
use craft::studio::{Held, Studio};
use craft::tag::Tag;

use super::board::{Board, by_record, client_name, page_of};
use super::{strip, words};
use crate::action::Nav;
use crate::view::View;

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

impl Heading {
    /// The phrases as one text that breaks between them only: a mark stays with the phrase before it, and short phrases
    /// hold together.
    pub fn line(&self) -> String {
        const TOGETHER: usize = 28;
        let whole = |phrase: &String| {
            if phrase.chars().count() <= TOGETHER { phrase.replace(' ', "\u{a0}") } else { phrase.clone() }
        };
        self.phrases.iter().map(whole).collect::<Vec<_>>().join("\u{a0}\u{a0}·\u{a0} ")
    }
}

/// What stands over the pages of an order; none for an order that is not there.
/// What is next is said as on the board.
pub fn heading(studio: &Studio, board: &Board, tag: Tag, now: Moment) -> Option<Heading> {
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
    let row = board.row(tag);
    let (next_page, next) = row.map_or_else(
        || {
            let (next, words) = by_record(studio, held, now);
            (page_of(next), words)
        },
        |row| (row.page, row.action.clone()),
    );
    Some(Heading {
        name: words::remembered(held),
        phrases: phrases.into_iter().flatten().filter(|words| !words.is_empty()).collect(),
        next_page,
        next,
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

/// What the window is called: the wait that ends first and the open order in front, so that both can be read where
/// windows are listed.
pub fn window_title(view: &View<'_>) -> String {
    let open = match view.nav {
        Nav::Bench(tag, _) => view.studio.orders().get(&tag).map(|held| (tag, held)),
        Nav::Board | Nav::Shelf | Nav::TryOut | Nav::Keeping => None,
    };
    let named = match open {
        Some((tag, held)) => format!("{} · {tag} · Heldfast", words::remembered(held)),
        None => format!("{} · Heldfast", view.studio.policies().name),
    };
    match view.waits.first() {
        Some(wait) => {
            let digits = strip::digits(wait);
            // What is waited for stands beside a name only where it is that order's.
            match open {
                Some((tag, _)) if tag == wait.tag => {
                    format!("{digits} {} · {named}", strip::State::of(wait).words())
                }
                _ => format!("{digits} · {named}"),
            }
        }
        None => named,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::action::Action;
    use crate::present::board::board;
    use crate::present::sample::bench;
    use crate::state::Workbench;
    use craft::stage::Stage;

    #[test]
    fn the_heading_says_whose_it_is_and_where_the_packet_lies() {
        let bench = bench(Stage::Here);
        let board = board(&bench.studio, bench.now());
        let heading = heading(&bench.studio, &board, bench.tag, bench.now()).unwrap();
        assert!(heading.phrases.iter().any(|words| words.starts_with("for ")), "{heading:?}");
        assert!(heading.phrases.contains(&format!("tag {}", bench.tag)));
        assert!(heading.phrases.iter().any(|words| words.starts_with("packet ")), "{heading:?}");
        assert_eq!(heading.next, "begin stone 1 in cavity A1 of Oval 10 × 8");
        assert_eq!(heading.next_page, Page::Pour);
        let line = heading.line();
        assert!(!line.contains(" ·"), "no line begins with a mark: {line}");
        assert!(line.contains(&format!("tag\u{a0}{}", bench.tag)), "{line}");
    }

    #[test]
    fn the_window_is_called_after_the_open_order() {
        let bench = bench(Stage::Here);
        let mut desk = Workbench::new(bench.studio.clone(), None);
        let name = bench.studio.policies().name.clone();
        assert_eq!(window_title(&desk.view(bench.now())), format!("{name} · Heldfast"));
        desk.handle(Action::Go(Nav::Bench(bench.tag, Page::Plan)), bench.now());
        let title = window_title(&desk.view(bench.now()));
        assert!(title.ends_with(&format!(" · {} · Heldfast", bench.tag)), "{title}");
    }

    #[test]
    fn a_wait_that_runs_stands_in_front_of_the_name() {
        let mut bench = bench(Stage::Here);
        bench.begin(1, "A1");
        let desk = Workbench::new(bench.studio.clone(), None);
        let view = desk.view(bench.now());
        let first = view.waits.first().map(strip::digits);
        let title = window_title(&view);
        let digits = first.expect("a layer that was laid settles");
        assert!(title.starts_with(&format!("{digits} · ")), "{title}");
    }
}
