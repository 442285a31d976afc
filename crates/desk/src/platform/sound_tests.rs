//! The bell against the published layout of a WAV file, and who plays it.

use std::f64::consts::TAU;

use super::{RATE, Sound, SoundError, bell, samples};
use crate::platform::Programs;

/// What a reader of WAV files finds, or what is wrong. Offsets and fields after IBM and Microsoft, *Multimedia
/// Programming Interface and Data Specifications 1.0*, August 1991, chapter 3: RIFF head, `fmt ` chunk with
/// wFormatTag, wChannels, dwSamplesPerSec, dwAvgBytesPerSec, wBlockAlign, wBitsPerSample, then the `data` chunk.
fn read_wav(wav: &[u8]) -> Result<(u16, u32, Vec<i16>), &'static str> {
    let word = |at: usize| u16::from_le_bytes([wav[at], wav[at + 1]]);
    let long = |at: usize| u32::from(word(at)) | (u32::from(word(at + 2)) << 16);
    if wav.len() < 44 || &wav[..4] != b"RIFF" || &wav[8..12] != b"WAVE" {
        return Err("not a RIFF file of form WAVE");
    }
    if long(4) as usize != wav.len() - 8 {
        return Err("the RIFF chunk counts all bytes but its own eight");
    }
    if &wav[12..16] != b"fmt " || long(16) != 16 || word(20) != 1 {
        return Err("the format chunk of WAVE_FORMAT_PCM has 16 bytes");
    }
    let (channels, rate, per_second, align, bits) = (word(22), long(24), long(28), word(32), word(34));
    if bits != 16 || align != channels * bits / 8 {
        return Err("the block alignment is the channels times the bytes of a sample");
    }
    if per_second != rate * u32::from(align) {
        return Err("the bytes of a second are the rate times the block alignment");
    }
    if &wav[36..40] != b"data" || long(40) as usize != wav.len() - 44 {
        return Err("the data chunk counts the bytes after it");
    }
    Ok((channels, rate, wav[44..].chunks(2).map(|pair| i16::from_le_bytes([pair[0], pair[1]])).collect()))
}

#[test]
fn the_bell_is_a_wav_file_of_one_channel() {
    let (channels, rate, read) = read_wav(&bell()).unwrap();
    assert_eq!((channels, rate), (1, 44_100));
    assert_eq!(read, samples());
    let seconds = read.len() as f64 / f64::from(rate);
    assert!((seconds - 1.2).abs() < 1e-9, "{seconds}");
}

#[test]
fn a_wrong_head_is_caught() {
    // Each of these bytes belongs to one of the head's fields; one wrong bit in any is told.
    for (at, field) in
        [(0, "RIFF"), (5, "size"), (9, "WAVE"), (16, "fmt size"), (20, "tag"), (22, "channels")]
            .into_iter()
            .chain([
                (24, "rate"),
                (29, "bytes a second"),
                (32, "align"),
                (34, "bits"),
                (37, "data"),
                (41, "data size"),
            ])
    {
        let mut broken = bell();
        broken[at] ^= 4;
        assert!(read_wav(&broken).is_err(), "{field}");
    }
}

/// What is wrong with the shape of the sound, if anything.
fn ill_shaped(wave: &[i16]) -> Option<&'static str> {
    let loudest = wave.iter().map(|value| value.unsigned_abs()).max().unwrap_or_default();
    if wave.first() != Some(&0) || wave.last() != Some(&0) {
        return Some("it clicks: it does not start and end at zero");
    }
    if loudest > i16::MAX.unsigned_abs() / 2 {
        return Some("it is too loud");
    }
    if loudest < i16::MAX.unsigned_abs() / 4 {
        return Some("it is too quiet");
    }
    let step = wave.windows(2).map(|pair| pair[0].abs_diff(pair[1])).max().unwrap_or_default();
    // Half the peak within one sample would be a corner that is heard.
    (step > loudest / 2).then_some("it jumps")
}

#[test]
fn the_bell_is_calm_and_neither_clips_nor_clicks() {
    let wave = samples();
    assert_eq!(ill_shaped(&wave), None);
    assert_eq!(
        ill_shaped(&wave[..wave.len() / 2 + 11]),
        Some("it clicks: it does not start and end at zero")
    );
    let louder: Vec<i16> = wave.iter().map(|value| value.saturating_mul(3)).collect();
    assert_eq!(ill_shaped(&louder), Some("it is too loud"));
    let quieter: Vec<i16> = wave.iter().map(|value| value / 3).collect();
    assert_eq!(ill_shaped(&quieter), Some("it is too quiet"));
    let mut cut = wave;
    cut[9_000..30_000].fill(0);
    cut[12_000] = 12_000;
    assert_eq!(ill_shaped(&cut), Some("it jumps"));
}

/// How strong one pitch is, by correlation with a sine and a cosine.
fn strength(wave: &[i16], hertz: f64) -> f64 {
    let turns = |sample: usize| TAU * hertz * sample as f64 / f64::from(RATE);
    let sum = |part: fn(f64) -> f64| -> f64 {
        wave.iter().enumerate().map(|(sample, value)| f64::from(*value) * part(turns(sample))).sum()
    };
    sum(f64::sin).hypot(sum(f64::cos)) / wave.len() as f64
}

#[test]
fn it_is_an_e_and_then_a_c() {
    // E5 = 659.26 Hz and C5 = 523.25 Hz in equal temperament from A4 = 440 Hz (ISO 16:1975; the two values as printed
    // in common tables, from memory).
    let wave = samples();
    let (first, second) = wave.split_at(18_522);
    let (e, c, between) = (659.26, 523.25, 587.33);
    assert!(strength(first, e) > 5.0 * strength(first, c), "the first note is E");
    assert!(strength(first, e) > 5.0 * strength(first, between), "and not one beside it");
    assert!(strength(second, c) > 2.0 * strength(second, e), "the second note is C");
    assert!(strength(second, c) > 5.0 * strength(second, between), "and not one beside it");
}

#[test]
fn without_a_player_the_words_name_the_packages() {
    let empty = tempfile::tempdir().unwrap();
    let sound = Sound::new(empty.path(), Programs::in_folders(vec![empty.path().to_owned()]));
    let error = sound.ring().unwrap_err();
    assert!(matches!(error, SoundError::NoPlayer), "{error}");
    for package in ["pipewire-bin", "pulseaudio-utils", "alsa-utils"] {
        assert!(error.to_string().contains(package), "{error}");
    }
}

#[cfg(unix)]
mod played {
    use std::fs::OpenOptions;
    use std::io::Write as _;
    use std::path::Path;
    use std::process::Command;
    use std::time::Duration;

    use super::super::AT_ONCE;
    use super::{Programs, Sound, SoundError, bell};
    use crate::platform::programs::testing::fake;

    fn rung(dir: &Path, cache: &Path) -> Result<(), SoundError> {
        let ringing = Sound::new(cache, Programs::in_folders(vec![dir.to_owned()])).ring()?;
        ringing.0.recv().unwrap()
    }

    #[test]
    fn the_best_player_plays_the_whole_bell() {
        let dir = tempfile::tempdir().unwrap();
        let heard = dir.path().join("heard.wav");
        fake(dir.path(), "pw-play", &format!("cp \"$1\" '{}'", heard.display()));
        fake(dir.path(), "aplay", "exit 1");
        let cache = dir.path().join("a").join("cache");
        rung(dir.path(), &cache).unwrap();
        assert_eq!(std::fs::read(&heard).unwrap(), bell());
        // One that was cut short is made whole again.
        std::fs::write(cache.join("bell.wav"), b"RIFF").unwrap();
        rung(dir.path(), &cache).unwrap();
        assert_eq!(std::fs::read(&heard).unwrap(), bell());
        assert_eq!(std::fs::read_dir(&cache).unwrap().count(), 1, "nothing else is left in the cache");
    }

    #[test]
    fn a_player_that_gives_up_is_followed_by_the_next() {
        let dir = tempfile::tempdir().unwrap();
        let heard = dir.path().join("heard.wav");
        fake(dir.path(), "pw-play", "echo 'no server' >&2; exit 1");
        // Its interpreter is not here, so it is found but cannot be started.
        fake(dir.path(), "paplay", "");
        std::fs::write(dir.path().join("paplay"), "#!/nowhere/at/all\n").unwrap();
        fake(dir.path(), "aplay", &format!("cp \"$1\" '{}'", heard.display()));
        rung(dir.path(), dir.path()).unwrap();
        assert_eq!(std::fs::read(&heard).unwrap(), bell());
    }

    #[test]
    fn when_all_give_up_the_last_ones_words_are_told() {
        let dir = tempfile::tempdir().unwrap();
        fake(dir.path(), "pw-play", "exit 1");
        fake(dir.path(), "aplay", "echo 'no such card' >&2; exit 1");
        let said = rung(dir.path(), dir.path()).unwrap_err().to_string();
        assert_eq!(said, "the alarm made no sound; aplay could not play it: no such card");
    }

    #[test]
    fn a_player_that_hangs_is_not_joined_by_ever_more() {
        let dir = tempfile::tempdir().unwrap();
        let gate = dir.path().join("gate");
        assert!(Command::new("mkfifo").arg(&gate).status().unwrap().success());
        // Open at both ends, so that nobody waits for the other end; each player leaves with one line of it.
        let mut gate_keeper = OpenOptions::new().read(true).write(true).open(&gate).unwrap();
        fake(dir.path(), "aplay", &format!("read line < '{}'", gate.display()));
        let sound = Sound::new(dir.path(), Programs::in_folders(vec![dir.path().to_owned()]));
        let ringing: Vec<_> = (0..AT_ONCE).map(|_| sound.ring().unwrap()).collect();
        assert!(ringing.iter().all(|ringing| ringing.outcome().is_none()), "nobody waited for the player");
        for _ in 0..3 {
            assert!(matches!(sound.ring(), Err(SoundError::Busy)));
        }
        gate_keeper.write_all(b"\n\n\n\n\n").unwrap();
        for ringing in ringing {
            ringing.0.recv().unwrap().unwrap();
        }
        sound.ring().unwrap().0.recv().unwrap().unwrap();
    }

    #[test]
    fn players_that_hang_are_stopped_and_the_alarm_is_heard_again() {
        let dir = tempfile::tempdir().unwrap();
        fake(dir.path(), "pw-play", "exec sleep 1000");
        let programs = Programs::in_folders(vec![dir.path().to_owned()]);
        let sound = Sound::new(dir.path(), programs).with_limit(Duration::from_millis(50));
        for _ in 0..=AT_ONCE {
            let said = sound.ring().unwrap().0.recv().unwrap().unwrap_err().to_string();
            assert_eq!(said, "the alarm made no sound; pw-play could not play it: it hung and was stopped");
        }
        // The next best takes over from one that hangs.
        let heard = dir.path().join("heard.wav");
        fake(dir.path(), "aplay", &format!("cp \"$1\" '{}'", heard.display()));
        let sound = sound.with_limit(Duration::from_secs(2));
        sound.ring().unwrap().0.recv().unwrap().unwrap();
        assert_eq!(std::fs::read(&heard).unwrap(), bell());
    }

    #[test]
    fn a_player_that_hangs_does_not_outlive_the_bell() {
        let dir = tempfile::tempdir().unwrap();
        let number = dir.path().join("number");
        assert!(Command::new("mkfifo").arg(&number).status().unwrap().success());
        fake(dir.path(), "aplay", &format!("echo $$ > '{}'; exec sleep 1000", number.display()));
        let sound = Sound::new(dir.path(), Programs::in_folders(vec![dir.path().to_owned()]));
        let ringing = sound.ring().unwrap();
        // Its number comes once it runs.
        let number = std::fs::read_to_string(&number).unwrap();
        assert!(ringing.outcome().is_none());
        drop((sound, ringing));
        let there =
            Command::new("/bin/sh").args(["-c", "kill -0 \"$1\"", "sh", number.trim()]).output().unwrap();
        assert!(!there.status.success(), "{number}");
    }

    #[test]
    fn other_players_can_be_named_and_a_cache_that_is_none_is_told() {
        let dir = tempfile::tempdir().unwrap();
        fake(dir.path(), "mine", "true");
        let no_folder = dir.path().join("mine");
        let sound = Sound::new(&no_folder, Programs::in_folders(vec![dir.path().to_owned()]));
        assert!(matches!(sound.ring(), Err(SoundError::NoPlayer)));
        let ringing = sound.with_players(vec!["mine".to_owned()]).ring().unwrap();
        let error = ringing.0.recv().unwrap().unwrap_err();
        assert!(matches!(error, SoundError::NotWritten { .. }), "{error}");
        assert!(ringing.outcome().is_none(), "it is told once");
    }
}
