//! A plant that counts rows from the outboard end: every name on the sheet is the other one, nothing that is kept is.

use draw::Theme;
use egui_kittest::kittest::NodeT;
use store::rows::RowOrder;
use store::sheet::{Section, field};

use super::bench::{Bench, READ, Shop, fields};

/// Names that stand alone: a spacer, the rows of a pair.
fn renamed(label: &str) -> String {
    match label {
        "S1" => "S3".into(),
        "S3" => "S1".into(),
        "1\u{2013}2" => "3\u{2013}4".into(),
        "3\u{2013}4" => "1\u{2013}2".into(),
        "gap 1\u{2013}2" => "gap 3\u{2013}4".into(),
        "gap 3\u{2013}4" => "gap 1\u{2013}2".into(),
        _ => RowOrder::FromOutboard.four().told(label),
    }
}

/// Everything that the open section and the panel say, where it stands.
fn said(bench: &Bench) -> Vec<String> {
    bench
        .h
        .root()
        .children_recursive()
        .filter_map(|node| {
            let node = node.accesskit_node();
            let label = node.label().or_else(|| node.value())?;
            (!label.is_empty()).then_some(label)
        })
        .collect()
}

#[test]
fn counted_from_outboard_every_name_on_the_sheet_is_the_other_one() {
    let mut all = READ.to_vec();
    all.retain(|(path, _)| *path != "clearance.gap.2.270" && *path != "findings.none");
    all.extend([
        ("decision.choice", "regrind_spacers"),
        ("finding.1.part", "outer raceway"),
        ("finding.1.row", "1"),
        ("finding.1.mode", "5.3.2"),
        ("finding.1.severity", "1"),
        ("finding.1.from", "350"),
        ("finding.1.to", "40"),
        ("repeat.1.1.0", "23.40"),
        ("grease.row.1", "310"),
    ]);
    let shop = |rows| {
        let mut shop = Shop::new(fields(&all), "clearance.gap.1.0");
        shop.show.rows = rows;
        Bench::sized(shop, [1920.0, 4000.0], Theme::Day)
    };
    let (mut barrel, mut outboard) = (shop(RowOrder::FromBarrel), shop(RowOrder::FromOutboard));
    let (mut changed, mut wrong) = (0, Vec::new());
    for section in Section::ALL {
        for bench in [&mut barrel, &mut outboard] {
            bench.shop().view.open(section);
            bench.h.run_steps(3);
        }
        let (from, to) = (said(&barrel), said(&outboard));
        assert_eq!(from.len(), to.len(), "{section:?}");
        for (from, to) in from.iter().zip(&to) {
            // The choice of a row keeps its order, and the names of its buttons are numbers.
            if from.parse::<u8>().is_err() && *to != renamed(from) {
                wrong.push(format!("{section:?}: {from} | {to}"));
            }
            changed += usize::from(from != to);
        }
    }
    assert_eq!(wrong, Vec::<String>::new());
    assert!(changed > 60, "{changed} names");
    assert_eq!(barrel.assessment(), outboard.assessment());
    assert_eq!(
        barrel.shop().view.entries.fields(),
        outboard.shop().view.entries.fields()
    );
}

#[test]
fn a_row_is_chosen_as_the_plant_counts_and_kept_as_the_record_does() {
    let path = "finding.1.row";
    for (rows, kept) in [(RowOrder::FromBarrel, "1"), (RowOrder::FromOutboard, "4")] {
        let mut shop = Shop::new(
            fields(&[
                ("identify.chock", "WC-40"),
                ("finding.1.part", "outer raceway"),
            ]),
            path,
        );
        shop.show.rows = rows;
        let mut bench = Bench::new(shop);
        bench.shop().view.open(Section::Findings);
        bench.h.run_steps(3);
        bench.click("Finding 1, row: 1");
        assert_eq!(bench.text(path), kept);
    }
    assert_eq!(field::label(path), "Finding 1, row");
}
