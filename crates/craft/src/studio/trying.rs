//! From the shelf to a layer that is tried out without an order.

use chrono::NaiveDate;

use crate::cure::{Button, Cure, CureError, Light, Mix, PigmentClass};
use crate::heat::Sources;
use crate::id::ShelfId;
use crate::learning::Now;
use crate::refusal::Refusal;
use crate::shelf::{Body, Item, What};
use crate::units::{Length, Load, Span};

use super::planning::PlanningError;
use super::{Asked, Studio, Taught};

/// What a layer is tried out with; what is not named is a cautious guess.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TrialWith {
    /// The bottle.
    pub resin: Option<ShelfId>,
    /// The pigment; clear resin without one.
    pub pigment: Option<ShelfId>,
    /// The lamp and which of its buttons, from 1.
    pub button: Option<(ShelfId, u8)>,
    /// What the mould does with light.
    pub body: Body,
}

/// Why a layer cannot be tried out.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum TrialError {
    /// Something is not on the shelf, or is something else.
    #[error(transparent)]
    Shelf(#[from] Refusal),
    /// The lamp has no such button.
    #[error("the lamp has no button {0}; choose one that it has")]
    NoButton(u8),
    /// Its figures cannot be reckoned with.
    #[error(transparent)]
    Cure(#[from] CureError),
    /// What was seen of it cannot be reckoned with.
    #[error(transparent)]
    Taught(#[from] PlanningError),
}

/// What a layer is tried out with, as far as it is known.
#[derive(Clone, Debug, PartialEq)]
pub struct TrialMeans {
    /// Resin, pigment and doubts.
    pub cure: Cure,
    /// The lamp button over this bottle.
    pub light: Light,
    /// How much heat the resin gives.
    pub sources: Sources,
    /// The thickest clear layer that the bottle's tests cover; none where nothing was measured.
    pub tested_to: Option<Length>,
    /// The lowest and the highest load that the pigment's tests cover; none where a plan may take any on that side.
    pub tested_loads: (Option<Load>, Option<Load>),
}

impl Studio {
    /// Resin, pigment, doubts and light that a layer is tried out with: from the shelf as it is now and what was learned
    /// of it up to `today`, in such a mould.
    ///
    /// # Errors
    /// Something is not on the shelf or is something else, or its figures cannot be reckoned with.
    pub fn trial_means(&self, with: &TrialWith, today: NaiveDate) -> Result<TrialMeans, TrialError> {
        // Whatever the pigment, clear resin was seen with it too.
        let is_pigment = |item: &Item| matches!(item.what, What::Pigment(_));
        let any = || self.shelf.iter().find(|(_, item)| is_pigment(item)).map(|(id, _)| id);
        let named = (&with.resin, &with.button, with.pigment.as_ref().or_else(any));
        let mut means = match named {
            (Some(resin), Some((lamp, no)), Some(pigment)) => {
                let asked = Asked { resin, lamp, pigment, body: with.body, today, also: None };
                let taught = self.taught(&asked)?;
                taught.something_sets().map_err(PlanningError::from)?;
                if with.pigment.is_some() {
                    taught.colour_sets().map_err(PlanningError::from)?;
                    if let Some(apart) = taught.pigment.apart(&self.pigment(pigment)?.mix) {
                        return Err(PlanningError::from(apart).into());
                    }
                }
                let sources = self.heat_sources(resin, (lamp, &taught.lights), &taught.cure.resin, today)?;
                let mix = &self.pigment(pigment)?.mix;
                TrialMeans {
                    tested_loads: taught.pigment.tested(mix),
                    cure: taught.cure,
                    light: nth(&taught.lights, *no)?.clone(),
                    sources,
                    tested_to: tested_to(&taught),
                }
            }
            _ => self.guessed_means(with, today)?,
        };
        if with.pigment.is_none() {
            means.cure.mix = Mix::typical(PigmentClass::Clear);
        }
        Ok(means)
    }

    /// The same where something is not named, so that nothing was learned of it.
    fn guessed_means(&self, with: &TrialWith, today: NaiveDate) -> Result<TrialMeans, TrialError> {
        let mut cure = Cure::typical(PigmentClass::Clear);
        if let Some(id) = &with.pigment {
            cure.mix = self.pigment(id)?.mix;
        }
        let bottle = with.resin.as_ref().map(|id| self.bottle(id)).transpose()?;
        cure.resin = bottle.map_or(cure.resin, |bottle| bottle.resin);
        let light = match (&with.button, bottle) {
            // A minute is what most small lamps give (common practice, no source).
            (None, _) => Light::typical(Button::new("a lamp", Span::from_micro(60_000_000), Span::ZERO)?),
            (Some((id, no)), Some(bottle)) => nth(&bottle.lights(id, self.lamp(id)?), *no)?.clone(),
            (Some((id, no)), None) => Light::typical(nth(&self.lamp(id)?.buttons, *no)?.clone()),
        };
        let now = Now { today, opened: bottle.and_then(|bottle| bottle.opened) };
        let figures = (&cure.resin, std::slice::from_ref(&light), &cure.mix);
        cure.doubts = self.doubts_here(figures, false, Some(now));
        Ok(TrialMeans { cure, light, sources: Sources::TYPICAL, tested_to: None, tested_loads: (None, None) })
    }
}

/// The thickest clear layer that tests cover, in whole tenths of a millimetre.
fn tested_to(taught: &Taught) -> Option<Length> {
    let tenths = |tenths: i64| Length::from_micro(tenths * 100_000);
    if taught.covers(tenths(THICKEST_TENTHS)) {
        return None;
    }
    (0..THICKEST_TENTHS).rev().map(tenths).find(|thickness| taught.covers(*thickness))
}

/// No layer is tried out that is thicker than this, in tenths of a millimetre.
const THICKEST_TENTHS: i64 = 300;

/// Of some buttons, or the light of each, the one of a number from 1.
fn nth<T>(all: &[T], no: u8) -> Result<&T, TrialError> {
    usize::from(no).checked_sub(1).and_then(|place| all.get(place)).ok_or(TrialError::NoButton(no))
}
