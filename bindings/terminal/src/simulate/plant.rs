//! The made-up record as a plant, without a map sheet's text in between: the same plant that reading
//! the sheet gives, in a small part of the time.

use coldlug_core::{
    plant::{
        Bounds, Cable, Conductor, Critical, CustomerSource, CustomerSourceKind, Device, Features,
        LonLat, Metal, Metering, Normally, Pad, Pedestal, Plant, Service, Set, Source, Switch,
        Transformer, VoltageSystem, Windings,
    },
    quantity::{AssetId, IdError, NodeId, amps, kilovolt_amps, metres, volts},
};
use coldlug_field::{
    conductor,
    feature::{
        CABINET_ACCURACY_M, CABLE_KV_CLASS, Feature, METER_BASE_AMPS, PRIMARY_VOLTS, SetFeature,
        SwitchFeature, X_OVER_R, on_sheet, tenth,
    },
    network::{self, Supply},
    record::{PadClaim, Record, ServiceClaim},
    world::{self, SourceKind, World},
};

/// The plant of this record on the world's primary network.
pub(crate) fn plant_of(record: &Record, world: &World) -> Result<Plant, IdError> {
    let features = record.features(world);
    let [west_deg, south_deg, east_deg, north_deg] = Record::bounds(&features);
    let mut whole = Features {
        name: record.name.clone(),
        edition: record.edition.clone(),
        bounds: Bounds { west_deg, south_deg, east_deg, north_deg },
        invented: true,
        ..Features::default()
    };
    for feature in &features {
        add(&mut whole, feature)?;
    }
    Ok(Plant::of(whole))
}

fn add(whole: &mut Features, feature: &Feature<'_>) -> Result<(), IdError> {
    match feature {
        Feature::Source(supply) => {
            let source = source(supply)?;
            whole.sources.insert(source.id.clone(), source);
        }
        Feature::Cabinet(cabinet, contains) => {
            let inside = contains.iter().map(AsRef::as_ref);
            let claim = (cabinet.at, CABINET_ACCURACY_M, cabinet.tags.as_slice());
            let pad = pad(&cabinet.id, claim, inside)?;
            whole.pads.insert(pad.id.clone(), pad);
        }
        Feature::Switch(feature) => {
            let switch = switch(feature)?;
            whole.switches.insert(switch.id.clone(), switch);
        }
        Feature::Cable(feature) => {
            let cable = cable(feature)?;
            whole.cables.insert(cable.id.clone(), cable);
        }
        Feature::Transformer(id, claim) => {
            let transformer = transformer(id, claim)?;
            whole.transformers.insert(transformer.id.clone(), transformer);
        }
        Feature::Pad(id, claim, contains) => {
            let inside = contains.iter().map(AsRef::as_ref);
            let pad = pad(id, (claim.at, claim.accuracy_m, claim.tags.as_slice()), inside)?;
            whole.pads.insert(pad.id.clone(), pad);
        }
        Feature::Pedestal(name, at) => {
            let id = AssetId::new(*name)?;
            let pedestal = Pedestal { id: id.clone(), at: place(*at), node: NodeId::new(*name)? };
            whole.pedestals.insert(id, pedestal);
        }
        Feature::Set(feature) => {
            let set = cable_set(feature)?;
            whole.sets.insert(set.id.clone(), set);
        }
        Feature::Service(id, claim) => {
            let service = service(id, claim)?;
            whole.services.insert(service.id.clone(), service);
        }
    }
    Ok(())
}

fn place(at: world::LonLat) -> LonLat {
    let world::LonLat { lon, lat } = on_sheet(at);
    LonLat { lon_deg: lon, lat_deg: lat }
}

const fn metal(metal: conductor::Metal) -> Metal {
    match metal {
        conductor::Metal::Al => Metal::Al,
        conductor::Metal::Cu => Metal::Cu,
    }
}

fn source(supply: &Supply) -> Result<Source, IdError> {
    Ok(Source {
        id: AssetId::new(supply.id.as_str())?,
        at: place(supply.at),
        node: NodeId::new(supply.node.as_str())?,
        line_to_line: volts(supply.volts_line_to_line),
        fault: Some(amps(supply.fault_amps)),
        x_over_r: Some(supply.x_over_r),
    })
}

fn switch(feature: &SwitchFeature<'_>) -> Result<Switch, IdError> {
    let device = match feature.device {
        network::Device::Breaker => Device::Breaker,
        network::Device::FeederSwitch => Device::FeederSwitch,
        network::Device::Elbow => Device::Elbow,
        network::Device::BayonetFuse => Device::BayonetFuse,
        network::Device::LugPair => Device::LugPair,
    };
    let lug_pair = device == Device::LugPair;
    Ok(Switch {
        id: AssetId::new(feature.id.as_ref())?,
        from: NodeId::new(feature.from.as_ref())?,
        to: NodeId::new(feature.to.as_ref())?,
        device,
        normally: if feature.normally_closed { Normally::Closed } else { Normally::Open },
        rated: amps(f64::from(feature.rated_amps)),
        load_break: amps(f64::from(feature.load_break_amps)),
        visible_break: feature.visible_break,
        lockable: feature.lockable,
        pad: feature.pad.map(AssetId::new).transpose()?,
        position: feature.position.map(|position| position.to_string()),
        legs: if lug_pair { vec![Conductor::L1, Conductor::L2] } else { Vec::new() },
        voltage: Some(volts(f64::from(feature.volts_nominal))),
        at: feature.at.map(place),
    })
}

fn cable(cable: &network::Cable) -> Result<Cable, IdError> {
    Ok(Cable {
        id: AssetId::new(cable.id.as_str())?,
        from: NodeId::new(cable.from.as_str())?,
        to: NodeId::new(cable.to.as_str())?,
        class: volts(f64::from(CABLE_KV_CLASS) * 1000.0),
        metal: Metal::Al,
        size: cable.size.to_owned(),
        neutral: None,
        length: metres(cable.length_m),
        course: cable.line.iter().copied().map(place).collect(),
    })
}

fn transformer(pad: &str, claim: &PadClaim) -> Result<Transformer, IdError> {
    Ok(Transformer {
        id: AssetId::new(format!("{pad}-T"))?,
        primary: NodeId::new(format!("{pad}:pri"))?,
        secondary: NodeId::new(format!("{pad}:sec"))?,
        rating: kilovolt_amps(claim.kva),
        percent_z: claim.percent_z,
        x_over_r: Some(X_OVER_R),
        windings: Windings::default(),
        primary_voltage: volts(f64::from(PRIMARY_VOLTS)),
        system: VoltageSystem::Split120_240,
        phase: Some(claim.phase.to_owned()),
        pad: AssetId::new(pad)?,
        at: Some(place(claim.at)),
    })
}

fn pad<'a>(
    id: &str,
    (at, accuracy_m, tags): (world::LonLat, f64, &[String]),
    contains: impl Iterator<Item = &'a str>,
) -> Result<Pad, IdError> {
    Ok(Pad {
        id: AssetId::new(id)?,
        at: place(at),
        accuracy: metres(accuracy_m),
        tags: tags.to_vec(),
        contains: contains.map(AssetId::new).collect::<Result<_, _>>()?,
    })
}

fn cable_set(set: &SetFeature<'_>) -> Result<Set, IdError> {
    Ok(Set {
        id: AssetId::new(set.id)?,
        from: NodeId::new(set.from.as_ref())?,
        to: NodeId::new(set.to)?,
        pad: set.lug.map(|(pad, _)| AssetId::new(pad)).transpose()?,
        position: set.lug.map(|(_, position)| position.to_string()),
        metal: metal(set.claim.metal),
        size: set.claim.size.word().to_owned(),
        neutral_size: None,
        length: metres(tenth(set.claim.length_m)),
        runs: set.claim.runs,
        course: set.course.into_iter().flatten().map(place).collect(),
    })
}

fn service(id: &str, claim: &ServiceClaim) -> Result<Service, IdError> {
    let critical = match claim.critical {
        Some("life-support") => Some(Critical::LifeSupport),
        Some("well-pump") => Some(Critical::WellPump),
        _ => None,
    };
    let sources = claim.sources.iter().map(|source| CustomerSource {
        kind: match source.kind {
            SourceKind::Generator => CustomerSourceKind::Generator,
            SourceKind::Pv => CustomerSourceKind::Pv,
            SourceKind::Battery => CustomerSourceKind::Battery,
        },
        power: kilovolt_amps(source.kw),
        transfer_switch: source.transfer_switch,
        switch_withstand: None,
    });
    Ok(Service {
        id: AssetId::new(id)?,
        at: place(claim.at),
        node: NodeId::new(id)?,
        premises: claim.premises.clone(),
        meters: claim.meters.clone(),
        base_rating: amps(f64::from(METER_BASE_AMPS)),
        system: VoltageSystem::Split120_240,
        metering: (!claim.meters.is_empty()).then_some(Metering::SelfContained),
        withstand: None,
        peak: None,
        critical,
        sources: sources.collect(),
        unmetered_loads: u16::try_from(claim.unmetered_loads).unwrap_or(u16::MAX),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use coldlug_core::mapsheet;
    use coldlug_field::{case::Case, fault::Fault, town};

    fn check(record: &Record, world: &World) {
        let text = serde_json::to_vec(&record.map_sheet(world)).unwrap();
        let read = mapsheet::read(&text).unwrap().plant;
        assert_eq!(plant_of(record, world).unwrap(), read);
    }

    #[test]
    fn a_plant_made_directly_is_the_plant_read_from_the_sheet() {
        for (seed, fault) in (0..).zip(Fault::ALL.into_iter().cycle().take(120)) {
            let case = Case::draw(seed, &[fault], seed % 2 == 0).unwrap();
            check(&case.record, &case.world);
        }
        let town = town::hillside(1);
        check(&Record::true_of(&town), &town);
    }
}
