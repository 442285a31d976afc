//! What was issued: numbered by its place in the year, never edited, never taken out.
//!
//! The number of an invoice is not stored at all. It is its position plus one, so a gap or a number given twice
//! cannot be written down (Council Directive 2006/112/EC, Article 226 (2): a sequential number that identifies the
//! invoice uniquely).

use std::fmt;

use chrono::{Datelike as _, NaiveDate};
use serde::{Deserialize, Serialize};

use super::bill::{Bill, BillError, Totals};
use super::{Currency, Money};
use crate::id::Year;
use crate::tag::Tag;

/// Why something cannot be issued, or a series cannot be what was issued.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum SeriesError {
    /// It does not add up.
    #[error(transparent)]
    Bill(#[from] BillError),
    /// Dated in another year.
    #[error(
        "it is dated {0}, but this is the series of {1}; date it in that year, or issue it in the other series"
    )]
    OtherYear(NaiveDate, u16),
    /// A name, an address line or a country is missing.
    #[error("the {0} needs a name, an address and a country of two capital letters, such as GB")]
    Party(&'static str),
    /// Nothing is charged or given back.
    #[error("it comes to {0}, VAT included; what is issued is for more than nothing")]
    Nothing(Money),
    /// Money is due and no day is named.
    #[error("{0} is to pay, but no day is named; write by when")]
    NoPayBy(Money),
    /// A credit note for what is not there.
    #[error("there is no invoice {0} to give credit for; choose one that was issued before")]
    NoOriginal(InvoiceNo),
    /// A credit note for a credit note.
    #[error("{0} is itself a credit note; give credit for the invoice it refers to")]
    CreditOfCredit(InvoiceNo),
    /// More credit than was charged.
    #[error("that is more than the {left} still open of invoice {of}; give credit for that at most")]
    TooMuchCredit {
        /// The invoice.
        of: InvoiceNo,
        /// What may still be credited, VAT included.
        left: Money,
    },
    /// Credit in another currency than the invoice.
    #[error("invoice {of} is in {currency}; give credit in the same currency")]
    OtherCurrency {
        /// The invoice.
        of: InvoiceNo,
        /// Its currency.
        currency: Currency,
    },
    /// A file says a total that its lines do not come to.
    #[error("the totals of {0} are not what its lines come to; the file was changed after it was issued")]
    Altered(InvoiceNo),
    /// More than can be numbered.
    #[error("this series is full")]
    Full,
}

/// The number of something issued, written `2026-0007`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct InvoiceNo {
    /// The year of its series.
    pub year: Year,
    /// Its place in the series, from 1.
    pub number: u32,
}

impl fmt::Display for InvoiceNo {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:04}-{:04}", self.year.0, self.number)
    }
}

/// What is issued (BT-3).
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum Kind {
    /// An invoice.
    Invoice,
    /// An invoice for a deposit.
    Prepayment,
    /// Takes back all or part of an invoice, and says which (Directive 2006/112/EC, Article 219).
    CreditNote {
        /// The invoice (BT-25).
        of: InvoiceNo,
    },
}

impl Kind {
    /// The document type code of UNTDID 1001 (380 as in EN 16931's examples; 381 and 386 from memory).
    pub const fn type_code(self) -> u16 {
        match self {
            Kind::Invoice => 380,
            Kind::Prepayment => 386,
            Kind::CreditNote { .. } => 381,
        }
    }
}

/// Seller or buyer as printed.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Party {
    /// The name.
    pub name: String,
    /// The address without the country, in posting order.
    pub address: Vec<String>,
    /// The country, ISO 3166-1 alpha-2.
    pub country: String,
}

impl Party {
    fn is_whole(&self) -> bool {
        !self.name.trim().is_empty()
            && self.address.iter().any(|line| !line.trim().is_empty())
            && self.country.len() == 2
            && self.country.bytes().all(|byte| byte.is_ascii_uppercase())
    }
}

/// An invoice before it has a number.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct InvoiceDraft {
    /// What it is.
    pub kind: Kind,
    /// The order it belongs to.
    pub order: Tag,
    /// The day it is issued (BT-2).
    pub dated: NaiveDate,
    /// The day the goods were handed over, where that is another day (BT-72).
    pub supplied: Option<NaiveDate>,
    /// By when to pay (BT-9); needed where anything is due, but for a credit note.
    pub pay_by: Option<NaiveDate>,
    /// Who sells (BG-4).
    pub seller: Party,
    /// Who buys (BG-7).
    pub buyer: Party,
    /// What it is for.
    pub bill: Bill,
}

/// An invoice as it was issued.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Issued {
    /// What it says.
    pub draft: InvoiceDraft,
    /// What it came to on that day.
    pub totals: Totals,
}

/// One year of what was issued, in the order of numbers.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(try_from = "Written", into = "Written")]
pub struct Series {
    year: Year,
    issued: Vec<Issued>,
}

/// The shape in a file, not yet checked.
#[derive(Serialize, Deserialize)]
#[serde(rename = "Series", deny_unknown_fields)]
struct Written {
    year: Year,
    issued: Vec<Issued>,
}

impl From<Series> for Written {
    fn from(series: Series) -> Self {
        Written { year: series.year, issued: series.issued }
    }
}

impl TryFrom<Written> for Series {
    type Error = SeriesError;

    /// Issues everything again, one by one, and refuses what would not have been issued like that.
    fn try_from(written: Written) -> Result<Self, SeriesError> {
        let mut series = Series::new(written.year);
        for issued in written.issued {
            let number = series.issue(issued.draft)?;
            if series.get(number).is_none_or(|again| again.totals != issued.totals) {
                return Err(SeriesError::Altered(number));
            }
        }
        Ok(series)
    }
}

impl Series {
    /// A year in which nothing was issued yet.
    pub const fn new(year: Year) -> Self {
        Self { year, issued: Vec::new() }
    }

    /// Its year.
    pub const fn year(&self) -> Year {
        self.year
    }

    /// Everything issued, with its number.
    pub fn issued(&self) -> impl Iterator<Item = (InvoiceNo, &Issued)> {
        (1..).zip(&self.issued).map(|(number, issued)| (InvoiceNo { year: self.year, number }, issued))
    }

    /// What bears a number, if it was issued in this year.
    pub fn get(&self, no: InvoiceNo) -> Option<&Issued> {
        let at = usize::try_from(no.number.checked_sub(1)?).ok()?;
        self.issued.get(at).filter(|_| no.year == self.year)
    }

    /// Gives a draft the next number; from then on it cannot be changed.
    ///
    /// A credit note for an invoice of this year is held against it. The original of an earlier year is in
    /// another series, which this one cannot see: whoever holds both checks it with [`credit_left`].
    ///
    /// # Errors
    /// A draft that is not whole, does not add up, is dated in another year, or credits what it may not. The
    /// series is then as it was.
    pub fn issue(&mut self, draft: InvoiceDraft) -> Result<InvoiceNo, SeriesError> {
        if draft.dated.year() != i32::from(self.year.0) {
            return Err(SeriesError::OtherYear(draft.dated, self.year.0));
        }
        if !draft.seller.is_whole() {
            return Err(SeriesError::Party("seller"));
        }
        if !draft.buyer.is_whole() {
            return Err(SeriesError::Party("buyer"));
        }
        let totals = draft.bill.totals()?;
        if totals.gross.minor <= 0 {
            return Err(SeriesError::Nothing(totals.gross));
        }
        let gives_back = matches!(draft.kind, Kind::CreditNote { .. });
        if totals.due.minor > 0 && draft.pay_by.is_none() && !gives_back {
            return Err(SeriesError::NoPayBy(totals.due));
        }
        if let Kind::CreditNote { of } = draft.kind {
            self.check_credit(of, totals.gross)?;
        }
        let number = u32::try_from(self.issued.len()).ok().and_then(|count| count.checked_add(1));
        let number = number.ok_or(SeriesError::Full)?;
        self.issued.push(Issued { draft, totals });
        Ok(InvoiceNo { year: self.year, number })
    }

    /// The gross of every credit note of this series that refers to `of`.
    pub fn credits(&self, of: InvoiceNo) -> impl Iterator<Item = Money> {
        let refers = move |issued: &&Issued| issued.draft.kind == Kind::CreditNote { of };
        self.issued.iter().filter(refers).map(|issued| issued.totals.gross)
    }

    fn check_credit(&self, of: InvoiceNo, gross: Money) -> Result<(), SeriesError> {
        if of.year < self.year {
            return Ok(());
        }
        let original = self.get(of).ok_or(SeriesError::NoOriginal(of))?;
        check_credit(original, of, self.credits(of), gross)
    }
}

/// Whether `gross` may be credited of invoice `of` after the credits already `given`, from whichever years.
///
/// # Errors
/// The original is a credit note itself or in another currency, or less is left of it.
pub fn check_credit(
    original: &Issued,
    of: InvoiceNo,
    given: impl IntoIterator<Item = Money>,
    gross: Money,
) -> Result<(), SeriesError> {
    if matches!(original.draft.kind, Kind::CreditNote { .. }) {
        return Err(SeriesError::CreditOfCredit(of));
    }
    let currency = original.totals.gross.currency;
    if gross.currency != currency {
        return Err(SeriesError::OtherCurrency { of, currency });
    }
    let left = credit_left(original, given)?;
    if gross.minor > left.minor { Err(SeriesError::TooMuchCredit { of, left }) } else { Ok(()) }
}

/// What may still be credited of an invoice after the credits already given, from whichever years.
///
/// # Errors
/// Credits in another currency, or sums too large to hold.
pub fn credit_left(
    original: &Issued,
    credits: impl IntoIterator<Item = Money>,
) -> Result<Money, SeriesError> {
    let gross = original.totals.gross;
    let given = Money::sum(gross.currency, credits).map_err(BillError::from)?;
    Ok(gross.less(given).map_err(BillError::from)?)
}

#[cfg(test)]
mod tests {
    use super::super::bill::tests::{bill, gbp};
    use super::*;

    fn day(text: &str) -> NaiveDate {
        text.parse().unwrap()
    }

    fn party(name: &str) -> Party {
        Party { name: name.to_owned(), address: vec!["1 Mill Lane".to_owned()], country: "GB".to_owned() }
    }

    fn draft(kind: Kind, minor: i64) -> InvoiceDraft {
        InvoiceDraft {
            kind,
            order: Tag::from_number(0).or_else(|| Tag::from_number(1)).unwrap(),
            dated: day("2026-03-02"),
            supplied: None,
            pay_by: Some(day("2026-03-16")),
            seller: party("A Studio"),
            buyer: party("A Client"),
            bill: bill(&[(minor, "20 %")]),
        }
    }

    fn no(number: u32) -> InvoiceNo {
        InvoiceNo { year: Year(2026), number }
    }

    #[test]
    fn numbers_follow_one_another_and_a_refused_draft_takes_none() {
        let mut series = Series::new(Year(2026));
        assert_eq!(series.issue(draft(Kind::Prepayment, 1000)), Ok(no(1)));
        let nameless = InvoiceDraft { buyer: party(" "), ..draft(Kind::Invoice, 1000) };
        assert_eq!(series.issue(nameless), Err(SeriesError::Party("buyer")));
        let late = InvoiceDraft { dated: day("2027-01-01"), ..draft(Kind::Invoice, 1000) };
        assert_eq!(series.issue(late), Err(SeriesError::OtherYear(day("2027-01-01"), 2026)));
        let open = InvoiceDraft { pay_by: None, ..draft(Kind::Invoice, 1000) };
        assert_eq!(series.issue(open), Err(SeriesError::NoPayBy(gbp(1200))));
        assert_eq!(series.issue(draft(Kind::Invoice, 1000)), Ok(no(2)));
        assert_eq!(no(2).to_string(), "2026-0002");
        assert_eq!(series.issued().map(|(number, _)| number).collect::<Vec<_>>(), [no(1), no(2)]);
        assert_eq!(series.get(no(0)), None);
        assert_eq!(series.get(InvoiceNo { year: Year(2025), number: 1 }), None);
    }

    #[test]
    fn a_credit_note_refers_to_an_invoice_and_never_exceeds_it() {
        let mut series = Series::new(Year(2026));
        let credit = |of| Kind::CreditNote { of };
        assert_eq!(
            series.issue(draft(credit(no(1)), 1000)),
            Err(SeriesError::NoOriginal(no(1))),
            "not even itself"
        );
        series.issue(draft(Kind::Invoice, 1000)).unwrap();
        assert_eq!(series.issue(draft(credit(no(1)), 600)), Ok(no(2)));
        let too_much = series.issue(draft(credit(no(1)), 401));
        assert_eq!(too_much, Err(SeriesError::TooMuchCredit { of: no(1), left: gbp(480) }));
        assert_eq!(series.issue(draft(credit(no(1)), 400)), Ok(no(3)));
        assert_eq!(series.issue(draft(credit(no(2)), 1)), Err(SeriesError::CreditOfCredit(no(2))));
        let before = InvoiceNo { year: Year(2025), number: 9 };
        assert_eq!(series.issue(draft(credit(before), 1)), Ok(no(4)), "checked by whoever holds both years");
        let after = InvoiceNo { year: Year(2027), number: 1 };
        assert_eq!(series.issue(draft(credit(after), 1)), Err(SeriesError::NoOriginal(after)));
    }

    #[test]
    fn a_series_survives_a_file_and_a_changed_one_is_refused() {
        let mut series = Series::new(Year(2026));
        series.issue(draft(Kind::Invoice, 1000)).unwrap();
        series.issue(draft(Kind::CreditNote { of: no(1) }, 1000)).unwrap();
        let text = ron::to_string(&series).unwrap();
        assert_eq!(ron::from_str::<Series>(&text).unwrap(), series);
        let dearer = text.replacen("unit_price:\"10.00 GBP\"", "unit_price:\"11.00 GBP\"", 1);
        assert_ne!(dearer, text);
        let said = ron::from_str::<Series>(&dearer).unwrap_err().to_string();
        assert!(said.contains("the totals of 2026-0001 are not what its lines come to"), "{said}");
        assert!(ron::from_str::<Series>(&text.replacen("issued:", "note:1,issued:", 1)).is_err());
        let without_first = Written { year: Year(2026), issued: series.issued.split_off(1) };
        let orphan = Series::try_from(without_first);
        assert_eq!(
            orphan,
            Err(SeriesError::NoOriginal(no(1))),
            "taking an invoice out is noticed by what refers to it"
        );
    }
}
