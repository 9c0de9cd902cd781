//! Tags: what a person can make out of a painted tag after years of sun and salt.

use crate::seed::{hash_text, mix, unit_of};
use crate::world::{FieldError, World};

/// What a person reads off a tag.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TagRead {
    /// The characters, `?` for each that cannot be read.
    pub pattern: String,
    /// The tag was read upside down (it hangs so, or the cover was set down so).
    pub upside_down: bool,
}

/// Reads a tag of which `lost` characters are gone. Which ones is decided by `wear` alone, so
/// that two people see the same gaps. Marks that are no letter or digit are never lost.
pub fn read(painted: &str, lost: u32, wear: u64) -> TagRead {
    let mut order: Vec<(u64, usize)> = painted
        .chars()
        .enumerate()
        .filter(|(_, c)| c.is_alphanumeric())
        .map(|(k, _)| (mix(wear, u64::try_from(k).unwrap_or(u64::MAX)), k))
        .collect();
    order.sort_unstable();
    let gone: Vec<usize> = order.into_iter().take(lost as usize).map(|(_, k)| k).collect();
    let pattern =
        painted.chars().enumerate().map(|(k, c)| if gone.contains(&k) { '?' } else { c }).collect();
    TagRead { pattern, upside_down: false }
}

impl World {
    /// What can be made out of the newest tag of a pad, by anyone who looks at it upright. None
    /// when it carries no tag.
    pub fn tag_seen(&self, pad: &str) -> Result<Option<TagRead>, FieldError> {
        let pad = self.pad(pad)?;
        let wear = mix(self.seed, hash_text(&pad.id));
        Ok(pad.tags.first().map(|tag| read(tag, pad.tag_characters_lost, wear)))
    }
}

/// The same read by someone who sees the tag upside down: characters in reverse order, each as it
/// looks turned by half a turn; what is no character when turned cannot be read.
#[must_use]
pub fn turned(read: &TagRead) -> TagRead {
    TagRead {
        pattern: read.pattern.chars().rev().map(turned_character).collect(),
        upside_down: !read.upside_down,
    }
}

/// Whether the tag is read upside down, with this chance, decided by `draw`.
pub fn read_either_way(painted: &str, lost: u32, wear: u64, chance: f64, draw: u64) -> TagRead {
    let upright = read(painted, lost, wear);
    if unit_of(mix(draw, 77)) < chance { turned(&upright) } else { upright }
}

fn turned_character(c: char) -> char {
    match c {
        '6' => '9',
        '9' => '6',
        'M' => 'W',
        'W' => 'M',
        '0' | '1' | '8' | 'H' | 'I' | 'N' | 'O' | 'S' | 'X' | 'Z' | '-' | ' ' | '.' => c,
        _ => '?',
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn upside_down_sixes_are_nines() {
        let read = TagRead { pattern: "HM16-80".to_owned(), upside_down: false };
        assert_eq!(turned(&read).pattern, "08-91WH");
        assert!(turned(&read).upside_down);
    }

    #[test]
    fn everyone_sees_the_same_gaps() {
        let world = crate::town::hillside(3);
        for pad in world.pads.values() {
            let seen = world.tag_seen(&pad.id).unwrap().unwrap();
            assert_eq!(seen, world.tag_seen(&pad.id).unwrap().unwrap());
            let gaps = seen.pattern.chars().filter(|c| *c == '?').count();
            assert_eq!(gaps, pad.tag_characters_lost as usize);
        }
    }

    proptest! {
        #[test]
        fn as_many_characters_are_lost_as_said(
            painted in "[A-Z]{2}[0-9]{4}", lost in 0u32..6, wear: u64,
        ) {
            let read = read(&painted, lost, wear);
            prop_assert_eq!(read.pattern.chars().count(), painted.chars().count());
            let gaps = read.pattern.chars().filter(|c| *c == '?').count();
            prop_assert_eq!(gaps, lost as usize);
            for (seen, true_one) in read.pattern.chars().zip(painted.chars()) {
                prop_assert!(seen == '?' || seen == true_one);
            }
        }

        #[test]
        fn turning_twice_loses_only_what_has_no_turned_form(painted in "[A-Z0-9]{6}") {
            let upright = read(&painted, 0, 0);
            let twice = turned(&turned(&upright));
            for (seen, true_one) in twice.pattern.chars().zip(painted.chars()) {
                prop_assert!(seen == '?' || seen == true_one);
            }
            prop_assert!(!twice.upside_down);
        }
    }
}
