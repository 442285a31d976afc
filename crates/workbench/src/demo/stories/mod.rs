//! The orders of the demo, by how far each has come.

mod asking;
mod bench;
mod choosing;
mod home;
mod showing;

use craft::refusal::Refusal;

use super::pen::Pen;

/// Writes every order down, those that came first before the others.
pub(super) fn write(pen: &mut Pen) -> Result<(), Refusal> {
    home::write(pen)?;
    choosing::write(pen)?;
    showing::write(pen)?;
    asking::write(pen)?;
    bench::write(pen)
}
