//! A plain scan: every value of every row is read and nothing is made of it.

use std::{fs::File, hint::black_box, io::BufReader, path::Path};

use quick_xml::{Reader, events::Event};
use rusqlite::{Connection, OpenFlags};

/// Reads everything; gives the number of rows.
pub(crate) fn scan(path: &Path) -> u64 {
    match path.extension().and_then(|end| end.to_str()) {
        Some("csv") => csv(path),
        Some("xml") => xml(path),
        _ => geopackage(path),
    }
}

fn csv(path: &Path) -> u64 {
    let file = File::open(path).expect("a file");
    let mut reader = csv::ReaderBuilder::new().buffer_capacity(1 << 16).from_reader(file);
    let mut record = csv::ByteRecord::new();
    let mut rows = 0;
    while reader.read_byte_record(&mut record).expect("a row") {
        record.iter().for_each(|value| {
            black_box(value);
        });
        rows += 1;
    }
    rows
}

/// The rows are the elements.
fn xml(path: &Path) -> u64 {
    let file = File::open(path).expect("a file");
    let mut reader = Reader::from_reader(BufReader::with_capacity(1 << 16, file));
    let (mut buffer, mut rows) = (Vec::new(), 0);
    loop {
        buffer.clear();
        match reader.read_event_into(&mut buffer).expect("XML") {
            Event::Eof => return rows,
            Event::Start(start) | Event::Empty(start) => {
                start.attributes().for_each(|attribute| {
                    black_box(attribute.expect("XML"));
                });
                rows += 1;
            }
            other => {
                black_box(other);
            }
        }
    }
}

fn geopackage(path: &Path) -> u64 {
    let connection =
        Connection::open_with_flags(path, OpenFlags::SQLITE_OPEN_READ_ONLY).expect("a file");
    let names = "SELECT table_name FROM gpkg_contents";
    let mut names = connection.prepare(names).expect("the list of tables");
    let names = names.query_map([], |row| row.get::<_, String>(0)).expect("the list of tables");
    let mut count = 0;
    for name in names {
        let sql = format!("SELECT * FROM \"{}\"", name.expect("a name"));
        let mut statement = connection.prepare(&sql).expect("a table");
        let columns = statement.column_count();
        let mut rows = statement.query([]).expect("a table");
        while let Some(row) = rows.next().expect("a row") {
            for column in 0..columns {
                black_box(row.get_ref(column).expect("a value"));
            }
            count += 1;
        }
    }
    count
}
