//! The document of a small shop, read as a model.

mod outside;
mod papers;
mod rows;
mod things;

use report::{History, Mark};
use store::entry::{LengthUnit, Show};

use super::imprint::utc;
use super::*;
use crate::bench::{Answer, Form, Line, given, told, typeset};
use crate::cli::shop::{BOTH, ENGINEER, PIN, Shop};

fn job(show: Show) -> PrintJob {
    PrintJob {
        now: Stamp::parse("2026-10-30T14:02", 60).unwrap(),
        for_whom: "the Auditor".into(),
        show,
        program: "Chockbook test".into(),
        is_demo: false,
        anchor: "A-1".into(),
    }
}

fn printed(shop: &Shop, show: Show) -> History {
    let logbook = shop.open();
    let things = store::query::find_things(logbook.connection()).unwrap();
    let bearing = things.iter().find(|t| t.code == "TH-4T-101").unwrap();
    let parts = HistoryParts::default();
    history(logbook.connection(), bearing.no, &parts, &job(show)).unwrap()
}

fn text(cell: &report::Cell) -> String {
    cell.pieces.iter().map(|p| p.text.as_str()).collect()
}

fn row(table: &report::Table, at: usize) -> Vec<String> {
    table.rows[at].iter().map(text).collect()
}

/// A second teardown with both seats, the neck on a gauge whose calibration has run out, entered late.
fn second_teardown() -> String {
    let mut fields = vec![
        ("identify.bearing", "TH-4T-101"),
        ("identify.chock", "WC-37"),
        ("identify.roll", "R-101"),
        ("identify.note", "light stains, rows 1 and 2"),
        ("identify.zone", "II"),
        ("shim.found", "1.20"),
        ("findings.cracks", "dye_clear"),
        ("neck.cracks", "magnetic_clear"),
        ("found.seal", "sound"),
        ("found.grease", "normal"),
        ("found.water", "none"),
        ("found.rotation", "free"),
        ("found.bolts", "tight"),
        ("clean.state", "used"),
        ("clean.agent", "solvent"),
        ("clean.preserved", "oil"),
        ("finding.1.part", "outer raceway"),
        ("finding.1.row", "2"),
        ("finding.1.mode", "5.3.2"),
        ("finding.1.severity", "1"),
        ("finding.1.from", "350"),
        ("finding.1.to", "40"),
        ("finding.1.note", "at roller spacing"),
        ("clearance.gauge_gap", "GB-01"),
        ("clearance.gauge_width", "HG-02"),
        ("bore.gauge", "BG-03"),
        ("bore.check.read", "620.001"),
        ("bore.check.standard", "620.000"),
        ("bore.temp_first", "23"),
        ("bore.temp_gauge", "22"),
        ("bore.temp_last", "24"),
        ("decision.choice", "hold_for_engineer"),
        ("decision.reason", "stains to be looked at"),
    ]
    .into_iter()
    .map(|(path, value)| (path.to_owned(), value.to_owned()))
    .collect::<Vec<_>>();
    for (pair, (gap, spacer)) in [
        ("23.304", "23.674"),
        ("29.356", "29.726"),
        ("23.308", "23.682"),
    ]
    .into_iter()
    .enumerate()
    {
        fields.extend(
            [0, 90, 180, 270].map(|d| (store::sheet::field::gap(pair + 1, d), gap.to_owned())),
        );
        fields.push((store::sheet::field::spacer(pair + 1), spacer.to_owned()));
    }
    // Story B of the demo plant, 2026-03-24, as if read at 20 C.
    let sizes = [
        ["620.062", "620,118", "620.214", "620.126"],
        ["620.055", "620.101", "620.188", "620.109"],
        ["620.049", "620.088", "620.151", "620.093"],
    ];
    for (plane, sizes) in sizes.iter().enumerate() {
        for (degrees, size) in [0, 45, 90, 135].iter().zip(sizes) {
            fields.push((format!("bore.{}.{degrees}", plane + 1), (*size).to_owned()));
        }
    }
    let fields: Vec<String> = fields
        .iter()
        .map(|(path, value)| format!("\"{path}\":\"{value}\""))
        .collect();
    format!(
        "{{\"kind\":\"teardown_sheet\",\"at\":\"2026-09-20T08:00\",\"fields\":{{{}}},\"skip\":{{\"neck\":\"roll is in the mill\"}}}}\n",
        fields.join(",")
    )
}

/// A type that asks for 99 % of its rework level alone: the rule is named once, what else was asked beside its verdict.
#[test]
fn what_was_asked_of_a_limit_is_printed_with_its_verdict() {
    let shop = Shop::of(&include_str!("../../../../tests/data/shop.jsonl").replace(
        "\"rework_factor\":2,",
        "\"rework_factor\":2,\"rework_conformity\":0.99,",
    ));
    shop.regrind();
    let history = printed(&shop, Show::default());
    let limits = &history.limits;
    let asked = limits.iter().find(|l| l.label == "conformity asked");
    assert_eq!(asked.unwrap().value, "rework level 99 %; else 95 %");
    let sheet = &history.sheets[0];
    let told = |about: &str| {
        let mut all = sheet.verdicts.iter();
        let found = all.find(|v| v.about == about).unwrap();
        found.rule.as_str()
    };
    assert_eq!(
        told("End play, rows 1\u{2013}2"),
        "asked 95 % at the lower limit, 99 % at the upper limit; p under 0.001"
    );
    let after = told("End play after grinding, rows 1\u{2013}2");
    assert!(after.starts_with("p "), "{after}");
    let notes = sheet.notes.join("\n");
    let rule = "Rule of all verdicts: ISO 14253-1:2017, with 95 % where no other is asked; p is";
    assert!(notes.contains(rule), "{notes}");
}

#[test]
fn a_regrind_is_told_from_the_first_page_to_the_last_reading() {
    let shop = Shop::new();
    shop.regrind();
    let history = printed(&shop, Show::default());
    assert_eq!(history.plant, "Tarnhollow Rolling Works");
    assert!(
        history
            .headline
            .starts_with("Revision 1, in a ready chock, WC-37"),
        "{}",
        history.headline
    );
    for said in [
        "End play set at 0.300 / 0.300 / 0.300 mm, last found at 0.640 / 0.580 / 0.630 mm on 2026-03-21",
        "left at 0.302 / 0.302 / 0.304 mm",
    ] {
        assert!(
            history.summary.contains(said),
            "{said} is not in: {}",
            history.summary
        );
    }
    assert_eq!(history.chain_check.mark, Mark::Pass);
    assert!(history.growth_svg.is_some() && history.ring_map_svg.is_some());
    assert!(
        history
            .limits
            .iter()
            .any(|l| l.label == "limits" && l.value.contains("valid from "))
    );

    let sheet = &history.sheets[0];
    let bench = &sheet.tables[0];
    assert_eq!(
        row(bench, 0),
        [
            "1\u{2013}2, S1",
            "23.372",
            "23,366",
            "23.378",
            "23.372",
            "23.372",
            "24.012",
            "0.640",
            "fail"
        ]
    );
    let ground = &sheet.tables[1];
    assert_eq!(
        row(ground, 2),
        [
            "S3, rows 3\u{2013}4",
            "24.008",
            "0.330",
            "23.678",
            "23.682",
            "0.304",
            "pass"
        ]
    );
    let stack: Vec<Vec<String>> = (0..sheet.tables[2].rows.len())
        .map(|at| row(&sheet.tables[2], at))
        .collect();
    assert_eq!(stack[0], ["outer stack, change", "\u{2212}0.664"]);
    assert_eq!(stack[1], ["inner stack, change", "\u{2212}0.278"]);
    assert_eq!(stack[3], ["cover shims now", "0.536"]);
    assert!(!sheet.not_measured.is_empty());
    let decision = sheet.decision.as_ref().unwrap();
    assert_eq!(
        (decision.recommended.as_str(), decision.mark),
        ("Regrind spacers", Mark::Pass)
    );
    assert!(
        decision.ordered_by.starts_with(ENGINEER),
        "{}",
        decision.ordered_by
    );
    assert!(sheet.signers.iter().any(|s| s.who == "Foreman A"));
    let first = &sheet.verdicts[0];
    assert_eq!(
        (first.about.as_str(), first.value.as_str(), first.verdict),
        ("End play, rows 1\u{2013}2", "0.640 mm", Mark::Fail)
    );
    assert_eq!(first.uncertainty, "0.015 mm");
    assert_eq!(first.limit, "0.270 to below 0.600 mm");
    assert_eq!(
        (first.origin.as_str(), first.rule.as_str()),
        ("rework level of N4T-480/620-336", "p under 0.001")
    );
    let notes = sheet.notes.join("\n");
    for said in [
        "Rule of all verdicts: ISO 14253-1:2017",
        "All limits were set by record ",
        "Limits of that day: type record ",
    ] {
        assert!(notes.contains(said), "{said} is not in: {notes}");
    }
    let abouts: Vec<&str> = sheet.verdicts.iter().map(|v| v.about.as_str()).collect();
    assert_eq!(
        abouts[2..4],
        [
            "End play, rows 3\u{2013}4",
            "End play after grinding, rows 1\u{2013}2"
        ]
    );
    assert!(sheet.late, "entered in October");
    let event = history
        .events
        .iter()
        .find(|e| e.found[0].text.starts_with("Teardown"))
        .unwrap();
    assert!(
        event.late && event.done.contains("reground to 0.302 / 0.302 / 0.304"),
        "{event:?}"
    );
    assert_eq!(
        history.events.first().map(|e| e.date <= event.date),
        Some(true),
        "oldest first"
    );
    report::history_pdf(&history).unwrap();
}

#[test]
fn seats_stand_as_typed_and_at_20_c_with_gauges_and_doubts() {
    let shop = Shop::new();
    shop.regrind();
    shop.log(&second_teardown(), "Foreman A", &BOTH);
    let history = printed(&shop, Show::default());
    let sheet = &history.sheets[1];
    let bore = sheet
        .tables
        .iter()
        .find(|t| t.title == "Chock bore")
        .unwrap();
    assert_eq!(text(&bore.rows[0][2]), "620,118", "as typed");
    // By hand: 620.118 x (1 + 11.5e-6 x 2) / (1 + 11.5e-6 x 3.5) = 620.1073.
    assert_eq!(bore.rows[0][2].under, "620.107");
    assert_eq!(text(&bore.rows[0][5]), "0.152");
    let temperatures = sheet
        .tables
        .iter()
        .find(|t| t.title == "Temperatures")
        .unwrap();
    assert_eq!(row(temperatures, 0), ["Chock bore", "23", "22", "24"]);
    let of = |about: &str| sheet.verdicts.iter().find(|v| v.about == about).unwrap();
    assert_eq!(of("Chock bore, ovality of plane 1").verdict, Mark::Fail);
    assert!(of("Chock bore, mean size").value.starts_with('+'));
    assert_eq!(
        sheet
            .gauges
            .iter()
            .map(|g| g.code.as_str())
            .collect::<Vec<_>>(),
        ["BG-03", "GB-01", "HG-02"]
    );
    assert!(sheet.gauges[0].kind.ends_with(", chock bore") && sheet.gauges[0].mark == Mark::Pass);
    assert_eq!(
        sheet.gauges[0].standard,
        "SR-02: read 620.001, is 620.000 mm"
    );
    assert_eq!(sheet.not_measured[0].label, "Roll neck");
    let drawn: Vec<&str> = sheet.drawings.iter().map(|d| d.title.as_str()).collect();
    assert_eq!(
        drawn,
        ["Findings on the outer rings", "Bore of chock WC-37"]
    );
    assert_eq!(sheet.tables[0].title, "Findings");
    assert_eq!(
        row(&sheet.tables[0], 0),
        [
            "1",
            "outer raceway, row 2",
            "Moisture corrosion",
            "350\u{b0} to 40\u{b0}",
            "1",
            "",
            "at roller spacing"
        ]
    );
    assert_eq!(sheet.tables[0].rows[0][2].under, "5.3.2");
    assert!(
        sheet
            .decision
            .as_ref()
            .unwrap()
            .departure
            .contains("looked at")
    );
    let key = &history.ring_map_svg.as_ref().unwrap().key;
    assert!(
        key.last()
            .unwrap()
            .text
            .contains("light stains, rows 1 and 2 \u{b7} outer raceway, row 2")
    );
    let mut events = history.events.iter();
    let event = events
        .find(|e| e.found[0].text.starts_with("Teardown"))
        .unwrap();
    let record = &history.sheets[0].record;
    assert!(event.signer.ends_with(record.as_str()), "{}", event.signer);
    report::history_pdf(&history).unwrap();
}

#[test]
fn an_overdue_gauge_is_said_with_its_days() {
    let shop = Shop::new();
    let due = "{\"kind\":\"gauge_calibrated\",\"at\":\"2026-01-02\",\"gauge\":\"GB-01\",\"certificate\":\"C-9\",\"due\":\"2026-03-11\",\"expanded_uncertainty_um\":\"12\"}\n";
    shop.log(due, ENGINEER, &PIN);
    shop.regrind();
    let history = printed(&shop, Show::default());
    let gauge = history.sheets[0]
        .gauges
        .iter()
        .find(|g| g.code == "GB-01")
        .unwrap();
    assert_eq!(
        (gauge.mark, gauge.certificate.as_str()),
        (Mark::FailInDoubt, "C-9")
    );
    assert!(gauge.status.starts_with("overdue by "), "{}", gauge.status);
    assert!(
        history.sheets[0].verdicts[0]
            .rule
            .contains("calibration overdue: GB-01")
    );
}

#[test]
fn inch_and_comma_reach_every_length_but_what_was_typed() {
    let shop = Shop::new();
    shop.regrind();
    let history = printed(
        &shop,
        Show {
            unit: LengthUnit::Inch,
            comma: true,
            ..Show::default()
        },
    );
    let bench = &history.sheets[0].tables[0];
    assert_eq!(
        text(&bench.rows[0][1]),
        "23.372 mm",
        "as typed, with the unit that it was typed in"
    );
    assert_eq!(text(&bench.rows[0][7]), "0,02520");
    assert_eq!(history.sheets[0].verdicts[0].value, "0,02520 in");
}

#[test]
fn a_bearing_without_a_sheet_prints_too() {
    let shop = Shop::new();
    let history = printed(&shop, Show::default());
    assert_eq!(history.state.text, "no sheet yet");
    assert!(
        history.summary.contains("not measured since"),
        "{}",
        history.summary
    );
    report::history_pdf(&history).unwrap();
}

#[test]
fn nothing_read_or_entered_is_left_out() {
    let shop = Shop::new();
    shop.regrind();
    shop.log(&second_teardown(), "Foreman A", &BOTH);
    let history = printed(&shop, Show::default());
    let logbook = shop.open();
    let bearing = store::query::find_things(logbook.connection())
        .unwrap()
        .into_iter()
        .find(|t| t.code == "TH-4T-101")
        .unwrap();
    let details =
        store::query::sheets_of_bearing(logbook.connection(), bearing.no, Show::default()).unwrap();
    assert_eq!(details.len(), 2);
    for (detail, sheet) in details.iter().zip(&history.sheets) {
        let all = format!("{sheet:?}");
        for reading in &detail.body.readings {
            assert!(
                all.contains(reading.text.trim()),
                "{} is not printed",
                reading.path
            );
        }
        for result in detail
            .body
            .results
            .iter()
            .filter(|r| r.name == "end_play_nm")
        {
            assert!(all.contains(&Show::default().length(result.value)));
        }
        assert_eq!(sheet.verdicts.len(), detail.body.verdicts.len());
    }
}

#[test]
fn a_moment_is_printed_in_utc_for_the_file() {
    let moment = utc(Stamp::parse("2026-01-01T00:30", 60).unwrap());
    assert_eq!(
        (
            moment.year,
            moment.month,
            moment.day,
            moment.hour,
            moment.minute
        ),
        (2025, 12, 31, 23, 30)
    );
}

/// The print of a method's example, and what the page says of it.
fn calculated(
    method: &'static calc::method::Method,
    show: Show,
) -> (report::Calculation, Vec<String>) {
    let form = Form::example(method, show);
    let given = given(method, &form).unwrap();
    let worked = (method.run)(&given).unwrap();
    let inputs = told(method, &form, show);
    let answer = Answer::of(method, &given, &worked, show);
    let mut said = vec![answer.big.clone(), answer.beside.clone()];
    for line in inputs.iter().chain(&answer.outputs) {
        said.extend([line.owner.clone(), line.label.clone(), line.value.clone()]);
    }
    for step in &answer.steps {
        let step = step.clone();
        said.extend([step.expression, step.result, step.note]);
    }
    said.extend([typeset(method.formula), method.source.to_owned()]);
    said.extend(method.cautions.iter().map(|caution| typeset(caution)));
    let job = CalculationJob {
        method,
        inputs,
        origin: String::new(),
        given,
        worked,
        show,
        plant: "Tarnhollow Rolling Works".into(),
        for_whom: String::new(),
        program: "Chockbook test".into(),
    };
    let now = Stamp::parse("2026-10-30T14:02", 60).unwrap();
    (calculation::calculation(&job, now), said)
}

#[test]
fn the_print_of_every_calculation_holds_inputs_results_formula_source_and_cautions() {
    for unit in [LengthUnit::Millimetre, LengthUnit::Inch] {
        let show = Show {
            unit,
            comma: true,
            ..Show::default()
        };
        for method in calc::method::methods() {
            let (printed, said) = calculated(method, show);
            let printed = serde_json::to_value(printed).unwrap();
            let mut texts = Vec::new();
            collect(&printed, &mut texts);
            for words in said.iter().filter(|words| !words.is_empty()) {
                assert!(texts.contains(words), "{}: {words}", method.name);
            }
        }
    }
}

fn collect(value: &serde_json::Value, texts: &mut Vec<String>) {
    match value {
        serde_json::Value::String(text) => texts.push(text.clone()),
        serde_json::Value::Array(list) => list.iter().for_each(|value| collect(value, texts)),
        serde_json::Value::Object(map) => map.values().for_each(|value| collect(value, texts)),
        _ => {}
    }
}

#[test]
fn row_pairs_stand_beside_each_other_on_paper_and_many_of_them_below_each_other() {
    let stack = calc::method::by_name("stack").unwrap();
    let (printed, _) = calculated(stack, Show::default());
    let table = &printed.tables[0];
    assert_eq!(table.heads, ["", "rows 1–2", "rows 2–3", "rows 3–4"]);
    assert_eq!(
        table.rows[0],
        ["spacer width", "24.012 mm", "30.004 mm", "24.008 mm"]
    );
    let line = |owner: usize, label: &str| Line {
        owner: format!("part {owner}"),
        label: label.into(),
        value: format!("{label} {owner}"),
    };
    let many: Vec<Line> = (1..=5)
        .flat_map(|owner| [line(owner, "load"), line(owner, "speed")])
        .collect();
    let tables = calculation::tables(&many);
    assert_eq!(tables.len(), 1);
    assert_eq!(tables[0].heads, ["", "load", "speed"]);
    assert_eq!(tables[0].rows[4], ["part 5", "load 5", "speed 5"]);
}
