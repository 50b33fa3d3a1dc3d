//! The register of the plant: everything that has a number, with the people who sign.

use std::collections::BTreeMap;

use store::payload::{
    Bearing, BearingType, Chock, ChockType, Gauge, GaugeCalibrated, Grease, Line, Payload,
    Position, Record, RegisterChange, Role, Roll, SealBatch, Seat, Stand, TypeValue,
};
use store::time::HOUR_MS;
use store::{Logbook, NewEvent, Ref, Signer, Stamp};

use crate::DemoError;
use crate::data::{Data, Value, expand};
use crate::plan::{OFFSET_MIN, stamp};

/// Names of things: `bearing TH-4T-031` to the event that registered it.
pub(crate) type Names = BTreeMap<String, Ref>;

/// A thing of the register by kind and code.
pub(crate) fn name(names: &Names, entity: &str, code: &str) -> Result<Ref, DemoError> {
    let key = format!("{entity} {code}");
    names.get(&key).cloned().ok_or_else(|| DemoError::Plan {
        why: format!("{key} is not in the register"),
    })
}

/// Registers the people and lets them sign in.
pub(crate) fn people(
    logbook: &mut Logbook,
    data: &Data,
    at: Stamp,
    names: &mut Names,
) -> Result<BTreeMap<String, Signer>, DemoError> {
    let own = logbook.current_origin()?;
    let mut signers: BTreeMap<String, Signer> = BTreeMap::new();
    let engineer = |signers: &BTreeMap<String, Signer>| {
        signers.values().find(|s| s.role == Role::Engineer).cloned()
    };
    for person in &data.people {
        let role = Role::parse(&person.role).ok_or_else(|| DemoError::Data {
            file: "people.toml",
            why: format!("no role {}", person.role),
        })?;
        let signed = logbook.register_person(
            engineer(&signers).as_ref(),
            Some(at),
            &person.name,
            role,
            &person.pin,
        )?;
        names.insert(format!("person {}", person.name), Ref::new(signed.id, own));
        signers.insert(
            person.name.clone(),
            logbook.sign_in(&person.name, &person.pin)?,
        );
    }
    Ok(signers)
}

/// Registers everything else. `prior` = mill time of a bearing before the logbook, s, and where that comes from.
pub(crate) fn things(
    logbook: &mut Logbook,
    data: &Data,
    at: Stamp,
    engineer: &Signer,
    prior: &BTreeMap<String, (i64, String)>,
    names: &mut Names,
) -> Result<(), DemoError> {
    let plant = &data.plant;
    let mut add = |names: &mut Names, records: Vec<Record>| -> Result<(), DemoError> {
        let own = logbook.current_origin()?;
        let keys: Vec<String> = records
            .iter()
            .map(|r| format!("{} {}", r.entity(), r.code()))
            .collect();
        let change = |record| NewEvent {
            at,
            payload: Payload::RegisterChange(RegisterChange {
                thing: None,
                record,
                reason: String::new(),
            }),
        };
        let events: Vec<NewEvent> = records.into_iter().map(change).collect();
        let signed = logbook.append_at(Some(engineer), &events, Some(at))?;
        names.extend(
            keys.into_iter()
                .zip(signed)
                .map(|(key, signed)| (key, Ref::new(signed.id, own))),
        );
        Ok(())
    };
    let lines = plant.line.iter().map(|l| {
        Record::Line(Line {
            code: l.code.clone(),
            name: l.name.clone(),
        })
    });
    add(names, lines.collect())?;
    let mut records = Vec::new();
    for s in &plant.stand {
        let line = name(names, "line", &s.line)?;
        records.push(Record::Stand(Stand {
            code: s.code.clone(),
            line,
            build: s.build.clone(),
        }));
    }
    for rolls in &plant.rolls {
        let line = name(names, "line", &rolls.line)?;
        let roll = |code| {
            Record::Roll(Roll {
                code,
                line: line.clone(),
                role: rolls.role.clone(),
            })
        };
        records.extend(expand(&rolls.codes).into_iter().map(roll));
    }
    records.extend(data.types.iter().map(bearing_type));
    add(names, records)?;
    add(names, positions(data, names)?)?;
    let mut records = Vec::new();
    for group in &plant.chocks {
        let mut seats = Vec::new();
        for (seat, kind) in &group.seats {
            seats.push(Seat {
                name: seat.clone(),
                bearing_type: name(names, "bearing_type", kind)?,
            });
        }
        records.push(Record::ChockType(ChockType {
            code: group.code.clone(),
            seats,
            shim_place: "under_flange".into(),
            bore_planes: group.planes as i64,
            fits: group.fits.clone(),
        }));
    }
    add(names, records)?;
    let mut records = Vec::new();
    for group in &plant.chocks {
        let chock_type = name(names, "chock_type", &group.code)?;
        let chock = |code| {
            Record::Chock(Chock {
                code,
                chock_type: chock_type.clone(),
            })
        };
        records.extend(expand(&group.codes).into_iter().map(chock));
    }
    for group in &plant.bearings {
        let bearing_type = name(names, "bearing_type", &group.kind)?;
        for serial in expand(&group.serials) {
            let (prior_run_s, prior_note) = prior.get(&serial).cloned().unwrap_or_default();
            let bearing_type = bearing_type.clone();
            records.push(Record::Bearing(Bearing {
                serial,
                bearing_type,
                prior_run_s,
                prior_note,
            }));
        }
    }
    for gauge in &data.gauges {
        let (certificate, due_ms) = calibrations(gauge, at.ms)?
            .first()
            .map(certificate_of)
            .unwrap_or_default();
        records.push(Record::Gauge(Gauge {
            code: gauge.code.clone(),
            kind: gauge.kind.clone(),
            measures: gauge.measures.clone(),
            range: gauge.range.clone(),
            resolution: gauge.resolution,
            expanded_uncertainty: gauge.u,
            certificate,
            due_ms,
            standard: gauge.standard.clone(),
        }));
    }
    let batches = plant.seal_batches.iter();
    records.extend(batches.map(|b| {
        Record::SealBatch(SealBatch {
            code: b.code.clone(),
            name: b.name.clone(),
        })
    }));
    let greases = plant.greases.iter();
    records.extend(greases.map(|g| {
        Record::Grease(Grease {
            code: g.code.clone(),
            name: g.name.clone(),
        })
    }));
    add(names, records)
}

fn bearing_type(kind: &crate::data::Kind) -> Record {
    let mut values = Vec::new();
    for (name, value) in &kind.values {
        let mut add = |item, value| {
            values.push(TypeValue {
                name: name.clone(),
                item,
                value,
            });
        };
        match value {
            Value::Whole(value) => add(0, *value),
            Value::Pairs(pairs) => (1..).zip(pairs).for_each(|(item, value)| add(item, *value)),
        }
    }
    let (code, lubrication) = (kind.code.clone(), kind.lubrication.clone());
    Record::BearingType(BearingType {
        code,
        kind: kind.family.clone(),
        values,
        lubrication,
    })
}

fn positions(data: &Data, names: &Names) -> Result<Vec<Record>, DemoError> {
    let mut records = Vec::new();
    for s in &data.plant.stand {
        let stand = name(names, "stand", &s.code)?;
        for role in &s.roles {
            for level in ["T", "B"] {
                for side in ["O", "D"] {
                    let load_angle_ddeg = data
                        .plant
                        .load_angle
                        .get(&format!("{role}-{level}"))
                        .copied()
                        .unwrap_or(0);
                    records.push(Record::Position(Position {
                        code: format!("{}-{role}-{level}-{side}", s.code),
                        stand: stand.clone(),
                        role: role.clone(),
                        level: level.into(),
                        side: side.into(),
                        is_fixed: s.fixed == side,
                        load_angle_ddeg,
                        is_rolling_bearing: true,
                    }));
                }
            }
        }
    }
    Ok(records)
}

/// A calibration: the day, and until when it holds.
pub(crate) struct Calibration {
    pub(crate) at: Stamp,
    pub(crate) due_ms: i64,
    certificate: String,
}

fn certificate_of(c: &Calibration) -> (String, i64) {
    (c.certificate.clone(), c.due_ms)
}

/// The calibrations of a gauge, oldest first: the last one before `since_ms`, and all after it.
pub(crate) fn calibrations(
    gauge: &crate::data::Gauge,
    since_ms: i64,
) -> Result<Vec<Calibration>, DemoError> {
    let mut days = vec![gauge.last.clone()];
    let mut day = match &gauge.previous {
        Some(previous) => previous.clone(),
        None => months_later(&gauge.last, -gauge.months),
    };
    loop {
        let at = stamp(&format!("{day}T07:00"))?;
        days.push(day.clone());
        if at.ms < since_ms {
            break;
        }
        day = months_later(&day, -gauge.months);
    }
    days.reverse();
    let calibration = |day: &String| {
        let at = stamp(&format!("{day}T07:00"))?;
        // It holds to the end of the day it is due.
        let due = stamp(&format!("{}T00:00", months_later(day, gauge.months)))?;
        let certificate = format!("CAL-{}-{}", gauge.code, &day[..7]);
        Ok(Calibration {
            at,
            due_ms: due.ms + 24 * HOUR_MS - 1,
            certificate,
        })
    };
    days.iter().map(calibration).collect()
}

/// A day of the data files, so many months later or earlier; no day of them is past the 28th but where it stays.
fn months_later(day: &str, months: i64) -> String {
    let number = |range: std::ops::Range<usize>| {
        day.get(range)
            .and_then(|t| t.parse::<i64>().ok())
            .unwrap_or(1)
    };
    let count = number(0..4) * 12 + number(5..7) - 1 + months;
    format!(
        "{:04}-{:02}-{:02}",
        count.div_euclid(12),
        count.rem_euclid(12) + 1,
        number(8..10)
    )
}

/// The event of a calibration.
pub(crate) fn calibrated(
    gauge: &crate::data::Gauge,
    c: &Calibration,
    names: &Names,
) -> Result<NewEvent, DemoError> {
    let payload = Payload::GaugeCalibrated(GaugeCalibrated {
        gauge: name(names, "gauge", &gauge.code)?,
        certificate: c.certificate.clone(),
        due_ms: c.due_ms,
        expanded_uncertainty: gauge.u.unwrap_or(0),
    });
    Ok(NewEvent { at: c.at, payload })
}

/// A time of the plant in ms as a point of its clock.
pub(crate) fn at_ms(ms: i64) -> Stamp {
    Stamp::second(ms, OFFSET_MIN)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_gauges_stand_where_the_stories_need_them() {
        let data = Data::read().unwrap();
        let clock = stamp("2026-10-30T10:00").unwrap().ms;
        let day_ms = 24 * HOUR_MS;
        let mut valid = 0;
        for gauge in &data.gauges {
            let all = calibrations(gauge, stamp("2024-01-01").unwrap().ms).unwrap();
            let due = all.last().unwrap().due_ms;
            match gauge.code.as_str() {
                "HG-02" => assert_eq!((due - clock) / day_ms, 9),
                "FG-05" => assert_eq!((clock - due) / day_ms, 2, "three days by the calendar"),
                _ => {
                    assert!(due > clock + 14 * day_ms, "{}", gauge.code);
                    valid += 1;
                }
            }
            assert!(
                all[0].at.ms < stamp("2024-01-01").unwrap().ms,
                "{} was registered valid",
                gauge.code
            );
        }
        assert_eq!(valid, 20);
        let om_07 = data.gauges.iter().find(|g| g.code == "OM-07").unwrap();
        let dues: Vec<String> = calibrations(om_07, stamp("2024-10-01").unwrap().ms)
            .unwrap()
            .iter()
            .map(|c| at_ms(c.due_ms).date())
            .collect();
        assert_eq!(dues, ["2025-09-15", "2026-11-21"]);
    }
}
