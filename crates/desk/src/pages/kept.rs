//! What a page has worked out, kept until what it rests on changes.

/// Something worked out of a key: made anew only where the key is another one. A key holds the revision of the studio.
#[derive(Debug)]
pub(super) struct Kept<K, V>(Option<(K, V)>);

impl<K, V> Default for Kept<K, V> {
    fn default() -> Self {
        Self(None)
    }
}

impl<K: PartialEq, V> Kept<K, V> {
    /// As it was for this key, else made now.
    pub(super) fn get(&mut self, of: K, make: impl FnOnce() -> V) -> &V {
        let known = self.0.take().filter(|(key, _)| *key == of);
        &self.0.insert(known.unwrap_or_else(|| (of, make()))).1
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::cell::Cell;

    #[test]
    fn it_is_worked_out_once_for_each_key() {
        let made = Cell::new(0);
        let mut kept = Kept::default();
        let look = |kept: &mut Kept<(u8, u64), u32>, of: (u8, u64)| {
            *kept.get(of, || {
                made.set(made.get() + 1);
                made.get()
            })
        };
        assert_eq!([look(&mut kept, (1, 7)), look(&mut kept, (1, 7)), look(&mut kept, (1, 7))], [1; 3]);
        assert_eq!(look(&mut kept, (1, 8)), 2, "the studio has changed");
        assert_eq!(look(&mut kept, (2, 8)), 3, "another one");
        assert_eq!(look(&mut kept, (1, 8)), 4, "only the newest is kept");
    }
}
