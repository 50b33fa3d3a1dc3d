//! `reading_uncertainty`: the budget of a diameter reading as a described method.

use serde_json::Value;

use super::{
    Combined, Contribution, Contributor, DiameterReading, PROBABILITY_AT_2, coverage_factor,
    diameter::TEMPERATURE_DOUBT_K, diameter_budget,
};
use crate::{
    error::CalcError,
    method::{
        Bounds, InputError, Kind, Method, Object, Output, Param, Part, Step, Worked, lengths, mm,
        number, object, optional_number, renamed, um, wrong,
    },
    quantity::{as_kelvins, as_micrometres, as_per_kelvin, kelvins, micrometres, per_kelvin},
    seat::{EXPANSION_RANGE_PER_K, input::read_correction},
};

/// `reading_uncertainty`: how sure a diameter reading is.
pub const METHOD: Method = Method {
    name: "reading_uncertainty",
    title: "Uncertainty",
    summary: "Expanded uncertainty of a diameter at 20 degrees C from the certificates of gauge and setting ring, \
              temperatures, expansion, repeated readings and resolution; which of them counts most.",
    inputs: &[
        Param::number("diameter_mm", "mm", "diameter as read", "above 0"),
        Param::number("gauge_expanded_uncertainty_um", "um", "U of the gauge, certificate, k = 2", "0 or more"),
        Param::number("setting_expanded_uncertainty_um", "um", "U of the setting ring or standard, k = 2", "0 or more; left out: none used").optional(),
        Param::number("part_temp_c", "°C", "temperature of the part", "-50 to 200"),
        Param::number("gauge_temp_c", "°C", "temperature of the gauge or its setting ring", "-50 to 200"),
        Param::number("part_temp_half_width_k", "K", "the part lies within plus or minus this of it", "0 to 100"),
        Param::number("gauge_temp_half_width_k", "K", "the gauge lies within plus or minus this of it", "0 to 100"),
        Param::number("expansion_part_per_k", "1/K", "expansion of the part", "0 to 0.0001"),
        Param::number("expansion_gauge_per_k", "1/K", "expansion of the gauge or its setting ring", "0 to 0.0001"),
        Param::number("expansion_part_half_width_per_k", "1/K", "it lies within plus or minus this", "0 to 0.0001"),
        Param::number("expansion_gauge_half_width_per_k", "1/K", "it lies within plus or minus this", "0 to 0.0001"),
        Param::of(Kind::Numbers, "readings_mm", "one place read again and again", "two or more").unit("mm"),
        Param::number("averaged", "", "readings averaged in the result", "1 to 1000, default: all of readings_mm").optional(),
        Param::number("resolution_um", "um", "step of the display or scale", "0 or more"),
        Param::number("unseen_form_half_width_um", "um", "form with three lobes, which a two-point gauge cannot see, lies within plus or minus this", "0 or more; left out: 0").optional(),
    ],
    outputs: &[
        Output::new("expanded_uncertainty_um", "um", "U at k = 2"),
        Output::new("combined_um", "um", "combined standard uncertainty"),
        Output::new("effective_degrees_of_freedom", "", "Welch-Satterthwaite; null where unlimited"),
        Output::new("coverage_factor_95", "", "k from Student's distribution for 95.45 percent"),
        Output::new("expanded_uncertainty_95_um", "um", "U with that k"),
        Output::new("diameter_20_mm", "mm", "diameter at 20 degrees C"),
        Output::new("contributions[].source", "", "what it comes from"),
        Output::new("contributions[].u_um", "um", "standard uncertainty of the diameter from it"),
        Output::new("contributions[].share", "", "its part of the variance, 0 to 1"),
        Output::new("contributions[].degrees_of_freedom", "", "null where taken as known"),
    ],
    formula: "certificate U/2; limits a/sqrt(3); step d/sqrt(12); repeats s/sqrt(m), n - 1 degrees of freedom; temperature \
              D a u(T), expansion D (T - 20) u(a), both D u(a) u(T); u = sqrt(sum of squares); nu = u^4 / sum(u_i^4/nu_i); U = 2 u",
    source: "JCGM 100:2008, clauses 4, 5, G.4 and example H.1 (memory); shared/reference/gum_examples.toml; \
             two-point gauge and odd lobes: terms of shared/reference/roundness.toml",
    cautions: &[
        "A part fresh from washing or from the mill is not at the temperature of its skin: the half width must say so.",
        "Contributions count as independent; one thermometer for part and gauge shifts both together.",
        "A two-point gauge cannot see a form with three lobes; no number of repeats shows it.",
        "With few repeats k = 2 covers less than 95 percent: see the coverage factor for 95.45 percent.",
    ],
    example: r#"{"diameter_mm": 620.043, "gauge_expanded_uncertainty_um": 6, "setting_expanded_uncertainty_um": 4, "part_temp_c": 24, "gauge_temp_c": 22, "part_temp_half_width_k": 1, "gauge_temp_half_width_k": 0.5, "expansion_part_per_k": 11.7e-6, "expansion_gauge_per_k": 11.5e-6, "expansion_part_half_width_per_k": 1e-6, "expansion_gauge_half_width_per_k": 1e-6, "readings_mm": [620.042, 620.045, 620.043, 620.041, 620.044], "averaged": 1, "resolution_um": 1}"#,
    run,
};

fn run(input: &Value) -> Result<Worked, InputError> {
    let input = Object::root(input)?;
    let reading = read(&input)?;
    input.finish()?;
    let (rows, combined) = diameter_budget(&reading).map_err(|error| named(&error))?;
    let k = coverage_factor(PROBABILITY_AT_2, combined.degrees_of_freedom)
        .map_err(|error| named(&error))?;
    let at_20_c = reading
        .correction
        .at_20_c(reading.diameter)
        .map_err(|error| named(&error))?;
    let contributions = rows
        .iter()
        .map(|(source, contribution)| {
            Ok(object([
                ("source", Value::from(source.as_str())),
                ("u_um", um("u_um", contribution.standard)?),
                ("share", number("share", share(contribution, &combined))?),
                (
                    "degrees_of_freedom",
                    optional_number("degrees_of_freedom", contribution.degrees_of_freedom)?,
                ),
            ]))
        })
        .collect::<Result<Vec<Value>, InputError>>()?;
    let output = object([
        (
            "expanded_uncertainty_um",
            um("expanded_uncertainty_um", combined.expanded())?,
        ),
        ("combined_um", um("combined_um", combined.standard)?),
        (
            "effective_degrees_of_freedom",
            optional_number("effective_degrees_of_freedom", combined.degrees_of_freedom)?,
        ),
        ("coverage_factor_95", number("coverage_factor_95", k)?),
        (
            "expanded_uncertainty_95_um",
            um("expanded_uncertainty_95_um", combined.standard * k)?,
        ),
        ("diameter_20_mm", mm("diameter_20_mm", at_20_c)?),
        ("contributions", Value::from(contributions)),
    ]);
    let steps = steps(&reading, &rows, &combined, k);
    Ok(Worked { output, steps })
}

fn share(contribution: &Contribution, combined: &Combined) -> f64 {
    let whole = as_micrometres(combined.standard);
    if whole > 0.0 {
        let part = as_micrometres(contribution.standard) / whole;
        part * part
    } else {
        0.0
    }
}

fn read(input: &Object<'_>) -> Result<DiameterReading, InputError> {
    let doubt = Bounds::within(TEMPERATURE_DOUBT_K);
    let expansion = Bounds::within(EXPANSION_RANGE_PER_K);
    let small = |key| {
        let um = input.number(key, &Bounds::NOT_NEGATIVE)?;
        Ok::<_, InputError>(micrometres(um))
    };
    let optional_small = |key| {
        let um = input.optional_number(key, &Bounds::NOT_NEGATIVE)?;
        Ok::<_, InputError>(micrometres(um.unwrap_or_default()))
    };
    let diameter = input.length("diameter_mm", &Bounds::LENGTH_MM)?;
    let gauge_expanded = small("gauge_expanded_uncertainty_um")?;
    let setting_expanded = optional_small("setting_expanded_uncertainty_um")?;
    let correction = read_correction(input)?;
    let repeats = lengths(
        input.required("readings_mm")?,
        "readings_mm",
        &Bounds::LENGTH_MM,
    )?;
    let averaged = input.optional_number("averaged", &Bounds::within(1.0..=1_000.0))?;
    if averaged.is_some_and(|count| count.fract() != 0.0) {
        return Err(wrong(
            "averaged",
            "a whole number of readings is expected".to_owned(),
        ));
    }
    Ok(DiameterReading {
        diameter,
        correction,
        gauge_expanded,
        setting_expanded,
        part_temperature: kelvins(input.number("part_temp_half_width_k", &doubt)?),
        gauge_temperature: kelvins(input.number("gauge_temp_half_width_k", &doubt)?),
        part_expansion: per_kelvin(input.number("expansion_part_half_width_per_k", &expansion)?),
        gauge_expansion: per_kelvin(input.number("expansion_gauge_half_width_per_k", &expansion)?),
        averaged: averaged.map_or(repeats.len(), |count| count as usize),
        repeats,
        resolution: small("resolution_um")?,
        unseen_form: optional_small("unseen_form_half_width_um")?,
    })
}

fn steps(
    reading: &DiameterReading,
    rows: &[(Contributor, Contribution)],
    combined: &Combined,
    k: f64,
) -> Vec<Step> {
    let (size, small) = (Part::Length(reading.diameter), Part::Small);
    let correction = &reading.correction;
    let kelvin = |value| Part::number(value, "K", 2);
    let alpha = |coefficient| Part::number(as_per_kelvin(coefficient) * 1e6, "1e-6/K", 2);
    let off = |temperature| kelvin(crate::quantity::as_celsius(temperature) - 20.0);
    let line = |source: Contributor| -> (&str, Vec<Part>, &str) {
        match source {
            Contributor::Gauge => (
                "gauge: {} / 2",
                vec![small(reading.gauge_expanded)],
                "certificate, k = 2",
            ),
            Contributor::Setting => (
                "setting: {} / 2",
                vec![small(reading.setting_expanded)],
                "certificate, k = 2",
            ),
            Contributor::PartTemperature => (
                "part: {} x {} x {} / sqrt(3)",
                vec![
                    size.clone(),
                    alpha(correction.expansion_part),
                    kelvin(as_kelvins(reading.part_temperature)),
                ],
                "D a u(T)",
            ),
            Contributor::GaugeTemperature => (
                "gauge: {} x {} x {} / sqrt(3)",
                vec![
                    size.clone(),
                    alpha(correction.expansion_gauge),
                    kelvin(as_kelvins(reading.gauge_temperature)),
                ],
                "D a u(T)",
            ),
            Contributor::PartExpansion => (
                "part: {} x {} x {} / sqrt(3)",
                vec![
                    size.clone(),
                    off(correction.part),
                    alpha(reading.part_expansion),
                ],
                "D (T - 20) u(a)",
            ),
            Contributor::GaugeExpansion => (
                "gauge: {} x {} x {} / sqrt(3)",
                vec![
                    size.clone(),
                    off(correction.gauge),
                    alpha(reading.gauge_expansion),
                ],
                "D (T - 20) u(a)",
            ),
            Contributor::PartSecondOrder => (
                "part: {} x {} x {} / 3",
                vec![
                    size.clone(),
                    alpha(reading.part_expansion),
                    kelvin(as_kelvins(reading.part_temperature)),
                ],
                "D u(a) u(T)",
            ),
            Contributor::GaugeSecondOrder => (
                "gauge: {} x {} x {} / 3",
                vec![
                    size.clone(),
                    alpha(reading.gauge_expansion),
                    kelvin(as_kelvins(reading.gauge_temperature)),
                ],
                "D u(a) u(T)",
            ),
            Contributor::Repeatability => (
                "scatter of {} readings, {} averaged",
                vec![
                    Part::number(reading.repeats.len() as f64, "", 0),
                    Part::number(reading.averaged as f64, "", 0),
                ],
                "s / sqrt(m)",
            ),
            Contributor::Resolution => (
                "step: {} / sqrt(12)",
                vec![small(reading.resolution)],
                "rectangular",
            ),
            Contributor::UnseenForm => (
                "form: {} / sqrt(3)",
                vec![small(reading.unseen_form)],
                "not seen by two points",
            ),
        }
    };
    let counted = rows
        .iter()
        .filter(|row| as_micrometres(row.1.standard) > 0.0);
    let mut steps: Vec<Step> = counted
        .map(|(source, contribution)| {
            let (pattern, parts, note) = line(*source);
            Step::new(pattern, parts, small(contribution.standard), note)
        })
        .collect();
    steps.push(Step::new(
        "root of the sum of squares",
        [],
        small(combined.standard),
        "u, JCGM 100 (10)",
    ));
    steps.push(Step::new(
        "2 x {}",
        [small(combined.standard)],
        small(combined.expanded()),
        "U at k = 2",
    ));
    let degrees = combined.degrees_of_freedom;
    steps.push(Step::new(
        "effective degrees of freedom {}",
        [degrees.map_or(Part::text("unlimited"), |nu| Part::number(nu, "", 1))],
        Part::number(k, "", 3),
        "k for 95.45 percent, JCGM 100 G.4",
    ));
    steps
}

fn named(error: &CalcError) -> InputError {
    renamed(
        error,
        &[
            ("readings", "readings_mm"),
            ("diameter", "diameter_mm"),
            ("gauge_expanded", "gauge_expanded_uncertainty_um"),
            ("setting_expanded", "setting_expanded_uncertainty_um"),
            ("resolution", "resolution_um"),
            ("unseen_form", "unseen_form_half_width_um"),
        ],
    )
}
