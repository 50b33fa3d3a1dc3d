//! Opening a form: what stands in it before anything is typed.

use store::payload::{BearingType, Gauge, Record, TYPE_VALUES};
use store::query::BearingState;
use store::{Stamp, ThingNo};

use super::fields::{Of, SEATS, gauge_unit};
use super::form::{Act, Form, Subject};
use super::model::{Model, Opened};
use super::page::Page;
use super::type_values::path_of;
use super::unit::Unit;

/// A form for a new thing: only what is nearly always so stands in it.
pub fn new_form(page: Page, show: store::entry::Show) -> Form {
    let mut form = Form::new(Subject::New(page), show);
    match page {
        Page::Positions => form.put("rolling", "yes"),
        Page::People => form.put("active", "yes"),
        Page::BearingTypes => {
            form.put_number(&path_of("rework_factor_ppm", 0), Unit::Times, 2_000_000);
            form.put_number(&path_of("loaded_arc_ddeg", 0), Unit::Degree, 1500);
        }
        _ => {}
    }
    form
}

/// A form with the record of a thing as it stands.
pub fn edit_form(page: Page, opened: &Opened, show: store::entry::Show, now: Stamp) -> Form {
    let mut form = Form::new(Subject::Edit(page, opened.no), show);
    let cell = |index: usize| opened.cells.get(index).cloned().unwrap_or_default();
    let code_path = if page == Page::People { "name" } else { "code" };
    form.put(code_path, opened.record.code());
    match &opened.record {
        Record::Person(r) => {
            form.put("role", r.role.as_str());
            form.put("active", yes_no(r.is_active));
        }
        Record::Line(r) => form.put("name", r.name.as_str()),
        Record::Stand(r) => {
            form.put("line", cell(1));
            form.put("build", r.build.as_str());
        }
        Record::Position(r) => {
            form.put("stand", cell(1));
            form.put("role", r.role.as_str());
            form.put("level", r.level.as_str());
            form.put("side", r.side.as_str());
            form.put("fixed", yes_no(r.is_fixed));
            form.put_number("load", Unit::Clock, r.load_angle_ddeg);
            form.put("rolling", yes_no(r.is_rolling_bearing));
        }
        Record::Roll(r) => {
            form.put("line", cell(1));
            form.put("role", r.role.as_str());
        }
        Record::ChockType(r) => {
            for (seat, code) in seats(&cell(1)) {
                form.put(seat, code);
            }
            form.put("shims", r.shim_place.as_str());
            form.put("planes", r.bore_planes.to_string());
            form.put("fits", r.fits.join(" "));
        }
        Record::Chock(_) => form.put("type", cell(1)),
        Record::BearingType(r) => bearing_type(&mut form, r),
        Record::Bearing(r) => {
            form.put("type", cell(1));
            form.put_number("prior", Unit::Hours, r.prior_run_s);
            form.put("prior_note", r.prior_note.as_str());
        }
        Record::Gauge(r) => gauge(&mut form, r, now),
        Record::SealBatch(r) => form.put("name", r.name.as_str()),
        Record::Grease(r) => form.put("name", r.name.as_str()),
    }
    form
}

const fn yes_no(yes: bool) -> &'static str {
    if yes { "yes" } else { "no" }
}

/// The seats of a chock, and how a row begins each.
const SHOWN: [(&str, &str); 3] = [
    ("main", "main "),
    ("main2", "second main "),
    ("thrust", "thrust "),
];

/// The seats of a chock type as its row shows them: `main N2S-180/300-96, second main N2S-180/300-96`.
fn seats(cell: &str) -> Vec<(&'static str, String)> {
    let seat = |text: &str| {
        let mut names = SHOWN.into_iter();
        names.find_map(|(name, shown)| Some((name, text.strip_prefix(shown)?.trim().to_owned())))
    };
    cell.split(", ").filter_map(seat).collect()
}

fn bearing_type(form: &mut Form, r: &BearingType) {
    form.put("kind", r.kind.as_str());
    form.put("lubrication", r.lubrication.as_str());
    for value in &r.values {
        let Some(meaning) = TYPE_VALUES.iter().find(|m| m.name == value.name) else {
            continue;
        };
        let unit = Unit::of_name(meaning.name);
        if meaning.per_pair && value.item == 0 {
            // One value for all row pairs.
            for pair in 1..=3 {
                form.put_number(&path_of(meaning.name, pair), unit, value.value);
            }
        } else {
            form.put_number(&path_of(meaning.name, value.item), unit, value.value);
        }
    }
}

/// A gauge as it is now, with its newest calibration.
fn gauge(form: &mut Form, r: &Gauge, now: Stamp) {
    let unit = gauge_unit(&r.measures);
    form.put("kind", r.kind.as_str());
    form.put("measures", r.measures.as_str());
    form.put("range", r.range.as_str());
    form.put_number("resolution", unit, r.resolution);
    form.put("standard", r.standard.as_str());
    form.put("certificate", r.certificate.as_str());
    form.put("due", Stamp::second(r.due_ms, now.offset_min).date());
    if let Some(value) = r.expanded_uncertainty {
        form.put_number("uncertainty", unit, value);
    }
}

/// A form for something that happened; what the logbook knows for certain stands in it.
pub fn act_form(
    page: Page,
    act: Act,
    no: ThingNo,
    model: &Model,
    show: store::entry::Show,
) -> Form {
    let mut form = Form::new(Subject::Act(page, act, no), show);
    match act {
        Act::PutIn => form.put("seat", "main"),
        Act::FoundHere if page == Page::Bearings => form.put("seat", "main"),
        Act::Campaign => campaign(&mut form, no, model),
        _ => {}
    }
    form
}

/// What can be filled in only once the record of the thing is here: the limits that a seat is judged by, and in how many
/// planes it is measured.
pub fn fill_late(form: &mut Form, model: &Model) {
    let Subject::Act(_, Act::SeatChecked, no) = form.subject else {
        return;
    };
    let opened = model.opened.as_ref().filter(|opened| opened.no == no);
    if let Some(planes) = opened.and_then(|opened| opened.bore_planes) {
        form.planes = planes;
    }
    if let Some(code) = opened.and_then(|opened| opened.judged_by.as_ref())
        && form.text("type").is_empty()
        && form.text_before("type").is_empty()
    {
        form.put("type", code.as_str());
    }
}

/// A form for a find after another act was refused: the places and the time that were typed go along, in words of the find.
pub fn find_form(refused: &Form, model: &Model) -> Form {
    let (page, no) = match refused.subject {
        Subject::Act(page, _, no) | Subject::Edit(page, no) => (page, no),
        Subject::New(_) => return refused.clone(),
    };
    let mut form = act_form(page, Act::FoundHere, no, model, refused.show);
    let fields = super::fields::fields(form.subject, Of::default());
    // How it is known is another thing than why something was done.
    for field in fields.iter().filter(|field| field.path != "reason") {
        let text = refused.text(field.path);
        if !text.is_empty() {
            form.set(field.path, text.to_owned());
        }
    }
    form
}

/// The roll, or the roll of the chock, with its chocks and their places as they are in the mill.
fn campaign(form: &mut Form, no: ThingNo, model: &Model) {
    form.put("estimate", "no");
    let chock = model.chocks.iter().find(|c| c.no == no);
    let roll = match chock {
        Some(chock) if chock.place == "mill" => chock.roll.as_str(),
        Some(_) => return,
        None => match model.of("roll").find(|roll| roll.no == no) {
            Some(roll) => roll.code.as_str(),
            None => return,
        },
    };
    form.put("roll", roll);
    for chock in model
        .chocks
        .iter()
        .filter(|c| c.place == "mill" && c.roll == roll)
    {
        let side = if chock.place_note.ends_with("-O") {
            "o"
        } else {
            "d"
        };
        form.put(&format!("chock_{side}"), chock.code.as_str());
        form.put(&format!("position_{side}"), chock.place_note.as_str());
    }
}

/// Where a thing is and what it is in, in a sentence; empty where that is not told.
pub fn state_words(page: Page, no: ThingNo, model: &Model) -> String {
    match page {
        Page::Bearings => {
            let Some(line) = model.bearings.iter().find(|b| b.no == no) else {
                return String::new();
            };
            match (&line.chock, line.state) {
                (Some((_, chock)), BearingState::InMill) => {
                    format!("In {chock}, in the mill at {}.", line.place)
                }
                (Some((_, chock)), _) => format!("In {chock}, not in the mill."),
                (None, BearingState::Unknown) => "Where it is was never entered.".into(),
                (None, state) => format!("It is {}.", state.words()),
            }
        }
        Page::Chocks => {
            let Some(line) = model.chocks.iter().find(|c| c.no == no) else {
                return String::new();
            };
            let held = line
                .bearings
                .iter()
                .map(|(_, serial, seat)| format!("{serial} in its {} seat", seat_word(seat)));
            let held: Vec<_> = held.collect();
            let held = if held.is_empty() {
                "no bearing".into()
            } else {
                held.join(", ")
            };
            match line.place.as_str() {
                "mill" => format!(
                    "In the mill at {} on roll {}, with {held}.",
                    line.place_note, line.roll
                ),
                "away" => format!("Away at {}.", line.place_note),
                "scrapped" => "Scrapped.".into(),
                "unknown" => format!(
                    "Where it is is not known, with {held}: something else was found in its place."
                ),
                _ => format!("In the shop, with {held}."),
            }
        }
        _ => model
            .opened
            .as_ref()
            .map_or_else(String::new, |o| o.standing.join(" ")),
    }
}

fn seat_word(seat: &str) -> &str {
    let found = SEATS.iter().find(|(value, _)| *value == seat);
    found.map_or(seat, |(_, word)| word)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_seats_of_a_chock_type_are_read_from_its_row() {
        let found = seats("main N4C-760/1080-790, thrust N2X-600/800-140");
        assert_eq!(
            found,
            [
                ("main", "N4C-760/1080-790".into()),
                ("thrust", "N2X-600/800-140".into())
            ]
        );
        let abreast = seats("main N2S-180/300-96, second main N2S-180/300-96");
        assert_eq!(abreast[1], ("main2", "N2S-180/300-96".into()));
        assert_eq!(seats(""), []);
    }
}
