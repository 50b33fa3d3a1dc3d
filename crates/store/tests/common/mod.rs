//! A small shop for the tests: a clock that is set, entropy that counts, and a register like the demo plant's.
#![allow(dead_code, reason = "each test file uses its part")]

pub mod sheet;

use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::atomic::{AtomicI64, Ordering};

use rusqlite::Connection;
use store::line::{self, Line};
use store::payload::Role;
use store::time::HOUR_MS;
use store::verify::{Report, verify_file};
use store::{Clock, Entropy, Hands, Logbook, Result, Signed, Signer, Stamp};

/// 2026-01-05 06:00 UTC, when the shop's clock starts.
pub const START_MS: i64 = 1_767_592_800_000;

pub const PIN: &str = "2468";

#[derive(Clone)]
pub struct TestClock(Arc<AtomicI64>);

impl TestClock {
    pub fn new() -> Self {
        Self(Arc::new(AtomicI64::new(START_MS)))
    }

    pub fn forward_ms(&self, ms: i64) {
        self.0.fetch_add(ms, Ordering::SeqCst);
    }

    pub fn ms(&self) -> i64 {
        self.0.load(Ordering::SeqCst)
    }
}

impl Clock for TestClock {
    fn now(&self) -> Stamp {
        Stamp::second(self.ms(), 0)
    }
}

/// Bytes that count up from a start, so that two openings differ when their starts do.
pub struct Counter(pub u8);

impl Entropy for Counter {
    fn fill(&mut self, bytes: &mut [u8]) {
        for byte in bytes {
            self.0 = self.0.wrapping_add(1);
            *byte = self.0;
        }
    }
}

pub fn hands(clock: &TestClock, start: u8) -> Hands {
    Hands {
        clock: Box::new(clock.clone()),
        entropy: Box::new(Counter(start)),
        install: [9; 16],
        program: "Chockbook test".into(),
        drive: |_| None,
    }
}

/// A logbook with one engineer and a register.
pub struct Shop {
    pub dir: tempfile::TempDir,
    pub path: PathBuf,
    pub clock: TestClock,
    pub logbook: Logbook,
    pub engineer: Signer,
}

pub const REGISTER: [&str; 20] = [
    r#"{"entity":"line","code":"FT","name":"finishing train"}"#,
    r#"{"entity":"stand","code":"F3","line":"FT","build":"four-high"}"#,
    r#"{"entity":"stand","code":"F4","line":"FT","build":"four-high"}"#,
    r#"{"entity":"position","code":"F3-W-T-O","stand":"F3","role":"W","level":"T","side":"O","load_angle_deg":0}"#,
    r#"{"entity":"position","code":"F3-W-T-D","stand":"F3","role":"W","level":"T","side":"D","load_angle_deg":0}"#,
    r#"{"entity":"position","code":"F4-W-T-O","stand":"F4","role":"W","level":"T","side":"O","load_angle_deg":0}"#,
    r#"{"entity":"position","code":"F4-W-T-D","stand":"F4","role":"W","level":"T","side":"D","load_angle_deg":0}"#,
    r#"{"entity":"roll","code":"R-101","line":"FT","role":"W"}"#,
    r#"{"entity":"roll","code":"R-102","line":"FT","role":"W"}"#,
    r#"{"entity":"bearing_type","code":"N4T","bearing_kind":"four_row_tapered","values":{"bore_mm":480}}"#,
    r#"{"entity":"chock_type","code":"top O","seats":{"main":"N4T"},"shim_place":"between","fits":["W-T-O"]}"#,
    r#"{"entity":"chock_type","code":"top D","seats":{"main":"N4T"},"shim_place":"between","fits":["W-T-D"]}"#,
    r#"{"entity":"chock","code":"WC-17","chock_type":"top O"}"#,
    r#"{"entity":"chock","code":"WC-18","chock_type":"top O"}"#,
    r#"{"entity":"chock","code":"WC-41","chock_type":"top D"}"#,
    r#"{"entity":"chock","code":"WC-42","chock_type":"top D"}"#,
    r#"{"entity":"bearing","serial":"TH-4T-001","bearing_type":"N4T"}"#,
    r#"{"entity":"bearing","serial":"TH-4T-002","bearing_type":"N4T"}"#,
    r#"{"entity":"bearing","serial":"TH-4T-003","bearing_type":"N4T"}"#,
    r#"{"entity":"gauge","code":"BG-03","gauge_kind":"bore gauge","measures":"bore","resolution_um":1,"due":"2027-01-01"}"#,
];

impl Shop {
    pub fn new() -> Self {
        let dir = tempfile::tempdir().unwrap();
        let clock = TestClock::new();
        let path = dir.path().join("plant.chockbook");
        let mut logbook =
            Logbook::create(&path, hands(&clock, 0), "Tarnhollow Rolling Works").unwrap();
        logbook
            .register_person(None, None, "Engineer", Role::Engineer, PIN)
            .unwrap();
        let engineer = logbook.sign_in("Engineer", PIN).unwrap();
        let mut shop = Self {
            dir,
            path,
            clock,
            logbook,
            engineer,
        };
        for record in REGISTER {
            shop.log(&format!(r#"{{"kind":"register_change",{}"#, &record[1..]))
                .unwrap();
        }
        // What the tests tell happened in the days after; nothing is entered before it happens.
        shop.clock.forward_ms(20 * 24 * HOUR_MS);
        shop
    }

    /// Signs one line as the engineer.
    pub fn log(&mut self, text: &str) -> Result<Signed> {
        let engineer = self.engineer.clone();
        log_as(&mut self.logbook, &engineer, text)
    }

    /// Registers somebody and signs them in.
    pub fn person(&mut self, name: &str, role: Role) -> Signer {
        let engineer = self.engineer.clone();
        self.logbook
            .register_person(Some(&engineer), None, name, role, PIN)
            .unwrap();
        self.logbook.sign_in(name, PIN).unwrap()
    }

    /// A few days of work: bearings received and assembled, chocks in and out of the mill.
    pub fn work(&mut self) {
        for line in WORK {
            self.log(line).unwrap();
        }
    }

    pub fn dump(&self) -> Vec<String> {
        dump(self.logbook.connection())
    }

    /// Closes the logbook and gives the folder and the file.
    pub fn close(self) -> (tempfile::TempDir, PathBuf, TestClock) {
        (self.dir, self.path, self.clock)
    }
}

pub const WORK: [&str; 9] = [
    r#"{"kind":"received","at":"2026-01-06T06:00","bearing":"TH-4T-001","as_set_mm":[0.3,0.3,0.3],"note":"crate dry"}"#,
    r#"{"kind":"received","at":"2026-01-06T06:05","bearing":"TH-4T-002","as_set_mm":[0.31,0.3,0.29]}"#,
    r#"{"kind":"assembled","at":"2026-01-07T08:00","bearing":"TH-4T-001","chock":"WC-17","zone":1}"#,
    r#"{"kind":"assembled","at":"2026-01-07T09:00","bearing":"TH-4T-002","chock":"WC-41","zone":2}"#,
    r#"{"kind":"mounted","at":"2026-01-08T06:00","chock":"WC-17","roll":"R-101","position":"F3-W-T-O"}"#,
    r#"{"kind":"mounted","at":"2026-01-08T06:01","chock":"WC-41","roll":"R-101","position":"F3-W-T-D"}"#,
    r#"{"kind":"dismounted","at":"2026-01-08T12:00","chock":"WC-17"}"#,
    r#"{"kind":"campaign","at":"2026-01-08T12:00","roll":"R-101","position_o":"F3-W-T-O","position_d":"F3-W-T-D","chock_o":"WC-17","chock_d":"WC-41","from":"2026-01-08T06:10","hours":5.5,"tonnes":5000}"#,
    r#"{"kind":"taken_out","at":"2026-01-09T08:00","bearing":"TH-4T-001","reason":"looked at"}"#,
];

pub fn log_as(logbook: &mut Logbook, signer: &Signer, text: &str) -> Result<Signed> {
    match line::read(logbook, text)? {
        Line::Event(event) => Ok(logbook.append(Some(signer), &[event])?.remove(0)),
        Line::WithFile { event, file } => Ok(logbook
            .append_with_file(Some(signer), &event, &file)?
            .remove(0)),
        Line::Teardown { .. } | Line::Mounting { .. } => panic!("sheets are signed elsewhere"),
    }
}

/// Every row of every derived table, as text, sorted.
pub fn dump(conn: &Connection) -> Vec<String> {
    let kept = [
        "attachment",
        "attachment_content",
        "event",
        "draft",
        "draft_field",
        "draft_trace",
        "setting",
        "state",
    ];
    let tables: Vec<String> = strings(
        conn,
        "SELECT name FROM sqlite_master WHERE type = 'table' ORDER BY name",
    );
    let mut all = Vec::new();
    for table in tables
        .iter()
        .filter(|table| !kept.contains(&table.as_str()) && !table.starts_with("sqlite_"))
    {
        let columns = strings(
            conn,
            &format!("SELECT name FROM pragma_table_info('{table}')"),
        );
        let row = columns
            .iter()
            .map(|c| format!("quote({c})"))
            .collect::<Vec<_>>()
            .join(" || ', ' || ");
        let mut rows = strings(conn, &format!("SELECT '{table}: ' || {row} FROM {table}"));
        rows.sort();
        all.extend(rows);
    }
    assert!(all.len() > 20, "the register alone has more rows");
    all
}

pub fn strings(conn: &Connection, sql: &str) -> Vec<String> {
    let mut stmt = conn.prepare(sql).unwrap();
    stmt.query_map([], |row| row.get(0))
        .unwrap()
        .collect::<rusqlite::Result<_>>()
        .unwrap()
}

pub fn number(conn: &Connection, sql: &str) -> i64 {
    conn.query_row(sql, [], |row| row.get(0)).unwrap()
}

/// A picture (PNG) with something on it.
pub fn picture(width: u32, height: u32) -> Vec<u8> {
    let picture = image::RgbImage::from_fn(width, height, |x, y| {
        image::Rgb([(x * 3) as u8, (y * 5) as u8, ((x + y) % 251) as u8])
    });
    let mut bytes = std::io::Cursor::new(Vec::new());
    picture
        .write_to(&mut bytes, image::ImageFormat::Png)
        .unwrap();
    bytes.into_inner()
}

/// Verifies a file and proves on the way that it stays as it is.
pub fn verify(path: &Path, anchor: Option<&str>) -> Report {
    let before = std::fs::read(path).unwrap();
    let report = verify_file(path, anchor, &mut |_, _| true)
        .unwrap()
        .unwrap();
    assert!(
        before == std::fs::read(path).unwrap(),
        "verify wrote to the file"
    );
    report
}

/// What a report found, one line each.
pub fn findings(report: &Report) -> String {
    let line = |f: &store::verify::Finding| match f.event {
        Some(event) => format!("{}:{} {}\n", event.origin.short(), event.seq, f.what),
        None => format!("{}\n", f.what),
    };
    report.findings.iter().map(line).collect()
}

/// Changes rows behind the logbook's back, as somebody with any SQLite tool could, and puts the triggers back.
pub fn tamper(path: &Path, sql: &str) {
    let conn = Connection::open(path).unwrap();
    let triggers = strings(
        &conn,
        "SELECT sql FROM sqlite_master WHERE type = 'trigger'",
    );
    assert_eq!(triggers.len(), 2);
    conn.execute_batch(
        "DROP TRIGGER event_no_update; DROP TRIGGER event_no_delete; PRAGMA foreign_keys = OFF;",
    )
    .unwrap();
    conn.execute_batch(sql).unwrap();
    assert!(
        conn.total_changes() > 0 || sql.starts_with("DROP"),
        "nothing was altered by {sql}"
    );
    for trigger in triggers {
        conn.execute_batch(&trigger).unwrap();
    }
}
