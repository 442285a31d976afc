//! The folder goes, comes back, and is changed by others.

use super::*;
use crate::action::{FolderNews, Outside};

fn lost(path: &str) -> SaveOutcome {
    let source = Arc::new(std::io::Error::from(std::io::ErrorKind::NotFound));
    SaveOutcome::NotSaved(SaveError::Failed { path: PathBuf::from(path), step: "make a new file", source })
}

#[test]
fn a_folder_that_is_gone_stands_on_the_screen_until_it_is_back() {
    let (mut bench, tag) = desk(Stage::Here);
    assert_eq!(bench.view(at(900)).folder, None);
    assert!(bench.handle(Action::FolderTold(FolderNews::Gone), at(900)).is_empty());
    bench.handle(Action::Dismiss, at(900));
    saved(bench.handle(wish(&bench, tag, "a ring"), at(900)));
    let view = bench.view(at(900));
    assert_eq!(view.folder, Some(&FolderNews::Gone), "it cannot be put away");
    assert!(view.folder_words().is_some_and(|words| words.contains("put the folder back")));
    bench.handle(Action::FolderTold(FolderNews::Back), at(900));
    let view = bench.view(at(900));
    assert_eq!((view.folder, view.folder_words()), (None, None));
    assert!(matches!(view.notice, Some(Notice::Said(words)) if words.contains("is back in its place")));
}

#[test]
fn once_the_folder_is_back_what_could_not_be_saved_is_tried_again_at_once() {
    let (mut bench, tag) = desk(Stage::Here);
    bench.handle(Action::FolderTold(FolderNews::Gone), at(900));
    let (doc, rev, _) = saved(bench.handle(wish(&bench, tag, "a ring"), at(900)));
    let later = bench.handle(Action::SaveDone(doc.clone(), rev, lost("/s/a.ron")), at(900));
    assert!(matches!(later.as_slice(), [Effect::WakeAt(_)]), "{later:?}");
    // Another program's file is no failure that passes.
    let retire = Action::Edit(Edit::Shelf(id("deep-green"), ShelfEdit::Retire(true)));
    let (shelf, shelf_rev, _) = saved(bench.handle(retire, at(900)));
    let beside = SaveOutcome::Conflict { kept_beside: "deep-green.conflict-1.ron".to_owned() };
    bench.handle(Action::SaveDone(shelf, shelf_rev, beside), at(900));
    let (again, newer, _) = saved(bench.handle(Action::FolderTold(FolderNews::Back), at(900)));
    assert_eq!((again, newer > rev), (doc, true));
    assert!(
        matches!(bench.view(at(900)).notice, Some(Notice::Said(words)) if words.contains("being saved now"))
    );
}

#[test]
fn a_file_changed_by_another_program_is_said_once_while_nobody_has_read_it() {
    let (mut bench, _) = desk(Stage::Here);
    let before = bench.studio.clone();
    let news = |file: &str| {
        let files = vec![file.to_owned()];
        Action::FolderTold(FolderNews::Changed { files, how: Outside::Altered })
    };
    for file in ["orders/a.ron", "orders/a.ron", "orders/b.ron"] {
        assert!(bench.handle(news(file), at(900)).is_empty());
    }
    let said: Vec<&Notice> = bench.notices().collect();
    assert_eq!(said.len(), 2);
    assert!(matches!(said[0], Notice::Failed(words) if words.contains("orders/a.ron")), "{said:?}");
    assert_eq!(bench.studio, before);
}

#[test]
fn a_refusal_has_words_for_the_button_that_mends_it() {
    let (mut bench, tag) = desk(Stage::Here);
    assert_eq!(bench.view(at(900)).remedy_words(), None);
    let check = craft::fact::Check { how: craft::fact::How::Typed, tag };
    bench.handle(fact(tag, CustodyFact::Opened { thing: Thing::envelope(1), check }), at(900));
    assert_eq!(
        bench.view(at(900)).remedy_words().as_deref(),
        Some("Note that the client said yes to opening envelope 1")
    );
    assert_eq!(Notice::Said("done".to_owned()).remedy_words(&bench.studio), None);
}
