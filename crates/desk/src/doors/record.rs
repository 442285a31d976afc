//! `heldfast record DIR TAG`: records facts from standard input, one a line.
//!
//! For a scanner beside the lamp, or a script. Each line is one fact as it stands in the order's file, and is answered
//! by one line: `saved N` once entry N is on the disk; `not yet: …` where the fact was refused and nothing is recorded;
//! or `recorded as N, not on the disk: …` where it was accepted and could not be saved, not on a second try either.
//! The last one must not be sent again; nothing more is read after it. A told fact begins with its day:
//! `2026-01-31 Client(Answered)`.

use std::io::{BufRead, Write};
use std::path::Path;
use std::sync::Arc;

use anyhow::{Context as _, Result, bail};
use chrono::NaiveDate;
use craft::fact::Fact;
use craft::studio::{Edit, OrderEdit};
use craft::tag::Tag;
use ron::error::SpannedError;
use workbench::action::Action;
use workbench::clock::{Clock as _, SystemClock};
use workbench::session::{Session, Unsettled};

use super::read_tag;

pub(crate) fn run(dir: &Path, tag: &str, input: impl BufRead, out: &mut dyn Write) -> Result<bool> {
    let tag = read_tag(tag)?;
    let clock = Arc::new(SystemClock::new());
    let mut session = Session::open(dir, clock.clone())
        .with_context(|| format!("the studio in {} cannot be opened", dir.display()))?;
    if let Some(why) = session.bench.view(clock.now()).read_only {
        bail!("{why}");
    }
    session.bench.view(clock.now()).studio.order(tag)?;
    let mut well = true;
    for line in input.lines() {
        let line = line?;
        if line.trim().is_empty() {
            continue;
        }
        let recorded = match read_fact(&line) {
            Ok(edit) => record(&mut session, Action::Edit(Edit::Order(tag, edit))),
            Err(why) => Err(Unsettled::Refused(why)),
        };
        let number = entries(&session, tag, &clock);
        match &recorded {
            Ok(()) => writeln!(out, "saved {number}")?,
            Err(Unsettled::Unsaved(why)) => writeln!(out, "recorded as {number}, not on the disk: {why}")?,
            Err(Unsettled::Refused(why) | Unsettled::Failed(why)) => writeln!(out, "not yet: {why}")?,
        }
        out.flush()?;
        well &= recorded.is_ok();
        if matches!(recorded, Err(Unsettled::Unsaved(_))) {
            break;
        }
    }
    match session.close() {
        Ok(()) => Ok(well),
        // It was said line by line.
        Err(_) if !well => Ok(false),
        Err(whys) => bail!("{}", whys.join("; ")),
    }
}

/// Records a fact, and tries a save that failed once more: the fact is in the record already, so only saving it may be
/// repeated.
fn record(session: &mut Session, action: Action) -> Result<(), Unsettled> {
    match session.act_and_settle(action) {
        Err(Unsettled::Unsaved(_)) => session.act_and_settle(Action::SaveAgain).map(drop),
        settled => settled.map(drop),
    }
}

fn entries(session: &Session, tag: Tag, clock: &SystemClock) -> u32 {
    let view = session.bench.view(clock.now());
    view.studio.order(tag).map_or(0, |held| held.order.log.len())
}

/// Reads one fact, told or not.
fn read_fact(line: &str) -> Result<OrderEdit, String> {
    let told = line.split_once(' ').and_then(|(day, rest)| Some((day.parse::<NaiveDate>().ok()?, rest)));
    let text = told.map_or(line, |(_, rest)| rest);
    let fact: Fact =
        ron::from_str(text).map_err(|why| format!("this is not a fact: {}", not_a_fact(text, &why)))?;
    Ok(match told {
        Some((day, _)) => OrderEdit::Told(day, fact),
        None => OrderEdit::Fact(fact),
    })
}

/// How much of a line is shown from where it cannot be read any more.
const SHOWN: usize = 24;

/// Why a line is not a fact, in words of the record and not of the reader.
fn not_a_fact(text: &str, why: &SpannedError) -> String {
    let one_of = |known: &[&str]| match known {
        [] => String::new(),
        known => format!("; what may stand there is {}", known.join(", ")),
    };
    match &why.code {
        // What our own values say of themselves says what would be right.
        ron::Error::Message(words) => words.clone(),
        ron::Error::NoSuchEnumVariant { expected, found, .. } => {
            format!("there is no \"{found}\"{}", one_of(expected))
        }
        ron::Error::NoSuchStructField { expected, found, .. } => {
            format!("there is no part \"{found}\"{}", one_of(expected))
        }
        ron::Error::MissingStructField { field, .. } => format!("its part \"{field}\" is missing"),
        _ => {
            let at = why.span.start.col;
            let rest: String = text.chars().skip(at.saturating_sub(1)).take(SHOWN).collect();
            let where_to = if rest.is_empty() {
                "it breaks off".to_owned()
            } else {
                format!("it cannot be read from \"{}\" on", rest.trim())
            };
            format!("{where_to}; write it as it stands in the order's file, such as Client(Answered)")
        }
    }
}
