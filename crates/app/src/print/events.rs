//! What happened to the bearing, oldest first, a line an event.

use report::{EventLine, Piece, Tone};
use store::entry::Show;
use store::query::{self, BearingPage, JournalLine, SheetDetail, decided_words, zone_numeral};

use super::facts::{clearance_found, is_own, pair_results};
use super::three;
use crate::drawings::clearance_word;

/// Every event of the bearing but its campaigns, whose hours are in the stays.
pub(super) fn events(page: &BearingPage, show: Show) -> Vec<EventLine> {
    page.journal
        .iter()
        .rev()
        .map(|line| event(page, line, show))
        .collect()
}

fn event(page: &BearingPage, line: &JournalLine, show: Show) -> EventLine {
    let mut event = head(line);
    let number = page.sheets.iter().position(|s| s.event.no == line.no);
    let sheet = number.map(|i| &page.sheets[i]);
    match sheet.filter(|s| s.teardown.is_some()) {
        Some(sheet) if !event.amended => teardown(&mut event, page, sheet, show),
        _ => {
            event.found = words(line);
            let told = number.map(|i| Piece::muted(format!("  sheet {}", i + 1)));
            event.found.extend(told);
            if let Some(sheet) = sheet {
                event.place.clone_from(&sheet.position);
                if sheet.teardown.is_some() {
                    event.hours = format!("{} h", show.hours(sheet.stay_run_s));
                }
            }
        }
    }
    // Who signed, and the name of the record.
    event.signer = [event.signer.as_str(), &line.id].join(" \u{b7} ");
    conflict(&mut event, line);
    event
}

/// An event in the words of the log, with its record.
pub(super) fn plain(line: &JournalLine) -> EventLine {
    let mut event = EventLine {
        found: words(line),
        place: line.id.clone(),
        ..head(line)
    };
    conflict(&mut event, line);
    event
}

fn head(line: &JournalLine) -> EventLine {
    EventLine {
        date: line.at.date(),
        signer: line.signer.clone(),
        late: line.is_late,
        entered: if line.is_late {
            line.entered.date()
        } else {
            String::new()
        },
        amended: line.amended != query::Amended::No,
        ..EventLine::default()
    }
}

fn words(line: &JournalLine) -> Vec<Piece> {
    let mut words = vec![Piece::bold(&line.title)];
    for piece in &line.pieces {
        words.push(Piece::plain("  "));
        words.push(Piece {
            text: piece.text.clone(),
            tone: tone(piece.tone),
        });
    }
    words
}

fn conflict(event: &mut EventLine, line: &JournalLine) {
    if !line.conflict.is_empty() {
        let words = format!("  does not fit: {}", line.conflict);
        event.found.push(Piece::bold(words));
    }
}

fn tone(tone: query::Tone) -> Tone {
    match tone {
        query::Tone::Plain => Tone::Plain,
        query::Tone::Strong => Tone::Bold,
        query::Tone::Muted => Tone::Muted,
        query::Tone::Struck => Tone::Struck,
    }
}

fn teardown(event: &mut EventLine, page: &BearingPage, sheet: &SheetDetail, show: Show) {
    let Some(signed) = &sheet.teardown else {
        return;
    };
    let number = page
        .sheets
        .iter()
        .position(|s| s.event.no == sheet.event.no)
        .map_or(0, |i| i + 1);
    let place = if sheet.position.is_empty() {
        &sheet.chock
    } else {
        &sheet.position
    };
    event.place.clone_from(place);
    event.hours = format!("{} h", show.hours(sheet.stay_run_s));
    let is_own = is_own(page, sheet);
    event.found = vec![Piece::plain(if is_own {
        format!("Teardown out of {}, sheet {number}", sheet.chock)
    } else {
        format!(
            "Teardown of {}, which ran over it, out of {}, sheet {number}",
            sheet.bearing, sheet.chock
        )
    })];
    if let Some(found) = clearance_found(sheet, show) {
        let word = clearance_word(&page.bearing_type.kind);
        event.found.push(Piece::plain(format!(": {word} ")));
        event.found.push(Piece::bold(found));
    }
    if let Some(note) = sheet.entry("identify.note") {
        event.found.push(Piece::plain(format!("; {note}")));
    }
    for suspect in &sheet.suspects {
        let words = format!("; suspect gauge {}, record {}", suspect.code, suspect.fault);
        event.found.push(Piece::bold(words));
    }
    let decided = decided_words(&signed.decision.decided);
    let mut done = vec![if is_own {
        decided
    } else {
        format!("{}: {}", sheet.bearing, decided.to_lowercase())
    }];
    if let Some(left) = three(pair_results(sheet, "end_play_after_nm"), show) {
        done.push(format!("reground to {left} {}", show.unit.sign()));
    }
    if let Some(again) = &signed.reassembly {
        done.extend((again.zone > 0).then(|| format!("zone {} up", zone_numeral(again.zone))));
        if !sheet.back_into.is_empty() && sheet.back_into != sheet.chock {
            done.push(format!("into {}", sheet.back_into));
        }
    }
    event.done = done.join("; ");
    if !sheet.ordered_by.is_empty() && sheet.ordered_by != sheet.signer {
        event.signer = format!("{}, {}", sheet.signer, sheet.ordered_by);
    }
}
