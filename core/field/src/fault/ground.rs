//! What a fault in the ground or at the premises is made of: the surprises that bring it about.

use super::Fault;
use crate::conductor::{Metal, Size};
use crate::entry::Entry;
use crate::names;
use crate::seed::Draw;
use crate::surprise::Surprise;
use crate::world::{FieldError, Sky, SourceKind, World};

/// The surprises of a fault round a target; none where the world has no room for it.
pub(super) fn surprises(
    fault: Fault,
    target: &str,
    world: &World,
    draw: &mut Draw,
) -> Result<Vec<Surprise>, FieldError> {
    let service = target.to_owned();
    let set = world.feeding_set(target)?.to_owned();
    let pad = world.pad_of(target)?.to_owned();
    Ok(match fault {
        Fault::StraightSplice => {
            let metal = if draw.chance(0.5) { Metal::Al } else { Metal::Cu };
            vec![Surprise::StraightSplice { set, metal, size: Size::Kcmil500 }]
        }
        Fault::SecondRun if world.set(&set)?.runs == 1 => vec![Surprise::SecondRun { set }],
        Fault::StreetLightOnSet => {
            vec![Surprise::StreetLight { service, amps: draw.between(0.4, 1.3) }]
        }
        Fault::UnmeteredTap => {
            vec![Surprise::UnmeteredTap { service, amps: draw.between(0.4, 4.0) }]
        }
        Fault::OpenNeutral => vec![Surprise::BrokenNeutral { set }],
        Fault::PoorNeutral => vec![Surprise::PoorNeutral { pad }],
        Fault::MeterReplaced => {
            let number = format!("6{:07}", draw.below(10_000_000));
            vec![Surprise::NewMeter { service, number }]
        }
        Fault::TagReplaced => vec![Surprise::NewTag { pad, tag: new_tag(world, draw) }],
        Fault::TagUnreadable => vec![Surprise::WornTag { pad }],
        Fault::FixUnderCanopy if world.pad(&pad)?.sky != Sky::Walls => {
            vec![Surprise::HiddenSky { pad }]
        }
        Fault::UntoldGenerator | Fault::GeneratorRunning => {
            let running = fault == Fault::GeneratorRunning;
            vec![untold(service, SourceKind::Generator, running, draw)]
        }
        Fault::PvRunning => vec![untold(service, SourceKind::Pv, true, draw)],
        Fault::RestlessLoad => vec![restless(service, draw)],
        Fault::TargetVacant if !world.service(target)?.vacant() => {
            vec![Surprise::Vacated { service }]
        }
        Fault::NobodyThere | Fault::NoSupply | Fault::UnsafeWiring => {
            let entry = match fault {
                Fault::NobodyThere => Entry::NobodyThere,
                Fault::NoSupply => Entry::NoSupply,
                _ => Entry::UnsafeWiring,
            };
            if world.service(target)?.entry == entry {
                return Ok(Vec::new());
            }
            vec![Surprise::Entry { service, entry }]
        }
        Fault::TagsExchanged => {
            let others: Vec<&String> = world.pads.keys().filter(|id| **id != pad).collect();
            let other = draw.pick(&others).map(|id| (*id).clone());
            other.map(|b| Surprise::SwappedTags { a: pad, b }).into_iter().collect()
        }
        _ => match neighbour(world, target, draw)? {
            Some(neighbour) => with_neighbour(fault, service, neighbour, world, draw)?,
            None => Vec::new(),
        },
    })
}

/// The surprises that need a customer on another set of the same pad.
fn with_neighbour(
    fault: Fault,
    service: String,
    neighbour: String,
    world: &World,
    draw: &mut Draw,
) -> Result<Vec<Surprise>, FieldError> {
    let (a, b) = (service.clone(), neighbour.clone());
    Ok(match fault {
        Fault::SharedSet => vec![Surprise::SharedSet { service, neighbour }],
        Fault::SharedWithVacant => vec![
            Surprise::Vacated { service: neighbour.clone() },
            Surprise::SharedSet { service, neighbour },
        ],
        Fault::MetersExchanged => vec![Surprise::SwappedMeters { a, b }],
        Fault::PlatesExchanged => vec![Surprise::SwappedPlates { a, b }],
        Fault::NeighbourInStep => vec![Surprise::SameHabits { service, neighbour }],
        Fault::NeighbourGenerates => vec![untold(neighbour, SourceKind::Generator, true, draw)],
        Fault::RestlessNeighbour => vec![restless(neighbour, draw)],
        Fault::MarksExchanged | Fault::MarkRepeated => {
            let own = world.feeding_set(&service)?.to_owned();
            let other = world.feeding_set(&neighbour)?.to_owned();
            let (mine, theirs) = (world.mark_at_lug(&own)?, world.mark_at_lug(&other)?);
            match fault {
                _ if mine == theirs => Vec::new(),
                Fault::MarksExchanged => vec![Surprise::SwappedMarks { a: own, b: other }],
                _ if mine.is_none() => Vec::new(),
                _ => vec![Surprise::RepeatedMark { from: own, onto: other }],
            }
        }
        _ => Vec::new(),
    })
}

fn untold(service: String, kind: SourceKind, running: bool, draw: &mut Draw) -> Surprise {
    Surprise::UntoldSource { service, kind, kw: draw.between(2.0, 9.0), running }
}

fn restless(service: String, draw: &mut Draw) -> Surprise {
    let (amps, window_s) = (draw.between(6.0, 14.0), draw.between(90.0, 240.0));
    Surprise::Restless { service, amps, window_s, key: draw.bits() }
}

/// A tag that no pad of the world carries.
fn new_tag(world: &World, draw: &mut Draw) -> String {
    loop {
        let tag = names::tag(draw);
        if !world.pads.values().any(|pad| pad.tags.contains(&tag)) {
            return tag;
        }
    }
}

/// A metered service on another set of the same pad.
fn neighbour(world: &World, target: &str, draw: &mut Draw) -> Result<Option<String>, FieldError> {
    let set = world.feeding_set(target)?;
    let pad = world.pad_of(target)?;
    let mut near = Vec::new();
    for other in world.pad(pad)?.sets.iter().filter(|id| id.as_str() != set) {
        for service in world.services_on(other)? {
            if world.service(service)?.meter.is_some() {
                near.push(service.to_owned());
            }
        }
    }
    Ok(draw.pick(&near).cloned())
}
