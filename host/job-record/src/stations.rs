//! The stations that were met, the lists that they were given, and how far their logs are here. Taking events in is left
//! to `taking`.

use rusqlite::{Connection, OptionalExtension, Transaction, params};
use shared_model::messages::StationId;

use crate::levels::RevisionId;
use crate::moment::Moment;
use crate::record::{JobRecord, RecordError};

/// A station as it was met.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Met<'a> {
    /// Its number for life.
    pub station: StationId,
    /// What it says it runs on.
    pub name: &'a str,
    /// Where it was found.
    pub link: &'a str,
    /// When.
    pub at: Moment,
}

/// One epoch of a station's events: they are numbered from 1 in each.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Log {
    /// The station.
    pub station: StationId,
    /// The epoch.
    pub epoch: u32,
}

/// A list that a station was given.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Loading {
    /// Which.
    pub revision: RevisionId,
    /// The station and its log's epoch.
    pub log: Log,
    /// The last event that was known then.
    pub made_with: u32,
    /// When.
    pub at: Moment,
}

impl JobRecord {
    /// Notes that a station was met.
    ///
    /// # Errors
    /// What is the matter with the record.
    pub fn meet(&mut self, met: Met<'_>) -> Result<(), RecordError> {
        self.change(|transaction| {
            transaction.execute(
                "INSERT INTO station (id, name, link, last_seen) VALUES (?1, ?2, ?3, ?4) \
                 ON CONFLICT (id) DO UPDATE SET name = ?2, link = ?3, last_seen = ?4",
                params![met.station.to_string(), met.name, met.link, met.at.0],
            )?;
            Ok(())
        })
    }

    /// Notes that a station has a list now. Events that were taken before this record knew the list find their level.
    ///
    /// # Errors
    /// What is the matter with the record.
    pub fn loaded(&mut self, loading: Loading) -> Result<(), RecordError> {
        let Log { station, epoch } = loading.log;
        self.change(|transaction| {
            know(transaction, station, loading.at)?;
            let station = station.to_string();
            transaction.execute(
                "INSERT INTO loading (station, revision, epoch, made_with, at) VALUES (?1, ?2, ?3, ?4, ?5)",
                params![station, loading.revision.0, epoch, loading.made_with, loading.at.0],
            )?;
            let level = "SELECT level FROM revision WHERE id = ?1";
            let level = transaction.query_row(level, [loading.revision.0], |row| row.get(0))?;
            adopt(transaction, loading.log.station, level)
        })
    }

    /// The list with this digest as this station has it: the one it was last given, else the one that was last kept; none
    /// where this record does not know it.
    ///
    /// # Errors
    /// What is the matter with the record.
    pub fn list_of_station(
        &self,
        station: StationId,
        digest: u32,
    ) -> Result<Option<RevisionId>, RecordError> {
        self.look(|connection| {
            Ok(revision_of_station(connection, station, digest)?
                .map(|(revision, _)| RevisionId(revision)))
        })
    }

    /// Every event up to this number is held, so that the station may drop them; 0 for none. It counts an event that the
    /// station has said to have lost.
    ///
    /// # Errors
    /// What is the matter with the record.
    pub fn held(&self, log: Log) -> Result<u32, RecordError> {
        self.number_of(
            log,
            "SELECT held FROM log WHERE station = ?1 AND epoch = ?2",
        )
    }

    /// Up to this number the station has confirmed that it knows its events to be held; 0 for none.
    ///
    /// # Errors
    /// What is the matter with the record.
    pub fn confirmed(&self, log: Log) -> Result<u32, RecordError> {
        self.number_of(
            log,
            "SELECT confirmed FROM log WHERE station = ?1 AND epoch = ?2",
        )
    }

    /// Notes what the station has confirmed.
    ///
    /// # Errors
    /// What is the matter with the record.
    pub fn note_confirmed(&mut self, log: Log, up_to: u32) -> Result<(), RecordError> {
        self.change(|transaction| {
            transaction.execute(
                "UPDATE log SET confirmed = max(confirmed, ?3) WHERE station = ?1 AND epoch = ?2",
                params![log.station.to_string(), log.epoch, up_to],
            )?;
            Ok(())
        })
    }

    fn number_of(&self, log: Log, query: &str) -> Result<u32, RecordError> {
        self.look(|connection| {
            let known = params![log.station.to_string(), log.epoch];
            let number = connection.query_row(query, known, |row| row.get(0));
            Ok(number.optional()?.unwrap_or(0))
        })
    }
}

/// Makes sure that a station has a row.
pub fn know(transaction: &Transaction<'_>, station: StationId, at: Moment) -> rusqlite::Result<()> {
    transaction.execute(
        "INSERT INTO station (id, name, link, last_seen) VALUES (?1, '', '', ?2) ON CONFLICT DO NOTHING",
        params![station.to_string(), at.0],
    )?;
    Ok(())
}

/// Gives a station's events that have no level this one where they name one of its lists or pieces: its lists may have come
/// from elsewhere, or the record may have been begun anew since.
pub fn adopt(
    transaction: &Transaction<'_>,
    station: StationId,
    level: i64,
) -> rusqlite::Result<()> {
    let mut adopt = transaction.prepare_cached(
        "UPDATE event SET level = ?2 WHERE level IS NULL AND log IN (SELECT id FROM log WHERE station = ?1) \
         AND (coalesce(list, list_in_use) IN (SELECT digest FROM revision WHERE level = ?2) \
              OR piece IN (SELECT id FROM piece WHERE level = ?2))",
    )?;
    adopt.execute(params![station.to_string(), level])?;
    Ok(())
}

/// The revision with this digest as this station has it, and its level.
pub fn revision_of_station(
    connection: &Connection,
    station: StationId,
    digest: u32,
) -> rusqlite::Result<Option<(i64, i64)>> {
    let mut wanted = connection.prepare_cached(
        "SELECT revision.id, revision.level FROM revision \
         LEFT JOIN loading ON loading.revision = revision.id AND loading.station = ?1 \
         WHERE digest = ?2 ORDER BY loading.id DESC NULLS LAST, revision.id DESC LIMIT 1",
    )?;
    let station = station.to_string();
    wanted
        .query_row(params![station, digest], |row| {
            Ok((row.get(0)?, row.get(1)?))
        })
        .optional()
}
