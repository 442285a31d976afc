//! What is said where the studio's folder goes away, or another program changes a file in it: what happened, what is
//! safe, and what to do.

use super::words;
use crate::action::{FolderNews, Outside};

/// How many files are named before the rest is counted.
const NAMED: usize = 3;

/// What stands on the screen while the folder is gone.
pub const GONE: &str = "the studio's folder is not in its place any more: it was moved or renamed, or its disk was \
                        taken out; everything is still open here, and nothing can be saved; put the folder back where \
                        it was before you close this, and what is open will be saved at once";

/// What is said of it. `is_waiting` tells of a folder that is back whether anything could not be saved meanwhile.
pub fn news(news: &FolderNews, is_waiting: bool) -> String {
    match news {
        FolderNews::Gone => GONE.to_owned(),
        FolderNews::Back if is_waiting => {
            "the studio's folder is back in its place; what could not be saved meanwhile is being saved now"
                .to_owned()
        }
        FolderNews::Back => {
            "the studio's folder is back in its place; nothing had to be saved meanwhile".to_owned()
        }
        FolderNews::Changed { files, how } => changed(files, *how),
    }
}

fn changed(files: &[String], how: Outside) -> String {
    let which = named(files);
    let number = |one: &'static str, more: &'static str| if files.len() == 1 { one } else { more };
    let (they, was, is) = (number("it", "they"), number("was", "were"), number("is", "are"));
    let them = number("it", "them");
    match how {
        Outside::Altered => format!(
            "another program changed {which} while {they} {was} open here; what it wrote is left as it is, and what is \
             shown here is how {they} {was} before; if you change {them} here, yours is kept beside {them}; close the \
             studio and open it again to go on with what was changed"
        ),
        Outside::Removed => format!(
            "{which} {is} not in the studio's folder any more; what was in {them} is still open here until you close \
             this; put {them} back from where {they} went, or from a backup"
        ),
        Outside::Added => format!(
            "{which} {was} put into the studio's folder by another program; nothing here has read or changed {them}; \
             close the studio and open it again to see what is in {them}"
        ),
    }
}

/// "orders/a.ron and orders/b.ron"; of many only the first few, and how many more.
fn named(files: &[String]) -> String {
    let more = files.len().saturating_sub(NAMED);
    let mut first: Vec<String> = files.iter().take(NAMED).cloned().collect();
    if more > 0 {
        first.push(words::count(more, "other file", "other files"));
    }
    words::list(&first)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn told(files: &[&str], how: Outside) -> String {
        let files = files.iter().map(|file| (*file).to_owned()).collect();
        news(&FolderNews::Changed { files, how }, false)
    }

    #[test]
    fn each_says_what_happened_what_is_safe_and_what_to_do() {
        let all =
            [Outside::Altered, Outside::Removed, Outside::Added].map(|how| told(&["orders/a.ron"], how));
        for words in all.iter().map(String::as_str).chain([GONE]) {
            let safe = ["left as it is", "still open here", "nothing here has read or changed"];
            assert!(safe.iter().any(|part| words.contains(part)), "{words}");
            let to_do = ["open it again", "put it back", "put the folder back"];
            assert!(to_do.iter().any(|part| words.contains(part)), "{words}");
            assert!(!words.ends_with('.') && words.starts_with(char::is_lowercase), "{words}");
        }
    }

    #[test]
    fn a_few_files_are_named_and_of_many_the_rest_is_counted() {
        assert!(told(&["a", "b"], Outside::Removed).starts_with("a and b are not"));
        let many = told(&["a", "b", "c", "d", "e"], Outside::Added);
        assert!(many.starts_with("a, b, c and 2 other files were put"), "{many}");
        let four = told(&["a", "b", "c", "d"], Outside::Altered);
        assert!(four.starts_with("another program changed a, b, c and 1 other file while they"), "{four}");
    }

    #[test]
    fn a_folder_that_is_back_says_whether_anything_waited_for_it() {
        assert!(news(&FolderNews::Back, true).ends_with("is being saved now"));
        assert!(news(&FolderNews::Back, false).ends_with("nothing had to be saved meanwhile"));
    }
}
