//! The tag that is read off a thing, held against the order that is open.

use craft::id::Thing;
use craft::studio::Studio;
use craft::tag::Tag;

use super::board::{Board, Group};
use super::words;

/// How many other orders are offered beside one's own.
const OTHERS: usize = 4;

/// What was read off a thing: the tag, and the thing's own number where the whole label was read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Label {
    /// The tag of the order.
    pub tag: Tag,
    /// The thing it stands on.
    pub thing: Option<Thing>,
}

/// A tag, or a whole label: "V5S-4GA S2".
///
/// # Errors
/// Why it is neither.
pub fn label(text: &str) -> Result<Label, craft::tag::TagError> {
    let whole = text.trim().rsplit_once(char::is_whitespace).and_then(|(tag, thing)| {
        let (tag, thing) = (tag.parse::<Tag>().ok()?, thing.to_uppercase().parse::<Thing>().ok()?);
        Some(Label { tag, thing: Some(thing) })
    });
    whole.map_or_else(|| text.parse().map(|tag| Label { tag, thing: None }), Ok)
}

/// What was typed or scanned, where it is this order's tag, or a label with it.
///
/// # Errors
/// Why it is not, and what to do.
pub fn read(studio: &Studio, own: Tag, text: &str) -> Result<Label, String> {
    let label = label(text).map_err(|why| why.to_string())?;
    let tag = label.tag;
    if tag == own {
        return Ok(label);
    }
    let whose = studio.orders().get(&tag).map(words::remembered);
    let mine = studio.orders().get(&own).map_or_else(|| own.to_string(), words::remembered);
    Err(match whose {
        Some(name) => format!("{tag} is {name}'s, and this is {mine}; put it back where it was"),
        None => format!("{tag} is no order of this studio; this is {mine}, {own}"),
    })
}

/// Why a label that is this order's does not stand for the thing that is meant; none where it does, or says no thing.
pub fn off_another(label: Label, of: Option<Thing>) -> Option<String> {
    let (read, meant) = (label.thing?, of?);
    (read != meant).then(|| {
        let (read, meant) = (words::thing_plain(read), words::thing_plain(meant));
        format!("that is {read}, and {meant} is meant; read the tag off {meant}")
    })
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
        assert_eq!(read(&bench.studio, own, &plain), Ok(Label { tag: own, thing: None }));
        let said = read(&bench.studio, own, &other.to_string()).unwrap_err();
        assert_eq!(said, format!("{other} is Tom's, and this is Bramble; put it back where it was"));
        assert!(read(&bench.studio, own, "A2B").is_err());
        // A whole label is taken, and says which thing it stands on.
        let stone = Thing::stone(2);
        for text in [format!("{own} s2"), format!(" {plain}  S2 ")] {
            let read = read(&bench.studio, own, &text).unwrap();
            assert_eq!(read, Label { tag: own, thing: Some(stone) });
            assert_eq!((off_another(read, None), off_another(read, Some(stone))), (None, None));
            assert_eq!(
                off_another(read, Some(Thing::wrapping(1))).unwrap(),
                "that is stone 2, and wrapping 1 is meant; read the tag off wrapping 1"
            );
        }
        let said = read(&bench.studio, own, &format!("{other} W1")).unwrap_err();
        assert!(said.starts_with(&format!("{other} is Tom's")), "{said}");
        assert!(read(&bench.studio, own, &format!("{own} Q7")).is_err());
        let strange = Tag::from_number(99).unwrap();
        assert!(read(&bench.studio, own, &strange.to_string()).unwrap_err().contains("no order"));
        let picks = to_pick(&board(&bench.studio, now), own);
        assert!(picks.contains(&own) && picks.contains(&other) && picks.is_sorted());
    }
}
