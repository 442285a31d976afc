//! Ten thousand orders, written as files that a studio of many years would have.

use std::path::Path;

use craft::client::Client;
use craft::fact::ClientFact;
use craft::id::ClientId;
use craft::order::{Remembered, Sheet};
use craft::studio::{ClientEdit, Doc, Edit, OrderEdit, Studio};
use craft::tag::Tag;
use store::format::encode;
use workbench::clock::Clock as _;
use workbench::open::path_of;

use crate::support::HandClock;

/// Adds so many orders to the studio in `root`; every third has been answered, every ninth has had its kit posted.
pub(crate) fn add_orders(root: &Path, studio: &Studio, clock: &HandClock, count: u32) {
    let mut studio = studio.clone();
    let now = clock.now();
    let client: ClientId = "many".parse().unwrap();
    let many = Client { name: "Marguerite Many".parse().unwrap(), ..Client::default() };
    let mut touched =
        vec![studio.apply(Edit::Client(client.clone(), ClientEdit::Put(Box::new(many))), now).unwrap().doc];
    let tags = (50_000..).filter_map(Tag::from_number).filter(|tag| !studio.orders().contains_key(tag));
    let tags: Vec<Tag> = tags.take(count as usize).collect();
    for (place, tag) in tags.into_iter().enumerate() {
        let remembered =
            Remembered { name: format!("Someone {place}").parse().unwrap(), ..Remembered::default() };
        let due = now.day().checked_add_days(chrono::Days::new(place as u64 % 400));
        let sheet = Sheet { remembered, due, ..Sheet::default() };
        let open = OrderEdit::Open { client: client.clone(), sheet: Box::new(sheet) };
        touched.push(studio.apply(Edit::Order(tag, open), now).unwrap().doc);
        if place % 3 == 0 {
            studio.apply(Edit::Order(tag, OrderEdit::Fact(ClientFact::Answered.into())), now).unwrap();
        }
        if place % 9 == 0 {
            studio.apply(Edit::Order(tag, OrderEdit::Fact(ClientFact::KitPosted.into())), now).unwrap();
        }
    }
    for id in touched {
        let path = path_of(&id).unwrap();
        let text = match studio.doc(&id).unwrap() {
            Doc::Client(_, client) => encode(path.kind(), &*client),
            Doc::Order(order) => encode(path.kind(), &*order),
            other => panic!("{other:?}"),
        };
        std::fs::write(root.join(path.to_string()), text.unwrap()).unwrap();
    }
}
