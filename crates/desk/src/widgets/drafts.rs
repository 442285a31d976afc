//! What is being typed and is not yet said: one draft for each field, by its key.

use std::collections::{BTreeMap, BTreeSet};

/// The drafts of the open page.
#[derive(Clone, Debug, Default)]
pub struct Drafts {
    texts: BTreeMap<String, String>,
    /// Which of them a hand has typed into; a form fills others in by itself.
    typed: BTreeSet<String>,
    /// Which of them is being typed into, and when it was last: until it is handed in.
    typing: Option<(String, f64)>,
    /// The order whose fields they are of: fields of two orders never share what they remember.
    scope: String,
    /// The field for the page's own words shall take the keyboard.
    words_wanted: bool,
}

impl Drafts {
    /// From here on the fields are those of this order, or of none.
    pub(crate) fn stand_for(&mut self, scope: String) {
        self.scope = scope;
    }

    /// The id of the field of a key.
    pub(crate) fn id(&self, key: &str) -> egui::Id {
        egui::Id::unique(("field", self.scope.as_str(), key))
    }

    /// Asks the field for the page's own words to take the keyboard.
    pub fn ask_for_words(&mut self) {
        self.words_wanted = true;
    }

    /// True once after it was asked.
    pub fn are_words_wanted(&mut self) -> bool {
        std::mem::take(&mut self.words_wanted)
    }

    /// The draft of a field that is kept until it is handed in; empty at first.
    pub fn of(&mut self, key: &str) -> &mut String {
        if !self.texts.contains_key(key) {
            self.texts.insert(key.to_owned(), String::new());
        }
        self.texts.entry(key.to_owned()).or_default()
    }

    /// What stands in a draft.
    pub fn text(&self, key: &str) -> &str {
        self.texts.get(key).map_or("", String::as_str)
    }

    /// What stands in a draft, where there is one.
    pub fn get(&self, key: &str) -> Option<&str> {
        self.texts.get(key).map(String::as_str)
    }

    /// Puts words into a draft that nobody typed.
    pub fn put(&mut self, key: &str, words: impl Into<String>) {
        self.typed.remove(key);
        self.texts.insert(key.to_owned(), words.into());
    }

    /// Keeps what a hand has typed.
    pub(crate) fn keep(&mut self, key: &str, words: String) {
        self.typed.insert(key.to_owned());
        self.texts.insert(key.to_owned(), words);
    }

    /// A hand has typed into a draft.
    pub(crate) fn was_typed(&mut self, key: &str) {
        self.typed.insert(key.to_owned());
    }

    /// A hand typed into a field at this moment of the window's clock, in seconds.
    pub(crate) fn typed_at(&mut self, key: &str, now: f64) {
        self.typing = Some((key.to_owned(), now));
    }

    /// True once where a field was typed into and not after this moment.
    pub(crate) fn has_rested(&mut self, key: &str, since: f64) -> bool {
        self.typing.take_if(|(typed, at)| typed == key && *at <= since).is_some()
    }

    /// Lets one draft go.
    pub fn clear(&mut self, key: &str) {
        self.take(key);
    }

    /// Lets all drafts go whose key begins so.
    pub fn clear_under(&mut self, start: &str) {
        self.texts.retain(|key, _| !key.starts_with(start));
        self.typed.retain(|key| !key.starts_with(start));
    }

    /// Takes all drafts out whose key begins so.
    pub(crate) fn take_under(&mut self, start: &str) -> Self {
        let texts = self.texts.extract_if(.., |key, _| key.starts_with(start)).collect();
        let typed = self.typed.extract_if(.., |key| key.starts_with(start)).collect();
        Self { texts, typed, ..Self::default() }
    }

    /// Puts drafts that were taken out back.
    pub(crate) fn join(&mut self, other: Self) {
        self.texts.extend(other.texts);
        self.typed.extend(other.typed);
    }

    /// Takes the draft out, where there is one.
    pub fn take(&mut self, key: &str) -> Option<String> {
        self.typed.remove(key);
        self.texts.remove(key)
    }

    /// True where something stands.
    pub fn any(&self) -> bool {
        self.texts.values().any(|text| !text.trim().is_empty())
    }

    /// True where something stands that a hand has typed and nobody has handed in.
    pub fn is_typed(&self) -> bool {
        self.typed.iter().any(|key| !self.text(key).trim().is_empty())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_draft_is_kept_until_it_is_taken() {
        let mut drafts = Drafts::default();
        assert!(!drafts.any());
        drafts.of("arrival/what").push_str("a lock of hair");
        assert_eq!(drafts.text("arrival/what"), "a lock of hair");
        assert!(drafts.any());
        assert_eq!(drafts.take("arrival/what").as_deref(), Some("a lock of hair"));
        assert_eq!(drafts.take("arrival/what"), None);
    }

    #[test]
    fn only_what_a_hand_typed_counts_as_typed() {
        let mut drafts = Drafts::default();
        drafts.put("row/place", "drawer 3");
        assert!(drafts.any() && !drafts.is_typed(), "a form fills in what it knows");
        drafts.keep("row/name", "Bramble".to_owned());
        assert!(drafts.is_typed());
        let left = drafts.take_under("row/");
        assert!(left.is_typed() && !drafts.is_typed());
        drafts.join(left);
        drafts.clear_under("row/");
        assert!(!drafts.is_typed());
    }

    #[test]
    fn the_drafts_of_one_form_go_together() {
        let mut drafts = Drafts::default();
        drafts.put("arrival/what", "hair");
        drafts.put("brief/what", "a ring");
        drafts.clear_under("arrival/");
        assert_eq!((drafts.text("arrival/what"), drafts.text("brief/what")), ("", "a ring"));
    }
}
