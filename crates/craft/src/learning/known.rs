//! What is known of a bottle under a lamp where either of them may be newer than what was seen.

use super::posterior::{Learned, learn};
use super::{Belief, Bench, LearningError, Newness, Note, Observation};
use crate::id::ShelfId;

/// What is known of one bottle under one lamp.
#[derive(Clone, Debug, PartialEq)]
pub struct Known {
    /// What was learned, with what was carried over.
    pub learned: Learned,
    /// What is new since some of it was seen, so that this counts for less; `None` where nothing was carried over.
    pub carried: Option<Newness>,
}

/// Joins what is believed with what was seen. What was seen of a bottle that was in use before this one was opened, or
/// under a lamp that was `changed` for this one, is learned from on its own, widened by what bottles or lamps differ by
/// ([`Belief::where_new`]), and then stands where the cautious guess would. `None` where nothing speaks of this bench.
///
/// # Errors
/// The first observation that cannot be.
pub fn know(
    prior: &Belief,
    seen: &[Observation],
    bench: &Bench,
    changed: &[ShelfId],
) -> Result<Option<Known>, LearningError> {
    let (before, own): (Vec<&Observation>, Vec<&Observation>) =
        seen.iter().partition(|observation| bench.is_of_earlier_bottle(observation));
    let all = |of: &[&Observation]| of.iter().map(|observation| (*observation).clone()).collect::<Vec<_>>();
    let (before, own) = (all(&before), all(&own));
    let carried = match carry(prior, (&before, Newness::Bottle), std::slice::from_ref(&bench.lamp), bench)? {
        Some(found) => Some(found),
        None => match carry(prior, (&own, Newness::Lamp), changed, bench)? {
            Some(found) => Some(found),
            None => carry(prior, (&before, Newness::Both), changed, bench)?,
        },
    };
    let Some((elsewhere, newness)) = carried else {
        let learned = learn(prior, &own, bench)?;
        // Where nothing counts there may still be something to know about it.
        let is_told = learned.newest.is_some() || learned.notes != [Note::NothingHere];
        return Ok(is_told.then_some(Known { learned, carried: None }));
    };
    let mut learned = learn(&elsewhere.belief.where_new(newness), &own, bench)?;
    learned.newest = learned.newest.or(elsewhere.newest);
    // A test of the bottle before is no test of this one, but it is this maker's own work.
    learned.practised |= elsewhere.practised || elsewhere.tested.is_some();
    learned.deepest = learned.deepest.or(elsewhere.deepest);
    Ok(Some(Known { learned, carried: Some(newness) }))
}

/// What was learned elsewhere under the lamp of `lamps` that was seen last.
fn carry(
    prior: &Belief,
    (seen, newness): (&[Observation], Newness),
    lamps: &[ShelfId],
    bench: &Bench,
) -> Result<Option<(Learned, Newness)>, LearningError> {
    let there =
        seen.iter().filter(|observation| lamps.contains(&observation.lamp) && observation.is_of_depth());
    let Some(last) = there.max_by_key(|observation| observation.on) else { return Ok(None) };
    // The bottle before was open while it was seen, and whether it was old by then nobody knows.
    let opened = if newness == Newness::Lamp { bench.opened } else { None };
    // Its hours are those of the lamp that is asked about.
    let lamp_lit = bench.lamp_lit.filter(|_| last.lamp == bench.lamp);
    let there = Bench { lamp: last.lamp.clone(), button: last.button, opened, lamp_lit, ..bench.clone() };
    let learned = learn(prior, seen, &there)?;
    Ok(learned.newest.is_some().then_some((learned, newness)))
}
