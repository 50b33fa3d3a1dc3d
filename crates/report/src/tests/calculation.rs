//! A calculation on paper: every text arrives, nothing runs off the page.

use super::*;

/// A calculation with everything that it may say.
fn calculation() -> Calculation {
    let labelled = |label: &str, value: &str| Labelled {
        label: label.into(),
        value: value.into(),
    };
    let texts = |texts: &[&str]| texts.iter().map(|text| (*text).to_owned()).collect();
    Calculation {
        plant: "Tarnhollow".into(),
        title: "Stack".into(),
        summary: "What to grind off each spacer.".into(),
        origin: "last sheet of TH-4T-031".into(),
        inputs: vec![labelled("grinding step", "0.01 mm"); 7],
        tables: vec![CalculationTable {
            heads: texts(&["", "row pair 1", "row pair 2"]),
            rows: vec![
                texts(&["spacer width", "24.012 mm", "30.004 mm"]),
                texts(&["gaps without spacer", "23.372 / 23.366 mm", "29.424 mm"]),
            ],
        }],
        answer: "0.340 / 0.280 mm".into(),
        beside: "to grind off".into(),
        verdict: Some(Marked {
            text: "pass".into(),
            mark: Mark::Pass,
        }),
        outputs: vec![labelled("clearance now", "0.640 mm"); 3],
        drawing: Some(Drawing {
            svg: SQUARE.replace("width=\"8\"", "width=\"32\""),
            alt: "The stack".into(),
            ..Drawing::default()
        }),
        steps: vec![
            CalculationStep {
                expression: "24.012 \u{2212} 23.372".into(),
                result: "0.640 mm".into(),
                note: "spacer \u{2212} mean gap".into(),
            };
            2
        ],
        formula: "#panic(\"markup\")".into(),
        source: "common practice, no source".into(),
        cautions: vec!["A shorter inner stack needs its retention checked.".into(); 2],
        printed_at: "2026-10-30 10:00".into(),
        printed_utc: UtcMoment {
            year: 2026,
            month: 10,
            day: 30,
            hour: 10,
            ..UtcMoment::default()
        },
        printed_for: "the Auditor".into(),
        program: "Chockbook".into(),
    }
}

#[test]
fn a_calculation_fits_one_page_and_is_the_same_each_time() {
    let one = calculation();
    let pages = calculation_pages(&one).unwrap();
    assert_eq!(pages.pages().len(), 1);
    assert_nothing_runs_off(&pages);
    let pdf = calculation_pdf(&one).unwrap();
    assert!(pdf.starts_with(b"%PDF-") && pdf == calculation_pdf(&one).unwrap());
    let empty = Calculation {
        printed_utc: one.printed_utc,
        ..Calculation::default()
    };
    assert!(calculation_pdf(&empty).is_ok());
    let blind = Calculation {
        drawing: Some(Drawing::default()),
        ..one
    };
    assert!(matches!(
        calculation_pdf(&blind),
        Err(ReportError::NoDescription { .. })
    ));
}

#[test]
fn every_text_of_a_calculation_is_printed() {
    let (told, words) = worded(&calculation(), &mut |at| format!("w{at}w"));
    // A drawing brings its own words; its title and note are not asked for here.
    let of_drawing = serde_json::to_value(&told.drawing).unwrap();
    let of_drawing = [&of_drawing["title"], &of_drawing["note"]];
    let printed = said(&calculation_pages(&told).unwrap()).concat();
    let lost = words.iter().filter(|word| {
        let is_of_drawing = of_drawing.contains(&&Value::from(word.as_str()));
        !is_of_drawing && !printed.contains(word.as_str())
    });
    assert_eq!(lost.collect::<Vec<_>>(), Vec::<&String>::new());
    assert!(words.len() > 45, "{} texts", words.len());
}

#[test]
fn long_texts_without_a_space_stay_on_the_page() {
    let (long, _) = worded(&calculation(), &mut |_| "W".repeat(120));
    // What stands at the foot of every page is ours, and short.
    let long = Calculation {
        printed_at: calculation().printed_at,
        program: calculation().program,
        ..long
    };
    assert_nothing_runs_off(&calculation_pages(&long).unwrap());
}
