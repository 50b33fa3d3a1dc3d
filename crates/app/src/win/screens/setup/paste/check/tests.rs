//! Tables as shops have them, good and bad.
#![allow(clippy::unwrap_used)]

use std::fmt::Write as _;

use store::entry::LengthUnit;

use super::*;

fn now() -> Stamp {
    Stamp::parse("2026-10-30 08:00", 60).unwrap()
}

fn checked(page: Page, text: &str, model: &Model) -> Checked {
    check(
        (page, text),
        false,
        model,
        (Show::default(), now()),
        &|_, _| true,
    )
    .unwrap()
}

/// `line column: why` of every bad cell.
fn bad(checked: &Checked) -> Vec<String> {
    let rows = checked.rows.iter();
    rows.flat_map(|row| {
        row.wrongs
            .iter()
            .map(|bad| format!("{} {}: {}", row.line, bad.name, bad.why))
    })
    .collect()
}

fn with_line() -> Model {
    Model::of_codes(&[
        ("line", "FT"),
        ("roll", "R-101"),
        ("bearing_type", "N4T-480/620-336"),
    ])
}

#[test]
fn every_bad_cell_is_named_by_row_and_column_with_what_to_do() {
    let text = "roll;line;role\nR-102;FT;work\nR-101;FT;W\nR-103;FX;work\nr-102;ft;backup\nR-104;FT;top\n;FT;W\nR-105;FT\n";
    let checked = checked(Page::Rolls, text, &with_line());
    assert!(checked.is_whole());
    let bad = bad(&checked);
    assert_eq!(
        bad,
        [
            "3 roll: R-101 is in the register already: open it there, or choose another code",
            "4 line: FX is no line of the register: choose one from the list, or add it first",
            "5 roll: r-102 stands in line 2 already: take one out, or give it another code",
            "6 role: \"top\" is none of these: work, intermediate, backup, bar roll",
            "7 roll: missing: what the roll is called",
            "8 role: missing: what sort of roll",
        ]
    );
    assert_eq!(checked.good().count(), 1);
}

#[test]
fn a_missing_and_a_strange_column_are_told_once_not_in_every_row() {
    let text = "roll\tcolour\nR-1\tred\nR-2\tblue\n";
    let checked = checked(Page::Rolls, text, &with_line());
    assert_eq!(checked.missing.len(), 2, "{:?}", checked.missing);
    assert!(checked.missing[0].starts_with("Column missing: line."));
    assert!(checked.odd[0].starts_with("Column \"colour\" is not known"));
    assert!(bad(&checked).is_empty(), "{:?}", bad(&checked));
    assert!(!checked.is_whole());
    let left_out = check(
        (Page::Rolls, "roll,line,role,colour\nR-1,FT,W,red\n"),
        true,
        &with_line(),
        (Show::default(), now()),
        &|_, _| true,
    );
    assert!(left_out.unwrap().is_whole());
}

#[test]
fn units_stand_in_the_head_or_in_the_cell_and_never_against_each_other() {
    let text = "designation;kind;rows;d [mm];D [mm];B [mm];neck, drawing minimum [mm];neck, drawing maximum\n\
                A;four-row tapered;4;480;620,0;336;479.700;479.760\n\
                B;four-row tapered;4;480;620;336;18.886;479.760\n\
                C;four-row tapered;4;18.9in;620;336;;\n\
                D;four-row tapered;4;480 kg;620;336;;\n\
                E;four-row tapered;4;5;620;336;;18.888in\n";
    let checked = checked(Page::BearingTypes, text, &with_line());
    let bad = bad(&checked);
    assert_eq!(checked.good().count(), 1, "{bad:?}");
    assert!(
        bad[0].starts_with("3 neck, drawing minimum [mm]: this would be right in inches"),
        "{bad:?}"
    );
    assert!(
        bad[1].contains("d [mm]: in stands in a column of mm: 18.9in is 480.060 mm"),
        "{bad:?}"
    );
    assert!(
        bad.iter()
            .any(|b| b.contains("5 d [mm]: kg stands in a column of mm: write it in mm")),
        "{bad:?}"
    );
    assert!(
        bad.iter()
            .any(|b| b.contains("6 d [mm]: not possible: sizes go from 10 mm to 3,150 mm")),
        "{bad:?}"
    );
    let wrong_head = super::check(
        (
            Page::BearingTypes,
            "designation;kind;rows;d [kg];D;B\nA;four-row tapered;4;480;620;336\n",
        ),
        false,
        &with_line(),
        (
            Show {
                unit: LengthUnit::Inch,
                ..Show::default()
            },
            now(),
        ),
        &|_, _| true,
    );
    assert!(wrong_head.unwrap().odd[0].contains("is in kg, which bore d does not come in"));
}

#[test]
fn one_column_may_fill_all_row_pairs() {
    let text = "designation,kind,rows,d,D,B,rework level\nA,four-row tapered,4,480,620,336,0.600\n";
    let checked = checked(Page::BearingTypes, text, &with_line());
    assert_eq!(bad(&checked), Vec::<String>::new());
    let form = &checked.rows[0].form;
    let pairs = [1, 2, 3].map(|pair| form.text(&format!("value/rework_nm/{pair}")).to_owned());
    assert_eq!(pairs, ["0.600", "0.600", "0.600"]);
}

#[test]
fn torn_quotation_marks_and_rows_that_are_too_long_are_named() {
    let text = "serial,bearing type,hours before,prior note\nT-1,\"N4T-480/620-336,5,card\nT-2,N4T-480/620-336,1010,5,card\n";
    let bad = bad(&checked(Page::Bearings, text, &with_line()));
    assert!(
        bad[0].starts_with("2 bearing type: a quotation mark opens here"),
        "{bad:?}"
    );
    assert!(
        bad[1].starts_with("3 row: it has 5 cells and the heads are 4"),
        "{bad:?}"
    );
}

#[test]
fn people_come_without_a_pin_and_gauges_with_their_day() {
    let model = with_line();
    let people = checked(Page::People, "name;role\nFitter 7;fitter\n", &model);
    assert_eq!(bad(&people), Vec::<String>::new());
    let made = events(&[people.rows[0].form.clone()], &model, now(), &|no| {
        Ok(Ref::Own(no.0))
    })
    .unwrap();
    assert_eq!(made.len(), 1);
    let text = "gauge;kind;measures;resolution [mm];U [mm];due\nBG-1;bore gauge;bore;0,001;0,010;2027-03-01\nBG-2;bore gauge;bore;0.001;;soon\n";
    let gauges = checked(Page::Gauges, text, &model);
    let bad = bad(&gauges);
    assert_eq!(bad.len(), 1, "{bad:?}");
    assert!(bad[0].starts_with("3 due: \"soon\" is no day or time"));
}

#[test]
fn ten_thousand_rows_are_checked_and_the_work_can_be_stopped() {
    let mut text = String::from("serial\ttype\n");
    for row in 0..10_000 {
        writeln!(text, "T-{row}\tN4T-480/620-336").unwrap();
    }
    text += "T-77\tN4T-480/620-336\n";
    let all = checked(Page::Bearings, &text, &with_line());
    assert_eq!((all.rows.len(), all.bad_count()), (10_001, 1));
    assert_eq!(
        all.rows[10_000].wrongs[0].why,
        "T-77 stands in line 79 already: take one out, or give it another code"
    );
    let stopped = check(
        (Page::Bearings, &text),
        false,
        &with_line(),
        (Show::default(), now()),
        &|done, _| done < 640,
    );
    assert!(stopped.is_none());
}
