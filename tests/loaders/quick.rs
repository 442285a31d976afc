//! Running orders brought in from one row of a form, and enquiries from a name.

use craft::fact::Material;
use craft::stage::Stage;
use craft::studio::{Edit, Studio};
use workbench::quick::{self, KeptBack, Row, Wrong};

use super::documents::{moment, studio_with_a_shelf};
use super::{Law, holds, says_something};

const MATERIALS: [Option<Material>; 4] =
    [None, Some(Material::Hair), Some(Material::Ashes), Some(Material::Milk)];

/// The first letters choose, by their number, what is picked from lists; each line after them is a field.
pub(super) fn quick(bytes: &[u8]) -> Law {
    let [stage, material, rest @ ..] = bytes else { return Ok(()) };
    let text = String::from_utf8_lossy(rest);
    let mut lines = text.lines().map(str::to_owned);
    let mut line = || lines.next().unwrap_or_default();
    let studio = studio_with_a_shelf();
    let row = Row {
        client: line(),
        known: None,
        name: line(),
        material: MATERIALS.get(usize::from(*material) % 4).copied().flatten(),
        stage: Stage::ALL.get(usize::from(*stage) % 9).copied().unwrap_or(Stage::Asked),
        due: line(),
        since: line(),
        tag: line(),
        keep_back: line(),
        kept_back: if material & 4 == 0 { KeptBack::PutAway } else { KeptBack::NotYet },
        place: line(),
        stones: line(),
        chosen: line(),
        mould: line().parse().ok(),
        pigment: line().parse().ok(),
        in_each: line(),
    };
    let now = moment(0);
    let wrong = quick::check(&studio, &row, now);
    says_what_is_wrong(&wrong)?;
    let edits = quick::edits(&studio, &row, now);
    holds(wrong.is_empty() || edits.is_err(), || format!("{wrong:?} is wrong, and it is brought in"))?;
    taken(&studio, edits)?;
    taken(&studio, quick::new_order(&studio, &row.name, &row.client, now))?;
    let known = quick::known_clients(&studio, &row.client, 5);
    holds(known.is_empty(), || format!("nobody is known, and {known:?} is found"))
}

fn says_what_is_wrong(wrong: &Wrong) -> Law {
    wrong.iter().try_for_each(|(_, why)| says_something(why))
}

/// What a row became is taken by the door, one edit after the other.
fn taken(studio: &Studio, edits: Result<Vec<Edit>, Wrong>) -> Law {
    let edits = match edits {
        Ok(edits) => edits,
        Err(wrong) => {
            holds(!wrong.is_empty(), || "it is refused, and nothing is wrong".to_owned())?;
            return says_what_is_wrong(&wrong);
        }
    };
    let mut after = studio.clone();
    for edit in edits {
        let words = format!("{edit:?}");
        after.apply(edit, moment(0)).map_err(|why| format!("{words} is not taken: {why}"))?;
    }
    Ok(())
}
