//! Types that stand in a file as one short text: what `Display` writes, `FromStr` reads.

/// Gives a type with `Display` and `FromStr` its form in files.
macro_rules! written_as_text {
    ($name:ty) => {
        impl serde::Serialize for $name {
            fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
                serializer.collect_str(self)
            }
        }

        impl<'de> serde::Deserialize<'de> for $name {
            fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
                let text = <std::borrow::Cow<'de, str> as serde::Deserialize>::deserialize(deserializer)?;
                text.parse().map_err(<D::Error as serde::de::Error>::custom)
            }
        }
    };
}

pub(crate) use written_as_text;
