//! What was said of a level at all its stations, in order, and how the level stands by it. The fold is the place's, the
//! same as at the saw.

use std::collections::VecDeque;

use planner::saw_list::SawSheet;
use rusqlite::{Connection, OptionalExtension, params};
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
    /// The pieces that are cut and no longer in the list.
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
        self.look(|connection| events(connection, level))
    }

    /// How a level stands by this list, one of its own.
    ///
    /// # Errors
    /// What is the matter with the record, or [`RecordError::ListTooLong`].
    pub fn standing(&self, level: LevelId, list: &SawSheet) -> Result<Standing, RecordError> {
        let mut place = Place::at_start(list).ok_or(RecordError::ListTooLong)?;
        self.look(|connection| {
            let said = events(connection, level)?;
            said.iter().for_each(|said| place.take(&said.event));
            let mut not_in_list = Vec::new();
            for id in place.cut_and_not_in_list() {
                not_in_list.extend(known_piece(connection, level, id)?);
            }
            Ok(Standing {
                place,
                not_in_list,
                first: said.first().copied(),
                last: said.last().copied(),
            })
        })
    }
}

fn events(connection: &Connection, level: LevelId) -> rusqlite::Result<Vec<Said>> {
    let mut rows = connection.prepare_cached(&format!(
        "SELECT {COLUMNS}, at, exact, station FROM event JOIN log ON log.id = event.log \
         WHERE level = ?1 ORDER BY station, log.id, sequence"
    ))?;
    let rows = rows.query_map([level.0], |row| {
        let said = Said {
            event: row::read(row)?,
            at: Moment(row.get(8)?),
            exact: row.get(9)?,
        };
        Ok((row.get::<_, String>(10)?, said))
    })?;
    let mut stations: Vec<(String, VecDeque<Said>)> = Vec::new();
    for row in rows {
        let (station, said) = row?;
        match stations.last_mut() {
            Some((same, all)) if *same == station => all.push_back(said),
            _ => stations.push((station, VecDeque::from([said]))),
        }
    }
    Ok(together(stations.into_iter().map(|(_, all)| all).collect()))
}

/// The earliest of what each station says next, over and over.
fn together(mut stations: Vec<VecDeque<Said>>) -> Vec<Said> {
    let count = stations.iter().map(VecDeque::len).sum();
    let mut all = Vec::with_capacity(count);
    while let Some(next) = stations
        .iter_mut()
        .filter(|station| !station.is_empty())
        .min_by_key(|station| station.front().map(|said| said.at))
    {
        all.extend(next.pop_front());
    }
    all
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
