//! The kinds of shops that the wear model is held to.

use calc::wear::Gauge;

/// Months that a whole simulation lasts.
pub const MONTHS: usize = 48;

/// What is special about a shop.
#[derive(Clone, Copy)]
pub struct Kind {
    pub name: &'static str,
    pub bearings: usize,
    /// Months that the logbook covers at its end.
    pub months: usize,
    pub spread: f64,
    pub gauge: Gauge,
    /// Share of bearings that begin to wear faster.
    pub accelerated: f64,
    pub is_misaligned: bool,
    /// Shares of readings with a slip of the digits, and in another unit.
    pub typed_wrong: f64,
    pub wrong_unit: f64,
    /// Whether the logbook began when the bearings were in use already.
    pub is_truncated: bool,
    pub is_radial: bool,
}

const PLAIN: Kind = Kind {
    name: "plain",
    bearings: 20,
    months: MONTHS,
    spread: 1.0,
    gauge: Gauge {
        expanded_uncertainty_um: 15.0,
        step_um: 10.0,
    },
    accelerated: 0.0,
    is_misaligned: false,
    typed_wrong: 0.0,
    wrong_unit: 0.0,
    is_truncated: false,
    is_radial: false,
};

/// The kinds of shops that the model is held to.
pub const KINDS: [Kind; 13] = [
    PLAIN,
    Kind {
        name: "coarse gauge",
        gauge: Gauge {
            expanded_uncertainty_um: 40.0,
            step_um: 50.0,
        },
        ..PLAIN
    },
    Kind {
        name: "accelerated 35 %",
        accelerated: 0.35,
        ..PLAIN
    },
    Kind {
        name: "accelerated 90 %",
        accelerated: 0.9,
        ..PLAIN
    },
    Kind {
        name: "misaligned stand",
        is_misaligned: true,
        ..PLAIN
    },
    Kind {
        name: "few data",
        bearings: 6,
        months: 24,
        ..PLAIN
    },
    Kind {
        name: "typing errors",
        typed_wrong: 0.03,
        ..PLAIN
    },
    Kind {
        name: "unit errors",
        wrong_unit: 0.02,
        ..PLAIN
    },
    Kind {
        name: "mid-life",
        is_truncated: true,
        ..PLAIN
    },
    Kind {
        name: "radial",
        is_radial: true,
        ..PLAIN
    },
    Kind {
        name: "very uniform",
        spread: 0.4,
        ..PLAIN
    },
    Kind {
        name: "very scattered",
        spread: 2.0,
        ..PLAIN
    },
    Kind {
        name: "mixed",
        gauge: Gauge {
            expanded_uncertainty_um: 20.0,
            step_um: 10.0,
        },
        accelerated: 0.2,
        is_misaligned: true,
        typed_wrong: 0.015,
        wrong_unit: 0.008,
        ..PLAIN
    },
];
