//! What a maker saw of a bottle, as it is written down: a wedge test step by step, what works anyway, how warm a layer
//! got. It is kept with its day and only ever added to; what was written down by mistake can be taken out again while the page is open.

use chrono::NaiveDate;
use craft::cure::Button;
use craft::heat::{Feel, HeatSeen};
use craft::id::ShelfId;
use craft::learning::{Observation, PigmentLoad, Seen, WedgePoint, doubling, reversed};
use craft::reading::{Means, Reading};
use craft::shelf::{Body, Bottle, Item, Lamp, Mould, What};
use craft::studio::Studio;
use craft::units::{Length, Load, Span, Temperature};

use super::choices::changed;
use super::number::{number_micro, whole_within};
use crate::present::words;
use crate::typed::{self, Typed, quoted};

/// What a patch is measured with.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Gauge {
    /// A caliper.
    #[default]
    Caliper,
    /// A ruler.
    Ruler,
}

impl Gauge {
    /// All of them.
    pub const ALL: [Gauge; 2] = [Gauge::Caliper, Gauge::Ruler];

    /// What a soft thin patch may be out by with it, as a standard doubt (common practice, no source).
    pub const fn doubt(self) -> Length {
        match self {
            Gauge::Caliper => Length::from_micro(50_000),
            Gauge::Ruler => Length::from_micro(250_000),
        }
    }

    const fn means(self) -> Means {
        match self {
            Gauge::Caliper => Means::Caliper,
            Gauge::Ruler => Means::ByEye,
        }
    }
}

/// What something was seen with.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct With {
    /// The lamp.
    pub lamp: ShelfId,
    /// Which of its buttons, from 1.
    pub button: u8,
    /// What the mould or tray does with light.
    pub body: Body,
    /// The pigment; none where it was clear.
    pub pigment: Option<ShelfId>,
    /// What patches are measured with.
    pub gauge: Gauge,
}

/// What was typed of a wedge test.
#[derive(Clone, Copy, Debug)]
pub struct WedgeTyped<'a> {
    /// How much pigment; it is not read where there is none.
    pub load: &'a str,
    /// The day; today where it is empty.
    pub day: &'a str,
    /// For each patch how long it was lit and how thick it set.
    pub patches: &'a [(String, String)],
}

/// What was typed of a habit.
#[derive(Clone, Copy, Debug)]
pub struct HabitTyped<'a> {
    /// How much pigment; it is not read where there is none.
    pub load: &'a str,
    /// The day; today where it is empty.
    pub day: &'a str,
    /// How thick a layer.
    pub thickness: &'a str,
    /// How often it came out hard.
    pub times: &'a str,
}

/// How the warmth of a layer is told.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Told {
    /// By the finger, the eye or the nose.
    Felt(Feel),
    /// By a thermometer, in words of its own.
    Read,
}

/// What was typed of a layer's warmth.
#[derive(Clone, Copy, Debug)]
pub struct WarmthTyped<'a> {
    /// How much pigment; it is not read where there is none.
    pub load: &'a str,
    /// The day; today where it is empty.
    pub day: &'a str,
    /// How thick the layer.
    pub thickness: &'a str,
    /// How warm the room; a usual room where it is empty.
    pub room: &'a str,
    /// How it is told; none until it was chosen.
    pub told: Option<Told>,
    /// What the thermometer showed; it is not read where the layer was felt.
    pub read: &'a str,
}

/// A room where nobody says how warm it was (common practice, no source).
pub const ROOM: Temperature = Temperature::from_micro(22_000_000);

/// How long a patch was lit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Lit {
    /// As the clock showed it.
    pub seconds: Span,
    /// What that is worth in seconds of full light.
    pub light: Span,
}

/// The fewest patches of a test, and the most: each takes its time under the lamp (common practice, no source).
pub const PATCHES: std::ops::RangeInclusive<usize> = 4..=6;
/// The full light of the first patch in clear resin and in coloured: a little more than first sets it (common practice,
/// no source).
const FIRST: (Span, Span) = (Span::from_micro(3_000_000), Span::from_micro(6_000_000));
/// No drop is higher than this (common practice, no source).
const HIGHEST_DROP: Length = Length::from_micro(15_000_000);
/// The longest a patch is lit.
const LONGEST: Span = Span::from_micro(3_600_000_000);

/// What a test begins with: the lamp, button and tray of what was seen last of this bottle, else the first on the shelf.
/// None where there is no lamp.
pub fn usual(studio: &Studio, bottle: &Bottle) -> Option<With> {
    let used = |lamp: &ShelfId| studio.shelf().get(lamp).is_some_and(|item| !item.retired);
    if let Some(last) = bottle.observations.iter().rev().find(|seen| used(&seen.lamp)) {
        let (lamp, button, body) = (last.lamp.clone(), last.button, last.body);
        return Some(With { lamp, button, body, pigment: None, gauge: Gauge::default() });
    }
    let in_use = || studio.shelf().iter().filter(|(_, item)| !item.retired);
    let body = in_use().find_map(|(_, item)| match &item.what {
        What::Mould(Mould { body, .. }) => Some(*body),
        _ => None,
    });
    let body = body.unwrap_or(Body::LetsLightIn);
    let (lamp, button) = in_use().find_map(|(id, item)| match &item.what {
        What::Lamp(lamp) => Some((id, at_once(lamp))),
        _ => None,
    })?;
    Some(With { lamp: lamp.clone(), button, body, pigment: None, gauge: Gauge::default() })
}

/// The first button that is at full light at once, which makes a test the easiest to time.
fn at_once(lamp: &Lamp) -> u8 {
    let place = lamp.buttons.iter().position(|button| !button.ramp().is_positive()).unwrap_or(0);
    u8::try_from(place + 1).unwrap_or(1)
}

/// The lamp button that something is seen with.
pub fn button_of<'a>(studio: &'a Studio, with: &With) -> Option<&'a Button> {
    studio.button(&with.lamp, with.button)
}

/// For how long each patch is lit, as it would be typed: each about twice as long as the one before.
pub fn suggested(button: &Button, coloured: bool, patches: usize) -> Vec<String> {
    let first = if coloured { FIRST.1 } else { FIRST.0 };
    let patches = u8::try_from(patches).unwrap_or(u8::MAX);
    doubling(button, first, patches).into_iter().map(|lit| lit.to_string()).collect()
}

/// How long a patch was lit: a time, or whole presses of the button ("2 presses").
///
/// # Errors
/// What is wrong with the text, and what would be right.
pub fn lit(button: &Button, text: &str) -> Result<Typed<Lit>, String> {
    let plain = text.trim().to_lowercase();
    let presses = ["presses", "press"].iter().find_map(|tail| plain.strip_suffix(tail));
    let (seconds, echo) = if let Some(count) = presses {
        let presses = whole_within(count, "a number of presses", 1, 60)?;
        let seconds = Span::from_micro(button.total().micro().saturating_mul(i64::from(presses)));
        (seconds, format!("{} of {}", count_presses(i64::from(presses)), button.name()))
    } else {
        let typed = typed::seconds(text)?;
        let again = typed.value > button.total();
        let more = again.then(|| format!(", in {}", count_presses_up(typed.value, button)));
        (typed.value, format!("{}{}", typed.echo, more.unwrap_or_default()))
    };
    if !seconds.is_positive() {
        return Err(
            "a patch that was not lit says nothing; write the seconds it was under the lamp".to_owned()
        );
    }
    if seconds > LONGEST {
        return Err(format!("{} is longer than anyone sits by it; write at most an hour", quoted(text)));
    }
    let light = button.equivalent_over(seconds);
    if !light.is_positive() {
        return Err(format!("in {seconds} this button gives no light yet; light it longer"));
    }
    let worth = if light == seconds {
        String::new()
    } else {
        format!("; its light grows, so that is {} at full", words::span(light))
    };
    Ok(Typed { value: Lit { seconds, light }, echo: format!("{echo}{worth}") })
}

fn count_presses(presses: i64) -> String {
    words::count(usize::try_from(presses).unwrap_or(0), "press", "presses")
}

/// How many presses so long a time takes, the last one cut short.
fn count_presses_up(lit: Span, button: &Button) -> String {
    let total = button.total().micro();
    count_presses((lit.micro() + total - 1) / total)
}

/// How thick a patch set; "nothing" where none was left.
///
/// # Errors
/// What is wrong with the text, and what would be right.
pub fn skin(gauge: Gauge, text: &str) -> Result<Typed<Reading<Length>>, String> {
    let reading = |value| Reading { value, doubt: gauge.doubt(), by: gauge.means() };
    let none = ["nothing", "nothing set", "none", "no skin", "no", "0"];
    if none.contains(&text.trim().to_lowercase().as_str()) {
        return Ok(Typed { value: reading(Length::ZERO), echo: "nothing set".to_owned() });
    }
    let typed = typed::length(text)?;
    if !typed.value.is_positive() {
        return Ok(Typed { value: reading(Length::ZERO), echo: "nothing set".to_owned() });
    }
    if typed.value > HIGHEST_DROP {
        return Err(format!(
            "{} is thicker than any drop is high; look for a slip, such as cm for mm",
            words::length(typed.value)
        ));
    }
    let twice = words::length(Length::from_micro(2 * gauge.doubt().micro()));
    Ok(Typed {
        value: reading(typed.value),
        echo: format!("{}, give or take {twice}", words::length(typed.value)),
    })
}

/// How much pigment was in it, in per cent of the resin's weight.
///
/// # Errors
/// What is wrong with the text, and what would be right.
pub fn load(text: &str) -> Result<Typed<Load>, String> {
    let load = Load::from_micro(number_micro(text, "%", "0.5 %")?);
    if !load.is_positive() {
        return Err("without pigment it is clear; choose that, or write how much, such as 0.5 %".to_owned());
    }
    if load > Load::from_percent(20.0) {
        return Err(format!("{load} of pigment is more than any resin sets with; look for a slip"));
    }
    Ok(Typed { value: load, echo: format!("{load} of the resin's weight") })
}

/// The day something was seen; today where nothing is written.
///
/// # Errors
/// What is wrong with the text; a day that is still to come.
pub fn seen_on(text: &str, today: NaiveDate) -> Result<Typed<NaiveDate>, String> {
    if text.trim().is_empty() {
        return Ok(Typed { value: today, echo: "today".to_owned() });
    }
    typed::past_day(text, today)
}

/// How thick a layer of a habit is.
///
/// # Errors
/// What is wrong with the text, and what would be right.
pub fn layer(text: &str) -> Result<Typed<Length>, String> {
    let typed = typed::length(text)?;
    if !typed.value.is_positive() {
        return Err("a layer of nothing says nothing; write how thick you lay it, such as 2 mm".to_owned());
    }
    if typed.value > HIGHEST_DROP {
        let thick = words::length(typed.value);
        return Err(format!("{thick} is thicker than any layer; look for a slip, such as cm for mm"));
    }
    Ok(typed)
}

/// How often a habit came out hard: "20", "about 20".
///
/// # Errors
/// What is wrong with the text, and what would be right.
pub fn times(text: &str) -> Result<Typed<u16>, String> {
    let plain = text.trim().to_lowercase();
    let number = ["about ", "some ", "ca. ", "ca "].iter().find_map(|word| plain.strip_prefix(word));
    let count = whole_within(number.unwrap_or(&plain), "a number of times", 1, 1_000)?;
    let value = u16::try_from(count).map_err(|why| why.to_string())?;
    Ok(Typed { value, echo: words::count(usize::from(value), "time", "times") })
}

fn pigment(with: &With, text: &str) -> Result<Option<PigmentLoad>, String> {
    let Some(item) = &with.pigment else { return Ok(None) };
    let load = load(text).map_err(|why| format!("how much pigment: {why}"))?.value;
    Ok(Some(PigmentLoad { item: item.clone(), load }))
}

fn button<'a>(studio: &'a Studio, with: &With) -> Result<&'a Button, String> {
    button_of(studio, with).ok_or_else(|| "choose the lamp and the button it was lit with".to_owned())
}

fn observed(with: &With, on: NaiveDate, (load, seen): (Option<PigmentLoad>, Seen)) -> Observation {
    Observation {
        on,
        lamp: with.lamp.clone(),
        button: with.button,
        // Nobody counts every hour of a lamp; what is known of it ages by the year instead.
        lamp_lit: None,
        body: with.body,
        pigment: load,
        seen,
    }
}

/// A wedge test as it was typed, with the seconds that stood on the clock for each patch that counts. A patch that
/// was not measured yet is left out.
///
/// # Errors
/// Which patch is wrong and what would be right; what is missing yet.
pub fn wedge(
    studio: &Studio,
    with: &With,
    typed: &WedgeTyped<'_>,
    today: NaiveDate,
) -> Result<(Observation, Vec<Span>), String> {
    let button = button(studio, with)?;
    let load = pigment(with, typed.load)?;
    let on = seen_on(typed.day, today)?.value;
    let (mut points, mut seconds) = (Vec::new(), Vec::new());
    for (no, (light, thick)) in (1..).zip(typed.patches) {
        if thick.trim().is_empty() {
            continue;
        }
        let of = |why: String| format!("patch {no}: {why}");
        let lit = lit(button, light).map_err(of)?.value;
        let depth = skin(with.gauge, thick).map_err(of)?.value;
        points.push(WedgePoint { light: lit.light, depth });
        seconds.push(lit.seconds);
    }
    if points.is_empty() {
        return Err("measure at least one patch; where nothing is left of it, write the word nothing, or 0"
            .to_owned());
    }
    let seen = observed(with, on, (load, Seen::Wedge { points }));
    match reversed(&seen) {
        Some(places) => Err(reversed_words(&seen, &seconds, places)),
        None => Ok((seen, seconds)),
    }
}

/// "48 s set 1 mm and 3 s set 5 mm: …", by the seconds that stood on the clock.
fn reversed_words(seen: &Observation, seconds: &[Span], (long, short): (usize, usize)) -> String {
    let step = |place: usize| {
        let lit = seconds.get(place).map_or_else(String::new, |lit| words::span(*lit));
        let depth = match &seen.seen {
            Seen::Wedge { points } => points.get(place).map(|point| point.depth.value),
            _ => None,
        };
        match depth.filter(|depth| depth.is_positive()) {
            Some(depth) => format!("{lit} set {}", words::length(depth)),
            None => format!("{lit} set nothing"),
        }
    };
    format!(
        "{} and {}, and more light never sets less: are the patches in the wrong order? Measure them again, or leave the \
         odd one blank",
        step(long),
        step(short)
    )
}

/// A habit as it was typed: one whole press of the button.
///
/// # Errors
/// What is wrong or missing, and what would be right.
pub fn habit(
    studio: &Studio,
    with: &With,
    typed: &HabitTyped<'_>,
    today: NaiveDate,
) -> Result<Observation, String> {
    let light = button(studio, with)?.equivalent();
    let load = pigment(with, typed.load)?;
    let thickness = layer(typed.thickness).map_err(|why| format!("how thick: {why}"))?.value;
    let times = times(typed.times).map_err(|why| format!("how often: {why}"))?.value;
    let on = seen_on(typed.day, today)?.value;
    Ok(observed(with, on, (load, Seen::Works { thickness, light, times })))
}

/// How warm the room was; a usual one where nothing is written.
///
/// # Errors
/// What is wrong with the text, and what would be right.
pub fn room(text: &str) -> Result<Typed<Temperature>, String> {
    if text.trim().is_empty() {
        return Ok(Typed { value: ROOM, echo: format!("taken as {ROOM}") });
    }
    typed::temperature(text)
}

/// How warm a layer got, as it was typed: under one whole press of the button.
///
/// # Errors
/// What is wrong or missing, and what would be right.
pub fn warmth(
    studio: &Studio,
    with: &With,
    typed: &WarmthTyped<'_>,
    today: NaiveDate,
) -> Result<Observation, String> {
    button(studio, with)?;
    let load = pigment(with, typed.load)?;
    let thickness = layer(typed.thickness).map_err(|why| format!("how thick: {why}"))?.value;
    let room = room(typed.room).map_err(|why| format!("the room: {why}"))?.value;
    let warmth = match typed.told.ok_or("choose how warm it was")? {
        Told::Felt(feel) => HeatSeen::Felt(feel),
        Told::Read => {
            let read = typed::temperature(typed.read).map_err(|why| format!("the thermometer: {why}"))?;
            HeatSeen::Read(read.value)
        }
    };
    let on = seen_on(typed.day, today)?.value;
    let seen = observed(with, on, (load, Seen::Warmed { thickness, room, warmth }));
    seen.check().map_err(|why| why.to_string())?;
    Ok(seen)
}

fn bottle(what: &mut What) -> Result<&mut Bottle, String> {
    match what {
        What::Resin(bottle) => Ok(bottle),
        _ => Err("that is not a bottle of resin".to_owned()),
    }
}

/// The bottle with something more that was seen of it.
///
/// # Errors
/// It is no bottle, or it cannot have been seen.
pub fn with_seen(item: &Item, seen: Observation) -> Result<Item, String> {
    changed(item, |what| {
        bottle(what)?.observations.push(seen);
        Ok(())
    })
}

/// The bottle without what was written down by mistake just now.
///
/// # Errors
/// It is no bottle, or that was not seen of it.
pub fn without_seen(item: &Item, seen: &Observation) -> Result<Item, String> {
    changed(item, |what| {
        let all = &mut bottle(what)?.observations;
        let place = all.iter().rposition(|other| other == seen);
        let place = place.ok_or_else(|| "that does not stand there any more".to_owned())?;
        all.remove(place);
        Ok(())
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::present::sample::{day, id, studio};
    use craft::learning::LearningError;

    fn low() -> Button {
        Button::new("99 s low heat", Span::from_s(99.0), Span::from_s(60.0)).unwrap()
    }

    fn minute() -> Button {
        Button::new("60 s", Span::from_s(60.0), Span::ZERO).unwrap()
    }

    fn with(gauge: Gauge) -> With {
        With { lamp: id("nail-lamp"), button: 1, body: Body::Opaque, pigment: None, gauge }
    }

    fn today() -> NaiveDate {
        day(2026, 5, 3)
    }

    fn typed_wedge(patches: &[(&str, &str)], day: &str) -> Result<(Observation, Vec<Span>), String> {
        let patches: Vec<(String, String)> =
            patches.iter().map(|(light, thick)| ((*light).to_owned(), (*thick).to_owned())).collect();
        let typed = WedgeTyped { load: "", day, patches: &patches };
        wedge(&studio(), &with(Gauge::Caliper), &typed, today())
    }

    #[test]
    fn seconds_and_presses_are_read_and_said_with_what_they_are_worth() {
        let read = |button: &Button, text: &str| lit(button, text).unwrap();
        let eight = read(&minute(), "8");
        assert_eq!((eight.value.seconds, eight.value.light), (Span::from_s(8.0), Span::from_s(8.0)));
        assert_eq!(eight.echo, "8 s");
        let presses = read(&minute(), "2 presses");
        assert_eq!((presses.value.light, presses.echo.as_str()), (Span::from_s(120.0), "2 presses of 60 s"));
        assert_eq!(read(&minute(), "a press").value.light, Span::from_s(60.0));
        assert!(read(&minute(), "1:30").echo.contains("2 presses"), "{}", read(&minute(), "1:30").echo);
        // By hand: light that grows for 60 s is worth 30²/(2·60) = 7.5 full seconds after 30 s.
        let growing = read(&low(), "30 s");
        assert_eq!(growing.value.light, Span::from_s(7.5));
        assert!(growing.echo.contains("its light grows"), "{}", growing.echo);
        for (text, wrong) in
            [("0", "not lit says nothing"), ("2 h", "longer than anyone"), ("a while", "not a time")]
        {
            let why = lit(&minute(), text).unwrap_err();
            assert!(why.contains(wrong), "{text}: {why}");
        }
    }

    #[test]
    fn a_skin_is_read_with_the_doubt_of_what_it_was_measured_with() {
        let caliper = skin(Gauge::Caliper, "1,2").unwrap().value;
        assert_eq!((caliper.value, caliper.doubt), (Length::from_mm(1.2), Length::from_mm(0.05)));
        let ruler = skin(Gauge::Ruler, "1 mm").unwrap();
        assert_eq!((ruler.value.doubt, ruler.value.by), (Length::from_mm(0.25), Means::ByEye));
        assert_eq!(ruler.echo, "1 mm, give or take 0.5 mm");
        for text in ["nothing", "Nothing", "0", "0 mm", " None "] {
            assert_eq!(skin(Gauge::Caliper, text).unwrap().value.value, Length::ZERO, "{text}");
        }
        for (text, wrong) in [
            ("0.05 in", "not a unit used here; write a length in mm or cm"),
            ("1200 µm", "write a length in mm or cm"),
            ("20", "look for a slip, such as cm for mm"),
            ("1,200 mm", "can be read two ways"),
            ("-1", "below nothing"),
            ("thin", "is not a length"),
        ] {
            let why = skin(Gauge::Caliper, text).unwrap_err();
            assert!(why.contains(wrong), "{text}: {why}");
        }
    }

    #[test]
    fn a_test_takes_what_was_measured_and_says_what_is_wrong_with_the_rest() {
        let (seen, seconds) =
            typed_wedge(&[("3 s", "nothing"), ("6 s", "0.9"), ("12 s", ""), ("", "")], "1 May").unwrap();
        assert_eq!(seconds, [Span::from_s(3.0), Span::from_s(6.0)]);
        assert_eq!(seen.on, day(2026, 5, 1));
        let Seen::Wedge { points } = &seen.seen else { panic!("{seen:?}") };
        assert_eq!((points.len(), points[0].depth.value), (2, Length::ZERO));
        let wrong = |patches: &[(&str, &str)], day: &str| typed_wedge(patches, day).unwrap_err();
        assert!(wrong(&[("3 s", ""), ("6 s", "")], "").contains("at least one patch"));
        assert!(wrong(&[("3 s", "1"), ("", "2")], "").starts_with("patch 2: write a time"));
        assert!(wrong(&[("3 s", "1 inch")], "").starts_with("patch 1: \"inch\" is not a unit"));
        assert!(wrong(&[("3 s", "1")], "2026-05-04").contains("still to come"), "a day ahead");
    }

    #[test]
    fn a_coloured_test_needs_its_pigment_and_how_much() {
        let with = With { pigment: Some(id("deep-green")), ..with(Gauge::Ruler) };
        let patches = [("8 s".to_owned(), "0.4".to_owned())];
        let read =
            |load: &str| wedge(&studio(), &with, &WedgeTyped { load, day: "", patches: &patches }, today());
        let (seen, _) = read("0,5 %").unwrap();
        assert_eq!(seen.pigment.unwrap().load, Load::from_percent(0.5));
        for (text, wrong) in
            [("", "how much pigment: write a number"), ("0", "choose that"), ("50", "a slip")]
        {
            let why = read(text).unwrap_err();
            assert!(why.contains(wrong), "{text}: {why}");
        }
    }

    #[test]
    fn a_habit_is_read_in_three_words() {
        let read = |thickness: &str, times: &str, day: &str| {
            let typed = HabitTyped { load: "", day, thickness, times };
            habit(&studio(), &With { button: 2, ..with(Gauge::Caliper) }, &typed, today())
        };
        let seen = read("2", "about 20", "").unwrap();
        let wanted = Seen::Works { thickness: Length::from_mm(2.0), light: Span::from_s(69.0), times: 20 };
        assert_eq!((seen.seen, seen.on, seen.button), (wanted, today(), 2));
        assert!(read("0", "20", "").unwrap_err().contains("a layer of nothing"));
        assert!(read("2 cm", "20", "").unwrap_err().contains("cm for mm"));
        assert!(read("2", "never", "").unwrap_err().starts_with("how often"));
        assert!(read("2", "20", "2026-06-01").unwrap_err().contains("still to come"));
    }

    #[test]
    fn warmth_is_read_with_its_room_by_feel_or_by_thermometer() {
        let read = |thickness: &str, room: &str, told: Option<Told>, read: &str| {
            let typed = WarmthTyped { load: "", day: "", thickness, room, told, read };
            warmth(&studio(), &with(Gauge::Caliper), &typed, today())
        };
        let felt = read("2", "", Some(Told::Felt(Feel::Warm)), "never read").unwrap();
        let wanted =
            Seen::Warmed { thickness: Length::from_mm(2.0), room: ROOM, warmth: HeatSeen::Felt(Feel::Warm) };
        assert_eq!(felt.seen, wanted);
        let measured = read("2 mm", "70 °F", Some(Told::Read), "58,5").unwrap();
        let Seen::Warmed { room, warmth: HeatSeen::Read(read_as), .. } = measured.seen else {
            panic!("read")
        };
        assert_eq!((room.celsius(), read_as.celsius()), (21.1, 58.5));
        let wrong = |thickness, room, told, by| read(thickness, room, told, by).unwrap_err();
        assert_eq!(wrong("2", "", None, ""), "choose how warm it was");
        assert!(wrong("", "", Some(Told::Felt(Feel::Cool)), "").starts_with("how thick"));
        assert!(wrong("2", "cosy", Some(Told::Felt(Feel::Cool)), "").starts_with("the room"));
        assert!(wrong("2", "60", Some(Told::Felt(Feel::Cool)), "").contains("cannot be right"));
        assert!(wrong("2", "", Some(Told::Read), "").starts_with("the thermometer"));
        assert!(wrong("2", "", Some(Told::Read), "20").contains("hottest value"));
    }

    #[test]
    fn what_was_kept_by_mistake_is_taken_out_and_nothing_else() {
        let item = studio().shelf()[&id("clear-resin")].clone();
        let (first, _) = typed_wedge(&[("6 s", "0.9")], "").unwrap();
        let (second, _) = typed_wedge(&[("6 s", "1.9")], "").unwrap();
        let both = with_seen(&with_seen(&item, first.clone()).unwrap(), second.clone()).unwrap();
        let one = without_seen(&both, &second).unwrap();
        assert_eq!(one, with_seen(&item, first).unwrap());
        assert!(without_seen(&one, &second).is_err(), "it stands there no more");
        let lamp = studio().shelf()[&id("nail-lamp")].clone();
        assert!(with_seen(&lamp, second.clone()).is_err());
        let mut unlit = second;
        let Seen::Wedge { points } = &mut unlit.seen else { panic!("no wedge") };
        points[0].light = Span::ZERO;
        assert_eq!(with_seen(&item, unlit).unwrap_err(), LearningError::NoLight.to_string());
    }

    #[test]
    fn a_test_begins_with_a_button_that_is_full_at_once_and_with_what_was_used_last() {
        let studio = studio();
        let item = studio.shelf()[&id("clear-resin")].clone();
        let What::Resin(mut bottle) = item.what else { panic!("no bottle") };
        let begun = usual(&studio, &bottle).unwrap();
        assert_eq!((begun.lamp.as_str(), begun.button, begun.pigment), ("nail-lamp", 1, None));
        assert_eq!(suggested(&minute(), false, 5), ["3 s", "6 s", "12 s", "24 s", "48 s"]);
        assert_eq!(suggested(&minute(), true, 4), ["6 s", "12 s", "24 s", "48 s"]);
        let (mut seen, _) = typed_wedge(&[("6 s", "0.9")], "").unwrap();
        seen.button = 3;
        bottle.observations.push(seen);
        assert_eq!(usual(&studio, &bottle).unwrap().button, 3);
    }
}
