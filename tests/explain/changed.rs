//! A record changed as a false claim says, on the record itself: apart from the code that explains.

use coldlug_core::{
    plant::{LonLat, Plant},
    quantity::AssetId,
    reconcile::FalseClaim,
    sighting::{End, Evidence, Handle, Seen},
};

/// Changes the record; none where the claim leaves open what would be true instead.
pub(crate) fn change(plant: &mut Plant, evidence: &Evidence, claim: &FalseClaim) -> Option<()> {
    match claim {
        FalseClaim::TagsSwapped { one, other } => {
            let first = plant.pads.get(one)?.tags.clone();
            let second = std::mem::replace(&mut plant.pads.get_mut(other)?.tags, first);
            plant.pads.get_mut(one)?.tags = second;
        }
        FalseClaim::TagReplaced { pad } => {
            // A tag of which characters are gone says not what the whole tag is.
            let tag = tag_at(evidence, pad).filter(|tag| !tag.contains('?'))?;
            plant.pads.get_mut(pad)?.tags = vec![tag];
        }
        FalseClaim::PadMoved { pad } => {
            plant.pads.get_mut(pad)?.at = fix_at(evidence, pad)?;
        }
        FalseClaim::SetsSwapped { one, other } => {
            let last = |service| Some(plant.feed_of(service).ok()?.sets.last()?.clone());
            let (one, other) = (last(one)?, last(other)?);
            let first = plant.sets.get(&one)?.to.clone();
            let second = std::mem::replace(&mut plant.sets.get_mut(&other)?.to, first);
            plant.sets.get_mut(&one)?.to = second;
        }
        FalseClaim::MetersSwapped { one, other } => {
            let first = plant.services.get(one)?.meters.clone();
            let second = std::mem::replace(&mut plant.services.get_mut(other)?.meters, first);
            plant.services.get_mut(one)?.meters = second;
        }
        FalseClaim::WrongMeterNumber { service } => {
            plant.services.get_mut(service)?.meters = vec![number_at(evidence, service)?];
        }
        FalseClaim::WrongPad { service, pad: Some(pad), position: Some(position) } => {
            let set = plant.feed_of(service).ok()?.sets.last()?.clone();
            let set = plant.sets.get_mut(&set)?;
            set.pad = Some(pad.clone());
            set.position = Some(position.clone());
            // Nobody knows the conductor of a set that the record does not have there.
            let (metal, size) = look_at_lug(evidence, pad, position)?;
            (set.metal, set.size) = (metal, size);
        }
        FalseClaim::SetMissing { pad, sets } => {
            for extra in 0..*sets {
                let mut set = plant.sets_of_pad(pad).first().copied()?.clone();
                set.id = AssetId::new(format!("unmapped-{extra}")).ok()?;
                set.to = "nowhere".try_into().ok()?;
                set.position = Some(format!("unmapped-{extra}"));
                plant.sets.insert(set.id.clone(), set);
            }
        }
        FalseClaim::WrongConductor { set } => {
            let mapped = plant.sets.get(set)?;
            let (pad, position) = (mapped.pad.clone()?, mapped.position.clone()?);
            let (metal, size) = look_at_lug(evidence, &pad, &position)?;
            let set = plant.sets.get_mut(set)?;
            (set.metal, set.size) = (metal, size);
        }
        _ => return None,
    }
    Some(())
}

fn tag_at(evidence: &Evidence, wanted: &AssetId) -> Option<String> {
    evidence.sightings.values().find_map(|sighting| match &sighting.seen {
        Seen::Tag { pad: Some(pad), pattern, .. } if pad == wanted => Some(pattern.clone()),
        _ => None,
    })
}

fn fix_at(evidence: &Evidence, wanted: &AssetId) -> Option<LonLat> {
    evidence.sightings.values().find_map(|sighting| match &sighting.seen {
        Seen::Fix { pad: Some(pad), lon_deg, lat_deg, .. } if pad == wanted => {
            Some(LonLat { lon_deg: lon_deg.to_f64(), lat_deg: lat_deg.to_f64() })
        }
        _ => None,
    })
}

/// The number read in the stay whose plate names the service.
fn number_at(evidence: &Evidence, wanted: &AssetId) -> Option<String> {
    let stay = evidence.sightings.values().find_map(|sighting| match &sighting.seen {
        Seen::AddressPlate { stay, service: Some(service), .. } if service == wanted => Some(stay),
        _ => None,
    })?;
    evidence.sightings.values().find_map(|sighting| match &sighting.seen {
        Seen::MeterNumber { stay: at, number } if at == stay => Some(number.clone()),
        _ => None,
    })
}

fn look_at_lug(
    evidence: &Evidence,
    wanted: &AssetId,
    at: &str,
) -> Option<(coldlug_core::plant::Metal, String)> {
    evidence.sightings.values().find_map(|sighting| match &sighting.seen {
        Seen::Conductor {
            end: End::Lug { pad, handle: Handle::Position { position } },
            metal,
            size: Some(size),
        } if pad == wanted && position == at => Some((*metal, size.clone())),
        _ => None,
    })
}
