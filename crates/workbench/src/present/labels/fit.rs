//! Words on the controls: fit.

use craft::fact::{Feel, FitWork};
use craft::reading::{Means, Reading};
use craft::units::Length;

use crate::present::words;

/// No stone is chosen.
pub const NONE: &str = "The client's choice says which stone is set.";
/// To the choice.
pub const TO_CHOOSE: &str = "Note the choice";
/// To the mould.
pub const TO_POUR: &str = "Go to pour";
/// To the errands.
pub const TO_BRIEF: &str = "to brief";
/// To the box.
pub const TO_PACK: &str = "Pack it";
/// Over the ways a stone can sit.
pub const FEEL: &str = "How it sits";
/// Over what was done to it.
pub const WORK: &str = "What was done";
/// Over the measures.
pub const CALIPER: &str = "By caliper";
/// What the measures are for.
pub const CALIPER_MORE: &str = "Feel is enough. Measures say how much to take off, and where.";
/// Along.
pub const LENGTH: &str = "Length";
/// Across.
pub const WIDTH: &str = "Width";
/// From the back to where the dome begins.
pub const EDGE: &str = "Edge, back to dome";
/// From the back to the top.
pub const HEIGHT: &str = "Whole height";
/// An example.
pub const MEASURE_HINT: &str = "mm";
/// Where the piece is put.
pub const PUT_WHERE: &str = "Where the piece is put";
/// It is set.
pub const SET: &str = "It is set";
/// Heading over setting it.
pub const SETTING: &str = "Set it";
/// How a bezel is pressed.
pub const PRESS: &str = "Press in this order, each time the side across next, and a little at a time.";
/// Heading over the ring.
pub const RING: &str = "Ring size";
/// The size names no system.
pub const RING_UNREAD: &str =
    "Write its system on the sheet, such as \"UK N\" or \"17.3 mm inside\", to see it beside the others.";
/// Heading over what others do.
pub const ERRANDS: &str = "Not back yet";
/// Beside sanding.
pub const CARE_SAND: &str = "Sand wet, with a mask: the dust of resin does not belong in lungs.";
/// Beside pushers.
pub const CARE_TOOLS: &str = "Push away from the hand that holds, with the piece in a clamp.";

/// One stone in the row.
pub fn stone(no: u8) -> String {
    words::sentence_start(&words::stone(no))
}

/// How it sat, as a button.
pub const fn feel(feel: Feel) -> &'static str {
    match feel {
        Feel::TooTight => "too tight",
        Feel::Proud => "proud",
        Feel::Flush => "flush",
        Feel::Low => "low",
        Feel::TooLoose => "too loose",
    }
}

/// What was done, as a button.
pub const fn work(work: FitWork) -> &'static str {
    match work {
        FitWork::SandedEdge => "sanded the edge",
        FitWork::SandedBack => "sanded the back",
        FitWork::BuiltUp => "built it up",
        FitWork::Polished => "polished it",
    }
}

/// Over what was tried and done.
pub const SO_FAR: &str = "So far";
/// Takes the last step back as a mistake.
pub const STRIKE: &str = "strike this";
/// Its name: "strike this: sits flush".
pub fn strike(step: &str) -> String {
    format!("{STRIKE}: {step}")
}
/// What striking does.
pub const STRIKE_SAYS: &str = "It did not happen. The record keeps it, struck through.";
/// Steps that are not shown: "and 3 before".
pub fn before(count: usize) -> String {
    format!("and {count} before")
}

/// A measure as its field shows it, so that it reads back as it was meant: "8.4 mm", "about 8 mm".
pub fn measure(reading: Reading<Length>) -> String {
    let value = words::length(reading.value);
    if reading.by == Means::ByEye { format!("about {value}") } else { value }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::typed;

    #[test]
    fn a_measure_is_shown_as_it_reads_back() {
        for (text, shown) in [("8.4", "8.4 mm"), ("about 8", "about 8 mm")] {
            let reading = typed::length_reading(text).unwrap().value;
            assert_eq!(measure(reading), shown);
            assert_eq!(typed::length_reading(&measure(reading)).unwrap().value, reading);
        }
    }
}
