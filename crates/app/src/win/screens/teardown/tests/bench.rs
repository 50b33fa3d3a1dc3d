//! A sheet in a harness, with the hands of a fitter.

use std::collections::BTreeMap;
use std::sync::Arc;

use draw::Theme;
use egui::{Event, Key, Modifiers};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;
use store::draft::{DraftField, DraftId, Fields, Source};
use store::entry::{LengthUnit, Show};
use store::payload::Role;
use store::people::PersonLine;
use store::query::FoundThing;
use store::sheet::{
    Assessment, BearingFacts, ChockFacts, Facts, GaugeFacts, LastSeat, ShopFacts, StayFacts,
    TypeFacts,
};
use store::{Stamp, ThingNo};

use crate::ui::theme;
use crate::win::command::{Answers, Command};
use crate::win::screens::sheet::Pages;
use crate::win::screens::sheet::model::SheetModel;
use crate::win::screens::teardown::sheet::sheet_ui;
use crate::win::screens::teardown::view::SheetView;

const HOUR: i64 = 3600;

fn gauge(
    no: i64,
    code: &str,
    measures: &str,
    uncertainty_nm: i64,
    is_overdue: bool,
) -> (String, GaugeFacts) {
    let gauge = GaugeFacts {
        doubt: String::new(),
        no: ThingNo(no),
        code: code.into(),
        kind: format!("{measures} gauge"),
        measures: measures.into(),
        span: String::new(),
        expanded_uncertainty_nm: Some(uncertainty_nm),
        certificate: "C-1".into(),
        due_ms: 1_780_000_000_000,
        is_overdue,
    };
    (code.into(), gauge)
}

/// TH-4T-031 in WC-40 before teardown 5.
pub fn facts() -> Facts {
    let mut values = BTreeMap::new();
    for (name, value) in [
        ("bore_nm", 480_000_000),
        ("outside_nm", 620_000_000),
        ("width_nm", 336_000_000),
        ("rework_factor_ppm", 2_000_000),
        ("grind_step_nm", 10_000),
        ("seating_spread_nm", 50_000),
        ("neck_min_nm", 479_700_000),
        ("neck_rework_nm", 479_660_000),
        ("neck_max_nm", 479_760_000),
        ("chock_bore_nominal_nm", 620_000_000),
        ("chock_bore_lower_nm", 0),
        ("chock_bore_upper_nm", 70_000),
        ("chock_bore_mean_max_nm", 120_000),
        ("chock_ovality_max_nm", 120_000),
        ("chock_taper_max_nm", 60_000),
        ("clearance_min_nm", 270_000),
        ("clearance_max_nm", 330_000),
        ("watch_nm", 450_000),
        ("rework_nm", 600_000),
        ("target_min_nm", 270_000),
        ("target_max_nm", 330_000),
        ("grease_row_mg", 310_000),
    ] {
        values.insert((name.to_owned(), 0), value);
    }
    for (pair, width) in [(1, 24), (2, 30), (3, 24)] {
        values.insert(("spacer_nm".to_owned(), pair), width * 1_000_000);
        values.insert(("spacer_min_nm".to_owned(), pair), (width - 2) * 1_000_000);
    }
    let stay = StayFacts {
        chock: ThingNo(20),
        chock_code: "WC-40".into(),
        from_ms: 1_773_000_000_000,
        zone: 2,
        run_s: 980 * HOUR,
        rolled_kg: 283_000_000,
    };
    let oval = |day: &str, ovality_nm: Vec<i64>| LastSeat {
        at: Stamp::parse(day, 60).unwrap(),
        mean_nm: 79_000,
        ovality_nm,
    };
    Facts {
        at: Stamp::parse("2026-07-07T09:30", 120).unwrap(),
        bearing: Some(BearingFacts {
            findings: Vec::new(),
            no: ThingNo(10),
            serial: "TH-4T-031".into(),
            total_run_s: 5_010 * HOUR,
            as_set_nm: [Some(300_000); 3],
            revision: 1,
            zone_run_s: [1_015 * HOUR, 1_970 * HOUR, 1_020 * HOUR, 1_005 * HOUR],
            stay: Some(stay),
            history: Vec::new(),
            held: None,
        }),
        bearing_type: Some(TypeFacts {
            no: ThingNo(5),
            code: "N4T-480/620-336".into(),
            kind: "four_row_tapered".into(),
            lubrication: "GR-1, scheme LS-1".into(),
            valid_from_ms: 1_730_450_000_000,
            values,
            ..TypeFacts::default()
        }),
        chock: Some(ChockFacts {
            no: ThingNo(20),
            code: "WC-40".into(),
            shim_place: "under_flange".into(),
            bore_planes: 3,
        }),
        roll: None,
        position: Some((ThingNo(60), "F6-W-T-D".into())),
        foreseen: store::sheet::Foreseen::default(),
        back_into: None,
        last_roll: Some("R-118".into()),
        last_bores: vec![
            oval("2024-12-03", vec![34_000, 30_000, 22_000]),
            oval("2025-08-19", vec![92_000, 80_000, 61_000]),
        ],
        last_neck: None,
        gauges: [
            gauge(30, "GB-01", "gap", 12_000, false),
            gauge(31, "HG-02", "width", 9_000, false),
            gauge(32, "BG-03", "bore", 10_000, false),
            gauge(33, "OM-07", "neck", 8_000, true),
            gauge(34, "OM-02", "neck", 8_000, false),
            gauge(35, "TW-02", "torque", 20_000, false),
        ]
        .into(),
        blocked: [("GR-9".to_owned(), "water in the drum".to_owned())].into(),
        greases: [("GR-1".to_owned(), ThingNo(40))].into(),
        auditors: Vec::new(),
        people: [
            ("Fitter 4".to_owned(), ThingNo(50)),
            ("Roll-shop Engineer".to_owned(), ThingNo(52)),
        ]
        .into(),
        unknown: BTreeMap::new(),
        shop: usual(),
    }
}

/// What the shop did last time.
fn usual() -> ShopFacts {
    let usual = [
        ("clean.state", "used"),
        ("clean.agent", "solvent"),
        ("clean.dried", "air"),
        ("clean.preserved", "oil"),
        ("clearance.gauge_gap", "GB-01"),
        ("clearance.gauge_width", "HG-02"),
        ("bore.gauge", "BG-03"),
        ("neck.gauge", "OM-02"),
        ("grease.kind", "GR-1"),
        ("seals.batch", "SB-57"),
        ("bolts.wrench", "TW-02"),
    ];
    ShopFacts {
        in_chock: Vec::new(),
        campaign: None,
        in_mill: None,
        usual: usual
            .map(|(path, text)| (path.to_owned(), text.to_owned()))
            .into(),
        seal_in: Some("SB-57".into()),
        seal_batches: [("SB-57".to_owned(), ThingNo(41))].into(),
        standards: [("BG-03".to_owned(), "SR-02".to_owned())].into(),
    }
}

/// What stands in the fields.
pub fn fields(all: &[(&str, &str)]) -> Fields {
    let field = |text: &str| DraftField {
        text: text.into(),
        source: Source::Typed,
    };
    all.iter()
        .map(|(path, text)| ((*path).to_owned(), field(text)))
        .collect()
}

/// Everything around the sheet.
pub struct Shop {
    pub view: SheetView,
    pub facts: Arc<Facts>,
    pub show: Show,
    pub person: Option<(&'static str, Role)>,
    pub commands: Vec<Command>,
    pub answers: Answers,
    people: Vec<PersonLine>,
    things: Vec<FoundThing>,
}

impl Shop {
    pub fn new(fields: Fields, caret: &str) -> Self {
        let person = |no, name: &str, role| PersonLine {
            no: ThingNo(no),
            name: name.into(),
            role,
            is_active: true,
        };
        let thing = |no, entity: &str, code: &str| FoundThing {
            no: ThingNo(no),
            entity: entity.into(),
            code: code.into(),
            detail: String::new(),
        };
        Self {
            view: SheetView::new(fields, caret),
            facts: Arc::new(facts()),
            show: Show::default(),
            person: Some(("Foreman A", Role::Foreman)),
            commands: Vec::new(),
            answers: Answers::default(),
            people: vec![
                person(50, "Fitter 4", Role::Fitter),
                person(51, "Foreman A", Role::Foreman),
                person(52, "Roll-shop Engineer", Role::Engineer),
            ],
            things: vec![
                thing(20, "chock", "WC-40"),
                thing(21, "chock", "WC-41"),
                thing(10, "bearing", "TH-4T-031"),
                thing(40, "grease", "GR-1"),
                thing(41, "seal_batch", "SB-57"),
                thing(60, "position", "F6-W-T-D"),
                thing(61, "roll", "R-118"),
            ],
        }
    }
}

/// A sheet in a window of 1280 x 800.
pub struct Bench {
    pub h: Harness<'static, Shop>,
}

impl Bench {
    pub fn new(shop: Shop) -> Self {
        Self::sized(shop, [1280.0, 800.0], Theme::Day)
    }

    pub fn sized(shop: Shop, size: [f32; 2], wanted: Theme) -> Self {
        let setup = move |ctx: &egui::Context| {
            theme::install(ctx);
            theme::set(ctx, wanted);
        };
        let show = |ui: &mut egui::Ui, shop: &mut Shop| {
            let model = SheetModel {
                draft: DraftId(1),
                facts: &shop.facts,
                show: shop.show,
                now: shop.facts.at,
                people: &shop.people,
                things: &shop.things,
                person: shop.person,
                is_locked: false,
                answers: &shop.answers,
                photos: &[],
                wake: None,
                wear: crate::win::wear::WearKey::default(),
            };
            sheet_ui(ui, &model, &mut shop.view, &mut shop.commands);
        };
        let builder = Harness::builder()
            .with_step_dt(1.0 / 60.0)
            .with_size(size)
            .with_theme(egui::Theme::Light)
            .with_context_setup(setup);
        let mut bench = Self {
            h: builder.build_ui_state(show, shop),
        };
        bench.h.run_steps(3);
        bench
    }

    /// A sheet with these fields and the caret in one of them.
    pub fn at(all: &[(&str, &str)], caret: &str) -> Self {
        Self::new(Shop::new(fields(all), caret))
    }

    pub fn shop(&mut self) -> &mut Shop {
        self.h.state_mut()
    }

    /// Types without committing.
    pub fn type_in(&mut self, text: &str) {
        if !text.is_empty() {
            self.h.event(Event::Text(text.to_owned()));
            self.h.run_steps(1);
        }
    }

    pub fn key(&mut self, modifiers: Modifiers, key: Key) {
        self.h.key_press_modifiers(modifiers, key);
        self.h.run_steps(3);
    }

    /// Types a text, if any, and Enter.
    pub fn enter(&mut self, text: &str) {
        self.type_in(text);
        self.key(Modifiers::NONE, Key::Enter);
    }

    /// Presses the key of a character where a choice has the caret.
    pub fn press(&mut self, text: &str) {
        self.h.event(Event::Text(text.to_owned()));
        self.h.run_steps(4);
    }

    pub fn enter_all(&mut self, texts: &[&str]) {
        for text in texts {
            self.enter(text);
        }
    }

    /// Types into the field that has the caret, which must be this one, and Enter.
    pub fn enter_at(&mut self, path: &str, text: &str) {
        assert_eq!(self.caret(), path);
        self.enter(text);
    }

    pub fn click(&mut self, label: &str) {
        self.h.get_by_label(label).click();
        self.h.run_steps(3);
    }

    pub fn caret(&self) -> String {
        self.h.state().view.caret.clone()
    }

    pub fn text(&self, path: &str) -> String {
        self.h
            .state()
            .view
            .entries
            .fields()
            .get(path)
            .map(|f| f.text.clone())
            .unwrap_or_default()
    }

    /// What stands in the field with this name.
    pub fn shown(&self, label: &str) -> String {
        self.h.get_by_label(label).value().unwrap_or_default()
    }

    pub fn has(&self, label: &str) -> bool {
        self.h.query_all_by_label_contains(label).next().is_some()
    }

    pub fn assessment(&mut self) -> Arc<Assessment> {
        let shop = self.h.state_mut();
        shop.view.assess(&shop.facts, shop.show.unit)
    }
}

/// Everything of teardown 5 but the decision and what follows it.
pub const READ: [(&str, &str); 32] = [
    ("identify.chock", "WC-40"),
    ("identify.zone", "II"),
    ("shim.found", "1.20"),
    ("findings.cracks", "dye_clear"),
    ("found.seal", "sound"),
    ("found.grease", "normal"),
    ("found.water", "none"),
    ("found.rotation", "free"),
    ("found.bolts", "tight"),
    ("clean.state", "used"),
    ("clean.agent", "solvent"),
    ("clean.preserved", "oil"),
    ("findings.none", "yes"),
    ("clearance.gauge_gap", "GB-01"),
    ("clearance.gauge_width", "HG-02"),
    ("clearance.gap.1.0", "23.372"),
    ("clearance.gap.1.90", "23.366"),
    ("clearance.gap.1.180", "23.378"),
    ("clearance.gap.1.270", "23.372"),
    ("clearance.spacer.1", "24.012"),
    ("clearance.gap.2.0", "29.424"),
    ("clearance.gap.2.90", "29.418"),
    ("clearance.gap.2.180", "29.430"),
    ("clearance.gap.2.270", "29.424"),
    ("clearance.spacer.2", "30.004"),
    ("clearance.gap.3.0", "23.378"),
    ("clearance.gap.3.90", "23.370"),
    ("clearance.gap.3.180", "23.384"),
    ("clearance.gap.3.270", "23.380"),
    ("clearance.spacer.3", "24.008"),
    ("skip.bore", "measured in May"),
    ("skip.neck", "roll still in the mill"),
];

/// The same in inch.
pub fn inch(shop: Shop) -> Shop {
    Shop {
        show: Show {
            unit: LengthUnit::Inch,
            ..Show::default()
        },
        ..shop
    }
}
