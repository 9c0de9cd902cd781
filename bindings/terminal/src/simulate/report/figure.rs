//! Numbers as people read them.

use crate::simulate::interval::share;

/// A count with its thousands apart.
pub(crate) fn count(number: u64) -> String {
    let digits = number.to_string();
    let first = digits.len() % 3;
    let mut text = String::new();
    for (at, digit) in digits.chars().enumerate() {
        if at > 0 && at % 3 == first {
            text.push(',');
        }
        text.push(digit);
    }
    text
}

/// A share, percent, with so many decimals that `span` shows.
pub(crate) fn percent(share: f64, span: f64) -> String {
    let decimals = match span {
        wide if wide > 0.1 => 0,
        some if some > 0.01 => 1,
        little if little > 0.001 => 2,
        least if least > 0.0001 => 3,
        _ => 5,
    };
    format!("{:.decimals$} %", share * 100.0)
}

/// `hits` of `of` with their bounds: `99.71 % (99.50 to 99.83)`, or a dash where there was none.
pub(crate) fn bounded(hits: u64, of: u64, low: f64, high: f64) -> String {
    if of == 0 {
        return "-".to_owned();
    }
    let span = (high - low) * 2.0;
    let bare = |share| percent(share, span).replace(" %", "");
    format!("{} % ({} to {})", bare(share(hits, of)), bare(low), bare(high))
}

/// A mean or median, or a dash where nothing was counted.
pub(crate) fn mean(number: Option<f64>, decimals: usize) -> String {
    number.map_or_else(|| "-".to_owned(), |number| format!("{number:.decimals$}"))
}

/// A median: whole, or a half.
pub(crate) fn median(number: Option<f64>) -> String {
    mean(number, usize::from(number.is_some_and(|number| number.fract() > 0.0)))
}

/// So many in a million, two figures that say something.
pub(crate) fn in_a_million(share: f64) -> String {
    let number = share * 1e6;
    let decimals = match number {
        many if many >= 10.0 => 0,
        some if some >= 1.0 => 1,
        _ => 2,
    };
    format!("{number:.decimals$}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn thousands_stand_apart() {
        assert_eq!(count(0), "0");
        assert_eq!(count(999), "999");
        assert_eq!(count(1000), "1,000");
        assert_eq!(count(10_000_000), "10,000,000");
    }

    #[test]
    fn a_share_has_the_decimals_that_its_bounds_deserve() {
        assert_eq!(bounded(9971, 10_000, 0.9958, 0.9980), "99.71 % (99.58 to 99.80)");
        assert_eq!(bounded(97, 100, 0.915, 0.990), "97 % (92 to 99)");
        assert_eq!(bounded(0, 0, 0.0, 1.0), "-");
    }

    #[test]
    fn means_medians_and_rare_shares() {
        assert_eq!(mean(Some(3.456), 2), "3.46");
        assert_eq!(median(Some(3.0)), "3");
        assert_eq!(median(Some(3.5)), "3.5");
        assert_eq!(median(None), "-");
        assert_eq!(in_a_million(3.84e-7), "0.38");
        assert_eq!(in_a_million(3.84e-4), "384");
    }
}
