//! Words on the controls: the board.

/// To the form for orders that were running before the program was there.
pub const RUNNING: &str = "orders running already";
/// On a board without orders.
pub const EMPTY_RUNNING: &str = "Are some of your orders running already?";
/// After it: the way there.
pub const ENTER: &str = "enter them here, a row for each packet";
