//! A table of a table program pasted into a page of the register: read, checked row by row beside the window's thread,
//! shown with every bad cell named, and written in one transaction. What was pasted stays until it is in the register.

mod check;
mod columns;
mod text;
pub mod view;

use std::sync::Arc;

use store::Stamp;
use store::entry::Show;

use self::check::Checked;
use super::model::Model;
use super::page::Page;
use crate::win::command::{Answers, Command, Events, Place, Said};
use crate::win::work::{Job, Pace};
use crate::win::worker::Wake;

/// Where the answer to writing belongs.
pub const PLACE: Place = "setup/paste";

/// The pages that take a table.
pub fn takes(page: Page) -> bool {
    page.entity().is_some()
}

/// What was pasted into one page, and what came of it.
#[derive(Default)]
pub struct Paste {
    /// The text.
    text: String,
    /// Counted up with each change of it.
    version: u64,
    /// The path of a file, as it is typed.
    path: String,
    /// Columns that are not known are passed over.
    leaves_out: bool,
    /// Only rows that are not right are listed.
    only_bad: bool,
    /// It was changed: once it is all right the keyboard goes to the button that saves it.
    wants_save: bool,
    /// The line that is being mended, and what stands in it now.
    mend: Option<(usize, String)>,
    /// Why the file could not be read.
    failed: Option<String>,
    reading: Option<Job<Result<String, String>>>,
    checking: Option<Job<Option<Checked>>>,
    /// What was checked last, and for which text and register.
    checked: Option<Arc<Checked>>,
    checked_for: Option<(u64, usize)>,
    saving: Option<Saving>,
}

impl std::fmt::Debug for Paste {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Paste")
            .field("letters", &self.text.len())
            .finish_non_exhaustive()
    }
}

/// Rows on their way into the register.
struct Saving {
    pace: Pace,
    /// What is left when they are in: the heads and the rows that were not right.
    rest: String,
}

impl Paste {
    /// Whether something was pasted that is not in the register.
    pub fn is_kept(&self) -> bool {
        !self.text.trim().is_empty()
    }

    /// Adds what was pasted: a first table, or more rows of it.
    pub fn add(&mut self, pasted: &str) {
        let pasted = pasted.trim_start_matches('\u{feff}');
        if self.is_kept() {
            if !self.text.ends_with('\n') {
                self.text.push('\n');
            }
            self.text.push_str(pasted);
        } else {
            pasted.clone_into(&mut self.text);
        }
        self.changed();
    }

    fn changed(&mut self) {
        self.version += 1;
        self.wants_save = true;
        self.failed = None;
    }

    /// One line in the place of another.
    fn replace(&mut self, line: usize, with: &str) {
        let lines: Vec<&str> = text::lines(&self.text)
            .enumerate()
            .map(|(at, old)| if at + 1 == line { with } else { old })
            .collect();
        self.text = lines.join("\n");
        self.changed();
    }

    fn line(&self, line: usize) -> &str {
        text::lines(&self.text)
            .nth(line.saturating_sub(1))
            .unwrap_or_default()
    }

    /// Takes what has come, and has a text checked that was not.
    pub fn refresh(
        &mut self,
        page: Page,
        model: &Arc<Model>,
        (show, now): (Show, Stamp),
        wake: Option<&Wake>,
    ) {
        if let Some(read) = self.reading.as_ref().and_then(Job::ended) {
            self.reading = None;
            match read.and_then(|read| read) {
                Ok(text) => self.add(&text),
                Err(why) => self.failed = Some(why),
            }
        }
        if let Some(ended) = self.checking.as_ref().and_then(Job::ended) {
            self.checking = None;
            match ended {
                Ok(checked) => self.checked = checked.map(Arc::new).or(self.checked.take()),
                Err(why) => self.failed = Some(why),
            }
        }
        let wanted = (self.version, Arc::as_ptr(model) as usize);
        let is_due = self.is_kept() && self.checked_for != Some(wanted) && model.page == Some(page);
        let (true, Some(wake)) = (is_due && self.saving.is_none(), wake) else {
            return;
        };
        self.checked_for = Some(wanted);
        let (text, leaves_out, model) = (self.text.clone(), self.leaves_out, Arc::clone(model));
        let run = move |pace: &Pace| {
            let tell = |done, all| pace.tell(count(done), count(all));
            check::check((page, &text), leaves_out, &model, (show, now), &tell)
        };
        match Job::start("chockbook-paste", wake, run) {
            Ok(job) => self.checking = Some(job),
            Err(why) => self.failed = Some(why),
        }
    }

    /// Has a file read.
    fn read_file(&mut self, wake: Option<&Wake>) {
        let path = self.path.trim().trim_matches(['"', '\'']).to_owned();
        let (false, Some(wake)) = (path.is_empty(), wake) else {
            return;
        };
        let run = move |_: &Pace| match std::fs::read(&path) {
            Ok(bytes) => Ok(text::decode(&bytes)),
            Err(e) => Err(format!(
                "{path} cannot be read: {e}. Check the path, or close the program that holds it."
            )),
        };
        match Job::start("chockbook-read", wake, run) {
            Ok(job) => self.reading = Some(job),
            Err(why) => self.failed = Some(why),
        }
    }

    /// Hands the rows that are right to the register.
    fn save(&mut self, model: &Arc<Model>, wake: Option<&Wake>, commands: &mut Vec<Command>) {
        let (Some(checked), Some(wake)) = (self.checked.clone(), wake) else {
            return;
        };
        let forms: Vec<_> = checked.good().map(|row| row.form.clone()).collect();
        let bad: Vec<&str> = checked
            .rows
            .iter()
            .filter(|row| !row.wrongs.is_empty())
            .map(|row| self.line(row.line))
            .collect();
        let rest = if bad.is_empty() {
            String::new()
        } else {
            [vec![self.line(checked.head_line)], bad]
                .concat()
                .join("\n")
        };
        let pace = Pace::new(Arc::clone(wake));
        let model = Arc::clone(model);
        let events = Events::made(move |logbook| {
            check::events(&forms, &model, logbook.now(), &|no| logbook.name(no))
        });
        self.saving = Some(Saving {
            pace: pace.clone(),
            rest,
        });
        commands.push(Command::AppendMany {
            place: PLACE,
            events,
            pace,
        });
    }

    /// Takes the answer to writing: true where everything is in the register.
    pub fn take_answer(&mut self, answers: &Answers) -> bool {
        if self.saving.is_none() {
            return false;
        }
        match answers.get(PLACE) {
            Some(Said::Done(_)) => {
                let saving = self.saving.take();
                self.text = saving.map(|s| s.rest).unwrap_or_default();
                (self.checked, self.checked_for, self.mend) = (None, None, None);
                self.changed();
                !self.is_kept()
            }
            Some(Said::Refused(_)) => {
                self.saving = None;
                false
            }
            _ => false,
        }
    }
}

fn count(rows: usize) -> i64 {
    i64::try_from(rows).unwrap_or(i64::MAX)
}
