//! Words on the controls: the guard against mix-ups.

use crate::present::alike::{AlikeRow, in_a_line};
use crate::present::custody::CarrierRow;

/// The tick box.
pub const BENCH_CLEAR: &str = "the bench is clear";
/// Beside it.
pub const BENCH_HEAD: &str = "The bench is clear";
/// Opens the list of what has to bear the tag.
pub const TAGS: &str = "what must bear the tag";
/// Over it.
pub const TAGS_SAYS: &str = "Every sheet, cavity and packet of this order bears its tag and its own label.";

/// An order with a name like this one's, after its tag: "Bramle, for Tom Reed, due in 2 days".
pub fn alike(row: &AlikeRow) -> String {
    if row.own { format!("{} – this one", in_a_line(row)) } else { in_a_line(row) }
}

/// Where something is about to go in: "It goes into stone 4, in cavity B2 of Oval 10 × 8, marked A2B-C3H S4."
pub fn cavity(row: &CarrierRow) -> String {
    format!("It goes into {}, marked {}.", row.words, row.label)
}

/// What a sheet has to bear: "Write A2B-C3H W1 on the sheet under wrapping 1."
pub fn sheet(row: &CarrierRow) -> String {
    format!("Write {} on {}.", row.label, row.words)
}
