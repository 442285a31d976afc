//! Made and shown: a lock from an old letter, wedding petals, and two parents in one stone.

use craft::fact::{LayerKind, Material, MessageKind};
use craft::id::Thing;
use craft::order::{Occasion, Page, ParcelKind};
use craft::planner::Style;
use craft::refusal::Refusal;
use papers::photo::sample::SampleOutline;

use super::super::hands::Came;
use super::super::pen::{Asked, Pen, Wish, Writing, of_lot};
use super::super::pictures::Scene;

pub(super) fn write(pen: &mut Pen) -> Result<(), Refusal> {
    two_parents(pen)?;
    wedding(pen)?;
    from_a_letter(pen)
}

/// Two lots in each stone. Shown more than a week ago, without an answer: a gentle reminder is due.
fn two_parents(pen: &mut Pen) -> Result<(), Refusal> {
    let calendar = pen.calendar;
    let asked = Asked {
        number: 5_390_018,
        client: "c07",
        name: "Halina and Jerzy Wieczorek",
        about: "His parents; she taught geography, he repaired radios",
        dates: &[("Halina died", calendar.years_ago(3, 11, 6)), ("Jerzy died", calendar.past(88))],
        wishes: "A little of my mother's hair and a little of my father's, side by side and not mixed. I have kept \
                 hers in her compact, and his I cut myself.",
        due: Some(calendar.ahead(15)),
        quote: Some((28_500, 9_500, "Pendant with one stone; two stones to choose from")),
        paid: Some(calendar.past(37)),
        setting: "pendant-oval-14x10",
        ..Asked::default()
    };
    let mut order = pen.order(&asked, 42, (21, 15))?;
    order.kit(41, 37)?;
    parents_arrive(&mut order)?;
    let wish = Wish {
        mould: "oval-14x10",
        lamp: "large-lamp",
        pigment: "sea-blue",
        style: Style::Deepening,
        face_mm: 2.0,
        top: LayerKind::TopGloss,
    };
    let shares = [of_lot(1, 20), of_lot(2, 10)];
    order.on(23, (9, 30)).plan(&wish, &[(1, "A1"), (2, "A2")], &shares)?;
    order
        .page(Page::Plan, "Hers to the left of the long axis, his to the right, a hair's breadth between.")?;
    order.on(22, (9, 10)).begin(&[1, 2])?;
    order.pour(&[1, 2])?;
    let stone = Scene::Stone(SampleOutline::Oval, [62, 104, 128], [196, 192, 184], None);
    order.on(21, (12, 0)).photo(stone, Thing::stone(1), "By the north window.")?;
    order.photo(stone, Thing::stone(2), "By the north window.")?;
    order.caption(1, "The two strands run side by side")?;
    order.caption(2, "The two strands meet at one end")?;
    order.on(12, (10, 0)).show(&[1, 2])?;
    order.page(Page::Show, "He works nights in the first half of the month. One reminder, then wait.")
}

fn parents_arrive(order: &mut Writing<'_>) -> Result<(), Refusal> {
    order.on(29, (11, 0));
    order.receive(
        1,
        &Came {
            material: Material::Hair,
            seal: None,
            place: 2,
            looks: "Powder compact with a mirror; a curl of white hair under the lid",
            scene: Some(Scene::Lock([214, 210, 202])),
        },
    )?;
    order.receive(
        2,
        &Came {
            material: Material::Hair,
            seal: None,
            place: 2,
            looks: "Envelope of a bank, \"Tata\" in pencil; short grey hair",
            scene: Some(Scene::Lock([132, 130, 128])),
        },
    )?;
    order.judge(Thing::wrapping(1), 60)?;
    order.say("By eye: a pinch. Too little to trouble the scale with.")?;
    order.weigh(Thing::wrapping(2), 212)?;
    order.keep_back(1, 1, 20_402)?;
    order.wait(120);
    order.keep_back(2, 2, 20_403)?;
    order.message(MessageKind::ArrivedSafely).map(drop)
}

/// Peonies of a wedding. Shown two days ago.
fn wedding(pen: &mut Pen) -> Result<(), Refusal> {
    let calendar = pen.calendar;
    let asked = Asked {
        number: 12_640_733,
        client: "c02",
        name: "The peonies of Havsta",
        about: "From her mother's garden, carried at the wedding of Maja and Henrik",
        spelling: true,
        dates: &[("The wedding", calendar.past(31))],
        wishes: "A ring for each year is too many, so one for all of them. Petals whole enough to see an edge, in \
                 clear, with a pale ground.",
        due: Some(calendar.ahead(30)),
        quote: Some((25_500, 8_500, "Pendant with one stone; three stones to choose from")),
        paid: Some(calendar.past(23)),
        setting: "pendant-oval-18x13",
        ..Asked::default()
    };
    let mut order = pen.order(&asked, 25, (16, 0))?;
    order.kit(24, 23)?;
    order.on(14, (10, 40));
    order.receive(
        1,
        &Came {
            material: Material::Petals,
            seal: Some(20_425),
            place: 1,
            looks: "Flat tin between blotting paper; about thirty petals, white to shell pink",
            scene: Some(Scene::Petals([226, 188, 190])),
        },
    )?;
    order.judge(Thing::wrapping(1), 900)?;
    order.keep_back(1, 1, 20_426)?;
    order.message(MessageKind::ArrivedSafely)?;
    let wish = Wish {
        mould: "oval-18x13",
        lamp: "large-lamp",
        pigment: "pearl",
        style: Style::Even,
        face_mm: 2.8,
        top: LayerKind::TopGloss,
    };
    order.on(7, (9, 20)).plan(&wish, &[(1, "B1"), (2, "B2"), (3, "B3")], &[of_lot(1, 4)])?;
    order.on(6, (9, 0)).begin(&[1, 2, 3])?;
    order.pour(&[1, 2, 3])?;
    let petals = Scene::Stone(SampleOutline::Oval, [226, 220, 208], [224, 206, 202], Some([222, 150, 160]));
    for (no, words) in
        [(1, "Three petals, edges free"), (2, "Two petals, overlapping"), (3, "Torn small, as snow")]
    {
        order.on(4, (11, u32::from(no))).photo(
            petals,
            Thing::stone(no),
            "On the grey cloth, north window.",
        )?;
        order.caption(no, words)?;
    }
    order.on(2, (10, 30)).show(&[1, 2, 3])?;
    order.say("They choose together on Sunday, she writes.")
}

/// An heirloom: all three stones are made, the proof is to be sent.
fn from_a_letter(pen: &mut Pen) -> Result<(), Refusal> {
    let calendar = pen.calendar;
    let asked = Asked {
        number: 13_277_908,
        client: "c19",
        name: "Neeltje Admiraal",
        about: "A great-grandmother he never met; her hair lay in a letter to the harbour",
        spelling: true,
        dates: &[("The letter", calendar.years_ago(112, 9, 21))],
        wishes: "Ring for my daughter, who has the same colour. Leave the ribbon on what comes back.",
        due: Some(calendar.ahead(22)),
        occasion: Occasion::Gift,
        quote: Some((25_000, 8_000, "Ring with one stone; three stones to choose from")),
        paid: Some(calendar.past(26)),
        setting: "ring-round-8",
        ring: "Dutch size 17¼, her own ring measured",
        ..Asked::default()
    };
    let mut order = pen.order(&asked, 30, (14, 20))?;
    order.kit(29, 26)?;
    order.parcel(ParcelKind::Incoming, "Insured letter", "RL 5520 1187 NL", Some(50_000))?;
    order.on(16, (9, 50));
    order.receive(
        1,
        &Came {
            material: Material::Hair,
            seal: None,
            place: 3,
            looks: "Folded letter in a sleeve; a plait as thick as a match, tied with a faded ribbon",
            scene: Some(Scene::Lock([168, 112, 62])),
        },
    )?;
    order.say("The letter stays in its sleeve. Only the plait is taken out, over the white tray.")?;
    order.weigh(Thing::wrapping(1), 338)?;
    order.keep_back(1, 1, 20_421)?;
    order.message(MessageKind::ArrivedSafely)?;
    let wish = Wish {
        mould: "round-8",
        lamp: "small-lamp",
        pigment: "white",
        style: Style::Even,
        face_mm: 1.2,
        top: LayerKind::TopGloss,
    };
    let cells = [(1, "A1"), (2, "A2"), (3, "A3")];
    order.on(8, (9, 0)).plan(&wish, &cells, &[of_lot(1, 6)])?;
    order.on(5, (13, 0)).begin(&[1, 2, 3])?;
    order.pour(&[1, 2, 3])?;
    order.on(1, (16, 10)).weigh(Thing::wrapping(1), 163)?;
    let stone = Scene::Stone(SampleOutline::Round, [240, 239, 233], [168, 112, 62], None);
    order.photo(stone, Thing::stone(1), "Strands straight across.")?;
    order.photo(stone, Thing::stone(2), "Strands in a curl.")?;
    order.photo(stone, Thing::stone(3), "A piece of the plait as it was.")?;
    order.caption(1, "Straight across")?;
    order.caption(2, "In a curl")?;
    order.caption(3, "The plait as it was")
}
