//! Words on the controls: pack.
