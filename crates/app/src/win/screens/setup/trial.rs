//! Asks the logbook while one types whether an act would be refused: the rules stand there, once, and nothing is written.

use std::collections::BTreeMap;
use std::sync::Arc;

use store::Signer;

use super::form::{Act, Form, Subject};
use super::model::Model;
use super::read;
use crate::win::worker::{Answer, Progress, Worker};

/// What is asked about.
type Key = (Subject, BTreeMap<String, String>, u64, bool);

/// One question at a time; what was typed meanwhile is asked next.
#[derive(Debug, Default)]
pub struct Trial {
    asked: Option<Key>,
    answer: Option<Answer<Option<String>>>,
    said: Option<String>,
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
                Progress::Stopped => (self.said, self.answer) = (None, None),
            }
        }
        let Some(form) = form else { return };
        // A file is read once, when it is signed.
        let is_act = matches!(form.subject, Subject::Act(_, act, _) if act != Act::Attached);
        let (true, Some(person)) = (is_act, person) else {
            return;
        };
        let key = (
            form.subject,
            form.texts.clone(),
            worker.generation(),
            model.page.is_some(),
        );
        if self.asked.as_ref() == Some(&key) {
            form.refused.clone_from(&self.said);
            return;
        }
        let is_other = self
            .asked
            .as_ref()
            .is_none_or(|(subject, ..)| *subject != form.subject);
        if is_other {
            form.refused = None;
        }
        self.asked = Some(key);
        let (form, model, person) = (form.clone(), Arc::clone(model), person.clone());
        self.answer = Some(worker.ask(move |logbook| {
            let now = logbook.now();
            let event = read::event(&form, &model, now, &|no| logbook.name(no)).ok()?;
            logbook.refusal(&person, &[event]).ok().flatten()
        }));
    }
}
