//! Words on the controls: common.
