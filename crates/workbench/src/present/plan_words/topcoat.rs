//! The coat on the face: what it takes, as a step after the last layer.

use craft::fact::LayerKind;
use craft::foreseen::{FILM, TopCoat};
use craft::order::StoneSheet;
use craft::studio::{Held, Studio};

use super::{Explained, PotsWords};
use crate::present::words;

/// "gloss" or "satin".
fn kind(top: LayerKind) -> &'static str {
    if top == LayerKind::TopSatin { "satin" } else { "gloss" }
}

/// "about 24 mg, 1 drop".
fn amount(coat: &TopCoat) -> String {
    let drops = words::count(coat.drops.into(), "drop", "drops");
    format!("about {}, {drops}", words::mass(coat.taken))
}

/// True where the coat of a stone is still to come.
fn is_due(held: &Held, stone: &StoneSheet) -> bool {
    let begun = held.ledger.pours.stones.get(&stone.no);
    begun.is_none_or(|begun| {
        let on = |kind: LayerKind| matches!(kind, LayerKind::TopGloss | LayerKind::TopSatin);
        !begun.set_aside && !begun.layers.iter().any(|layer| on(layer.kind))
    })
}

/// The step after the last layer: "Then, out of its mould: a gloss coat on the face, about 24 mg, 1 drop, spread thin and lit
/// face-up."; empty where the coat is on, or the mould is not on the shelf.
pub fn top_coat(studio: &Studio, held: &Held, stone: &StoneSheet) -> String {
    let Some(coat) = studio.top_coat_of(stone).ok().filter(|_| is_due(held, stone)) else {
        return String::new();
    };
    format!(
        "Then, out of its mould: a {} coat on the face, {}, spread thin to its edge and lit face-up.",
        kind(stone.top),
        amount(&coat)
    )
}

/// What the coats of an order take, one line for each stone that still wants its own; none where there are none.
pub fn top_coats(studio: &Studio, held: &Held) -> Option<PotsWords> {
    let due = held.order.sheet.stones.iter().filter(|stone| is_due(held, stone));
    let rows: Vec<(String, String)> = due
        .filter_map(|stone| {
            let coat = studio.top_coat_of(stone).ok()?;
            Some((words::stone(stone.no), format!("{}: {}", kind(stone.top), amount(&coat))))
        })
        .collect();
    let note =
        "Clear resin, taken once a stone is out of its mould; half of it stays on the brush.".to_owned();
    (!rows.is_empty()).then(|| PotsWords { title: "Coats on the faces".to_owned(), rows, note })
}

/// How that was worked out.
pub fn explained_top_coat(coat: &TopCoat) -> Explained {
    let drop = match coat.own {
        Some(counted) => format!(
            "{}, by {counted} drops of this bottle that you counted into moulds",
            words::mass(coat.drop)
        ),
        None => format!(
            "{} (common practice, no source; once you count drops into moulds it is yours)",
            words::mass(coat.drop)
        ),
    };
    Explained {
        title: "what the coat on the face takes",
        plain: "The coat covers the domed face in a thin film. As much again stays on the brush or stick, so twice as much is \
                taken as lies on the stone.",
        values: vec![
            ("the face", format!("{:.0} square millimetres", coat.face.mm2())),
            ("the film", format!("{} (common practice, no source)", words::length(FILM))),
            ("lies on the face", words::mass(coat.lies)),
            ("is taken", words::mass(coat.taken)),
            ("a drop", drop),
        ],
        formula: "what is taken, in milligrams, is the area of the face in square millimetres, times the film in \
                  millimetres, times 1.1 milligrams for each cubic millimetre of resin, times 2; shared by what a \
                  drop weighs, in whole drops",
        source: "the area of a dome is worked out slice by slice from its profile; film and brush are common practice, no source",
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::present::sample::bench;
    use craft::stage::Stage;

    #[test]
    fn the_coat_is_a_step_after_the_last_layer_until_it_is_on() {
        let bench = bench(Stage::Here);
        let held = bench.studio.order(bench.tag).unwrap();
        let stone = &held.order.sheet.stones[0];
        let said = top_coat(&bench.studio, held, stone);
        assert!(said.starts_with("Then, out of its mould: a gloss coat on the face, about "), "{said}");
        assert!(said.contains(" drop"), "{said}");
        let all = top_coats(&bench.studio, held).unwrap();
        assert_eq!(all.rows.len(), held.order.sheet.stones.len(), "one line for each stone");
        let satin = StoneSheet { top: LayerKind::TopSatin, ..stone.clone() };
        assert!(top_coat(&bench.studio, held, &satin).contains("a satin coat"));
        let mut covered = held.clone();
        let whole = covered.wake().unwrap();
        let made = crate::present::sample::bench(Stage::Made);
        whole.ledger = made.studio.order(made.tag).unwrap().ledger.clone();
        assert!(!top_coat(&bench.studio, &covered, stone).is_empty(), "no coat is in its record yet");
        for begun in covered.wake().unwrap().ledger.pours.stones.values_mut() {
            begun.layers.last_mut().unwrap().kind = LayerKind::TopGloss;
        }
        assert_eq!(top_coat(&bench.studio, &covered, stone), "");
        assert_eq!(top_coats(&bench.studio, &covered), None);
    }

    #[test]
    fn the_drop_is_the_makers_own_once_drops_were_counted() {
        let bench = bench(Stage::Made);
        let held = bench.studio.order(bench.tag).unwrap();
        let coat = bench.studio.top_coat_of(&held.order.sheet.stones[0]).unwrap();
        assert!(coat.own.is_some(), "the sample counts three drops into each layer");
        let said = explained_top_coat(&coat);
        assert!(
            said.values.iter().any(|(_, words)| words.contains("that you counted into moulds")),
            "{said:?}"
        );
    }
}
