//! The log as a person uses it: searching, arrows, opening, taking over.

use std::path::Path;

use draw::Theme;
use egui::{Key, Modifiers, Ui};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT, Queryable};
use store::Stamp;
use store::draft::{DraftLine, Source};
use store::entry::Show;
use store::query::{JournalLine, Piece, Tone};

use super::model::{LogModel, Sort};
use super::view::{LogView, log_ui};
use crate::ui::theme;
use crate::win::command::{Answers, Command};
use crate::win::health::Health;
use crate::win::route::{Route, SetupPage};
use crate::win::screens::Cx;
use crate::win::snapshot::{Settings, Snapshot};
use crate::win::tests::Bench;
use crate::win::worker::Progress;

/// A screen by itself, with what it pushed.
pub(crate) struct Page<M, V> {
    pub(crate) model: M,
    pub(crate) view: V,
    pub(crate) pushed: Vec<Command>,
}

/// Shows a screen over a model, in the day theme, with nobody at work; `size` is that of the page.
pub(crate) fn page_of<M: 'static, V: Default + 'static>(
    model: M,
    show: Show,
    size: [f32; 2],
    draw: impl Fn(&mut Ui, &Cx, &M, &mut V, &mut Vec<Command>) + 'static,
) -> Harness<'static, Page<M, V>> {
    let page = Page {
        model,
        view: V::default(),
        pushed: Vec::new(),
    };
    let setup = |ctx: &egui::Context| {
        theme::install(ctx);
        theme::set(ctx, Theme::Day);
    };
    let builder = Harness::builder()
        .with_size(size)
        .with_theme(egui::Theme::Light)
        .with_context_setup(setup);
    let frame = move |ui: &mut Ui, page: &mut Page<M, V>| {
        let (answers, snapshot) = (Answers::default(), Snapshot::default());
        let health = Health::default();
        let cx = Cx {
            now: Stamp::parse("2026-10-30", 60).unwrap(),
            show,
            settings: Settings {
                show,
                ..Settings::default()
            },
            person: None,
            read_only: None,
            answers: &answers,
            snapshot: &snapshot,
            path: Path::new("/nowhere/mill.chockbook"),
            health: &health,
        };
        draw(ui, &cx, &page.model, &mut page.view, &mut page.pushed);
    };
    let mut harness = builder.build_ui_state(frame, page);
    harness.run_steps(3);
    harness
}

/// Presses what is called so: a row and a word in it may have one name, and either will do.
pub(crate) fn press<S>(h: &mut Harness<'_, S>, label: &str) {
    let found = h.query_all_by_label(label).next();
    found
        .unwrap_or_else(|| panic!("nothing is called {label}"))
        .click();
    h.run_steps(3);
}

/// Whether something in view has these words in its name.
pub(crate) fn sees<S>(h: &Harness<'_, S>, words: &str) -> bool {
    h.query_all_by_label_contains(words).next().is_some()
}

/// Where the pushed commands lead.
pub(crate) fn routes(pushed: &[Command]) -> Vec<Route> {
    let goes = pushed.iter().filter_map(|c| {
        if let Command::Go(route) = c {
            Some(*route)
        } else {
            None
        }
    });
    goes.collect()
}

/// An event as the journal gives it.
pub(crate) fn event(
    no: i64,
    day: &str,
    kind: &str,
    title: &str,
    pieces: Vec<Piece>,
) -> JournalLine {
    let at = Stamp::parse(day, 60).unwrap();
    JournalLine {
        amended: store::query::Amended::No,
        is_sheet: kind == "teardown_sheet",
        no,
        id: format!("e7adf5e3:{no}"),
        at,
        entered: at,
        is_late: false,
        kind: kind.into(),
        title: title.into(),
        pieces,
        signer: "Foreman A".into(),
        bearing: None,
        chock: None,
        conflict: String::new(),
    }
}

fn model() -> LogModel {
    let teardown = vec![
        Piece::plain("TH-4T-031 out of WC-37"),
        Piece::strong("0.640  0.580  0.630"),
        Piece::muted("off F6-W-T-D"),
    ];
    let mut moved = event(
        3,
        "2026-07-08",
        "assembled",
        "Assembled",
        vec![Piece::plain("TH-4T-031 into WC-37")],
    );
    moved.bearing = Some(store::ThingNo(77));
    let mut late = event(
        1,
        "2026-06-01",
        "mounted",
        "Mounted",
        vec![Piece::plain("WC-22 on R-101 at F4-W-B-O")],
    );
    late.entered = Stamp::parse("2026-06-04", 60).unwrap();
    late.is_late = true;
    late.conflict = "WC-22 was somewhere else".into();
    let register = event(
        2,
        "2026-06-30",
        "register_change",
        "Register changed",
        vec![Piece::plain("roll R-101")],
    );
    LogModel::new(
        Vec::new(),
        vec![
            moved,
            event(4, "2026-07-07", "teardown_sheet", "Teardown", teardown),
            register,
            late,
        ],
    )
}

fn shown(model: LogModel) -> Harness<'static, Page<LogModel, LogView>> {
    page_of(model, Show::default(), [1168.0, 752.0], log_ui)
}

#[test]
fn every_word_of_a_search_must_be_there_and_a_sort_takes_its_kinds() {
    let model = model();
    let all = model.shown(Sort::All, "");
    assert_eq!(all.len(), 4);
    assert_eq!(model.shown(Sort::All, "th-4t-031 0.640"), [1]);
    assert_eq!(model.shown(Sort::All, "th-4t-031 0.641"), [0_usize; 0]);
    assert_eq!(model.shown(Sort::Moves, ""), [0, 3]);
    assert_eq!(model.shown(Sort::Teardowns, ""), [1]);
    assert_eq!(model.shown(Sort::Register, "r-101"), [2]);
    assert_eq!(model.shown(Sort::Campaigns, ""), [0_usize; 0]);
    assert_eq!(
        model.shown(Sort::All, "somewhere else"),
        [3],
        "a conflict is found by its words"
    );
}

#[test]
fn a_click_on_a_teardown_opens_its_sheet_and_one_on_a_move_its_own_page() {
    let mut h = shown(model());
    press(
        &mut h,
        "2026-07-07 Teardown \u{b7} TH-4T-031 out of WC-37 \u{b7} 0.640  0.580  0.630 \u{b7} off F6-W-T-D",
    );
    press(&mut h, "2026-07-08 Assembled \u{b7} TH-4T-031 into WC-37");
    assert_eq!(
        routes(&h.state().pushed),
        [Route::Signed(4), Route::Event(3)]
    );
    assert!(sees(&h, "conflict"));
    press(&mut h, "New teardown");
    assert!(
        matches!(h.state().pushed.last(), Some(Command::NewSheet { known }) if known.is_empty())
    );
}

#[test]
fn arrows_choose_a_row_and_enter_opens_it_while_the_search_has_the_caret() {
    let mut h = shown(model());
    h.get_by_label("Search the log").focus();
    h.run_steps(3);
    h.event(egui::Event::Text("th-4t-031".into()));
    h.run_steps(3);
    assert!(sees(&h, "2 of 4 entries"));
    for _ in 0..2 {
        h.key_press(Key::ArrowDown);
        h.run_steps(3);
    }
    h.key_press(Key::Enter);
    h.run_steps(3);
    assert_eq!(routes(&h.state().pushed), [Route::Signed(4)]);
    h.event(egui::Event::Text(" nobody".into()));
    h.run_steps(3);
    assert!(sees(&h, "No entry has these words."));
}

#[test]
fn tabs_narrow_the_log() {
    let mut h = shown(model());
    press(&mut h, "Show: Teardowns");
    assert!(h.query_by_label("1 entry").is_some());
    assert!(!sees(&h, "Assembled"));
}

#[test]
fn an_empty_log_says_what_comes_first() {
    let started = event(
        1,
        "2026-01-01",
        "logbook_started",
        "Logbook begun",
        Vec::new(),
    );
    let mut h = shown(LogModel::new(Vec::new(), vec![started]));
    assert!(sees(&h, "Nothing has happened yet."));
    press(&mut h, "Open Setup");
    assert_eq!(
        routes(&h.state().pushed),
        [Route::Setup(SetupPage::Stands, None)]
    );
}

#[test]
fn pieces_keep_their_tones_and_the_page_of_a_thing_leaves_its_own_code_out() {
    let journal = vec![event(
        9,
        "2026-07-07",
        "teardown_sheet",
        "Teardown",
        vec![
            Piece::plain("TH-4T-031 out of WC-37"),
            Piece {
                text: "29.542".into(),
                tone: Tone::Struck,
            },
        ],
    )];
    let draw = |ui: &mut Ui,
                _: &Cx,
                journal: &Vec<JournalLine>,
                own: &mut String,
                _: &mut Vec<Command>| {
        super::event_line::what_happened(ui, own, journal);
    };
    let mut h = page_of::<_, String>(journal, Show::default(), [900.0, 300.0], draw);
    h.state_mut().view = "TH-4T-031".into();
    h.run_steps(2);
    assert!(h.query_by_label("out of WC-37").is_some());
    h.state_mut().view = "WC-37".into();
    h.run_steps(2);
    assert!(h.query_by_label("TH-4T-031").is_some());
    assert!(h.query_by_label("29.542").is_some());
    assert!(sees(&h, "1 entry"));
}

#[test]
fn a_page_of_a_thing_does_not_say_its_own_code_in_each_line() {
    for (own, said, shown) in [
        ("R-118", "R-118, drive side", "drive side"),
        ("OM-07", "OM-07, due 2026-11-21", "due 2026-11-21"),
        ("F4-W-B-O", "WC-32 on R-123 at F4-W-B-O", "WC-32 on R-123"),
        ("R-123", "WC-32 on R-123 at F4-W-B-O", "WC-32 at F4-W-B-O"),
        (
            "R-12",
            "WC-32 on R-123 at F4-W-B-O",
            "WC-32 on R-123 at F4-W-B-O",
        ),
        (
            "WC-32",
            "WC-32 on R-123 at F4-W-B-O",
            "on R-123 at F4-W-B-O",
        ),
        (
            "WC-3",
            "WC-32 on R-123 at F4-W-B-O",
            "WC-32 on R-123 at F4-W-B-O",
        ),
    ] {
        let pieces = [
            Piece::plain(said),
            Piece::muted("off F4-W-B-O"),
            Piece::plain("zone II up"),
        ];
        let all = super::event_line::without(own, &pieces);
        assert_eq!(all[0].text, shown, "{own}");
        let is_position = own == "F4-W-B-O";
        assert_eq!(all.len(), if is_position { 2 } else { 3 }, "{own}");
    }
    assert_eq!(
        super::event_line::without("TH-1", &[Piece::plain("TH-1"), Piece::muted("cracked")]),
        [Piece::muted("cracked")]
    );
}

#[test]
fn a_draft_of_somebody_else_is_taken_over_with_a_trace() {
    let mut bench = Bench::with_people();
    bench.sign_in("Foreman A", "1111");
    bench.command(Command::NewSheet {
        known: vec![("identify.chock".into(), "WC-21".into())],
    });
    assert!(matches!(bench.route(), Route::Sheet(_)));
    bench.command(Command::SignOut);
    bench.command(Command::Go(Route::Log));
    assert!(sees(
        &bench.h,
        "Draft of WC-21, Foreman A, 1 value filled in"
    ));
    // The log shows the engineer's name too; the dialog is opened where no other thing is called so.
    bench.command(Command::Go(Route::Bearings));
    bench.sign_in("Roll-shop Engineer", "2222");
    bench.command(Command::Go(Route::Log));
    bench.click("Take over the draft of WC-21");
    let Route::Sheet(draft) = bench.route() else {
        panic!("the draft did not open")
    };
    let worker = bench.h.state().desk().unwrap().worker();
    let answer = worker.ask(move |logbook| {
        let conn = logbook.connection();
        (
            store::draft::traces(conn, draft).unwrap(),
            store::draft::read(conn, draft).unwrap(),
        )
    });
    worker.settle();
    let Progress::Here((traces, draft)) = answer.look() else {
        panic!("no answer")
    };
    assert_eq!(
        traces.last().map(|t| t.what.as_str()),
        Some("taken over from Foreman A")
    );
    assert_eq!(draft.fields["identify.chock"].source, Source::Typed);
}

#[test]
fn a_long_log_follows_the_keyboard() {
    let events = (0..400).map(|no| {
        event(
            1000 - no,
            "2026-01-01",
            "teardown_sheet",
            &format!("Teardown {no}"),
            Vec::new(),
        )
    });
    let mut h = shown(LogModel::new(Vec::new(), events.collect()));
    h.key_press_modifiers(Modifiers::NONE, Key::End);
    h.run_steps(6);
    assert!(sees(&h, "Teardown 399"), "the last row is not in view");
    h.key_press(Key::Enter);
    h.run_steps(3);
    assert_eq!(routes(&h.state().pushed), [Route::Signed(601)]);
    let row = h
        .query_all_by_label_contains("Teardown 399")
        .next()
        .unwrap();
    assert!(row.accesskit_node().is_selected() == Some(true) || sees(&h, "Teardown 398"));
}

#[test]
fn many_drafts_scroll_by_themselves_and_the_heads_of_the_events_stay() {
    let draft = |id: i64| DraftLine {
        id: store::draft::DraftId(id),
        kind: "teardown".into(),
        started: Stamp::parse("2026-10-30 06:00", 60).unwrap(),
        kept_ms: 0,
        person: None,
        person_name: "Foreman A".into(),
        filled: 3,
        chock: format!("WC-{id:02}"),
        bearing: String::new(),
    };
    let events = (0..400).map(|no| {
        let title = format!("Teardown {no}");
        event(
            1000 - no,
            "2026-01-01",
            "teardown_sheet",
            &title,
            Vec::new(),
        )
    });
    let mut h = shown(LogModel::new(
        (1..=12).map(draft).collect(),
        events.collect(),
    ));
    let head = |h: &Harness<'static, Page<LogModel, LogView>>| h.get_by_label("signed by").rect();
    let at = head(&h);
    assert!(at.bottom() < 520.0, "the events have room: {at:?}");
    h.event(egui::Event::PointerMoved(egui::pos2(500.0, 700.0)));
    h.key_press(Key::End);
    h.run_steps(6);
    for _ in 0..3 {
        h.event(egui::Event::MouseWheel {
            unit: egui::MouseWheelUnit::Line,
            delta: egui::vec2(0.0, -500.0),
            modifiers: Modifiers::NONE,
            phase: egui::TouchPhase::Move,
            source: egui::MouseWheelSource::Wheel,
        });
        h.run_steps(6);
    }
    assert!(sees(&h, "Teardown 399"), "the last row is not in view");
    assert_eq!(head(&h), at, "the heads went along");
    assert!(sees(&h, "Draft of WC-01"));
}
