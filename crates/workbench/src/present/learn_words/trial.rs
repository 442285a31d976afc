//! What a test would say if it were kept: its warnings, its plot, and what it wins.

use chrono::NaiveDate;
use craft::cure::{Button, Light, PigmentClass};
use craft::id::ShelfId;
use craft::learning::{Known, Note, Observation, Seen, WedgePoint, notes_of_test, worth};
use craft::shelf::What;
use craft::studio::{Asked, Studio, Taught};
use craft::units::{Length, Load, Span};

use super::{any_pigment, explained, usual_pigment, worth_words};
use crate::present::plan_words::Explained;
use crate::present::words;

/// One patch on the plot.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PlotPoint {
    /// How long it was lit.
    pub seconds: f64,
    /// How thick it set.
    pub mm: f64,
    /// What that may be out by to either side, nineteen times in twenty.
    pub off_mm: f64,
}

/// One place of the line with its band.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PlotLine {
    /// How long it is lit.
    pub seconds: f64,
    /// How thick it sets, as is believed.
    pub mm: f64,
    /// The lower end, nineteen times in twenty.
    pub low_mm: f64,
    /// The upper end.
    pub high_mm: f64,
}

/// The plot of a test.
#[derive(Clone, Debug, PartialEq)]
pub struct Plot {
    /// The patches.
    pub points: Vec<PlotPoint>,
    /// The line, from few seconds to many.
    pub line: Vec<PlotLine>,
    /// The same for whoever does not see it.
    pub words: String,
}

/// What a test or a habit would say if it were kept.
#[derive(Clone, Debug, PartialEq)]
pub struct Trial {
    /// What to know about it, a sentence each.
    pub notes: Vec<String>,
    /// The plot; none where it is no test.
    pub plot: Option<Plot>,
    /// What a clear layer may be under its button now, and before.
    pub layer: String,
    /// What it wins on a standard stone.
    pub won: String,
    /// How all of that is worked out.
    pub explained: Vec<Explained>,
}

/// A band of nineteen times in twenty, in standard doubts.
pub(super) const BAND: f64 = 1.96;
/// So many steps along the line, which is bent nowhere.
const STEPS: u32 = 24;

/// What an observation would say of a bottle if it were kept; `seconds` are what the clock showed for each patch.
///
/// # Errors
/// Something is not on the shelf, or cannot have been seen.
pub fn trial(
    studio: &Studio,
    bottle: &ShelfId,
    (seen, seconds): (&Observation, &[Span]),
    today: NaiveDate,
) -> Result<Trial, String> {
    let of_test = seen.pigment.as_ref().map(|pigment| &pigment.item);
    let hides = |item: &ShelfId| matches!(studio.shelf().get(item).map(|item| &item.what), Some(What::Pigment(of)) if of.mix.class.hides());
    let pigment = of_test.filter(|item| hides(item)).or_else(|| usual_pigment(studio));
    let pigment = pigment.or_else(|| any_pigment(studio));
    let pigment = pigment.ok_or("there is no pigment on the shelf; add one, if only the clear")?;
    let ask = |pigment, also| {
        let (resin, lamp, body) = (bottle, &seen.lamp, seen.body);
        studio.taught(&Asked { resin, lamp, pigment, body, today, also }).map_err(|why| why.to_string())
    };
    let (before, after) = (ask(pigment, None)?, ask(pigment, Some(seen))?);
    let of_plot = match of_test {
        Some(item) if item != pigment => ask(item, Some(seen))?,
        _ => after.clone(),
    };
    let is_of_mix = of_test == Some(pigment);
    let button = studio.button(&seen.lamp, seen.button);
    let button = button.ok_or("choose the lamp and the button it was lit with")?;
    let mut notes = notes_words(seen, seconds, after.known.as_ref());
    notes.extend(covered_words(&after, seen));
    let won =
        worth((&before.cure, &before.lights), (&after.cure, &after.lights)).map_err(|why| why.to_string())?;
    let plot = plot(&of_plot, (seen, seconds), button);
    let lights: Vec<&Light> = light_of(&after, seen.button).into_iter().collect();
    let mut explained = vec![explained::depth(&after, &words::item_name(studio, &seen.lamp), &lights)];
    explained.extend(plot.as_ref().map(explained::band));
    explained.push(explained::won(&won, &words::item_name(studio, pigment)));
    explained.push(explained::full_light(std::iter::once(button)));
    Ok(Trial {
        notes,
        plot,
        explained,
        layer: layer_words((&before, &after), seen.button, button),
        won: match after.something_sets().and_then(|()| if is_of_mix { after.colour_sets() } else { Ok(()) })
        {
            Ok(()) => worth_words(&won, &words::item_name(studio, pigment), "without this"),
            Err(_) => "Kept, it makes plans wait until something sets in a newer test.".to_owned(),
        },
    })
}

/// A button of the lamp, as it is believed.
fn light_of(taught: &Taught, no: u8) -> Option<&Light> {
    taught.lights.get(usize::from(no).checked_sub(1)?)
}

/// The warnings of a test, each naming its patch, and what speaks against it among the outcomes.
fn notes_words(seen: &Observation, seconds: &[Span], known: Option<&Known>) -> Vec<String> {
    let mut all: Vec<String> =
        notes_of_test(seen).iter().map(|note| words::sentence(&note_words(note, seen, seconds))).collect();
    let against = known.into_iter().flat_map(|known| &known.learned.notes);
    let against = against.filter(|note| {
        let of_outcomes = |note: &Note| {
            matches!(note, Note::Contradicting { .. } | Note::ThinTacky { .. } | Note::AllTacky { .. })
        };
        match note {
            // Only what is in the test itself is of interest beside it.
            Note::InColour { pigment, note } => {
                seen.pigment.as_ref().is_some_and(|of| of.item == *pigment) && of_outcomes(note)
            }
            note => of_outcomes(note) || matches!(note, Note::OtherMould { .. }),
        }
    });
    all.extend(against.map(|note| words::sentence(&note.to_string())));
    all
}

/// A warning with the patch it is about, by the seconds that stood on the clock.
fn note_words(note: &Note, seen: &Observation, seconds: &[Span]) -> String {
    let Seen::Wedge { points } = &seen.seen else { return note.to_string() };
    let patch = |light: Span| {
        let place = points.iter().position(|point| point.light == light)?;
        seconds.get(place).map(|lit| format!("the patch of {}", words::span(*lit)))
    };
    match note {
        Note::BelowFirstSet { light, .. } => match patch(*light) {
            Some(patch) => format!("nothing set on {patch}; it only says that it takes longer"),
            None => note.to_string(),
        },
        Note::Outlier { light, depth, .. } => match patch(*light) {
            Some(patch) => format!(
                "{patch} with {} lies far off the others; measure it again, or leave it empty",
                words::length(*depth)
            ),
            None => note.to_string(),
        },
        Note::DeadLamp { .. } => {
            "nothing set on any patch; light one more for as long as the longest button of the lamp, or try the lamp \
             with another resin: the lamp may be dead or of the wrong colour"
                .to_owned()
        }
        Note::TooFew { steps: 1, .. } => {
            "one patch says little; measure four".to_owned()
        }
        Note::TooFew { steps, .. } => format!("{steps} patches say little; measure at least four"),
        other => other.to_string(),
    }
}

/// Where layers could be thicker but for what was tested.
fn covered_words(after: &Taught, seen: &Observation) -> Option<String> {
    let deepest = after.known.as_ref()?.learned.deepest?;
    let light = after.lights.get(usize::from(seen.button).saturating_sub(1))?;
    let (sure, covered) = (after.cure.thickest_sure(Load::ZERO, light)?, after.thickest_clear(light)?);
    (seen.is_wedge() && sure > covered + Length::from_micro(100_000)).then(|| {
        format!(
            "Layers are planned no thicker than {}, since no patch set thicker than {}; light one patch longer to reach \
             deeper.",
            words::length(covered),
            words::length(deepest)
        )
    })
}

/// "Under 60 s a clear layer up to 2.3 mm is sure to set through; without this it was 1.9 mm."
fn layer_words((before, after): (&Taught, &Taught), no: u8, button: &Button) -> String {
    let thickest = |taught: &Taught| {
        let light = taught.lights.get(usize::from(no).saturating_sub(1))?;
        taught.thickest_clear(light)
    };
    let name = button.name();
    match (thickest(before), thickest(after)) {
        (_, None) => format!("Under {name} no clear layer is sure to set through."),
        (None, Some(now)) => {
            format!("Under {name} a clear layer up to {} is sure to set through.", words::length(now))
        }
        (Some(was), Some(now)) if was == now => {
            format!(
                "Under {name} a clear layer up to {} is sure to set through, as without this.",
                words::length(now)
            )
        }
        (Some(was), Some(now)) => format!(
            "Under {name} a clear layer up to {} is sure to set through; without this it was {}.",
            words::length(now),
            words::length(was)
        ),
    }
}

fn plot(taught: &Taught, (seen, seconds): (&Observation, &[Span]), button: &Button) -> Option<Plot> {
    let Seen::Wedge { points } = &seen.seen else { return None };
    let points: Vec<PlotPoint> =
        points.iter().zip(seconds).map(|(point, lit)| plot_point(point, *lit)).collect();
    let least = seconds.iter().map(|lit| lit.s()).fold(f64::INFINITY, f64::min);
    let most = seconds.iter().map(|lit| lit.s()).fold(0.0, f64::max);
    if !(least > 0.0 && most >= least) {
        return None;
    }
    // Where nothing set there is no depth to draw a line or a band of.
    let set =
        points.iter().filter(|point| point.mm > 0.0).map(|point| point.seconds).fold(f64::INFINITY, f64::min);
    let unset = points.iter().filter(|point| point.mm <= 0.0 && point.seconds < set);
    let unset = unset.map(|point| point.seconds).fold(0.0, f64::max);
    if !set.is_finite() {
        return Some(Plot { line: Vec::new(), words: plot_words(&points), points });
    }
    let from = if unset > 0.0 { (unset * set).sqrt() } else { least / 1.4 };
    let to = most * 1.4;
    let along = |step: u32| from * (to / from).powf(f64::from(step) / f64::from(STEPS));
    let line = (0..=STEPS).filter_map(|step| line_at(taught, seen, button, along(step))).collect();
    let words = plot_words(&points);
    Some(Plot { points, line, words })
}

fn plot_point(point: &WedgePoint, lit: Span) -> PlotPoint {
    let depth = point.depth;
    PlotPoint { seconds: lit.s(), mm: depth.value.mm(), off_mm: BAND * depth.doubt.mm() }
}

fn line_at(taught: &Taught, seen: &Observation, button: &Button, seconds: f64) -> Option<PlotLine> {
    let light = button.equivalent_over(Span::from_s(seconds));
    let load = seen.pigment.as_ref().map_or(Load::ZERO, |pigment| pigment.load);
    if !light.is_positive() {
        return None;
    }
    let cure = &taught.cure;
    let is_clear = load == Load::ZERO || cure.mix.class == PigmentClass::Clear;
    let (per_mm, doubt) = if is_clear {
        (0.0, 0.0)
    } else {
        (cure.mix.absorption.get() * load.percent(), cure.doubts.pigment.get())
    };
    let own = cure.own.filter(|_| !is_clear).map(craft::cure::Factor::get);
    let (mm, off) = taught.clear.depth(light, (per_mm, doubt), own);
    let up = |mm: f64| mm.max(0.0);
    Some(PlotLine { seconds, mm: up(mm), low_mm: up(mm - BAND * off), high_mm: up(mm + BAND * off) })
}

/// "Plot of 5 patches: 3 s set nothing, 6 s 1.1 mm."
fn plot_words(points: &[PlotPoint]) -> String {
    let each = points.iter().map(|point| {
        let set =
            if point.mm > 0.0 { words::length(Length::from_mm(point.mm)) } else { "nothing".to_owned() };
        format!("{} of light, {set}", words::span(Span::from_s(point.seconds)))
    });
    format!("{}: {}", words::count(points.len(), "patch", "patches"), each.collect::<Vec<_>>().join("; "))
}
