//! A map sheet as bits: nodes and branches are bit numbers. Read from the sheet alone, with nothing
//! of core's in it but what an answer says of itself.

use std::collections::BTreeMap;

use serde_json::Value;

/// A branch.
#[derive(Debug, Clone)]
pub(crate) struct Branch {
    pub(crate) id: String,
    /// The bits of its two ends.
    pub(crate) ends: [u64; 2],
    /// What opens it; empty where nothing does.
    pub(crate) device: String,
    pub(crate) normally_open: bool,
    pub(crate) open: bool,
    /// Operations and exposure of opening it while it is closed.
    pub(crate) price: (u64, u64),
    pub(crate) rated_ma: u64,
    pub(crate) breaks_load: bool,
    pub(crate) breaks_ma: u64,
    pub(crate) read_ma: Option<u64>,
}

/// A service.
#[derive(Debug, Clone)]
pub(crate) struct Customer {
    pub(crate) house: u64,
    pub(crate) peak_kva: Option<f64>,
    /// Own sources that can feed back: where, and how much.
    pub(crate) own: Vec<(u64, f64)>,
}

/// A transformer.
#[derive(Debug, Clone)]
pub(crate) struct Unit {
    pub(crate) secondary: u64,
    pub(crate) kva: f64,
}

/// All of it.
#[derive(Debug, Default)]
pub(crate) struct World {
    names: BTreeMap<String, u32>,
    pub(crate) branches: Vec<Branch>,
    pub(crate) feeders: Vec<u64>,
    /// House of each service.
    pub(crate) houses: BTreeMap<String, u64>,
    pub(crate) customers: Vec<Customer>,
    pub(crate) units: Vec<Unit>,
    /// The branches that are transformers, as bits.
    pub(crate) transformers: u64,
    pub(crate) three_phase: bool,
    /// Milliamps by nameplate, by node bit.
    pub(crate) loads: Vec<(u64, u64)>,
}

impl World {
    /// The sheet with these switches standing otherwise, and these amps read.
    pub(crate) fn of(sheet: &Value, turned: &[String], read: &[(String, u64)]) -> Self {
        let mut world = Self::default();
        let features = sheet["features"].as_array().unwrap();
        let system = features.iter().find_map(|f| f["properties"]["system"].as_str()).unwrap_or("");
        world.three_phase = system != "120/240-split-phase";
        for feature in features {
            let p = &feature["properties"];
            let text = |key: &str| p[key].as_str().unwrap_or_default();
            match text("kind") {
                "source" => {
                    let node = world.node(text("node"));
                    world.feeders.push(node);
                }
                "switch" => world.switch(p, system, turned, read),
                "cable" | "set" => world.join(text("id"), text("from"), text("to"), ""),
                "transformer" => {
                    world.join(text("id"), text("primary"), text("secondary"), "");
                    let phases: f64 = if system == "120/240-split-phase" { 1.0 } else { 3.0 };
                    let amps = p["kva"].as_f64().unwrap() * 1e3 / (7200.0 * phases.sqrt());
                    let node = world.node(text("primary"));
                    world.loads.push((node, (amps * 1e3).ceil() as u64));
                    world.transformers |= 1 << (world.branches.len() - 1);
                    let secondary = world.node(text("secondary"));
                    world.units.push(Unit { secondary, kva: p["kva"].as_f64().unwrap() });
                }
                "service" => world.service(p),
                _ => {}
            }
        }
        assert!(world.names.len() <= 64 && world.branches.len() <= 64, "too many for bits");
        world
    }

    pub(crate) fn node(&mut self, name: &str) -> u64 {
        let next = u32::try_from(self.names.len()).unwrap();
        1 << *self.names.entry(name.to_owned()).or_insert(next)
    }

    /// The bits of these nodes.
    pub(crate) fn bits<'a>(&self, nodes: impl Iterator<Item = &'a str>) -> u64 {
        nodes.fold(0, |bits, node| bits | 1 << self.names[node])
    }

    fn join(&mut self, id: &str, from: &str, to: &str, device: &str) {
        let ends = [self.node(from), self.node(to)];
        self.branches.push(Branch {
            id: id.to_owned(),
            ends,
            device: device.to_owned(),
            normally_open: false,
            open: false,
            price: (1, 1),
            rated_ma: u64::MAX,
            breaks_load: false,
            breaks_ma: 0,
            read_ma: None,
        });
    }

    fn switch(&mut self, p: &Value, system: &str, turned: &[String], read: &[(String, u64)]) {
        let text = |key: &str| p[key].as_str().unwrap_or_default();
        self.join(text("id"), text("from"), text("to"), text("device"));
        let branch = self.branches.last_mut().unwrap();
        branch.normally_open = p["normally"] == "open";
        branch.open = branch.normally_open != turned.contains(&branch.id);
        // The default rule sheet: handle 1, stick 2, gloved hand 4; above 1000 V times 5.
        branch.price = match text("device") {
            "lug-pair" => {
                let legs = if system == "120/240-split-phase" { 2 } else { 3 };
                (legs, legs * 4)
            }
            "elbow" | "cut-out" | "bayonet-fuse" => (1, 10),
            _ => (1, 5),
        };
        let breaks = p["load_break_amps"].as_u64().unwrap();
        branch.breaks_load = breaks > 0;
        branch.breaks_ma = breaks * 1000;
        branch.rated_ma = p["rated_amps"].as_u64().unwrap() * 1000;
        // A loop point that is closed meanwhile is opened again under its load.
        if branch.open && branch.normally_open && branch.breaks_load {
            branch.rated_ma = branch.rated_ma.min(branch.breaks_ma);
        }
        branch.read_ma = read.iter().find(|(id, _)| *id == branch.id).map(|(_, ma)| *ma);
    }

    /// What every service has without its being drawn: by hand a meter, by handles what is behind.
    fn service(&mut self, p: &Value) {
        let text = |key: &str| p[key].as_str().unwrap_or_default();
        let id = text("id");
        let (load, house) = (format!("{id}:load"), format!("{id}:house"));
        let metered = !p["meters"].as_array().unwrap().is_empty();
        self.join(&format!("{id}/meter"), text("node"), &load, if metered { "meter" } else { "" });
        self.branches.last_mut().unwrap().price = (1, 4);
        self.join(&format!("{id}/main"), &load, &house, "main");
        let mut own = Vec::new();
        for (number, source) in (1..).zip(p["customer_sources"].as_array().unwrap()) {
            let end = format!("{id}:source-{number}");
            self.join(&format!("{id}/source-{number}"), &load, &end, "source-disconnect");
            if source["transfer_switch"] == false {
                own.push((self.node(&end), source["kw"].as_f64().unwrap()));
            }
        }
        let house = self.node(&house);
        self.customers.push(Customer { house, peak_kva: p["peak_kva"].as_f64(), own });
        self.houses.insert(id.to_owned(), house);
    }

    /// The place of a branch.
    pub(crate) fn branch(&self, id: &str) -> usize {
        self.branches.iter().position(|b| b.id == id).unwrap()
    }

    /// The branches that stand closed now, as bits.
    pub(crate) fn closed_now(&self) -> u64 {
        let numbered = self.branches.iter().enumerate();
        numbered.filter(|(_, b)| !b.open).fold(0, |bits, (n, _)| bits | 1 << n)
    }

    /// The nodes reached from these over the branches whose bits are set.
    pub(crate) fn reach(&self, from: u64, closed: u64) -> u64 {
        let mut seen = from;
        loop {
            let before = seen;
            let mut left = closed;
            while left != 0 {
                let n = left.trailing_zeros() as usize;
                left &= left - 1;
                let ends = self.branches[n].ends[0] | self.branches[n].ends[1];
                if seen & ends != 0 {
                    seen |= ends;
                }
            }
            if seen == before {
                return seen;
            }
        }
    }

    /// All feeders' bits.
    pub(crate) fn feeder_bits(&self) -> u64 {
        self.feeders.iter().fold(0, |bits, f| bits | f)
    }
}
