//! What was charged: an invoice for each order that has gone home.

use chrono::{Datelike as _, Days, NaiveDate};
use craft::id::Year;
use craft::money::bill::{Bill, Deposit, Discount, Line, Quantity, Vat};
use craft::money::series::{InvoiceDraft, Kind, Party};
use craft::money::{Money, Rounding};
use craft::refusal::Refusal;
use craft::studio::{Edit, InvoiceEdit};
use craft::tag::Tag;

use super::pen::Pen;

/// Issues the invoices, the oldest first, each on the day its box left.
pub(super) fn write(pen: &mut Pen) -> Result<(), Refusal> {
    let sent = pen.studio.orders().iter().filter_map(|(tag, held)| Some((held.ledger.home.sent?, *tag)));
    let mut sent: Vec<_> = sent.map(|(at, tag)| (at.at.utc_ms, at.day(), tag)).collect();
    sent.sort_unstable();
    for (utc_ms, day, tag) in sent {
        let Some(draft) = draft(pen, tag, day)? else { continue };
        let year = Year(u16::try_from(day.year()).unwrap_or(u16::MAX));
        pen.apply(Edit::Invoices(year, InvoiceEdit::Issue(Box::new(draft))), utc_ms)?;
    }
    Ok(())
}

/// The invoice for an order with a quote: the quote's total, less the deposit that came.
fn draft(pen: &Pen, tag: Tag, dated: NaiveDate) -> Result<Option<InvoiceDraft>, Refusal> {
    let (order, policies) = (&pen.studio.order(tag)?.order, pen.studio.policies());
    let Some(client) = pen.studio.clients().get(&order.client) else { return Ok(None) };
    let Some(quote) = &order.sheet.quote else { return Ok(None) };
    let address = |post: &str| post.lines().map(str::to_owned).collect();
    let seller = Party {
        name: policies.name.to_string(),
        address: address(policies.post.as_str()),
        country: "GB".to_owned(),
    };
    let buyer = Party {
        name: client.name.to_string(),
        address: address(client.post.as_str()),
        country: client.country.to_string(),
    };
    let line = Line {
        words: quote.note.to_string(),
        quantity: Quantity::ONE,
        unit_price: quote.total,
        discount: Discount::None,
        vat: None,
    };
    let deposits = quote.deposit_paid.map(|on| Deposit { on, amount: quote.deposit });
    let bill = Bill {
        currency: policies.currency,
        vat: Vat::NotRegistered,
        vat_rounding: Rounding::default(),
        lines: vec![line],
        discount: Discount::None,
        deposits: deposits.into_iter().collect(),
    };
    let due = quote.total.less(quote.deposit).unwrap_or(Money::zero(policies.currency));
    let pay_by = dated.checked_add_days(Days::new(14)).filter(|_| due.minor > 0);
    let supplied = None;
    Ok(Some(InvoiceDraft { kind: Kind::Invoice, order: tag, dated, supplied, pay_by, seller, buyer, bill }))
}
