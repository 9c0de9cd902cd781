//! Pads by the tags the record gives them.
//!
//! The tags stand sorted, so those that begin alike stand together: the list is a tree of prefixes
//! without a pointer. Whoever looks a tag up follows it letter by letter and gives up a prefix as
//! soon as no tag that begins so can be good; the others under it are never looked at.

use super::plain::plain;
use crate::quantity::AssetId;

/// So few tags are each looked at: asking which letters can be good takes longer.
const FEW: usize = 16;

/// A tag as it is compared, and the pads that should carry it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Tagged {
    letters: Box<[char]>,
    pads: Vec<AssetId>,
}

impl Tagged {
    /// The tag, as tags are compared.
    pub fn tag(&self) -> String {
        self.letters.iter().collect()
    }

    /// Its letters.
    pub fn letters(&self) -> &[char] {
        &self.letters
    }

    /// The pads that should carry it, by name; never empty.
    pub fn pads(&self) -> &[AssetId] {
        &self.pads
    }

    fn letter(&self, depth: usize) -> Option<char> {
        self.letters.get(depth).copied()
    }
}

/// What follows tags letter by letter, and gives up where no tag that begins so can be good.
pub trait Follow {
    /// How a beginning stands.
    type State;
    /// What a whole tag is found to be.
    type Found;

    /// Before the first letter.
    fn start(&self) -> Self::State;

    /// After one more letter; none: no tag that begins so can be good.
    fn step(&self, state: &Self::State, letter: char) -> Option<Self::State>;

    /// The only letters that [`step`](Self::step) would take next, each once and in their order; none:
    /// it may take any.
    fn letters_next(&self, state: &Self::State) -> Option<Vec<char>>;

    /// At the end of a tag; none: it is not good.
    fn end(&self, state: &Self::State) -> Option<Self::Found>;
}

/// Which pads should carry which tag. Tags are compared [`plain`]; one without a letter or digit is
/// no tag.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct TagIndex {
    tags: Vec<Tagged>,
}

impl TagIndex {
    /// The index of tags, each with a pad that should carry it.
    pub fn of<'a>(tags: impl IntoIterator<Item = (&'a str, AssetId)>) -> Self {
        let mut each: Vec<(Box<[char]>, AssetId)> =
            tags.into_iter().map(|(tag, pad)| (plain(tag).chars().collect(), pad)).collect();
        each.retain(|(letters, _)| !letters.is_empty());
        each.sort_unstable();
        let mut tags: Vec<Tagged> = Vec::new();
        for (letters, pad) in each {
            match tags.last_mut().filter(|last| last.letters == letters) {
                Some(last) if last.pads.last() == Some(&pad) => {}
                Some(last) => last.pads.push(pad),
                None => tags.push(Tagged { letters, pads: vec![pad] }),
            }
        }
        Self { tags }
    }

    /// Every tag, in the order of the tags.
    pub fn iter(&self) -> impl Iterator<Item = &Tagged> {
        self.tags.iter()
    }

    /// Every tag that `follow` finds good, in the order of the tags, with what it found.
    pub fn follow<F: Follow>(&self, follow: &F) -> Vec<(&Tagged, F::Found)> {
        let mut found = Vec::new();
        under(&self.tags, 0, &follow.start(), follow, &mut found);
        found
    }
}

/// Looks through `tags`, which agree in their first `depth` letters.
fn under<'a, F: Follow>(
    tags: &'a [Tagged],
    depth: usize,
    state: &F::State,
    follow: &F,
    found: &mut Vec<(&'a Tagged, F::Found)>,
) {
    // The one that ends here, if any, stands first: each tag is there once.
    let (ended, mut rest) = match tags.split_first() {
        Some((first, rest)) if first.letters.len() == depth => (Some(first), rest),
        _ => (None, tags),
    };
    if let Some(tag) = ended
        && let Some(good) = follow.end(state)
    {
        found.push((tag, good));
    }
    let mut down = |tags: &'a [Tagged], letter: char| {
        if let Some(next) = follow.step(state, letter) {
            under(tags, depth + 1, &next, follow, found);
        }
    };
    let letters = if rest.len() > FEW { follow.letters_next(state) } else { None };
    if let Some(letters) = letters {
        for letter in letters {
            let before = rest.partition_point(|tag| tag.letter(depth) < Some(letter));
            rest = rest.get(before..).unwrap_or_default();
            let with = rest.partition_point(|tag| tag.letter(depth) == Some(letter));
            let (here, after) = rest.split_at_checked(with).unwrap_or((rest, &[]));
            if !here.is_empty() {
                down(here, letter);
            }
            rest = after;
        }
    } else {
        while let Some(letter) = rest.first().and_then(|tag| tag.letter(depth)) {
            let with = rest.partition_point(|tag| tag.letter(depth) == Some(letter));
            let (here, after) = rest.split_at_checked(with).unwrap_or((rest, &[]));
            down(here, letter);
            rest = after;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Finds tags that begin with some letters.
    struct Beginning(Vec<char>);

    impl Follow for Beginning {
        type State = usize;
        type Found = ();

        fn start(&self) -> usize {
            0
        }

        fn step(&self, &at: &usize, letter: char) -> Option<usize> {
            self.0.get(at).is_none_or(|&wanted| wanted == letter).then_some(at + 1)
        }

        fn letters_next(&self, &at: &usize) -> Option<Vec<char>> {
            self.0.get(at).map(|&wanted| vec![wanted])
        }

        fn end(&self, &at: &usize) -> Option<()> {
            (at >= self.0.len()).then_some(())
        }
    }

    fn pad(name: &str) -> AssetId {
        AssetId::new(name).unwrap()
    }

    #[test]
    fn tags_are_found_by_how_they_begin() {
        let all = [("A-12", "P1"), ("a12", "P2"), ("A1", "P3"), ("B7", "P4"), ("--", "P5")];
        let index = TagIndex::of(all.map(|(tag, name)| (tag, pad(name))));
        let found = |beginning: &str| -> Vec<String> {
            let follow = Beginning(beginning.chars().collect());
            index.follow(&follow).into_iter().map(|(tag, ())| tag.tag()).collect()
        };
        assert_eq!(found(""), ["A1", "A12", "B7"]);
        assert_eq!(found("A1"), ["A1", "A12"]);
        assert_eq!(found("A12"), ["A12"]);
        assert_eq!(found("C"), [] as [&str; 0]);
        let both: Vec<&Tagged> = index.iter().filter(|tag| tag.pads().len() == 2).collect();
        assert_eq!(both.len(), 1);
        assert_eq!(both[0].pads(), [pad("P1"), pad("P2")]);
        assert_eq!(both[0].letters(), ['A', '1', '2']);
    }
}
