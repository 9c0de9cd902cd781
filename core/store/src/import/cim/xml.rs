//! RDF/XML as CIM uses it (IEC 61970-552), read as a stream: objects, and what each says.
//!
//! Nothing is fetched and nothing expanded: a file with a document type or an entity of its own is
//! refused. What stands deeper than an object's attribute is refused too; the standard has no such.

use std::{
    fs::File,
    io::{self, BufReader},
    path::Path,
};

use quick_xml::{
    Reader, XmlVersion,
    escape::resolve_predefined_entity,
    events::{BytesStart, Event},
};

use super::stage::{Said, Stage};
use crate::import::row::Broken;

const RDF: &str = "http://www.w3.org/1999/02/22-rdf-syntax-ns#";
/// Most bytes of one value: a description, not a picture.
const LONGEST: usize = 64 * 1024;

/// Bytes between two reports of progress.
const REPORTED: u64 = 1 << 20;

/// Reads a file into the stage.
pub(super) fn read(
    path: &Path,
    stage: &mut Stage,
    tell: &mut dyn FnMut(u64, u64),
) -> io::Result<Result<(), Broken>> {
    let file = File::open(path)?;
    let size = file.metadata()?.len();
    let mut told = 0;
    let mut reader = Reader::from_reader(BufReader::with_capacity(1 << 16, file));
    let mut reading = Reading { stage, rdf: None, depth: 0, object: None, said: None };
    let mut buffer = Vec::new();
    loop {
        buffer.clear();
        let event = match reader.read_event_into(&mut buffer) {
            Ok(event) => event,
            Err(quick_xml::Error::Io(why)) => return Err(io::Error::other(why)),
            Err(why) => return Ok(Err(at(reader.error_position(), &why.to_string()))),
        };
        if reader.buffer_position() > told + REPORTED {
            told = reader.buffer_position();
            tell(told, size);
        }
        match reading.take(event) {
            Ok(false) => {}
            Ok(true) => return Ok(Ok(())),
            Err(Broken::Why(why)) => return Ok(Err(at(reader.buffer_position(), &why))),
            Err(no_room) => return Ok(Err(no_room)),
        }
    }
}

fn at(byte: u64, why: &str) -> Broken {
    Broken::Why(format!("byte {byte}: {why}"))
}

/// A file that is being read.
struct Reading<'s> {
    stage: &'s mut Stage,
    /// What names of the RDF namespace begin with.
    rdf: Option<String>,
    /// How deep the reading stands: 1 in the root, 2 in an object, 3 in what it says.
    depth: usize,
    object: Option<i64>,
    said: Option<Said>,
}

impl Reading<'_> {
    /// Takes one event; true at the end of the file.
    fn take(&mut self, event: Event<'_>) -> Result<bool, Broken> {
        match event {
            Event::Start(start) => self.begin(&start)?,
            Event::Empty(start) => {
                self.begin(&start)?;
                self.end()?;
            }
            Event::End(_) => self.end()?,
            Event::Text(text) => self.text(&text.xml10_content())?,
            Event::CData(text) => self.text(&text.xml10_content())?,
            Event::GeneralRef(name) => {
                let one = name.resolve_char_ref().map_err(|why| Broken::Why(why.to_string()))?;
                let text = match one {
                    Some(one) => one.to_string(),
                    None => resolve_predefined_entity(&name)
                        .ok_or_else(|| Broken::Why("an entity of its own".to_owned()))?
                        .to_owned(),
                };
                self.text(&text)?;
            }
            Event::DocType(_) => return Err(Broken::Why("it has a document type".to_owned())),
            Event::Decl(_) | Event::PI(_) | Event::Comment(_) => {}
            Event::Eof if self.depth == 0 && self.rdf.is_some() => return Ok(true),
            Event::Eof => return Err(Broken::Why("it is cut off".to_owned())),
        }
        Ok(false)
    }

    fn begin(&mut self, start: &BytesStart<'_>) -> Result<(), Broken> {
        self.depth += 1;
        match self.depth {
            1 => self.root(start),
            2 => self.object(start),
            3 => {
                let refers = self.attribute(start, &["resource"])?.map(|(_, to)| to);
                let name = start.local_name().as_ref().into();
                let (text, refers) = match refers {
                    None => (String::new(), false),
                    Some(to) => named(&to),
                };
                self.said = Some(Said { name, text, refers });
                Ok(())
            }
            _ => Err(Broken::Why("an element within what an object says".to_owned())),
        }
    }

    fn root(&mut self, start: &BytesStart<'_>) -> Result<(), Broken> {
        if self.rdf.is_some() {
            return Err(Broken::Why("a second root".to_owned()));
        }
        for attribute in start.attributes() {
            let attribute = attribute.map_err(|why| Broken::Why(why.to_string()))?;
            let prefix = attribute.key.as_ref().strip_prefix("xmlns:");
            if let Some(prefix) = prefix.filter(|_| attribute.value.as_ref() == RDF) {
                self.rdf = Some(format!("{prefix}:"));
            }
        }
        let prefix = self.rdf.as_deref().unwrap_or_default();
        if start.name().as_ref().strip_prefix(prefix) != Some("RDF") || prefix.is_empty() {
            return Err(Broken::Why("its root is not RDF".to_owned()));
        }
        Ok(())
    }

    fn object(&mut self, start: &BytesStart<'_>) -> Result<(), Broken> {
        let (defined, id) = match self.attribute(start, &["ID", "about"])? {
            Some((which, id)) => (which == "ID", id),
            None => return Err(Broken::Why("an object without rdf:ID or rdf:about".to_owned())),
        };
        let (id, _) = named(&if defined { format!("#{id}") } else { id });
        let class = start.local_name().as_ref().to_owned();
        self.object = Some(self.stage.add(&class, &id, defined)?);
        Ok(())
    }

    /// The first attribute of the RDF namespace that has one of these names.
    fn attribute(
        &self,
        start: &BytesStart<'_>,
        names: &[&'static str],
    ) -> Result<Option<(&'static str, String)>, Broken> {
        let prefix = self.rdf.as_deref().unwrap_or_default();
        for attribute in start.attributes() {
            let attribute = attribute.map_err(|why| Broken::Why(why.to_string()))?;
            let local = attribute.key.as_ref().strip_prefix(prefix);
            let Some(name) = names.iter().find(|name| local == Some(**name)) else { continue };
            let value = attribute
                .normalized_value(XmlVersion::Implicit1_0)
                .map_err(|why| Broken::Why(why.to_string()))?;
            return Ok(Some((*name, value.trim().to_owned())));
        }
        Ok(None)
    }

    fn text(&mut self, text: &str) -> Result<(), Broken> {
        if let Some(said) = self.said.as_mut().filter(|said| !said.refers) {
            said.text.push_str(text);
            if said.text.len() > LONGEST {
                return Err(Broken::Why(format!("a value of more than {LONGEST} bytes")));
            }
        }
        Ok(())
    }

    fn end(&mut self) -> Result<(), Broken> {
        match self.depth {
            3 => {
                if let (Some(object), Some(mut said)) = (self.object, self.said.take()) {
                    said.text = said.text.trim().to_owned();
                    self.stage.say(object, &said)?;
                }
            }
            2 => self.object = None,
            _ => {}
        }
        self.depth = self.depth.saturating_sub(1);
        Ok(())
    }
}

/// What a reference says: the name of an object of these files, or a word of an enumeration; and
/// which of the two.
fn named(reference: &str) -> (String, bool) {
    if let Some(id) = reference.strip_prefix('#') {
        return (id.to_owned(), true);
    }
    // The same object is `#_1b…` where it is referred to in its own file.
    if let Some(id) = reference.strip_prefix("urn:uuid:") {
        return (format!("_{id}"), true);
    }
    match reference.rsplit_once('#') {
        // An enumeration's word is Class.word; an object's name has no point in it that we know of.
        Some((_, word)) if word.contains('.') => (word.to_owned(), false),
        Some((_, id)) => (id.to_owned(), true),
        None => (reference.to_owned(), true),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_reference_is_an_object_or_a_word() {
        for (reference, name, refers) in [
            ("#_a1", "_a1", true),
            ("urn:uuid:a1", "_a1", true),
            ("http://iec.ch/TC57/CIM100#PhaseCode.ABC", "PhaseCode.ABC", false),
            ("http://example.invalid/model#_a1", "_a1", true),
        ] {
            assert_eq!(named(reference), (name.to_owned(), refers));
        }
    }
}
