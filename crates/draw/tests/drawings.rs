//! Facts of the drawings: nothing outside the size, no words over words, positions to scale, and SVG
//! that a reader of XML accepts. The same drawings are looked at in the gallery.
#![allow(clippy::unwrap_used, missing_docs)]

#[path = "../examples/gallery/models.rs"]
mod models;

use draw::growth::{Growth, Xy};
use draw::stack_map::StackMap;
use draw::{Hit, Item, Pair, Pos, Scene, Shape, Stroke, Text, Theme, Token, pos};

const SLACK: f32 = 0.01;

fn stroke_of(shape: &Shape) -> Option<Stroke> {
    match shape {
        Shape::Line { stroke, .. } | Shape::Polyline { stroke, .. } | Shape::Arc { stroke, .. } => {
            Some(*stroke)
        }
        Shape::Polygon { stroke, .. }
        | Shape::Circle { stroke, .. }
        | Shape::Rect { stroke, .. } => *stroke,
        Shape::Text(_) => None,
    }
}

fn near(a: f32, b: f32, tolerance: f32) -> bool {
    (a - b).abs() <= tolerance
}

#[test]
fn nothing_is_drawn_outside_the_size_of_a_drawing() {
    let scenes = models::all();
    assert_eq!(scenes.len(), 40, "a drawing is missing");
    for (name, scene) in scenes {
        assert!(
            !scene.items.is_empty() && !scene.title.is_empty(),
            "{name} is empty"
        );
        for Item { shape, .. } in &scene.items {
            let (min, max) = shape.bounds();
            let half = stroke_of(shape).map_or(0.0, |stroke| stroke.width / 2.0);
            let (low, high) = (-half - SLACK, half + SLACK);
            let is_inside = min.x >= low
                && min.y >= low
                && max.x <= scene.width + high
                && max.y <= scene.height + high;
            assert!(
                is_inside,
                "{name}, {} x {}: {shape:?}",
                scene.width, scene.height
            );
        }
    }
}

#[test]
fn no_words_lie_over_other_words() {
    for (name, scene) in models::all() {
        let texts: Vec<&Text> = scene.texts().filter(|text| !text.text.is_empty()).collect();
        for (i, one) in texts.iter().enumerate() {
            for other in &texts[..i] {
                let ((a0, a1), (b0, b1)) = (one.bounds(), other.bounds());
                let meets = a0.x < b1.x && b0.x < a1.x && a0.y + 1.0 < b1.y && b0.y + 1.0 < a1.y;
                assert!(!meets, "{name}: '{}' over '{}'", one.text, other.text);
            }
        }
    }
}

/// Reads tags, attributes and nesting as XML 1.0 wants them; enough for what is written here.
fn check_xml(text: &str) -> Result<usize, String> {
    let (mut open, mut rest, mut elements) = (Vec::new(), text, 0);
    while let Some(start) = rest.find('<') {
        let before = &rest[..start];
        if before.contains('>') {
            return Err(format!("loose > in {before:?}"));
        }
        for after in before.split('&').skip(1) {
            let entity = after.split(';').next().unwrap_or_default();
            if !["amp", "lt", "gt", "quot"].contains(&entity) {
                return Err(format!("loose & before {after:?}"));
            }
        }
        let end = rest[start..].find('>').ok_or("tag without end")? + start;
        let tag = &rest[start + 1..end];
        rest = &rest[end + 1..];
        if let Some(name) = tag.strip_prefix('/') {
            if open.pop() != Some(name) {
                return Err(format!("</{name}> closes another element"));
            }
            continue;
        }
        elements += 1;
        let body = tag.strip_suffix('/').unwrap_or(tag);
        let name = body.split_whitespace().next().ok_or("tag without name")?;
        let quoted = body.split('"').count();
        if quoted.is_multiple_of(2) || body.contains('<') {
            return Err(format!("attributes of {body:?}"));
        }
        if body.len() == tag.len() {
            open.push(name);
        }
    }
    if open.is_empty() {
        Ok(elements)
    } else {
        Err(format!("left open: {open:?}"))
    }
}

#[test]
fn every_svg_is_well_formed_and_the_same_each_time() {
    assert!(
        check_xml("<a><b></a></b>").is_err() && check_xml("<a>x & y</a>").is_err(),
        "the check sees nothing"
    );
    for (name, scene) in models::all() {
        let (day, night) = (scene.to_svg(Theme::Day), scene.to_svg(Theme::Night));
        assert!(check_xml(&day).unwrap() > 5, "{name}");
        assert_eq!(check_xml(&day), check_xml(&night), "{name}");
        assert!(day != night && day == scene.to_svg(Theme::Day), "{name}");
        assert!(!day.contains("NaN") && !day.contains("inf\""), "{name}");
        assert!(
            day.contains("role=\"img\"") && day.contains("font-family=\"Open Sans\""),
            "{name}"
        );
    }
}

#[test]
fn hostile_words_stay_words() {
    let mut map = models::rings();
    map.title = "</svg><script>\u{1}".into();
    map.note_left = "a <b> & \"c\" \u{202E}\u{4E2D}".into();
    let svg = map.scene(404.0).to_svg(Theme::Day);
    check_xml(&svg).unwrap();
    assert!(
        !svg.contains("<script") && !svg.contains('\u{1}') && svg.contains("[U+4E2D]"),
        "{svg}"
    );
}

// --- stack map -------------------------------------------------------------------------------

fn extent<'a>(shapes: impl Iterator<Item = &'a Shape>) -> (Pos, Pos) {
    shapes.map(Shape::bounds).fold(
        (pos(9e9, 9e9), pos(-9e9, -9e9)),
        |(low, high), (min, max)| {
            (
                pos(low.x.min(min.x), low.y.min(min.y)),
                pos(high.x.max(max.x), high.y.max(max.y)),
            )
        },
    )
}

#[test]
fn the_stack_is_drawn_to_scale_in_both_directions() {
    for sizes in [models::TYPE_480, models::TYPE_560, models::TYPE_300] {
        for (pair, spacer_mm) in Pair::ALL.into_iter().zip(sizes.3) {
            let scene = models::stack(sizes, Some(pair)).scene(792.0);
            let scale = (792.0 - 52.0) / sizes.2 as f32;
            let is_metal = |shape: &&Shape| {
                matches!(
                    shape,
                    Shape::Polygon {
                        fill: Some(Token::Metal),
                        ..
                    }
                )
            };
            let shapes = || scene.items.iter().map(|item| &item.shape);
            let (min, max) = extent(shapes().filter(is_metal));
            assert!(
                near(max.x - min.x, sizes.2 as f32 * scale, 1.0),
                "{sizes:?} width"
            );
            assert!(
                near(
                    max.y - min.y,
                    ((sizes.1 - sizes.0) / 2.0) as f32 * scale,
                    1.0
                ),
                "{sizes:?} height"
            );
            assert_eq!(
                shapes().filter(is_metal).count(),
                5,
                "two inner and three outer rings"
            );
            let is_place = |shape: &&Shape| matches!(shape, Shape::Rect { fill, .. } if *fill == Some(pair.tint()));
            let (min, max) = extent(shapes().filter(is_place));
            assert!(
                near(max.x - min.x, spacer_mm as f32 * scale, 1.5),
                "{sizes:?} {pair:?}"
            );
            let is_lit = |shape: &&Shape| matches!(shape, Shape::Polygon { fill, .. } if *fill == Some(pair.tint()));
            assert_eq!(
                shapes().filter(is_lit).count(),
                2,
                "the lit pair has two rows"
            );
        }
    }
}

#[test]
fn rollers_lie_between_the_rings_and_nowhere_in_the_metal() {
    let scene = models::stack(models::TYPE_560, None).scene(792.0);
    let polygons = |token| {
        let of = move |item: &Item| match &item.shape {
            Shape::Polygon { points, fill, .. } if *fill == Some(token) => Some(points.clone()),
            _ => None,
        };
        scene.items.iter().filter_map(of).collect::<Vec<_>>()
    };
    let (rollers, rings) = (polygons(Token::Sheet), polygons(Token::Metal));
    assert_eq!((rollers.len(), rings.len()), (4, 5));
    for roller in &rollers {
        for i in 0..roller.len() {
            let (a, b) = (roller[i], roller[(i + 1) % roller.len()]);
            let middle = pos(f32::midpoint(a.x, b.x), f32::midpoint(a.y, b.y));
            assert!(
                !rings.iter().any(|ring| is_inside(ring, middle)),
                "{middle:?} is in a ring"
            );
        }
    }
}

fn is_inside(outline: &[Pos], p: Pos) -> bool {
    let edges = (0..outline.len()).map(|i| (outline[i], outline[(i + 1) % outline.len()]));
    let crosses = |(a, b): &(Pos, Pos)| {
        (a.y > p.y) != (b.y > p.y) && p.x < a.x + (b.x - a.x) * (p.y - a.y) / (b.y - a.y)
    };
    edges.filter(crosses).count() % 2 == 1
}

#[test]
fn sizes_that_cannot_be_a_bearing_draw_no_section() {
    let rejects: [fn(&mut StackMap); 4] = [
        |map| map.bore_mm = f64::NAN,
        |map| map.outside_mm = map.bore_mm,
        |map| map.spacers_mm[1] = 400.0,
        |map| map.width_mm = -1.0,
    ];
    for spoil in rejects {
        let mut map = models::stack(models::TYPE_480, None);
        spoil(&mut map);
        let scene = map.scene(400.0);
        assert!(
            scene
                .items
                .iter()
                .all(|item| matches!(item.shape, Shape::Text(_))),
            "{map:?}"
        );
    }
}

// --- bore map --------------------------------------------------------------------------------

fn outlines(scene: &Scene) -> Vec<&Vec<Pos>> {
    let of = |item: &'_ Item| {
        matches!(
            item.shape,
            Shape::Polygon {
                stroke: Some(_),
                ..
            }
        )
    };
    scene
        .items
        .iter()
        .filter(|item| of(item))
        .filter_map(|item| match &item.shape {
            Shape::Polygon { points, .. } => Some(points),
            _ => None,
        })
        .collect()
}

#[test]
fn the_bore_outline_passes_through_its_readings_at_the_stated_magnification() {
    let map = models::bore(&models::MARCH_2026, 3);
    assert_eq!(map.magnification_shown(), 1_000);
    let scene = map.scene(360.0);
    let outlines = outlines(&scene);
    assert_eq!(outlines.len(), 3);
    let first = outlines[2]; // painted last, the strongest
    let centre = pos(
        180.0,
        first.iter().map(|p| p.y).sum::<f32>() / first.len() as f32,
    );
    let k = 100.0 * 1_000.0 / 620.0; // px per mm of diameter: half of it a side, on a radius of 310 mm drawn as 100 px
    for (i, v) in models::MARCH_2026[0].iter().enumerate() {
        for at in [i * 15, i * 15 + 60] {
            let p = first[at]; // 120 points: 45 degrees are 15 of them
            let reach = (p.x - centre.x).hypot(p.y - centre.y);
            assert!(
                near(reach, 100.0 + k * *v as f32, 0.05),
                "reading {i}: {reach}"
            );
        }
    }
}

#[test]
fn a_plane_that_is_not_complete_has_dots_but_no_outline() {
    let scene = models::bore_begun().scene(360.0);
    assert_eq!(outlines(&scene).len(), 1);
    let is_dot = |item: &&Item| matches!(item.shape, Shape::Circle { fill: Some(_), .. });
    assert_eq!(scene.items.iter().filter(is_dot).count(), 2 * (4 + 2));
    let mut empty = models::bore(&models::MARCH_2026, 0);
    empty.planes.clear();
    assert!(outlines(&empty.scene(360.0)).is_empty());
}

#[test]
fn the_bore_never_leaves_its_frame_however_far_off_a_reading_is() {
    for (deviation, asked) in [
        (0.5, Some(5_000)),
        (-3.0, None),
        (40.0, Some(1_000)),
        (f64::NAN, None),
    ] {
        let mut map = models::bore(&models::MARCH_2026, 3);
        map.planes[0].deviations_mm[1] = Some(deviation);
        map.magnification = asked;
        let scene = map.scene(360.0);
        for item in &scene.items {
            let (min, max) = item.shape.bounds();
            assert!(
                min.x >= -0.1 && max.x <= 360.1 && min.y >= 0.0,
                "{deviation}: {:?}",
                item.shape
            );
        }
        let stated = map.magnification_shown();
        assert!(stated <= asked.unwrap_or(1_000), "{deviation}: {stated}");
        let words = scene
            .texts()
            .find_map(|text| text.text.strip_prefix("deviation × "))
            .unwrap();
        assert_eq!(words.replace(',', ""), stated.to_string());
    }
}

// --- ring map --------------------------------------------------------------------------------

#[test]
fn a_pointer_on_the_rings_gives_back_row_and_angle() {
    let map = models::findings();
    let layout = map.layout(792.0);
    for row in 1..=4 {
        assert_eq!(layout.row_at(layout.top_of(row) + 5.0), Some(row));
        assert_eq!(
            layout.row_at(layout.top_of(row) + layout.row_height + 2.0),
            None,
            "between rows"
        );
    }
    for deg in [0.0, 45.0, 200.0, 360.0] {
        assert!(
            (layout.deg_at(layout.x_of(deg)).unwrap() - deg).abs() < 1e-3,
            "{deg}"
        );
    }
    assert_eq!(
        (layout.deg_at(layout.left - 1.0), layout.row_at(0.0)),
        (None, None)
    );
}

#[test]
fn a_mark_past_360_degrees_is_split_and_its_words_come_after_it() {
    let map = models::findings();
    let (scene, layout) = (map.scene(792.0), map.layout(792.0));
    let is_path = |item: &&Item| {
        let top = layout.top_of(3);
        let (min, _) = item.shape.bounds();
        item.hit.is_some() && min.y > top && min.y < top + layout.row_height
    };
    let spans: Vec<(f32, f32)> = scene
        .items
        .iter()
        .filter(is_path)
        .map(|item| item.shape.bounds())
        .map(|(a, b)| (a.x, b.x))
        .collect();
    assert_eq!(spans.len(), 2, "{spans:?}");
    assert!(
        near(spans[0].0, layout.x_of(300.0), 1.0) && near(spans[0].1, layout.x_of(360.0), 1.0),
        "{spans:?}"
    );
    assert!(
        near(spans[1].0, layout.x_of(0.0), 1.0) && near(spans[1].1, layout.x_of(60.0), 1.0),
        "{spans:?}"
    );
    let words = scene
        .texts()
        .find(|text| text.text == "2  wide path")
        .unwrap();
    assert!(words.span().0 > layout.x_of(60.0));
}

#[test]
fn boxes_of_hours_stand_in_proportion() {
    let mut map = models::rings();
    map.zone_up = None;
    let hours = map.hours.as_mut().unwrap();
    (
        hours[0].hours,
        hours[1].hours,
        hours[2].hours,
        hours[3].hours,
    ) = (2_000.0, 1_000.0, 500.0, 0.0);
    let scene = map.scene(404.0);
    let boxes: Vec<f32> = scene
        .items
        .iter()
        .filter_map(|item| match item.shape {
            Shape::Rect {
                min,
                max,
                fill: Some(Token::Metal),
                ..
            } if max.y > 200.0 => Some(max.y - min.y),
            _ => None,
        })
        .collect();
    assert_eq!(boxes.len(), 5, "zone I has a box at both ends: {boxes:?}");
    assert!(
        near(boxes[0], 2.0 * boxes[1], 1.0)
            && near(boxes[0], 4.0 * boxes[2], 2.0)
            && boxes[3] <= 1.0,
        "{boxes:?}"
    );
    assert_eq!(boxes[0], boxes[4]);
}

// --- growth ----------------------------------------------------------------------------------

fn mark_of(scene: &Scene, label: &str) -> Pos {
    let has = |item: &&Item| {
        item.hit
            .as_ref()
            .is_some_and(|hit: &Hit| hit.label == label)
    };
    let (min, max) = scene.items.iter().find(has).unwrap().shape.bounds();
    pos(f32::midpoint(min.x, max.x), f32::midpoint(min.y, max.y))
}

#[test]
fn readings_stand_to_scale_and_answer_to_a_pointer() {
    let scene = models::growth(false).scene(684.0, 358.0);
    let one = mark_of(&scene, "0.380 mm ± 0.015, 1015 h");
    let two = mark_of(&scene, "0.440 mm ± 0.015, 2005 h");
    let three = mark_of(&scene, "0.575 mm ± 0.015, 4030 h");
    assert!(near(
        (three.x - one.x) / (two.x - one.x),
        3_015.0 / 990.0,
        0.01
    ));
    assert!(near(
        (three.y - one.y) / (two.y - one.y),
        0.195 / 0.060,
        0.01
    ));
    assert_eq!(scene.hit_at(one).unwrap().key, 1_015);
    // The same readings of another pair are dodged, so that bars do not cover each other.
    let other = mark_of(&scene, "0.370 mm ± 0.015, 1015 h");
    assert!(near(other.x - one.x, 6.0, 0.01));
}

#[test]
fn the_crossing_spans_its_interval_on_the_limit() {
    let scene = models::growth(false).scene(684.0, 358.0);
    let bar = scene.items.iter().find_map(|item| match item.shape {
        Shape::Line { from, to, stroke } if stroke.width == 5.0 => Some((from, to)),
        _ => None,
    });
    let (from, to) = bar.unwrap();
    let (a, b) = (
        mark_of(&scene, "0.380 mm ± 0.015, 1015 h"),
        mark_of(&scene, "0.575 mm ± 0.015, 4030 h"),
    );
    let px_per_hour = (b.x - a.x) / 3_015.0;
    assert!(
        near(to.x - from.x, 400.0 * px_per_hour, 0.1),
        "{from:?} {to:?}"
    );
    let limit = scene.items.iter().find_map(|item| match item.shape {
        Shape::Line { from, stroke, .. } if stroke.token == Token::Fail => Some(from.y),
        _ => None,
    });
    assert!(near(limit.unwrap(), from.y, 1.0));
}

#[test]
fn a_regrind_begins_a_new_line_and_no_line_runs_across_it() {
    let scene = models::growth(true).scene(684.0, 358.0);
    let wedge = scene
        .texts()
        .find(|text| text.text == "regrind 2026-07-08")
        .unwrap();
    let x = scene
        .items
        .iter()
        .find_map(|item| match item.shape {
            Shape::Line { from, to, stroke }
                if stroke.token == Token::Ink && from.x == to.x && to.y - from.y > 200.0 =>
            {
                Some(from.x)
            }
            _ => None,
        })
        .unwrap();
    assert!(wedge.span().0 > x);
    let is_pair = |token| [Token::P1, Token::P2, Token::P3].contains(&token);
    let lines: Vec<(Pos, Pos)> = scene
        .items
        .iter()
        .filter(
            |item| matches!(item.shape, Shape::Polyline { stroke, .. } if is_pair(stroke.token)),
        )
        .map(|item| item.shape.bounds())
        .collect();
    assert_eq!(
        lines.len(),
        3 * 3,
        "running-in, fit, running-in again for three pairs"
    );
    for (min, max) in lines {
        assert!(
            max.x <= x + 1.0 || min.x >= x - 1.0,
            "a line from {} to {} crosses {x}",
            min.x,
            max.x
        );
    }
}

#[test]
fn axis_numbers_follow_the_language_of_the_reader() {
    let plot = Growth {
        has_comma: true,
        ..models::growth(false)
    };
    let texts: Vec<String> = plot
        .scene(560.0, 300.0)
        .texts()
        .map(|t| t.text.clone())
        .collect();
    assert!(texts.contains(&"0,50".to_owned()), "{texts:?}");
    assert!(texts.contains(&"2\u{a0}000".to_owned()), "{texts:?}");
}

#[test]
fn an_empty_plot_says_what_it_will_show() {
    for plot in [
        models::growth_empty(),
        Growth {
            empty: "Here it will be drawn.".into(),
            ..Growth::default()
        },
    ] {
        let scene = plot.scene(560.0, 300.0);
        assert!(scene.texts().any(|text| text.text == plot.empty));
        assert!(
            scene
                .items
                .iter()
                .all(|item| !matches!(item.shape, Shape::Polyline { .. }))
        );
    }
}

#[test]
fn values_that_are_no_numbers_are_left_out_and_the_rest_is_drawn() {
    let mut plot = models::growth(false);
    plot.series[0].segments[0].readings[1].at.y = f64::NAN;
    plot.series[1].segments[0].readings[0].at.x = f64::INFINITY;
    plot.series[1].segments[0].readings[1].u = f64::NAN;
    plot.series[2].forecast.as_mut().unwrap().line.push(Xy {
        x: f64::NAN,
        y: 0.5,
    });
    plot.levels[0].value = f64::NAN;
    plot.turns[0].x = f64::NAN;
    let crossing = plot.series[0]
        .forecast
        .as_mut()
        .unwrap()
        .crossing
        .as_mut()
        .unwrap();
    crossing.late = f64::INFINITY;
    let scene = plot.scene(684.0, 358.0);
    for item in &scene.items {
        let (min, max) = item.shape.bounds();
        assert!(
            [min.x, min.y, max.x, max.y].iter().all(|v| v.is_finite()),
            "{:?}",
            item.shape
        );
    }
    mark_of(&scene, "0.575 mm ± 0.015, 4030 h");
}

#[test]
fn the_line_if_faster_wear_goes_on_is_drawn_in_short_dashes() {
    let dashes = |plot: &draw::growth::Growth| {
        let scene = plot.scene(684.0, 358.0);
        let dashed = scene.items.iter().filter(|item| {
            matches!(&item.shape, Shape::Polyline { stroke, .. } if stroke.dash == Some([2.5, 3.5]))
        });
        dashed.count()
    };
    let mut plot = models::growth(false);
    assert_eq!(dashes(&plot), 0);
    let forecast = plot.series[1].forecast.as_mut().unwrap();
    forecast.faster = forecast.line.clone();
    assert_eq!(dashes(&plot), 1);
}

#[test]
fn one_reading_alone_makes_a_plot() {
    let mut plot = models::growth_empty();
    plot.series = models::growth(false).series;
    plot.series.truncate(1);
    plot.series[0].forecast = None;
    plot.series[0].segments[0].readings.truncate(1);
    plot.series[0].segments[0].fit.clear();
    plot.levels.clear();
    let scene = plot.scene(400.0, 300.0);
    mark_of(&scene, "0.380 mm ± 0.015, 1015 h");
    assert!(
        scene
            .texts()
            .filter(|text| text.text.starts_with("0."))
            .count()
            >= 3,
        "the axis has too few numbers"
    );
}

#[test]
fn the_words_at_now_lie_on_no_reading() {
    let mut plot = models::growth(false);
    for series in &mut plot.series {
        series.forecast = None;
    }
    let last = plot.series[0].segments[0].readings.clone();
    for reading in &last {
        // Right of the last reading, so that the words stand at the left of the line, where the readings are.
        plot.now = Some((reading.at.x + 60.0, "now, 4,090 h".into()));
        let scene = plot.scene(684.0, 358.0);
        let words = scene.texts().find(|text| text.text.starts_with("now"));
        let (min, max) = words.unwrap().bounds();
        for item in scene.items.iter().filter(|item| item.hit.is_some()) {
            let (a, b) = item.shape.bounds();
            let at = pos(f32::midpoint(a.x, b.x), f32::midpoint(a.y, b.y));
            let is_under = (min.x..=max.x).contains(&at.x) && (min.y..=max.y).contains(&at.y);
            assert!(!is_under, "{:?} under {min:?} {max:?}", item.hit);
        }
    }
}

// --- clock -----------------------------------------------------------------------------------

#[test]
fn the_zone_in_the_load_stands_where_the_load_comes_from() {
    let mut clock = models::clock();
    let place =
        |scene: &Scene, zone: &str| scene.texts().find(|text| text.text == zone).unwrap().at;
    let scene = clock.scene(240.0);
    assert!(
        place(&scene, "IV").y > place(&scene, "II").y
            && place(&scene, "I").x < place(&scene, "III").x
    );
    clock.load_deg = 0.0;
    let scene = clock.scene(240.0);
    assert!(
        place(&scene, "IV").y < place(&scene, "II").y
            && place(&scene, "I").x > place(&scene, "III").x
    );
}

#[test]
fn tolerance_zones_and_their_distances_are_to_scale() {
    let scene = models::fit([-45.0, 0.0], [-108.0, -68.0]).scene(463.0);
    let zones: Vec<(Pos, Pos)> = scene
        .items
        .iter()
        .filter_map(|item| match &item.shape {
            Shape::Rect {
                min,
                max,
                fill: Some(_),
                ..
            } => Some((*min, *max)),
            _ => None,
        })
        .collect();
    let [hole, shaft] = zones[..] else {
        panic!("two zones: {zones:?}")
    };
    let px = (hole.1.y - hole.0.y) / 45.0;
    assert!(near(shaft.1.y - shaft.0.y, 40.0 * px, 1.5));
    assert!(
        near(shaft.0.y - hole.1.y, 23.0 * px, 1.5),
        "smallest clearance"
    );
    assert!(
        near(shaft.1.y - hole.0.y, 108.0 * px, 1.5),
        "largest clearance"
    );
}

#[test]
fn the_bar_reaches_what_is_needed_and_turns_where_it_passes_the_limit() {
    let reach = |needed: f64| {
        let scene = models::heating(needed).scene(463.0);
        let fills = scene.items.iter().filter_map(|item| match &item.shape {
            Shape::Rect {
                min,
                max,
                fill: Some(token),
                ..
            } => Some((*token, min.x, max.x)),
            _ => None,
        });
        let limit = fills.clone().find(|f| f.0 == Token::FailTint).unwrap().1;
        let bar = fills.clone().next_back().unwrap();
        (bar.0, bar.2 - limit)
    };
    let (token, past) = reach(68.8);
    assert!(token == Token::Accent && past < -100.0, "{past}");
    let (token, past) = reach(151.0);
    assert!(token == Token::Fail && past > 50.0, "{past}");
}
