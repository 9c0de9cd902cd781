//! Map sheets around a play: the demo's town beside it, and as many copies of that town as make a
//! sheet of 50,000 pads. All of it is invented.

use std::collections::BTreeMap;

use coldlug_core::{
    mapsheet,
    plant::{Features, LonLat, Plant},
    quantity::{AssetId, NodeId},
};
use coldlug_field::{record::Record, town};

/// The demo's map sheet.
pub(crate) fn demo_town() -> Plant {
    let world = town::hillside(1);
    let sheet = Record::true_of(&world).map_sheet(&world);
    mapsheet::read(sheet.to_string().as_bytes()).expect("the town's sheet is in order").plant
}

/// The play's sheet with so many copies of a town beside it.
pub(crate) fn with_towns(play: &Features, town: &Features, copies: u32) -> Plant {
    let mut all = play.clone();
    for number in 0..copies {
        Copy { number }.into(town, &mut all);
    }
    Plant::of(all)
}

/// One copy of a town: its names begin with its number, and it lies that much farther north.
struct Copy {
    number: u32,
}

impl Copy {
    fn text(&self, text: &str) -> String {
        format!("{}-{text}", self.number)
    }

    fn id(&self, id: &AssetId) -> AssetId {
        AssetId::new(self.text(id.as_str())).expect("a town's names are short")
    }

    fn node(&self, node: &NodeId) -> NodeId {
        NodeId::new(self.text(node.as_str())).expect("a town's names are short")
    }

    /// A town is half a kilometre deep; five thousandths of a degree are 556 m.
    fn at(&self, at: LonLat) -> LonLat {
        LonLat { lat_deg: at.lat_deg + 0.005 * f64::from(self.number), ..at }
    }

    fn add<T: Clone>(
        &self,
        from: &BTreeMap<AssetId, T>,
        to: &mut BTreeMap<AssetId, T>,
        rename: impl Fn(&mut T),
    ) {
        for (id, thing) in from {
            let mut thing = thing.clone();
            rename(&mut thing);
            to.insert(self.id(id), thing);
        }
    }

    fn into(self, town: &Features, all: &mut Features) {
        self.add(&town.sources, &mut all.sources, |source| {
            (source.id, source.node) = (self.id(&source.id), self.node(&source.node));
        });
        self.add(&town.switches, &mut all.switches, |switch| {
            switch.id = self.id(&switch.id);
            (switch.from, switch.to) = (self.node(&switch.from), self.node(&switch.to));
            switch.pad = switch.pad.as_ref().map(|pad| self.id(pad));
        });
        self.add(&town.cables, &mut all.cables, |cable| {
            cable.id = self.id(&cable.id);
            (cable.from, cable.to) = (self.node(&cable.from), self.node(&cable.to));
        });
        self.add(&town.transformers, &mut all.transformers, |unit| {
            (unit.id, unit.pad) = (self.id(&unit.id), self.id(&unit.pad));
            unit.primary = self.node(&unit.primary);
            unit.secondary = self.node(&unit.secondary);
        });
        self.add(&town.pads, &mut all.pads, |pad| {
            (pad.id, pad.at) = (self.id(&pad.id), self.at(pad.at));
            pad.tags = pad.tags.iter().map(|tag| self.text(tag)).collect();
            pad.contains = pad.contains.iter().map(|id| self.id(id)).collect();
        });
        self.add(&town.pedestals, &mut all.pedestals, |pedestal| {
            (pedestal.id, pedestal.at) = (self.id(&pedestal.id), self.at(pedestal.at));
            pedestal.node = self.node(&pedestal.node);
        });
        self.add(&town.sets, &mut all.sets, |set| {
            set.id = self.id(&set.id);
            (set.from, set.to) = (self.node(&set.from), self.node(&set.to));
            set.pad = set.pad.as_ref().map(|pad| self.id(pad));
        });
        self.add(&town.services, &mut all.services, |service| {
            (service.id, service.at) = (self.id(&service.id), self.at(service.at));
            service.node = self.node(&service.node);
            service.meters = service.meters.iter().map(|meter| self.text(meter)).collect();
        });
    }
}
