//! Lists of a payload that were left empty when it was signed, as a certificate that comes later leaves them: their
//! places have names though nothing stands there. And the chocks of an incident, which are one place together.

use rusqlite::{Connection, OptionalExtension};
use serde_json::Value;

use super::{Change, Known, Place, label, label_in, told};
use crate::append::event_id;
use crate::entry::Show;
use crate::error::{Result, StoreError};
use crate::event::Event;
use crate::id::Ref;
use crate::sheet::{Family, thing_by_code};
use crate::state;

/// The list of things that an event names side by side.
const CHOCKS: &str = "chocks";
/// Lists of lengths that may be empty.
const LENGTHS: [&str; 3] = ["as_set_nm", "spacer_nm", "width_nm"];

/// True for the place of such a list.
pub(super) fn is_of(payload: &Value, path: &str) -> bool {
    match path.strip_prefix('/').map(|path| path.split_once('/')) {
        Some(None) => path == "/chocks" && payload[CHOCKS].is_array(),
        Some(Some((list, _))) => LENGTHS.contains(&list) && is_empty(&payload[list]),
        None => false,
    }
}

fn is_empty(list: &Value) -> bool {
    list.as_array().is_some_and(Vec::is_empty)
}

/// The places of the lists of an event that nothing else tells.
pub(super) fn unsaid(
    conn: &Connection,
    event: &Event,
    payload: &Value,
    show: Show,
) -> Result<Vec<Place>> {
    let mut all = Vec::new();
    let names = show.rows.four();
    for list in LENGTHS.into_iter().filter(|list| is_empty(&payload[*list])) {
        let places = places_of(conn, event, payload, list)?;
        // Each is called as in a full list.
        let full = serde_json::json!({ list: vec![0; places] });
        for item in 0..places {
            let path = format!("/{list}/{item}");
            all.push(Place {
                label: names.told(&label_in(&path, &full)),
                text: String::new(),
                written: None,
                unit: told::of(conn, event, &path, payload)?.sign(show),
                is_fixed: false,
                path,
            });
        }
    }
    if let Some(chocks) = payload[CHOCKS].as_array() {
        all.push(Place {
            path: format!("/{CHOCKS}"),
            label: "chocks that were there".to_owned(),
            text: codes(conn, event, chocks)?,
            written: None,
            unit: String::new(),
            is_fixed: false,
        });
    }
    Ok(all)
}

/// How many values a list takes: of a tapered bearing one for every row pair, of any other one, and no spacers.
fn places_of(conn: &Connection, event: &Event, payload: &Value, list: &str) -> Result<usize> {
    if list == "width_nm" {
        return Ok(3);
    }
    let name = payload.get("bearing").or_else(|| payload.get("thing"));
    let Some(Ok(name)) = name.map(|name| serde_json::from_value::<Ref>(name.clone())) else {
        return Ok(0);
    };
    let no = state::find(conn, &name, event.id.origin)?;
    let sql =
        "SELECT t.kind FROM bearing b JOIN bearing_type t ON t.no = b.bearing_type WHERE b.no = ?1";
    let kind: Option<String> = conn
        .prepare_cached(sql)?
        .query_row([no.0], |row| row.get(0))
        .optional()?;
    let family = kind.as_deref().and_then(Family::of);
    Ok(match (family, list) {
        (Some(Family::Tapered), _) => 3,
        (Some(_), "as_set_nm") => 1,
        _ => 0,
    })
}

/// The codes of the things that stand in a list.
fn codes(conn: &Connection, event: &Event, list: &[Value]) -> Result<String> {
    let mut all = Vec::new();
    for name in list {
        let name: Ref = serde_json::from_value(name.clone())
            .map_err(|e| StoreError::input(CHOCKS, e.to_string()))?;
        let no = state::find(conn, &name, event.id.origin)?;
        all.push(crate::query::code_of(conn, no)?);
    }
    Ok(all.join(" "))
}

/// What becomes of the lists by what was typed at their places.
pub(super) fn changes(known: &Known<'_>, edits: &[(String, String)]) -> Result<Vec<Change>> {
    let mut all = Vec::new();
    for list in LENGTHS {
        let start = format!("/{list}/");
        let mut typed: Vec<(usize, &str)> = Vec::new();
        for (path, text) in edits {
            let item = path.strip_prefix(&start).and_then(|item| item.parse().ok());
            typed.extend(item.zip(Some(text.trim()).filter(|text| !text.is_empty())));
        }
        typed.sort_unstable();
        let mut values = Vec::new();
        for (item, text) in typed {
            let path = format!("{start}{item}");
            if item != values.len() {
                let why = "the values before this one are missing";
                return Err(StoreError::input(label(&path), why));
            }
            values.push(known.meant(&path, &Value::Null, text)?);
        }
        if !values.is_empty() {
            let old = &known.json[list];
            all.extend(known.change(&format!("/{list}"), old, Value::Array(values)));
        }
    }
    let named = edits.iter().find(|(path, _)| path == "/chocks");
    if let Some((path, text)) = named {
        let old = &known.json[CHOCKS];
        all.extend(known.change(path, old, chocks(known, old, text)?));
    }
    Ok(all)
}

/// The chocks of a text with their codes; one that stands there already is named as it stands.
fn chocks(known: &Known<'_>, old: &Value, text: &str) -> Result<Value> {
    let (conn, event) = (known.words.conn, known.words.event);
    let mut all = Vec::new();
    for code in text.split([' ', ',', ';']).filter(|code| !code.is_empty()) {
        let Some((no, _)) = thing_by_code(conn, "chock", code)? else {
            let why = format!("{code:?} is not in the register");
            return Err(StoreError::input("chocks that were there", why));
        };
        let mut stands = None;
        for name in old.as_array().into_iter().flatten() {
            let known: Option<Ref> = serde_json::from_value(name.clone()).ok();
            let is_it = known.map(|known| state::find(conn, &known, event.id.origin));
            if is_it.transpose()? == Some(no) {
                stands = Some(name.clone());
            }
        }
        let name = Ref::new(event_id(conn, no)?, event.id.origin);
        let own = serde_json::to_value(name);
        all.push(match stands {
            Some(name) => name,
            None => own.map_err(|e| StoreError::input(CHOCKS, e.to_string()))?,
        });
    }
    Ok(Value::Array(all))
}
