//! Pure check-character systems in the manner of ISO/IEC 7064 ("MOD p, r"): the sum of value × r^place is 1 modulo p.

/// The check value that makes `payload` (most significant first) satisfy the pure system (`modulus`, `radix`).
///
/// The check stands at place 0, so the payload's last value is weighted by `radix`. Every payload value must be
/// below `modulus`. Source: ISO/IEC 7064:2003, pure systems.
pub fn pure_check(payload: impl IntoIterator<Item = u32>, modulus: u32, radix: u32) -> u32 {
    let carried = payload.into_iter().fold(0, |sum, value| (sum + value) * radix % modulus);
    (modulus + 1 - carried) % modulus
}

#[cfg(test)]
mod tests {
    use super::*;

    fn digits(text: &str) -> Vec<u32> {
        text.chars().map(|c| c.to_digit(36).unwrap()).collect()
    }

    #[test]
    fn the_pure_rule_gives_the_values_a_reference_library_gives() {
        // python-stdnum 2.2, stdnum.iso7064 (mod_11_2, mod_37_2), docstring examples.
        assert_eq!(pure_check(digits("0794"), 11, 2), 0);
        assert_eq!(pure_check(digits("079"), 11, 2), 10, "written X");
        assert_eq!(pure_check(digits("G123489654321"), 37, 2), 34, "written Y");
        assert_eq!(pure_check(digits("A999914123456"), 37, 2), 23, "written N");
        assert_eq!(pure_check(digits("H26001"), 37, 2), 9);
    }

    #[test]
    fn a_hybrid_rule_in_its_place_would_be_noticed() {
        let hybrid = |values: Vec<u32>| {
            let sum = values.into_iter().fold(10, |p, v| {
                let s = (p + v) % 10;
                (if s == 0 { 10 } else { s }) * 2 % 11
            });
            (11 - sum) % 10
        };
        assert_ne!(hybrid(digits("0794")), 0, "MOD 11,10 gives 5 where MOD 11-2 gives 0");
    }
}
