//! How the bearings of the stories wear, read back from the demo: forecast, guilty place, what it cost, common factors.

use store::query::{Grown, ShopWear, lost_at};

use super::{number, open, shared};

/// Days since 1970-01-01.
fn day(text: &str) -> i32 {
    let at = store::Stamp::parse(text, 0).unwrap();
    i32::try_from(at.ms / 86_400_000).unwrap()
}

/// The wear of the shop as it was known on a day, or on the day of the demo.
fn wear(day: Option<i32>) -> ShopWear {
    let logbook = open(&shared().1);
    let wear = store::query::shop_wear(logbook.connection(), day).unwrap();
    wear.unwrap()
}

/// The scenario tells the engineer's forecast after the fourth teardown: 0.600 within about 250 to 650 h of 4,030 h; it
/// comes out as 270 to 670, and the deviation says so in words.
#[test]
fn the_forecast_of_the_reground_bearing_is_what_its_engineer_saw() {
    let then = wear(Some(day("2026-03-10")));
    let row = then.of("TH-4T-031").find(|row| row.row_pair == 1).unwrap();
    assert!(
        (row.state.counter_h - 4_030.0).abs() < 0.5,
        "{}",
        row.state.counter_h
    );
    assert!(
        (row.state.limit_um - 600.0).abs() < 0.5,
        "a regrind does not move the limit"
    );
    let left = row.crossing_h.map(|h| h.unwrap() - row.state.counter_h);
    assert!((250.0..350.0).contains(&left[0]), "{left:?}");
    assert!((440.0..510.0).contains(&left[1]), "{left:?}");
    assert!((600.0..690.0).contains(&left[2]), "{left:?}");
    let logbook = open(&shared().1);
    let told = "SELECT payload ->> 'text' FROM event WHERE kind = 'deviation_accepted' AND payload ->> 'code' = 'DV-05'";
    let told: String = logbook
        .connection()
        .query_row(told, [], |row| row.get(0))
        .unwrap();
    let tens = |h: f64| (h / 10.0).round() * 10.0;
    let words = format!("after {} to {} h", tens(left[0]), tens(left[2]));
    assert!(told.contains(&words), "{words}: {told}");
    // It came to pass: 0.640 was read 980 h later, 0.600 lies between the two ends.
    let passed_h = (600.0 - 575.0) / (640.0 - 575.0) * 980.0;
    assert!((left[0]..left[2]).contains(&passed_h), "{passed_h}");
    assert!(
        then.chance(row) > 0.95,
        "it is passed before the next teardown"
    );
    let wear = wear(None);
    let now = wear.of("TH-4T-031").find(|row| row.row_pair == 1).unwrap();
    assert!((now.state.limit_um - 600.0).abs() < 0.5, "after it neither");
}

/// The reasons of the sheet of a bearing on a day, as they were signed.
fn reasons(serial: &str, day: &str) -> Vec<String> {
    let logbook = open(&shared().1);
    let sql = "SELECT e.payload FROM sheet s JOIN event e ON e.no = s.event JOIN bearing b ON b.no = s.bearing
               WHERE b.serial = ?1 AND date(e.at_ms / 1000, 'unixepoch') = ?2";
    let payload: String = logbook
        .connection()
        .query_row(sql, [serial, day], |row| row.get(0))
        .unwrap();
    let payload: serde_json::Value = serde_json::from_str(&payload).unwrap();
    let all = payload["decision"]["reasons"].as_array().unwrap();
    all.iter()
        .map(|text| text.as_str().unwrap().to_owned())
        .collect()
}

/// The limit was passed 377 h after the fourth teardown, by the straight line between the two readings; "before the next
/// teardown" is what the scenario says of it. The place that spoils bearings is named once three of them ran there.
#[test]
fn the_sheets_say_what_to_plan_and_where_to_look_for_the_cause() {
    let told = reasons("TH-4T-031", "2026-03-10");
    let plan = "Rows 1\u{2013}2 reach their limit before the next teardown (1,000 h) with a chance of about 95 in 100: plan it \
                within 350 h.";
    assert!(told.contains(&plan.to_owned()), "{told:?}");
    // Three teardowns before there was nothing to plan.
    let told = reasons("TH-4T-031", "2025-07-08");
    assert!(
        told.iter().all(|text| !text.contains("next teardown")),
        "{told:?}"
    );
    let first = reasons("TH-4T-022", "2025-09-09");
    assert!(
        first
            .iter()
            .any(|text| text.contains("as fast as that of its peers: look for the cause")),
        "{first:?}"
    );
    let third = reasons("TH-4T-015", "2026-04-14");
    assert!(
        third
            .iter()
            .any(|text| text.contains("F4-W-B-O wears its bearings faster than other places")),
        "{third:?}"
    );
}

/// What a row pair grew by in a stay that ended on a day, um per 1,000 h.
fn rate(wear: &ShopWear, serial: &str, day: &str, pair: usize) -> f64 {
    let mut own = wear.grown.iter();
    let stay = own.find(|g| g.serial == serial && g.pair == pair && g.at.date() == day);
    let stay = stay.unwrap_or_else(|| panic!("{serial} {day}"));
    stay.grown_um / stay.hours * 1_000.0
}

/// By position guilty, by bearing and by chock innocent: the rates that the scenario gives, formed anew from what was
/// measured and the campaigns.
#[test]
fn the_rates_of_growth_accuse_the_place_and_acquit_bearing_chock_and_neighbour() {
    let wear = wear(None);
    for (serial, day, told) in [
        ("TH-4T-022", "2025-09-09", 178.0),
        ("TH-4T-037", "2025-12-16", 173.0),
        ("TH-4T-015", "2026-04-14", 192.0),
        // After the liners were renewed: normal.
        ("TH-4T-041", "2026-08-25", 55.0),
    ] {
        let found = rate(&wear, serial, day, 1);
        assert!((found - told).abs() < 0.8, "{serial}: {found} for {told}");
    }
    // The bearing is innocent: at F2-W-T-O, on all pairs.
    for pair in 1..=3 {
        let found = rate(&wear, "TH-4T-022", "2025-12-29", pair);
        assert!((found - 50.0).abs() < 0.5, "S{pair}: {found}");
    }
    // The chock is innocent: WC-29 and WC-31 in other places, and at F4-W-B-O with its liners new.
    let (from, to) = (day("2025-05-20"), day("2026-05-05"));
    let at_day = |g: &Grown| i32::try_from(g.at.ms / 86_400_000).unwrap();
    let elsewhere = |chock: &str| {
        let own = wear.grown.iter().filter(|g| g.chock == chock);
        let own =
            own.filter(|g| g.position != "F4-W-B-O" || at_day(g) < from || at_day(g) > to + 90);
        own.map(|g| g.grown_um / g.hours * 1_000.0)
            .collect::<Vec<_>>()
    };
    for chock in ["WC-29", "WC-30", "WC-31"] {
        let rates = elsewhere(chock);
        assert!(rates.len() >= 3, "{chock}: {rates:?}");
        assert!(rates.iter().all(|um| *um < 110.0), "{chock}: {rates:?}");
    }
    let mean = |position: &str, pair: Option<usize>| {
        let own = wear.grown.iter().filter(|g| {
            g.position == position
                && (from..=to).contains(&at_day(g))
                && pair.is_none_or(|p| p == g.pair)
        });
        let own: Vec<(f64, f64)> = own.map(|g| (g.grown_um, g.hours)).collect();
        let rate = calc::wear::mean_rate(&own).unwrap();
        (rate.mean, rate.stays)
    };
    // The neighbour in the same time, on all pairs.
    let (neighbour, stays) = mean("F4-W-B-D", None);
    assert!((50.0..=60.0).contains(&neighbour), "{neighbour} in {stays}");
    // Nothing that ran there in that time acquits the place: the chocks between those of the story wore as fast, within
    // what a reading is worth.
    let own = wear.grown.iter().filter(|g| {
        let began = i32::try_from(g.began_ms / 86_400_000).unwrap();
        g.position == "F4-W-B-O" && g.pair == 1 && began >= from && at_day(g) <= to
    });
    let all: Vec<f64> = own.map(|g| g.grown_um / g.hours * 1_000.0).collect();
    assert!(all.len() >= 4, "{all:?}");
    assert!(all.iter().all(|um| (150.0..=200.0).contains(um)), "{all:?}");
}

/// What each of the three lost beyond the usual: about 0.125 mm, worth about 2,300 h of normal wear, with an interval.
#[test]
fn what_the_tilted_place_cost_is_an_estimate_with_its_interval() {
    let wear = wear(None);
    let lost = lost_at(&wear, "F4-W-B-O", 1);
    for (serial, extra_um) in [
        ("TH-4T-022", 124.0),
        ("TH-4T-037", 116.0),
        ("TH-4T-015", 143.0),
    ] {
        let one = lost.iter().find(|l| l.stay.serial == serial).unwrap();
        assert!((one.usual - 56.0).abs() < 3.0, "{}", one.usual);
        // At the usual 0.055 of the scenario; here it is that of all other places.
        assert!(
            (one.extra_um[1] - extra_um).abs() < 4.0,
            "{serial}: {:?}",
            one.extra_um
        );
        let [least, about, most] = one.worth_h();
        assert!((1_900.0..2_700.0).contains(&about), "{serial}: {about}");
        assert!(
            least > 1_000.0 && most < 3_800.0,
            "{serial}: {least} to {most}"
        );
    }
    let told = ["TH-4T-022", "TH-4T-037", "TH-4T-015"];
    let three = lost
        .iter()
        .filter(|l| told.contains(&l.stay.serial.as_str()));
    let mean = three.clone().map(|l| l.extra_um[1]).sum::<f64>() / 3.0;
    assert!((mean - 125.0).abs() < 4.0, "{mean}");
    assert_eq!(three.count(), 3);
    assert!(lost.iter().all(|l| l.stay.serial != "TH-4T-041"), "cured");
    assert_eq!(lost_at(&wear, "F4-W-B-D", 1), []);
    // Where the like places of its neighbours are, no more than one stay in forty by chance; no place of them is named, so
    // none is reckoned up.
    for place in ["F3-W-B-O", "F5-W-B-O"] {
        assert!(lost_at(&wear, place, 1).len() <= 1, "{place}");
    }
}

/// Three bearings in three chocks wore askew at one place; the place is named, and nothing else of that stand.
#[test]
fn the_tilted_position_is_named_and_its_neighbours_are_acquitted() {
    let logbook = open(&shared().1);
    let wear = store::query::shop_wear(logbook.connection(), None)
        .unwrap()
        .unwrap();
    let guilty: Vec<(&str, Option<u32>)> = wear
        .review
        .contrasts
        .iter()
        .filter(|c| c.is_alarm() && c.stand.starts_with("F4"))
        .map(|c| (c.stand.as_str(), c.row_pair))
        .collect();
    assert!(guilty.contains(&("F4-W-B-O", Some(1))), "{guilty:?}");
    assert!(
        guilty.iter().all(|(place, _)| *place == "F4-W-B-O"),
        "{guilty:?}"
    );
    let alarms = wear.review.contrasts.iter().filter(|c| c.is_alarm());
    assert!(
        alarms.clone().all(|c| c.stand == "F4-W-B-O"),
        "no other place is blamed: {:?}",
        alarms.map(|c| &c.stand).collect::<Vec<_>>()
    );
    let told = |serial: &str| {
        let stay = wear
            .grown
            .iter()
            .find(|g| g.serial == serial && g.position == "F4-W-B-O" && g.pair == 1);
        stay.unwrap().grown_um
    };
    assert_eq!(
        ["TH-4T-022", "TH-4T-037", "TH-4T-015"].map(told),
        [180.0, 170.0, 200.0],
        "the stays that stand out are listed whole"
    );
    let page = store::query::stands_page(logbook.connection(), logbook.now()).unwrap();
    let short: Vec<&str> = page
        .spares
        .iter()
        .filter(|s| s.least.is_some_and(|least| s.new < least))
        .map(|s| s.bearing_type.as_str())
        .collect();
    assert_eq!(
        short,
        ["N4T-480/620-336"],
        "the stock alarm of the scenario"
    );
    assert_eq!(
        wear.questions(),
        [],
        "what wore askew there is no wrong entry"
    );
}

/// Seven of nine bearings behind seals of one batch have stains: the batch is named, with its counts, and nothing else is
/// blamed more.
#[test]
fn the_seal_batch_that_leaks_is_named_with_its_counts() {
    let logbook = open(&shared().1);
    let page = store::query::stands_page(logbook.connection(), logbook.now()).unwrap();
    let batch = page.factors.iter().find(|line| line.code == "SB-52");
    let batch = batch.unwrap_or_else(|| panic!("{:?}", page.factors));
    assert_eq!((batch.factor, batch.here), ("seal batch", (7, 9)));
    assert!(batch.chance < 0.001, "{}", batch.chance);
    assert!(
        batch.elsewhere.0 * 5 < batch.elsewhere.1,
        "{:?}",
        batch.elsewhere
    );
    assert_eq!(page.factors.first().map(|line| &*line.code), Some("SB-52"));
}

/// A late swap at the mill: 86 h went from the bearing in WC-22 to the one in WC-21, both say so, and nothing contradicts it.
#[test]
fn hours_of_a_late_swap_went_from_one_bearing_to_the_other() {
    let logbook = open(&shared().1);
    let conn = logbook.connection();
    let in_chock = |code: &str| {
        let sql = format!(
            "SELECT s.bearing FROM stay s JOIN chock c ON c.no = s.chock WHERE c.code = '{code}'
             AND s.from_ms < {at} AND (s.to_ms IS NULL OR s.to_ms > {at})",
            at = 1_762_300_800_000_i64 // 2025-11-05
        );
        store::ThingNo(number(&sql))
    };
    let (from, to) = (in_chock("WC-22"), in_chock("WC-21"));
    let told = |bearing| store::query::moved_exposure(conn, bearing).unwrap();
    let (lost, won) = (told(from), told(to));
    assert_eq!((lost.len(), won.len()), (1, 1));
    assert_eq!((lost[0].run_s, won[0].run_s), (-86 * 3_600, 86 * 3_600));
    assert_eq!(lost[0].rolled_kg, -won[0].rolled_kg);
    assert!(lost[0].campaigns > 15 && lost[0].campaigns == won[0].campaigns);
    assert_eq!(lost[0].others, [store::query::code_of(conn, to).unwrap()]);
    for bearing in [from, to] {
        let page =
            store::query::bearing_page(conn, bearing, logbook.now(), store::entry::Show::default());
        let page = page.unwrap().unwrap();
        assert!(page.journal.iter().any(|line| line.kind == "amendment"));
        // What this logbook counts; before it began there were hours, too.
        assert!(page.exposure.whole.run_s <= page.line.total_run_s);
        let zones: i64 = page.exposure.zones.iter().map(|zone| zone.run_s).sum();
        assert_eq!(zones, page.exposure.whole.run_s, "every hour had a zone up");
        // The mill's computer knows the loads of most campaigns, not of all.
        let life = page.life;
        assert!(life.known > 0 && life.unknown() > 0, "{life:?}");
        assert!((0.001..0.5).contains(&life.used().unwrap()), "{life:?}");
    }
}

/// A shop that has run for years has bearings of every age: few of them are near the end of their life on one day, and
/// those of one family not all together.
#[test]
fn few_bearings_may_pass_a_limit_before_they_are_looked_at() {
    let logbook = open(&shared().1);
    let conn = logbook.connection();
    let wear = wear(None);
    let expected = store::query::expected_limits(conn, &wear).unwrap();
    let due = store::query::due_lines(conn, logbook.now(), store::query::AHEAD_DAYS, Some(&wear))
        .unwrap();
    let forecast = due
        .iter()
        .filter(|l| l.due.standing == store::query::Standing::Forecast);
    let of = |serial: &str| {
        serial.starts_with("TH-4C") || serial.starts_with("TH-4M") || serial.starts_with("TH-2S")
    };
    let told = || expected.iter().map(|e| e.bearing.1.as_str());
    assert!(told().count() <= 24, "{:?}", told().collect::<Vec<_>>());
    assert!(
        told().filter(|serial| of(serial)).count() <= 6,
        "{:?}",
        told().collect::<Vec<_>>()
    );
    assert!(
        forecast.clone().count() <= 16,
        "{:?}",
        forecast.map(|l| &l.bearing.1).collect::<Vec<_>>()
    );
    // Each of the first three quarters of the way from new to the limit has its bearings; in the last they are taken out.
    let stands = "SELECT CAST((o.value - 360000) * 4 / 390000 AS INTEGER), count(*) FROM stay s JOIN bearing b ON b.no = s.bearing
                  JOIN outcome o ON o.name = 'clearance_nm' AND o.event = (SELECT max(t.event) FROM sheet t WHERE t.bearing = b.no)
                  WHERE s.to_event IS NULL AND b.serial GLOB 'TH-4C-*' GROUP BY 1";
    let mut stmt = conn.prepare(stands).unwrap();
    let rows = stmt.query_map([], |row| Ok((row.get::<_, i64>(0)?, row.get::<_, i64>(1)?)));
    let quarters: Vec<(i64, i64)> = rows.unwrap().map(Result::unwrap).collect();
    for quarter in 0..3 {
        let found = quarters.iter().find(|(at, _)| *at == quarter);
        assert!(found.is_some_and(|(_, n)| *n >= 4), "{quarters:?}");
    }
}
