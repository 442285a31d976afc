//! In what two versions of an order's sheet differ.

use std::collections::BTreeMap;

use craft::order::{
    Dated, Errand, LotShare, Occasion, Parcel, ParcelKind, Photo, Quote, Remembered, Sheet, StoneSheet,
    ThingNote,
};
use craft::planner::{Plan, PlannedLayer, Wishes};
use craft::studio::Studio;

use super::{Difference, changed, day, each, told, yes_or_no};
use crate::present::{plan_words, words};

pub(super) fn sheet(earlier: &Sheet, now: &Sheet, studio: &Studio) -> Vec<Difference> {
    let mut out = Vec::new();
    let Sheet {
        remembered: who,
        wishes,
        due,
        occasion,
        quote,
        setting,
        ring,
        things,
        stones: _,
        errands,
        photos,
        parcels,
    } = earlier;
    remembered(&mut out, who, &now.remembered);
    changed(&mut out, "the wishes", wishes, &now.wishes);
    told(&mut out, "the due date", (due, &now.due), |on| day(*on));
    told(&mut out, "whom it is for", (occasion, &now.occasion), |occasion| {
        occasion_words(*occasion).to_owned()
    });
    price(&mut out, quote.as_ref(), now.quote.as_ref());
    told(&mut out, "the setting", (setting, &now.setting), |setting| {
        setting.as_ref().map(|id| words::item_name(studio, id)).unwrap_or_default()
    });
    changed(&mut out, "the ring size", ring, &now.ring);
    described(&mut out, things, &now.things);
    stones(&mut out, earlier, now, studio);
    each(&mut out, "errand", (errands, &now.errands), errand);
    pictures(&mut out, photos, &now.photos);
    each(&mut out, "parcel", (parcels, &now.parcels), parcel);
    out
}

fn remembered(out: &mut Vec<Difference>, was: &Remembered, is: &Remembered) {
    let Remembered { name, about, spelling_confirmed, dates, never_say } = was;
    changed(out, "the name of the one remembered", name, &is.name);
    changed(out, "who they were", about, &is.about);
    told(out, "whether the spelling is confirmed", (spelling_confirmed, &is.spelling_confirmed), |is| {
        yes_or_no(*is).to_owned()
    });
    each(out, "day that matters", (dates, &is.dates), |dated| {
        let Dated { what, on } = dated;
        format!("{what}, {}", words::date_with_year(*on))
    });
    told(out, "the words never to be used", (never_say, &is.never_say), |all| {
        all.iter().map(ToString::to_string).collect::<Vec<_>>().join(", ")
    });
}

const fn occasion_words(occasion: Occasion) -> &'static str {
    match occasion {
        Occasion::ForThemselves => "the client",
        Occasion::Gift => "someone else, who knows of it",
        Occasion::Surprise => "someone else, who must not know",
    }
}

fn price(out: &mut Vec<Difference>, was: Option<&Quote>, is: Option<&Quote>) {
    let (Some(was), Some(is)) = (was, is) else {
        return told(out, "the price", (&was, &is), |quote| {
            quote.map(|quote| quote.total.to_string()).unwrap_or_default()
        });
    };
    let Quote { total, deposit, deposit_paid, note } = was;
    changed(out, "the price", total, &is.total);
    changed(out, "the deposit", deposit, &is.deposit);
    told(out, "when the deposit was paid", (deposit_paid, &is.deposit_paid), |on| day(*on));
    changed(out, "the note on the price", note, &is.note);
}

/// What was described since stays, and what was described otherwise or only then comes back.
fn described(out: &mut Vec<Difference>, was: &[ThingNote], is: &[ThingNote]) {
    let before = out.len();
    for ThingNote { thing, description } in was {
        let now = is.iter().find(|note| note.thing == *thing).map(|note| note.description.to_string());
        let what = format!("the description of {}", words::thing_plain(*thing));
        changed(out, &what, &description.to_string(), &now.unwrap_or_default());
    }
    for ThingNote { thing, description } in is {
        if !was.iter().any(|note| note.thing == *thing) {
            out.push(Difference::Described(words::thing_plain(*thing), description.to_string()));
        }
    }
    // An empty description, or another order of them.
    if was != is && out.len() == before {
        out.push(Difference::Plain("the descriptions of things stand otherwise".to_owned(), ""));
    }
}

/// A photo taken in since stays, and one that only the earlier version has comes back.
fn pictures(out: &mut Vec<Difference>, was: &[Photo], is: &[Photo]) {
    let before = out.len();
    let same = |a: &Photo, b: &Photo| a.original == b.original && a.of == b.of;
    let more = is.iter().filter(|photo| !was.iter().any(|old| same(old, photo))).count();
    if more > 0 {
        out.push(Difference::Photos(more));
    }
    let gone = was.iter().filter(|photo| !is.iter().any(|new| same(new, photo))).count();
    if gone > 0 {
        out.push(Difference::PhotosGone(gone));
    }
    for (old, new) in was.iter().filter_map(|old| Some((old, is.iter().find(|new| same(old, new))?))) {
        let Photo { original: _, kind: _, of, caption } = old;
        let of = of.map(|thing| format!(" of {}", words::thing_plain(thing))).unwrap_or_default();
        changed(out, &format!("the words under a photo{of}"), caption, &new.caption);
    }
    if was != is && out.len() == before {
        out.push(Difference::Plain(
            "the photos stand in another order, or are of another kind".to_owned(),
            "",
        ));
    }
}

fn errand(errand: &Errand) -> String {
    let Errand { kind, what, who, asked, expected, back } = errand;
    let mut all = vec![words::errand(*kind).to_owned()];
    let lines = [("", what), ("with ", who)];
    all.extend(
        lines.iter().filter(|(_, line)| !line.is_empty()).map(|(before, line)| format!("{before}{line}")),
    );
    let days = [("asked", asked), ("expected", expected), ("back", back)];
    all.extend(
        days.iter().filter_map(|(what, on)| Some(format!("{what} {}", words::date_with_year((**on)?)))),
    );
    all.join(", ")
}

fn parcel(parcel: &Parcel) -> String {
    let Parcel { kind, carrier, tracking, insured } = parcel;
    let kind = match kind {
        ParcelKind::Kit => "the sending kit",
        ParcelKind::Incoming => "to the studio",
        ParcelKind::Home => "home",
    };
    let mut all = vec![kind.to_owned()];
    all.extend([carrier, tracking].iter().filter(|line| !line.is_empty()).map(ToString::to_string));
    all.extend(insured.map(|sum| format!("insured for {sum}")));
    all.join(", ")
}

fn stones(out: &mut Vec<Difference>, earlier: &Sheet, now: &Sheet, studio: &Studio) {
    let by_number = |sheet: &Sheet| -> BTreeMap<u8, StoneSheet> {
        sheet.stones.iter().map(|stone| (stone.no, stone.clone())).collect()
    };
    let before = out.len();
    let (was, is) = (by_number(earlier), by_number(now));
    for no in was.keys().chain(is.keys().filter(|no| !was.contains_key(no))) {
        match (was.get(no), is.get(no)) {
            (Some(was), Some(is)) => stone(out, was, is, studio),
            (Some(_), None) => out.push(Difference::Gone(*no)),
            (None, Some(_)) => out.push(Difference::New(*no)),
            (None, None) => {}
        }
    }
    if earlier.stones != now.stones && out.len() == before {
        out.push(Difference::Plain("the stones stand in another order".to_owned(), ""));
    }
}

fn stone(out: &mut Vec<Difference>, was: &StoneSheet, is: &StoneSheet, studio: &Studio) {
    let StoneSheet { no, mould, cell, resin, lamp, pigment, style, face, shares, top, plan, caption, wishes } =
        was;
    let of = |what: &str| format!("{name}, {what}", name = words::stone(*no));
    let item = |id: &craft::id::ShelfId| words::item_name(studio, id);
    told(out, &of("the mould"), (mould, &is.mould), item);
    told(out, &of("the cavity"), (cell, &is.cell), |cell| cell.as_str().to_owned());
    told(out, &of("the resin"), (resin, &is.resin), item);
    told(out, &of("the lamp"), (lamp, &is.lamp), item);
    told(out, &of("the pigment"), (pigment, &is.pigment), item);
    told(out, &of("how the colour follows"), (style, &is.style), |style| {
        plan_words::style(*style).to_owned()
    });
    changed(out, &of("how deep the face is"), face, &is.face);
    told(out, &of("what goes into the face"), (shares, &is.shares), |shares| {
        let one = |share: &LotShare| {
            let LotShare { lot, part } = share;
            format!("{} of material {lot}", words::share(*part))
        };
        shares.iter().map(one).collect::<Vec<_>>().join(", ")
    });
    told(out, &of("the last layer"), (top, &is.top), |top| words::layer_kind(*top).to_owned());
    told(out, &of("the plan"), (plan, &is.plan), |plan| plan.as_ref().map(plan_said).unwrap_or_default());
    changed(out, &of("the words"), caption, &is.caption);
    told(out, &of("what is wanted of the plan"), (wishes, &is.wishes), wishes_said);
}

/// A plan by its layers; what it was worked out from is told as something that is not shown.
fn plan_said(plan: &Plan) -> String {
    let Plan {
        style: _,
        layers,
        cost: _,
        fewest: _,
        cure: _,
        lights: _,
        handling: _,
        well: _,
        shade: _,
        caution: _,
        smooth: _,
        thinnest: _,
    } = plan;
    let layer = |(place, layer): (usize, &PlannedLayer)| {
        let PlannedLayer {
            region: _,
            thickness,
            load,
            light: _,
            button,
            seconds,
            presses,
            lay: _,
            settle: _,
            cool: _,
            cautious: _,
            nominal: _,
        } = layer;
        let presses = if *presses == 1 { String::new() } else { format!(", {presses} times") };
        format!("layer {}: {thickness}, {load}, {button} for {seconds}{presses}", place + 1)
    };
    let count = words::count(layers.len(), "layer", "layers");
    let all: Vec<String> = layers.iter().enumerate().map(layer).collect();
    format!("{count}; {}", all.join("; "))
}

fn wishes_said(wishes: &Wishes) -> String {
    let Wishes { presses, pinned, smooth, thinnest } = wishes;
    let mut all = vec![format!("up to {}", words::count(usize::from(*presses), "press", "presses"))];
    if !pinned.is_empty() {
        all.push(format!("{} kept as they are", words::count(pinned.len(), "layer", "layers")));
    }
    if smooth.is_some() {
        all.push("even layers".to_owned());
    }
    if let Some(thinnest) = thinnest {
        all.push(format!("swirled, {} at its thinnest", words::share(*thinnest)));
    }
    all.join(", ")
}
