//! Forecasts from tables: what is written, and what is said of a table that is wrong.

use std::path::Path;

use crate::cli::shop::{Run, Shop};

/// Tables of a simulated shop, copied into the shop's folder with one text replaced in one of them.
fn forecast(shop: &Shop, file: &str, from: &str, to: &str) -> Run {
    of_tables(shop, &|name, whole| {
        if name != file {
            return whole.to_owned();
        }
        assert!(whole.contains(from), "{name}: {from}");
        whole.replacen(from, to, 1)
    })
}

/// The same, each table as it is made of the one that is right.
fn of_tables(shop: &Shop, made: &dyn Fn(&str, &str) -> String) -> Run {
    let tables = [
        (
            "logbook.csv",
            include_str!("../../../../../shared/reference/trend/pub2_mixed/logbook.csv"),
        ),
        (
            "types.csv",
            include_str!("../../../../../shared/reference/trend/pub2_mixed/types.csv"),
        ),
        (
            "snapshots.csv",
            include_str!("../../../../../shared/reference/trend/pub2_mixed/snapshots.csv"),
        ),
    ];
    for (name, text) in tables {
        std::fs::write(shop.path(name), made(name, text)).unwrap();
    }
    let [table, types, snapshots, out] =
        ["logbook.csv", "types.csv", "snapshots.csv", "out"].map(|name| shop.path(name));
    let args = [
        "forecast",
        "--table",
        &table,
        "--types",
        &types,
        "--snapshots",
        &snapshots,
        "--to",
        &out,
    ];
    shop.run(&args, "", &[])
}

#[test]
fn a_forecast_from_tables_names_each_running_row_pair_and_each_alarm_at_each_date() {
    let shop = Shop::bare();
    let run = forecast(&shop, "", "", "");
    assert_eq!((run.code, run.err.as_str()), (0, ""));
    let read =
        |name: &str| std::fs::read_to_string(Path::new(&shop.path("out")).join(name)).unwrap();
    let forecasts = read("forecasts.csv");
    let mut lines = forecasts.lines();
    assert_eq!(lines.next(), Some("snapshot,bearing,row_pair,p5,p50,p95"));
    for line in lines {
        let cells: Vec<&str> = line.split(',').collect();
        assert_eq!(cells.len(), 6, "{line}");
        let hours: Vec<f64> = cells[3..]
            .iter()
            .filter(|cell| !cell.is_empty())
            .map(|cell| cell.parse().unwrap())
            .collect();
        assert!(hours.is_sorted(), "{line}");
    }
    // The last date has all 62 running row pairs of the logbook.
    assert_eq!(
        forecasts
            .lines()
            .filter(|line| line.starts_with("5,"))
            .count(),
        62
    );
    let alarms = read("alarms.csv");
    assert_eq!(
        alarms.lines().next(),
        Some("snapshot,kind,bearing,row_pair,stand,row_id")
    );
    // Row 217 was typed ten times too large; the stand that is misaligned in row 2 is S5.
    assert!(
        alarms.lines().any(|line| line == "5,entry,B03,1,,217"),
        "{alarms}"
    );
    assert!(alarms.contains(",limit,"), "{alarms}");
}

#[test]
fn a_reading_of_nothing_is_left_to_the_gate_and_a_table_without_lines_is_refused() {
    let shop = Shop::bare();
    let run = forecast(&shop, "logbook.csv", ",1,390.0,", ",1,0,");
    assert_eq!((run.code, run.err.as_str()), (0, ""));
    let alarms = std::fs::read_to_string(Path::new(&shop.path("out")).join("alarms.csv")).unwrap();
    assert!(
        alarms.lines().any(|line| line == "0,entry,B04,1,,237"),
        "{alarms}"
    );

    let header = |table: &'static str| table.lines().next().unwrap().to_owned() + "\n";
    for (file, text, said) in [
        (
            "types.csv",
            header(include_str!(
                "../../../../../shared/reference/trend/pub2_mixed/types.csv"
            )),
            "types.csv: has no line under its header: write one for each bearing type",
        ),
        (
            "snapshots.csv",
            header(include_str!(
                "../../../../../shared/reference/trend/pub2_mixed/snapshots.csv"
            )),
            "snapshots.csv: has no line under its header: write one for each snapshot",
        ),
    ] {
        let shop = Shop::bare();
        let run = of_tables(&shop, &|name, whole| {
            if name == file {
                text.clone()
            } else {
                whole.to_owned()
            }
        });
        assert_eq!((run.code, run.out.as_str()), (2, ""), "{}", run.err);
        assert!(run.err.contains(said), "{}", run.err);
    }
}

#[test]
fn a_table_that_is_wrong_is_named_with_line_and_column_and_nothing_is_written() {
    for (file, from, to, said) in [
        (
            "logbook.csv",
            "2018-01-24",
            "24.1.2018",
            "logbook.csv, line 6, column date: \"24.1.2018\" is no date: write it like",
        ),
        (
            "logbook.csv",
            ",610.0,",
            ",6l0,",
            "logbook.csv, line 8, column clearance_um: \"6l0\" is no number",
        ),
        (
            "logbook.csv",
            "237,B04,B",
            "237,B04,X",
            "logbook.csv, line 2, column type: 'X' is not known here; known: A, B, C",
        ),
        (
            "logbook.csv",
            ",1,390.0,",
            ",0,390.0,",
            "line 2, column row_pair: \"0\" is no row pair of this type: they are counted 1 to 4",
        ),
        (
            "logbook.csv",
            ",1,390.0,",
            ",5,390.0,",
            "line 2, column row_pair: \"5\" is no row pair of this type: they are counted 1 to 4",
        ),
        (
            "logbook.csv",
            ",1,390.0,",
            ",1,-390.0,",
            "line 2, column clearance_um: -390 \u{b5}m is no clearance",
        ),
        (
            "types.csv",
            "B,axial,4",
            "B,axial,none",
            "types.csv, line 3, column row_pairs: \"none\" is no number of row pairs",
        ),
        (
            "logbook.csv",
            "inspect",
            "seen",
            "line 8, column event: \"seen\" is no event: write set, inspect or regrind",
        ),
        (
            "logbook.csv",
            "hours",
            "hrs",
            "line 1: there is no column hours",
        ),
        (
            "types.csv",
            "250.0",
            "-250.0",
            "types.csv, line 2, column nominal_set_um: -250 um is out of range",
        ),
        (
            "logbook.csv",
            "\n238,",
            "\n237,",
            "logbook.csv, line 3, column row_id: \"237\" stands in line 2 already",
        ),
        (
            "snapshots.csv",
            "\n1,",
            "\n0,",
            "snapshots.csv, line 3, column snapshot: \"0\" stands in line 2 already",
        ),
        (
            "snapshots.csv",
            "2500.0",
            "0",
            "snapshots.csv, line 2, column horizon_hours: hours to look ahead",
        ),
    ] {
        let shop = Shop::bare();
        let run = forecast(&shop, file, from, to);
        assert_eq!((run.code, run.out.as_str()), (2, ""), "{}", run.err);
        assert!(run.err.contains(said), "{}", run.err);
        assert!(!Path::new(&shop.path("out")).exists());
    }
}

const TYPES: &str = "type,nominal_set_um,tol_um,limit_factor,limit_abs_um,gauge_U_k2_um,step_um\nA,300,30,2,,20,10\n";
const HEADER: &str = "row_id,bearing,type,stand,date,hours,row_pair,clearance_um,event\n";

/// Forecast of one date of a small table: the run, forecasts and alarms below their headers.
fn small(lines: &str) -> (Run, String, String) {
    let shop = Shop::bare();
    let run = of_tables(&shop, &|name, _| match name {
        "types.csv" => TYPES.to_owned(),
        "logbook.csv" => format!("{HEADER}{lines}"),
        _ => "snapshot,date,horizon_hours\nnow,2026-06-01,2500\n".to_owned(),
    });
    let below = |name: &str| {
        let whole = std::fs::read_to_string(Path::new(&shop.path("out")).join(name)).unwrap();
        whole.split_once('\n').unwrap().1.to_owned()
    };
    let (forecasts, alarms) = (below("forecasts.csv"), below("alarms.csv"));
    (run, forecasts, alarms)
}

#[test]
fn what_was_refused_is_named_where_nothing_can_be_forecast_too() {
    // mm typed in a field of um: the only growth there is.
    let (run, forecasts, alarms) =
        small("1,#17,A,,2026-01-01,0,1,300,set\n2,#17,A,S3,2026-03-01,1500,1,0.38,inspect\n");
    assert_eq!((run.code, forecasts.as_str()), (0, ""));
    assert_eq!(alarms, "now,entry,#17,1,,2\n");
    assert_eq!(
        run.err,
        "snapshot now: every growth measured up to its date was refused (alarms.csv names 1 reading under entry), so there \
         is no forecast\n"
    );
    let (run, _, alarms) = small("1,B1,A,,2026-01-01,0,1,300,set\n");
    assert_eq!(alarms, "");
    assert_eq!(
        run.err,
        "snapshot now: no bearing has a measured growth up to its date, so there is no forecast\n"
    );
    let (run, _, alarms) =
        small("1,B1,A,,2026-01-01,900,1,300,set\n2,B1,A,S3,2026-03-01,150,1,320,inspect\n");
    assert_eq!(alarms, "now,entry,B1,1,,2\n");
    assert!(
        run.err
            .contains("on a counter that runs forwards (alarms.csv names 1 reading"),
        "{}",
        run.err
    );
}

#[test]
fn a_setting_that_nobody_measured_begins_anew_and_a_teardown_without_a_counter_says_nothing() {
    let grown = "1,B1,A,,2026-01-01,0,1,300,set\n2,B1,A,S3,2026-02-01,1000,1,340,inspect\n\
                 3,B1,A,S3,2026-03-01,2000,1,380,inspect\n";
    let p50 = |lines: &str| -> f64 {
        let (run, forecasts, _) = small(lines);
        assert_eq!((run.code, run.err.as_str()), (0, ""));
        let line = forecasts.lines().next().unwrap().to_owned();
        line.split(',').nth(4).unwrap().parse().unwrap()
    };
    // 220 um to go at 40 in 1,000 h.
    let before = p50(grown);
    assert!((before - 7_500.0).abs() < 600.0, "{before}");
    // Reground at 2,000 h to what nobody wrote down: twice the nominal clearance is 300 um away.
    let after = p50(&format!("{grown}4,B1,A,,2026-03-01,2000,1,,regrind\n"));
    assert!((after - 9_500.0).abs() < 600.0, "{after}");
    let unmeasured = format!("{grown}4,B1,A,,2026-03-05,,1,,inspect\n");
    assert_eq!(p50(&unmeasured), before);
}
