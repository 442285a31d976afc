//! The studio of the demo and its clients: all of them invented, with addresses that do not exist.

use craft::client::{Client, Permission, WriteWhen};
use craft::compare::Scale;
use craft::money::Currency;
use craft::policies::Policies;
use craft::refusal::Refusal;
use craft::units::Mass;

use super::calendar::Calendar;
use super::pen::{Pen, read};

/// The studio's settings.
pub(super) fn policies() -> Result<Policies, Refusal> {
    let places = [
        "Drawer under the window",
        "Drawer by the door",
        "Grey steel box",
        "Stone tray, second shelf",
        "Packing table",
    ];
    let usual = Policies::new(read("wrenfold")?, read("Wrenfold Memorial Stones")?, Currency::GBP);
    Ok(Policies {
        post: read("Marit Oakes\nThe Old Net Loft, 4 Saltmarket Steps\nAverby\nAV4 0ZZ")?,
        contact: read("marit@wrenfold.example")?,
        scale: Some(Scale {
            readability: Mass::from_micro(1_000_000),
            repeatability: Mass::from_micro(800_000),
        }),
        places: places.into_iter().map(read).collect::<Result<_, _>>()?,
        heat_words: read("Take it off for the sauna, the hob and the hot car.")?,
        // Its orders are written down one after the other, not in the order the bench was used.
        bench_clear: false,
        ..usual
    })
}

/// One client in plain words: id, name, post, country, contact, note.
type Row = (&'static str, [&'static str; 5]);

const CLIENTS: [Row; 19] = [
    (
        "c01",
        ["Aoife Brannigan-Holt", "Tobar Lodge\nDrumsallow\nCo. Clare", "IE", "aoife.bh@mail.example", ""],
    ),
    (
        "c02",
        [
            "Maja Lindqvist",
            "Björkvägen 12\n999 12 Havsta",
            "SE",
            "maja@lindqvist.example",
            "Writes in English; Henrik reads along.",
        ],
    ),
    (
        "c03",
        [
            "Teodoro Vasquez Lillo",
            "Calle del Olivar 7, 2º\n00031 Valdemora",
            "ES",
            "teo.vl@correo.example",
            "",
        ],
    ),
    (
        "c04",
        [
            "Wanjiru Kamau-Ellis",
            "22 Heron Rise\nEastlow\nEL2 0ZZ",
            "GB",
            "01632 960118",
            "Prefers a call after six.",
        ],
    ),
    (
        "c05",
        [
            "Catherine Moreau-Dassy",
            "3 impasse des Tilleuls\n00420 Saint-Aubray",
            "FR",
            "c.moreau@courriel.example",
            "",
        ],
    ),
    (
        "c06",
        ["Priya Raghunathan", "Flat 9, Foundry Court\nMerrowby\nMB1 0ZZ", "GB", "priya.r@mail.example", ""],
    ),
    (
        "c07",
        ["Tomasz Wieczorek", "ul. Lipowa 18/4\n00-118 Brzozowiec", "PL", "t.wieczorek@poczta.example", ""],
    ),
    (
        "c08",
        [
            "Eilidh Toft",
            "Croft 3, Ardvannie\nIsle of Sorra\nIS9 0ZZ",
            "GB",
            "01632 960741",
            "The ferry brings post on Tuesdays and Fridays.",
        ],
    ),
    ("c09", ["Nkechi Obiora", "81 Calder Street\nMerrowby\nMB4 0ZZ", "GB", "nkechi@obiora.example", ""]),
    ("c10", ["Lars Bakken-Holm", "Strandgata 5\n0009 Torsnes", "NO", "lars.bh@epost.example", ""]),
    (
        "c11",
        [
            "Marguerite Saint-Onge",
            "410 rang du Moulin\nVal-des-Aulnes QC  J0X 0X0",
            "CA",
            "msaintonge@courriel.example",
            "",
        ],
    ),
    ("c12", ["Daichi Morikawa", "2-14 Kawabe-chō\nMinamino 000-0014", "JP", "morikawa@mail.example", ""]),
    (
        "c13",
        [
            "Ana Lúcia Ferreira",
            "Rua do Poço 26, 1.º\n0000-119 Vila Serena",
            "PT",
            "analucia@correio.example",
            "",
        ],
    ),
    (
        "c14",
        [
            "Rhys Pendry",
            "Ty Carreg\nLlanfechan Uchaf\nLF8 0ZZ",
            "GB",
            "01632 960502",
            "Ordered before this record was kept; the beginnings are in the paper notebook.",
        ],
    ),
    ("c15", ["Sunniva Dahl", "Elvebakken 9\n0007 Fossheim", "NO", "sunniva.dahl@epost.example", ""]),
    ("c16", ["Josef Kronreif", "Am Anger 2\n0000 Oberlauten", "AT", "j.kronreif@post.example", ""]),
    (
        "c17",
        [
            "Bettina Vogelsang",
            "Mühlengrund 31\n00017 Niederwalde",
            "DE",
            "bettina@vogelsang.example",
            "Post only to her office: Kanzlei Brandt, Marktplatz 1.",
        ],
    ),
    ("c18", ["Isolde Farnham-Quist", "Mews House\nHallowdown\nHD3 0ZZ", "GB", "isolde.fq@mail.example", ""]),
    (
        "c19",
        [
            "Gerrit van der Meulen",
            "Dijkweg 44\n0000 ZZ Oosterwolde aan Zee",
            "NL",
            "gerrit@vdmeulen.example",
            "",
        ],
    ),
];

/// Writes all clients down, with what each allows.
pub(super) fn write(pen: &mut Pen) -> Result<(), Refusal> {
    let calendar = pen.calendar;
    for (id, [name, post, country, contact, note]) in CLIENTS {
        let (may_show, may_teach, write_when) = allows(id, &calendar);
        let client = Client {
            name: read(name)?,
            post: read(post)?,
            country: read(country)?,
            contact: read(contact)?,
            may_show,
            may_teach,
            write_when,
            note: read(note)?,
        };
        pen.client(id, client)?;
    }
    Ok(())
}

fn allows(id: &str, calendar: &Calendar) -> (Permission, Permission, WriteWhen) {
    use Permission::{Given, NotAsked, Refused};
    let given = |past| Given(calendar.past(past));
    match id {
        "c01" => (given(30), given(30), WriteWhen::EachStep),
        "c02" => (given(24), NotAsked, WriteWhen::EachStep),
        "c03" => (Refused, Refused, WriteWhen::OnlyQuestions),
        "c05" => (given(33), Refused, WriteWhen::EachStep),
        "c06" => (Refused, Refused, WriteWhen::EachStep),
        "c07" | "c12" => (NotAsked, NotAsked, WriteWhen::OnlyQuestions),
        "c08" => (given(40), given(40), WriteWhen::EachStep),
        "c09" => (given(35), NotAsked, WriteWhen::EachStep),
        "c11" => (given(60), Refused, WriteWhen::EachStep),
        "c17" => (NotAsked, NotAsked, WriteWhen::NotAtHome),
        _ => (NotAsked, NotAsked, WriteWhen::EachStep),
    }
}
