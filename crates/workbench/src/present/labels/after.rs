//! Words on the controls: after.
