//! How warm layers of a bottle get, in words: what is believed, and what one more layer would say.

use chrono::NaiveDate;
use craft::cure::{Light, Resin};
use craft::heat::{Sources, heat};
use craft::id::ShelfId;
use craft::learning::{Observation, Seen};
use craft::shelf::Bottle;
use craft::studio::{Asked, Studio};

use super::any_pigment;
use super::seen::button_words;
use crate::present::plan_words::{self, Explained};
use crate::present::words;

/// A layer whose warmth was seen, as it is reckoned.
struct Layer<'a> {
    studio: &'a Studio,
    seen: &'a Observation,
    resin: Resin,
    light: Light,
    /// How much heat the resin is believed to give.
    sources: Sources,
}

impl<'a> Layer<'a> {
    fn of(
        studio: &'a Studio,
        bottle: &ShelfId,
        seen: &'a Observation,
        today: NaiveDate,
    ) -> Result<Self, String> {
        let pigment = seen.pigment.as_ref().map(|of| &of.item).or_else(|| any_pigment(studio));
        let pigment = pigment.ok_or("there is no pigment on the shelf; add one, if only the clear")?;
        let (lamp, body) = (&seen.lamp, seen.body);
        let asked = Asked { resin: bottle, lamp, pigment, body, today, also: None };
        let taught = studio.taught(&asked).map_err(|why| why.to_string())?;
        let resin = taught.cure.resin;
        let sources = studio.heat_sources(bottle, (lamp, &taught.lights), &resin, today);
        let sources = sources.map_err(|why| why.to_string())?;
        let light = usize::from(seen.button).checked_sub(1).and_then(|place| taught.lights.get(place));
        let light = light.ok_or("choose the lamp and the button it was lit with")?.clone();
        Ok(Self { studio, seen, resin, light, sources })
    }

    /// How warm it gets with such sources: "61 °C, from 52 to 70".
    fn band(&self, sources: &Sources) -> String {
        let lit = self.studio.warmed_layer(self.seen, (&self.light, &self.resin));
        lit.map_or_else(String::new, |lit| plan_words::band(&heat(&lit, sources)))
    }

    /// "a layer of 2 mm under 60 s of Small lamp", with its pigment where it has any.
    fn words(&self) -> String {
        let Seen::Warmed { thickness, .. } = &self.seen.seen else { return String::new() };
        let mix = self.seen.pigment.as_ref().map_or_else(String::new, |of| {
            format!(" with {} of {}", of.load, words::item_name(self.studio, &of.item))
        });
        let under = button_words(self.studio, &self.seen.lamp, self.seen.button);
        format!("a layer of {}{mix} under {under}", words::length(*thickness))
    }
}

/// How warm a layer gets, in words, and how that is worked out.
#[derive(Clone, Debug, PartialEq)]
pub struct Warmth {
    /// "By what you saw of its warmth, a layer of 2 mm under 60 s of Small lamp gets about 57 °C, from 52 to 63 in a warm
    /// room."
    pub words: String,
    /// How it is worked out.
    pub explained: Explained,
}

impl Warmth {
    fn of(layer: &Layer<'_>, words: String, sources: &Sources) -> Self {
        let explained = plan_words::warmth_explained(layer.band(sources), sources);
        Self { words, explained }
    }
}

/// What is believed of a bottle's warmth; none where nothing was seen of it.
pub(super) fn believed(
    studio: &Studio,
    (id, bottle): (&ShelfId, &Bottle),
    today: NaiveDate,
) -> Option<Warmth> {
    let of_warmth = bottle.observations.iter().filter(|seen| !seen.is_of_depth() && seen.on <= today);
    let newest = of_warmth.max_by_key(|seen| seen.on)?;
    let layer = Layer::of(studio, id, newest, today).ok()?;
    // What no resin could have done counted for nothing.
    (layer.sources != Sources::TYPICAL).then(|| {
        let (what, band) = (layer.words(), layer.band(&layer.sources));
        let words = format!("By what you saw of its warmth, {what} gets about {band} in a warm room.");
        Warmth::of(&layer, words, &layer.sources)
    })
}

/// What a layer's warmth would say of a bottle if it were kept, against what is believed without it.
///
/// # Errors
/// Something is not on the shelf; no resin could have made that layer so warm.
pub fn warmth_trial(
    studio: &Studio,
    bottle: &ShelfId,
    seen: &Observation,
    today: NaiveDate,
) -> Result<Warmth, String> {
    let layer = Layer::of(studio, bottle, seen, today)?;
    let means = (&layer.light, &layer.resin);
    let after = studio.narrowed_by(&layer.sources, seen, means).map_err(|why| why.to_string())?;
    let band = |sources: &Sources| layer.band(sources);
    let said = if after == layer.sources {
        format!("It is what was reckoned with: such a layer gets about {} in a warm room.", band(&after))
    } else {
        format!(
            "Such a layer is then reckoned to get about {} in a warm room; without this it was about {}.",
            band(&after),
            band(&layer.sources)
        )
    };
    Ok(Warmth::of(&layer, said, &after))
}

#[cfg(test)]
mod tests {
    use super::super::tests::{keep, today};
    use super::*;
    use crate::present::sample::{id, studio};
    use crate::shelving::observations::{self, Gauge, Told, WarmthTyped, With};
    use craft::heat::Feel;
    use craft::shelf::Body;

    fn seen(studio: &Studio, thickness: &str, told: Told, read: &str) -> Observation {
        let (lamp, gauge) = (id("nail-lamp"), Gauge::Caliper);
        let with = With { lamp, button: 1, body: Body::LetsLightIn, pigment: None, gauge };
        let typed = WarmthTyped { load: "", day: "3 May", thickness, room: "25", told: Some(told), read };
        observations::warmth(studio, &with, &typed, today()).unwrap()
    }

    fn try_it(studio: &Studio, seen: &Observation) -> Result<String, String> {
        warmth_trial(studio, &id("clear-resin"), seen, today()).map(|warmth| warmth.words)
    }

    #[test]
    fn a_reading_says_what_it_changes_before_it_is_kept_and_is_told_on_the_page_after() {
        let mut studio = studio();
        let measured = seen(&studio, "2", Told::Read, "61");
        let said = try_it(&studio, &measured).unwrap();
        assert!(said.starts_with("Such a layer is then reckoned to get about 61 °C, from "), "{said}");
        keep(&mut studio, measured.clone());
        let told = super::super::told(&studio, &id("clear-resin"), today()).unwrap();
        let begins = "By what you saw of its warmth, a layer of 2 mm under 60 s of ";
        assert!(told.warmth.starts_with(begins) && told.warmth.contains("about 61 °C"), "{}", told.warmth);
        assert_eq!((told.lamps.len(), told.won.as_str()), (0, ""), "it says nothing of depth");
        assert!(told.seen[0].words.contains("2 mm under 60 s"), "{:?}", told.seen);
        assert!(told.seen[0].words.contains("measured at 61 °C in a room of 25 °C"), "{:?}", told.seen);
        assert!(try_it(&studio, &measured).unwrap().starts_with("It is what was reckoned with"));
    }

    #[test]
    fn a_feel_that_no_resin_gives_is_a_sentence() {
        let studio = studio();
        let smelled = seen(&studio, "0.2", Told::Felt(Feel::SmelledOrWarped), "");
        assert!(try_it(&studio, &smelled).unwrap_err().contains("check the layer's thickness"));
        let warm = seen(&studio, "2", Told::Felt(Feel::Cool), "");
        assert!(try_it(&studio, &warm).unwrap().contains("without this it was about"));
    }
}
