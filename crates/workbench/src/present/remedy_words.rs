//! What the button says that mends a refusal: an order to the hands, in bench words.

use craft::fact::{CustodyFact, Fact, Holder, HomeFact};
use craft::place::Place;
use craft::refusal::Refusal;
use craft::studio::{Edit, OrderEdit, ShelfEdit, Studio};

use super::undo_words::{edit_label, fact_words};
use super::words;
use crate::handling::closing;

/// What pressing the button does: "Put the keep-back, a third, in its envelope".
pub fn remedy(edit: &Edit, studio: &Studio) -> String {
    if let Some((held, thing, place)) = closing(studio, edit).filter(|(_, _, place)| *place != Place::Bench) {
        let (thing, name) = (words::thing_plain(thing), words::remembered(held));
        return format!("Close {thing} of {name} and put it back {}", words::place_in(studio, &place));
    }
    match edit {
        Edit::Order(tag, OrderEdit::Fact(fact) | OrderEdit::Told(_, fact)) => {
            let name = || studio.orders().get(tag).map_or_else(|| tag.to_string(), words::remembered);
            fact_remedy(fact, &name)
        }
        Edit::Shelf(id, ShelfEdit::Retire(false)) => {
            format!("Bring {} back into use", words::item_name(studio, id))
        }
        other => format!("Change {}", edit_label(other, studio)),
    }
}

/// Why something was refused, with the name of what stands on the shelf in place of its id.
pub fn refusal(refusal: &Refusal, studio: &Studio) -> String {
    let said = refusal.to_string();
    let Some(id) = refusal.item() else { return said };
    let whole = |c: Option<char>| c.is_none_or(|c| !c.is_alphanumeric() && c != '-');
    let at = said.match_indices(id.as_str()).map(|(at, _)| at).find(|&at| {
        let (before, from) = said.split_at(at);
        whole(before.chars().next_back()) && whole(from.chars().nth(id.as_str().chars().count()))
    });
    let Some((before, from)) = at.map(|at| said.split_at(at)) else { return said };
    let after = from.strip_prefix(id.as_str()).unwrap_or_default();
    format!("{before}{}{after}", words::item_name(studio, id))
}

fn fact_remedy(fact: &Fact, name: &dyn Fn() -> String) -> String {
    match fact {
        Fact::Custody(CustodyFact::SplitOff { keep_back: true, part, .. }) => {
            format!("Put the keep-back, {}, in its envelope", words::share(*part))
        }
        Fact::Custody(
            CustodyFact::SplitOff { into: thing, part, .. }
            | CustodyFact::Moved { to: Holder::Thing(thing), part, .. },
        ) => format!("Take {} into {} instead", words::share(*part), words::thing_plain(*thing)),
        Fact::Custody(CustodyFact::Moved { to: Holder::Tools, part, .. }) => {
            format!("Leave {} on the tools instead", words::share(*part))
        }
        Fact::Custody(CustodyFact::Released { thing }) => {
            format!("Note that the client said yes to opening {}", words::thing_plain(*thing))
        }
        Fact::Custody(CustodyFact::Closed { thing, .. }) => {
            format!("Close {} of {}", words::thing_plain(*thing), name())
        }
        Fact::Home(HomeFact::NotPhotographed) => "Note that the box was looked through, no photo".to_owned(),
        other => format!("Note that {}", fact_words(other)),
    }
}

#[cfg(test)]
mod tests {
    use craft::fact::ClientFact;
    use craft::id::Thing;
    use craft::place::Place;
    use craft::units::Share;

    use super::*;
    use crate::present::sample::{self, id};

    #[test]
    fn a_refusal_names_what_stands_on_the_shelf_as_people_do() {
        let (studio, _) = sample::received();
        let (known, item) = studio.shelf().first_key_value().unwrap();
        let said = refusal(&Refusal::Retired(known.clone()), &studio);
        assert_eq!(said, format!("{} is retired; take another, or bring it back into use", item.name));
        let unknown = refusal(&Refusal::NoItem(id("kern-01")), &studio);
        assert_eq!(unknown, "kern-01 is not on the shelf; add it first");
        let letters = refusal(&Refusal::ScaleOut(id("it")), &studio);
        assert!(letters.starts_with("it did not show what it was tried with; set it right"), "{letters}");
    }

    #[test]
    fn every_button_says_what_the_hands_shall_do() {
        let (studio, tag) = sample::received();
        let said = |fact: Fact| remedy(&Edit::Order(tag, OrderEdit::Fact(fact)), &studio);
        let thing = Thing::envelope(1);
        let split = |keep_back| CustodyFact::SplitOff {
            from: Thing::envelope(2),
            lot: 1,
            into: thing,
            part: Share::of(1, 3),
            keep_back,
            seal: None,
            place: Place::Bench,
        };
        assert_eq!(said(split(true).into()), "Put the keep-back, a third, in its envelope");
        assert_eq!(said(split(false).into()), "Take a third into envelope 1 instead");
        let to = Holder::Tools;
        let moved = CustodyFact::Moved { from: thing, lot: 1, to, part: Share::of(1, 4) };
        assert_eq!(said(moved.into()), "Leave a quarter on the tools instead");
        assert_eq!(
            said(CustodyFact::Released { thing }.into()),
            "Note that the client said yes to opening envelope 1"
        );
        assert_eq!(
            said(CustodyFact::Closed { thing, seal: None }.into()),
            "Close envelope 1 of Bramble and put it back in drawer 3"
        );
        assert_eq!(said(HomeFact::NotPhotographed.into()), "Note that the box was looked through, no photo");
        assert_eq!(said(ClientFact::Answered.into()), "Note that the enquiry was answered");
        let back = Edit::Shelf(id("deep-green"), ShelfEdit::Retire(false));
        assert_eq!(remedy(&back, &studio), "Bring Deep green back into use");
        let settings = Edit::Policies(Box::new(studio.policies().clone()));
        assert_eq!(remedy(&settings, &studio), "Change the studio's settings");
    }
}
