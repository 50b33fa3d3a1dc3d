//! The micrometer of the demo that ran out of calibration: its impact list row by row, from the finished logbook.
#![allow(clippy::unwrap_used)]

use std::path::PathBuf;
use std::sync::OnceLock;

use calc::conformity::Verdict;
use calc::found_out::Change;
use demo::{Options, write};
use store::entry::Show;
use store::query::{Impact, JournalFilter, Release, impacts, journal};
use store::sheet::thing_by_code;
use store::{Hands, Logbook, Stamp};

struct At(Stamp);

impl store::Clock for At {
    fn now(&self) -> Stamp {
        self.0
    }
}

struct Zero;

impl store::Entropy for Zero {
    fn fill(&mut self, bytes: &mut [u8]) {
        bytes.fill(0);
    }
}

fn logbook() -> Logbook {
    static DEMO: OnceLock<(tempfile::TempDir, PathBuf)> = OnceLock::new();
    let (_, path) = DEMO.get_or_init(|| {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("impact.chockbook");
        write(&path, &Options::default(), &mut |_, _| true).unwrap();
        (folder, path)
    });
    let hands = Hands {
        clock: Box::new(At(Stamp::second(0, 0))),
        entropy: Box::new(Zero),
        install: [0; 16],
        program: "test".into(),
        drive: |_| None,
    };
    Logbook::open(path, hands).unwrap()
}

fn found_out(logbook: &Logbook) -> Impact {
    let conn = logbook.connection();
    let gauge = thing_by_code(conn, "gauge", "OM-07").unwrap().unwrap().0;
    let mut all = impacts(conn, gauge, Show::default()).unwrap();
    assert_eq!(all.len(), 1, "found out once");
    all.remove(0)
}

#[test]
fn the_impact_list_of_the_spare_micrometer_comes_out_row_by_row() {
    use Change::{InDoubt, NowFails, Stands};
    use Verdict::{Fail, FailInDoubt, Pass, PassInDoubt};
    let logbook = logbook();
    let impact = found_out(&logbook);
    assert_eq!(
        (impact.at.date().as_str(), impact.error),
        ("2025-11-21", 24_000)
    );
    let (good, _, due) = impact.good.as_ref().unwrap();
    assert_eq!(
        (good.date().as_str(), due.date().as_str()),
        ("2024-09-15", "2025-09-15")
    );

    let rows = [
        ("R-118, operator side", 702, 678, Pass, Stands),
        ("R-118, drive side", 708, 684, Pass, Stands),
        ("R-121, operator side", 676, 652, Fail, NowFails),
        ("R-121, drive side", 699, 675, Pass, Stands),
        ("R-104, operator side", 671, 647, Fail, NowFails),
        ("R-104, drive side", 690, 666, PassInDoubt, InDoubt),
        ("R-133, operator side", 712, 688, Pass, Stands),
        ("R-133, drive side", 705, 681, Pass, Stands),
        ("R-109, drive side", 681, 657, FailInDoubt, NowFails),
    ];
    let um = |um: i64| Some((479_000 + um) * 1_000);
    for (line, (of, recorded, corrected, verdict, change)) in impact.lines.iter().zip(rows) {
        assert_eq!(line.of, of);
        assert_eq!(
            (line.recorded, line.corrected),
            (um(recorded), um(corrected)),
            "{of}"
        );
        assert_eq!((line.lower, line.upper), (Some(479_660_000), None), "{of}");
        assert_eq!(
            line.signed,
            Some(PassInDoubt),
            "{of}: overdue then, so no plain pass"
        );
        assert_eq!(
            (line.if_corrected, line.change),
            (Some(verdict), Some(change)),
            "{of}"
        );
        assert_eq!(line.said, "spare gauge away, continue", "{of}");
        assert_eq!(line.readings.len(), 12, "{of}");
        assert!(
            line.readings
                .iter()
                .all(|r| r.recorded - r.corrected == 24_000),
            "{of}"
        );
    }
    assert_eq!(
        (impact.lines.len(), impact.changed(), impact.unreleased()),
        (9, 3, 2)
    );
    let unreleased: Vec<&str> = impact
        .lines
        .iter()
        .filter(|line| line.release == Release::Missing)
        .map(|line| line.of.as_str())
        .collect();
    assert_eq!(unreleased, ["R-121, drive side", "R-133, operator side"]);
}

#[test]
fn what_was_done_about_it_stands_beside_each_row_and_nothing_was_overwritten() {
    let logbook = logbook();
    let impact = found_out(&logbook);
    for (of, again_um, acts) in [
        ("R-121, operator side", 479_651, 4),
        ("R-104, operator side", 479_646, 4),
        ("R-109, drive side", 479_659, 5),
    ] {
        let line = impact.lines.iter().find(|line| line.of == of).unwrap();
        let again = line.again.as_ref().unwrap();
        assert_eq!(
            (again.at.date().as_str(), again.gauge.as_str()),
            ("2025-11-24", "OM-02")
        );
        assert_eq!(again.value, Some(again_um * 1_000), "{of}");
        let done: Vec<&str> = line.done.iter().map(|act| act.text.as_str()).collect();
        assert_eq!(done.len(), acts, "{of}: {done:?}");
        assert!(
            done[0].starts_with("Hold: ") && done[0].contains("recalled"),
            "{done:?}"
        );
        assert!(
            done.iter().any(|act| act.contains("neck sleeve repair")),
            "{done:?}"
        );
    }
    let r_109 = impact.lines.last().unwrap();
    assert!(r_109.done.iter().any(|act| act.text.contains("DV-07")));

    let conn = logbook.connection();
    let roll = thing_by_code(conn, "roll", "R-121").unwrap().unwrap().0;
    let filter = JournalFilter {
        thing: Some(roll),
        ..JournalFilter::default()
    };
    let lines = journal(conn, &filter, Show::default()).unwrap();
    let suspect: Vec<String> = lines
        .iter()
        .filter(|line| line.text().contains("suspect gauge OM-07"))
        .map(|line| line.text())
        .collect();
    assert_eq!(
        suspect.len(),
        2,
        "both necks, and not the check on OM-02: {suspect:?}"
    );
    assert!(
        suspect[1].contains("479.676"),
        "as it was read: {suspect:?}"
    );
    // One campaign under the deviation, no more, until the neck was repaired.
    let sql = "SELECT count(DISTINCT r.campaign) FROM run r JOIN thing t ON t.no = r.roll AND t.code = 'R-109'
               WHERE r.from_ms BETWEEN unixepoch('2025-11-24 13:00') * 1000 AND unixepoch('2026-02-09 00:00') * 1000";
    let campaigns: i64 = conn.query_row(sql, [], |row| row.get(0)).unwrap();
    assert_eq!(campaigns, 1);
}
