//! Keeps what is typed into a sheet: half a second after the last key, at once when a field is committed.
//!
//! The screen notes changes while it draws; [`Keeper::poll`], called from `Screen::refresh`, hands them to the
//! worker and learns when they are on disk. Only then does [`Keeper::words`] say so.

use std::collections::BTreeMap;

use store::draft::{DraftId, Source};
use store::{Logbook, Stamp};

use super::worker::{Answer, Progress, STOPPED, Worker};

/// From the last key until what was typed is kept, s.
const PAUSE_S: f64 = 0.5;

type Changes = BTreeMap<String, (String, Source)>;

/// What became of the last keeping.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
enum State {
    /// Nothing was kept since the sheet was opened.
    #[default]
    Untouched,
    /// All that was handed over is on disk.
    Kept(Stamp),
    /// It is not, and why.
    Failed(String),
}

/// Keeps one draft.
#[derive(Debug)]
pub struct Keeper {
    draft: DraftId,
    changed: Changes,
    caret: String,
    caret_kept: String,
    /// When to hand over: time of the window, s.
    due: Option<f64>,
    on_its_way: Option<(Changes, String, Answer<store::Result<Stamp>>)>,
    state: State,
}

impl Keeper {
    /// A keeper of this draft; `caret` is where it was kept last.
    pub fn new(draft: DraftId, caret: &str) -> Self {
        Self {
            draft,
            changed: Changes::new(),
            caret: caret.into(),
            caret_kept: caret.into(),
            due: None,
            on_its_way: None,
            state: State::default(),
        }
    }

    /// The draft.
    pub fn draft(&self) -> DraftId {
        self.draft
    }

    /// Notes what a field holds now; an empty text removes it. `is_committed` says that it need not wait for the
    /// next key. `time` is that of the window, s.
    pub fn note(&mut self, path: &str, text: &str, source: Source, is_committed: bool, time: f64) {
        self.changed.insert(path.into(), (text.into(), source));
        let due = if is_committed { time } else { time + PAUSE_S };
        self.due = Some(if is_committed {
            self.due.map_or(due, |d| d.min(due))
        } else {
            due
        });
    }

    /// Notes where the caret is; kept with the next change, or half a second later.
    pub fn note_caret(&mut self, path: &str, time: f64) {
        if self.caret != path {
            self.caret = path.into();
            self.due.get_or_insert(time + PAUSE_S);
        }
    }

    /// True while something typed is not known to be on disk.
    pub fn is_behind(&self) -> bool {
        !self.changed.is_empty() || self.on_its_way.is_some()
    }

    /// What the top strip says: `draft kept 14:02` only when it is on disk.
    pub fn words(&self) -> String {
        match &self.state {
            State::Failed(why) => format!("draft not kept: {why}"),
            State::Kept(at) => format!("draft kept {}", at.time_of_day()),
            State::Untouched => String::new(),
        }
    }

    /// Why what was typed is not on disk.
    pub fn error(&self) -> Option<&str> {
        if let State::Failed(why) = &self.state {
            Some(why)
        } else {
            None
        }
    }

    /// Takes the answer that has come and hands over what is due; answers when to look again, s from now.
    pub fn poll(&mut self, worker: &Worker, time: f64) -> Option<f64> {
        self.take(time);
        let due = self.due?;
        if self.on_its_way.is_some() {
            return None; // the answer wakes the window
        }
        if due > time {
            return Some(due - time);
        }
        self.send(worker);
        None
    }

    /// Hands everything over now: the page is left, or the window closes.
    pub fn flush(&mut self, worker: &Worker) {
        if self.due.is_some() {
            self.send(worker);
        }
    }

    fn send(&mut self, worker: &Worker) {
        self.due = None;
        if self.changed.is_empty() && self.caret == self.caret_kept {
            return;
        }
        let (draft, changed, caret) = (
            self.draft,
            std::mem::take(&mut self.changed),
            self.caret.clone(),
        );
        let (sent, sent_caret) = (changed.clone(), caret.clone());
        // Keeping is no write of the record: nothing on other pages grows old by it.
        let answer = worker.ask(move |logbook: &mut Logbook| {
            let list: Vec<_> = changed
                .iter()
                .map(|(path, (text, source))| (&**path, &**text, *source))
                .collect();
            logbook.keep_draft(draft, &list, &caret)?;
            Ok(logbook.now())
        });
        // What is still on its way goes first: the worker keeps the order.
        let mut all = self
            .on_its_way
            .take()
            .map(|(earlier, ..)| earlier)
            .unwrap_or_default();
        all.extend(sent);
        self.on_its_way = Some((all, sent_caret, answer));
    }

    fn take(&mut self, time: f64) {
        let Some((_, _, answer)) = &self.on_its_way else {
            return;
        };
        let outcome = match answer.look() {
            Progress::Waiting => return,
            Progress::Here(outcome) => outcome.map_err(|e| e.to_string()),
            Progress::Stopped => Err(STOPPED.into()),
        };
        let Some((sent, caret, _)) = self.on_its_way.take() else {
            return;
        };
        match outcome {
            Ok(at) => {
                self.state = State::Kept(at);
                self.caret_kept = caret;
            }
            Err(why) => {
                self.state = State::Failed(why);
                // What failed is tried again; what was typed since is newer.
                for (path, change) in sent {
                    self.changed.entry(path).or_insert(change);
                }
                self.due = Some(time + 5.0);
            }
        }
    }
}
