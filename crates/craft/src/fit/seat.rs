//! Does the stone sit? By caliper, or by feel.

use serde::{Deserialize, Serialize};

use super::{FitError, above_nothing, at_least_nothing};
use crate::reading::Reading;
use crate::units::Length;

/// The band of clearance wanted between stone and wall, on each side.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Clearance {
    /// The least, 0 mm or more.
    pub least: Length,
    /// The most.
    pub most: Length,
}

impl Default for Clearance {
    /// 0.05–0.10 mm a side, from memory; no published figure was found.
    fn default() -> Self {
        Self { least: Length::from_micro(50_000), most: Length::from_micro(100_000) }
    }
}

/// A stone as measured.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct StoneMeasures {
    /// Its longer side.
    pub length: Reading<Length>,
    /// Its shorter side.
    pub width: Reading<Length>,
    /// Its straight edge, from the back to where the dome begins.
    pub edge: Reading<Length>,
}

/// A setting as measured.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SettingMeasures {
    /// Inside, along.
    pub length: Reading<Length>,
    /// Inside, across.
    pub width: Reading<Length>,
    /// From where the stone rests up to the top of the wall.
    pub wall: Reading<Length>,
    /// How much wall is wanted above the stone's edge, such as [`wall_over_edge`](super::wall_over_edge) gives.
    pub over_edge: Length,
}

/// How much to take off or build up.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Amount {
    /// From measures: this much, give or take twice its standard uncertainty.
    Measured {
        /// The least that mends it. Off the width or length it is meant for each side.
        least: Length,
        /// One standard deviation of it.
        doubt: Length,
    },
    /// By feel: a small step, then try again.
    Step(Length),
}

/// What to do to the stone.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Remedy {
    /// Nothing: leave it.
    Leave,
    /// Take resin off.
    TakeOff(Amount),
    /// Build resin up: a clear layer round it, or behind it.
    BuildUp(Amount),
    /// The measures are too doubtful to say: offer the stone up to the setting and go by feel.
    TryIt,
}

/// One direction of the fit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Sit {
    /// Measured: the clearance on each side, or how far the wall stands above the wanted height. Below zero where the
    /// stone is too large or stands proud. Not known by feel.
    pub gap: Option<Length>,
    /// One standard deviation of the gap.
    pub doubt: Option<Length>,
    /// What to do.
    pub remedy: Remedy,
}

/// Does the stone go into the setting at all?
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Seating {
    /// It does.
    Seats,
    /// It does not.
    DoesNotSeat,
    /// The measures are too doubtful to say.
    CannotTell,
}

/// The whole answer.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct FitReport {
    /// Along the length.
    pub along: Sit,
    /// Across the width.
    pub across: Sit,
    /// In height.
    pub height: Sit,
    /// Does it go in?
    pub seating: Seating,
}

/// How a stone feels in the hole.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Tightness {
    /// It does not go in, or only under force.
    Tight,
    /// It drops in and does not rattle.
    Right,
    /// It rattles.
    Loose,
}

/// How a stone stands in the wall.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Stand {
    /// Too high: too little wall above its edge.
    Proud,
    /// As wanted.
    Flush,
    /// Too low: the wall covers too much of it.
    Low,
}

/// A fit judged without an instrument.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Feel {
    /// Along the length.
    pub along: Tightness,
    /// Across the width.
    pub across: Tightness,
    /// In height.
    pub height: Stand,
}

/// How far from the wanted height a stone may stand and still be flush: a tenth of a millimetre.
const FLUSH_WITHIN: Length = Length::from_micro(100_000);
/// One careful step at a time when going by feel. Common practice, no source.
const FEEL_STEP: Length = Length::from_micro(50_000);

/// A difference of two readings, over `parts`, with the doubts added in squares.
fn difference(large: Reading<Length>, small: Reading<Length>, parts: f64) -> (Length, Length) {
    let gap_mm = (large.value - small.value).mm() / parts;
    let doubt_mm = large.doubt.mm().hypot(small.doubt.mm()) / parts;
    (Length::from_mm(gap_mm), Length::from_mm(doubt_mm))
}

/// Judges a gap against a wanted band. Inside the band is good; outside it by more than twice the doubt asks for a
/// remedy, the smallest that reaches the band, since resin taken off cannot be put back; nearer than that cannot be told.
fn judge(gap: Length, doubt: Length, band: Clearance) -> Sit {
    let twice = doubt + doubt;
    let remedy = if gap < band.least {
        let least = band.least - gap;
        if least > twice { Remedy::TakeOff(Amount::Measured { least, doubt }) } else { Remedy::TryIt }
    } else if gap > band.most {
        let least = gap - band.most;
        if least > twice { Remedy::BuildUp(Amount::Measured { least, doubt }) } else { Remedy::TryIt }
    } else {
        Remedy::Leave
    };
    Sit { gap: Some(gap), doubt: Some(doubt), remedy }
}

/// Compares a stone with its setting by measures.
///
/// The clearance on a side is half of setting less stone. In height the stone is flush where the wall stands the
/// wanted amount above its edge, within 0.1 mm; a proud stone is taken down from the back, a low one built up behind.
///
/// # Errors
/// A measure that is not above nothing, a negative doubt or wanted wall, or a clearance band upside down.
pub fn fit_by_caliper(
    stone: &StoneMeasures,
    setting: &SettingMeasures,
    wanted: Clearance,
) -> Result<FitReport, FitError> {
    check_measures(stone, setting, wanted)?;
    let (along, along_doubt) = difference(setting.length, stone.length, 2.0);
    let (across, across_doubt) = difference(setting.width, stone.width, 2.0);
    let (above_edge, height_doubt) = difference(setting.wall, stone.edge, 1.0);
    let flush = Clearance { least: Length::ZERO - FLUSH_WITHIN, most: FLUSH_WITHIN };
    let goes_in = |gap: Length, doubt: Length| {
        let twice = doubt + doubt;
        if gap >= twice {
            Seating::Seats
        } else if gap + twice < Length::ZERO {
            Seating::DoesNotSeat
        } else {
            Seating::CannotTell
        }
    };
    let seating = match (goes_in(along, along_doubt), goes_in(across, across_doubt)) {
        (Seating::DoesNotSeat, _) | (_, Seating::DoesNotSeat) => Seating::DoesNotSeat,
        (Seating::CannotTell, _) | (_, Seating::CannotTell) => Seating::CannotTell,
        (Seating::Seats, Seating::Seats) => Seating::Seats,
    };
    Ok(FitReport {
        along: judge(along, along_doubt, wanted),
        across: judge(across, across_doubt, wanted),
        height: judge(above_edge - setting.over_edge, height_doubt, flush),
        seating,
    })
}

fn check_measures(
    stone: &StoneMeasures,
    setting: &SettingMeasures,
    wanted: Clearance,
) -> Result<(), FitError> {
    let measures = [
        ("stone length", stone.length),
        ("stone width", stone.width),
        ("stone edge", stone.edge),
        ("setting length", setting.length),
        ("setting width", setting.width),
        ("setting wall", setting.wall),
    ];
    for (what, reading) in measures {
        above_nothing(what, reading.value)?;
        at_least_nothing("doubt", reading.doubt)?;
    }
    at_least_nothing("wanted wall over the edge", setting.over_edge)?;
    let Clearance { least, most } = wanted;
    if least < Length::ZERO || most < least {
        return Err(FitError::ClearanceUpsideDown { least, most });
    }
    Ok(())
}

/// The same answer from how the stone feels in the setting: one careful step of 0.05 mm at a time.
pub fn fit_by_feel(feel: Feel) -> FitReport {
    let step = Amount::Step(FEEL_STEP);
    let sit = |remedy| Sit { gap: None, doubt: None, remedy };
    let sideways = |tightness| {
        sit(match tightness {
            Tightness::Tight => Remedy::TakeOff(step),
            Tightness::Right => Remedy::Leave,
            Tightness::Loose => Remedy::BuildUp(step),
        })
    };
    let height = sit(match feel.height {
        Stand::Proud => Remedy::TakeOff(step),
        Stand::Flush => Remedy::Leave,
        Stand::Low => Remedy::BuildUp(step),
    });
    let tight = feel.along == Tightness::Tight || feel.across == Tightness::Tight;
    let seating = if tight { Seating::DoesNotSeat } else { Seating::Seats };
    FitReport { along: sideways(feel.along), across: sideways(feel.across), height, seating }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::reading::Means;
    use proptest::prelude::*;

    fn read(value_mm: f64, doubt_mm: f64) -> Reading<Length> {
        Reading { value: Length::from_mm(value_mm), doubt: Length::from_mm(doubt_mm), by: Means::Caliper }
    }

    fn compare(stone_width_mm: f64, doubt_mm: f64) -> FitReport {
        let stone = StoneMeasures {
            length: read(17.85, doubt_mm),
            width: read(stone_width_mm, doubt_mm),
            edge: read(1.5, doubt_mm),
        };
        let setting = SettingMeasures {
            length: read(18.0, doubt_mm),
            width: read(13.0, doubt_mm),
            wall: read(2.7, doubt_mm),
            over_edge: Length::from_mm(1.2),
        };
        fit_by_caliper(&stone, &setting, Clearance::default()).unwrap()
    }

    fn measured(least_mm: f64, doubt_mm: f64) -> Amount {
        Amount::Measured { least: Length::from_mm(least_mm), doubt: Length::from_mm(doubt_mm) }
    }

    #[test]
    fn a_stone_with_the_wanted_clearance_is_left_alone() {
        let report = compare(12.85, 0.0);
        assert_eq!(report.across.gap, Some(Length::from_mm(0.075)), "half of the difference is on each side");
        assert_eq!(report.across.remedy, Remedy::Leave);
        assert_eq!(report.height.remedy, Remedy::Leave);
        assert_eq!(report.seating, Seating::Seats);
    }

    #[test]
    fn a_stone_too_wide_is_taken_down_by_the_least_that_mends_it() {
        let report = compare(13.1, 0.0);
        assert_eq!(report.across.remedy, Remedy::TakeOff(measured(0.1, 0.0)));
        assert_eq!(report.along.remedy, Remedy::Leave);
        assert_eq!(report.seating, Seating::DoesNotSeat);
        assert_eq!(compare(13.1 - 0.2, 0.0).across.remedy, Remedy::Leave);
    }

    #[test]
    fn a_stone_too_narrow_is_built_up() {
        let report = compare(12.5, 0.0);
        assert_eq!(report.across.remedy, Remedy::BuildUp(measured(0.15, 0.0)));
        assert_eq!(report.seating, Seating::Seats);
    }

    #[test]
    fn a_doubtful_caliper_sends_the_maker_to_the_setting() {
        // Twice √(0.1² + 0.1²)/2 is 0.14 mm: a clearance of 0.02 mm is out of the band by less than that.
        let report = compare(12.96, 0.1);
        assert_eq!(report.across.remedy, Remedy::TryIt);
        assert_eq!(report.seating, Seating::CannotTell);
        assert_eq!(compare(12.96, 0.001).across.remedy, Remedy::TakeOff(measured(0.03, 0.000707)));
    }

    #[test]
    fn a_proud_stone_is_taken_off_and_a_low_one_built_up() {
        let setting_wall = |wall_mm: f64| {
            let stone =
                StoneMeasures { length: read(17.85, 0.0), width: read(12.85, 0.0), edge: read(1.5, 0.0) };
            let setting = SettingMeasures {
                length: read(18.0, 0.0),
                width: read(13.0, 0.0),
                wall: read(wall_mm, 0.0),
                over_edge: Length::from_mm(1.2),
            };
            fit_by_caliper(&stone, &setting, Clearance::default()).unwrap().height.remedy
        };
        assert_eq!(setting_wall(2.4), Remedy::TakeOff(measured(0.2, 0.0)));
        assert_eq!(setting_wall(2.65), Remedy::Leave);
        assert_eq!(setting_wall(3.0), Remedy::BuildUp(measured(0.2, 0.0)));
    }

    #[test]
    fn by_feel_every_remedy_is_one_small_step() {
        let report =
            fit_by_feel(Feel { along: Tightness::Right, across: Tightness::Tight, height: Stand::Low });
        let step = Amount::Step(Length::from_mm(0.05));
        assert_eq!(report.along.remedy, Remedy::Leave);
        assert_eq!(report.across.remedy, Remedy::TakeOff(step));
        assert_eq!(report.height.remedy, Remedy::BuildUp(step));
        assert_eq!(report.seating, Seating::DoesNotSeat);
        let loose =
            fit_by_feel(Feel { along: Tightness::Loose, across: Tightness::Right, height: Stand::Proud });
        assert_eq!((loose.along.remedy, loose.height.remedy), (Remedy::BuildUp(step), Remedy::TakeOff(step)));
        assert_eq!(loose.seating, Seating::Seats);
    }

    #[test]
    fn impossible_measures_are_refused_in_a_sentence() {
        let good = StoneMeasures { length: read(18.0, 0.0), width: read(13.0, 0.0), edge: read(1.5, 0.0) };
        let setting = SettingMeasures {
            length: read(18.1, 0.0),
            width: read(13.1, 0.0),
            wall: read(2.7, 0.0),
            over_edge: Length::ZERO,
        };
        let said = |stone: StoneMeasures, wanted: Clearance| {
            fit_by_caliper(&stone, &setting, wanted).unwrap_err().to_string()
        };
        assert_eq!(
            said(StoneMeasures { width: read(0.0, 0.0), ..good }, Clearance::default()),
            "a stone width of 0 mm cannot be right; it must be more than 0 mm"
        );
        assert_eq!(
            said(StoneMeasures { edge: read(1.5, -0.1), ..good }, Clearance::default()),
            "a doubt of -0.1 mm cannot be right; it must be 0 mm or more"
        );
        let upside_down = Clearance { least: Length::from_mm(0.1), most: Length::from_mm(0.05) };
        assert_eq!(
            said(good, upside_down),
            "a clearance from 0.1 mm to 0.05 mm cannot be right; give the smaller first, both from 0 mm up"
        );
    }

    proptest! {
        #[test]
        fn a_remedy_carried_out_brings_the_stone_into_the_band(width in 12.0..14.0_f64) {
            let mended = match compare(width, 0.0).across.remedy {
                Remedy::TakeOff(Amount::Measured { least, .. }) => width - 2.0 * least.mm(),
                Remedy::BuildUp(Amount::Measured { least, .. }) => width + 2.0 * least.mm(),
                _ => width,
            };
            let gap = compare(mended, 0.0).across.gap.unwrap();
            let slack = Length::from_micro(2);
            prop_assert!(gap + slack >= Length::from_mm(0.05) && gap <= Length::from_mm(0.1) + slack);
        }
    }
}
