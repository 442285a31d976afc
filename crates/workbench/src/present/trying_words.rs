//! What becomes of a layer that is tried out, in words, and how each figure was worked out.

use craft::cure::Surety;
use craft::heat::Warmth;
use craft::trial::{ROOM_C, Trial, Tried};
use craft::units::Length;

use super::plan_words::{Explained, provenance};
use super::words;

/// No bottle of the shelf.
pub const ANY_RESIN: &str = "a resin nobody tested";
/// No lamp of the shelf.
pub const ANY_LAMP: &str = "a lamp nobody tested";
/// No pigment.
pub const CLEAR: &str = "clear, no pigment";

/// One thing that is told of the layer.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Told {
    /// What it is about: "Setting through".
    pub title: &'static str,
    /// What becomes of it, in one sentence.
    pub words: String,
    /// What to do, or how much would do; may be empty.
    pub more: String,
    /// It asks for something to be changed.
    pub is_care: bool,
}

/// Depth, hiding and warmth.
pub fn told(trial: &Trial, tried: &Tried) -> [Told; 3] {
    [depth(trial, tried), hiding(trial, tried), warmth(tried)]
}

/// To the hundredth of a millimetre below: what a caliper shows.
fn rounded(length: Length) -> String {
    words::length(Length::from_micro(length.micro() / 10_000 * 10_000))
}

fn depth(trial: &Trial, tried: &Tried) -> Told {
    let says = match tried.surety {
        Surety::Sure => "It surely sets right through.",
        Surety::Likely => "It most likely sets through, but a plan would not trust it.",
        Surety::NotSure => "It may stay soft below.",
    };
    let guessed = rounded(tried.guessed);
    let sure = match tried.sure {
        Some(sure) => {
            format!("This light is sure for {} and sets {guessed} by the best guess.", rounded(sure))
        }
        None if tried.guessed == Length::ZERO => "This light is too short for a skin.".to_owned(),
        None => format!("This light is sure for no layer at all; by the best guess it sets {guessed}."),
    };
    let wanted = match tried.wanted {
        Some(wanted) if tried.surety != Surety::Sure => {
            format!(" For this thickness, light it for {}.", words::clock(wanted))
        }
        Some(_) => String::new(),
        None => " No press is long enough for this: lay it thinner, or with less pigment.".to_owned(),
    };
    let spoiled = if tried.too_much {
        format!(" More than {} of this pigment spoils the resin: stay below.", trial.cure.mix.ceiling)
    } else {
        String::new()
    };
    Told {
        title: "Setting through",
        words: says.to_owned(),
        more: format!("{sure}{wanted}{spoiled}"),
        is_care: tried.surety != Surety::Sure || tried.too_much,
    }
}

/// More layers than anybody would lay.
const TOO_MANY: u32 = 50;

fn hiding(trial: &Trial, tried: &Tried) -> Told {
    let (says, more) = match (tried.hides, tried.layers) {
        (Some(share), _) if share >= 1.0 => ("One such layer hides the metal behind it.".to_owned(), ""),
        (Some(_), Some(layers)) if layers <= TOO_MANY => (
            format!("It takes {layers} such layers to hide the metal."),
            "Thicker layers or more pigment take fewer, as far as they still set through.",
        ),
        (Some(_), _) => ("It hides next to nothing.".to_owned(), "Take more pigment."),
        (None, _) => (
            "It hides nothing: the metal shines through.".to_owned(),
            "Clear resin and see-through dye are not to be relied on for that.",
        ),
    };
    let estimate = if trial.cure.mix.class.is_estimate() && tried.hides.is_some() {
        " Flakes hide by how they lie, so this is an estimate: look at a test drop on metal."
    } else {
        ""
    };
    let more = format!("{more}{estimate}").trim().to_owned();
    Told { title: "Hiding the metal", words: says, more, is_care: false }
}

fn warmth(tried: &Tried) -> Told {
    let says = match tried.warmth {
        Warmth::Mild => "It gets warm at most.",
        Warmth::Hot => "It may get hot.",
        Warmth::Scorching => "It may get hot enough to harm the mould, petals and fingers.",
    };
    let band = tried.heat.rise_k;
    let [low, typical, high] = [band.low, band.typical, band.high].map(|rise| ROOM_C + rise);
    let degrees = format!(
        "About {typical:.0} °C in a room of {ROOM_C:.0} °C; {low:.0} to {high:.0} °C, as mild or as hot as resins are."
    );
    let advice = match tried.warmth {
        Warmth::Mild => "",
        Warmth::Hot | Warmth::Scorching => {
            " Take the low-heat button or a thinner layer, and let it cool in between."
        }
    };
    Told {
        title: "Warming",
        words: says.to_owned(),
        more: format!("{degrees}{advice}"),
        is_care: tried.warmth != Warmth::Mild,
    }
}

/// How is this worked out? Depth, hiding and warmth, with the values that went in.
pub fn explained(trial: &Trial, tried: &Tried) -> [Explained; 3] {
    [depth_explained(trial, tried), hiding_explained(trial), heat_explained(trial)]
}

fn depth_explained(trial: &Trial, tried: &Tried) -> Explained {
    let cure = &trial.cure;
    let from = |value: String, source| format!("{value} ({})", provenance(source));
    let deep = from(words::length(cure.resin.penetration()), cure.resin.provenance);
    let takes = from(format!("{} per mm and per cent", cure.mix.absorption.get()), cure.mix.provenance);
    Explained {
        title: "how deep it hardens",
        formula: "depth = how deep it hardens × ln(seconds of full light ÷ seconds until it first sets). Pigment makes \
                  it shallower: 1 ÷ depth for each e-fold = 1 ÷ that of clear resin + what the pigment takes × its per \
                  cent. To be sure, every doubt is taken to its bad end and these are added as squares",
        values: vec![
            ("how deep clear resin hardens for each e-fold of light", deep),
            (
                "seconds until it first sets",
                from(trial.light.first_set().to_string(), trial.light.provenance),
            ),
            ("seconds of full light", trial.light.button.equivalent().to_string()),
            ("what the pigment takes of the light", takes),
            ("pigment", trial.load.to_string()),
            ("by the best guess it sets", rounded(tried.guessed)),
            (
                "light wanted on the underside",
                format!("{} times what first sets it", cure.assurance.margin.get()),
            ),
        ],
        source: "P. F. Jacobs, Rapid Prototyping & Manufacturing, 1992; I. Gibson, D. Rosen, B. Stucker, Additive \
                 Manufacturing Technologies, equation 4.16; doubts after JCGM 100:2008, section 5",
    }
}

fn hiding_explained(trial: &Trial) -> Explained {
    let held = trial.load.percent() * trial.thickness.mm();
    let mix = &trial.cure.mix;
    Explained {
        title: "whether the metal is hidden",
        formula: "per cent of pigment × thickness, against what hides the metal; layers of one pigment add",
        values: vec![
            ("what this layer holds", format!("{held:.2} % × mm")),
            (
                "what hides the metal",
                format!("{:.2} % × mm ({})", mix.hiding.get(), provenance(mix.provenance)),
            ),
        ],
        source: "P. Kubelka, J. Opt. Soc. Am. 38 (1948) 448 and 44 (1954) 330; hidden means a colour difference of at \
                 most 2 between metal and a dark gap behind the stone",
    }
}

fn heat_explained(trial: &Trial) -> Explained {
    Explained {
        title: "how warm it gets",
        formula: "the heat that setting gives off, spread by conduction through the layer into the mould and the air, \
                  step by step while the lamp is lit; for the mildest, the usual and the hottest resin",
        values: vec![
            ("thickness", words::length(trial.thickness)),
            ("lit for", words::clock(trial.light.button.total())),
            ("heat of setting", "130, 180 and 240 kJ a kilogram".to_owned()),
            ("room", format!("{ROOM_C:.0} °C")),
        ],
        source: "heat conduction in a layered slab, H. S. Carslaw and J. C. Jaeger, Conduction of Heat in Solids, 1959; \
                 the heat of setting is reckoned from the bonds of acrylates, no figure for a craft resin is published",
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::present::sample::bench;
    use crate::trying::TryOut;
    use craft::stage::Stage;
    use craft::units::{Load, Span};

    fn today() -> chrono::NaiveDate {
        crate::present::sample::day(2026, 11, 1)
    }

    #[test]
    fn what_is_told_follows_the_sliders() {
        let bench = bench(Stage::Here);
        let studio = &bench.studio;
        let mut tryout = TryOut::begun(studio, today());
        let say = |tryout: &TryOut| {
            let (trial, tried) = tryout.tried(studio, today()).unwrap();
            told(&trial, &tried)
        };
        assert_eq!(say(&tryout)[1].words, "It hides nothing: the metal shines through.");
        tryout.seconds = Span::from_s(1.0);
        assert!(say(&tryout)[0].is_care, "{:?}", say(&tryout));
        let pigment = TryOut::pigments(studio).into_iter().find_map(|(id, _)| id).unwrap();
        tryout.choose_pigment(studio, Some(pigment));
        tryout.seconds = Span::from_s(300.0);
        tryout.load = tryout.most_load(studio);
        let much = say(&tryout);
        assert!(much[0].more.contains("spoils the resin"), "{much:?}");
        tryout.load = Load::from_percent(0.1);
        assert_ne!(say(&tryout)[1], much[1]);
    }

    #[test]
    fn every_figure_says_how_it_was_worked_out() {
        let bench = bench(Stage::Here);
        let (trial, tried) = TryOut::default().tried(&bench.studio, today()).unwrap();
        let all = explained(&trial, &tried);
        for (one, told) in all.iter().zip(told(&trial, &tried)) {
            assert!(!one.source.is_empty() && one.values.len() >= 2 && !told.words.is_empty(), "{one:?}");
        }
        // What is said of the heat of setting is what is reckoned with.
        let sources = craft::heat::Sources::TYPICAL;
        let kilojoules = [sources.low, sources.typical, sources.high].map(|source| source.release);
        let want = [130.0, 180.0, 240.0].map(|value| craft::cure::Factor::new(value).unwrap());
        assert_eq!(kilojoules, want);
    }

    #[test]
    fn choices_begin_with_the_cautious_guess_and_hold_what_is_in_use() {
        let bench = bench(Stage::Here);
        let studio = &bench.studio;
        for all in [TryOut::resins(studio), TryOut::pigments(studio)] {
            assert!(all.len() > 1 && all[0].0.is_none() && all[1..].iter().all(|(id, _)| id.is_some()));
        }
        let mut tryout = TryOut::begun(studio, today());
        assert!(tryout.with().button.is_some());
        assert_eq!(tryout.seconds, tryout.tried(studio, today()).unwrap().0.light.button.total());
        // A lamp that has left the shelf is let go.
        let empty = craft::studio::Studio::new(studio.policies().clone());
        tryout.keep_to_the_shelf(&empty);
        assert_eq!((tryout.with().button.clone(), tryout.with().resin.clone()), (None, None));
    }
}
