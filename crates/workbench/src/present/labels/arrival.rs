//! Words on the controls: arrival.
