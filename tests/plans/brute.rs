//! The best plan there is, by trying every set of openings and every order of closing loop points.

use super::world::World;

/// Customers who stay out, fuses drawn or put in, exposure, operations.
pub(crate) type Price = (usize, u64, u64, u64);

/// The last resort among what opens.
pub(crate) const FUSE: &str = "bayonet-fuse";

/// A question, and what an answer says of it: zone, sources, what may be opened.
pub(crate) struct Question<'a> {
    pub(crate) world: &'a World,
    pub(crate) target: &'a str,
    pub(crate) zone: u64,
    pub(crate) sources: u64,
    pub(crate) may_open: Vec<usize>,
}

/// A loop point that was closed: branch, the side it is fed from, the island it feeds and that
/// island's own milliamps.
#[derive(Clone, Copy)]
struct Closed {
    branch: usize,
    near: u64,
    island: u64,
    own_ma: u64,
}

impl Question<'_> {
    /// Whether no source reaches the zone with these branches open and every other closed.
    pub(crate) fn separates(&self, opened: u64) -> bool {
        self.world.reach(self.zone, !opened & self.all()) & self.sources == 0
    }

    fn all(&self) -> u64 {
        self.world.branches.iter().enumerate().fold(0, |bits, (n, _)| bits | 1 << n)
    }

    /// An opening without which the set separates as well.
    pub(crate) fn needless(&self, opened: u64) -> Option<usize> {
        let each = (0..self.world.branches.len()).filter(|n| opened & (1 << n) != 0);
        each.into_iter().find(|n| self.separates(opened & !(1 << n)))
    }

    /// The best price of all sets of openings of which each is needed, and the fewest openings of
    /// any. Opening more than is needed could only cut an island in two for the sake of a rating.
    pub(crate) fn best(&self) -> Option<(Price, usize)> {
        let mut best: Option<Price> = None;
        let mut fewest = usize::MAX;
        for chosen in 0..1_u64 << self.may_open.len() {
            let mut opened = 0;
            let mut left = chosen;
            while left != 0 {
                opened |= 1 << self.may_open[left.trailing_zeros() as usize];
                left &= left - 1;
            }
            if self.separates(opened) {
                let price = self.price(opened);
                if best.is_none_or(|b| price < b) && self.needless(opened).is_none() {
                    best = Some(price);
                }
                fewest = fewest.min(chosen.count_ones() as usize);
            }
        }
        best.map(|price| (price, fewest))
    }

    /// Who loses supply, by name.
    pub(crate) fn out(&self, opened: u64) -> Vec<String> {
        let now = self.world.closed_now();
        let before = self.world.reach(self.world.feeder_bits(), now);
        let after = self.world.reach(self.world.feeder_bits(), now & !opened);
        let houses = self.world.houses.iter();
        houses
            .filter(|(id, house)| {
                *id != self.target && before & **house != 0 && after & **house == 0
            })
            .map(|(id, _)| id.clone())
            .collect()
    }

    /// The best price of one set of openings over every order of closing loop points.
    pub(crate) fn price(&self, opened: u64) -> Price {
        let world = self.world;
        let now = world.closed_now();
        let before = world.reach(world.feeder_bits(), now);
        let each = |bits: u64| (0..world.branches.len()).filter(move |n| bits & (1 << n) != 0);
        let done = each(opened & now).map(|n| world.branches[n].price);
        let (operations, exposure) = done.fold((0, 0), |sum, one| (sum.0 + one.0, sum.1 + one.1));
        let drawn = each(opened & now).filter(|&n| world.branches[n].device == FUSE);
        let fuses = drawn.count() as u64;
        let loops: Vec<usize> = each(!now & !opened)
            .filter(|&n| {
                let b = &world.branches[n];
                b.normally_open && b.breaks_load && b.device != "lug-pair"
            })
            .collect();
        let mut best: Option<Price> = None;
        let mut waiting: Vec<(u64, Vec<Closed>)> = vec![(now & !opened, Vec::new())];
        while let Some((closed, order)) = waiting.pop() {
            let fed = world.reach(world.feeder_bits(), closed);
            let houses = world.houses.iter().filter(|(id, _)| *id != self.target);
            let out = houses.filter(|(_, h)| before & **h != 0 && fed & **h == 0).count();
            let (mut exposure, mut operations, mut fuses) = (exposure, operations, fuses);
            for one in &order {
                fuses += u64::from(world.branches[one.branch].device == FUSE);
                let (more, weight) = world.branches[one.branch].price;
                exposure += weight;
                operations += more;
            }
            let price = (out, fuses, exposure, operations);
            best = Some(best.map_or(price, |b| b.min(price)));
            for &branch in &loops {
                let [one, other] = world.branches[branch].ends;
                let sides = [one, other].map(|end| fed & end != 0);
                if closed & (1 << branch) != 0 || sides[0] == sides[1] {
                    continue;
                }
                let (near, far) = if sides[0] { (one, other) } else { (other, one) };
                let island = world.reach(far, closed);
                let own_ma = self.island_ma(island, opened & now);
                let mut order = order.clone();
                order.push(Closed { branch, near, island, own_ma });
                if self.holds(&order) {
                    waiting.push((closed | 1 << branch, order));
                }
            }
        }
        best.unwrap()
    }

    /// What was read at the one opening that fed the island, else its nameplates.
    fn island_ma(&self, island: u64, opened: u64) -> u64 {
        let branches = self.world.branches.iter().enumerate();
        let entrances: Vec<Option<u64>> = branches
            .filter(|(n, b)| opened & (1 << n) != 0 && (b.ends[0] | b.ends[1]) & island != 0)
            .map(|(_, b)| b.read_ma)
            .collect();
        if let [Some(read)] = entrances.as_slice() {
            return *read;
        }
        let loads = self.world.loads.iter().filter(|(node, _)| island & node != 0);
        loads.map(|(_, ma)| ma).sum()
    }

    fn holds(&self, order: &[Closed]) -> bool {
        order.iter().enumerate().all(|(n, one)| {
            let carried = order[n..]
                .iter()
                .fold((0, 0_u64), |(sum, islands), later| {
                    let behind = later.branch == one.branch || later.near & islands != 0;
                    if behind {
                        (sum + later.own_ma, islands | later.island)
                    } else {
                        (sum, islands)
                    }
                })
                .0;
            carried <= self.world.branches[one.branch].rated_ma
        })
    }
}
