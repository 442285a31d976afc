//! A studio that is read in parts: each part is let in by the same checks elsewhere, and joined to the rest.

use std::sync::Arc;

use crate::id::DocId;
use crate::tag::Tag;

use super::{Doc, Held, Packed, Studio, Summary};
use crate::refusal::Refusal;

impl Studio {
    /// The same settings and shelf with no client, order or invoice: what a part is read into.
    ///
    /// Every check of [`Studio::take`] asks a document by itself and the settings, so what is let in there would have
    /// been let in here.
    #[must_use]
    pub fn for_a_part(&self) -> Self {
        Self { shelf: self.shelf.clone(), ..Self::new(self.policies.clone()) }
    }

    /// Takes in an order that lies packed and is over, by what was known of it when it was let in by the door; one that is
    /// here already stays as it is here.
    pub fn take_resting(&mut self, summary: Summary, packed: Arc<dyn Packed>) {
        self.orders.entry(summary.tag).or_insert_with(|| Held::resting(summary, packed));
    }

    /// Puts an order to rest where it is over; gives what is known of it then.
    pub fn lay_to_rest(&mut self, tag: Tag, packed: impl FnOnce() -> Arc<dyn Packed>) -> Option<&Summary> {
        let held = self.orders.get_mut(&tag)?;
        held.lay_to_rest(packed);
        held.at_rest()
    }

    /// The orders that are not at rest: of the others nothing stands open, lies in a cavity or passed to another order.
    pub fn awake(&self) -> impl Iterator<Item = (Tag, &Held)> + Clone {
        self.orders.iter().filter(|(_, held)| held.at_rest().is_none()).map(|(tag, held)| (*tag, held))
    }

    /// Lets orders at rest that were looked into take little room again, where there are more of them than `most`; the
    /// one that is looked at stays.
    pub fn fold_beyond(&mut self, most: usize, looked_at: Option<Tag>) {
        let unfolded = self.orders.values().filter(|held| held.is_unfolded()).count();
        if unfolded > most {
            let others = self.orders.iter_mut().filter(|(tag, _)| Some(**tag) != looked_at);
            others.for_each(|(_, held)| held.fold());
        }
    }

    /// Takes the orders, and what was locked, out into a part of their own; the rest stays.
    #[must_use]
    pub fn set_orders_apart(&mut self) -> Self {
        Self {
            orders: std::mem::take(&mut self.orders),
            locked: std::mem::take(&mut self.locked),
            ..Self::new(self.policies.clone())
        }
    }

    /// Lets a document in that could not be used before and can be now: it is locked no longer.
    ///
    /// # Errors
    /// As [`Studio::take`]; it stays locked then.
    pub fn take_anew(&mut self, doc: Doc) -> Result<(), Refusal> {
        let id = doc.id();
        self.take(doc)?;
        self.locked.remove(&id);
        Ok(())
    }

    /// Takes in what was read elsewhere. A document that was locked until it was read is locked no longer; one that
    /// is here already stays as it is here, and one that could not be read is locked with the reason.
    ///
    /// A part of another studio is not taken in at all; false then.
    pub fn join(&mut self, part: Self) -> bool {
        if part.policies.studio != self.policies.studio {
            return false;
        }
        self.locked.extend(part.locked);
        for (id, client) in part.clients {
            self.locked.remove(&DocId::Client(id.clone()));
            self.clients.entry(id).or_insert(client);
        }
        for (tag, held) in part.orders {
            self.locked.remove(&DocId::Order(tag));
            self.orders.entry(tag).or_insert(held);
        }
        for (year, series) in part.invoices {
            self.locked.remove(&DocId::Invoices(year));
            self.invoices.entry(year).or_insert(series);
        }
        true
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::client::Client;
    use crate::money::Currency;
    use crate::policies::Policies;

    fn studio(id: &str) -> Studio {
        Studio::new(Policies::new(id.parse().unwrap(), "The Boathouse".parse().unwrap(), Currency::EUR))
    }

    fn client(id: &str, name: &str) -> Doc {
        Doc::Client(
            id.parse().unwrap(),
            Box::new(Client { name: name.parse().unwrap(), ..Client::default() }),
        )
    }

    #[test]
    fn a_part_is_joined_unlocked_and_never_put_over_what_is_here() {
        let mut whole = studio("one");
        whole.take(client("c01", "Ida")).unwrap();
        let waiting = DocId::Client("c02".parse().unwrap());
        whole.lock(waiting.clone(), "still being read".to_owned());
        let mut part = whole.for_a_part();
        assert!(part.clients().is_empty() && part.locked().is_empty());
        part.take(client("c01", "Another")).unwrap();
        part.take(client("c02", "Noor")).unwrap();
        let torn = DocId::Client("c03".parse().unwrap());
        part.lock(torn.clone(), "torn".to_owned());
        assert!(whole.join(part));
        let names: Vec<&str> = whole.clients().values().map(|client| client.name.as_str()).collect();
        assert_eq!(names, ["Ida", "Noor"]);
        assert_eq!(whole.locked().keys().collect::<Vec<_>>(), [&torn]);
    }

    #[test]
    fn a_part_of_another_studio_is_not_taken_in() {
        let mut whole = studio("one");
        let mut part = studio("two");
        part.take(client("c01", "Ida")).unwrap();
        assert!(!whole.join(part));
        assert!(whole.clients().is_empty());
    }
}
