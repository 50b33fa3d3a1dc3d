//! The same history for a plant that counts rows from the outboard end.

use serde_json::Value;
use store::rows::RowOrder;

use super::*;

const TYPED: &str = "light stains, rows 1 and 2";

fn texts(value: &Value, all: &mut Vec<String>) {
    match value {
        Value::String(text) => all.push(text.clone()),
        Value::Array(list) => list.iter().for_each(|one| texts(one, all)),
        Value::Object(map) => map.values().for_each(|one| texts(one, all)),
        _ => {}
    }
}

/// Numbers side by side without a name change places; here only names are looked at.
fn without_numbers(text: &str) -> String {
    let words = text.split(' ').map(|word| {
        let is_number = word.contains('.') && word.starts_with(|c: char| c.is_ascii_digit());
        if is_number { "#" } else { word }
    });
    words.collect::<Vec<_>>().join(" ")
}

#[test]
fn a_history_counted_from_outboard_names_every_row_the_other_way() {
    let shop = Shop::new();
    shop.regrind();
    shop.log(&second_teardown(), "Foreman A", &BOTH);
    let of = |rows| {
        let show = Show {
            rows,
            ..Show::default()
        };
        let mut all = Vec::new();
        let history = serde_json::to_value(printed(&shop, show)).unwrap();
        texts(&history, &mut all);
        all
    };
    let (barrel, outboard) = (of(RowOrder::FromBarrel), of(RowOrder::FromOutboard));
    assert_eq!(barrel.len(), outboard.len());
    let rows = RowOrder::FromOutboard.four();
    let (mut changed, mut wrong) = (0, Vec::new());
    for (from, to) in barrel.iter().zip(&outboard) {
        // Drawings are told by their own words, the marks in them by their places.
        if from.starts_with("<svg") {
            continue;
        }
        if from.contains(TYPED) {
            assert!(to.contains(TYPED), "{to}");
            continue;
        }
        let (told, is) = (
            without_numbers(&rows.told(from)),
            without_numbers(&renamed(to)),
        );
        if told != is {
            wrong.push(format!("{told} | {is}"));
        }
        changed += usize::from(from != to);
    }
    assert_eq!(wrong, Vec::<String>::new());
    assert!(changed > 20, "{changed} names");
}

/// Names that stand alone are turned back by hand.
fn renamed(text: &str) -> String {
    let rows = RowOrder::FromOutboard.four();
    for pair in 1..=3 {
        let (name, spacer) = (rows.pair_rows(pair), rows.spacer(pair));
        let was = RowOrder::FromBarrel.four();
        for (now, before) in [
            (
                format!("{name}, {spacer}"),
                format!("{}, S{pair}", was.pair_rows(pair)),
            ),
            (spacer.clone(), format!("S{pair}")),
            (name.clone(), was.pair_rows(pair)),
            (
                format!("{spacer}, rows {name}"),
                format!("S{pair}, rows {name}"),
            ),
        ] {
            if text == now {
                return before;
            }
        }
    }
    text.to_owned()
}
