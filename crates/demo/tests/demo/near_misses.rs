//! What nearly went wrong, and the small stories: put right, with both values kept.

use super::stories::{amended, bearing, stays};
use super::{number, numbers};

#[test]
fn the_near_misses_are_told_as_they_went() {
    let zones: Vec<(i64, i64)> = stays("TH-4T-019");
    assert_eq!(zones[..2], [(1_005, 2), (1_005, 2)], "2,010 h in a row");
    assert_eq!(
        amended("TH-4T-019", "2025-05-13")[0],
        ("II".to_owned(), "III".to_owned())
    );
    let page = bearing("TH-4T-019");
    let sheet = page
        .sheets
        .iter()
        .find(|s| s.event.at.date() == "2025-05-13");
    let marks: Vec<bool> = sheet.unwrap().marks.iter().map(|m| m.is_reopened).collect();
    assert_eq!(
        marks,
        [true, false],
        "opened again, and confirmed by a second person"
    );
    assert_eq!(stays("TH-4T-019")[2].1, 3, "it ran with zone III up");

    // Two spacers in each other's place: what the check gave, and what it gives with both where they belong.
    let page = bearing("TH-4T-027");
    let sheet = page
        .sheets
        .iter()
        .find(|s| s.event.at.date() == "2025-10-07")
        .unwrap();
    let now = [1, 2, 3].map(|pair| sheet.result("end_play_nm", pair));
    assert_eq!(now, [Some(305_000), Some(310_000), Some(305_000)]);
    let written = format!(
        "SELECT r.value ->> 'value' FROM event e, json_each(e.payload, '$.body.results') r
         WHERE e.no = {} AND r.value ->> 'name' = 'end_play_nm' ORDER BY r.value ->> 'item'",
        sheet.event.no
    );
    let before = numbers(&written);
    assert_eq!(before, [120_000, 310_000, 490_000]);
    // The sheet itself said so at once, and held the bearing.
    let warned = format!(
        "SELECT count(*) FROM event e, json_each(e.payload, '$.decision.reasons') r
         WHERE e.no = {} AND r.value LIKE '%spacers S1 and S3 exchanged? Read their marks.%'",
        sheet.event.no
    );
    assert_eq!(number(&warned), 1);
    let held = format!(
        "SELECT count(*) FROM event e WHERE e.no = {} AND e.payload ->> '$.decision.recommended' = 'hold_for_engineer'
         AND e.payload ->> '$.decision.decided' = 'hold_for_engineer'",
        sheet.event.no
    );
    assert_eq!(number(&held), 1);
    // The foreman gives a reason only where he departs from the advice.
    let asked = &sheet.teardown.as_ref().unwrap().decision.departure;
    assert!(asked.is_empty() || asked.contains("swapped"), "{asked}");
}

#[test]
fn the_small_stories_have_their_numbers() {
    assert_eq!(
        amended("TH-4T-006", "2025-03-04"),
        [("620.301 mm".to_owned(), "620.031 mm".to_owned())]
    );
    let typed = "SELECT count(*) FROM reading r JOIN event e ON e.no = r.event WHERE e.kind = 'seat_check' AND r.text = '18.886 in' AND r.value = 479704400";
    assert_eq!(number(typed), 1, "typed in inch, kept as typed");
    let warm = "SELECT (v.value_nm + 500) / 1000 FROM verdict v JOIN event e ON e.no = v.event JOIN sheet s ON s.event = e.no
                JOIN roll r ON r.no = s.roll WHERE r.code = 'R-147' AND e.kind = 'seat_check' AND v.about = 'neck_smallest' ORDER BY e.at_ms";
    assert_eq!(numbers(warm), [479_698, 479_699]);
    let raw = "SELECT r.value / 1000 FROM reading r JOIN event e ON e.no = r.event JOIN sheet s ON s.event = e.no
               JOIN roll l ON l.no = s.roll WHERE l.code = 'R-147' AND e.kind = 'seat_check' AND r.path = 'neck.2.90' ORDER BY e.at_ms LIMIT 1";
    assert_eq!(number(raw), 479_742, "as read at 31 degrees");
    let page = bearing("TH-4T-004");
    let sheet = page
        .sheets
        .iter()
        .find(|s| s.event.at.date() == "2026-09-15")
        .unwrap();
    assert_eq!(sheet.result("mean_gap_nm", 1), Some(23_406_250));
    let first = sheet
        .body
        .readings
        .iter()
        .find(|r| r.path == "repeat.1.1.180");
    assert_eq!(
        first.unwrap().value,
        23_520_000,
        "the set that was not seated is kept"
    );
    let page = bearing("TH-4P-006");
    let sheet = page
        .sheets
        .iter()
        .find(|s| s.event.at.date() == "2026-08-18")
        .unwrap();
    assert_eq!(sheet.body.findings.len(), 2);
    let job = "SELECT count(*) FROM event WHERE kind = 'mill_job' AND payload ->> 'text' LIKE 'Keeper plate of P1%'";
    assert_eq!(number(job), 1);
    // A chock type that asks for four planes has them.
    assert_eq!(
        sheet.sizes_nm(store::sheet::field::SeatName::Bore).len(),
        16
    );
}

#[test]
fn the_torque_wrench_past_its_day_has_three_chocks_and_they_were_torqued_again() {
    let of_wrench =
        "FROM reading r JOIN gauge g ON g.no = r.gauge JOIN sheet s ON s.event = r.event
                     WHERE g.code = 'TW-04' AND r.is_gauge_overdue = 1";
    let chocks = format!("SELECT count(DISTINCT s.chock) {of_wrench}");
    assert_eq!(number(&chocks), 3);
    let again = "SELECT count(*) FROM event c WHERE c.kind = 'countersigned'
                 AND c.payload ->> 'text' LIKE 'cover bolts torqued again%' AND date(c.at_ms / 1000, 'unixepoch') = '2026-05-26'";
    assert_eq!(number(again), 3);
    let past = "SELECT unixepoch(date(max(e.at_ms) / 1000, 'unixepoch')) / 86400 - unixepoch(date(min(c.due_ms) / 1000, 'unixepoch')) / 86400
                FROM calibration c JOIN gauge g ON g.no = c.gauge
                JOIN event e ON e.kind = 'countersigned' AND e.payload ->> 'text' LIKE 'cover bolts%'
                WHERE g.code = 'TW-04' AND c.due_ms > unixepoch('2026-05-01') * 1000 AND c.due_ms < e.at_ms";
    assert_eq!(number(past), 12, "days past its calibration");
}

#[test]
fn a_teardown_that_one_shift_began_and_another_finished_says_so() {
    let told = "SELECT count(*) FROM sheet s JOIN event e ON e.no = s.event JOIN chock c ON c.no = s.chock
                WHERE c.code = 'PW-05' AND e.payload LIKE '%spacer S2 not measured, hold for the engineer: photo of ring A%'";
    assert_eq!(number(told), 1);
    let logbook = super::open(&super::shared().1);
    let note = store::note::shift_note(logbook.connection())
        .unwrap()
        .unwrap();
    assert_eq!(
        (note.who.as_str(), note.at.date().as_str()),
        ("Foreman B", "2026-10-29")
    );
    assert!(
        note.text.starts_with("WC-21 is half torn down"),
        "{}",
        note.text
    );
}

#[test]
fn what_arrived_with_rust_waited_a_fortnight_and_the_power_cut_lost_nothing() {
    let page = bearing("TH-4T-053");
    let events = "SELECT group_concat(day || ' ' || said) FROM (SELECT date(e.at_ms / 1000, 'unixepoch') AS day,
                  CASE WHEN e.payload ->> 'is_accepted' THEN 'accepted' ELSE 'refused' END AS said
                  FROM event e WHERE e.kind = 'inspected_at_receipt' ORDER BY e.at_ms)";
    let logbook = super::open(&super::shared().1);
    let told: String = logbook
        .connection()
        .query_row(events, [], |row| row.get(0))
        .unwrap();
    assert_eq!(told, "2025-06-03 refused,2025-06-17 accepted");
    assert_eq!(page.line.held, None);
    let cut = "SELECT count(*) FROM sheet s JOIN event e ON e.no = s.event JOIN chock c ON c.no = s.chock
               WHERE c.code = 'WC-09' AND date(e.at_ms / 1000, 'unixepoch') = '2026-01-20' AND e.payload LIKE '%41 of 70%'";
    assert_eq!(number(cut), 1);
}
