//! What the other families of bearings went through: the ring that crept, the current through a bearing, their wear.

use super::{number, open, shared};

/// Story H: the ring that crept, the scrapped inner half, the outer half over another one, the neck back from repair.
#[test]
fn the_ring_that_crept_is_measured_scrapped_and_its_outer_half_goes_on_with_another() {
    let sheet = "FROM sheet s JOIN event e ON e.no = s.event JOIN bearing b ON b.no = s.bearing
                 JOIN position p ON p.no = s.position JOIN roll r ON r.no = s.roll
                 WHERE b.serial = 'TH-4C-009' AND e.at_ms / 86400000 = unixepoch('2026-02-11') / 86400";
    let place = format!("SELECT count(*) {sheet} AND p.code = 'F2-K-T-D' AND r.code = 'K-07'");
    assert_eq!(number(&place), 1, "off F2-K-T-D, from the roll K-07");
    let of = |name: &str| {
        let sql = format!(
            "SELECT value FROM outcome WHERE name = '{name}' AND event = (SELECT s.event {sheet})"
        );
        number(&sql)
    };
    assert_eq!(of("interference_nm"), 79_000);
    assert_eq!(of("ring_mean_nm"), 759_962_000);
    assert_eq!(
        of("neck_mean_nm"),
        41_000,
        "760.041 by its deviation from 760"
    );
    let verdict = |about: &str| {
        let sql = format!(
            "SELECT count(*) FROM verdict WHERE about = '{about}' AND verdict = 'fail' AND event = (SELECT s.event {sheet})
             AND coalesce(lower_nm, 348000) IN (348000, 760280000) AND coalesce(upper_nm, 428000) IN (428000, 760390000)"
        );
        number(&sql)
    };
    assert_eq!(
        verdict("interference"),
        1,
        "designed 0.348 to 0.428 with this ring"
    );
    assert_eq!(verdict("neck_smallest"), 1, "under its rework size");

    let logbook = open(&shared().1);
    let conn = logbook.connection();
    let half = |serial: &str| {
        let no = store::sheet::thing_by_code(conn, "bearing", serial)
            .unwrap()
            .unwrap()
            .0;
        store::query::halves(conn, no).unwrap().unwrap()
    };
    let gone = "SELECT count(*) FROM place p JOIN bearing b ON b.no = p.thing WHERE b.serial = 'TH-4CI-17' AND p.place = 'scrapped'";
    assert_eq!(number(gone), 1);
    let outer = half("TH-4C-009");
    let with: Vec<&str> = outer
        .together
        .iter()
        .map(|one| one.with.1.as_str())
        .collect();
    assert!(
        with.contains(&"TH-4CI-17") && with.contains(&"TH-4CI-31"),
        "{with:?}"
    );
    assert_eq!(outer.kept, None, "no longer paired since K-07 is back");
    let inner = half("TH-4CI-31");
    assert!(inner.is_inner && inner.together.iter().all(|one| one.with.1 == "TH-4C-009"));
    let back = "SELECT value_nm FROM verdict v JOIN sheet s ON s.event = v.event JOIN roll r ON r.no = s.roll
                WHERE r.code = 'K-07' AND s.kind = 'seat_check' AND v.about = 'neck_smallest' AND v.verdict = 'pass'";
    assert_eq!(number(back), 760_330_000);
    // The sheet on which the ring was found is told in the history of the inner half as well, and no thrust bearing's is.
    let of_inner = |of: &str| {
        let sql = format!(
            "SELECT count(*) FROM thing_event te JOIN bearing i ON i.no = te.thing AND i.serial = 'TH-4CI-17'
             JOIN sheet s ON s.event = te.event JOIN bearing b ON b.no = s.bearing WHERE b.serial LIKE '{of}'"
        );
        number(&sql)
    };
    assert_eq!(of_inner("TH-4C-009"), 4);
    let crept = number(&format!("SELECT s.event {sheet}"));
    let detail = store::query::sheet_detail(conn, crept, store::entry::Show::default());
    assert_eq!(detail.unwrap().unwrap().inner_half, "TH-4CI-17");
    assert_eq!(of_inner("TH-2X-%"), 0);
    // Over another inner half the clearance begins anew: no growth is formed across it.
    let wear = store::query::shop_wear(conn, None).unwrap().unwrap();
    assert!(wear.of("TH-4C-009").all(|row| row.segment > 0));
}

/// Bearings with one clearance wear as the plant has it, and the current through one of them is scrapped.
#[test]
fn the_other_families_wear_as_the_plant_has_it() {
    let logbook = open(&shared().1);
    let conn = logbook.connection();
    let wear = store::query::shop_wear(conn, None).unwrap().unwrap();
    for (kind, told_um) in [("N4C-760/1080-790", 30.0), ("N2S-180/300-96", 25.0)] {
        let own: Vec<_> = wear
            .grown
            .iter()
            .filter(|g| g.bearing_type == kind)
            .collect();
        assert!(own.len() > 40, "{kind}: {}", own.len());
        let hours: f64 = own.iter().map(|g| g.hours).sum();
        let grown: f64 = own.iter().map(|g| g.grown_um).sum();
        let rate = grown / hours * 1000.0;
        assert!((rate - told_um).abs() < 4.0, "{kind}: {rate} for {told_um}");
        assert!(wear.review.rows.iter().any(|row| row.bearing_type == kind));
    }
    let fluted = "SELECT count(*) FROM finding f JOIN sheet s ON s.event = f.event JOIN bearing b ON b.no = s.bearing
                  JOIN position p ON p.no = s.position
                  WHERE b.serial = 'TH-2S-014' AND f.mode = '5.4.3' AND p.code = 'B3-R-T-D' AND s.decided = 'scrap'";
    assert_eq!(number(fluted), 2, "on both rows");
    let gone = "SELECT count(*) FROM place p JOIN bearing b ON b.no = p.thing WHERE b.serial = 'TH-2S-014' AND p.place = 'scrapped'";
    assert_eq!(number(gone), 1);
}
