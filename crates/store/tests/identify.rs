//! What a sheet says of where its chock came from.
#![allow(clippy::unwrap_used)]

mod common;

use std::collections::BTreeMap;

use common::Shop;
use store::draft::{DraftField, Fields, Source};
use store::sheet::Facts;

fn fields(chock: &str) -> Fields {
    let field = DraftField {
        text: chock.into(),
        source: Source::Typed,
    };
    BTreeMap::from([("identify.chock".to_owned(), field)])
}

#[test]
fn a_chock_in_the_mill_is_where_it_was_mounted_and_one_that_is_off_where_it_ran_last() {
    let mut shop = Shop::new();
    let mount = |shop: &mut Shop, roll: &str, position: &str, at: &str| {
        let line = format!(
            r#"{{"kind":"mounted","chock":"WC-17","roll":"{roll}","position":"{position}","at":"{at}","note":"bearing not written down"}}"#
        );
        shop.log(&line).unwrap();
    };
    mount(&mut shop, "R-101", "F3-W-T-O", "2026-01-06T06:00");
    shop.log(r#"{"kind":"mounted","chock":"WC-41","roll":"R-101","position":"F3-W-T-D","at":"2026-01-06T06:10","note":"bearing not written down"}"#)
        .unwrap();
    shop.log(
        r#"{"kind":"campaign","roll":"R-101","position_o":"F3-W-T-O","position_d":"F3-W-T-D","chock_o":"WC-17","chock_d":"WC-41","from":"2026-01-06T07:00","hours":10,"tonnes":9000,"at":"2026-01-06T18:00"}"#,
    )
    .unwrap();
    shop.log(r#"{"kind":"dismounted","chock":"WC-17","at":"2026-01-07T06:00"}"#)
        .unwrap();
    let from = |shop: &Shop| {
        let facts = Facts::load(
            shop.logbook.connection(),
            &fields("WC-17"),
            shop.logbook.now(),
        )
        .unwrap();
        (facts.position.unwrap().1, facts.last_roll.unwrap())
    };
    let pair = |a: &str, b: &str| (a.to_owned(), b.to_owned());
    assert_eq!(from(&shop), pair("F3-W-T-O", "R-101"), "off: where it ran");
    mount(&mut shop, "R-102", "F4-W-T-O", "2026-01-08T06:00");
    assert_eq!(from(&shop), pair("F4-W-T-O", "R-102"), "where it is");
}
