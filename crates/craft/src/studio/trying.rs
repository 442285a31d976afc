//! From the shelf to a layer that is tried out without an order.

use chrono::NaiveDate;

use crate::cure::{Assurance, Button, Cure, CureError, Light, PigmentClass};
use crate::id::ShelfId;
use crate::refusal::Refusal;
use crate::shelf::{Body, What};
use crate::trial::Trial;
use crate::units::{Length, Load, Span};

use super::planning::{PlanningError, doubts_left};
use super::{Asked, Studio};

/// What a layer is tried out with; what is not named is a cautious guess.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TrialWith {
    /// The bottle.
    pub resin: Option<ShelfId>,
    /// The pigment; clear resin without one.
    pub pigment: Option<ShelfId>,
    /// The lamp and which of its buttons, from 1.
    pub button: Option<(ShelfId, u8)>,
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

impl Studio {
    /// A layer of this thickness and load with things from the shelf as they are now, and what was learned of them up to
    /// `today`, in a mould that lets light in.
    ///
    /// # Errors
    /// Something is not on the shelf or is something else, or its figures cannot be reckoned with.
    pub fn trial(
        &self,
        with: &TrialWith,
        (thickness, load): (Length, Load),
        today: NaiveDate,
    ) -> Result<Trial, TrialError> {
        let guessed = self.guessed_trial(with, (thickness, load))?;
        // Whatever the pigment, clear resin was seen with it too.
        let any =
            || self.shelf.iter().find(|(_, item)| matches!(item.what, What::Pigment(_))).map(|(id, _)| id);
        let named = (&with.resin, &with.button, with.pigment.as_ref().or_else(any));
        let (Some(resin), Some((lamp, no)), Some(pigment)) = named else { return Ok(guessed) };
        let asked = Asked { resin, lamp, pigment, body: Body::LetsLightIn, today, also: None };
        let taught = self.taught(&asked)?;
        if !taught.is_from_work() {
            return Ok(guessed);
        }
        let mut cure = taught.cure;
        if with.pigment.is_none() {
            cure.mix = guessed.cure.mix;
        }
        let place = usize::from(*no).saturating_sub(1);
        let light = taught.lights.into_iter().nth(place).unwrap_or(guessed.light);
        Ok(Trial { cure, light, thickness, load })
    }

    /// The same from what stands on the shelf alone, before anything was learned.
    fn guessed_trial(
        &self,
        with: &TrialWith,
        (thickness, load): (Length, Load),
    ) -> Result<Trial, TrialError> {
        let not_a = |id: &ShelfId, wanted| Refusal::NotA { item: id.clone(), wanted };
        let mut cure = Cure::typical(PigmentClass::Clear);
        if let Some(id) = &with.pigment {
            match &self.item(id)?.what {
                What::Pigment(pigment) => cure.mix = pigment.mix,
                _ => return Err(not_a(id, "a pigment").into()),
            }
        }
        let bottle = match &with.resin {
            None => None,
            Some(id) => match &self.item(id)?.what {
                What::Resin(bottle) => Some(bottle),
                _ => return Err(not_a(id, "a bottle of resin").into()),
            },
        };
        cure.resin = bottle.map_or(cure.resin, |bottle| bottle.resin);
        let light = match &with.button {
            // A minute is what most small lamps give (common practice, no source).
            None => Light::typical(Button::new("a lamp", Span::from_micro(60_000_000), Span::ZERO)?),
            Some((id, no)) => {
                let What::Lamp(lamp) = &self.item(id)?.what else { return Err(not_a(id, "a lamp").into()) };
                let place = usize::from(*no).checked_sub(1);
                let lights = bottle.map(|bottle| bottle.lights(id, lamp));
                let tried = lights.and_then(|lights| lights.into_iter().nth(place?));
                let named = || Some(Light::typical(lamp.buttons.get(place?)?.clone()));
                tried.or_else(named).ok_or(TrialError::NoButton(*no))?
            }
        };
        cure.doubts = doubts_left(&cure.resin, std::slice::from_ref(&light), &cure.mix);
        cure.assurance = Assurance::USUAL;
        Ok(Trial { cure, light, thickness, load })
    }
}
