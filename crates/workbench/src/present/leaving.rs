//! What holds a studio open: what would be lost, or not be known, if it were closed now.

use super::{job_words, saving_words};
use crate::view::View;

/// What is typed somewhere and not handed in.
const TYPED: &str = "something is typed and not handed in";

/// What would be lost, in words; empty where nothing would. What is only on its way to the disk is waited for at the
/// end, so it holds nothing open.
pub fn holding(view: &View<'_>, typed: bool) -> Vec<String> {
    let unsaved = view.saves.unsaved().map(|(_, how)| saving_words::standing(how));
    let under_way = view.jobs.iter().filter(|row| !row.job.is_quiet()).map(|row| job_words::row(row.job, 0));
    unsaved.chain(under_way).chain(typed.then(|| TYPED.to_owned())).collect()
}

/// The same as a sentence, with what to do.
pub fn not_yet(holding: &[String]) -> String {
    format!("Not yet: {}. Do it once more to close without it.", holding.join("; "))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::action::{Action, Job, Source};
    use crate::present::sample::bench;
    use crate::state::Workbench;
    use craft::stage::Stage;
    use craft::text::Line;

    #[test]
    fn a_photo_on_its_way_and_typed_words_hold_the_studio_open() {
        let bench = bench(Stage::Here);
        let mut desk = Workbench::new(bench.studio.clone(), None);
        assert_eq!(holding(&desk.view(bench.now()), false), Vec::<String>::new());
        let source = Source::Bytes(std::sync::Arc::from([0_u8; 4]));
        let job = Job::TakePhoto { tag: bench.tag, of: None, caption: Line::default(), source };
        desk.handle(Action::Start(job), bench.now());
        let held = holding(&desk.view(bench.now()), true);
        assert_eq!(held, [format!("taking in a photo for {}", bench.tag), TYPED.to_owned()]);
        assert!(not_yet(&held).starts_with("Not yet: taking in a photo for "));
    }
}
