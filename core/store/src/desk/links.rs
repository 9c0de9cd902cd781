//! Links for somebody who carries no device of the job.

use coldlug_core::{
    event::Sha256Hex,
    quantity::{ClearanceId, JobId, PersonId},
};
use rusqlite::{OptionalExtension, Row, params};

use super::DeskStore;
use crate::{entries::name, error::StoreError};

/// What a link is good for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Link {
    /// The job.
    pub job: JobId,
    /// The one clearance.
    pub clearance: ClearanceId,
    /// Who uses it.
    pub person: PersonId,
    /// Until when.
    pub until_ms: i64,
}

type Columns = (String, String, String, i64);

fn columns(row: &Row<'_>) -> rusqlite::Result<Columns> {
    Ok((row.get(0)?, row.get(1)?, row.get(2)?, row.get(3)?))
}

fn link_of((job, clearance, person, until_ms): Columns) -> Result<Link, StoreError> {
    Ok(Link {
        job: name(job, JobId::new)?,
        clearance: name(clearance, ClearanceId::new)?,
        person: name(person, PersonId::new)?,
        until_ms,
    })
}

impl DeskStore {
    /// Keeps a link under the hash of its token.
    pub fn put_link(&mut self, token: &Sha256Hex, link: &Link) -> Result<(), StoreError> {
        let write = self.writer()?;
        write.execute(
            "INSERT INTO links (hash, job, clearance, person, until_ms) \
             VALUES (?1, ?2, ?3, ?4, ?5)",
            params![
                token.0,
                link.job.as_str(),
                link.clearance.as_str(),
                link.person.as_str(),
                link.until_ms
            ],
        )?;
        write.commit()?;
        Ok(())
    }

    /// The link of a token; none: there never was one, it is over, or it was ended.
    pub fn link(&self, token: &Sha256Hex, now_ms: i64) -> Result<Option<Link>, StoreError> {
        let found = self
            .connection
            .query_row(
                "SELECT job, clearance, person, until_ms FROM links \
                 WHERE hash = ?1 AND ended = 0 AND until_ms > ?2",
                params![token.0, now_ms],
                columns,
            )
            .optional()?;
        found.map(link_of).transpose()
    }

    /// The links of a job that are not over and not ended.
    pub fn links(&self, job: &JobId, now_ms: i64) -> Result<Vec<Link>, StoreError> {
        let mut statement = self.connection.prepare(
            "SELECT job, clearance, person, until_ms FROM links \
             WHERE job = ?1 AND ended = 0 AND until_ms > ?2 ORDER BY clearance, person, until_ms",
        )?;
        let rows = statement.query_map(params![job.as_str(), now_ms], columns)?;
        rows.collect::<Result<Vec<_>, _>>()?.into_iter().map(link_of).collect()
    }

    /// Says for which clearance a link is good from now on.
    pub fn bind_link(
        &mut self,
        token: &Sha256Hex,
        clearance: &ClearanceId,
    ) -> Result<(), StoreError> {
        let write = self.writer()?;
        write.execute(
            "UPDATE links SET clearance = ?2 WHERE hash = ?1",
            params![token.0, clearance.as_str()],
        )?;
        write.commit()?;
        Ok(())
    }

    /// Ends every link of a clearance.
    pub fn end_links(&mut self, job: &JobId, clearance: &ClearanceId) -> Result<(), StoreError> {
        let write = self.writer()?;
        write.execute(
            "UPDATE links SET ended = 1 WHERE job = ?1 AND clearance = ?2",
            params![job.as_str(), clearance.as_str()],
        )?;
        write.commit()?;
        Ok(())
    }
}
