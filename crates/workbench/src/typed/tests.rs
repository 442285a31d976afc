use chrono::NaiveDate;
use craft::compare::{COVERAGE, Scale};
use craft::money::Currency;
use craft::reading::{Means, Reading};
use craft::units::{Length, Mass, Share, Span};
use proptest::prelude::*;

use super::*;
use crate::present::words;

const SCALE: Option<Scale> =
    Some(Scale { readability: Mass::from_micro(1_000_000), repeatability: Mass::from_micro(1_000_000) });

fn weighed(text: &str) -> Reading<Mass> {
    match amount(text, SCALE).unwrap_or_else(|why| panic!("{text}: {why}")).value {
        Amount::Mass(reading) => reading,
        Amount::Share(share) => panic!("{text} was read as a share, {share:?}"),
    }
}

fn on(year: i32, month: u32, day: u32) -> NaiveDate {
    NaiveDate::from_ymd_opt(year, month, day).unwrap()
}

/// A Wednesday.
fn today() -> NaiveDate {
    on(2026, 11, 25)
}

fn ten_thousandths(text: &str) -> u32 {
    share(text).unwrap_or_else(|why| panic!("{text}: {why}")).value.millionths() / 100
}

#[test]
fn weights_are_read_however_they_are_written() {
    let table = [
        ("31 mg", 31.0),
        ("31mg", 31.0),
        ("31", 31.0),
        ("0,31 g", 310.0),
        ("0.31g", 310.0),
        (",31 g", 310.0),
        ("2.151 g", 2_151.0),
        ("2 151 mg", 2_151.0),
        ("2\u{202f}151 mg", 2_151.0),
        ("2\u{a0}151\u{2009}MG", 2_151.0),
        ("1.234,5 mg", 1_234.5),
        ("1,234.5 mg", 1_234.5),
        ("2,4 kg", 2_400_000.0),
        ("31 milligrams", 31.0),
        ("31 mg ± 2", 31.0),
        ("482 mg, ± 2.4 mg", 482.0),
        ("0 mg", 0.0),
    ];
    for (text, mg) in table {
        let read = weighed(text);
        assert_eq!((read.value, read.by), (Mass::from_mg(mg), Means::Scale), "{text}");
    }
}

#[test]
fn a_plain_weight_has_the_doubt_of_the_scale_on_the_bench() {
    assert_eq!(weighed("31 mg"), SCALE.unwrap().reads(Mass::from_mg(31.0)));
    assert_eq!(amount("31 mg", SCALE).unwrap().echo, "31 mg, give or take 2.2 mg");
    assert_eq!(amount("31", SCALE).unwrap().echo, "31 mg (no unit was written), give or take 2.2 mg");
    assert_eq!(amount("2,151 g", SCALE).unwrap().echo, "2.151 g, give or take 2.2 mg");
}

#[test]
fn what_is_judged_by_eye_may_be_out_by_a_third() {
    for text in [
        "about 30 mg",
        "ca. 30 mg",
        "ca 30",
        "ca30 mg",
        "Roughly 30 mg",
        "~30",
        "30 mg or so",
        "about 30 mg, by eye",
    ] {
        let read = weighed(text);
        assert_eq!((read.value.mg(), read.doubt.mg(), read.by), (30.0, 10.0, Means::ByEye), "{text}");
    }
    assert_eq!(amount("about 30 mg", SCALE).unwrap().echo, "about 30 mg by eye, give or take 20 mg");
    // Without a scale in the settings nothing was weighed.
    let Amount::Mass(read) = amount("30 mg", None).unwrap().value else { panic!("not a weight") };
    assert_eq!((read.doubt.mg(), read.by), (10.0, Means::ByEye));
    assert!(amount("30 mg", None).unwrap().echo.contains("the settings name no scale"));
}

#[test]
fn what_stands_after_give_or_take_is_twice_the_doubt_as_it_is_shown() {
    for text in
        ["31 mg ± 2", "31 ± 2 mg", "31 mg +/- 2 mg", "31 mg give or take 2", "0.031 g ± 2 mg", "31mg±2mg"]
    {
        let read = weighed(text);
        assert_eq!((read.value.mg(), read.doubt.mg(), read.by), (31.0, 1.0, Means::Scale), "{text}");
        assert_eq!(amount(text, SCALE).unwrap().echo, "31 mg, give or take 2 mg", "{text}");
    }
    let eye = weighed("about 30 mg ± 10");
    assert_eq!((eye.doubt.mg(), eye.by), (5.0, Means::ByEye));
    // The broken rule takes it for the doubt itself, and shows twice as much as was typed.
    let broken = Reading { doubt: Mass::from_mg(2.0), ..weighed("31 mg ± 2") };
    assert_eq!(words::mass_give_or_take(&weighed("31 mg ± 2")), "31 mg, ± 2 mg");
    assert_ne!(words::mass_give_or_take(&broken), "31 mg, ± 2 mg");
    assert!(amount("31 mg ± 0", SCALE).unwrap_err().contains("nothing is measured so well"));
}

#[test]
fn an_amount_may_be_a_share() {
    for (text, of) in [
        ("a quarter", Share::of(1, 4)),
        ("5 %", Share::of(5, 100)),
        ("1/3", Share::of(1, 3)),
        ("⅓", Share::of(1, 3)),
        ("about 2 thirds", Share::of(2, 3)),
        ("all of it", Share::WHOLE),
    ] {
        assert_eq!(amount(text, SCALE).unwrap().value, Amount::Share(of), "{text}");
    }
}

#[test]
fn what_is_no_amount_is_refused_with_what_would_be_right() {
    let said = |text: &str| amount(text, SCALE).unwrap_err();
    assert_eq!(said(""), "write a weight, such as 31 mg");
    assert!(said("a pinch").starts_with("\"a pinch\" is not the same in every hand; write a share"));
    assert!(said("a little").contains("every hand"));
    assert!(said("5 oz").contains("\"oz\" is not a unit used here; write a weight in mg or g or kg"));
    assert!(said("-5 mg").contains("below nothing"));
    assert!(said("−5 mg").contains("below nothing"));
    assert!(said("hello").contains("is not an amount; write what the scale shows"));
    assert!(said("31 32 mg").contains("is not a weight"));
    assert!(said("120 %").contains("more than all of it"));
    assert!(said("99999999999 kg").contains("too large to be true"));
    assert!(said("0.0000001 mg").contains("more decimals than can be held"));
}

#[test]
fn words_that_carry_no_number_are_words_and_no_weight() {
    for text in [
        "a handful",
        "A pinch",
        "a small bag",
        "a few strands",
        "12 strands",
        "two handfuls",
        "3 small bags",
        "hardly anything",
        "enough to fill a thimble",
        "about a handful",
        "half a jar",
    ] {
        let read = how_much(text, SCALE).unwrap_or_else(|why| panic!("{text}: {why}"));
        assert_eq!(read.value, HowMuch::Words(text.parse().unwrap()), "{text}");
        assert!(
            read.echo.contains("none is needed") && read.echo.contains("kept with how it looks"),
            "{text}"
        );
    }
    // What is an amount stays one, and a slip in one is no description.
    assert_eq!(
        how_much("31 mg", SCALE).unwrap().value,
        HowMuch::Amount(amount("31 mg", SCALE).unwrap().value)
    );
    assert_eq!(how_much("a third", SCALE).unwrap().value, HowMuch::Amount(Amount::Share(Share::of(1, 3))));
    for text in ["5 oz", "-5 mg", "1,250 mg", "a few grams", "120 %", "31 32 mg", "?"] {
        let why = how_much(text, SCALE).unwrap_err();
        assert!(why.ends_with("; or leave it empty"), "{text}: {why}");
    }
}

#[test]
fn words_about_an_amount_join_how_a_thing_looks_once() {
    let line = |text: &str| text.parse::<craft::text::Line>().unwrap();
    assert_eq!(looks_with(&line(""), &line("a handful")), Ok(line("a handful")));
    let both = looks_with(&line("a tied lock"), &line("A handful")).unwrap();
    assert_eq!(both, line("a tied lock, A handful"));
    assert_eq!(looks_with(&both, &line("a handful")), Ok(both.clone()), "it is said once");
    // Another number is another amount, though its letters stand in what is there.
    assert_eq!(looks_with(&line("12 strands"), &line("2 strands")), Ok(line("12 strands, 2 strands")));
    assert!(looks_with(&line(&"x".repeat(195)), &line("a handful")).unwrap_err().contains("200"));
}

#[test]
fn a_lone_mark_is_never_taken_for_thousands() {
    for text in ["1,250 mg", "1.250 mg", "1,250"] {
        let why = amount(text, SCALE).unwrap_err();
        assert!(why.contains("two ways; write 1.25 mg or 1250 mg"), "{why}");
    }
    assert!(length("1,250").unwrap_err().contains("two ways; write 1.25 mm or 1250 mm"));
    // What is suggested is read, also where no last figure can be left out.
    assert!(length("1,253").unwrap_err().contains("two ways; write 1.2530 mm or 1253 mm"));
    assert_eq!(length("1.2530 mm").map(|read| read.value), Ok(Length::from_mm(1.253)));
    assert!(seconds("1,250").unwrap_err().contains("two ways; write 1.25 s or 1250 s"));
    assert!(seconds(&"04:02:".repeat(20)).is_err(), "no clock has so many parts");
    assert_eq!(
        seconds("780,141").map(|read| read.value),
        Ok(Span::from_s(780.141)),
        "nothing at the lamp takes so many whole seconds"
    );
    assert!(seconds("1.257 s").unwrap_err().contains("two ways; write 1.2570 s or 1257 s"));
    assert_eq!(seconds("1.2570 s").map(|read| read.value.to_string()), Ok("1.257 s".to_owned()));
    for (text, mg) in
        [("1.25 mg", 1.25), ("0,250 mg", 0.25), ("1,250 g", 1_250.0), ("12,5", 12.5), ("1.2345 mg", 1.2345)]
    {
        assert_eq!(weighed(text).value, Mass::from_mg(mg), "{text}");
    }
    // The broken reader takes every comma out, as one of thousands: the table above would not hold for it.
    let broken = |text: &str| text.replace(',', "").trim_end_matches(" g").parse::<f64>().unwrap() * 1_000.0;
    assert_ne!(Mass::from_mg(broken("0,31 g")), weighed("0,31 g").value);
    assert_ne!(Mass::from_mg(broken("1,250 g")), weighed("1,250 g").value);
}

#[test]
fn shares_are_read_however_they_are_said() {
    let table = [
        ("about a quarter", 2_500),
        ("a quarter", 2_500),
        ("Quarter", 2_500),
        ("three quarters", 7_500),
        ("¾", 7_500),
        ("two-thirds", 6_666),
        ("a third of it", 3_333),
        ("1/3", 3_333),
        ("1 ⁄ 3", 3_333),
        ("⅓", 3_333),
        ("half", 5_000),
        ("half of it", 5_000),
        ("one half", 5_000),
        ("a twentieth", 500),
        ("5 %", 500),
        ("5%", 500),
        ("5 per cent", 500),
        ("2,5 %", 250),
        ("33,333 %", 3_333),
        ("0.05", 500),
        ("0,05", 500),
        (".05", 500),
        ("all", 10_000),
        ("all of it", 10_000),
        ("100 %", 10_000),
        ("nothing", 0),
        ("None", 0),
        ("0", 0),
        ("a hundredth", 100),
    ];
    for (text, wanted) in table {
        assert_eq!(ten_thousandths(text), wanted, "{text}");
    }
}

#[test]
fn a_share_that_can_be_meant_two_ways_or_is_too_much_is_refused() {
    let said = |text: &str| share(text).unwrap_err();
    assert!(said("1").contains("may be all of it or one per cent"));
    assert!(said("5").contains("for per cent write \"5 %\""));
    for text in ["120 %", "4/3", "three halves", "5/1"] {
        assert!(said(text).contains("more than all of it"), "{text}");
    }
    for text in ["1/0", "-5 %", "", "a lot", "half a third", "3 mg", "1//2"] {
        assert!(share(text).is_err(), "{text}");
    }
}

#[test]
fn whatever_is_said_of_a_share_is_read_back() {
    let fractions = [
        (1, 2),
        (1, 3),
        (2, 3),
        (1, 4),
        (3, 4),
        (1, 5),
        (2, 5),
        (3, 5),
        (4, 5),
        (1, 6),
        (5, 6),
        (1, 8),
        (1, 10),
        (1, 20),
        (1, 100),
    ];
    let named = fractions.map(|(num, den)| Share::of(num, den));
    for exact in
        named.into_iter().chain([Share::NONE, Share::WHOLE]).chain((1..20).map(|n| Share::of(n, 100)))
    {
        let said = words::share(exact);
        let read = share(&said).unwrap();
        assert_eq!((read.value, read.echo), (exact, said.clone()), "{said}");
    }
    let near = named
        .into_iter()
        .flat_map(|share| (-40..=40).map(move |off| share.millionths().saturating_add_signed(off)));
    let mut kinds = [0; 4];
    for millionths in (0..=1_000_000).step_by(37).chain(near) {
        let said = words::share(Share::from_millionths(millionths));
        let read = share(&said).unwrap_or_else(|why| panic!("{said}: {why}"));
        let off = read.value.millionths().abs_diff(millionths);
        // As far off as the words are: a figure by half its last digit, "about" by three in a hundred.
        let (kind, may) = match said.as_str() {
            "nothing" | "all of it" => (0, 0),
            "nearly all of it" => (1, 5_000),
            "a trace" => (1, 250),
            about if about.starts_with("about ") => (2, read.value.millionths() * 3 / 100 + 1),
            figure if figure.ends_with('%') => {
                (3, if figure.contains('.') || millionths < 100_000 { 500 } else { 5_000 })
            }
            _ => (0, 2),
        };
        kinds[kind] += 1;
        assert!(off <= may, "{millionths} is said as {said}, and read as {:?}", read.value);
        if said.starts_with("about ") {
            assert_eq!(read.echo, said);
        }
    }
    assert!(kinds.iter().all(|count| *count > 5), "{kinds:?}");
}

#[test]
fn lengths_are_read_in_millimetres() {
    for (text, mm) in [
        ("10,2 mm", 10.2),
        ("10.2", 10.2),
        ("0.4 mm", 0.4),
        ("0,4", 0.4),
        ("1 cm", 10.0),
        ("1,02cm", 10.2),
        ("0", 0.0),
        ("about 12 mm", 12.0),
    ] {
        assert_eq!(length(text).unwrap().value, Length::from_mm(mm), "{text}");
    }
    assert_eq!(length("10,2 mm").unwrap().echo, "10.2 mm");
    assert_eq!(length("1 cm").unwrap().echo, "10 mm");
    for text in ["", "10 inch", "10\"", "ten", "10 x 8", "-1 mm", "10 ± 1", "1 m m", "10 mg"] {
        assert!(length(text).is_err(), "{text}");
    }
}

#[test]
fn a_caliper_has_its_doubt_and_an_eye_has_more() {
    let read = |text: &str| length_reading(text).unwrap().value;
    let mm = Length::from_mm;
    assert_eq!(read("10,23"), Reading { value: mm(10.23), doubt: mm(0.03), by: Means::Caliper });
    assert_eq!(read("10.2 mm ± 0.1"), Reading { value: mm(10.2), doubt: mm(0.05), by: Means::Caliper });
    assert_eq!(read("about 10 mm"), Reading { value: mm(10.0), doubt: mm(0.5), by: Means::ByEye });
    assert_eq!(length_reading("10,2 mm").unwrap().echo, "10.2 mm, give or take 0.06 mm");
    assert_eq!(length_reading("about 10 mm").unwrap().echo, "about 10 mm by eye, give or take 1 mm");
    assert!(length_reading("0").unwrap_err().contains("above nothing"));
}

#[test]
fn sizes_are_two_lengths() {
    let mm = Length::from_mm;
    for text in
        ["10 x 8", "10×8", "10 X 8 mm", "10,0 × 8,0 mm", "10 mm x 8 mm", "10*8", "10 by 8", "1 x 0.8 cm"]
    {
        assert_eq!(two_lengths(text).unwrap().value, (mm(10.0), mm(8.0)), "{text}");
    }
    assert_eq!(two_lengths("10x8 mm").unwrap().echo, "10 × 8 mm");
    for text in ["", "10", "10 x", "x 8", "10 x 8 x 3", "10 x 0"] {
        assert!(two_lengths(text).is_err(), "{text}");
    }
}

#[test]
fn days_are_read_with_the_day_before_the_month() {
    let table = [
        ("12 December", on(2026, 12, 12)),
        ("12 Dec", on(2026, 12, 12)),
        ("12 dec.", on(2026, 12, 12)),
        ("the 12th of December", on(2026, 12, 12)),
        ("December 12", on(2026, 12, 12)),
        ("Dec 12, 2027", on(2027, 12, 12)),
        ("12.12.", on(2026, 12, 12)),
        ("12/12/2026", on(2026, 12, 12)),
        ("3/4/2027", on(2027, 4, 3)),
        ("03-04-27", on(2027, 4, 3)),
        ("2026-12-12", on(2026, 12, 12)),
        ("Saturday 12 December", on(2026, 12, 12)),
        ("due 24 December", on(2026, 12, 24)),
        ("today", today()),
        ("Tomorrow", on(2026, 11, 26)),
        ("the day after tomorrow", on(2026, 11, 27)),
        ("in 3 days", on(2026, 11, 28)),
        ("due in 3 days", on(2026, 11, 28)),
        ("in a week", on(2026, 12, 2)),
        ("in 2 weeks", on(2026, 12, 9)),
        ("in two months", on(2027, 1, 25)),
        ("5 days late", on(2026, 11, 20)),
        ("Friday", on(2026, 11, 27)),
        ("on fri", on(2026, 11, 27)),
        ("Wednesday", on(2026, 12, 2)),
        ("last Friday", on(2026, 11, 20)),
        ("1 November", on(2027, 11, 1)),
        ("25 November", today()),
        ("29 Feb", on(2028, 2, 29)),
    ];
    for (text, wanted) in table {
        assert_eq!(day(text, today()).map(|read| read.value), Ok(wanted), "{text}");
    }
    assert_eq!(day("12.12.", today()).unwrap().echo, "Saturday 12 December 2026");
}

#[test]
fn a_day_that_has_been_is_the_last_such_day() {
    let table = [
        ("12 December", on(2025, 12, 12)),
        ("1 November", on(2026, 11, 1)),
        ("25.11.", today()),
        ("Friday", on(2026, 11, 20)),
        ("Wednesday", on(2026, 11, 18)),
        ("yesterday", on(2026, 11, 24)),
        ("3 days ago", on(2026, 11, 22)),
        ("a week ago", on(2026, 11, 18)),
        ("17/8/25", on(2025, 8, 17)),
        ("17/8/31", on(1931, 8, 17)),
        ("29 Feb", on(2024, 2, 29)),
    ];
    for (text, wanted) in table {
        assert_eq!(past_day(text, today()).map(|read| read.value), Ok(wanted), "{text}");
    }
    assert!(past_day("tomorrow", today()).unwrap_err().contains("still to come"));
    assert!(past_day("2027-01-01", today()).is_err());
}

#[test]
fn days_that_are_not_there_are_refused_with_a_reason() {
    let said = |text: &str| day(text, today()).unwrap_err();
    assert!(said("12/25/2026").contains("the day stands before the month here; write 25.12."));
    assert!(said("31 February").contains("no such day"));
    assert!(said("29.2.2027").contains("no such day"));
    assert!(said("next Friday").contains("two ways; write \"friday\" for the coming one"));
    assert!(said("Monday 12 December 2026").contains("12 December 2026 is a Saturday"));
    assert!(said("12 December 3026").contains("too far off"));
    for text in [
        "",
        "12",
        "soon",
        "Christmas",
        "12 12 12 12",
        "32.13.",
        "12. Dezember 2026",
        "in many days",
        "12 Dec Nov",
    ] {
        assert!(day(text, today()).is_err(), "{text}");
    }
}

#[test]
fn money_is_in_the_currency_of_the_studio() {
    let minor = |text: &str| money(text, Currency::GBP).map(|read| read.value.minor);
    for text in ["245", "£245", "£ 245.00", "245,00", "245 GBP", "gbp 245", "245,-"] {
        assert_eq!(minor(text), Ok(24_500), "{text}");
    }
    assert_eq!(minor("1.234,50"), Ok(123_450));
    assert_eq!(money("£245", Currency::GBP).unwrap().echo, "245.00 GBP");
    assert!(minor("245 €").unwrap_err().contains("prices here are in GBP"));
    assert!(minor("245 EUR").unwrap_err().contains("prices here are in GBP"));
    assert!(minor("1,250").unwrap_err().contains("two ways"));
    for text in ["", "-5", "£", "free", "2 for 5"] {
        assert!(minor(text).is_err(), "{text}");
    }
}

#[test]
fn times_are_seconds_unless_they_say_otherwise() {
    let table = [
        ("99", 99),
        ("99 s", 99),
        ("99s", 99),
        ("99 sec.", 99),
        ("1:39", 99),
        ("0:36", 36),
        ("1:20:00", 4_800),
        ("2 min", 120),
        ("1 min 39", 99),
        ("1 min 39 s", 99),
        ("1 h 20 min", 4_800),
        ("1 h 20", 4_800),
        ("1,5 min", 90),
        ("2 hours", 7_200),
        ("about 2 min", 120),
    ];
    for (text, wanted) in table {
        assert_eq!(seconds(text).map(|read| read.value), Ok(Span::from_micro(wanted * 1_000_000)), "{text}");
    }
    assert_eq!(seconds("1:39").unwrap().echo, "99 s");
    assert_eq!(seconds("6:05").unwrap().echo, "365 s (6:05)");
    for text in ["", "-5", "1:9", "1:75", "1:2:3:4", "39 s 1 min", "2 days", "soon", "99 99", "100000"] {
        assert!(seconds(text).is_err(), "{text}");
    }
}

#[test]
fn drops_are_counted() {
    for (text, count) in
        [("3 drops", 3), ("3", 3), ("three drops", 3), ("a drop", 1), ("1 drop", 1), ("ca. 12", 12)]
    {
        assert_eq!(drops(text).unwrap().value, count, "{text}");
    }
    for text in ["", "0", "2.5", "some drops", "-1", "70000", "drops"] {
        assert!(drops(text).is_err(), "{text}");
    }
}

proptest! {
    #[test]
    fn whatever_is_typed_nothing_panics_and_every_refusal_says_something(text in "\\PC*|[0-9.,:/ %±a-z-]{0,24}|.{0,400}") {
        let refusals = [
            amount(&text, SCALE).err(),
            amount(&text, None).err(),
            share(&text).err(),
            length(&text).err(),
            length_reading(&text).err(),
            two_lengths(&text).err(),
            day(&text, today()).err(),
            past_day(&text, today()).err(),
            money(&text, Currency::EUR).err(),
            seconds(&text).err(),
            drops(&text).err(),
        ];
        for why in refusals.into_iter().flatten() {
            prop_assert!(!why.is_empty() && !why.ends_with('.') && why.chars().count() < 400, "{}", why);
        }
        for odd in [NaiveDate::MIN, NaiveDate::MAX] {
            let (ahead, back) = (day(&text, odd), past_day(&text, odd));
            prop_assert!(ahead.is_err() || ahead.is_ok_and(|read| !read.echo.is_empty()));
            prop_assert!(back.is_err() || back.is_ok_and(|read| read.value <= odd));
        }
    }

    #[test]
    fn what_the_words_say_of_a_weight_is_read_back(micro in 0_i64..3_000_000_000_000) {
        let said = words::mass(Mass::from_micro(micro));
        let read = weighed(&said).value;
        prop_assert_eq!(words::mass(read), said);
        // No more than half the last of three digits off.
        prop_assert!((read.micro() - micro).abs() <= (micro / 180).max(51_000), "{} as {}", micro, read);
    }

    #[test]
    fn what_the_words_say_of_a_reading_is_read_back(mg in 10_i64..1_000, tenths in 1_i64..90) {
        let doubt = Mass::from_micro(tenths * 100_000 / 2);
        let reading = Reading { value: Mass::from_micro(mg * 1_000_000), doubt, by: Means::Scale };
        prop_assert_eq!(weighed(&words::mass_give_or_take(&reading)), reading);
        let eye = Reading { by: Means::ByEye, ..reading };
        prop_assert_eq!(weighed(&words::reading_mass(&eye)).by, Means::ByEye);
        prop_assert!((weighed(&words::reading_mass(&eye)).value.mg() - mg as f64).abs() <= 0.5);
        prop_assert!((COVERAGE - 2.0).abs() < 1e-12, "twice, as these texts say it");
    }

    #[test]
    fn what_the_words_say_of_a_length_or_a_time_is_read_back(hundredths in 0_i64..100_000, s in 0_i64..86_400) {
        let mm = Length::from_micro(hundredths * 10_000);
        prop_assert_eq!(length(&words::length(mm)).map(|read| read.value), Ok(mm));
        let span = Span::from_micro(s * 1_000_000);
        prop_assert_eq!(seconds(&words::clock(span)).map(|read| read.value), Ok(span));
        let said = words::span(span);
        prop_assert_eq!(seconds(&said).map(|read| words::span(read.value)), Ok(said));
    }

    #[test]
    fn what_the_words_say_of_a_day_is_read_back(off in -20_000_i64..20_000) {
        let then = today() + chrono::Duration::days(off);
        let year = words::date_with_year(then);
        prop_assert_eq!(day(&year, today()).map(|read| read.value), Ok(then));
        prop_assert_eq!(day(&day(&year, today()).unwrap().echo, today()).map(|read| read.value), Ok(then));
        prop_assert_eq!(day(&then.to_string(), today()).map(|read| read.value), Ok(then));
        let (near, due) = (words::near(then, today()), words::due(then, today()));
        let read = if off < 0 { past_day(&near, today()) } else { day(&near, today()) };
        prop_assert_eq!(read.map(|read| read.value), Ok(then), "{}", near);
        if off > -10_000 {
            prop_assert_eq!(day(&due, today()).map(|read| read.value), Ok(then), "{}", due);
        }
    }
}
