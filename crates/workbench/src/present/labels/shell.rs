//! Words on the controls: shell.
