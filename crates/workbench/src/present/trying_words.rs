//! What becomes of a layer that is tried out, in words, and how each figure was worked out.

use craft::cure::Surety;
use craft::heat::{Sources, Touch};
use craft::planner::MOST_PRESSES;
use craft::shelf::Pigment;
use craft::trial::{Trial, Tried, Wanted};
use craft::units::Length;

use super::plan_words::{self, Explained};
use super::words;
use crate::typed::Typed;

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
    [depth(trial, tried), hiding(trial, tried), warmth(trial, tried)]
}

/// To the hundredth of a millimetre below: what a caliper shows.
fn rounded(length: Length) -> String {
    words::length(Length::from_micro(length.micro() / 10_000 * 10_000))
}

fn depth(trial: &Trial, tried: &Tried) -> Told {
    let says = match tried.surety {
        Surety::Sure => "It surely sets right through.",
        Surety::Likely => "It most likely sets through, but a plan would not trust it.",
        Surety::NotSure if !trial.is_load_tested() => {
            "Nobody can say: your tests do not cover this much pigment."
        }
        Surety::NotSure => "It may stay soft below.",
    };
    let guessed = rounded(tried.guessed);
    let sure = match tried.sure {
        _ if !trial.is_load_tested() => format!("By the best guess this light sets {guessed}."),
        Some(sure) => {
            format!("This light is sure for {} and sets {guessed} by the best guess.", rounded(sure))
        }
        None if tried.guessed == Length::ZERO => "This light is too short to set anything.".to_owned(),
        None => format!("This light is sure for no layer at all; by the best guess it sets {guessed}."),
    };
    let covered = trial.tested_to.filter(|most| !trial.load.is_positive() && trial.thickness > *most);
    let wanted = match tried.wanted {
        Some(_) if tried.surety == Surety::Sure => String::new(),
        Some(Wanted::Seconds(seconds)) => {
            format!(" For this thickness, light it for {}.", words::clock(seconds))
        }
        Some(Wanted::Presses(presses)) if presses > u32::from(MOST_PRESSES) => {
            let of = if trial.load.is_positive() { "colour and button" } else { "button" };
            format!(" Too thick for this {of}: lay it thinner.")
        }
        Some(Wanted::Presses(presses)) => {
            let presses = words::count(usize::try_from(presses).unwrap_or(usize::MAX), "press", "presses");
            format!(" For this thickness it takes {presses} of this button.")
        }
        None if !trial.is_load_tested() => untested(trial),
        None if covered.is_some() => {
            " Your tests of this bottle reach no deeper: light one patch longer to know more.".to_owned()
        }
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

/// What to do about a load that no test covers; a plan would not take it.
fn untested(trial: &Trial) -> String {
    let (least, most) = trial.tested_loads;
    let (bound, mix) = match (least, most) {
        (Some(least), _) if trial.load < least => (format!("no paler mix than {least}"), "a paler"),
        (_, Some(most)) => (format!("no stronger mix than {most}"), "a stronger"),
        _ => return String::new(),
    };
    format!(
        " Your tests of this pigment cover {bound}, and a plan takes none: stay within them, or test {mix} mix on the \
         pigment\u{2019}s page."
    )
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

fn warmth(trial: &Trial, tried: &Tried) -> Told {
    let says = match tried.touch {
        Touch::Cool => "It stays cool.",
        Touch::Warm => "It gets warm at most.",
        Touch::Hot => "It may get hot.",
        Touch::TooHot => "It may get hot enough to harm the mould, petals and fingers.",
    };
    let is_hot = tried.touch >= Touch::Hot;
    let advice =
        if is_hot { " Take the low-heat button or a thinner layer, and let it cool in between." } else { "" };
    let is_guess = trial.sources == Sources::TYPICAL;
    let as_are = if is_guess { "as mild or as hot as resins are" } else { "by what you saw of this resin" };
    Told {
        title: "Warming",
        words: says.to_owned(),
        more: format!("About {} in a warm room, {as_are}.{advice}", plan_words::band(&tried.heat)),
        is_care: is_hot,
    }
}

/// How is this worked out? Depth, hiding and warmth, with the values that went in; `pigment` as it stands on the shelf.
pub fn explained(trial: &Trial, tried: &Tried, pigment: Option<&Pigment>) -> [Explained; 3] {
    let warmth = plan_words::warmth_explained(plan_words::band(&tried.heat), &trial.sources);
    [depth_explained(trial, tried), hiding_explained(trial, pigment), warmth]
}

fn depth_explained(trial: &Trial, tried: &Tried) -> Explained {
    let mut values = plan_words::cure_values(&trial.cure, std::iter::once(&trial.under));
    values.extend([
        ("seconds of full light", trial.light.button.equivalent().to_string()),
        ("pigment", trial.load.to_string()),
        ("by the best guess it sets", rounded(tried.guessed)),
    ]);
    if let Some(most) = trial.tested_to {
        values.push(("your tests of this bottle reach", words::length(most)));
    }
    let [plain, formula, source] = plan_words::DEPTH;
    Explained { title: "how deep it hardens", plain, values, formula, source }
}

fn hiding_explained(trial: &Trial, pigment: Option<&Pigment>) -> Explained {
    let held = trial.load.percent() * trial.thickness.mm();
    let mix = &trial.cure.mix;
    let hides = if mix.class.hides() {
        format!("{} ({})", plan_words::percent_mm(mix.hiding.get()), plan_words::hiding_from(mix, pigment))
    } else {
        "not to be relied on: clear resin and see-through dye let the metal shine through".to_owned()
    };
    let [plain, formula, source] = plan_words::HIDING;
    Explained {
        title: "whether the metal is hidden",
        plain,
        values: vec![
            ("what this layer holds", plan_words::percent_mm(held)),
            ("what hides the metal", hides),
        ],
        formula,
        source,
    }
}

/// What was typed, where it is within what can be tried out.
///
/// # Errors
/// Which range that is.
pub fn within<T: PartialOrd + Copy>(
    typed: Typed<T>,
    [least, most]: [T; 2],
    say: impl Fn(T) -> String,
) -> Result<Typed<T>, String> {
    if typed.value >= least && typed.value <= most {
        Ok(typed)
    } else {
        Err(format!("write {} to {}", say(least), say(most)))
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
        let mut tryout = TryOut::begun(studio);
        let say = |tryout: &TryOut| {
            let (trial, tried) = tryout.tried(&tryout.means(studio, today()).unwrap()).unwrap();
            told(&trial, &tried)
        };
        assert_eq!(say(&tryout)[1].words, "It hides nothing: the metal shines through.");
        tryout.seconds = Span::from_s(1.0);
        assert!(say(&tryout)[0].is_care, "{:?}", say(&tryout));
        tryout.thickness = Length::from_mm(1.0);
        let more = say(&tryout)[0].more.clone();
        assert!(more.ends_with("For this thickness, light it for 0:12."), "{more}");
        tryout.seconds = Span::ZERO;
        let why = tryout.tried(&tryout.means(studio, today()).unwrap()).unwrap_err();
        assert_eq!(why, "without light nothing sets; write at least 1 s");
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
    fn a_mix_beyond_the_tests_is_told_with_the_way_to_test_it() {
        let bench = bench(Stage::Here);
        let (mut trial, _) =
            TryOut::default().tried(&TryOut::default().means(&bench.studio, today()).unwrap()).unwrap();
        trial.load = Load::from_percent(0.2);
        trial.tested_loads = (Some(Load::from_percent(0.5)), Some(Load::from_percent(1.0)));
        let said = |trial: &Trial| depth(trial, &trial.tried());
        let paler = said(&trial);
        assert!(paler.is_care && paler.words.starts_with("Nobody can say"), "{paler:?}");
        assert!(
            paler.more.contains("no paler mix than 0.5 %") && paler.more.contains("test a paler mix"),
            "{paler:?}"
        );
        assert!(!paler.more.contains("sure for"), "nothing is promised: {paler:?}");
        trial.load = Load::from_percent(1.5);
        assert!(said(&trial).more.contains("no stronger mix than 1 %"));
        trial.load = Load::from_percent(0.8);
        assert!(!said(&trial).words.starts_with("Nobody"));
    }

    #[test]
    fn every_figure_says_how_it_was_worked_out() {
        let bench = bench(Stage::Here);
        let (trial, tried) =
            TryOut::default().tried(&TryOut::default().means(&bench.studio, today()).unwrap()).unwrap();
        let all = explained(&trial, &tried, None);
        for (one, told) in all.iter().zip(told(&trial, &tried)) {
            assert!(!one.source.is_empty() && one.values.len() >= 2 && !told.words.is_empty(), "{one:?}");
        }
    }

    #[test]
    fn a_layer_says_all_that_its_depth_was_reckoned_with_and_names_the_card_that_found_what_hides() {
        let bench = bench(Stage::Here);
        let mut tryout = TryOut::begun(&bench.studio);
        let pigment = TryOut::pigments(&bench.studio).into_iter().find_map(|(id, _)| id).unwrap();
        tryout.choose_pigment(&bench.studio, Some(pigment.clone()));
        let (mut trial, tried) = tryout.tried(&tryout.means(&bench.studio, today()).unwrap()).unwrap();
        trial.cure.own = Some(craft::cure::Factor::new(1.25).unwrap());
        trial.cure.assurance.spread = craft::cure::Factor::new(2.3263).unwrap();
        let said = |trial: &Trial, name: &str| {
            let all = explained(trial, &tried, None);
            let value = all[0].values.iter().find(|(of, _)| *of == name).map(|(_, value)| value.clone());
            value.unwrap_or_else(|| panic!("{name}: {all:?}"))
        };
        assert!(
            said(&trial, "in doubt, two times in three by no more than")
                .starts_with("the resin's depth 25 %")
        );
        assert!(said(&trial, "light wanted on the underside").ends_with("in 99 layers of 100"));
        assert_eq!(said(&trial, "what coloured resin takes besides its pigment"), "1.25 per mm (your tests)");
        // What a card found is the card's, with its day.
        let item = &bench.studio.shelf()[&pigment];
        let typed =
            crate::shelving::card::CardTyped { load: "0.5 %", seen: "1.2", hidden: "1.4", day: "1 May" };
        let card = crate::shelving::card::card(&typed, crate::present::sample::day(2026, 5, 3)).unwrap();
        let carded = crate::shelving::card::with_card(item, card).unwrap();
        let craft::shelf::What::Pigment(of) = &carded.what else { panic!("{carded:?}") };
        trial.cure.mix = of.mix;
        let hides = &explained(&trial, &tried, Some(of))[1].values[1].1;
        assert!(hides.ends_with("(your card of 1 May 2026)"), "{hides}");
    }

    #[test]
    fn choices_begin_with_the_cautious_guess_and_hold_what_is_in_use() {
        let bench = bench(Stage::Here);
        let studio = &bench.studio;
        for all in [TryOut::resins(studio), TryOut::pigments(studio)] {
            assert!(all.len() > 1 && all[0].0.is_none() && all[1..].iter().all(|(id, _)| id.is_some()));
        }
        let mut tryout = TryOut::begun(studio);
        assert!(tryout.with().button.is_some());
        assert_eq!(
            tryout.seconds,
            tryout.tried(&tryout.means(studio, today()).unwrap()).unwrap().0.light.button.total()
        );
        // A lamp that has left the shelf is let go.
        let empty = craft::studio::Studio::new(studio.policies().clone());
        tryout.keep_to_the_shelf(&empty);
        assert_eq!((tryout.with().button.clone(), tryout.with().resin.clone()), (None, None));
    }
}
