//! How sure a share is that was counted.

/// The 97.5 % quantile of the normal distribution, for 95 % two-sided (SciPy: `norm.ppf(0.975)`).
const Z: f64 = 1.959_963_984_540_054;

/// Bounds of a share.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Interval {
    /// Not below this, with 97.5 %.
    pub(crate) low: f64,
    /// Not above this, with 97.5 %.
    pub(crate) high: f64,
}

/// Wilson's score interval, 95 %, of `hits` in `of`. Nothing counted bounds nothing.
///
/// E. B. Wilson, "Probable inference, the law of succession, and statistical inference", Journal
/// of the American Statistical Association 22 (1927), 209-212.
pub(crate) fn wilson(hits: u64, of: u64) -> Interval {
    if of == 0 {
        return Interval { low: 0.0, high: 1.0 };
    }
    let (n, share) = (float(of), share(hits, of));
    let z2 = Z * Z;
    let middle = share + z2 / (2.0 * n);
    let half = Z * (share * (1.0 - share) / n + z2 / (4.0 * n * n)).sqrt();
    let over = 1.0 + z2 / n;
    // At the ends the bound is the end itself; arithmetic would leave some 1e-19 of it.
    let low = if hits == 0 { 0.0 } else { (middle - half) / over };
    let high = if hits == of { 1.0 } else { (middle + half) / over };
    Interval { low, high }
}

/// `hits` in `of`; none of none is none.
pub(crate) fn share(hits: u64, of: u64) -> f64 {
    if of == 0 { 0.0 } else { float(hits) / float(of) }
}

/// A count as a number with a fraction: exact to 2^53, more than can be played.
#[allow(clippy::cast_precision_loss, reason = "counts stay far below 2^53")]
pub(crate) fn float(count: u64) -> f64 {
    count as f64
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(hits: u64, of: u64, low: f64, high: f64) {
        let interval = wilson(hits, of);
        assert!((interval.low - low).abs() < 5e-5, "{hits} of {of}: {interval:?}");
        assert!((interval.high - high).abs() < 5e-5, "{hits} of {of}: {interval:?}");
    }

    /// R. G. Newcombe, "Two-sided confidence intervals for the single proportion", Statistics in
    /// Medicine 17 (1998), 857-872, table I, method 3 (from memory; SciPy gives the same, see
    /// `tests/references/test_intervals.py`).
    #[test]
    fn published_intervals() {
        check(81, 263, 0.2553, 0.3662);
        check(15, 148, 0.0624, 0.1605);
        check(0, 20, 0.0, 0.1611);
        check(1, 29, 0.0061, 0.1718);
    }

    #[test]
    fn ends_are_exact_and_nothing_bounds_nothing() {
        assert_eq!(wilson(0, 10).low.to_bits(), 0.0_f64.to_bits());
        assert_eq!(wilson(10, 10).high.to_bits(), 1.0_f64.to_bits());
        assert_eq!(wilson(0, 0), Interval { low: 0.0, high: 1.0 });
        // 0 of 10^7: the rule of three says 3e-7 one-sided; two-sided it is z^2/(n + z^2).
        assert!((wilson(0, 10_000_000).high - 3.841_457e-7).abs() < 1e-12);
    }
}
