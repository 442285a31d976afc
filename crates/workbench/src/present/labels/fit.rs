//! Words on the controls: fit.
