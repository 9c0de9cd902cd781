//! Which variants a phone draws plainly only: those in an arm that goes to `NotYetDrawn`.

/// The text of every arm's head that leads to `NotYetDrawn`, in Kotlin and in Swift.
pub(crate) fn plain_heads(code: &str) -> Vec<String> {
    let mut heads = Vec::new();
    for (at, _) in code.match_indices("NotYetDrawn") {
        let before = &code[..at];
        let head = match (before.rfind("case "), before.rfind("->")) {
            (Some(case), arrow) if arrow.is_none_or(|arrow| arrow < case) => {
                before[case..].to_owned()
            }
            (_, Some(arrow)) => kotlin_head(&before[..arrow]),
            (_, None) => continue,
        };
        heads.push(head);
    }
    heads
}

/// The last line, and the lines before it that end with a comma.
fn kotlin_head(before: &str) -> String {
    let mut head: Vec<&str> = Vec::new();
    for line in before.lines().rev() {
        if !head.is_empty() && !line.trim_end().ends_with(',') {
            break;
        }
        head.push(line);
    }
    head.join("\n")
}

#[test]
fn plain_arms_are_seen() {
    let swift = "switch s {\ncase .a: A()\ncase .b,\n .c: NotYetDrawn()\ncase .d: D()\n}";
    assert_eq!(plain_heads(swift), ["case .b,\n .c: "]);
    let kotlin = "when (s) {\nis S.A -> a()\nis S.B,\nis S.C -> NotYetDrawn(s)\n}";
    assert_eq!(plain_heads(kotlin), ["is S.C \nis S.B,"]);
}
