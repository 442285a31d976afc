//! What the maker's own layers say of how much heat a bottle of resin gives.

use chrono::NaiveDate;

use super::Studio;
use crate::cure::{Factor, Light, Resin};
use crate::heat::{HeatError, Lit, Sources, narrowed};
use crate::id::ShelfId;
use crate::learning::{Observation, Seen};
use crate::refusal::Refusal;
use crate::shelf::{Bottle, What};
use crate::units::Load;

/// Of more layers than this only the newest count: they say all there is to say.
const MOST_COUNTED: usize = 24;

impl Studio {
    /// How much heat a bottle of resin gives: the cautious guess, narrowed by each layer that was felt or measured up to
    /// `today`, the oldest first. A layer that no resin could have made so warm counts for nothing. `lights` are the
    /// buttons of `lamp` as they are planned with, and `resin` as well, so that a layer that was measured is foreseen as
    /// it was; what was seen under another lamp is reckoned with the figures on the shelf.
    ///
    /// # Errors
    /// The bottle is not on the shelf.
    pub fn heat_sources(
        &self,
        bottle: &ShelfId,
        (lamp, lights): (&ShelfId, &[Light]),
        resin: &Resin,
        today: NaiveDate,
    ) -> Result<Sources, Refusal> {
        let of = self.bottle(bottle)?;
        let mut sources = Sources::TYPICAL;
        for seen in warmed(of, today) {
            let light = if seen.lamp == *lamp { nth(lights, seen.button) } else { None };
            let Some(light) = light.or_else(|| self.typed_light(of, seen)) else { continue };
            // What cannot be says nothing; whoever wrote it down was told so.
            if let Ok(narrower) = self.narrowed_by(&sources, seen, (&light, resin)) {
                sources = narrower;
            }
        }
        Ok(sources)
    }

    /// The sources after one observation; as they were where it is of something else.
    ///
    /// # Errors
    /// No resin could have made that layer so warm.
    pub fn narrowed_by(
        &self,
        before: &Sources,
        seen: &Observation,
        (light, resin): (&Light, &Resin),
    ) -> Result<Sources, HeatError> {
        let Seen::Warmed { room, warmth, .. } = &seen.seen else { return Ok(*before) };
        match self.warmed_layer(seen, (light, resin)) {
            Some(layer) => narrowed(before, &layer, *warmth, *room),
            None => Ok(*before),
        }
    }

    /// A layer whose warmth was seen, with what the shelf says that its pigment takes; none where it is of something else.
    pub fn warmed_layer<'a>(
        &self,
        seen: &Observation,
        (light, resin): (&'a Light, &Resin),
    ) -> Option<Lit<'a>> {
        let Seen::Warmed { thickness, .. } = &seen.seen else { return None };
        let (absorption, load) = match &seen.pigment {
            Some(of) => (self.absorption(&of.item), of.load),
            None => (Factor::ZERO, Load::ZERO),
        };
        Some(Lit::of_mix(*thickness, (resin.penetration(), absorption), load, light))
    }

    fn absorption(&self, pigment: &ShelfId) -> Factor {
        match self.shelf().get(pigment).map(|item| &item.what) {
            Some(What::Pigment(pigment)) => pigment.mix.absorption,
            _ => Factor::ZERO,
        }
    }

    fn typed_light(&self, bottle: &Bottle, seen: &Observation) -> Option<Light> {
        match &self.shelf().get(&seen.lamp)?.what {
            What::Lamp(lamp) => nth(&bottle.lights(&seen.lamp, lamp), seen.button),
            _ => None,
        }
    }
}

/// The layers whose warmth was seen by `today`, the oldest first and only the newest of many.
fn warmed(bottle: &Bottle, today: NaiveDate) -> Vec<&Observation> {
    let is_warmth = |seen: &&Observation| !seen.is_of_depth() && seen.on <= today;
    let mut all: Vec<&Observation> = bottle.observations.iter().filter(is_warmth).collect();
    all.sort_by_key(|seen| seen.on);
    all.split_off(all.len().saturating_sub(MOST_COUNTED))
}

/// The light of a button, from 1.
fn nth(lights: &[Light], button: u8) -> Option<Light> {
    lights.get(usize::from(button).checked_sub(1)?).cloned()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cure::{Provenance, Resin};
    use crate::heat::{Feel, HeatSeen, heat};
    use crate::learning::PigmentLoad;
    use crate::shelf::Body;
    use crate::studio::{Edit, ShelfEdit};
    use crate::testing::*;
    use crate::units::{Length, Temperature};

    fn seen(on: u32, warmth: HeatSeen) -> Observation {
        Observation {
            on: day(on),
            lamp: item("box-lamp"),
            button: 1,
            lamp_lit: None,
            body: Body::LetsLightIn,
            pigment: None,
            seen: Seen::Warmed {
                thickness: Length::from_mm(2.0),
                room: Temperature::from_celsius(22.0),
                warmth,
            },
        }
    }

    fn read(celsius: f64) -> HeatSeen {
        HeatSeen::Read(Temperature::from_celsius(celsius))
    }

    fn bench(observations: Vec<Observation>) -> Bench {
        let mut bench = Bench::new();
        let id = item("clear");
        let mut now = bench.studio.shelf()[&id].clone();
        let What::Resin(bottle) = &mut now.what else { panic!("no bottle") };
        bottle.observations = observations;
        bench.edit(Edit::Shelf(id, ShelfEdit::Put(Box::new(now)))).unwrap();
        bench
    }

    /// The bottle's own figures and the lights of its lamp.
    fn means(bench: &Bench) -> (Resin, Vec<Light>) {
        let bottle = bench.studio.bottle(&item("clear")).unwrap();
        let lamp = bench.studio.lamp(&item("box-lamp")).unwrap();
        (bottle.resin, bottle.lights(&item("box-lamp"), lamp))
    }

    fn sources(bench: &Bench, today: u32) -> Sources {
        let (resin, lights) = means(bench);
        bench.studio.heat_sources(&item("clear"), (&item("box-lamp"), &lights), &resin, day(today)).unwrap()
    }

    #[test]
    fn a_layer_that_was_measured_is_foreseen_as_it_was_whatever_is_planned_with() {
        let bench = bench(vec![seen(3, read(61.0))]);
        let (resin, lights) = means(&bench);
        let deeper = Resin::new(Length::from_mm(1.6), Provenance::Practised).unwrap();
        for resin in [resin, deeper] {
            let known = bench
                .studio
                .heat_sources(&item("clear"), (&item("box-lamp"), &lights), &resin, day(5))
                .unwrap();
            let layer = Lit::of_mix(
                Length::from_mm(2.0),
                (resin.penetration(), Factor::ZERO),
                Load::ZERO,
                &lights[0],
            );
            assert!((heat(&layer, &known).rise_k.typical - 39.0).abs() < 1e-6);
            assert!(
                (heat(&layer, &Sources::TYPICAL).rise_k.typical - 39.0).abs() > 1.0,
                "it was not so before"
            );
        }
    }

    #[test]
    fn what_is_still_to_come_or_cannot_be_counts_for_nothing() {
        assert_eq!(sources(&bench(Vec::new()), 5), Sources::TYPICAL);
        let known = bench(vec![seen(3, read(61.0))]);
        assert_eq!(sources(&known, 2), Sources::TYPICAL);
        assert_ne!(sources(&known, 3), Sources::TYPICAL);
        let and_more = |more| sources(&bench(vec![seen(3, read(61.0)), more]), 5);
        assert_eq!(and_more(seen(4, read(400.0))), sources(&known, 5), "no resin gives that");
        let elsewhere = Observation { lamp: item("no-lamp"), ..seen(4, read(70.0)) };
        assert_eq!(and_more(elsewhere), sources(&known, 5), "that lamp is not known");
    }

    #[test]
    fn the_newest_reading_counts_and_a_feel_narrows_what_is_there() {
        let two = bench(vec![seen(4, read(61.0)), seen(2, read(50.0))]);
        assert_eq!(sources(&two, 5), sources(&bench(vec![seen(4, read(61.0))]), 5), "by their days");
        let felt = sources(&bench(vec![seen(3, HeatSeen::Felt(Feel::Warm))]), 5);
        let width = |of: &Sources| of.high.release.get() - of.low.release.get();
        assert!(width(&felt) < width(&Sources::TYPICAL), "{felt:?}");
    }

    #[test]
    fn pigment_keeps_light_near_the_face_and_so_more_heat_is_needed_for_the_same_warmth() {
        let pigment = Some(PigmentLoad { item: item("night"), load: Load::from_percent(0.5) });
        let coloured = bench(vec![Observation { pigment, ..seen(3, read(45.0)) }]);
        let release = |bench: &Bench| sources(bench, 5).typical.release;
        assert!(release(&coloured) > release(&bench(vec![seen(3, read(45.0))])));
    }

    #[test]
    fn warmth_says_nothing_of_how_deep_light_sets() {
        let today = day(5);
        let (resin, lamp, pigment) = (&item("clear"), &item("box-lamp"), &item("night"));
        let asked = crate::studio::Asked { resin, lamp, pigment, body: Body::LetsLightIn, today, also: None };
        let plain = bench(Vec::new());
        let warmed = bench(vec![seen(3, read(61.0))]);
        assert_eq!(plain.studio.taught(&asked), warmed.studio.taught(&asked));
        assert_eq!(warmed.studio.taught(&asked).unwrap().known, None);
    }

    #[test]
    fn a_reading_that_cannot_be_stays_off_the_shelf() {
        let mut cold = seen(3, read(20.0));
        assert!(cold.check().unwrap_err().to_string().contains("read its hottest value"));
        let Seen::Warmed { room, .. } = &mut cold.seen else { panic!("warmth") };
        *room = Temperature::from_celsius(80.0);
        assert!(cold.check().unwrap_err().to_string().contains("a room of 80 °C cannot be right"));
        let Seen::Warmed { thickness, .. } = &mut cold.seen else { panic!("warmth") };
        *thickness = Length::ZERO;
        assert!(cold.check().is_err());
    }
}
