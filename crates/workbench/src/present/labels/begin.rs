//! Words on the controls: begin.
