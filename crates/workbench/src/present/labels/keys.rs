//! Words on the controls: keys.

/// "on the pour page: begin, lay, and start, pause and resume the lamp".
pub const SPACE_DOES: &str = "on the pour page: begin, lay, and start, pause and resume the lamp";

/// "on the pour page: the layer is hard, tacky or soft".
pub const FEEL_DOES: &str = "on the pour page: the layer is hard, tacky or soft";

/// "your words about the open page".
pub const WORDS: &str = "your words about the open page";

/// "messages of the open order".
pub const MESSAGES: &str = "messages of the open order";

/// "take the last change back".
pub const UNDO: &str = "take the last change back";

/// "preferences and settings".
pub const PREFERENCES: &str = "preferences and settings";

/// "papers of the open order".
pub const PAPERS: &str = "papers of the open order";

/// "enter running orders".
pub const RUNNING: &str = "enter running orders";

/// "what the keys do".
pub const KEYS: &str = "what the keys do";

/// "What the keys do".
pub const TITLE: &str = "What the keys do";

/// "Ctrl+1 to Ctrl+9".
pub const NUMBERS: &str = "Ctrl+1 to Ctrl+9";

/// "try out a layer".
pub const TRY_OUT: &str = "try out a layer";

/// "find an order".
pub const FIND: &str = "find an order";

/// "make it again".
pub const REDO: &str = "make it again";

/// "a new order".
pub const NEW_ORDER: &str = "a new order";

/// "all orders".
pub const BOARD: &str = "all orders";

/// "safe keeping: backups, earlier versions, what was found".
pub const KEEPING: &str = "safe keeping: backups, earlier versions, what was found";

/// "earlier versions of the open order".
pub const EARLIER: &str = "earlier versions of the open order";

/// "the shelf".
pub const SHELF: &str = "the shelf";

/// "H, T, S".
pub const FEEL: &str = "H, T, S";

/// "Space".
pub const SPACE: &str = "Space";

/// "close".
pub const CLOSE: &str = "close";

/// The keys for the size of everything.
pub const ZOOM: &str = "Ctrl+Plus, Ctrl+Minus";

/// What they do.
pub const ZOOM_DOES: &str = "everything larger or smaller";

/// The key that ends the program.
pub const QUIT: &str = "Ctrl+Q";

/// What it does.
pub const QUIT_DOES: &str = "save and close";
