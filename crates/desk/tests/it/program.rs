//! Running the program, and a small studio to run it on.

use std::ffi::OsStr;
use std::process::{Command, Output, Stdio};

use craft::fact::{ClientFact, CustodyFact, Material};
use craft::id::Thing;
use craft::place::Place;
use craft::tag::Tag;
use craft::units::Share;

use crate::support::{Bench, typed};

/// The program with its arguments; it must not find anything of the person who runs the tests.
pub(crate) fn heldfast<A: AsRef<OsStr>>(arguments: impl IntoIterator<Item = A>) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_heldfast"));
    command.args(arguments).stdin(Stdio::null());
    // Nor may it open a window on the screen of whoever runs the tests.
    for screen in ["DISPLAY", "WAYLAND_DISPLAY", "WAYLAND_SOCKET"] {
        command.env_remove(screen);
    }
    command
}

/// How the program ended and what it said.
#[derive(Debug, PartialEq, Eq)]
pub(crate) struct Answer {
    pub(crate) status: i32,
    pub(crate) said: String,
    pub(crate) complained: String,
}

pub(crate) fn answer(output: Output) -> Answer {
    let text = |bytes| String::from_utf8(bytes).expect("the program speaks UTF-8");
    Answer {
        status: output.status.code().expect("the program ended by itself"),
        said: text(output.stdout),
        complained: text(output.stderr),
    }
}

pub(crate) fn run<A: AsRef<OsStr>>(arguments: impl IntoIterator<Item = A>) -> Answer {
    answer(heldfast(arguments).output().unwrap())
}

/// A studio with one order whose packet has come and lies open on the bench.
pub(crate) fn studio() -> (Bench, Tag) {
    let bench = Bench::new();
    let tag = bench.open_order(1_000);
    bench.fact(tag, ClientFact::Answered);
    let received = CustodyFact::Received {
        lot: 1,
        material: Material::Hair,
        seal: None,
        place: Place::Kept(1),
        photo: None,
        keep_back: Share::of(1, 3),
    };
    bench.fact(tag, received);
    bench.fact(tag, CustodyFact::Opened { thing: Thing::wrapping(1), check: typed(tag) });
    (bench, tag)
}

/// The file of an order, as it is named below the folder.
pub(crate) fn file_of(tag: Tag) -> String {
    format!("orders/{}.ron", tag.to_string().to_lowercase())
}
