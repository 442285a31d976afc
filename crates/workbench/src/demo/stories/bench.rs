//! On the bench today: a stone that settles, stones under the lamp, one to be planned, a second round to begin.

use craft::fact::{Choice, ClientFact, LayerKind, Material, MessageKind};
use craft::id::Thing;
use craft::order::{ErrandKind, Occasion, Page, ParcelKind};
use craft::planner::Style;
use craft::refusal::Refusal;
use papers::photo::sample::SampleOutline;

use super::super::hands::Came;
use super::super::pen::{Asked, Pen, Wish, Writing, of_lot};
use super::super::pictures::Scene;

pub(super) fn write(pen: &mut Pen) -> Result<(), Refusal> {
    second_round(pen)?;
    to_be_planned(pen)?;
    under_the_lamp(pen)?;
    settling(pen)
}

const HEADWRAP: Wish<'_> = Wish {
    mould: "oval-10x8",
    lamp: "large-lamp",
    pigment: "sand",
    style: Style::Even,
    face_mm: 1.8,
    top: LayerKind::TopGloss,
};

/// None of the first three was right: a second round is planned in another colour.
fn second_round(pen: &mut Pen) -> Result<(), Refusal> {
    let calendar = pen.calendar;
    let asked = Asked {
        number: 4_118_902,
        client: "c09",
        name: "Mama Ifeoma",
        about: "Her grandmother, a seamstress",
        spelling: true,
        dates: &[("Died", calendar.years_ago(2, 4, 27))],
        wishes: "A few threads of her indigo headwrap. She wore it on market days. The blue has to be her blue.",
        due: Some(calendar.ahead(20)),
        quote: Some((23_500, 8_000, "Pendant with one stone; three stones to choose from")),
        paid: Some(calendar.past(34)),
        setting: "pendant-oval-10x8",
        ..Asked::default()
    };
    let mut order = pen.order(&asked, 36, (13, 10))?;
    order.kit(35, 34)?;
    order.on(27, (10, 30));
    order.receive(
        1,
        &Came {
            material: Material::Cloth,
            seal: Some(20_417),
            place: 2,
            looks: "Paper envelope; a strip of cloth as long as a finger, frayed on one side",
            scene: None,
        },
    )?;
    order.keep_back(1, 1, 20_418)?;
    order.message(MessageKind::ArrivedSafely)?;
    order.on(20, (9, 30)).plan(&HEADWRAP, &[(1, "A1"), (2, "A2"), (3, "A3")], &[of_lot(1, 8)])?;
    order.on(19, (10, 0)).begin(&[1, 2, 3])?;
    order.pour(&[1, 2, 3])?;
    let stone = Scene::Stone(SampleOutline::Oval, [205, 186, 152], [38, 50, 92], None);
    order.on(18, (11, 0)).photo(stone, Thing::stone(1), "Threads lengthwise.")?;
    order.photo(stone, Thing::stone(2), "Threads crossed.")?;
    order.caption(1, "Threads lengthwise")?;
    order.caption(2, "Threads crossed")?;
    order.show(&[1, 2, 3])?;
    order.on(13, (19, 0)).fact(ClientFact::Chosen(Choice::NoneOfThese))?;
    order.say(
        "The sand behind makes the blue look grey to her. She asks for a dark ground, and fewer threads.",
    )?;
    let dark = Wish { pigment: "slate", face_mm: 2.0, ..HEADWRAP };
    order.on(3, (9, 15)).plan(&dark, &[(4, "B1"), (5, "B2")], &[of_lot(1, 5)])?;
    order.page(
        Page::Plan,
        "Slate behind this time. Hold each thread against the tile first and send her a picture.",
    )
}

/// Weighed by nobody: a feather needs no scale. Its stone is to be planned.
fn to_be_planned(pen: &mut Pen) -> Result<(), Refusal> {
    let calendar = pen.calendar;
    let asked = Asked {
        number: 6_733_560,
        client: "c18",
        name: "Juno, a goshawk",
        about: "Flown for eleven seasons; released on the down",
        wishes: "The barred tip of one tail feather, so that the bars can be counted. It is for a friend who flew her \
                 first.",
        due: Some(calendar.ahead(45)),
        occasion: Occasion::Gift,
        quote: Some((29_000, 9_500, "Pendant with one large stone")),
        setting: "pendant-oval-18x13",
        ..Asked::default()
    };
    let mut order = pen.order(&asked, 16, (8, 50))?;
    order.kit(15, 13)?;
    order.on(4, (11, 20));
    order.receive(
        1,
        &Came {
            material: Material::Feather,
            seal: None,
            place: 2,
            looks: "Cardboard tube; one moulted tail feather, wrapped in tissue",
            scene: None,
        },
    )?;
    order.say("A moulted feather. She has the papers for the bird; a copy lies with the letter.")?;
    order.keep_back(1, 1, 20_466)?;
    order.message(MessageKind::ArrivedSafely)?;
    order.page(Page::Plan, "Counted instead of weighed: nine bars, of which three are kept back at the root.")
}

/// Earth from a field, under the small lamp.
fn under_the_lamp(pen: &mut Pen) -> Result<(), Refusal> {
    let calendar = pen.calendar;
    let asked = Asked {
        number: 8_020_155,
        client: "c04",
        name: "The top field at Kirima",
        about: "Where her parents grew coffee, and are buried side by side",
        spelling: true,
        never_say: &["dirt"],
        wishes: "The red has to stay red. One pendant for me, and if there is a second stone, my brother would like it \
                 loose, to carry.",
        due: Some(calendar.ahead(18)),
        quote: Some((27_500, 9_000, "Pendant with one stone, and one stone loose")),
        paid: Some(calendar.past(21)),
        setting: "pendant-round-10",
        ..Asked::default()
    };
    let mut order = pen.order(&asked, 24, (17, 40))?;
    order.kit(23, 21)?;
    order.on(10, (14, 5));
    order.receive(
        1,
        &Came {
            material: Material::Earth,
            seal: Some(20_431),
            place: 1,
            looks: "Film tin with a taped lid; a level spoonful of dark red earth",
            scene: Some(Scene::Heap([128, 58, 38])),
        },
    )?;
    order.weigh(Thing::wrapping(1), 4_310)?;
    order.say("Weighed after baking dry, 90 minutes in the small oven, tin lid ajar.")?;
    order.keep_back(1, 1, 20_432)?;
    order.weigh(Thing::envelope(1), 1_437)?;
    order.message(MessageKind::ArrivedSafely)?;
    let wish = Wish {
        mould: "round-10",
        lamp: "small-lamp",
        pigment: "sand",
        style: Style::Even,
        face_mm: 2.0,
        top: LayerKind::TopSatin,
    };
    order.on(5, (9, 5)).plan(&wish, &[(1, "B1"), (2, "B2")], &[of_lot(1, 3)])?;
    order.page(Page::Plan, "Sift first: only the fine part goes in, the rest goes home in its tin.")?;
    order.seconds_ago(1_560).begin(&[1, 2])?;
    order.layer(&[1, 2], 1)?;
    order.seconds_ago(440);
    for stone in [1, 2] {
        order.lay(stone, 2)?;
    }
    order.seconds_ago(6).lamp_on(&[1, 2], 2).map(drop)
}

const KESTREL: Wish<'_> = Wish {
    mould: "oval-18x13",
    lamp: "large-lamp",
    pigment: "chestnut",
    style: Style::Deepening,
    face_mm: 2.5,
    top: LayerKind::TopGloss,
};

/// The mare's tail hair: the first layer is hard, the second of stone 1 settles.
fn settling(pen: &mut Pen) -> Result<(), Refusal> {
    let calendar = pen.calendar;
    let asked = Asked {
        number: 2_517_386,
        client: "c01",
        name: "Kestrel",
        about: "A chestnut mare, bred and ridden at Drumsallow for twenty-six years",
        spelling: true,
        dates: &[("Foaled", calendar.years_ago(27, 5, 3)), ("Died", calendar.past(74))],
        never_say: &["put down"],
        wishes: "Her tail was three colours if you held it to the light: copper, dark, and a few white hairs at the \
                 end. I would like to see all three. A pendant on a long chain, to wear at the yard.",
        due: Some(calendar.ahead(25)),
        quote: Some((
            31_000,
            10_000,
            "Pendant with one large stone on a long chain; two stones to choose from",
        )),
        paid: Some(calendar.past(28)),
        setting: "pendant-oval-18x13",
        ..Asked::default()
    };
    let mut order = pen.order(&asked, 31, (9, 40))?;
    order.kit(30, 28)?;
    order.parcel(ParcelKind::Kit, "Letter post", "WF 0017 2208 IE", None)?;
    order.parcel(ParcelKind::Incoming, "Tracked parcel", "LK 2093 7714 IE", None)?;
    kestrel_arrives(&mut order)?;
    let ordered = [Some(calendar.past(8)), Some(calendar.ahead(6)), None];
    order.errand(ErrandKind::Chain, ("Silver, 70 cm, plain links", "Harbour Findings"), ordered)?;
    let copper = of_lot(1, 6);
    order.on(4, (9, 45)).plan(&KESTREL, &[(1, "A1"), (2, "A2")], &[copper])?;
    order.page(
        Page::Plan,
        "Lay the strands in one bow along the length, the white ones last and nearest the face. Trim to the arc \
         over the dome and a little more.",
    )?;
    order.seconds_ago(2_400).begin(&[1, 2])?;
    order.layer(&[1, 2], 1)?;
    order.say("The white hairs lifted at one end of stone 2 and were pressed back before the lamp.")?;
    order.seconds_ago(162).lay(1, 2).map(drop)
}

fn kestrel_arrives(order: &mut Writing<'_>) -> Result<(), Refusal> {
    order.on(9, (10, 10));
    order.receive(
        1,
        &Came {
            material: Material::Fur,
            seal: Some(20_440),
            place: 1,
            looks: "Brown paper, taped; a hank of tail hair as long as a forearm, bound with green thread",
            scene: Some(Scene::Lock([132, 74, 40])),
        },
    )?;
    order.weigh(Thing::wrapping(1), 2_150)?;
    let slip = order.weigh(Thing::wrapping(1), 2_510)?;
    order.fact(craft::fact::Fact::Struck { entry: slip, why: craft::fact::Mistake::WrongNumber })?;
    order.say("Two digits swapped when writing it down; the scale said 2 151 mg.")?;
    order.weigh(Thing::wrapping(1), 2_151)?;
    order.keep_back(1, 1, 20_441)?;
    order.weigh(Thing::envelope(1), 717)?;
    order.wait(300);
    order.message(MessageKind::ArrivedSafely).map(drop)
}
