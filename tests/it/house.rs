//! The house keeps its own rules: arrows, licences, no network, file lengths, words that may not stand in the tree.
//! Every rule is a function from plain data to a list of faults, so that each can be shown a broken house too.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::LazyLock;

use serde_json::Value;

/// Which crates of ours each crate may rest on.
const ARROWS: [(&str, &[&str]); 6] = [
    ("craft", &[]),
    ("store", &["craft"]),
    ("papers", &["craft"]),
    ("workbench", &["craft", "store", "papers"]),
    ("desk", &["craft", "store", "papers", "workbench"]),
    ("heldfast-tests", &["craft", "store", "papers", "workbench", "desk"]),
];
/// Crates that open a window; only the desk may reach them.
const WINDOWS: [&str; 7] = ["egui", "eframe", "egui-winit", "winit", "wgpu", "glow", "rfd"];
/// The longest a source file may be, in lines.
const LONGEST: usize = 800;
/// The most test binaries: each one that links the document engine is large.
const MOST_BINARIES: usize = 8;

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR")).parent().expect("the tests lie in a folder of the tree")
}

/// What cargo says of the tree, on this computer's platform. It is asked without the network first; only a tree
/// whose packages were never all fetched needs a second, open question.
static METADATA: LazyLock<Value> = LazyLock::new(|| {
    let host = Command::new("rustc").arg("-vV").output().expect("rustc says which platform this is");
    let host = String::from_utf8(host.stdout).unwrap();
    let host = host.lines().find_map(|line| line.strip_prefix("host: ")).expect("a line with the platform");
    let ask = |extra: &[&str]| {
        let mut cargo = Command::new(env!("CARGO"));
        cargo.current_dir(root()).args(["metadata", "--locked", "--format-version", "1"]);
        cargo.args(["--filter-platform", host]).args(extra).output().expect("cargo runs")
    };
    let offline = ask(&["--offline"]);
    let answer = if offline.status.success() { offline } else { ask(&[]) };
    assert!(answer.status.success(), "{}", String::from_utf8_lossy(&answer.stderr));
    serde_json::from_slice(&answer.stdout).unwrap()
});

fn text<'a>(value: &'a Value, key: &str) -> &'a str {
    value[key].as_str().unwrap_or_else(|| panic!("{key} is a text in {value}"))
}

fn list<'a>(value: &'a Value, key: &str) -> &'a [Value] {
    value[key].as_array().unwrap_or_else(|| panic!("{key} is a list"))
}

fn package(id: &str) -> &'static Value {
    list(&METADATA, "packages").iter().find(|package| text(package, "id") == id).expect("a known package")
}

fn members() -> impl Iterator<Item = &'static Value> {
    list(&METADATA, "workspace_members").iter().map(|id| package(id.as_str().unwrap()))
}

/// The ids each package rests on; those for its own tests only where `for_tests`.
fn rests_on(id: &str, for_tests: bool) -> Vec<&'static str> {
    let nodes = list(&METADATA["resolve"], "nodes");
    let node = nodes.iter().find(|node| text(node, "id") == id).expect("a resolved package");
    let counts = |dep: &&Value| for_tests || list(dep, "dep_kinds").iter().any(|kind| kind["kind"].is_null());
    list(node, "deps").iter().filter(counts).map(|dep| text(dep, "pkg")).collect()
}

/// The names of everything a package rests on when it runs, however far down.
fn all_below(id: &'static str) -> BTreeSet<String> {
    let (mut seen, mut open) = (BTreeSet::new(), vec![id]);
    while let Some(id) = open.pop() {
        if seen.insert(id) {
            open.extend(rests_on(id, false));
        }
    }
    seen.iter().map(|id| text(package(id), "name").to_owned()).collect()
}

/// The quoted words of the list `key = [ … ]` in a TOML text.
fn toml_list(toml: &str, key: &str) -> BTreeSet<String> {
    let (_, rest) = toml.split_once(&format!("\n{key} = [")).expect("the list is there");
    let (inside, _) = rest.split_once(']').expect("the list ends");
    inside.split('"').skip(1).step_by(2).map(str::to_owned).collect()
}

fn deny_list(key: &str) -> BTreeSet<String> {
    let toml = std::fs::read_to_string(root().join("deny.toml")).unwrap();
    let words = toml_list(&toml, key);
    assert!(words.len() > 10, "{key} was read: {words:?}");
    words
}

/// Every file of the tree that is text, with its path below the root.
fn tree() -> Vec<(PathBuf, String)> {
    let mut files = Vec::new();
    let mut open = vec![root().to_owned()];
    while let Some(dir) = open.pop() {
        for entry in std::fs::read_dir(&dir).unwrap() {
            let path = entry.unwrap().path();
            let below = path.strip_prefix(root()).unwrap().to_owned();
            if [".git", "target", "demo/studio"].iter().any(|skip| below == Path::new(skip)) {
                continue;
            }
            let kind = std::fs::symlink_metadata(&path).unwrap().file_type();
            if kind.is_dir() {
                open.push(path);
            } else if kind.is_file()
                && let Ok(text) = String::from_utf8(std::fs::read(&path).unwrap())
            {
                files.push((below, text));
            }
        }
    }
    assert!(files.len() > 50, "the tree was walked");
    files.sort();
    files
}

fn is_rust(path: &Path) -> bool {
    path.extension().is_some_and(|end| end == "rs")
}

// Arrows.

fn wrong_arrows(rests: &BTreeMap<String, BTreeSet<String>>) -> Vec<String> {
    let ours: BTreeSet<&str> = ARROWS.iter().map(|(name, _)| *name).collect();
    let mut faults = Vec::new();
    for (name, below) in rests {
        let Some((_, may)) = ARROWS.iter().find(|(known, _)| known == name) else {
            faults.push(format!("{name} has no place in the house"));
            continue;
        };
        let wrong = below.iter().filter(|b| ours.contains(b.as_str()) && !may.contains(&b.as_str()));
        faults.extend(wrong.map(|below| format!("{name} rests on {below}")));
    }
    faults
}

#[test]
fn the_arrows_between_the_crates_point_downward() {
    let mut rests = BTreeMap::new();
    for member in members() {
        let below = rests_on(text(member, "id"), true);
        let names = below.into_iter().map(|id| text(package(id), "name").to_owned()).collect();
        rests.insert(text(member, "name").to_owned(), names);
    }
    assert_eq!(rests.len(), ARROWS.len(), "every crate is there");
    assert_eq!(wrong_arrows(&rests), [""; 0]);
    // Three broken houses.
    for (name, below) in [("craft", "store"), ("papers", "store"), ("workbench", "desk")] {
        let broken = [(name.to_owned(), [below.to_owned()].into())].into();
        assert_eq!(wrong_arrows(&broken), [format!("{name} rests on {below}")]);
    }
}

#[test]
fn only_the_desk_can_open_a_window() {
    for member in members().filter(|member| text(member, "name") != "desk") {
        let below = all_below(text(member, "id"));
        let name = text(member, "name");
        assert!(below.contains(name) && below.contains("serde"), "{name} was followed down");
        let windows: Vec<_> = WINDOWS.iter().filter(|window| below.contains(**window)).collect();
        assert!(windows.is_empty(), "{name} reaches {windows:?}");
    }
}

#[test]
fn no_crate_is_asked_for_in_two_versions() {
    let mut versions: BTreeMap<&str, BTreeSet<&str>> = BTreeMap::new();
    for member in members() {
        for id in rests_on(text(member, "id"), true) {
            versions.entry(text(package(id), "name")).or_default().insert(text(package(id), "version"));
        }
    }
    assert!(versions.contains_key("serde"), "direct dependencies were read");
    let twice: Vec<_> = versions.iter().filter(|(_, versions)| versions.len() > 1).collect();
    assert!(twice.is_empty(), "{twice:?}");
}

#[test]
fn there_are_at_most_eight_test_binaries() {
    let tests = |member: &Value| list(member, "targets").iter().filter(|t| t["test"] == true).count();
    let binaries: usize = members().map(tests).sum();
    assert!((1..=MOST_BINARIES).contains(&binaries), "{binaries} test binaries");
}

// Licences. SPDX Specification 2.3, annex D: expressions of ids with AND, OR, WITH and brackets; AND binds tighter
// than OR. A slash is the old way of writing OR.

/// True where the expression can be met with allowed licences alone; `None` where it cannot be read.
fn allowed(expression: &str, allow: &BTreeSet<String>) -> Option<bool> {
    let spaced = expression.replace('(', " ( ").replace(')', " ) ").replace('/', " OR ");
    let mut words: Vec<&str> = spaced.split_whitespace().rev().collect();
    let answer = any_of(&mut words, allow)?;
    words.is_empty().then_some(answer)
}

fn any_of(words: &mut Vec<&str>, allow: &BTreeSet<String>) -> Option<bool> {
    let mut answer = all_of(words, allow)?;
    while words.last() == Some(&"OR") {
        words.pop();
        answer |= all_of(words, allow)?;
    }
    Some(answer)
}

fn all_of(words: &mut Vec<&str>, allow: &BTreeSet<String>) -> Option<bool> {
    let mut answer = one(words, allow)?;
    while words.last() == Some(&"AND") {
        words.pop();
        answer &= one(words, allow)?;
    }
    Some(answer)
}

fn one(words: &mut Vec<&str>, allow: &BTreeSet<String>) -> Option<bool> {
    match words.pop()? {
        "(" => {
            let answer = any_of(words, allow)?;
            (words.pop()? == ")").then_some(answer)
        }
        ")" | "AND" | "OR" | "WITH" => None,
        id if words.last() == Some(&"WITH") => {
            words.pop();
            Some(allow.contains(&format!("{id} WITH {}", words.pop()?)))
        }
        id => Some(allow.contains(id)),
    }
}

#[test]
fn every_dependency_is_under_a_licence_that_is_allowed() {
    let allow = deny_list("allow");
    let packages = list(&METADATA, "packages");
    let mut faults = Vec::new();
    for package in packages {
        let licence = package["license"].as_str().unwrap_or("none named");
        if allowed(licence, &allow) != Some(true) {
            faults.push(format!("{}: {licence}", text(package, "name")));
        }
    }
    assert!(packages.len() > 100, "the dependencies were read");
    assert_eq!(faults, [""; 0]);
}

#[test]
fn a_licence_that_is_not_allowed_is_caught_in_any_expression() {
    let allow = deny_list("allow");
    for right in
        ["MIT", "MIT/Apache-2.0", "GPL-3.0-only OR MIT", "(MIT OR GPL-2.0-only) AND Zlib", "(((ISC)))"]
    {
        assert_eq!(allowed(right, &allow), Some(true), "{right}");
    }
    for wrong in [
        "GPL-3.0-only",
        "MIT AND GPL-3.0-only",
        "(MIT OR Apache-2.0) AND SSPL-1.0",
        "AGPL-3.0-only OR GPL-3.0-only WITH Classpath-exception-2.0",
        // AND binds tighter: read the other way round this would pass.
        "GPL-3.0-only OR MIT AND SSPL-1.0",
        "GPL-2.0-only WITH LLVM-exception",
        "none named",
        "",
        "MIT OR",
        "(MIT",
        "MIT)",
    ] {
        assert_ne!(allowed(wrong, &allow), Some(true), "{wrong}");
    }
}

#[test]
fn every_typeface_has_its_licence_beside_it() {
    let mut open = vec![root().join("crates"), root().join("assets")];
    let mut fonts = 0;
    while let Some(dir) = open.pop() {
        let Ok(entries) = std::fs::read_dir(&dir) else { continue };
        let paths: Vec<PathBuf> = entries.map(|entry| entry.unwrap().path()).collect();
        open.extend(paths.iter().filter(|path| path.is_dir()).cloned());
        let is_font = |path: &&PathBuf| path.extension().is_some_and(|end| end == "ttf" || end == "otf");
        for font in paths.iter().filter(is_font) {
            let name = font.file_name().unwrap().to_string_lossy();
            let family = name.split('-').next().unwrap();
            let is_licence = |path: &PathBuf| {
                let name = path.file_name().unwrap().to_string_lossy();
                name.starts_with(family) && name.contains("OFL")
            };
            assert!(paths.iter().any(is_licence), "{} has no licence text beside it", font.display());
            fonts += 1;
        }
    }
    assert!(fonts > 0, "the typefaces were found");
}

// No network.

fn locked_names(lock: &str) -> BTreeSet<&str> {
    lock.lines().filter_map(|line| line.strip_prefix("name = \"")?.strip_suffix('"')).collect()
}

#[test]
fn nothing_in_the_tree_speaks_to_a_network() {
    // The lock holds every platform, so this looks further than what is built here.
    let lock = std::fs::read_to_string(root().join("Cargo.lock")).unwrap();
    let names = locked_names(&lock);
    assert!(names.contains("craft") && names.contains("serde"), "the lock was read");
    let banned = deny_list("deny");
    let speaking: Vec<_> = names.iter().filter(|name| banned.contains(**name)).collect();
    assert!(speaking.is_empty(), "{speaking:?}");
    let broken = format!("{lock}\n[[package]]\nname = \"reqwest\"\nversion = \"0.1.0\"\n");
    assert!(locked_names(&broken).iter().any(|name| banned.contains(*name)), "a broken lock is caught");

    let sockets = [concat!("std::", "net"), concat!("Tcp", "Stream"), concat!("Udp", "Socket")];
    for (path, text) in tree().iter().filter(|(path, _)| is_rust(path)) {
        let found: Vec<_> = sockets.iter().filter(|word| text.contains(**word)).collect();
        assert!(found.is_empty(), "{}: {found:?}", path.display());
    }
}

#[test]
fn every_dependency_comes_from_the_one_registry() {
    let lock = std::fs::read_to_string(root().join("Cargo.lock")).unwrap();
    let sources: BTreeSet<&str> = lock.lines().filter_map(|line| line.strip_prefix("source = ")).collect();
    assert_eq!(sources.len(), 1, "{sources:?}");
    assert!(sources.iter().all(|source| source.starts_with("\"registry+")), "{sources:?}");
}

// The words and lengths of the tree. Each word is written in two halves, so that this file is not its own fault.

fn forbidden_words() -> [&'static str; 8] {
    [
        concat!("/wo", "rk/"),
        concat!("/ro", "ot/"),
        concat!("/ho", "me/runner"),
        concat!("sha", "red/"),
        concat!("the br", "ief"),
        concat!("crates", ".io"),
        concat!("py", "pi.org"),
        concat!("npmjs", ".com"),
    ]
}

fn words_in(text: &str, words: &[&'static str]) -> Vec<&'static str> {
    let text = text.to_lowercase();
    words.iter().copied().filter(|word| text.contains(*word)).collect()
}

#[test]
fn no_file_names_a_machine_or_where_it_was_written() {
    let words = forbidden_words();
    let lock = std::ffi::OsStr::new("Cargo.lock");
    let faults: Vec<_> = tree()
        .iter()
        // A lock has to name the registry.
        .filter(|(path, _)| path.file_name() != Some(lock))
        .flat_map(|(path, text)| {
            words_in(text, &words).into_iter().map(|word| format!("{}: {word}", path.display()))
        })
        .collect();
    assert_eq!(faults, [""; 0]);
    assert_eq!(words_in(&format!("see {}x", words[0]), &words), [words[0]], "a broken file is caught");
}

#[test]
fn no_test_is_skipped_and_none_waits_by_the_clock() {
    let words = [concat!("#[ig", "nore"), concat!("thread::", "sleep")];
    let faults: Vec<_> = tree()
        .iter()
        .filter(|(path, _)| is_rust(path))
        .flat_map(|(path, text)| {
            words_in(text, &words).into_iter().map(|word| format!("{}: {word}", path.display()))
        })
        .collect();
    assert_eq!(faults, [""; 0]);
    assert_eq!(words_in(&format!("{} = \"slow\"]", words[0]), &words), [words[0]], "a broken test is caught");
}

/// The facts of material in the hand; the window makes them of one order at a time, by `workbench::handling`.
const BY_HAND: [&str; 5] = [
    concat!("CustodyFact::", "Opened"),
    concat!("CustodyFact::", "SplitOff"),
    concat!("CustodyFact::", "Moved"),
    concat!("CustodyFact::", "Closed"),
    concat!("HomeFact::", "Ticked"),
];

/// Which of these facts a source text writes by itself.
fn handled_bare(text: &str) -> Vec<&'static str> {
    BY_HAND.into_iter().filter(|fact| text.contains(fact)).collect()
}

#[test]
fn the_window_names_material_only_within_a_hand() {
    let window = Path::new("crates/desk/src");
    let files: Vec<_> =
        tree().into_iter().filter(|(path, _)| path.starts_with(window) && is_rust(path)).collect();
    assert!(files.len() > 50, "the window was read");
    let bare: Vec<_> = files.iter().filter(|(_, text)| !handled_bare(text).is_empty()).collect();
    assert!(bare.is_empty(), "{:?}", bare.iter().map(|(path, _)| path).collect::<Vec<_>>());
    let broken = format!("cx.fact({} {{ from, lot, to, part }})", BY_HAND[2]);
    assert_eq!(handled_bare(&broken), [BY_HAND[2]], "a page that writes it by itself is caught");
}

fn too_long(text: &str) -> bool {
    text.lines().count() > LONGEST
}

#[test]
fn no_source_file_is_longer_than_can_be_read_at_one_sitting() {
    let long: Vec<_> = tree().into_iter().filter(|(path, text)| is_rust(path) && too_long(text)).collect();
    assert!(long.is_empty(), "{:?}", long.iter().map(|(path, _)| path).collect::<Vec<_>>());
    assert!(too_long(&"\n".repeat(LONGEST + 1)) && !too_long(&"\n".repeat(LONGEST)));
}

/// True where a crate's first words say what it is and what it never does.
fn says_never(text: &str) -> bool {
    let opening = text.lines().take_while(|line| line.starts_with("//!"));
    opening.collect::<Vec<_>>().join(" ").contains("never") && text.starts_with("//! ")
}

#[test]
fn every_crate_says_first_what_it_never_does() {
    for name in ["craft", "store", "papers", "workbench"] {
        let text = std::fs::read_to_string(root().join(format!("crates/{name}/src/lib.rs"))).unwrap();
        assert!(says_never(&text.replace("**", "")), "crates/{name}/src/lib.rs");
    }
    assert!(!says_never("//! A crate.\n\n// It never lies.\n"), "a silent crate is caught");
}

/// The example blocks of the README that show nothing.
fn empty_examples(readme: &str) -> Vec<&str> {
    let blocks = readme.split("<!-- example: ").skip(1);
    let empty = blocks.filter(|block| {
        let shown = block.split("```").nth(1).unwrap_or_default();
        !shown.starts_with("text\n$ heldfast ") || shown.lines().count() < 3
    });
    empty.filter_map(|block| block.split(' ').next()).collect()
}

#[test]
fn the_readme_shows_every_door_as_it_answered() {
    let readme = std::fs::read_to_string(root().join("README.md")).unwrap();
    assert_eq!(readme.matches("<!-- example: ").count(), 5, "five doors");
    assert_eq!(empty_examples(&readme), [""; 0], "run .ci/examples");
    let broken = "<!-- example: demo -->\n```text\n```\n<!-- example: check -->\n```text\n$ heldfast check d\nall is well\n```\n";
    assert_eq!(empty_examples(broken), ["demo"]);
}

/// The paths of our own that a page names between backticks.
fn named_paths(page: &str) -> Vec<&str> {
    let ours = ["crates/", "tests/", "docs/", ".ci/"];
    let quoted = page.split('`').skip(1).step_by(2);
    quoted
        .filter(|word| ours.iter().any(|top| word.starts_with(top)) && !word.contains(char::is_whitespace))
        .collect()
}

#[test]
fn no_page_names_a_file_that_is_not_there() {
    let mut named = 0;
    for (path, page) in tree().iter().filter(|(path, _)| path.extension().is_some_and(|end| end == "md")) {
        // Fenced blocks are taken out first, so that backticks pair up.
        let plain: String = page.split("```").step_by(2).collect();
        for name in named_paths(&plain) {
            assert!(root().join(name).exists(), "{} names {name}", path.display());
            named += 1;
        }
    }
    assert!(named > 10, "the pages were read");
    assert_eq!(named_paths("see `crates/none/x.rs` and `cargo test`"), ["crates/none/x.rs"]);
}
