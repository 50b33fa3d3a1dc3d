//! The state of a bearing in a line, and the one number of its page.

use std::cmp::Ordering;

use draw::Token;
use store::entry::Show;
use store::query::{Amended, BearingPage, BearingState, JournalLine, PairNow, zone_numeral};

use super::forecast::{self, Worked};
use super::register::where_words;
use super::since::Since;
use crate::drawings::{clearance_word, rows_name};
use crate::ui::text::Face;

/// The row pair nearest to its limit, from 0; none without a reading.
pub fn leading(pairs: &[PairNow; 3]) -> Option<usize> {
    let share = |pair: &PairNow| {
        let now = pair.now_nm? as f64;
        let limit = pair.limit_nm.or(pair.as_set_nm).filter(|nm| *nm > 0)?;
        Some(now / limit as f64)
    };
    let shares = pairs
        .iter()
        .enumerate()
        .filter_map(|(i, pair)| Some((i, share(pair)?)));
    let leading = shares.max_by(|(i, a), (k, b)| a.total_cmp(b).then(k.cmp(i)));
    leading
        .map(|(i, _)| i)
        .or_else(|| pairs.iter().position(|p| p.now_nm.is_some()))
}

/// Times as set, two decimals.
pub fn times(pair: &PairNow, show: Show) -> Option<String> {
    pair.times
        .map(|times| show.decimals((times * 100.0).round() as i64, 100, 2))
}

/// The one number of the page, and what it means: the hours until a limit is reached where the wear says so, else the
/// clearance of the row pair nearest to its limit. While that is worked out it takes the same room.
pub fn number(page: &BearingPage, wear: &Worked<'_>, show: Show) -> (String, String) {
    let (now, words) = clearance(page, show);
    match wear {
        Worked::Underway if page.growth.len() > 1 => {
            let words = format!("{words} \u{b7} when it reaches its limit is being worked out");
            (now, words)
        }
        Worked::Out(wear) => match forecast::until_limit(wear, page, show) {
            Some((hours, until)) => (hours, format!("{until} \u{b7} now {now}, {words}")),
            None => (now, words),
        },
        _ => (now, words),
    }
}

/// The clearance of the row pair nearest to its limit.
fn clearance(page: &BearingPage, show: Show) -> (String, String) {
    let Some(index) = leading(&page.pairs) else {
        let word = clearance_word(&page.bearing_type.kind);
        let words = format!("Its {word} will stand here after the first teardown.");
        return ("No reading yet".into(), words);
    };
    let pair = &page.pairs[index];
    let now = pair.now_nm.unwrap_or(0);
    let mut words = vec![rows_name(&page.bearing_type.kind, index + 1, show)];
    words.extend(times(pair, show).map(|times| format!("{times} times as set")));
    words.push(match pair.limit_nm {
        None => "no limit in the register".into(),
        Some(limit) => against(now, limit, show),
    });
    let mut words = vec![words.join(", ")];
    words.extend(page.sheets.last().map(|sheet| {
        let (day, off) = (sheet.event.at.date(), off(&sheet.position));
        format!("teardown {} of {day}{off}", page.sheets.len())
    }));
    // The last sheet may have left the clearance out: then the number is older than it.
    let read = page.growth.iter().rfind(|p| p.pair == index + 1);
    let last = page.sheets.last().map(|sheet| sheet.event.at.ms);
    if let Some(read) = read.filter(|p| last.is_some_and(|last| p.at.ms < last)) {
        words.insert(1, format!("read {}", read.at.date()));
    }
    (show.length_unit(now), words.join(" \u{b7} "))
}

/// How a value stands to its limit, in words: the difference of the two as they are shown.
fn against(now: i64, limit: i64, show: Show) -> String {
    let apart = show.length((show.rounded(now) - show.rounded(limit)).abs());
    let limit_words = show.length(limit);
    match now.cmp(&limit) {
        Ordering::Equal => format!("at the limit of {limit_words}"),
        Ordering::Greater => format!("{apart} over the limit of {limit_words}"),
        Ordering::Less => format!("{apart} under the limit of {limit_words}"),
    }
}

/// When and why a bearing was scrapped: its own code need not be said on its page.
fn end_words(line: &JournalLine) -> String {
    let why = line.pieces.get(1).map_or("", |why| why.text.as_str());
    format!("{}: {why}", line.at.date())
}

fn off(position: &str) -> String {
    if position.is_empty() {
        String::new()
    } else {
        format!(", off {position}")
    }
}

/// The state in pieces, after the badge; what weighs least comes last, where a narrow window cuts it.
pub fn state(page: &BearingPage, show: Show) -> Vec<(Face, String)> {
    let line = &page.line;
    let mut all = Vec::new();
    if let Some(why) = &line.held {
        all.push((Face::STRONG.token(Token::Doubt), format!("on hold: {why}")));
    }
    let since = Since::of_bearing(line);
    all.extend(since.and_then(|since| since.told(show)));
    let mut ends = page.journal.iter().filter(|l| l.kind == "scrapped");
    let end = ends.find(|l| l.amended != Amended::Withdrawn);
    all.push((
        Face::BODY,
        match end.filter(|_| line.state == BearingState::Scrapped) {
            Some(end) => format!("{} {}", where_words(line), end_words(end)),
            None => where_words(line),
        },
    ));
    if let Some(since) = since {
        all.push((Face::BODY, format!("{} h since put in", since.hours(show))));
    }
    if line.zone > 0 {
        all.push((Face::BODY, format!("zone {} up", zone_numeral(line.zone))));
    }
    let is_watched = page
        .pairs
        .iter()
        .filter_map(|p| Some((p.now_nm?, p.watch_nm?)))
        .filter(|(now, watch)| now >= watch)
        .map(|(_, watch)| watch)
        .min();
    if let Some(watch) = is_watched {
        all.push((
            Face::BODY,
            format!("over the watch level {}", show.length(watch)),
        ));
    }
    all.push((
        Face::BODY,
        format!("{} h in all", show.hours(line.total_run_s)),
    ));
    if page.revision > 1 {
        all.push((Face::BODY, format!("revision {}", page.revision)));
    }
    all
}
