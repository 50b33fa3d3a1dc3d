//! An open logbook in the window: worker, route, screens, and the person at work.

mod care;
mod run;

pub use care::Rest;

use std::path::PathBuf;

use egui::{Context, Ui};
use store::{Access, Logbook, Signer, Stamp};

use super::command::{Answers, Command, Notice, Place, Reply, Said};
use super::find::Find;
use super::health::Health;
use super::recover::Recover;
use super::route::Route;
use super::screens::{Cx, Screen, screen_of};
use super::sign_in::SignIn;
use super::snapshot::{Demo, Fixed, Settings, Snapshot};
use super::watch::Watch;
use super::work::Running;
use super::worker::{Answer, Progress, STOPPED, Topic, Wake, Worker};
use super::{banners, help};
use crate::ui::frames::{self, Left, RailItem, Strip};
use crate::ui::keys::{self, Action};
use crate::ui::{focus, theme};

/// After so long without a key or pointer the person at work is signed off, s.
pub const IDLE_S: f64 = 600.0;
const SIGNED_OFF: &str = "Signed off after ten minutes without a key. What was typed is kept.";
/// Screens that are kept with what they remember (filter, scroll), so that going back shows them as they were.
const SCREENS_KEPT: usize = 12;

/// An open logbook in the window.
pub struct Desk {
    worker: Worker,
    fixed: Fixed,
    snapshot: Topic<(), Snapshot>,
    settings: Settings,
    /// A theme that the environment asks for, for pictures.
    forced_theme: Option<draw::Theme>,
    /// Where one is: the last one is shown.
    trail: Vec<Route>,
    /// The screen shown, then those shown before it.
    screens: Vec<(Route, Box<dyn Screen>)>,
    person: Option<Signer>,
    last_input: f64,
    sign_in: SignIn,
    find: Find,
    is_help_open: bool,
    /// A sheet was asked for and its page is not there yet: what is typed is for it.
    is_sheet_asked: bool,
    notice: Option<Notice>,
    answers: Answers,
    replies: Vec<(Option<Place>, Answer<Reply>)>,
    running: Option<Running>,
    now: Stamp,
    /// Clock of the window when the logbook's was read, s.
    now_read: f64,
    now_asked: Option<Answer<Stamp>>,
    /// Looks after backups and the check of the record.
    watch: Watch,
    /// The way back from trouble, where it is open.
    recover: Option<Recover>,
    is_closing: bool,
    /// The logbook to open once this one is closed, and the page.
    next: Option<(PathBuf, Route)>,
}

impl std::fmt::Debug for Desk {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Desk")
            .field("fixed", &self.fixed)
            .field("trail", &self.trail)
            .finish_non_exhaustive()
    }
}

impl Desk {
    /// Opens the window's work on a logbook.
    ///
    /// # Errors
    /// Where the first look into it fails, or the system has no thread to give.
    pub fn new(
        logbook: Logbook,
        wake: Wake,
        forced_theme: Option<draw::Theme>,
    ) -> Result<Self, String> {
        let now = logbook.now();
        let fixed = Fixed {
            path: logbook.path().into(),
            read_only: match logbook.access() {
                Access::Write => None,
                Access::Read { why } => Some(why.clone()),
            },
            is_lost: false,
            is_free: false,
            demo: logbook.is_demo().then(|| Demo {
                clock: now,
                pins: banners::demo_pins(),
            }),
            damage: logbook.damage().cloned(),
            read_path: logbook.read_path().into(),
        };
        let migrated = logbook.migrated().map(|kept| {
            Notice::done(format!(
                "This logbook was brought to the format of this program. As it was before, it lies in {}.",
                kept.display()
            ))
        });
        let settings = Settings::read(&logbook).map_err(|e| e.to_string())?;
        let worker =
            Worker::start(logbook, wake).map_err(|e| format!("no thread for the logbook: {e}"))?;
        let start = Route::RAIL[0];
        let is_wanted = fixed.read_only.is_none() && fixed.demo.is_none();
        let mut watch = Watch::new(&fixed.path, is_wanted, worker.wake());
        if fixed.damage.is_some() {
            watch.is_damaged();
        }
        Ok(Self {
            worker,
            fixed,
            snapshot: Topic::default(),
            settings,
            forced_theme,
            trail: vec![start],
            screens: vec![(start, screen_of(start))],
            person: None,
            last_input: 0.0,
            sign_in: SignIn::default(),
            find: Find::default(),
            is_help_open: false,
            is_sheet_asked: false,
            notice: migrated,
            answers: Answers::default(),
            replies: Vec::new(),
            running: None,
            now,
            now_read: 0.0,
            now_asked: None,
            watch,
            recover: None,
            is_closing: false,
            next: None,
        })
    }

    /// Where one is.
    pub fn route(&self) -> Route {
        self.trail.last().copied().unwrap_or(Route::RAIL[0])
    }

    /// How things are shown.
    pub fn settings(&self) -> Settings {
        self.settings
    }

    /// Who is at work.
    pub fn person(&self) -> Option<&Signer> {
        self.person.as_ref()
    }

    /// True once the logbook is to be closed.
    pub fn is_closing(&self) -> bool {
        self.is_closing
    }

    /// How well the logbook is looked after.
    pub fn health(&self) -> &Health {
        self.watch.health()
    }

    /// The worker, so that a test can wait for it.
    pub fn worker(&self) -> &Worker {
        &self.worker
    }

    /// Before the frame: takes answers, asks for what is old, hands over what was typed. Paints nothing.
    pub fn logic(&mut self, ctx: &Context) {
        let time = ctx.input(|i| i.time);
        self.keep_time(ctx, time);
        self.snapshot
            .refresh(&self.worker, &(), |logbook, ()| Snapshot::read(logbook));
        if let Some(snapshot) = self.snapshot.value()
            && self.fixed.read_only.is_none()
        {
            self.settings = snapshot.settings;
        }
        theme::set(ctx, self.forced_theme.unwrap_or(self.settings.theme));
        let mut commands = Vec::new();
        self.take_replies(ctx, &mut commands);
        if let Some(ended) = self.running.as_ref().and_then(Running::ended) {
            self.running = None;
            self.notice = match ended {
                Ok(Some(words)) => Some(Notice::done(words)),
                Ok(None) => Some(Notice::done("Stopped; nothing was written.")),
                Err(why) => Some(Notice::error(why)),
            };
        }
        self.look_after(time);
        if let Some((_, screen)) = self.screens.first_mut()
            && let Some(later) = screen.refresh(&self.worker, time)
        {
            ctx.request_repaint_after_secs(later as f32);
        }
        self.sign_off_when_idle(ctx, time);
        self.open_first_engineer(ctx);
        self.run_commands(ctx, commands);
    }

    /// The frame, and after it the commands.
    pub fn ui(&mut self, ui: &mut Ui) {
        let mut commands = Vec::new();
        let snapshot = self.snapshot.value().cloned().unwrap_or_default();
        self.keys(ui, &mut commands);
        let cx = Cx {
            now: self.now,
            show: self.settings.show,
            settings: self.settings,
            person: self.person.as_ref(),
            read_only: self.fixed.read_only.as_deref(),
            answers: &self.answers,
            snapshot: &snapshot,
            path: &self.fixed.path,
            health: self.watch.health(),
        };
        let route = self.trail.last().copied().unwrap_or(Route::RAIL[0]);
        let before = self.before_words(&cx);
        let Some((_, screen)) = self.screens.first_mut() else {
            return;
        };
        let heading = screen.heading(&cx);
        let strip = Strip {
            left: if route.rail().is_some() {
                Left::Plant(&snapshot.plant)
            } else {
                Left::Back(&before)
            },
            title: &heading.title,
            detail: &heading.detail,
            note: &heading.note,
            person: self.person.as_ref().map_or("Sign in", |p| &p.name),
        };
        let out = self.find.strip(ui, &strip, &snapshot, &mut commands);
        if out.back {
            commands.push(Command::Back);
        }
        if out.person {
            commands.push(Command::AskSignIn { then: None });
        }
        banners::banners_ui(
            ui,
            &self.fixed,
            &cx,
            self.snapshot.load().error(),
            self.running.as_ref(),
            &mut self.notice,
            &mut commands,
        );
        if let Some(current) = route.rail() {
            rail(ui, current, &mut commands);
        }
        // Until a page has something to show it is an empty sheet.
        let rest = ui.available_rect_before_wrap();
        ui.painter()
            .rect_filled(rest, 0.0, theme::color(ui, draw::Token::Sheet));
        frames::name_page(ui.ctx(), route);
        screen.ui(ui, &cx, &mut commands);
        self.sign_in
            .ui(ui.ctx(), &cx, self.fixed.demo.as_ref(), &mut commands);
        if self.is_help_open {
            let page = screen.help().unwrap_or_else(|| help::of(route));
            self.is_help_open = !page.show(ui.ctx());
        }
        let ctx = ui.ctx().clone();
        self.recover_ui(&ctx, &mut commands);
        self.run_commands(&ctx, commands);
    }

    /// Hands over what is still to be kept: the window closes. The worker's drop waits until it is done.
    pub fn flush(&mut self) {
        for (_, screen) in &mut self.screens {
            screen.leave(&self.worker);
        }
    }

    /// What the page that is open knows for a sheet that begins now.
    fn known(&self, sheet: Action) -> Vec<(String, String)> {
        let screen = self.screens.first();
        screen.map_or_else(Vec::new, |(_, screen)| screen.known(sheet))
    }

    /// The keys that hold on every page.
    fn keys(&mut self, ui: &mut Ui, commands: &mut Vec<Command>) {
        let floats = self.sign_in.is_open() || self.is_help_open || self.recover.is_some();
        for action in keys::triggered(ui.ctx()) {
            // What was done on the last page is read by now; what went wrong stays until it is closed.
            if action.moves_on() && !floats {
                self.notice = self.notice.take().filter(|notice| notice.is_error);
            }
            match action {
                Action::Help => self.is_help_open = !self.is_help_open,
                _ if floats => {}
                Action::Find => self.find.open(ui.ctx()),
                Action::NewSheet => commands.push(Command::NewSheet {
                    known: self.known(action),
                }),
                Action::NewMounting => commands.push(Command::NewMounting {
                    known: self.known(action),
                }),
                Action::Happened => {
                    // On its own page it goes back to the list.
                    if let Some((_, screen)) = self.screens.first_mut() {
                        screen.act(action, commands);
                    }
                    commands.push(Command::Go(Route::Tell));
                }
                Action::Page(page) => {
                    commands.extend(Route::RAIL.get(page).map(|route| Command::Go(*route)));
                }
                Action::Close if self.find.close(ui.ctx()) => {}
                _ => {
                    if let Some((_, screen)) = self.screens.first_mut() {
                        screen.act(action, commands);
                    }
                }
            }
        }
        let begins =
            |c: &Command| matches!(c, Command::NewSheet { .. } | Command::NewMounting { .. });
        let is_asked =
            self.is_sheet_asked || (self.person.is_some() && commands.iter().any(begins));
        let is_opening = self.screens.first().is_some_and(|(_, s)| s.is_opening());
        if floats {
            // What floats takes what is typed.
        } else if is_asked || is_opening {
            focus::hold(ui.ctx());
        } else if let Some(text) = keys::scanned(ui.ctx()) {
            self.find.scan(ui.ctx(), &text);
        }
    }

    /// The logbook's clock: asked for each minute, and carried on by the window's between.
    fn keep_time(&mut self, ctx: &Context, time: f64) {
        if let Some(answer) = &self.now_asked {
            match answer.look() {
                Progress::Waiting => {}
                Progress::Here(now) => {
                    (self.now, self.now_read, self.now_asked) = (now, time, None);
                }
                Progress::Stopped => self.now_asked = None,
            }
        } else if time - self.now_read >= 60.0 {
            self.now_asked = Some(self.worker.ask(|logbook| logbook.now()));
        }
        ctx.request_repaint_after_secs(60.0);
    }

    fn sign_off_when_idle(&mut self, ctx: &Context, time: f64) {
        if ctx.input(|i| !i.events.is_empty()) {
            self.last_input = time;
        }
        if self.person.is_none() {
            return;
        }
        let left_s = IDLE_S - (time - self.last_input);
        if left_s > 0.0 {
            ctx.request_repaint_after_secs(left_s as f32);
            return;
        }
        self.person = None;
        self.notice = Some(Notice::done(SIGNED_OFF));
    }

    fn open_first_engineer(&mut self, ctx: &Context) {
        let wanted = self.snapshot.value().is_some_and(|s| s.has_no_engineer)
            && self.fixed.read_only.is_none();
        self.sign_in.offer_first_engineer(ctx, wanted);
    }

    fn take_replies(&mut self, ctx: &Context, commands: &mut Vec<Command>) {
        let waiting = std::mem::take(&mut self.replies);
        for (place, answer) in waiting {
            match answer.look() {
                Progress::Waiting => self.replies.push((place, answer)),
                Progress::Here(reply) => self.take_reply(ctx, reply, commands),
                Progress::Stopped => {
                    self.take_reply(ctx, Reply::Refused(place, STOPPED.into()), commands);
                }
            }
        }
    }

    fn take_reply(&mut self, ctx: &Context, reply: Reply, commands: &mut Vec<Command>) {
        match reply {
            Reply::SignedIn(signer) => {
                // What was said of the person before concerns nobody now.
                self.notice = self.notice.take().filter(|n| n.text != SIGNED_OFF);
                commands.extend(self.sign_in.signed_in(&signer.name));
                self.person = Some(signer);
            }
            Reply::NotSignedIn(why, wait_s) => self.sign_in.refused(ctx, &why, wait_s),
            Reply::OpenSheet(draft) => {
                self.is_sheet_asked = false;
                commands.push(Command::Go(Route::Sheet(draft)));
            }
            Reply::Discarded(draft) => self.forget(ctx, Route::Sheet(draft)),
            Reply::SheetSigned {
                draft,
                bearing,
                words,
            } => {
                self.forget(ctx, Route::Sheet(draft));
                commands.push(Command::Go(Route::Bearing(bearing)));
                commands.push(Command::Say(Notice::done(words)));
            }
            Reply::MountingSigned {
                draft,
                event,
                words,
            } => {
                self.forget(ctx, Route::Sheet(draft));
                commands.push(Command::Go(Route::Event(event)));
                commands.push(Command::Say(Notice::done(words)));
            }
            Reply::Done(place, words) => self.answers.put(place, Said::Done(words)),
            Reply::Refused(Some(place), why) => self.answers.put(place, Said::Refused(why)),
            Reply::Refused(None, why) => {
                if std::mem::take(&mut self.is_sheet_asked) {
                    focus::drop_held(ctx);
                }
                self.notice = Some(Notice::error(why));
            }
            Reply::Quiet => {}
        }
    }

    /// Opens a page; what the one before remembers is kept.
    fn go(&mut self, ctx: &Context, route: Route) {
        if route == self.route() {
            return;
        }
        self.leave(ctx);
        self.trail.push(route);
        self.show(route);
    }

    fn back(&mut self, ctx: &Context) {
        let left = self.route();
        self.leave(ctx);
        if self.route() == left {
            self.trail.pop();
        }
        if self.trail.is_empty() {
            self.trail.push(Route::RAIL[0]);
        }
        self.show(self.route());
    }

    /// The page that going back leads to.
    fn before(&self) -> Route {
        let before = self.trail.iter().rev().nth(1);
        before.copied().unwrap_or(Route::RAIL[0])
    }

    /// Its name; a thing of the register by its code.
    fn before_words(&self, cx: &Cx) -> String {
        let before = self.before();
        if !matches!(before, Route::Thing(_)) {
            return before.name().to_owned();
        }
        let kept = self.screens.iter().find(|(route, _)| *route == before);
        kept.map_or_else(|| before.name().to_owned(), |(_, s)| s.heading(cx).title)
    }

    /// Takes a page out of the trail and throws its screen away.
    fn forget(&mut self, ctx: &Context, route: Route) {
        let was_shown = self.route() == route;
        self.trail.retain(|r| *r != route);
        self.screens.retain(|(r, _)| *r != route);
        if was_shown {
            self.answers.clear();
            focus::leave(ctx);
            if self.trail.is_empty() {
                self.trail.push(Route::RAIL[0]);
            }
            self.show(self.route());
        }
    }

    fn leave(&mut self, ctx: &Context) {
        self.answers.clear();
        self.find.close(ctx);
        focus::leave(ctx);
        if let Some((route, screen)) = self.screens.first_mut() {
            screen.leave(&self.worker);
            if matches!(route, Route::Sheet(_)) {
                // Keeping a draft makes nothing old; the lists that count its fields are asked anew now.
                self.worker.raise();
            }
        }
        self.drop_blank();
    }

    /// Throws a sheet away that is left with nothing in it.
    fn drop_blank(&mut self) {
        let Some((Route::Sheet(draft), screen)) = self.screens.first() else {
            return;
        };
        let draft = *draft;
        if !screen.is_blank() || self.fixed.read_only.is_some() {
            return;
        }
        self.screens.remove(0);
        self.trail.retain(|route| *route != Route::Sheet(draft));
        self.write(None, move |logbook| {
            // Nothing is lost with it, whatever became of it.
            logbook.discard_draft(draft).ok();
            Reply::Quiet
        });
    }

    fn show(&mut self, route: Route) {
        let screen = match self.screens.iter().position(|(r, _)| *r == route) {
            Some(at) => self.screens.remove(at),
            None => (route, screen_of(route)),
        };
        self.screens.insert(0, screen);
        // What is typed on the bench stays, also where the logbook cannot keep it.
        let mut kept = 0;
        self.screens.retain(|(route, _)| {
            kept += 1;
            kept <= SCREENS_KEPT || *route == Route::Bench
        });
    }
}

fn rail(ui: &mut Ui, current: usize, commands: &mut Vec<Command>) {
    // The setup, the last, is set off by a rule, as on the mock-up.
    let last = Route::RAIL.len() - 1;
    let mut items: Vec<RailItem> = Route::RAIL.map(|route| RailItem::page(route.name())).into();
    items.insert(last, RailItem::rule());
    let item_of = |page: usize| if page == last { page + 1 } else { page };
    let pressed = frames::rail(ui, &items, Some(item_of(current)));
    let page = pressed.and_then(|item| (0..=last).find(|page| item_of(*page) == item));
    commands.extend(page.map(|page| Command::Go(Route::RAIL[page])));
}
