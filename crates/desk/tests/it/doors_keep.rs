//! Backups, forgetting, handing over and the list, through the program as it is run.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use craft::fact::{CustodyFact, HomeFact, LeftOut};
use craft::id::Thing;
use craft::tag::Tag;

use crate::doors::papers_sample;
use crate::program::{Answer, answer, file_of, heldfast, run, studio};
use crate::support::{Bench, files};

/// Runs the program with a state folder of its own, so that it knows nothing of the person who runs the tests.
fn here<const N: usize>(bench: &Bench, arguments: [&str; N]) -> Answer {
    answer(heldfast(arguments).env("XDG_STATE_HOME", bench.dir.path().join("state")).output().unwrap())
}

fn at(path: &Path) -> &str {
    path.to_str().unwrap()
}

/// Every file of a studio by its path, but for what belongs to one opening of it.
fn whole(root: &Path) -> BTreeMap<PathBuf, Vec<u8>> {
    let passing = |path: &Path| matches!(path.to_str(), Some(".lock" | ".last-backup"));
    let all = files(root)
        .into_iter()
        .map(|path| (path.strip_prefix(root).unwrap().to_owned(), std::fs::read(&path).unwrap()));
    all.filter(|(path, _)| !passing(path)).collect()
}

/// The same bench with a photo and a paper, and everything of the client gone home.
fn at_home(bench: &Bench, tag: Tag) {
    papers_sample::take_photo(bench, tag);
    bench.fact(tag, CustodyFact::Closed { thing: Thing::wrapping(1), seal: None });
    bench.fact(tag, HomeFact::LeftOut { thing: Thing::wrapping(1), why: LeftOut::ReturnedBefore });
}

#[test]
fn a_backup_is_put_back_byte_for_byte_and_a_second_time_refused() {
    let (bench, tag) = studio();
    papers_sample::take_photo(&bench, tag);
    let (root, file, new) = (bench.root(), bench.dir.path().join("b.tar"), bench.dir.path().join("new"));
    let before = whole(&root);
    let made = here(&bench, ["backup", at(&root), at(&file)]);
    assert_eq!((made.status, made.complained.as_str()), (0, ""), "{made:?}");
    assert!(made.said.contains("read back and compared"), "{made:?}");
    assert_eq!(whole(&root), before, "the studio is as it was");
    assert!(
        before.keys().any(|path| path.starts_with(".history/orders")),
        "saves kept earlier versions: {:?}",
        before.keys()
    );
    let back = here(&bench, ["restore", at(&file), at(&new)]);
    assert_eq!((back.status, back.complained.as_str()), (0, ""), "{back:?}");
    assert_eq!(whole(&new), before);
    assert_eq!(here(&bench, ["check", at(&new)]).status, 0);
    let again = here(&bench, ["restore", at(&file), at(&new)]);
    assert_eq!((again.status, again.said.as_str()), (1, ""));
    assert!(again.complained.contains("there is a studio in"), "{again:?}");
    assert_eq!(whole(&new), before);
    // A second backup never replaces the first.
    let bytes = std::fs::read(&file).unwrap();
    let taken = here(&bench, ["backup", at(&root), at(&file)]);
    assert!(taken.status == 1 && taken.complained.contains("choose a new name"), "{taken:?}");
    assert_eq!(std::fs::read(&file).unwrap(), bytes);
}

#[test]
fn a_backup_is_read_by_any_tar_program_and_its_list_by_sha256sum() {
    let (bench, _) = studio();
    let (root, file, out) = (bench.root(), bench.dir.path().join("b.tar"), bench.dir.path().join("out"));
    assert_eq!(here(&bench, ["backup", at(&root), at(&file)]).status, 0);
    std::fs::create_dir(&out).unwrap();
    let unpack = std::process::Command::new("tar").args(["-xf", at(&file), "-C", at(&out)]).status().unwrap();
    assert!(unpack.success());
    let sums = std::process::Command::new("sha256sum")
        .args(["-c", "--quiet", "SHA256SUMS"])
        .current_dir(&out)
        .output()
        .unwrap();
    assert!(sums.status.success(), "{sums:?}");
    let unpacked = whole(&out);
    for (path, bytes) in whole(&root) {
        assert_eq!(unpacked.get(&path), Some(&bytes), "{}", path.display());
    }
    // What tar unpacked is a studio as it is.
    assert!(here(&bench, ["list", at(&out)]).said.contains("Sørine"));
}

#[test]
fn a_damaged_backup_is_refused_and_no_folder_is_made() {
    let (bench, _) = studio();
    let (root, file, new) = (bench.root(), bench.dir.path().join("b.tar"), bench.dir.path().join("new"));
    assert_eq!(here(&bench, ["backup", at(&root), at(&file)]).status, 0);
    let good = std::fs::read(&file).unwrap();
    let mut changed = good.clone();
    let middle = good.len() / 2;
    changed[middle] ^= 1;
    for (bytes, why) in [
        (changed, "cannot be used, and nothing was put back"),
        (good[..good.len() - 2_000].to_vec(), "cut off"),
        (b"not a backup at all".to_vec(), "cut off"),
        (Vec::new(), "cut off"),
    ] {
        std::fs::write(&file, bytes).unwrap();
        let answer = here(&bench, ["restore", at(&file), at(&new)]);
        assert_eq!((answer.status, answer.said.as_str()), (1, ""));
        assert!(answer.complained.contains(why), "{answer:?}");
        assert!(!new.exists());
    }
    let nowhere = here(&bench, ["restore", at(&bench.dir.path().join("no.tar")), at(&new)]);
    assert!(nowhere.status == 1 && nowhere.complained.contains("there is no file"), "{nowhere:?}");
    std::fs::write(&file, good).unwrap();
    std::fs::create_dir(&new).unwrap();
    std::fs::write(new.join("letter.txt"), "mine").unwrap();
    let full = here(&bench, ["restore", at(&file), at(&new)]);
    assert!(full.status == 1 && full.complained.contains("holds other files"), "{full:?}");
    assert_eq!(files(&new), [new.join("letter.txt")]);
}

#[test]
fn a_studio_with_a_broken_file_is_backed_up_as_it_is_and_says_so() {
    let (bench, tag) = studio();
    let (root, file, new) = (bench.root(), bench.dir.path().join("b.tar"), bench.dir.path().join("new"));
    std::fs::write(root.join(file_of(tag)), "(version: 1, kind: \"order\", body: (").unwrap();
    let made = here(&bench, ["backup", at(&root), at(&file)]);
    assert_eq!(made.status, 1, "{made:?}");
    assert!(made.said.contains(&format!("in it as it is: {}: ", file_of(tag))), "{made:?}");
    let back = here(&bench, ["restore", at(&file), at(&new)]);
    assert_eq!(back.status, 1, "{back:?}");
    assert!(back.said.contains(&format!("as it was in the backup: {}: ", file_of(tag))), "{back:?}");
    assert_eq!(whole(&new), whole(&root));
}

/// Every file in which these bytes stand.
fn with(root: &Path, words: &str) -> Vec<PathBuf> {
    let holds = |bytes: &[u8]| bytes.windows(words.len()).any(|part| part == words.as_bytes());
    whole(root).into_iter().filter(|(_, bytes)| holds(bytes)).map(|(path, _)| path).collect()
}

const WORDS: [&str; 5] = ["Ingrid Solheim", "Fjordveien 3", "5003 Bergen", "ingrid@example.org", "Sørine"];

#[test]
fn a_client_whose_things_are_here_is_not_forgotten_and_nothing_changes() {
    let (bench, tag) = studio();
    let before = whole(&bench.root());
    for yes in [false, true] {
        let mut words =
            vec!["forget", at(&bench.root()), "ingrid"].into_iter().map(str::to_owned).collect::<Vec<_>>();
        words.extend(yes.then(|| "--yes".to_owned()));
        let answer = run(&words);
        assert_eq!((answer.status, answer.said.as_str()), (1, ""), "{answer:?}");
        assert!(answer.complained.contains(&format!("of order {tag} is still here")), "{answer:?}");
    }
    let nobody = here(&bench, ["forget", at(&bench.root()), "astrid", "--yes"]);
    assert!(nobody.status == 1 && nobody.complained.contains("there is no client astrid"), "{nobody:?}");
    assert_eq!(whole(&bench.root()), before);
}

#[test]
fn after_forgetting_no_byte_of_the_names_is_left_and_the_balance_still_holds() {
    let (bench, tag) = studio();
    at_home(&bench, tag);
    let (root, old) = (bench.root(), bench.dir.path().join("old.tar"));
    // A version that another program's change left beside, and an address only an earlier version knows.
    std::fs::write(root.join("clients/ingrid.conflict-1.ron"), "Ingrid Solheim").unwrap();
    assert_eq!(here(&bench, ["backup", at(&root), at(&old)]).status, 1, "the conflict is told");
    for words in WORDS {
        assert!(!with(&root, words).is_empty(), "the search can find {words}");
    }
    let before = whole(&root);
    let asked = here(&bench, ["forget", at(&root), "ingrid"]);
    assert!(
        asked.status == 1 && asked.said.contains("nothing is changed yet") && asked.said.contains("--yes"),
        "{asked:?}"
    );
    assert_eq!(whole(&root), before);
    let balance = |bench: &Bench| {
        let session = bench.open();
        let held = session.bench.studio().order(tag).unwrap();
        (held.ledger.clone(), held.record_seal(), held.order.log.clone())
    };
    std::fs::remove_file(root.join("clients/ingrid.conflict-1.ron")).unwrap();
    let kept = balance(&bench);
    std::fs::write(root.join("clients/ingrid.conflict-1.ron"), "Ingrid Solheim").unwrap();
    let receipt = here(&bench, ["forget", at(&root), "ingrid", "--yes"]);
    assert_eq!((receipt.status, receipt.complained.as_str()), (0, ""), "{receipt:?}");
    for said in [
        "1 photo\n",
        "the record of each order",
        "no invoices",
        "backups and copies made before today",
        "no legal advice",
    ] {
        assert!(receipt.said.contains(said), "{said} in {receipt:?}");
    }
    for words in WORDS {
        assert_eq!(with(&root, words), Vec::<PathBuf>::new(), "{words}");
        assert!(!receipt.said.contains(words), "a receipt does not say who it was");
    }
    assert_eq!(balance(&bench), kept, "not an entry of the record is missing");
    assert_eq!(here(&bench, ["check", at(&root)]).status, 0);
    // A second time nothing is left to do, and an older backup brings nothing back.
    let new = bench.dir.path().join("new");
    let back = here(&bench, ["restore", at(&old), at(&new)]);
    assert!(back.said.contains("1 client was in it who was forgotten since"), "{back:?}");
    for words in WORDS {
        assert_eq!(with(&new, words), Vec::<PathBuf>::new(), "{words} after putting an old backup back");
    }
    // On another computer the studio itself knows, where it is named.
    let (elsewhere, found) = (bench.dir.path().join("elsewhere"), bench.dir.path().join("found"));
    let without = |to: &Path, more: &[&str]| {
        let words = [["restore", at(&old), at(to)].as_slice(), more].concat();
        answer(heldfast(words).env("XDG_STATE_HOME", bench.dir.path().join("other")).output().unwrap())
    };
    without(&elsewhere, &["--beside", at(&root)]);
    assert_eq!(with(&elsewhere, "Solheim"), Vec::<PathBuf>::new());
    without(&found, &[]);
    assert!(
        !with(&found, "Solheim").is_empty(),
        "the check above can tell: nobody there knows who was forgotten"
    );
}

#[test]
fn an_order_is_handed_over_with_its_file_its_photo_and_its_seal() {
    let (bench, tag) = studio();
    papers_sample::take_photo(&bench, tag);
    let (root, to) = (bench.root(), bench.dir.path().join("over"));
    let done = here(&bench, ["hand-over", at(&root), &tag.to_string(), at(&to)]);
    assert_eq!((done.status, done.complained.as_str()), (0, ""), "{done:?}");
    let names: Vec<String> =
        files(&to).iter().map(|path| path.strip_prefix(&to).unwrap().display().to_string()).collect();
    let order = format!("{}.ron", tag.to_string().to_lowercase());
    let mut wanted = ["SHA256SUMS", order.as_str(), "photos/photo-1.jpg", "summary.txt"];
    wanted.sort_unstable();
    assert_eq!(names, wanted);
    assert_eq!(std::fs::read(to.join(&order)).unwrap(), std::fs::read(root.join(file_of(tag))).unwrap());
    let summary = std::fs::read_to_string(to.join("summary.txt")).unwrap();
    let log = bench.order(tag).log;
    let seal = log.entry(log.len()).unwrap().seal.to_string();
    assert!(summary.contains("Sørine") && summary.contains(&format!("Record seal: {seal}")), "{summary}");
    let sums = std::process::Command::new("sha256sum")
        .args(["-c", "--quiet", "SHA256SUMS"])
        .current_dir(&to)
        .output()
        .unwrap();
    assert!(sums.status.success(), "{sums:?}");
    let again = here(&bench, ["hand-over", at(&root), &tag.to_string(), at(&to)]);
    assert!(again.status == 1 && again.complained.contains("choose an empty folder"), "{again:?}");
    let within = root.join("over");
    let inside = here(&bench, ["hand-over", at(&root), &tag.to_string(), at(&within)]);
    assert!(
        inside.status == 1 && inside.complained.contains("lies in the studio's own folder"),
        "{inside:?}"
    );
    assert!(!within.exists());
}

#[test]
fn the_list_is_csv_that_no_table_program_takes_for_a_formula() {
    let (bench, tag) = studio();
    bench.change_sheet(tag, |sheet| sheet.remembered.name = "=HYPERLINK(\"x\")".parse().unwrap());
    let root = bench.root();
    let csv = here(&bench, ["list", at(&root), "--csv"]);
    assert_eq!((csv.status, csv.complained.as_str()), (0, ""), "{csv:?}");
    let lines: Vec<&str> = csv.said.split_terminator("\r\n").collect();
    assert_eq!(lines.len(), 2, "{csv:?}");
    assert!(lines[0].starts_with("\"tag\",\"remembered\",\"client\","), "{csv:?}");
    assert!(
        lines[1].starts_with(&format!("\"{tag}\",\"'=HYPERLINK(\"\"x\"\")\",\"Ingrid Solheim\",")),
        "{csv:?}"
    );
    let plain = here(&bench, ["list", at(&root)]);
    assert!(plain.said.starts_with(&format!("{tag}  =HYPERLINK")), "{plain:?}");
    std::fs::write(root.join(file_of(tag)), "(").unwrap();
    let missing = here(&bench, ["list", at(&root), "--csv"]);
    assert!(missing.status == 1 && missing.complained.contains("not in the list"), "{missing:?}");
}

#[test]
fn check_names_strangers_everywhere_and_says_the_next_step_where_a_seal_changed() {
    let (bench, tag) = studio();
    let root = bench.root();
    let strangers = ["Notes.txt", "photos/holiday.jpg", "papers/bill.pdf", "papers/Old/x.pdf"];
    for name in strangers {
        let path = root.join(name);
        std::fs::create_dir_all(path.parent().unwrap()).unwrap();
        std::fs::write(path, "mine").unwrap();
    }
    let check = here(&bench, ["check", at(&root)]);
    assert_eq!(check.status, 1);
    for name in ["Notes.txt", "photos/holiday.jpg", "papers/bill.pdf", "papers/Old"] {
        assert!(
            check.said.contains(&format!("{name}: this is not a file of the studio")),
            "{name} in {check:?}"
        );
    }
    let file = root.join(file_of(tag));
    let text = std::fs::read_to_string(&file).unwrap();
    let seal = bench.order(tag).log.entry(2).unwrap().seal.to_string();
    let other =
        seal.replace(|digit: char| digit == seal.chars().next().unwrap(), "0").replace(['1', '2'], "3");
    assert_ne!(seal, other);
    std::fs::write(&file, text.replace(&seal, &other)).unwrap();
    let check = here(&bench, ["check", at(&root)]);
    let said = check.said.lines().find(|line| line.starts_with(&file_of(tag))).unwrap();
    assert!(said.contains("entry 2 of the record does not follow"), "{said}");
    assert!(
        said.contains("the longest earlier version that holds has 2 entries and is .history/orders/"),
        "{said}"
    );
    // The next step it names is one: that version, copied, opens.
    let kept = said.split(" and is ").nth(1).unwrap().split(": the window").next().unwrap();
    std::fs::copy(root.join(kept), &file).unwrap();
    assert_eq!(bench_entries(&root, tag), 2);
}

fn bench_entries(root: &Path, tag: Tag) -> u32 {
    let opened = workbench::open::look(root, std::sync::Arc::new(store::vfs::DiskVfs)).unwrap();
    opened.studio.order(tag).unwrap().order.log.len()
}
