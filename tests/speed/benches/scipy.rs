//! SciPy's maximum flow of the same graph, in a Python beside this run.

use std::fs;
use std::path::Path;
use std::process::Command;

use petgraph::{
    graph::{DiGraph, NodeIndex},
    visit::EdgeRef,
};

/// What SciPy came to.
pub(crate) struct Flow {
    /// The flow.
    pub(crate) value: usize,
    /// Milliseconds for its matrix.
    pub(crate) graph_ms: f64,
    /// Milliseconds for the flow alone.
    pub(crate) flow_ms: f64,
}

/// The flow from one node to another, or why it was not measured.
pub(crate) fn flow(
    graph: &DiGraph<(), u32>,
    [start, goal]: [NodeIndex; 2],
) -> Result<Flow, String> {
    let folder = tempfile::tempdir().map_err(|why| why.to_string())?;
    let edges = folder.path().join("edges");
    let words = graph.edge_references().flat_map(|edge| {
        let ends = [edge.source(), edge.target()].map(|node| u32::try_from(node.index()));
        [ends[0].unwrap_or(u32::MAX), ends[1].unwrap_or(u32::MAX), *edge.weight()]
    });
    let bytes: Vec<u8> = words.flat_map(u32::to_le_bytes).collect();
    fs::write(&edges, bytes).map_err(|why| why.to_string())?;
    let python = std::env::var_os("COLDLUG_PYTHON").unwrap_or_else(|| "python3".into());
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("benches").join("flow.py");
    let counts = [graph.node_count(), start.index(), goal.index()].map(|count| count.to_string());
    let said = Command::new(&python)
        .arg(script)
        .arg(&edges)
        .args(counts)
        .output()
        .map_err(|why| format!("{}: {why}", python.display()))?;
    let last = |bytes: &[u8]| {
        String::from_utf8_lossy(bytes).trim().lines().last().unwrap_or_default().to_owned()
    };
    if !said.status.success() {
        return Err(format!("{}: {}", python.display(), last(&said.stderr)));
    }
    read(&last(&said.stdout)).ok_or_else(|| "it printed no flow".to_owned())
}

fn read(line: &str) -> Option<Flow> {
    let mut words = line.split_whitespace();
    let value = words.next()?.parse().ok()?;
    let graph_ms = words.next()?.parse().ok()?;
    let flow_ms = words.next()?.parse().ok()?;
    Some(Flow { value, graph_ms, flow_ms })
}
