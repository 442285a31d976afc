//! Words on the controls: show.
