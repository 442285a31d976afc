//! The program without its window: what can be asked of it, what it remembers, what it says.
//!
//! [`Workbench`](state::Workbench) is a pure state machine: [`handle`](state::Workbench::handle) takes an
//! [`Action`](action::Action) and gives [`Effect`](action::Effect)s, [`view`](state::Workbench::view) shows what there
//! is. [`runner`] performs effects, and alone owns threads, the folder and the papers engine; [`clock`] alone asks what
//! time it is. All wording is in [`present`].
//!
//! This crate **never** draws, and never holds a rule of the trade: those are in `craft`.

pub mod action;
pub mod clock;
pub mod demo;
pub mod open;
pub mod present;
pub mod runner;
pub mod saving;
pub mod session;
pub mod starter;
pub mod state;
pub mod undo;
pub mod view;
pub mod waits;
