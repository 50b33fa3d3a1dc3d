//! Documents: choose one and its thing, look at its pages, save it, open it, send it to the printer; histories of many
//! bearings at once.
//!
//! `form` is what is asked, `acts` the long work that makes the document, `pages` the pages as they will be printed,
//! `system` hands a file to the machine's own viewer or printer.

mod acts;
mod form;
mod pages;
mod system;

#[cfg(test)]
mod tests;

use std::collections::BTreeMap;
use std::sync::mpsc::{Receiver, TryRecvError};

use egui::Ui;
use store::query::{code_of, sheet_detail};
use store::time::DAY_MS;
use store::{Connection, Stamp, ThingNo};

use self::acts::{Made, Paper, Then};
use self::form::documents_ui;
use self::pages::Pages;
use super::bearings::save::Saving;
use super::{Cx, Heading, Screen};
use crate::print::{Key, What};
use crate::ui::keys::Action;
use crate::win::command::Command;
use crate::win::worker::{Topic, Wake, Worker};

/// What is wished: the document and what was typed for it.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
struct Typed {
    what: What,
    /// Histories of many bearings instead.
    is_many: bool,
    texts: BTreeMap<Key, String>,
    /// Marks of many bearings.
    many: String,
    /// Where their histories go.
    folder: String,
}

impl Typed {
    fn text(&self, key: Key) -> &str {
        self.texts.get(&key).map_or("", String::as_str)
    }

    /// What the document cannot do without and is not typed yet.
    fn missing(&self) -> Option<&'static str> {
        let needed = self.what.asks().iter().filter(|(_, needed)| *needed);
        let open = |key: &Key| self.text(*key).trim().is_empty();
        let first = needed.map(|(key, _)| *key).find(open).map(Key::label);
        let either = |one: Key, other: Key| (open(&one) && open(&other)).then(|| one.label());
        first.or_else(|| match self.what {
            What::Sheet => either(Key::Bearing, Key::Event),
            What::Labels => either(Key::Kind, Key::Of),
            _ => None,
        })
    }
}

/// What only the page remembers.
#[derive(Debug, Default)]
struct View {
    typed: Typed,
    /// The document that is shown, and what was typed when it was made.
    pages: Option<(Typed, Pages)>,
    /// Where it is to be saved.
    saving: Option<Saving>,
    is_print_asked: bool,
    /// The pages are to be shown as soon as all is there that they need.
    is_show_asked: bool,
    /// The list of documents gets the keyboard.
    to_list: Option<usize>,
    /// The first field gets it.
    to_first: bool,
    /// The document that is being made, and what was typed for it.
    making: Option<(Typed, Making)>,
}

/// The end of a channel on which a document comes.
struct Making(Receiver<Made>);

impl std::fmt::Debug for Making {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("Making")
    }
}

/// The page.
pub struct DocumentsScreen {
    view: View,
    /// What another page sent here, until its mark stands in its field.
    of: Option<ThingNo>,
    sent: Topic<(What, ThingNo), Vec<(Key, String)>>,
    paper: Topic<(), Paper>,
    /// Asks for a frame when a page is drawn.
    wake: Option<Wake>,
}

impl DocumentsScreen {
    /// The page with a document chosen, of the thing or event that another page sent here: that is shown at once.
    pub fn new(what: What, of: Option<ThingNo>) -> Self {
        let typed = Typed {
            what,
            ..Typed::default()
        };
        // A hand-over is about the shift and needs no thing.
        let is_sent = of.is_some() || what == What::Handover;
        Self {
            view: View {
                typed,
                is_show_asked: is_sent,
                to_first: !is_sent,
                ..View::default()
            },
            of,
            sent: Topic::default(),
            paper: Topic::default(),
            wake: None,
        }
    }

    /// Puts what another page sent into its field, once its mark is known.
    fn take_sent(&mut self) {
        let Some(marks) = self.sent.value() else {
            return;
        };
        if self.of.take().is_some() {
            self.view.typed.texts.extend(marks.iter().cloned());
        }
    }
}

/// What a thing or event is called in the field that asks for it; a stand is reviewed over the twelve months of its page.
fn mark_of(
    conn: &Connection,
    what: What,
    of: ThingNo,
    now: Stamp,
) -> store::Result<Vec<(Key, String)>> {
    if what == What::Sheet {
        let sheet = sheet_detail(conn, of.0, store::entry::Show::default())?;
        let named = sheet.map(|sheet| (Key::Event, sheet.event.id.to_string()));
        return Ok(named.into_iter().collect());
    }
    let mut asked = what.asks().iter().map(|(key, _)| *key);
    let key = asked.find(|key| key.entity().is_some() || *key == Key::Thing);
    let mark = code_of(conn, of)?;
    let mut marks: Vec<(Key, String)> = key.map(|key| (key, mark)).into_iter().collect();
    if what == What::Stand {
        marks.push((Key::From, now.plus_ms(-365 * DAY_MS).date()));
    }
    Ok(marks)
}

impl std::fmt::Debug for DocumentsScreen {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("DocumentsScreen")
            .field("view", &self.view)
            .finish_non_exhaustive()
    }
}

impl Screen for DocumentsScreen {
    fn refresh(&mut self, worker: &Worker, _time: f64) -> Option<f64> {
        self.wake.get_or_insert_with(|| worker.wake());
        self.paper
            .refresh(worker, &(), |logbook, ()| Paper::read(logbook));
        if let Some(of) = self.of {
            let key = (self.view.typed.what, of);
            self.sent.refresh(worker, &key, |logbook, (what, of)| {
                mark_of(logbook.connection(), *what, *of, logbook.now())
            });
            self.take_sent();
        }
        self.view.take_made();
        if let (Some((_, pages)), Some(wake)) = (&mut self.view.pages, &self.wake) {
            pages.draw_next(wake);
        }
        None
    }

    fn heading(&self, _cx: &Cx) -> Heading {
        let detail = if self.view.typed.is_many {
            "Histories of many bearings"
        } else {
            self.view.typed.what.title()
        };
        Heading::new("Documents", detail)
    }

    fn ui(&mut self, ui: &mut Ui, cx: &Cx, commands: &mut Vec<Command>) {
        let paper = self.paper.value().map(AsRef::as_ref);
        documents_ui(ui, cx, paper, &mut self.view, commands);
    }

    fn act(&mut self, action: Action, _commands: &mut Vec<Command>) {
        let all = What::ALL;
        let turn = |by: usize, view: &mut View| {
            let here = all.iter().position(|what| *what == view.typed.what);
            view.choose(all[(here.unwrap_or(0) + by) % all.len()]);
        };
        match action {
            Action::Print => self.view.is_print_asked = true,
            Action::NextSection => turn(1, &mut self.view),
            Action::PreviousSection => turn(all.len() - 1, &mut self.view),
            _ => {}
        }
    }
}

impl View {
    /// Turns to a document; what was typed for the others stays.
    fn choose(&mut self, what: What) {
        self.typed.what = what;
        self.typed.is_many = false;
        self.to_first = true;
    }

    /// Takes the document that was asked for, once it is here.
    fn take_made(&mut self) {
        let Some((typed, making)) = self.making.take() else {
            return;
        };
        match making.0.try_recv() {
            Ok(made) => self.pages = Some((typed, Pages::new(made))),
            Err(TryRecvError::Empty) => self.making = Some((typed, making)),
            // The work stopped or failed: its words stand at the top of the page.
            Err(TryRecvError::Disconnected) => {}
        }
    }

    /// The document that is shown, where nothing else is wished by now.
    fn made(&self) -> Option<&Made> {
        let (typed, pages) = self.pages.as_ref()?;
        (*typed == self.typed).then_some(&pages.made)
    }

    /// Begins to make the document, and does something with it.
    fn start(&mut self, cx: &Cx, paper: Option<&Paper>, then: Then) -> Option<Command> {
        let paper = paper?;
        let (work, made) = acts::work(self, cx, paper, then);
        if let Some(made) = made {
            self.making = Some((self.typed.clone(), Making(made)));
        }
        Some(Command::Run(work))
    }
}
