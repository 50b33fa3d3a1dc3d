//! A signed teardown of a tapered bearing, with the register that it needs.

use store::draft::{DraftField, Fields, Source};
use store::entry::LengthUnit;
use store::payload::Role;
use store::sheet::{SignTeardown, sign};
use store::{Signed, Signer};

use super::Shop;

/// A bearing with limits in a chock of its own, and gauges.
pub const MORE: [&str; 8] = [
    r#"{"kind":"register_change","at":"2026-01-05T06:00","entity":"bearing_type","code":"N4T-480","bearing_kind":"four_row_tapered","values":{"bore_mm":480,"outside_mm":620,"clearance_min_mm":[0.27,0.27,0.27],"clearance_max_mm":[0.33,0.33,0.33],"rework_mm":[0.6,0.6,0.6],"spacer_mm":[24,30,24],"seating_spread_mm":0.05,"rework_factor":2}}"#,
    r#"{"kind":"register_change","entity":"chock_type","code":"single","seats":{"main":"N4T-480"},"shim_place":"between","fits":["W-T-O"]}"#,
    r#"{"kind":"register_change","entity":"chock","code":"WC-50","chock_type":"single"}"#,
    r#"{"kind":"register_change","entity":"bearing","serial":"TH-4T-050","bearing_type":"N4T-480"}"#,
    r#"{"kind":"register_change","at":"2026-01-05T06:00","entity":"gauge","code":"GB-01","gauge_kind":"gap blocks","measures":"gap","resolution_um":1,"expanded_uncertainty_um":12,"certificate":"C-1","due":"2027-01-20"}"#,
    r#"{"kind":"register_change","at":"2026-01-05T06:00","entity":"gauge","code":"HG-02","gauge_kind":"height gauge","measures":"width","resolution_um":1,"expanded_uncertainty_um":9,"certificate":"C-2","due":"2027-01-20"}"#,
    r#"{"kind":"received","at":"2026-01-06T06:00","bearing":"TH-4T-050","as_set_mm":[0.3,0.3,0.3]}"#,
    r#"{"kind":"assembled","at":"2026-01-07T06:00","bearing":"TH-4T-050","chock":"WC-50","zone":1}"#,
];

pub fn with_register() -> Shop {
    let mut shop = Shop::new();
    for line in MORE {
        shop.log(line).unwrap_or_else(|e| panic!("{line}: {e}"));
    }
    shop
}

pub fn with_sheet() -> (Shop, Signer, Signed) {
    let mut shop = with_register();
    let foreman = shop.person("Foreman A", Role::Foreman);
    let signed = signed(&mut shop, &foreman, &fields("2026-01-14 09:30"));
    (shop, foreman, signed)
}

/// The same sheet a day later, with these fields typed otherwise.
pub fn sign_again(shop: &mut Shop, edits: &[(&str, &str)]) -> Signed {
    let mut fields = fields("2026-01-15 09:30");
    for (path, text) in edits {
        put(&mut fields, path, text);
    }
    let engineer = shop.engineer.clone();
    signed(shop, &engineer, &fields)
}

pub fn put(fields: &mut Fields, path: &str, text: &str) {
    let field = DraftField {
        text: text.into(),
        source: Source::Typed,
    };
    fields.insert(path.to_owned(), field);
}

pub fn signed(shop: &mut Shop, signer: &Signer, fields: &Fields) -> Signed {
    let engineer = shop.engineer.clone();
    let sheet = SignTeardown {
        fields,
        draft: None,
        at: None,
        entered: None,
        signer,
        engineer: Some(&engineer),
        unit: LengthUnit::Millimetre,
        wear: None,
    };
    sign(&mut shop.logbook, &sheet).unwrap().signed
}

/// What is typed on the sheet of that time.
pub fn fields(at: &str) -> Fields {
    let mut fields = Fields::new();
    let mut put = |path: &str, text: &str| self::put(&mut fields, path, text);
    for (path, text) in [
        ("identify.bearing", "TH-4T-050"),
        ("identify.chock", "WC-50"),
        ("identify.at", at),
        ("found.seal", "sound"),
        ("found.grease", "normal"),
        ("found.water", "none"),
        ("found.rotation", "free"),
        ("found.bolts", "tight"),
        ("clean.state", "used"),
        ("clean.agent", "solvent"),
        ("clean.preserved", "oil"),
        ("findings.none", "yes"),
        ("findings.cracks", "dye_clear"),
        ("skip.found", "marks of the zones worn off"),
        ("shim.found", "1.20"),
        ("clearance.gauge_gap", "GB-01"),
        ("clearance.gauge_width", "HG-02"),
        ("skip.bore", "sleeved last week"),
        ("skip.neck", "roll is on the grinder"),
        ("skip.grease", "oil lubricated"),
        ("parts.order", "as_marked"),
        ("seals.done", "kept"),
        ("zone.rings", "alike"),
        ("skip.cover", "shims as they were"),
        ("skip.bolts", "closed by the next shift"),
        ("protect.with", "textile"),
        ("decision.choice", "return_to_service"),
        ("decision.reason", "seats measured last month"),
        ("zone.choice", "II"),
        ("zone.reason", "mark worn off"),
        ("reassemble.chock", "WC-50"),
    ] {
        put(path, text);
    }
    for (pair, gap, spacer) in [(1, "23.68", "24"), (2, "29.68", "30"), (3, "23.68", "24")] {
        put(&format!("clearance.spacer.{pair}"), spacer);
        for degrees in [0, 90, 180, 270] {
            put(&format!("clearance.gap.{pair}.{degrees}"), gap);
        }
    }
    fields
}
