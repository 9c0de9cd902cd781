//! The closing line of a test suite, read from its output.

/// What was counted.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub(crate) struct Counts {
    /// Checks that passed.
    pub(crate) passed: u64,
    /// Checks that failed.
    pub(crate) failed: u64,
    /// Checks that did not run.
    pub(crate) skipped: u64,
}

impl Counts {
    /// Both together.
    pub(crate) fn and(self, other: Self) -> Self {
        Self {
            passed: self.passed + other.passed,
            failed: self.failed + other.failed,
            skipped: self.skipped + other.skipped,
        }
    }
}

/// Reads `line` as a closing line: of Rust's test harness (`test result: ok. 3 passed; ...`) or of
/// pytest (`3 passed, 1 skipped in 0.12s`, perhaps between rows of `=`). `None` for any other line.
pub(crate) fn read(line: &str) -> Option<Counts> {
    if let Some(rest) = line.strip_prefix("test result: ") {
        let (_, tally) = rest.split_once(". ")?;
        return tally_of(tally.split(';'));
    }
    let bare = line.trim_matches('=').trim();
    let (tally, time) = bare.rsplit_once(" in ")?;
    if !time.starts_with(|c: char| c.is_ascii_digit()) {
        return None;
    }
    tally_of(tally.split(','))
}

fn tally_of<'a>(items: impl Iterator<Item = &'a str>) -> Option<Counts> {
    let mut counts = Counts::default();
    let mut known = false;
    for item in items {
        let mut words = item.split_whitespace();
        let (Some(number), Some(word)) = (words.next(), words.next()) else { continue };
        let Ok(number) = number.parse::<u64>() else {
            // The last item of Rust's harness tells the time and is no tally.
            if number == "finished" {
                continue;
            }
            return None;
        };
        match word {
            "passed" | "xpassed" => counts.passed += number,
            "failed" | "error" | "errors" | "xfailed" => counts.failed += number,
            "ignored" | "skipped" | "deselected" => counts.skipped += number,
            "measured" | "filtered" | "warning" | "warnings" => continue,
            _ => return None,
        }
        known = true;
    }
    known.then_some(counts)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(line: &str, want: Option<(u64, u64, u64)>) {
        let got = read(line).map(|c| (c.passed, c.failed, c.skipped));
        assert_eq!(got, want, "{line}");
    }

    #[test]
    fn rust_harness() {
        check(
            "test result: ok. 12 passed; 0 failed; 1 ignored; 0 measured; 3 filtered out; finished in 0.03s",
            Some((12, 0, 1)),
        );
        check(
            "test result: FAILED. 1 passed; 2 failed; 0 ignored; 0 measured; 0 filtered out; finished in 9.03s",
            Some((1, 2, 0)),
        );
    }

    #[test]
    fn pytest() {
        check("3 passed in 0.12s", Some((3, 0, 0)));
        check(
            "== 1 failed, 3 passed, 2 skipped, 1 warning in 61.20s (0:01:01) ==",
            Some((3, 1, 2)),
        );
        check("2 errors in 0.50s", Some((0, 2, 0)));
    }

    #[test]
    fn other_lines_are_not_closing_lines() {
        check("test reads_a_map ... ok", None);
        check("    Finished `dev` profile in 3.2s", None);
        check("the crew arrived in 12 minutes", None);
        check("4 metres of cable in 2 pieces", None);
        check("no tests ran in 0.01s", None);
        check("", None);
    }
}
