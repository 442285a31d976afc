//! Words on the controls: papers.
