//! What became of one material: piles and envelopes as large as their share.

use craft::id::{Thing, ThingKind};
use craft::units::Share;
use egui::{Painter, Rect, Shape, Stroke, Vec2, pos2, vec2};
use workbench::present::accounts::Account;

use super::paths::curve;
use super::stone::{StonePicture, stone_in};
use super::things::{Contents, envelope, packet, squiggle};
use crate::look::{Tokens, space};

/// The area of the whole of a material where there is room for it, in square points.
const WHOLE: f32 = 10_300.0;
/// The least area of a pile: the smallest share can still be seen.
const LEAST: f32 = 320.0;
/// Between piles.
const GAP: f32 = 5.0 * space::STEP;

/// What holds a part of a material.
#[derive(Clone, Debug, PartialEq)]
pub enum PileKind {
    /// The sealed keep-back: hatched.
    KeepBack,
    /// The client's own wrapping.
    Wrapping,
    /// Any other envelope.
    Envelope,
    /// Stones, all of them together.
    Stones(Vec<StonePicture>),
    /// Offcuts, in the colour of the first stone.
    Offcuts(Option<(u8, u8, u8)>),
    /// What was left on the tools.
    Tools,
}

impl PileKind {
    /// Width over height.
    fn form(&self) -> f32 {
        match self {
            PileKind::KeepBack | PileKind::Envelope => 1.4,
            PileKind::Wrapping => 1.3,
            PileKind::Stones(stones) => 1.1 + 0.5 * (stones.len().min(4) as f32),
            PileKind::Offcuts(_) => 1.5,
            PileKind::Tools => 2.6,
        }
    }
}

/// One pile.
#[derive(Clone, Debug, PartialEq)]
pub struct Pile {
    /// What it is.
    pub kind: PileKind,
    /// Its share of the whole.
    pub share: Share,
    /// The things in it; none for what was left on the tools.
    pub things: Vec<Thing>,
}

/// A pile and where it is drawn.
#[derive(Clone, Debug, PartialEq)]
pub struct Placed {
    /// The pile.
    pub pile: Pile,
    /// The picture, standing on the foot of the rectangle given; its area goes by the share.
    pub picture: Rect,
    /// The column it stands in, for a caption below: at least [`CAPTION`] wide, or its part of a narrow rectangle.
    pub column: Rect,
}

/// The least width of the column a pile stands in, where there is room.
pub const CAPTION: f32 = 18.0 * space::STEP;

/// The piles of an account: the keep-back first, then what is still wrapped, envelopes, all stones together, offcuts,
/// and what was left on the tools. `sealed` says whether an envelope is a keep-back, `stone` how a stone looks.
pub fn piles(
    account: &Account,
    sealed: impl Fn(Thing) -> bool,
    stone: impl Fn(Thing) -> Option<StonePicture>,
) -> Vec<Pile> {
    let first = account.holders.iter().filter_map(|row| row.thing).find_map(&stone);
    let mut piles: Vec<Pile> = Vec::new();
    let mut together: Option<Pile> = None;
    for row in account.holders.iter().filter(|row| row.share != Share::NONE) {
        let kind = match row.thing {
            None => PileKind::Tools,
            Some(thing) => match thing.kind {
                ThingKind::Envelope if sealed(thing) => PileKind::KeepBack,
                ThingKind::Envelope | ThingKind::Keepsake => PileKind::Envelope,
                ThingKind::Wrapping => PileKind::Wrapping,
                ThingKind::Offcuts => PileKind::Offcuts(first.as_ref().and_then(|stone| stone.colour)),
                ThingKind::Stone | ThingKind::Piece => {
                    let all = together.get_or_insert_with(|| Pile {
                        kind: PileKind::Stones(Vec::new()),
                        share: Share::NONE,
                        things: Vec::new(),
                    });
                    all.share = all.share.and(row.share).unwrap_or(Share::WHOLE);
                    all.things.push(thing);
                    if let (PileKind::Stones(stones), Some(look)) = (&mut all.kind, stone(thing)) {
                        stones.push(StonePicture { chosen: false, ..look });
                    }
                    continue;
                }
            },
        };
        piles.push(Pile { kind, share: row.share, things: row.thing.into_iter().collect() });
    }
    piles.extend(together);
    piles.sort_by_key(|pile| match pile.kind {
        PileKind::KeepBack => 0,
        PileKind::Wrapping => 1,
        PileKind::Envelope => 2,
        PileKind::Stones(_) => 3,
        PileKind::Offcuts(_) => 4,
        PileKind::Tools => 5,
    });
    piles
}

/// The size of a pile when the whole has an area of `whole` square points.
fn size(pile: &Pile, whole: f32) -> Vec2 {
    #[expect(clippy::cast_possible_truncation, reason = "a picture needs no more digits")]
    let area = (whole * pile.share.fraction() as f32).max(LEAST);
    let form = pile.kind.form();
    vec2((area * form).sqrt(), (area / form).sqrt())
}

/// Places piles side by side on the foot of `rect`, from its left: each area goes by the share, down to a least one
/// that can still be seen, at the largest scale that fits (and no larger than an envelope in the hand).
pub fn place(piles: &[Pile], rect: Rect) -> Vec<Placed> {
    // Many piles in little room: the columns share it.
    let caption = CAPTION.min((rect.width() + GAP) / piles.len().max(1) as f32 - GAP);
    let fits = |whole: f32| {
        let sizes = piles.iter().map(|pile| size(pile, whole));
        let (mut across, mut high) = (-GAP, 0.0_f32);
        for size in sizes {
            across += size.x.max(caption) + GAP;
            high = high.max(size.y);
        }
        across <= rect.width() && high <= rect.height()
    };
    let (mut low, mut high) = (0.0, WHOLE);
    if fits(high) {
        low = high;
    }
    // Halving thirty times leaves less than a thousandth of a point.
    for _ in 0..30 {
        let middle = 0.5 * (low + high);
        if fits(middle) { low = middle } else { high = middle }
    }
    let mut left = rect.left();
    piles
        .iter()
        .map(|pile| {
            let size = size(pile, low);
            let wide = size.x.max(caption);
            let column = Rect::from_min_max(pos2(left, rect.top()), pos2(left + wide, rect.bottom()));
            let at = pos2(left + 0.5 * (wide - size.x), rect.bottom() - size.y);
            left += wide + GAP;
            Placed { pile: pile.clone(), picture: Rect::from_min_size(at, size), column }
        })
        .collect()
}

/// Draws piles where [`place`] put them.
pub fn lot(painter: &Painter, tokens: &Tokens, placed: &[Placed]) {
    for Placed { pile, picture, .. } in placed {
        match &pile.kind {
            PileKind::KeepBack => {
                envelope(painter, tokens, *picture, Contents { hatched: true, sealed: true });
            }
            PileKind::Envelope => {
                envelope(painter, tokens, *picture, Contents { hatched: false, sealed: false });
            }
            PileKind::Wrapping => packet(painter, tokens, *picture),
            PileKind::Stones(stones) => heap(painter, tokens, *picture, stones),
            PileKind::Offcuts(colour) => squiggle(painter, tokens, picture.shrink(1.5), *colour),
            PileKind::Tools => strokes(painter, tokens, *picture),
        }
    }
}

/// Stones in a row that overlap, the first in front and largest.
fn heap(painter: &Painter, tokens: &Tokens, rect: Rect, stones: &[StonePicture]) {
    let unknown = [StonePicture { outline: None, colour: None, begun: true, chosen: false }];
    let shown = if stones.is_empty() { unknown.as_slice() } else { stones };
    let shown = shown.get(..shown.len().min(4)).unwrap_or(shown);
    let each = vec2(rect.width() / (0.4 + 0.6 * shown.len() as f32), rect.height());
    for (i, stone) in shown.iter().enumerate().rev() {
        let left = rect.left() + 0.6 * each.x * i as f32;
        let seat = Rect::from_min_size(pos2(left, rect.top()), each);
        // A little room is kept for a second outline, which a heap never shows.
        stone_in(painter, tokens, seat.expand(2.5), stone);
    }
}

/// What a brush leaves: a few bristles' lines.
fn strokes(painter: &Painter, tokens: &Tokens, rect: Rect) {
    let inner = rect.shrink(1.0);
    let at = |x: f32, y: f32| inner.min + vec2(x, y) * inner.size();
    let pen = Stroke::new((0.1 * rect.height()).clamp(1.25, 2.5), tokens.ink_3);
    for (start, end, y) in [(0.06, 0.9, 0.38), (0.0, 1.0, 0.54), (0.04, 0.94, 0.7), (0.16, 0.78, 0.86)] {
        let points = [at(start, y + 0.1), at(0.33, y - 0.34), at(0.62, y + 0.2), at(end, y - 0.16)];
        painter.add(Shape::line(curve(points), pen));
    }
}

#[cfg(test)]
mod tests {
    use super::super::testing::{assert_within, drawn, short};
    use super::*;
    use craft::geometry::Outline;
    use craft::units::Length;
    use workbench::present::accounts::{HolderRow, Verdict};

    fn holder(thing: Option<Thing>, num: u32, den: u32) -> HolderRow {
        HolderRow {
            thing,
            share: Share::of(num, den),
            who: String::new(),
            words: String::new(),
            place: String::new(),
            weighed: String::new(),
        }
    }

    fn account() -> Account {
        let holders = vec![
            holder(Some(Thing::stone(1)), 1, 30),
            holder(None, 1, 100),
            holder(Some(Thing::envelope(2)), 25, 100),
            holder(Some(Thing::stone(2)), 1, 30),
            holder(Some(Thing::offcuts(1)), 1, 50),
            holder(Some(Thing::envelope(1)), 65, 100),
            holder(Some(Thing::wrapping(1)), 0, 1),
        ];
        Account {
            lot: 1,
            name: "the hair".to_owned(),
            came: String::new(),
            holders,
            verdict: Verdict::Counted,
            words: String::new(),
            advice: String::new(),
            worth: String::new(),
        }
    }

    fn sample() -> Vec<Pile> {
        let outline = Outline::Oval { length: Length::from_mm(10.0), width: Length::from_mm(8.0) };
        let stone =
            StonePicture { outline: Some(outline), colour: Some((124, 72, 40)), begun: true, chosen: true };
        piles(
            &account(),
            |thing| thing == Thing::envelope(1),
            |thing| (thing.kind == ThingKind::Stone).then(|| stone.clone()),
        )
    }

    #[test]
    fn the_keep_back_stands_first_and_stones_stand_together() {
        let piles = sample();
        let kinds: Vec<_> = piles.iter().map(|pile| std::mem::discriminant(&pile.kind)).collect();
        let wanted = [
            PileKind::KeepBack,
            PileKind::Envelope,
            PileKind::Stones(vec![]),
            PileKind::Offcuts(None),
            PileKind::Tools,
        ];
        assert_eq!(kinds, wanted.map(|kind| std::mem::discriminant(&kind)));
        assert_eq!(piles[2].things, [Thing::stone(1), Thing::stone(2)]);
        assert!((piles[2].share.fraction() - 2.0 / 30.0).abs() < 1e-5);
        assert_eq!(piles[3].kind, PileKind::Offcuts(Some((124, 72, 40))));
    }

    /// The worst of how far areas stand from their shares, as a part, over the piles above the least area.
    fn worst(placed: &[Placed], measure: impl Fn(Rect) -> f32) -> f32 {
        let per_share: Vec<f32> = placed
            .iter()
            .filter(|placed| placed.picture.area() > LEAST * 1.01)
            .map(|placed| measure(placed.picture) / short(placed.pile.share.fraction()))
            .collect();
        let mean = per_share.iter().sum::<f32>() / per_share.len() as f32;
        assert!(per_share.len() >= 2, "something to compare");
        per_share.iter().map(|one| (one / mean - 1.0).abs()).fold(0.0, f32::max)
    }

    #[test]
    fn areas_go_by_the_share_and_the_smallest_can_still_be_seen() {
        for size in [vec2(312.0, 90.0), vec2(420.0, 120.0), vec2(900.0, 60.0)] {
            let rect = Rect::from_min_size(pos2(5.0, 7.0), size);
            let placed = place(&sample(), rect);
            assert!(placed.iter().all(|placed| rect.expand(0.1).contains_rect(placed.column)));
            assert!(worst(&placed, |rect| rect.area()) < 1e-3, "{placed:?}");
            // A side taken for the area: a quarter would look like half.
            assert!(worst(&placed, |rect| rect.height()) > 0.2);
            assert!(placed.iter().all(|placed| placed.picture.area() > LEAST - 1.0));
        }
    }

    #[test]
    fn piles_stand_side_by_side_within_the_rectangle() {
        let rect = Rect::from_min_size(pos2(5.0, 7.0), vec2(440.0, 90.0));
        let placed = place(&sample(), rect);
        for placed in &placed {
            assert!(
                rect.expand(0.1).contains_rect(placed.column)
                    && placed.column.expand(0.1).contains_rect(placed.picture)
            );
            assert!((placed.picture.bottom() - rect.bottom()).abs() < 1e-3);
            let (shapes, ()) = drawn(|painter| lot(painter, &Tokens::LIGHT, std::slice::from_ref(placed)));
            assert_within(&shapes, placed.picture);
        }
        for two in placed.windows(2) {
            assert!(two[1].column.left() >= two[0].column.right() + GAP - 0.1);
        }
        assert!(place(&[], rect).is_empty());
    }
}
