//! Sets that are joined step by step: which nodes hang together.

/// Sets of numbers from 0, each alone at first (union by root, paths halved).
#[derive(Default)]
pub struct Union(Vec<usize>);

impl Union {
    /// So many numbers, each a set of its own.
    #[must_use]
    pub fn of(count: usize) -> Self {
        Self((0..count).collect())
    }

    /// The next number, in a set of its own.
    pub fn add(&mut self) -> usize {
        self.0.push(self.0.len());
        self.0.len() - 1
    }

    /// The least number of the set in which one is.
    pub fn root(&mut self, mut at: usize) -> usize {
        while self.0[at] != at {
            self.0[at] = self.0[self.0[at]];
            at = self.0[at];
        }
        at
    }

    /// Makes the sets in which two are one.
    pub fn join(&mut self, a: usize, b: usize) {
        let (a, b) = (self.root(a), self.root(b));
        self.0[a.max(b)] = a.min(b);
    }

    /// By number: the least of its set.
    #[must_use]
    pub fn roots(mut self) -> Vec<usize> {
        (0..self.0.len()).map(|at| self.root(at)).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sets_go_by_their_least() {
        let mut sets = Union::of(6);
        for (a, b) in [(5, 3), (3, 1), (4, 4), (1, 5)] {
            sets.join(a, b);
        }
        assert_eq!(sets.add(), 6);
        assert_eq!(sets.roots(), [0, 1, 2, 1, 4, 1, 6]);
    }
}
