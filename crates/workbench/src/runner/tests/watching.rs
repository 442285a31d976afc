//! The watch over the folder.

use super::*;

#[test]
fn the_watch_tells_of_another_programs_change_and_never_of_a_save_of_this_one() {
    let (vfs, _, tag) = saved_studio();
    let mut desk = desk_on(vfs.clone(), tag);
    let (bell, rung) = channel();
    let bell = Mutex::new(bell);
    let wake: Arc<dyn Fn() + Send + Sync> = Arc::new(move || held(&bell).send(()).unwrap_or_default());
    desk.runner.watch(Duration::from_millis(1), wake).unwrap();
    for round in 0..5 {
        desk.wish(&format!("wish {round}"));
        desk.answers();
    }
    let file = format!("orders/{}.ron", tag.to_string().to_ascii_lowercase());
    vfs.disk.put(Path::new(ROOT).join(&file), b"theirs");
    rung.recv_timeout(Duration::from_mins(1)).unwrap();
    let told = desk.runner.answer();
    let Some(Action::FolderTold(news)) = told else { panic!("{told:?}") };
    assert_eq!(news, FolderNews::Changed { files: vec![file], how: Outside::Altered });
    assert_eq!(desk.runner.waiting_for, 0, "nobody waits for news");
}

#[test]
fn files_of_the_same_fate_are_told_together() {
    let touched = |stem: &str, how| News::Touched(store::name::DocPath::shelf(stem).unwrap(), how);
    let found = vec![
        News::Back,
        touched("a", Outside::Removed),
        touched("b", Outside::Altered),
        touched("c", Outside::Removed),
    ];
    let changed = |how, files: &[&str]| {
        let files = files.iter().map(|file| (*file).to_owned()).collect();
        FolderNews::Changed { files, how }
    };
    let wanted = [
        FolderNews::Back,
        changed(Outside::Altered, &["shelf/b.ron"]),
        changed(Outside::Removed, &["shelf/a.ron", "shelf/c.ron"]),
    ];
    assert_eq!(folder_news(found), wanted);
}

#[test]
fn a_runner_that_watches_ends_at_once_however_long_the_next_look_is_away() {
    let mut desk = desk();
    let (done, ended) = channel();
    desk.runner.watch(Duration::from_hours(1), Arc::new(|| ())).unwrap();
    let ending = std::thread::spawn(move || {
        drop(desk);
        done.send(()).unwrap();
    });
    assert!(ended.recv_timeout(Duration::from_mins(1)).is_ok(), "nobody waits for an hour");
    ending.join().unwrap();
}
