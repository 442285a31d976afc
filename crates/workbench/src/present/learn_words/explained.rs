//! How is this worked out? What a bottle's tests say of depth, of a standard stone, of a test's band and of full light.

use craft::cure::{Button, Cure, Light, Mix, PigmentClass};
use craft::learning::{Day, Worth};
use craft::shelf::{Lamp, What};
use craft::studio::{Studio, Taught};

use super::trial::{BAND, Plot};
use crate::present::plan_words::{self, Explained};
use crate::present::words;

/// How deep a clear layer may be under these buttons, as it is believed; `lamp` is whose they are.
pub(super) fn depth(taught: &Taught, lamp: &str, lights: &[&Light]) -> Explained {
    // Of clear layers pigment says nothing.
    let cure = Cure { mix: Mix::typical(PigmentClass::Clear), own: None, ..taught.cure };
    let mut values = vec![("lamp", lamp.to_owned())];
    values.extend(plan_words::cure_values(&cure, lights.iter().copied()));
    let deepest = taught.known.as_ref().and_then(|known| known.learned.deepest);
    values.extend(
        deepest.map(|deepest| ("the thickest patch or layer that was measured", words::length(deepest))),
    );
    let thickest = |light: &&Light| {
        let sure = taught.thickest_clear(light).map_or_else(|| "none".to_owned(), words::length);
        format!("{} {sure}", light.button.name())
    };
    values.push(("sure up to", lights.iter().map(thickest).collect::<Vec<_>>().join(" · ")));
    let [_, formula, source] = plan_words::DEPTH;
    Explained {
        title: "how deep a layer surely sets",
        plain: "Every test, every habit and every layer you felt says something of this resin under this lamp. All of it is put \
                together with what is usual of resins: what is sure counts for more, what is old or of another bottle for less. \
                A layer is sure where it still sets if all that is left in doubt turns out badly, and none is planned much \
                thicker than what was measured.",
        values,
        formula,
        source,
    }
}

/// What was won on a standard stone.
pub(super) fn won(won: &Worth, pigment: &str) -> Explained {
    let said = |day: Option<Day>| {
        day.map_or_else(
            || "cannot be laid".to_owned(),
            |day| format!("{} and {} min", words::count(day.layers, "layer", "layers"), day.minutes),
        )
    };
    Explained {
        title: "what that wins",
        plain: "One and the same stone is planned twice: once with what is believed now, and once as if this had not been seen. \
                What lies between the two, in layers and minutes, is what was won.",
        values: vec![
            (
                "standard stone",
                format!("3.5 mm deep with a clear face of 1.5 mm, {pigment} behind it and deepening"),
            ),
            ("before", said(won.before)),
            ("now", said(won.after)),
        ],
        formula: "layers and minutes of the quickest plan before, less those of the quickest plan now; minutes as on \
                  the plan: laying, waiting, lamp and cooling added up",
        source: "the planner's own search, with the times in your settings; the stone is common practice, no source",
    }
}

/// The line and the band of a test's plot.
pub(super) fn band(plot: &Plot) -> Explained {
    let point =
        |point: &super::PlotPoint| format!("{:.2} mm, {:.2} mm to either side", point.mm, point.off_mm);
    Explained {
        title: "the line and the band",
        plain: "The line is how thick the resin sets for each time under the lamp, as it is believed with this test in it. The true \
                one lies within the band nineteen times in twenty; the marks at a patch say the same of what was measured.",
        values: vec![
            ("patches", plot.points.iter().map(point).collect::<Vec<_>>().join(" · ")),
            ("each side of the band", format!("{BAND} standard doubts")),
        ],
        formula: "the line is how deep it hardens, in millimetres, for each 2.7 times the light, times how often the \
                  light goes up by that from the seconds until it first sets. The band is the line, and 1.96 times \
                  what is in doubt of it above and below",
        source: "P. F. Jacobs, Rapid Prototyping & Manufacturing, 1992; 1.96 after the standard normal table, JCGM 100:2008, \
                 table G.1",
    }
}

/// What the seconds of lamps are worth in seconds of full light.
pub(in crate::present) fn full_light<'a>(buttons: impl Iterator<Item = &'a Button>) -> Explained {
    let worth = |button: &Button| {
        let grows = if button.ramp().is_positive() {
            format!(", grows for {}", words::span(button.ramp()))
        } else {
            String::new()
        };
        format!("{}: {}{grows}", button.name(), words::light(button.equivalent()))
    };
    Explained {
        title: "seconds of full light",
        plain: "A lamp that comes up slowly gives less light at first. Its time is counted as if it had been at full light from the \
                beginning: half of the time in which it grows is taken off, anew for every press.",
        values: vec![("a whole press is worth", buttons.map(worth).collect::<Vec<_>>().join(" · "))],
        formula: "seconds of full light are the seconds lit, less half of those in which the light grows; while it \
                  still grows they are the seconds times themselves, shared by twice those in which it grows",
        source: "the area under a light that grows evenly, elementary geometry",
    }
}

/// The same for every lamp of the shelf that is in use.
pub(super) fn full_light_here(studio: &Studio) -> Explained {
    let used = studio.shelf().values().filter(|item| !item.retired);
    full_light(used.flat_map(|item| match &item.what {
        What::Lamp(Lamp { buttons }) => buttons.as_slice(),
        _ => &[],
    }))
}
