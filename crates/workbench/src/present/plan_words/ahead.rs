//! What follows from a plan, in words: layer by layer, the material, the whole stone.

use craft::dosing::DROP;
use craft::foreseen::{Fits, Foreseen, LayerAhead, Packed, Rests, warmth_of};
use craft::heat::{Sources, Touch};
use craft::hiding::HIDDEN;
use craft::packing::{Crowding, Lie};
use craft::planner::{PROMISED, Plan, PlannedLayer};
use craft::studio::Held;
use craft::units::{Share, Span, Volume};

use super::{name_of, surety_at, words};

/// A few words on each thing, by name.
pub type Told = Vec<(&'static str, String)>;

/// What follows from a plan, as the plan page shows it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct AheadWords {
    /// What binds: the least sure layer, for the first look.
    pub binds: String,
    /// What must be known before pouring, a sentence each; none where all is well.
    pub care: Vec<String>,
    /// Each layer: its name, and what is to be expected of it.
    pub layers: Vec<(String, Told)>,
    /// Each material: its name, and how it lies.
    pub material: Vec<(String, Told)>,
    /// The whole stone.
    pub whole: Told,
}

/// What follows from a plan in words.
pub fn ahead(held: &Held, plan: &Plan, foreseen: &Foreseen) -> AheadWords {
    let layers = (1_u8..).zip(plan.layers.iter().zip(&foreseen.layers));
    AheadWords {
        binds: binds(plan),
        care: care(held, plan, foreseen),
        layers: layers.map(|(no, (layer, ahead))| layer_told(plan, (no, layer), ahead)).collect(),
        material: foreseen.packed.iter().map(|packed| material_told(held, packed)).collect(),
        whole: whole_told(plan, foreseen),
    }
}

/// "The least sure is layer 2: at worst 1.6 times the light that sets it.".
fn binds(plan: &Plan) -> String {
    plan.weakest().map_or_else(String::new, |(place, layer)| {
        format!(
            "The least sure is layer {}: at worst it gets {:.1} times the light that sets it.",
            place + 1,
            layer.cautious.get()
        )
    })
}

/// Only what asks for another plan, or for something to be done.
fn care(held: &Held, plan: &Plan, foreseen: &Foreseen) -> Vec<String> {
    let crowded = foreseen.packed.iter().filter(|packed| packed.is_beyond_plan()).map(|packed| {
        let name = words::sentence_start(&words::lot(held, packed.part.lot));
        format!("{name}: {}.", fits(packed))
    });
    let heat = [Touch::TooHot, Touch::Hot].map(|hot| {
        let places = places(foreseen, |layer| layer.touch == hot);
        heat_care(plan, hot, &places)
    });
    let unsure = (foreseen.simulated.share() < PROMISED).then(|| unsure(plan).to_owned());
    unsure.into_iter().chain(crowded).chain(heat.into_iter().flatten()).collect()
}

/// The warning of layers, by number, that get so hot; none where nothing is to be said.
fn heat_care(plan: &Plan, touch: Touch, places: &[usize]) -> Option<String> {
    if places.is_empty() {
        return None;
    }
    // Only where one button does for all of them.
    let mut each = places.iter().map(|no| cooler_button(plan, no.checked_sub(1)?));
    let first = each.next().flatten();
    let cooler = first.filter(|first| each.all(|other| other.as_ref() == Some(first)));
    let cooler = cooler.map(|button| format!("take {button}, ")).unwrap_or_default();
    let layers = layers_named(places);
    match touch {
        Touch::TooHot => {
            Some(format!("{layers} may get too hot to hold: {cooler}lay thinner, or rest between presses."))
        }
        Touch::Hot if cooler.is_empty() => {
            let get = if places.len() == 1 { "gets" } else { "get" };
            Some(format!("{layers} {get} hot: leave the stone alone until it has cooled."))
        }
        Touch::Hot => {
            let get = if places.len() == 1 { "gets" } else { "get" };
            Some(format!("{layers} {get} hot: {cooler}or leave the stone alone until it has cooled."))
        }
        Touch::Cool | Touch::Warm => None,
    }
}

/// The warning of one layer of a plan, by its place from the face, as the plan itself says it; none where it stays cool.
pub(in crate::present) fn layer_heat(plan: &Plan, place: usize, sources: &Sources) -> Option<String> {
    let touch = warmth_of(plan, place, sources)?.touch();
    heat_care(plan, touch, &[place + 1])
}

/// The button that is easier on the resin than the one a layer is planned with, in quotes: of those that grow slowly the
/// slowest, and how often it is pressed so that the layer stays as sure. None where there is none, or the layer has it.
fn cooler_button(plan: &Plan, place: usize) -> Option<String> {
    let layer = plan.layers.get(place)?;
    let planned = plan.lights.get(usize::from(layer.light))?;
    let slow = plan.lights.iter().filter(|light| light.button.ramp().is_positive());
    let slowest = slow.max_by_key(|light| light.button.ramp())?;
    if layer.button == slowest.button.name() {
        return None;
    }
    // Light on the underside grows as the light that falls.
    let once = layer.cautious.get() * slowest.dose_ratio()
        / (planned.dose_ratio() * f64::from(layer.presses)).max(1e-9);
    let often =
        (1..=3_u8).find(|presses| f64::from(*presses) * once + 1e-6 >= plan.cure.assurance.margin.get())?;
    let name = slowest.button.name();
    Some(match often {
        1 => format!("\"{name}\""),
        2 => format!("\"{name}\" twice"),
        _ => format!("\"{name}\" three times"),
    })
}

/// Of a plan that is less sure than others are: so many thin layers are a lot to go right.
const fn unsure(plan: &Plan) -> &'static str {
    if plan.thinnest.is_some() {
        "Fewer than 95 stones in 100 laid so set right through: lay the colour evenly instead of swirled, test resin and \
         pigment first, or feel each layer before the next."
    } else {
        "Fewer than 95 stones in 100 laid so set right through: test resin and pigment first, or feel each layer before the \
         next."
    }
}

fn places(foreseen: &Foreseen, is: impl Fn(&LayerAhead) -> bool) -> Vec<usize> {
    (1..).zip(&foreseen.layers).filter(|(_, layer)| is(layer)).map(|(no, _)| no).collect()
}

fn layers_named(places: &[usize]) -> String {
    let numbers: Vec<String> = places.iter().map(usize::to_string).collect();
    let noun = if places.len() == 1 { "Layer" } else { "Layers" };
    format!("{noun} {}", words::list(&numbers))
}

fn layer_told(plan: &Plan, (no, layer): (u8, &PlannedLayer), ahead: &LayerAhead) -> (String, Told) {
    let place = usize::from(no).saturating_sub(1);
    let sure =
        format!("{}, at worst {:.1} times the light it takes", surety_at(plan, place), layer.cautious.get());
    let mut told = vec![
        ("sets", sure),
        ("fill to", mark(ahead)),
        ("bubbles", bubbles(ahead, layer.settle)),
        ("warmth", touch(ahead.touch, cooler_button(plan, place).as_deref())),
    ];
    if ahead.face.is_some_and(|face| face.may_be_tacky()) {
        let tacky = "may stay tacky where it lies against silicone: light it face-up after taking it out";
        told.push(("face", tacky.to_owned()));
    }
    (format!("{no} · {}", name_of(plan, no, layer)), told)
}

/// The fill-to-here mark: "1.55 mm above the face, 31 % of the mould".
pub(super) fn mark(ahead: &LayerAhead) -> String {
    format!("{}, {} of the mould", words::fill_mark(ahead.mark.liquid), percent(ahead.full))
}

/// A share in whole per cent.
fn percent(share: Share) -> String {
    format!("{} %", (share.millionths() + 5_000) / 10_000)
}

fn bubbles(ahead: &LayerAhead, planned: Span) -> String {
    let wait = ahead.bubbles.at_most;
    if wait <= planned {
        format!("bubbles that can be seen rise in {}; the wait is longer", words::span(wait))
    } else {
        format!(
            "give them {} to rise, longer than the {} that are planned",
            words::span(wait),
            words::span(planned)
        )
    }
}

/// How warm a layer becomes, and what to do about it; `cooler` is the lamp's button that is easier on it, if any.
pub fn touch(touch: Touch, cooler: Option<&str>) -> String {
    let or = cooler.map_or_else(String::new, |button| format!(" or take {button}"));
    match touch {
        Touch::Cool => "stays cool".to_owned(),
        Touch::Warm => "gets warm".to_owned(),
        Touch::Hot => format!("gets hot: lay it thinner{or}, and let it cool"),
        Touch::TooHot => format!("too hot to hold: lay it thinner{or}, or rest between presses"),
    }
}

fn material_told(held: &Held, packed: &Packed) -> (String, Told) {
    let rests = match (packed.rests, packed.lie) {
        (Rests::Sinks, _) => "sinks onto the face: let it settle before the light",
        (Rests::FloatsUntilWetted, Lie::Sheets) => {
            "floats while air is under it: wet both sides and press it down"
        }
        (Rests::FloatsUntilWetted, _) => "floats while air is in it: wet it with a brush of resin first",
    };
    let name = words::sentence_start(&words::lot(held, packed.part.lot));
    (name, vec![("fits", fits(packed)), ("rests", rests.to_owned()), ("light", light(packed))])
}

fn fits(packed: &Packed) -> String {
    let usual = percent(packed.lie.usual());
    match &packed.fits {
        Fits::NotWeighed => "not weighed, so a usual amount is planned for".to_owned(),
        Fits::NoRoom(why) => why.to_string(),
        Fits::Fits(packing) => {
            let filled = words::percent(packing.filled);
            match packing.crowding {
                Crowding::Usual => format!("fits, {filled} of the first layer"),
                Crowding::Crowded => format!(
                    "crowded: {filled} of the first layer, where up to {usual} is usual; take less, or a thicker face"
                ),
                Crowding::Stuffed => format!(
                    "far too much: {filled} of the first layer, where up to {usual} is usual; it cannot all be wetted, so take less"
                ),
            }
        }
    }
}

fn light(packed: &Packed) -> String {
    if packed.lie == Lie::Sheets {
        return "none gets through: what lies under it is lit face-up after taking out".to_owned();
    }
    match &packed.fits {
        Fits::NotWeighed => "planned with a guess of what it takes of the light".to_owned(),
        Fits::NoRoom(_) => {
            "planned as if it were the usual amount: take less, or a thicker first layer".to_owned()
        }
        _ if packed.is_beyond_plan() => {
            "all of it is part of this plan, and so much keeps air in it that no plan counts".to_owned()
        }
        Fits::Fits(_) => "what it takes of the light is part of this plan".to_owned(),
    }
}

fn whole_told(plan: &Plan, foreseen: &Foreseen) -> Told {
    let mut told = vec![("sets through", simulated(foreseen))];
    let (least, has) = (plan.fewest.at_least(), plan.colour().count());
    if has > 0 {
        told.push((
            "layers",
            format!(
                "needs at least {} · has {has}",
                words::count(usize::from(least), "colour layer", "colour layers")
            ),
        ));
    }
    told.push(("hardness", hardness(foreseen)));
    told.push(("top-up", top_up(foreseen.top_up)));
    if let Some(look) = foreseen.look {
        let same = if look.difference <= HIDDEN {
            "looks the same over metal and over a dark gap"
        } else if foreseen.hidden.share + 1e-9 >= 1.0 {
            "its kind hides the metal with this much, but going by the swatch alone so pale a colour would still let it through: test it on a card"
        } else {
            "looks different over metal and over a dark gap"
        };
        told.push(("colour", same.to_owned()));
    }
    if let Some(thinnest) = plan.thinnest {
        told.push((
            "swirled",
            format!("hiding is judged at the thinnest patch, {} of each layer", words::share(thinnest)),
        ));
    }
    if foreseen.hidden.estimate {
        told.push((
            "flakes",
            "only an estimate: pearl, mica and glitter hide by how their flakes lie, so try a practice stone"
                .to_owned(),
        ));
    }
    told
}

/// "Of 1,000 stones laid so, 998 set through"; nothing is promised where the first layer cannot hold what is to go in.
pub fn simulated(foreseen: &Foreseen) -> String {
    if !foreseen.has_room() {
        return "not counted: the first layer has no room for all that is to go in".to_owned();
    }
    let count = |many: u32| {
        if many >= 1_000 { format!("{},{:03}", many / 1_000, many % 1_000) } else { many.to_string() }
    };
    let simulated = foreseen.simulated;
    format!("of {} stones laid so, {} set through", count(simulated.stones), count(simulated.set_through))
}

fn hardness(foreseen: &Foreseen) -> String {
    match foreseen.hardness.and_then(|hardness| hardness.face_up) {
        None => "hard all through once every layer is lit; a minute face-up after taking out does it good"
            .to_owned(),
        Some(span) => format!(
            "light it face-up for {} after taking it out, then it is hard all through",
            words::span(span)
        ),
    }
}

fn top_up(volume: Volume) -> String {
    match volume.mm3() {
        none if none < 0.05 => "none".to_owned(),
        little if little < DROP.mg() => "the last layer sinks as it sets: add less than a drop".to_owned(),
        more => format!(
            "the last layer sinks as it sets: add {more:.0} mm³, about {}",
            words::count(drops(more), "drop", "drops")
        ),
    }
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a volume above nothing, of few drops"
)]
fn drops(mm3: f64) -> usize {
    (mm3 / DROP.mg()).round().max(1.0) as usize
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::present::sample::{bench, usual_plan};
    use craft::cure::Factor;
    use craft::fact::Material;
    use craft::foreseen::{Part, Stone, foresee};
    use craft::stage::Stage;
    use craft::units::Mass;

    fn parts(mg: Option<f64>, material: Material) -> Vec<Part> {
        vec![Part { lot: 1, material, mass: mg.map(Mass::from_mg) }]
    }

    fn said(plan: &Plan, parts: &[Part]) -> AheadWords {
        let bench = bench(Stage::Here);
        let held = bench.studio.order(bench.tag).unwrap();
        let cavity = bench.studio.cavity_of(&held.order.sheet.stones[0]).unwrap();
        let foreseen =
            foresee(plan, &Stone { cavity: &cavity, parts, colour: (40, 60, 50), sources: Sources::TYPICAL })
                .unwrap();
        ahead(held, plan, &foreseen)
    }

    fn of<'a>(told: &'a Told, name: &str) -> &'a str {
        told.iter().find(|(of, _)| *of == name).map_or("", |(_, words)| words)
    }

    #[test]
    fn each_layer_says_how_sure_where_to_fill_to_how_long_to_wait_and_how_warm() {
        let plan = usual_plan();
        let said = said(&plan, &[]);
        assert_eq!(said.layers.len(), plan.layers.len());
        let (name, first) = &said.layers[0];
        assert_eq!(name, "1 · material");
        assert!(of(first, "sets").starts_with("sure to harden, at worst "), "{first:?}");
        assert!(
            of(first, "fill to").contains(" mm above the face, ")
                && of(first, "fill to").ends_with(" of the mould")
        );
        assert!(!of(first, "bubbles").is_empty() && !of(first, "warmth").is_empty());
        let (_, last) = said.layers.last().unwrap();
        assert!(of(last, "fill to").starts_with("3.5 mm above the face, 100 %"), "{last:?}");
        assert!(said.binds.starts_with("The least sure is layer "), "{}", said.binds);
        assert!(of(&said.whole, "sets through").starts_with("of 1,000 stones laid so, "), "{:?}", said.whole);
        assert!(of(&said.whole, "layers").starts_with("needs at least "), "{:?}", said.whole);
    }

    #[test]
    fn hair_says_whether_it_fits_and_too_much_of_it_is_among_the_cares() {
        let plan = usual_plan();
        let fits = |mg| said(&plan, &parts(mg, Material::Hair));
        let few = fits(Some(0.5));
        assert!(of(&few.material[0].1, "fits").starts_with("fits, "), "{few:?}");
        assert_eq!(of(&few.material[0].1, "light"), "what it takes of the light is part of this plan");
        assert!(few.care.iter().all(|care| !care.contains("crowded")), "{few:?}");
        let many = fits(Some(8.0));
        assert!(many.care.iter().any(|care| care.contains("take less")), "{many:?}");
        assert!(of(&many.material[0].1, "light").contains("no plan counts"));
        let whole = fits(Some(900.0));
        assert!(whole.care.iter().any(|care| care.contains("but the layer holds")), "{whole:?}");
        assert!(of(&whole.whole, "sets through").starts_with("not counted: "), "{whole:?}");
        assert!(of(&many.whole, "sets through").starts_with("of 1,000 stones"), "{many:?}");
        assert!(of(&fits(None).material[0].1, "fits").starts_with("not weighed"));
        let petals = said(&plan, &parts(None, Material::Petals));
        assert!(of(&petals.material[0].1, "light").starts_with("none gets through"));
        let ashes = said(&plan, &parts(Some(1.0), Material::Ashes));
        assert!(of(&ashes.material[0].1, "rests").starts_with("sinks"));
    }

    #[test]
    fn a_hot_layer_names_the_button_that_has_low_heat_where_the_lamp_has_one() {
        let mut plan = usual_plan();
        let slow = "99 s low heat";
        let strong = plan.lights.iter().position(|light| light.button.name() == "120 s").unwrap();
        (plan.layers[0].light, plan.layers[0].button) = (u16::try_from(strong).unwrap(), "120 s".to_owned());
        // 69 s of full light in place of 120 s: 3 times what first sets it become 1.7, which is still 1.5 or more.
        plan.layers[0].cautious = Factor::new(3.0).unwrap();
        assert_eq!(cooler_button(&plan, 0).as_deref(), Some("\"99 s low heat\""));
        let named = heat_care(&plan, Touch::Hot, &[1]).unwrap();
        assert_eq!(
            named,
            "Layer 1 gets hot: take \"99 s low heat\", or leave the stone alone until it has cooled."
        );
        let said = touch(Touch::Hot, cooler_button(&plan, 0).as_deref());
        assert_eq!(said, "gets hot: lay it thinner or take \"99 s low heat\", and let it cool");
        // 1.5 times become 0.9: it takes two presses to stay as sure.
        plan.layers[0].cautious = Factor::new(1.5).unwrap();
        assert_eq!(cooler_button(&plan, 0).as_deref(), Some("\"99 s low heat\" twice"));
        // Where it has that button already, and where the lamp has none, no button is named.
        plan.layers[0].button = slow.to_owned();
        assert_eq!(cooler_button(&plan, 0), None);
        plan.layers[0].button = "120 s".to_owned();
        plan.lights = vec![plan.lights[strong].clone()];
        plan.layers[0].light = 0;
        let plain = heat_care(&plan, Touch::Hot, &[1]).unwrap();
        assert_eq!(plain, "Layer 1 gets hot: leave the stone alone until it has cooled.");
        assert_eq!(heat_care(&plan, Touch::Cool, &[1]), None);
    }

    #[test]
    fn a_thick_layer_is_too_hot_in_words_and_swirls_are_told() {
        let mut plan = usual_plan();
        plan.thinnest = Some(Share::of(1, 2));
        assert!(of(&said(&plan, &[]).whole, "swirled").contains("of each layer"));
        assert_eq!(touch(Touch::TooHot, None), "too hot to hold: lay it thinner, or rest between presses");
        assert_eq!(touch(Touch::Cool, Some("99 s")), "stays cool");
        assert!(top_up(Volume::from_mm3(4.2)).ends_with("sets: add less than a drop"));
        assert!(
            top_up(Volume::from_mm3(61.0)).ends_with("about 2 drops")
                && top_up(Volume::from_mm3(0.0)) == "none"
        );
    }
}
