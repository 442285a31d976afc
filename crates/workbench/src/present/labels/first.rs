//! Words on the controls: first.

/// "A studio with nineteen invented orders, at every stage of the work. Nothing you do there touches yours.".
pub const DEMO_MORE: &str =
    "A studio with nineteen invented orders, at every stage of the work. Nothing you do there touches yours.";

/// "Three questions; everything else has a sensible beginning and can be changed later.".
pub const START_MORE: &str =
    "Three questions; everything else has a sensible beginning and can be changed later.";

/// "Write what the studio is called; it stands on every paper.".
pub const NAME_WANTED: &str = "Write what the studio is called; it stands on every paper.";

/// "Say in which folder it shall be kept.".
pub const FOLDER_WANTED: &str = "Say in which folder it shall be kept.";

/// "In which folder shall it be kept?".
pub const FOLDER: &str = "In which folder shall it be kept?";

/// "Look around the demo studio".
pub const DEMO_NOW: &str = "Look around the demo studio";

/// "The folder of a studio".
pub const OPEN_FOLDER: &str = "The folder of a studio";

/// "What are prices in?".
pub const CURRENCY: &str = "What are prices in?";

/// "What is it called?".
pub const NAME: &str = "What is it called?";

/// "choose the folder".
pub const CHOOSE: &str = "choose the folder";

/// "Look around first".
pub const DEMO: &str = "Look around first";

/// "Start my studio".
pub const START: &str = "Start my studio";

/// "Heldfast studio".
pub const FOLDER_NAME: &str = "Heldfast studio";

/// "start my studio".
pub const START_NOW: &str = "start my studio";

/// "The Boathouse".
pub const NAME_HINT: &str = "The Boathouse";

/// "Open a folder".
pub const OPEN: &str = "Open a folder";

/// "look for it".
pub const LOOK: &str = "look for it";

/// "US dollar".
pub const DOLLAR: &str = "US dollar";

/// "open it".
pub const OPEN_NOW: &str = "open it";

/// "pound".
pub const POUND: &str = "pound";

/// "euro".
pub const EURO: &str = "euro";

/// Opens a studio that was open before.
pub fn open_again(folder: &std::path::Path) -> String {
    format!("open {}", folder.display())
}
