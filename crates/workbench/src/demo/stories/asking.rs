//! Before anything has come: two enquiries, a kit on its way, and a packet that came today.

use craft::fact::{ClientFact, CustodyFact, Material, MessageKind};
use craft::id::Thing;
use craft::order::{Occasion, Page, ParcelKind};
use craft::place::Place;
use craft::refusal::Refusal;

use super::super::hands::Came;
use super::super::pen::{Asked, Pen};
use super::super::pictures::Scene;

pub(super) fn write(pen: &mut Pen) -> Result<(), Refusal> {
    new_enquiry(pen)?;
    kit_to_post(pen)?;
    kit_on_its_way(pen)?;
    came_today(pen)
}

/// An enquiry from last night that nobody has answered yet.
fn new_enquiry(pen: &mut Pen) -> Result<(), Refusal> {
    let asked = Asked {
        number: 9_410_233,
        client: "c15",
        name: "Farfar Eivind",
        about: "A boat builder; her father's father",
        wishes: "A thread of the blue wool from the jersey he wore on the slip, in something small that can be \
                 worn under a work shirt. It is for my father's seventieth birthday.",
        occasion: Occasion::Gift,
        ..Asked::default()
    };
    let mut order = pen.order(&asked, 1, (20, 50))?;
    order.page(Page::Brief, "Ask: ring or pendant, and whether the wool has been washed with softener.")
}

/// Answered and agreed; the kit is to be posted.
fn kit_to_post(pen: &mut Pen) -> Result<(), Refusal> {
    let calendar = pen.calendar;
    let asked = Asked {
        number: 11_872_004,
        client: "c16",
        name: "Meierhof, the orchard meadow",
        about: "The farm his family gave up this spring, after five generations",
        spelling: true,
        dates: &[("The last hay", calendar.years_ago(1, 7, 2))],
        never_say: &["loss"],
        wishes: "Earth from the foot of the old pear tree, in a plain round pendant for my mother. Nothing glossy.",
        due: Some(calendar.ahead(48)),
        quote: Some((21_500, 7_000, "Pendant with one stone, satin face; two stones to choose from")),
        paid: Some(calendar.past(1)),
        setting: "pendant-round-10",
        ..Asked::default()
    };
    let mut order = pen.order(&asked, 5, (11, 5))?;
    order.on(4, (9, 0)).fact(ClientFact::Answered)?;
    order.say("Told him that earth has to be baked dry first, and that we do it here.")
}

/// A surprise: nothing may reach her home.
fn kit_on_its_way(pen: &mut Pen) -> Result<(), Refusal> {
    let calendar = pen.calendar;
    let asked = Asked {
        number: 14_005_871,
        client: "c17",
        name: "Lotte Vogelsang",
        about: "Her sister, who played the viola",
        dates: &[("Born", calendar.years_ago(46, 3, 19)), ("Died", calendar.years_ago(1, 10, 8))],
        never_say: &["battle", "lost her fight"],
        wishes: "Bow hair from Lotte's last bow, and if it can be, a ring our mother can wear every day. She must not \
                 hear of it before her birthday.",
        due: Some(calendar.ahead(40)),
        occasion: Occasion::Surprise,
        quote: Some((24_000, 8_000, "Ring with one stone; three stones to choose from")),
        paid: Some(calendar.past(7)),
        setting: "ring-oval-8x6",
        ring: "17.5 mm inside, measured on a ring of hers",
        ..Asked::default()
    };
    let mut order = pen.order(&asked, 9, (18, 30))?;
    order.kit(8, 6)?;
    order.parcel(ParcelKind::Kit, "Letter post", "WF 0017 3341 DE", None)?;
    order.page(Page::Brief, "All post to the office. No studio name on the outside.")
}

/// Petals that came an hour and a half ago: the keep-back comes first.
fn came_today(pen: &mut Pen) -> Result<(), Refusal> {
    let calendar = pen.calendar;
    let asked = Asked {
        number: 16_230_417,
        client: "c13",
        name: "Dona Amélia Ferreira",
        about: "Her mother, who kept the flower stall by the station",
        dates: &[("Died", calendar.past(40))],
        wishes: "Petals of the dark red roses from her own stall, that stood on the table for her. A pendant, deep \
                 enough that one can look into it.",
        due: Some(calendar.ahead(36)),
        quote: Some((26_500, 9_000, "Pendant with one stone; two stones to choose from")),
        setting: "pendant-oval-14x10",
        ..Asked::default()
    };
    let mut order = pen.order(&asked, 15, (10, 15))?;
    order.kit(14, 12)?;
    order.parcel(ParcelKind::Incoming, "Registered post", "RR 4471 0052 PT", None)?;
    order.seconds_ago(5_700);
    order.receive(
        1,
        &Came {
            material: Material::Petals,
            seal: None,
            place: 1,
            looks: "A folded page of a hymn book, tied with kitchen string; about twenty petals, some broken",
            scene: Some(Scene::Petals([118, 28, 40])),
        },
    )?;
    order.say("The page is part of what she sent: it goes home flat, not folded again.")?;
    order.wait(60);
    let (thing, place) = (Thing::keepsake(1), Place::Kept(1));
    order.fact(CustodyFact::CameAlong { thing, place, photo: None })?;
    order.thing(thing, "Card with a photograph of the stall")?;
    order.wait(120);
    order.message(MessageKind::ArrivedSafely).map(drop)
}
