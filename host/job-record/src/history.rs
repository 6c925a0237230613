//! What happened to a level, as the planner asks for it: the lists that were made of it, and everything that was said, each
//! event with the lists that were made before it was heard. What is left to be cut then is the planner's.

use planner::saw_list::SawSheet;
use planner::{Heard, History};
use rusqlite::{Connection, params};
use shared_model::messages::{LINK_VERSION, StationId};

use crate::events::{SaidAt, said_at};
use crate::levels::LevelId;
use crate::record::{JobRecord, RecordError};

/// A list, and what was known when it was made.
struct Made {
    list: Option<SawSheet>,
    /// The station that was given it first, its log's epoch and the last event of it that was known.
    with: Option<(String, u32, u32)>,
    at: i64,
}

impl Made {
    /// Whether the list was made with this event.
    fn knew(&self, said: &SaidAt) -> bool {
        match &self.with {
            Some((station, epoch, made_with))
                if (station.as_str(), *epoch) == (said.station.as_str(), said.epoch) =>
            {
                said.said.event.sequence <= *made_with
            }
            _ => said.taken <= self.at,
        }
    }
}

impl JobRecord {
    /// What happened to a level, for one of its stations or for none in particular. A list that another version of the
    /// program kept is not among its lists: what it cut counts, what is left of its sticks does not.
    ///
    /// # Errors
    /// What is the matter with the record.
    pub fn history(
        &self,
        level: LevelId,
        station: Option<StationId>,
    ) -> Result<History, RecordError> {
        let in_use = self.last_revision(level)?;
        self.look(|connection| {
            let made = lists(connection, level)?;
            let in_use = in_use.map(|revision| {
                let digest = "SELECT digest FROM revision WHERE id = ?1";
                connection.query_row(digest, [revision.0], |row| row.get(0))
            });
            let made: Vec<Made> = made.into_iter().filter(|of| of.list.is_some()).collect();
            let events = said_at(connection, level)?;
            let heard = |said: &SaidAt| Heard {
                event: said.said.event,
                lists: made.iter().take_while(|made| !made.knew(said)).count(),
                station: said.station_id(),
            };
            Ok(History {
                in_use: in_use.transpose()?,
                events: events.iter().map(heard).collect(),
                lists: made.into_iter().filter_map(|made| made.list).collect(),
                station,
            })
        })
    }
}

/// The lists that stations were given, or that events name, in the order in which they were given last.
fn lists(connection: &Connection, level: LevelId) -> rusqlite::Result<Vec<Made>> {
    let mut lists = connection.prepare_cached(
        "SELECT digest, list, link_version, first.station, first.epoch, first.made_with, coalesce(first.at, kept) \
         FROM revision \
         LEFT JOIN loading AS first ON first.id = (SELECT min(id) FROM loading WHERE revision = revision.id) \
         WHERE level = ?1 AND (first.id IS NOT NULL OR digest IN (SELECT list FROM event WHERE level = ?1)) \
         ORDER BY coalesce((SELECT max(at) FROM loading WHERE revision = revision.id), kept), revision.id",
    )?;
    let lists = lists.query_map(params![level.0], |row| {
        let version: u16 = row.get(2)?;
        let bytes: Vec<u8> = row.get(1)?;
        let station: Option<String> = row.get(3)?;
        let (epoch, made_with): (Option<u32>, Option<u32>) = (row.get(4)?, row.get(5)?);
        Ok(Made {
            list: SawSheet::of_bytes(&bytes).filter(|_| version == LINK_VERSION),
            with: station.map(|station| {
                (
                    station,
                    epoch.unwrap_or_default(),
                    made_with.unwrap_or_default(),
                )
            }),
            at: row.get(6)?,
        })
    })?;
    lists.collect()
}
