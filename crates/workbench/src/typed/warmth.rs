//! Temperatures.

use craft::units::Temperature;

use super::Typed;
use super::number::{Decimal, split_unit};
use super::plain::{about, plain, quoted};

const EXAMPLES: &str = "\"21 °C\" or \"70 °F\"";

/// A temperature above freezing: "21" (Celsius), "21,5 °C", "about 70 °F".
///
/// # Errors
/// What is wrong with the text, and what would be right.
pub fn temperature(text: &str) -> Result<Typed<Temperature>, String> {
    let all = plain(text);
    let (by_eye, rest) = about(&all);
    if rest.is_empty() {
        return Err(format!("write a temperature, such as {EXAMPLES}"));
    }
    if rest.starts_with('-') {
        return Err(format!(
            "{} is below freezing; look for a slip, or write it like {EXAMPLES}",
            quoted(text)
        ));
    }
    let (number, unit) = split_unit(rest);
    let unreadable = || format!("{} is not a temperature; write it like {EXAMPLES}", quoted(text));
    let micro = Decimal::read(number).and_then(|read| read.rounded_micro(1)).ok_or_else(unreadable)?;
    let about = if by_eye { "about " } else { "" };
    let (value, written) = match unit.trim_start_matches(['°', 'º']).trim() {
        "" | "c" | "celsius" | "degrees" | "degrees c" | "degrees celsius" => (micro, String::new()),
        // NIST SP 811 (2008), B.9: °C = (°F − 32) ÷ 1.8; kept to a tenth.
        "f" | "fahrenheit" | "degrees f" | "degrees fahrenheit" => {
            let tenths = (micro - 32_000_000) / 180_000;
            (tenths * 100_000, format!(", from {number} °F"))
        }
        _ => return Err(unreadable()),
    };
    if value < 0 {
        return Err(format!(
            "{} is below freezing; look for a slip, or write it like {EXAMPLES}",
            quoted(text)
        ));
    }
    let value = Temperature::from_micro(value);
    Ok(Typed { value, echo: format!("{about}{value}{written}") })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn degrees_are_read_of_both_kinds_and_said_in_celsius() {
        let read = |text: &str| temperature(text).map(|typed| (typed.value.celsius(), typed.echo)).unwrap();
        assert_eq!(read("21"), (21.0, "21 °C".to_owned()));
        assert_eq!(read(" 21,5 °C "), (21.5, "21.5 °C".to_owned()));
        assert_eq!(read("about 22 c"), (22.0, "about 22 °C".to_owned()));
        // NIST SP 811 (2008), B.9: 70 °F is 21.1 °C, 212 °F is 100 °C.
        assert_eq!(read("70 °F"), (21.1, "21.1 °C, from 70 °F".to_owned()));
        assert!((read("212 f").0 - 100.0).abs() < 1e-9);
        assert!((read("23 degrees").0 - 23.0).abs() < 1e-9);
    }

    #[test]
    fn what_is_no_temperature_gets_a_sentence() {
        let wrong = |text: &str| temperature(text).unwrap_err();
        assert!(wrong("").starts_with("write a temperature, such as \"21 °C\""));
        assert!(wrong("warm").contains("is not a temperature"));
        assert!(wrong("21 mm").contains("is not a temperature"));
        assert!(wrong("-3").contains("below freezing"));
        assert!(wrong("20 °F").contains("below freezing"));
    }
}
