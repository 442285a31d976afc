//! Shares, masses, lengths and spans as a person at a bench says them.

use craft::compare::COVERAGE;
use craft::reading::{Means, Reading};
use craft::units::{Length, Mass, Share, Span};

/// The fractions that have a name: numerator, denominator, words.
const FRACTIONS: [(u32, u32, &str); 15] = [
    (1, 2, "half"),
    (1, 3, "a third"),
    (2, 3, "two thirds"),
    (1, 4, "a quarter"),
    (3, 4, "three quarters"),
    (1, 5, "a fifth"),
    (2, 5, "two fifths"),
    (3, 5, "three fifths"),
    (4, 5, "four fifths"),
    (1, 6, "a sixth"),
    (5, 6, "five sixths"),
    (1, 8, "an eighth"),
    (1, 10, "a tenth"),
    (1, 20, "a twentieth"),
    (1, 100, "a hundredth"),
];

/// How far, in thousandths of the fraction, a share may be off and still be "about" it. Below half the way from
/// an eighth to 12 %, so that a figure a person typed is given back as a figure.
const ABOUT_PER_MILLE: u64 = 30;

/// A share in words: "a quarter", "about two thirds", "nothing", "all of it", else "12 %".
pub fn share(share: Share) -> String {
    let micro = share.millionths();
    let near = |num: u32, den: u32| u64::from(Share::of(num, den).millionths().abs_diff(micro));
    if micro == 0 {
        return "nothing".to_owned();
    }
    if share == Share::WHOLE {
        return "all of it".to_owned();
    }
    if let Some((.., words)) = FRACTIONS.iter().find(|(num, den, _)| near(*num, *den) <= 2) {
        return (*words).to_owned();
    }
    let within = |num: u32, den: u32| {
        near(num, den) * 1_000 <= ABOUT_PER_MILLE * u64::from(Share::of(num, den).millionths())
    };
    // A whole per cent is said as such: it is what a person typed.
    let figure = micro.is_multiple_of(10_000) && micro < 200_000;
    let closest = FRACTIONS
        .iter()
        .filter(|(num, den, _)| within(*num, *den))
        .min_by_key(|(num, den, _)| near(*num, *den));
    match closest {
        Some((.., words)) if !figure => format!("about {words}"),
        _ if micro >= 990_000 => "nearly all of it".to_owned(),
        _ if micro < 500 => "a trace".to_owned(),
        _ => percent(share),
    }
}

/// A share in per cent, with one decimal below ten: "12 %", "2.5 %".
pub fn percent(share: Share) -> String {
    let tenths = (share.millionths() + 500) / 1_000;
    if tenths >= 100 || tenths.is_multiple_of(10) {
        format!("{} %", (share.millionths() + 5_000) / 10_000)
    } else {
        format!("{}.{} %", tenths / 10, tenths % 10)
    }
}

/// A number with at most `places` decimals and no zeros at its end.
fn trimmed(value: f64, places: usize) -> String {
    let text = format!("{value:.places$}");
    let text = if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.') } else { &text };
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}

/// A mass: "8 mg", "0.4 mg", "31 mg", "0.31 g", "12.5 g".
pub fn mass(mass: Mass) -> String {
    let mg = mass.mg();
    match mg.abs() {
        size if size < 9.95 => format!("{} mg", trimmed(mg, 1)),
        size if size < 99.5 => format!("{} mg", trimmed(mg, 0)),
        size if size < 1_000.0 => format!("{} g", trimmed(mg / 1_000.0, 3)),
        size if size < 10_000.0 => format!("{} g", trimmed(mg / 1_000.0, 2)),
        size if size < 100_000.0 => format!("{} g", trimmed(mg / 1_000.0, 1)),
        _ => format!("{} g", trimmed(mg / 1_000.0, 0)),
    }
}

/// A mass with twice its doubt, below a gram both in milligrams: "482 mg, ± 2.4 mg".
pub fn mass_give_or_take(reading: &Reading<Mass>) -> String {
    if !reading.doubt.is_positive() {
        return mass(reading.value);
    }
    let both = mass(Mass::from_mg(reading.doubt.mg() * COVERAGE));
    let mg = reading.value.mg();
    if (10.0..1_000.0).contains(&mg) {
        format!("{} mg, ± {both}", trimmed(mg, 0))
    } else {
        format!("{}, ± {both}", mass(reading.value))
    }
}

/// A reading of a mass and how it was come by: "482 mg, ± 4 mg" or "about 0.5 g, by eye".
pub fn reading_mass(reading: &Reading<Mass>) -> String {
    match reading.by {
        Means::ByEye => format!("about {}, by eye", mass(reading.value)),
        Means::Scale | Means::Caliper => mass_give_or_take(reading),
    }
}

/// A length: "0.4 mm", "12 mm".
pub fn length(length: Length) -> String {
    format!("{} mm", trimmed(length.mm(), 2))
}

/// To where a layer is poured, the same on every page: "1.55 mm above the face". To the twentieth of a millimetre, which
/// is finer than an eye tells on the wall of a mould.
pub fn fill_mark(mark: Length) -> String {
    let twentieths = (mark.micro() + 25_000).div_euclid(50_000);
    format!("{} above the face", length(Length::from_micro(twentieths * 50_000)))
}

/// Whole seconds, rounded up: no shorter time is said than is meant.
fn seconds_up(span: Span) -> i64 {
    span.micro().max(0).saturating_add(999_999) / 1_000_000
}

fn in_words(minutes: i64) -> String {
    match (minutes / 60, minutes % 60) {
        (0, minutes) => format!("{minutes} min"),
        (hours, 0) => format!("{hours} h"),
        (hours, minutes) => format!("{hours} h {minutes} min"),
    }
}

/// How long something takes, never said shorter than it is: "42 s" below a minute, "1:24" below ten, and from there on
/// to the minute: "12 min", "1 h 20 min".
pub fn span(span: Span) -> String {
    match seconds_up(span) {
        seconds if seconds < 60 => format!("{seconds} s"),
        seconds if seconds < 600 => clock(span),
        seconds => in_words(seconds.saturating_add(59) / 60),
    }
}

/// A span to the second, as a running clock shows it: "0:36", "6:05", "1:20:00".
pub fn clock(span: Span) -> String {
    let seconds = seconds_up(span);
    let (hours, minutes, rest) = (seconds / 3_600, seconds / 60 % 60, seconds % 60);
    if hours > 0 { format!("{hours}:{minutes:02}:{rest:02}") } else { format!("{minutes}:{rest:02}") }
}

/// How much of a span is done: "64 of 99 s". What is done in full is said to be: "61 of 61 s".
pub fn of_span(done: Span, whole: Span) -> String {
    // Light that may not have fallen is not said to have: the part is rounded down.
    let part = done.micro().max(0) / 1_000_000;
    let all = seconds_up(whole).max(part);
    format!("{} of {all} s", if done >= whole { all } else { part })
}

/// Light in seconds, as it stands on the button: "54 s". Rounded down: what may not have fallen is not said to have.
pub fn light(span: Span) -> String {
    format!("{} s", span.micro().max(0) / 1_000_000)
}

/// A count with its noun: "1 stone", "3 stones", "no stones".
pub fn count(count: usize, one: &str, many: &str) -> String {
    match count {
        0 => format!("no {many}"),
        1 => format!("1 {one}"),
        _ => format!("{count} {many}"),
    }
}

/// So many bytes as a person says it: "3.4 MB", "212 kB", "90 bytes"; a megabyte is a million (IEC 80000-13).
pub fn size(bytes: u64) -> String {
    let value = bytes as f64;
    match bytes {
        0..1_000 => count(usize::try_from(bytes).unwrap_or_default(), "byte", "bytes"),
        1_000..1_000_000 => format!("{} kB", trimmed(value / 1e3, 0)),
        1_000_000..1_000_000_000 => format!("{} MB", trimmed(value / 1e6, 1)),
        _ => format!("{} GB", trimmed(value / 1e9, 1)),
    }
}

/// Several names in a sentence: "a", "a and b", "a, b and c".
pub fn list<T: AsRef<str>>(names: &[T]) -> String {
    match names {
        [] => String::new(),
        [only] => only.as_ref().to_owned(),
        [before @ .., last] => {
            let before: Vec<&str> = before.iter().map(AsRef::as_ref).collect();
            format!("{} and {}", before.join(", "), last.as_ref())
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_share_is_said_in_words_where_it_has_a_name() {
        let said = |num, den| share(Share::of(num, den));
        assert_eq!(said(1, 4), "a quarter");
        assert_eq!(said(1, 3), "a third");
        assert_eq!(said(1, 20), "a twentieth");
        assert_eq!(said(65, 100), "about two thirds");
        assert_eq!(said(12, 100), "12 %");
        assert_eq!(said(1, 1), "all of it");
        assert_eq!(share(Share::NONE), "nothing");
        assert_eq!(share(Share::from_millionths(995_000)), "nearly all of it");
        assert_eq!(share(Share::from_millionths(120)), "a trace");
    }

    /// The prefixes are those of the SI, powers of ten (BIPM, The International System of Units, 9th edition, table 7).
    #[test]
    fn bytes_are_said_by_powers_of_a_thousand() {
        let said: Vec<String> = [0, 1, 999, 1_000, 212_400, 3_440_000, 12_000_000_000].map(size).into();
        assert_eq!(said, ["no bytes", "1 byte", "999 bytes", "1 kB", "212 kB", "3.4 MB", "12 GB"]);
    }

    #[test]
    fn thirds_and_their_rest_read_as_thirds() {
        let third = Share::of(1, 3);
        assert_eq!(share(Share::WHOLE.less(third).unwrap()), "two thirds");
    }

    #[test]
    fn per_cent_has_a_decimal_only_below_ten() {
        assert_eq!(percent(Share::from_millionths(25_000)), "2.5 %");
        assert_eq!(percent(Share::from_millionths(123_400)), "12 %");
        assert_eq!(percent(Share::from_millionths(30_000)), "3 %");
    }

    #[test]
    fn a_mass_is_milligrams_while_small_and_grams_above() {
        let said = |mg| mass(Mass::from_mg(mg));
        assert_eq!(said(8.0), "8 mg");
        assert_eq!(said(0.4), "0.4 mg");
        assert_eq!(said(31.0), "31 mg");
        assert_eq!(said(310.0), "0.31 g");
        assert_eq!(said(482.0), "0.482 g");
        assert_eq!(said(12_500.0), "12.5 g");
        assert_eq!(said(0.0), "0 mg");
        assert_eq!(said(-0.01), "0 mg", "never minus nothing");
    }

    #[test]
    fn a_reading_says_how_it_was_come_by() {
        let reading = |by| Reading { value: Mass::from_mg(482.0), doubt: Mass::from_mg(2.0), by };
        assert_eq!(reading_mass(&reading(Means::Scale)), "482 mg, ± 4 mg");
        assert_eq!(reading_mass(&reading(Means::ByEye)), "about 0.482 g, by eye");
    }

    #[test]
    fn a_length_has_no_more_decimals_than_a_caliper() {
        assert_eq!(length(Length::from_mm(0.4)), "0.4 mm");
        assert_eq!(length(Length::from_mm(12.0)), "12 mm");
        assert_eq!(length(Length::from_mm(0.4567)), "0.46 mm");
    }

    #[test]
    fn spans_are_seconds_then_minutes_then_hours() {
        let s = Span::from_s;
        assert_eq!(span(s(36.0)), "36 s");
        assert_eq!(span(s(42.0)), "42 s", "not a minute");
        assert_eq!(span(s(84.0)), "1:24", "not a minute either");
        assert_eq!(span(s(360.0)), "6:00");
        assert_eq!(span(s(599.5)), "10 min");
        assert_eq!(span(s(4_800.0)), "1 h 20 min");
        assert_eq!(span(s(7_200.0)), "2 h");
        assert_eq!(clock(s(36.0)), "0:36");
        assert_eq!(clock(s(365.0)), "6:05");
        assert_eq!(clock(s(4_800.0)), "1:20:00");
        assert_eq!(of_span(s(64.9), s(99.0)), "64 of 99 s", "no light is credited that may not have fallen");
        assert_eq!(light(s(20.9)), "20 s");
    }

    #[test]
    fn what_is_done_in_full_reads_so() {
        let s = Span::from_s;
        assert_eq!(of_span(s(60.0), s(60.0)), "60 of 60 s");
        // Two presses that gave a little more than was asked for, and a button of half seconds.
        assert_eq!(of_span(s(60.7), s(60.0)), "60 of 60 s");
        assert_eq!(of_span(s(60.5), s(60.5)), "61 of 61 s");
        assert_eq!(of_span(s(60.4), s(60.5)), "60 of 61 s", "a little is missing");
        assert_eq!(of_span(s(64.2), s(60.0)), "64 of 64 s");
    }

    #[test]
    fn no_time_is_said_shorter_than_it_is() {
        let read = |said: &str| crate::typed::seconds(said).unwrap().value;
        for micro in (0..1_300_000_000_i64).step_by(7_310_001) {
            let meant = Span::from_micro(micro);
            for said in [span(meant), clock(meant)] {
                let over = read(&said) - meant;
                assert!(over >= Span::ZERO, "{said} for {meant}");
                let most = if micro > 599_000_000 { 60.0 } else { 1.0 };
                assert!(over < Span::from_s(most), "{said} for {meant}");
            }
        }
        // Rounding to the nearest minute would say less.
        assert!(read("1 min") < Span::from_s(84.0));
    }

    #[test]
    fn counts_and_lists_read_as_a_person_says_them() {
        assert_eq!(count(0, "stone", "stones"), "no stones");
        assert_eq!(count(1, "stone", "stones"), "1 stone");
        assert_eq!(count(3, "stone", "stones"), "3 stones");
        assert_eq!(list::<&str>(&[]), "");
        assert_eq!(list(&["a"]), "a");
        assert_eq!(list(&["a", "b", "c"]), "a, b and c");
    }
}
