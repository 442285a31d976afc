//! What the undo button says, and why it cannot go further back.

use craft::fact::{Choice, ClientFact, CustodyFact, Fact, FitFact, Holder, HomeFact, PourFact};
use craft::id::DocId;
use craft::order::{About, Sheet};
use craft::studio::{ClientEdit, Edit, InvoiceEdit, OrderEdit, ShelfEdit, Studio};
use craft::tag::Tag;

use super::words;
use crate::undo::{Scope, UndoStack};

/// The undo button: what it would take back.
///
/// # Errors
/// Why there is nothing to take back.
pub fn undo(stack: &UndoStack, scope: &Scope) -> Result<String, String> {
    match (stack.next_undo(scope), stack.last_fact(scope)) {
        (Some(point), _) => Ok(format!("undo {}", point.label)),
        (None, Some(fact)) => Err(format!("nothing to undo since {}", fact_words(fact))),
        (None, None) => Err("nothing to undo yet".to_owned()),
    }
}

/// Why what was made last is not taken back.
pub fn for_good(label: &str) -> String {
    format!("{label} cannot be undone")
}

/// The redo button: what it would make again.
///
/// # Errors
/// That nothing was taken back.
pub fn redo(stack: &UndoStack, scope: &Scope) -> Result<String, String> {
    let point = stack.next_redo(scope).ok_or_else(|| "nothing to redo".to_owned())?;
    Ok(format!("redo {}", point.label))
}

/// What taking an earlier version back is called, as "undo" names it: "taking an earlier version back for Bramble".
pub fn taken_back(doc: &DocId, studio: &Studio) -> String {
    let of = match doc {
        DocId::Policies => "of the studio\u{2019}s settings".to_owned(),
        DocId::Shelf(id) => format!("of {}", words::item_name(studio, id)),
        DocId::Client(id) => {
            let name =
                studio.clients().get(id).map_or_else(|| id.to_string(), |client| client.name.to_string());
            format!("of the details of {name}")
        }
        DocId::Order(tag) => {
            let name = studio.orders().get(tag).map_or_else(|| tag.to_string(), words::remembered);
            format!("for {name}")
        }
        DocId::Invoices(year) => format!("of the money of {}", year.0),
    };
    format!("taking an earlier version back {of}")
}

/// What an edit changes, as "undo" names it: "the due date for Bramble". Taken before the edit is applied, it
/// names the one part of a sheet that differs.
pub fn edit_label(edit: &Edit, studio: &Studio) -> String {
    match edit {
        Edit::Policies(_) => "the studio's settings".to_owned(),
        Edit::Shelf(id, ShelfEdit::Put(item)) if !studio.shelf().contains_key(id) => {
            format!("{} on the shelf", item.name)
        }
        Edit::Shelf(id, ShelfEdit::Put(_)) => format!("the values of {}", words::item_name(studio, id)),
        Edit::Shelf(id, ShelfEdit::Retire(true)) => {
            format!("taking {} out of use", words::item_name(studio, id))
        }
        Edit::Shelf(id, ShelfEdit::Retire(false)) => {
            format!("bringing {} back into use", words::item_name(studio, id))
        }
        Edit::Client(_, ClientEdit::Put(client)) => format!("the details of {}", client.name),
        Edit::Order(tag, edit) => order_label(*tag, edit, studio),
        Edit::Invoices(_, InvoiceEdit::Issue(_)) => "the invoice".to_owned(),
    }
}

fn order_label(tag: Tag, edit: &OrderEdit, studio: &Studio) -> String {
    let held = studio.orders().get(&tag);
    let name = held.map_or_else(|| tag.to_string(), words::remembered);
    match edit {
        OrderEdit::Open { sheet, .. } => format!("the new order for {}", sheet.remembered.name),
        OrderEdit::Sheet(sheet) => {
            let part = held.map_or("the sheet", |held| changed_part(&held.order.sheet, sheet));
            format!("{part} for {name}")
        }
        OrderEdit::Story(words) => match words.about {
            About::Entry(_) => format!("the words on an entry for {name}"),
            About::Page(page) => format!("the words on the {} page for {name}", words::page(page)),
        },
        OrderEdit::Fact(fact) | OrderEdit::Told(_, fact) => fact_words(fact),
    }
}

/// The one part in which two sheets differ, or the whole sheet where several do.
fn changed_part(old: &Sheet, new: &Sheet) -> &'static str {
    let parts = [
        (old.remembered != new.remembered, "the one remembered"),
        (old.wishes != new.wishes, "the wishes"),
        (old.due != new.due, "the due date"),
        (old.occasion != new.occasion, "whom it is for"),
        (old.quote != new.quote, "the quote"),
        (old.setting != new.setting, "the setting"),
        (old.ring != new.ring, "the ring size"),
        (old.things != new.things, "the description of things"),
        (old.stones != new.stones, "the stones"),
        (old.errands != new.errands, "the errands"),
        (old.photos != new.photos, "the photos"),
        (old.parcels != new.parcels, "the parcels"),
    ];
    let mut changed = parts.iter().filter(|(differs, _)| *differs).map(|(_, words)| *words);
    match (changed.next(), changed.next()) {
        (Some(only), None) => only,
        _ => "the sheet",
    }
}

/// What happened, as a clause: "layer 2 of stone 1 was laid".
pub fn fact_words(fact: &Fact) -> String {
    match fact {
        Fact::Client(fact) => client_words(fact),
        Fact::Custody(fact) => custody_words(fact),
        Fact::Pour(fact) => pour_words(fact),
        Fact::Fit(fact) => fit_words(fact),
        Fact::Home(fact) => home_words(fact),
        Fact::Struck { entry, .. } => format!("entry {entry} was struck as a mistake"),
    }
}

fn client_words(fact: &ClientFact) -> String {
    match fact {
        ClientFact::Answered => "the enquiry was answered".to_owned(),
        ClientFact::KitPosted => "the sending kit was posted".to_owned(),
        ClientFact::MessageSent { about } => format!("the message \"{}\" was sent", words::message(*about)),
        ClientFact::ProofSent { stones, .. } => format!("the proof of {} was sent", stone_list(stones)),
        ClientFact::Chosen(Choice::Stone(no)) => format!("{name} was chosen", name = words::stone(*no)),
        ClientFact::Chosen(Choice::NoneOfThese) => "none of the stones was chosen".to_owned(),
        ClientFact::CalledOff => "the order was called off".to_owned(),
        ClientFact::Thanked => "the thank-you came".to_owned(),
        ClientFact::Instructed { thing, wish } => super::lot_story::wish_words(*thing, *wish),
    }
}

fn custody_words(fact: &CustodyFact) -> String {
    let plain = |thing: &craft::id::Thing| words::thing_plain(*thing);
    match fact {
        CustodyFact::Received { material, .. } => {
            let verb = if matches!(material, craft::fact::Material::Ashes | craft::fact::Material::Petals) {
                "were"
            } else {
                "was"
            };
            format!("the {} {verb} received", words::material(*material))
        }
        CustodyFact::CameAlong { thing, .. } => format!("{} came along", plain(thing)),
        CustodyFact::SplitOff { into, keep_back: true, .. } => {
            format!("the keep-back went into {}", plain(into))
        }
        CustodyFact::SplitOff { into, part, .. } => {
            format!("{} of the material went into {}", part_of(*part), plain(into))
        }
        CustodyFact::Released { thing } => format!("the client said yes to opening {}", plain(thing)),
        CustodyFact::Opened { thing, .. } => format!("{} was opened", plain(thing)),
        CustodyFact::Closed { thing, .. } => format!("{} was closed", plain(thing)),
        CustodyFact::Placed { thing, .. } => format!("{} was put away", plain(thing)),
        CustodyFact::Moved { to: Holder::Thing(to), part, .. } => {
            format!("{} of the material went into {}", part_of(*part), plain(to))
        }
        CustodyFact::Moved { to: Holder::Tools, part, .. } => {
            format!("{} of the material was left on the tools", part_of(*part))
        }
        CustodyFact::Weighed { thing, reading } => match reading.by {
            craft::reading::Means::ByEye => format!("{} was judged by eye", plain(thing)),
            _ => format!("{} was weighed", plain(thing)),
        },
        CustodyFact::WeighedOn { thing, .. } => format!("{} was weighed", plain(thing)),
        CustodyFact::Judged { thing, .. } => format!("{} was judged by eye", plain(thing)),
        CustodyFact::Dried { thing, .. } => format!("what is in {} was dried", plain(thing)),
        CustodyFact::PassedOn { thing, to } => format!("{} went over to order {to}", plain(thing)),
        CustodyFact::TakenOver { of, thing, .. } => format!("{} of order {of} was taken over", plain(thing)),
        CustodyFact::BenchCleared => "the bench was cleared".to_owned(),
        CustodyFact::Lost { thing } => format!("{} was named as lost", plain(thing)),
        CustodyFact::Found { thing, .. } => format!("{} was found again", plain(thing)),
    }
}

/// A share before "of the material": "all" rather than "all of it".
fn part_of(part: craft::units::Share) -> String {
    words::share(part).replace(" of it", "")
}

fn pour_words(fact: &PourFact) -> String {
    match fact {
        PourFact::Begun { stone, .. } => format!("{name} was begun", name = words::stone(*stone)),
        PourFact::Laid { stone, layer, .. } => {
            format!("layer {layer} of {name} was laid", name = words::stone(*stone))
        }
        PourFact::LampOn { stones, .. } => format!("the lamp went on over {}", stone_list(stones)),
        PourFact::LampOff { .. } => "the lamp went off".to_owned(),
        PourFact::Cooled { stones } => format!("{} cooled", stone_list(stones)),
        PourFact::Felt { stone, layer, hardness } => {
            format!(
                "layer {layer} of {name} was felt to be {}",
                words::hardness(*hardness),
                name = words::stone(*stone)
            )
        }
        PourFact::TakenOut { stone, .. } => {
            format!("{name} was taken out of its mould", name = words::stone(*stone))
        }
        PourFact::OffcutsKept { bag, .. } => format!("offcuts went into {}", words::thing_plain(*bag)),
        PourFact::OffcutsCured { bag, .. } => {
            format!("the offcuts in {} were under the lamp", words::thing_plain(*bag))
        }
        PourFact::SetAside { stone } => {
            format!("{name} was set aside as a spare", name = words::stone(*stone))
        }
    }
}

fn fit_words(fact: &FitFact) -> String {
    match fact {
        FitFact::Measured { stone, what, .. } => {
            format!("the {} of {name} was measured", words::dimension(*what), name = words::stone(*stone))
        }
        FitFact::Tried { stone, .. } => {
            format!("{name} was tried in its setting", name = words::stone(*stone))
        }
        FitFact::Worked { stone, work } => {
            format!("{name} was {}", words::fit_work(*work), name = words::stone(*stone))
        }
        FitFact::Set { stone, piece, .. } => {
            format!("{name} was set into {}", words::thing_plain(*piece), name = words::stone(*stone))
        }
    }
}

fn home_words(fact: &HomeFact) -> String {
    match fact {
        HomeFact::Ticked { thing, .. } => format!("{} went into the box", words::thing_plain(*thing)),
        HomeFact::Unticked { thing } => format!("{} came out of the box again", words::thing_plain(*thing)),
        HomeFact::LeftOut { thing, .. } => format!("{} was left out of the box", words::thing_plain(*thing)),
        HomeFact::BoxPhotographed { .. } => "the box was photographed".to_owned(),
        HomeFact::NotPhotographed => "the box was looked through without a photo".to_owned(),
        HomeFact::PaperIssued { paper, .. } => format!("the {} was issued", words::paper(*paper)),
        HomeFact::Sent => "the parcel was sent".to_owned(),
        HomeFact::SentPart => "a part was sent in a parcel of its own".to_owned(),
        HomeFact::Arrived => "the parcel arrived".to_owned(),
        HomeFact::CameBack { thing, .. } => format!("{} came back", words::thing_plain(*thing)),
        HomeFact::Fault { thing } => format!("a fault of {} was reported", words::thing_plain(*thing)),
    }
}

/// "stone 1", "stones 1 and 3".
pub(crate) fn stone_list(stones: &[u8]) -> String {
    words::stones(stones)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::present::sample;

    #[test]
    fn an_undo_point_names_the_one_part_that_changed() {
        let (studio, tag) = sample::received();
        let mut sheet = studio.order(tag).unwrap().order.sheet.clone();
        sheet.due = None;
        let edit = |sheet: &Sheet| Edit::Order(tag, OrderEdit::Sheet(Box::new(sheet.clone())));
        assert_eq!(edit_label(&edit(&sheet), &studio), "the due date for Bramble");
        sheet.wishes = "a ring".parse().unwrap();
        assert_eq!(edit_label(&edit(&sheet), &studio), "the sheet for Bramble");
    }

    #[test]
    fn a_fact_is_told_as_it_happened() {
        let (studio, tag) = sample::gone_home();
        let log = &studio.order(tag).unwrap().order.log;
        let told: Vec<String> = log.entries().map(|(_, entry)| fact_words(&entry.fact)).collect();
        for wanted in
            ["the hair was received", "layer 2 of stone 1 was laid", "the proof of stones 1 and 2 was sent"]
        {
            assert!(told.iter().any(|words| words == wanted), "{wanted} in {told:?}");
        }
        assert!(told.iter().all(|words| !words.ends_with('.') && !words.is_empty()));
        assert_eq!(
            fact_words(&Fact::from(PourFact::Cooled { stones: vec![1, 2, 3] })),
            "stones 1, 2 and 3 cooled"
        );
    }
}
