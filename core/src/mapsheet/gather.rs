//! A map sheet as it comes in, feature by feature, from a file of ours or from elsewhere.
//!
//! What comes in is read at once and let go; what is wrong with it is told at once. What it becomes
//! lies on a [`Shelf`], with what the checks of the whole sheet go through.

use serde_json::{Map, Value};

use super::check::{Check, Kept, Thing, Told};
use super::end::Known;
use super::field::{Fields, checked_id, shown};
use super::finding::{Finding, FindingId, Severity};
use super::shelf::{Feature, Shelf};
use super::{MOST_GATHERED, feature, header, marks, nodes, pads};
use crate::plant::{Device, Features, Switch};
use crate::quantity::AssetId;

/// A map sheet that is coming in.
#[derive(Debug)]
pub struct Gather<S> {
    /// What the header says; no feature is in it.
    header: Features,
    kept: Kept<S>,
    /// How many features came in.
    count: u32,
    /// Whether every one of them could be read.
    all_read: bool,
    /// Whether a pad that lists nothing is filled in from what says that it is in it.
    fills_pads: bool,
}

impl<S: Shelf> Gather<S> {
    /// Begins with a header as a map sheet of ours has it.
    pub fn new(head: &Map<String, Value>, shelf: S) -> Result<Self, Finding> {
        Ok(Self {
            header: header(head)?,
            kept: Kept::on(shelf),
            count: 0,
            all_read: true,
            fills_pads: false,
        })
    }

    /// The same for features from elsewhere: where a pad does not list what it contains, that is
    /// what names this pad as its own.
    #[must_use]
    pub fn filling_pads(self) -> Self {
        Self { fills_pads: true, ..self }
    }

    /// How many features came in so far; the last one has this number.
    pub fn count(&self) -> u32 {
        self.count
    }

    /// Takes one GeoJSON feature and gives everything that is wrong with it by itself.
    pub fn feature(&mut self, item: &Value) -> Result<Vec<Finding>, S::Error> {
        self.count = self.count.saturating_add(1);
        if self.count > MOST_GATHERED {
            self.all_read = false;
            let says = format!("more than {MOST_GATHERED} features: cut the sheet to the job");
            let too_many = Finding::of_sheet(FindingId::TooLarge, Some("features"), says);
            let first = self.count == MOST_GATHERED + 1;
            return Ok(first.then_some(too_many).into_iter().collect());
        }
        let findings = match unlisted(item).filter(|_| self.fills_pads) {
            Some(filled) => self.read(&filled, true)?,
            None => self.read(item, false)?,
        };
        self.all_read &= findings.iter().all(|f| f.severity == Severity::Warning);
        Ok(findings)
    }

    /// Checks the whole sheet, and tells how far that is and what is wrong. Gives the header, and the
    /// shelf with all that was kept, where nothing stands in the way, there or in any feature.
    pub fn finish(self, tell: &mut dyn FnMut(Told)) -> Result<Option<(Features, S)>, S::Error> {
        let Self { header, kept, count, all_read, .. } = self;
        let sound = Check::all(&kept, count.min(MOST_GATHERED), all_read, tell)?;
        Ok(sound.then_some((header, kept.shelf)))
    }

    /// Reads one feature onto the shelf; `filled` says that it is a pad that is to be filled in.
    fn read(&mut self, item: &Value, filled: bool) -> Result<Vec<Finding>, S::Error> {
        let number = self.count;
        let place = format!("feature {number}");
        let members = item
            .as_object()
            .filter(|o| o.get("type") == Some(&"Feature".into()))
            .and_then(|o| o.get("properties"))
            .and_then(Value::as_object);
        let Some(members) = members else {
            let says = "must be a GeoJSON Feature with properties";
            return Ok(vec![Finding::of(FindingId::NotAMapSheet, &place, "properties", says)]);
        };
        let id = match members.get("id").map(Value::as_str) {
            Some(Some(text)) => checked_id(text).map_err(|says| (FindingId::BadName, says)),
            Some(None) => Err((FindingId::WrongType, "must be text in quotes".to_owned())),
            None => {
                Err((FindingId::MissingField, "is missing: every feature needs a name".to_owned()))
            }
        };
        let label = id.as_ref().map_or_else(|_| place.clone(), ToString::to_string);
        let geometry = item.get("geometry");
        let fields = Fields::new(label.clone(), members, geometry, self.header.bounds);
        let mut first = None;
        match &id {
            Err((kind, says)) => fields.note(*kind, "id", says.as_str()),
            Ok(id) => {
                first = self.kept.shelf.name(id.as_str(), number)?;
                if let Some(first) = first {
                    let says = format!("is the id of features {first} and {number}: name one anew");
                    fields.note(FindingId::DuplicateId, "id", says);
                }
            }
        }
        // A feature without a good name is still read, for the findings on its other fields.
        let named = id.is_ok();
        let id = id.ok().or_else(|| AssetId::new(format!("feature-{number}")).ok());
        let kind = fields.text("kind").unwrap_or_default();
        let feature = id.filter(|_| !kind.is_empty()).and_then(|id| read_kind(&kind, id, &fields));
        let known = feature.as_ref().map(|feature| Known { named, feature });
        nodes::take(&self.kept, number, &label, members, known)?;
        if members.get("kind") == Some(&"pad".into()) {
            pads::take_pad(&self.kept, &label, feature.is_some(), filled)?;
        }
        if let Some(feature) = feature {
            if first.is_some() {
                self.kept.twin(Thing { kind: &kind, id: &label, number })?;
            }
            self.keep(feature, filled)?;
        }
        Ok(fields.finish())
    }

    fn keep(&self, feature: Feature, filled: bool) -> Result<(), S::Error> {
        marks::take(&self.kept, self.count, &feature)?;
        pads::take(&self.kept, self.count, &feature)?;
        let legless = |switch: &Switch| switch.device == Device::LugPair && switch.legs.is_empty();
        let open = filled || matches!(&feature, Feature::Switch(switch) if legless(switch));
        self.kept.shelf.keep(feature, open)
    }
}

/// A pad that does not say what it contains, with nothing listed.
fn unlisted(item: &Value) -> Option<Value> {
    let members = item.get("properties")?.as_object()?;
    let listed = members.get("contains").is_some_and(|contains| !contains.is_null());
    if members.get("kind") != Some(&"pad".into()) || listed {
        return None;
    }
    let mut filled = item.clone();
    filled
        .get_mut("properties")?
        .as_object_mut()?
        .insert("contains".to_owned(), Value::Array(Vec::new()));
    Some(filled)
}

/// Reads a feature of a kind by its fields.
pub(super) fn read_kind(kind: &str, id: AssetId, fields: &Fields<'_>) -> Option<Feature> {
    match kind {
        "source" => feature::source(id, fields).map(Feature::Source),
        "switch" => feature::switch(id, fields).map(Feature::Switch),
        "cable" => feature::cable(id, fields).map(Feature::Cable),
        "transformer" => feature::transformer(id, fields).map(Feature::Transformer),
        "pad" => feature::pad(id, fields).map(Feature::Pad),
        "pedestal" => feature::pedestal(id, fields).map(Feature::Pedestal),
        "set" => feature::set(id, fields).map(Feature::Set),
        "service" => feature::service(id, fields).map(Feature::Service),
        other => {
            let says = format!("'{}' is no kind of feature on a map sheet", shown(other));
            fields.note(FindingId::UnknownKind, "kind", says);
            None
        }
    }
}
