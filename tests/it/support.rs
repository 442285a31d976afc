//! A new studio on the real disk, a clock that is set by hand, and short ways to say what happens.

use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex};

use craft::client::{Client, Permission, WriteWhen};
use craft::fact::{Check, Fact, How, LayerKind};
use craft::id::{ClientId, DocId, ShelfId, StudioId};
use craft::moment::{BootId, Moment};
use craft::money::Currency;
use craft::order::{LotShare, Occasion, Order, Remembered, Sheet, StoneSheet};
use craft::planner::Style;
use craft::policies::Policies;
use craft::studio::{ClientEdit, Doc, Edit, OrderEdit, ShelfEdit};
use craft::tag::Tag;
use craft::units::{Length, Share};
use store::folder::StudioFolder;
use store::vfs::DiskVfs;
use tempfile::TempDir;
use workbench::action::Action;
use workbench::clock::Clock;
use workbench::session::Session;
use workbench::starter;

/// A clock that stands still until it is moved.
#[derive(Debug)]
pub(crate) struct HandClock(Mutex<Moment>);

impl HandClock {
    /// 2026-03-02, eight in the morning, one hour ahead of UTC.
    pub(crate) fn new() -> Arc<Self> {
        Arc::new(Self(Mutex::new(Moment {
            utc_ms: 1_772_434_800_000,
            offset_min: 60,
            boot: BootId(0x1234),
            since_boot_ms: 600_000,
            awake_ms: 600_000,
        })))
    }

    pub(crate) fn pass(&self, seconds: i64) {
        let mut now = self.0.lock().unwrap();
        now.utc_ms += seconds * 1_000;
        now.since_boot_ms += seconds * 1_000;
        now.awake_ms += seconds * 1_000;
    }
}

impl Clock for HandClock {
    fn now(&self) -> Moment {
        *self.0.lock().unwrap()
    }
}

pub(crate) fn id(text: &str) -> ShelfId {
    text.parse().unwrap()
}

pub(crate) fn client_id() -> ClientId {
    "ingrid".parse().unwrap()
}

pub(crate) fn tag(number: u32) -> Tag {
    (number..).find_map(Tag::from_number).unwrap()
}

pub(crate) fn policies() -> Policies {
    let studio: StudioId = "studio-under-test".parse().unwrap();
    let mut policies = Policies::new(studio, "The Boathouse".parse().unwrap(), Currency::EUR);
    policies.places = ["drawer 1", "drawer 2", "safe"].map(|name| name.parse().unwrap()).to_vec();
    policies.post = "The Boathouse\nHarbour Lane 2".parse().unwrap();
    policies.contact = "boathouse@example.org".parse().unwrap();
    policies
}

/// A studio under test: its folder and its clock. Each [`Bench::at_work`] opens it anew.
pub(crate) struct Bench {
    pub(crate) dir: TempDir,
    pub(crate) clock: Arc<HandClock>,
}

impl Bench {
    /// A new studio with the starter shelf and one client.
    pub(crate) fn new() -> Self {
        let bench = Self { dir: tempfile::tempdir().unwrap(), clock: HandClock::new() };
        drop(StudioFolder::create(&bench.root(), Arc::new(DiskVfs), &policies()).unwrap());
        let mut session = bench.open();
        for (item_id, item) in starter::shelf() {
            session
                .act_and_settle(Action::Edit(Edit::Shelf(item_id, ShelfEdit::Put(Box::new(item)))))
                .unwrap();
        }
        let client = Client {
            name: "Ingrid Solheim".parse().unwrap(),
            post: "Fjordveien 3\n5003 Bergen".parse().unwrap(),
            country: "NO".parse().unwrap(),
            contact: "ingrid@example.org".parse().unwrap(),
            may_show: Permission::NotAsked,
            may_teach: Permission::Refused,
            write_when: WriteWhen::EachStep,
            ..Client::default()
        };
        let put = Edit::Client(client_id(), ClientEdit::Put(Box::new(client)));
        session.act_and_settle(Action::Edit(put)).unwrap();
        drop(session);
        bench
    }

    pub(crate) fn root(&self) -> PathBuf {
        self.dir.path().join("studio")
    }

    pub(crate) fn open(&self) -> Session {
        let session = Session::open(&self.root(), self.clock.clone()).unwrap();
        assert_eq!(session.troubles(), [], "a studio that was saved opens without a trouble");
        session
    }

    /// Opens, does one thing, closes; then opens again and finds exactly what there was.
    pub(crate) fn step(&self, action: Action) -> Result<(), String> {
        self.clock.pass(90);
        let mut session = self.open();
        let done = session.act_and_settle(action).map(drop).map_err(|why| why.to_string());
        let before = everything(&session, &self.clock);
        drop(session);
        let again = self.open();
        assert_eq!(everything(&again, &self.clock), before, "closing and opening again loses nothing");
        done
    }

    pub(crate) fn edit(&self, tag: Tag, edit: OrderEdit) -> Result<(), String> {
        self.step(Action::Edit(Edit::Order(tag, edit)))
    }

    pub(crate) fn fact(&self, tag: Tag, fact: impl Into<Fact>) {
        let fact = fact.into();
        if let Err(why) = self.edit(tag, OrderEdit::Fact(fact.clone())) {
            panic!("{fact:?}: {why}");
        }
    }

    pub(crate) fn refused(&self, tag: Tag, fact: impl Into<Fact>) -> String {
        self.edit(tag, OrderEdit::Fact(fact.into())).expect_err("this fact must be refused")
    }

    pub(crate) fn change_sheet(&self, tag: Tag, change: impl FnOnce(&mut Sheet)) {
        let mut sheet = self.order(tag).sheet;
        change(&mut sheet);
        self.edit(tag, OrderEdit::Sheet(Box::new(sheet))).unwrap();
    }

    pub(crate) fn order(&self, tag: Tag) -> Order {
        let session = self.open();
        let view = session.bench.view(self.clock.now());
        view.studio.order(tag).unwrap().order.clone()
    }

    /// Opens an order with `stones` stones in the oval mould, none of them planned yet.
    pub(crate) fn open_order(&self, number: u32) -> Tag {
        let tag = tag(number);
        let sheet = Sheet {
            remembered: Remembered {
                name: "Sørine".parse().unwrap(),
                about: "a grandmother who kept bees".parse().unwrap(),
                spelling_confirmed: true,
                dates: Vec::new(),
                never_say: vec!["passed on".parse().unwrap()],
            },
            wishes: "warm, like honey in the window".parse().unwrap(),
            due: chrono::NaiveDate::from_ymd_opt(2026, 4, 20),
            occasion: Occasion::Gift,
            ..Sheet::default()
        };
        self.edit(tag, OrderEdit::Open { client: client_id(), sheet: Box::new(sheet) }).unwrap();
        tag
    }
}

fn everything(session: &Session, clock: &HandClock) -> Vec<Doc> {
    let view = session.bench.view(clock.now());
    let studio = view.studio;
    let shelf = studio.shelf().keys().cloned().map(DocId::Shelf);
    let clients = studio.clients().keys().cloned().map(DocId::Client);
    let orders = studio.orders().keys().copied().map(DocId::Order);
    let years = studio.invoices().keys().copied().map(DocId::Invoices);
    let all = std::iter::once(DocId::Policies).chain(shelf).chain(clients).chain(orders).chain(years);
    all.map(|doc| studio.doc(&doc).unwrap()).collect()
}

/// A stone in the oval mould with a share of lot 1.
pub(crate) fn stone_sheet(no: u8, cell: &str) -> StoneSheet {
    StoneSheet {
        no,
        mould: id("oval-10x8"),
        cell: cell.parse().unwrap(),
        resin: id("clear-casting"),
        lamp: id("small-lamp"),
        pigment: id("slate"),
        style: Style::Deepening,
        face: Length::from_mm(1.5),
        shares: vec![LotShare { lot: 1, part: Share::of(1, 20) }],
        top: LayerKind::TopGloss,
        plan: None,
        caption: format!("stone {no}, warm grey").parse().unwrap(),
        wishes: craft::planner::Wishes::default(),
    }
}

pub(crate) fn typed(tag: Tag) -> Check {
    Check { how: How::Typed, tag }
}

/// Every file below a folder.
pub(crate) fn files(dir: &Path) -> Vec<PathBuf> {
    let mut found = Vec::new();
    for entry in std::fs::read_dir(dir).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() { found.extend(files(&path)) } else { found.push(path) }
    }
    found.sort();
    found
}
