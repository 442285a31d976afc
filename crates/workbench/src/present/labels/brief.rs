//! Words on the controls: brief.
