//! In what two versions of an item on the shelf differ.

use craft::cure::{Button, Mix, Resin};
use craft::geometry::Cavity;
use craft::hiding::Card;
use craft::place::Cell;
use craft::scale::{ScaleProfile, Tare, Tried};
use craft::shelf::{Bottle, FirstSet, Item, Lamp, Mould, Pigment, Setting, Swatch, What};
use craft::studio::Studio;

use super::{Difference, changed, day, each, scale_words, told};
use crate::present::plan_words::provenance;
use crate::present::{shelf_words, words};

pub(super) fn item(earlier: &Item, now: &Item, studio: &Studio) -> Vec<Difference> {
    let mut out = Vec::new();
    let Item { name, retired, note, what } = earlier;
    changed(&mut out, "the name", name, &now.name);
    if *retired != now.retired {
        let words =
            if *retired { "it was out of use and is in use" } else { "it was in use and is out of use" };
        out.push(Difference::Plain(words.to_owned(), ""));
    }
    changed(&mut out, "the note", note, &now.note);
    match (what, &now.what) {
        (What::Resin(was), What::Resin(is)) => resin(&mut out, was, is, studio),
        (What::Pigment(was), What::Pigment(is)) => pigment(&mut out, was, is),
        (What::Lamp(was), What::Lamp(is)) => lamp(&mut out, was, is),
        (What::Mould(was), What::Mould(is)) => mould(&mut out, was, is),
        (What::Setting(was), What::Setting(is)) => setting(&mut out, was, is),
        (What::Scale(was), What::Scale(is)) => scale(&mut out, was, is),
        (was, is) => told(&mut out, "what kind of thing it is", (was, is), |what| kind(what).to_owned()),
    }
    out
}

const fn kind(what: &What) -> &'static str {
    match what {
        What::Resin(_) => "a bottle of resin",
        What::Pigment(_) => "a pigment",
        What::Lamp(_) => "a lamp",
        What::Mould(_) => "a mould",
        What::Setting(_) => "a setting",
        What::Scale(_) => "a scale",
    }
}

fn resin(out: &mut Vec<Difference>, was: &Bottle, is: &Bottle, studio: &Studio) {
    let Bottle { resin, opened, first_sets, observations } = was;
    told(out, "how deep light sets it", (resin, &is.resin), |resin: &Resin| {
        format!("{}, {}", resin.penetration(), provenance(resin.provenance))
    });
    told(out, "when it was opened", (opened, &is.opened), |on| day(*on));
    each(out, "when it first sets, value", (first_sets, &is.first_sets), |first| {
        let FirstSet { lamp, button, seconds, provenance: from } = first;
        format!(
            "{seconds} under button {button} of {}, {}",
            words::item_name(studio, lamp),
            provenance(*from)
        )
    });
    told(out, "its tests", (observations, &is.observations), |all| {
        let newest = all.iter().map(|seen| seen.on).max().map(words::date_with_year);
        let newest = newest.map(|day| format!(", the newest of {day}")).unwrap_or_default();
        format!("{}{newest}", words::count(all.len(), "test", "tests"))
    });
}

fn pigment(out: &mut Vec<Difference>, was: &Pigment, is: &Pigment) {
    let Pigment { mix, colour, swatches, cards } = was;
    mixes(out, mix, &is.mix);
    told(out, "how it looks", (colour, &is.colour), |(red, green, blue)| {
        format!("red {red}, green {green}, blue {blue}")
    });
    each(out, "swatch", (swatches, &is.swatches), |swatch| {
        let Swatch { scoops, drops, photo, came_out, load } = swatch;
        let weighed = load.map(|load| format!(", weighed {load}")).unwrap_or_default();
        let photo = if photo.is_some() { ", with a photo" } else { "" };
        let [scoops, drops] = [(scoops, "scoop", "scoops"), (drops, "drop", "drops")]
            .map(|(count, one, many)| words::count(usize::from(*count), one, many));
        format!("{scoops} in {drops}: {came_out}{weighed}{photo}")
    });
    each(out, "line test", (cards, &is.cards), |card| {
        let Card { on, load, steps } = card;
        let steps = words::count(steps.len(), "step", "steps");
        format!("{}, {load}, {steps}", words::date_with_year(*on))
    });
}

fn mixes(out: &mut Vec<Difference>, was: &Mix, is: &Mix) {
    let Mix {
        class,
        absorption,
        km_absorption,
        km_scatter,
        ceiling,
        hiding,
        least,
        most,
        step,
        thinnest,
        thickest,
        provenance: from,
    } = was;
    told(out, "what kind of pigment it is", (class, &is.class), |class| {
        shelf_words::class(*class).to_owned()
    });
    changed(out, "how much light it takes", absorption, &is.absorption);
    changed(out, "how much of what is seen it takes", km_absorption, &is.km_absorption);
    changed(out, "how much it scatters", km_scatter, &is.km_scatter);
    changed(out, "from where on it spoils the resin", ceiling, &is.ceiling);
    changed(out, "how much of it hides the metal", hiding, &is.hiding);
    changed(out, "the least it is planned with", least, &is.least);
    changed(out, "the most it is planned with", most, &is.most);
    changed(out, "the step it is planned in", step, &is.step);
    changed(out, "the thinnest layer of it", thinnest, &is.thinnest);
    changed(out, "the thickest layer of it", thickest, &is.thickest);
    told(out, "where its values come from", (from, &is.provenance), |from| provenance(*from));
}

fn lamp(out: &mut Vec<Difference>, was: &Lamp, is: &Lamp) {
    let Lamp { buttons } = was;
    each(out, "button", (buttons, &is.buttons), |button: &Button| {
        format!("{}, {}, of that {} to full light", button.name(), button.total(), button.ramp())
    });
}

fn mould(out: &mut Vec<Difference>, was: &Mould, is: &Mould) {
    let Mould { cavity, cells, body } = was;
    told(out, "its cavity", (cavity, &is.cavity), |cavity: &Cavity| {
        let (outline, dome) = (words::outline(&cavity.outline()), shelf_words::dome_name(cavity.dome()));
        format!(
            "{outline}, dome {dome} and {} high, wall {} high and leaning by {}",
            cavity.dome_height(),
            cavity.wall_height(),
            cavity.draft()
        )
    });
    told(out, "its cavities", (cells, &is.cells), |cells| {
        cells.iter().map(Cell::as_str).collect::<Vec<_>>().join(", ")
    });
    told(out, "what it does with light", (body, &is.body), |body| shelf_words::body(*body).to_owned());
}

fn setting(out: &mut Vec<Difference>, was: &Setting, is: &Setting) {
    let Setting { kind, opening, wall, metal } = was;
    changed(out, "what kind of setting it is", kind, &is.kind);
    told(out, "its opening", (opening, &is.opening), words::outline);
    changed(out, "its wall", wall, &is.wall);
    changed(out, "its metal", metal, &is.metal);
}

fn scale(out: &mut Vec<Difference>, was: &ScaleProfile, is: &ScaleProfile) {
    let ScaleProfile { scale, most, tare, tried } = was;
    told(out, "how fine it reads", (scale, &is.scale), scale_words);
    told(out, "the most it can carry", (most, &is.most), |most| {
        most.map(|most| most.to_string()).unwrap_or_default()
    });
    told(out, "how the packet is kept out of a reading", (tare, &is.tare), |tare| match tare {
        Tare::Packet { shown } => format!("an empty packet shows {shown}"),
        Tare::Button => "set to nothing with the empty packet on it".to_owned(),
    });
    each(out, "try", (tried, &is.tried), |tried| {
        let Tried { on, with: _, shown } = tried;
        format!("{}, it showed {shown}", words::date_with_year(*on))
    });
}
