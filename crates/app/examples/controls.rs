//! Every control in both themes side by side, for looking at.
//!
//! With the argument `why` a panel of reasons floats over it, with `sheet` the frames of a sheet are
//! shown instead, with `page` those of a page.

use app::ui::frames::{self, Footer, Left, RailItem, Section, SectionMark, Strip};
use app::ui::text::{self, Face};
use app::ui::widgets::{
    self, Bar, Bars, BellModel, Button, Choice, CodeField, Col, Columns, FieldState, Kind,
    PinField, Row, SearchField, Segments, TextField, ValueField, WhyHead,
};
use app::ui::{focus, keys, theme};
use draw::{Mark, Pair, Theme, Token};
use eframe::egui::{self, Rect, Ui, UiBuilder, vec2};

/// What the two halves and the frames remember.
#[derive(Default)]
struct Gallery {
    mode: String,
    halves: [Half; 2],
    search: String,
    current: usize,
    asked: bool,
    why_closed: bool,
    help: bool,
}

#[derive(Default)]
struct Half {
    values: [String; 6],
    code: String,
    pin: String,
    remark: String,
    search: String,
    zone: Option<usize>,
    sheet: usize,
    ticked: bool,
    asked: bool,
}

fn main() -> eframe::Result {
    let mode = std::env::args().nth(1).unwrap_or_default();
    let size = if mode.is_empty() {
        [1280.0, 1300.0]
    } else {
        [1280.0, 800.0]
    };
    let options = eframe::NativeOptions {
        renderer: eframe::Renderer::Glow,
        viewport: egui::ViewportBuilder::default().with_inner_size(size),
        ..eframe::NativeOptions::default()
    };
    eframe::run_native(
        "gallery",
        options,
        Box::new(|creation| {
            theme::install(&creation.egui_ctx);
            let night = std::env::args().nth(2).is_some_and(|word| word == "night");
            theme::set(
                &creation.egui_ctx,
                if night { Theme::Night } else { Theme::Day },
            );
            let mut gallery = Gallery {
                mode,
                ..Gallery::default()
            };
            for half in &mut gallery.halves {
                half.values =
                    ["23.372", "29.4", "", "23.674", "620.310", "18.886"].map(str::to_owned);
                half.zone = Some(2);
            }
            Ok(Box::new(gallery))
        }),
    )
}

impl eframe::App for Gallery {
    fn ui(&mut self, ui: &mut Ui, _frame: &mut eframe::Frame) {
        for action in keys::triggered(ui.ctx()) {
            match action {
                keys::Action::Find => focus::ask(ui.ctx(), SearchField::PATH),
                keys::Action::Help => self.help = true,
                _ => {}
            }
        }
        match self.mode.as_str() {
            "sheet" => self.sheet(ui),
            "page" => self.page(ui),
            _ => self.both(ui),
        }
        if self.help {
            let part = frames::HelpPart {
                head: "What it is for",
                text: "Every control as it is drawn.",
            };
            self.help = !frames::help_sheet(ui.ctx(), "Gallery", &[part]);
        }
    }
}

impl Gallery {
    fn both(&mut self, ui: &mut Ui) {
        let all = ui.max_rect();
        let (left, right) = all.split_left_right_at_fraction(0.5);
        for (index, (rect, shown)) in [(left, Theme::Day), (right, Theme::Night)]
            .into_iter()
            .enumerate()
        {
            let builder = UiBuilder::new().max_rect(rect).id_salt(index);
            ui.scope_builder(builder, |ui| {
                theme::use_in(ui, shown);
                ui.painter()
                    .rect_filled(rect, 0.0, theme::color(ui, Token::Sheet));
                let inside = rect.shrink2(vec2(24.0, 8.0));
                ui.scope_builder(UiBuilder::new().max_rect(inside), |ui| {
                    half(ui, &mut self.halves[index], index);
                });
            });
        }
        if self.mode == "why" && !self.why_closed {
            let beside = Rect::from_min_size(egui::pos2(840.0, 468.0), vec2(140.0, 24.0));
            let head = WhyHead {
                title: "Why: mean size, chock bore",
                mark: Mark::PassInDoubt,
                word: "pass in doubt",
                beside,
                buttons: &[],
            };
            self.why_closed = widgets::why_panel(ui, head, why).is_some();
        }
    }

    fn sheet(&mut self, ui: &mut Ui) {
        let strip = Strip {
            left: Left::Back("Log"),
            title: "Teardown",
            detail: "TH-4T-031 · N4T-480/620-336 · off F6-W-T-D after 980 h",
            note: "draft kept 14:02",
            person: "Fitter 4",
        };
        frames::top_strip(ui, &strip, &mut self.search);
        let names = [
            "Identify",
            "As found",
            "Clean",
            "Findings",
            "Clearance",
            "Seats",
            "Decision",
            "Reassemble",
            "Sign",
        ];
        let items: Vec<Section> = names
            .iter()
            .enumerate()
            .map(|(i, name)| Section {
                number: i as u32 + 1,
                name,
                sub: if i == 4 { "8 of 15 values" } else { "" },
                mark: match i {
                    0..=3 => SectionMark::Done,
                    4 => SectionMark::Open,
                    5 => SectionMark::Verdict(Mark::Fail),
                    _ => SectionMark::Verdict(Mark::Missing),
                },
            })
            .collect();
        if let Some(pressed) = frames::sections(ui, &items, 4) {
            self.current = pressed;
        }
        frames::side_panel(ui, "What the sheet says", |ui| {
            text::say(ui, Face::TITLE, "Regrind spacers");
            text::note(
                ui,
                "From 1 of 3 pairs so far. Target 0.300, drawing 0.270 to 0.330.",
            );
            text::note(ui, "Why, weightiest first");
            widgets::numbered(
                ui,
                1,
                "Rows 1–2 stand at 0.640, 2.13 times as set and over the rework level 0.600.",
            );
            widgets::numbered(
                ui,
                2,
                "Rows 2–3 at 0.583 so far: over the watch level 0.450, under 0.600.",
            );
            widgets::rule(ui);
            widgets::heading(ui, "Turn to zone II", "least hours");
            zone_bars(ui);
        });
        let words = Footer {
            back: Some("Back: Findings"),
            next: Some("Next: Seats"),
            next_enabled: true,
            note: "",
        };
        frames::footer(ui, words);
        frames::sheet_body(ui, "clearance", |ui| {
            widgets::section_title(
                ui,
                Some(5),
                "Clearance",
                "bench, stacked without spacers, four places per gap",
            );
            grid(ui, &mut self.halves[0], &mut self.asked);
        });
    }

    fn page(&mut self, ui: &mut Ui) {
        let strip = Strip {
            left: Left::Plant("Tarnhollow"),
            title: "TH-4T-031",
            detail: "N4T-480/620-336 · 480 × 620 × 336 · 268 kg",
            note: "",
            person: "Roll-shop Engineer",
        };
        frames::top_strip(ui, &strip, &mut self.search);
        let mut items: Vec<RailItem> = [
            "Today",
            "Log",
            "Bearings",
            "Chocks",
            "Stands",
            "Bench",
            "Documents",
        ]
        .map(RailItem::page)
        .to_vec();
        items.extend([RailItem::rule(), RailItem::page("Setup")]);
        if let Some(pressed) = frames::rail(ui, &items, Some(2)) {
            self.current = pressed;
        }
        frames::page_body(ui, |ui| {
            widgets::page_title(ui, "Bearings", "a page with its table");
            bearings(ui);
            widgets::heading(
                ui,
                "What happened",
                "newest first · 6 entries · nothing is ever overwritten",
            );
            table(ui);
        });
    }
}

fn half(ui: &mut Ui, half: &mut Half, index: usize) {
    ui.spacing_mut().item_spacing = vec2(12.0, 6.0);
    let name = if theme::of(ui) == Theme::Day {
        "Day"
    } else {
        "Night"
    };
    widgets::page_title(ui, name, "every control as it is drawn");
    widgets::rule(ui);
    text::say(ui, Face::NOTE_STRONG, "Badges");
    for row in [0, 3] {
        let words = [
            "pass",
            "pass in doubt",
            "fail in doubt",
            "fail",
            "missing",
            "not applicable",
        ];
        let order = [
            Mark::Pass,
            Mark::PassInDoubt,
            Mark::FailInDoubt,
            Mark::Fail,
            Mark::Missing,
            Mark::NotApplicable,
        ];
        let start = ui.cursor().min;
        ui.horizontal(|ui| {
            for i in 0..3 {
                ui.add_space((start.x + 200.0 * i as f32 - ui.cursor().left()).max(0.0));
                let spoken = format!("{name}: {}", words[row + i]);
                widgets::badge_button(ui, order[row + i], words[row + i], &spoken);
            }
        });
    }
    ui.horizontal(|ui| {
        for mark in Mark::ALL {
            widgets::mark(ui, mark);
        }
        for (pair, words) in Pair::ALL.into_iter().zip(["1–2", "2–3", "3–4"]) {
            widgets::pair(ui, pair, words);
        }
    });
    text::say(ui, Face::NOTE_STRONG, "Buttons, 44 high");
    ui.horizontal(|ui| {
        widgets::primary(ui, "Sign with PIN");
        widgets::second(ui, "Second");
        widgets::danger(ui, "Scrap for good");
        Button::new(Kind::Second, "Off").enabled(false).show(ui);
        widgets::quiet(ui, "Quiet");
    });
    ui.add_space(4.0);
    ui.horizontal(|ui| {
        let button = widgets::second(ui, "In focus");
        if !half.asked && index == 0 {
            button.request_focus();
            half.asked = true;
        }
        widgets::checkbox(ui, "Ticked", &mut half.ticked);
        ui.add_space(40.0);
        Segments::new("Severity", &["0", "1", "2", "3"]).show(ui, &mut half.zone);
    });
    widgets::tabs(ui, "Sheet", &["Chock bore", "Roll neck"], &mut half.sheet);
    fields(ui, half, index);
    table(ui);
    ui.add_space(10.0);
    ui.columns(2, |columns| {
        widgets::caution(
            &mut columns[0],
            "Caution",
            "Never a flame. The site’s own procedure comes first.",
        );
        widgets::error_box(
            &mut columns[1],
            "Not saved",
            "The disk is full. Your draft is safe; make room first.",
        );
    });
    ui.add_space(8.0);
    let detail = "Here its clearance will be drawn against hours.";
    widgets::empty_page(
        ui,
        "No teardown of this bearing yet.",
        detail,
        Some("New teardown"),
    );
    widgets::progress(ui, 438, 640, "");
    zone_bars(ui);
}

fn fields(ui: &mut Ui, half: &mut Half, index: usize) {
    text::say(ui, Face::NOTE_STRONG, "Fields, 44 high");
    let path = |field: &str| format!("{index}/{field}");
    let (locked_path, asked_path, refused_path) = (path("d"), path("e"), path("f"));
    ui.horizontal(|ui| {
        ValueField::new(&path("a"), "Gap 1 at 0 degrees, mm")
            .width(136.0)
            .show(ui, &mut half.values[0]);
        ValueField::new(&path("b"), "Gap 1 at 90 degrees, mm")
            .unit("mm")
            .width(136.0)
            .show(ui, &mut half.values[1]);
        ValueField::new(&path("c"), "Gap 1 at 180 degrees, mm")
            .width(136.0)
            .show(ui, &mut half.values[2]);
        let locked =
            ValueField::new(&locked_path, "Gap 1 at 270 degrees, mm").state(FieldState::Locked);
        locked.width(136.0).show(ui, &mut half.values[3]);
    });
    ui.horizontal_top(|ui| {
        let asked = FieldState::Asked {
            question: "Improbable for this bore: +0.310.",
            detail: "Digits exchanged? 620.031",
            offer: Some("Take 620.031"),
        };
        let field = ValueField::new(&asked_path, "Bore, plane 1 at 0 degrees, mm")
            .width(136.0)
            .state(asked);
        field.show_whole(ui, &mut half.values[4]);
        let refused = FieldState::Refused {
            reason: "Not possible for this neck in mm.",
            detail: "Inch? 18.886 in = 479.704 mm",
            offer: Some("Take as inch"),
        };
        let field = ValueField::new(&refused_path, "Neck, plane 1 at 0 degrees, mm")
            .width(136.0)
            .state(refused);
        field.show_whole(ui, &mut half.values[5]);
    });
    let choices = [
        Choice {
            code: "WR-B-07",
            detail: "bottom work roll, operator side",
        },
        Choice {
            code: "WR-B-08",
            detail: "bottom work roll, drive side",
        },
        Choice {
            code: "WC-17",
            detail: "held",
        },
    ];
    ui.horizontal(|ui| {
        CodeField::new(&path("code"), "Chock")
            .hint("type or scan")
            .width(180.0)
            .show(ui, &mut half.code, &choices);
        TextField::new(&path("remark"), "Remark")
            .hint("Remark")
            .width(160.0)
            .show(ui, &mut half.remark);
        PinField::new(&path("pin"), "PIN of the approver")
            .width(100.0)
            .show(ui, &mut half.pin);
    });
    if index == 1 {
        SearchField::new("Find or scan").show(ui, &mut half.search);
    }
}

fn table(ui: &mut Ui) {
    let columns = Columns::new(vec![
        Col::left("date", 90.0),
        Col::left("chock", 64.0),
        Col::right("ovality", 64.0),
        Col::rest("verdict"),
        Col::right("", 110.0),
    ]);
    columns.header(ui);
    let rows = [
        ("2026-03-24", "WC-17", "0.152", Some(Mark::Fail), "plain"),
        (
            "2025-08-19",
            "WC-17",
            "0.092",
            Some(Mark::Pass),
            "under the pointer",
        ),
        ("2024-12-03", "WC-17", "0.034", Some(Mark::Pass), "chosen"),
        ("2025-03-04", "WC-05", "620.310", None, "amended"),
    ];
    for (date, chock, value, verdict, note) in rows {
        let row = Row::reading(format!("{date} {chock}"))
            .clickable(true)
            .chosen(note == "chosen");
        columns.row(ui, &row, |cells| {
            cells.put(Face::BODY.muted(), date).text(chock);
            match verdict {
                Some(mark) => cells
                    .value(value)
                    .badge(mark, if mark == Mark::Pass { "pass" } else { "fail" }),
                None => cells.struck(value).text("620.031 from 2025-03-05"),
            };
            cells.note(note);
        });
    }
}

fn bearings(ui: &mut Ui) {
    let columns = Columns::new(vec![
        Col::left("number", 140.0),
        Col::right("hours", 90.0),
        Col::rest("state"),
    ]);
    let row = |i: usize| {
        Row::reading(format!("TH-4T-{i:03}"))
            .clickable(true)
            .chosen(i == 2)
    };
    columns.rows(ui, "bearings", 260.0, 1000, row, |i, cells| {
        cells
            .text(&format!("TH-4T-{i:03}"))
            .value(&format!("{}", i * 37))
            .badge(Mark::Pass, "pass");
    });
}

fn grid(ui: &mut Ui, half: &mut Half, asked: &mut bool) {
    let order: Vec<String> = ["0", "90", "180", "270"]
        .map(|deg| format!("gap2/{deg}"))
        .to_vec();
    if !*asked {
        focus::ask(ui.ctx(), &order[2]);
        *asked = true;
    }
    ui.horizontal(|ui| {
        ui.set_row_height(44.0);
        widgets::pair(ui, Pair::P2, "2–3");
        for (i, path) in order.iter().enumerate() {
            let name = format!("Gap 2 at {} degrees, mm", i * 90);
            let outcome = ValueField::new(path, &name).show(ui, &mut half.values[i]);
            if let widgets::Outcome::Commit(step) = outcome {
                focus::step(ui.ctx(), &order, path, step);
            }
        }
    });
    let columns = Columns::new(vec![
        Col::left("", 64.0),
        Col::rest(""),
        Col::rest_right(""),
    ]);
    columns.row(ui, &Row::gauge("GB-01 gap blocks"), |cells| {
        cells
            .value("GB-01")
            .text("gap blocks")
            .ui(|ui| widgets::badge(ui, Mark::Pass, "in calibration"));
    });
    columns.row(ui, &Row::action("Make ready"), |cells| {
        cells
            .text("57")
            .text("a row with a button")
            .ui(|ui| widgets::second(ui, "Make ready"));
    });
}

fn zone_bars(ui: &mut Ui) {
    let bar = |label, value, text, lit| Bar {
        label,
        value,
        text,
        lit,
        token: None,
    };
    let rows = [
        bar("I", 1995.0, "1,995 h", false),
        bar("II", 990.0, "990 h", true),
        bar("III", 1020.0, "1,020 h", false),
        bar("IV", 1005.0, "1,005 h", false),
    ];
    Bars {
        title: "Hours in the load",
        rows: &rows,
        limit: None,
        max: 2400.0,
        label_width: 30.0,
    }
    .show(ui);
}

fn why(ui: &mut Ui) {
    let bell = BellModel {
        value: 0.113,
        u: 0.005,
        limit: 0.120,
        upper: true,
        found_text: "found +0.113",
        limit_text: "limit +0.120",
        chance_text: "0.92",
        chance_note: ["chance that", "it conforms"],
        beyond_text: "0.08 beyond",
        ticks: &[(0.10, "+0.100"), (0.11, "+0.110"), (0.13, "+0.130")],
        token: Token::Doubt,
        tint: Token::DoubtTint,
    };
    app::ui::paint::scene(ui, &bell.scene(464.0));
    widgets::rule(ui);
    widgets::key_value(
        ui,
        "value",
        "+0.113 mm",
        "mean of 12 two-point sizes, at 20 °C, from 620",
    );
    widgets::key_value(
        ui,
        "uncertainty",
        "U 0.010 mm",
        "k = 2, so u 0.005; gauge BG-03, from the register",
    );
    widgets::key_value(
        ui,
        "limit",
        "at most +0.120 mm",
        "N4T-480/620-336, drawing value, version 1",
    );
    widgets::key_value(
        ui,
        "margin",
        "0.007 mm",
        "1.4 u; clear pass from 1.65 u, that is from +0.1118 down",
    );
    widgets::key_value(
        ui,
        "rule",
        "ISO 14253-1:2017",
        "pass in doubt between 95 and 50 %",
    );
    ui.add_space(16.0);
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = 16.0;
        widgets::primary(ui, "Measure again");
        widgets::second(ui, "Second person");
        widgets::quiet(ui, "Copy as text");
    });
}
