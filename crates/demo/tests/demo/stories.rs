//! The stories of four-row tapered bearings, read back from the demo: every number that the scenario gives for them.

use store::Stamp;
use store::entry::Show;
use store::query::BearingPage;
use store::sheet::thing_by_code;

use super::{number, numbers, open, shared};

/// End plays, um, and hours of the stay, by day of one bearing's teardowns.
fn teardowns(serial: &str) -> Vec<(String, [i64; 3], i64, i64, String)> {
    let logbook = open(&shared().1);
    let sql = "SELECT e.at_ms,
                 (SELECT value FROM outcome o WHERE o.event = e.no AND o.name = 'end_play_nm' AND o.item = 1),
                 (SELECT value FROM outcome o WHERE o.event = e.no AND o.name = 'end_play_nm' AND o.item = 2),
                 (SELECT value FROM outcome o WHERE o.event = e.no AND o.name = 'end_play_nm' AND o.item = 3),
                 s.run_s, sheet.zone, p.code, sheet.decided
               FROM sheet JOIN event e ON e.no = sheet.event JOIN bearing b ON b.no = sheet.bearing
               JOIN stay s ON s.no = sheet.stay JOIN position p ON p.no = sheet.position
               WHERE b.serial = ?1 ORDER BY e.at_ms";
    let mut stmt = logbook.connection().prepare(sql).unwrap();
    let rows = stmt.query_map([serial], |row| {
        let um = |i| row.get::<_, i64>(i).map(|nm| nm / 1000);
        let day = Stamp::second(row.get(0)?, 60).date();
        let hours: i64 = row.get(4)?;
        let zone: Option<i64> = row.get(5)?;
        let place: String = row.get(6)?;
        Ok((
            day,
            [um(1)?, um(2)?, um(3)?],
            hours / 3600,
            zone.unwrap_or(0),
            place,
        ))
    });
    rows.unwrap().map(Result::unwrap).collect()
}

#[test]
fn the_reground_bearing_has_its_history_to_the_micrometre_and_the_hour() {
    let wanted = [
        ("2025-03-11", [380, 370, 375], 1_015, 2, "F5-W-T-D"),
        ("2025-07-08", [440, 420, 435], 990, 3, "F5-W-T-D"),
        ("2025-11-04", [510, 480, 505], 1_020, 4, "F6-W-T-D"),
        ("2026-03-10", [575, 530, 570], 1_005, 2, "F6-W-T-D"),
        ("2026-07-07", [640, 580, 630], 980, 4, "F6-W-T-D"),
    ];
    let found = teardowns("TH-4T-031");
    for (found, (day, um, hours, zone, place)) in found.iter().zip(wanted) {
        assert_eq!(*found, (day.to_owned(), um, hours, zone, place.to_owned()));
    }
    let last = "SELECT sheet.event FROM sheet JOIN bearing b ON b.no = sheet.bearing
                JOIN event e ON e.no = sheet.event WHERE b.serial = 'TH-4T-031' AND sheet.decided = 'regrind_spacers'";
    let outcome = |name: &str| {
        numbers(&format!(
            "SELECT value / 1000 FROM outcome WHERE event = ({last}) AND name = '{name}' ORDER BY item"
        ))
    };
    assert_eq!(outcome("mean_gap_nm"), [23_372, 29_424, 23_378]);
    assert_eq!(outcome("grind_nm"), [340, 280, 330]);
    assert_eq!(outcome("new_spacer_nm"), [23_672, 29_724, 23_678]);
    assert_eq!(outcome("end_play_after_nm"), [302, 302, 304]);
    assert_eq!(
        (outcome("outer_stack_nm"), outcome("inner_stack_nm")),
        (vec![-664], vec![-278])
    );
    assert_eq!(outcome("cover_shim_nm"), [536]);
    assert_eq!(
        number(
            "SELECT count(*) FROM event WHERE kind = 'deviation_accepted' AND payload ->> 'code' = 'DV-05'"
        ),
        1
    );
}

#[test]
fn the_place_that_spoils_bearings_shows_in_three_of_them() {
    for (serial, day, um, hours) in [
        ("TH-4T-022", "2025-09-09", [480, 350, 405], 1_010),
        ("TH-4T-037", "2025-12-16", [470, 345, 395], 985),
        ("TH-4T-015", "2026-04-14", [500, 360, 410], 1_040),
        ("TH-4T-041", "2026-08-25", [355, 350, 350], 1_005),
    ] {
        let found = teardowns(serial);
        assert_eq!(found[0].0, day, "{serial}");
        assert_eq!(
            (found[0].1, found[0].2, found[0].4.as_str()),
            (um, hours, "F4-W-B-O"),
            "{serial}"
        );
    }
    let later = &teardowns("TH-4T-022")[1];
    assert_eq!(
        (later.2, later.4.as_str()),
        (980, "F2-W-T-O"),
        "the same bearing elsewhere"
    );
    assert_eq!(
        number("SELECT count(*) FROM event WHERE kind = 'mill_job' AND payload LIKE '%liner%'"),
        2
    );
}

#[test]
fn the_chock_out_of_round_has_its_bores_to_the_micrometre() {
    let events = numbers(
        "SELECT DISTINCT e.no FROM sheet JOIN event e ON e.no = sheet.event JOIN chock c ON c.no = sheet.chock
         JOIN outcome o ON o.event = e.no AND o.name = 'bore_mean_nm' WHERE c.code = 'WC-17' ORDER BY e.at_ms",
    );
    let um = |event: i64, name: &str| -> Vec<i64> {
        let sql = format!(
            "SELECT value FROM outcome WHERE event = {event} AND name = '{name}' ORDER BY item"
        );
        numbers(&sql)
            .into_iter()
            .map(|nm| (nm + 500).div_euclid(1000))
            .collect()
    };
    let wanted: [(i64, [i64; 3], i64); 4] = [
        (43, [34, 30, 22], 12),
        (79, [92, 80, 61], 25),
        (113, [152, 133, 102], 35),
        (23, [5, 5, 5], 2),
    ];
    for (event, (mean, ovality, taper)) in events.iter().zip(wanted) {
        assert_eq!(um(*event, "bore_mean_nm"), [mean]);
        assert_eq!(um(*event, "bore_ovality_nm"), ovality);
        assert_eq!(um(*event, "bore_taper_nm"), [taper]);
    }
    assert_eq!(events.len(), 5, "the four of the story and one after it");
    let worst = events[2];
    let verdicts = |about: &str| {
        let logbook = open(&shared().1);
        let sql = "SELECT verdict FROM verdict WHERE event = ?1 AND about = ?2 ORDER BY item";
        let mut stmt = logbook.connection().prepare(sql).unwrap();
        let rows = stmt
            .query_map((worst, about), |row| row.get::<_, String>(0))
            .unwrap();
        rows.map(Result::unwrap).collect::<Vec<_>>()
    };
    assert_eq!(verdicts("bore_ovality"), ["fail", "fail", "pass"]);
    assert_eq!(verdicts("bore_mean"), ["pass_in_doubt"]);
}

#[test]
fn what_was_seen_on_the_parts_is_that_of_the_stories_and_of_the_background() {
    let count = |what: &str| {
        number(&format!(
            "SELECT count(*) FROM finding f JOIN sheet s ON s.event = f.event JOIN bearing b ON b.no = s.bearing {what}"
        ))
    };
    let of = |serial: &str| {
        let logbook = open(&shared().1);
        let sql = "SELECT f.row || ' ' || f.mode || ' ' || f.severity || ' ' || f.from_ddeg || ' ' || f.to_ddeg
                   FROM finding f JOIN sheet s ON s.event = f.event JOIN bearing b ON b.no = s.bearing
                   JOIN event e ON e.no = f.event WHERE b.serial = ?1 AND f.part = 'outer raceway'
                   AND e.at_ms > 1732000000000 ORDER BY e.at_ms, f.item";
        let mut stmt = logbook.connection().prepare(sql).unwrap();
        let rows = stmt.query_map([serial], |row| row.get::<_, String>(0));
        rows.unwrap().map(Result::unwrap).collect::<Vec<_>>()
    };
    assert_eq!(
        of("TH-4T-044"),
        [
            "1 5.3.2 1 3500 400",
            "2 5.3.2 1 3500 400",
            "1 5.3.2 2 1750 2300",
            "1 5.1.3 2 2000 2280"
        ]
    );
    assert_eq!(of("TH-4T-015"), ["1 5.1.3 2 3510 3590"]);
    assert_eq!(
        count("WHERE b.serial = 'TH-4T-008' AND f.part = 'outside diameter' AND f.severity = 2"),
        2
    );
    let (sheets, clear) = (
        number(
            "SELECT count(*) FROM sheet s JOIN bearing b ON b.no = s.bearing
             WHERE s.kind = 'teardown_sheet' AND b.serial GLOB 'TH-4[TPL]-*'",
        ),
        number(
            "SELECT count(*) FROM sheet s JOIN bearing b ON b.no = s.bearing WHERE s.kind = 'teardown_sheet'
             AND b.serial GLOB 'TH-4[TPL]-*' AND s.event NOT IN (SELECT event FROM finding)",
        ),
    );
    let percent = 100 * clear / sheets;
    assert!(
        (62..=78).contains(&percent),
        "{percent} % of the sheets have no finding"
    );
}

/// The bearing's page as of the day of the demo.
pub(super) fn bearing(serial: &str) -> BearingPage {
    let logbook = open(&shared().1);
    let conn = logbook.connection();
    let no = thing_by_code(conn, "bearing", serial).unwrap().unwrap().0;
    let page = store::query::bearing_page(conn, no, logbook.now(), Show::default());
    page.unwrap().unwrap()
}

/// Hours of a bearing's stays, with the zone that was up.
pub(super) fn stays(serial: &str) -> Vec<(i64, i64)> {
    let logbook = open(&shared().1);
    let sql = "SELECT s.run_s / 3600, s.zone FROM stay s JOIN bearing b ON b.no = s.bearing
               WHERE b.serial = ?1 AND s.to_event IS NOT NULL ORDER BY s.from_ms";
    let mut stmt = logbook.connection().prepare(sql).unwrap();
    let rows = stmt.query_map([serial], |row| Ok((row.get(0)?, row.get(1)?)));
    rows.unwrap().map(Result::unwrap).collect()
}

/// What was amended on the sheet of a bearing on a day: what stood there, what stands there now.
pub(super) fn amended(serial: &str, day: &str) -> Vec<(String, String)> {
    let page = bearing(serial);
    let sheet = page.sheets.iter().find(|s| s.event.at.date() == day);
    let typed = sheet.unwrap().amended.iter().filter(|a| !a.is_consequence);
    typed.map(|a| (a.old.clone(), a.new.clone())).collect()
}

#[test]
fn the_reground_bearing_shows_the_hours_of_its_zones_and_the_verdicts_of_its_fifth_teardown() {
    let page = bearing("TH-4T-031");
    assert_eq!(
        [0, 1, 2].map(|zone| page.zone_run_s[zone] / 3600),
        // Those of the fifth teardown, and 43 h since zone I is up again.
        [1_058, 1_970, 1_020]
    );
    assert!(page.zone_run_s[3] / 3600 > 1_005, "zone IV came up twice");
    assert_eq!(page.line.zone, 1);
    assert!(page.zone_rolled_kg.iter().all(|kg| *kg > 0));
    assert_eq!(
        page.zone_rolled_kg.iter().sum::<i64>(),
        page.total_rolled_kg
    );
    let fifth = &page.sheets[4];
    let of = |about: &str| -> Vec<&str> {
        let all = fifth.body.verdicts.iter().filter(|v| v.about == about);
        all.map(|v| v.verdict.as_str()).collect()
    };
    assert_eq!(
        of("clearance"),
        ["fail", "pass", "fail"],
        "0.640, 0.580, 0.630"
    );
    assert_eq!(of("clearance_after"), ["pass"; 3]);
    assert_eq!(
        (fifth.signer.as_str(), fifth.fitter.as_str()),
        ("Foreman A", "Fitter 4")
    );
    assert_eq!(fifth.ordered_by, "Roll-shop Engineer");
}

#[test]
fn the_mean_of_the_worn_bore_is_in_doubt_by_the_chance_of_the_story_and_the_bearing_shows_it_beside_the_load()
 {
    let logbook = open(&shared().1);
    let conn = logbook.connection();
    let no = thing_by_code(conn, "chock", "WC-17").unwrap().unwrap().0;
    let page = store::query::chock_page(conn, no, logbook.now(), Show::default());
    let page = page.unwrap().unwrap();
    let worn = &page.checks[2];
    let mean = worn
        .verdicts()
        .find(|(_, v)| v.about == "bore_mean")
        .unwrap()
        .1;
    assert_eq!(mean.upper_nm, Some(120_000));
    assert_eq!(mean.expanded_uncertainty_nm, Some(10_000));
    let chance = mean.probability_ppm.unwrap();
    assert!(
        (910_000..930_000).contains(&chance),
        "0.92 in the story: {chance}"
    );
    assert!(mean.limit_version.is_some() && worn.limits.valid_from_ms > 0);
    assert!(
        page.checks[3].is_after_repair(),
        "sleeved and bored between"
    );
    // Shoulder, cover face and liners were measured at four of the checks.
    let faces = page
        .checks
        .iter()
        .filter(|c| c.verdicts().any(|(_, v)| v.about == "chock_width"));
    assert_eq!(faces.count(), 4);
    let fretting: Vec<_> = bearing("TH-4T-008")
        .findings
        .into_iter()
        .filter(|f| f.finding.mode.code == "5.3.3.2" && f.finding.severity == 2)
        .collect();
    assert_eq!(fretting.len(), 2);
    // From the middle of the zone that was up: 30 to 5 degrees before it, and 5 to 30 after it.
    let arcs = fretting.iter().map(|f| f.finding.arc.unwrap());
    let widths: Vec<i64> = arcs
        .map(|arc| (arc.to_tenths() - arc.from_tenths()).rem_euclid(3_600))
        .collect();
    assert_eq!(widths, [250, 250]);
}

#[test]
fn the_cracked_set_was_found_looked_at_and_scrapped() {
    let page = bearing("TH-4T-012");
    let last = page.sheets.last().unwrap();
    assert_eq!(last.event.at.date(), "2025-06-19");
    assert_eq!(
        (last.signer.as_str(), last.roll.as_str()),
        ("Foreman C", "R-126")
    );
    assert_eq!(last.total_run_s / 3600, 9_842);
    // About 2,810 campaigns: as many as its hours make at the length of those in the logbook.
    let known = |what: &str| {
        number(&format!(
            "SELECT {what} FROM run r JOIN chock c ON c.no = r.chock WHERE c.code = 'WC-38' AND r.is_estimate = 0
             AND r.to_ms <= (SELECT at_ms FROM event WHERE no = {})",
            last.event.no
        ))
    };
    let (ran_s, ran) = (known("sum(r.run_s)"), known("count(*)"));
    assert!(ran > 500, "{ran} campaigns in the logbook");
    let campaigns = 9_842.0 * 3_600.0 / (ran_s as f64 / ran as f64);
    assert!((campaigns - 2_810.0).abs() < 20.0, "{campaigns}");
    // Two regrinds and one reconditioning were before the logbook: the card index says so, unverified.
    let note = "SELECT count(*) FROM bearing WHERE serial = 'TH-4T-012' AND prior_note LIKE '%not verified%two regrinds, one reconditioning'";
    assert_eq!(number(note), 1);
    assert!(
        page.sheets
            .iter()
            .all(|s| s.teardown.as_ref().unwrap().decision.decided != "regrind_spacers")
    );
    assert_eq!(last.entry("findings.cracks"), Some("dye_crack"));
    // What the dye showed is on the sheet, as a picture of the first finding, and in the file.
    let [photo] = &last.body.photos[..] else {
        panic!("one picture: {:?}", last.body.photos)
    };
    assert_eq!(
        (photo.finding, photo.file.name.as_str()),
        (1, "dye-test.png")
    );
    let kept = format!(
        "SELECT length(content) FROM attachment_content WHERE hash = '{}'",
        photo.file.hash
    );
    assert_eq!(number(&kept), photo.file.bytes);
    let decision = &last.teardown.as_ref().unwrap().decision;
    assert_eq!(decision.decided, "scrap");
    let found: Vec<(&str, &str, i64)> = last
        .body
        .findings
        .iter()
        .map(|f| (f.part.as_str(), f.mode.as_str(), f.severity))
        .collect();
    assert_eq!(
        found,
        [
            ("inner raceway", "5.6.2", 3),
            ("rib", "5.6.2", 3),
            ("inner raceway", "5.5.2", 2),
            ("ring bore", "5.2.3", 2)
        ]
    );
    assert_eq!(page.line.state, store::query::BearingState::Scrapped);
    assert_eq!(page.line.held, None, "nothing waits for what is gone");
    let neck = "SELECT value_nm / 1000 FROM verdict v JOIN event e ON e.no = v.event JOIN sheet s ON s.event = e.no
                JOIN roll r ON r.no = s.roll WHERE r.code = 'R-126' AND e.kind = 'seat_check' AND v.about = 'neck_smallest'";
    assert_eq!(number(neck), 479_704);
}

#[test]
fn the_wet_bearing_keeps_its_mirrored_angles_struck_through_and_begins_anew_after_reconditioning() {
    assert_eq!(
        amended("TH-4T-044", "2024-11-26"),
        [("320", "350"), ("10", "40"), ("320", "350"), ("10", "40")]
            .map(|(old, new)| (format!("{old} deg"), format!("{new} deg")))
    );
    let page = bearing("TH-4T-044");
    let hours: Vec<i64> = stays("TH-4T-044").iter().map(|(hours, _)| *hours).collect();
    assert_eq!(hours, [1_005, 995, 1_020, 1_010, 1_000]);
    assert_eq!(page.revision, 2);
    assert_eq!(
        page.pairs.each_ref().map(|p| p.as_set_nm),
        [Some(310_000), Some(305_000), Some(310_000)]
    );
    assert!(page.findings.is_empty(), "clean since");
    assert_eq!(
        page.findings_before.len(),
        5,
        "what was seen before is kept"
    );
    let turned: Vec<i64> = page.turns.iter().map(|t| t.zone).collect();
    assert_eq!(turned[1..], [2, 3, 4, 1, 2]);
}
