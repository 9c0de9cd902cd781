//! Tables as text: one file a layer, its first line the names of the columns.

use std::{fs::File, io, path::Path};

use super::row::{Ask, Broken, Cell, Layer, Row, Source, Taken};
use super::shape::Drawn;

/// What a row is called.
const WORD: &str = "line";

/// A table of separated values (RFC 4180): commas, or tabs where the file's name ends in `.tsv`.
#[derive(Debug)]
pub(super) struct Csv {
    file: File,
    separator: u8,
    layer: Layer,
}

impl Csv {
    pub(super) fn open(path: &Path, name: String) -> io::Result<Result<Self, Broken>> {
        let file = File::open(path)?;
        let size = file.metadata()?.len();
        let tabs = path.extension().is_some_and(|end| end.eq_ignore_ascii_case("tsv"));
        let separator = if tabs { b'\t' } else { b',' };
        let mut reader = reader(&file, separator);
        let columns: Result<Vec<String>, csv::Error> =
            reader.headers().map(|names| names.iter().map(|name| name.trim().to_owned()).collect());
        let columns = match columns {
            Ok(columns) => columns,
            Err(why) => return Ok(Err(Broken::Why(why.to_string()))),
        };
        let layer = Layer { name, columns: Some(columns), drawn: false, system: None, size };
        Ok(Ok(Self { file, separator, layer }))
    }
}

fn reader(file: &File, separator: u8) -> csv::Reader<&File> {
    csv::ReaderBuilder::new().delimiter(separator).buffer_capacity(1 << 16).from_reader(file)
}

impl Source for Csv {
    fn layers(&self) -> &[Layer] {
        std::slice::from_ref(&self.layer)
    }

    fn rows(&mut self, ask: Ask<'_>, take: &mut dyn FnMut(Taken<'_>)) -> Result<(), Broken> {
        io::Seek::rewind(&mut self.file).map_err(|why| Broken::Why(why.to_string()))?;
        let columns = self.layer.columns.as_deref().unwrap_or_default();
        let places: Vec<Option<usize>> =
            ask.columns.iter().map(|name| columns.iter().position(|c| c == name)).collect();
        let mut reader = reader(&self.file, self.separator);
        let mut record = csv::ByteRecord::new();
        loop {
            let (mark, row) = match reader.read_byte_record(&mut record) {
                Ok(false) => return Ok(()),
                Ok(true) => (line(record.position()), cells(&record, &places, columns)),
                Err(why) if why.is_io_error() => return Err(Broken::Why(why.to_string())),
                Err(why) => (line(why.position()), Err(lengths(&why))),
            };
            let row = row.map(|cells| Row { cells, drawn: Drawn::Nothing });
            take(Taken { mark, word: WORD, id: None, done: reader.position().byte(), row });
        }
    }

    fn row_name(&self, mark: i64) -> String {
        format!("{WORD} {mark}")
    }
}

fn line(position: Option<&csv::Position>) -> i64 {
    position.and_then(|position| i64::try_from(position.line()).ok()).unwrap_or_default()
}

fn lengths(why: &csv::Error) -> String {
    match why.kind() {
        csv::ErrorKind::UnequalLengths { expected_len, len, .. } => {
            format!("{len} values where the first line names {expected_len} columns")
        }
        _ => why.to_string(),
    }
}

fn cells<'a>(
    record: &'a csv::ByteRecord,
    places: &[Option<usize>],
    columns: &[String],
) -> Result<Vec<Cell<'a>>, String> {
    places
        .iter()
        .map(|place| {
            let Some(bytes) = place.and_then(|place| record.get(place)) else {
                return Ok(Cell::Absent);
            };
            std::str::from_utf8(bytes).map(Cell::text).map_err(|_| {
                let column = place.and_then(|p| columns.get(p)).map_or("", String::as_str);
                format!("column {column} is not UTF-8 text")
            })
        })
        .collect()
}
