//! The list of orders, as CSV for a table program and as plain lines.

use craft::id::is_practice;
use craft::moment::Moment;
use craft::studio::{Held, Studio};

use crate::present::board;
use crate::present::list_words::HEADINGS;

/// One order, in the order of [`HEADINGS`].
fn row(studio: &Studio, held: &Held, now: Moment) -> [String; HEADINGS.len()] {
    let row = board::row_heard(studio, held, now, None);
    let quoted = held.quoted();
    let money =
        |amount: Option<craft::money::Money>| amount.map(|money| money.to_string()).unwrap_or_default();
    let day = |at: Option<craft::ledger::Happened>| at.map(|at| at.day().to_string()).unwrap_or_default();
    [
        row.tag.to_string(),
        row.name,
        row.client,
        row.stage_words.to_owned(),
        row.action,
        held.due().map(|due| due.to_string()).unwrap_or_default(),
        held.stones().iter().filter(|stone| !is_practice(stone.no)).count().to_string(),
        money(quoted.map(|(total, _)| total)),
        money(quoted.map(|(_, deposit)| deposit)),
        day(held.sent()),
        day(held.arrived()),
        held.entries().to_string(),
        held.record_seal().to_string(),
    ]
}

/// Every order as CSV after RFC 4180: one row each, lines ended by CR LF, every cell between quotation marks, a
/// quotation mark within one doubled.
///
/// A cell that a table program would take for a formula gets an apostrophe in front, as the OWASP page "CSV Injection"
/// advises; it names the signs `=`, `+`, `-`, `@`, tab, carriage return and line feed, and their full-width forms.
pub fn csv(studio: &Studio, now: Moment) -> String {
    let mut text = line(HEADINGS.iter().copied());
    for held in studio.orders().values() {
        text.push_str(&line(row(studio, held, now).iter().map(String::as_str)));
    }
    text
}

/// Every order as one line: tag, the remembered one, client, stage, what is next.
pub fn plain(studio: &Studio, now: Moment) -> Vec<String> {
    let line = |held: &Held| {
        let [tag, name, client, stage, next, ..] = row(studio, held, now);
        format!("{tag}  {name}  ({client})  {stage}: {next}")
    };
    studio.orders().values().map(line).collect()
}

fn line<'a>(cells: impl Iterator<Item = &'a str>) -> String {
    let cells: Vec<String> = cells.map(cell).collect();
    format!("{}\r\n", cells.join(","))
}

/// One cell, quoted, and harmless to a table program.
pub fn cell(text: &str) -> String {
    let begins =
        |sign: char| matches!(sign, '=' | '+' | '-' | '@' | '\t' | '\r' | '\n' | '＝' | '＋' | '－' | '＠');
    let guard = if text.starts_with(begins) { "'" } else { "" };
    format!("\"{guard}{}\"", text.replace('"', "\"\""))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::present::sample;

    /// Reads CSV as RFC 4180, section 2, describes it.
    fn read(text: &str) -> Vec<Vec<String>> {
        let (mut rows, mut row, mut cell, mut quoted) = (Vec::new(), Vec::new(), String::new(), false);
        let mut letters = text.chars().peekable();
        while let Some(letter) = letters.next() {
            match letter {
                '"' if quoted && letters.peek() == Some(&'"') => {
                    letters.next();
                    cell.push('"');
                }
                '"' => quoted = !quoted,
                ',' if !quoted => row.push(std::mem::take(&mut cell)),
                '\r' if !quoted => {
                    assert_eq!(letters.next(), Some('\n'), "a line ends with CR LF");
                    row.push(std::mem::take(&mut cell));
                    rows.push(std::mem::take(&mut row));
                }
                other => cell.push(other),
            }
        }
        assert!(!quoted && cell.is_empty() && row.is_empty());
        rows
    }

    #[test]
    fn every_order_is_a_row_with_a_cell_for_each_heading() {
        let (studio, tag) = sample::gone_home();
        let rows = read(&csv(&studio, sample::at(0)));
        assert_eq!(rows.len(), 1 + studio.orders().len());
        assert!(rows.iter().all(|row| row.len() == HEADINGS.len()), "{rows:?}");
        assert_eq!(rows[0], HEADINGS);
        assert_eq!((rows[1][0].clone(), rows[1][1].as_str()), (tag.to_string(), "Bramble"));
        assert_eq!(rows[1][12], studio.order(tag).unwrap().record_seal().to_string());
    }

    /// The signs are those of the OWASP page "CSV Injection".
    #[test]
    fn a_cell_that_would_be_a_formula_is_made_words() {
        for sign in ["=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠"] {
            let formula = format!("{sign}1+1");
            let cell = cell(&formula);
            assert!(cell.starts_with("\"'"), "{cell:?}");
            assert_eq!(cell, format!("\"'{formula}\""));
        }
        assert_eq!(cell("a \"b\", c"), "\"a \"\"b\"\", c\"");
        let tricky = ["=cmd|' /C calc'!A0", "a,b", "a\r\nb", "\"", ""];
        let back = read(&line(tricky.into_iter()));
        assert_eq!(back, [["'=cmd|' /C calc'!A0", "a,b", "a\r\nb", "\"", ""]]);
    }
}
