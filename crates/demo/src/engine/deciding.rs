//! What is decided on a sheet of a tapered bearing: as the sheet recommends, unless a story says otherwise; and what is
//! ground then.

use calc::disposition::{Disposition, ZoneAdvice};
use store::draft::Fields;
use store::sheet::Assessment;
use store::sheet::field::{self, PAIRS};

use super::Engine;
use crate::bench::{self, mm, put};
use crate::data::{Kind, Teardown};

impl Engine<'_> {
    /// Fills in decision, grinding, load zone and grease.
    pub(super) fn decide(
        &mut self,
        fields: &mut Fields,
        t: &Teardown,
        kind: &Kind,
        found: &Assessment,
    ) -> Disposition {
        let recommended = found.recommendation.disposition;
        let told = t.choice.as_deref().and_then(|text| text.parse().ok());
        let decided = told.unwrap_or(match recommended {
            // Nothing in the background is held: the engineer has looked at it.
            Disposition::HoldForEngineer => Disposition::ReturnAfterTurning,
            other => other,
        });
        put(fields, "decision.choice", decided.as_str());
        if decided != recommended {
            let reason = t.reason.as_deref().unwrap_or(match found.zone_advice {
                ZoneAdvice::Turn { .. } | ZoneAdvice::Keep { .. } => {
                    "seats were good at the last teardown and are measured at the next"
                }
                _ => "marks are light: looked at again at the next teardown",
            });
            put(fields, "decision.reason", reason);
        }
        if !matches!(
            decided,
            Disposition::ReturnToService
                | Disposition::ReturnAfterTurning
                | Disposition::RegrindSpacers
        ) {
            return decided;
        }
        if decided == Disposition::RegrindSpacers {
            self.grind(fields, t, found);
        }
        if let Some(zone) = &t.zone {
            put(fields, "zone.choice", zone);
            put(
                fields,
                "zone.reason",
                t.zone_reason.as_deref().unwrap_or("as the story has it"),
            );
        } else if let ZoneAdvice::Turn { to: zone, .. } | ZoneAdvice::Keep { zone } =
            found.zone_advice
        {
            put(fields, "zone.choice", zone.as_str());
        } else {
            put(fields, "zone.choice", "I");
            put(
                fields,
                "zone.reason",
                "no zone is clear: the engineer's choice",
            );
        }
        put(
            fields,
            "reassemble.chock",
            t.into.as_deref().unwrap_or(&t.chock),
        );
        put(
            fields,
            "grease.kind",
            if kind.lubrication.contains("G-2") {
                "G-2"
            } else {
                "G-1"
            },
        );
        let grams = kind.value("grease_row_mg", 0).unwrap_or(0) / 1000;
        for row in 1..=4 {
            put(
                fields,
                &format!("grease.row.{row}"),
                (grams + 5 * self.dice.whole(-3, 3)).to_string(),
            );
        }
        decided
    }

    fn grind(&mut self, fields: &mut Fields, t: &Teardown, found: &Assessment) {
        for (index, pair) in PAIRS.into_iter().enumerate() {
            let planned = &found.clearance.pairs[index];
            let off = self.dice.whole(-1, 2);
            let told = t.after.map(|after| after[index]);
            let ground = planned
                .new_spacer_nm
                .filter(|_| planned.grind_nm != Some(0))
                .map(|nm| nm / 1000 + off);
            if let Some(um) = told.or(ground) {
                bench::put_places(fields, um, |degrees| field::after_at(pair, degrees));
            }
        }
        // A pack that another regrind would take below zero was made up anew before.
        let made_up = 1_100 + 50 * self.dice.whole(0, 16);
        if bench::um(fields, "shim.found").is_none_or(|um| um < 900) {
            put(fields, "shim.found", mm(made_up));
        }
        put(fields, "retention.checked", "yes");
    }
}
