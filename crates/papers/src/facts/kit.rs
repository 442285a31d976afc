//! The sending sheet's facts, and ready words for the usual materials.

use serde::Serialize;

use super::Header;

/// The sending sheet: how to pack it at home, how much is enough, where to send it.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
pub struct KitFacts {
    /// What stands at the head and the foot.
    pub header: Header,
    /// A few kind words before the steps. May be empty.
    pub hello: String,
    /// One guide for each material that is coming, most often one.
    pub guides: Vec<KitGuide>,
    /// Where to send it, one line of the address each, in posting order. The country is the last
    /// line.
    pub return_to: Vec<String>,
    /// When it is awaited, as a whole phrase. May be empty.
    pub send_by: String,
    /// What the post allows. [`KitFacts::ASK_THE_CARRIER`] is the usual one.
    pub carrier: String,
}

impl KitFacts {
    /// The usual caution about the post.
    pub const ASK_THE_CARRIER: &'static str = "Before you post it, ask your carrier whether they take what you are sending, and how it must \
         be declared: many restrict ashes, and some refuse them. Choose a tracked service with a signature. \
         Compensation covers a sum of money, never what is inside.";
}

/// How to pack one material at home.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
pub struct KitGuide {
    /// The material, for example `Hair or fur`.
    pub material: String,
    /// How much is enough, as a whole sentence.
    pub enough: String,
    /// The steps, in order.
    pub steps: Vec<String>,
    /// What to take care of. May be empty.
    pub care: String,
}

impl KitGuide {
    /// Hair or fur. The amounts are common practice, no source.
    pub fn hair() -> Self {
        Self::of(
            "Hair or fur",
            "A lock as thick as a pencil lead and as long as your finger is plenty. Send less if you have less.",
            &[
                "Leave it as it is: unwashed is fine. It must be quite dry.",
                "Tie the lock in two places with thread, or fold loose fur into a sheet of plain paper.",
                "Lay it in the small bag, press the air out and close it. Write the tag on the label.",
            ],
            "Use no sticky tape on the hair: it cannot be taken off again.",
        )
    }

    /// Ashes. That they are a fine alkaline dust is common knowledge of the trade, no source.
    pub fn ashes() -> Self {
        Self::of(
            "Ashes",
            "Half a teaspoon is plenty. A pinch is enough for one stone.",
            &[
                "Choose a still room and lay out a sheet of paper to work over.",
                "Spoon the ashes into the small bag, wipe its mouth clean and close it.",
                "Put that bag into the second bag, close it too, and write the tag on the label.",
            ],
            "Ashes are a fine, alkaline dust: do not breathe it in, keep it from your eyes, and wash your hands \
             afterwards. Keep the rest where it is; do not send all you have.",
        )
    }

    /// Petals or a pressed flower.
    pub fn petals() -> Self {
        Self::of(
            "Petals or a dried flower",
            "Five to ten small petals, or one flower head, are plenty.",
            &[
                "Let them dry between sheets of plain paper under a book for two weeks, until they rustle.",
                "Lay them flat between two pieces of card, in one layer, and tape the card at its edges.",
                "Put the card into the bag and write the tag on the label.",
            ],
            "Damp petals spoil on the way and cannot be saved. Colours may deepen or fade in the stone.",
        )
    }

    /// Dried milk. The amount and the way of sending are common practice, no source.
    pub fn milk() -> Self {
        Self::of(
            "Milk",
            "A tablespoon of milk, dried, is plenty.",
            &[
                "Send it only as dry powder: liquid or frozen milk spoils in the post.",
                "Spoon the cool, dry powder into the small bag, press the air out and close it.",
                "Put that bag into the second bag, close it too, and write the tag on the label.",
            ],
            "Keep the powder dry and away from warmth until it is posted. Ask first if yours is not dried yet.",
        )
    }

    fn of(material: &str, enough: &str, steps: &[&str], care: &str) -> Self {
        Self {
            material: material.to_owned(),
            enough: enough.to_owned(),
            steps: steps.iter().map(|&step| step.to_owned()).collect(),
            care: care.to_owned(),
        }
    }
}
