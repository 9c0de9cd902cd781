//! Who may sign in, and who has.

use coldlug_core::{event::Sha256Hex, log::sha256, quantity::PersonId};
use rusqlite::{OptionalExtension, params};

use super::{DeskStore, codes};
use crate::{entries::name, error::StoreError};

/// What a password leaves behind.
#[derive(Clone, PartialEq, Eq)]
pub struct Password {
    /// Drawn for this password.
    pub salt: [u8; 16],
    /// Argon2id of it.
    pub hash: [u8; 32],
    /// With this much memory.
    pub memory_kib: u32,
    /// In this many passes.
    pub passes: u32,
}

impl std::fmt::Debug for Password {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("Password")
    }
}

/// How long a session lasts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct SessionTimes {
    /// From signing in.
    pub whole_ms: i64,
    /// Without being used.
    pub idle_ms: i64,
}

impl DeskStore {
    /// Everyone who may sign in, by name, and since when.
    pub fn dispatchers(&self) -> Result<Vec<(PersonId, i64)>, StoreError> {
        let mut statement =
            self.connection.prepare("SELECT person, since_ms FROM dispatchers ORDER BY person")?;
        let rows = statement.query_map([], |row| Ok((row.get(0)?, row.get(1)?)))?;
        rows.collect::<Result<Vec<(String, i64)>, _>>()?
            .into_iter()
            .map(|(person, since)| Ok((name(person, PersonId::new)?, since)))
            .collect()
    }

    /// What the password of a dispatcher left behind.
    pub fn password(&self, person: &PersonId) -> Result<Option<Password>, StoreError> {
        Ok(self
            .connection
            .query_row(
                "SELECT salt, hash, memory_kib, passes FROM dispatchers WHERE person = ?1",
                [person.as_str()],
                |row| {
                    Ok(Password {
                        salt: row.get(0)?,
                        hash: row.get(1)?,
                        memory_kib: row.get(2)?,
                        passes: row.get(3)?,
                    })
                },
            )
            .optional()?)
    }

    /// Takes in a dispatcher by a code, which is used up; false: the code does not do that, or the
    /// name is taken.
    pub fn add_dispatcher(
        &mut self,
        code: &Sha256Hex,
        person: &PersonId,
        password: &Password,
        now_ms: i64,
    ) -> Result<bool, StoreError> {
        let write = self.writer()?;
        let found = codes::find(&write, code, now_ms)?;
        if !found.is_some_and(|found| found.lets_in(person)) {
            return Ok(false);
        }
        let added = write.execute(
            "INSERT OR IGNORE INTO dispatchers (person, salt, hash, memory_kib, passes, since_ms) \
             VALUES (?1, ?2, ?3, ?4, ?5, ?6)",
            params![
                person.as_str(),
                password.salt,
                password.hash,
                password.memory_kib,
                password.passes,
                now_ms
            ],
        )?;
        if added == 0 {
            return Ok(false);
        }
        codes::mark_used(&write, code, &sha256(person.as_str().as_bytes()).0)?;
        write.commit()?;
        Ok(true)
    }

    /// Begins a session under the hash of its cookie. Sessions that are over go.
    pub fn begin_session(
        &mut self,
        cookie: &Sha256Hex,
        person: &PersonId,
        now_ms: i64,
        times: SessionTimes,
    ) -> Result<(), StoreError> {
        let write = self.writer()?;
        write.execute("DELETE FROM sessions WHERE until_ms <= ?1", [now_ms])?;
        write.execute(
            "INSERT INTO sessions (hash, person, until_ms, seen_ms) VALUES (?1, ?2, ?3, ?4)",
            params![cookie.0, person.as_str(), now_ms.saturating_add(times.whole_ms), now_ms],
        )?;
        write.commit()?;
        Ok(())
    }

    /// Whose session a cookie is, and notes that it was used; none: nobody's, or over.
    pub fn session(
        &mut self,
        cookie: &Sha256Hex,
        now_ms: i64,
        times: SessionTimes,
    ) -> Result<Option<PersonId>, StoreError> {
        let write = self.writer()?;
        let since = now_ms.saturating_sub(times.idle_ms);
        let person: Option<String> = write
            .query_row(
                "SELECT person FROM sessions WHERE hash = ?1 AND until_ms > ?2 AND seen_ms > ?3",
                params![cookie.0, now_ms, since],
                |row| row.get(0),
            )
            .optional()?;
        let Some(person) = person else { return Ok(None) };
        // Written once a minute at most, so that looking at pages does not wear the disk.
        write.execute(
            "UPDATE sessions SET seen_ms = ?2 WHERE hash = ?1 AND seen_ms < ?2 - 60000",
            params![cookie.0, now_ms],
        )?;
        write.commit()?;
        name(person, PersonId::new).map(Some)
    }

    /// Ends a session.
    pub fn end_session(&mut self, cookie: &Sha256Hex) -> Result<(), StoreError> {
        let write = self.writer()?;
        write.execute("DELETE FROM sessions WHERE hash = ?1", [cookie.0])?;
        write.commit()?;
        Ok(())
    }
}
