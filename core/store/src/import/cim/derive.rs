//! What CIM says over several objects: nodes by terminals, and a transformer's impedance by its ends.

use std::collections::BTreeSet;

use super::stage::{Object, Said, Stage};
use crate::import::row::Broken;

/// What an object says under a name; none where it says nothing or several things.
pub(super) fn one<'s>(said: &'s [Said], name: &str) -> Option<&'s str> {
    let mut all = said.iter().filter(|said| *said.name == *name);
    let first = all.next();
    first.filter(|_| all.next().is_none()).map(|said| said.text.as_str())
}

fn number(said: &[Said], name: &str) -> Option<f64> {
    one(said, name)?.parse().ok().filter(|number: &f64| number.is_finite())
}

/// The end of a transformer with this number.
pub(super) fn end(stage: &Stage, object: &Object, wanted: u32) -> Result<Option<Object>, Broken> {
    let mut found = None;
    for end in stage.referring("PowerTransformerEnd.PowerTransformer", &object.id)?.iter() {
        let said = stage.said(end.number)?;
        if number_of(&said, "TransformerEnd.endNumber") == Some(wanted) {
            if found.is_some() {
                return Ok(None);
            }
            found = Some(end.clone());
        }
    }
    Ok(found)
}

fn number_of(said: &[Said], name: &str) -> Option<u32> {
    one(said, name)?.parse().ok()
}

/// The node that a terminal is at: its connectivity node, or in a model of buses and branches, which
/// has none, its topological node.
fn met(said: &[Said]) -> Option<String> {
    let all = ["Terminal.ConnectivityNode", "Terminal.TopologicalNode"];
    let told = all.into_iter().find(|name| said.iter().any(|said| *said.name == **name))?;
    one(said, told).map(str::to_owned)
}

/// The node of an object's terminal with this number, or of a transformer's end.
///
/// Where terminals have no numbers, the only one is the first, and two are first and second as they
/// stand in the file: a branch has no first end of its own. None where it is not clear.
pub(super) fn node(stage: &Stage, object: &Object, wanted: u32) -> Result<Option<String>, Broken> {
    if let Some(end) = end(stage, object, wanted)? {
        let said = stage.said(end.number)?;
        let Some(terminal) = one(&said, "TransformerEnd.Terminal") else { return Ok(None) };
        let Some(terminal) = stage.object(terminal)? else { return Ok(None) };
        let said = stage.said(terminal.number)?;
        return Ok(met(&said));
    }
    let mut terminals = Vec::new();
    for terminal in stage.referring("Terminal.ConductingEquipment", &object.id)?.iter() {
        let said = stage.said(terminal.number)?;
        let place = ["ACDCTerminal.sequenceNumber", "Terminal.sequenceNumber"]
            .into_iter()
            .find_map(|name| number_of(&said, name));
        terminals.push((place, met(&said)));
    }
    let numbered = terminals.iter().any(|(place, _)| place.is_some());
    let mut all = terminals.into_iter().zip(1_u32..).filter(|((place, _), number)| {
        if numbered { *place == Some(wanted) } else { *number == wanted }
    });
    let first = all.next().and_then(|((_, node), _)| node);
    Ok(first.filter(|_| all.next().is_none()))
}

/// The nodes of the equipment of a usage point, each once: none of what has more terminals than one,
/// as a line or a transformer, since nothing says at which of them the customer is.
pub(super) fn nodes_of_equipment(stage: &Stage, point: &Object) -> Result<Vec<String>, Broken> {
    let said = stage.said(point.number)?;
    let mut all = Vec::new();
    for named in said.iter().filter(|said| *said.name == *"UsagePoint.Equipments") {
        all.extend(stage.object(&named.text)?);
    }
    all.extend(stage.referring("Equipment.UsagePoints", &point.id)?.iter().cloned());
    let mut nodes = BTreeSet::new();
    for equipment in all {
        let ends = stage.referring("PowerTransformerEnd.PowerTransformer", &equipment.id)?;
        let terminals = stage.referring("Terminal.ConductingEquipment", &equipment.id)?;
        if ends.is_empty()
            && let [terminal] = &*terminals
        {
            nodes.extend(met(&stage.said(terminal.number)?));
        }
    }
    Ok(nodes.into_iter().collect())
}

/// A transformer's short-circuit impedance in percent of its rating, or its X/R, from the series
/// impedances of its two ends; none where it does not have two ends that say enough.
///
/// Ohms, volts and volt-amps and ohms, kilovolts and megavolt-amps give the same percentage, so the
/// unit prefixes of a profile play no part.
pub(super) fn impedance(
    stage: &Stage,
    object: &Object,
    percent: bool,
) -> Result<Option<f64>, Broken> {
    let ends = stage.referring("PowerTransformerEnd.PowerTransformer", &object.id)?;
    if ends.len() != 2 {
        return Ok(None);
    }
    let (mut r, mut x, mut rating) = (0.0, 0.0, None);
    for end in ends.iter() {
        let said = stage.said(end.number)?;
        let of = |name: &str| number(&said, &format!("PowerTransformerEnd.{name}"));
        let (Some(r_ohms), Some(x_ohms), Some(volts)) = (of("r"), of("x"), of("ratedU")) else {
            return Ok(None);
        };
        if volts <= 0.0 {
            return Ok(None);
        }
        r += r_ohms / (volts * volts);
        x += x_ohms / (volts * volts);
        if number_of(&said, "TransformerEnd.endNumber") == Some(1) {
            rating = of("ratedS");
        }
    }
    let value = if percent { rating.map(|s| 100.0 * s * r.hypot(x)) } else { Some(x / r) };
    Ok(value.filter(|value| value.is_finite() && *value > 0.0))
}
