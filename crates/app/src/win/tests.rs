//! The window as a person uses it: opening, signing in, finding, themes, the way back.
#![allow(clippy::unwrap_used)]

use std::path::PathBuf;
use std::sync::Arc;
use std::sync::atomic::Ordering;

use draw::Theme;
use egui::{Key, Modifiers};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;
use store::draft::{Source, read};
use store::entry::LengthUnit;
use store::payload::{Bearing, BearingType, Payload, Record, RegisterChange, Role};
use store::{Logbook, NewEvent, ThingNo};

use super::app::{App, Start};
use super::banners::demo_pins;
use super::closing::Closing;
use super::command::Command;
use super::keeper::Keeper;
use super::route::{Route, SetupPage};
use super::snapshot::Setting;
use super::worker::{Load, Progress, Topic, Worker};
use crate::hands::tests::{FakeClock, fake};
use crate::ui::theme;

/// Time between two frames, s.
const STEP_S: f32 = 0.1;

/// A window over a logbook in a folder of its own.
pub(crate) struct Bench {
    pub(crate) h: Harness<'static, App>,
    pub(crate) clock: FakeClock,
    pub(crate) path: PathBuf,
    folder: tempfile::TempDir,
}

impl Bench {
    /// Opens an empty logbook, after `fill` had its way with it.
    pub(crate) fn new(fill: impl FnOnce(&mut Logbook)) -> Self {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("mill.chockbook");
        let (hands, _) = fake();
        let mut logbook = Logbook::create(&path, hands(), "Tarnhollow").unwrap();
        fill(&mut logbook);
        drop(logbook);
        Self::open(folder, path)
    }

    /// The same with an engineer (PIN 2222) and a foreman (PIN 1111).
    pub(crate) fn with_people() -> Self {
        Self::new(|logbook| {
            logbook
                .register_person(None, None, "Roll-shop Engineer", Role::Engineer, "2222")
                .unwrap();
            let engineer = logbook.sign_in("Roll-shop Engineer", "2222").unwrap();
            logbook
                .register_person(Some(&engineer), None, "Foreman A", Role::Foreman, "1111")
                .unwrap();
        })
    }

    /// The same with one engineer (PIN 2222) and what these lines of `chockbook log` say.
    pub(crate) fn with_lines(lines: &[&str]) -> Self {
        Self::new(|logbook| {
            logbook
                .register_person(None, None, "Roll-shop Engineer", Role::Engineer, "2222")
                .unwrap();
            let engineer = logbook.sign_in("Roll-shop Engineer", "2222").unwrap();
            for line in lines {
                let store::line::Line::Event(event) = store::line::read(logbook, line).unwrap()
                else {
                    panic!("{line} is no event");
                };
                logbook.append(Some(&engineer), &[event]).unwrap();
            }
        })
    }

    fn open(folder: tempfile::TempDir, path: PathBuf) -> Self {
        let (hands, clock) = fake();
        let config = folder.path().join("config");
        let start = Start {
            file: Some(path.clone()),
            hands,
            wake: Arc::new(|| {}),
            config: Some(config),
            theme: None,
            closing: Closing::default(),
        };
        let mut bench = Self {
            h: window(start),
            clock,
            path,
            folder,
        };
        bench.settle();
        assert!(bench.h.state().desk().is_some(), "the logbook did not open");
        bench
    }

    /// Closes the window and opens the same logbook in a new one.
    pub(crate) fn reopen(self) -> Self {
        self.reopen_after(|_| {})
    }

    /// The same, after `change` had its way with the file.
    pub(crate) fn reopen_after(self, change: impl FnOnce(&std::path::Path)) -> Self {
        let Self {
            mut h,
            path,
            folder,
            ..
        } = self;
        h.state_mut().close();
        h.state().closing().finish();
        drop(h);
        change(&path);
        Self::open(folder, path)
    }

    /// Asks the logbook behind the window.
    pub(crate) fn ask<T: Send + 'static>(
        &mut self,
        work: impl FnOnce(&mut Logbook) -> T + Send + 'static,
    ) -> T {
        let answer = self.h.state().desk().unwrap().worker().ask(work);
        self.settle();
        let Progress::Here(value) = answer.look() else {
            panic!("no answer")
        };
        value
    }

    /// Carries out a command as a screen would.
    pub(crate) fn command(&mut self, command: Command) {
        let ctx = self.h.ctx.clone();
        self.h
            .state_mut()
            .desk_mut()
            .unwrap()
            .run_commands(&ctx, vec![command]);
        self.settle();
    }

    /// Runs frames until the worker has nothing left to do.
    pub(crate) fn settle(&mut self) {
        settle(&mut self.h);
    }

    /// Lets time pass with nobody at the keyboard.
    pub(crate) fn wait_s(&mut self, seconds: f64) {
        let time = self.h.ctx.input(|i| i.time);
        self.h.input_mut().time = Some(time + seconds);
        self.settle();
    }

    pub(crate) fn key(&mut self, modifiers: Modifiers, key: Key) {
        self.h.key_press_modifiers(modifiers, key);
        self.settle();
    }

    pub(crate) fn type_in(&mut self, text: &str) {
        self.h.event(egui::Event::Text(text.to_owned()));
        self.settle();
    }

    pub(crate) fn click(&mut self, label: &str) {
        click(&self.h, label);
        self.settle();
    }

    pub(crate) fn route(&self) -> Route {
        self.h.state().desk().unwrap().route()
    }

    pub(crate) fn sign_in(&mut self, name: &str, pin: &str) {
        self.click("At work: Sign in");
        self.click(name);
        self.type_in(pin);
        self.key(Modifiers::NONE, Key::Enter);
        assert_eq!(self.person().as_deref(), Some(name));
    }

    pub(crate) fn person(&self) -> Option<String> {
        self.h
            .state()
            .desk()
            .unwrap()
            .person()
            .map(|p| p.name.clone())
    }

    pub(crate) fn has(&self, label: &str) -> bool {
        self.h.query_all_by_label_contains(label).next().is_some()
    }
}

pub(crate) fn window(start: Start) -> Harness<'static, App> {
    let setup = |ctx: &egui::Context| {
        theme::install(ctx);
        theme::set(ctx, Theme::Day);
    };
    let builder = Harness::builder()
        .with_size([1280.0, 800.0])
        .with_theme(egui::Theme::Light)
        .with_step_dt(STEP_S)
        .with_context_setup(setup);
    let frame = |ui: &mut egui::Ui, app: &mut App| {
        app.logic(ui.ctx());
        app.ui(ui);
    };
    builder.build_ui_state(frame, App::new(start))
}

/// Presses what is called so: a row and the words in it have one name, and either will do.
pub(crate) fn click(h: &Harness<'static, App>, label: &str) {
    h.query_all_by_label(label)
        .next()
        .unwrap_or_else(|| panic!("nothing is called {label}"))
        .click();
}

pub(crate) fn settle(h: &mut Harness<'static, App>) {
    for _ in 0..5 {
        h.run_steps(2);
        match h.state().desk() {
            Some(desk) => desk.worker().settle(),
            // Opening has its own thread.
            None => wait_while_opening(h),
        }
    }
    h.run_steps(2);
}

fn wait_while_opening(h: &mut Harness<'static, App>) {
    for _ in 0..2000 {
        if !h.state().is_opening() {
            return;
        }
        std::thread::sleep(std::time::Duration::from_millis(5));
        h.run_steps(1);
    }
    panic!("the logbook is still being opened");
}

/// A bearing type and two bearings of it.
pub(crate) fn with_bearings(logbook: &mut Logbook) {
    logbook
        .register_person(None, None, "Roll-shop Engineer", Role::Engineer, "2222")
        .unwrap();
    let engineer = logbook.sign_in("Roll-shop Engineer", "2222").unwrap();
    let mut add = |record: Record| {
        let change = RegisterChange {
            thing: None,
            record,
            reason: String::new(),
        };
        let event = NewEvent {
            at: logbook.now(),
            payload: Payload::RegisterChange(change),
        };
        let no = logbook.append(Some(&engineer), &[event]).unwrap()[0].no;
        logbook.name(ThingNo(no)).unwrap()
    };
    let bearing_type = add(Record::BearingType(BearingType {
        code: "N4T-480".into(),
        kind: "four_row_tapered".into(),
        values: vec![store::payload::TypeValue {
            name: "bore_nm".into(),
            item: 0,
            value: 480_000_000,
        }],
        lubrication: String::new(),
    }));
    for serial in ["TH-4T-031", "TH-4T-032"] {
        add(Record::Bearing(Bearing {
            serial: serial.into(),
            bearing_type: bearing_type.clone(),
            prior_run_s: 0,
            prior_note: String::new(),
        }));
    }
}

#[test]
fn a_new_logbook_asks_for_its_first_engineer_and_signs_them_in() {
    let mut b = Bench::new(|_| {});
    assert!(b.has("This logbook has no engineer yet"));
    assert!(b.has("It is no lock"));
    b.type_in("Roll-shop Engineer");
    b.key(Modifiers::NONE, Key::Enter);
    b.type_in("4711");
    b.key(Modifiers::NONE, Key::Enter);
    b.type_in("4712");
    b.key(Modifiers::NONE, Key::Enter);
    assert!(b.has("The two PINs differ"), "and nothing is registered");
    assert_eq!(b.person(), None);
    b.h.get_by_role_and_label(egui::Role::PasswordInput, "PIN again")
        .focus();
    b.settle();
    b.key(Modifiers::COMMAND, Key::A);
    b.type_in("4711");
    b.click("Register the engineer");
    assert_eq!(b.person().as_deref(), Some("Roll-shop Engineer"));
    assert!(!b.has("This logbook has no engineer yet"));
}

#[test]
fn somebody_signs_in_by_arrow_keys_and_pin_and_off_again() {
    let mut b = Bench::with_people();
    assert!(!b.has("no engineer yet"));
    b.click("At work: Sign in");
    b.key(Modifiers::NONE, Key::ArrowDown);
    b.key(Modifiers::NONE, Key::ArrowDown);
    b.key(Modifiers::NONE, Key::ArrowUp);
    b.type_in("1111");
    b.key(Modifiers::NONE, Key::Enter);
    assert_eq!(
        b.person().as_deref(),
        Some("Foreman A"),
        "foremen come first"
    );
    b.click("At work: Foreman A");
    b.click("Sign off Foreman A");
    assert_eq!(b.person(), None);
}

#[test]
fn a_wrong_pin_says_so_and_waits() {
    let mut b = Bench::with_people();
    b.click("At work: Sign in");
    b.click("Foreman A");
    b.type_in("9999");
    b.h.key_press_modifiers(Modifiers::NONE, Key::Enter);
    for _ in 0..3 {
        b.h.run_steps(1);
        b.h.state().desk().unwrap().worker().settle();
    }
    assert!(b.has("This PIN does not belong to Foreman A; wait 1 s and type it again."));
    assert!(b.has("Wait 1 s"), "the next try has to wait");
    b.clock.0.fetch_add(2000, Ordering::SeqCst);
    b.h.run_steps(20);
    b.type_in("1111");
    b.key(Modifiers::NONE, Key::Enter);
    assert_eq!(b.person().as_deref(), Some("Foreman A"));
}

#[test]
fn ten_idle_minutes_sign_off_and_lose_no_draft() {
    let mut b = Bench::with_people();
    b.sign_in("Foreman A", "1111");
    b.command(Command::NewSheet {
        known: vec![("identify.chock".into(), "WR-B-07".into())],
    });
    let Route::Sheet(draft) = b.route() else {
        panic!("no sheet: {:?}", b.route())
    };
    b.wait_s(590.0);
    assert_eq!(
        b.person().as_deref(),
        Some("Foreman A"),
        "not ten minutes yet"
    );
    b.wait_s(20.0);
    assert_eq!(b.person(), None);
    assert!(b.has("Signed off after ten minutes"));
    let kept = b.ask(move |logbook| read(logbook.connection(), draft).unwrap());
    assert_eq!(kept.fields["identify.chock"].text, "WR-B-07");
}

#[test]
fn a_sheet_asks_who_is_at_work_and_then_opens() {
    let mut b = Bench::with_people();
    b.key(Modifiers::COMMAND, Key::N);
    assert!(b.has("Who is at work?"));
    b.click("Foreman A");
    b.type_in("1111");
    b.key(Modifiers::NONE, Key::Enter);
    assert!(matches!(b.route(), Route::Sheet(_)));
    assert!(
        b.h.query_by_label("Chocks").is_none(),
        "a sheet hides the rail"
    );
    b.click("Back to Today");
    assert_eq!(b.route(), Route::Today);
}

#[test]
fn the_find_box_opens_a_thing_by_key_pointer_and_scan() {
    let mut b = Bench::new(with_bearings);
    let page = |b: &Bench| matches!(b.route(), Route::Bearing(_));
    b.key(Modifiers::COMMAND, Key::F);
    b.type_in("4t-03");
    assert!(b.has("TH-4T-031, bearing, N4T-480") && b.has("TH-4T-032, bearing, N4T-480"));
    b.key(Modifiers::NONE, Key::Enter);
    assert!(!page(&b), "two things fit");
    b.key(Modifiers::NONE, Key::ArrowDown);
    b.key(Modifiers::NONE, Key::ArrowDown);
    b.key(Modifiers::NONE, Key::Enter);
    let second = b.route();
    assert!(page(&b));
    b.command(Command::Back);
    // A scanner types outside every field, and ends with a line end in the same burst.
    b.h.event(egui::Event::Text("TH-4T-031".into()));
    b.h.key_press_modifiers(Modifiers::NONE, Key::Enter);
    b.settle();
    assert!(page(&b) && b.route() != second);
    b.type_in("N4T");
    b.click("N4T-480, bearing type, four-row tapered");
    assert!(matches!(
        b.route(),
        Route::Setup(SetupPage::BearingTypes, Some(_))
    ));
    b.command(Command::Go(Route::Log));
    b.type_in("nothing");
    assert!(b.has("Nothing in the register is called"));
    b.key(Modifiers::NONE, Key::Escape);
    assert!(!b.has("Nothing in the register is called"));
}

#[test]
fn the_rail_opens_its_pages() {
    let mut b = Bench::with_people();
    for route in Route::RAIL.into_iter().rev() {
        b.h.get_by_role_and_label(egui::Role::Tab, route.name())
            .click();
        b.settle();
        assert_eq!(b.route(), route);
    }
}

#[test]
fn settings_hold_at_once_and_when_the_logbook_is_opened_again() {
    let mut b = Bench::with_people();
    assert!(!b.h.ctx.theme().eq(&egui::Theme::Dark));
    b.command(Command::Set(Setting::Theme(Theme::Night)));
    b.command(Command::Set(Setting::Unit(LengthUnit::Inch)));
    assert_eq!(b.h.ctx.theme(), egui::Theme::Dark);
    let b = b.reopen();
    assert_eq!(b.h.ctx.theme(), egui::Theme::Dark);
    let kept = b.h.state().desk().unwrap().settings();
    assert_eq!((kept.show.unit, kept.show.comma), (LengthUnit::Inch, false));
}

#[test]
fn a_demo_says_so_and_shows_its_pins() {
    let person = demo_pins()
        .into_iter()
        .find(|p| p.role == "engineer")
        .unwrap();
    let mut b = Bench::new(|logbook| {
        logbook
            .register_person(None, None, &person.name, Role::Engineer, &person.pin)
            .unwrap();
        let clock = logbook.now();
        logbook.become_demo(clock).unwrap();
    });
    assert!(b.has("Demo logbook of 2026-10-30"));
    assert!(b.has(&format!("{} {}", person.name, person.pin)));
    b.click("At work: Sign in");
    assert!(b.has(&format!("PIN {}", person.pin)));
}

#[test]
fn a_second_window_reads_only_and_says_who_writes() {
    let first = Bench::with_people();
    let folder = tempfile::tempdir().unwrap();
    let mut second = Bench::open(folder, first.path.clone());
    assert!(second.has("For reading only:") && second.has("writes it"));
    second.key(Modifiers::COMMAND, Key::N);
    assert!(second.has("No sheet can be begun"));
    second.click("Close the message");
    assert!(!second.has("No sheet can be begun"));
}

#[test]
fn help_explains_the_page_and_escape_closes_it() {
    let mut b = Bench::with_people();
    b.key(Modifiers::NONE, Key::F1);
    assert!(b.has("Help: Today") && b.has("Finds a thing by its number"));
    b.key(Modifiers::NONE, Key::Escape);
    assert!(!b.has("Help: Today"));
}

#[test]
fn a_logbook_that_cannot_be_opened_says_why_and_a_new_one_can_be_made() {
    let folder = tempfile::tempdir().unwrap();
    let (hands, _) = fake();
    let gone = folder.path().join("gone.chockbook");
    let config = Some(folder.path().join("config"));
    let start = Start {
        file: Some(gone.clone()),
        hands,
        wake: Arc::new(|| {}),
        config,
        theme: None,
        closing: Closing::default(),
    };
    let mut h = window(start.clone());
    settle(&mut h);
    assert!(
        h.query_by_label_contains("There is no logbook at")
            .is_some()
    );
    h.get_by_role_and_label(egui::Role::TextInput, "Name of the plant")
        .focus();
    settle(&mut h);
    h.event(egui::Event::Text("Tarnhollow".into()));
    settle(&mut h);
    h.get_by_role_and_label(egui::Role::TextInput, "Path of the new logbook")
        .focus();
    settle(&mut h);
    h.key_press_modifiers(Modifiers::COMMAND, Key::A);
    h.event(egui::Event::Text(
        folder.path().join("new").display().to_string(),
    ));
    settle(&mut h);
    click(&h, "Make the logbook");
    settle(&mut h);
    assert!(h.state().desk().is_some());
    assert!(folder.path().join("new.chockbook").is_file());
    h.state_mut().close();
    h.state().closing().finish();
    drop(h);
    // It is the first of the list the next time.
    let mut h = window(Start {
        file: None,
        ..start
    });
    settle(&mut h);
    click(
        &h,
        &format!("Open {}", folder.path().join("new.chockbook").display()),
    );
    settle(&mut h);
    assert!(h.state().desk().is_some());
}

fn worker() -> (Worker, tempfile::TempDir) {
    let folder = tempfile::tempdir().unwrap();
    let (hands, _) = fake();
    let logbook =
        Logbook::create(&folder.path().join("w.chockbook"), hands(), "Tarnhollow").unwrap();
    (Worker::start(logbook, Arc::new(|| {})).unwrap(), folder)
}

#[test]
fn a_topic_asks_again_after_a_write_and_keeps_the_last_good_value() {
    let (worker, _folder) = worker();
    let mut topic: Topic<i64, String> = Topic::default();
    let refresh = |topic: &mut Topic<i64, String>, key: i64| {
        topic.refresh(&worker, &key, |logbook, key| {
            let unit = logbook.setting("show.unit")?;
            if unit.as_deref() == Some("broken") {
                return Err(store::StoreError::Refused("broken".into()));
            }
            Ok(format!("{key} {unit:?}"))
        });
    };
    refresh(&mut topic, 1);
    assert!(topic.value().is_none());
    worker.settle();
    refresh(&mut topic, 1);
    assert_eq!(topic.value().map(|v| v.as_str()), Some("1 None"));
    worker.write(|logbook| logbook.set_setting("show.unit", "broken").unwrap());
    worker.settle();
    refresh(&mut topic, 1);
    assert!(
        matches!(topic.load(), Load::Waiting(Some(_))),
        "the last value stays on the screen"
    );
    worker.settle();
    refresh(&mut topic, 1);
    assert_eq!(topic.load().error(), Some("broken"));
    assert_eq!(topic.value().map(|v| v.as_str()), Some("1 None"));
    refresh(&mut topic, 2);
    assert!(
        topic.value().is_none(),
        "another thing is never shown in its place"
    );
}

#[test]
fn work_that_stumbles_takes_nothing_with_it() {
    let (worker, _folder) = worker();
    let stumbled = worker.write(|_: &mut Logbook| -> i64 { panic!("as a defect would") });
    let after = worker.ask(|logbook| logbook.anchor().unwrap().is_some());
    worker.settle();
    assert_eq!(stumbled.look(), Progress::Stopped);
    assert_eq!(after.look(), Progress::Here(true));
}

#[test]
fn a_draft_is_kept_half_a_second_after_the_last_key_and_at_once_on_commit() {
    let (worker, _folder) = worker();
    let begun = worker.write(|logbook| logbook.start_draft("teardown_sheet", None).unwrap());
    worker.settle();
    let Progress::Here(draft) = begun.look() else {
        panic!("no draft")
    };
    let mut keeper = Keeper::new(draft, "");
    let kept = |path: &'static str| {
        let answer = worker.ask(move |logbook| {
            read(logbook.connection(), draft)
                .unwrap()
                .fields
                .get(path)
                .map(|f| f.text.clone())
        });
        worker.settle();
        let Progress::Here(text) = answer.look() else {
            panic!("no answer")
        };
        text
    };
    keeper.note("a", "2", Source::Typed, false, 10.0);
    keeper.note("a", "23", Source::Typed, false, 10.4);
    assert_eq!(
        keeper
            .poll(&worker, 10.6)
            .map(|s| (s * 10.0).round() as i64),
        Some(3),
        "still typing"
    );
    assert_eq!(kept("a"), None);
    keeper.poll(&worker, 10.91);
    assert_eq!(keeper.words(), "", "not said before it is on disk");
    assert_eq!(kept("a").as_deref(), Some("23"));
    keeper.poll(&worker, 10.95);
    assert_eq!(keeper.words(), "draft kept 14:00");
    keeper.note("b", "7", Source::Gauge, true, 11.0);
    keeper.poll(&worker, 11.0);
    assert_eq!(kept("b").as_deref(), Some("7"));
    // The window closes in the middle of a word.
    keeper.note("c", "1", Source::Typed, false, 12.0);
    keeper.flush(&worker);
    assert_eq!(kept("c").as_deref(), Some("1"));
}

#[test]
fn a_draft_that_cannot_be_kept_says_so_and_is_tried_again() {
    let (worker, _folder) = worker();
    let mut keeper = Keeper::new(store::draft::DraftId(99), "");
    keeper.note("a", "1", Source::Typed, true, 1.0);
    keeper.poll(&worker, 1.0);
    worker.settle();
    keeper.poll(&worker, 1.1);
    assert!(
        keeper
            .words()
            .starts_with("draft not kept: this draft is not here any more"),
        "{}",
        keeper.words()
    );
    assert!(keeper.is_behind(), "what was typed is still held");
}
