//! The finding of the page, in words: the place that wears its bearings faster than its peers, by how much, how sure, and
//! whether the mill has mended it since.

use calc::wear::{Contrast, MeanRate, chance_words, mean_rate};
use draw::tokens::space;
use egui::Ui;
use store::Stamp;
use store::entry::Show;

use super::StandsModel;
use super::growth::rate;
use super::known::{Known, Stay};
use crate::print::counted;
use crate::ui::text::{self, Face};
use crate::ui::widgets;

/// Places and row pairs that stand out, the row pairs first: they say more.
pub(super) fn loud(model: &StandsModel) -> Vec<&Contrast> {
    let all = model.wear().into_iter().flat_map(|w| &w.review.contrasts);
    let mut loud: Vec<&Contrast> = all.filter(|c| c.is_alarm()).collect();
    loud.sort_by_key(|c| c.row_pair.is_none());
    loud
}

/// Times as fast as the others, and between what: by the fit to all readings, all places counted.
pub(super) fn times_of(contrast: &Contrast, show: Show) -> Option<String> {
    let ratio = contrast.ratio?;
    // The interval is that of the difference; the others, by which it is divided, are many and well known.
    let of = |effect: f64| 1.0 + (ratio - 1.0) * effect / contrast.effect;
    let (low, high) = contrast.interval;
    Some(format!(
        "{} times ({} to {})",
        tenths(ratio, show),
        tenths(of(low).max(0.0), show),
        tenths(of(high), show)
    ))
}

fn tenths(value: f64, show: Show) -> String {
    show.decimals((value * 10.0).round() as i64, 10, 1)
}

/// What was measured at the place that stands out most.
#[derive(Debug, PartialEq)]
pub(super) struct Finding {
    /// Code of the place.
    pub(super) place: String,
    /// "3.1 times", the one number of the page.
    pub(super) times: String,
    /// "the growth of its peers: rows 1–2 at F4-W-B-O (2.7 to 3.5, 95 in 100)."
    pub(super) what: String,
    /// Where that is, the values, and who shows it.
    pub(super) told: String,
    /// What the fit to all readings says of the same place.
    pub(super) fitted: String,
}

/// The place that stands out most, as measured in the last twelve months; none where none stands out, or where nothing was
/// measured there so lately.
pub(super) fn finding(model: &StandsModel, now: Stamp, show: Show) -> Option<Finding> {
    let loud = loud(model);
    let first = loud.first()?;
    let known = Known::of(model, &first.stand, now.ms)?;
    let pair = first.row_pair.map(|_| known.pair);
    let rate_of = |stay: &Stay<'_>| grown(stay, pair);
    let is_loud = |stay: &Stay<'_>| loud.iter().any(|c| c.stand == stay.last.position);
    let peers = mean(
        known
            .stays
            .iter()
            .filter(|s| !is_loud(s))
            .filter_map(rate_of),
    )?;
    let here: Vec<&Stay<'_>> = known.stays.iter().filter(|s| known.is_here(s)).collect();
    // Where the mill worked there since, and what began after it wears like the others, the finding is of the time before.
    let mut done = model.page.work.iter();
    let done = done.find(|w| w.position == first.stand && w.is_done);
    let (after, before): (Vec<&Stay<'_>>, Vec<&Stay<'_>>) = here
        .iter()
        .partition(|s| done.is_some_and(|w| s.last.began_ms >= w.at.ms));
    let mended = done.filter(|_| {
        !before.is_empty() && !after.is_empty() && !after.iter().any(|s| known.is_fast(s))
    });
    let counts = if mended.is_some() { &before } else { &here };
    let own = mean(counts.iter().filter_map(|s| rate_of(s)))?;
    if peers.mean <= 0.0 || own.mean <= peers.mean {
        return None;
    }
    let times = own.mean / peers.mean;
    let rows = match pair {
        Some(_) => known.rows(show),
        None => "all rows".to_owned(),
    };
    let within = match own.times(&peers) {
        None => "one stay, so no interval".to_owned(),
        Some((low, high)) => format!(
            "{} to {}, 95 in 100",
            tenths(low.max(0.0), show),
            tenths(high, show)
        ),
    };
    let until = mended.map_or_else(String::new, |w| format!(" until {}", w.at.date()));
    Some(Finding {
        place: first.stand.clone(),
        times: format!("{} times", tenths(times, show)),
        what: format!(
            "the growth of its peers{until}: {rows} at {} ({within}).",
            first.stand
        ),
        told: told(model, &known, (&own, &peers), counts, show)
            + &mended.map_or_else(String::new, |_| {
                let since = mean(after.iter().filter_map(|s| rate_of(s)));
                format!(
                    " Begun since then, after the mill worked there: {} by {}.",
                    since.map_or_else(String::new, |m| rate(show, m.mean)),
                    counted(after.len(), "stay"),
                )
            }),
        fitted: fitted(model, &first.stand, show),
    })
}

/// Growth and hours of a stay: of one row pair, or of all of them.
fn grown(stay: &Stay<'_>, pair: Option<usize>) -> Option<(f64, f64)> {
    let of: Vec<_> = match pair {
        Some(pair) => stay.pairs[pair].into_iter().collect(),
        None => stay.pairs.iter().flatten().copied().collect(),
    };
    let hours = of.first()?.hours;
    let sum: f64 = of.iter().map(|g| g.grown_um).sum();
    Some((sum / of.len() as f64, hours))
}

fn mean(stays: impl Iterator<Item = (f64, f64)>) -> Option<MeanRate> {
    mean_rate(&stays.collect::<Vec<_>>())
}

/// "F4, bottom work roll, operator side: 0.175 mm per 1,000 h, elsewhere 0.057. 4 bearings in 3 chocks show it, there and
/// nowhere else."
fn told(
    model: &StandsModel,
    known: &Known<'_>,
    (own, peers): (&MeanRate, &MeanRate),
    counts: &[&Stay<'_>],
    show: Show,
) -> String {
    let mut lines = model.page.stands.iter();
    let line = lines.find(|line| line.code == known.place.code);
    let place = line.map_or_else(
        || known.place.code.clone(),
        |line| {
            let [role, level, side] = line.seat.each_ref().map(String::as_str);
            crate::drawings::place_words(&line.stand, role, level, side)
        },
    );
    let fast: Vec<&&Stay<'_>> = counts.iter().filter(|s| known.is_fast(s)).collect();
    let different = |of: &dyn Fn(&Stay<'_>) -> String| {
        let all: std::collections::BTreeSet<String> = fast.iter().map(|s| of(s)).collect();
        all.iter().filter(|one| !one.is_empty()).count()
    };
    let bearings = different(&|s| s.last.serial.clone());
    let chocks = different(&|s| s.last.chock.clone());
    let elsewhere = known.count(|s| !known.is_here(s)).0;
    let who = match (bearings, chocks) {
        (0, _) => String::new(),
        (_, 0) => counted(bearings, "bearing"),
        _ => format!(
            "{} in {}",
            counted(bearings, "bearing"),
            counted(chocks, "chock")
        ),
    };
    let shows = if bearings == 1 { "shows" } else { "show" };
    let only = match elsewhere {
        0 => "there and nowhere else".to_owned(),
        n => format!("and {} elsewhere", counted(n, "stay")),
    };
    let who = if who.is_empty() {
        who
    } else {
        format!(" {who} {shows} it, {only}.")
    };
    format!(
        "{place}: {} {} per 1,000 h by {}, elsewhere {} by {}.{who}",
        rate(show, own.mean),
        show.unit.sign(),
        counted(own.stays, "stay"),
        rate(show, peers.mean),
        counted(peers.stays, "stay"),
    )
}

/// What the fit to all readings says of a place, with the interval that holds for all places together.
fn fitted(model: &StandsModel, code: &str, show: Show) -> String {
    let own = loud(model).into_iter().filter(|c| c.stand == code);
    let mut chance: f64 = 0.0;
    let each: Vec<String> = own
        .map(|c| {
            chance = chance.max(c.p_holm);
            contrast_words(c, show)
        })
        .collect();
    format!(
        "Fitted to all readings of the logbook, few stays drawn towards the mean, readings that do not fit left out: {}. By \
         chance, all places and row pairs counted: {}.",
        each.join("; "),
        chance_words(chance)
    )
}

/// "rows 1–2 wear 1.3 times (1.1 to 1.6) as fast as the other rows there".
pub(super) fn contrast_words(contrast: &Contrast, show: Show) -> String {
    let (who, than) = match contrast.row_pair {
        Some(pair) => (
            format!("{} wear", show.pair_name(pair as usize)),
            "the other rows there",
        ),
        None => ("all rows wear".to_owned(), "at the other places"),
    };
    match times_of(contrast, show) {
        Some(times) => format!("{who} {times} as fast as {than}"),
        None if contrast.effect < 0.0 => format!("{who} slower than {than}"),
        None => format!("{who} faster than {than}"),
    }
}

/// The finding at the top of the page: the one number, the sentence, and below it where, how much and how sure.
pub(super) fn headline(ui: &mut Ui, finding: &Finding) {
    let rect = text::strip(ui, 40.0);
    let at = egui::pos2(rect.left(), rect.top() + 28.0);
    let end = text::at(ui, at, draw::Align::Left, Face::BIG, &finding.times).right() + space::M;
    let room = rect.right() - end;
    // On a narrow page the sentence is set smaller before it leaves the line of its number.
    let faces = [Face::SECTION, Face::STRONG];
    let fits = |face: &Face| text::width(ui, *face, &finding.what) <= room;
    if let Some(face) = faces.into_iter().find(fits) {
        text::at_most(ui, egui::pos2(end, at.y), room, face, &finding.what);
    } else {
        text::say(ui, Face::STRONG, &finding.what);
    }
    ui.add_space(space::XS);
    text::say(ui, Face::BODY, &finding.told);
    ui.add_space(space::XS);
    text::note(ui, &finding.fitted);
    ui.add_space(space::S);
    widgets::rule(ui);
    ui.add_space(space::S);
}

#[cfg(test)]
mod tests {
    use super::*;

    fn contrast(row_pair: Option<u32>) -> Contrast {
        Contrast {
            stand: "F4-W-B-O".into(),
            row_pair,
            effect: 0.9,
            standard_error: 0.1,
            interval: (0.5, 1.3),
            p_holm: 0.001,
            degrees: 20,
            ratio: Some(2.0),
        }
    }

    #[test]
    fn times_as_fast_come_with_the_interval_of_the_fit() {
        let show = Show::default();
        // 0.9 beyond the others is twice theirs, so that theirs is 0.9: 1 + 0.5 / 0.9 and 1 + 1.3 / 0.9.
        assert_eq!(
            contrast_words(&contrast(Some(1)), show),
            "rows 1\u{2013}2 wear 2.0 times (1.6 to 2.4) as fast as the other rows there"
        );
        let comma = Show {
            comma: true,
            ..show
        };
        assert_eq!(
            contrast_words(&contrast(None), comma),
            "all rows wear 2,0 times (1,6 to 2,4) as fast as at the other places"
        );
        let bare = Contrast {
            ratio: None,
            ..contrast(None)
        };
        assert_eq!(
            contrast_words(&bare, show),
            "all rows wear faster than at the other places"
        );
    }
}
