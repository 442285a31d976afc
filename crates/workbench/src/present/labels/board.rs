//! Words on the controls: the board.

/// To the form for orders that were under way before the program was there.
pub const RUNNING: &str = "orders under way already";
/// On a board without orders.
pub const EMPTY_RUNNING: &str = "Is some of your work under way already?";
/// After it: the way there.
pub const ENTER: &str = "enter it here, a row for each packet";
