//! Numbers as the reader sees them: what is told of two of them has to follow from what stands there.

/// The difference of two numbers as they are shown, with as many decimals; none where they are not written alike.
pub(super) fn shown_difference(a: &str, b: &str) -> Option<String> {
    let (whole, mark, decimals) = split(a)?;
    let (other, _, of_other) = split(b)?;
    if decimals != of_other {
        return None;
    }
    let off = (whole - other).abs().to_string();
    let off = format!("{off:0>width$}", width = decimals + 1);
    let (whole, rest) = off.split_at(off.len() - decimals);
    Some(match mark {
        Some(mark) => format!("{whole}{mark}{rest}"),
        None => whole.to_owned(),
    })
}

/// A shown number without its decimal mark, that mark, and how many decimals it has.
fn split(shown: &str) -> Option<(i64, Option<char>, usize)> {
    let mark = shown.chars().rfind(|c| matches!(c, '.' | ','));
    let decimals = mark
        .and_then(|mark| shown.rsplit(mark).next())
        .map_or(0, str::len);
    let digits = shown
        .chars()
        .filter(|c| Some(*c) != mark)
        .collect::<String>();
    Some((digits.parse().ok()?, mark, decimals))
}

#[cfg(test)]
mod tests {
    use super::shown_difference;

    #[test]
    fn the_difference_follows_from_what_stands_there() {
        let told = |a, b| shown_difference(a, b);
        assert_eq!(told("0.030", "0.060").as_deref(), Some("0.030"));
        assert_eq!(told("620,023", "620,000").as_deref(), Some("0,023"));
        assert_eq!(
            told("\u{2212}0.010", "0.060"),
            None,
            "a true minus is no digit"
        );
        assert_eq!(told("0.1", "0.060"), None);
        assert_eq!(told("12", "7").as_deref(), Some("5"));
    }
}
