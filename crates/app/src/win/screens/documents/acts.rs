//! The long work of the page: making a document and saving, opening or printing it; histories of many bearings.

use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::mpsc::{Receiver, Sender, channel};

use report::Preview;
use store::query::FoundThing;
use store::{Logbook, ThingNo};

use super::{Typed, View, system};
use crate::print::{self, HistoryParts, Key, PrintJob, What, Wish, counted, write_whole};
use crate::win::screens::Cx;
use crate::win::work::{Ended, Given, Work};

/// What of the file is said on every print.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Paper {
    /// End of the chain.
    anchor: String,
    is_demo: bool,
}

impl Paper {
    pub(super) fn read(logbook: &Logbook) -> store::Result<Self> {
        Ok(Self {
            anchor: logbook.anchor()?.unwrap_or_default(),
            is_demo: logbook.is_demo(),
        })
    }
}

/// A document that was made.
#[derive(Debug, Clone)]
pub(super) struct Made {
    /// Its bytes: these are shown, saved and printed.
    pub(super) bytes: Arc<Vec<u8>>,
    pub(super) preview: Preview,
}

/// What is done with a document once it is made.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Then {
    /// It is only shown.
    Show,
    /// It is written to a file.
    Save(PathBuf),
    /// It is opened with the system's viewer.
    Open,
    /// It is sent to the system's printer.
    Print,
}

/// Name of the file without its ending.
pub(super) fn stem(typed: &Typed) -> String {
    let word = typed.what.word();
    let of = typed.what.asks().iter().find_map(|(key, _)| {
        let text = typed.text(*key).trim();
        (!key.is_switch() && !text.is_empty()).then_some(text)
    });
    of.map_or_else(|| word.to_owned(), |of| format!("{of}-{word}"))
}

/// Work that makes the document where it is not shown already, and then does something with it.
pub(super) fn work(
    view: &View,
    cx: &Cx,
    paper: &Paper,
    then: Then,
) -> (Work, Option<Receiver<Made>>) {
    let typed = view.typed.clone();
    let job = job(cx, paper);
    let title = format!("{}: {}", typed.what.title(), doing(&then));
    if let Some(made) = view.made().cloned() {
        let work = Work::new(title, "", move |_| done(&typed, &made, &then));
        return (work, None);
    }
    let (send, made) = channel();
    let work = Work::new(title, "", move |given| {
        make(&typed, job, &given, &then, &send)
    });
    (work, Some(made))
}

fn doing(then: &Then) -> &'static str {
    match then {
        Then::Show => "setting the pages",
        Then::Save(_) => "saving",
        Then::Open => "opening",
        Then::Print => "printing",
    }
}

fn job(cx: &Cx, paper: &Paper) -> PrintJob {
    PrintJob {
        now: cx.now,
        for_whom: cx.person.map(|p| p.name.clone()).unwrap_or_default(),
        show: cx.show,
        program: crate::hands::program(),
        is_demo: paper.is_demo,
        anchor: paper.anchor.clone(),
    }
}

fn make(typed: &Typed, job: PrintJob, given: &Given, then: &Then, send: &Sender<Made>) -> Ended {
    let job = PrintJob {
        now: given.now,
        ..job
    };
    let text = |key: Key| Some(typed.text(key).to_owned());
    let wish = Wish {
        what: typed.what,
        text: &text,
        name: Key::label,
    };
    let document = wish.document(&given.conn, given.now)?;
    let bytes = document
        .pdf(&given.conn, &job)
        .map_err(|e| crate::win::command::sentence(&e.to_string()))?;
    if !given.pace.tell(1, 1) {
        return Ok(None);
    }
    let bytes = Arc::new(bytes);
    let preview = Preview::read(Arc::clone(&bytes)).map_err(|e| e.to_string())?;
    let made = Made { bytes, preview };
    let ended = done(typed, &made, then);
    // The page may have been left meanwhile.
    let _unwanted = send.send(made);
    ended
}

/// What is done with the document, and a sentence about it.
fn done(typed: &Typed, made: &Made, then: &Then) -> Ended {
    let pages = counted(made.preview.sizes().len(), "page");
    let title = typed.what.title();
    Ok(Some(match then {
        Then::Show => format!("{title}: {pages}, made just now."),
        Then::Save(path) => {
            write_whole(path, &made.bytes).map_err(|e| e.to_string())?;
            format!("{title}: {pages} written to {}.", path.display())
        }
        Then::Open => {
            let path = aside(typed, made)?;
            system::open(&path)?;
            format!("{title}: {pages} opened from {}.", path.display())
        }
        Then::Print => {
            let path = aside(typed, made)?;
            let how = system::send_to_printer(&path)?;
            format!("{title}: {pages} sent to the printer with {how}.")
        }
    }))
}

/// A copy in the folder for passing files, for a program that wants a file.
fn aside(typed: &Typed, made: &Made) -> Result<PathBuf, String> {
    let folder = std::env::temp_dir().join(format!("chockbook-{}", std::process::id()));
    std::fs::create_dir_all(&folder).map_err(|e| {
        format!(
            "Cannot make the folder {}: {e}. Save the PDF instead.",
            folder.display()
        )
    })?;
    let path = folder.join(format!("{}.pdf", plain(&stem(typed))));
    write_whole(&path, &made.bytes).map_err(|e| e.to_string())?;
    Ok(path)
}

/// A name of a file made from a mark.
fn plain(name: &str) -> String {
    let plain = |c: char| {
        if c.is_alphanumeric() || matches!(c, '-' | '_' | '.') {
            c
        } else {
            '_'
        }
    };
    name.chars().map(plain).collect()
}

/// The bearings that are meant by marks parted by commas; a `*` in a mark stands for any letters.
pub(super) fn many(things: &[FoundThing], marks: &str) -> Vec<(ThingNo, String)> {
    let wanted: Vec<String> = marks
        .split([',', ';', '\n'])
        .map(|mark| mark.trim().to_lowercase())
        .filter(|mark| !mark.is_empty())
        .collect();
    let bearings = things.iter().filter(|t| t.entity == "bearing");
    let is_wanted = |code: &str| {
        let code = code.to_lowercase();
        wanted.iter().any(|mark| fits(mark, &code))
    };
    bearings
        .filter(|t| is_wanted(&t.code))
        .map(|t| (t.no, t.code.clone()))
        .collect()
}

fn fits(mark: &str, code: &str) -> bool {
    let Some((start, rest)) = mark.split_once('*') else {
        return mark == code;
    };
    let Some(mut left) = code.strip_prefix(start) else {
        return false;
    };
    let parts: Vec<&str> = rest.split('*').collect();
    let (last, between) = parts
        .split_last()
        .map_or(("", &[][..]), |(last, all)| (*last, all));
    for part in between {
        match left.find(part) {
            Some(at) => left = &left[at + part.len()..],
            None => return false,
        }
    }
    left.ends_with(last)
}

/// Work that writes the history of each bearing into a folder, one file each.
pub(super) fn histories(
    cx: &Cx,
    paper: &Paper,
    bearings: Vec<(ThingNo, String)>,
    folder: PathBuf,
) -> Work {
    let job = job(cx, paper);
    let title = format!(
        "Printing {}",
        counted(bearings.len(), "history").replace("historys", "histories")
    );
    Work::new(title, "histories", move |given| {
        let job = PrintJob {
            now: given.now,
            ..job
        };
        write_all(&given, &job, &bearings, &folder)
    })
}

fn write_all(
    given: &Given,
    job: &PrintJob,
    bearings: &[(ThingNo, String)],
    folder: &Path,
) -> Ended {
    std::fs::create_dir_all(folder)
        .map_err(|e| format!("Cannot make the folder {}: {e}.", folder.display()))?;
    let all = bearings.len();
    let far = |done: usize| (done as i64, all as i64);
    for (done, (bearing, serial)) in bearings.iter().enumerate() {
        let (at, of) = far(done);
        if !given.pace.tell(at, of) {
            return Ok(Some(format!(
                "Stopped: {done} of {all} are written to {}.",
                folder.display()
            )));
        }
        let path = folder.join(format!("{}-{}.pdf", plain(serial), What::History.word()));
        let written = print::history_pdf(&given.conn, *bearing, &HistoryParts::default(), job)
            .and_then(|pdf| write_whole(&path, &pdf));
        written.map_err(|e| format!("{serial}: {e}. {done} of {all} are written before it."))?;
    }
    given.pace.tell(all as i64, all as i64);
    Ok(Some(format!(
        "All {all} are written to {}.",
        folder.display()
    )))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_star_stands_for_any_letters() {
        for (mark, code, does_fit) in [
            ("th-4t-0*", "th-4t-008", true),
            ("th-4t-0*", "th-4p-001", false),
            ("*-008", "th-4t-008", true),
            ("th*4*8", "th-4t-008", true),
            ("th*9*8", "th-4t-008", false),
            ("*", "", true),
            ("th-4t-008", "th-4t-008", true),
            ("th-4t-00", "th-4t-008", false),
            ("a*a", "a", false),
        ] {
            assert_eq!(fits(mark, code), does_fit, "{mark} {code}");
        }
    }
}
