//! The table at the end of a run, and its last line.

use super::closing::Counts;
use super::run::{Ended, How};

/// The whole closing text. Its last line is `N passed, N failed, N skipped`.
pub(crate) fn text(ended: &[Ended]) -> String {
    let mut lines = vec![String::from("\n==== what every part came to")];
    for part in ended {
        let how = match part.how {
            How::Passed => "passed",
            How::Failed(_) => "FAILED",
            How::Skipped(_) => "SKIPPED",
        };
        lines.push(format!("{:<12} {how:<8} {:>5.1} min", part.name, part.minutes));
        lines.extend(part.closings.iter().map(|line| format!("             {line}")));
        if let How::Failed(why) | How::Skipped(why) = &part.how {
            lines.extend(why.lines().map(|line| format!("             {line}")));
        }
        lines.extend(part.skips.iter().map(|what| format!("             SKIPPED CHECK {what}")));
    }
    let all = ended.iter().fold(Counts::default(), |all, part| all.and(part.counts));
    lines.push(format!("{} passed, {} failed, {} skipped", all.passed, all.failed, all.skipped));
    lines.join("\n")
}

/// True when no part failed.
pub(crate) fn all_passed(ended: &[Ended]) -> bool {
    !ended.iter().any(|part| matches!(part.how, How::Failed(_)))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ended(how: How, passed: u64, failed: u64, skipped: u64) -> Ended {
        let counts = Counts { passed, failed, skipped };
        Ended { name: "x", how, minutes: 0.5, closings: vec![], skips: vec![], counts }
    }

    #[test]
    fn last_line_sums_all_parts() {
        let all = [
            ended(How::Passed, 3, 0, 1),
            ended(How::Failed(String::from("y")), 2, 1, 0),
            ended(How::Skipped(String::from("z")), 0, 0, 1),
        ];
        assert_eq!(text(&all).lines().last(), Some("5 passed, 1 failed, 2 skipped"));
        assert!(!all_passed(&all));
        assert!(all_passed(&[ended(How::Passed, 1, 0, 0)]));
    }
}
