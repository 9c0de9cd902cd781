//! Things that hang together, by number.

/// Numbers in groups; each begins as a group of its own.
#[derive(Debug, Default)]
pub(super) struct Groups {
    /// The next towards the first of each group; the first points at itself. Four bytes each: there
    /// are never more of them than features that are gathered.
    towards: Vec<u32>,
}

fn number(at: usize) -> u32 {
    u32::try_from(at).unwrap_or(u32::MAX)
}

impl Groups {
    /// This many numbers, each by itself.
    pub(super) fn apart(count: usize) -> Self {
        Self { towards: (0..number(count)).collect() }
    }

    /// One number more, by itself.
    pub(super) fn add(&mut self) {
        self.towards.push(number(self.towards.len()));
    }

    /// The next towards the first of a number's group.
    fn next(&self, at: usize) -> Option<usize> {
        self.towards.get(at).and_then(|next| usize::try_from(*next).ok())
    }

    /// Puts the groups of two numbers together.
    pub(super) fn join(&mut self, one: usize, other: usize) {
        let (one, other) = (self.halved(one), self.halved(other));
        let (low, high) = (one.min(other), one.max(other));
        if let Some(at) = self.towards.get_mut(high) {
            *at = number(low);
        }
    }

    /// The first of a number's group.
    pub(super) fn first(&self, mut at: usize) -> usize {
        while let Some(next) = self.next(at).filter(|&next| next != at) {
            at = next;
        }
        at
    }

    /// The same; the way there is halved as it is walked.
    fn halved(&mut self, mut at: usize) -> usize {
        while let Some(next) = self.next(at).filter(|&next| next != at) {
            let beyond = self.next(next).unwrap_or(next);
            if let Some(step) = self.towards.get_mut(at) {
                *step = number(beyond);
            }
            at = next;
        }
        at
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_joined_has_one_first() {
        let mut groups = Groups::apart(6);
        groups.add();
        for (one, other) in [(4, 5), (1, 2), (5, 2), (6, 0)] {
            groups.join(one, other);
        }
        let firsts: Vec<usize> = (0..7).map(|at| groups.first(at)).collect();
        assert_eq!(firsts, [0, 1, 1, 3, 1, 1, 0]);
    }
}
