//! What each door answers, with which exit status, on which stream.

use std::io::Write as _;
use std::path::Path;
use std::process::Stdio;

use craft::fact::{ClientFact, CustodyFact};
use craft::id::Thing;
use craft::learning::{Observation, Seen, WedgePoint};
use craft::reading::{Means, Reading};
use craft::shelf::{Body, What};
use craft::tag::Tag;
use craft::units::{Length, Span};
use serde_json::Value;

use crate::program::{Answer, answer, file_of, heldfast, run, studio};
use crate::support::{Bench, files, stone_sheet, tag};

/// A tag with its last character changed: no tag at all.
const SLIP: &str = "A2B-C3D";

fn at(path: &Path) -> &str {
    path.to_str().unwrap()
}

fn well(said: &str) -> Answer {
    Answer { status: 0, said: said.to_owned(), complained: String::new() }
}

fn fault(complained: &str) -> Answer {
    Answer { status: 1, said: String::new(), complained: format!("heldfast: {complained}\n") }
}

fn record(bench: &Bench, tag: &str, input: &str) -> Answer {
    let mut child = heldfast(["record", at(&bench.root()), tag])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    // A program that has turned the studio or the tag away reads nothing.
    drop(child.stdin.take().unwrap().write_all(input.as_bytes()));
    answer(child.wait_with_output().unwrap())
}

#[test]
fn without_a_screen_it_says_so_and_names_the_doors_that_need_none() {
    let Answer { status, said, complained } = run::<&str>([]);
    assert_eq!((status, said.as_str()), (1, ""));
    assert!(complained.contains("no screen to open a window on"), "{complained}");
    assert!(complained.contains("demo, check, plan, papers and record"), "{complained}");
}

#[test]
fn a_door_nobody_knows_is_a_fault_of_use() {
    let Answer { status, said, complained } = run(["fly"]);
    assert_eq!((status, said.as_str()), (2, ""));
    assert!(complained.contains("fly"), "{complained}");
}

#[test]
fn check_of_a_good_studio_says_what_is_there_and_changes_nothing() {
    let (bench, _) = studio();
    let before = contents(&bench);
    let versions = files(&bench.root().join(".history"));
    let said = format!(
        "1 orders with 3 entries, 1 clients, 28 items on the shelf, 0 photos, 0 issued papers, {} earlier \
         versions\nall is well\n",
        versions.len()
    );
    assert_eq!(run(["check", at(&bench.root())]), well(&said));
    assert_eq!(contents(&bench), before);
    // One of them with another letter is told of, and nothing is mended.
    let version = versions.first().expect("a save kept one");
    let mut bytes = std::fs::read(version).unwrap();
    let middle = bytes.len() / 2;
    bytes[middle] ^= 1;
    std::fs::write(version, &bytes).unwrap();
    let damaged = run(["check", at(&bench.root())]);
    assert_eq!(damaged.status, 1, "{damaged:?}");
    assert!(damaged.said.contains("an earlier version is damaged: "), "{damaged:?}");
    assert!(damaged.said.contains("1 thing to look at; nothing was changed"), "{damaged:?}");
}

/// Everything in the folder, with its bytes.
fn contents(bench: &Bench) -> Vec<(std::path::PathBuf, Vec<u8>)> {
    files(&bench.root()).into_iter().map(|path| (path.clone(), std::fs::read(path).unwrap())).collect()
}

#[test]
fn check_plan_and_papers_make_no_folder_sweep_nothing_and_need_no_lock() {
    let (bench, tag) = studio();
    bench.change_sheet(tag, |sheet| sheet.stones.push(stone_sheet(1, "A1")));
    let (root, tag, out) = (bench.root(), tag.to_string(), bench.dir.path().join("out"));
    std::fs::remove_file(root.join(".lock")).unwrap();
    std::fs::remove_dir(root.join("photos")).unwrap();
    std::fs::write(root.join("orders/.left.ron.abcdefghij12.tmp"), "half").unwrap();
    let before = contents(&bench);
    assert_eq!(run(["check", at(&root)]).status, 0);
    assert_eq!(run(["plan", at(&root), &tag]).status, 0);
    assert_eq!(run(["papers", at(&root), &tag, "--out", at(&out)]).status, 0);
    assert_eq!(contents(&bench), before);
    assert!(!root.join("photos").exists());
    // Recording is what takes the lock and tidies, so the comparison can tell.
    assert_eq!(record(&bench, &tag, ""), well(""));
    assert_ne!(contents(&bench), before);
}

#[test]
fn check_looks_for_a_photo_that_only_an_entry_names() {
    let (bench, tag) = studio();
    let photo = papers_sample::take_photo(&bench, tag);
    let digest = photo.strip_prefix("photos/").unwrap().strip_suffix(".jpg").unwrap();
    let came = CustodyFact::CameAlong {
        thing: Thing::keepsake(1),
        place: craft::place::Place::Kept(1),
        photo: Some(digest.parse().unwrap()),
    };
    bench.fact(tag, came);
    // The sheet is written by hand, as long as a photo that the record names may be taken off it.
    let file = bench.root().join(file_of(tag));
    let text = std::fs::read_to_string(&file).unwrap();
    let (head, photos) = text.split_once("            photos: [").unwrap();
    let rest = photos.split_once("\n            ],").unwrap().1;
    std::fs::write(&file, format!("{head}            photos: [],{rest}")).unwrap();
    let all = run(["check", at(&bench.root())]);
    assert!(all.said.contains(", 1 photos, "), "{all:?}");
    let path = bench.root().join(&photo);
    let whole = std::fs::read(&path).unwrap();
    std::fs::remove_file(&path).unwrap();
    let gone = run(["check", at(&bench.root())]);
    let missed =
        format!("photos/{digest}: order {tag} refers to it and it is not there; put it back from a backup\n");
    assert!(gone.status == 1 && gone.said.contains(&missed) && !all.said.contains(&missed), "{gone:?}");
    std::fs::write(&path, &whole[1..]).unwrap();
    let changed = run(["check", at(&bench.root())]);
    assert!(changed.status == 1 && changed.said.contains("is not what was kept"), "{changed:?}");
}

#[test]
fn check_of_a_broken_studio_names_each_file_and_what_to_do() {
    let (bench, tag) = studio();
    let file = bench.root().join(file_of(tag));
    let text = std::fs::read_to_string(&file).unwrap();
    std::fs::write(&file, text.split_once("        log:").unwrap().0).unwrap();
    std::fs::write(bench.root().join("clients/notes.txt"), "a stray note").unwrap();
    let before = contents(&bench);
    let Answer { status, said, complained } = run(["check", at(&bench.root())]);
    assert_eq!((status, complained.as_str()), (1, ""));
    let lines: Vec<_> = said.lines().collect();
    assert_eq!(lines[0], "clients/notes.txt: this is not a file of the studio; nothing reads or changes it");
    assert!(lines[1].starts_with(&format!("{}: line ", file_of(tag))), "{said}");
    assert!(
        lines[1].contains(
            "the file is left alone: mend it there, or put an earlier copy back; the longest earlier"
        ),
        "{said}"
    );
    assert_eq!(lines[3], "2 things to look at; nothing was changed");
    assert_eq!(lines.len(), 4);
    assert_eq!(contents(&bench), before);
}

#[test]
fn check_misses_a_photo_and_a_paper_that_are_gone_and_one_that_was_changed() {
    use papers_sample as sample;
    let (bench, tag) = studio();
    let photo = sample::take_photo(&bench, tag);
    let paper = sample::issue_kit(&bench, tag);
    let all = run(["check", at(&bench.root())]);
    assert_eq!(all.status, 0, "{all:?}");
    assert!(all.said.contains("1 photos, 1 issued papers, "), "{all:?}");
    for (file, gone) in [
        (
            &photo,
            format!("{photo}: order {tag} refers to it and it is not there; put it back from a backup\n"),
        ),
        (&paper, format!("{paper}: it was issued and is not there; put it back from a backup\n")),
    ] {
        let path = bench.root().join(file);
        let whole = std::fs::read(&path).unwrap();
        std::fs::remove_file(&path).unwrap();
        let Answer { status, said, .. } = run(["check", at(&bench.root())]);
        assert_eq!(status, 1);
        assert!(said.starts_with(&gone), "{said}");
        assert!(said.ends_with("1 thing to look at; nothing was changed\n"), "{said}");
        std::fs::write(&path, &whole[1..]).unwrap();
        let Answer { status, said, .. } = run(["check", at(&bench.root())]);
        assert_eq!(status, 1);
        let changed = "is not what was kept: its contents have changed; put a copy of the original back";
        assert!(said.starts_with(&format!("{} {changed}\n", path.display())), "{said}");
        std::fs::write(&path, whole).unwrap();
    }
    assert_eq!(run(["check", at(&bench.root())]), all);
}

/// A photo and a paper, taken and issued through the workbench.
pub(crate) mod papers_sample {
    use craft::fact::PaperKind;
    use craft::tag::Tag;
    use workbench::action::{Action, Job, Source};

    use crate::support::{Bench, files};

    fn new_file(bench: &Bench, folder: &str, action: Action) -> String {
        let inside = || files(&bench.root().join(folder));
        let before = inside();
        bench.step(action).unwrap();
        let new = inside().into_iter().find(|path| !before.contains(path)).expect("a new file");
        new.strip_prefix(bench.root()).unwrap().to_str().unwrap().to_owned()
    }

    pub(crate) fn take_photo(bench: &Bench, tag: Tag) -> String {
        let look = papers::photo::sample::SampleStone::default();
        let jpeg = papers::photo::sample::stone_picture(&look, 64, 48).unwrap();
        let source = Source::Bytes(jpeg.into());
        let job = Job::TakePhoto { tag, of: None, caption: "as taken".parse().unwrap(), source };
        new_file(bench, "photos", Action::Start(job))
    }

    pub(super) fn issue_kit(bench: &Bench, tag: Tag) -> String {
        new_file(bench, "papers", Action::Start(Job::IssuePaper { tag, kind: PaperKind::Kit }))
    }
}

#[test]
fn where_there_is_no_studio_every_door_says_so() {
    let dir = tempfile::tempdir().unwrap();
    let nowhere = dir.path().join("nowhere");
    let out = dir.path().join("out");
    let some = tag(1_000).to_string();
    let doors = |root: &str| {
        let door = |words: &[&str]| words.iter().map(|&word| word.to_owned()).collect::<Vec<_>>();
        [
            door(&["check", root]),
            door(&["plan", root, &some]),
            door(&["papers", root, &some, "--out", at(&out)]),
            door(&["record", root, &some]),
        ]
    };
    for (root, why) in [
        (
            &nowhere,
            format!(
                "there is no folder {}; check the name, or that its disk is plugged in",
                nowhere.display()
            ),
        ),
        (
            &dir.path().to_owned(),
            format!(
                "{} is not a studio; choose the folder that holds \"studio.ron\", or make a new studio",
                dir.path().display()
            ),
        ),
    ] {
        for door in doors(at(root)) {
            let wanted = fault(&format!("the studio in {} cannot be opened: {why}", root.display()));
            assert_eq!(run(&door), wanted, "{door:?}");
        }
    }
    assert_eq!(std::fs::read_dir(dir.path()).unwrap().count(), 0, "nothing was made");
}

#[test]
fn a_tag_with_a_slip_and_an_unknown_tag_are_told_apart() {
    let (bench, _) = studio();
    let (root, out) = (bench.root(), bench.dir.path().join("out"));
    let unknown = tag(9_000).to_string();
    let slip = format!(
        "the tag \"{SLIP}\" has a slip in it: its last character does not fit the others; read it again from the packet"
    );
    let short = "\"A2B\" is not a tag; a tag has six characters, such as A2B-C3H".to_owned();
    let before = contents(&bench);
    let doors = |text: &str| {
        [
            run(["plan", at(&root), text]),
            run(["papers", at(&root), text, "--out", at(&out)]),
            record(&bench, text, "Client(KitPosted)\n"),
        ]
    };
    let nobody = format!("there is no order {unknown}; look at the tag again");
    for answer in doors(&unknown) {
        assert_eq!(answer, fault(&nobody));
    }
    // What cannot be a tag is a fault of use.
    for (text, why) in [(SLIP, slip), ("A2B", short)] {
        for Answer { status, said, complained } in doors(text) {
            assert_eq!((status, said.as_str()), (2, ""));
            let first = format!("error: invalid value '{text}' for '<TAG>': {why}\n");
            assert!(complained.starts_with(&first), "{complained}");
        }
    }
    assert!(!out.exists());
    assert_eq!(contents(&bench), before);
}

#[test]
fn plan_shows_each_stone_as_text_and_as_json() {
    let (bench, tag) = studio();
    let (root, tag_text) = (bench.root(), tag.to_string());
    let none = format!(
        "order {tag} has no stones on its sheet yet; add one with its mould, lamp, resin and pigment"
    );
    assert_eq!(run(["plan", at(&root), &tag_text]), fault(&none));
    bench.change_sheet(tag, |sheet| sheet.stones.push(stone_sheet(1, "A1")));
    let before = contents(&bench);
    // A tag may be written as a hand writes it.
    let text = run(["plan", at(&root), &tag_text.to_lowercase()]);
    assert_eq!((text.status, text.complained.as_str()), (0, ""), "{text:?}");
    let json = run(["plan", at(&root), &tag_text, "--json"]);
    assert_eq!((json.status, json.complained.as_str()), (0, ""), "{json:?}");
    let json: Value = serde_json::from_str(&json.said).unwrap();
    assert_eq!((&json["format"], &json["order"]), (&1.into(), &tag_text.clone().into()));
    let [stone] = json["stones"].as_array().unwrap().as_slice() else { panic!("one stone") };
    assert_eq!((&stone["stone"], &stone["kept"]), (&1.into(), &false.into()));
    let layers = stone["layers"].as_array().unwrap();
    let lines: Vec<_> = text.said.lines().collect();
    assert_eq!(lines.len(), 2 + layers.len(), "a heading, the layers, and what is guessed: {text:?}");
    let heading = format!("stone 1, plan made now: {} minutes, ", stone["bench_minutes"]);
    assert!(lines[0].starts_with(&heading), "{text:?}");
    assert!(lines[1].starts_with("  1 material ") && lines[1].ends_with("  sure to harden"), "{text:?}");
    assert!(lines.last().unwrap().starts_with("  A cautious guess for "), "{text:?}");
    // The layers fill the cavity: the starter shelf's oval is 2.4 mm of dome on 1 mm of wall.
    let depth_mm: f64 = layers.iter().map(|layer| layer["thickness_mm"].as_f64().unwrap()).sum();
    assert!((depth_mm - 3.4).abs() < 1e-9, "{depth_mm}");
    let light_s: f64 = layers.iter().map(|layer| layer["light_s"].as_f64().unwrap()).sum();
    assert!((light_s - stone["lamp_seconds"].as_f64().unwrap()).abs() < 1e-9);
    assert_eq!(contents(&bench), before);
}

fn keep_a_plan_and_a_test_in_which_nothing_set(bench: &Bench, tag: Tag) {
    let opened = workbench::open::look(&bench.root(), std::sync::Arc::new(store::vfs::DiskVfs)).unwrap();
    // The day before, which is past whatever the zone.
    let today = chrono::Utc::now().date_naive().pred_opt().unwrap();
    let stone = opened.studio.order(tag).unwrap().order.sheet.stones[0].clone();
    let plan = opened.studio.plan_for(tag, &stone, today).unwrap();
    bench.change_sheet(tag, |sheet| sheet.stones[0].plan = Some(plan.clone()));
    let mut item = opened.studio.shelf()[&stone.resin].clone();
    let What::Resin(bottle) = &mut item.what else { panic!("no bottle: {item:?}") };
    let nothing = |s: f64| WedgePoint {
        light: Span::from_s(s),
        depth: Reading { value: Length::ZERO, doubt: Length::from_mm(0.05), by: Means::Caliper },
    };
    bottle.observations.push(Observation {
        on: today,
        lamp: stone.lamp.clone(),
        button: 1,
        lamp_lit: None,
        body: Body::Opaque,
        pigment: None,
        seen: Seen::Wedge { points: [60.0, 120.0, 300.0, 600.0].map(nothing).to_vec() },
    });
    let bytes = store::format::encode(store::name::DocKind::Shelf, &item).unwrap();
    std::fs::write(bench.root().join(format!("shelf/{}.ron", stone.resin)), bytes).unwrap();
}

#[test]
fn every_field_of_the_plans_json_stands_in_the_format_page() {
    let (bench, tag) = studio();
    bench.change_sheet(tag, |sheet| sheet.stones.extend([stone_sheet(1, "A1"), stone_sheet(2, "A2")]));
    let file = bench.root().join("shelf/slate.ron");
    let against = {
        keep_a_plan_and_a_test_in_which_nothing_set(&bench, tag);
        run(["plan", at(&bench.root()), &tag.to_string(), "--json"])
    };
    assert_eq!(against.status, 1, "something speaks against a kept plan: {against:?}");
    let text = run(["plan", at(&bench.root()), &tag.to_string()]);
    assert!(text.said.contains("Nothing set in up to 600 s"), "{text:?}");
    let good = run(["plan", at(&bench.root()), &tag.to_string(), "--json"]);
    std::fs::remove_file(file).unwrap();
    let refused = run(["plan", at(&bench.root()), &tag.to_string(), "--json"]);
    assert_eq!(refused.status, 1, "{refused:?}");
    let mut fields = std::collections::BTreeSet::new();
    for answer in [against, good, refused] {
        gather(&serde_json::from_str(&answer.said).unwrap(), &mut fields);
    }
    assert!(fields.contains("refused") && fields.contains("surely"), "{fields:?}");
    let page = std::fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/../../docs/format.md")).unwrap();
    let section = page.split_once("## The answer of `heldfast plan --json`").unwrap().1;
    let told: std::collections::BTreeSet<_> = section
        .lines()
        .filter_map(|line| Some(line.strip_prefix("| `")?.split_once('`')?.0.to_owned()))
        .collect();
    assert_eq!(told, fields);
}

fn gather(value: &Value, fields: &mut std::collections::BTreeSet<String>) {
    match value {
        Value::Object(object) => {
            for (name, inner) in object {
                fields.insert(name.clone());
                gather(inner, fields);
            }
        }
        Value::Array(list) => list.iter().for_each(|inner| gather(inner, fields)),
        _ => {}
    }
}

#[test]
fn a_stone_that_cannot_be_planned_says_why_and_is_a_fault() {
    let (bench, tag) = studio();
    bench.change_sheet(tag, |sheet| sheet.stones.push(stone_sheet(1, "A1")));
    std::fs::remove_file(bench.root().join("shelf/small-lamp.ron")).unwrap();
    let Answer { status, said, complained } = run(["plan", at(&bench.root()), &tag.to_string()]);
    assert_eq!((status, complained.as_str()), (1, ""));
    assert_eq!(said, "stone 1: no plan: small-lamp is not on the shelf; add it first\n");
}

#[test]
fn papers_are_written_where_asked_and_nothing_is_recorded() {
    let (bench, tag) = studio();
    let out = bench.dir.path().join("out");
    let before = contents(&bench);
    let Answer { status, said, complained } =
        run(["papers", at(&bench.root()), &tag.to_string(), "--out", at(&out)]);
    assert_eq!((status, complained.as_str()), (0, ""), "among all of them, one that is not due is no fault");
    let lines: Vec<_> = said.lines().collect();
    let kinds: Vec<_> = lines.iter().map(|line| line.split_once(": ").unwrap().0).collect();
    assert_eq!(kinds, ["kit", "receipt", "proof", "packing", "care", "custody"]);
    assert!(lines[2].starts_with("proof: not yet: "), "{said}");
    let mut written = 0;
    for (kind, line) in kinds.iter().zip(&lines) {
        let file = out.join(format!("{tag}-{kind}.pdf"));
        assert_eq!(file.exists(), !line.contains(": not yet: "), "{line}");
        if file.exists() {
            written += 1;
            assert!(line.starts_with(&format!("{kind}: {} (", file.display())), "{line}");
            let pdf = std::fs::read(file).unwrap();
            // ISO 32000-2:2020, 7.5.2 and 7.5.5: the first and the last line of a file.
            assert!(pdf.starts_with(b"%PDF-") && pdf.trim_ascii_end().ends_with(b"%%EOF"), "{kind}");
        }
    }
    assert!(written >= 2, "{said}");
    assert_eq!(contents(&bench), before);
}

#[test]
fn a_paper_asked_for_by_name_before_its_time_is_a_fault_and_an_unknown_one_too() {
    let (bench, tag) = studio();
    let out = bench.dir.path().join("out");
    let ask = |kinds: &[&str]| {
        let (root, tag) = (bench.root(), tag.to_string());
        let words = ["papers", at(&root), &tag, "--out", at(&out)];
        run(words.iter().chain(kinds))
    };
    let Answer { status, said, complained } = ask(&["proof", "kit"]);
    assert_eq!((status, complained.as_str()), (1, ""));
    let lines: Vec<_> = said.lines().collect();
    assert!(lines[0].starts_with("proof: not yet: ") && lines[1].starts_with("kit: "), "{said}");
    assert_eq!(files(&out), [out.join(format!("{tag}-kit.pdf"))]);
    std::fs::remove_dir_all(&out).unwrap();
    let unknown = "\"poem\" is not a paper; the papers are kit, receipt, proof, packing, care and custody";
    let Answer { status, said, complained } = ask(&["poem", "kit"]);
    assert_eq!((status, said.as_str()), (2, ""));
    assert!(complained.starts_with(&format!("error: invalid value 'poem' for '[KIND]...': {unknown}\n")));
    assert!(!out.exists(), "nothing is written where one name is wrong");
    // A file where the folder should be.
    std::fs::write(&out, "in the way").unwrap();
    let Answer { status, complained, .. } = ask(&["kit"]);
    assert_eq!(status, 1);
    assert!(complained.starts_with(&format!("heldfast: the folder {} cannot be made: ", out.display())));
}

#[test]
fn facts_are_answered_one_by_one_and_a_bad_line_does_not_stop_the_rest() {
    let (bench, tag) = studio();
    let input = "Client(KitPosted)\n\
                 \n\
                 Client(Sung)\n\
                 2026-01-31 Client(MessageSent(about: KitPosted))\n\
                 Custody(Weighed(thing: \"W1\", reading: (value: \"NaN mg\", doubt: \"1 mg\", by: Scale)))\n\
                 Custody(Opened(thing: \"W1\", check: (how: Typed, tag: \"TAG\")))\n\
                 Custody(Closed(thing: \"W1\", seal: Some(7)))";
    let Answer { status, said, complained } =
        record(&bench, &tag.to_string(), &input.replace("TAG", &tag.to_string()));
    assert_eq!((status, complained.as_str()), (1, ""), "one line was not recorded");
    let lines: Vec<_> = said.lines().collect();
    assert_eq!(lines.len(), 6, "{said}");
    assert_eq!((lines[0], lines[2], lines[5]), ("saved 4", "saved 5", "saved 6"));
    let sung =
        "not yet: this is not a fact: there is no \"Sung\"; what may stand there is Answered, KitPosted, ";
    assert!(lines[1].starts_with(sung), "{said}");
    assert!(lines[3].contains("\"NaN mg\" is not an amount in mg"), "{said}");
    assert_eq!(lines[4], "not yet: W1 is already open");
    let log = bench.order(tag).log;
    assert_eq!(log.len(), 6);
    let told = log.entry(5).unwrap();
    assert_eq!(told.told, chrono::NaiveDate::from_ymd_opt(2026, 1, 31));
    assert_eq!(log.entry(4).unwrap().told, None);
    let closed = CustodyFact::Closed { thing: Thing::wrapping(1), seal: Some(craft::fact::Seal(7)) };
    assert_eq!(log.entry(6).unwrap().fact, closed.into());
    let torn = [
        ("Client", "it cannot be read from \"Client\" on; write"),
        (
            "Client(Answered",
            "it cannot be read from \"Answered\" on; write it as it stands in the order's file",
        ),
        (
            "yesterday Client(Answered)",
            "there is no \"yesterday\"; what may stand there is Client, Custody, ",
        ),
        ("Custody(Closed(seal: None))", "its part \"thing\" is missing"),
        (
            "Custody(Closed(thing: \"W1\", lid: 1))",
            "there is no part \"lid\"; what may stand there is thing, seal",
        ),
        ("Client(Answered) twice", "it cannot be read from \"twice\" on; write"),
    ];
    for (line, why) in torn {
        let said = record(&bench, &tag.to_string(), line).said;
        assert!(said.starts_with(&format!("not yet: this is not a fact: {why}")), "{line}: {said}");
    }
    assert_eq!(record(&bench, &tag.to_string(), "Client(KitPosted)\n"), well("saved 7\n"));
    assert_eq!(record(&bench, &tag.to_string(), ""), well(""));
}

#[test]
fn a_fact_that_is_recorded_and_not_saved_is_not_to_be_sent_again_and_nothing_more_is_read() {
    use std::io::{BufRead as _, BufReader};
    let (bench, tag) = studio();
    let mut child = heldfast(["record", at(&bench.root()), &tag.to_string()])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let mut to = child.stdin.take().unwrap();
    let mut from = BufReader::new(child.stdout.take().unwrap());
    let mut said = String::new();
    to.write_all(b"Client(KitPosted)\n").unwrap();
    from.read_line(&mut said).unwrap();
    let number: u32 = said.strip_prefix("saved ").unwrap().trim().parse().unwrap();
    // Another program writes the order's file, which is never written over.
    let file = bench.root().join(file_of(tag));
    let theirs = [std::fs::read(&file).unwrap(), b" ".to_vec()].concat();
    std::fs::write(&file, &theirs).unwrap();
    // The program may have gone before the last line, so that one may not be taken.
    to.write_all(b"Client(Answered)\n").unwrap();
    drop(to.write_all(b"Client(Answered)\n"));
    drop(to);
    said.clear();
    std::io::Read::read_to_string(&mut from, &mut said).unwrap();
    let status = child.wait().unwrap();
    let wanted = format!("recorded as {}, not on the disk: another program changed this file", number + 1);
    assert!(said.starts_with(&wanted), "{said}");
    assert_eq!((said.lines().count(), status.code()), (1, Some(1)), "{said}");
    assert_eq!(std::fs::read(&file).unwrap(), theirs);
}

#[test]
fn nothing_is_recorded_while_the_studio_is_open_in_another_window() {
    let (bench, tag) = studio();
    let before = contents(&bench);
    let window = bench.open();
    let why = "the studio is open in another window, so here it can only be read; close the other window and open it \
               again to make changes";
    assert_eq!(record(&bench, &tag.to_string(), "Client(KitPosted)\n"), fault(why));
    let check = run(["check", at(&bench.root())]);
    assert_eq!(check.status, 0, "it can be looked at all the same: {check:?}");
    assert_eq!(contents(&bench), before);
    drop(window);
    assert_eq!(record(&bench, &tag.to_string(), "Client(KitPosted)\n"), well("saved 4\n"));
    let log = bench.order(tag).log;
    assert_eq!(log.entry(4).unwrap().fact, ClientFact::KitPosted.into());
}
