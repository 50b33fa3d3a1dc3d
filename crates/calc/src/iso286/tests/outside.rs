//! Limits against two packages made independently of this project. Their results are committed with their versions
//! in `tests/outside/iso286.csv`; how they were made stands in `tests/outside/iso286.py`.

use super::*;

type Listed = (&'static str, &'static str, f64, f64, (f64, f64));

/// Where a package gives something else: package, class, sizes over and up to (mm), what it gives (lower, upper).
/// Each stands in iso286_disagreements.toml with the reason to keep the other value.
const WRONG_THERE: [Listed; 3] = [
    ("isofits", "E7", 315.0, 400.0, (125.0, 185.0)),
    ("isofits", "f6", 120.0, 180.0, (-48.0, -43.0)),
    ("isofits", "K6", 6.0, 10.0, (-6.0, 2.0)),
];

#[test]
fn two_packages_from_outside_give_the_same_limits_but_for_the_listed_rows() {
    let mut compared = [0, 0];
    let mut differing = [0; WRONG_THERE.len()];
    for row in rows(include_str!("../../../tests/outside/iso286.csv")) {
        let (nominal, class) = (row[0].parse::<f64>().unwrap(), row[1]);
        let ours = limits_um(nominal, class);
        for (place, package) in ["isofits", "pressfit"].into_iter().enumerate() {
            let cell = |column: usize| row[2 + 2 * place + column];
            if cell(0).is_empty() {
                continue;
            }
            compared[place] += 1;
            let theirs: (f64, f64) = (cell(1).parse().unwrap(), cell(0).parse().unwrap());
            let listed = WRONG_THERE
                .iter()
                .position(|&(listed, name, over, upto, limits)| {
                    let is_here = nominal > over && nominal <= upto;
                    (listed, name, is_here, limits) == (package, class, true, theirs)
                });
            if let Some(listed) = listed {
                differing[listed] += 1;
                assert_ne!(
                    theirs, ours,
                    "{package} {class} {nominal}: agrees after all"
                );
            } else {
                assert_eq!(theirs, ours, "{package} {class} {nominal}");
            }
        }
    }
    assert_eq!(compared, [2_760, 3_864], "rows lost while reading");
    assert!(differing.iter().all(|&rows| rows > 0), "{differing:?}");
}
