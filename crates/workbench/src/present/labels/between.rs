//! Words on the controls: what is held for a client between two orders.

use craft::tag::Tag;

/// Under the heading, in the next order of the client.
pub const HERE_SAYS: &str =
    "It stayed here from an earlier order. Taken over, it is a material of this one, with its own keep-back.";
/// Takes it over: "take over A2B-C3H E1".
pub fn take_over(label: &str) -> String {
    format!("take over {label}")
}
/// It cannot go over as it is.
pub const NOT_READY: &str = "It is a keep-back, or stands open: it goes over once the client has said yes to opening it, and it is closed.";
/// Over what can go on to another order.
pub const ONWARD: &str = "What is held for the client can go over to another order of theirs";
/// There is none.
pub const NO_OTHER: &str =
    "They have no other order that is open. Once they have, it can go over from there, too.";
/// Which order.
pub const WHICH_ORDER: &str = "To which order";
/// One of them.
pub fn order(tag: Tag, remembered: &str) -> String {
    format!("{tag}, {remembered}")
}
/// The only one.
pub fn only_other(words: &str) -> String {
    format!("Their other order is {words}.")
}
/// Passes it on: "A2B-C3H E1 goes over".
pub fn pass_on(label: &str) -> String {
    format!("{label} goes over")
}
