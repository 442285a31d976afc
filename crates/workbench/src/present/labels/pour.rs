//! Words on the controls: pour.
