//! When a chock comes due, and what is done then.

use store::time::{DAY_MS, HOUR_MS};

use super::{Act, Due, Engine};
use crate::DemoError;
use crate::dice::Dice;
use crate::plan::interval_h;
use crate::register::at_ms;

impl Engine<'_> {
    /// Decides when a chock is due that has just been assembled.
    pub(super) fn plan_stay(&mut self, code: &str, now: i64) {
        self.dice = Dice::of(self.seed, code, now);
        let next = self
            .told
            .get(code)
            .and_then(|times| times.iter().copied().filter(|t| *t > now).min());
        let is_quiet = self.data.stories.quiet.iter().any(|c| c == code);
        // A story that names the mill hours of this stay also says when it ends.
        let today = at_ms(now).date();
        let ends = next.map(|next| at_ms(next).date());
        let is_timed = self.data.stories.hours.iter().any(|h| {
            let begins = match &h.from {
                Some(from) => *from == today,
                None => ends.as_ref() == Some(&h.to),
            };
            h.chock == code && begins
        });
        let hours = self.dice.between(0.0, 35.0);
        let longest_ms = self.longest_stay_ms(code);
        let Some(chock) = self.chocks.get_mut(code) else {
            return;
        };
        chock.run_s = 0;
        chock.is_pending = false;
        chock.due = match next {
            _ if is_timed => Due::Told,
            None if is_quiet => Due::Told,
            None => Due::Hours(hours),
            Some(next) => {
                // In even parts up to the day of the story, none longer than the interval allows.
                let stays = (next - now).div_euclid(longest_ms) + 1;
                if stays == 1 {
                    Due::Told
                } else {
                    Due::From(now + (next - now) / stays)
                }
            }
        };
    }

    /// How long the interval of a chock lasts at the pace of its line, a little less than whole.
    fn longest_stay_ms(&self, code: &str) -> i64 {
        let slot = self.slots.iter().find(|(_, chock)| *chock == code);
        let a_day = slot.map_or(24.0, |((team, ..), _)| {
            self.plan.hours_a_day(self.data, *team)
        });
        let days = 0.95 * interval_h(self.data, code) / a_day;
        ((days * DAY_MS as f64) as i64).max(DAY_MS)
    }

    /// A chock came off its roll: is it due, and is there time before it goes in again?
    pub(super) fn consider(&mut self, code: &str, team: usize, pair: usize, side: usize, now: i64) {
        let starts = &self.plan.teams[team].starts[pair];
        let next = starts
            .get(starts.partition_point(|s| *s < now))
            .copied()
            .unwrap_or(self.plan.clock.ms);
        let rest = next - now;
        let Some(chock) = self.chocks.get(code).filter(|c| !c.is_pending) else {
            return;
        };
        let is_due = match chock.due {
            Due::Told => false,
            Due::From(from) => now >= from,
            Due::Hours(margin) => {
                let reached = chock.run_s as f64 / 3600.0 + 1.2 * self.plan.teams[team].campaign_h;
                reached >= interval_h(self.data, code) - margin
            }
        };
        if !is_due || rest < 33 * HOUR_MS / 10 {
            return;
        }
        let jitter = (Dice::of(self.seed, code, now).between(0.0, 0.4) * HOUR_MS as f64) as i64;
        let mut at = now + 2 * HOUR_MS + jitter + side as i64 * 25 * 60_000;
        if !(6..21).contains(&at_ms(at).parts().3) {
            // At night only what cannot wait: the next morning, or after the next campaign.
            let day_start = (at + 60 * 60_000).div_euclid(DAY_MS) * DAY_MS - 60 * 60_000;
            at = day_start + 8 * HOUR_MS + jitter + side as i64 * 25 * 60_000;
            if at < now + HOUR_MS {
                at += DAY_MS;
            }
            if at > next - HOUR_MS {
                return;
            }
        }
        if at >= self.plan.clock.ms - 2 * HOUR_MS {
            return;
        }
        if let Some(chock) = self.chocks.get_mut(code) {
            chock.is_pending = true;
        }
        self.put(at, Act::Due(code.to_owned()));
    }

    pub(super) fn due(&mut self, code: &str, now: i64) -> Result<(), DemoError> {
        if self.chocks.get(code).is_none_or(|c| c.seats.is_empty()) {
            return Ok(());
        }
        let sheet = crate::data::Teardown {
            chock: code.to_owned(),
            ..Default::default()
        };
        self.teardown(&sheet, now)
    }
}
