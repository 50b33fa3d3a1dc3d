//! Writing: who may sign what, what is refused, and that nothing is ever half-written.
#![allow(clippy::unwrap_used)]

mod common;

use common::{PIN, Shop, TestClock, dump, hands, log_as, number, verify};
use rusqlite::Connection;
use store::draft::{self, DraftId, Source};
use store::payload::{Hold, LogbookStarted, Payload, Person, Record, RegisterChange, Role};
use store::{Access, Logbook, NewEvent, Ref, StoreError};

fn events(logbook: &Logbook) -> i64 {
    number(logbook.connection(), "SELECT count(*) FROM event")
}

#[test]
fn a_new_logbook_takes_its_first_engineer_without_a_signer_and_nobody_else() {
    let dir = tempfile::tempdir().unwrap();
    let clock = TestClock::new();
    let path = dir.path().join("plant.chockbook");
    let mut logbook = Logbook::create(&path, hands(&clock, 0), "Tarnhollow Rolling Works").unwrap();
    assert_eq!(logbook.access(), &Access::Write);
    assert_eq!(
        store::logbook::plant(logbook.connection()).unwrap(),
        "Tarnhollow Rolling Works"
    );
    for role in [Role::Foreman, Role::Auditor, Role::Metrology] {
        let refused = logbook.register_person(None, None, "Somebody", role, PIN);
        assert!(matches!(refused, Err(StoreError::Refused(_))), "{role:?}");
    }
    logbook
        .register_person(None, None, "Engineer", Role::Engineer, PIN)
        .unwrap();
    assert!(matches!(
        logbook.register_person(None, None, "Engineer B", Role::Engineer, PIN),
        Err(StoreError::Refused(_))
    ));
    let short = logbook.register_person(None, None, "Engineer C", Role::Engineer, "12");
    assert!(
        matches!(short, Err(StoreError::Refused(_))),
        "a PIN of two characters"
    );
    assert_eq!(events(&logbook), 2);
    assert!(verify(&path, None).holds());
}

#[test]
fn a_file_that_exists_is_never_made_anew() {
    let shop = Shop::new();
    let before = std::fs::read(&shop.path).unwrap();
    let again = Logbook::create(&shop.path, hands(&shop.clock, 50), "Another");
    assert!(matches!(again, Err(StoreError::Exists { .. })));
    assert!(std::fs::read(&shop.path).unwrap() == before);
    assert!(shop.path.is_file());
}

#[test]
fn each_kind_is_signed_by_those_whose_work_it_is() {
    use Role::{Auditor, Engineer, Fitter, Foreman, Metrology, Storekeeper};
    let mut shop = Shop::new();
    shop.work();
    let mut signers = vec![shop.engineer.clone()];
    for role in [Foreman, Fitter, Metrology, Storekeeper, Auditor] {
        signers.push(shop.person(&format!("{role:?}"), role));
    }
    // The line, and who may sign it; a refused line leaves the ones below as possible as before.
    let rows: [(&str, &[Role]); 11] = [
        (
            r#"{"kind":"register_change","entity":"roll","code":"R-NEW","line":"FT","role":"W"}"#,
            &[Engineer],
        ),
        (
            r#"{"kind":"register_change","entity":"bearing","serial":"B-NEW","bearing_type":"N4T"}"#,
            &[Engineer, Storekeeper],
        ),
        (
            r#"{"kind":"register_change","entity":"gauge","code":"G-NEW","gauge_kind":"rule","measures":"width","resolution_um":1,"due":"2027-01-01"}"#,
            &[Engineer, Metrology],
        ),
        (
            r#"{"kind":"received","bearing":"TH-4T-003"}"#,
            &[Engineer, Storekeeper],
        ),
        (
            r#"{"kind":"gauge_calibrated","gauge":"BG-03","certificate":"C","due":"2027-01-01","expanded_uncertainty_um":9}"#,
            &[Engineer, Metrology],
        ),
        (
            r#"{"kind":"hold","thing":"TH-4T-003","reason":"x"}"#,
            &[Engineer, Foreman, Fitter],
        ),
        (
            r#"{"kind":"released","thing":"TH-4T-003","reason":"x"}"#,
            &[Engineer],
        ),
        (
            r#"{"kind":"deviation_accepted","thing":"WC-17","code":"DV-1","text":"x"}"#,
            &[Engineer],
        ),
        (
            r#"{"kind":"mill_job","position":"F3-W-T-O","text":"x"}"#,
            &[Engineer, Foreman, Fitter],
        ),
        (
            r#"{"kind":"sent_out","thing":"WC-18","to":"North Yard"}"#,
            &[Engineer, Foreman, Storekeeper],
        ),
        (
            r#"{"kind":"scrapped","thing":"TH-4T-001","reason":"x","witness":"Storekeeper"}"#,
            &[Engineer],
        ),
    ];
    for (line, allowed) in rows {
        // First those who may not, then the first who may.
        for signer in signers.iter().filter(|s| !allowed.contains(&s.role)) {
            let before = events(&shop.logbook);
            let answer = log_as(&mut shop.logbook, signer, line);
            assert!(
                matches!(answer, Err(StoreError::Refused(_))),
                "{} signed {line}",
                signer.name
            );
            assert_eq!(events(&shop.logbook), before);
        }
        let signer = signers
            .iter()
            .rfind(|s| allowed.contains(&s.role))
            .unwrap()
            .clone();
        let signed = log_as(&mut shop.logbook, &signer, line)
            .unwrap_or_else(|e| panic!("{} {line}: {e}", signer.name));
        let sql = format!("SELECT p.name FROM event e JOIN event pe ON pe.origin = e.person_origin AND pe.seq = e.person_seq
            JOIN person p ON p.no = pe.no WHERE e.no = {}", signed.no);
        assert_eq!(
            common::strings(shop.logbook.connection(), &sql),
            [signer.name]
        );
    }
    let start = Payload::LogbookStarted(LogbookStarted {
        plant: "x".into(),
        program: "x".into(),
        previous: None,
    });
    let event = NewEvent {
        at: shop.logbook.now(),
        payload: start,
    };
    let engineer = shop.engineer.clone();
    assert!(matches!(
        shop.logbook.append(Some(&engineer), &[event]),
        Err(StoreError::Refused(_))
    ));
    assert!(verify(&shop.path, None).holds());
}

#[test]
fn a_wrong_pin_makes_the_next_try_wait_longer_but_never_long() {
    let mut shop = Shop::new();
    let wait = |shop: &mut Shop, pin: &str| match shop.logbook.sign_in("engineer", pin) {
        Ok(_) => 0,
        Err(StoreError::WrongPin { wait_s, .. }) => wait_s,
        Err(other) => panic!("{other}"),
    };
    for expected in [1, 2, 4, 8, 16, 30, 30] {
        assert_eq!(wait(&mut shop, "0000"), expected);
        assert_eq!(
            wait(&mut shop, PIN),
            expected,
            "the right PIN has to wait too"
        );
        shop.clock.forward_ms((expected - 1) * 1000);
        assert_eq!(wait(&mut shop, PIN), 1);
        shop.clock.forward_ms(1000);
    }
    assert_eq!(wait(&mut shop, PIN), 0);
    assert_eq!(
        wait(&mut shop, "0000"),
        1,
        "the right PIN starts the count anew"
    );
    shop.clock.forward_ms(-86_400_000);
    assert_eq!(wait(&mut shop, PIN), 0, "a clock set back shuts nobody out");
    assert!(matches!(
        shop.logbook.sign_in("Nobody", PIN),
        Err(StoreError::Unknown { .. })
    ));
}

#[test]
fn somebody_who_left_does_not_sign_in() {
    let mut shop = Shop::new();
    shop.person("Foreman A", Role::Foreman);
    shop.log(
        r#"{"kind":"register_change","entity":"person","name":"Foreman A","role":"foreman","active":false,"change":true,"reason":"left"}"#,
    )
    .unwrap();
    assert!(matches!(
        shop.logbook.sign_in("Foreman A", PIN),
        Err(StoreError::Refused(_))
    ));
}

#[test]
fn a_change_keeps_to_its_sort_and_a_change_of_limits_needs_a_reason() {
    let mut shop = Shop::new();
    let chock = number(
        shop.logbook.connection(),
        "SELECT no FROM thing WHERE code = 'WC-17'",
    );
    let name = shop.logbook.name(store::ThingNo(chock)).unwrap();
    let person = Person {
        name: "WC-17".into(),
        role: Role::Fitter,
        pin_hash: String::new(),
        is_active: true,
    };
    let change = RegisterChange {
        thing: Some(name),
        record: Record::Person(person),
        reason: "x".into(),
    };
    let event = NewEvent {
        at: shop.logbook.now(),
        payload: Payload::RegisterChange(change),
    };
    let engineer = shop.engineer.clone();
    assert!(matches!(
        shop.logbook.append(Some(&engineer), &[event]),
        Err(StoreError::Refused(_))
    ));
    let line = r#"{"kind":"register_change","entity":"bearing_type","code":"N4T","bearing_kind":"four_row_tapered","values":{"bore_mm":481},"change":true,"reason":"drawing B"}"#;
    shop.log(line).unwrap();
    assert!(shop.log(&line.replace("drawing B", " ")).is_err());
    let versions = "SELECT count(*) FROM type_value WHERE name = 'bore_nm'";
    assert_eq!(
        number(shop.logbook.connection(), versions),
        2,
        "the old limits stay"
    );
}

#[test]
fn several_events_are_signed_together_or_not_at_all() {
    let mut shop = Shop::new();
    shop.work();
    let before = (events(&shop.logbook), shop.dump());
    let hold = |thing: Ref| {
        let payload = Payload::Hold(Hold {
            thing,
            reason: "x".into(),
        });
        NewEvent {
            at: shop.logbook.now(),
            payload,
        }
    };
    let chock = number(
        shop.logbook.connection(),
        "SELECT no FROM thing WHERE code = 'WC-17'",
    );
    let good = hold(shop.logbook.name(store::ThingNo(chock)).unwrap());
    let bad = hold(Ref::Own(9_999));
    let engineer = shop.engineer.clone();
    assert!(
        shop.logbook
            .append(Some(&engineer), &[good.clone(), bad])
            .is_err()
    );
    assert_eq!((events(&shop.logbook), shop.dump()), before);
    shop.logbook
        .append(Some(&engineer), &[good.clone(), good])
        .unwrap();
    assert_eq!(events(&shop.logbook), before.0 + 2);
    assert!(verify(&shop.path, None).holds());
}

#[test]
fn an_event_is_neither_changed_nor_deleted() {
    let mut shop = Shop::new();
    shop.work();
    let conn = Connection::open(&shop.path).unwrap();
    for sql in [
        "UPDATE event SET payload = '{}'",
        "UPDATE event SET no = no + 100",
        "DELETE FROM event WHERE seq = 5",
    ] {
        let error = conn.execute(sql, []).unwrap_err().to_string();
        assert!(error.contains("an event is never"), "{sql}: {error}");
    }
    assert!(verify(&shop.path, None).holds());
}

#[test]
fn a_full_disk_leaves_nothing_half_written_and_says_so() {
    let mut shop = Shop::new();
    shop.work();
    let before = (events(&shop.logbook), shop.dump());
    let conn = shop.logbook.connection();
    let pages = number(conn, "PRAGMA page_count");
    let free = number(conn, "PRAGMA freelist_count");
    assert!(free < 20, "the note below must not fit into free pages");
    conn.pragma_update(None, "max_page_count", pages).unwrap();
    let line = format!(
        r#"{{"kind":"hold","thing":"WC-17","reason":"{}"}}"#,
        "x".repeat(400_000)
    );
    assert!(matches!(shop.log(&line), Err(StoreError::DiskFull)));
    assert_eq!((events(&shop.logbook), shop.dump()), before);
    assert!(verify(&shop.path, None).holds());
    let kept = shop
        .logbook
        .start_draft("teardown_sheet", None)
        .and_then(|id| {
            shop.logbook.keep_draft(
                id,
                &[("identify.note", &"y".repeat(400_000), Source::Typed)],
                "identify.note",
            )
        });
    assert!(matches!(kept, Err(StoreError::DiskFull)));
    shop.logbook
        .connection()
        .pragma_update(None, "max_page_count", 1_000_000)
        .unwrap();
    shop.log(&line).unwrap();
    assert_eq!(events(&shop.logbook), before.0 + 1);
    assert!(verify(&shop.path, None).holds());
}

#[test]
fn a_copied_file_goes_on_as_a_copy_of_its_own_that_names_where_it_comes_from() {
    let mut shop = Shop::new();
    shop.work();
    let old_anchor = shop.logbook.anchor().unwrap().unwrap();
    let old = shop.logbook.current_origin().unwrap();
    let old_events = events(&shop.logbook);
    let (dir, path, clock) = shop.close();
    let copy = dir.path().join("restored.chockbook");
    std::fs::copy(&path, &copy).unwrap();

    let mut logbook = Logbook::open(&copy, hands(&clock, 100)).unwrap();
    assert_eq!(
        logbook.current_origin().unwrap(),
        old,
        "reading and drafting starts nothing"
    );
    logbook.start_draft("teardown_sheet", None).unwrap();
    assert_eq!(events(&logbook), old_events);
    let engineer = logbook.sign_in("Engineer", PIN).unwrap();
    log_as(
        &mut logbook,
        &engineer,
        r#"{"kind":"hold","thing":"WC-18","reason":"x"}"#,
    )
    .unwrap();
    let fresh = logbook.current_origin().unwrap();
    assert_ne!(fresh, old);
    let sql = format!(
        "SELECT payload ->> '$.previous.origin' || ':' || (payload ->> '$.previous.seq') FROM event
        WHERE hex(origin) = '{}' AND seq = 1",
        fresh.hex().to_uppercase()
    );
    let named = format!("{}:{old_events}", old.hex());
    assert_eq!(common::strings(logbook.connection(), &sql), [named]);
    let new_anchor = logbook.anchor().unwrap().unwrap();
    drop(logbook);
    for anchor in [&old_anchor, &new_anchor] {
        let report = verify(&copy, Some(anchor));
        assert!(report.holds(), "{anchor}: {}", common::findings(&report));
        assert_eq!(report.heads.len(), 2);
    }
    // The file that stayed at home goes on with its own chain.
    let mut logbook = Logbook::open(&path, hands(&clock, 150)).unwrap();
    log_as(
        &mut logbook,
        &engineer,
        r#"{"kind":"hold","thing":"WC-18","reason":"y"}"#,
    )
    .unwrap();
    assert_eq!(logbook.current_origin().unwrap(), old);
    drop(logbook);
    let report = verify(&path, Some(&new_anchor));
    assert!(
        common::findings(&report).contains("of another logbook"),
        "{}",
        common::findings(&report)
    );
}

#[test]
fn a_demo_carries_its_clock_and_has_no_home() {
    let mut shop = Shop::new();
    shop.work();
    let stamp = store::Stamp::parse("2026-10-30T06:00", 60).unwrap();
    shop.logbook.become_demo(stamp).unwrap();
    let origin = shop.logbook.current_origin().unwrap();
    let (_dir, path, clock) = shop.close();
    let mut logbook = Logbook::open(&path, hands(&clock, 60)).unwrap();
    assert!(logbook.is_demo());
    clock.forward_ms(60_000);
    assert_eq!(logbook.now().to_string(), "2026-10-30T06:01:00+01:00");
    let engineer = logbook.sign_in("Engineer", PIN).unwrap();
    log_as(
        &mut logbook,
        &engineer,
        r#"{"kind":"hold","thing":"WC-18","reason":"x"}"#,
    )
    .unwrap();
    assert_ne!(logbook.current_origin().unwrap(), origin);
    drop(logbook);
    assert!(verify(&path, None).holds());
}

#[test]
fn a_draft_is_kept_taken_over_and_thrown_away() {
    let mut shop = Shop::new();
    let foreman = shop.person("Foreman A", Role::Foreman);
    let other = shop.person("Foreman B", Role::Foreman);
    let id = shop
        .logbook
        .start_draft("teardown_sheet", Some(foreman.no))
        .unwrap();
    let second = shop.logbook.start_draft("teardown_sheet", None).unwrap();
    let fields = [
        ("identify.bearing", "TH-4T-001", Source::Typed),
        ("identify.chock", "WC-17", Source::Pasted),
        ("clearance.gap.1.0", "23,372", Source::Gauge),
    ];
    shop.logbook
        .keep_draft(id, &fields, "clearance.gap.1.90")
        .unwrap();
    shop.clock.forward_ms(60_000);
    shop.logbook
        .keep_draft(
            id,
            &[
                ("identify.chock", "", Source::Typed),
                ("clearance.gap.1.0", "23.374", Source::Typed),
            ],
            "x",
        )
        .unwrap();
    let read = draft::read(shop.logbook.connection(), id).unwrap();
    assert_eq!(
        (read.person, read.caret.as_str(), read.fields.len()),
        (Some(foreman.no), "x", 2)
    );
    assert_eq!(
        (
            read.fields["clearance.gap.1.0"].text.as_str(),
            read.fields["clearance.gap.1.0"].source
        ),
        ("23.374", Source::Typed)
    );
    assert_eq!(read.kept_ms, read.started.ms + 60_000);

    let list = draft::list(shop.logbook.connection()).unwrap();
    assert_eq!(
        list.iter().map(|d| d.id).collect::<Vec<_>>(),
        [id, second],
        "the one kept last comes first"
    );
    assert_eq!(
        (
            list[0].filled,
            list[0].bearing.as_str(),
            list[0].chock.as_str()
        ),
        (2, "TH-4T-001", "")
    );
    assert_eq!(list[0].person_name, "Foreman A");

    shop.logbook.take_over_draft(id, other.no).unwrap();
    let traces = draft::traces(shop.logbook.connection(), id).unwrap();
    assert_eq!(
        (traces.len(), traces[0].person, traces[0].what.as_str()),
        (1, other.no, "taken over from Foreman A")
    );
    assert_eq!(
        draft::read(shop.logbook.connection(), id).unwrap().person,
        Some(other.no)
    );

    shop.logbook.discard_draft(id).unwrap();
    for gone in [id, DraftId(999)] {
        assert!(draft::read(shop.logbook.connection(), gone).is_err());
        assert!(matches!(
            shop.logbook.discard_draft(gone),
            Err(StoreError::Refused(_))
        ));
        assert!(matches!(
            shop.logbook.keep_draft(gone, &fields, ""),
            Err(StoreError::Refused(_))
        ));
        assert!(matches!(
            shop.logbook.take_over_draft(gone, other.no),
            Err(StoreError::Refused(_))
        ));
    }
    for table in ["draft_field", "draft_trace"] {
        assert_eq!(
            number(
                shop.logbook.connection(),
                &format!("SELECT count(*) FROM {table}")
            ),
            0,
            "{table}"
        );
    }
    assert!(verify(&shop.path, None).holds());
}

#[test]
fn a_compact_copy_has_the_same_events_and_state() {
    let mut shop = Shop::new();
    shop.work();
    let to = shop.dir.path().join("compact.chockbook");
    shop.logbook.write_compact(&to).unwrap();
    let anchor = shop.logbook.anchor().unwrap().unwrap();
    assert!(verify(&to, Some(&anchor)).holds());
    assert_eq!(dump(&Connection::open(&to).unwrap()), shop.dump());
}
