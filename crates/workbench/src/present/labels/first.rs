//! Words on the controls: first.
