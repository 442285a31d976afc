//! Where the work can hurt, and what careful makers do about it. General common practice, no source: the safety
//! data sheet of the product in hand, local rules and licensed practice come first, and nothing here is legal advice.

use craft::fact::Material;
use craft::order::Page;
use craft::studio::Held;

/// Something about the work that can hurt.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Hazard {
    /// Light of the lamp.
    LampLight,
    /// Resin that has not hardened.
    UncuredResin,
    /// Ashes and other fine dust of the client's.
    Ashes,
    /// Sanding hardened resin.
    Sanding,
    /// Resin that grows hot as it hardens.
    Heat,
    /// Hair, milk and other material of a body.
    Biological,
    /// Pigment as a dry powder.
    Pigment,
    /// Blades, drills and pushers.
    Tools,
}

impl Hazard {
    /// All of them.
    pub const ALL: [Hazard; 8] = [
        Hazard::LampLight,
        Hazard::UncuredResin,
        Hazard::Ashes,
        Hazard::Sanding,
        Hazard::Heat,
        Hazard::Biological,
        Hazard::Pigment,
        Hazard::Tools,
    ];

    /// The caution in a few sentences.
    pub const fn words(self) -> &'static str {
        match self {
            Hazard::LampLight => {
                "The lamp's light harms eyes and skin even where it does not dazzle. Close or shield the lamp before \
                 it is lit, never look into it, and wear glasses made for its wavelength."
            }
            Hazard::UncuredResin => {
                "Liquid and tacky resin can make skin allergic to it for life. Wear nitrile gloves, change them often \
                 and at once when they are smeared, air the room, and keep resin off keys, handles and skin. What \
                 touches skin is washed off with soap and water, not with solvent."
            }
            Hazard::Ashes => {
                "Ashes are a fine dust that stings like lye: keep the air still, wear a fitted dust mask and glasses, \
                 and wipe the bench damp."
            }
            Hazard::Sanding => {
                "Sand wet, with a mask: the dust of resin does not belong in lungs. Keep the slurry out of the drain."
            }
            Hazard::Heat => {
                "Resin grows hot as it hardens, the more so in thick layers under full light. Use the low-heat button, \
                 lay thinner, and let it cool before it is touched."
            }
            Hazard::Biological => {
                "Handle it in clean gloves on a cleared bench, dry, and one client's at a time. \
                 What looks damp, mouldy or alive is closed again and the client is asked."
            }
            Hazard::Pigment => {
                "Dry pigment is a fine dust: scoop it slowly, away from moving air, with a mask."
            }
            Hazard::Tools => {
                "Blades and pushers slip: cut and push away from the hand that holds, with the piece in a clamp and \
                 not in the palm."
            }
        }
    }

    /// The hazard in a word or two.
    pub const fn title(self) -> &'static str {
        match self {
            Hazard::LampLight => "lamp light",
            Hazard::UncuredResin => "resin that is not hard",
            Hazard::Ashes => "fine dust of ashes",
            Hazard::Sanding => "sanding",
            Hazard::Heat => "heat",
            Hazard::Biological => "material of a body",
            Hazard::Pigment => "dry pigment",
            Hazard::Tools => "sharp tools",
        }
    }
}

/// What stands under every caution.
pub const DEFERS_TO: &str = "The safety data sheet of what is in your hand comes first, then the rules where you are and \
                             the practice you are licensed for. These are reminders, not advice on law or health.";

/// What comes from a body, or may.
const BIOLOGICAL: [Material; 6] =
    [Material::Hair, Material::Fur, Material::Milk, Material::Ashes, Material::Feather, Material::Other];

/// The cautions that belong on a page of an order, the usual ones in the order they matter.
pub fn on_page(page: Page, held: &Held) -> Vec<Hazard> {
    let came =
        |wanted: &[Material]| held.ledger.custody.lots.values().any(|lot| wanted.contains(&lot.material));
    let mut hazards = Vec::new();
    if matches!(page, Page::Arrival | Page::Pour) {
        if came(&[Material::Ashes, Material::Earth]) {
            hazards.push(Hazard::Ashes);
        }
        if came(&BIOLOGICAL) {
            hazards.push(Hazard::Biological);
        }
    }
    match page {
        Page::Pour => {
            hazards.extend([Hazard::UncuredResin, Hazard::LampLight, Hazard::Heat, Hazard::Pigment]);
        }
        Page::Fit => hazards.extend([Hazard::Sanding, Hazard::Tools, Hazard::UncuredResin]),
        Page::Plan => hazards.push(Hazard::Heat),
        _ => {}
    }
    hazards
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::present::sample::{Bench, bench, sheet};
    use craft::stage::Stage;

    #[test]
    fn the_pouring_page_warns_of_resin_and_lamp() {
        let bench = bench(Stage::Here);
        let hazards = on_page(Page::Pour, bench.studio.order(bench.tag).unwrap());
        assert!(hazards.contains(&Hazard::UncuredResin) && hazards.contains(&Hazard::LampLight));
        assert!(!hazards.contains(&Hazard::Ashes), "hair came, not ashes");
    }

    #[test]
    fn ashes_bring_the_dust_mask() {
        let mut bench = Bench::open(sheet());
        bench.receive(1, Material::Ashes);
        let hazards = on_page(Page::Arrival, bench.studio.order(bench.tag).unwrap());
        assert_eq!(hazards, [Hazard::Ashes, Hazard::Biological]);
        assert!(Hazard::Ashes.words().contains("mask"));
    }

    #[test]
    fn every_caution_is_whole_sentences_and_defers() {
        for hazard in Hazard::ALL {
            assert!(hazard.words().ends_with('.'), "{}", hazard.title());
        }
        assert!(DEFERS_TO.contains("safety data sheet") && DEFERS_TO.contains("licensed"));
        assert!(Hazard::UncuredResin.words().contains("nitrile gloves"));
    }
}
