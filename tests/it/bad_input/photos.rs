//! Files that are no photos.

use workbench::action::{Job, Source};

use super::*;

/// A PNG that says it is `width` × `height` and holds nothing else.
fn png_header(width: u32, height: u32) -> Vec<u8> {
    // Portable Network Graphics (PNG) Specification, third edition, W3C 2025, 5.2 and 11.2.1.
    let mut png = b"\x89PNG\r\n\x1a\n\0\0\0\x0dIHDR".to_vec();
    png.extend(width.to_be_bytes());
    png.extend(height.to_be_bytes());
    png.extend([8, 2, 0, 0, 0]);
    png.extend([0; 4]);
    png
}

#[test]
fn what_is_not_a_photo_is_refused_by_name_and_nothing_is_kept() {
    let two = Two::new();
    let heic = b"\0\0\0\x18ftypheic\0\0\0\0mif1heic";
    let cases: [(&str, &[u8], &str); 6] = [
        ("empty.jpg", b"", "this photo is empty: copy it again from the camera or phone"),
        (
            "notes.jpg",
            b"hair, 482 mg, blue tissue\n",
            "this is a text file, not a photo that can be kept here: a JPEG or PNG is right",
        ),
        (
            "phone.jpg",
            heic,
            "this is a HEIC photo, which only some programs can read: export it as JPEG and add that",
        ),
        // Both are 33 bytes long: the size is looked at before a single pixel is, or they would be cut short.
        (
            "wide.png",
            &png_header(2_000_000_000, 2_000_000_000),
            "this photo is 2000000000 × 2000000000 px: at most 20000 px a side and 64 megapixels can be read, so save a \
             smaller copy",
        ),
        (
            "large.png",
            &png_header(19_000, 19_000),
            "this photo is 19000 × 19000 px: at most 20000 px a side and 64 megapixels can be read, so save a smaller \
             copy",
        ),
        ("short.png", &png_header(40, 30), "this photo is cut short: copy it again from the camera or phone"),
    ];
    let before = contents(&two.bench.root());
    let mut session = two.session();
    for (name, bytes, sentence) in cases {
        let file = two.bench.dir.path().join(name);
        std::fs::write(&file, bytes).unwrap();
        for source in [Source::File(file.clone()), Source::Bytes(bytes.into())] {
            let named = matches!(source, Source::File(_));
            let job = Job::TakePhoto { tag: two.one, of: None, caption: "as taken".parse().unwrap(), source };
            let said = session.act_and_settle(Action::Start(job)).unwrap_err().to_string();
            let wanted = if named { format!("{}: {sentence}", file.display()) } else { sentence.to_owned() };
            assert_eq!(said, wanted);
        }
        assert_eq!(std::fs::read(&file).unwrap(), bytes, "what was picked is untouched");
    }
    let gone = two.bench.dir.path().join("gone.jpg");
    let source = Source::File(gone.clone());
    let job = Job::TakePhoto { tag: two.one, of: None, caption: "as taken".parse().unwrap(), source };
    let said = session.act_and_settle(Action::Start(job)).unwrap_err().to_string();
    assert!(said.starts_with(&format!("{} could not be read: ", gone.display())), "{said}");
    assert_eq!(contents(&two.bench.root()), before);
    // The order is still usable.
    session.act_and_settle(fact(two.one, ClientFact::KitPosted)).unwrap();
}
