//! Photos kept by the fingerprint of their bytes, and papers kept as they were issued.

use std::fmt;
use std::path::{Path, PathBuf};
use std::str::FromStr;

use crate::folder::{StoreError, StudioFolder, disk, listed};
use crate::name::{NameError, check_name};
use crate::save::{Expect, Place, SaveError, SaveOutcome, durable_save};
use crate::vfs::EntryKind;
use craft::digest::Digest;

/// The largest photo that is kept, in bytes.
pub const PHOTO_CAP: u64 = 256 * 1024 * 1024;
/// The largest paper that is kept, in bytes.
pub const PAPER_CAP: u64 = 64 * 1024 * 1024;

/// The name of a kept photo: the fingerprint of its bytes and the ending of its kind.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct PhotoName {
    hash: Digest,
    ext: String,
}

impl PhotoName {
    /// The name that a photo of these bytes has.
    ///
    /// # Errors
    /// The ending is not 1 to 8 letters and digits; capitals are made small.
    pub fn of(bytes: &[u8], ext: &str) -> Result<Self, NameError> {
        Self::new(Digest::of(bytes), ext)
    }

    /// The name of the photo with this fingerprint.
    ///
    /// # Errors
    /// As [`PhotoName::of`].
    pub fn new(hash: Digest, ext: &str) -> Result<Self, NameError> {
        let small = ext.to_ascii_lowercase();
        let plain = |b: u8| b.is_ascii_lowercase() || b.is_ascii_digit();
        if !(1..=8).contains(&small.len()) || !small.bytes().all(plain) {
            return Err(NameError::Letters(ext.to_owned()));
        }
        Ok(Self { hash, ext: small })
    }

    /// The fingerprint of the photo's bytes.
    pub fn hash(&self) -> Digest {
        self.hash
    }

    /// The ending, without a dot.
    pub fn ext(&self) -> &str {
        &self.ext
    }
}

impl fmt::Display for PhotoName {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}.{}", self.hash, self.ext)
    }
}

impl FromStr for PhotoName {
    type Err = NameError;

    fn from_str(text: &str) -> Result<Self, NameError> {
        let wrong = || NameError::Letters(text.to_owned());
        let (hash, ext) = text.split_once('.').ok_or_else(wrong)?;
        let name = Self::new(hash.parse().map_err(|_not_a_hash| wrong())?, ext)?;
        if name.ext == ext { Ok(name) } else { Err(wrong()) }
    }
}

impl StudioFolder {
    /// Keeps the untouched original of a photo. Keeping it again changes nothing; a damaged copy under its
    /// name is mended, since these bytes are by their fingerprint what belongs there.
    ///
    /// # Errors
    /// It is not surely on the disk, or the ending cannot be used.
    pub fn keep_photo(&self, bytes: &[u8], ext: &str) -> Result<PhotoName, SaveError> {
        let name = PhotoName::of(bytes, ext)?;
        let dir = self.root().join("photos");
        self.keep(&dir, &name.to_string(), bytes, PHOTO_CAP, Clash::Mend)?;
        Ok(name)
    }

    /// The bytes of a kept photo, checked against its name; `None` only if there is no such file.
    ///
    /// # Errors
    /// Its contents have changed, a link is in its place, or the disk fails.
    pub fn photo(&self, name: &PhotoName) -> Result<Option<Vec<u8>>, StoreError> {
        let path = self.root().join("photos").join(name.to_string());
        let bytes = self.vfs().read(&path, PHOTO_CAP).map_err(disk(&path, "read"))?;
        match bytes {
            Some(bytes) if Digest::of(&bytes) != name.hash => Err(StoreError::Damaged { path }),
            other => Ok(other),
        }
    }

    /// The names of all kept photos; other files are left out.
    ///
    /// # Errors
    /// The disk fails.
    pub fn photos(&self) -> Result<Vec<PhotoName>, StoreError> {
        Ok(self.files_in(&self.root().join("photos"))?.iter().filter_map(|name| name.parse().ok()).collect())
    }

    /// Keeps a paper as it was issued, in the folder of its order. Issuing the same bytes again changes
    /// nothing.
    ///
    /// # Errors
    /// Another paper has this name, a name cannot be used, or it is not surely on the disk.
    pub fn issue_paper(&self, tag: &str, name: &str, bytes: &[u8]) -> Result<Digest, SaveError> {
        let dir = self.paper_folder(tag, name)?;
        let path = dir.join(name);
        self.may_write(&path)?;
        let papers = self.root().join("papers");
        self.settle(&papers)
            .map_err(|source| SaveError::from_io(&path, "make its folder", source).of_a_new_file())?;
        self.keep(&dir, name, bytes, PAPER_CAP, Clash::Refuse)?;
        Ok(Digest::of(bytes))
    }

    /// A paper as it was issued, checked against the fingerprint noted then; `None` only if there is no such
    /// file.
    ///
    /// # Errors
    /// Its contents have changed, a name cannot be used, or the disk fails.
    pub fn paper(&self, tag: &str, name: &str, issued: Digest) -> Result<Option<Vec<u8>>, StoreError> {
        let path = self.paper_folder(tag, name)?.join(name);
        let bytes = self.vfs().read(&path, PAPER_CAP).map_err(disk(&path, "read"))?;
        match bytes {
            Some(bytes) if Digest::of(&bytes) != issued => Err(StoreError::Damaged { path }),
            other => Ok(other),
        }
    }

    /// The names of the papers issued for an order.
    ///
    /// # Errors
    /// The tag cannot be a name, or the disk fails.
    pub fn papers(&self, tag: &str) -> Result<Vec<String>, StoreError> {
        let names = self.files_in(&self.paper_folder(tag, "any")?)?;
        Ok(names.into_iter().filter(|name| check_name(name).is_ok()).collect())
    }

    fn paper_folder(&self, tag: &str, name: &str) -> Result<PathBuf, NameError> {
        let tag = tag.to_ascii_lowercase();
        check_name(&tag)?;
        check_name(name)?;
        Ok(self.root().join("papers").join(tag))
    }

    fn files_in(&self, dir: &Path) -> Result<Vec<String>, StoreError> {
        let entries = listed(self.vfs(), dir)?.unwrap_or_default();
        let files = entries.into_iter().filter(|entry| entry.kind == EntryKind::File);
        Ok(files.filter_map(|entry| entry.name.into_string().ok()).collect())
    }

    /// Writes a file once.
    fn keep(&self, dir: &Path, name: &str, bytes: &[u8], cap: u64, clash: Clash) -> Result<(), SaveError> {
        self.try_to_keep(dir, name, bytes, (cap, clash)).map_err(SaveError::of_a_new_file)
    }

    fn try_to_keep(
        &self,
        dir: &Path,
        name: &str,
        bytes: &[u8],
        (cap, clash): (u64, Clash),
    ) -> Result<(), SaveError> {
        let path = dir.join(name);
        let failed = |step| {
            let path = path.clone();
            move |source| SaveError::from_io(&path, step, source)
        };
        self.may_write(&path)?;
        if bytes.len() as u64 > cap {
            return Err(failed("keep a file of this size")(crate::vfs::too_large(cap)));
        }
        self.settle(dir).map_err(failed("make its folder"))?;
        let ours = Digest::of(bytes);
        let found = match self.vfs().read(&path, cap) {
            Ok(found) => found.map(|found| Digest::of(&found)),
            Err(source) => return Err(failed("read what is there")(source)),
        };
        if found == Some(ours) {
            // It got its name only after its bytes were on the disk; the name itself may still be in doubt.
            return self.vfs().sync_dir(dir).map_err(failed("confirm it"));
        }
        if found.is_some() && clash == Clash::Refuse {
            return Err(SaveError::Issued { path });
        }
        let states = [found];
        let expect = Expect { states: Some(&states), cap, beside: None };
        match durable_save(self.vfs(), Place { dir, name }, bytes, expect) {
            SaveOutcome::Saved(_) => Ok(()),
            SaveOutcome::NotSaved(error) | SaveOutcome::InDoubt(error) => Err(error),
            SaveOutcome::Conflict { .. } => Err(SaveError::NotRead { path }),
        }
    }
}

/// What to do when other bytes have the name already.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Clash {
    /// Put the right bytes in their place.
    Mend,
    /// Leave them.
    Refuse,
}

#[cfg(test)]
mod tests {
    use std::os::unix::fs::symlink;
    use std::sync::Arc;

    use super::*;
    use crate::sim::{Fault, Op, SimVfs, Trouble};
    use crate::vfs::DiskVfs;

    const PIXELS: &[u8] = b"not really a photo";

    fn studio(disk: &SimVfs) -> StudioFolder {
        disk.put("/home/x", b"");
        StudioFolder::create(Path::new("/home/s"), Arc::new(disk.clone()), &1_u8).unwrap()
    }

    fn file(name: &PhotoName) -> PathBuf {
        Path::new("/home/s/photos").join(name.to_string())
    }

    #[test]
    fn a_photo_is_kept_once_under_its_fingerprint_and_read_back() {
        let disk = SimVfs::new();
        let folder = studio(&disk);
        let name = folder.keep_photo(PIXELS, "JPG").unwrap();
        assert_eq!(name.to_string(), format!("{}.jpg", Digest::of(PIXELS)));
        assert_eq!(name.to_string().parse(), Ok(name.clone()));
        assert_eq!((name.hash(), name.ext()), (Digest::of(PIXELS), "jpg"));
        disk.arm(Fault::once(99, Trouble::Device));
        assert_eq!(folder.keep_photo(PIXELS, "jpg").unwrap(), name);
        assert!(!disk.ops().contains(&Op::Write));
        assert_eq!(folder.photo(&name).unwrap().unwrap(), PIXELS);
        assert_eq!(folder.photos().unwrap(), [name]);
        assert_eq!(folder.photo(&PhotoName::of(b"other", "jpg").unwrap()).unwrap(), None);
    }

    #[test]
    fn a_changed_photo_is_told_and_keeping_it_again_mends_it() {
        let disk = SimVfs::new();
        let folder = studio(&disk);
        let name = folder.keep_photo(PIXELS, "jpg").unwrap();
        disk.put(file(&name), b"not really a phoXo");
        assert!(matches!(folder.photo(&name), Err(StoreError::Damaged { .. })));
        folder.keep_photo(PIXELS, "jpg").unwrap();
        assert_eq!(folder.photo(&name).unwrap().unwrap(), PIXELS);
    }

    #[test]
    fn a_kept_photo_survives_a_power_cut_whatever_failed_before() {
        for after in 0..14 {
            for (trouble, done_anyway) in
                [(Trouble::Device, false), (Trouble::Device, true), (Trouble::Full, false)]
            {
                let disk = SimVfs::new();
                let folder = studio(&disk);
                disk.arm(Fault { done_anyway, ..Fault::once(after, trouble) });
                let first = folder.keep_photo(PIXELS, "jpg");
                let fired = disk.disarm();
                assert_eq!(first.is_ok(), fired == 0, "{after} {trouble:?}");
                if let Err(error) = first {
                    let said = error.to_string();
                    assert!(said.ends_with(", then try again") && !said.contains("open here"), "{said}");
                }
                // Keeping it again must hold even if the first attempt was in doubt.
                let name = folder.keep_photo(PIXELS, "jpg").unwrap();
                for found in disk.crash_states() {
                    assert_eq!(found.get(file(&name)).as_deref(), Some(PIXELS), "{after} {trouble:?}");
                }
            }
        }
    }

    #[test]
    fn a_photo_and_a_paper_may_be_large() {
        let disk = SimVfs::new();
        let folder = studio(&disk);
        let large = vec![7; 1_200_000];
        let name = folder.keep_photo(&large, "jpg").unwrap();
        assert_eq!(folder.photo(&name).unwrap().as_ref(), Some(&large));
        let issued = folder.issue_paper("a2b-c3x", "proof.pdf", &large).unwrap();
        assert_eq!(folder.paper("a2b-c3x", "proof.pdf", issued).unwrap().as_ref(), Some(&large));
        // Up to what is read again, and no more.
        let dir = Path::new("/home/s/papers/a2b-c3x");
        let kept = |name: &str, bytes: &[u8]| folder.keep(dir, name, bytes, 5, Clash::Refuse);
        kept("five.pdf", b"12345").unwrap();
        let refused = kept("six.pdf", b"123456").unwrap_err().to_string();
        assert!(refused.contains("would not keep a file of this size"), "{refused}");
        assert_eq!(folder.papers("a2b-c3x").unwrap(), ["five.pdf", "proof.pdf"]);
    }

    #[test]
    fn a_link_at_a_photos_name_is_neither_followed_nor_replaced() {
        let dir = tempfile::tempdir().unwrap();
        let folder = StudioFolder::create(&dir.path().join("s"), Arc::new(DiskVfs), &1_u8).unwrap();
        let name = PhotoName::of(PIXELS, "jpg").unwrap();
        let outside = dir.path().join("outside.jpg");
        std::fs::write(&outside, PIXELS).unwrap();
        let link = folder.root().join("photos").join(name.to_string());
        symlink(&outside, &link).unwrap();
        assert!(matches!(folder.photo(&name), Err(StoreError::Disk { .. })));
        assert!(matches!(folder.keep_photo(PIXELS, "jpg"), Err(SaveError::NotKept { .. })));
        assert!(link.symlink_metadata().unwrap().is_symlink());
        std::fs::remove_file(&link).unwrap();
        assert!(folder.keep_photo(PIXELS, "jpg").is_ok());
        assert_eq!(std::fs::read(link).unwrap(), PIXELS);
    }

    #[test]
    fn an_issued_paper_is_never_changed() {
        let disk = SimVfs::new();
        let folder = studio(&disk);
        let issued = folder.issue_paper("A2B-C3X", "receipt.pdf", b"one").unwrap();
        assert_eq!(folder.issue_paper("A2B-C3X", "receipt.pdf", b"one").unwrap(), issued);
        assert!(matches!(
            folder.issue_paper("A2B-C3X", "receipt.pdf", b"two"),
            Err(SaveError::Issued { .. })
        ));
        assert_eq!(folder.paper("a2b-c3x", "receipt.pdf", issued).unwrap().unwrap(), b"one");
        assert_eq!(folder.papers("A2B-C3X").unwrap(), ["receipt.pdf"]);
        assert!(matches!(
            folder.paper("A2B-C3X", "receipt.pdf", Digest::of(b"two")),
            Err(StoreError::Damaged { .. })
        ));
        for found in disk.crash_states() {
            assert_eq!(found.get("/home/s/papers/a2b-c3x/receipt.pdf").unwrap(), b"one");
        }
    }

    #[test]
    fn names_that_lead_elsewhere_are_refused() {
        let folder = studio(&SimVfs::new());
        for (tag, name) in
            [("..", "a.pdf"), ("a", "../b.pdf"), ("a/b", "c.pdf"), ("a", ".c.pdf"), ("", "c.pdf")]
        {
            assert!(matches!(folder.issue_paper(tag, name, b"x"), Err(SaveError::Name(_))), "{tag} {name}");
        }
        for ext in ["", "j/g", "..", "123456789", "jpé"] {
            assert!(matches!(folder.keep_photo(PIXELS, ext), Err(SaveError::Name(_))), "{ext}");
        }
        for text in ["abc.jpg", &format!("{}.JPG", Digest::of(PIXELS)), &Digest::of(PIXELS).to_string()] {
            assert!(text.parse::<PhotoName>().is_err(), "{text}");
        }
    }
}
