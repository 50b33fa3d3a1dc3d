//! Tamper drill: single bytes flipped and single rows altered behind the logbook's back. Whatever alters a row of the
//! record or of the derived tables, or the schema, must be found; drafts and settings are nobody's record.
//!
//! The suite flips 2,000 bytes and takes one row a column, from a seed (`CHOCKBOOK_SEED`). All of it, about an hour:
//! `CHOCKBOOK_LONG=1 cargo test -p store --test tamper -- --nocapture`.
#![allow(clippy::unwrap_used)]

mod common;

use std::path::{Path, PathBuf};

use common::{Shop, TestClock, hands, log_as, strings};
use rusqlite::types::{Value, ValueRef};
use rusqlite::{Connection, OpenFlags, ToSql, params_from_iter};
use store::entry::LengthUnit;
use store::line::{self, Line};
use store::payload::Role;
use store::sheet::{SignTeardown, sign};
use store::verify::verify_file;
use store::{Logbook, Signer};

fn is_long() -> bool {
    std::env::var_os("CHOCKBOOK_LONG").is_some()
}

/// Numbers that follow from the seed (a linear congruential generator, Knuth's MMIX constants, from memory).
struct Dice(u64);

impl Dice {
    fn new() -> Self {
        let text = std::env::var("CHOCKBOOK_SEED");
        Self(text.map_or(1, |text| text.parse().unwrap()))
    }

    fn below(&mut self, end: usize) -> usize {
        let next = self.0.wrapping_mul(6_364_136_223_846_793_005);
        self.0 = next.wrapping_add(1_442_695_040_888_963_407);
        ((self.0 >> 33) % end as u64) as usize
    }
}

/// True where `verify` finds something, or refuses the file as damaged or none of ours.
fn is_found(path: &Path) -> bool {
    match verify_file(path, None, &mut |_, _| true) {
        Ok(report) => !report.unwrap().holds(),
        Err(e) => !e.to_string().is_empty(),
    }
}

/// The tables whose rows count, with their columns.
fn tables(conn: &Connection) -> Vec<(String, Vec<Column>)> {
    let sql = "SELECT name FROM sqlite_master WHERE type = 'table' AND name <> 'setting'
               AND name NOT LIKE 'draft%' AND name NOT LIKE 'sqlite_%' ORDER BY name";
    let column = |row: &rusqlite::Row<'_>| {
        Ok(Column {
            name: row.get("name")?,
            sort: row.get("type")?,
            may_be_empty: row.get::<_, i64>("notnull")? == 0 && row.get::<_, i64>("pk")? == 0,
            is_key: row.get::<_, i64>("pk")? > 0,
        })
    };
    let with_columns = |table: String| {
        let mut stmt = conn.prepare("SELECT * FROM pragma_table_info(?1)").unwrap();
        let columns = stmt.query_map([&table], column).unwrap();
        let columns = columns.collect::<rusqlite::Result<_>>().unwrap();
        (table, columns)
    };
    strings(conn, sql).into_iter().map(with_columns).collect()
}

struct Column {
    name: String,
    sort: String,
    may_be_empty: bool,
    is_key: bool,
}

/// Every row that counts and the schema, read from the tables themselves and not from their indexes.
fn content(path: &Path, tables: &[(String, Vec<Column>)]) -> rusqlite::Result<Vec<String>> {
    let uri = format!("file://{}?immutable=1", path.display());
    let flags = OpenFlags::SQLITE_OPEN_READ_ONLY | OpenFlags::SQLITE_OPEN_URI;
    let conn = Connection::open_with_flags(uri, flags)?;
    let mut all = Vec::new();
    let schema = ("sqlite_master", "type, name, tbl_name, sql".to_owned());
    let listed = |columns: &[Column]| {
        let names: Vec<&str> = columns.iter().map(|c| c.name.as_str()).collect();
        names.join(", ")
    };
    let counted = tables
        .iter()
        .map(|(table, columns)| (table.as_str(), listed(columns)));
    for (table, columns) in counted.chain([schema]) {
        let mut stmt = conn.prepare(&format!("SELECT {columns} FROM {table} NOT INDEXED"))?;
        let width = stmt.column_count();
        let mut rows = stmt.query([])?;
        let begun = all.len();
        while let Some(row) = rows.next()? {
            let values = (0..width).map(|i| row.get_ref(i).map(shown));
            let values = values.collect::<rusqlite::Result<Vec<_>>>()?;
            all.push(format!("{table}: {}", values.join(", ")));
        }
        all[begun..].sort();
    }
    Ok(all)
}

/// A value with its sort; bytes that are no text stay apart from those that are.
fn shown(value: ValueRef<'_>) -> String {
    match value {
        ValueRef::Text(bytes) => format!("{:?}", bytes.escape_ascii().to_string()),
        other => format!("{other:?}"),
    }
}

/// The first row that is not what it was.
fn difference(before: &[String], after: rusqlite::Result<Vec<String>>) -> String {
    let after = match after {
        Ok(after) => after,
        Err(e) => return format!("a row cannot be read: {e}"),
    };
    let gone = before.iter().find(|row| !after.contains(row));
    let new = after.iter().find(|row| !before.contains(row));
    format!("from {gone:?} to {new:?}")
}

#[test]
fn a_flipped_byte_that_alters_a_row_or_the_schema_is_found() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("five.chockbook");
    let mut logbook = Logbook::create(&path, hands(&TestClock::new(), 0), "Tarnhollow").unwrap();
    logbook
        .register_person(None, None, "Engineer", Role::Engineer, common::PIN)
        .unwrap();
    let engineer = logbook.sign_in("Engineer", common::PIN).unwrap();
    for record in common::REGISTER.iter().take(3) {
        let line = format!(r#"{{"kind":"register_change",{}"#, &record[1..]);
        log_as(&mut logbook, &engineer, &line).unwrap();
    }
    let tables = tables(logbook.connection());
    drop(logbook);
    let whole = std::fs::read(&path).unwrap();
    let before = content(&path, &tables).unwrap();
    let events = before
        .iter()
        .filter(|row| row.starts_with("event: "))
        .count();
    assert_eq!(events, 5);
    assert!(!is_found(&path));

    let mut dice = Dice::new();
    let places: Vec<usize> = if is_long() {
        (0..whole.len()).collect()
    } else {
        // Most of so small a file is free space: every other flip goes where something is written.
        let written: Vec<usize> = (0..whole.len()).filter(|at| whole[*at] != 0).collect();
        (0..1000)
            .flat_map(|_| [dice.below(whole.len()), written[dice.below(written.len())]])
            .collect()
    };
    let (mut alter, mut found_anyway, mut missed) = (0, 0, Vec::new());
    let mut bytes = whole.clone();
    for at in &places {
        let mask = 1 << dice.below(8);
        bytes[*at] ^= mask;
        std::fs::write(&path, &bytes).unwrap();
        bytes[*at] ^= mask;
        let after = content(&path, &tables);
        let is_altered = after.as_ref().map_or(true, |after| *after != before);
        let about = format!("byte {at} ^ {mask}");
        let is_found = std::panic::catch_unwind(|| is_found(&path));
        let is_found = is_found.unwrap_or_else(|_| panic!("{about}: the check itself fails"));
        if is_altered && !is_found {
            missed.push(format!("{about}: {}", difference(&before, after)));
        }
        alter += usize::from(is_altered);
        found_anyway += usize::from(is_found && !is_altered);
    }
    println!(
        "bytes flipped: {} of {}; altering a row or the schema: {alter}, of these found: {}; \
         found besides (indexes, free space, headers): {found_anyway}",
        places.len(),
        whole.len(),
        alter - missed.len()
    );
    assert!(alter > 100, "too few flips met a row");
    assert!(
        missed.is_empty(),
        "altered and not found:\n{}",
        missed.join("\n")
    );
}

/// What fills the tables that the common register and its work leave empty.
const MORE: [&str; 31] = [
    r#"{"kind":"register_change","entity":"bearing_type","code":"N4T-480","bearing_kind":"four_row_tapered","values":{"bore_mm":480,"outside_mm":620,"clearance_min_mm":[0.27,0.27,0.27],"clearance_max_mm":[0.33,0.33,0.33],"rework_mm":[0.6,0.6,0.6],"spacer_mm":[24,30,24],"seating_spread_mm":0.05,"rework_factor":2}}"#,
    r#"{"kind":"register_change","entity":"chock_type","code":"single","seats":{"main":"N4T-480"},"shim_place":"between","fits":["W-T-O"]}"#,
    r#"{"kind":"register_change","entity":"chock","code":"WC-50","chock_type":"single"}"#,
    r#"{"kind":"register_change","entity":"bearing","serial":"TH-4T-050","bearing_type":"N4T-480"}"#,
    r#"{"kind":"register_change","entity":"gauge","code":"GB-01","gauge_kind":"gap blocks","measures":"gap","resolution_um":1,"expanded_uncertainty_um":12,"certificate":"C-1","due":"2027-01-20"}"#,
    r#"{"kind":"register_change","entity":"gauge","code":"HG-02","gauge_kind":"height gauge","measures":"width","resolution_um":1,"expanded_uncertainty_um":9,"certificate":"C-2","due":"2027-01-20"}"#,
    r#"{"kind":"register_change","entity":"grease","code":"GR-1","name":"lithium complex"}"#,
    r#"{"kind":"register_change","entity":"seal_batch","code":"SB-1","name":"lip seals"}"#,
    r#"{"kind":"received","at":"2026-01-06T06:00","bearing":"TH-4T-050","as_set_mm":[0.3,0.3,0.3]}"#,
    r#"{"kind":"assembled","at":"2026-01-07T06:00","bearing":"TH-4T-050","chock":"WC-50","zone":1}"#,
    r#"{"kind":"hold","thing":"TH-4T-003","reason":"brown tint"}"#,
    r#"{"kind":"amendment","event":"LAST","changes":[{"path":"/reason","old":"brown tint","new":"blue tint","reason":"seen by day"}]}"#,
    r#"{"kind":"hold","thing":"WC-18","reason":"liner loose"}"#,
    r#"{"kind":"released","thing":"WC-18","reason":"liner fixed"}"#,
    r#"{"kind":"condition_reading","chock":"WC-50","what":"temperature","temp_c":"96","early_teardown":true}"#,
    r#"{"kind":"teardown_planned","chock":"WC-50","reason":"no spare yet"}"#,
    r#"{"kind":"extension","chock":"WC-50","until":"2026-02-20","reason":"watched each shift"}"#,
    r#"{"kind":"cost","thing":"WC-50","amount":"114.50","text":"liners"}"#,
    r#"{"kind":"batch_blocked","thing":"SB-1","reason":"stains"}"#,
    r#"{"kind":"register_change","entity":"bearing_type","code":"N4C","bearing_kind":"four_row_cylindrical","values":{"bore_mm":500}}"#,
    r#"{"kind":"register_change","entity":"bearing_type","code":"N4C inner","bearing_kind":"four_row_cylindrical_inner","values":{"bore_mm":500}}"#,
    r#"{"kind":"register_change","entity":"bearing","serial":"TH-4C-009","bearing_type":"N4C"}"#,
    r#"{"kind":"register_change","entity":"bearing","serial":"TH-4CI-31","bearing_type":"N4C inner"}"#,
    r#"{"kind":"assembled","at":"2026-01-07","bearing":"TH-4CI-31","roll":"R-102","seat":"neck_o","zone":0}"#,
    r#"{"kind":"paired","at":"2026-01-07","outer":"TH-4C-009","inner":"TH-4CI-31"}"#,
    r#"{"kind":"gauge_found_out","at":"2026-01-06","gauge":"BG-03","error_um":"12","text":"on SR-02"}"#,
    r#"{"kind":"greased","at":"2026-01-08","bearing":"TH-4T-050","grease":"GR-1","amount_g":"900"}"#,
    r#"{"kind":"position_work","position":"F3-W-T-O","what":"keeper","text":"tightened"}"#,
    r#"{"kind":"condition_reading","chock":"WC-50","what":"noise","text":"hums"}"#,
    r#"{"kind":"amendment","event":"LAST","withdrawn_because":"the fan hummed"}"#,
    // Entered late, and not what the later entries say.
    r#"{"kind":"sent_out","at":"2026-01-07T07:00","thing":"TH-4T-001","to":"North Yard"}"#,
];

const SHEET: &str = r#"{"kind":"teardown_sheet","at":"2026-01-14T09:30","fields":{"identify.bearing":"TH-4T-050",
"identify.chock":"WC-50","found.seal":"sound","found.grease":"normal","found.water":"none","found.rotation":"free","found.bolts":"tight","clean.state":"used","clean.agent":"solvent","clean.preserved":"oil","skip.found":"marks of the zones worn off","shim.found":"1.20","findings.cracks":"dye_clear","finding.1.part":"outer raceway","finding.1.row":"2","finding.1.mode":"5.5.3","finding.1.severity":"1","finding.1.from":"0","finding.1.to":"20","finding.1.size":"3","clearance.gauge_gap":"GB-01","clearance.gauge_width":"HG-02",
"clearance.gap.1.0":"23.68","clearance.gap.1.90":"23.68","clearance.gap.1.180":"23.68","clearance.gap.1.270":"23.68",
"clearance.gap.2.0":"29.68","clearance.gap.2.90":"29.68","clearance.gap.2.180":"29.68","clearance.gap.2.270":"29.68",
"clearance.gap.3.0":"23.68","clearance.gap.3.90":"23.68","clearance.gap.3.180":"23.68","clearance.gap.3.270":"23.68",
"clearance.spacer.1":"24","clearance.spacer.2":"30","clearance.spacer.3":"24","zone.choice":"II",
"zone.reason":"mark worn off","reassemble.chock":"WC-50","decision.choice":"return_to_service",
"decision.reason":"seats measured last month","parts.order":"as_marked","seals.done":"kept","zone.rings":"alike","protect.with":"textile"},
"skip":{"bore":"sleeved last week","neck":"roll is on the grinder","grease":"oil lubricated","cover":"shims as they were","bolts":"closed by the next shift"}}"#;

/// A closed logbook with rows in nearly all tables.
fn full_shop() -> (tempfile::TempDir, PathBuf) {
    let mut shop = Shop::new();
    shop.work();
    let mut last = String::new();
    for line in MORE {
        let line = line.replace("LAST", &last);
        let signed = shop.log(&line).unwrap_or_else(|e| panic!("{line}: {e}"));
        last = signed.id.to_string();
    }
    let paper = shop.dir.path().join("C-1.txt");
    std::fs::write(&paper, "calibrated on 2026-01-05").unwrap();
    shop.log(&format!(
        r#"{{"kind":"attached","thing":"BG-03","what":"certificate","file":{:?},"text":"C-1"}}"#,
        paper.display().to_string()
    ))
    .unwrap();
    let picture = shop.dir.path().join("ring.png");
    std::fs::write(&picture, common::picture(90, 60)).unwrap();
    shop.log(&format!(
        r#"{{"kind":"attached","thing":"TH-4T-050","what":"photo","file":{:?}}}"#,
        picture.display().to_string()
    ))
    .unwrap();
    let engineer: Signer = shop.engineer.clone();
    let line = line::read(&mut shop.logbook, &SHEET.replace('\n', " ")).unwrap();
    let Line::Teardown { at, fields } = line else {
        panic!("a sheet was read as an event");
    };
    let sheet = SignTeardown {
        fields: &fields,
        draft: None,
        at: Some(at),
        entered: None,
        signer: &engineer,
        engineer: Some(&engineer),
        unit: LengthUnit::Millimetre,
        wear: None,
    };
    let sheet = sign(&mut shop.logbook, &sheet).unwrap();
    shop.log(&format!(
        r#"{{"kind":"sheet_reopened","sheet":"{}","reason":"read in inch"}}"#,
        sheet.signed.id
    ))
    .unwrap();
    let (dir, path, _) = shop.close();
    (dir, path)
}

/// A file that is altered in many ways, one at a time.
struct Drill {
    _dir: tempfile::TempDir,
    whole: Vec<u8>,
    path: PathBuf,
    triggers: Vec<String>,
    altered: usize,
    refused: usize,
    missed: Vec<String>,
}

impl Drill {
    /// Alters a fresh copy with the triggers out of the way, puts them back, and asks `verify`.
    fn alter(&mut self, about: String, work: impl FnOnce(&Connection) -> rusqlite::Result<usize>) {
        std::fs::write(&self.path, &self.whole).unwrap();
        let conn = Connection::open(&self.path).unwrap();
        let away = "PRAGMA synchronous = OFF; PRAGMA foreign_keys = OFF; PRAGMA ignore_check_constraints = ON;
                    DROP TRIGGER event_no_update; DROP TRIGGER event_no_delete;";
        conn.execute_batch(away).unwrap();
        match work(&conn) {
            Ok(0) => panic!("{about}: no row was altered"),
            Ok(_) => self.altered += 1,
            // A second row with one key, a text among numbers: no tool can do that within this schema.
            Err(e) if e.sqlite_error_code() == Some(rusqlite::ErrorCode::ConstraintViolation) => {
                self.refused += 1;
                return;
            }
            Err(e) => panic!("{about}: {e}"),
        }
        conn.execute_batch(&self.triggers.join(";")).unwrap();
        drop(conn);
        if !is_found(&self.path) {
            self.missed.push(about);
        }
    }
}

/// Another value of the same sort; the second one where the first is taken.
fn others(value: &Value, column: &Column) -> [Value; 2] {
    match value {
        Value::Integer(n) => [Value::Integer(n ^ 1), Value::Integer(n + 1_000_003)],
        Value::Text(text) => [Value::Text(format!("{text}x")), Value::Text("x".into())],
        Value::Blob(bytes) => {
            let flipped = |mask: u8| bytes.iter().map(|b| b ^ mask).collect();
            [Value::Blob(flipped(1)), Value::Blob(flipped(0x80))]
        }
        Value::Null | Value::Real(_) => [invented(column, 1), invented(column, 2)],
    }
}

fn invented(column: &Column, no: u8) -> Value {
    match column.sort.as_str() {
        "INTEGER" => Value::Integer(i64::from(no)),
        "BLOB" => Value::Blob(vec![no; 32]),
        _ => Value::Text("x".repeat(usize::from(no))),
    }
}

fn read(conn: &Connection, sql: &str) -> Vec<Vec<Value>> {
    let mut stmt = conn.prepare(sql).unwrap();
    let width = stmt.column_count();
    let rows = stmt.query_map([], |row| (0..width).map(|i| row.get(i)).collect());
    rows.unwrap().collect::<rusqlite::Result<_>>().unwrap()
}

#[test]
fn every_altered_row_is_found() {
    let (dir, from) = full_shop();
    let conn = Connection::open_with_flags(&from, OpenFlags::SQLITE_OPEN_READ_ONLY).unwrap();
    let tables = tables(&conn);
    let mut drill = Drill {
        path: dir.path().join("altered.chockbook"),
        whole: std::fs::read(&from).unwrap(),
        triggers: strings(
            &conn,
            "SELECT sql FROM sqlite_master WHERE type = 'trigger'",
        ),
        _dir: dir,
        altered: 0,
        refused: 0,
        missed: Vec::new(),
    };
    assert_eq!(drill.triggers.len(), 2);
    assert!(!is_found(&from), "the file is whole before");
    let mut dice = Dice::new();
    let mut empty = Vec::new();
    for (table, columns) in &tables {
        let names: Vec<&str> = columns.iter().map(|c| c.name.as_str()).collect();
        let names = names.join(", ");
        let rows = read(
            &conn,
            &format!("SELECT {names} FROM {table} ORDER BY {names}"),
        );
        if rows.is_empty() {
            empty.push(table.as_str());
        }
        alter_table(&mut drill, &mut dice, (table, columns), &rows);
    }
    let Drill {
        altered,
        refused,
        missed,
        ..
    } = drill;
    println!(
        "rows altered: {altered} in {} tables, found: {}; refused by the database itself: {refused}; \
         tables without rows, where only new ones were tried: {}",
        tables.len(),
        altered - missed.len(),
        empty.join(" ")
    );
    assert!(empty.len() < 4, "{empty:?}");
    assert!(
        missed.is_empty(),
        "altered and not found:\n{}",
        missed.join("\n")
    );
}

/// Alters a column of a row, takes rows away, exchanges them, and adds new ones and second ones.
fn alter_table(drill: &mut Drill, dice: &mut Dice, table: (&str, &[Column]), rows: &[Vec<Value>]) {
    let (name, columns) = table;
    // A row is told by its values; none of these tables has two that are alike.
    let these: Vec<String> = columns.iter().map(|c| format!("{} IS ?", c.name)).collect();
    let this = these.join(" AND ");
    let marks = vec!["?"; columns.len()].join(", ");
    let delete = format!("DELETE FROM {name} WHERE {this}");
    let insert = format!("INSERT INTO {name} VALUES ({marks})");
    let some = |dice: &mut Dice| -> Vec<usize> {
        match rows.len() {
            0 => Vec::new(),
            count if is_long() => (0..count).collect(),
            count => vec![dice.below(count)],
        }
    };
    for (i, column) in columns.iter().enumerate() {
        for row in some(dice) {
            let mut values = others(&rows[row][i], column).to_vec();
            if column.may_be_empty && rows[row][i] != Value::Null {
                values.push(Value::Null);
            }
            for value in values {
                let update = format!("UPDATE {name} SET {} = ? WHERE {this}", column.name);
                let about = format!(
                    "{name} row {row}: {} from {:?} to {value:?}",
                    column.name, rows[row][i]
                );
                let bound: Vec<Value> = std::iter::once(value).chain(rows[row].clone()).collect();
                drill.alter(about, |conn| conn.execute(&update, params_from_iter(bound)));
            }
        }
    }
    for (no, row) in rows.iter().enumerate() {
        drill.alter(format!("{name} row {no} deleted"), |conn| {
            conn.execute(&delete, params_from_iter(row))
        });
    }
    for no in some(dice) {
        let row = &rows[no];
        drill.alter(format!("{name} row {no} twice"), |conn| {
            conn.execute(&insert, params_from_iter(row))
        });
        let key = |i: usize| columns[i].is_key || !columns.iter().any(|c| c.is_key);
        let new: Vec<Value> = (0..row.len())
            .map(|i| {
                if key(i) {
                    others(&row[i], &columns[i])[1].clone()
                } else {
                    row[i].clone()
                }
            })
            .collect();
        drill.alter(format!("{name} row {no} again as {new:?}"), |conn| {
            conn.execute(&insert, params_from_iter(&new))
        });
        let other = &rows[(no + 1) % rows.len()];
        let (mut a, mut b) = (row.clone(), other.clone());
        for i in (0..row.len()).filter(|i| columns[*i].is_key) {
            std::mem::swap(&mut a[i], &mut b[i]);
        }
        if a != *other && a != *row {
            drill.alter(format!("{name} row {no} and the next exchanged"), |conn| {
                for old in [row, other] {
                    conn.execute(&delete, params_from_iter(old))?;
                }
                conn.execute(&insert, params_from_iter(&a))?;
                conn.execute(&insert, params_from_iter(&b))
            });
        }
    }
    let new: Vec<Value> = columns.iter().map(|column| invented(column, 1)).collect();
    let new: Vec<&dyn ToSql> = new.iter().map(|value| value as &dyn ToSql).collect();
    drill.alter(format!("{name}: an invented row"), |conn| {
        conn.execute(&insert, new.as_slice())
    });
}
