//! What can go wrong with a paper, told to the person at the bench.

use std::fmt;

use typst::diag::SourceDiagnostic;
use typst::syntax::DiagSpan;
use typst::{World as _, WorldExt as _};

use super::world::PaperWorld;
use super::{PaperSize, Stamp};
use crate::facts::Kind;

/// Why a paper could not be set. Nothing has been written when one of these comes back.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum DocumentError {
    /// The size is not one this kind of paper is made for.
    #[error("the {} paper cannot be set in {size:?}: take {}", kind.name(), sizes(*kind))]
    Size {
        /// The kind of paper.
        kind: Kind,
        /// The size asked for.
        size: PaperSize,
    },
    /// The tag does not fit a small QR.
    #[error("“{tag}” is no tag for a QR: take at most 20 plain letters, digits and hyphens")]
    Tag {
        /// The tag given.
        tag: String,
    },
    /// There is no such moment.
    #[error("{}-{:02}-{:02} {:02}:{:02}:{:02} is no date and time: check the computer's clock", .0.year, .0.month, .0.day, .0.hour, .0.minute, .0.second)]
    Stamp(Stamp),
    /// A proof sheet takes 1 to 12 stones.
    #[error("a proof sheet holds 1 to 12 stones and this one has {count}: make two sheets")]
    StoneCount {
        /// How many there are.
        count: usize,
    },
    /// Two stones bear one number, so an answer could mean either.
    #[error("two stones are both number {number}: give each its own number")]
    StoneTwice {
        /// The number in question.
        number: u32,
    },
    /// An outline that cannot be drawn in true size.
    #[error(
        "the outline of stone {number} cannot be drawn in true size: it needs real lengths above 0 and at most 60 mm, and a path at least three points"
    )]
    Outline {
        /// The stone's number.
        number: u32,
    },
    /// A colour that is none.
    #[error("“{colour}” is no colour for stone {number}: write it as # and six digits or letters a to f")]
    Colour {
        /// The stone's number.
        number: u32,
        /// What was given.
        colour: String,
    },
    /// A photo is asked for and not there.
    #[error("the photo “{name}” is not here: choose it again or leave it out")]
    PhotoMissing {
        /// The photo's name.
        name: String,
    },
    /// A photo that is no whole JPEG.
    #[error("the photo “{name}” is not a whole JPEG: make its corrected copy again")]
    PhotoUnreadable {
        /// The photo's name.
        name: String,
    },
    /// A photo that still carries its camera's notes.
    #[error(
        "the photo “{name}” still carries notes from the camera, perhaps the place it was taken: use its corrected copy"
    )]
    PhotoTells {
        /// The photo's name.
        name: String,
    },
    /// A photo without words.
    #[error("the photo “{name}” has no words for someone who cannot see it: say in a sentence what it shows")]
    PhotoWords {
        /// The photo's name.
        name: String,
    },
    /// The template does not work. At least one fault.
    #[error("{}", faults(.0))]
    Template(Vec<Fault>),
    /// Something inside the engine, not the maker's doing.
    #[error("the paper could not be set, and it is not your doing: {0}")]
    Engine(String),
}

/// One fault in a template.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fault {
    /// The template's file, for example `proof.typ`. Empty where the fault has no place.
    pub file: String,
    /// Line, from 1; 0 where the fault has no place.
    pub line: usize,
    /// Column in characters, from 1; 0 where the fault has no place.
    pub column: usize,
    /// What is wrong and what would be right.
    pub sentence: String,
    /// The engine's own words, for looking up.
    pub said: String,
}

impl fmt::Display for Fault {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.line > 0 {
            write!(out, "{}:{}:{}: ", self.file, self.line, self.column)?;
        }
        out.write_str(&self.sentence)
    }
}

fn sizes(kind: Kind) -> String {
    let names: Vec<String> = kind.sizes().iter().map(|size| format!("{size:?}")).collect();
    names.join(" or ")
}

fn faults(faults: &[Fault]) -> String {
    let lines: Vec<String> = faults.iter().map(Fault::to_string).collect();
    lines.join("\n")
}

/// The engine's complaints, placed and reworded.
pub(super) fn template_error(world: &PaperWorld, complaints: &[SourceDiagnostic]) -> DocumentError {
    DocumentError::Template(complaints.iter().map(|complaint| place(world, complaint)).collect())
}

fn place(world: &PaperWorld, complaint: &SourceDiagnostic) -> Fault {
    let said = complaint.message.to_string();
    let (file, line, column) = locate(world, complaint.span).unwrap_or_default();
    Fault { file, line, column, sentence: reword(&said), said }
}

fn locate(world: &PaperWorld, span: DiagSpan) -> Option<(String, usize, usize)> {
    let id = span.id()?;
    let range = world.range(span)?;
    // A fault in data has no template source; its place would mean nothing to the reader.
    let source = world.source(id).ok()?;
    let (line, column) = source.lines().byte_to_line_column(range.start)?;
    Some((id.get().vpath().get_without_slash().to_owned(), line + 1, column + 1))
}

/// Turns the engine's words, which speak of command lines and standards, into bench words. What is
/// not known here is passed on as it is.
fn reword(said: &str) -> String {
    let named = said.split('`').nth(1).unwrap_or_default();
    let quoted = said.split('"').nth(1).unwrap_or_default();
    if said.contains("missing alt text") {
        return "a picture has no words for someone who cannot see it: add alt: \"what it shows\" to it"
            .to_owned();
    }
    if said.contains("missing document title") {
        return "the paper has no title: start the template with the show rule of house.typ".to_owned();
    }
    if said.contains("could not be displayed with") {
        let letters = named.trim_matches('"');
        return format!(
            "no typeface here can write “{letters}”: spell it in other letters, or add a font that has them"
        );
    }
    if said.contains("does not contain key") {
        return format!("there is no field “{quoted}” here: the fields are listed in the templates' README");
    }
    if said.starts_with("file not found") || said.contains("would escape") {
        return "this file does not exist for a template: it can read house.typ, data.json, qr.svg and the paper's photos, \
                nothing else"
            .to_owned();
    }
    if said.contains("package") {
        return "packages cannot be fetched: copy what you need into the template".to_owned();
    }
    if said.starts_with("unknown variable") {
        let name = said.rsplit(": ").next().unwrap_or_default();
        return format!("nothing is called “{name}” here: check the spelling, and the import of house.typ");
    }
    if let Some(what) = said.strip_prefix("unclosed ") {
        return format!("a {what} is opened here and never closed");
    }
    if said.contains("infinite") || said.contains("always true") || said.contains("maximum") {
        return "the template goes round in circles here: give the loop or the call an end".to_owned();
    }
    format!("the template does not work here: {said}")
}
