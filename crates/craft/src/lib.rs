//! The trade's numbers and rules, true without a computer: geometry, cure, planning, custody, fit, money.
//!
//! Craft **never** touches a file, a clock, a thread, a random number or a window. Time comes in as a value;
//! everything else is a pure function or a fold over facts.
//!
//! ```
//! use craft::client::Client;
//! use craft::fact::ClientFact;
//! use craft::id::ClientId;
//! use craft::moment::{BootId, Moment};
//! use craft::money::Currency;
//! use craft::order::{Remembered, Sheet};
//! use craft::policies::Policies;
//! use craft::stage::Stage;
//! use craft::studio::{ClientEdit, Edit, OrderEdit, Studio};
//! use craft::tag::Tag;
//!
//! # fn main() -> Result<(), Box<dyn std::error::Error>> {
//! let settings = Policies::new("studio-by-the-sea".parse()?, "The Boathouse".parse()?, Currency::EUR);
//! let mut studio = Studio::new(settings);
//! let now = Moment { utc_ms: 0, offset_min: 60, boot: BootId(1), since_boot_ms: 0, awake_ms: 0 };
//! let (ida, tag): (ClientId, Tag) = ("ida".parse()?, "A2B-C3H".parse()?);
//!
//! let client = Client { name: "Ida Lund".parse()?, ..Client::default() };
//! studio.apply(Edit::Client(ida.clone(), ClientEdit::Put(Box::new(client))), now)?;
//! let remembered = Remembered { name: "Kestrel".parse()?, ..Remembered::default() };
//! let sheet = Sheet { remembered, ..Sheet::default() };
//! let open = OrderEdit::Open { client: ida, sheet: Box::new(sheet) };
//! studio.apply(Edit::Order(tag, open), now)?;
//!
//! // What happened is a fact, and how far the order is follows from its facts.
//! assert_eq!(studio.order(tag)?.stage(), Stage::Asked);
//! studio.apply(Edit::Order(tag, OrderEdit::Fact(ClientFact::KitPosted.into())), now)?;
//! assert_eq!(studio.order(tag)?.stage(), Stage::KitSent);
//! # Ok(())
//! # }
//! ```

pub mod bubbles;
mod chance;
pub mod check;
pub mod client;
pub mod compare;
pub mod cure;
pub mod density;
pub mod digest;
pub mod dosing;
pub mod fact;
pub mod fit;
pub mod foreseen;
pub mod geometry;
pub mod hand;
pub mod heat;
pub mod hiding;
pub mod id;
pub mod learning;
pub mod ledger;
pub mod log;
pub mod metal;
pub mod moment;
pub mod money;
pub mod order;
pub mod packing;
pub mod paper;
pub mod place;
pub mod planner;
pub mod policies;
pub mod reading;
pub mod refusal;
pub mod ring;
pub mod scale;
pub mod shelf;
pub mod shrinkage;
pub mod similar;
pub mod spread;
pub mod stage;
pub mod studio;
pub mod tag;
#[cfg(any(test, feature = "testing"))]
#[doc(hidden)]
pub mod testing;
pub mod text;
pub mod trial;
pub mod units;
pub mod wait;
mod written;
