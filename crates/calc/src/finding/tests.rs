//! Checks of modes, rules and words of the findings.

use super::*;
use crate::test_table::rows;

fn finding(part: Part, code: &str, severity: u8) -> Finding {
    Finding {
        part,
        row: Some(1),
        mode: Mode::of(code).unwrap(),
        severity,
        arc: None,
    }
}

#[test]
fn the_modes_are_the_tree_of_the_standard_and_two_words_of_our_own() {
    let tree = rows(include_str!(
        "../../../../shared/reference/iso15243_tree.csv"
    ));
    let (ours, standard): (Vec<Mode>, Vec<Mode>) = MODES
        .into_iter()
        .partition(|mode| [HEAT_TINT, UNKNOWN].contains(mode));
    assert_eq!(ours.len(), 2);
    assert_eq!(standard.len(), tree.len());
    for (mode, row) in standard.iter().zip(&tree) {
        assert_eq!(
            (mode.code, mode.name),
            (row.text("clause"), row.text("mode"))
        );
    }
    assert_eq!(Mode::of("5.3.3.2").map(Mode::depth), Some(2));
    assert_eq!((HEAT_TINT.depth(), Mode::of("5.9")), (0, None));
}

/// What field life counts as a failure: common practice, no source.
#[test]
fn cracks_spalls_and_seizure_are_failures_and_nothing_else_is() {
    for (part, code, severity, is_failure) in [
        (Part::InnerRaceway, "5.6.2", 0, true),
        (Part::Rib, "5.6", 1, true),
        (Part::Cage, "5.6.2", 1, true),
        (Part::RingBore, "5.6.4", 1, true),
        (Part::Spacer, "5.6.2", 3, false),
        (Part::OuterRaceway, "5.1.2", 2, true),
        (Part::Rollers, "5.1", 3, true),
        (Part::OuterRaceway, "5.1.3", 1, false),
        (Part::OutsideDiameter, "5.1.3", 3, false),
        (Part::Rib, "5.2.3", 3, true),
        (Part::Rib, "5.2.3", 2, false),
        (Part::RingBore, "5.2.3", 3, false),
        (Part::OuterRaceway, "5.2.2", 3, false),
        (Part::OuterRaceway, "5.3.2", 3, false),
        (Part::OuterRaceway, "5.4.3", 3, false),
        (Part::OuterRaceway, "tint", 3, false),
    ] {
        let got = finding(part, code, severity).is_failure();
        assert_eq!(got, is_failure, "{part:?} {code} {severity}");
    }
}

/// Rules of decision: common practice, no source.
#[test]
fn the_rules_of_the_trade_decide_by_part_mode_and_severity() {
    for (part, code, severity, asks) in [
        (Part::InnerRaceway, "5.6.2", 0, Asks::Scrap),
        (Part::Rib, "5.6", 1, Asks::Scrap),
        (Part::RingBore, "5.6.4", 1, Asks::Scrap),
        (Part::Rollers, "5.6.3", 1, Asks::Recondition),
        (Part::Cage, "5.6.2", 3, Asks::Recondition),
        (Part::Spacer, "5.6.2", 1, Asks::Engineer),
        (Part::OuterRaceway, "tint", 0, Asks::Engineer),
        (Part::RingBore, "tint", 2, Asks::Engineer),
        (Part::RingFace, "tint", 2, Asks::Watch),
        (Part::OuterRaceway, "5.1.3", 1, Asks::Nothing),
        (Part::OuterRaceway, "5.1.3", 2, Asks::Recondition),
        (Part::OuterRaceway, "5.1.2", 3, Asks::Scrap),
        (Part::Rollers, "5.4.3", 2, Asks::Recondition),
        (Part::OuterRaceway, "5.3.2", 2, Asks::Recondition),
        (Part::OutsideDiameter, "5.3.3.2", 2, Asks::Watch),
        (Part::Rib, "5.2.3", 2, Asks::Watch),
        (Part::Rib, "5.2.3", 3, Asks::Recondition),
        (Part::OuterRaceway, "5.5.3", 1, Asks::Nothing),
        (Part::OuterRaceway, "unknown", 3, Asks::Recondition),
    ] {
        let finding = finding(part, code, severity);
        assert_eq!(finding.asks(), asks, "{}", finding.words());
    }
}

#[test]
fn a_worse_severity_never_asks_for_less() {
    for part in Part::ALL {
        for mode in MODES {
            let asks = [0, 1, 2, 3].map(|severity| finding(part, mode.code, severity).asks());
            assert!(asks.is_sorted(), "{} {}: {asks:?}", part.words(), mode.name);
        }
    }
}

#[test]
fn only_what_lies_on_an_outer_raceway_is_kept_out_of_the_load() {
    let kept = |part, severity| finding(part, "5.1.3", severity).is_kept_out_of_load();
    assert!(kept(Part::OuterRaceway, 1));
    assert!(!kept(Part::OuterRaceway, 0) && !kept(Part::OutsideDiameter, 3));
    assert!(!kept(Part::InnerRaceway, 3));
}

#[test]
fn a_finding_says_where_it_is_and_how_bad() {
    let mut seen = finding(Part::OuterRaceway, "5.1.3", 2);
    seen.arc = Some(Arc::tenths(2_000, 2_285).unwrap());
    assert_eq!(
        seen.words(),
        "outer raceway, row 1, 200 to 228.5 degrees: surface initiated fatigue (5.1.3), severity 2"
    );
    seen.arc = Some(Arc::tenths(0, 3_600).unwrap());
    seen.row = None;
    assert!(seen.words().starts_with("outer raceway, all round: "));
}

#[test]
fn the_words_in_files_are_read_back() {
    for part in Part::ALL {
        assert_eq!(part.words().parse(), Ok(part));
    }
    assert!("raceway".parse::<Part>().is_err());
}
