//! The list of what a surface does not draw yet, with reasons. It may only shrink.

use std::collections::BTreeMap;

use super::{lists, surface::Surface};

const LIST: &str = include_str!("not_yet.txt");

/// A line of the list: surface, enum, variant.
pub(crate) type Listed = (String, String, String);

/// Why it stands there.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Reason {
    /// In words.
    pub(crate) said: String,
    /// One line for the whole enum: it goes when all of it is drawn, and not bit by bit.
    pub(crate) whole: bool,
}

/// Everything on the list; a `*` stands for every variant.
pub(crate) fn listed() -> BTreeMap<Listed, Reason> {
    read(LIST).unwrap_or_else(|why| panic!("not_yet.txt: {why}"))
}

fn read(text: &str) -> Result<BTreeMap<Listed, Reason>, String> {
    let mut all = BTreeMap::new();
    for line in text.lines().filter(|line| !line.starts_with('#') && !line.trim().is_empty()) {
        let mut words = line.split_whitespace();
        let mut word = || words.next().unwrap_or_default().to_owned();
        let (surface, of, variant) = (word(), word(), word());
        let reason = words.collect::<Vec<_>>().join(" ");
        if !Surface::ALL.iter().any(|known| known.name() == surface) {
            return Err(format!("no surface `{surface}`"));
        }
        if !lists::ENUMS.contains(&of.as_str()) {
            return Err(format!("`{of}` is not drawn"));
        }
        if reason.is_empty() {
            return Err(format!("no reason: {line}"));
        }
        let known = lists::variants(&of);
        if variant != "*" && !known.contains(&variant) {
            return Err(format!("`{of}` has no `{variant}`"));
        }
        let every = known.into_iter().filter(|one| variant == "*" || *one == variant);
        for one in every {
            let reason = Reason { said: reason.clone(), whole: variant == "*" };
            if all.insert((surface.clone(), of.clone(), one), reason).is_some() {
                return Err(format!("twice: {line}"));
            }
        }
    }
    Ok(all)
}

#[test]
fn a_list_that_is_wrong_is_refused() {
    assert_eq!(read("# x\n\nios Screen Lift drawn plainly\n").map(|all| all.len()), Ok(1));
    for wrong in [
        "watch Screen Lift why",
        "ios Colour Lift why",
        "ios Screen Fly why",
        "ios Screen Lift",
        "ios Screen * why\nios Screen Lift why",
    ] {
        assert!(read(wrong).is_err(), "{wrong}");
    }
}
