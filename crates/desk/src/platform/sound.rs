//! The alarm's sound: a calm bell of two notes, made here and played by a program of the system.

use std::f64::consts::{PI, TAU};
use std::fs;
use std::io::{self, Write as _};
use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::Arc;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::mpsc::{Receiver, channel};
use std::thread;
use std::time::Duration;

use super::limited::{Children, Ended};
use super::programs::{Programs, words_of};

/// Programs that play a WAV file, best first.
const PLAYERS: [&str; 3] = ["pw-play", "paplay", "aplay"];

const RATE: u32 = 44_100;
/// 1.2 s.
const SAMPLES: u32 = RATE / 10 * 12;
const BYTES_PER_SAMPLE: u16 = 2;
/// Part of full scale that the loudest sample reaches.
const PEAK: f64 = 0.45;
const ATTACK_S: f64 = 0.012;
const DECAY_S: f64 = 0.28;
const FADE_S: f64 = 0.15;
/// When each note is struck and how many semitones it lies above the A of 440 Hz: E, then C below it.
const NOTES: [(f64, f64); 2] = [(0.0, 7.0), (0.42, 3.0)];
/// A player that hangs must not be joined by one more at each ring, all day long.
const AT_ONCE: usize = 4;
/// How long a player may take for a bell of little more than a second.
const LONGEST: Duration = Duration::from_secs(10);
/// How loud a note's partials are, from its own pitch up.
const PARTIALS: [f64; 3] = [1.0, 0.35, 0.12];

/// The alarm made no sound. The window still shows it.
#[derive(Debug, thiserror::Error)]
pub enum SoundError {
    /// None of the players is here.
    #[error(
        "the alarm has no sound on this computer; install one of the packages pipewire-bin, pulseaudio-utils or \
         alsa-utils, which bring pw-play, paplay and aplay"
    )]
    NoPlayer,
    /// The bell could not be put into the cache.
    #[error("the alarm made no sound; its bell could not be written to {}", path.display())]
    NotWritten {
        /// Where it was to be.
        path: PathBuf,
        /// Why.
        #[source]
        source: io::Error,
    },
    /// Every player that is here gave up; these are the words of the last one.
    #[error("the alarm made no sound; {player} could not play it: {words}")]
    NotPlayed {
        /// The program.
        player: String,
        /// What it said.
        words: String,
    },
    /// Earlier bells are still being played, far longer than a bell lasts.
    #[error(
        "the alarm made no sound; the player is still busy with the bells before, as if its sound server hung"
    )]
    Busy,
    /// There was no thread to play it on.
    #[error("the alarm made no sound; the computer has no room for another task")]
    NoThread {
        /// Why.
        #[source]
        source: io::Error,
    },
}

/// The bell and who plays it.
#[derive(Debug, Clone)]
pub struct Sound {
    wav: PathBuf,
    programs: Programs,
    players: Vec<String>,
    at_work: Arc<AtomicUsize>,
    longest: Duration,
    playing: Arc<Playing>,
}

/// The players at work; they are stopped once nobody holds the bell or a ringing of it any more.
#[derive(Debug, Default)]
struct Playing(Children);

impl Drop for Playing {
    fn drop(&mut self) {
        self.0.stop_all();
    }
}

/// One of the few bells that may sound at once; given back when dropped.
struct Turn(Arc<AtomicUsize>);

impl Turn {
    fn take(at_work: &Arc<AtomicUsize>) -> Option<Self> {
        let turn = Self(Arc::clone(at_work));
        (at_work.fetch_add(1, Ordering::Relaxed) < AT_ONCE).then_some(turn)
    }
}

impl Drop for Turn {
    fn drop(&mut self) {
        self.0.fetch_sub(1, Ordering::Relaxed);
    }
}

/// A bell that is being rung.
#[derive(Debug)]
pub struct Ringing(
    Receiver<Result<(), SoundError>>,
    #[expect(dead_code, reason = "held only so that its player is let finish")] Arc<Playing>,
);

impl Ringing {
    /// How it went, once it is known; never waits, and answers once.
    pub fn outcome(&self) -> Option<Result<(), SoundError>> {
        self.0.try_recv().ok()
    }
}

impl Sound {
    /// A bell that is kept in the folder `cache` and played by the first that works of `pw-play`, `paplay`, `aplay`.
    pub fn new(cache: &Path, programs: Programs) -> Self {
        let players = PLAYERS.map(str::to_owned).to_vec();
        let wav = cache.join("bell.wav");
        let (at_work, playing) = (Arc::default(), Arc::default());
        Self { wav, programs, players, at_work, longest: LONGEST, playing }
    }

    /// The same bell, whose players are stopped after another time than 10 s.
    #[must_use]
    pub fn with_limit(self, longest: Duration) -> Self {
        Self { longest, ..self }
    }

    /// The same bell, played by others.
    #[must_use]
    pub fn with_players(self, players: Vec<String>) -> Self {
        Self { players, ..self }
    }

    /// Rings once and does not wait for it. A player that gives up (there may be no such sound server) is followed by
    /// the next, and so is one that hangs; [`Ringing::outcome`] says later how it went.
    ///
    /// # Errors
    /// [`SoundError::NoPlayer`] where none of the players is here, [`SoundError::Busy`] where they hang,
    /// [`SoundError::NoThread`] where no thread can be had.
    pub fn ring(&self) -> Result<Ringing, SoundError> {
        let players: Vec<PathBuf> = self.players.iter().filter_map(|name| self.programs.find(name)).collect();
        if players.is_empty() {
            return Err(SoundError::NoPlayer);
        }
        let turn = Turn::take(&self.at_work).ok_or(SoundError::Busy)?;
        let (to, outcome) = channel();
        let (wav, longest, playing) = (self.wav.clone(), self.longest, self.playing.0.clone());
        thread::Builder::new()
            .name("bell".to_owned())
            .spawn(move || {
                let outcome = play(&players, &wav, &playing, longest);
                drop(turn);
                // Whoever rang it need not stay to hear how it went.
                drop(to.send(outcome));
            })
            .map_err(|source| SoundError::NoThread { source })?;
        Ok(Ringing(outcome, Arc::clone(&self.playing)))
    }
}

fn play(players: &[PathBuf], wav: &Path, playing: &Children, longest: Duration) -> Result<(), SoundError> {
    keep_bell(wav).map_err(|source| SoundError::NotWritten { path: wav.to_owned(), source })?;
    let mut outcome = Err(SoundError::NoPlayer);
    for player in players {
        outcome = play_with(player, wav, playing, longest);
        if outcome.is_ok() {
            break;
        }
    }
    outcome
}

fn play_with(player: &Path, wav: &Path, playing: &Children, longest: Duration) -> Result<(), SoundError> {
    let words = match playing.run(Command::new(player).arg(wav), longest) {
        Ok(output) if output.status.success() => return Ok(()),
        Ok(output) => words_of(&output),
        Err(Ended::TooLong) => "it hung and was stopped".to_owned(),
        Err(Ended::NotStarted(error)) => error.to_string(),
    };
    let player = player.file_name().unwrap_or_default().to_string_lossy().into_owned();
    Err(SoundError::NotPlayed { player, words })
}

/// Writes the bell where it is not there yet, or not whole. A player never meets a half-written one.
fn keep_bell(wav: &Path) -> io::Result<()> {
    let bell = bell();
    if fs::read(wav).is_ok_and(|kept| kept == bell) {
        return Ok(());
    }
    let folder = wav.parent().unwrap_or(Path::new("."));
    fs::create_dir_all(folder)?;
    let mut file = tempfile::NamedTempFile::new_in(folder)?;
    file.write_all(&bell)?;
    file.persist(wav).map_err(|error| error.error)?;
    Ok(())
}

/// The bell as a WAV file: one channel, 44.1 kHz, 16 bits a sample, 1.2 s long.
///
/// Its layout is RIFF/WAVE with a `fmt ` chunk of `WAVE_FORMAT_PCM` and a `data` chunk (IBM and Microsoft, *Multimedia
/// Programming Interface and Data Specifications 1.0*, August 1991, chapter 3).
pub fn bell() -> Vec<u8> {
    let data_bytes = SAMPLES * u32::from(BYTES_PER_SAMPLE);
    let (pcm, channels): (u16, u16) = (1, 1);
    let mut wav = Vec::new();
    wav.extend_from_slice(b"RIFF");
    wav.extend_from_slice(&(36 + data_bytes).to_le_bytes());
    wav.extend_from_slice(b"WAVEfmt ");
    wav.extend_from_slice(&16_u32.to_le_bytes());
    wav.extend_from_slice(&pcm.to_le_bytes());
    wav.extend_from_slice(&channels.to_le_bytes());
    wav.extend_from_slice(&RATE.to_le_bytes());
    wav.extend_from_slice(&(RATE * u32::from(BYTES_PER_SAMPLE)).to_le_bytes());
    wav.extend_from_slice(&BYTES_PER_SAMPLE.to_le_bytes());
    wav.extend_from_slice(&(8 * BYTES_PER_SAMPLE).to_le_bytes());
    wav.extend_from_slice(b"data");
    wav.extend_from_slice(&data_bytes.to_le_bytes());
    wav.extend(samples().into_iter().flat_map(i16::to_le_bytes));
    wav
}

fn samples() -> Vec<i16> {
    let end_s = f64::from(SAMPLES - 1) / f64::from(RATE);
    let wave: Vec<f64> = (0..SAMPLES)
        .map(|sample| {
            let at_s = f64::from(sample) / f64::from(RATE);
            let struck: f64 = NOTES.iter().map(|&(start_s, semitones)| note(at_s - start_s, semitones)).sum();
            struck * eased((end_s - at_s) / FADE_S)
        })
        .collect();
    let loudest = wave.iter().fold(0.0_f64, |loudest, value| loudest.max(value.abs()));
    let gain = PEAK * f64::from(i16::MAX) / loudest;
    wave.into_iter().map(|value| to_sample(value * gain)).collect()
}

#[expect(
    clippy::cast_possible_truncation,
    reason = "the loudest sample was scaled to less than half of i16::MAX"
)]
fn to_sample(value: f64) -> i16 {
    value.round() as i16
}

/// A struck note, `since_s` seconds after the stroke; its pitch is in equal temperament from A = 440 Hz (ISO 16:1975).
fn note(since_s: f64, semitones: f64) -> f64 {
    if since_s < 0.0 {
        return 0.0;
    }
    let hertz = 440.0 * (semitones / 12.0).exp2();
    let shape = eased(since_s / ATTACK_S) * (-since_s / DECAY_S).exp();
    let tones = PARTIALS.iter().zip([1.0, 2.0, 3.0]);
    shape * tones.map(|(loud, times): (&f64, f64)| loud * (TAU * hertz * times * since_s).sin()).sum::<f64>()
}

/// From 0 to 1 with no corner at either end; `part` outside 0 to 1 is held there.
fn eased(part: f64) -> f64 {
    0.5 - 0.5 * (PI * part.clamp(0.0, 1.0)).cos()
}

#[cfg(test)]
#[path = "sound_tests.rs"]
mod tests;
