//! Ring sizes of all systems on one axis: the inner circumference in mm.
//!
//! Stored is what the client said and the circumference it means; other systems are shown as the nearest size
//! with what is left over. The rules:
//!
//! | system | circumference | range |
//! |---|---|---|
//! | UK, Ireland, Australia | 37.5 + 1.25·i mm, A = 0 … Z = 25, then Z+1 … Z+6; halves between (BS 6820; R. Rowlett, *How Many? A Dictionary of Units of Measurement*) | A … Z+6 |
//! | US, Canada | π·(11.6332 + 0.8128·n) mm, quarters (0.458 in + 0.032 in·n: a table in an encyclopaedia that quotes a US Bureau of Standards circular, itself not seen; no standard governs) | 0 … 16 |
//! | Japan | π·(13 + (n − 1)/3) mm, whole (JIS S 4700; Rowlett) | 1 … 35 |
//! | ISO, France, Germany | the circumference itself (ISO 8653:2016); the halves are ours and not the standard's | 41 … 76 |
//! | Italy, Spain, Switzerland | circumference − 40, halves (common practice) | 1 … 36 |

use std::f64::consts::PI;

use serde::{Deserialize, Serialize};

use crate::units::Length;

/// A way of naming ring sizes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum RingSystem {
    /// Letters: United Kingdom, Ireland, Australia, New Zealand.
    Letters,
    /// Numbers of the United States and Canada.
    American,
    /// Numbers of Japan.
    Japanese,
    /// The inner circumference in mm: ISO 8653, France, Germany, Austria, the Nordic countries. Some in Germany and
    /// the Netherlands name the diameter instead, so a number below 30 is refused and worth a question.
    Circumference,
    /// The inner circumference in mm less 40: Italy, Spain, Switzerland.
    LessForty,
}

/// How one system counts: everything in quarters of a size, so that halves and quarters stay exact.
struct Rule {
    /// Quarters at the smallest size.
    first: u32,
    /// Quarters at the largest size.
    last: u32,
    /// Quarters between two sizes that can be named.
    step: u32,
    /// Circumference of size number 0, in mm.
    zero_mm: f64,
    /// Circumference from one whole size to the next, in mm.
    whole_mm: f64,
}

/// Why a ring size cannot be; says what would be right.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum RingError {
    /// The token does not read as a size of this system.
    #[error("\"{token}\" is not a size {}; write it like {}", of(*system), example(*system))]
    Unreadable {
        /// What the client gave.
        token: String,
        /// The system it was read in.
        system: RingSystem,
    },
    /// The size lies outside the system's defined range.
    #[error("\"{token}\" is outside the sizes {}, which run from {first} to {last}; ask for the inner circumference in mm", of(*system))]
    SizeOutOfRange {
        /// What the client gave.
        token: String,
        /// The system it was read in.
        system: RingSystem,
        /// The smallest size.
        first: String,
        /// The largest size.
        last: String,
    },
    /// A circumference that no size of the system comes near.
    #[error("an inner circumference of {circumference} is outside the sizes {}, which run from {least} to {most}", of(*system))]
    CircumferenceOutOfRange {
        /// The circumference.
        circumference: Length,
        /// The system wanted.
        system: RingSystem,
        /// The circumference of the smallest size.
        least: Length,
        /// The circumference of the largest size.
        most: Length,
    },
}

fn of(system: RingSystem) -> &'static str {
    match system {
        RingSystem::Letters => "in letters",
        RingSystem::American => "of the US system",
        RingSystem::Japanese => "of the Japanese system",
        RingSystem::Circumference => "in mm of circumference",
        RingSystem::LessForty => "of the circumference-less-40 system",
    }
}

fn example(system: RingSystem) -> &'static str {
    match system {
        RingSystem::Letters => "N, N½ or Z+2",
        RingSystem::American => "6, 6½ or 6.25",
        RingSystem::Japanese => "13, a whole number",
        RingSystem::Circumference => "54 or 54.5",
        RingSystem::LessForty => "14 or 14.5",
    }
}

/// A size as the client gave it, with what it means.
#[derive(Clone, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RingSize {
    /// The system the client spoke in.
    pub system: RingSystem,
    /// The client's own words.
    pub token: String,
    /// The inner circumference this means.
    pub circumference: Length,
}

/// The nearest size of a system, and what is left over.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NearestSize {
    /// The system.
    pub system: RingSystem,
    /// The size as written in that system.
    pub token: String,
    /// The circumference of that size.
    pub circumference: Length,
    /// The circumference asked about less that of the size: above zero where the ring is larger than the size says.
    pub residual: Length,
}

/// The inner diameter of a ring of an inner circumference.
pub fn inner_diameter(circumference: Length) -> Length {
    Length::from_mm(circumference.mm() / PI)
}

/// The inner circumference of a ring of an inner diameter.
pub fn inner_circumference(diameter: Length) -> Length {
    Length::from_mm(diameter.mm() * PI)
}

impl RingSize {
    /// Reads a client's token in a system: "N½", "N 1/2", "n.5", "Z+2"; "6.5", "6 1/2", "6,5", "6½".
    ///
    /// # Errors
    /// A token that does not read as a size, or one outside the system's range.
    pub fn parse(token: &str, system: RingSystem) -> Result<Self, RingError> {
        let rule = system.rule();
        let unreadable = || RingError::Unreadable { token: token.to_owned(), system };
        let quarters = match system {
            RingSystem::Letters => letter_quarters(token.trim()),
            _ => mixed_quarters(token.trim()),
        }
        .filter(|quarters| quarters % rule.step == 0)
        .ok_or_else(unreadable)?;
        if !(rule.first..=rule.last).contains(&quarters) {
            let (first, last) = (system.write(rule.first), system.write(rule.last));
            return Err(RingError::SizeOutOfRange { token: token.to_owned(), system, first, last });
        }
        Ok(Self { system, token: token.trim().to_owned(), circumference: rule.circumference(quarters) })
    }
}

impl Rule {
    fn circumference(&self, quarters: u32) -> Length {
        Length::from_mm(self.zero_mm + self.whole_mm * f64::from(quarters) / 4.0)
    }
}

impl RingSystem {
    /// Every system, in the order they are shown.
    pub const ALL: [RingSystem; 5] = [
        RingSystem::Letters,
        RingSystem::American,
        RingSystem::Japanese,
        RingSystem::Circumference,
        RingSystem::LessForty,
    ];

    fn rule(self) -> Rule {
        match self {
            RingSystem::Letters => Rule { first: 0, last: 124, step: 2, zero_mm: 37.5, whole_mm: 1.25 },
            RingSystem::American => {
                Rule { first: 0, last: 64, step: 1, zero_mm: PI * 11.6332, whole_mm: PI * 0.8128 }
            }
            RingSystem::Japanese => {
                Rule { first: 4, last: 140, step: 4, zero_mm: PI * 38.0 / 3.0, whole_mm: PI / 3.0 }
            }
            RingSystem::Circumference => Rule { first: 164, last: 304, step: 2, zero_mm: 0.0, whole_mm: 1.0 },
            RingSystem::LessForty => Rule { first: 4, last: 144, step: 2, zero_mm: 40.0, whole_mm: 1.0 },
        }
    }

    /// The smallest and the largest circumference of the system.
    pub fn range(self) -> (Length, Length) {
        let rule = self.rule();
        (rule.circumference(rule.first), rule.circumference(rule.last))
    }

    /// Where a circumference lies on the system's own scale, as an unrounded number (letters count from A = 0).
    pub fn number(self, circumference: Length) -> f64 {
        let rule = self.rule();
        (circumference.mm() - rule.zero_mm) / rule.whole_mm
    }

    /// The nearest size to a circumference; a tie goes to the larger size, which still passes the knuckle.
    ///
    /// # Errors
    /// A circumference more than half a step outside the system's range.
    pub fn nearest(self, circumference: Length) -> Result<NearestSize, RingError> {
        let rule = self.rule();
        let steps = (self.number(circumference) * 4.0 / f64::from(rule.step) + 0.5).floor();
        let within = |least: u32, most: u32| steps >= f64::from(least) && steps <= f64::from(most);
        if !within(rule.first / rule.step, rule.last / rule.step) {
            let (least, most) = self.range();
            return Err(RingError::CircumferenceOutOfRange { circumference, system: self, least, most });
        }
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "checked to lie in 0..=304"
        )]
        let quarters = steps as u32 * rule.step;
        let size = rule.circumference(quarters);
        Ok(NearestSize {
            system: self,
            token: self.write(quarters),
            circumference: size,
            residual: circumference - size,
        })
    }

    fn write(self, quarters: u32) -> String {
        let (whole, part) = (quarters / 4, ["", "¼", "½", "¾"][(quarters % 4) as usize]);
        match self {
            RingSystem::Letters => {
                let letter = char::from(b'A'.saturating_add(u8::try_from(whole.min(25)).unwrap_or(25)));
                match whole.checked_sub(25) {
                    Some(beyond) if beyond > 0 => format!("{letter}+{beyond}{part}"),
                    _ => format!("{letter}{part}"),
                }
            }
            _ if whole == 0 && !part.is_empty() => part.to_owned(),
            _ => format!("{whole}{part}"),
        }
    }
}

/// Reads a letter with an optional half, or Z with a number beyond it, into quarters of a letter.
fn letter_quarters(token: &str) -> Option<u32> {
    let mut rest = token.chars();
    let letter = rest.next()?.to_ascii_uppercase();
    let index = 4 * u32::from(letter).checked_sub(u32::from('A')).filter(|i| *i < 26)?;
    let rest = rest.as_str().trim_start();
    if rest.is_empty() {
        return Some(index);
    }
    if let Some(beyond) = rest.strip_prefix('+') {
        // Only the last letter is counted on from.
        return (letter == 'Z').then_some(index)?.checked_add(mixed_quarters(beyond.trim_start())?);
    }
    let more = if rest.starts_with(['.', ',']) {
        mixed_quarters(&format!("0{rest}"))?
    } else {
        mixed_quarters(rest)?
    };
    // "Z2" is often written for Z+2, but no other letter takes a whole number.
    (more < 4 || letter == 'Z').then_some(index)?.checked_add(more)
}

/// Reads "6", "6.5", "6,25", "6½", "6 1/2", "6-1/2" or "½" into quarters. "61/2" is refused, since it can be read two ways.
fn mixed_quarters(token: &str) -> Option<u32> {
    for (text, part) in [("¼", 1), ("½", 2), ("¾", 3)] {
        if let Some(head) = token.strip_suffix(text) {
            return whole_quarters(head.trim_end())?.checked_add(part);
        }
    }
    for (text, part) in [("1/4", 1), ("1/2", 2), ("3/4", 3)] {
        if let Some(head) = token.strip_suffix(text) {
            if !head.is_empty() && !head.ends_with([' ', '-']) {
                return None;
            }
            return whole_quarters(head.trim_end_matches([' ', '-']))?.checked_add(part);
        }
    }
    let Some((head, decimals)) = token.split_once(['.', ',']) else {
        return (!token.is_empty()).then_some(token).and_then(whole_quarters);
    };
    let part = match decimals.trim_end_matches('0') {
        "" if !decimals.is_empty() => 0,
        "25" => 1,
        "5" => 2,
        "75" => 3,
        _ => return None,
    };
    (!head.is_empty()).then_some(head).and_then(whole_quarters)?.checked_add(part)
}

/// A whole number of at most four digits in quarters; nothing written counts as zero.
fn whole_quarters(digits: &str) -> Option<u32> {
    if digits.is_empty() {
        return Some(0);
    }
    let plain = digits.len() <= 4 && digits.bytes().all(|b| b.is_ascii_digit());
    plain.then_some(digits)?.parse::<u32>().ok()?.checked_mul(4)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn mm(token: &str, system: RingSystem) -> f64 {
        RingSize::parse(token, system).unwrap().circumference.mm()
    }

    #[test]
    fn a_half_letter_is_read_however_it_is_written() {
        for token in ["N½", "N 1/2", "N1/2", "n½", " N.5 ", "N 0.5", "N ½", "N-1/2"] {
            assert_eq!(
                RingSize::parse(token, RingSystem::Letters).unwrap().circumference,
                Length::from_mm(54.375),
                "{token}"
            );
        }
        for token in ["Z+2", "Z2", "z + 2", "Z 2"] {
            assert_eq!(
                RingSize::parse(token, RingSystem::Letters).unwrap().circumference,
                Length::from_mm(71.25),
                "{token}"
            );
        }
    }

    #[test]
    fn a_half_number_is_read_however_it_is_written() {
        for token in ["6.5", "6 1/2", "6½", "6,5", "6.50", "6-1/2", "6 ½"] {
            assert!(
                (mm(token, RingSystem::American) - PI * (11.6332 + 0.8128 * 6.5)).abs() < 1e-6,
                "{token}"
            );
        }
        assert!((mm("½", RingSystem::American) - PI * (11.6332 + 0.4064)).abs() < 1e-6);
    }

    #[test]
    fn what_is_not_a_size_is_refused_in_a_sentence() {
        let sentence = |token: &str, system| RingSize::parse(token, system).unwrap_err().to_string();
        assert_eq!(
            sentence("61/2", RingSystem::American),
            "\"61/2\" is not a size of the US system; write it like 6, 6½ or 6.25"
        );
        assert_eq!(
            sentence("Z+7", RingSystem::Letters),
            "\"Z+7\" is outside the sizes in letters, which run from A to Z+6; ask for the inner circumference in mm"
        );
        assert_eq!(
            sentence("17", RingSystem::Circumference),
            "\"17\" is outside the sizes in mm of circumference, which run from 41 to 76; ask for the inner circumference in mm"
        );
        for token in ["", "N+1", "N2", "N¼", "Ñ", "6", "½", "NN", "N½½", "+1", "Z+", "Z-", "N."] {
            assert!(
                matches!(RingSize::parse(token, RingSystem::Letters), Err(RingError::Unreadable { .. })),
                "{token}"
            );
        }
        for token in ["", "6.3", "-6", "6..5", "six", "N", "99999999999999999999", "6.", ".5", "1/3", "６"] {
            assert!(
                matches!(RingSize::parse(token, RingSystem::American), Err(RingError::Unreadable { .. })),
                "{token}"
            );
        }
        assert!(matches!(RingSize::parse("13.5", RingSystem::Japanese), Err(RingError::Unreadable { .. })));
        assert!(matches!(RingSize::parse("0", RingSystem::Japanese), Err(RingError::SizeOutOfRange { .. })));
        assert!(matches!(
            RingSize::parse("9999", RingSystem::LessForty),
            Err(RingError::SizeOutOfRange { .. })
        ));
    }

    #[test]
    fn a_circumference_off_the_scale_is_refused() {
        assert_eq!(
            RingSystem::Letters.nearest(Length::from_mm(36.0)).unwrap_err().to_string(),
            "an inner circumference of 36 mm is outside the sizes in letters, which run from 37.5 mm to 76.25 mm"
        );
        for system in RingSystem::ALL {
            for circumference in [-50.0, 0.0, 30.0, 100.0, 1e9] {
                assert!(
                    system.nearest(Length::from_mm(circumference)).is_err(),
                    "{system:?} {circumference}"
                );
            }
            let (least, most) = system.range();
            assert_eq!(system.nearest(least).unwrap().residual, Length::ZERO);
            assert_eq!(system.nearest(most).unwrap().residual, Length::ZERO);
        }
    }

    #[test]
    fn a_tie_goes_to_the_larger_size() {
        let size = RingSystem::Letters.nearest(Length::from_mm(54.0625)).unwrap();
        assert_eq!((size.token.as_str(), size.residual), ("N½", Length::from_mm(-0.3125)));
    }

    #[test]
    fn a_size_is_kept_in_the_clients_own_words() {
        let size = RingSize::parse("N 1/2", RingSystem::Letters).unwrap();
        let text = ron::to_string(&size).unwrap();
        assert_eq!(text, "(system:Letters,token:\"N 1/2\",circumference:\"54.375 mm\")");
        assert_eq!(ron::from_str::<RingSize>(&text).unwrap(), size);
    }

    proptest! {
        #[test]
        fn the_nearest_size_reads_back_and_leaves_at_most_half_a_step(micro in 40_000_000..75_000_000_i64) {
            let circumference = Length::from_micro(micro);
            for system in RingSystem::ALL {
                let Ok(size) = system.nearest(circumference) else { continue };
                let back = RingSize::parse(&size.token, system).unwrap();
                prop_assert_eq!(back.circumference, size.circumference);
                prop_assert_eq!(size.circumference + size.residual, circumference);
                let rule = system.rule();
                let half_step_mm = rule.whole_mm * f64::from(rule.step) / 8.0;
                prop_assert!(size.residual.mm().abs() <= half_step_mm + 1e-6);
            }
        }

        #[test]
        fn no_text_makes_the_reader_panic(token in "\\PC{0,12}") {
            for system in RingSystem::ALL {
                if let Ok(size) = RingSize::parse(&token, system) {
                    prop_assert!(size.circumference >= Length::from_mm(36.0));
                }
            }
        }

        #[test]
        fn diameter_and_circumference_are_each_others_inverse(micro in 1_000_000..100_000_000_i64) {
            let circumference = Length::from_micro(micro);
            let back = inner_circumference(inner_diameter(circumference));
            prop_assert!((back - circumference).abs() <= Length::from_micro(2));
        }
    }
}
