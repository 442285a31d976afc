//! The program is killed while it saves, again and again: nothing it acknowledged is lost, nothing is half there.
//!
//! How often is told by `HELDFAST_KILLS` (25 unless told otherwise).

use std::hint::black_box;
use std::io::{BufRead as _, BufReader, Write as _};
use std::path::Path;
use std::process::{Child, Command, Stdio};

use craft::fact::{CustodyFact, Fact};
use craft::id::Thing;
use craft::order::Order;
use craft::reading::{Means, Reading};
use craft::tag::Tag;
use craft::units::Mass;
use store::format::{Decoded, decode};
use store::name::DocKind;

use crate::program::{file_of, heldfast, run, studio};
use crate::support::{Bench, files};

/// How many entries the order has before the first kill.
const BEFORE: u32 = 3;
/// How many facts each run of the program is given.
const GIVEN: u32 = 12;

/// The fact that becomes entry `number`; no two are alike.
fn fact(number: u32) -> Fact {
    let value = Mass::from_mg(f64::from(number));
    let reading = Reading { value, doubt: Mass::from_mg(1.0), by: Means::Scale };
    CustodyFact::Weighed { thing: Thing::wrapping(1), reading }.into()
}

fn line(number: u32) -> String {
    format!(
        "Custody(Weighed(thing: \"W1\", reading: (value: \"{number} mg\", doubt: \"1 mg\", by: Scale)))\n"
    )
}

fn is_temp(path: &Path) -> bool {
    path.extension().is_some_and(|ending| ending == "tmp")
}

/// Opens the studio anew, looks over it by `heldfast check`, and looks for everything a kill must not do. Gives the number of entries.
fn judge(root: &Path, tag: Tag, acknowledged: u32, given: u32) -> Result<u32, String> {
    // Opening to record sweeps what was left half written; whether that went well is what is looked at below.
    run([Path::new("record"), root, Path::new(&tag.to_string())]);
    let check = run([Path::new("check"), root]);
    if check.status != 0 || !check.said.ends_with("all is well\n") {
        return Err(format!("check: {}{}", check.said, check.complained));
    }
    if let Some(left) = files(root).iter().find(|path| is_temp(path)) {
        return Err(format!("left behind: {}", left.display()));
    }
    let bytes = std::fs::read(root.join(file_of(tag))).map_err(|why| why.to_string())?;
    let Decoded::Whole(order) = decode::<Order>(DocKind::Order, &bytes) else {
        return Err("the order's file is not whole".to_owned());
    };
    let entries = order.log.len();
    if entries < acknowledged {
        return Err(format!("entry {acknowledged} was acknowledged, and {entries} are there"));
    }
    if entries > given {
        return Err(format!("{given} were given, and {entries} are there"));
    }
    let strange = order
        .log
        .entries()
        .filter(|(number, _)| *number > BEFORE)
        .find(|(number, entry)| entry.fact != fact(*number));
    match strange {
        Some((number, entry)) => Err(format!("entry {number} is {:?}", entry.fact)),
        None => Ok(entries),
    }
}

/// When the program is killed.
#[derive(Clone, Copy, Debug)]
struct Moment {
    /// How many answers are read first.
    answers: u32,
    /// Whether a half-written file is then waited for.
    half_written: bool,
    /// How long is then counted, in steps.
    steps: u32,
    /// Whether the lines are given one by one, each after the answer to the one before, or all at once.
    one_by_one: bool,
}

impl Moment {
    fn of(round: u32) -> Self {
        Self {
            answers: round % 6,
            half_written: !round.is_multiple_of(3),
            steps: (round * 7_919 % 61) * 4_000,
            one_by_one: round.is_multiple_of(2),
        }
    }
}

/// The number in `saved N`.
fn saved(answer: &str) -> u32 {
    answer
        .trim_end()
        .strip_prefix("saved ")
        .and_then(|n| n.parse().ok())
        .unwrap_or_else(|| panic!("{answer:?}"))
}

/// Gives the program facts from `first` on and kills it. Gives the last entry it acknowledged and the last it was given.
fn kill(mut child: Child, root: &Path, first: u32, moment: Moment) -> (u32, u32) {
    let mut input = child.stdin.take().unwrap();
    let mut output = BufReader::new(child.stdout.take().unwrap());
    let (mut acknowledged, mut given) = (first - 1, first - 1);
    let mut give = |count: u32| {
        for _ in 0..count {
            given += 1;
            input.write_all(line(given).as_bytes()).unwrap();
        }
    };
    give(if moment.one_by_one { 1 } else { GIVEN });
    let mut answer = String::new();
    for _ in 0..moment.answers {
        answer.clear();
        output.read_line(&mut answer).unwrap();
        acknowledged = saved(&answer);
        if moment.one_by_one {
            give(1);
        }
    }
    if moment.half_written {
        wait_for_half_written(&root.join("orders"));
    }
    for step in 0..moment.steps {
        black_box(step);
    }
    child.kill().unwrap();
    child.wait().unwrap();
    // What it said before it died counts, whether or not anyone was listening; half a line is no answer.
    for answer in output.lines() {
        let answer = answer.unwrap();
        if answer == format!("saved {}", acknowledged + 1) {
            acknowledged += 1;
        }
    }
    (acknowledged, given)
}

/// Looks until a save is seen under way, or for so long that none will come.
fn wait_for_half_written(orders: &Path) {
    let seen = || std::fs::read_dir(orders).unwrap().any(|entry| is_temp(&entry.unwrap().path()));
    (0..20_000).find(|_| seen());
}

fn recorder(root: &Path, tag: Tag) -> Child {
    let mut command = heldfast(["record", root.to_str().unwrap(), &tag.to_string()]);
    command.stdin(Stdio::piped()).stdout(Stdio::piped()).spawn().unwrap()
}

#[test]
fn nothing_acknowledged_is_lost_when_the_program_is_killed() {
    let kills: u32 =
        std::env::var("HELDFAST_KILLS").map_or(25, |text| text.parse().expect("a number of kills"));
    let (bench, tag) = studio();
    let (mut entries, mut temps, mut unanswered, mut unsaved) = (BEFORE, 0, 0, 0);
    for round in 0..kills {
        let moment = Moment::of(round);
        let (acknowledged, given) = kill(recorder(&bench.root(), tag), &bench.root(), entries + 1, moment);
        temps += files(&bench.root()).iter().filter(|path| is_temp(path)).count();
        let found = judge(&bench.root(), tag, acknowledged, given)
            .unwrap_or_else(|why| panic!("{round} {moment:?}: {why}"));
        unanswered += u32::from(found > acknowledged);
        unsaved += u32::from(found < given);
        entries = found;
    }
    println!(
        "{kills} kills: {} entries saved; {unsaved} runs were cut short, {temps} half-written files were swept, \
         {unanswered} entries were saved and not yet answered",
        entries - BEFORE
    );
    assert!(unsaved > 0 && entries > BEFORE, "the kills struck while there was something to save");
    assert!(kills < 25 || temps > 0, "some struck in the middle of a save");
    // The bench opens it too, with every entry, and work goes on.
    bench.fact(tag, fact(entries + 1));
    assert_eq!(bench.order(tag).log.len(), entries + 1);
}

/// The order's file after each of the facts up to `last`, as a right program would have saved it.
fn stages(bench: &Bench, tag: Tag, last: u32, to: &Path) {
    std::fs::create_dir_all(to).unwrap();
    let whole = bench.root().join(file_of(tag));
    let before = std::fs::read(&whole).unwrap();
    let heads = std::fs::read(bench.root().join(".heads")).unwrap();
    for number in BEFORE + 1..=last {
        bench.fact(tag, fact(number));
        std::fs::copy(&whole, to.join(number.to_string())).unwrap();
    }
    std::fs::write(whole, before).unwrap();
    std::fs::write(bench.root().join(".heads"), heads).unwrap();
}

/// A careless program in the place of ours: it answers as ours does, and saves by `script`.
fn careless(bench: &Bench, tag: Tag, script: &str) -> Result<u32, String> {
    let ready = bench.dir.path().join("ready");
    stages(bench, tag, BEFORE + 4, &ready);
    let (order, n) = (bench.root().join(file_of(tag)), BEFORE);
    let child = Command::new("sh")
        .args(["-c", script, "sh"])
        .args([&ready, &order])
        .env("n", n.to_string())
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    // The third line is not given before the second is answered, so the program stands still when it is killed.
    let moment = Moment { answers: 2, half_written: false, steps: 0, one_by_one: true };
    let (acknowledged, given) = kill(child, &bench.root(), BEFORE + 1, moment);
    assert!(acknowledged >= BEFORE + 2, "{acknowledged}");
    judge(&bench.root(), tag, acknowledged, given)
}

#[test]
fn a_program_that_saves_with_care_passes_the_same_check() {
    let (bench, tag) = studio();
    let script = "while read -r fact; do n=$((n + 1)); cp \"$1/$n\" \"$2.new\"; mv \"$2.new\" \"$2\"; echo saved $n; \
                  [ $n -ge 5 ] && exec sleep 1000; done";
    assert_eq!(careless(&bench, tag, script), Ok(BEFORE + 2));
}

#[test]
fn a_program_that_answers_before_it_saves_is_caught() {
    let (bench, tag) = studio();
    // It saves what it has answered when the next line comes.
    let script = "while read -r fact; do [ $n -gt 3 ] && cp \"$1/$n\" \"$2\"; n=$((n + 1)); echo saved $n; \
                  [ $n -ge 5 ] && exec sleep 1000; done";
    let complaint = careless(&bench, tag, script).unwrap_err();
    assert_eq!(complaint, format!("entry {} was acknowledged, and {} are there", BEFORE + 2, BEFORE + 1));
}

#[test]
fn a_program_that_writes_in_place_is_caught() {
    let (bench, tag) = studio();
    let script = "while read -r fact; do n=$((n + 1)); head -c 900 \"$1/$n\" >\"$2\"; echo saved $n; \
                  [ $n -ge 5 ] && exec sleep 1000; done";
    let complaint = careless(&bench, tag, script).unwrap_err();
    assert!(complaint.starts_with(&format!("check: {}: line ", file_of(tag))), "{complaint}");
}

#[test]
fn a_program_that_writes_something_else_is_caught() {
    let (bench, tag) = studio();
    bench.fact(tag, fact(77));
    let complaint = judge(&bench.root(), tag, BEFORE, BEFORE + 1).unwrap_err();
    assert!(
        complaint.starts_with(&format!("entry {} is ", BEFORE + 1)) && complaint.contains("77 mg"),
        "{complaint}"
    );
    assert_eq!(judge(&bench.root(), tag, BEFORE, BEFORE).unwrap_err(), "3 were given, and 4 are there");
    // A leftover is swept by opening; one that no opening sweeps is seen.
    std::fs::write(bench.root().join("orders/.left.tmp"), b"").unwrap();
    assert!(judge(&bench.root(), tag, BEFORE, BEFORE + 1).unwrap_err().starts_with("left behind: "));
}
