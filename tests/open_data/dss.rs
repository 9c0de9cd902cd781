//! Reads the part of the OpenDSS script language in which the network is written: one element a
//! line, `New Class.name key=value ...`.

use std::collections::BTreeMap;
use std::path::Path;

/// One element.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Element {
    /// Its class, lower case: `line`, `transformer`, `load`.
    pub(crate) class: String,
    /// Its name as written.
    pub(crate) name: String,
    /// Values by key, lower case; a key given several times (one a winding) keeps all, in order.
    pub(crate) values: BTreeMap<String, Vec<String>>,
}

impl Element {
    /// The first value of `key`.
    pub(crate) fn get(&self, key: &str) -> Option<&str> {
        self.nth(key, 0)
    }

    /// The `n`th value of `key`, counted from 0.
    pub(crate) fn nth(&self, key: &str, n: usize) -> Option<&str> {
        self.values.get(key)?.get(n).map(String::as_str)
    }

    /// A number.
    pub(crate) fn number(&self, key: &str, n: usize) -> f64 {
        let text = self.nth(key, n).unwrap_or_else(|| panic!("{}: no {key}", self.name));
        text.parse().unwrap_or_else(|e| panic!("{}: {key}={text}: {e}", self.name))
    }

    /// The bus of a terminal, without the phases.
    pub(crate) fn bus(&self, key: &str, n: usize) -> String {
        let text = self.nth(key, n).unwrap_or_else(|| panic!("{}: no {key}", self.name));
        text.split('.').next().unwrap_or(text).to_owned()
    }

    /// The phases of a terminal, as written after the bus.
    pub(crate) fn phases(&self, key: &str) -> Vec<String> {
        self.get(key).map_or_else(Vec::new, |t| t.split('.').skip(1).map(str::to_owned).collect())
    }
}

/// All elements of a script.
pub(crate) fn elements(script: &str) -> Vec<Element> {
    script.lines().filter_map(element).collect()
}

fn element(line: &str) -> Option<Element> {
    let mut words = line.split_whitespace();
    if !words.next()?.eq_ignore_ascii_case("new") {
        return None;
    }
    let (class, name) = words.next()?.split_once('.')?;
    let mut values: BTreeMap<String, Vec<String>> = BTreeMap::new();
    for word in words {
        if let Some((key, value)) = word.split_once('=') {
            values.entry(key.to_lowercase()).or_default().push(value.to_owned());
        }
    }
    Some(Element { class: class.to_lowercase(), name: name.to_owned(), values })
}

/// Longitude and latitude of every bus, from lines `bus lon lat`.
pub(crate) fn coordinates(text: &str) -> BTreeMap<String, (f64, f64)> {
    text.lines()
        .filter_map(|line| {
            let mut words = line.split_whitespace();
            let bus = words.next()?.to_owned();
            let lon = words.next()?.parse().ok()?;
            let lat = words.next()?.parse().ok()?;
            Some((bus, (lon, lat)))
        })
        .collect()
}

/// A file of the network.
pub(crate) fn file(dir: &Path, name: &str) -> String {
    let path = dir.join(name);
    std::fs::read_to_string(&path).unwrap_or_else(|e| {
        panic!("{}: {e}: `cargo verify open-data` downloads the network", path.display())
    })
}

#[test]
fn elements_are_read() {
    let script = "Clear\nNew Line.l(r:a-b) Length=0.1 bus1=a.1.2 bus2=b.1.2\n\
                  New Transformer.t wdg=1 bus=a.3 Kv=7.2 wdg=2 bus=alv.1.0 Kv=0.12\n";
    let read = elements(script);
    assert_eq!(read.len(), 2);
    assert_eq!(read[0].class, "line");
    assert_eq!(read[0].bus("bus2", 0), "b");
    assert_eq!(read[0].phases("bus1"), ["1", "2"]);
    assert_eq!(read[1].bus("bus", 1), "alv");
    assert!((read[1].number("kv", 1) - 0.12).abs() < 1e-12);
}
