//! Words on the controls: choose.
