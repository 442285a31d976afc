//! Words on the controls: preferences.

/// "Ring aloud when a wait is over".
pub const SOUND: &str = "Ring aloud when a wait is over";

/// "Say so outside the window too".
pub const NOTICES: &str = "Say so outside the window too";

/// "How large everything is".
pub const ZOOM: &str = "How large everything is";

/// "settings of the studio".
pub const SETTINGS: &str = "settings of the studio";

/// "open another studio".
pub const LEAVE: &str = "open another studio";

/// "what the keys do".
pub const KEYS: &str = "what the keys do";

/// "as the system".
pub const AS_SYSTEM: &str = "as the system";

/// "How it looks".
pub const LOOKS: &str = "How it looks";

/// "Preferences".
pub const TITLE: &str = "Preferences";

/// "light".
pub const LIGHT: &str = "light";

/// "dark".
pub const DARK: &str = "dark";

/// "Done".
pub const DONE: &str = "Done";

/// "quit".
pub const QUIT: &str = "quit";

/// "yes".
pub const YES: &str = "yes";

/// "no".
pub const NO: &str = "no";

/// Which studio is open.
pub fn studio(name: &str) -> String {
    format!("The studio {name} is in the folder that was opened.")
}
