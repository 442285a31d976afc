//! The window: where things stand on the screen, and how the person's hands reach them.
//!
//! A pane reads a [`View`](workbench::view::View), changes only its own drafts, and asks for what it wants by pushing
//! wishes. [`platform`] does what only the computer under the window can do: sound, notices, dialogs, printing.
//!
//! This crate **never** holds a rule of the trade, a file format or a formula, and words nothing that a paper or
//! another door would say too: those come from `workbench::present`.

pub mod app;
pub mod cx;
pub mod draw;
mod hands;
mod keep;
pub mod look;
mod pages;
pub mod platform;
mod shelf;
pub mod shell;
mod tryout;
pub mod widgets;
pub mod window;
