//! The tag that is read off a thing, held against the order that is open.

use craft::id::Thing;
use craft::studio::Studio;
use craft::tag::Tag;

use super::board::{Board, Group};
use super::words;

/// How many other orders are offered beside one's own.
const OTHERS: usize = 4;

/// What was typed or scanned, where it is this order's tag.
///
/// # Errors
/// Why it is not, and what to do.
pub fn read(studio: &Studio, own: Tag, text: &str) -> Result<Tag, String> {
    let tag: Tag = text.parse().map_err(|why: craft::tag::TagError| with_label(text, &why))?;
    if tag == own {
        return Ok(tag);
    }
    let whose = studio.orders().get(&tag).map(words::remembered);
    let mine = studio.orders().get(&own).map_or_else(|| own.to_string(), words::remembered);
    Err(match whose {
        Some(name) => format!("{tag} is {name}'s, and this is {mine}; put it back where it was"),
        None => format!("{tag} is no order of this studio; this is {mine}, {own}"),
    })
}

/// Why a text is no tag; where a whole label was read, what of it is the tag.
fn with_label(text: &str, why: &craft::tag::TagError) -> String {
    let parts = text.trim().rsplit_once(' ').map(|(tag, label)| (tag.parse::<Tag>(), label));
    match parts {
        Some((Ok(tag), label)) if label.to_uppercase().parse::<Thing>().is_ok() => {
            format!("{label} is the thing's own number; read only the tag in front of it, {tag}")
        }
        _ => why.to_string(),
    }
}

/// Tags to pick from while the thing is in the hand: this order's and a few of those that are worked on, so that
/// picking is a comparison. By tag, so that one's own has no place of its own.
pub fn to_pick(board: &Board, own: Tag) -> Vec<Tag> {
    let groups = [Group::Hands, Group::Lamp, Group::Parcel, Group::Others];
    let others = groups.into_iter().flat_map(|group| board.group(group)).map(|row| row.tag);
    let mut tags: Vec<Tag> = others.filter(|tag| *tag != own).take(OTHERS).collect();
    tags.push(own);
    tags.sort();
    tags
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::present::board::board;
    use crate::present::sample::{bench, line, sheet};
    use craft::stage::Stage;
    use craft::studio::{Edit, OrderEdit};

    #[test]
    fn only_the_own_tag_is_taken_and_another_is_named() {
        let mut bench = bench(Stage::Here);
        let other = Tag::from_number(7_000).unwrap();
        let mut wanted = sheet();
        (wanted.remembered.name, wanted.stones) = (line("Tom"), Vec::new());
        let edit = OrderEdit::Open { client: "ida-lund".parse().unwrap(), sheet: Box::new(wanted) };
        let now = bench.now();
        bench.studio.apply(Edit::Order(other, edit), now).unwrap();
        let own = bench.tag;
        let plain = own.plain().to_lowercase();
        assert_eq!(read(&bench.studio, own, &plain), Ok(own));
        let said = read(&bench.studio, own, &other.to_string()).unwrap_err();
        assert_eq!(said, format!("{other} is Tom's, and this is Bramble; put it back where it was"));
        assert!(read(&bench.studio, own, "A2B").is_err());
        let labelled = read(&bench.studio, own, &format!("{own} s2")).unwrap_err();
        assert_eq!(
            labelled,
            format!("s2 is the thing's own number; read only the tag in front of it, {own}")
        );
        let strange = Tag::from_number(99).unwrap();
        assert!(read(&bench.studio, own, &strange.to_string()).unwrap_err().contains("no order"));
        let picks = to_pick(&board(&bench.studio, now), own);
        assert!(picks.contains(&own) && picks.contains(&other) && picks.is_sorted());
    }
}
