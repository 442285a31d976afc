//! The house templates, as they are compiled in.

use crate::facts::Kind;

/// Type, colours, header, tag QR and footer: what every template imports.
pub const HOUSE: &str = include_str!("../../templates/house.typ");

/// The house template of a kind: where a user's own template starts from.
pub fn template(kind: Kind) -> &'static str {
    match kind {
        Kind::Proof => include_str!("../../templates/proof.typ"),
        Kind::Receipt => include_str!("../../templates/receipt.typ"),
        Kind::Kit => include_str!("../../templates/kit.typ"),
        Kind::Packing => include_str!("../../templates/packing.typ"),
        Kind::Care => include_str!("../../templates/care.typ"),
        Kind::Custody => include_str!("../../templates/custody.typ"),
    }
}
