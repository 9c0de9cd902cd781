//! Instruments that a device keeps over jobs: entered once, offered to every job after.

use coldlug_core::{quantity::InstrumentId, reading::Instrument};
use rusqlite::{Transaction, params};

use crate::{Store, error::StoreError};

/// What becomes of an instrument that a device keeps.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum OwnInstrument {
    /// It is kept as it was entered now, in place of what was kept by its name.
    Kept(Instrument),
    /// It was entered wrongly, and is kept no more.
    Dropped(InstrumentId),
}

impl Store {
    /// Instruments that this device keeps, in the order of their names. One that cannot be read is
    /// left out: it is typed again, and no job waits for it.
    pub fn instruments(&self) -> Result<Vec<Instrument>, StoreError> {
        let mut statement =
            self.awake()?.prepare("SELECT text FROM instruments ORDER BY instrument")?;
        let texts = statement.query_map([], |row| row.get::<_, String>(0))?;
        let texts = texts.collect::<Result<Vec<_>, _>>()?;
        Ok(texts.iter().filter_map(|text| serde_json::from_str(text).ok()).collect())
    }
}

pub(crate) fn keep_instruments(
    write: &Transaction<'_>,
    instruments: &[OwnInstrument],
) -> Result<(), StoreError> {
    for one in instruments {
        match one {
            OwnInstrument::Kept(instrument) => {
                let Ok(text) = serde_json::to_string(instrument) else { continue };
                write.execute(
                    "INSERT INTO instruments (instrument, text) VALUES (?1, ?2) \
                     ON CONFLICT (instrument) DO UPDATE SET text = ?2",
                    params![instrument.id.as_str(), text],
                )?;
            }
            OwnInstrument::Dropped(id) => {
                write.execute("DELETE FROM instruments WHERE instrument = ?1", [id.as_str()])?;
            }
        }
    }
    Ok(())
}
