//! The drawing of a calculation, where one helps.

use calc::iso286::tolerance;
use calc::method::Method;
use calc::quantity::{as_micrometres, as_millimetres, celsius, millimetres, per_kelvin};
use calc::seat::Correction;
use draw::bore_map::{Plane, Tolerance};
use draw::stack_map::PairNote;
use draw::tolerance_zones::Zone;
use draw::{BoreMap, HeatBar, Scatter, Scene, StackMap, ToleranceZones};
use serde_json::Value;
use store::entry::{LengthUnit, Show};

use super::headline::signed;
use super::plot;
use super::unit::Unit;

/// A drawing, to be made as wide as there is room.
#[derive(Debug, Clone, PartialEq)]
pub enum Picture {
    /// Tolerance zones.
    Zones(ToleranceZones),
    /// A temperature against its limit.
    Heat(HeatBar),
    /// The stack with its spacers.
    Stack(Box<StackMap>),
    /// The outline of a seat.
    Bore(Box<BoreMap>),
    /// Points with their line.
    Points(Box<Scatter>),
}

impl Picture {
    /// The drawing in a given width.
    pub fn scene(&self, width: f32) -> Scene {
        match self {
            Self::Zones(zones) => zones.scene(width),
            Self::Heat(bar) => bar.scene(width),
            Self::Stack(stack) => stack.scene(width),
            Self::Bore(bore) => bore.scene(width.min(420.0)),
            Self::Points(points) => points.scene(width.min(560.0)),
        }
    }

    /// What it shows, in words.
    pub fn title(&self) -> &str {
        match self {
            Self::Zones(zones) => &zones.title,
            Self::Heat(bar) => &bar.title,
            Self::Stack(stack) => &stack.title,
            Self::Bore(bore) => &bore.title,
            Self::Points(points) => &points.title,
        }
    }
}

/// The drawing of a result; none where a drawing would say no more than the number.
pub fn picture(method: &Method, input: &Value, output: &Value, show: Show) -> Option<Picture> {
    match method.name {
        "fit" => fit(input, output, show),
        "tolerance" => {
            let class = input.get("class")?.as_str()?;
            zones(input, [Some((class, deviations(output)?)), None], show)
        }
        "heating" => heating(input, output, show),
        "stack" => stack(input, output, show),
        "seat" => seat(input, show),
        "linear_fit" => points(plot::powers(input, output, show)),
        "theil_sen" => points(plot::medians(input, output, show)),
        "mixed_growth" => points(plot::groups(input, output, show)),
        "weibull" => points(plot::life(input, output, show)),
        _ => None,
    }
}

fn points(plot: Option<Scatter>) -> Option<Picture> {
    plot.map(|plot| Picture::Points(Box::new(plot)))
}

fn number(value: &Value, key: &str) -> Option<f64> {
    value.get(key)?.as_f64()
}

/// Lower and upper deviation in um.
fn deviations(value: &Value) -> Option<[f64; 2]> {
    Some([number(value, "lower_um")?, number(value, "upper_um")?])
}

/// Deviations are drawn as they are shown: um, or thousandths of an inch.
fn drawn(um: f64, show: Show) -> f64 {
    match show.unit {
        LengthUnit::Millimetre => um,
        LengthUnit::Inch => um / 25.4,
    }
}

fn fit(input: &Value, output: &Value, show: Show) -> Option<Picture> {
    let nominal = millimetres(number(input, "nominal_mm")?);
    let part = |key: &str| {
        let value = input.get(key)?;
        match value.as_str() {
            None => deviations(value),
            Some(class) => {
                let limits = tolerance(nominal, class).ok()?;
                Some([as_micrometres(limits.lower), as_micrometres(limits.upper)])
            }
        }
    };
    let mut picture = zones(
        input,
        [
            Some(("hole", part("hole")?)),
            Some(("shaft", part("shaft")?)),
        ],
        show,
    )?;
    if let Picture::Zones(zones) = &mut picture {
        let written = |key: &str| number(output, key).map(|um| Unit::Small.show(um, show));
        zones.smallest = written("clearance_min_um")?;
        zones.largest = written("clearance_max_um")?;
    }
    Some(picture)
}

fn zones(input: &Value, parts: [Option<(&str, [f64; 2])>; 2], show: Show) -> Option<Picture> {
    let nominal = Unit::Length.show(number(input, "nominal_mm")?, show);
    let words = |(name, [lower, upper]): (&str, [f64; 2])| {
        format!("{name} {}/{}", signed(upper, show), signed(lower, show))
    };
    let title = parts
        .into_iter()
        .flatten()
        .map(words)
        .collect::<Vec<_>>()
        .join(", ");
    let [hole, shaft] = parts.map(|part| {
        part.map(|(name, limits)| Zone {
            lower: drawn(limits[0], show),
            upper: drawn(limits[1], show),
            label: words((name, limits)),
        })
    });
    Some(Picture::Zones(ToleranceZones {
        origin: format!("{} from {nominal}", Unit::Small.sign(show.unit)),
        hole,
        shaft,
        has_comma: show.comma,
        title: format!("Tolerance zones to scale: {title}"),
        ..ToleranceZones::default()
    }))
}

fn heating(input: &Value, output: &Value, show: Show) -> Option<Picture> {
    let (needed, limit) = (number(output, "temp_c")?, number(input, "limit_c")?);
    let words = |value: f64, what: &str| format!("{} {what}", Unit::Celsius.show(value, show));
    Some(Picture::Heat(HeatBar {
        from: number(input, "ambient_c")?,
        needed,
        needed_label: words(needed, "needed"),
        limit,
        limit_label: words(limit, "limit"),
        unit: Unit::Celsius.sign(show.unit).into(),
        has_comma: show.comma,
        title: format!(
            "{} against a limit of {}",
            words(needed, "needed"),
            Unit::Celsius.show_with(limit, show)
        ),
    }))
}

/// Proportions of the sketch: bore, outside and width that no input of the method gives.
const SKETCH_MM: [f64; 3] = [480.0, 620.0, 336.0];

fn stack(input: &Value, output: &Value, show: Show) -> Option<Picture> {
    let given: &[Value; 3] = input.get("pairs")?.as_array()?.as_slice().try_into().ok()?;
    let found: &[Value; 3] = output
        .get("pairs")?
        .as_array()?
        .as_slice()
        .try_into()
        .ok()?;
    let rings = ["outer", "inner", "outer"];
    let is_usual = |(pair, usual): (&Value, &str)| {
        pair.get("ring")
            .and_then(Value::as_str)
            .is_none_or(|r| r == usual)
    };
    if !given.iter().zip(rings).all(is_usual) {
        return None;
    }
    let note = |i: usize| {
        let (words, is_read) = match number(&found[i], "grind_mm") {
            Some(grind) => (Unit::Length.show(grind, show), true),
            None => ("not to be ground".into(), false),
        };
        PairNote {
            name: format!("grind S{}", i + 1),
            value: words,
            is_read,
            note: String::new(),
            hit: None,
        }
    };
    let [bore_mm, outside_mm, width_mm] = SKETCH_MM;
    Some(Picture::Stack(Box::new(StackMap {
        bore_mm,
        outside_mm,
        width_mm,
        // A sketch: spacers of any width are drawn at a width that can be seen.
        spacers_mm: [24.0, 30.0, 24.0],
        lit: None,
        pairs: std::array::from_fn(note),
        barrel: "barrel".into(),
        outboard: "outboard".into(),
        note_left: "sketch, not to scale".into(),
        note_right: show.unit.sign().into(),
        title: "Sketch of the stack with what is to be ground off each spacer".into(),
    })))
}

fn seat(input: &Value, show: Show) -> Option<Picture> {
    let (lower, upper) = (number(input, "lower_mm")?, number(input, "upper_mm")?);
    let correction = Correction {
        part: celsius(number(input, "part_temp_c")?),
        gauge: celsius(number(input, "gauge_temp_c")?),
        expansion_part: per_kelvin(number(input, "expansion_part_per_k")?),
        expansion_gauge: per_kelvin(number(input, "expansion_gauge_per_k")?),
    };
    let planes = input.get("readings_mm")?.as_array()?;
    let mut drawn = Vec::with_capacity(planes.len());
    for (index, plane) in planes.iter().enumerate() {
        let sizes = plane.as_array()?;
        // Two directions are upright and across, four are every 45 degrees; others have no place on the circle.
        let places: &[usize] = match sizes.len() {
            1 => &[0],
            2 => &[0, 2],
            4 => &[0, 1, 2, 3],
            _ => return None,
        };
        let mut deviations_mm = [None; 4];
        for (place, size) in places.iter().zip(sizes) {
            let at_20_c = correction.at_20_c(millimetres(size.as_f64()?)).ok()?;
            deviations_mm[*place] = Some(as_millimetres(at_20_c) - lower);
        }
        drawn.push(Plane {
            name: format!("plane {}", index + 1),
            deviations_mm,
            hits: [const { None }; 4],
        });
    }
    let reach = upper - lower;
    Some(Picture::Bore(Box::new(BoreMap {
        nominal_mm: lower,
        planes: drawn,
        tolerance: Some(Tolerance {
            lower_mm: 0.0,
            upper_mm: reach,
            label: format!(
                "{} to {}",
                Unit::Length.show(lower, show),
                Unit::Length.show_with(upper, show)
            ),
        }),
        limits: Vec::new(),
        magnification: None,
        has_comma: show.comma,
        notes: vec![
            format!("from {}", Unit::Length.show(lower, show)),
            "at 20 \u{b0}C".into(),
        ],
        deviation: "deviation".into(),
        directions: ["0\u{b0}", "45\u{b0}", "90\u{b0}", "135\u{b0}"].map(str::to_owned),
        title:
            "Outline of each plane at 20 \u{b0}C, its deviation enlarged, with the allowed sizes"
                .into(),
    })))
}
