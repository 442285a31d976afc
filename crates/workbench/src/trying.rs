//! A layer that is tried out without an order: what it is made with, and what the three sliders stand at.

use chrono::NaiveDate;
use craft::cure::PigmentClass;
use craft::id::ShelfId;
use craft::shelf::{Body, What};
use craft::studio::{Studio, TrialMeans, TrialWith};
use craft::trial::{Trial, Tried};
use craft::units::{Length, Load, Span};

use crate::present::trying_words;

/// The thinnest and the thickest layer that can be slid to: a film, and deeper than any lamp reaches through colour.
pub const THICKNESS: [Length; 2] = [Length::from_micro(100_000), Length::from_micro(3_000_000)];
/// The shortest and the longest light that can be slid to.
pub const SECONDS: [Span; 2] = [Span::from_micro(1_000_000), Span::from_micro(300_000_000)];
/// The most pigment that can be slid to without one that says how much it takes.
const MOST_LOAD: Load = Load::from_micro(5_000_000);

/// What is tried out.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TryOut {
    with: TrialWith,
    /// How thick the layer is.
    pub thickness: Length,
    /// How much pigment is in it; without one chosen this does not count.
    pub load: Load,
    /// How long the lamp is lit.
    pub seconds: Span,
}

impl Default for TryOut {
    fn default() -> Self {
        // A thin layer in the middle of what is usual (common practice, no source).
        Self {
            with: TrialWith { resin: None, pigment: None, button: None, body: Body::LetsLightIn },
            thickness: Length::from_micro(500_000),
            load: Load::from_micro(500_000),
            seconds: Span::from_micro(60_000_000),
        }
    }
}

/// Something to choose: none is the cautious guess.
pub type Choice<T> = (Option<T>, String);

impl TryOut {
    /// The layer that is shown first: with the first bottle and lamp of the shelf that are in use.
    pub fn begun(studio: &Studio) -> Self {
        let mut begun = Self::default();
        begun.with.resin = Self::resins(studio).into_iter().find_map(|(resin, _)| resin);
        let button = Self::buttons(studio).into_iter().find_map(|(button, _)| button);
        begun.choose_button(studio, button);
        // As the first mould does with light, which is what most will be poured into.
        let used = studio.shelf().values().filter(|item| !item.retired);
        let body = used.into_iter().find_map(|item| match &item.what {
            What::Mould(mould) => Some(mould.body),
            _ => None,
        });
        begun.with.body = body.unwrap_or(begun.with.body);
        begun
    }

    /// What it is made with.
    pub fn with(&self) -> &TrialWith {
        &self.with
    }

    /// Lets go of what has left the shelf meanwhile.
    pub fn keep_to_the_shelf(&mut self, studio: &Studio) {
        let has = |id: &ShelfId| studio.shelf().contains_key(id);
        self.with.resin = self.with.resin.take().filter(has);
        self.with.pigment = self.with.pigment.take().filter(has);
        let is_there = |(id, no): &(ShelfId, u8)| studio.button(id, *no).is_some();
        self.with.button = self.with.button.take().filter(is_there);
        self.load = self.load.min(self.most_load(studio));
    }

    /// The bottles to choose from.
    pub fn resins(studio: &Studio) -> Vec<Choice<ShelfId>> {
        choices(studio, trying_words::ANY_RESIN, |what| matches!(what, What::Resin(_)))
    }

    /// The pigments to choose from.
    pub fn pigments(studio: &Studio) -> Vec<Choice<ShelfId>> {
        choices(studio, trying_words::CLEAR, |what| matches!(what, What::Pigment(_)))
    }

    /// The buttons to choose from, each with its lamp.
    pub fn buttons(studio: &Studio) -> Vec<Choice<(ShelfId, u8)>> {
        let mut all = vec![(None, trying_words::ANY_LAMP.to_owned())];
        for (id, item) in studio.shelf().iter().filter(|(_, item)| !item.retired) {
            if let What::Lamp(lamp) = &item.what {
                all.extend((1_u8..).zip(&lamp.buttons).map(|(no, button)| {
                    (Some((id.clone(), no)), format!("{}, {}", item.name, button.name()))
                }));
            }
        }
        all
    }

    /// Takes another bottle.
    pub fn choose_resin(&mut self, resin: Option<ShelfId>) {
        self.with.resin = resin;
    }

    /// Takes a mould that does something else with light.
    pub fn choose_body(&mut self, body: Body) {
        self.with.body = body;
    }

    /// Takes another pigment, and of it no more than can be slid to.
    pub fn choose_pigment(&mut self, studio: &Studio, pigment: Option<ShelfId>) {
        self.with.pigment = pigment;
        self.load = self.load.min(self.most_load(studio));
    }

    /// Takes another button, and its own seconds.
    pub fn choose_button(&mut self, studio: &Studio, button: Option<(ShelfId, u8)>) {
        if let Some(chosen) = button.as_ref().and_then(|(id, no)| studio.button(id, *no)) {
            self.seconds = chosen.total().clamp(SECONDS[0], SECONDS[1]);
        }
        self.with.button = button;
    }

    /// The most pigment that can be slid to: half as much again as the resin takes, so that too much can be seen.
    pub fn most_load(&self, studio: &Studio) -> Load {
        let ceiling = self.with.pigment.as_ref().and_then(|id| match &studio.shelf().get(id)?.what {
            What::Pigment(pigment) if pigment.mix.class != PigmentClass::Clear => Some(pigment.mix.ceiling),
            _ => None,
        });
        ceiling.map_or(MOST_LOAD, |ceiling| Load::from_micro(ceiling.micro() / 2 * 3))
    }

    /// Resin, pigment and light as they stand on the shelf and were learned of: the part that takes its time, and that no
    /// slider changes.
    ///
    /// # Errors
    /// What cannot be reckoned with, and what would be right.
    pub fn means(&self, studio: &Studio, today: NaiveDate) -> Result<TrialMeans, String> {
        studio.trial_means(&self.with, today).map_err(|why| why.to_string())
    }

    /// What becomes of the layer with such means.
    ///
    /// # Errors
    /// What cannot be reckoned with, and what would be right.
    pub fn tried(&self, means: &TrialMeans) -> Result<(Trial, Tried), String> {
        let load = if self.with.pigment.is_some() { self.load } else { Load::ZERO };
        if !self.seconds.is_positive() {
            return Err("without light nothing sets; write at least 1 s".to_owned());
        }
        let TrialMeans { cure, light, sources, tested_to, tested_loads } = means.clone();
        let (thickness, lit) = (self.thickness, light.button.total());
        let under = light.clone();
        let trial = Trial { cure, under, light, lit, thickness, load, sources, tested_to, tested_loads };
        let trial = trial.lit_for(self.seconds).map_err(|why| why.to_string())?;
        let tried = trial.tried();
        Ok((trial, tried))
    }
}

fn choices(studio: &Studio, none: &str, is: fn(&What) -> bool) -> Vec<Choice<ShelfId>> {
    let items = studio.shelf().iter().filter(|(_, item)| is(&item.what) && !item.retired);
    let named = items.map(|(id, item)| (Some(id.clone()), item.name.to_string()));
    [(None, none.to_owned())].into_iter().chain(named).collect()
}
