//! What the maker wants of one stone's plan beyond its sheet: it is kept with the stone and put into each problem.

use std::fmt;

use serde::{Deserialize, Serialize};

use super::problem::{Pin, Problem, Smooth, Style};
use super::table::{NEVER, Table};
use super::{Plan, PlanError, promised};
use crate::units::{Load, Share, Span};

/// What a tenth of a millimetre off the liked thickness counts as, in seconds (common practice, no source): enough that
/// steps come out even wherever they can set.
const EVEN_S: u16 = 30;

/// What is wanted of a plan; the usual where nothing is.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Wishes {
    /// How often one button may be pressed for one layer.
    #[serde(default = "once", skip_serializing_if = "is_once")]
    pub presses: u8,
    /// Colour layers that are wanted as they are.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub pinned: Vec<Pin>,
    /// A wish for even colour layers.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub smooth: Option<Smooth>,
    /// Colours that are swirled: what is left of a layer at its thinnest patch. None where they are even.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub thinnest: Option<Share>,
}

const fn once() -> u8 {
    1
}

#[expect(clippy::trivially_copy_pass_by_ref, reason = "serde hands a field over by reference")]
const fn is_once(presses: &u8) -> bool {
    *presses == 1
}

impl Default for Wishes {
    fn default() -> Self {
        Self { presses: once(), pinned: Vec::new(), smooth: None, thinnest: None }
    }
}

impl Wishes {
    /// The thinnest patch that a swirled layer is guessed to have: half of it (common practice, no source).
    pub const SWIRLED: Share = Share::from_millionths(500_000);

    /// True where nothing but the usual is wanted.
    pub fn are_usual(&self) -> bool {
        *self == Self::default()
    }

    /// Puts them into a problem; whether it can be planned with them is for [`Problem::check`] to say.
    pub fn put_into(&self, problem: &mut Problem) {
        problem.presses = self.presses;
        problem.pinned.clone_from(&self.pinned);
        problem.smooth = self.smooth;
        problem.thinnest = self.thinnest.unwrap_or(Share::WHOLE);
    }
}

/// What steps of the same size would cost, or do.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Even {
    /// The wish that makes them.
    pub wish: Smooth,
    /// How much longer the stone is at the bench with it.
    pub more: Span,
    /// True where every colour layer comes out equally thick.
    pub is_even: bool,
}

/// What it costs to lay the colour in steps of the same size: the stone is planned without the wish and with it. `None`
/// where there are no two colour layers to be even.
///
/// # Errors
/// As [`promised`], for the stone without the wish.
pub fn even(problem: &Problem) -> Result<Option<Even>, PlanError> {
    let free = promised(&Problem { smooth: None, ..problem.clone() })?;
    let Some(wish) = problem.smooth.or_else(|| wish_of(&free)) else { return Ok(None) };
    let Ok(evened) = promised(&Problem { smooth: Some(wish), ..problem.clone() }) else { return Ok(None) };
    let more_s = evened.cost.seconds.saturating_sub(free.cost.seconds);
    let mut thicknesses = evened.colour().map(|layer| layer.thickness);
    let first = thicknesses.next();
    let is_even = thicknesses.all(|thickness| Some(thickness) == first);
    Ok(Some(Even { wish, more: Span::from_s(f64::from(more_s)), is_even }))
}

/// Steps as thick as a plan's colour layers are in the mean.
fn wish_of(free: &Plan) -> Option<Smooth> {
    let (count, whole) = free
        .colour()
        .fold((0_i64, 0_i64), |(count, whole), layer| (count + 1, whole + layer.thickness.micro()));
    if count < 2 {
        return None;
    }
    let reference = u16::try_from((whole / count + 50_000) / 100_000).ok()?;
    Some(Smooth { reference, seconds: EVEN_S })
}

/// A plain reason why nothing can be planned, where there is one that is nearer at hand than the limit that binds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Plain {
    /// The clear face leaves too little room for colour and back.
    FaceTooThick {
        /// The face in tenths of a millimetre.
        face: u16,
        /// The mould's depth.
        depth: u16,
        /// The thickest face that leaves room.
        most: u16,
    },
    /// The lamp does next to nothing.
    DeadLamp,
    /// A layer that is kept as it is sets under no button.
    NeverSets(Pin),
    /// A layer that is kept as it is holds more pigment than the resin can take.
    TooStrong {
        /// What it holds.
        load: Load,
        /// The most there can be.
        ceiling: Load,
    },
    /// A layer that is kept as it is lies between two steps of the load.
    BetweenSteps {
        /// What it holds.
        load: Load,
        /// What loads go up by.
        step: Load,
    },
    /// Two kept layers cannot both be the same and rise.
    NotRising,
}

impl fmt::Display for Plain {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::FaceTooThick { face, depth, most } => {
                f.write_str(&super::face_too_thick(*face, *depth, *most))
            }
            Self::DeadLamp => f.write_str(
                "under this lamp not even the thinnest clear layer surely sets; look whether it still lights, press longer, or take another lamp",
            ),
            Self::NeverSets(pin) => write!(
                f,
                "the kept layer of {} at {} surely sets under no button; keep it thinner or paler, or let it go",
                pin.length(),
                pin.load
            ),
            Self::TooStrong { load, ceiling } => write!(
                f,
                "the kept layer holds {load} of pigment, and more than {ceiling} spoils the resin; keep it at {ceiling} or less, or let it go"
            ),
            Self::BetweenSteps { load, step } => write!(
                f,
                "the kept layer holds {load} of pigment, but this pigment is planned in steps of {step}; keep it at a whole number of steps"
            ),
            Self::NotRising => f.write_str(
                "two kept layers hold equally much pigment, but here each layer is to be deeper than the one before; change one of them, or choose another way for the colour",
            ),
        }
    }
}

impl Problem {
    /// The plain reason why this cannot be planned, where there is one.
    pub fn plain_reason(&self) -> Option<Plain> {
        let mix = &self.cure.mix;
        for pin in &self.pinned {
            if pin.load > mix.ceiling {
                return Some(Plain::TooStrong { load: pin.load, ceiling: mix.ceiling });
            }
            if mix.step.is_positive() && pin.load.micro() % mix.step.micro() != 0 {
                return Some(Plain::BetweenSteps { load: pin.load, step: mix.step });
            }
        }
        self.check().ok()?;
        let (face, depth, most) = (self.face, self.depth, self.thickest_face());
        if face > most && self.pinned.is_empty() {
            return Some(Plain::FaceTooThick { face, depth, most });
        }
        let table = Table::new(self);
        if table.colour(1, 0, 0) >= NEVER {
            return Some(Plain::DeadLamp);
        }
        let room = usize::from(self.depth - self.face);
        let never = |(thickness, load): (usize, usize)| {
            (0..room.max(1)).all(|below| table.colour(thickness, load, below) >= NEVER)
        };
        let stuck = self.pinned.iter().zip(self.pins()).find(|(_, steps)| never(*steps));
        if let Some((pin, _)) = stuck {
            return Some(Plain::NeverSets(*pin));
        }
        let same = |pin: &Pin| self.pinned.iter().filter(|other| other.load == pin.load).count() > 1;
        (self.style == Style::Deepening && self.pinned.iter().any(same)).then_some(Plain::NotRising)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cure::{Button, Doubts, Light, Mix, PigmentClass, Provenance};
    use crate::planner::plan;
    use crate::units::Length;

    fn light(seconds: f64, first_set: f64) -> Light {
        let button = Button::new(format!("{seconds} s"), Span::from_s(seconds), Span::ZERO).unwrap();
        Light::new(button, Span::from_s(first_set), Provenance::Typical).unwrap()
    }

    fn stone(class: PigmentClass) -> Problem {
        let (depth, face) = (Length::from_mm(3.5), Length::from_mm(1.5));
        let lights = vec![light(60.0, 1.0), light(120.0, 1.0)];
        let doubts = Doubts::CALIBRATED;
        Problem::for_stone(depth, face, Mix::typical(class), Style::Deepening, lights, doubts).unwrap()
    }

    #[test]
    fn nothing_wanted_changes_no_problem_and_is_not_written() {
        let usual = Wishes::default();
        let mut problem = stone(PigmentClass::White);
        usual.put_into(&mut problem);
        assert_eq!(problem, stone(PigmentClass::White));
        assert!(usual.are_usual());
        assert_eq!(ron::to_string(&usual).unwrap(), "()");
        let wanted = Wishes {
            presses: 2,
            pinned: vec![Pin { thickness: 4, load: Load::from_percent(0.8) }],
            smooth: Some(Smooth { reference: 5, seconds: 30 }),
            thinnest: Some(Wishes::SWIRLED),
        };
        assert!(!wanted.are_usual());
        assert_eq!(ron::from_str::<Wishes>(&ron::to_string(&wanted).unwrap()).unwrap(), wanted);
    }

    #[test]
    fn a_face_too_thick_for_its_mould_says_the_thickest_that_fits() {
        // 3.5 mm less a back of 0.3 mm and two colour layers of 0.3 mm: 2.6 mm, by hand.
        let lights = || vec![light(60.0, 1.0), light(120.0, 1.0)];
        let of = |face: f64| {
            let (depth, face) = (Length::from_mm(3.5), Length::from_mm(face));
            let mix = Mix::typical(PigmentClass::Dark);
            Problem::for_stone(depth, face, mix, Style::Deepening, lights(), Doubts::CALIBRATED)
        };
        let thick = of(3.0).unwrap();
        assert!(plan(&thick).is_err());
        let said = thick.plain_reason().map(|plain| plain.to_string()).unwrap_or_default();
        assert!(said.ends_with("at most 2.6 mm leaves room for colour and back behind it"), "{said}");
        let fills = of(3.5).unwrap_err().to_string();
        assert!(
            fills.contains("a clear face of 3.5 mm is too thick") && fills.contains("at most 2.6 mm"),
            "{fills}"
        );
        assert!(plan(&of(2.6).unwrap()).is_ok(), "so much really fits");
        assert_eq!(of(2.6).unwrap().plain_reason(), None);
        let shallow = Problem::for_stone(
            Length::from_mm(0.7),
            Length::from_mm(0.7),
            Mix::typical(PigmentClass::Dark),
            Style::Deepening,
            lights(),
            Doubts::CALIBRATED,
        );
        assert!(shallow.unwrap_err().to_string().ends_with("take a deeper one"));
    }

    #[test]
    fn even_steps_are_as_thick_as_each_other_and_their_cost_is_the_difference_of_two_plans() {
        let mut problem = stone(PigmentClass::White);
        let even = even(&problem).unwrap().unwrap();
        let free = plan(&problem).unwrap();
        problem.smooth = Some(even.wish);
        let evened = plan(&problem).unwrap();
        let spread = |plan: &Plan| -> i64 {
            let all: Vec<i64> = plan.colour().map(|layer| layer.thickness.micro()).collect();
            all.iter().max().unwrap() - all.iter().min().unwrap()
        };
        assert!(spread(&evened) <= spread(&free));
        assert_eq!(even.is_even, spread(&evened) == 0);
        assert_eq!(even.more, Span::from_s(f64::from(evened.cost.seconds - free.cost.seconds)));
        assert_eq!(super::even(&problem).unwrap().unwrap(), even, "the same once it is wished for");
        assert_eq!(super::even(&stone(PigmentClass::Clear)).unwrap(), None, "nothing to be even");
    }

    #[test]
    fn swirled_colour_has_to_hold_twice_as_much_where_half_is_left_at_its_thinnest() {
        let plain = stone(PigmentClass::Dark);
        let swirled = Problem { thinnest: Wishes::SWIRLED, ..plain.clone() };
        let held = |problem: &Problem| -> f64 {
            plan(problem).unwrap().colour().map(|l| l.load.percent() * l.thickness.mm()).sum()
        };
        assert!(held(&plain) + 1e-9 >= 0.40 && held(&plain) < 0.8, "{}", held(&plain));
        assert!(held(&swirled) + 1e-9 >= 0.80);
        assert_eq!(plan(&swirled).unwrap().thinnest, Some(Wishes::SWIRLED));
        assert!(!ron::to_string(&plan(&plain).unwrap()).unwrap().contains("thinnest:Some"));
        let nothing = Problem { thinnest: Share::NONE, ..plain };
        assert_eq!(plan(&nothing), Err(PlanError::Thinnest));
    }

    #[test]
    fn what_cannot_be_wanted_gets_a_plain_sentence() {
        let reason = |change: &dyn Fn(&mut Problem)| {
            let mut problem = stone(PigmentClass::White);
            change(&mut problem);
            assert!(plan(&problem).is_err(), "{problem:?}");
            problem.plain_reason().map(|plain| plain.to_string()).unwrap_or_default()
        };
        let kept = |thickness, percent| Pin { thickness, load: Load::from_percent(percent) };
        assert!(reason(&|p| p.lights = vec![light(60.0, 90.0)]).starts_with("under this lamp not even"));
        assert_eq!(
            reason(&|p| p.pinned = vec![kept(8, 2.0)]),
            "the kept layer of 0.8 mm at 2 % surely sets under no button; keep it thinner or paler, or let it go"
        );
        assert_eq!(
            reason(&|p| p.pinned = vec![kept(4, 4.0)]),
            "the kept layer holds 4 % of pigment, and more than 3 % spoils the resin; keep it at 3 % or less, or let it go"
        );
        assert!(reason(&|p| p.pinned = vec![kept(4, 0.33)]).contains("in steps of 0.05 %"));
        assert!(reason(&|p| p.pinned = vec![kept(3, 0.5), kept(4, 0.5)]).starts_with("two kept layers"));
        assert_eq!(stone(PigmentClass::White).plain_reason(), None, "a stone that can be planned has none");
    }
}
