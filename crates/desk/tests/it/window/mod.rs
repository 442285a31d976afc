//! The window, driven by a hand at the keyboard.

mod after;
mod begin;
mod brief;
mod custody;
mod first;
mod fit;
mod golden;
mod guard;
mod hand;
mod handed_in;
mod home;
mod keeping;
mod lamp;
mod learn;
mod life;
mod looks;
mod many;
mod messages;
mod papers;
mod plan;
mod pour;
mod raster;
mod shelf;
mod shell;
mod show;
mod whole_order;
