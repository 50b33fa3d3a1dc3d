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
