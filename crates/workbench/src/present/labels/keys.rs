//! Words on the controls: keys.
