//! Words on the controls: plan.
