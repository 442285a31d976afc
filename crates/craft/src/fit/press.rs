//! In which order to press a bezel down, as data.

/// How many places round the bezel are pressed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum PressPlaces {
    /// The two sides, top and bottom.
    Four,
    /// And once between each.
    Eight,
    /// And once more between each of those.
    Sixteen,
}

/// A place on the bezel, seen from above with the length of the stone upright.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct PressPlace {
    /// Sixteenths of the way round, clockwise from the top: 0–15.
    pub sixteenth: u8,
}

impl PressPlace {
    /// The angle clockwise from the top, in degrees.
    pub fn degrees(self) -> f64 {
        f64::from(self.sixteenth) * 22.5
    }

    /// The place directly across.
    #[must_use]
    pub fn across(self) -> Self {
        Self { sixteenth: (self.sixteenth + 8) % 16 }
    }
}

/// The first place of each pair; its opposite always follows.
const FIRST_OF_PAIR: [u8; 8] = [4, 0, 2, 6, 1, 5, 3, 7];

/// The order: one side, directly across, then top and bottom, then the rest, each followed by its opposite, so that the
/// stone is never pushed off its seat. Common practice, no source. For outlines without points.
pub fn press_order(places: PressPlaces) -> Vec<PressPlace> {
    let pairs = match places {
        PressPlaces::Four => 2,
        PressPlaces::Eight => 4,
        PressPlaces::Sixteen => 8,
    };
    FIRST_OF_PAIR
        .iter()
        .take(pairs)
        .map(|&sixteenth| PressPlace { sixteenth })
        .flat_map(|place| [place, place.across()])
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    const ALL: [PressPlaces; 3] = [PressPlaces::Four, PressPlaces::Eight, PressPlaces::Sixteen];

    #[test]
    fn the_sides_come_first_then_top_and_bottom() {
        for places in ALL {
            let degrees: Vec<f64> = press_order(places).iter().take(4).map(|p| p.degrees()).collect();
            assert_eq!(degrees, [90.0, 270.0, 0.0, 180.0], "{places:?}");
        }
    }

    #[test]
    fn every_place_is_pressed_once_and_followed_by_its_opposite() {
        for (places, count) in ALL.into_iter().zip([4_usize, 8, 16]) {
            let order = press_order(places);
            for pair in order.chunks(2) {
                assert_eq!(pair[0].across(), pair[1]);
            }
            let mut sorted: Vec<usize> = order.iter().map(|p| usize::from(p.sixteenth)).collect();
            sorted.sort_unstable();
            let even: Vec<usize> = (0..count).map(|i| i * 16 / count).collect();
            assert_eq!(sorted, even, "{places:?}: evenly spread, none twice");
        }
    }

    #[test]
    fn the_unpressed_gap_is_never_more_than_twice_the_pressed_one() {
        // After the first four, each new place falls in the middle of the widest gap still open.
        let order = press_order(PressPlaces::Sixteen);
        for done in 4..16 {
            let mut seen: Vec<u8> = order.iter().take(done).map(|p| p.sixteenth).collect();
            seen.sort_unstable();
            let gaps: Vec<u8> =
                (0..seen.len()).map(|i| (seen[(i + 1) % seen.len()] + 15 - seen[i]) % 16 + 1).collect();
            let (least, most) = (gaps.iter().min().unwrap(), gaps.iter().max().unwrap());
            assert!(most <= &(2 * least), "after {done}: {gaps:?}");
        }
    }
}
