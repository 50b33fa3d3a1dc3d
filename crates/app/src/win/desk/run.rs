//! Carries out commands, after the frame.

use egui::Context;
use store::draft::DraftId;
use store::entry::LengthUnit;
use store::form::ToSign;
use store::payload::Role;
use store::{Logbook, Signer, StoreError};

use super::Desk;
use crate::ui::focus;
use crate::win::command::{Command, KNOWN, Notice, Place, Reply, Said, SheetToSign, sentence};
use crate::win::route::Route;
use crate::win::snapshot::Setting;
use crate::win::work::Running;

/// Kinds of drafts.
const TEARDOWN: &str = "teardown_sheet";
const MOUNTING: &str = crate::win::screens::mounting::KIND;

impl Desk {
    /// Carries out what was pushed; what that leads to is carried out too.
    pub fn run_commands(&mut self, ctx: &Context, commands: Vec<Command>) {
        if !commands.is_empty() {
            ctx.request_repaint();
        }
        for command in commands {
            self.run(ctx, command);
        }
    }

    fn run(&mut self, ctx: &Context, command: Command) {
        match command {
            Command::Go(route) => self.go(ctx, route),
            Command::Back => self.back(ctx),
            Command::AskSignIn { then } => self.ask_sign_in(ctx, then.map(|c| *c)),
            Command::SignIn { name, pin } => {
                self.write(None, move |logbook| sign_in(logbook, &name, &pin));
            }
            Command::SignOut => {
                self.person = None;
                self.sign_in.close();
            }
            Command::FirstEngineer { name, pin } => {
                self.write(None, move |logbook| first_engineer(logbook, &name, &pin));
            }
            Command::RegisterPerson {
                place,
                name,
                role,
                pin,
            } => {
                self.signed(ctx, place, move |logbook, signer| {
                    logbook.register_person(Some(signer), None, &name, role, &pin)?;
                    Ok(format!("{} is registered.", name.trim()))
                });
            }
            Command::NewSheet { known } => self.new_sheet(ctx, TEARDOWN, known),
            Command::NewMounting { known } => self.new_sheet(ctx, MOUNTING, known),
            Command::SignMounting(sheet) => self.sign_sheet(ctx, *sheet, sign_mounting),
            Command::Discard(draft) => self.write(None, move |logbook| {
                quiet(logbook.discard_draft(draft), None, Reply::Discarded(draft))
            }),
            Command::TakeOver(draft) => self.take_over(ctx, draft),
            Command::SignSheet(sheet) => self.sign_sheet(ctx, *sheet, sign_teardown),
            Command::Append { place, events } => self.signed(ctx, place, move |logbook, signer| {
                let events = (events.0)(logbook)?;
                let signed = logbook.append(Some(signer), &events)?;
                Ok(signed
                    .last()
                    .map(|s| format!("Signed as {}.", s.id))
                    .unwrap_or_default())
            }),
            Command::AppendMany {
                place,
                events,
                pace,
            } => {
                self.signed(ctx, place, move |logbook, signer| {
                    let events = (events.0)(logbook)?;
                    let signed = logbook
                        .append_told(signer, &events, &mut |done, all| pace.tell(done, all))?;
                    Ok(format!("{} entries are signed.", signed.len()))
                });
            }
            Command::Attach { place, event } => self.signed(ctx, place, move |logbook, signer| {
                let (event, file) = (event.0)(logbook)?;
                let signed = logbook.append_with_file(Some(signer), &event, &file)?;
                Ok(signed
                    .last()
                    .map(|s| format!("Signed as {}.", s.id))
                    .unwrap_or_default())
            }),
            Command::KeepPhoto { place, path } => self.write(Some(place), move |logbook| {
                match keep_photo(logbook, &path) {
                    Ok(text) => Reply::Done(place, text),
                    Err(e) => Reply::Refused(Some(place), sentence(&e.to_string())),
                }
            }),
            Command::TryOut(what_if) => {
                self.go(ctx, Route::Bench);
                if let Some((_, screen)) = self.screens.first_mut() {
                    screen.try_out(&what_if);
                }
            }
            Command::LeaveNote(text) => {
                let who = self.person.as_ref().map(|p| p.name.clone());
                self.write(None, move |logbook| {
                    let left = logbook.leave_note(&text, &who.unwrap_or_default());
                    quiet(left, None, Reply::Quiet)
                });
            }
            Command::Set(setting) => self.set(setting),
            Command::Care(care) => self.care(care),
            Command::Run(work) => match self.running {
                None => self.running = Some(Running::start(work, &self.worker)),
                Some(_) => {
                    self.notice = Some(Notice::error(
                        "Wait until the work before is done, or stop it.",
                    ));
                }
            },
            Command::StopWork => {
                if let Some(running) = &self.running {
                    running.stop();
                }
            }
            Command::Say(notice) => self.notice = Some(notice),
            Command::CloseLogbook => {
                self.flush();
                self.is_closing = true;
            }
            Command::Help => self.is_help_open = true,
        }
    }

    fn ask_sign_in(&mut self, ctx: &Context, then: Option<Command>) {
        let snapshot = self.snapshot.value().cloned().unwrap_or_default();
        self.sign_in
            .open(ctx, &snapshot, self.person.as_ref(), then);
    }

    /// Hands work that writes to the worker; its reply is taken in a later frame.
    pub(super) fn write(
        &mut self,
        place: Option<Place>,
        work: impl FnOnce(&mut Logbook) -> Reply + Send + 'static,
    ) {
        if let Some(place) = place {
            self.answers.put(place, Said::Waiting);
        }
        let answer = self.worker.write(work);
        self.replies.push((place, answer));
    }

    /// Work signed by the person at work; without one, the dialog asks for them and the page is as it was.
    fn signed(
        &mut self,
        ctx: &Context,
        place: Place,
        work: impl FnOnce(&mut Logbook, &Signer) -> store::Result<String> + Send + 'static,
    ) {
        let Some(signer) = self.person.clone() else {
            self.answers.put(
                place,
                Said::Refused("Sign in first, then do it again.".into()),
            );
            self.ask_sign_in(ctx, None);
            return;
        };
        self.write(Some(place), move |logbook| match work(logbook, &signer) {
            Ok(words) => Reply::Done(place, words),
            Err(e) => Reply::Refused(Some(place), sentence(&e.to_string())),
        });
    }

    fn new_sheet(&mut self, ctx: &Context, kind: &'static str, mut known: Vec<(String, String)>) {
        // The plant reads angles so; whoever fills the sheet in may say otherwise there.
        if kind == TEARDOWN
            && self.settings.is_inboard
            && !known.iter().any(|(path, _)| path == "findings.side")
        {
            known.push(("findings.side".into(), "inboard".into()));
        }
        let Some(person) = self.worker_of_sheets() else {
            focus::drop_held(ctx);
            if self.may_begin() {
                let again = if kind == MOUNTING {
                    Command::NewMounting { known }
                } else {
                    Command::NewSheet { known }
                };
                self.ask_sign_in(ctx, Some(again));
            }
            return;
        };
        // Pressed twice, its key means one sheet.
        let is_opening = self.screens.first().is_some_and(|(_, s)| s.is_opening());
        if self.is_sheet_asked || is_opening {
            return;
        }
        self.is_sheet_asked = true;
        self.write(None, move |logbook| {
            let begun = logbook
                .start_draft(kind, Some(person.no))
                .and_then(|draft| {
                    let fields: Vec<_> = known
                        .iter()
                        .map(|(path, text)| (&**path, &**text, KNOWN))
                        .collect();
                    logbook.keep_draft(draft, &fields, "")?;
                    Ok(draft)
                });
            match begun {
                Ok(draft) => Reply::OpenSheet(draft),
                Err(e) => Reply::Refused(None, sentence(&e.to_string())),
            }
        });
    }

    fn take_over(&mut self, ctx: &Context, draft: DraftId) {
        let Some(person) = self.worker_of_sheets() else {
            if self.may_begin() {
                self.ask_sign_in(ctx, Some(Command::TakeOver(draft)));
            }
            return;
        };
        self.is_sheet_asked = true;
        self.write(None, move |logbook| {
            quiet(
                logbook.take_over_draft(draft, person.no),
                None,
                Reply::OpenSheet(draft),
            )
        });
    }

    /// The person at work, if they may fill in a sheet.
    fn worker_of_sheets(&self) -> Option<Signer> {
        self.person
            .clone()
            .filter(|p| p.role != Role::Auditor && self.fixed.read_only.is_none())
    }

    /// Whether it is only a person that is missing; says why where it is something else.
    fn may_begin(&mut self) -> bool {
        let why = match (&self.fixed.read_only, &self.person) {
            (Some(why), _) => {
                format!("No sheet can be begun: the logbook is open for reading only, {why}.")
            }
            (None, Some(person)) => format!(
                "{} reads and prints; sheets are filled in by others.",
                person.name
            ),
            (None, None) => return true,
        };
        self.notice = Some(Notice::error(why));
        false
    }

    fn sign_sheet(&mut self, ctx: &Context, sheet: SheetToSign, sign: SignIt) {
        let Some(person) = self.person.clone() else {
            let why = "Sign in first, then sign the sheet.";
            self.answers.put(sheet.place, Said::Refused(why.into()));
            self.ask_sign_in(ctx, None);
            return;
        };
        // What was typed last is handed over first, so that nothing of it comes after the signature.
        self.flush();
        let unit = self.settings.show.unit;
        self.write(Some(sheet.place), move |logbook| {
            with_pins(logbook, &person.name, &sheet, unit, sign)
                .unwrap_or_else(|e| Reply::Refused(Some(sheet.place), sentence(&e.to_string())))
        });
    }

    fn set(&mut self, setting: Setting) {
        // Shown at once; where the logbook cannot be written it holds as long as the window is open.
        self.settings.apply(setting);
        if self.fixed.read_only.is_none() {
            let (name, value) = setting.words();
            self.write(None, move |logbook| {
                quiet(logbook.set_setting(name, &value), None, Reply::Quiet)
            });
        }
    }
}

/// How one of both sheets is signed, and what the window is told then.
type SignIt = fn(&mut Logbook, DraftId, &ToSign) -> store::Result<Reply>;

fn sign_teardown(logbook: &mut Logbook, draft: DraftId, sheet: &ToSign) -> store::Result<Reply> {
    let done = store::sheet::sign(logbook, sheet)?;
    Ok(Reply::SheetSigned {
        draft,
        bearing: done.bearing,
        words: format!("Signed as {}, on disk.", done.signed.id),
    })
}

fn sign_mounting(logbook: &mut Logbook, draft: DraftId, sheet: &ToSign) -> store::Result<Reply> {
    let done = store::mounting::sign(logbook, sheet)?;
    Ok(Reply::MountingSigned {
        draft,
        event: done.signed.no,
        words: format!("Signed as {}, on disk.", done.signed.id),
    })
}

/// Signs a sheet with the PINs that were typed for it.
fn with_pins(
    logbook: &mut Logbook,
    name: &str,
    sheet: &SheetToSign,
    unit: LengthUnit,
    sign: SignIt,
) -> store::Result<Reply> {
    let signer = logbook.sign_in(name, &sheet.pin)?;
    let engineer = sheet
        .engineer
        .as_ref()
        .map(|(name, pin)| logbook.sign_in(name, pin))
        .transpose()?;
    let to_sign = ToSign {
        fields: &sheet.fields,
        draft: Some(sheet.draft),
        at: None,
        entered: None,
        signer: &signer,
        engineer: engineer.as_ref(),
        unit,
        wear: sheet.wear.wear(),
    };
    sign(logbook, sheet.draft, &to_sign)
}

fn quiet(done: store::Result<()>, place: Option<Place>, reply: Reply) -> Reply {
    match done {
        Ok(()) => reply,
        Err(e) => Reply::Refused(place, sentence(&e.to_string())),
    }
}

fn sign_in(logbook: &mut Logbook, name: &str, pin: &str) -> Reply {
    match logbook.sign_in(name, pin) {
        Ok(signer) => Reply::SignedIn(signer),
        Err(e) => {
            let wait_s = if let StoreError::WrongPin { wait_s, .. } = &e {
                *wait_s
            } else {
                0
            };
            Reply::NotSignedIn(e.to_string(), wait_s)
        }
    }
}

fn first_engineer(logbook: &mut Logbook, name: &str, pin: &str) -> Reply {
    match logbook.register_person(None, None, name, Role::Engineer, pin) {
        Ok(_) => sign_in(logbook, name, pin),
        Err(e) => Reply::NotSignedIn(e.to_string(), 0),
    }
}

/// Keeps a picture; the text of the field that names it.
fn keep_photo(logbook: &mut Logbook, path: &std::path::Path) -> store::Result<String> {
    let file = store::attachment::read(path)?;
    if file.file.media != "image/jpeg" {
        return Err(StoreError::Input {
            at: file.file.name,
            why: "is no picture: a sheet takes JPEG, PNG or WebP".to_owned(),
        });
    }
    logbook.keep_file(&file)?;
    serde_json::to_string(&file.file).map_err(|e| StoreError::Refused(e.to_string()))
}
