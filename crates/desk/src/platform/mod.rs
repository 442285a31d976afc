//! What only the computer under the window can do: sound, notices, dialogs, opening, printing, remembering.
//!
//! Nothing here draws, and nothing here makes the window wait: what may take long runs on a thread of its own and is
//! asked for with a `poll`. Programs of the system are looked for by name, and where one is absent the answer says
//! which package brings it.

pub mod crash;
pub mod dialogs;
mod errands;
pub mod libraries;
mod limited;
pub mod notice;
pub mod opening;
mod places;
pub mod prefs;
pub mod printing;
mod programs;
pub mod sound;

pub use errands::Wake;
pub use places::Places;
pub use programs::Programs;
