//! What a mounting sheet leaves behind in the record: a roll whose neck is cracked waits, and a chock that, as amended,
//! would not have gone on.
#![allow(clippy::unwrap_used)]

mod common;

use std::collections::BTreeMap;

use common::sheet::{put, with_register};
use common::{Shop, strings};
use store::draft::Fields;
use store::entry::{LengthUnit, Show};
use store::mounting::{MountFacts, SignMounting, sign};
use store::payload::{Payload, Role};
use store::{NewEvent, Signed, ThingNo};

/// A chock that goes on with its plays read and everything else left out for a reason.
fn fields(outcome: &str, more: &[(&str, &str)]) -> Fields {
    let mut all = BTreeMap::from([
        ("identify.chock", "WC-50"),
        ("identify.roll", "R-101"),
        ("identify.position", "F3-W-T-O"),
        ("identify.at", "2026-01-15T08:00"),
        ("skip.neck", "measured last week"),
        ("mount.neck.cracks", "dye_clear"),
        ("skip.mount.ring", "gauge away"),
        ("skip.mount.parts", "closed chock"),
        ("mount.play.1", "0.300"),
        ("mount.play.2", "0.300"),
        ("mount.play.3", "0.300"),
        ("mount.play.gauge", "GB-01"),
        ("skip.grease", "filled before"),
        ("skip.mount.cover", "not opened"),
        ("skip.bolts", "not opened"),
        ("mount.protect", "textile"),
        ("mount.outcome", outcome),
    ]);
    all.extend(more.iter().copied());
    let mut fields = Fields::new();
    for (path, text) in all {
        put(&mut fields, path, text);
    }
    fields
}

fn signed(shop: &mut Shop, fields: &Fields) -> store::Result<Signed> {
    let engineer = shop.engineer.clone();
    let sheet = SignMounting {
        fields,
        draft: None,
        at: None,
        entered: None,
        signer: &engineer,
        engineer: Some(&engineer),
        unit: LengthUnit::Millimetre,
        wear: None,
    };
    Ok(sign(&mut shop.logbook, &sheet)?.signed)
}

fn held(shop: &Shop) -> Vec<String> {
    let sql = "SELECT t.code || ': ' || h.reason FROM hold h JOIN thing t ON t.no = h.thing
               WHERE released_event IS NULL ORDER BY 1";
    strings(shop.logbook.connection(), sql)
}

fn amended(shop: &mut Shop, of: &Signed, path: &str, text: &str) {
    let edits = [(path.to_owned(), text.to_owned())];
    let show = Show::default();
    let amendment =
        store::amending::amend(&shop.logbook, ThingNo(of.no), &edits, "read again", show).unwrap();
    let event = NewEvent {
        at: shop.logbook.now(),
        payload: Payload::Amendment(amendment),
    };
    let engineer = shop.engineer.clone();
    shop.logbook.append(Some(&engineer), &[event]).unwrap();
    // Made anew from the events alone it is the same.
    let before = shop.dump();
    assert!(shop.logbook.rebuild(&mut |_, _| true).unwrap());
    assert_eq!(shop.dump(), before);
}

const CRACKED: &str = "R-101: the crack test of its neck shows a crack";

#[test]
fn a_cracked_neck_that_a_mounting_finds_holds_its_roll() {
    let mut shop = with_register();
    shop.person("Foreman A", Role::Foreman);
    let cracked = [
        ("mount.neck.cracks", "dye_crack"),
        ("mount.reason", "crack at the fillet"),
    ];
    // Nothing is held of a roll that nobody named.
    let mut nameless = fields("not_mounted", &cracked);
    nameless.remove("identify.roll");
    let why = signed(&mut shop, &nameless).unwrap_err().to_string();
    assert!(why.contains("Roll that the neck belongs to"), "{why}");
    let why = signed(&mut shop, &fields("mounted", &cracked[..1])).unwrap_err();
    assert!(why.to_string().contains("the neck is not used"), "{why}");
    signed(&mut shop, &fields("not_mounted", &cracked)).unwrap();
    assert_eq!(held(&shop), [CRACKED]);
    // The next sheet, with a clear test or none, does not mount it.
    for more in [&[][..], &[("identify.at", "2026-01-16T08:00")]] {
        let next = fields("mounted", more);
        let now = shop.logbook.now();
        let facts = MountFacts::load(shop.logbook.connection(), &next, now).unwrap();
        assert!(
            facts
                .against
                .iter()
                .any(|why| why.starts_with("R-101 is on hold"))
        );
        let why = signed(&mut shop, &next).unwrap_err().to_string();
        assert!(why.contains("R-101 is on hold"), "{why}");
    }
    let mount = r#"{"kind":"mounted","at":"2026-01-16T12:00","chock":"WC-50","roll":"R-101","position":"F3-W-T-O"}"#;
    let why = shop.log(mount).unwrap_err().to_string();
    assert!(why.contains("R-101 is on hold"), "{why}");
}

#[test]
fn a_mounting_that_is_amended_for_the_worse_holds_the_chock_or_the_roll() {
    for (path, text, expected) in [
        ("mount.play.1", "0.310", None),
        (
            "mount.play.1",
            "0.100",
            Some("WC-50: its mounting was amended: end play 1 fails now"),
        ),
        (
            "mount.play.3",
            "0.900",
            Some("WC-50: its mounting was amended: end play 3 fails now"),
        ),
        ("mount.neck.cracks", "magnetic_crack", Some(CRACKED)),
    ] {
        let mut shop = with_register();
        let sheet = signed(&mut shop, &fields("mounted", &[])).unwrap();
        assert_eq!(held(&shop), Vec::<String>::new());
        amended(&mut shop, &sheet, path, text);
        let expected: Vec<&str> = expected.into_iter().collect();
        assert_eq!(held(&shop), expected, "{path} {text}");
        // It stands where it was mounted: the amendment made nothing untrue.
        let conflicts = strings(shop.logbook.connection(), "SELECT what FROM conflict");
        assert_eq!(conflicts, Vec::<String>::new(), "{path} {text}");
    }
    // Nothing is barred by a sheet that mounted nothing.
    let mut shop = with_register();
    let reason = [("mount.reason", "wrong roll brought")];
    let sheet = signed(&mut shop, &fields("not_mounted", &reason)).unwrap();
    amended(&mut shop, &sheet, "mount.play.1", "0.100");
    assert_eq!(held(&shop), Vec::<String>::new());
}
