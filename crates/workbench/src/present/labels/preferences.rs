//! Words on the controls: preferences.
