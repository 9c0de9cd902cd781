//! GeoJSON (RFC 7946), read feature by feature: a map sheet of ours, or features of somebody else's.

use std::{
    cell::Cell as Counter,
    fmt,
    fs::File,
    io::{self, BufReader, Read, Seek},
    path::Path,
    rc::Rc,
};

use coldlug_core::mapsheet::{HEADER, Strict};
use serde::de::{DeserializeSeed, Deserializer, Error, IgnoredAny, MapAccess, SeqAccess, Visitor};
use serde_json::{Map, Value};

use super::row::{Ask, Broken, Cell, Layer, Row, Source, Taken};
use super::shape::Drawn;

/// The error with which a reading ends that has found what it looked for.
const ENOUGH: &str = "enough";

/// What a row is called.
pub(super) const WORD: &str = "feature";

/// A file of GeoJSON.
#[derive(Debug)]
pub(super) struct GeoJson {
    file: File,
    layer: Layer,
    header: Option<Map<String, Value>>,
}

impl GeoJson {
    pub(super) fn open(path: &Path, name: String) -> io::Result<Result<Self, Broken>> {
        let mut file = File::open(path)?;
        let size = file.metadata()?.len();
        let mut top = Top::default();
        let mut skip = |_: u64, _: Value| ();
        if let Err(why) = read(&mut file, &mut top, false, &mut skip)? {
            return Ok(Err(why));
        }
        if top.header.is_none() && !top.collection {
            return Ok(Err(Broken::Why("the file must be a GeoJSON FeatureCollection".to_owned())));
        }
        // RFC 7946 knows one system only; a file that names its own is to be told so by the mapping.
        let system = (!top.system).then(|| "OGC:CRS84".to_owned());
        let layer = Layer { name, columns: None, drawn: true, system, size };
        Ok(Ok(Self { file, layer, header: top.header }))
    }

    /// The header, where this is a map sheet of ours.
    pub(super) fn header(&self) -> Option<&Map<String, Value>> {
        self.header.as_ref()
    }

    /// How much there is to read, bytes.
    pub(super) fn size(&self) -> u64 {
        self.layer.size
    }

    /// Hands over the features one at a time, with the bytes read so far.
    pub(super) fn features(&mut self, take: &mut dyn FnMut(u64, Value)) -> Result<(), Broken> {
        let mut top = Top::default();
        read(&mut self.file, &mut top, true, take)
            .unwrap_or_else(|why| Err(Broken::Why(why.to_string())))
    }
}

impl Source for GeoJson {
    fn layers(&self) -> &[Layer] {
        std::slice::from_ref(&self.layer)
    }

    fn rows(&mut self, ask: Ask<'_>, take: &mut dyn FnMut(Taken<'_>)) -> Result<(), Broken> {
        let mut mark = 0;
        self.features(&mut |done, feature| {
            mark += 1;
            let properties = feature.get("properties");
            let is_feature = feature.get("type") == Some(&"Feature".into());
            let row = match properties {
                Some(Value::Object(_) | Value::Null) if is_feature => {
                    let value = |name: &String| properties.and_then(|p| p.get(name));
                    let cells = ask.columns.iter().map(|name| cell(value(name))).collect();
                    let drawn = if ask.drawn {
                        Drawn::of_geojson(feature.get("geometry"))
                    } else {
                        Drawn::Nothing
                    };
                    Ok(Row { cells, drawn })
                }
                _ => Err("it must be a GeoJSON Feature with properties".to_owned()),
            };
            take(Taken { mark, word: WORD, id: None, done, row });
        })
    }

    fn row_name(&self, mark: i64) -> String {
        format!("{WORD} {mark}")
    }
}

fn cell(value: Option<&Value>) -> Cell<'_> {
    match value {
        None | Some(Value::Null) => Cell::Absent,
        Some(Value::Bool(flag)) => Cell::Flag(*flag),
        Some(Value::String(text)) => Cell::text(text),
        Some(Value::Number(number)) => match (number.as_i64(), number.as_f64()) {
            (Some(whole), _) => Cell::Whole(whole),
            (None, Some(number)) => Cell::Number(number),
            (None, None) => Cell::Other,
        },
        Some(Value::Array(items)) => {
            let texts: Option<Vec<String>> =
                items.iter().map(|item| item.as_str().map(str::to_owned)).collect();
            texts.map_or(Cell::Other, Cell::Texts)
        }
        Some(Value::Object(_)) => Cell::Other,
    }
}

/// What stands at the top of the file.
#[derive(Debug, Default)]
struct Top {
    /// The header of a map sheet of ours.
    header: Option<Map<String, Value>>,
    /// Whether it says that it is a collection of features.
    collection: bool,
    /// Whether it names a reference system.
    system: bool,
}

/// Reads the file from its start; without `features` only the top, and no further than the header.
fn read(
    file: &mut File,
    top: &mut Top,
    features: bool,
    take: &mut dyn FnMut(u64, Value),
) -> io::Result<Result<(), Broken>> {
    file.rewind()?;
    let done = Rc::new(Counter::new(0));
    let counted = Counted { file, done: Rc::clone(&done) };
    let mut reader =
        serde_json::Deserializer::from_reader(BufReader::with_capacity(1 << 16, counted));
    let visitor = TopVisitor { top, features, take, done: &done };
    let ended = reader.deserialize_map(visitor).and_then(|()| reader.end());
    Ok(match ended {
        Err(why) if !why.to_string().starts_with(ENOUGH) => Err(Broken::Why(why.to_string())),
        _ => Ok(()),
    })
}

/// Counts what is read.
struct Counted<'a> {
    file: &'a mut File,
    done: Rc<Counter<u64>>,
}

impl Read for Counted<'_> {
    fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
        let read = self.file.read(buffer)?;
        self.done.set(self.done.get() + read as u64);
        Ok(read)
    }
}

struct TopVisitor<'a> {
    top: &'a mut Top,
    features: bool,
    take: &'a mut dyn FnMut(u64, Value),
    done: &'a Counter<u64>,
}

impl<'de> Visitor<'de> for TopVisitor<'_> {
    type Value = ();

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a GeoJSON FeatureCollection")
    }

    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<(), A::Error> {
        let mut seen = std::collections::BTreeSet::new();
        while let Some(name) = map.next_key::<String>()? {
            match name.as_str() {
                HEADER => {
                    let Strict(header) = map.next_value()?;
                    self.top.header = Some(header.as_object().cloned().unwrap_or_default());
                    if !self.features {
                        return Err(A::Error::custom(ENOUGH));
                    }
                }
                "features" if self.features => {
                    map.next_value_seed(Features { take: &mut *self.take, done: self.done })?;
                }
                "type" => {
                    let Strict(kind) = map.next_value()?;
                    self.top.collection = kind == "FeatureCollection";
                }
                "crs" => {
                    let Strict(system) = map.next_value()?;
                    self.top.system = !system.is_null();
                }
                _ => {
                    map.next_value::<IgnoredAny>()?;
                }
            }
            if seen.len() > 100 || !seen.insert(name.clone()) {
                let shown: String = name.chars().take(40).collect();
                return Err(A::Error::custom(format!("repeated member '{shown}'")));
            }
        }
        Ok(())
    }
}

struct Features<'a> {
    take: &'a mut dyn FnMut(u64, Value),
    done: &'a Counter<u64>,
}

impl<'de> DeserializeSeed<'de> for Features<'_> {
    type Value = ();

    fn deserialize<D: Deserializer<'de>>(self, deserializer: D) -> Result<(), D::Error> {
        deserializer.deserialize_seq(self)
    }
}

impl<'de> Visitor<'de> for Features<'_> {
    type Value = ();

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a list of features")
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut all: A) -> Result<(), A::Error> {
        while let Some(Strict(feature)) = all.next_element()? {
            (self.take)(self.done.get(), feature);
        }
        Ok(())
    }
}
