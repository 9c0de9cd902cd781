//! Objects and what they say, laid out in a database on disk that is gone when it is closed.

use std::{cell::RefCell, collections::BTreeMap, rc::Rc};

use rusqlite::{Connection, OptionalExtension, params};

use crate::import::room::{self, NoRoom};
use crate::import::row::Broken;

/// An object.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Object {
    /// Its row.
    pub(super) number: i64,
    /// Its name.
    pub(super) id: String,
}

/// One thing that an object says.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Said {
    /// The attribute.
    pub(super) name: Rc<str>,
    /// Its value, or the name of the object it refers to.
    pub(super) text: String,
    /// Whether it refers to an object.
    pub(super) refers: bool,
}

/// References that must not lead nowhere: what hangs where, and where it stands.
const FOLLOWED: &str = "'Terminal.ConductingEquipment', 'Terminal.ConnectivityNode', \
     'TransformerEnd.Terminal', 'PowerTransformerEnd.PowerTransformer', \
     'PowerSystemResource.Location', 'UsagePoint.UsagePointLocation', 'PositionPoint.Location', \
     'UsagePoint.Equipments', 'Equipment.UsagePoints', 'SwitchPhase.Switch'";

/// Kibibytes of it that are held in memory, and as many again while an index is made.
const CACHE: u32 = 32 * 1024;

/// Most classes and attributes of a file; the whole of CIM has some thousands.
const MOST_WORDS: usize = 10_000;

/// A file laid out.
#[derive(Debug)]
pub(super) struct Stage {
    connection: Connection,
    /// The numbers of classes and attributes.
    words: BTreeMap<Rc<str>, i64>,
    /// The same by their numbers.
    texts: Vec<Rc<str>>,
    /// What was asked since the last object of a class came by: columns of one row ask the same.
    asked: RefCell<Asked>,
}

/// Answers that are likely to be asked for again.
#[derive(Debug, Default)]
struct Asked {
    said: BTreeMap<i64, Rc<[Said]>>,
    referring: BTreeMap<(i64, String), Rc<[Object]>>,
}

impl Stage {
    pub(super) fn new() -> Result<Self, NoRoom> {
        let connection = room::open(CACHE)?;
        connection.execute_batch(
            "CREATE TABLE word (n INTEGER PRIMARY KEY, text TEXT NOT NULL UNIQUE);
             CREATE TABLE object (n INTEGER PRIMARY KEY, id TEXT NOT NULL, class INTEGER NOT NULL,
                defined INTEGER NOT NULL);
             CREATE TABLE said (object INTEGER NOT NULL, name INTEGER NOT NULL, text TEXT NOT NULL,
                refers INTEGER NOT NULL);
             BEGIN;",
        )?;
        let (words, texts) = (BTreeMap::new(), Vec::new());
        Ok(Self { connection, words, texts, asked: RefCell::default() })
    }

    fn word(&mut self, text: &str) -> Result<i64, Broken> {
        if let Some(known) = self.words.get(text) {
            return Ok(*known);
        }
        let number = i64::try_from(self.words.len()).unwrap_or(i64::MAX);
        if self.words.len() == MOST_WORDS {
            return Err(Broken::Why(format!("more than {MOST_WORDS} classes and attributes")));
        }
        self.connection.execute("INSERT INTO word VALUES (?1, ?2)", params![number, text])?;
        let text: Rc<str> = text.into();
        self.texts.push(Rc::clone(&text));
        self.words.insert(text, number);
        Ok(number)
    }

    /// Adds an object; `defined` where this is where it is made, and not only spoken of.
    pub(super) fn add(&mut self, class: &str, id: &str, defined: bool) -> Result<i64, Broken> {
        let class = self.word(class)?;
        let sql = "INSERT INTO object (id, class, defined) VALUES (?1, ?2, ?3)";
        self.connection.prepare_cached(sql)?.execute(params![id, class, defined])?;
        Ok(self.connection.last_insert_rowid())
    }

    /// Adds what an object says.
    pub(super) fn say(&mut self, object: i64, said: &Said) -> Result<(), Broken> {
        let name = self.word(&said.name)?;
        let sql = "INSERT INTO said VALUES (?1, ?2, ?3, ?4)";
        let mut statement = self.connection.prepare_cached(sql)?;
        statement.execute(params![object, name, said.text, said.refers])?;
        Ok(())
    }

    /// Everything is in: what is said of one object in several places is put together.
    pub(super) fn finish(&mut self) -> Result<(), NoRoom> {
        self.connection.execute_batch(
            "CREATE INDEX object_id ON object (id);
             CREATE TEMP TABLE one AS SELECT id, min(n) AS n FROM object GROUP BY id
                HAVING count(*) > 1 AND sum(defined) <= 1;
             CREATE INDEX temp.one_id ON one (id);
             UPDATE said SET object = (SELECT one.n FROM object o JOIN one ON one.id = o.id
                WHERE o.n = said.object)
                WHERE object IN (SELECT o.n FROM object o JOIN one ON one.id = o.id);
             DELETE FROM object WHERE n IN (SELECT o.n FROM object o JOIN one ON one.id = o.id
                WHERE o.n <> one.n);
             CREATE INDEX object_class ON object (class);
             CREATE INDEX said_object ON said (object);
             CREATE INDEX said_refers ON said (text, name) WHERE refers;
             COMMIT;",
        )?;
        Ok(())
    }

    /// Every class with the number of its objects.
    pub(super) fn classes(&self) -> Result<Vec<(String, u64)>, NoRoom> {
        let mut statement = self.connection.prepare(
            "SELECT word.text, count(*) FROM object JOIN word ON word.n = object.class \
             GROUP BY object.class ORDER BY word.text",
        )?;
        let rows = statement.query_map([], |row| Ok((row.get(0)?, row.get::<_, i64>(1)?)))?;
        let mut classes = Vec::new();
        for row in rows {
            let (name, count) = row?;
            classes.push((name, u64::try_from(count).unwrap_or_default()));
        }
        Ok(classes)
    }

    /// Each object of a class, in the order of the file.
    pub(super) fn each(
        &self,
        class: &str,
        take: &mut dyn FnMut(&Object) -> Result<(), Broken>,
    ) -> Result<(), Broken> {
        let mut statement = self.connection.prepare(
            "SELECT n, id FROM object WHERE class = (SELECT n FROM word WHERE text = ?1) ORDER BY n",
        )?;
        let mut rows = statement.query([class])?;
        while let Some(row) = rows.next().map_err(NoRoom::from)? {
            self.asked.take();
            take(&Object { number: row.get(0)?, id: row.get(1)? })?;
        }
        Ok(())
    }

    /// Everything an object says.
    pub(super) fn said(&self, object: i64) -> Result<Rc<[Said]>, NoRoom> {
        if let Some(known) = self.asked.borrow().said.get(&object) {
            return Ok(Rc::clone(known));
        }
        let sql = "SELECT name, text, refers FROM said WHERE object = ?1 ORDER BY rowid";
        let mut statement = self.connection.prepare_cached(sql)?;
        let said = statement.query_map([object], |row| {
            Ok(Said { name: self.text(row.get(0)?), text: row.get(1)?, refers: row.get(2)? })
        })?;
        let said: Rc<[Said]> = said.collect::<Result<_, _>>()?;
        self.asked.borrow_mut().said.insert(object, Rc::clone(&said));
        Ok(said)
    }

    /// The class or attribute of a number.
    fn text(&self, number: i64) -> Rc<str> {
        let text = usize::try_from(number).ok().and_then(|number| self.texts.get(number));
        text.map_or_else(|| "".into(), Rc::clone)
    }

    /// The object of a name.
    pub(super) fn object(&self, id: &str) -> Result<Option<Object>, NoRoom> {
        let sql = "SELECT n FROM object WHERE id = ?1";
        let mut statement = self.connection.prepare_cached(sql)?;
        let found =
            statement.query_row([id], |row| Ok(Object { number: row.get(0)?, id: id.to_owned() }));
        Ok(found.optional()?)
    }

    /// The objects that refer to a name by this attribute, in the order of the file.
    pub(super) fn referring(&self, name: &str, id: &str) -> Result<Rc<[Object]>, NoRoom> {
        let Some(name) = self.words.get(name).copied() else { return Ok(Rc::from([])) };
        let asked = (name, id.to_owned());
        if let Some(known) = self.asked.borrow().referring.get(&asked) {
            return Ok(Rc::clone(known));
        }
        let mut statement = self.connection.prepare_cached(
            "SELECT o.n, o.id FROM said s JOIN object o ON o.n = s.object WHERE s.refers \
             AND s.text = ?2 AND s.name = ?1 ORDER BY o.n",
        )?;
        let found = statement.query_map(params![name, id], |row| {
            Ok(Object { number: row.get(0)?, id: row.get(1)? })
        })?;
        let found: Rc<[Object]> = found.collect::<Result<_, _>>()?;
        self.asked.borrow_mut().referring.insert(asked, Rc::clone(&found));
        Ok(found)
    }

    /// What an attribute says anywhere, each text once; at most two of them.
    pub(super) fn two_texts(&self, name: &str) -> Result<Vec<String>, NoRoom> {
        let mut statement = self.connection.prepare(
            "SELECT DISTINCT text FROM said WHERE name = (SELECT n FROM word WHERE text = ?1) LIMIT 2",
        )?;
        let texts = statement.query_map([name], |row| row.get(0))?;
        Ok(texts.collect::<Result<_, _>>()?)
    }

    /// The name of the object of a row.
    pub(super) fn name(&self, number: i64) -> Option<String> {
        let sql = "SELECT id FROM object WHERE n = ?1";
        self.connection.prepare_cached(sql).ok()?.query_row([number], |row| row.get(0)).ok()
    }

    /// Each object that is made more than once.
    pub(super) fn doubled(&self, take: &mut dyn FnMut(&str, &str)) -> Result<(), NoRoom> {
        let mut statement = self.connection.prepare(
            "SELECT word.text, object.id FROM object JOIN word ON word.n = object.class \
             GROUP BY object.id HAVING count(*) > 1 ORDER BY object.id",
        )?;
        let mut rows = statement.query([])?;
        while let Some(row) = rows.next()? {
            take(&row.get::<_, String>(0)?, &row.get::<_, String>(1)?);
        }
        Ok(())
    }

    /// Each reference that is followed and leads nowhere: class, object, attribute, name.
    pub(super) fn dangling(
        &self,
        take: &mut dyn FnMut(&str, &str, &str, &str),
    ) -> Result<(), NoRoom> {
        let mut statement = self.connection.prepare(&format!(
            "SELECT class.text, o.id, name.text, s.text FROM said s \
             JOIN word name ON name.n = s.name AND name.text IN ({FOLLOWED}) \
             JOIN object o ON o.n = s.object JOIN word class ON class.n = o.class \
             WHERE NOT s.refers OR NOT EXISTS (SELECT 1 FROM object t WHERE t.id = s.text) \
             ORDER BY s.rowid"
        ))?;
        let mut rows = statement.query([])?;
        while let Some(row) = rows.next()? {
            let texts: Vec<String> =
                (0..4).map(|at| row.get(at)).collect::<Result<_, rusqlite::Error>>()?;
            if let [class, id, name, to] = texts.as_slice() {
                take(class, id, name, to);
            }
        }
        Ok(())
    }
}
