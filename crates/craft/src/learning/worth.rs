//! What a test won, on a stone that every maker knows.

use crate::cure::{Cure, Light};
use crate::planner::{PlanError, Problem, Style, promised};
use crate::units::Length;

/// How a standard stone is laid.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Day {
    /// Layers, face and back included.
    pub layers: usize,
    /// Minutes on the bench, rounded up.
    pub minutes: u32,
}

/// A standard stone before and after something was learned: `None` where it cannot be laid at all.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Worth {
    /// With what was believed before.
    pub before: Option<Day>,
    /// With what is believed now.
    pub after: Option<Day>,
}

impl Worth {
    /// Layers saved; below nothing where the test asked for caution.
    pub fn layers_won(&self) -> Option<i64> {
        Some(i64::try_from(self.before?.layers).ok()? - i64::try_from(self.after?.layers).ok()?)
    }

    /// Minutes saved; below nothing where the test asked for caution.
    pub fn minutes_won(&self) -> Option<i64> {
        Some(i64::from(self.before?.minutes) - i64::from(self.after?.minutes))
    }
}

/// The standard stone, 3.5 mm deep with a face of 1.5 mm as in an oval of 10 by 8 mm, deepening in the colour of
/// `before` and of `after`, each with its own lights.
///
/// # Errors
/// Figures that cannot be planned with; a stone that cannot be laid is no error.
pub fn worth(before: (&Cure, &[Light]), after: (&Cure, &[Light])) -> Result<Worth, PlanError> {
    Ok(Worth { before: day(before.0, before.1)?, after: day(after.0, after.1)? })
}

fn day(cure: &Cure, lights: &[Light]) -> Result<Option<Day>, PlanError> {
    let (depth, face) = (Length::from_micro(3_500_000), Length::from_micro(1_500_000));
    let mut problem =
        Problem::for_stone(depth, face, cure.mix, Style::Deepening, lights.to_vec(), cure.doubts)?;
    problem.cure = *cure;
    match promised(&problem) {
        Ok(plan) => Ok(Some(Day { layers: plan.layers.len(), minutes: plan.bench_minutes() })),
        Err(PlanError::Stuck(_)) => Ok(None),
        Err(other) => Err(other),
    }
}
