//! What was said of a level at all its stations, in order, and how the level stands by it. The fold is the place's, the
//! same as at the saw.

use std::collections::VecDeque;

use planner::saw_list::SawSheet;
use rusqlite::{Connection, OptionalExtension, params};
use shared_model::messages::StationId;
use shared_model::{Event, Length, PieceId, Place};

use crate::levels::LevelId;
use crate::moment::Moment;
use crate::record::{JobRecord, RecordError};
use crate::row::{self, COLUMNS};

/// An event and when it happened.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Said {
    /// The event.
    pub event: Event,
    /// When, by this computer's clock.
    pub at: Moment,
    /// It was then; else it was before.
    pub exact: bool,
}

/// A piece as it was first seen.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct KnownPiece {
    /// Its number for life.
    pub id: PieceId,
    /// The room's name.
    pub room: String,
    /// The wall's number, from 1; 0 where the list names none.
    pub wall: u8,
    /// Which part of the wall, from 1.
    pub part: u8,
    /// How many parts the wall has.
    pub parts: u8,
    /// The moulding's name.
    pub moulding: String,
    /// Along the back.
    pub length: Length,
}

/// How a level stands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Standing {
    /// How every piece of the list stands.
    pub place: Place,
    /// The pieces that were cut when the list was made, which left them out; and whether each still counts as cut.
    pub before: Vec<(KnownPiece, bool)>,
    /// The other pieces that are cut and not in the list.
    pub not_in_list: Vec<KnownPiece>,
    /// The first thing that was said of the level.
    pub first: Option<Said>,
    /// The last.
    pub last: Option<Said>,
}

impl JobRecord {
    /// Everything that was said of a level. Each station's events stand in its own order; those of several stations are
    /// put together by their times.
    ///
    /// # Errors
    /// What is the matter with the record.
    pub fn events(&self, level: LevelId) -> Result<Vec<Said>, RecordError> {
        self.look(|connection| {
            let all = said_at(connection, level)?;
            Ok(all.into_iter().map(|at| at.said).collect())
        })
    }

    /// How a level stands by this list, one of its own.
    ///
    /// # Errors
    /// What is the matter with the record, or [`RecordError::ListTooLong`].
    pub fn standing(&self, level: LevelId, list: &SawSheet) -> Result<Standing, RecordError> {
        let mut place = Place::at_start(list).ok_or(RecordError::ListTooLong)?;
        self.look(|connection| {
            let said = said_at(connection, level)?;
            said.iter().for_each(|at| place.take(&at.said.event));
            let finished = finished(connection, level, list.head.digest)?;
            let cut: Vec<PieceId> = place.cut_and_not_in_list().collect();
            let mut not_in_list = Vec::new();
            for id in cut.iter().filter(|id| !finished.contains(id)) {
                not_in_list.extend(known_piece(connection, level, *id)?);
            }
            let mut before = Vec::new();
            for id in &finished {
                let piece = known_piece(connection, level, *id)?;
                before.extend(piece.map(|piece| (piece, cut.contains(id))));
            }
            Ok(Standing {
                place,
                before,
                not_in_list,
                first: said.first().map(|at| at.said),
                last: said.last().map(|at| at.said),
            })
        })
    }
}

/// An event, where it was said and when it was taken.
#[derive(Debug, Clone)]
pub(crate) struct SaidAt {
    pub said: Said,
    pub station: String,
    pub epoch: u32,
    pub taken: i64,
}

impl SaidAt {
    /// The station's number; 0 where it cannot be read.
    pub fn station_id(&self) -> StationId {
        StationId(u64::from_str_radix(&self.station, 16).unwrap_or_default())
    }
}

/// Everything that was said of a level, as [`JobRecord::events`] has it.
pub(crate) fn said_at(connection: &Connection, level: LevelId) -> rusqlite::Result<Vec<SaidAt>> {
    let mut rows = connection.prepare_cached(&format!(
        "SELECT {COLUMNS}, at, exact, station, epoch, taken FROM event JOIN log ON log.id = event.log \
         WHERE level = ?1 ORDER BY station, log.id, sequence"
    ))?;
    let rows = rows.query_map([level.0], |row| {
        let said = Said {
            event: row::read(row)?,
            at: Moment(row.get(8)?),
            exact: row.get(9)?,
        };
        Ok(SaidAt {
            said,
            station: row.get(10)?,
            epoch: row.get(11)?,
            taken: row.get(12)?,
        })
    })?;
    let mut stations: Vec<VecDeque<SaidAt>> = Vec::new();
    for row in rows {
        let said = row?;
        let same = |all: &&mut VecDeque<SaidAt>| {
            let last = all.back();
            last.is_some_and(|last| last.station == said.station)
        };
        match stations.last_mut().filter(same) {
            Some(all) => all.push_back(said),
            None => stations.push(VecDeque::from([said])),
        }
    }
    Ok(together(stations))
}

/// The earliest of what each station says next, over and over.
fn together(mut stations: Vec<VecDeque<SaidAt>>) -> Vec<SaidAt> {
    let count = stations.iter().map(VecDeque::len).sum();
    let mut all = Vec::with_capacity(count);
    while let Some(next) = stations
        .iter_mut()
        .filter(|station| !station.is_empty())
        .min_by_key(|station| station.front().map(|at| at.said.at))
    {
        all.extend(next.pop_front());
    }
    all
}

/// The pieces that a list left out because they were cut when it was made.
fn finished(
    connection: &Connection,
    level: LevelId,
    digest: u32,
) -> rusqlite::Result<Vec<PieceId>> {
    let mut finished = connection.prepare_cached(
        "SELECT piece FROM finished JOIN revision ON revision.id = finished.revision \
         WHERE level = ?1 AND digest = ?2 ORDER BY piece",
    )?;
    let finished = finished.query_map(params![level.0, digest], |row| row.get(0).map(PieceId))?;
    finished.collect()
}

fn known_piece(
    connection: &Connection,
    level: LevelId,
    id: PieceId,
) -> rusqlite::Result<Option<KnownPiece>> {
    let mut piece = connection.prepare_cached(
        "SELECT room, wall, part, parts, moulding, length FROM piece WHERE level = ?1 AND id = ?2",
    )?;
    let piece = piece.query_row(params![level.0, id.0], |row| {
        Ok(KnownPiece {
            id,
            room: row.get(0)?,
            wall: row.get(1)?,
            part: row.get(2)?,
            parts: row.get(3)?,
            moulding: row.get(4)?,
            length: Length::from_units(row.get(5)?),
        })
    });
    piece.optional()
}
