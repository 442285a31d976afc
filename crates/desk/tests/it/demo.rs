//! The demo studio, made and looked at through the doors.

use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::LazyLock;

use craft::fact::PaperKind;
use serde_json::Value;

use crate::program::{Answer, answer, run};
use crate::support::files;

/// One demo studio for every test that only reads it, and what was said when it was made.
static DEMO: LazyLock<(PathBuf, Answer)> = LazyLock::new(|| {
    // Nothing tidies up behind a static, so the last one is taken away first.
    let dir = Path::new(env!("CARGO_TARGET_TMPDIR")).join("demo-studio");
    if dir.exists() {
        std::fs::remove_dir_all(&dir).unwrap();
    }
    let answer = run([Path::new("demo"), &dir]);
    (dir, answer)
});

fn demo() -> PathBuf {
    DEMO.0.clone()
}

fn tags() -> Vec<String> {
    let orders = files(&demo().join("orders"));
    orders.iter().map(|path| path.file_stem().unwrap().to_str().unwrap().to_uppercase()).collect()
}

#[test]
fn a_demo_is_written_into_a_new_folder_and_all_is_well_with_it() {
    let Answer { status, said, complained } = &DEMO.1;
    assert_eq!((*status, complained.as_str()), (0, ""));
    let (orders, photos) = (tags().len(), files(&demo().join("photos")).len());
    let wanted =
        format!("a demo studio with {orders} orders and {photos} photos is in {}\n", demo().display());
    assert_eq!(*said, wanted);
    assert!(orders >= 10 && photos > 0, "{said}");
    let check = run([Path::new("check"), &demo()]);
    assert_eq!((check.status, check.complained.as_str()), (0, ""), "{check:?}");
    assert!(check.said.starts_with(&format!("{orders} orders with ")), "{check:?}");
    assert!(check.said.ends_with("\nall is well\n"), "{check:?}");
}

#[test]
fn a_demo_is_written_into_an_empty_folder() {
    let dir = tempfile::tempdir().unwrap();
    let made = run([Path::new("demo"), dir.path()]);
    assert_eq!((made.status, made.complained.as_str()), (0, ""), "{made:?}");
    assert_eq!(run([Path::new("check"), dir.path()]).status, 0);
}

#[test]
fn a_demo_is_never_written_among_other_files_or_over_a_studio() {
    let dir = tempfile::tempdir().unwrap();
    let kept = dir.path().join("kept.txt");
    std::fs::write(&kept, "the only copy").unwrap();
    let refused = |path: &Path, why: &str| {
        let Answer { status, said, complained } = run([Path::new("demo"), path]);
        assert_eq!((status, said.as_str()), (1, ""));
        assert_eq!(complained, format!("heldfast: no studio was written to {}: {why}\n", path.display()));
    };
    let shown = dir.path().display();
    refused(
        dir.path(),
        &format!("{shown} holds other files; choose an empty folder or a new name for the studio"),
    );
    assert_eq!(files(dir.path()), std::slice::from_ref(&kept));
    assert_eq!(std::fs::read_to_string(kept).unwrap(), "the only copy");
    let all = || {
        files(&demo())
            .into_iter()
            .map(|path| (path.clone(), std::fs::read(path).unwrap()))
            .collect::<Vec<_>>()
    };
    let before = all();
    refused(&demo(), &format!("there is a studio in {} already; open it instead", demo().display()));
    assert_eq!(all(), before);
    let deep = dir.path().join("a/b");
    let said = run([Path::new("demo"), &deep]);
    assert_eq!(said.status, 1, "{said:?}");
    assert!(
        said.complained.contains(&format!("the disk would not make the folder {}", deep.display())),
        "{said:?}"
    );
}

#[test]
fn a_demo_that_breaks_off_is_no_studio_and_says_what_to_do() {
    let dir = tempfile::tempdir().unwrap();
    let root = dir.path().join("demo");
    // The system lets no file grow beyond a few kilobytes, so the first photo is cut off.
    let limited = "trap '' XFSZ; ulimit -f 2; exec \"$0\" demo \"$1\"";
    let output =
        Command::new("sh").args(["-c", limited, env!("CARGO_BIN_EXE_heldfast")]).arg(&root).output().unwrap();
    let Answer { status, said, complained } = answer(output);
    assert_eq!((status, said.as_str()), (1, ""));
    let shown = root.display();
    let begins = format!(
        "heldfast: the studio in {shown} is not whole; delete {shown} and try again: {shown}/photos/"
    );
    assert!(complained.starts_with(&begins), "{complained}");
    assert!(
        complained.contains("would not take all of it") && complained.contains("os error 27"),
        "{complained}"
    );
    assert!(!complained.contains("open here"), "{complained}");
    assert!(!root.join("studio.ron").exists());
    let check = run([Path::new("check"), &root]);
    assert!(check.status == 1 && check.complained.contains("is not a studio"), "{check:?}");
}

#[test]
fn every_order_of_the_demo_is_planned_or_says_why_not() {
    let (mut planned, mut kept) = (0, 0);
    for tag in tags() {
        let answer = run(["plan", demo().to_str().unwrap(), &tag, "--json"]);
        if answer.status != 0 {
            assert!(answer.complained.contains("has no stones on its sheet yet"), "{answer:?}");
            continue;
        }
        let json: Value = serde_json::from_str(&answer.said).unwrap();
        assert_eq!(json["order"], Value::from(tag.clone()));
        for stone in json["stones"].as_array().unwrap() {
            planned += 1;
            kept += usize::from(stone["kept"] == true);
            assert!(!stone["layers"].as_array().unwrap().is_empty(), "{tag}");
        }
    }
    assert!(planned > 10 && kept > 0, "{planned} {kept}");
}

#[test]
fn every_paper_that_is_due_in_the_demo_is_written_as_a_pdf() {
    let dir = tempfile::tempdir().unwrap();
    let mut early = 0;
    for tag in tags() {
        let out = dir.path().join(&tag);
        let answer = run(["papers", demo().to_str().unwrap(), &tag, "--out", out.to_str().unwrap()]);
        assert_eq!((answer.status, answer.complained.as_str()), (0, ""), "{answer:?}");
        assert_eq!(answer.said.lines().count(), PaperKind::ALL.len(), "{answer:?}");
        let not_yet = answer.said.lines().filter(|line| line.contains(": not yet: ")).count();
        assert_eq!(files(&out).len(), PaperKind::ALL.len() - not_yet, "{answer:?}");
        early += not_yet;
    }
    let pdfs = files(dir.path());
    assert!(pdfs.len() > 20 && early > 0, "{} {early}", pdfs.len());
    for pdf in pdfs {
        assert!(std::fs::read(&pdf).unwrap().starts_with(b"%PDF-"), "{}", pdf.display());
    }
}
