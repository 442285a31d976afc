//! Fitting: how the chosen stone sits, what was done to it, and what others do.

use craft::fact::Feel;
use craft::order::{Errand, ErrandKind, Page};
use craft::reading::Means;
use craft::shelf::What;

use super::{Builder, joined};
use crate::present::words;

pub(super) fn fill(page: &mut Builder<'_>) {
    let chosen: Vec<u8> = page.ledger().client.chosen().collect();
    if chosen.is_empty() {
        page.miss_at("no stone is chosen yet", Page::Choose);
    }
    setting(page);
    for no in chosen {
        stone(page, no);
    }
    for errand in &page.sheet().errands {
        errand_line(page, errand);
    }
}

fn setting(page: &mut Builder<'_>) {
    let sheet = page.sheet();
    let item = sheet.setting.as_ref().and_then(|id| page.studio.shelf().get(id));
    let Some(item) = item else {
        let errand = sheet.errands.iter().any(|errand| errand.kind == ErrandKind::Setting);
        if !errand {
            page.miss("no setting is named yet");
        }
        page.know("ring size", sheet.ring.to_string());
        return;
    };
    let said = match &item.what {
        What::Setting(setting) => joined([
            item.name.to_string(),
            setting.metal.to_string(),
            format!("opening {}", words::outline(&setting.opening)),
            format!("wall {}", words::length(setting.wall)),
        ]),
        _ => item.name.to_string(),
    };
    page.know("setting", said);
    page.know("ring size", sheet.ring.to_string());
}

fn stone(page: &mut Builder<'_>, no: u8) {
    let fit = page.ledger().fit.stones.get(&no);
    if let Some(fit) = fit {
        let measured = fit.measured.iter().map(|(what, reading)| {
            let by = if reading.by == Means::ByEye { ", by eye" } else { "" };
            format!("{} {}{by}", words::dimension(*what), words::length(reading.value))
        });
        page.know(format!("{name}, measured", name = words::stone(no)), joined(measured));
        page.know(
            format!("{name}, tried", name = words::stone(no)),
            joined(fit.tried.iter().map(|feel| words::feel(*feel).to_owned())),
        );
        page.know(
            format!("{name}, worked", name = words::stone(no)),
            joined(fit.worked.iter().map(|work| words::fit_work(*work).to_owned())),
        );
    }
    if let Some(piece) = page.ledger().fit.set.get(&no) {
        page.know(words::stone(no), format!("set into {}", words::thing_plain(*piece)));
        return;
    }
    match fit {
        Some(fit) if fit.tried.last() == Some(&Feel::Flush) => {
            page.miss(format!("{name} sits flush and is not set yet", name = words::stone(no)));
        }
        Some(fit) if !fit.tried.is_empty() => {
            page.miss(format!("{name} does not sit flush yet", name = words::stone(no)));
        }
        Some(fit) if !fit.measured.is_empty() => {
            page.miss(format!("{name} has not been tried in its setting", name = words::stone(no)));
        }
        _ => {
            page.miss(format!(
                "{name} is neither measured nor tried in its setting",
                name = words::stone(no)
            ));
        }
    }
}

fn errand_line(page: &mut Builder<'_>, errand: &Errand) {
    let dated = |verb: &str, day: Option<chrono::NaiveDate>| {
        day.map(|day| format!("{verb} {}", page.day(day))).unwrap_or_default()
    };
    let said = joined([
        errand.what.to_string(),
        errand.who.to_string(),
        dated("asked for on", errand.asked),
        if errand.back.is_some() { String::new() } else { dated("expected", errand.expected) },
        dated("back on", errand.back),
    ]);
    let name = words::errand(errand.kind);
    page.know(name, said);
    if errand.back.is_none() {
        page.miss(if errand.asked.is_some() {
            format!("{name} is not back yet")
        } else {
            format!("{name} is not asked for yet")
        });
    }
}
