//! How is this worked out? The fewest layers, the face, the look of the colour, and what even steps cost.

use craft::cure::FACE_HARD;
use craft::foreseen::Foreseen;
use craft::hiding::HIDDEN;
use craft::planner::{Even, Plan};

use super::{Explained, hiding, percent_mm};
use crate::present::words;

/// How few colour layers can be; nothing for a stone without colour.
pub(super) fn fewest(plan: &Plan) -> Option<Explained> {
    let has = plan.colour().count();
    let count = |least: u16| match least {
        u16::MAX => "none would do".to_owned(),
        least => words::count(usize::from(least), "colour layer", "colour layers"),
    };
    (has > 0).then(|| Explained {
        title: "how few colour layers can be",
        plain: "A layer holds only so much pigment and still sets right through. What hides the metal, shared out over layers \
                that hold the most they can, is the fewest there can be. A plan may take more of them where that saves time \
                or lets the colour deepen.",
        values: vec![
            ("what hides the metal", percent_mm(hiding(plan).1)),
            ("by the light alone, at least", count(plan.fewest.by_light)),
            ("by what can be laid, at least", count(plan.fewest.by_grid)),
            ("this plan has", count(u16::try_from(has).unwrap_or(u16::MAX))),
        ],
        formula: "what the pigment takes times what hides the metal, and the thickness of the colour shared by how \
                  deep it hardens, are added, and shared by the most that one layer can hold and still set; besides, \
                  what hides the metal is shared by the most that one layer gives in tenths of a millimetre and \
                  whole steps of pigment. Both are rounded up, and the greater of the two counts",
        source: "follows from the working curve of P. F. Jacobs, Rapid Prototyping & Manufacturing, 1992",
    })
}

/// Whether the face may stay tacky; nothing where no layer lies against the mould.
pub(super) fn face(foreseen: &Foreseen) -> Option<Explained> {
    let faces: Vec<String> = (1..)
        .zip(&foreseen.layers)
        .filter_map(|(no, layer): (u8, _)| {
            let face = layer.face?;
            Some(format!("layer {no} {:.1} times what first sets it", face.ratio))
        })
        .collect();
    (!faces.is_empty()).then(|| Explained {
        title: "whether the face may stay tacky",
        plain: "Silicone lets air through, and air keeps a thin film of resin from setting where there is little light. A face \
                that gets little may come out tacky; light from its own side sets it once the stone is out.",
        values: vec![
            ("light at the face", faces.join(" · ")),
            ("enough from", format!("{FACE_HARD} times what first sets it (common practice, no source)")),
        ],
        formula: "the light of all presses, less what the layer above keeps back: each millimetre leaves the same \
                  share of what comes to it",
        source: "the working curve of P. F. Jacobs, Rapid Prototyping & Manufacturing, 1992; how air comes in through silicone \
                 is from memory",
    })
}

/// How the colour looks over metal and over a dark gap; nothing for a stone without colour.
pub(super) fn look(foreseen: &Foreseen) -> Option<Explained> {
    let look = foreseen.look?;
    Some(Explained {
        title: "whether it looks the same over metal and over a dark gap",
        plain: "The colour of all layers is reckoned over polished metal and over a dark gap, the two that differ most behind a \
                stone. Where an eye would hardly tell one from the other, the metal counts as hidden.",
        values: vec![
            ("difference of the two colours", format!("{:.1}", look.difference)),
            ("counts as the same up to", format!("{HIDDEN}")),
        ],
        formula: "each film lets through and throws back by what its pigment takes and scatters, one film over the other; the \
                  difference is that of CIEDE2000",
        source: "P. Kubelka, J. Opt. Soc. Am. 38 (1948) 448; J. L. Saunderson, J. Opt. Soc. Am. 32 (1942) 727; G. Sharma, \
                 W. Wu, E. N. Dalal, Color Res. Appl. 30 (2005) 21",
    })
}

/// What steps of the same size cost.
pub fn explained_even(even: &Even) -> Explained {
    Explained {
        title: "what steps of the same size cost",
        plain: "The stone is planned twice, once as quickly as it can be and once with steps of colour as alike as they can be. \
                What the second takes longer is what even steps cost.",
        values: vec![
            ("takes longer by", words::clock(even.more)),
            (
                "steps near",
                words::length(craft::units::Length::from_micro(i64::from(even.wish.reference) * 100_000)),
            ),
        ],
        formula: "minutes of the plan with even steps, less minutes of the quickest; the even one is found by \
                  counting each layer as longer by so many seconds times the tenths of a millimetre that it is off, \
                  times themselves",
        source: "the planner's own search; how much even steps are worth is common practice, no source",
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::present::sample::{bench, usual_plan};
    use craft::foreseen::{Stone, foresee};
    use craft::heat::Sources;
    use craft::planner::Smooth;
    use craft::stage::Stage;
    use craft::units::Span;

    #[test]
    fn the_fewest_layers_the_face_the_look_and_even_steps_say_what_they_rest_on() {
        let bench = bench(Stage::Here);
        let held = bench.studio.order(bench.tag).unwrap();
        let cavity = bench.studio.cavity_of(&held.order.sheet.stones[0]).unwrap();
        let plan = usual_plan();
        let stone = Stone { cavity: &cavity, parts: &[], colour: (40, 60, 50), sources: Sources::TYPICAL };
        let foreseen = foresee(&plan, &stone).unwrap();
        let fewest = fewest(&plan).unwrap();
        let has = plan.colour().count();
        assert_eq!(fewest.values[3].1, words::count(has, "colour layer", "colour layers"));
        let face = face(&foreseen).unwrap();
        assert!(face.values[0].1.starts_with("layer 1 "), "{face:?}");
        let look = look(&foreseen).unwrap();
        let shown: f64 = look.values[0].1.parse().unwrap();
        assert!((shown - foreseen.look.unwrap().difference).abs() < 0.051, "{look:?}");
        let wish = Smooth { reference: 5, seconds: 30 };
        let even = explained_even(&Even { wish, more: Span::from_s(180.0), is_even: true });
        assert_eq!((even.values[0].1.as_str(), even.values[1].1.as_str()), ("3:00", "0.5 mm"));
    }
}
