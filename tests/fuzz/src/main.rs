//! One program for every reader: `HELDFAST_FUZZ=order heldfast-fuzz FOLDER…`. What it is told on the command line is the
//! fuzzer's own (`-runs=`, `-max_total_time=`, `-dict=`, folders of inputs).
#![cfg_attr(fuzzing, no_main)]

// The program's own reader, without the window around it.
#[path = "../../../crates/desk/src/platform/prefs.rs"]
#[allow(dead_code)]
mod prefs;

use std::sync::OnceLock;

use heldfast_tests::loaders::{Law, mutate, named};
use libfuzzer_sys::{fuzz_mutator, fuzz_target, fuzzer_mutate};
use prefs::Preferences;

/// The reader that is asked for.
fn chosen() -> fn(&[u8]) -> Law {
    static CHOSEN: OnceLock<fn(&[u8]) -> Law> = OnceLock::new();
    *CHOSEN.get_or_init(|| {
        let name = std::env::var("HELDFAST_FUZZ").unwrap_or_default();
        match named(&name) {
            Some(loader) => loader.check,
            None if name == "preferences" => preferences,
            None => panic!("there is no reader \"{name}\""),
        }
    })
}

/// The preferences: what is broken is put aside and said; what was read is kept and read again as the same.
fn preferences(bytes: &[u8]) -> Law {
    static HERE: OnceLock<tempfile::TempDir> = OnceLock::new();
    let shared = std::path::Path::new("/dev/shm");
    let dir = HERE.get_or_init(|| {
        if shared.is_dir() { tempfile::tempdir_in(shared) } else { tempfile::tempdir() }.expect("a folder")
    });
    let file = dir.path().join(prefs::FILE);
    std::fs::write(&file, bytes).map_err(|why| why.to_string())?;
    let (read, said) = Preferences::load(dir.path());
    if let Some(said) = said {
        let aside = std::fs::read(dir.path().join(prefs::BROKEN)).map_err(|why| why.to_string())?;
        let usual = read == Preferences::default() && aside == bytes && said.contains(prefs::FILE);
        return if usual { Ok(()) } else { Err(format!("broken, and {read:?}: {said}")) };
    }
    read.save(dir.path()).map_err(|why| why.to_string())?;
    let (back, said) = Preferences::load(dir.path());
    let same = back == read && said.is_none();
    if same { Ok(()) } else { Err(format!("{read:?} reads back as {back:?}: {said:?}")) }
}

fuzz_target!(|bytes: &[u8]| {
    if let Err(law) = chosen()(bytes) {
        panic!("{law}");
    }
});

// Every other change is one that keeps the shape of a document; the others are the fuzzer's own.
fuzz_mutator!(|data: &mut [u8], size: usize, max_size: usize, seed: u32| {
    if seed % 2 == 0 {
        return fuzzer_mutate(data, size, max_size);
    }
    let mut dice = mutate::Dice::new(u64::from(seed));
    let input = data[..size].to_vec();
    let changed = mutate::changed(&input, &input, &mut dice);
    let size = changed.len().min(max_size).min(data.len());
    data[..size].copy_from_slice(&changed[..size]);
    size
});

#[cfg(not(fuzzing))]
fn main() {
    eprintln!("this is built by .ci/deep fuzz");
}
