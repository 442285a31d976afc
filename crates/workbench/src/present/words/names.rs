//! Names of stages, kinds, places and things.

use craft::client::{Permission, WriteWhen};
use craft::fact::{Dimension, Feel, FitWork, Hardness, LayerKind, LeftOut, Material, MessageKind, PaperKind};
use craft::geometry::{Dome, Outline};
use craft::heat::Feel as Warmth;
use craft::id::{ShelfId, Thing, ThingKind};
use craft::id::{StoneName, is_practice};
use craft::ledger::Role;
use craft::order::{ErrandKind, Page};
use craft::place::{Cell, Place};
use craft::shelf::What;
use craft::stage::Stage;
use craft::studio::{Held, Studio};
use craft::units::Length;

use super::{date_with_year, length};
use crate::shelving::Form;

/// A stage: "kit sent".
pub const fn stage(stage: Stage) -> &'static str {
    match stage {
        Stage::Asked => "asked",
        Stage::KitSent => "kit sent",
        Stage::Here => "here",
        Stage::Made => "made",
        Stage::Shown => "shown",
        Stage::Chosen => "chosen",
        Stage::Set => "set",
        Stage::Packed => "packed",
        Stage::GoneHome => "gone home",
    }
}

/// A page of the bench: "arrival".
pub const fn page(page: Page) -> &'static str {
    match page {
        Page::Brief => "brief",
        Page::Arrival => "arrival",
        Page::Plan => "plan",
        Page::Pour => "pour",
        Page::Show => "show",
        Page::Choose => "choose",
        Page::Fit => "fit",
        Page::Pack => "pack",
        Page::After => "after",
    }
}

/// A material: "hair".
pub const fn material(material: Material) -> &'static str {
    match material {
        Material::Hair => "hair",
        Material::Fur => "fur",
        Material::Ashes => "ashes",
        Material::Petals => "petals",
        Material::Milk => "milk powder",
        Material::Cloth => "cloth",
        Material::Earth => "earth",
        Material::Feather => "feather",
        Material::Other => "something else",
    }
}

/// What a layer is: "back coat".
pub const fn layer_kind(kind: LayerKind) -> &'static str {
    match kind {
        LayerKind::Material => "material",
        LayerKind::Clear => "clear",
        LayerKind::Tinted => "tinted",
        LayerKind::Swirled => "clear with swirled colour",
        LayerKind::Opaque => "opaque",
        LayerKind::BackCoat => "back coat",
        LayerKind::TopGloss => "top coat, gloss",
        LayerKind::TopSatin => "top coat, satin",
    }
}

/// How a layer came out: "tacky".
pub const fn hardness(hardness: Hardness) -> &'static str {
    match hardness {
        Hardness::Soft => "soft",
        Hardness::Tacky => "tacky",
        Hardness::Hard => "hard",
    }
}

/// How warm a layer was: "warm".
pub const fn warmth(feel: Warmth) -> &'static str {
    match feel {
        Warmth::Cool => "cool or barely warm",
        Warmth::Warm => "warm",
        Warmth::TooHotToHold => "too hot to hold",
        Warmth::SmelledOrWarped => "so hot that it smelled, smoked or warped",
    }
}

/// How a stone sits: "stands proud".
pub const fn feel(feel: Feel) -> &'static str {
    match feel {
        Feel::TooTight => "will not go in",
        Feel::Proud => "stands proud",
        Feel::Flush => "sits flush",
        Feel::Low => "sits low",
        Feel::TooLoose => "sits loose",
    }
}

/// What was done to make it sit: "sanded around the edge".
pub const fn fit_work(work: FitWork) -> &'static str {
    match work {
        FitWork::SandedEdge => "sanded around the edge",
        FitWork::SandedBack => "sanded from the back",
        FitWork::BuiltUp => "built up with a clear layer",
        FitWork::Polished => "polished",
    }
}

/// A measure of a stone: "edge height".
pub const fn dimension(dimension: Dimension) -> &'static str {
    match dimension {
        Dimension::Length => "length",
        Dimension::Width => "width",
        Dimension::Height => "height",
        Dimension::Edge => "edge height",
    }
}

/// The profile of a dome: "half-ellipse dome".
pub const fn dome(dome: Dome) -> &'static str {
    match dome {
        Dome::HalfEllipse => "half-ellipse dome",
        Dome::CircularArc => "circular dome",
        Dome::Parabola => "parabola dome",
        Dome::Flat => "flat",
        Dome::Measured(_) => "measured dome",
    }
}

/// Why a thing stays out of the box: "held here, as the client asked".
pub const fn left_out(why: LeftOut) -> &'static str {
    match why {
        LeftOut::HeldForClient => "held here, as the client asked",
        LeftOut::DestroyedOnRequest => "destroyed, as the client asked",
        LeftOut::ReturnedBefore => "went home before",
    }
}

/// A bag of offcuts: "offcuts, hardened" once they were lit by themselves and felt hard, and not before.
pub fn offcuts(held: &Held, bag: Thing) -> &'static str {
    match held.ledger.pours.offcuts_felt(bag) {
        Some(Hardness::Hard) => "offcuts, hardened",
        _ => "offcuts",
    }
}

/// A paper: "proof sheet".
pub const fn paper(paper: PaperKind) -> &'static str {
    match paper {
        PaperKind::Proof => "proof sheet",
        PaperKind::Receipt => "receipt",
        PaperKind::Kit => "sending sheet",
        PaperKind::Packing => "packing list",
        PaperKind::Care => "care card",
        PaperKind::Custody => "custody sheet",
    }
}

/// A moment of the order: "arrived safely".
pub const fn message(kind: MessageKind) -> &'static str {
    match kind {
        MessageKind::KitPosted => "kit posted",
        MessageKind::ArrivedSafely => "arrived safely",
        MessageKind::Proof => "proof",
        MessageKind::Nudge => "gentle reminder",
        MessageKind::Finished => "finished",
        MessageKind::Posted => "posted",
        MessageKind::ThankYou => "thank-you",
    }
}

/// What someone else does: "the engraving".
pub const fn errand(kind: ErrandKind) -> &'static str {
    match kind {
        ErrandKind::Setting => "the setting",
        ErrandKind::Chain => "the chain",
        ErrandKind::Engraving => "the engraving",
        ErrandKind::Assay => "the assay office",
    }
}

/// What the client said: "yes, on 3 May 2026", "not asked yet, so no".
pub fn permission(permission: Permission) -> String {
    match permission {
        Permission::NotAsked => "not asked yet, so no".to_owned(),
        Permission::Given(on) => format!("yes, on {}", date_with_year(on)),
        Permission::Refused => "no".to_owned(),
    }
}

/// When to write: "at each step".
pub const fn writing(when: WriteWhen) -> &'static str {
    match when {
        WriteWhen::EachStep => "at each step",
        WriteWhen::OnlyQuestions => "only when an answer is needed",
        WriteWhen::NotAtHome => "not before the day: it is a surprise in the same house",
    }
}

/// The shape and size of a stone: "oval, 10 × 8 mm", "round, 12 mm".
pub fn outline(outline: &Outline) -> String {
    let name = Form::of(outline).words();
    match outline {
        Outline::Round { diameter: across } | Outline::Heart { across } => {
            format!("{name}, {}", length(*across))
        }
        other => {
            // Where a side is worked out, it has more digits than anybody measures.
            let [long, wide] = [other.length(), other.width()]
                .map(|side| length(Length::from_micro((side.micro() + 5_000) / 10_000 * 10_000)));
            format!("{name}, {} × {wide}", long.trim_end_matches(" mm"))
        }
    }
}

/// What the maker calls an item on the shelf, or its id where it is gone.
pub fn item_name(studio: &Studio, id: &ShelfId) -> String {
    studio.shelf().get(id).map_or_else(|| id.to_string(), |item| item.name.to_string())
}

/// A cavity of a tray: "cavity B2 of Oval 10 × 8".
pub fn cavity(studio: &Studio, mould: &ShelfId, cell: &Cell) -> String {
    // A mould with one cavity needs no mark.
    let single = studio.shelf().get(mould).is_some_and(|item| match &item.what {
        What::Mould(shape) => shape.cells.len() == 1,
        _ => false,
    });
    if single {
        format!("the mould {}", item_name(studio, mould))
    } else {
        format!("cavity {cell} of {}", item_name(studio, mould))
    }
}

/// Where something is: "drawer 3", "on the bench", "cavity B2 of Oval 10 × 8".
pub fn place(studio: &Studio, place: &Place) -> String {
    match place {
        Place::Kept(no) => {
            let at = usize::from(*no).checked_sub(1);
            let named = at.and_then(|at| studio.policies().places.get(at)).filter(|name| !name.is_empty());
            named.map_or_else(|| format!("place {no}"), ToString::to_string)
        }
        Place::Bench => "on the bench".to_owned(),
        Place::Cavity { mould, cell } => cavity(studio, mould, cell),
        Place::Box => "in the box".to_owned(),
        Place::Away => "away, being worked on".to_owned(),
        Place::Post => "on its way home".to_owned(),
        Place::Home => "at home with the client".to_owned(),
    }
}

/// The same after a noun: "in drawer 3", "on the bench".
pub fn place_in(studio: &Studio, at: &Place) -> String {
    match at {
        Place::Kept(_) | Place::Cavity { .. } => format!("in {}", place(studio, at)),
        _ => place(studio, at),
    }
}

/// A stone by its number: "stone 2", "practice stone 1".
pub fn stone(no: u8) -> String {
    StoneName(no).to_string()
}

/// Several stones by their numbers: "stone 1", "stones 1 and 3", "stone 1 and practice stone 1".
pub fn stones(all: &[u8]) -> String {
    let (practice, clients): (Vec<u8>, Vec<u8>) = all.iter().partition(|no| is_practice(**no));
    let numbers: Vec<String> = clients.iter().map(u8::to_string).collect();
    let noun = if clients.len() == 1 { "stone" } else { "stones" };
    let mut named =
        if clients.is_empty() { Vec::new() } else { vec![format!("{noun} {}", super::list(&numbers))] };
    named.extend(practice.into_iter().map(stone));
    super::list(&named)
}

/// A thing by its kind and number: "envelope 2".
pub fn thing_plain(thing: Thing) -> String {
    if thing.kind == ThingKind::Stone {
        return stone(thing.no);
    }
    let kind = match thing.kind {
        ThingKind::Wrapping => "wrapping",
        ThingKind::Envelope => "envelope",
        ThingKind::Stone => "stone",
        ThingKind::Offcuts => "offcut bag",
        ThingKind::Keepsake => "keepsake",
        ThingKind::Piece => "piece",
    };
    format!("{kind} {}", thing.no)
}

/// What is written on a thing's label: "E2".
pub fn label(thing: Thing) -> String {
    if thing.is_practice() { stone(thing.no) } else { thing.to_string() }
}

/// A thing as it is spoken of: "envelope 2, the keep-back", "keepsake 1, a letter".
pub fn thing(held: &Held, thing: Thing) -> String {
    let plain = thing_plain(thing);
    let role = held.ledger.custody.things.get(&thing).map(|kept| kept.role);
    if matches!(role, Some(Role::KeepBack { .. })) {
        return format!("{plain}, the keep-back");
    }
    match held.order.sheet.description(thing).filter(|words| !words.is_empty()) {
        Some(words) => format!("{plain}, {words}"),
        None => plain,
    }
}

/// A material of an order: "the hair", or "ashes 2" where several came.
pub fn lot(held: &Held, no: u8) -> String {
    let lots = &held.ledger.custody.lots;
    match lots.get(&no) {
        Some(kept) if lots.len() == 1 => format!("the {}", material(kept.material)),
        Some(kept) => format!("{} {no}", material(kept.material)),
        None if no == 1 && lots.is_empty() => "the material".to_owned(),
        None => format!("material {no}"),
    }
}

/// The one an order remembers, or its tag where no name is written.
pub fn remembered(held: &Held) -> String {
    let name = held.name();
    if name.is_empty() { held.tag().to_string() } else { name.to_string() }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::present::sample;
    use craft::units::Length;

    #[test]
    fn the_stages_are_the_nine_bench_words() {
        let all: Vec<&str> = Stage::ALL.into_iter().map(stage).collect();
        assert_eq!(
            all.join(" · "),
            "asked · kit sent · here · made · shown · chosen · set · packed · gone home"
        );
        let pages: Vec<&str> = Page::ALL.into_iter().map(page).collect();
        assert_eq!(pages.join(" → "), "brief → arrival → plan → pour → show → choose → fit → pack → after");
    }

    #[test]
    fn a_place_is_called_what_the_maker_calls_it() {
        let studio = sample::studio();
        assert_eq!(place(&studio, &Place::Kept(1)), "drawer 3");
        assert_eq!(place(&studio, &Place::Kept(9)), "place 9");
        assert_eq!(place(&studio, &Place::Kept(0)), "place 0", "a number no list has is still said");
        let cell = "B2".parse().unwrap();
        let mould: ShelfId = "oval-ten".parse().unwrap();
        assert_eq!(place(&studio, &Place::Cavity { mould, cell }), "cavity B2 of Oval 10 × 8");
    }

    #[test]
    fn a_thing_is_named_with_what_makes_it_known() {
        let (studio, tag) = sample::received();
        let held = studio.order(tag).unwrap();
        assert_eq!(thing(held, Thing::envelope(1)), "envelope 1, the keep-back");
        assert_eq!(thing(held, Thing::keepsake(1)), "keepsake 1, a blue ribbon");
        assert_eq!(thing(held, Thing::offcuts(4)), "offcut bag 4");
        assert_eq!(label(Thing::envelope(2)), "E2");
        assert_eq!(lot(held, 1), "the hair");
        assert_eq!(lot(held, 7), "material 7");
        assert_eq!(remembered(held), "Bramble");
    }

    #[test]
    fn an_outline_is_said_with_its_size() {
        let mm = Length::from_mm;
        assert_eq!(outline(&Outline::Oval { length: mm(10.0), width: mm(8.0) }), "oval, 10 × 8 mm");
        assert_eq!(outline(&Outline::Round { diameter: mm(12.5) }), "round, 12.5 mm");
    }
}
