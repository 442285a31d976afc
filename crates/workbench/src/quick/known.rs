//! Clients that are known already, found while a name is typed.

use craft::id::ClientId;
use craft::moment::Moment;
use craft::order::{Remembered, Sheet};
use craft::studio::{Edit, OrderEdit, Studio};
use craft::text::Line;

use super::{Field, Wrong, fresh};
use crate::present::words::folded;

/// A client that may be meant.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Known {
    /// Their id.
    pub id: ClientId,
    /// Their name.
    pub name: String,
    /// What tells two of one name apart: how they are reached; may be empty.
    pub apart: String,
}

/// The clients of whose name a word begins with what was typed, those whose whole name does in front; `most` of them at
/// most, none for an empty text. Letters' size and accents do not matter.
pub fn known_clients(studio: &Studio, text: &str, most: usize) -> Vec<Known> {
    let wanted = folded(text.trim());
    if wanted.is_empty() {
        return Vec::new();
    }
    let begins = |name: &str| {
        let starts = name.char_indices().filter(|(at, _)| {
            *at == 0 || name.get(..*at).is_some_and(|before| before.ends_with([' ', '-', '\'']))
        });
        starts
            .into_iter()
            .find_map(|(at, _)| name.get(at..).filter(|rest| rest.starts_with(&wanted)).map(|_| at))
    };
    let mut found: Vec<(usize, Known)> = studio
        .clients()
        .iter()
        .filter_map(|(id, client)| {
            let at = begins(&folded(client.name.as_str()))?;
            let (name, apart) = (client.name.to_string(), client.contact.to_string());
            Some((at, Known { id: id.clone(), name, apart }))
        })
        .collect();
    found.sort_by(|(at, a), (other, b)| (*at > 0, &a.name, &a.id).cmp(&(*other > 0, &b.name, &b.id)));
    found.into_iter().map(|(_, known)| known).take(most).collect()
}

/// A new enquiry of a known client; the name of the one remembered may still be unknown.
///
/// # Errors
/// There is no such client, or the name cannot be kept; field by field.
pub fn new_order_for(studio: &Studio, name: &str, known: &ClientId, now: Moment) -> Result<Vec<Edit>, Wrong> {
    let Some(client) = studio.clients().get(known) else {
        return Err(vec![(Field::Client, format!("there is no client {known}; write the name"))]);
    };
    let name = name.trim();
    let someone = format!("Someone of {}", client.name);
    let line: Line = if name.is_empty() { &someone } else { name }
        .parse()
        .map_err(|why: craft::text::TextError| vec![(Field::Name, why.to_string())])?;
    let tag = fresh::tag_for(studio, &[name, client.name.as_str()], now).ok_or_else(|| {
        vec![(Field::Tag, "every tag there is has been given; nothing more can be opened".to_owned())]
    })?;
    let remembered = Remembered { name: line, ..Remembered::default() };
    let sheet = Box::new(Sheet { remembered, ..Sheet::default() });
    Ok(vec![Edit::Order(tag, OrderEdit::Open { client: known.clone(), sheet })])
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::present::sample::{at, line, studio};
    use craft::client::Client;
    use craft::studio::ClientEdit;

    fn with(names: &[(&str, &str)]) -> Studio {
        let mut studio = studio();
        for (id, name) in names {
            let client = Client { name: line(name), ..Client::default() };
            let edit = Edit::Client(id.parse().unwrap(), ClientEdit::Put(Box::new(client)));
            studio.apply(edit, at(0)).unwrap();
        }
        studio
    }

    #[test]
    fn a_client_is_found_by_any_word_of_the_name_the_beginning_first() {
        let studio = with(&[
            ("a1", "Mara Lund-Ödegaard"),
            ("a2", "Odette Mara"),
            ("a3", "Amara"),
            ("a4", "Mara Lund-Ödegaard"),
        ]);
        let found = |text: &str| -> Vec<String> {
            known_clients(&studio, text, 5).into_iter().map(|known| known.id.to_string()).collect()
        };
        assert_eq!(found("mara"), ["a1", "a4", "a2"], "Amara only holds the letters");
        assert_eq!(found("ode"), ["a2", "a1", "a4"]);
        assert_eq!(found("  "), Vec::<String>::new());
        assert_eq!(known_clients(&studio, "mara", 2).len(), 2);
    }

    #[test]
    fn an_order_is_opened_for_the_very_client_that_was_picked() {
        let mut studio = with(&[("a1", "Mara"), ("a2", "Mara")]);
        assert!(
            super::super::new_order(&studio, "Fleck", "Mara", at(0)).is_err(),
            "the name alone cannot tell"
        );
        let id = "a2".parse().unwrap();
        let edits = new_order_for(&studio, "Fleck", &id, at(0)).unwrap();
        for edit in edits {
            studio.apply(edit, at(0)).unwrap();
        }
        let held = studio.orders().values().find(|held| held.order.client == id).unwrap();
        assert_eq!(held.order.sheet.remembered.name.as_str(), "Fleck");
        assert_eq!(new_order_for(&studio, "", &id, at(0)).unwrap().len(), 1, "the name can wait");
        assert!(new_order_for(&studio, "Fleck", &"zz".parse().unwrap(), at(0)).is_err());
    }
}
