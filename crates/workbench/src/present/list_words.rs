//! The headings of the list of orders.

/// What stands above the columns.
pub const HEADINGS: [&str; 13] = [
    "tag",
    "remembered",
    "client",
    "stage",
    "next",
    "promised for",
    "stones",
    "quoted",
    "deposit",
    "sent on",
    "arrived on",
    "entries",
    "record seal",
];
