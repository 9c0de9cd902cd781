//! A map sheet as it comes in, feature by feature, from a file of ours or from elsewhere.
//!
//! What comes in is read at once and let go; what is wrong with it is told at once. Only the plant
//! that it becomes is held, with what the checks of the whole sheet need.

use std::collections::{BTreeMap, BTreeSet};

use serde_json::{Map, Value};

use super::field::{Fields, checked_id, shown};
use super::finding::{Finding, FindingId, Severity};
use super::nodes::Nodes;
use super::{MOST_GATHERED, feature, header, whole};
use crate::plant::{Features, Plant};
use crate::quantity::AssetId;

/// A map sheet that is coming in.
#[derive(Debug)]
pub struct Gather {
    features: Features,
    seen: Seen,
    /// How many features came in.
    count: usize,
    /// Whether every one of them could be read.
    all_read: bool,
    /// Pads whose contents are filled in from what says that it is in them; none where a pad must
    /// list them itself.
    to_fill: Option<BTreeSet<AssetId>>,
}

/// What was seen of the file so far, whether or not it could be read.
#[derive(Debug, Default)]
struct Seen {
    /// Where each id was last used.
    ids: BTreeMap<AssetId, usize>,
    /// The ids of all pads.
    pads: BTreeSet<String>,
    /// The nodes of all features.
    nodes: Nodes,
}

impl Gather {
    /// Begins with a header as a map sheet of ours has it.
    pub fn new(head: &Map<String, Value>) -> Result<Self, Finding> {
        Ok(Self {
            features: header(head)?,
            seen: Seen::default(),
            count: 0,
            all_read: true,
            to_fill: None,
        })
    }

    /// The same for features from elsewhere: where a pad does not list what it contains, that is
    /// what names this pad as its own.
    #[must_use]
    pub fn filling_pads(self) -> Self {
        Self { to_fill: Some(BTreeSet::new()), ..self }
    }

    /// How many features came in so far; the last one has this number.
    pub fn count(&self) -> usize {
        self.count
    }

    /// Takes one GeoJSON feature and gives everything that is wrong with it by itself.
    pub fn feature(&mut self, item: &Value) -> Vec<Finding> {
        self.count += 1;
        if self.count > MOST_GATHERED {
            self.all_read = false;
            let says = format!("more than {MOST_GATHERED} features: cut the sheet to the job");
            let too_many = Finding::of_sheet(FindingId::TooLarge, Some("features"), says);
            return if self.count == MOST_GATHERED + 1 { vec![too_many] } else { Vec::new() };
        }
        let findings = match (&mut self.to_fill, unlisted(item)) {
            (Some(to_fill), Some((id, filled))) => {
                to_fill.extend(id);
                self.read(&filled)
            }
            _ => self.read(item),
        };
        self.all_read &= findings.iter().all(|f| f.severity == Severity::Warning);
        findings
    }

    /// Checks the whole sheet, tells what is wrong with it and at the feature of which number, and
    /// gives the plant where nothing stands in the way, there or in any feature.
    pub fn finish(self, tell: &mut dyn FnMut(Option<usize>, Finding)) -> Option<Plant> {
        let Self { mut features, seen, all_read: mut sound, to_fill, .. } = self;
        let Seen { ids, pads, nodes } = seen;
        whole::fill_contents(&mut features, &to_fill.unwrap_or_default());
        let all_read = sound;
        let mut found = |finding: Finding| {
            sound &= finding.severity == Severity::Warning;
            let id = finding.feature.as_deref().and_then(|label| AssetId::new(label).ok());
            tell(id.and_then(|id| ids.get(&id).copied()), finding);
        };
        nodes.check(&mut found);
        // A large sheet's names are let go before more is made of it.
        drop(nodes);
        whole::check(&features, &pads, all_read, &mut found);
        whole::fill_legs(&mut features);
        sound.then(|| Plant::of(features))
    }

    /// Reads one feature into the plant.
    fn read(&mut self, item: &Value) -> Vec<Finding> {
        let number = self.count;
        let place = format!("feature {number}");
        let members = item
            .as_object()
            .filter(|o| o.get("type") == Some(&"Feature".into()))
            .and_then(|o| o.get("properties"))
            .and_then(Value::as_object);
        let Some(members) = members else {
            let says = "must be a GeoJSON Feature with properties";
            return vec![Finding::of(FindingId::NotAMapSheet, &place, "properties", says)];
        };
        let id = match members.get("id").map(Value::as_str) {
            Some(Some(text)) => checked_id(text).map_err(|says| (FindingId::BadName, says)),
            Some(None) => Err((FindingId::WrongType, "must be text in quotes".to_owned())),
            None => {
                Err((FindingId::MissingField, "is missing: every feature needs a name".to_owned()))
            }
        };
        let label = id.as_ref().map_or_else(|_| place.clone(), ToString::to_string);
        self.seen.nodes.take(&label, members);
        if members.get("kind") == Some(&"pad".into()) {
            self.seen.pads.insert(label.clone());
        }
        let fields = Fields::new(label, members, item.get("geometry"), self.features.bounds);
        match &id {
            Err((kind, says)) => fields.note(*kind, "id", says.as_str()),
            Ok(id) => {
                if let Some(first) = self.seen.ids.insert(id.clone(), number) {
                    let says = format!("is the id of features {first} and {number}: name one anew");
                    fields.note(FindingId::DuplicateId, "id", says);
                }
            }
        }
        // A feature without a good name is still read, for the findings on its other fields.
        let named = id.ok().or_else(|| AssetId::new(format!("feature-{number}")).ok());
        if let (Some(id), Some(kind)) = (named, fields.text("kind")) {
            read_kind(&kind, id, &fields, &mut self.features);
        }
        fields.finish()
    }
}

/// A pad that does not say what it contains: its id, and the same pad with nothing listed.
fn unlisted(item: &Value) -> Option<(Option<AssetId>, Value)> {
    let members = item.get("properties")?.as_object()?;
    let listed = members.get("contains").is_some_and(|contains| !contains.is_null());
    if members.get("kind") != Some(&"pad".into()) || listed {
        return None;
    }
    let id = members.get("id").and_then(Value::as_str).and_then(|id| checked_id(id).ok());
    let mut filled = item.clone();
    filled
        .get_mut("properties")?
        .as_object_mut()?
        .insert("contains".to_owned(), Value::Array(Vec::new()));
    Some((id, filled))
}

/// Reads a feature of a kind by its fields.
pub(super) fn read_kind(kind: &str, id: AssetId, fields: &Fields<'_>, features: &mut Features) {
    fn keep<T>(into: &mut BTreeMap<AssetId, T>, id: AssetId, read: Option<T>) {
        if let Some(thing) = read {
            into.insert(id, thing);
        }
    }
    match kind {
        "source" => keep(&mut features.sources, id.clone(), feature::source(id, fields)),
        "switch" => keep(&mut features.switches, id.clone(), feature::switch(id, fields)),
        "cable" => keep(&mut features.cables, id.clone(), feature::cable(id, fields)),
        "transformer" => {
            keep(&mut features.transformers, id.clone(), feature::transformer(id, fields));
        }
        "pad" => keep(&mut features.pads, id.clone(), feature::pad(id, fields)),
        "pedestal" => keep(&mut features.pedestals, id.clone(), feature::pedestal(id, fields)),
        "set" => keep(&mut features.sets, id.clone(), feature::set(id, fields)),
        "service" => keep(&mut features.services, id.clone(), feature::service(id, fields)),
        other => {
            let says = format!("'{}' is no kind of feature on a map sheet", shown(other));
            fields.note(FindingId::UnknownKind, "kind", says);
        }
    }
}
