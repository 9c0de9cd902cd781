//! How far apart the peaks of customers fall.

/// Diversity factors of groups of customers: how many, and the sum of their own peaks over the peak
/// of them together (Kersting, Distribution System Modeling and Analysis, table of diversity
/// factors; from memory, some of its rows). A worked example of that book, not a law: who knows the
/// utility's own puts peaks of its own on the record or reads the amps.
const TABLE: [(f64, f64); 14] = [
    (1.0, 1.0),
    (2.0, 1.60),
    (3.0, 1.80),
    (4.0, 2.10),
    (5.0, 2.20),
    (6.0, 2.30),
    (7.0, 2.40),
    (8.0, 2.55),
    (9.0, 2.60),
    (10.0, 2.65),
    (15.0, 2.80),
    (20.0, 2.90),
    (30.0, 3.05),
    (70.0, 3.20),
];

/// The sum of the peaks of that many customers over their peak together; at least 1, and no more for
/// more than seventy. Between the rows of the table it is on the straight line.
pub fn diversity_factor(customers: u32) -> f64 {
    let n = f64::from(customers);
    let mut before = (1.0, 1.0);
    for &(count, factor) in &TABLE {
        if n <= count {
            let (from, least) = before;
            let share = if count > from { (n - from) / (count - from) } else { 1.0 };
            return (least + (factor - least) * share).max(1.0);
        }
        before = (count, factor);
    }
    before.1
}
