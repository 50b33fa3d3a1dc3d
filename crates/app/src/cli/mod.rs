//! The command line: every verb works without a display.
//!
//! Exit 0 done, 1 done but something does not hold, 2 could not. What was asked for goes to standard output, what
//! went wrong to standard error: what, where, what to do. A verb gets everything from outside through `World`, so
//! that tests run it in memory.

mod args;
mod backup;
mod calc;
mod demo;
mod forecast;
mod log;
mod merge;
mod new;
mod print;
mod table;
mod verify;

#[cfg(test)]
pub(crate) mod shop;
#[cfg(test)]
mod tests;

use std::fmt;
use std::io::{BufRead, IsTerminal, Write};
use std::path::Path;
use std::process::ExitCode;

use args::{Args, Shape};
use store::{Logbook, StoreError};

use crate::hands::HandsMaker;

/// A verb of the command line.
struct Verb {
    name: &'static str,
    /// What may follow it.
    shape: Shape,
    /// One line for the list of verbs.
    about: &'static str,
    /// The rest of what `help VERB` says.
    details: &'static str,
    run: fn(&Args, &mut World<'_>) -> Result<Ending, Stop>,
}

/// All verbs, in the order of use. A verb that is not built is not here, and so not in the help.
const VERBS: [&Verb; 9] = [
    &new::VERB,
    &log::VERB,
    &print::VERB,
    &forecast::VERB,
    &verify::VERB,
    &backup::VERB,
    &merge::VERB,
    &calc::VERB,
    &demo::VERB,
];

/// How a verb ended that did what it was asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Ending {
    /// All well.
    Done,
    /// Done, but something does not hold.
    DoesNotHold,
}

/// Why a verb stopped.
#[derive(Debug)]
enum Stop {
    /// It could not do it: what, where, what to do.
    Failed(String),
    /// Whoever read the output went away.
    Unread,
}

impl Stop {
    fn because(text: impl Into<String>) -> Self {
        Self::Failed(text.into())
    }
}

impl From<StoreError> for Stop {
    fn from(error: StoreError) -> Self {
        Self::Failed(error.to_string())
    }
}

/// Errors of writing to standard output.
impl From<std::io::Error> for Stop {
    fn from(error: std::io::Error) -> Self {
        match error.kind() {
            std::io::ErrorKind::BrokenPipe => Self::Unread,
            _ => Self::Failed(format!("cannot write the output: {error}")),
        }
    }
}

/// What a verb takes from outside.
struct World<'a> {
    input: &'a mut dyn BufRead,
    out: &'a mut dyn Write,
    err: &'a mut dyn Write,
    /// Reads a variable of the environment.
    variable: &'a dyn Fn(&str) -> Option<String>,
    hands: HandsMaker,
    /// Whether a person looks at standard error, so that progress is worth showing.
    is_watched: bool,
}

impl World<'_> {
    /// Opens a logbook.
    fn open(&self, path: &str) -> Result<Logbook, Stop> {
        Ok(Logbook::open(Path::new(path), (self.hands)())?)
    }

    /// A PIN, which never stands on the command line, where others could read it.
    fn pin(&self, name: &str, whose: &str) -> Result<String, Stop> {
        let found = (self.variable)(name).filter(|pin| !pin.is_empty());
        found.ok_or_else(|| {
            Stop::because(format!(
                "no PIN for {whose}: put it into the variable {name}"
            ))
        })
    }

    /// Tells how far a long work is, where somebody looks.
    fn progress(&mut self, what: &str, done: i64, total: i64) {
        if self.is_watched && total > 0 {
            // Progress that cannot be shown is no reason to stop the work.
            let _unseen = write!(self.err, "\r{what} {} %", done * 100 / total)
                .and_then(|()| self.err.flush());
        }
    }

    /// Ends the line of progress.
    fn progress_done(&mut self) {
        if self.is_watched {
            let _unseen = write!(self.err, "\r\u{1b}[K").and_then(|()| self.err.flush());
        }
    }
}

/// Whether an argument names a logbook for the window: one that is there, or a name that looks like one.
pub fn is_file(arg: &str) -> bool {
    let path = Path::new(arg);
    let is_logbook = path
        .extension()
        .is_some_and(|end| end.eq_ignore_ascii_case("chockbook"));
    is_logbook || path.is_file() || arg.contains(std::path::is_separator)
}

/// Carries out a verb; the arguments are those after the program's name.
pub fn run(args: &[String]) -> ExitCode {
    let is_watched = std::io::stderr().is_terminal();
    let mut world = World {
        input: &mut std::io::stdin().lock(),
        out: &mut std::io::stdout().lock(),
        err: &mut std::io::stderr().lock(),
        variable: &|name| std::env::var(name).ok(),
        hands: std::sync::Arc::new(crate::hands::system),
        is_watched,
    };
    ExitCode::from(carry_out(args, &mut world))
}

/// Runs a command line in a given world and answers with the exit code.
fn carry_out(args: &[String], world: &mut World<'_>) -> u8 {
    let name = args.first().map_or("", String::as_str);
    let ended = dispatch(name, args, world).and_then(|ending| {
        world.out.flush()?;
        Ok(ending)
    });
    match ended {
        Ok(Ending::Done) | Err(Stop::Unread) => 0,
        Ok(Ending::DoesNotHold) => 1,
        Err(Stop::Failed(text)) => {
            let verb = VERBS
                .iter()
                .find(|v| v.name == name)
                .map_or(String::new(), |v| format!(" {}", v.name));
            // Where standard error is closed the exit code still tells.
            let _unseen = writeln!(world.err, "chockbook{verb}: {text}");
            2
        }
    }
}

fn dispatch(name: &str, args: &[String], world: &mut World<'_>) -> Result<Ending, Stop> {
    match name {
        "" | "--help" | "-h" => {
            write!(world.out, "{Usage}")?;
            Ok(Ending::Done)
        }
        "--version" | "-V" => {
            writeln!(world.out, "{}", crate::hands::program())?;
            Ok(Ending::Done)
        }
        "help" => match args.get(1) {
            None => dispatch("--help", args, world),
            Some(of) => {
                write!(world.out, "{}", verb(of)?)?;
                Ok(Ending::Done)
            }
        },
        name => {
            let verb = verb(name)?;
            let rest = args.get(1..).unwrap_or_default();
            if rest.iter().any(|arg| arg == "--help" || arg == "-h")
                && (name != "calc" || rest.len() == 1)
            {
                write!(world.out, "{verb}")?;
                return Ok(Ending::Done);
            }
            let args = verb
                .shape
                .read(rest)
                .map_err(|what| Stop::Failed(format!("{what}\n{}", verb.usage())))?;
            (verb.run)(&args, world)
        }
    }
}

fn verb(name: &str) -> Result<&'static Verb, Stop> {
    VERBS
        .into_iter()
        .find(|verb| verb.name == name)
        .ok_or_else(|| {
            let verbs: Vec<&str> = VERBS.iter().map(|verb| verb.name).collect();
            Stop::Failed(format!(
                "{name:?} is no verb and no logbook. The verbs are {}; see `chockbook --help`",
                verbs.join(", ")
            ))
        })
}

impl Verb {
    /// The line that shows how it is called.
    fn usage(&self) -> String {
        format!("usage: chockbook {} {}", self.name, self.shape)
    }
}

impl fmt::Display for Verb {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        writeln!(
            f,
            "{}\n\n{}\n{}",
            self.usage(),
            self.about,
            self.details.trim_end().replace("{kinds}", &log::kinds())
        )
    }
}

/// What `--help` prints.
struct Usage;

impl fmt::Display for Usage {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        writeln!(
            f,
            "chockbook, the logbook of roll-neck bearings and chocks\n"
        )?;
        writeln!(
            f,
            "  chockbook [FILE]\n      open the window, with a logbook if one is named"
        )?;
        for verb in VERBS {
            writeln!(
                f,
                "  chockbook {} {}\n      {}",
                verb.name, verb.shape, verb.about
            )?;
        }
        writeln!(f, "  chockbook help VERB\n      more about a verb")?;
        writeln!(
            f,
            "  chockbook --version\n      name and version of the program\n"
        )?;
        writeln!(
            f,
            "Exit code 0: done. 1: done, but something does not hold. 2: could not."
        )?;
        writeln!(
            f,
            "PINs are read from the variables CHOCKBOOK_PIN and CHOCKBOOK_ORDER_PIN."
        )
    }
}
