//! What a scope asks for, from the words of the design and of the default rule sheet: the zone, the
//! sources that count, and what may be opened.

use std::collections::BTreeSet;

use serde_json::Value;

use super::brute::Question;
use super::network::{Branch, Network};
use super::shapes::{id, of_kind, text};

/// Self-contained meters above this are not pulled (default rule sheet).
const METER_PULL_MOST_VOLTS: f64 = 300.0;

/// The question that a scope at a service asks.
pub(crate) fn question<'a>(
    network: &'a Network,
    sheet: &Value,
    service: &Value,
    scope: &str,
) -> Question<'a> {
    let zone = zone(network, sheet, service, scope);
    let mut sources = network.feeders.clone();
    sources.extend(network.customer_sources.iter().map(|(_, at)| *at));
    if scope.starts_with("base-") {
        // A source nobody told of may hang in any house; for the pad and the primary it is tested
        // and grounded against instead.
        sources.extend(network.houses.values());
    }
    let may_open = (0..network.branches.len())
        .filter(|&b| {
            let branch = &network.branches[b];
            let inside = branch.ends.iter().all(|end| zone.contains(end));
            !inside && is_allowed(branch) && !is_behind_the_meter(network, branch, service, scope)
        })
        .collect();
    Question { network, zone, sources, may_open }
}

fn zone(network: &Network, sheet: &Value, service: &Value, scope: &str) -> Vec<usize> {
    let base = network.place(text(service, "node"));
    let pad = pad_of(sheet, text(service, "node"));
    let in_pad = |kind: &str| -> Vec<&Value> {
        of_kind(sheet, kind).into_iter().filter(|f| text(f, "pad") == pad).collect()
    };
    let mut nodes = BTreeSet::new();
    match scope {
        "base-line-side" => return vec![base],
        "base-both-sides" => return vec![base, network.place(&format!("{}:load", id(service)))],
        "pad-secondary" | "pad-primary" => {
            let secondary = scope == "pad-secondary";
            for unit in in_pad("transformer") {
                nodes.insert(text(unit, if secondary { "secondary" } else { "primary" }));
            }
            for switch in in_pad("switch") {
                if (text(switch, "device") == "lug-pair") == secondary {
                    nodes.extend([text(switch, "from"), text(switch, "to")]);
                }
            }
        }
        cable => {
            // `cable:FROM:TO`, a colon inside a node's name doubled.
            let spoken = cable.strip_prefix("cable:").expect("a scope").replace("::", "\n");
            let (from, to) = spoken.split_once(':').expect("two ends");
            return [from, to].map(|end| network.place(&end.replace('\n', ":"))).to_vec();
        }
    }
    nodes.into_iter().map(|node| network.place(node)).collect()
}

/// The pad whose set leads to `node`, through pedestals.
pub(crate) fn pad_of<'a>(sheet: &'a Value, node: &str) -> &'a str {
    let sets = of_kind(sheet, "set");
    let mut node = node;
    loop {
        let set = sets.iter().find(|set| text(set, "to") == node).expect("a set ends here");
        if !text(set, "pad").is_empty() {
            return text(set, "pad");
        }
        node = text(set, "from");
    }
}

/// Whether the default rule sheet lets a device of this kind count as an opening.
fn is_allowed(branch: &Branch) -> bool {
    let p = &branch.properties;
    match branch.device.as_deref() {
        None => false,
        // Locked and tested; a CT-metered or high-voltage one is never pulled.
        Some("meter") => {
            p["metering"] != "ct" && legs_apart(p["system"].as_str()) <= METER_PULL_MOST_VOLTS
        }
        Some("main" | "source-disconnect") => true,
        Some(device) => {
            let breaks = p["load_break_amps"].as_f64().is_some_and(|amps| amps > 0.0);
            p["visible_break"] == true && (breaks || branch.open || device == "lug-pair")
        }
    }
}

/// At the line side the meter comes out in any case, so what hangs behind it is no opening.
fn is_behind_the_meter(network: &Network, branch: &Branch, service: &Value, scope: &str) -> bool {
    let own = |part: &str| branch.id.starts_with(&format!("{}/{part}", id(service)));
    let meter = network.branches.iter().find(|b| b.id == format!("{}/meter", id(service)));
    scope == "base-line-side" && (own("main") || own("source-")) && meter.is_some_and(is_allowed)
}

fn legs_apart(system: Option<&str>) -> f64 {
    match system {
        Some("120/240-split-phase") => 240.0,
        Some("480y/277") => 480.0,
        other => panic!("the converted sheet has no {other:?}"),
    }
}

/// Operations and exposure of opening one branch, by the default rule sheet's weights. What stands
/// open already costs nothing: it is held open.
pub(crate) fn price(network: &Network, branch: &Branch) -> (u64, u64) {
    if branch.open {
        return (0, 0);
    }
    let p = &branch.properties;
    let (contact, operations) = match branch.device.as_deref() {
        Some("breaker" | "feeder-switch" | "main" | "source-disconnect") => (1, 1),
        Some("elbow" | "cut-out" | "bayonet-fuse") => (2, 1),
        Some("meter") => (4, 1),
        Some("lug-pair") => (4, p["legs"].as_array().map_or(2, Vec::len) as u64),
        other => panic!("{}: nobody opens a {other:?}", branch.id),
    };
    let to_ground = match branch.device.as_deref() {
        Some("lug-pair") => lug_volts(network, branch),
        Some("meter" | "main" | "source-disconnect") => leg_to_ground(p["system"].as_str()),
        _ => p["volts_nominal"].as_f64().expect("the converted sheet says so"),
    };
    let voltage = if to_ground <= 300.0 {
        1
    } else if to_ground <= 1000.0 {
        2
    } else {
        5
    };
    (operations, operations * contact * voltage)
}

fn lug_volts(network: &Network, lug: &Branch) -> f64 {
    let unit = network
        .branches
        .iter()
        .find(|b| b.properties["kind"] == "transformer" && lug.ends.contains(&b.ends[1]));
    leg_to_ground(unit.expect("a lug is on a transformer").properties["system"].as_str())
}

fn leg_to_ground(system: Option<&str>) -> f64 {
    if legs_apart(system) > 300.0 { 277.0 } else { 120.0 }
}
