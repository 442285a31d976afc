//! Money against published invoices and independent calculations.

#![cfg(test)]

use craft::money::bill::{Bill, Deposit, Discount, Line, Quantity, Vat};
use craft::money::series::{InvoiceNo, Kind};
use craft::money::{Currency, Money, Rate, Rounding};

fn currency(code: &str) -> Currency {
    code.parse().unwrap()
}

fn money(text: &str, code: &str) -> Money {
    Money::read(text, currency(code)).unwrap()
}

fn rate(per_cent: &str) -> Rate {
    format!("{per_cent} %").parse().unwrap()
}

/// A bill of (quantity, price, rate in per cent).
fn bill(code: &str, lines: &[(&str, &str, &str)]) -> Bill {
    let line = |&(quantity, price, vat): &(&str, &str, &str)| Line {
        words: "goods".to_owned(),
        quantity: quantity.parse().unwrap(),
        unit_price: money(price, code),
        discount: Discount::None,
        vat: Some(rate(vat)),
    };
    Bill {
        currency: currency(code),
        vat: Vat::Registered { number: "X1".to_owned() },
        vat_rounding: Rounding::HalfUp,
        lines: lines.iter().map(line).collect(),
        discount: Discount::None,
        deposits: Vec::new(),
    }
}

fn paid(code: &str, text: &str) -> Vec<Deposit> {
    vec![Deposit { on: "2026-01-05".parse().unwrap(), amount: money(text, code) }]
}

#[test]
fn every_currency_has_the_decimals_of_the_standard() {
    // ISO 4217, list one, minor units; read with the Python library iso4217 1.16.20260101.
    let places = |codes: &str, wanted| {
        codes.split(' ').for_each(|code| assert_eq!(currency(code).places(), wanted, "{code}"));
    };
    places("GBP EUR USD CAD AUD CHF SEK NOK DKK HUF COP ALL", 2);
    places("JPY KRW CLP ISK VND XAF", 0);
    places("BHD KWD JOD OMR TND LYD IQD", 3);
    assert_eq!(Currency::all().count(), 85);
    assert_eq!(money("1250", "JPY").to_string(), "1250 JPY");
    assert_eq!(money("1,250", "KWD").to_string(), "1.250 KWD");
}

#[test]
fn the_first_invoice_of_the_standards_own_examples_comes_out() {
    // EN 16931 validation artefacts, ConnectingEurope/eInvoicing-EN16931, ubl/examples/ubl-tc434-example1.xml
    // (invoice 12115118). The last line is a return; the file writes its minus on the line amount.
    let lines = [
        ("2", "9.95", "6"),
        ("1", "9.85", "6"),
        ("1", "8.29", "6"),
        ("2", "7.23", "6"),
        ("1", "35.00", "6"),
        ("1", "35.00", "6"),
        ("1", "10.65", "6"),
        ("1", "1.55", "6"),
        ("3", "4.79", "6"),
        ("1", "8.29", "6"),
        ("2", "8.29", "6"),
        ("1", "9.95", "6"),
        ("2", "1.65", "6"),
        ("1", "10.80", "21"),
        ("1", "3.90", "6"),
        ("2", "3.80", "21"),
        ("2", "4.67", "21"),
        ("1", "18.63", "21"),
        ("6", "17.02", "6"),
        ("-6", "18.33", "6"),
    ];
    let totals = bill("EUR", &lines).totals().unwrap();
    let eur = |text| money(text, "EUR");
    assert_eq!((totals.lines[8], totals.lines[19]), (eur("14.37"), eur("-109.98")));
    let groups: Vec<_> = totals.vat.iter().map(|group| (group.rate, group.net, group.vat)).collect();
    assert_eq!(groups, [(rate("6"), eur("183.23"), eur("10.99")), (rate("21"), eur("46.37"), eur("9.74"))]);
    assert_eq!((totals.sum_of_lines, totals.net), (eur("229.60"), eur("229.60")));
    assert_eq!((totals.vat_total, totals.gross, totals.due), (eur("20.73"), eur("250.33"), eur("250.33")));
}

#[test]
fn the_second_example_shows_that_a_half_goes_up() {
    // The same, ubl-tc434-example2.xml (invoice TOSL108): line amounts as printed; its allowance and its charge of
    // 100.00 at 25 % cancel and are left out. 1460.50 at 25 % is 365.125.
    let lines = [
        ("1", "1273.00", "25"),
        ("-1", "3.96", "15"),
        ("2", "2.48", "15"),
        ("-1", "25.00", "0"),
        ("1", "187.50", "25"),
    ];
    let mut invoice = bill("NOK", &lines);
    invoice.deposits = paid("NOK", "1000.00");
    let totals = invoice.totals().unwrap();
    let nok = |text| money(text, "NOK");
    let groups: Vec<_> = totals.vat.iter().map(|group| (group.net, group.vat)).collect();
    assert_eq!(
        groups,
        [(nok("-25.00"), nok("0.00")), (nok("1.00"), nok("0.15")), (nok("1460.50"), nok("365.13"))]
    );
    assert_eq!((totals.net, totals.vat_total), (nok("1436.50"), nok("365.28")));
    assert_eq!((totals.gross, totals.due), (nok("1801.78"), nok("801.78")));
    for broken in [Rounding::HalfEven, Rounding::Down] {
        invoice.vat_rounding = broken;
        assert_ne!(invoice.totals().unwrap().vat_total, nok("365.28"), "{broken:?} would be noticed");
    }
}

#[test]
fn half_paid_before_leaves_half() {
    // The same, ubl-tc434-example5.xml: 1500.00 at 25 % and 2500.00 at 12 %, half of 4675.00 paid before.
    let mut invoice = bill("DKK", &[("1000", "1.00", "25"), ("100", "5.00", "25"), ("500", "5.00", "12")]);
    invoice.deposits = paid("DKK", "2337.50");
    let totals = invoice.totals().unwrap();
    assert_eq!(totals.gross, money("4675.00", "DKK"));
    assert_eq!(totals.due, money("2337.50", "DKK"));
    // Its loyalty allowance is 10 % of 1500.00, which is 150.00.
    assert_eq!(rate("10").of(money("1500", "DKK"), Rounding::HalfUp), Ok(money("150", "DKK")));
}

#[test]
fn a_stone_with_a_discount_and_a_deposit() {
    // Computed independently with Python's decimal: 240.00 + 35.00, less 10 %, 20 % VAT, 120.00 paid before.
    let mut invoice = bill("GBP", &[("1", "240.00", "20"), ("1", "35.00", "20")]);
    invoice.discount = Discount::Rate(rate("10"));
    invoice.deposits = paid("GBP", "120.00");
    let totals = invoice.totals().unwrap();
    let gbp = |text| money(text, "GBP");
    assert_eq!((totals.discount, totals.net, totals.vat_total), (gbp("27.50"), gbp("247.50"), gbp("49.50")));
    assert_eq!((totals.gross, totals.due), (gbp("297.00"), gbp("177.00")));
    let before_vat = rate("20").of(gbp("275.00").less(gbp("120.00")).unwrap(), Rounding::HalfUp).unwrap();
    assert_ne!(before_vat, totals.vat_total, "taking the deposit off before VAT would be noticed");
    // The same as a fixed amount, and spread over two rates to the penny.
    invoice.discount = Discount::Amount(gbp("27.50"));
    assert_eq!(invoice.totals().unwrap().due, gbp("177.00"));
    invoice.lines[1].vat = Some(rate("5"));
    let spread: Vec<_> = invoice.totals().unwrap().vat.iter().map(|group| group.net).collect();
    assert_eq!(spread, [gbp("31.50"), gbp("216.00")], "ten per cent off each");
}

#[test]
fn vat_is_worked_out_on_the_sum_of_rounded_lines() {
    // HMRC internal manual VATREC12010, on VAT Notice 700 paragraph 17.5: total VAT may be rounded down to a
    // whole penny. Computed independently with Python's decimal: three lines of 33.33 at 20 % carry 19.998.
    let mut invoice = bill("GBP", &[("1", "33.33", "20"); 3]);
    assert_eq!(invoice.totals().unwrap().vat_total, money("20.00", "GBP"));
    invoice.vat_rounding = Rounding::Down;
    assert_eq!(invoice.totals().unwrap().vat_total, money("19.99", "GBP"));
    let per_line = rate("20").of(money("33.33", "GBP"), Rounding::HalfUp).unwrap();
    let broken = Money::sum(Currency::GBP, [per_line; 3]).unwrap();
    assert_eq!(broken, money("20.01", "GBP"), "VAT per line would be noticed");
}

#[test]
fn vat_within_a_gross_price_and_a_half_penny() {
    // Computed independently with Python's decimal: 99.99 holds 16.665 at 20 %; 0.625 is a half either way.
    let gross = money("99.99", "GBP");
    let within = |rule| rate("20").contained_in(gross, rule).unwrap();
    assert_eq!(within(Rounding::HalfUp), money("16.67", "GBP"));
    assert_eq!(within(Rounding::Down), money("16.66", "GBP"));
    assert_ne!(
        rate("20").of(gross, Rounding::HalfUp).unwrap(),
        within(Rounding::HalfUp),
        "VAT on top of VAT"
    );
    let half = |rule| rate("25").of(money("2.50", "GBP"), rule).unwrap();
    assert_eq!(
        (half(Rounding::HalfUp), half(Rounding::HalfEven)),
        (money("0.63", "GBP"), money("0.62", "GBP"))
    );
}

#[test]
fn an_invoice_says_what_it_is_by_the_usual_code() {
    // 380 is used in every example of the EN 16931 artefacts above; UNTDID 1001 for 381 and 386, from memory.
    let of = InvoiceNo { year: craft::id::Year(2026), number: 1 };
    let codes = [Kind::Invoice, Kind::CreditNote { of }, Kind::Prepayment].map(Kind::type_code);
    assert_eq!(codes, [380, 381, 386]);
    assert_eq!(Quantity::pieces(2).to_string(), "2");
}
