//! Page Brief: what is wanted.

use craft::client::Permission;
use craft::order::{Occasion, Page};

use super::{Builder, joined};
use crate::present::record::told_far_before;
use crate::present::words;

pub(super) fn fill(page: &mut Builder<'_>) {
    remembered(page);
    let sheet = page.sheet();
    page.know_or_miss("wishes", Some(sheet.wishes.to_string()), "no wishes are written down yet");
    page.know(
        "for",
        match sheet.occasion {
            Occasion::ForThemselves => "the client",
            Occasion::Gift => "someone else, who knows of it",
            Occasion::Surprise => "someone else, who must not know: nothing that gives it away",
        },
    );
    let due = sheet.due.map(|day| {
        let (on, stands) = (page.day(day), words::due(day, page.today));
        // A far day is not said twice.
        if stands.ends_with(&on) { on } else { format!("{on}, {stands}") }
    });
    page.know_or_miss("promised for", due, "no date is promised yet");
    let setting = sheet.setting.as_ref().map(|id| words::item_name(page.studio, id)).unwrap_or_default();
    page.know("setting", joined([setting, sheet.ring.to_string()]));
    client(page);
    quote(page);
    enquiry(page);
    if let Some((entry, day)) = told_far_before(page.held) {
        let day = words::date_with_year(day);
        page.miss(format!(
            "entry {entry} is told for {day}, far before this order began: strike it if the year is a slip"
        ));
    }
}

fn remembered(page: &mut Builder<'_>) {
    let remembered = &page.sheet().remembered;
    page.know("remembered", joined([remembered.name.to_string(), remembered.about.to_string()]));
    if remembered.spelling_confirmed {
        page.know("spelling", "confirmed by the client");
    } else {
        page.miss("the client has not confirmed the spelling of the name");
    }
    for dated in &remembered.dates {
        page.know(dated.what.to_string(), words::date_with_year(dated.on));
    }
    let never: Vec<String> = remembered.never_say.iter().map(|line| format!("\"{line}\"")).collect();
    page.know("never say", never.join(", "));
}

fn client(page: &mut Builder<'_>) {
    let Some(client) = page.studio.clients().get(&page.held.order.client) else {
        page.miss(format!("the client {} is not in this studio", page.held.order.client));
        return;
    };
    page.know("client", client.name.to_string());
    page.know_or_miss("contact", Some(client.contact.to_string()), "there is no way to reach the client yet");
    page.know("write", words::writing(client.write_when));
    for (label, permission, missing) in [
        ("may show photos", client.may_show, "not asked yet whether photos may be shown, so they may not"),
        ("may teach with it", client.may_teach, "not asked yet whether it may be taught with, so it may not"),
    ] {
        match permission {
            Permission::NotAsked => page.miss(missing),
            asked => page.know(label, words::permission(asked)),
        }
    }
}

fn quote(page: &mut Builder<'_>) {
    let Some(quote) = &page.sheet().quote else {
        page.miss("no price is quoted yet");
        return;
    };
    page.know("quote", joined([quote.total.to_string(), quote.note.to_string()]));
    if quote.deposit.minor <= 0 {
        return;
    }
    match quote.deposit_paid {
        Some(day) => page.know("deposit", format!("{} came on {}", quote.deposit, page.day(day))),
        None => page.miss(format!("the deposit of {} has not come yet", quote.deposit)),
    }
}

fn enquiry(page: &mut Builder<'_>) {
    let ledger = page.ledger();
    // Once something is here the letters before it no longer matter.
    let here = !ledger.custody.things.is_empty();
    match ledger.client.kit_posted {
        Some(at) => page.know("sending kit", format!("posted on {}", page.day(at.day()))),
        None if ledger.client.answered => {
            page.know("enquiry", "answered");
            if !here {
                page.miss("the sending kit is not posted yet");
            }
        }
        None if here => {}
        None => page.miss_at("the enquiry is not answered yet", Page::Brief),
    }
}
