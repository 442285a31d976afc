//! A client: who to write to, where to post, and what they allow.

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

use crate::text::{Line, Text};

/// What a client said when asked.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default, Serialize, Deserialize)]
pub enum Permission {
    /// Not asked yet, which counts as no.
    #[default]
    NotAsked,
    /// Yes, on this day.
    Given(NaiveDate),
    /// No.
    Refused,
}

/// When the client wants to hear from the studio.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default, Serialize, Deserialize)]
pub enum WriteWhen {
    /// At each step.
    #[default]
    EachStep,
    /// Only when an answer is needed.
    OnlyQuestions,
    /// Never before the due date: it is a surprise in the same house.
    NotAtHome,
}

/// A client.
#[derive(Clone, Debug, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Client {
    /// Their name.
    pub name: Line,
    /// Their postal address, in posting order; the country's two letters stand apart.
    pub post: Text,
    /// ISO 3166-1 alpha-2.
    pub country: Line,
    /// How to reach them: an address or a number.
    pub contact: Line,
    /// May photos of the piece be shown?
    pub may_show: Permission,
    /// May the work be taught with?
    pub may_teach: Permission,
    /// When to write.
    pub write_when: WriteWhen,
    /// Anything else.
    pub note: Text,
}
