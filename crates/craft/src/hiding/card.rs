//! The line test: a step film over the edge between black and white on a card.

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

use crate::cure::Factor;
use crate::units::{Length, Load};

/// How far a step laid by hand is from its thickness: 0.1 mm (common practice, no source).
const LAID_MM: f64 = 0.1;

/// One step of the film.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CardStep {
    /// Its thickness.
    pub thickness: Length,
    /// Whether the edge on the card is still seen through it at arm's length.
    pub line_seen: bool,
}

/// A line test as it was made.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Card {
    /// The day.
    pub on: NaiveDate,
    /// How much pigment was in the film.
    pub load: Load,
    /// Its steps.
    pub steps: Vec<CardStep>,
}

impl Card {
    /// What it says.
    ///
    /// # Errors
    /// As [`card_test`].
    pub fn found(&self) -> Result<CardTest, CardError> {
        card_test(self.load, &self.steps)
    }
}

/// What a line test says of a mix.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct CardTest {
    /// H: the load times the thinnest step that hides.
    pub need: Factor,
    /// Standard uncertainty of its natural logarithm.
    pub doubt: Factor,
}

/// Why a line test says nothing; says what would be right.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum CardError {
    /// No pigment in it.
    #[error("the film has no pigment in it; test a mix with at least a little")]
    NoPigment,
    /// A step of no thickness.
    #[error("a step of {0} is no film; give its thickness above 0 mm")]
    NoFilm(Length),
    /// The line is seen through every step.
    #[error("the line is still seen through the thickest step, {0}; add thicker steps or more pigment")]
    NeverHidden(Length),
    /// The line is seen through none.
    #[error("even the thinnest step, {0}, hides the line; add thinner steps or take less pigment")]
    AlwaysHidden(Length),
    /// A thicker step shows what a thinner one hides.
    #[error(
        "the line is hidden at {hidden} but seen at {seen}, which is thicker; look at both again, or lay the film anew"
    )]
    Contradiction {
        /// The thinner step that hides.
        hidden: Length,
        /// The thicker one that does not.
        seen: Length,
    },
    /// The thickness is far out.
    #[error("a film of {0} is not believable; give thicknesses in mm, such as 0.6 mm")]
    TooThick(Length),
}

/// The hiding need of a mix from a film of steps of one load: H = load × the thinnest step through which the line is
/// not seen. The true place lies between it and the next thinner one, so the doubt is half that bracket over √3 with
/// 0.1 mm for laying, both in quadrature.
///
/// Black and white of a card lie nearer together than a dark gap and metal: a film that leaves a colour difference of 2
/// there leaves 1.32 (white) to 1.77 (black) on the card. At arm's length an edge is lost at about that (no source), so H
/// is taken as it is found.
///
/// # Errors
/// No pigment, no step that hides or none that does not, or steps that contradict each other.
pub fn card_test(load: Load, steps: &[CardStep]) -> Result<CardTest, CardError> {
    if !load.is_positive() {
        return Err(CardError::NoPigment);
    }
    if let Some(bad) = steps.iter().find(|step| !step.thickness.is_positive()) {
        return Err(CardError::NoFilm(bad.thickness));
    }
    let thickest_seen = steps.iter().filter(|step| step.line_seen).map(|step| step.thickness).max();
    let thinnest_hidden = steps.iter().filter(|step| !step.line_seen).map(|step| step.thickness).min();
    match (thickest_seen, thinnest_hidden) {
        (None, None) => Err(CardError::NoFilm(Length::ZERO)),
        (Some(seen), None) => Err(CardError::NeverHidden(seen)),
        (None, Some(hidden)) => Err(CardError::AlwaysHidden(hidden)),
        (Some(seen), Some(hidden)) if seen >= hidden => Err(CardError::Contradiction { hidden, seen }),
        (Some(seen), Some(hidden)) => {
            let half_mm = 0.5 * (hidden - seen).mm();
            let doubt_mm = (half_mm / 3.0_f64.sqrt()).hypot(LAID_MM);
            let too_thick = |_| CardError::TooThick(hidden);
            let need = Factor::new(load.percent() * hidden.mm()).map_err(too_thick)?;
            let doubt = Factor::new(doubt_mm / hidden.mm()).map_err(too_thick)?;
            Ok(CardTest { need, doubt })
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn film(steps: &[(f64, bool)]) -> Vec<CardStep> {
        steps.iter().map(|&(mm, line_seen)| CardStep { thickness: Length::from_mm(mm), line_seen }).collect()
    }

    fn test(load: f64, steps: &[(f64, bool)]) -> Result<CardTest, CardError> {
        card_test(Load::from_percent(load), &film(steps))
    }

    #[test]
    fn the_thinnest_hiding_step_gives_the_need_and_the_bracket_its_doubt() {
        let said = test(1.5, &[(0.4, true), (0.6, true), (0.8, true), (1.0, false), (1.2, false)]).unwrap();
        assert!((said.need.get() - 1.5).abs() < 1e-12);
        // Half of 0.2 mm over √3, with 0.1 mm: √(0.1²/3 + 0.1²) = 0.11547 mm of 1 mm.
        assert!((said.doubt.get() - 0.115_470_053_8).abs() < 1e-9);
        let whole_bracket = (0.2_f64 / 3.0_f64.sqrt()).hypot(0.1);
        assert!((said.doubt.get() - whole_bracket).abs() > 0.03, "broken: the whole bracket for its half");
    }

    #[test]
    fn finer_steps_leave_only_the_doubt_of_laying() {
        let said = test(1.0, &[(0.999, true), (1.0, false)]).unwrap();
        assert!((said.doubt.get() - 0.1).abs() < 1e-5);
    }

    #[test]
    fn the_order_of_the_steps_does_not_count() {
        let said = test(1.0, &[(1.2, false), (0.4, true), (0.8, false)]).unwrap();
        assert_eq!(said, test(1.0, &[(0.4, true), (0.8, false), (1.2, false)]).unwrap());
    }

    #[test]
    fn a_test_that_says_nothing_gets_a_sentence() {
        let sentence = |steps: &[(f64, bool)]| test(1.0, steps).unwrap_err().to_string();
        assert_eq!(
            sentence(&[(0.4, true), (1.2, true)]),
            "the line is still seen through the thickest step, 1.2 mm; add thicker steps or more pigment"
        );
        assert_eq!(
            sentence(&[(0.2, false), (0.4, false)]),
            "even the thinnest step, 0.2 mm, hides the line; add thinner steps or take less pigment"
        );
        assert_eq!(
            sentence(&[(0.4, false), (0.8, true)]),
            "the line is hidden at 0.4 mm but seen at 0.8 mm, which is thicker; look at both again, or lay the film anew"
        );
        assert!(sentence(&[]).starts_with("a step of 0 mm is no film"));
        assert!(sentence(&[(-0.2, true), (1.0, false)]).starts_with("a step of -0.2 mm is no film"));
        assert_eq!(test(0.0, &[(0.2, true)]), Err(CardError::NoPigment));
    }
}
