//! The demo logbook as a whole: written twice, counted, and read back where the stories have numbers.
#![allow(clippy::unwrap_used)]

mod families;
mod near_misses;
mod stories;
mod wear;

use std::path::{Path, PathBuf};
use std::sync::OnceLock;

use demo::{DemoError, Options, Summary, write};
use store::query::Standing;
use store::{Clock, Entropy, Hands, Logbook, Stamp};

struct Frozen;

impl Clock for Frozen {
    fn now(&self) -> Stamp {
        Stamp::second(0, 60)
    }
}

struct Sevens;

impl Entropy for Sevens {
    fn fill(&mut self, bytes: &mut [u8]) {
        bytes.fill(7);
    }
}

fn open(path: &Path) -> Logbook {
    let hands = Hands {
        clock: Box::new(Frozen),
        entropy: Box::new(Sevens),
        install: [1; 16],
        program: "test".into(),
        drive: |_| None,
    };
    Logbook::open(path, hands).unwrap()
}

fn made(folder: &Path, name: &str, seed: u64) -> (PathBuf, Summary) {
    let path = folder.join(name);
    let summary = write(&path, &Options { years: 2, seed }, &mut |_, _| true).unwrap();
    (path, summary)
}

/// One demo for all tests that only read it.
fn shared() -> &'static (tempfile::TempDir, PathBuf, Summary) {
    static DEMO: OnceLock<(tempfile::TempDir, PathBuf, Summary)> = OnceLock::new();
    DEMO.get_or_init(|| {
        let folder = tempfile::tempdir().unwrap();
        let (path, summary) = made(folder.path(), "shared.chockbook", 1);
        (folder, path, summary)
    })
}

/// The first column of a query: whole numbers.
fn numbers(sql: &str) -> Vec<i64> {
    let logbook = open(&shared().1);
    let mut stmt = logbook.connection().prepare(sql).unwrap();
    let rows = stmt.query_map([], |row| row.get(0)).unwrap();
    rows.map(Result::unwrap).collect()
}

fn number(sql: &str) -> i64 {
    numbers(sql)[0]
}

/// What a reader can look up in the demo: one of every kind that its stories have.
#[test]
fn every_kind_that_the_stories_tell_is_in_the_demo() {
    for kind in [
        "received",
        "inspected_at_receipt",
        "assembled",
        "taken_out",
        "found_here",
        "mounted",
        "mounting_sheet",
        "campaign",
        "teardown_sheet",
        "seat_check",
        "paired",
        "unpaired",
        "greased",
        "sent_out",
        "returned",
        "hold",
        "released",
        "deviation_accepted",
        "mill_job",
        "position_work",
        "gauge_calibrated",
        "gauge_found_out",
        "scrapped",
        "condition_reading",
        "mill_incident",
        "extension",
        "teardown_planned",
        "batch_blocked",
        "cost",
        "attached",
        "amendment",
        "countersigned",
        "sheet_reopened",
    ] {
        let sql = format!("SELECT count(*) FROM event WHERE kind = '{kind}'");
        assert!(number(&sql) > 0, "no {kind}");
    }
    // 96 degrees against 58 as usual, and the certificate of the sleeved bore.
    assert_eq!(number("SELECT value FROM condition"), 96_000);
    let sql = "SELECT count(*) FROM document d JOIN thing t ON t.no = d.thing WHERE t.code = 'WC-17' AND d.what = 'certificate'";
    assert_eq!(number(sql), 1);
}

#[test]
fn the_same_seed_gives_the_same_bytes_wherever_it_is_written() {
    let folder = tempfile::tempdir().unwrap();
    let inner = folder.path().join("another folder");
    std::fs::create_dir(&inner).unwrap();
    let (again, summary) = made(&inner, "again.chockbook", 1);
    let (_, first, first_summary) = shared();
    assert_eq!(summary, *first_summary);
    assert!(
        std::fs::read(&again).unwrap() == std::fs::read(first).unwrap(),
        "the bytes differ"
    );
    let left: Vec<_> = std::fs::read_dir(&inner)
        .unwrap()
        .map(|f| f.unwrap().file_name())
        .collect();
    assert_eq!(
        left,
        ["again.chockbook"],
        "a temporary file was left behind"
    );
    let (_, other) = made(&inner, "other.chockbook", 2);
    assert_ne!(other.head, summary.head);
}

#[test]
fn nothing_is_left_of_a_demo_that_was_stopped_and_no_file_is_overwritten() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("stopped.chockbook");
    let stopped = write(&path, &Options::default(), &mut |day, _| day < 20);
    assert!(matches!(stopped, Err(DemoError::Cancelled)), "{stopped:?}");
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 0);
    std::fs::write(&path, "mine").unwrap();
    assert!(write(&path, &Options::default(), &mut |_, _| true).is_err());
    assert_eq!(std::fs::read_to_string(&path).unwrap(), "mine");
    for years in [0, 1, 21] {
        assert!(matches!(
            write(&path, &Options { years, seed: 1 }, &mut |_, _| true),
            Err(DemoError::Years { .. })
        ));
    }
}

#[test]
fn the_chain_holds_and_nothing_contradicts_anything() {
    let (_, path, summary) = shared();
    let logbook = open(path);
    assert!(logbook.is_demo());
    assert_eq!(logbook.now().to_string(), "2026-10-30T10:00:00+01:00");
    assert_eq!(
        logbook.anchor().unwrap().as_deref(),
        Some(summary.head.as_str())
    );
    assert_eq!(number("SELECT count(*) FROM conflict"), 0);
    assert_eq!(number("SELECT count(*) FROM event"), summary.events);
    assert_eq!(number("SELECT count(DISTINCT origin) FROM event"), 1);
    assert_eq!(
        number("SELECT count(*) FROM setting WHERE name = 'home'"),
        0
    );
    let late =
        "SELECT count(*) FROM event a JOIN event b ON b.no = a.no + 1 WHERE b.at_ms < a.at_ms";
    assert_eq!(number(late), 0, "events stand in the order of time");
    let report = store::verify::verify_file(path, Some(&summary.head), &mut |_, _| true)
        .unwrap()
        .unwrap();
    assert!(report.holds(), "{:?}", report.findings);
}

#[test]
fn state_derived_anew_is_the_state_of_the_file() {
    let (_, path, _) = shared();
    let folder = tempfile::tempdir().unwrap();
    let copy = folder.path().join("copy.chockbook");
    std::fs::copy(path, &copy).unwrap();
    let mut logbook = open(&copy);
    let sums = |logbook: &Logbook| -> (i64, i64, i64) {
        let sql = "SELECT (SELECT sum(run_s) FROM stay), (SELECT sum(value) FROM outcome), (SELECT sum(zone) FROM stay)";
        logbook
            .connection()
            .query_row(sql, [], |row| Ok((row.get(0)?, row.get(1)?, row.get(2)?)))
            .unwrap()
    };
    let before = sums(&logbook);
    assert!(logbook.rebuild(&mut |_, _| true).unwrap());
    assert_eq!(sums(&logbook), before);
}

#[test]
fn the_population_is_that_of_the_plant() {
    let count = |what: &str| number(&format!("SELECT count(*) FROM {what}"));
    assert_eq!(count("position"), 84);
    assert_eq!(count("chock WHERE code LIKE 'WC-%'"), 48);
    assert_eq!(count("chock"), 48 + 28 + 8 + 6 + 8 + 6 + 6 + 24);
    for (serials, wanted) in [
        ("TH-4T-%", 56),
        ("TH-4P-%", 10),
        ("TH-4L-%", 17),
        ("TH-4C-%", 38),
        ("TH-4CI-%", 54),
        ("TH-4M-%", 8),
        ("TH-4MI-%", 12),
        ("TH-2X-%", 38),
        ("TH-2S-%", 66),
    ] {
        assert_eq!(
            count(&format!("bearing WHERE serial LIKE '{serials}'")),
            wanted,
            "{serials}"
        );
    }
    assert_eq!(count("roll"), 66 + 20 + 12 + 6 + 24 + 10 + 6 + 48);
    assert_eq!(count("gauge"), 22);
    assert_eq!(count("person"), 13);
    let clock = Stamp::parse("2026-10-30T10:00", 60).unwrap().ms;
    let due = "SELECT g.code FROM gauge g JOIN calibration c ON c.gauge = g.no
               WHERE c.at_ms = (SELECT max(at_ms) FROM calibration WHERE gauge = g.no)";
    assert_eq!(
        number(&format!(
            "SELECT count(*) FROM ({due} AND c.due_ms < {clock})"
        )),
        1,
        "FG-05"
    );
}

#[test]
fn each_stand_and_family_has_about_the_work_of_the_plant() {
    let a_year = |sql: &str| number(sql) / 2;
    let ft = a_year(
        "SELECT count(DISTINCT run.campaign) FROM run JOIN position p ON p.no = run.position WHERE p.code LIKE 'F%-W-%'",
    );
    assert!(
        (22_000..23_200).contains(&ft),
        "{ft} roll mountings a year in the finishing train"
    );
    for (serials, low, high) in [
        ("TH-4T-%", 148, 172),
        ("TH-4P-%", 22, 28),
        ("TH-4L-%", 26, 36),
        // The plant counts teardowns of chocks: a backup chock has a thrust bearing, a bar chock two bearings abreast.
        ("TH-4C-%", 50, 75),
        ("TH-4M-%", 5, 12),
        ("TH-2X-%", 50, 75),
        ("TH-2S-%", 70, 100),
    ] {
        let sheets = a_year(&format!(
            "SELECT count(*) FROM sheet JOIN bearing b ON b.no = sheet.bearing WHERE b.serial LIKE '{serials}'"
        ));
        assert!(
            (low..=high).contains(&sheets),
            "{serials}: {sheets} sheets a year"
        );
    }
    let regrinds = number("SELECT count(*) FROM sheet WHERE decided = 'regrind_spacers'");
    assert!(regrinds >= 30, "{regrinds} regrinds");
    // The nine checks of necks with the micrometer that was past its day, twelve readings each; three chocks torqued with
    // a wrench that was; and nothing else.
    let overdue = "SELECT count(*) FROM reading r JOIN gauge g ON g.no = r.gauge WHERE r.is_gauge_overdue = 1";
    assert_eq!(number(&format!("{overdue} AND g.code = 'OM-07'")), 108);
    assert_eq!(number(&format!("{overdue} AND g.code = 'TW-04'")), 3);
    assert_eq!(number(overdue), 111);
}

#[test]
fn the_account_on_the_day_of_the_demo_is_that_of_the_opening_screens() {
    let of = |place: &str| {
        number(&format!(
            "SELECT count(*) FROM bearing b LEFT JOIN stay s ON s.bearing = b.no AND s.to_event IS NULL
             JOIN place p ON p.thing = coalesce(s.chock, b.no) WHERE b.serial LIKE 'TH-4T-%' AND {place}"
        ))
    };
    assert_eq!(of("p.place = 'mill'"), 24);
    let stays = "SELECT count(*) FROM stay s JOIN bearing b ON b.no = s.bearing WHERE s.to_event IS NULL AND b.serial LIKE 'TH-4T-%'";
    assert_eq!(number(stays), 46, "24 in the mill and 22 in ready chocks");
    let free = |place: &str| {
        number(&format!(
            "SELECT count(*) FROM bearing b JOIN place p ON p.thing = b.no WHERE b.serial LIKE 'TH-4T-%' AND p.place = '{place}'
             AND NOT EXISTS (SELECT 1 FROM stay s WHERE s.bearing = b.no AND s.to_event IS NULL)"
        ))
    };
    assert_eq!(
        [free("shop"), free("away"), free("stores"), free("scrapped")],
        [4, 3, 1, 2]
    );
    assert_eq!(
        number("SELECT count(*) FROM place WHERE place = 'mill'"),
        84
    );
    for (chock, hours, place) in [
        ("WC-14", 1_142, "F6-W-T-O"),
        ("KC-11", 3_060, "F3-K-B-D"),
        ("BC-09", 2_015, ""),
    ] {
        let sql = format!(
            "SELECT s.run_s FROM stay s JOIN chock c ON c.no = s.chock WHERE c.code = '{chock}' AND s.seat = 'main' AND s.to_event IS NULL"
        );
        assert_eq!(number(&sql), hours * 3600, "{chock}");
        let at = format!(
            "SELECT count(*) FROM place p JOIN chock c ON c.no = p.thing JOIN position q ON q.no = p.position
             WHERE c.code = '{chock}' AND q.code LIKE '{place}%'"
        );
        assert!(
            place.is_empty() || number(&at) == 1,
            "{chock} is in {place}"
        );
    }
}

#[test]
fn one_sheet_is_begun_and_waits_for_its_foreman() {
    let logbook = open(&shared().1);
    let drafts = store::draft::list(logbook.connection()).unwrap();
    let [draft] = &drafts[..] else {
        panic!("{} drafts", drafts.len())
    };
    assert_eq!(
        (draft.person_name.as_str(), draft.filled),
        ("Foreman B", 18)
    );
    let draft = store::draft::read(logbook.connection(), draft.id).unwrap();
    assert_eq!(draft.fields["identify.chock"].text, "WC-21");
    assert_eq!(draft.caret, "clearance.gap.3.270");
    let facts =
        store::sheet::Facts::load(logbook.connection(), &draft.fields, logbook.now()).unwrap();
    let assessed =
        store::sheet::assess(&draft.fields, &facts, store::entry::LengthUnit::Millimetre);
    let problems = assessed
        .fields
        .values()
        .filter(|state| state.problem.is_some())
        .count();
    assert_eq!(problems, 0, "what was typed so far is in order");
    assert_eq!(
        number(
            "SELECT count(*) FROM place JOIN chock c ON c.no = thing WHERE c.code = 'WC-21' AND place = 'mill'"
        ),
        0
    );
}

#[test]
fn the_example_sheet_is_signed_on_the_demo_and_gives_the_numbers_of_the_story() {
    let folder = tempfile::tempdir().unwrap();
    let copy = folder.path().join("copy.chockbook");
    std::fs::copy(&shared().1, &copy).unwrap();
    let mut logbook = open(&copy);
    let text = include_str!("../../../../demo/teardown-example.jsonl");
    assert_eq!(text.lines().count(), 1);
    let store::line::Line::Teardown { at, fields } = store::line::read(&mut logbook, text).unwrap()
    else {
        panic!("the example is no teardown sheet");
    };
    let pin = demo::pins()
        .unwrap()
        .into_iter()
        .find(|(name, _)| name == "Roll-shop Engineer")
        .unwrap()
        .1;
    let engineer = logbook.sign_in("Roll-shop Engineer", &pin).unwrap();
    let sheet = store::sheet::SignTeardown {
        fields: &fields,
        draft: None,
        at: Some(at),
        entered: None,
        signer: &engineer,
        engineer: None,
        unit: store::entry::LengthUnit::Millimetre,
        wear: None,
    };
    let signed = store::sheet::sign(&mut logbook, &sheet).unwrap();
    let clearance = &signed.assessment.clearance;
    assert_eq!(
        clearance.pairs.each_ref().map(|p| p.grind_nm),
        [Some(340_000), Some(280_000), Some(330_000)]
    );
    assert_eq!(
        clearance.after.end_play_nm,
        [Some(302_000), Some(302_000), Some(304_000)]
    );
    assert_eq!(
        (clearance.after.outer_nm, clearance.after.inner_nm),
        (Some(-664_000), Some(-278_000))
    );
    assert_eq!(
        signed.assessment.recommendation.disposition.as_str(),
        "regrind_spacers"
    );
    // Earlier sheets of this bearing told of light marks: that nothing is found now is asked about, and nothing else is.
    let problems: Vec<_> = signed
        .assessment
        .fields
        .iter()
        .filter_map(|(path, state)| Some((path.as_str(), state.problem.as_ref()?.is_refusal)))
        .collect();
    assert_eq!(problems, [("findings.none", false)]);
}

#[test]
fn the_page_of_today_has_what_is_late_short_and_unfinished() {
    let logbook = open(&shared().1);
    let now = logbook.now();
    let since = now.ms - 8 * store::time::HOUR_MS;
    let page = store::query::today(
        logbook.connection(),
        now,
        since,
        store::entry::Show::default(),
    )
    .unwrap();
    let late: Vec<(&str, i64, i64)> = page
        .due
        .iter()
        .filter(|line| line.is_late())
        .map(|line| {
            let hours = |s| s / 3600;
            assert_eq!(line.clock(), store::query::Clock::Run);
            (
                line.chock.1.as_str(),
                hours(line.due.done),
                hours(line.due.limit),
            )
        })
        .collect();
    assert_eq!(
        late,
        [
            ("WC-14", 1_142, 1_000),
            ("KC-11", 3_060, 3_000),
            ("BC-09", 2_015, 2_000)
        ]
    );
    let standing: Vec<_> = page.due.iter().filter(|l| l.is_late()).collect();
    assert_eq!(
        standing.iter().map(|l| l.due.standing).collect::<Vec<_>>(),
        [Standing::Explained, Standing::Extended, Standing::Overdue],
        "WC-14 has a plan, KC-11 an extension, BC-09 neither"
    );
    assert!(standing[2].plan.is_none());
    let bearings: Vec<&str> = standing.iter().map(|l| l.bearing.1.as_str()).collect();
    assert_eq!(bearings[..2], ["TH-4T-030", "TH-4C-020"]);
    let soon = |line: &str| {
        let coming = page.due.iter().filter(|l| !l.is_late());
        coming.filter(|l| l.line == line).count()
    };
    assert_eq!(
        ["FT", "PL", "CR", "BM"].map(soon),
        [6, 1, 2, 2],
        "due within 14 days; WC-21 would be one more of FT, but its teardown is begun"
    );
    assert!(
        page.early.is_empty(),
        "the cobble of 2025 (story E) and the hot chock of 2026 (story H) are long seen to"
    );
    assert_eq!(number("SELECT count(*) FROM early_teardown"), 2);
    assert_eq!(number("SELECT sum(amount_minor) FROM cost"), 1_450_000);
    assert_eq!(number("SELECT count(*) FROM blocked"), 1);
    let gauges: Vec<_> = page
        .gauges
        .iter()
        .map(|g| (g.gauge.1.as_str(), g.days))
        .collect();
    assert_eq!(gauges, [("FG-05", -3), ("HG-02", 9)]);
    let short: Vec<_> = page
        .short
        .iter()
        .map(|s| (s.bearing_type.1.as_str(), s.new, s.least))
        .collect();
    assert_eq!(short, [("N4T-480/620-336", 1, 2)]);
    let held: Vec<_> = page.holds.iter().map(|h| h.thing.1.as_str()).collect();
    // Besides those of the stories only what is being reconditioned outside.
    let told: Vec<&str> = held
        .iter()
        .copied()
        .filter(|code| {
            let others = ["TH-2S", "TH-2X", "TH-4C", "TH-4M"];
            !others.iter().any(|family| code.starts_with(family))
        })
        .collect();
    assert_eq!(told, ["TH-4T-015", "TH-4T-004", "TH-4T-027", "WC-44"]);
    assert_eq!(page.drafts.len(), 1);
    assert!(page.near.iter().all(|n| n.now_nm < n.limit_nm) && !page.near.is_empty());
    assert!(page.conflicts.is_empty() && !page.changes.is_empty());
}

/// The ranking of the scenario; F4, F1 and F3 wear alike in its background, and their last digit is the luck of the
/// generator.
#[test]
fn the_stands_rank_by_their_own_wear() {
    let logbook = open(&shared().1);
    let conn = logbook.connection();
    let wear = store::query::shop_wear(conn, None).unwrap().unwrap();
    let growth = store::query::growth_by_stand(conn, &wear, logbook.now().ms).unwrap();
    let work_rolls = &growth[0];
    assert_eq!(work_rolls.bearing_type, "N4T-480/620-336");
    let of = |code: &str| {
        let stand = work_rolls.stands.iter().find(|s| s.code == code).unwrap();
        assert!((20..=32).contains(&stand.stays), "{code}: {}", stand.stays);
        stand.mean
    };
    let [f6, f5, f4, f1, f3, f2] = ["F6", "F5", "F4", "F1", "F3", "F2"].map(of);
    assert!(
        f6 > f5 && f5 > f4.max(f1).max(f3),
        "{f6} {f5} {f4} {f1} {f3}"
    );
    assert!(f4.min(f1).min(f3) > f2, "{f4} {f1} {f3} {f2}");
    for (found, told) in [(f6, 66.0), (f5, 61.0), (f1, 56.0), (f3, 55.0), (f2, 50.0)] {
        assert!((found - told).abs() < 4.0, "{found} for {told}");
    }
}
