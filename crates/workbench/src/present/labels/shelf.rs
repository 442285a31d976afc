//! Words on the controls: shelf.
