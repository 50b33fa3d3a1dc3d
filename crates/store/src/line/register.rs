//! Lines that register a thing or write its record anew.

use serde_json::Value;

use super::keys::{Keys, as_text, existing, in_key, reference};
use crate::entry;
use crate::error::{Result, StoreError};
use crate::id::{Ref, ThingNo};
use crate::logbook::Logbook;
use crate::payload::{
    Bearing, BearingType, Chock, ChockType, Gauge, Grease, Line, Person, Position, Record,
    RegisterChange, Role, Roll, SealBatch, Seat, Stand, TYPE_VALUES, TypeValue, TypeValueMeaning,
};
use crate::sheet::field::PLANES_USUAL;

/// Reads a register change: a new thing, or with `"change":true` the record of one that is there.
pub(super) fn change(logbook: &mut Logbook, keys: &mut Keys) -> Result<RegisterChange> {
    let entity = keys.text("entity")?;
    keys.of = format!("register_change of a {entity}");
    let is_change = keys.flag_or("change", false)?;
    let reason = if is_change {
        keys.text("reason")?
    } else {
        keys.text_or("reason", "")?
    };
    let record = record(logbook, keys, &entity, is_change)?;
    let found = existing(logbook, &entity, record.code())?;
    let thing = match (is_change, found) {
        (false, None) => None,
        (true, Some(no)) => Some(logbook.name(no)?),
        (false, Some(_)) => {
            let why = format!(
                "{} is registered already; to change it add \"change\":true and a reason",
                record.code()
            );
            return Err(StoreError::input("code", why));
        }
        (true, None) => {
            let why = format!(
                "there is no {entity} {} to change; leave it out to register a new one",
                record.code()
            );
            return Err(StoreError::input("change", why));
        }
    };
    Ok(RegisterChange {
        thing,
        record,
        reason,
    })
}

fn record(logbook: &mut Logbook, keys: &mut Keys, entity: &str, is_change: bool) -> Result<Record> {
    Ok(match entity {
        "person" => Record::Person(person(logbook, keys, is_change)?),
        "line" => Record::Line(Line {
            code: code(keys)?,
            name: keys.text_or("name", "")?,
        }),
        "stand" => Record::Stand(Stand {
            code: code(keys)?,
            line: keys.named(logbook, "line", "line")?,
            build: keys.text_or("build", "")?,
        }),
        "position" => Record::Position(position(logbook, keys)?),
        "roll" => Record::Roll(Roll {
            code: code(keys)?,
            line: keys.named(logbook, "line", "line")?,
            role: one_of(keys, "role", &["W", "I", "K", "R"])?,
        }),
        "chock_type" => Record::ChockType(chock_type(logbook, keys)?),
        "chock" => Record::Chock(Chock {
            code: code(keys)?,
            chock_type: keys.named(logbook, "chock_type", "chock_type")?,
        }),
        "bearing_type" => Record::BearingType({
            let (code, kind) = (code(keys)?, one_of(keys, "bearing_kind", &BEARING_KINDS)?);
            let values = type_values(keys, kind == "four_row_tapered")?;
            BearingType {
                code,
                kind,
                values,
                lubrication: keys.text_or("lubrication", "")?,
            }
        }),
        "bearing" => Record::Bearing(Bearing {
            serial: keys.text("serial")?.trim().into(),
            bearing_type: keys.named(logbook, "bearing_type", "bearing_type")?,
            prior_run_s: keys.amount_opt("prior_hours", 3600)?.unwrap_or(0),
            prior_note: keys.text_or("prior_note", "")?,
        }),
        "gauge" => Record::Gauge(gauge(keys)?),
        "seal_batch" => Record::SealBatch(SealBatch {
            code: code(keys)?,
            name: keys.text_or("name", "")?,
        }),
        "grease" => Record::Grease(Grease {
            code: code(keys)?,
            name: keys.text_or("name", "")?,
        }),
        other => {
            return Err(StoreError::input(
                "entity",
                format!("{other:?} is no sort of thing in the register"),
            ));
        }
    })
}

const BEARING_KINDS: [&str; 5] = [
    "four_row_tapered",
    "four_row_cylindrical",
    "four_row_cylindrical_inner",
    "two_row_spherical",
    "two_row_thrust",
];

fn code(keys: &mut Keys) -> Result<String> {
    Ok(keys.text("code")?.trim().to_owned())
}

fn one_of(keys: &mut Keys, key: &str, words: &[&str]) -> Result<String> {
    let text = keys.text(key)?;
    if words.contains(&text.as_str()) {
        return Ok(text);
    }
    Err(StoreError::input(
        key,
        format!("{text:?} is none of {}", words.join(", ")),
    ))
}

fn person(logbook: &mut Logbook, keys: &mut Keys, is_change: bool) -> Result<Person> {
    let name = keys.text("name")?.trim().to_owned();
    let role = keys.text("role")?;
    let role = Role::parse(&role).ok_or_else(|| {
        let all: Vec<_> = Role::ALL.iter().map(|r| r.as_str()).collect();
        StoreError::input("role", format!("{role:?} is none of {}", all.join(", ")))
    })?;
    let is_active = keys.flag_or("active", true)?;
    let pin_hash = match (keys.text_opt("pin")?, is_change) {
        (Some(pin), _) => logbook.hash_pin(&pin)?,
        (None, true) => kept_pin(logbook, &name)?,
        (None, false) => return Err(keys.missing("pin")),
    };
    Ok(Person {
        name,
        role,
        pin_hash,
        is_active,
    })
}

/// The hash that a person has already.
fn kept_pin(logbook: &Logbook, name: &str) -> Result<String> {
    let ThingNo(no) = existing(logbook, "person", name)?.ok_or_else(|| StoreError::Unknown {
        what: "person",
        code: name.into(),
        hint: ": leave change out to register a new one".into(),
    })?;
    let sql = "SELECT pin_hash FROM person WHERE no = ?1";
    Ok(logbook
        .connection()
        .query_row(sql, [no], |row| row.get(0))?)
}

fn position(logbook: &Logbook, keys: &mut Keys) -> Result<Position> {
    let load_angle_ddeg = keys.scaled("load_angle_deg", 10)?;
    if load_angle_ddeg >= 3600 {
        return Err(StoreError::input(
            "load_angle_deg",
            "goes from 0 up to, not including, 360",
        ));
    }
    Ok(Position {
        code: code(keys)?,
        stand: keys.named(logbook, "stand", "stand")?,
        role: one_of(keys, "role", &["W", "I", "K", "R"])?,
        level: one_of(keys, "level", &["T", "B"])?,
        side: one_of(keys, "side", &["O", "D"])?,
        is_fixed: keys.flag_or("fixed", false)?,
        load_angle_ddeg,
        is_rolling_bearing: keys.flag_or("rolling_bearing", true)?,
    })
}

fn chock_type(logbook: &Logbook, keys: &mut Keys) -> Result<ChockType> {
    let seats = match keys.take("seats") {
        Some(Value::Object(map)) if !map.is_empty() => map,
        Some(_) => {
            return Err(StoreError::input(
                "seats",
                "names what belongs in each: {\"main\":\"N4T-480/620-336\"}",
            ));
        }
        None => return Err(keys.missing("seats")),
    };
    let seat = |(name, bearing_type): (&String, &Value)| -> Result<Seat> {
        if !["main", "main2", "thrust"].contains(&name.as_str()) {
            return Err(StoreError::input(
                "seats",
                format!("{name:?} is none of main, main2, thrust"),
            ));
        }
        let code = as_text(bearing_type)
            .ok_or_else(|| StoreError::input("seats", "names a bearing type by its code"))?;
        let bearing_type: Ref = reference(logbook, "seats", "bearing_type", &code)?;
        Ok(Seat {
            name: name.clone(),
            bearing_type,
        })
    };
    let seats = seats.iter().map(seat).collect::<Result<_>>()?;
    let fits = match keys.take("fits") {
        Some(Value::Array(items)) if items.iter().all(Value::is_string) => {
            items.iter().filter_map(as_text).collect()
        }
        Some(_) => {
            return Err(StoreError::input(
                "fits",
                "is a list of places: [\"W-T-O\"]",
            ));
        }
        None => return Err(keys.missing("fits")),
    };
    Ok(ChockType {
        code: code(keys)?,
        seats,
        shim_place: one_of(keys, "shim_place", &["under_flange", "between"])?,
        bore_planes: bore_planes(keys)?,
        fits,
    })
}

/// In how many axial planes the bore is measured; three where nothing is said.
fn bore_planes(keys: &mut Keys) -> Result<i64> {
    match keys.take("bore_planes") {
        None => Ok(PLANES_USUAL as i64),
        Some(value) => value
            .as_i64()
            .filter(|planes| (2..=4).contains(planes))
            .ok_or_else(|| StoreError::input("bore_planes", "is 2, 3 or 4")),
    }
}

/// How the end of a value's name may be written for people, and how many of the record's units one of them is.
const ENDS: [(&str, &str, i64); 9] = [
    ("_nm", "_mm", 1_000_000),
    ("_s", "_hours", 3600),
    ("_mk", "_c", 1000),
    ("_kg", "_tonnes", 1000),
    ("_mg", "_g", 1000),
    ("_ddeg", "_deg", 10),
    ("_mnm", "_newton_m", 1_000),
    ("_n", "_newton", 1),
    ("_ppm", "", 1_000_000),
];

/// The meaning of a name, in the record's spelling or for people, and the factor to the record's unit.
fn type_value_named(name: &str) -> Option<(&'static TypeValueMeaning, i64)> {
    TYPE_VALUES.iter().find_map(|meaning| {
        if meaning.name == name {
            return Some((meaning, 1));
        }
        ENDS.iter().find_map(|(end, for_people, factor)| {
            let stem = meaning.name.strip_suffix(end)?;
            (name.strip_prefix(stem) == Some(*for_people)).then_some((meaning, *factor))
        })
    })
}

/// Only a tapered bearing has row pairs; of any other family one number holds for the whole.
fn type_values(keys: &mut Keys, has_pairs: bool) -> Result<Vec<TypeValue>> {
    let map = match keys.take("values") {
        Some(Value::Object(map)) => map,
        Some(_) => {
            return Err(StoreError::input(
                "values",
                "is a list of names with numbers: {\"bore_mm\":480}",
            ));
        }
        None => return Err(keys.missing("values")),
    };
    let mut values: Vec<TypeValue> = Vec::new();
    for (name, given) in &map {
        let at = format!("values.{name}");
        let Some((meaning, factor)) = type_value_named(name) else {
            let names: Vec<_> = TYPE_VALUES.iter().map(|m| m.name).collect();
            return Err(StoreError::input(
                at,
                format!(
                    "is no value of a bearing type; there are {}",
                    names.join(", ")
                ),
            ));
        };
        let (first, items) = match given {
            Value::Array(items) if meaning.per_pair && !items.is_empty() && items.len() <= 3 => {
                (1, items.as_slice())
            }
            Value::Array(_) => {
                return Err(StoreError::input(
                    at,
                    "is one number here, or one to three for row pairs",
                ));
            }
            one if meaning.per_pair && has_pairs => {
                let why = format!(
                    "{one} is one number; each row pair has its own: [0.600, 0.600, 0.600]"
                );
                return Err(StoreError::input(at, why));
            }
            one => (0, std::slice::from_ref(one)),
        };
        for (item, value) in (first..).zip(items) {
            let text = as_text(value).ok_or_else(|| StoreError::input(&at, "is a number"))?;
            // Sizes, angles and factors keep a decimal comma; of hours, tonnes, grams and counts there may be thousands.
            let fine = ["_nm", "_ddeg", "_ppm", "_mk"];
            let value = if fine.iter().any(|end| meaning.name.ends_with(end)) {
                entry::scaled(&text, factor)
            } else {
                entry::amount(&text, factor, false)
            };
            let value = in_key(&at, value)?;
            if values
                .iter()
                .any(|v| v.name == meaning.name && v.item == item)
            {
                return Err(StoreError::input(at, "stands twice in the line"));
            }
            values.push(TypeValue {
                name: meaning.name.into(),
                item,
                value,
            });
        }
    }
    Ok(values)
}

fn gauge(keys: &mut Keys) -> Result<Gauge> {
    let measures = one_of(
        keys,
        "measures",
        &[
            "bore",
            "neck",
            "gap",
            "width",
            "temperature",
            "torque",
            "other",
        ],
    )?;
    Ok(Gauge {
        code: code(keys)?,
        kind: keys.text("gauge_kind")?,
        range: keys.text_or("range", "")?,
        resolution: gauge_value(keys, "resolution", Some(&measures))?
            .ok_or_else(|| keys.missing("resolution_um"))?,
        expanded_uncertainty: gauge_value(keys, "expanded_uncertainty", Some(&measures))?,
        certificate: keys.text_or("certificate", "")?,
        due_ms: keys.time("due")?.ms,
        standard: keys.text_or("standard", "")?,
        measures,
    })
}

/// A value in the unit of a gauge: `_um` (nm in the record), `_k` (mK) or `_newton_m` (mN m); one of them.
pub(super) fn gauge_value(
    keys: &mut Keys,
    stem: &str,
    measures: Option<&str>,
) -> Result<Option<i64>> {
    let mut found = None;
    for (end, sorts) in [
        ("um", ["bore", "neck", "gap", "width", "other"].as_slice()),
        ("k", ["temperature", "other"].as_slice()),
        ("newton_m", ["torque", "other"].as_slice()),
    ] {
        let key = format!("{stem}_{end}");
        let Some(value) = keys.scaled_opt(&key, 1000)? else {
            continue;
        };
        if let Some(measures) = measures
            && !sorts.contains(&measures)
        {
            return Err(StoreError::input(
                key,
                format!("is not the unit of a gauge that measures {measures}"),
            ));
        }
        if found.replace(value).is_some() {
            return Err(StoreError::input(
                key,
                "stands twice in the line, in two units",
            ));
        }
    }
    Ok(found)
}

/// The error of a gauge, indication minus reference, in one of the units of [`gauge_value`]; it may be negative.
pub(super) fn gauge_error(keys: &mut Keys) -> Result<i64> {
    let mut found = None;
    for key in ["error_um", "error_k", "error_newton_m"] {
        let Some(text) = keys.text_opt(key)? else {
            continue;
        };
        let value = super::keys::in_key(key, crate::entry::scaled(&text, 1000))?;
        if found.replace(value).is_some() {
            return Err(StoreError::input(
                key,
                "stands twice in the line, in two units",
            ));
        }
    }
    found.ok_or_else(|| keys.missing("error_um"))
}
