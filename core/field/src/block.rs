//! Small blocks of nodal equations: `Y V = J + (amps that enter from outside)`, remote earth as zero.
//!
//! A block of N nodes is the whole of a subnetwork as seen from those nodes. Blocks are added
//! where they meet, reduced when a node is not connected further, and carried through series
//! impedances, so that a tree of cables is solved exactly without one large matrix.
#![allow(
    clippy::indexing_slicing,
    clippy::needless_range_loop,
    reason = "arrays of N, indices from 0..N or the callers' node constants; sums read as in a book"
)]

use num_complex::Complex64;

/// Equations of a subnetwork seen from N nodes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Block<const N: usize> {
    y: [[Complex64; N]; N],
    j: [Complex64; N],
}

/// The equation of a node that was reduced away, kept to find its voltage later.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Row<const N: usize> {
    y: [Complex64; N],
    j: Complex64,
    node: usize,
}

impl<const N: usize> Default for Block<N> {
    fn default() -> Self {
        Self { y: [[Complex64::ZERO; N]; N], j: [Complex64::ZERO; N] }
    }
}

impl<const N: usize> Block<N> {
    /// An admittance between two nodes, siemens.
    pub(crate) fn join(&mut self, a: usize, b: usize, siemens: Complex64) {
        self.y[a][a] += siemens;
        self.y[b][b] += siemens;
        self.y[a][b] -= siemens;
        self.y[b][a] -= siemens;
    }

    /// An admittance between a node and remote earth, siemens.
    pub(crate) fn ground(&mut self, node: usize, siemens: Complex64) {
        self.y[node][node] += siemens;
    }

    /// A current source that drives amps from `from` to `into`.
    pub(crate) fn drive(&mut self, from: usize, into: usize, amps: Complex64) {
        self.j[into] += amps;
        self.j[from] -= amps;
    }

    /// A current source that drives amps from remote earth into a node.
    pub(crate) fn drive_from_earth(&mut self, into: usize, amps: Complex64) {
        self.j[into] += amps;
    }

    /// Adds an entry of the admittance matrix as it stands (for coupled elements).
    pub(crate) fn add_entry(&mut self, row: usize, column: usize, siemens: Complex64) {
        self.y[row][column] += siemens;
    }

    /// Adds another subnetwork at the same nodes.
    pub(crate) fn add(&mut self, other: &Self) {
        for row in 0..N {
            for column in 0..N {
                self.y[row][column] += other.y[row][column];
            }
            self.j[row] += other.j[row];
        }
    }

    /// Adds a subnetwork of M nodes at the nodes given.
    pub(crate) fn add_at<const M: usize>(&mut self, other: &Block<M>, at: [usize; M]) {
        for row in 0..M {
            for column in 0..M {
                self.y[at[row]][at[column]] += other.y[row][column];
            }
            self.j[at[row]] += other.j[row];
        }
    }

    /// The subnetwork seen from its first M nodes; the others must have been reduced.
    pub(crate) fn front<const M: usize>(&self) -> Block<M> {
        let mut front = Block::<M>::default();
        for row in 0..M {
            for column in 0..M {
                front.y[row][column] = self.y[row][column];
            }
            front.j[row] = self.j[row];
        }
        front
    }

    /// Reduces a node that nothing further is connected to. None when it has no admittance at all.
    pub(crate) fn reduce(&mut self, node: usize) -> Option<Row<N>> {
        let own = self.y[node][node];
        if own.norm_sqr() <= 0.0 {
            return None;
        }
        let row = Row { y: self.y[node], j: self.j[node], node };
        for other in (0..N).filter(|n| *n != node) {
            let share = self.y[other][node] / own;
            for column in 0..N {
                self.y[other][column] -= share * row.y[column];
            }
            self.j[other] -= share * row.j;
            self.y[other][node] = Complex64::ZERO;
        }
        self.y[node] = [Complex64::ZERO; N];
        self.j[node] = Complex64::ZERO;
        Some(row)
    }

    /// The same subnetwork seen through this series impedance in each node's conductor, ohms.
    #[inline]
    pub(crate) fn through(&self, ohms: Complex64) -> Option<Self> {
        let mut factor = [[Complex64::ZERO; N]; N];
        for row in 0..N {
            for column in 0..N {
                factor[row][column] = self.y[row][column] * ohms;
            }
            factor[row][row] += Complex64::ONE;
        }
        let inverse = invert(factor)?;
        let mut seen = Self::default();
        for row in 0..N {
            for k in 0..N {
                let share = inverse[row][k];
                for column in 0..N {
                    seen.y[row][column] += share * self.y[k][column];
                }
                seen.j[row] += share * self.j[k];
            }
        }
        Some(seen)
    }

    /// The amps that flow into the subnetwork from outside at these voltages.
    #[inline]
    pub(crate) fn amps_in(&self, volts: [Complex64; N]) -> [Complex64; N] {
        let mut amps = [Complex64::ZERO; N];
        for row in 0..N {
            for k in 0..N {
                amps[row] += self.y[row][k] * volts[k];
            }
            amps[row] -= self.j[row];
        }
        amps
    }

    /// The voltages when nothing enters from outside. None when they are not determined.
    pub(crate) fn solve(&self) -> Option<[Complex64; N]> {
        let inverse = invert(self.y)?;
        let mut volts = [Complex64::ZERO; N];
        // The second round takes away what rounding left over in the first.
        for _ in 0..2 {
            let left = self.amps_in(volts);
            for row in 0..N {
                let mut mend = Complex64::ZERO;
                for k in 0..N {
                    mend += inverse[row][k] * left[k];
                }
                volts[row] -= mend;
            }
        }
        Some(volts)
    }
}

impl<const N: usize> Row<N> {
    /// Puts the reduced node's voltage into its place, given the others'.
    pub(crate) fn recover(&self, volts: &mut [Complex64; N]) {
        let mut rest = self.j;
        for (column, own) in volts.iter().enumerate().filter(|(c, _)| *c != self.node) {
            rest -= self.y[column] * own;
        }
        volts[self.node] = rest / self.y[self.node];
    }
}

/// Inverse by Gauss and Jordan with row pivoting; none for a singular matrix.
#[inline]
fn invert<const N: usize>(mut a: [[Complex64; N]; N]) -> Option<[[Complex64; N]; N]> {
    let mut inverse = [[Complex64::ZERO; N]; N];
    for (k, row) in inverse.iter_mut().enumerate() {
        row[k] = Complex64::ONE;
    }
    // Columns of the inverse that can be other than zero in the pivot's row: until rows were
    // exchanged, those up to the pivot's own.
    let mut exchanged = false;
    for k in 0..N {
        let mut pivot = k;
        for row in k + 1..N {
            if a[row][k].norm_sqr() > a[pivot][k].norm_sqr() {
                pivot = row;
            }
        }
        let head = a[pivot][k];
        if head.norm_sqr() <= 0.0 || !head.norm_sqr().is_finite() {
            return None;
        }
        if pivot != k {
            exchanged = true;
            a.swap(k, pivot);
            inverse.swap(k, pivot);
        }
        let filled = if exchanged { N } else { k + 1 };
        let scale = head.inv();
        // What lies left of the pivot is not asked for again.
        for column in k + 1..N {
            a[k][column] *= scale;
        }
        for column in 0..filled {
            inverse[k][column] *= scale;
        }
        for row in (0..N).filter(|r| *r != k) {
            let factor = a[row][k];
            if factor.norm_sqr() <= 0.0 {
                continue;
            }
            for column in k + 1..N {
                let taken = factor * a[k][column];
                a[row][column] -= taken;
            }
            for column in 0..filled {
                let taken = factor * inverse[k][column];
                inverse[row][column] -= taken;
            }
        }
    }
    Some(inverse)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn re(x: f64) -> Complex64 {
        Complex64::new(x, 0.0)
    }

    #[test]
    fn a_divider_divides() {
        // 120 V through 1 ohm (as 120 A into 1 S) against 3 ohm to earth: 90 V.
        let mut block = Block::<1>::default();
        block.ground(0, re(1.0));
        block.drive_from_earth(0, re(120.0));
        block.ground(0, re(1.0 / 3.0));
        let volts = block.solve().unwrap();
        assert!((volts[0] - re(90.0)).norm_sqr() < 1e-20);
    }

    #[test]
    fn through_a_series_ohm_is_a_sum_of_resistances() {
        let mut block = Block::<1>::default();
        block.ground(0, re(0.25));
        let seen = block.through(re(6.0)).unwrap();
        assert!((seen.amps_in([re(10.0)])[0] - re(1.0)).norm_sqr() < 1e-24);
    }

    #[test]
    fn a_reduced_node_is_found_again() {
        let mut block = Block::<2>::default();
        block.join(0, 1, re(0.5));
        block.ground(1, re(0.25));
        let row = block.reduce(1).unwrap();
        // From node 0: 2 ohm and 4 ohm in series.
        assert!((block.amps_in([re(6.0), re(0.0)])[0] - re(1.0)).norm_sqr() < 1e-24);
        let mut volts = [re(6.0), re(0.0)];
        row.recover(&mut volts);
        assert!((volts[1] - re(4.0)).norm_sqr() < 1e-24);
    }

    #[test]
    fn what_floats_has_no_solution() {
        let mut block = Block::<2>::default();
        block.join(0, 1, re(1.0));
        assert!(block.solve().is_none());
        assert!(Block::<1>::default().reduce(0).is_none());
    }
}
