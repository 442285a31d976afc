//! What an instrument, or an eye, said: a value with its standard uncertainty.

use serde::{Deserialize, Serialize};

/// How a value was come by.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Means {
    /// Read from a scale.
    Scale,
    /// Read from a caliper.
    Caliper,
    /// Judged by eye or by feel.
    ByEye,
}

/// A value with its doubt.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Reading<Q> {
    /// The value.
    pub value: Q,
    /// Its standard uncertainty (one standard deviation), in the same unit; never negative.
    pub doubt: Q,
    /// How it was come by.
    pub by: Means,
}
