//! What is remembered of the person's own preferences.

/// Light or dark.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Appearance {
    /// As the system.
    #[default]
    System,
    /// Light.
    Light,
    /// Dark.
    Dark,
}

/// The person's own preferences.
#[derive(Clone, Debug, PartialEq)]
pub struct Prefs {
    /// The studio that was open last.
    pub last_studio: Option<std::path::PathBuf>,
    /// Light or dark.
    pub appearance: Appearance,
    /// How large everything is.
    pub zoom: f32,
    /// Rings by sound.
    pub sound: bool,
    /// Rings by a notice outside the window.
    pub notices: bool,
}

impl Default for Prefs {
    fn default() -> Self {
        Self { last_studio: None, appearance: Appearance::System, zoom: 1.0, sound: true, notices: true }
    }
}
