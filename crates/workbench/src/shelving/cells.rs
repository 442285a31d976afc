//! The cavities of a tray, as they are typed.

use craft::place::Cell;

use crate::typed::quoted;

/// The most cavities one tray is believed to have.
const MOST: usize = 200;

/// Marks with commas or spaces between them, and runs of them: "A1, A2, B1", "A1–A6", "A1–C3" for three rows of three.
pub(super) fn cells(text: &str) -> Result<Vec<Cell>, String> {
    let text = text.to_uppercase().replace(['\u{2013}', '\u{2014}', '\u{2212}'], "-");
    let text = text.replace(" - ", "-").replace(" TO ", "-");
    let mut cells = Vec::new();
    for piece in text.split([',', ';', ' ', '\n']).filter(|piece| !piece.is_empty()) {
        match piece.split_once('-') {
            None => cells.push(piece.parse()?),
            Some((from, to)) => run(&mut cells, from, to, piece)?,
        }
        if cells.len() > MOST {
            return Err(format!("that is more than {MOST} cavities; look for a slip"));
        }
    }
    Ok(cells)
}

/// A letter and its number: the place of a mark in rows.
fn parts(mark: &str) -> Option<(u8, u32)> {
    let mut letters = mark.chars();
    let letter = letters.next().filter(char::is_ascii_uppercase)?;
    let number = letters.as_str();
    let plain = (1..=3).contains(&number.len()) && number.bytes().all(|byte| byte.is_ascii_digit());
    plain.then(|| number.parse().ok()).flatten().map(|number| (u8::try_from(letter).unwrap_or(b'A'), number))
}

fn run(cells: &mut Vec<Cell>, from: &str, to: &str, piece: &str) -> Result<(), String> {
    let ends = parts(from).zip(parts(to)).filter(|(from, to)| from.0 <= to.0 && from.1 <= to.1);
    let Some(((first_row, first), (last_row, last))) = ends else {
        return Err(format!("{} is not a run of cavities; write it like A1–A6 or A1–C3", quoted(piece)));
    };
    for row in first_row..=last_row {
        for no in first..=last {
            if cells.len() > MOST {
                return Ok(());
            }
            cells.push(format!("{}{no}", char::from(row)).parse()?);
        }
    }
    Ok(())
}
