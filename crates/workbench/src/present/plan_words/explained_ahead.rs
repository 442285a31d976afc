//! How is this worked out? What follows from a plan: formula, values and source.

use craft::compare::COVERAGE;
use craft::dosing::{DROP, Mixing, Scoop};
use craft::foreseen::{COOL_ROOM_C, Candidates, Fits, Foreseen, OrderPots, RESIN, SEEN_BUBBLE};
use craft::heat::{Heat, Sources, WARM_ROOM_C};
use craft::planner::{FULLY_HARD, Plan};
use craft::shrinkage::Shrinkage;
use craft::spread::Portioning;

use super::ahead::mark;
use super::{Explained, explained_more};
use crate::present::words;

/// How is this worked out? Filling, warmth, bubbles, material, the count of stones, the fewest layers, the face, full
/// hardness and the look, with the plan's own values.
pub fn explained_ahead(plan: &Plan, foreseen: &Foreseen) -> Vec<Explained> {
    let mut all = vec![filling(foreseen), warmth(foreseen), bubbles(foreseen)];
    if !foreseen.packed.is_empty() {
        all.push(material(foreseen));
    }
    all.push(count(plan, foreseen));
    all.extend(explained_more::fewest(plan));
    all.push(hardness(foreseen));
    all.extend(explained_more::face(foreseen));
    all.extend(explained_more::look(foreseen));
    all
}

fn by_layer(foreseen: &Foreseen, of: impl Fn(&craft::foreseen::LayerAhead) -> String) -> String {
    let said: Vec<String> =
        (1..).zip(&foreseen.layers).map(|(no, layer): (u8, _)| format!("layer {no} {}", of(layer))).collect();
    said.join(" · ")
}

fn filling(foreseen: &Foreseen) -> Explained {
    let last = format!(
        "{:.1} mm³, of {} mm³ to a drop (common practice, no source)",
        foreseen.top_up.mm3(),
        DROP.mg()
    );
    filling_explained(by_layer(foreseen, mark), vec![("topped up after the last layer has set", last)])
}

/// How fill marks are worked out; `marks` are what came of it, and `more` what else did.
pub(in crate::present) fn filling_explained(marks: String, more: Vec<(&'static str, String)>) -> Explained {
    let lost = Shrinkage::TYPICAL;
    let mut values = vec![
        ("resin shrinks by", format!("{} (cautious guess)", words::percent(lost.share()))),
        ("marks", marks),
    ];
    values.extend(more);
    Explained {
        title: "where to fill to",
        plain: "Resin shrinks as it sets, so a little more is poured than the layer is to be thick, and the next layer fills up \
                what the one before has lost. How high that stands in this very mould is the mark.",
        formula: "what is poured, in cubic millimetres, is what the layer is to be once set, shared by the part that \
                  is left of it as it shrinks; the mark is where so much stands in this mould. Each layer fills up \
                  what the one before lost",
        values,
        source: "volume lost follows from the densities before and after setting; checked against M. Patel, M. Braden, K. W. \
                 M. Davy, Biomaterials 8 (1987) 53; the guess lies in the middle of 4 to 8 per cent, from memory",
    }
}

fn warmth(foreseen: &Foreseen) -> Explained {
    warmth_explained(by_layer(foreseen, |layer| band(&layer.heat)), &foreseen.sources)
}

/// A band of temperatures in a warm room: "47 °C, from 34 to 64".
pub(in crate::present) fn band(heat: &Heat) -> String {
    let [typical, low, high] =
        [heat.rise_k.typical, heat.rise_k.low, heat.rise_k.high].map(|rise| WARM_ROOM_C + rise);
    format!("{typical:.0} °C, from {low:.0} to {high:.0}")
}

/// How the warmth of layers is worked out; `hottest` is what came of it.
pub(in crate::present) fn warmth_explained(hottest: String, sources: &Sources) -> Explained {
    let from =
        if *sources == Sources::TYPICAL { "cautious guess" } else { "from layers you felt or measured" };
    Explained {
        title: "how warm it gets",
        plain: "Resin gives off heat where light sets it; the air above and the mould below carry it away. The two ends of the \
                band are a mild resin and a hot one. It is an estimate and advice only.",
        formula: "heat is given off where light sets the resin: the more has set, the less is left to set, and each \
                  so much light takes the same share of what is left. It is carried off by the air above and the \
                  mould below, worked out in thin slices, second by second. An estimate from a mild resin to a hot \
                  one, and advice only",
        values: vec![
            ("a warm room", format!("{WARM_ROOM_C} °C")),
            (
                "heat of setting",
                format!(
                    "{:.0} to {:.0} kJ for each kg ({from})",
                    sources.low.release.get(),
                    sources.high.release.get()
                ),
            ),
            ("hottest", hottest),
        ],
        source: "heat conduction after J. Crank, P. Nicolson, Proc. Camb. Phil. Soc. 43 (1947) 50; silicone after B. Baudot, \
                 J. Mazuer, J. Odin, Cryogenics 38 (1998) 227; limits of touch after ISO 13732-1, from memory",
    }
}

fn bubbles(foreseen: &Foreseen) -> Explained {
    let rise = |layer: &craft::foreseen::LayerAhead| {
        format!("{} to {}", words::span(layer.bubbles.at_least), words::span(layer.bubbles.at_most))
    };
    Explained {
        title: "how long bubbles rise",
        plain: "Small bubbles rise slowly, the more so in thick or cold resin and in a thick layer. The longest such a wait is \
                for the smallest bubble that can be seen; bubbles caught in hair do not rise at all.",
        formula: "the speed of a bubble is 9.81 times its width times itself, times how much lighter air is than \
                  resin, shared by 18 times how thick the resin flows; the time is the depth of the layer shared by \
                  that speed. A bubble whose face slips is half as fast again. Bubbles caught in hair do not rise at \
                  all",
        values: vec![
            (
                "smallest bubble that is seen",
                format!("{} (common practice, no source)", words::length(SEEN_BUBBLE)),
            ),
            ("resin", format!("{} g/cm³, in a room of {COOL_ROOM_C} °C (cautious guess)", RESIN.g_per_cm3())),
            ("time", by_layer(foreseen, rise)),
        ],
        source: "G. G. Stokes, Trans. Camb. Phil. Soc. 9 (1851) 8; J. Hadamard and W. Rybczynski, 1911, for the slipping face",
    }
}

fn material(foreseen: &Foreseen) -> Explained {
    let filled: Vec<String> = foreseen
        .packed
        .iter()
        .map(|packed| match &packed.fits {
            Fits::NotWeighed => "not weighed".to_owned(),
            Fits::NoRoom(_) => "more than there is room for".to_owned(),
            Fits::Fits(packing) => {
                format!("{:.2} mm³, {}", packing.solid.mm3(), words::percent(packing.filled))
            }
        })
        .collect();
    let density: Vec<String> =
        foreseen.packed.iter().map(|packed| format!("{} g/cm³", packed.lie.density().g_per_cm3())).collect();
    Explained {
        title: "whether the material fits, and what it shades",
        plain: "How much room the material takes follows from its weight, and what it shades from how thick its strands or \
                grains are. More than the usual amount counts as the usual one.",
        formula: "the share of the layer is the weight of the material, shared by how heavy it is for its size, \
                  shared by what the first layer holds. For each millimetre strands take of the light 1.27 times \
                  that share, shared by their thickness in millimetres, and grains 1.5 times that share, shared by \
                  their size; more than there is room for counts as the usual share",
        values: vec![
            ("density", words::list(&density)),
            ("takes up", words::list(&filled)),
            ("strands, grains", "0.07 mm thick, 0.3 mm across, dark (common practice, no source)".to_owned()),
        ],
        source: "shade of what lies at random, after A. Beer; closest lie after G. D. Scott, D. M. Kilgour, J. Phys. D 2 \
                 (1969) 863; densities from memory",
    }
}

fn count(plan: &Plan, foreseen: &Foreseen) -> Explained {
    let (simulated, doubts) = (foreseen.simulated, &plan.cure.doubts);
    let percent = |doubt: craft::cure::Factor| format!("{:.0} %", 100.0 * doubt.get());
    let weakest = simulated.weakest.map_or_else(|| "none".to_owned(), |place| format!("layer {}", place + 1));
    Explained {
        title: "how many stones set through",
        plain: "A stone is laid in numbers again and again, each time with resin, lamp, pigment and hand a little other than \
                they are taken for, as far as they are in doubt. It counts where every layer gets the light that sets it.",
        formula: "a stone is laid in numbers again and again: resin, lamp, pigment and hand are drawn at random within what \
                  is in doubt of them, and it counts where every layer gets the light that sets it",
        values: vec![
            ("set through", super::ahead::simulated(foreseen)),
            ("fails most often", weakest),
            (
                "in doubt",
                format!(
                    "how deep it hardens {} · first setting {} · lamp {} · pigment {} · thickness {}",
                    percent(doubts.penetration),
                    percent(doubts.first_set),
                    percent(doubts.lamp),
                    percent(doubts.pigment),
                    words::length(doubts.thickness)
                ),
            ),
            (
                "drawn",
                format!(
                    "{} stones from the number {}, so the count is always the same",
                    simulated.stones, simulated.seed
                ),
            ),
        ],
        source: "propagation by drawing at random, JCGM 101:2008",
    }
}

fn hardness(foreseen: &Foreseen) -> Explained {
    let values = foreseen.hardness.map_or_else(Vec::new, |hardness| {
        let times = |factor: craft::cure::Factor| format!("{:.1} times what first sets it", factor.get());
        vec![
            ("wanted everywhere", format!("{} (common practice, no source)", times(FULLY_HARD))),
            (
                "least light",
                format!("{}, {} from the face", times(hardness.least), words::length(hardness.from_face)),
            ),
            ("at the face", times(hardness.at_face)),
        ]
    });
    Explained {
        title: "how hard it is all through",
        plain: "Layers that are laid later are lit right through, so a point inside gets light from every press. Where that is \
                little, light on the face after taking out makes up for it.",
        formula: "the light of every press that reaches a point, from the back and from the face, added up; layers laid later \
                  are lit through, and what is missing falls on the face after taking out",
        values,
        source: "the working curve of P. F. Jacobs, Rapid Prototyping & Manufacturing, 1992, summed over all presses",
    }
}

/// How the pots were worked out.
pub fn explained_pots(pots: &[OrderPots]) -> Explained {
    let mixing = Mixing::USUAL;
    let poured: Vec<String> = pots
        .iter()
        .flat_map(|pots| &pots.dosing.pots)
        .map(|pot| {
            format!("{}: {} poured, {} mixed", pot.load, words::mass(pot.poured), words::mass(pot.mixed))
        })
        .collect();
    Explained {
        title: "what goes into which pot",
        plain: "All layers of one depth of colour are poured from one pot. A pot holds a third more than is poured, and never \
                less than mixes well; the pigment comes into it as a strong mix, since so little cannot be weighed by itself.",
        formula: "what is poured, in milligrams, is what all layers of one depth of colour hold, times how heavy \
                  resin is for its size, with what they shrink by. A pot is that and a third to spare, and never \
                  less than mixes well; the strong mix in it is the pot times its per cent, shared by the per cent \
                  of the strong mix",
        values: vec![
            ("strong mix", mixing.strength.to_string()),
            ("least that mixes well", words::mass(mixing.least_pot)),
            ("pots", words::list(&poured)),
            (
                "scoops instead",
                format!(
                    "10 mg to a scoop, 30 mg to a drop, give or take {:.0} %",
                    100.0 * Scoop::DOUBT.get()
                ),
            ),
        ],
        source: "what a scale leaves in doubt, JCGM 100:2008, 5.1.2; amounts are common practice, no source",
    }
}

/// How many stones a material makes, and how that was worked out.
pub fn explained_spread(all: &[(u8, Candidates)]) -> Explained {
    let eye = Portioning::BY_EYE;
    let each: Vec<String> = all.iter().map(|(_, candidates)| words::percent(candidates.each)).collect();
    let left: Vec<String> = all
        .iter()
        .filter_map(|(_, candidates)| candidates.spread)
        .map(|spread| {
            format!(
                "{} as meant, {} at worst",
                words::percent(spread.left),
                words::percent(spread.left_at_worst)
            )
        })
        .collect();
    Explained {
        title: "how many stones it makes",
        plain: "Each portion may come out too large, and a little stays on the tools. So many stones are counted that even if \
                every one of them came out too large, the keep-back stays whole.",
        formula: "for each stone the portion, and twice its doubt more, and what stays on the tools; of so many \
                  stones together that is never more than what is there without the keep-back: every portion too \
                  large at once",
        values: vec![
            ("each stone", words::list(&each)),
            (
                "by eye",
                format!(
                    "a portion is in doubt by {}, {COVERAGE} times that is counted, and {} stays on the tools (common practice, no source)",
                    words::percent(eye.doubt),
                    words::percent(eye.loss)
                ),
            ),
            (
                "left",
                if left.is_empty() {
                    "not enough for one beside the keep-back".to_owned()
                } else {
                    words::list(&left)
                },
            ),
        ],
        source: "doubts that go the same way are added, not squared, JCGM 100:2008, 5.2.2 note 1",
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::present::sample::{bench, usual_plan};
    use craft::foreseen::{Part, Stone, foresee};
    use craft::stage::Stage;

    #[test]
    fn everything_ahead_opens_into_formula_values_and_source() {
        let bench = bench(Stage::Here);
        let held = bench.studio.order(bench.tag).unwrap();
        let stone = &held.order.sheet.stones[0];
        let cavity = bench.studio.cavity_of(stone).unwrap();
        let parts: Vec<Part> = bench.studio.parts_of(bench.tag, stone).unwrap();
        let plan = usual_plan();
        let foreseen = foresee(
            &plan,
            &Stone { cavity: &cavity, parts: &parts, colour: (1, 2, 3), sources: Sources::TYPICAL },
        )
        .unwrap();
        let mut all = explained_ahead(&plan, &foreseen);
        let titles: Vec<&str> = all.iter().map(|one| one.title).collect();
        assert_eq!(
            titles,
            [
                "where to fill to",
                "how warm it gets",
                "how long bubbles rise",
                "whether the material fits, and what it shades",
                "how many stones set through",
                "how few colour layers can be",
                "how hard it is all through",
                "whether the face may stay tacky",
                "whether it looks the same over metal and over a dark gap",
            ]
        );
        let pots = bench.studio.pots_of(bench.tag, &[(stone, &plan)]).unwrap();
        all.push(explained_pots(&pots));
        all.push(explained_spread(&bench.studio.candidates_of(bench.tag, stone, None).unwrap()));
        for explained in all {
            assert!(!explained.formula.is_empty() && !explained.source.is_empty());
            let full = explained.values.iter().all(|(name, value)| !name.is_empty() && !value.is_empty());
            assert!(full, "{explained:?}");
        }
    }
}
