//! Exposure that corrections move from one bearing to another, and the rating life that the loads of campaigns use up.
#![allow(clippy::unwrap_used)]

mod common;

use common::{Shop, number};
use store::entry::Show;
use store::query::{bearing_page, find_things};
use store::{Stamp, ThingNo};

fn bearing(shop: &Shop, serial: &str) -> ThingNo {
    let found = find_things(shop.logbook.connection()).unwrap();
    found.iter().find(|thing| thing.code == serial).unwrap().no
}

/// Three bearings in three chocks, and a campaign of 5 h with and without loads; its two amendments.
#[test]
fn a_campaign_that_is_put_right_moves_its_hours_and_both_histories_say_so() {
    let mut shop = Shop::new();
    for (serial, chock) in [
        ("TH-4T-001", "WC-17"),
        ("TH-4T-002", "WC-18"),
        ("TH-4T-003", "WC-41"),
    ] {
        shop.log(&format!(
            r#"{{"kind":"assembled","at":"2026-01-06T08:00","bearing":"{serial}","chock":"{chock}","seat":"main","zone":1}}"#
        ))
        .unwrap();
    }
    let campaign = shop
        .log(r#"{"kind":"campaign","at":"2026-01-10T12:00","roll":"R-101","position_o":"F3-W-T-O","position_d":"F3-W-T-D","chock_o":"WC-17","chock_d":"WC-41","from":"2026-01-10T06:00","hours":5,"tonnes":4000}"#)
        .unwrap();
    let amend = |shop: &mut Shop, path: &str, text: &str, why: &str| {
        let show = Show::default();
        let edits = [(path.to_owned(), text.to_owned())];
        let engineer = shop.engineer.clone();
        let amendment =
            store::amending::amend(&shop.logbook, ThingNo(campaign.no), &edits, why, show).unwrap();
        let event = store::NewEvent {
            at: shop.logbook.now(),
            payload: store::payload::Payload::Amendment(amendment),
        };
        shop.logbook.append(Some(&engineer), &[event]).unwrap();
    };
    amend(
        &mut shop,
        "/chock_o",
        "WC-18",
        "late swap, by the mill's log",
    );
    let page = |shop: &Shop, serial: &str| {
        let conn = shop.logbook.connection();
        bearing_page(
            conn,
            bearing(shop, serial),
            shop.logbook.now(),
            Show::default(),
        )
        .unwrap()
        .unwrap()
    };
    let (lost, won) = (page(&shop, "TH-4T-001"), page(&shop, "TH-4T-002"));
    assert_eq!(lost.line.total_run_s, 0);
    assert_eq!(won.line.total_run_s, 5 * 3_600);
    let told = |page: &store::query::BearingPage| {
        let line = page.moved.first().unwrap();
        (line.run_s, line.rolled_kg, line.count, line.others.clone())
    };
    let (h, kg) = (5 * 3_600, 4_000_000);
    assert_eq!(told(&lost), (-h, -kg, -1, vec!["TH-4T-002".to_owned()]));
    assert_eq!(told(&won), (h, kg, 1, vec!["TH-4T-001".to_owned()]));
    assert_eq!(won.moved[0].reason, "late swap, by the mill's log");
    assert!(
        page(&shop, "TH-4T-003").moved.is_empty(),
        "it ran all the same"
    );
    for page in [&lost, &won] {
        let line = page.journal.iter().find(|l| l.kind == "amendment").unwrap();
        assert!(line.text().contains("late swap"), "{}", line.text());
        assert!(line.title.starts_with("Exposure"), "{}", line.title);
    }
    // Loads that come later change no hours, and the derived tables are the same when made anew.
    amend(&mut shop, "/radial_n", "420", "from the mill's computer");
    let before = shop.dump();
    assert!(shop.logbook.rebuild(&mut |_, _| true).unwrap());
    assert_eq!(shop.dump(), before);
    assert_eq!(
        number(shop.logbook.connection(), "SELECT max(radial_n) FROM run"),
        420_000
    );
    assert_eq!(page(&shop, "TH-4T-003").moved, []);
}

/// ISO 281 by hand: C = 4,000 kN, e = 0.4; 100 h at 400 kN and 100 1/min, 100 h at 500 kN and 25 kN axial on the fixed side
/// at 50 1/min, 100 h nobody knows. P2 = 500 + 0.675 / 0.4 x 25 = 542.19 kN. Miner: damage of each is 60 n t / (10^6
/// (C/P)^(10/3)): 0.6 / 2154.43 = 2.78496e-4 and 0.3 / 781.69 = 3.83783e-4.
#[test]
fn the_life_used_is_that_of_the_campaigns_with_loads_and_says_of_how_many() {
    let mut shop = Shop::new();
    for line in [
        r#"{"kind":"register_change","entity":"position","code":"F3-W-T-O","stand":"F3","role":"W","level":"T","side":"O","fixed":true,"load_angle_deg":0,"change":true,"reason":"keeper plate"}"#,
        r#"{"kind":"register_change","entity":"bearing_type","code":"N4T","bearing_kind":"four_row_tapered","values":{"bore_mm":480,"dynamic_rating_newton":4000000,"axial_e":0.4},"change":true,"reason":"ratings from the drawing"}"#,
        r#"{"kind":"assembled","at":"2026-01-06T00:00","bearing":"TH-4T-001","chock":"WC-17","seat":"main","zone":1}"#,
        r#"{"kind":"campaign","at":"2026-01-10T12:00","roll":"R-101","position_o":"F3-W-T-O","position_d":"F3-W-T-D","chock_o":"WC-17","chock_d":"WC-41","from":"2026-01-06T06:00","hours":100,"tonnes":1,"radial_kn":400,"axial_kn":0,"rpm":100}"#,
        r#"{"kind":"campaign","at":"2026-01-15T12:00","roll":"R-101","position_o":"F3-W-T-O","position_d":"F3-W-T-D","chock_o":"WC-17","chock_d":"WC-41","from":"2026-01-11T06:00","hours":100,"tonnes":1,"radial_kn":500,"axial_kn":25,"rpm":50}"#,
        r#"{"kind":"campaign","at":"2026-01-20T12:00","roll":"R-101","position_o":"F3-W-T-O","position_d":"F3-W-T-D","chock_o":"WC-17","chock_d":"WC-41","from":"2026-01-16T06:00","hours":100,"tonnes":1,"estimate":true}"#,
    ] {
        shop.log(line).unwrap();
    }
    let now = Stamp::second(shop.clock.ms(), 0);
    let conn = shop.logbook.connection();
    let page = bearing_page(conn, bearing(&shop, "TH-4T-001"), now, Show::default());
    let life = page.unwrap().unwrap().life;
    assert_eq!((life.campaigns, life.known, life.unknown()), (3, 2, 1));
    assert_eq!((life.estimated, life.without_axial), (1, 0));
    let wanted = 2.784_96e-4 + 3.837_83e-4;
    let used = life.used().unwrap();
    assert!((used / wanted - 1.0).abs() < 2e-4, "{used} for {wanted}");
    let all = life.used_if_all_alike().unwrap();
    assert!((all / used - 1.5).abs() < 1e-9, "300 h of 200 h");
    let spectrum = life.life.as_ref().unwrap();
    assert!((spectrum.rpm - 75.0).abs() < 1e-9);
    assert!(spectrum.modified.is_none() && !spectrum.is_beyond);
    // Without C nothing follows, and the count stays.
    let page = bearing_page(conn, bearing(&shop, "TH-4T-003"), now, Show::default());
    let other = page.unwrap().unwrap().life;
    assert_eq!((other.campaigns, other.used()), (0, None));
}
