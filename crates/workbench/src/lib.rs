//! The program without its window: what can be asked of it, what it remembers, what it says.
//!
//! [`Workbench`](state::Workbench) is a pure state machine: [`handle`](state::Workbench::handle) takes an
//! [`Action`](action::Action) and gives [`Effect`](action::Effect)s, [`view`](state::Workbench::view) shows what there
//! is. [`runner`] performs effects, and alone owns threads, the folder and the papers engine; [`clock`] alone asks what
//! time it is. All wording is in [`present`].
//!
//! ```
//! use craft::id::DocId;
//! use craft::moment::{BootId, Moment};
//! use craft::money::Currency;
//! use craft::policies::Policies;
//! use craft::studio::{Edit, Studio};
//! use workbench::action::{Action, Effect};
//! use workbench::state::Workbench;
//!
//! # fn main() -> Result<(), Box<dyn std::error::Error>> {
//! let settings = Policies::new("studio-by-the-sea".parse()?, "The Boathouse".parse()?, Currency::EUR);
//! let mut bench = Workbench::new(Studio::new(settings.clone()), None);
//! let now = Moment { utc_ms: 0, offset_min: 60, boot: BootId(1), since_boot_ms: 0, awake_ms: 0 };
//!
//! // An edit goes in, and what is to be done in the world comes out: nothing has touched a disk yet.
//! let moved = Policies { post: "Harbour Lane 2".parse()?, ..settings };
//! let effects = bench.handle(Action::Edit(Edit::Policies(Box::new(moved))), now);
//! assert!(effects.iter().any(|effect| matches!(effect, Effect::Save(DocId::Policies, ..))));
//! assert_eq!(bench.view(now).studio.policies().post.as_str(), "Harbour Lane 2");
//! # Ok(())
//! # }
//! ```
//!
//! This crate **never** draws, and never holds a rule of the trade: those are in `craft`.

pub mod action;
pub mod clock;
pub mod demo;
pub mod finding;
pub mod fitting;
pub mod founding;
pub mod handling;
mod index;
pub mod keeping;
pub mod open;
pub mod pictures;
pub mod pouring;
pub mod present;
pub mod quick;
pub mod runner;
pub mod saving;
pub mod session;
pub mod shelving;
pub mod starter;
pub mod state;
pub mod stones;
pub mod trying;
pub mod typed;
pub mod undo;
pub mod view;
pub mod waits;
pub mod weighing;
