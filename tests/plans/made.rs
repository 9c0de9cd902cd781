//! Made-up map sheets for plans: one or two feeders, rings with loop points, banks, units whose
//! secondaries are meshed, shared sets, customers with sources of their own. Everything is invented.

use coldlug_tests::draw::Draw;
use serde_json::{Value, json};

/// A sheet under construction.
pub(crate) struct Made {
    draw: Draw,
    features: Vec<Value>,
    system: &'static str,
    /// A row of buses with a pad at each and a second feeder at its far end, where people can be
    /// picked up; else anything.
    pub(crate) row: bool,
    /// What opens, the derived branches behind every base among it.
    opens: usize,
    most: usize,
    /// What services that are still to come will open.
    owed: usize,
    buses: Vec<String>,
    services: Vec<String>,
    pads: usize,
    /// Where the last set of the pad before ends.
    end_before: Option<String>,
    /// Sets that join what two pads feed.
    pub(crate) ties: usize,
    pub(crate) loop_points: Vec<String>,
    /// Every switch that is normally closed.
    pub(crate) closed: Vec<String>,
}

/// A sheet with at most `most` branches that open, and its services; the same seed gives the same.
pub(crate) fn sheet(seed: u64, most: usize) -> (Value, Vec<String>, Made) {
    let mut draw = Draw::of(seed, "plans");
    let system = match draw.below(10) {
        0 => "208y/120",
        1 => "480y/277",
        _ => "120/240-split-phase",
    };
    let row = draw.below(2) == 0;
    let mut made = Made {
        draw,
        row,
        features: Vec::new(),
        system,
        opens: 0,
        most,
        owed: 0,
        buses: Vec::new(),
        services: Vec::new(),
        pads: 0,
        end_before: None,
        ties: 0,
        loop_points: Vec::new(),
        closed: Vec::new(),
    };
    made.primary();
    loop {
        let before = made.opens;
        made.unit();
        if made.opens == before || made.draw.below(12) == 0 {
            break;
        }
    }
    let document = json!({"type": "FeatureCollection",
        "coldlug_map_sheet": {"format": 1, "name": format!("plans {seed}"), "edition": "invented",
            "bounds": [-30.3, 41.5, -30.0, 41.7], "invented": true},
        "features": made.features});
    (document, made.services.clone(), made)
}

impl Made {
    fn chance(&mut self, of: usize) -> bool {
        self.draw.below(of) == 0
    }

    fn add(&mut self, kind: &str, id: &str, more: Value) {
        let geometry = match kind {
            "source" | "pad" | "pedestal" | "service" => {
                let x = -30.2 + 1e-4 * self.features.len() as f64;
                json!({"type": "Point", "coordinates": [x, 41.6]})
            }
            "cable" => {
                json!({"type": "LineString", "coordinates": [[-30.2, 41.6], [-30.19, 41.6]]})
            }
            _ => Value::Null,
        };
        let mut properties = json!({"kind": kind, "id": id});
        if let (Value::Object(to), Value::Object(from)) = (&mut properties, more) {
            to.extend(from);
        }
        self.features
            .push(json!({"type": "Feature", "geometry": geometry, "properties": properties}));
    }

    fn switch(&mut self, id: &str, ends: [&str; 2], device: &str, open: bool, more: Value) {
        self.opens += 1;
        let visible = device != "bayonet-fuse" && !self.chance(8);
        // Some break nothing; some little, which is too little or what only a reading shows.
        let little = self.chance(if open { 12 } else { 5 });
        let breaks = match self.draw.below(8) {
            0 => 0,
            n if little => [4, 8, 16][n % 3],
            _ => 600,
        };
        // Only a loop point is ever tight: what it carries does not hang on the way that feeds it.
        let rated = if open && self.chance(2) { 8 } else { 600 };
        let mut all = json!({"from": ends[0], "to": ends[1], "device": device,
            "normally": if open { "open" } else { "closed" }, "rated_amps": rated,
            "load_break_amps": breaks, "visible_break": visible, "lockable": true,
            "volts_nominal": 7200});
        if let (Value::Object(to), Value::Object(from)) = (&mut all, more) {
            to.extend(from);
        }
        if open {
            self.loop_points.push(id.to_owned());
        } else {
            self.closed.push(id.to_owned());
        }
        self.add("switch", id, all);
    }

    /// Feeders, buses, and what joins these.
    fn primary(&mut self) {
        let feeders = if self.row { 2 } else { 1 + self.draw.below(2) };
        let buses = if self.row { 2 + self.draw.below(2) } else { 1 + self.draw.below(4) };
        self.buses = (0..buses).map(|n| format!("b{n}")).collect();
        for n in 0..feeders {
            let bus = self.buses[if n == 0 { 0 } else { buses - 1 }].clone();
            let node = format!("f{n}");
            self.add(
                "source",
                &format!("F{n}"),
                json!({"node": node, "volts_line_to_line": 12470}),
            );
            let device = if self.chance(2) { "breaker" } else { "feeder-switch" };
            self.switch(&format!("F{n}-switch"), [&node, &bus], device, n > 0, json!({}));
        }
        for n in 1..buses {
            let near = if self.row { n - 1 } else { self.draw.below(n) };
            self.join(near, n, false);
        }
        let more = if self.row { self.draw.below(2) } else { self.draw.below(3) };
        for _ in 0..more {
            if buses > 1 && self.opens + 5 < self.most {
                let one = self.draw.below(buses);
                let other = (one + 1 + self.draw.below(buses - 1)) % buses;
                let open = !self.chance(3);
                self.join(one, other, open);
            }
        }
    }

    /// Two buses joined by a switch, a cable, or both.
    fn join(&mut self, one: usize, other: usize, open: bool) {
        let n = self.features.len();
        let (from, to) = (self.buses[one].clone(), self.buses[other].clone());
        let with_switch = open || self.row || !self.chance(3);
        if with_switch && self.chance(2) {
            let device = ["cut-out", "feeder-switch", "elbow"][self.draw.below(3)];
            self.switch(&format!("T{n}"), [&from, &to], device, open, json!({}));
            return;
        }
        let middle = format!("m{n}");
        let end = if with_switch { &middle } else { &to };
        self.add(
            "cable",
            &format!("C{n}"),
            json!({"from": from, "to": end, "kv_class": 15,
            "metal": "al", "size": "1/0", "length_m": 90}),
        );
        if with_switch {
            let device = ["cut-out", "feeder-switch", "elbow"][self.draw.below(3)];
            self.switch(&format!("T{n}"), [&middle, &to], device, open, json!({}));
        }
    }

    /// A pad with its transformer or bank, sets and services; nothing where there is no room left.
    fn unit(&mut self) {
        let bank = if self.system != "120/240-split-phase" && self.chance(3) { 3 } else { 1 };
        if self.opens + bank + 3 > self.most {
            return;
        }
        let pad = format!("P{}", self.pads);
        self.pads += 1;
        let place = if self.row { self.pads - 1 } else { self.draw.below(self.buses.len()) };
        let bus = self.buses[place % self.buses.len()].clone();
        let mut contains = Vec::new();
        let secondary = format!("{pad}:sec");
        for phase in 0..bank {
            let primary = if self.chance(if self.row { 1 } else { 3 }) && bank == 1 {
                bus.clone()
            } else {
                let fuse = format!("{pad}-fuse{phase}");
                let primary = format!("{pad}:pri{phase}");
                let device = if self.chance(2) { "bayonet-fuse" } else { "cut-out" };
                self.switch(&fuse, [&bus, &primary], device, false, json!({"pad": pad}));
                contains.push(fuse);
                primary
            };
            let id = format!("{pad}-tx{phase}");
            let kva = [25, 50, 100][self.draw.below(3)];
            self.add(
                "transformer",
                &id,
                json!({"primary": primary, "secondary": secondary,
                "kva": kva, "percent_z": 1.8, "primary_volts": 7200, "system": self.system,
                "pad": pad}),
            );
            contains.push(id);
        }
        let mut ends = Vec::new();
        let room = (self.most - self.opens) / 3;
        for position in 1..=(1 + self.draw.below(if self.row { 1 } else { 2 })).min(room) {
            let lug = format!("{pad}-lug{position}");
            let node = format!("{pad}:s{position}");
            self.switch(
                &lug,
                [&secondary, &node],
                "lug-pair",
                false,
                json!({"pad": pad, "position": position.to_string(), "load_break_amps": 0}),
            );
            let set = format!("{pad}-set{position}");
            let end = format!("{pad}:e{position}");
            self.set(&set, &node, &end, Some((&pad, position)));
            contains.extend([lug, set]);
            ends.push(end);
        }
        self.add(
            "pad",
            &pad,
            json!({"tags": [format!("T-{pad}")], "position_accuracy_m": 3,
            "contains": contains}),
        );
        self.customers(&pad, &ends);
    }

    fn set(&mut self, id: &str, from: &str, to: &str, pad: Option<(&str, usize)>) {
        let mut all = json!({"from": from, "to": to, "metal": "al", "size": "4/0", "length_m": 30});
        if let Some((pad, position)) = pad {
            all["pad"] = json!(pad);
            all["position"] = json!(position.to_string());
        }
        self.add("set", id, all);
    }

    /// A service at the end of each set, or several behind a pedestal; two sets of one pad, or of it
    /// and the pad before, may meet there.
    fn customers(&mut self, pad: &str, ends: &[String]) {
        for (n, end) in ends.iter().enumerate() {
            self.owed = 2 * (ends.len() - n - 1);
            let shared = self.chance(4) && self.opens + 4 + self.owed <= self.most;
            let meshed = n > 0 && self.chance(3);
            let tied = self.end_before.take().filter(|_| n == 0 && !self.row && self.chance(3));
            if !shared && !meshed && tied.is_none() {
                self.service(&format!("{pad}V{n}"), end);
                continue;
            }
            self.add("pedestal", &format!("{pad}-ped{n}"), json!({"node": end}));
            for k in 0..=usize::from(shared) {
                self.owed = 2 * (ends.len() - n - 1 + usize::from(shared && k == 0));
                let node = format!("{pad}:v{n}{k}");
                self.set(&format!("{pad}-tail{n}{k}"), end, &node, None);
                self.service(&format!("{pad}V{n}{k}"), &node);
            }
            if meshed {
                // The service before hangs on this pedestal too.
                self.set(&format!("{pad}-mesh{n}"), end, &ends[n - 1], None);
            }
            if let Some(before) = tied {
                // Two pads on one secondary.
                self.set(&format!("{pad}-tie"), end, &before, None);
                self.ties += 1;
            }
        }
        self.end_before = ends.last().cloned();
    }

    fn service(&mut self, id: &str, node: &str) {
        let metered = !self.chance(6);
        self.opens += 1 + usize::from(metered);
        let mut sources = Vec::new();
        if self.chance(5) && self.opens + self.owed < self.most {
            self.opens += 1;
            sources.push(json!({"type": "pv", "kw": 5, "transfer_switch": false}));
        }
        let number = format!("M{}", self.features.len());
        let meters = if metered { vec![number] } else { Vec::new() };
        let mut all = json!({"node": node, "premises": format!("{id} Sample Row"), "meters": meters,
            "meter_base_amps": 200, "system": self.system, "customer_sources": sources,
            "metering": if self.chance(8) { "ct" } else { "self-contained" }});
        if self.chance(2) {
            all["peak_kva"] = json!(5 * (1 + self.draw.below(6)));
        }
        if self.chance(6) {
            let why = ["life-support", "well-pump", "traffic-light"][self.draw.below(3)];
            all["critical"] = json!(why);
        }
        self.add("service", id, all);
        self.services.push(id.to_owned());
    }

    /// One of the names, if there is any.
    pub(crate) fn one_of(&mut self, names: &[String]) -> Option<String> {
        (!names.is_empty()).then(|| self.draw.one(names).clone())
    }

    /// A number below `bound`.
    pub(crate) fn below(&mut self, bound: usize) -> usize {
        self.draw.below(bound)
    }

    /// The two ends of a cable on the sheet, if there is one, as a scope.
    pub(crate) fn cable_scope(&mut self) -> Option<String> {
        let text = |f: &Value, key: &str| f["properties"][key].as_str().map(str::to_owned);
        let cables: Vec<String> = self
            .features
            .iter()
            .filter(|f| f["properties"]["kind"] == "cable")
            .filter_map(|f| {
                let end = |key| text(f, key).map(|node| node.replace(':', "::"));
                Some(format!("cable:{}:{}", end("from")?, end("to")?))
            })
            .collect();
        self.one_of(&cables)
    }
}
