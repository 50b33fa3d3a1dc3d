//! What a person can do. Screens push commands; the desk carries them out after the frame, in one place.

use std::collections::HashMap;
use std::path::PathBuf;

use store::attachment::Prepared;
use store::draft::{DraftId, Fields, Source};
use store::payload::Role;
use store::{Logbook, NewEvent, ThingNo};

use super::route::Route;
use super::snapshot::Setting;
use super::wear::WearKey;
use super::work::{Pace, Work};

/// Where on a page the answer to a command belongs, a short stable text such as `chock/hold`. The page shows
/// [`Answers::get`] there.
pub type Place = &'static str;

/// An act.
#[derive(Debug)]
pub enum Command {
    /// Opens a page.
    Go(Route),
    /// Goes back to the page before; to the log where there is none.
    Back,
    /// Opens the dialog for signing in; what was wanted is done afterwards.
    AskSignIn {
        /// What to do once somebody has signed in.
        then: Option<Box<Command>>,
    },
    /// Signs somebody in.
    SignIn {
        /// Who.
        name: String,
        /// Their PIN.
        pin: String,
    },
    /// Signs off; drafts stay.
    SignOut,
    /// Registers the first engineer and signs them in.
    FirstEngineer {
        /// Their name.
        name: String,
        /// Their PIN.
        pin: String,
    },
    /// Registers somebody, signed by the engineer at work.
    RegisterPerson {
        /// Where the answer belongs.
        place: Place,
        /// Their name.
        name: String,
        /// What they may do.
        role: Role,
        /// Their PIN.
        pin: String,
    },
    /// Begins a sheet and opens it; asks for a person first.
    NewSheet {
        /// What is known already: path and text, such as `identify.chock`.
        known: Vec<(String, String)>,
    },
    /// Begins a mounting sheet and opens it; asks for a person first.
    NewMounting {
        /// What is known already: path and text, such as `identify.chock`.
        known: Vec<(String, String)>,
    },
    /// Signs a mounting sheet, likewise.
    SignMounting(Box<SheetToSign>),
    /// Throws a draft away; its button says so.
    Discard(DraftId),
    /// Hands a draft to the person at work, with a trace, and opens it.
    TakeOver(DraftId),
    /// Signs a sheet: it is on disk before the window says so, and the draft is gone.
    SignSheet(Box<SheetToSign>),
    /// Appends events, signed by the person at work.
    Append {
        /// Where the answer belongs.
        place: Place,
        /// The events.
        events: Events,
    },
    /// Appends many events, signed by the person at work: all of them, or none where it is stopped.
    AppendMany {
        /// Where the answer belongs.
        place: Place,
        /// The events.
        events: Events,
        /// Told how far it is; stops it.
        pace: Pace,
    },
    /// Appends one event that names a file, with that file.
    Attach {
        /// Where the answer belongs.
        place: Place,
        /// The event and the file.
        event: WithFile,
    },
    /// Keeps a picture for a sheet that is not signed; the answer is the text of its field.
    KeepPhoto {
        /// Where the answer belongs.
        place: Place,
        /// The file.
        path: PathBuf,
    },
    /// Opens the bench with these values.
    TryOut(WhatIf),
    /// Leaves a note for the next shift; an empty one takes it away.
    LeaveNote(String),
    /// Changes a setting of this copy.
    Set(Setting),
    /// Looks after the file itself: backups, the check of the record, the way back from trouble.
    Care(Care),
    /// Starts long work.
    Run(Work),
    /// Stops it.
    StopWork,
    /// Says something at the top of the page.
    Say(Notice),
    /// Closes this logbook and goes to the welcome screen.
    CloseLogbook,
    /// Explains the page.
    Help,
}

/// What is done for the file itself.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Care {
    /// Makes a backup now.
    BackUp,
    /// Stops the one that is being made.
    StopBackup,
    /// Keeps backups in this folder from now on, if they can be written there.
    UseFolder(Place, PathBuf),
    /// Checks the whole record.
    Check,
    /// Stops the check.
    StopCheck,
    /// Opens the steps from a backup to a logbook.
    Restore,
    /// Opens the steps from a damaged file to a new one.
    Salvage,
    /// Closes this logbook and opens another.
    Open(PathBuf),
}

/// Values to play with on the bench.
#[derive(Debug, Clone, PartialEq)]
pub struct WhatIf {
    /// Where they come from: `last sheet of TH-4T-031`.
    pub origin: String,
    /// Names of methods with their inputs; the first is opened.
    pub inputs: Vec<(&'static str, serde_json::Value)>,
}

/// A teardown sheet with the signatures of those who sign it.
#[derive(Debug, Clone)]
pub struct SheetToSign {
    /// Where the answer belongs.
    pub place: Place,
    /// The draft.
    pub draft: DraftId,
    /// What was typed.
    pub fields: Fields,
    /// PIN of the person at work, typed anew for the signature.
    pub pin: String,
    /// Name and PIN of the engineer, where one is needed besides.
    pub engineer: Option<(String, String)>,
    /// The wear of the shop, as the sheet was told of it.
    pub wear: WearKey,
}

/// Events to append.
pub struct Events(pub(super) MakeEvents);

pub(super) type MakeEvents = Box<dyn FnOnce(&mut Logbook) -> store::Result<Vec<NewEvent>> + Send>;

impl std::fmt::Debug for Events {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("Events")
    }
}

impl Events {
    /// Events that are made where the logbook is, since they name things (`Logbook::name`) or the time
    /// (`Logbook::now`).
    pub fn made(
        make: impl FnOnce(&mut Logbook) -> store::Result<Vec<NewEvent>> + Send + 'static,
    ) -> Self {
        Self(Box::new(make))
    }
}

/// An event and the file that it names.
pub struct WithFile(pub(super) MakeWithFile);

pub(super) type MakeWithFile =
    Box<dyn FnOnce(&mut Logbook) -> store::Result<(NewEvent, Prepared)> + Send>;

impl std::fmt::Debug for WithFile {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("WithFile")
    }
}

impl WithFile {
    /// An event that is made where the logbook is; its file is read there too.
    pub fn made(
        make: impl FnOnce(&mut Logbook) -> store::Result<(NewEvent, Prepared)> + Send + 'static,
    ) -> Self {
        Self(Box::new(make))
    }
}

/// Something to say at the top of the page.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Notice {
    /// In a sentence.
    pub text: String,
    /// True for what went wrong.
    pub is_error: bool,
}

impl Notice {
    /// What was done.
    pub fn done(text: impl Into<String>) -> Self {
        Self {
            text: text.into(),
            is_error: false,
        }
    }

    /// What went wrong, and what to do.
    pub fn error(text: impl Into<String>) -> Self {
        Self {
            text: text.into(),
            is_error: true,
        }
    }
}

/// An error of the store, which begins small, as a sentence of its own.
pub fn sentence(text: &str) -> String {
    let mut letters = text.chars();
    let first: String = letters
        .next()
        .map(|c| c.to_uppercase().collect())
        .unwrap_or_default();
    let end = if text.ends_with(['.', '!', '?']) {
        ""
    } else {
        "."
    };
    format!("{first}{}{end}", letters.as_str())
}

/// What became of a command.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Said {
    /// Under way.
    Waiting,
    /// Done, on disk.
    Done(String),
    /// Refused, and why, in words of the trade.
    Refused(String),
}

/// What became of the commands of this page, by the place where the answer belongs. Forgotten when another page
/// opens.
#[derive(Debug, Default)]
pub struct Answers(HashMap<Place, Said>);

impl Answers {
    /// The answer for a place.
    pub fn get(&self, place: Place) -> Option<&Said> {
        self.0.get(place)
    }

    /// Why the command of this place was refused.
    pub fn refusal(&self, place: Place) -> Option<&str> {
        if let Some(Said::Refused(why)) = self.0.get(place) {
            Some(why)
        } else {
            None
        }
    }

    /// True while the command of this place is under way.
    pub fn is_waiting(&self, place: Place) -> bool {
        self.0.get(place) == Some(&Said::Waiting)
    }

    pub(super) fn put(&mut self, place: Place, said: Said) {
        self.0.insert(place, said);
    }

    pub(super) fn clear(&mut self) {
        self.0.clear();
    }
}

/// What the worker answers to a command.
#[derive(Debug)]
pub(super) enum Reply {
    /// Somebody has signed in.
    SignedIn(store::Signer),
    /// Not signed in: why, and how long to wait, s.
    NotSignedIn(String, i64),
    /// A draft was begun or taken over: open it.
    OpenSheet(DraftId),
    /// A draft was thrown away.
    Discarded(DraftId),
    /// A sheet is on disk.
    SheetSigned {
        draft: DraftId,
        bearing: ThingNo,
        words: String,
    },
    /// A mounting sheet is on disk, as the event of this number here.
    MountingSigned {
        draft: DraftId,
        event: i64,
        words: String,
    },
    /// Done, for a place of the page.
    Done(Place, String),
    /// Refused, for a place of the page, or for the top of it.
    Refused(Option<Place>, String),
    /// Nothing to say.
    Quiet,
}

/// Where a text of a new sheet comes from that the program knew already.
pub(super) const KNOWN: Source = Source::Typed;
