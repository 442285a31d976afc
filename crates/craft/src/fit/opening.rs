//! Whether the opening of a setting takes a stone as its mould makes it.

use crate::geometry::Outline;
use crate::units::Length;

/// How much wider than the stone an opening may be, both sides together, before building the stone up is more than a
/// touch of clear resin. Common practice, no source.
const LOOSEST: Length = Length::from_micro(500_000);

/// How a stone as its mould makes it does not go with an opening.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Misfit {
    /// The stone is larger than the opening, along or across.
    TooLarge,
    /// The opening is wider than the stone by more than can be built up: 0.5 mm, both sides together.
    TooSmall,
}

/// Whether an opening takes a stone as its mould makes it; none where it does. Each way is judged by itself, lengths
/// against lengths and widths against widths.
pub fn misfit(opening: &Outline, stone: &Outline) -> Option<Misfit> {
    judged(&[opening.length() - stone.length(), opening.width() - stone.width()])
}

/// What the room each way amounts to.
fn judged(rooms: &[Length]) -> Option<Misfit> {
    if rooms.iter().any(|room| *room < Length::ZERO) {
        Some(Misfit::TooLarge)
    } else if rooms.iter().any(|room| *room > LOOSEST) {
        Some(Misfit::TooSmall)
    } else {
        None
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn oval(length: f64, width: f64) -> Outline {
        Outline::Oval { length: Length::from_mm(length), width: Length::from_mm(width) }
    }

    fn round(diameter: f64) -> Outline {
        Outline::Round { diameter: Length::from_mm(diameter) }
    }

    /// Openings and stones, and what is right: worked out by hand from the differences each way.
    fn table() -> [(Outline, Outline, Option<Misfit>); 9] {
        [
            (oval(10.1, 8.1), oval(10.0, 8.0), None),
            (oval(10.1, 8.1), oval(10.1, 8.1), None),
            (oval(10.1, 8.1), oval(10.2, 8.0), Some(Misfit::TooLarge)),
            (oval(10.1, 8.1), oval(10.0, 8.2), Some(Misfit::TooLarge)),
            (oval(10.1, 8.1), oval(9.6, 7.6), None),
            (oval(10.1, 8.1), oval(9.5, 8.0), Some(Misfit::TooSmall)),
            (oval(10.1, 8.1), oval(10.0, 7.5), Some(Misfit::TooSmall)),
            // One way would do and the other would not.
            (round(9.0), oval(10.0, 8.0), Some(Misfit::TooLarge)),
            (round(10.2), round(10.0), None),
        ]
    }

    #[test]
    fn an_opening_takes_what_goes_in_and_is_not_lost_in_it() {
        for (opening, stone, right) in table() {
            assert_eq!(misfit(&opening, &stone), right, "{opening:?} {stone:?}");
        }
    }

    #[test]
    fn judging_by_the_lengths_alone_or_by_the_mean_is_noticed() {
        let by_length = |opening: &Outline, stone: &Outline| judged(&[opening.length() - stone.length()]);
        let by_mean = |opening: &Outline, stone: &Outline| {
            let room =
                (opening.length() - stone.length()).micro() + (opening.width() - stone.width()).micro();
            judged(&[Length::from_micro(room / 2)])
        };
        let wrong = |rule: &dyn Fn(&Outline, &Outline) -> Option<Misfit>| {
            table().into_iter().filter(|(opening, stone, right)| rule(opening, stone) != *right).count()
        };
        assert_eq!(wrong(&misfit), 0);
        assert!(wrong(&by_length) >= 2, "a stone that is too wide goes unnoticed");
        assert!(wrong(&by_mean) >= 2, "one way makes up for the other");
    }
}
