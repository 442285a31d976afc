//! What is said while not every order is read yet.

/// A number of orders: "3,000 orders". Where none is left, the copies that lie beside some are compared last.
pub fn orders(count: usize) -> String {
    if count == 0 {
        return "the copies beside the orders".to_owned();
    }
    let digits = count.to_string();
    let mut grouped = String::new();
    for (place, digit) in digits.chars().enumerate() {
        if place > 0 && (digits.len() - place).is_multiple_of(3) {
            grouped.push(',');
        }
        grouped.push(digit);
    }
    format!("{grouped} {}", if count == 1 { "order" } else { "orders" })
}

/// What stands under a list of orders that is not whole.
pub fn still(left: usize, is_going_on: bool) -> String {
    if is_going_on {
        format!("still reading {}", orders(left))
    } else {
        format!("{} not read yet; they are left alone until you ask for them", is_or_are(left))
    }
}

/// What stands beside what was found, or in place of "nothing found".
pub fn find(left: usize, found: usize, is_going_on: bool) -> String {
    let nothing = if found == 0 { "nothing found yet; " } else { "" };
    if is_going_on {
        format!("{nothing}still reading {}, and more may be found in them", orders(left))
    } else {
        format!("{nothing}{} not read yet, and more may be found in them", is_or_are(left))
    }
}

/// Beside what was found where some orders cannot be read, or in place of "nothing found". Whether they are damaged or a
/// newer version wrote them is told elsewhere.
pub fn find_without(unread: usize, found: usize) -> String {
    let nothing = if found == 0 { "nothing found; " } else { "" };
    format!(
        "{nothing}{} cannot be read and {} not looked through; safe keeping says why, and what to do",
        orders(unread),
        if unread == 1 { "is" } else { "are" }
    )
}

/// Why something has to wait: it must be held against every order.
pub fn not_yet(left: usize, is_going_on: bool) -> String {
    if is_going_on {
        format!(
            "still reading {}, and this has to be held against all of them; nothing was changed, try again in a moment",
            orders(left)
        )
    } else {
        format!(
            "{} not read yet, and this has to be held against all of them; nothing was changed, read them first",
            is_or_are(left)
        )
    }
}

/// Why an order that is not read yet cannot be opened or changed.
pub const AWAITED: &str = "its file has not been read yet; it can be changed once it has";

fn is_or_are(left: usize) -> String {
    format!("{} {}", orders(left), if left == 1 { "is" } else { "are" })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_list_that_is_not_whole_never_says_that_there_is_nothing() {
        assert_eq!(still(3_000, true), "still reading 3,000 orders");
        assert_eq!(still(1, true), "still reading 1 order");
        assert_eq!(still(0, true), "still reading the copies beside the orders");
        assert!(still(9_700, false).starts_with("9,700 orders are not read yet"));
        assert!(find(12, 0, true).starts_with("nothing found yet; still reading 12 orders"));
        assert!(!find(12, 3, true).contains("nothing found"));
        assert!(find_without(1, 0).starts_with("nothing found; 1 order cannot be read and is not"));
        assert!(find_without(2, 4).starts_with("2 orders cannot be read and are not looked through"));
        assert!(not_yet(1_234_567, false).starts_with("1,234,567 orders are not read yet"));
    }
}
