//! Words on the controls: messages.
