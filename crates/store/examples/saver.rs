//! Saves one order again and again and says `saved N` after each: with every step of a durable save, or with one left
//! out, so that a check of power cuts can show that it notices.
//!
//! `saver whole|no-sync|no-dir-sync|in-place FOLDER` goes on until it is stopped, or with `asked` behind it saves once for
//! each line of its input and rests in between; `saver look FOLDER` gives the number that is found, once what a crash left
//! was swept.
#![expect(clippy::print_stdout, reason = "its answers are its output")]

use std::error::Error;
use std::fs::{self, File};
use std::io::Write as _;
use std::path::Path;
use std::sync::Arc;

use serde::{Deserialize, Serialize};
use store::folder::{Loaded, StudioFolder};
use store::format;
use store::name::{DocKind, DocPath};
use store::save::SaveOutcome;
use store::vfs::DiskVfs;

/// About as long as an order, so that it takes more than one block of the disk.
#[derive(Debug, PartialEq, Serialize, Deserialize)]
struct Page {
    number: u64,
    lines: Vec<String>,
}

impl Page {
    fn new(number: u64) -> Self {
        Self { number, lines: (0..60).map(|line| format!("{number} {line} {}", "x".repeat(180))).collect() }
    }
}

fn main() -> Result<(), Box<dyn Error>> {
    let mut arguments = std::env::args().skip(1);
    let (how, root) = arguments.next().zip(arguments.next()).ok_or("say how, and name a folder")?;
    let asked = arguments.next().as_deref() == Some("asked");
    let (root, path) = (Path::new(&root), DocPath::order("A2B-C3H")?);
    if how == "look" {
        return look(root, &path);
    }
    let folder = StudioFolder::create(root, Arc::new(DiskVfs), &Page::new(0))?;
    let (mut out, mut asks) = (std::io::stdout().lock(), std::io::stdin().lines());
    for number in 1_u64.. {
        if asked && asks.next().transpose()?.is_none() {
            break;
        }
        let page = Page::new(number);
        if how == "whole" {
            match folder.save(&path, &page) {
                SaveOutcome::Saved(_) => {}
                other => return Err(format!("{other:?}").into()),
            }
        } else {
            careless(&how, root, &format::encode(DocKind::Order, &page)?)?;
        }
        writeln!(out, "saved {number}")?;
        out.flush()?;
    }
    Ok(())
}

/// The broken variants.
fn careless(how: &str, root: &Path, bytes: &[u8]) -> Result<(), Box<dyn Error>> {
    let orders = root.join("orders");
    let to = orders.join("a2b-c3h.ron");
    match how {
        "no-sync" => {
            let temp = orders.join(".a2b-c3h.ron.abcdefghij12.tmp");
            fs::write(&temp, bytes)?;
            fs::rename(temp, to)?;
            Ok(File::open(orders)?.sync_all()?)
        }
        "no-dir-sync" => {
            let temp = orders.join(".a2b-c3h.ron.abcdefghij12.tmp");
            let mut file = File::create(&temp)?;
            file.write_all(bytes)?;
            file.sync_all()?;
            Ok(fs::rename(temp, to)?)
        }
        // As it is mostly done; on ext4 a sync after it would hide from these cuts that it is not whole in between.
        "in-place" => Ok(fs::write(to, bytes)?),
        _ => Err(format!("there is no way \"{how}\"").into()),
    }
}

fn look(root: &Path, path: &DocPath) -> Result<(), Box<dyn Error>> {
    let folder = StudioFolder::open(root, Arc::new(DiskVfs))?;
    match folder.load::<Page>(path)? {
        Loaded::Whole(page) if page == Page::new(page.number) => println!("{}", page.number),
        Loaded::Absent => println!("0"),
        Loaded::Whole(page) => return Err(format!("a mixture: {}", page.number).into()),
        other => return Err(format!("{other:?}").into()),
    }
    match folder.troubles().first() {
        None => Ok(()),
        Some(trouble) => Err(trouble.to_string().into()),
    }
}
