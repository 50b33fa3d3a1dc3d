//! The fields of a sheet as committed, what is being typed, and how to take it back. Nothing here reaches the disk:
//! [`Entries::take_changes`] is handed to the keeper.

use std::collections::BTreeMap;

use egui::Context;
use store::draft::{DraftField, Fields, Source};
use store::entry::{LengthUnit, Show};
use store::sheet::field::{self, FieldKind};

use super::typed::{shown, source, stored};
use crate::ui::focus;

/// What a field holds now, to be kept.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Change {
    /// The field.
    pub path: String,
    /// Its text; empty where it is emptied.
    pub text: String,
    /// Where that comes from.
    pub source: Source,
    /// False while it is still being typed.
    pub is_committed: bool,
}

/// What is being typed into a field.
#[derive(Debug, Clone)]
struct Typing {
    text: String,
    /// When its first key came, s.
    since: f64,
}

/// When the caret went on by itself.
#[derive(Debug, Clone, Copy)]
pub struct WentOn {
    /// Time of the window, s.
    pub time: f64,
    /// A line end within this time belongs to what was entered, s.
    pub within_s: f64,
    /// Frames since then.
    pub frames: u32,
}

/// A field and what it held or is to hold.
type Put = (String, Option<DraftField>);

/// What stands in the fields of a sheet.
#[derive(Default)]
pub struct Entries {
    fields: Fields,
    typing: BTreeMap<String, Typing>,
    undo: Vec<Vec<Put>>,
    changes: Vec<Change>,
    revision: u64,
    /// The field whose question or refusal is shown first.
    pub remark: Option<String>,
    /// The caret went on by itself: a line end that follows at once belongs to what was typed before.
    pub went_on: Option<WentOn>,
}

/// Whether something stands in a field.
pub fn has(fields: &Fields, path: &str) -> bool {
    fields.get(path).is_some_and(|f| !f.text.trim().is_empty())
}

impl Entries {
    /// The fields as they were kept last.
    pub fn new(fields: Fields) -> Self {
        Self {
            fields,
            ..Self::default()
        }
    }

    /// The fields as committed.
    pub fn fields(&self) -> &Fields {
        &self.fields
    }

    /// Counts every change of what is committed.
    pub fn revision(&self) -> u64 {
        self.revision
    }

    /// What changed since this was asked last.
    pub fn take_changes(&mut self) -> Vec<Change> {
        std::mem::take(&mut self.changes)
    }

    /// What a field shows: what is being typed, or what was committed, in the logbook's unit.
    pub fn text(&self, path: &str, show: Show) -> String {
        match self.typing.get(path) {
            Some(typing) => typing.text.clone(),
            None => self
                .fields
                .get(path)
                .map(|f| shown(path, &f.text, show))
                .unwrap_or_default(),
        }
    }

    /// What was committed, without blanks around it.
    pub fn committed(&self, path: &str) -> &str {
        self.fields.get(path).map_or("", |f| f.text.trim())
    }

    /// Whether no field is being typed into.
    pub fn is_at_rest(&self) -> bool {
        self.typing.is_empty()
    }

    /// Whether a field is being typed into.
    pub fn is_typing(&self, path: &str) -> bool {
        self.typing.contains_key(path)
    }

    /// Takes what is typed so far; `time` is that of the window, s.
    pub fn type_in(&mut self, path: &str, text: String, show: Show, time: f64) {
        if text == self.text(path, show) && !self.is_typing(path) {
            return;
        }
        let since = self.typing.get(path).map_or(time, |t| t.since);
        let text_kept = stored(path, text.trim(), show.unit);
        self.changes.push(Change {
            path: path.into(),
            text: text_kept,
            source: Source::Typed,
            is_committed: false,
        });
        self.typing.insert(path.into(), Typing { text, since });
    }

    /// Commits what is typed into a field; true if that changed it.
    pub fn commit(&mut self, path: &str, show: Show, time: f64) -> bool {
        let Some(typing) = self.typing.remove(path) else {
            return false;
        };
        let typed = typing.text.trim();
        let before = self
            .fields
            .get(path)
            .map(|f| shown(path, &f.text, show))
            .unwrap_or_default();
        if typed == before {
            // What was kept while typing is put right.
            let (text, source) = self
                .fields
                .get(path)
                .map_or((String::new(), Source::Typed), |f| {
                    (f.text.clone(), f.source)
                });
            self.changes.push(Change {
                path: path.into(),
                text,
                source,
                is_committed: true,
            });
            return false;
        }
        let source = source(typed, time - typing.since);
        let new = (!typed.is_empty()).then(|| DraftField {
            text: stored(path, typed, show.unit),
            source,
        });
        self.put(vec![(path.into(), new)]);
        true
    }

    /// Commits whatever is being typed and has lost the caret.
    pub fn commit_left(&mut self, ctx: &Context, show: Show, time: f64) {
        let left: Vec<String> = self
            .typing
            .keys()
            .filter(|path| !focus::has(ctx, path))
            .cloned()
            .collect();
        for path in left {
            self.commit(&path, show, time);
        }
    }

    /// Commits whatever is being typed.
    pub fn commit_all(&mut self, show: Show, time: f64) {
        for path in self.typing.keys().cloned().collect::<Vec<_>>() {
            self.commit(&path, show, time);
        }
    }

    /// Puts texts into fields as one step that can be undone.
    pub fn put(&mut self, all: Vec<Put>) {
        let before = all
            .into_iter()
            .map(|(path, new)| self.set(path, new))
            .collect();
        self.undo.push(before);
    }

    /// Puts a chosen text into a field; an empty one empties it.
    pub fn choose(&mut self, path: &str, text: &str) {
        if self.committed(path) != text {
            let new = (!text.is_empty()).then(|| DraftField {
                text: text.into(),
                source: Source::Typed,
            });
            self.put(vec![(path.into(), new)]);
        }
    }

    /// Pasted lines fill the fields from `path` on, as one step. Answers the last field filled.
    pub fn fill(
        &mut self,
        path: &str,
        lines: &[String],
        order: &[String],
        unit: LengthUnit,
    ) -> Option<String> {
        let from = order.iter().position(|p| p == path)?;
        let numbers = order[from..]
            .iter()
            .filter(|p| matches!(field::kind(p), Some(FieldKind::Number(_))));
        let all: Vec<Put> = numbers
            .zip(lines)
            .map(|(path, text)| {
                self.typing.remove(path);
                (
                    path.clone(),
                    Some(DraftField {
                        text: stored(path, text, unit),
                        source: Source::Pasted,
                    }),
                )
            })
            .collect();
        let last = all.last().map(|(path, _)| path.clone());
        self.put(all);
        last
    }

    /// Answers the question about a field with keep.
    pub fn keep(&mut self, path: &str) {
        let kept = self.fields.get(path).cloned();
        self.put(vec![(format!("kept.{path}"), kept)]);
        self.remark = None;
    }

    /// Takes back the last step; the first field of it, or none where there is nothing to take back.
    pub fn take_back_step(&mut self) -> Option<String> {
        let step = self.undo.pop()?;
        let first = step
            .first()
            .map(|(path, _)| path.strip_prefix("kept.").unwrap_or(path).to_owned());
        for (path, before) in step {
            self.set(path, before);
        }
        self.remark = None;
        first
    }

    fn set(&mut self, path: String, new: Option<DraftField>) -> Put {
        let (text, source) = new.as_ref().map_or((String::new(), Source::Typed), |f| {
            (f.text.clone(), f.source)
        });
        self.changes.push(Change {
            path: path.clone(),
            text,
            source,
            is_committed: true,
        });
        self.typing.remove(&path);
        self.revision += 1;
        let before = match new {
            Some(field) => self.fields.insert(path.clone(), field),
            None => self.fields.remove(&path),
        };
        (path, before)
    }
}
