//! What growth is drawn against: mill hours, tonnes or the date. Everything is first drawn against hours and then
//! moved, the forecast too, so that marks, lines and crossings say the same on every axis.

use std::collections::HashMap;

use draw::growth::{BandPoint, Event, Growth, Reading, XScale, Xy};
use store::Stamp;
use store::entry::Show;
use store::query::BearingPage;
use store::time::DAY_MS;

use super::hours;

/// What the clearance is drawn against.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Axis {
    /// Hours on the bearing's own counter.
    #[default]
    Hours,
    /// What was rolled while the bearing was in.
    Tonnes,
    /// The day of the reading.
    Date,
}

impl Axis {
    /// In the order of the page.
    pub const ALL: [Self; 3] = [Self::Hours, Self::Tonnes, Self::Date];
    /// Their names.
    pub const NAMES: [&'static str; 3] = ["mill hours", "tonnes", "date"];

    /// Moves a plot against hours, forecast included, onto this axis.
    pub fn move_onto(self, growth: &mut Growth, page: &BearingPage, now: Stamp, show: Show) {
        if self == Self::Hours {
            return;
        }
        growth.x_scale = if self == Self::Date {
            XScale::Days
        } else {
            XScale::Number
        };
        growth.x_label = match self {
            Self::Tonnes => "kt rolled while it was in, since this logbook counts",
            _ => "date of the reading",
        }
        .into();
        let track = Track::of(self, page, now);
        let of_event: HashMap<u64, f64> = page
            .growth
            .iter()
            .map(|p| (key(p.event), self.at(p.at, p.rolled_kg)))
            .collect();
        let own = |hit: Option<&draw::Hit>| of_event.get(&hit?.key).copied();
        let move_reading = |reading: &mut Reading| {
            if let Some(x) = own(reading.hit.as_ref()) {
                reading.at.x = x;
            }
        };
        for series in &mut growth.series {
            for segment in &mut series.segments {
                segment
                    .set
                    .iter_mut()
                    .chain(&mut segment.readings)
                    .for_each(&move_reading);
            }
            series.forecast = series.forecast.take().and_then(|mut forecast| {
                let ahead = |x: f64| track.ahead(x);
                let onto = |p: &Xy| {
                    Some(Xy {
                        x: ahead(p.x)?,
                        ..*p
                    })
                };
                forecast.line = moved(&forecast.line, onto)?;
                forecast.faster = moved(&forecast.faster, onto)?;
                forecast.band = moved(&forecast.band, |p| {
                    Some(BandPoint {
                        x: ahead(p.x)?,
                        ..*p
                    })
                })?;
                if let Some(crossing) = &mut forecast.crossing {
                    let [early, middle, late] =
                        [crossing.early, crossing.middle, crossing.late].map(ahead);
                    (crossing.early, crossing.middle, crossing.late) = (early?, middle?, late?);
                    crossing.label = self.between(crossing.early, crossing.late, show);
                }
                Some(forecast)
            });
        }
        for event in &mut growth.regrinds {
            event.x = own(event.hit.as_ref()).unwrap_or(event.x);
        }
        let turns = std::mem::take(&mut growth.turns)
            .into_iter()
            .zip(&page.turns);
        growth.turns = turns
            .map(|(event, turn)| Event {
                x: self.at(turn.at, turn.rolled_kg),
                ..event
            })
            .collect();
        if let Some((x, words)) = &mut growth.now {
            *x = self.at(now, page.total_rolled_kg);
            if self == Self::Date {
                *words = now.date();
            } else {
                *words = format!("now, {} kt", show.kilotonnes(page.total_rolled_kg));
            }
        }
    }

    /// Where a moment stands on this axis.
    fn at(self, at: Stamp, rolled_kg: i64) -> f64 {
        match self {
            Self::Tonnes => kilotonnes(rolled_kg),
            _ => day(at),
        }
    }

    /// Two ends of an interval in words.
    fn between(self, early: f64, late: f64, show: Show) -> String {
        if self == Self::Date {
            let date = |days: f64| Stamp::second((days * DAY_MS as f64) as i64, 0).date();
            return format!("{} to {}", date(early), date(late));
        }
        let kt = |x: f64| show.grouped((x / 5.0).round() as i64 * 5);
        format!("{} to {} kt", kt(early), kt(late))
    }

    /// How hours ahead are turned into this axis, in a sentence; none where nothing is.
    pub fn pace(self, page: &BearingPage, now: Stamp, show: Show) -> Option<String> {
        let run_h = own_hours(page)?;
        match self {
            Self::Hours => None,
            Self::Tonnes => {
                let tonnes = page.total_rolled_kg as f64 / 1_000.0 / run_h;
                Some(format!(
                    "Tonnes ahead: at its own {} t an hour so far.",
                    show.grouped(tonnes.round() as i64)
                ))
            }
            Self::Date => {
                let weeks = (day(now) - day(page.first_in?)) / 7.0;
                (weeks > 1.0).then(|| {
                    format!(
                        "Dates ahead: at its own {} h a week since it first went in, time in the shop included.",
                        show.grouped((run_h / weeks).round() as i64)
                    )
                })
            }
        }
    }
}

/// Hours that it has run in this logbook, where it has run at all.
fn own_hours(page: &BearingPage) -> Option<f64> {
    let before = page.turns.first().map_or(0, |turn| turn.run_s);
    Some(hours(page.line.total_run_s - before)).filter(|h| *h > 1.0)
}

/// How the counter goes on from where it stands.
struct Track {
    now_h: f64,
    now_x: f64,
    per_hour: Option<f64>,
    /// Counter hours of the last reading and where it stands: what is expected begins there.
    last: (f64, f64),
}

impl Track {
    fn of(axis: Axis, page: &BearingPage, now: Stamp) -> Self {
        let now_x = axis.at(now, page.total_rolled_kg);
        let first_x = match axis {
            Axis::Tonnes => Some(0.0),
            _ => page.first_in.map(day),
        };
        let per_hour = own_hours(page)
            .zip(first_x)
            .map(|(run_h, first)| (now_x - first) / run_h)
            .filter(|pace| *pace > 0.0);
        let now_h = hours(page.line.total_run_s);
        let last = page.growth.last();
        Self {
            now_h,
            now_x,
            per_hour,
            last: last.map_or((now_h, now_x), |p| {
                (hours(p.run_s), axis.at(p.at, p.rolled_kg))
            }),
        }
    }

    /// Where counter hours from the last reading on stand; none where its pace is not known.
    fn ahead(&self, x_h: f64) -> Option<f64> {
        if x_h > self.now_h {
            return Some(self.now_x + (x_h - self.now_h) * self.per_hour?);
        }
        let (from_h, from_x) = self.last;
        let share = (x_h - from_h) / (self.now_h - from_h).max(1e-9);
        Some(from_x + (self.now_x - from_x) * share.clamp(0.0, 1.0))
    }
}

/// Every point moved, or nothing where one cannot be.
fn moved<T>(points: &[T], each: impl Fn(&T) -> Option<T>) -> Option<Vec<T>> {
    points.iter().map(each).collect()
}

fn key(event: i64) -> u64 {
    u64::try_from(event).unwrap_or(0)
}

fn kilotonnes(kg: i64) -> f64 {
    kg as f64 / 1e6
}

/// The day on the wall clock, counted from 1970-01-01.
fn day(at: Stamp) -> f64 {
    (at.ms + at.offset_min * 60_000) as f64 / DAY_MS as f64
}
