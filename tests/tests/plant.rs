//! A new plant of two stands and ten bearings, set up from an empty logbook in the real window by keyboard alone: its
//! register from tables, then the bearings from receipt to scrap, told with two keys each. The whole of it takes minutes
//! and runs with `CHOCKBOOK_LONG=1`; else six tables and one short life. Every act is told by keys in `app` too, without a
//! window.
#![allow(clippy::unwrap_used)]

use std::path::PathBuf;

use whole_program::window::{Window, caret, kept};
use whole_program::{Bench, is_quick};

const PIN: &str = "4711";

/// Page of the setup, its table, and the button that saves it. Bearing types come before the chock types that name
/// them, so the pages are gone through twice.
const TABLES: [(&str, &str, &str); 12] = [
    ("Lines", "line,name\nFT,hot strip\n", "Save 1 line"),
    (
        "Stands",
        "stand;line;build\nF1;FT;four-high\nF2;FT;four-high\n",
        "Save 2 stands",
    ),
    (
        "Positions",
        "stand\trole\ttop or bottom\tside\tfixed\tload [o'clock]\nF1\twork\ttop\toperator\tyes\t6\nF1\twork\ttop\tdrive\tno\t6\n\
         F2\twork\ttop\toperator\tyes\t6\nF2\twork\ttop\tdrive\tno\t6\n",
        "Save 4 positions",
    ),
    (
        "Rolls",
        "roll,line,role\nR-101,FT,work\nR-102,FT,W\nR-103,FT,work\nR-104,FT,work\nR-105,FT,work\n",
        "Save 5 rolls",
    ),
    (
        "Bearing types",
        "designation;kind;rows;d;D;B;spacer width, new, S1;spacer width, new, S2;spacer width, new, S3;rework level;dynamic load rating C [kN]\n\
         N4T-480/620-336;four-row tapered;4;480;620;336;24,0;30,0;24,0;0,600;5600\n",
        "Save 1 bearing type",
    ),
    (
        "Chock types",
        "chock type,main seat,shims,fits\nWO,N4T-480/620-336,under the flange,W-T-O\nWD,N4T-480/620-336,between,W-T-D\n",
        "Save 2 chock types",
    ),
    (
        "Chocks",
        "chock,type\nWO-1,WO\nWD-1,WD\nWO-2,WO\nWD-2,WD\nWO-3,WO\nWD-3,WD\nWO-4,WO\nWD-4,WD\nWO-5,WO\nWD-5,WD\n",
        "Save 10 chocks",
    ),
    (
        "Bearings",
        "serial,type\nTH-01,N4T-480/620-336\nTH-02,N4T-480/620-336\nTH-03,N4T-480/620-336\nTH-04,N4T-480/620-336\n\
         TH-05,N4T-480/620-336\nTH-06,N4T-480/620-336\nTH-07,N4T-480/620-336\nTH-08,N4T-480/620-336\n\
         TH-09,N4T-480/620-336\nTH-10,N4T-480/620-336\n",
        "Save 10 bearings",
    ),
    (
        "Gauges",
        "gauge;kind;measures;resolution [mm];U [mm];due;checked on\nOM-1;outside micrometer;neck;0,001;0,008;2099-03-01;SR-2\n",
        "Save 1 gauge",
    ),
    (
        "Seal batches",
        "batch,seals\nSB-1,neck seals\n",
        "Save 1 seal batch",
    ),
    (
        "Greases",
        "grease,name\nG-1,lithium complex\n",
        "Save 1 grease",
    ),
    (
        "People",
        "name,role\nForeman,foreman\nStores,storekeeper\n",
        "Save 2 people",
    ),
];

/// What a bearing needs that comes, and is scrapped without ever having run.
const SHORT: [&str; 6] = [
    "Lines",
    "Stands",
    "Positions",
    "Bearing types",
    "Bearings",
    "People",
];

/// The order of the pages in the list of the setup.
const PAGES: [&str; 14] = [
    "Lines",
    "Stands",
    "Positions",
    "Rolls",
    "Chock types",
    "Chocks",
    "Bearing types",
    "Bearings",
    "Gauges",
    "Seal batches",
    "Greases",
    "People",
    "This logbook",
    "Backups and check",
];

fn sign_in(window: &Window) {
    window.wait_for("At work: Sign in");
    window.keys(&["Tab", "Return"]);
    window.wait_caret("PIN");
    window.keys(&["Down"]);
    window.enter(&[PIN]);
    window.wait_for("At work: Eng");
}

/// From one page of the setup to another with Ctrl Page Down and Up.
fn turn(window: &Window, from: &str, to: &str) {
    let at = |name: &str| PAGES.iter().position(|page| *page == name).unwrap();
    let (from, there) = (at(from), at(to));
    let keys = vec!["ctrl+Next"; there.saturating_sub(from)];
    let back = vec!["ctrl+Prior"; from.saturating_sub(there)];
    window.keys(&[keys, back].concat());
    let page = format!("Setup: {to}");
    window.wait(&page, |all| {
        all.iter().any(|c| c.name == page && c.has("checked"))
    });
}

/// Every table of the register, read from its file: the keyboard goes from Add to Paste, to the path, to Save.
fn register(window: &Window, bench: &Bench, is_long: bool) {
    window.keys(&["ctrl+8"]);
    let mut here = "People";
    let tables = TABLES.into_iter();
    for (page, table, save) in tables.filter(|(page, ..)| is_long || SHORT.contains(page)) {
        turn(window, here, page);
        here = page;
        let file: PathBuf = bench.path(&format!("{}.csv", page.replace(' ', "-")));
        std::fs::write(&file, table).unwrap();
        window.wait("the button that adds", |all| {
            caret(all).is_some_and(|name| name.starts_with("Add a "))
        });
        window.keys(&["Tab", "Return"]);
        window.wait_caret("Path of the CSV file");
        window.enter(&[file.to_str().unwrap()]);
        window.wait_caret(save);
        window.keys(&["Return"]);
        window.wait_for("What was pasted is in the register");
    }
}

/// Two keys choose what happened; then the thing, and the fields: `>2` is twice the arrow to the right.
fn tell(window: &Window, letter: &str, texts: &[&str]) {
    window.keys(&["ctrl+e"]);
    window.wait_for("Received, key R");
    window.keys(&[letter]);
    window.wait("the field of the thing", |all| {
        caret(all).is_some_and(|name| name.starts_with("Which "))
    });
    window.enter(&texts[..1]);
    window.wait("the form", |all| {
        caret(all).is_some_and(|name| name.contains(": "))
    });
    for text in &texts[1..] {
        match text.strip_prefix('>') {
            Some(times) => {
                let mut keys = vec!["Right"; times.parse().unwrap()];
                keys.push("Return");
                window.keys(&keys);
            }
            None if text.is_empty() => window.keys(&["Return"]),
            None => window.enter(&[text]),
        }
    }
    window.wait_caret("Sign and save");
    window.keys(&["Return"]);
    window.wait(&format!("{texts:?} to be signed"), |all| {
        all.iter().any(|c| c.name.starts_with("Signed: "))
            && !all.iter().any(|c| c.name == "Sign and save")
    });
}

/// Whether the mill told what this roll bore.
const fn is_loaded(pair: i64) -> bool {
    pair % 2 == 1
}

/// Both bearings of a roll from receipt to scrap.
fn lives(window: &Window, pair: i64) {
    let (o, d) = (
        format!("TH-{:02}", pair * 2 - 1),
        format!("TH-{:02}", pair * 2),
    );
    let (chock_o, chock_d) = (format!("WO-{pair}"), format!("WD-{pair}"));
    let roll = format!("R-10{pair}");
    let stand = if pair % 2 == 0 { "F2" } else { "F1" };
    let (position_o, position_d) = (format!("{stand}-W-T-O"), format!("{stand}-W-T-D"));
    let day = |time: &str| format!("2026-01-1{pair} {time}");
    let come = day("05:00");
    for (bearing, chock) in [(&o, &chock_o), (&d, &chock_d)] {
        tell(
            window,
            "r",
            &[
                bearing, "0.300", "0.300", "0.300", "", "", "", "C-1", "", &come,
            ],
        );
        tell(window, "i", &[bearing, "crate dry", ">1", "", &come]);
        tell(window, "p", &[bearing, chock, "", ">1", "", &come]);
    }
    tell(
        window,
        "m",
        &[&chock_o, &roll, &position_o, "", &day("06:00")],
    );
    tell(
        window,
        "m",
        &[&chock_d, &roll, &position_d, "", &day("06:00")],
    );
    // Roll, chocks and positions are known from where they are: the caret stands at the time it went in. The mill says
    // of every other roll what it bore.
    let [radial, axial, speed] = if is_loaded(pair) {
        ["1200", "60", "95"]
    } else {
        ["", "", ""]
    };
    let (went_in, came_out) = (day("06:00"), day("11:00"));
    tell(
        window,
        "c",
        &[
            &chock_o, &went_in, &came_out, "5", "4100", "", radial, axial, speed,
        ],
    );
    for (bearing, chock) in [(&o, &chock_o), (&d, &chock_d)] {
        tell(window, "o", &[chock, &day("11:00")]);
        tell(window, "t", &[bearing, "looked at", &day("12:00")]);
        tell(
            window,
            "s",
            &[bearing, "North Yard", "photos", &day("13:00")],
        );
        tell(
            window,
            "b",
            &[
                bearing,
                "0.310",
                "0.305",
                "0.310",
                "NY-1",
                "",
                &day("14:00"),
            ],
        );
        tell(
            window,
            "3",
            &[bearing, "3100", "reconditioning", &day("15:00")],
        );
        tell(
            window,
            "x",
            &[bearing, "axial crack", "Stores", PIN, &day("16:00")],
        );
    }
}

#[test]
fn a_new_plant_is_set_up_and_its_bearings_go_to_scrap_by_keyboard_alone() {
    if is_quick("a new plant in the real window") {
        return;
    }
    let bench = Bench::new();
    let file = bench.path("plant.chockbook");
    let name = file.to_str().unwrap();
    let pin = [("CHOCKBOOK_PIN", PIN)];
    let words = ["new", name, "--plant", "Tarnhollow", "--engineer", "Eng"];
    bench.run(&words, "", &pin).expect(0);
    let window = Window::open(&bench, "1280x800", &[name], &[]);
    sign_in(&window);
    let is_long = std::env::var_os("CHOCKBOOK_LONG").is_some();
    register(&window, &bench, is_long);
    let pairs = if is_long { 5 } else { 0 };
    for pair in 1..=pairs {
        lives(&window, pair);
    }
    if !is_long {
        let set = [
            "TH-01", "0.300", "0.300", "0.300", "", "", "", "C-1", "", "",
        ];
        tell(&window, "r", &set);
        tell(
            &window,
            "x",
            &["TH-01", "ring cracked in the crate", "Stores", PIN, ""],
        );
    }
    window.keys(&["ctrl+3"]);
    window.wait("the register of bearings", |all| {
        all.iter()
            .any(|c| c.role == "table row" && c.name.contains("TH-10"))
    });
    window.picture("plant-bearings");
    drop(window);
    let verified = bench.run(&["verify", name], "", &[]).expect(0).out;
    assert!(
        verified.contains("Everything that was checked holds"),
        "{verified}"
    );
    let conn = rusqlite::Connection::open(&file).unwrap();
    // Kept for a person, who may want to look at every page of it.
    let whole = kept("plant.chockbook");
    let _old = std::fs::remove_file(&whole);
    conn.execute("VACUUM INTO ?1", [whole.to_str().unwrap()])
        .unwrap();
    let count = |sql: &str| conn.query_row(sql, [], |row| row.get::<_, i64>(0)).unwrap();
    assert_eq!(count("SELECT count(*) FROM bearing"), 10);
    assert_eq!(count("SELECT count(*) FROM conflict"), 0);
    assert_eq!(
        count("SELECT count(*) FROM place WHERE place IN ('mill', 'away', 'unknown')"),
        0,
        "chocks and rolls are back in the shop"
    );
    let gone = if is_long { 2 * pairs } else { 1 };
    assert_eq!(
        count("SELECT count(*) FROM place WHERE place = 'scrapped'"),
        gone
    );
    assert_eq!(
        count("SELECT count(*) FROM stay WHERE run_s = 18000"),
        2 * pairs
    );
    for pair in 1..=pairs {
        for (n, side) in [(pair * 2 - 1, "O"), (pair * 2, "D")] {
            let (serial, chock) = (format!("TH-{n:02}"), format!("W{side}-{pair}"));
            whole_life(&conn, pair, (&serial, &chock));
        }
    }
    if is_long {
        let paper = bench.path("life.pdf");
        let words = ["print", name, "history", "--bearing", "TH-01", "--to"];
        let words = [&words[..], &[paper.to_str().unwrap()]].concat();
        bench.run(&words, "", &[]).expect(0);
        assert!(std::fs::read(paper).unwrap().starts_with(b"%PDF-"));
    }
}

/// Everything that happened to a bearing, in order and with what came of it, and how its chock took it into the mill.
fn whole_life(conn: &rusqlite::Connection, pair: i64, (serial, chock): (&str, &str)) {
    let told_of = |code: &str, sql: &str| -> Vec<String> {
        let mut stmt = conn.prepare(sql).unwrap();
        let rows = stmt.query_map([code], |row| row.get(0)).unwrap();
        rows.collect::<Result<_, _>>().unwrap()
    };
    let told = |sql: &str| told_of(serial, sql);
    let kinds = "SELECT e.kind FROM event e JOIN thing_event t ON t.event = e.no JOIN thing b ON b.no = t.thing \
                 WHERE b.code = ?1 AND e.kind <> 'register_change' ORDER BY e.at_ms, e.no";
    assert_eq!(
        told(kinds),
        [
            "received",
            "inspected_at_receipt",
            "assembled",
            "taken_out",
            "sent_out",
            "returned",
            "cost",
            "scrapped"
        ],
        "{serial}"
    );
    let of_chock = ["assembled", "mounted", "dismounted", "taken_out"];
    assert_eq!(told_of(chock, kinds), of_chock, "{chock}");
    let run = "SELECT r.run_s || ' s, ' || r.rolled_kg || ' kg, ' || coalesce(r.radial_n || ' ' || r.axial_n || ' N, ' \
               || r.speed_mrpm, 'no load') || ', ' || q.code || ' of ' || p.code FROM run r JOIN thing c ON c.no = r.chock \
               JOIN thing p ON p.no = r.position JOIN thing q ON q.no = r.roll WHERE c.code = ?1";
    let stand = if pair % 2 == 0 { "F2" } else { "F1" };
    let load = if is_loaded(pair) {
        "1200000 60000 N, 95000"
    } else {
        "no load"
    };
    let side = if chock.starts_with("WO") { "O" } else { "D" };
    let ran = format!("18000 s, 4100000 kg, {load}, R-10{pair} of {stand}-W-T-{side}");
    assert_eq!(told_of(chock, run), [ran], "{chock}");
    let stays = "SELECT run_s || ' s, ' || rolled_kg || ' kg, ' || campaigns || ' campaign' || \
                 iif(to_ms IS NULL, ', still', '') FROM stay s JOIN bearing b ON b.no = s.bearing WHERE b.serial = ?1";
    assert_eq!(told(stays), ["18000 s, 4100000 kg, 1 campaign"], "{serial}");
    let set = "SELECT revision || '.' || pair || ': ' || (value_nm / 1000) FROM baseline a JOIN bearing b ON b.no = a.bearing \
               WHERE b.serial = ?1 ORDER BY revision, pair";
    let both = [
        "1.1: 300", "1.2: 300", "1.3: 300", "2.1: 310", "2.2: 305", "2.3: 310",
    ];
    assert_eq!(
        told(set),
        both,
        "{serial}: as set when new and after the outside work"
    );
    let spent = "SELECT amount_minor || '' FROM cost c JOIN bearing b ON b.no = c.thing WHERE b.serial = ?1";
    assert_eq!(told(spent), ["310000"], "{serial}");
    let end = "SELECT json_extract(e.payload, '$.reason') || ', seen by ' || p.name FROM event e \
               JOIN event w ON w.origin = e.origin AND w.seq = json_extract(e.payload, '$.witness') \
               JOIN person p ON p.no = w.no JOIN thing_event t ON t.event = e.no JOIN bearing b ON b.no = t.thing \
               WHERE b.serial = ?1 AND e.kind = 'scrapped'";
    assert_eq!(told(end), ["axial crack, seen by Stores"], "{serial}");
}
