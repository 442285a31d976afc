//! What to know about what was learned: typed facts, for the page to word.

use std::cmp::Reverse;
use std::collections::BTreeMap;
use std::fmt;

use chrono::NaiveDate;

use super::observation::{Bench, Observation, Seen, WedgePoint};
use super::{Belief, WedgeFit};
use crate::chance::student_quantile;
use crate::fact::Hardness;
use crate::id::ShelfId;
use crate::shelf::Body;
use crate::units::{Length, Load, Span};

/// Something to know about what was learned.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Note {
    /// Nothing speaks of this bottle under this lamp; what is planned with is what was believed before.
    NothingHere,
    /// A wedge with too few steps to tell scatter from slope.
    TooFew {
        /// The day of the test.
        on: NaiveDate,
        /// Steps that set.
        steps: usize,
    },
    /// A step was lit for less than first sets the resin; it counts as a bound.
    BelowFirstSet {
        /// The day of the test.
        on: NaiveDate,
        /// Its light.
        light: Span,
    },
    /// A step far off the line of all the others.
    Outlier {
        /// The day of the test.
        on: NaiveDate,
        /// Its light.
        light: Span,
        /// How thick it set.
        depth: Length,
    },
    /// A wedge scatters much more than its steps' stated doubt; the scatter counts.
    Scattered {
        /// The day of the test.
        on: NaiveDate,
        /// How far the steps lie about the line.
        scatter: Length,
    },
    /// A layer is thicker than anything that was measured.
    BeyondTested {
        /// The deepest step.
        deepest: Length,
        /// The layer.
        thickness: Length,
    },
    /// Every layer came out tacky, none hard.
    AllTacky {
        /// How many.
        layers: usize,
    },
    /// One layer came out hard and another, no thicker and lit as long or longer, and better off in one of the two, did not
    /// set.
    Contradicting {
        /// The hard one: its day and thickness.
        hard: (NaiveDate, Length),
        /// The other: its day, thickness and how it felt.
        other: (NaiveDate, Length, Hardness),
    },
    /// One layer came out hard, and another, no thicker and lit as long or longer, stuck: the air may have kept its face wet,
    /// or it has not set.
    ThinTacky {
        /// The hard one: its day and thickness.
        hard: (NaiveDate, Length),
        /// The one that stuck.
        tacky: (NaiveDate, Length),
    },
    /// Something to know of the layers of one pigment.
    InColour {
        /// The pigment.
        pigment: ShelfId,
        /// What.
        note: Box<Note>,
    },
    /// Nothing sets, whatever the light: a dead lamp, the wrong one for the resin, or spoilt resin.
    DeadLamp {
        /// The most light that set nothing.
        light: Span,
    },
    /// Most steps of the newest test set much less than all that was known before says.
    Dim {
        /// The day of the test.
        on: NaiveDate,
    },
    /// Some of it was seen in a mould that lets light in, and is no proof for an opaque one.
    OtherMould {
        /// How many layers, and habits of layers, do not count.
        layers: usize,
        /// How many tests do not count.
        tests: usize,
        /// Whether a test in an opaque one is there.
        is_tested: bool,
    },
    /// All that is known is old, so the doubt has widened again.
    Aged {
        /// The newest day.
        newest: NaiveDate,
    },
}

impl fmt::Display for Note {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NothingHere => f.write_str(
                "nothing is known yet of this bottle under this lamp; a test of ten minutes says most",
            ),
            Self::TooFew { steps: 1, .. } => {
                f.write_str("one step says little; light at least four, say 5, 15, 40 and 100 s")
            }
            Self::TooFew { steps, .. } => {
                write!(f, "{steps} steps say little; light at least four, say 5, 15, 40 and 100 s")
            }
            Self::BelowFirstSet { light, .. } => {
                write!(f, "nothing set in {light}; that step only says that it takes longer")
            }
            Self::Outlier { light, depth, .. } => write!(
                f,
                "the step of {light} with {depth} lies far off the others; measure it again, or leave it out"
            ),
            Self::Scattered { scatter, .. } => write!(
                f,
                "the steps lie {scatter} about their line, more than the ruler explains; look whether each lay in the middle of the lamp"
            ),
            Self::BeyondTested { deepest, thickness } => write!(
                f,
                "a layer of {thickness} is thicker than the deepest step of {deepest}; lay it thinner, or test that deep"
            ),
            Self::AllTacky { layers } => write!(
                f,
                "all {layers} layers came out tacky; light longer or lay thinner, and wipe one to see whether it is only the top"
            ),
            Self::Contradicting { hard, other } => {
                let felt = other.2;
                write!(
                    f,
                    "{} came out hard and {} {felt} with no less light; look which of the two was noted for the wrong layer",
                    hard.1, other.1
                )
            }
            Self::ThinTacky { hard, tacky } => write!(
                f,
                "{} came out hard and {} tacky with no less light; wipe the thin one: if it is firm below, only the air kept \
                 its face wet, and if not, write it down as soft",
                hard.1, tacky.1
            ),
            Self::InColour { note, .. } => write!(f, "among the coloured layers, {note}"),
            Self::DeadLamp { light } => write!(
                f,
                "nothing set in up to {light}; try the lamp with another resin: the lamp may be dead or of the wrong colour"
            ),
            Self::Dim { .. } => f.write_str(
                "the steps of the newest test set much less than all that was known before says, so plans go by them; clean \
                 the lamp or change its bulb, look how old the bottle is, and test again",
            ),
            Self::OtherMould { layers, tests, is_tested } => other_mould(f, (*layers, *tests), *is_tested),
            Self::Aged { newest } => write!(
                f,
                "the newest thing known is of {newest}; bottle and lamp have changed since, so a new test is worth its ten minutes"
            ),
        }
    }
}

/// "35 layers came out firm in a clear or white mould; they do not count for a dark one".
fn other_mould(f: &mut fmt::Formatter<'_>, (layers, tests): (usize, usize), is_tested: bool) -> fmt::Result {
    let count = |many: usize, noun: &str| match many {
        1 => format!("one {noun}"),
        many => format!("{many} {noun}s"),
    };
    let (layers_counted, tests_counted) = (count(layers, "layer"), count(tests, "test"));
    let done = match (layers, tests) {
        (_, 0) => format!("{layers_counted} came out firm"),
        (0, 1) => format!("{tests_counted} was made"),
        (0, _) => format!("{tests_counted} were made"),
        _ => format!("{tests_counted} and {layers_counted} were made"),
    };
    let count = if layers + tests == 1 { "it does not count" } else { "they do not count" };
    write!(f, "{done} in a clear or white mould; {count} for a dark one")?;
    if is_tested { Ok(()) } else { f.write_str(", so test in a dark one too") }
}

/// Beyond so many times the deepest step a layer is not covered by the test: the light that is left down there is of
/// another colour (common practice, no source).
pub(super) const BEYOND: f64 = 1.2;
/// Older than this the newest thing known is called old.
const OLD_DAYS: i64 = 365;
/// One step in two hundred may look strange by chance.
const STRANGE: f64 = 0.9975;

/// What is to be known of `seen` at `bench`.
pub(super) fn notes(seen: &[Observation], bench: &Bench, belief: &Belief) -> Vec<Note> {
    let speaking = speaking(seen, bench);
    let mut notes =
        if speaking.is_empty() { vec![Note::NothingHere] } else { of_clear(&speaking, bench, belief) };
    notes.extend(dim_test(seen, bench, belief).map(|(on, _)| Note::Dim { on }));
    notes.extend(of_colours(seen, bench));
    notes
}

/// What is to be known of what was seen of clear resin.
fn of_clear(speaking: &[&Observation], bench: &Bench, belief: &Belief) -> Vec<Note> {
    let mut notes = Vec::new();
    let counting: Vec<&Observation> = speaking.iter().copied().filter(|seen| bench.counts(seen)).collect();
    for observation in speaking {
        let place = counting.iter().position(|seen| std::ptr::eq(*seen, *observation));
        let lives = place.is_some_and(|place| has_set_since(&counting, place));
        let of_test = notes_of_test(observation).into_iter();
        notes.extend(of_test.filter(|note| !(lives && matches!(note, Note::DeadLamp { .. }))));
    }
    let layers = layers_of(speaking);
    of_outcomes(&layers, &mut notes);
    of_all_soft(&layers, belief, &mut notes);
    let is_lit_from_aside = |o: &&&Observation| o.body == Body::LetsLightIn && bench.body == Body::Opaque;
    let left_out = || speaking.iter().filter(is_lit_from_aside).filter(|o| !o.is_unset());
    let tests = left_out().filter(|o| o.is_wedge()).count();
    let layers = left_out().count() - tests;
    if layers + tests > 0 {
        let is_tested = speaking.iter().any(|o| o.is_wedge() && o.body == Body::Opaque);
        notes.push(Note::OtherMould { layers, tests, is_tested });
    }
    if let Some(newest) = speaking.iter().map(|o| o.on).max()
        && (bench.today - newest).num_days() > OLD_DAYS
    {
        notes.push(Note::Aged { newest });
    }
    notes
}

/// What is to be known of the layers of each pigment among themselves, in the order of the pigments.
fn of_colours(seen: &[Observation], bench: &Bench) -> Vec<Note> {
    let mut colours: BTreeMap<&ShelfId, Vec<&Observation>> = BTreeMap::new();
    for observation in seen.iter().filter(|o| bench.doubt_of(o).is_some()) {
        if let Some(pigment) = &observation.pigment {
            colours.entry(&pigment.item).or_default().push(observation);
        }
    }
    let of_one = |(pigment, seen): (&ShelfId, Vec<&Observation>)| {
        let mut notes = Vec::new();
        of_outcomes(&layers_of(&seen), &mut notes);
        let named = |note| Note::InColour { pigment: pigment.clone(), note: Box::new(note) };
        notes.into_iter().map(named).collect::<Vec<_>>()
    };
    colours.into_iter().flat_map(of_one).collect()
}

/// What is to be known of one test by itself, whatever was in the resin; nothing where it is no wedge.
pub fn notes_of_test(seen: &Observation) -> Vec<Note> {
    let mut notes = Vec::new();
    if let Seen::Wedge { points } = &seen.seen {
        let plain: Vec<(Span, Length, Length)> =
            points.iter().map(|point| (point.light, point.depth.value, point.depth.doubt)).collect();
        of_wedge(seen.on, &plain, &mut notes);
    }
    notes
}

/// What says something of the clear resin at this bench.
fn speaking<'a>(seen: &'a [Observation], bench: &Bench) -> Vec<&'a Observation> {
    seen.iter().filter(|o| o.pigment.is_none() && bench.doubt_of(o).is_some()).collect()
}

/// The same without what is no proof here: what set in a mould that lets light in takes nothing back of an opaque one.
fn counting<'a>(seen: &'a [Observation], bench: &Bench) -> Vec<&'a Observation> {
    speaking(seen, bench).into_iter().filter(|seen| bench.counts(seen)).collect()
}

/// The most light of a test in which nothing set, where nothing was seen to set since.
pub(super) fn dead(seen: &[Observation], bench: &Bench) -> Option<Span> {
    longest_dead(&dead_tests(&counting(seen, bench))).map(|(light, _)| light)
}

/// The most light of each test of some in which nothing set, and its load, where no mix as strong was seen to set since.
pub(super) fn dead_tests(counting: &[&Observation]) -> Vec<(Span, Load)> {
    let dead = counting
        .iter()
        .enumerate()
        .filter(|(place, seen)| seen.is_dead_test() && !has_set_since(counting, *place));
    let lights = dead.filter_map(|(_, of)| match &of.seen {
        Seen::Wedge { points } => Some((points.iter().map(|point| point.light).max()?, of.load())),
        _ => None,
    });
    lights.collect()
}

/// The one of them that was lit longest, the palest of several.
pub(super) fn longest_dead(dead: &[(Span, Load)]) -> Option<(Span, Load)> {
    dead.iter().copied().max_by_key(|(light, load)| (*light, Reverse(*load)))
}

/// Further than this many of a reading's doubts from what is believed, and than a fifth of it, a step is too shallow.
const TOO_SHALLOW: (f64, f64) = (3.0, 0.2);

/// The day of the newest test in which something set, and those of its steps that set much less than `belief` says, each
/// with its light; `None` unless most of those that set are such, and two at least: a slip puts out a step, and not most of
/// a test. Likely as it may be that such a test is one slip after the other, nothing is planned against it.
pub(super) fn dim_test(
    seen: &[Observation],
    bench: &Bench,
    belief: &Belief,
) -> Option<(NaiveDate, Vec<(Length, Span)>)> {
    let set = |seen: &Observation| -> Vec<WedgePoint> {
        let Seen::Wedge { points } = &seen.seen else { return Vec::new() };
        points.iter().filter(|point| point.depth.value.is_positive()).copied().collect()
    };
    let of_set = counting(seen, bench).into_iter().filter(|seen| !set(seen).is_empty());
    let newest = of_set.max_by_key(|seen| seen.on)?;
    let set = set(newest);
    let is_shallow = |point: &&WedgePoint| {
        let (believed_mm, _) = belief.depth(point.light, (0.0, 0.0), None);
        let (doubts, share) = TOO_SHALLOW;
        let least_mm = (doubts * point.depth.doubt.mm()).max(share * believed_mm);
        believed_mm - point.depth.value.mm() > least_mm
    };
    let shallow: Vec<(Length, Span)> =
        set.iter().filter(is_shallow).map(|point| (point.depth.value, point.light)).collect();
    (shallow.len() > 1 && 2 * shallow.len() > set.len()).then_some((newest.on, shallow))
}

/// Layers that stayed soft.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Soft {
    /// How many.
    pub layers: usize,
    /// The most light that one of them had.
    pub light: Span,
}

/// The clear layers that stayed soft since the last day on which anything set, each with its thickness and light; none where
/// there are not two of them, for one word rules nothing.
pub(super) fn soft_in_a_row(seen: &[Observation], bench: &Bench) -> Vec<(Length, Span)> {
    let speaking = counting(seen, bench);
    let last = speaking.iter().filter(|seen| !seen.is_unset()).map(|seen| seen.on).max();
    let since = speaking.iter().filter(|seen| last.is_none_or(|last| seen.on > last));
    let soft = since.filter_map(|seen| match seen.seen {
        Seen::Felt { thickness, light, hardness: Hardness::Soft } => Some((thickness, light)),
        _ => None,
    });
    let soft: Vec<(Length, Span)> = soft.collect();
    if soft.len() > 1 { soft } else { Vec::new() }
}

/// Whether anything as strong in colour set since the observation at `place`: on a later day, or on the same in a test or
/// habit that was written down after it. A layer that was felt that day says nothing of the hour.
fn has_set_since(speaking: &[&Observation], place: usize) -> bool {
    let Some(of) = speaking.get(place) else { return false };
    speaking.iter().enumerate().any(|(other, seen)| {
        let (has_set, is_felt) = match &seen.seen {
            Seen::Wedge { points } => (points.iter().any(|point| point.depth.value.is_positive()), false),
            Seen::Felt { hardness, .. } => (*hardness != Hardness::Soft, true),
            Seen::Works { .. } => (true, false),
            Seen::Warmed { .. } => (false, false),
        };
        has_set
            && seen.load() >= of.load()
            && (seen.on > of.on || (seen.on == of.on && other > place && !is_felt))
    })
}

/// Two steps of a test in which more light set less, on the whole: their places, the longer light first. Of the pairs of
/// steps that clearly differ most are the wrong way round, and no single step is to blame: without any one of them the
/// others are so too, or say nothing. `None` for any other test, and for what is no wedge.
pub fn reversed(seen: &Observation) -> Option<(usize, usize)> {
    let Seen::Wedge { points } = &seen.seen else { return None };
    let all: Vec<usize> = (0..points.len()).collect();
    let pairs = clear_pairs(points, &all);
    let are_wrong = |pairs: &[(f64, (usize, usize))]| {
        2 * pairs.iter().filter(|(apart_mm, _)| *apart_mm < 0.0).count() > pairs.len()
    };
    let still = |left_out: &usize| {
        let others: Vec<usize> = all.iter().copied().filter(|place| place != left_out).collect();
        let pairs = clear_pairs(points, &others);
        pairs.is_empty() || are_wrong(&pairs)
    };
    let worst = pairs.iter().min_by(|one, other| one.0.total_cmp(&other.0))?;
    (are_wrong(&pairs) && all.iter().all(still)).then_some(worst.1)
}

/// The pairs among these steps that clearly differ: one lit half as long again, and deeper or shallower by more than twice
/// what is in doubt of both. How much deeper in mm, and their places, the longer light first.
fn clear_pairs(points: &[WedgePoint], places: &[usize]) -> Vec<(f64, (usize, usize))> {
    let pairs = places.iter().flat_map(|long| places.iter().map(move |short| (*long, *short)));
    let clear = pairs.filter_map(|(long, short)| {
        let (longer, shorter) = (points.get(long)?, points.get(short)?);
        let apart_mm = longer.depth.value.mm() - shorter.depth.value.mm();
        let doubt_mm = longer.depth.doubt.mm().hypot(shorter.depth.doubt.mm());
        let is_clear = longer.light.s() >= 1.5 * shorter.light.s() && apart_mm.abs() > 2.0 * doubt_mm;
        is_clear.then_some((apart_mm, (long, short)))
    });
    clear.collect()
}

fn of_wedge(on: NaiveDate, points: &[(Span, Length, Length)], notes: &mut Vec<Note>) {
    let set: Vec<(Span, Length)> =
        points.iter().filter(|point| point.1.is_positive()).map(|point| (point.0, point.1)).collect();
    if set.is_empty() {
        if let Some(light) = points.iter().map(|point| point.0).max() {
            notes.push(Note::DeadLamp { light });
        }
        return;
    }
    let none = points.iter().filter(|point| !point.1.is_positive());
    notes.extend(none.map(|point| Note::BelowFirstSet { on, light: point.0 }));
    let fit = WedgeFit::through(&set);
    if set.len() < 4 {
        notes.push(Note::TooFew { on, steps: set.len() });
    }
    let Ok(fit) = fit else { return };
    let limit = student_quantile(STRANGE, set.len() as f64 - 3.0);
    let strange = fit.strangeness(&set);
    let stated_sq = points.iter().map(|point| point.2.mm().powi(2)).sum::<f64>() / points.len() as f64;
    // Steps that are nearer to their line than they could be measured are not strange, however straight the others lie.
    let measured = |light: Span, depth: Length| (depth.mm() - fit.depth_mm(light)).powi(2) < 4.0 * stated_sq;
    let odd =
        set.iter().zip(&strange).filter(|(point, off)| off.abs() > limit && !measured(point.0, point.1));
    notes.extend(odd.map(|((light, depth), _)| Note::Outlier { on, light: *light, depth: *depth }));
    if let Some(scatter_mm) = fit.scatter_mm
        && scatter_mm * scatter_mm > 4.0 * stated_sq
    {
        notes.push(Note::Scattered { on, scatter: Length::from_mm(scatter_mm) });
    }
}

/// One layer that was felt.
struct Layer {
    on: NaiveDate,
    thickness: Length,
    load: Load,
    light: Span,
    hardness: Hardness,
}

impl Layer {
    /// As well off as another in thickness, colour and light, and better in one of them: equal layers may well differ by what
    /// nobody can tell.
    fn is_better_off(&self, other: &Layer) -> bool {
        let depth = |layer: &Layer| (layer.thickness, layer.load);
        let (own, others) = (depth(self), depth(other));
        own.0 <= others.0
            && own.1 <= others.1
            && self.light >= other.light
            && (own, self.light) != (others, other.light)
    }
}

fn layers_of(speaking: &[&Observation]) -> Vec<Layer> {
    let layer = |o: &&Observation| match o.seen {
        Seen::Felt { thickness, light, hardness } => {
            Some(Layer { on: o.on, thickness, load: o.load(), light, hardness })
        }
        Seen::Works { thickness, light, .. } => {
            Some(Layer { on: o.on, thickness, load: o.load(), light, hardness: Hardness::Hard })
        }
        Seen::Wedge { .. } | Seen::Warmed { .. } => None,
    };
    speaking.iter().filter_map(layer).collect()
}

/// Whether more than one layer was felt, and all of them so.
fn are_all(layers: &[Layer], wanted: Hardness) -> bool {
    layers.len() > 1 && layers.iter().all(|layer| layer.hardness == wanted)
}

fn of_outcomes(layers: &[Layer], notes: &mut Vec<Note>) {
    if are_all(layers, Hardness::Tacky) {
        notes.push(Note::AllTacky { layers: layers.len() });
    }
    let hard = || layers.iter().filter(|layer| layer.hardness == Hardness::Hard);
    // The first hard layer against which one speaks that came out otherwise though it was better off.
    let against = |felt: Hardness| {
        let others = || layers.iter().filter(move |layer| layer.hardness == felt);
        hard().find_map(|hard| Some((hard, others().find(|other| other.is_better_off(hard))?)))
    };
    if let Some((hard, other)) = against(Hardness::Soft) {
        notes.push(Note::Contradicting {
            hard: (hard.on, hard.thickness),
            other: (other.on, other.thickness, other.hardness),
        });
    } else if let Some((hard, tacky)) = against(Hardness::Tacky) {
        // Tack is the air's doing, but a finger may also have taken for tack what had not set.
        notes.push(Note::ThinTacky { hard: (hard.on, hard.thickness), tacky: (tacky.on, tacky.thickness) });
    }
}

/// Soft where even the cautious guess gives three times what sets it: that is no longer a matter of seconds.
fn of_all_soft(layers: &[Layer], belief: &Belief, notes: &mut Vec<Note>) {
    let plenty = |layer: &Layer| Belief::TYPICAL.log_ratio(layer.thickness, layer.light).0 > 3.0_f64.ln();
    if are_all(layers, Hardness::Soft) && layers.iter().any(plenty) && belief.first_set_doubt() > 0.0 {
        notes.extend(layers.iter().map(|layer| layer.light).max().map(|light| Note::DeadLamp { light }));
    }
}
