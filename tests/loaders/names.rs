//! Everything that stands in a file, on a label or on the command line as one short text.

use std::fmt::{Debug, Display};
use std::str::FromStr;

use craft::density::Density;
use craft::digest::Digest;
use craft::id::{ClientId, ShelfId, StudioId, Thing};
use craft::moment::BootId;
use craft::money::bill::Quantity;
use craft::money::{Currency, Money, Rate};
use craft::place::Cell;
use craft::tag::Tag;
use craft::text::{Line, Text};
use craft::units::{Length, Load, Mass, Span};
use store::history::Earlier;
use store::name::{DocKind, DocPath, check_name};
use store::photos::PhotoName;

use super::{Law, holds, says_something};

fn one<T>(text: &str) -> Law
where
    T: FromStr<Err: Display> + Display + PartialEq + Debug,
{
    match text.parse::<T>() {
        Err(why) => says_something(&why.to_string()),
        Ok(read) => {
            let back = read.to_string().parse::<T>();
            let same = back.as_ref().is_ok_and(|back| *back == read);
            holds(same, || format!("{text:?} is {read:?}, written \"{read}\"; back: {:?}", back.ok()))
        }
    }
}

/// Tags, ids, things, quantities, digests, words, file names.
pub(super) fn names(bytes: &[u8]) -> Law {
    let text = &*String::from_utf8_lossy(bytes);
    one::<Tag>(text)?;
    one::<Thing>(text)?;
    one::<Cell>(text)?;
    one::<StudioId>(text)?;
    one::<ClientId>(text)?;
    one::<ShelfId>(text)?;
    one::<Digest>(text)?;
    one::<BootId>(text)?;
    one::<Length>(text)?;
    one::<Mass>(text)?;
    one::<Span>(text)?;
    one::<Load>(text)?;
    one::<Density>(text)?;
    one::<Currency>(text)?;
    one::<Money>(text)?;
    one::<Rate>(text)?;
    one::<Quantity>(text)?;
    one::<Line>(text)?;
    one::<Text>(text)?;
    one::<PhotoName>(text)?;
    files(text)
}

fn files(text: &str) -> Law {
    if let Err(why) = check_name(text) {
        says_something(&why.to_string())?;
    }
    if let Ok(path) = DocPath::parse(text) {
        let (kind, file) = (path.kind(), path.to_string());
        let back = DocPath::parse(&file);
        holds(back.as_ref() == Ok(&path), || format!("{text:?} is {path:?}, and back {back:?}"))?;
        let leads_out = file.contains("..") || file.starts_with('/') || file.strip_suffix(".ron").is_none();
        holds(!leads_out, || format!("{text:?} leads to {file}"))?;
        holds(DocKind::ALL.contains(&kind), || format!("{kind:?}"))?;
    }
    if let Some(earlier) = Earlier::from_file_name(text) {
        holds(earlier.file_name() == text, || format!("{text:?} is {earlier:?}"))?;
        says_something(&earlier.written())?;
    }
    Ok(())
}
