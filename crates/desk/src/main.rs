//! The program: the window, and the doors without one.

mod doors;

use std::io::Write as _;
use std::path::PathBuf;
use std::process::ExitCode;
use std::sync::Arc;
use std::sync::atomic::AtomicBool;

use clap::{Parser, Subcommand};
use craft::fact::PaperKind;
use craft::id::ClientId;
use craft::tag::Tag;

/// A workbench for makers of memorial stones: nothing entrusted goes missing.
#[derive(Debug, Parser)]
#[command(name = "heldfast", version, about)]
#[command(args_conflicts_with_subcommands = true)]
struct Arguments {
    /// The studio to open in the window; the last one when left out
    #[arg(long, value_name = "DIR")]
    studio: Option<PathBuf>,
    #[command(subcommand)]
    door: Option<Door>,
}

#[derive(Debug, Subcommand)]
enum Door {
    /// Writes a demo studio into an empty or new folder
    Demo {
        /// The folder
        dir: PathBuf,
    },
    /// Reads everything in a studio and says what is wrong, if anything
    Check {
        /// The studio's folder
        dir: PathBuf,
    },
    /// Shows the plan of an order's stones
    Plan {
        /// The studio's folder
        dir: PathBuf,
        /// The order's tag
        tag: Tag,
        /// As JSON instead of text
        #[arg(long)]
        json: bool,
    },
    /// Writes papers of an order as PDF files, without recording that they were issued
    Papers {
        /// The studio's folder
        dir: PathBuf,
        /// The order's tag
        tag: Tag,
        /// Where to write them
        #[arg(long)]
        out: PathBuf,
        /// Which: kit, receipt, proof, packing, care, custody; all that can be written when left out
        #[arg(value_name = "KIND", value_parser = doors::papers::read_kind)]
        kinds: Vec<PaperKind>,
    },
    /// Makes a backup of a studio in one new file, and reads it back
    Backup {
        /// The studio's folder
        dir: PathBuf,
        /// The file, which must not exist yet
        file: PathBuf,
    },
    /// Puts a backup back into a new or empty folder, and checks it
    Restore {
        /// The backup
        file: PathBuf,
        /// The folder, which must be new or empty
        dir: PathBuf,
        /// A studio that knows who was forgotten since; may be given several times
        #[arg(long, value_name = "DIR")]
        beside: Vec<PathBuf>,
    },
    /// Forgets a client for good, once nothing of theirs is held any more, and says what is kept
    Forget {
        /// The studio's folder
        dir: PathBuf,
        /// The client: the name of their file in "clients", without ".ron"
        client: ClientId,
        /// Really does it; without it nothing is changed, and it only says what would be
        #[arg(long)]
        yes: bool,
    },
    /// Puts everything of one order into a new or empty folder: its file, photos, papers, and all in words
    HandOver {
        /// The studio's folder
        dir: PathBuf,
        /// The order's tag
        tag: Tag,
        /// The folder, which must be new or empty
        to: PathBuf,
    },
    /// Lists the orders
    List {
        /// The studio's folder
        dir: PathBuf,
        /// As CSV for a table program
        #[arg(long)]
        csv: bool,
    },
    /// Records facts of an order from standard input, one a line, and answers each once it is on the disk
    Record {
        /// The studio's folder
        dir: PathBuf,
        /// The order's tag
        tag: Tag,
    },
}

/// Where the system limits how large a file may grow, a save beyond that is told like any other that failed; left alone,
/// the signal would end the program. Nobody looks at the flag: that it is raised at all is what keeps the program alive.
fn outlive_the_limit_of_files() -> std::io::Result<()> {
    let raised = Arc::new(AtomicBool::new(false));
    signal_hook::flag::register(signal_hook::consts::SIGXFSZ, raised).map(drop)
}

fn main() -> ExitCode {
    let arguments = Arguments::parse();
    // Without it the program works as well, only not beyond such a limit.
    drop(outlive_the_limit_of_files());
    let mut out = std::io::stdout().lock();
    let result = match arguments.door {
        None => doors::window::run(arguments.studio),
        Some(Door::Demo { dir }) => doors::demo::run(&dir, &mut out),
        Some(Door::Check { dir }) => doors::check::run(&dir, &mut out),
        Some(Door::Plan { dir, tag, json }) => doors::plan::run(&dir, tag, json, &mut out),
        Some(Door::Papers { dir, tag, out: to, kinds }) => {
            doors::papers::run(&dir, tag, &to, &kinds, &mut out)
        }
        Some(Door::Backup { dir, file }) => doors::backup::run(&dir, &file, &mut out),
        Some(Door::Restore { file, dir, beside }) => doors::restore::run(&file, &dir, &beside, &mut out),
        Some(Door::Forget { dir, client, yes }) => doors::forget::run(&dir, &client, yes, &mut out),
        Some(Door::HandOver { dir, tag, to }) => doors::hand_over::run(&dir, tag, &to, &mut out),
        Some(Door::List { dir, csv }) => doors::list::run(&dir, csv, &mut out),
        Some(Door::Record { dir, tag }) => {
            doors::record::run(&dir, &tag.to_string(), std::io::stdin().lock(), &mut out)
        }
    };
    match result.and_then(|well| out.flush().map(|()| well).map_err(anyhow::Error::from)) {
        Ok(true) => ExitCode::SUCCESS,
        Ok(false) => ExitCode::FAILURE,
        Err(error) => {
            // A reader that has seen enough, such as `head`, is no fault.
            let gone = |cause: &(dyn std::error::Error + 'static)| {
                cause
                    .downcast_ref::<std::io::Error>()
                    .is_some_and(|io| io.kind() == std::io::ErrorKind::BrokenPipe)
            };
            if error.chain().any(gone) {
                return ExitCode::FAILURE;
            }
            // With standard error gone too, the exit status still tells.
            drop(writeln!(std::io::stderr(), "heldfast: {}", store::told(error.as_ref())));
            ExitCode::FAILURE
        }
    }
}
