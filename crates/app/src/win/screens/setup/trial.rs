//! Asks the logbook while one types whether what is typed would be refused, and what else would follow from it: the rules
//! stand there, once, and nothing is written.

use std::collections::BTreeMap;
use std::sync::Arc;

use store::sheet::SeatAlone;
use store::{Foretold, Signer};

use super::form::{Act, Form, Subject};
use super::model::Model;
use super::page::Page;
use super::{read, seat_check};
use crate::win::worker::{Answer, Progress, Worker};

/// What is asked about.
type Key = (Subject, BTreeMap<String, String>, u64, bool);

/// What the logbook said.
#[derive(Debug, Clone, Default)]
struct Said {
    foretold: Foretold,
    seat: Option<Arc<SeatAlone>>,
}

/// One question at a time; what was typed meanwhile is asked next.
#[derive(Debug, Default)]
pub struct Trial {
    asked: Option<Key>,
    answer: Option<Answer<Said>>,
    said: Said,
}

impl Trial {
    /// Takes an answer that has come, and asks about what was typed since.
    pub fn refresh(
        &mut self,
        worker: &Worker,
        form: Option<&mut Form>,
        model: &Arc<Model>,
        person: Option<&Signer>,
    ) {
        if let Some(answer) = &self.answer {
            match answer.look() {
                Progress::Waiting => return,
                Progress::Here(said) => (self.said, self.answer) = (said, None),
                Progress::Stopped => (self.said, self.answer) = (Said::default(), None),
            }
        }
        let Some(form) = form else { return };
        // A file is read once, when it is signed.
        let is_tried = match form.subject {
            Subject::Act(_, act, _) => act != Act::Attached,
            Subject::Edit(page, _) => page == Page::BearingTypes,
            Subject::New(_) => false,
        };
        let (true, Some(person)) = (is_tried, person) else {
            return;
        };
        let key = (
            form.subject,
            form.texts.clone(),
            worker.generation(),
            model.page.is_some(),
        );
        if self.asked.as_ref() == Some(&key) {
            form.refused.clone_from(&self.said.foretold.refusal);
            form.asked.clone_from(&self.said.foretold.questions);
            form.seat.clone_from(&self.said.seat);
            let seat = form.seat.iter();
            let odd: Vec<String> = seat
                .flat_map(|seat| seat_check::questions(seat, form.text("why_not")))
                .collect();
            form.asked.extend(odd);
            return;
        }
        let is_other = self
            .asked
            .as_ref()
            .is_none_or(|(subject, ..)| *subject != form.subject);
        if is_other {
            form.refused = None;
            form.asked.clear();
        }
        self.asked = Some(key);
        let (form, model, person) = (form.clone(), Arc::clone(model), person.clone());
        self.answer = Some(worker.ask(move |logbook| {
            let now = logbook.now();
            let name = |no| logbook.name(no);
            let event = read::event(&form, &model, now, &name).ok();
            // Places do not wait for words.
            let event = event.or_else(|| read::event(&worded(&form), &model, now, &name).ok());
            let at = event.as_ref().map_or(now, |event| event.at);
            let seat = seat_check::told(logbook, &form, &model, at).map(Arc::new);
            let event =
                event.and_then(|event| seat_check::judged(logbook, &form, &model, event).ok());
            let foretold = event.and_then(|event| logbook.foretell(&person, &[event]).ok());
            Said {
                foretold: foretold.unwrap_or_default(),
                seat,
            }
        }));
    }
}

/// The form with a stand-in for the words that are still missing: what is refused for its place is told before them.
fn worded(form: &Form) -> Form {
    let mut form = form.clone();
    for path in ["reason", "text", "to", "condition"] {
        if form.text(path).trim().is_empty() {
            form.set(path, "\u{2026}".into());
        }
    }
    form
}
