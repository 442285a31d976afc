//! Adding up a quote or an invoice.
//!
//! The order of steps is that of EN 16931-1:2017 (the European e-invoice), with its term numbers beside each
//! total: every line is rounded by itself, the rounded lines are added up, a document discount is taken off,
//! VAT is worked out per rate on what is left, and what was paid before is taken off the gross.

use std::collections::BTreeMap;
use std::fmt;
use std::str::FromStr;

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

use crate::written::written_as_text;

use super::{Currency, Money, MoneyError, Rate, Rounding, held, read, shortest};

/// Why a bill cannot be added up. Lines are counted from 1.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum BillError {
    /// Something is wrong with an amount.
    #[error(transparent)]
    Money(#[from] MoneyError),
    /// Nothing is charged.
    #[error("there is nothing on it yet; add a line")]
    NoLines,
    /// A line without words.
    #[error("line {0} does not say what it is for; write a few words")]
    Wordless(usize),
    /// A quantity of nothing.
    #[error("line {0} has a quantity of nothing; write how many, or take the line out")]
    NoQuantity(usize),
    /// A price below zero.
    #[error(
        "the price on line {0} is below zero; give a discount, or a quantity below zero for what comes back"
    )]
    NegativePrice(usize),
    /// More is taken off a line than it comes to.
    #[error("the discount on line {0} must be between nothing and what the line comes to")]
    LineDiscount(usize),
    /// More is taken off than the lines come to.
    #[error("the discount must be between nothing and what the lines come to")]
    Discount,
    /// A deposit below zero.
    #[error("a deposit is below zero; write what was paid, or make a credit note for what goes back")]
    Deposit,
    /// A registered seller left a rate out.
    #[error("line {0} has no VAT rate; a registered seller names one for each line, even if it is 0 %")]
    NoRate(usize),
    /// An unregistered seller would charge VAT.
    #[error("line {0} has a VAT rate, but a seller who is not registered charges none; take the rate off")]
    NotRegistered(usize),
    /// A registered seller without a number.
    #[error(
        "the VAT number is missing; write it into the studio's settings, or say that it is not registered"
    )]
    NoVatNumber,
}

/// How many of something, in whole thousandths.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Quantity(i64);

impl Quantity {
    /// One.
    pub const ONE: Quantity = Quantity(1000);
    const PLACES: u8 = 3;

    /// From whole thousandths.
    pub const fn from_thousandths(thousandths: i64) -> Self {
        Self(thousandths)
    }

    /// That many pieces.
    pub const fn pieces(count: u32) -> Self {
        Self(count as i64 * 1000)
    }

    /// Whole thousandths.
    pub const fn thousandths(self) -> i64 {
        self.0
    }
}

impl fmt::Display for Quantity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&shortest(self.0, Self::PLACES))
    }
}

impl fmt::Debug for Quantity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(self, f)
    }
}

impl FromStr for Quantity {
    type Err = MoneyError;

    fn from_str(text: &str) -> Result<Self, MoneyError> {
        read::decimal(text, Self::PLACES).map(Quantity).ok_or_else(|| MoneyError::Quantity(text.to_owned()))
    }
}

written_as_text!(Quantity);

/// What is taken off.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default, Serialize, Deserialize)]
pub enum Discount {
    /// Nothing.
    #[default]
    None,
    /// So much of the amount, rounded half up.
    Rate(Rate),
    /// A fixed amount.
    Amount(Money),
}

/// Whether the seller charges VAT.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum Vat {
    /// Not registered: no rate, no VAT amount and no number is ever printed.
    NotRegistered,
    /// Registered.
    Registered {
        /// The VAT number (BT-31).
        number: String,
    },
}

/// One line of a bill.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Line {
    /// What it is for (BT-153).
    pub words: String,
    /// How many (BT-129); below zero for something that comes back.
    pub quantity: Quantity,
    /// The price of one without VAT (BT-146); zero or more.
    pub unit_price: Money,
    /// What is taken off the line (BT-136).
    pub discount: Discount,
    /// The VAT rate (BT-152); `None` exactly where the seller is not registered.
    pub vat: Option<Rate>,
}

/// Money paid before.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Deposit {
    /// The day it came.
    pub on: NaiveDate,
    /// How much, VAT included.
    pub amount: Money,
}

/// A quote, or the sum of an invoice.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Bill {
    /// The one currency of every amount on it (BT-5).
    pub currency: Currency,
    /// Whether VAT is charged.
    pub vat: Vat,
    /// How VAT is rounded; lines and discounts are always rounded half up.
    pub vat_rounding: Rounding,
    /// What is charged.
    pub lines: Vec<Line>,
    /// What is taken off the whole (BT-92), spread over the rates.
    pub discount: Discount,
    /// What was paid before.
    pub deposits: Vec<Deposit>,
}

/// The VAT of one rate.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct VatGroup {
    /// The rate (BT-119).
    pub rate: Rate,
    /// What it is charged on (BT-116).
    pub net: Money,
    /// The VAT (BT-117).
    pub vat: Money,
}

/// What a bill comes to.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Totals {
    /// Each line after its discount (BT-131).
    pub lines: Vec<Money>,
    /// The rounded lines together (BT-106).
    pub sum_of_lines: Money,
    /// The document discount (BT-107).
    pub discount: Money,
    /// Without VAT (BT-109).
    pub net: Money,
    /// VAT by rate, lowest first (BG-23); empty where the seller is not registered, and then nothing of it is printed.
    pub vat: Vec<VatGroup>,
    /// All VAT (BT-110).
    pub vat_total: Money,
    /// With VAT (BT-112).
    pub gross: Money,
    /// Paid before (BT-113).
    pub deposits: Money,
    /// Still to pay (BT-115); below zero where money goes back.
    pub due: Money,
}

impl Bill {
    /// Adds it up.
    ///
    /// # Errors
    /// A line, discount, deposit or rate that cannot stand as it is, two currencies, or a sum too large to hold.
    pub fn totals(&self) -> Result<Totals, BillError> {
        if self.lines.is_empty() {
            return Err(BillError::NoLines);
        }
        let numbered = self.lines.iter().enumerate();
        let lines =
            numbered.map(|(at, line)| self.line_net(at + 1, line)).collect::<Result<Vec<_>, BillError>>()?;
        let sum_of_lines = Money::sum(self.currency, lines.iter().copied())?;
        let mut groups: BTreeMap<Option<Rate>, Money> = BTreeMap::new();
        for (line, &net) in self.lines.iter().zip(&lines) {
            let group = groups.entry(line.vat).or_insert(Money::zero(self.currency));
            *group = group.and(net)?;
        }
        let discount = self.take_discount(&mut groups, sum_of_lines)?;
        let net = sum_of_lines.less(discount)?;
        let vat = self.vat_groups(&groups)?;
        let vat_total = Money::sum(self.currency, vat.iter().map(|group| group.vat))?;
        let gross = net.and(vat_total)?;
        let deposits = self.deposits_total()?;
        let due = gross.less(deposits)?;
        Ok(Totals { lines, sum_of_lines, discount, net, vat, vat_total, gross, deposits, due })
    }

    /// One line after its discount; `no` counts from 1.
    fn line_net(&self, no: usize, line: &Line) -> Result<Money, BillError> {
        if line.words.trim().is_empty() {
            return Err(BillError::Wordless(no));
        }
        match (&self.vat, line.vat) {
            (Vat::NotRegistered, Some(_)) => return Err(BillError::NotRegistered(no)),
            (Vat::Registered { number }, _) if number.trim().is_empty() => {
                return Err(BillError::NoVatNumber);
            }
            (Vat::Registered { .. }, None) => return Err(BillError::NoRate(no)),
            _ => {}
        }
        if line.quantity.thousandths() == 0 {
            return Err(BillError::NoQuantity(no));
        }
        if line.unit_price.minor < 0 {
            return Err(BillError::NegativePrice(no));
        }
        let parts = i128::from(line.unit_price.minor) * i128::from(line.quantity.thousandths());
        let full = held(Rounding::HalfUp.divide(parts, 1000), line.unit_price.currency)?;
        let off = amount_off(line.discount, full, self.currency)?;
        let within = if full.minor >= 0 {
            (0..=full.minor).contains(&off.minor)
        } else {
            (full.minor..=0).contains(&off.minor)
        };
        if !within {
            return Err(BillError::LineDiscount(no));
        }
        Ok(Money::zero(self.currency).and(full)?.less(off)?)
    }

    /// Takes the document discount off the groups and says how much it was.
    fn take_discount(
        &self,
        groups: &mut BTreeMap<Option<Rate>, Money>,
        sum_of_lines: Money,
    ) -> Result<Money, BillError> {
        if self.discount == Discount::None {
            return Ok(Money::zero(self.currency));
        }
        let wanted = amount_off(self.discount, sum_of_lines, self.currency)?;
        if !(0..=sum_of_lines.minor.max(0)).contains(&wanted.minor) {
            return Err(BillError::Discount);
        }
        let (mut so_far, mut taken) = (0_i128, Money::zero(self.currency));
        for net in groups.values_mut() {
            let share = if let Discount::Rate(rate) = self.discount {
                rate.of(*net, Rounding::HalfUp)?
            } else {
                // The rounded running total is shared out, so the parts always make up the whole.
                so_far += i128::from(net.minor);
                let parts = i128::from(wanted.minor) * so_far;
                let up_to_here = Rounding::HalfUp.divide(parts, i128::from(sum_of_lines.minor));
                held(up_to_here, self.currency)?.less(taken)?
            };
            *net = net.less(share)?;
            taken = taken.and(share)?;
        }
        Ok(taken)
    }

    fn vat_groups(&self, groups: &BTreeMap<Option<Rate>, Money>) -> Result<Vec<VatGroup>, BillError> {
        let charged = groups.iter().filter_map(|(&rate, &net)| rate.map(|rate| (rate, net)));
        charged.map(|(rate, net)| Ok(VatGroup { rate, net, vat: rate.of(net, self.vat_rounding)? })).collect()
    }

    fn deposits_total(&self) -> Result<Money, BillError> {
        if self.deposits.iter().any(|deposit| deposit.amount.minor < 0) {
            return Err(BillError::Deposit);
        }
        Ok(Money::sum(self.currency, self.deposits.iter().map(|deposit| deposit.amount))?)
    }
}

/// What a discount takes off `full`.
fn amount_off(discount: Discount, full: Money, currency: Currency) -> Result<Money, MoneyError> {
    match discount {
        Discount::None => Ok(Money::zero(currency)),
        Discount::Rate(rate) => rate.of(full, Rounding::HalfUp),
        Discount::Amount(amount) => Money::zero(currency).and(amount),
    }
}

#[cfg(test)]
pub(super) mod tests {
    use super::*;
    use proptest::prelude::*;

    pub(in crate::money) fn gbp(minor: i64) -> Money {
        Money { minor, currency: Currency::GBP }
    }

    fn rate(text: &str) -> Rate {
        text.parse().unwrap()
    }

    fn line(minor: i64, vat: Option<&str>) -> Line {
        Line {
            words: "stone".to_owned(),
            quantity: Quantity::ONE,
            unit_price: gbp(minor),
            discount: Discount::None,
            vat: vat.map(rate),
        }
    }

    pub(in crate::money) fn bill(lines: &[(i64, &str)]) -> Bill {
        Bill {
            currency: Currency::GBP,
            vat: Vat::Registered { number: "GB123456789".to_owned() },
            vat_rounding: Rounding::HalfUp,
            lines: lines.iter().map(|&(minor, vat)| line(minor, Some(vat))).collect(),
            discount: Discount::None,
            deposits: Vec::new(),
        }
    }

    #[test]
    fn a_seller_who_is_not_registered_prints_no_vat() {
        let mut plain = Bill { vat: Vat::NotRegistered, ..bill(&[]) };
        plain.lines.push(line(12_345, None));
        let totals = plain.totals().unwrap();
        assert!(totals.vat.is_empty());
        assert_eq!((totals.vat_total, totals.gross, totals.due), (gbp(0), gbp(12_345), gbp(12_345)));
        plain.lines.push(line(1, Some("20 %")));
        assert_eq!(plain.totals(), Err(BillError::NotRegistered(2)));
        let mut registered = bill(&[(100, "20 %")]);
        registered.lines.push(line(1, None));
        assert_eq!(registered.totals(), Err(BillError::NoRate(2)));
        registered.vat = Vat::Registered { number: " ".to_owned() };
        assert_eq!(registered.totals(), Err(BillError::NoVatNumber));
    }

    #[test]
    fn what_cannot_stand_is_refused_with_its_line() {
        let with = |change: fn(&mut Bill)| {
            let mut bill = bill(&[(1000, "20 %"), (500, "20 %")]);
            change(&mut bill);
            bill.totals()
        };
        assert_eq!(with(|b| b.lines.clear()), Err(BillError::NoLines));
        assert_eq!(with(|b| b.lines[1].words.clear()), Err(BillError::Wordless(2)));
        assert_eq!(
            with(|b| b.lines[1].quantity = Quantity::from_thousandths(0)),
            Err(BillError::NoQuantity(2))
        );
        assert_eq!(with(|b| b.lines[0].unit_price.minor = -1), Err(BillError::NegativePrice(1)));
        assert_eq!(
            with(|b| b.lines[1].discount = Discount::Amount(gbp(501))),
            Err(BillError::LineDiscount(2))
        );
        assert_eq!(
            with(|b| b.lines[1].discount = Discount::Amount(gbp(-1))),
            Err(BillError::LineDiscount(2))
        );
        assert_eq!(with(|b| b.discount = Discount::Amount(gbp(1501))), Err(BillError::Discount));
        let on = NaiveDate::from_ymd_opt(2026, 1, 5).unwrap();
        let deposit =
            |b: &mut Bill, minor| b.deposits.push(Deposit { on: NaiveDate::MIN, amount: gbp(minor) });
        assert_eq!(
            with(|b| b.deposits.push(Deposit { on: NaiveDate::MIN, amount: gbp(-1) })),
            Err(BillError::Deposit)
        );
        let mut paid = bill(&[(100, "0 %")]);
        deposit(&mut paid, 150);
        paid.deposits[0].on = on;
        assert_eq!(paid.totals().unwrap().due, gbp(-50), "fifty pence go back");
        let mixed = with(|b| b.lines[1].unit_price.currency = Currency::EUR);
        assert_eq!(mixed, Err(BillError::Money(MoneyError::Mixed(Currency::GBP, Currency::EUR))));
        let huge = with(|b| {
            b.lines[0] = Line {
                quantity: Quantity::from_thousandths(i64::MAX),
                unit_price: gbp(i64::MAX),
                ..b.lines[0].clone()
            }
        });
        assert_eq!(huge, Err(BillError::Money(MoneyError::TooLarge)));
    }

    #[test]
    fn half_a_stone_costs_half() {
        let mut half = bill(&[(1001, "0 %")]);
        half.lines[0].quantity = "0.5".parse().unwrap();
        assert_eq!(half.totals().unwrap().net, gbp(501), "500.5 goes up");
        half.lines[0].quantity = "-0.5".parse().unwrap();
        assert_eq!(half.totals().unwrap().net, gbp(-501), "what comes back mirrors what went out");
        assert!("1.2345".parse::<Quantity>().is_err());
        assert_eq!(Quantity::pieces(3).to_string(), "3");
    }

    #[test]
    fn a_bill_survives_a_file_and_an_unknown_field_is_refused() {
        let written = ron::to_string(&bill(&[(1250, "5.5 %")])).unwrap();
        assert!(written.contains("\"12.50 GBP\"") && written.contains("\"5.5 %\""), "{written}");
        assert_eq!(ron::from_str::<Bill>(&written).unwrap(), bill(&[(1250, "5.5 %")]));
        assert!(ron::from_str::<Bill>(&written.replacen('(', "(tip:1,", 1)).is_err());
    }

    proptest! {
        #[test]
        fn the_totals_always_add_up(
            lines in prop::collection::vec((0_i64..1_000_000, 0_usize..3, 1_i64..5_000), 1..12),
            off in 0_i64..1000, as_rate: bool, rule in 0_usize..3,
        ) {
            let mut bill = bill(&[]);
            bill.vat_rounding = [Rounding::HalfUp, Rounding::HalfEven, Rounding::Down][rule];
            for (minor, at, thousandths) in lines {
                let quantity = Quantity::from_thousandths(thousandths);
                bill.lines.push(Line { quantity, ..line(minor, Some(["0 %", "5 %", "20 %"][at])) });
            }
            let sum: i64 = bill.totals().unwrap().lines.iter().map(|line| line.minor).sum();
            let amount = i64::try_from(i128::from(sum) * i128::from(off) / 1000).unwrap();
            let wanted = Rate::from_millionths(u32::try_from(off).unwrap() * 1000).unwrap();
            bill.discount = if as_rate { Discount::Rate(wanted) } else { Discount::Amount(gbp(amount)) };
            let totals = bill.totals().unwrap();
            let nets: i64 = totals.vat.iter().map(|group| group.net.minor).sum();
            prop_assert_eq!(totals.sum_of_lines.minor, sum, "BR-CO-10");
            prop_assert_eq!(totals.net.minor, sum - totals.discount.minor, "BR-CO-13");
            prop_assert_eq!(totals.net.minor, nets, "the rates share out all of the net");
            prop_assert_eq!(totals.gross.minor, totals.net.minor + totals.vat_total.minor, "BR-CO-15");
            prop_assert!(as_rate || totals.discount.minor == amount, "a fixed discount is taken off to the penny");
            prop_assert!(totals.vat.iter().all(|group| group.net.minor >= -1), "no rate pays for another");
        }
    }
}
