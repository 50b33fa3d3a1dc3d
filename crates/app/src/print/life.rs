//! What a bearing has used of its rating life, what it ran, and what corrections moved, in words that window and print share.

use std::fmt::Write as _;

use report::{Labelled, Noted};
use store::entry::Show;
use store::query::{BearingPage, Exposure, LifeUsed, MovedExposure, zone_numeral};

use super::{counted, labelled};

/// The word that stands beside every rating life (common practice, no source).
pub const SELDOM: &str = "Roll-neck bearings seldom end by fatigue alone: water, wear, overload and mounting end most of \
     them. Clearance, findings and field life decide; this number does not.";

/// A share in percent, never 0 and never exact where it is not.
fn percent(share: f64, show: Show) -> String {
    let hundredths = (share * 10_000.0).round() as i64;
    match hundredths {
        ..10 => "less than 0.1 %".replace('.', if show.comma { "," } else { "." }),
        10..1_000 => format!("{} %", show.decimals(hundredths, 100, 1)),
        _ => format!("{} %", show.decimals(hundredths, 100, 0)),
    }
}

fn kilonewton(newton: f64, show: Show) -> String {
    format!("{} kN", show.grouped((newton / 1_000.0).round() as i64))
}

/// So many campaigns.
fn runs(count: usize, show: Show) -> String {
    match count {
        1 => "1 campaign".to_owned(),
        n => format!(
            "{} campaigns",
            show.grouped(i64::try_from(n).unwrap_or(i64::MAX))
        ),
    }
}

/// To two figures: more is not known of a life.
fn life_h(hours: f64, show: Show) -> String {
    let mut step = 1.0;
    while hours / step >= 100.0 {
        step *= 10.0;
    }
    format!("{} h", show.grouped(((hours / step).round() * step) as i64))
}

/// The number of the section; none where it cannot be said.
pub fn used_words(life: &LifeUsed, show: Show) -> Option<String> {
    life.used().map(|used| percent(used, show))
}

/// What stands behind the number, a sentence each; empty where nothing is to be said.
pub fn life_sentences(life: &LifeUsed, show: Show) -> Vec<String> {
    if life.campaigns == 0 {
        return Vec::new();
    }
    let of = format!(
        "{} of {}",
        show.grouped(i64::try_from(life.unknown()).unwrap_or(i64::MAX)),
        runs(life.campaigns, show)
    );
    let Some(spectrum) = &life.life else {
        return vec![match (life.rating_n, life.known) {
            (None, _) => "Not worked out: the type has no load rating C. It is entered with the type, under Load and life."
                .to_owned(),
            (Some(_), 0) => format!(
                "Not worked out: force and speed are known for none of {}.",
                runs(life.campaigns, show)
            ),
            (Some(_), _) => format!("Not worked out: no campaign bore a load; not known for {of}."),
        }];
    };
    let hours = |h: f64| show.grouped(h.round() as i64);
    let mut all = Vec::new();
    if life.unknown() == 0 {
        all.push(format!(
            "By all {}, {} h.",
            runs(life.campaigns, show),
            hours(life.known_h)
        ));
    } else {
        let alike = life
            .used_if_all_alike()
            .map_or_else(String::new, |used| percent(used, show));
        all.push(format!(
            "By {} of {} h that it ran. Force and speed are not known for {of}; if all had run like the others: {alike}.",
            hours(life.known_h),
            hours(life.run_h)
        ));
    }
    let rating = kilonewton(life.rating_n.unwrap_or(0.0), show);
    let mut words = format!(
        "Equivalent load {} at {} 1/min against C = {rating}: basic rating life {} (ISO 281, loads summed by Palmgren and \
         Miner; nine of ten reach it).",
        kilonewton(spectrum.load_n, show),
        show.grouped(spectrum.rpm.round() as i64),
        life_h(spectrum.basic_h, show)
    );
    if let Some(modified) = &spectrum.modified {
        let two = |factor: f64| show.decimals((factor * 100.0).round() as i64, 100, 2);
        let a_iso = modified.a_iso.map_or_else(String::new, |a| {
            format!("lubrication and cleanliness a_ISO\u{a0}=\u{a0}{}, ", two(a))
        });
        let reliability = show.decimals((modified.reliability * 10_000.0).round() as i64, 100, 1);
        let _ = write!(
            words,
            " With {a_iso}reliability {reliability} % a1 = {}: {}, which the share above is of.",
            two(modified.a1),
            life_h(modified.hours, show)
        );
    }
    all.push(words);
    if life.without_axial > 0 {
        all.push(format!(
            "Of {} on the side that holds the roll no axial force is known: counted as none.",
            runs(life.without_axial, show)
        ));
    }
    if spectrum.is_beyond {
        all.push("A mean force was above half of C: beyond what ISO 281 holds for.".to_owned());
    }
    all
}

/// An exposure in one line: hours, tonnes, campaigns, days, and whether some of it is an estimate.
pub fn exposure_words(of: &Exposure, show: Show) -> String {
    let days = counted(usize::try_from(of.days()).unwrap_or(0), "day");
    let campaigns = runs(usize::try_from(of.campaigns).unwrap_or(0), show);
    let estimate = if of.has_estimate {
        ", some of it an estimate"
    } else {
        ""
    };
    format!(
        "{} h, {} kt, {campaigns}, {days} in chocks{estimate}",
        show.hours(of.run_s),
        show.kilotonnes(of.rolled_kg)
    )
}

/// What a correction moved, in a sentence.
pub fn moved_words(moved: &MovedExposure, show: Show) -> String {
    let (word, link) = if moved.run_s < 0 {
        ("Taken off", "to")
    } else {
        ("Added", "from")
    };
    let days = if moved.days.0 == moved.days.1 {
        moved.days.0.clone()
    } else {
        format!("{} to {}", moved.days.0, moved.days.1)
    };
    let others = if moved.others.is_empty() {
        String::new()
    } else {
        format!(" {link} {}", moved.others.join(", "))
    };
    format!(
        "{word}: {} h, {} kt, {} of {days}{others}, on {} by {}: {}.",
        show.amount(moved.run_s.abs(), 3_600, 1),
        show.kilotonnes(moved.rolled_kg.abs()),
        runs(moved.campaigns, show),
        moved.at.date(),
        moved.by,
        moved.reason.trim_end_matches('.')
    )
}

/// Rows of the first page: what it ran, and the share of its rating life.
pub(super) fn identity(page: &BearingPage, show: Show) -> Vec<Labelled> {
    let mut rows = Vec::new();
    if page.exposure.whole.campaigns > 0 {
        rows.push(labelled(
            "exposure",
            exposure_words(&page.exposure.whole, show),
        ));
    }
    if let Some(used) = used_words(&page.life, show) {
        let of = format!(
            "{used}, by {} of {}",
            page.life.known,
            runs(page.life.campaigns, show)
        );
        rows.push(labelled("rating life used", of));
    }
    rows
}

/// What is told below the growth.
pub(super) fn notes(page: &BearingPage, show: Show) -> Vec<Noted> {
    let mut all = Vec::new();
    let zones = (1_i64..)
        .zip(&page.exposure.zones)
        .filter(|(_, zone)| zone.campaigns > 0);
    let lines: Vec<String> = zones
        .map(|(zone, of)| {
            format!(
                "Zone {} up: {}.",
                zone_numeral(zone),
                exposure_words(of, show)
            )
        })
        .collect();
    if !lines.is_empty() {
        all.push(Noted {
            title: "Exposure by load zone".into(),
            lines,
        });
    }
    if !page.moved.is_empty() {
        all.push(Noted {
            title: "Exposure moved by corrections".into(),
            lines: page
                .moved
                .iter()
                .map(|moved| moved_words(moved, show))
                .collect(),
        });
    }
    let mut lines = life_sentences(&page.life, show);
    if !lines.is_empty() {
        lines.extend(page.life.used().map(|_| SELDOM.to_owned()));
        let used =
            used_words(&page.life, show).map_or_else(String::new, |used| format!(": {used}"));
        all.push(Noted {
            title: format!("Rating life used{used}"),
            lines,
        });
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;
    use store::query::Spectrum;

    fn life(known: usize) -> LifeUsed {
        LifeUsed {
            campaigns: 300,
            known,
            run_h: 1_000.0,
            known_h: 900.0,
            rating_n: Some(4_250_000.0),
            life: (known > 0).then_some(Spectrum {
                load_n: 431_400.0,
                rpm: 128.4,
                basic_h: 26_843.0,
                modified: None,
                is_beyond: false,
            }),
            ..LifeUsed::default()
        }
    }

    #[test]
    fn what_is_not_known_is_said_with_its_number() {
        let show = Show::default();
        assert_eq!(used_words(&life(270), show).as_deref(), Some("3.4 %"));
        let told = life_sentences(&life(270), show);
        assert_eq!(
            told[0],
            "By 900 of 1,000 h that it ran. Force and speed are not known for 30 of 300 campaigns; if all had run like the \
             others: 3.7 %."
        );
        assert!(
            told[1]
                .contains("431 kN at 128 1/min against C = 4,250 kN: basic rating life 27,000 h")
        );
        let none = life_sentences(&life(0), show);
        assert_eq!(
            none,
            ["Not worked out: force and speed are known for none of 300 campaigns."]
        );
        assert_eq!(used_words(&life(0), show), None);
        let empty = LifeUsed::default();
        assert!(life_sentences(&empty, show).is_empty());
    }
}
