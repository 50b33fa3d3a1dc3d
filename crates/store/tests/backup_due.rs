//! Backups that are made by themselves: when one is due, and what a folder must be good for.
#![allow(clippy::unwrap_used)]

mod common;

use std::path::Path;

use common::Shop;
use store::Stamp;
use store::backup::{Kept, back_up_if_due, check_folder, list};
use store::time::{DAY_MS, HOUR_MS};

fn due(path: &Path, folder: &Path, now: Stamp) -> Kept {
    back_up_if_due(path, folder, HOUR_MS, now, &mut |_, _| true).unwrap()
}

#[test]
fn one_is_made_where_something_changed_and_the_last_good_one_is_too_old() {
    let mut shop = Shop::new();
    let folder = tempfile::tempdir().unwrap();
    let is_made = |shop: &Shop| {
        let kept = due(&shop.path, folder.path(), shop.logbook.now());
        matches!(kept, Kept::Made { .. })
    };
    assert!(is_made(&shop), "there was none");
    shop.clock.forward_ms(2 * HOUR_MS);
    assert!(!is_made(&shop), "nothing changed");
    shop.log(r#"{"kind":"hold","thing":"WC-17","reason":"x"}"#)
        .unwrap();
    assert!(is_made(&shop));
    shop.log(r#"{"kind":"hold","thing":"WC-18","reason":"x"}"#)
        .unwrap();
    shop.clock.forward_ms(HOUR_MS / 2);
    assert!(!is_made(&shop), "the last is young");
    shop.clock.forward_ms(HOUR_MS);
    // The last one went bad on its disk: it does not count.
    let newest = list(&shop.path, folder.path()).unwrap().pop().unwrap();
    std::fs::write(&newest.path, "torn").unwrap();
    assert!(is_made(&shop));
    // An unsigned sheet is worth a backup too.
    shop.clock.forward_ms(2 * HOUR_MS);
    assert!(!is_made(&shop));
    shop.logbook.start_draft("teardown_sheet", None).unwrap();
    assert!(is_made(&shop));
}

#[test]
fn old_ones_are_thinned_out_only_after_a_new_one_is_good() {
    let mut shop = Shop::new();
    let folder = tempfile::tempdir().unwrap();
    for day in 0..20 {
        shop.log(&format!(
            r#"{{"kind":"hold","thing":"WC-17","reason":"day {day}"}}"#
        ))
        .unwrap();
        let kept = due(&shop.path, folder.path(), shop.logbook.now());
        let Kept::Made { untidy, .. } = kept else {
            panic!("{kept:?}")
        };
        assert_eq!(untidy, None);
        shop.clock.forward_ms(DAY_MS);
    }
    // 25 January to 13 February: the last fourteen days, the newest of January among them.
    assert_eq!(list(&shop.path, folder.path()).unwrap().len(), 14);
    shop.log(r#"{"kind":"hold","thing":"WC-18","reason":"x"}"#)
        .unwrap();
    let now = shop.logbook.now();
    let (_dir, path, _) = shop.close();
    common::tamper(
        &path,
        "UPDATE event SET payload = payload || ' ' WHERE seq = 7",
    );
    let failed = back_up_if_due(&path, folder.path(), HOUR_MS, now, &mut |_, _| true);
    assert!(failed.is_err(), "the logbook does not hold");
    let names = std::fs::read_dir(folder.path()).unwrap().count();
    assert_eq!(names, 15, "no old one was given up for a bad one");
}

#[test]
fn a_folder_is_tried_before_it_is_used_and_nothing_is_left_in_it() {
    let folder = tempfile::tempdir().unwrap();
    check_folder(folder.path()).unwrap();
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 0);
    let file = folder.path().join("file");
    std::fs::write(&file, "x").unwrap();
    for (path, says) in [
        (folder.path().join("usb"), "plug the drive in"),
        (file, "this is a file"),
        ("usb".into(), "give the whole path"),
    ] {
        let why = check_folder(&path).unwrap_err().to_string();
        assert!(
            why.contains(says) && why.contains(path.to_str().unwrap()),
            "{why}"
        );
    }
}
