//! Levels, the lists that were made of them, and their pieces. Which list a station was given is left to `stations`.

use planner::saw_list::SawSheet;
use rusqlite::{Connection, OptionalExtension, Transaction, params};
use shared_model::messages::LINK_VERSION;
use shared_model::{End, Piece, PieceId, SawList};

use crate::moment::Moment;
use crate::record::{JobRecord, RecordError};

/// A level in this record.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct LevelId(pub(crate) i64);

/// A list that was made of a level.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct RevisionId(pub(crate) i64);

/// What a level is known by.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LevelName<'a> {
    /// The name that stands in its file.
    OfFile(&'a str),
    /// The level that the program brings along, which is another one than any file's of that name.
    OfDemo(&'a str),
}

impl<'a> LevelName<'a> {
    fn text(self) -> &'a str {
        match self {
            LevelName::OfFile(name) | LevelName::OfDemo(name) => name,
        }
    }

    fn is_demo(self) -> bool {
        matches!(self, LevelName::OfDemo(_))
    }
}

/// Where a list comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Source<'a> {
    /// The file's name as it was given.
    pub file: &'a str,
    /// What stood in it.
    pub text: &'a str,
}

/// A list as it is made.
#[derive(Debug, Clone, Copy)]
pub struct Making<'a> {
    /// Where it comes from.
    pub source: Source<'a>,
    /// The list.
    pub list: &'a SawSheet,
    /// The pieces that it leaves out because they are cut.
    pub finished: &'a [PieceId],
}

impl JobRecord {
    /// Keeps a list and the pieces of it, under its level. A list that is kept already stays as it is.
    ///
    /// # Errors
    /// What is the matter with the record.
    pub fn keep(
        &mut self,
        level: LevelName<'_>,
        making: Making<'_>,
        at: Moment,
    ) -> Result<RevisionId, RecordError> {
        let Making {
            source,
            list,
            finished,
        } = making;
        self.change(|transaction| {
            let level = match level_in_use(transaction, level)? {
                Some(level) => level,
                None => new_level(transaction, level, at)?,
            };
            let known = "SELECT id FROM revision WHERE level = ?1 AND digest = ?2";
            let known = transaction
                .query_row(known, params![level, list.head.digest], |row| row.get(0))
                .optional()?;
            if let Some(known) = known {
                return Ok(RevisionId(known));
            }
            transaction.execute(
                "INSERT INTO revision (level, digest, file, text, list, link_version, kept) \
                 VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)",
                params![
                    level,
                    list.head.digest,
                    source.file,
                    source.text,
                    list.bytes(),
                    LINK_VERSION,
                    at.0
                ],
            )?;
            let revision = transaction.last_insert_rowid();
            for piece in &list.pieces {
                keep_piece(transaction, level, list, piece, at)?;
            }
            for piece in finished {
                let finished = "INSERT INTO finished (revision, piece) VALUES (?1, ?2)";
                transaction.execute(finished, params![revision, piece.0])?;
            }
            Ok(RevisionId(revision))
        })
    }

    /// Begins a level anew, as for the next house of the same plan: what was kept of it stays in the record and counts
    /// for it no more.
    ///
    /// # Errors
    /// What is the matter with the record.
    pub fn put_away(&mut self, level: LevelName<'_>, at: Moment) -> Result<(), RecordError> {
        self.change(|transaction| {
            if let Some(level) = level_in_use(transaction, level)? {
                let put_away = "UPDATE level SET put_away = ?2 WHERE id = ?1";
                transaction.execute(put_away, params![level, at.0])?;
            }
            Ok(())
        })
    }

    /// The level of this name that is in use; none where the record holds none.
    ///
    /// # Errors
    /// What is the matter with the record.
    pub fn level(&self, level: LevelName<'_>) -> Result<Option<LevelId>, RecordError> {
        self.look(|connection| Ok(level_in_use(connection, level)?.map(LevelId)))
    }

    /// The names of the levels in use, the last begun first; the demo's is not among them.
    ///
    /// # Errors
    /// What is the matter with the record.
    pub fn level_names(&self) -> Result<Vec<String>, RecordError> {
        self.look(|connection| {
            let names =
                "SELECT name FROM level WHERE put_away IS NULL AND demo = 0 ORDER BY id DESC";
            let mut names = connection.prepare_cached(names)?;
            names.query_map([], |row| row.get(0))?.collect()
        })
    }

    /// The level that a list was made of and the list itself.
    ///
    /// # Errors
    /// What is the matter with the record, or [`RecordError::ListOfOtherVersion`].
    pub fn revision(&self, revision: RevisionId) -> Result<(LevelId, SawSheet), RecordError> {
        let (level, version, bytes) = self.look(|connection| {
            let wanted = "SELECT level, link_version, list FROM revision WHERE id = ?1";
            connection.query_row(wanted, [revision.0], |row| {
                Ok((
                    LevelId(row.get(0)?),
                    row.get::<_, u16>(1)?,
                    row.get::<_, Vec<u8>>(2)?,
                ))
            })
        })?;
        if version != LINK_VERSION {
            return Err(RecordError::ListOfOtherVersion);
        }
        let list = SawSheet::of_bytes(&bytes);
        let list = list.ok_or_else(|| self.damaged("a list is not the one that was kept"))?;
        Ok((level, list))
    }

    /// The list of a level that was last given to a station, or else last kept; none where there is none.
    ///
    /// # Errors
    /// What is the matter with the record.
    pub fn last_revision(&self, level: LevelId) -> Result<Option<RevisionId>, RecordError> {
        self.look(|connection| {
            let last = "SELECT revision.id FROM revision LEFT JOIN loading ON loading.revision = revision.id \
                 WHERE level = ?1 ORDER BY loading.id DESC NULLS LAST, revision.id DESC LIMIT 1";
            let last = connection.query_row(last, [level.0], |row| row.get(0).map(RevisionId));
            last.optional()
        })
    }

    /// The file from which a list was made: its name, and what stood in it.
    ///
    /// # Errors
    /// What is the matter with the record.
    pub fn source(&self, revision: RevisionId) -> Result<(String, String), RecordError> {
        self.look(|connection| {
            let source = "SELECT file, text FROM revision WHERE id = ?1";
            connection.query_row(source, [revision.0], |row| Ok((row.get(0)?, row.get(1)?)))
        })
    }
}

fn level_in_use(connection: &Connection, level: LevelName<'_>) -> rusqlite::Result<Option<i64>> {
    let wanted = "SELECT id FROM level WHERE name = ?1 AND demo = ?2 AND put_away IS NULL";
    connection
        .query_row(wanted, params![level.text(), level.is_demo()], |row| {
            row.get(0)
        })
        .optional()
}

fn new_level(
    transaction: &Transaction<'_>,
    level: LevelName<'_>,
    at: Moment,
) -> rusqlite::Result<i64> {
    transaction.execute(
        "INSERT INTO level (name, demo, begun) VALUES (?1, ?2, ?3)",
        params![level.text(), level.is_demo(), at.0],
    )?;
    Ok(transaction.last_insert_rowid())
}

/// A piece that is known already stays as it was first seen.
fn keep_piece(
    transaction: &Transaction<'_>,
    level: i64,
    list: &SawSheet,
    piece: &Piece,
    at: Moment,
) -> rusqlite::Result<()> {
    let head = list.head();
    let room = head.rooms.get(usize::from(piece.room));
    let moulding = head.mouldings.get(usize::from(piece.moulding));
    let mut put = transaction.prepare_cached(
        "INSERT INTO piece (level, id, room, wall, part, parts, moulding, length, left_end, right_end, first_seen) \
         VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11) ON CONFLICT DO NOTHING",
    )?;
    put.execute(params![
        level,
        piece.id.0,
        room.map_or("", |room| room.as_str()),
        piece.wall,
        piece.part,
        piece.parts,
        moulding.map_or("", |moulding| moulding.name.as_str()),
        piece.length.units(),
        end_words(piece.left.end),
        end_words(piece.right.end),
        at.0
    ])?;
    Ok(())
}

/// Such as `cope 92`, `scarf over 45` or `square`.
fn end_words(end: End) -> String {
    match end {
        End::Square | End::Return => end.joint().word().to_owned(),
        End::Butt { gauge }
        | End::Cope { gauge }
        | End::InsideMiter { gauge }
        | End::OutsideMiter { gauge } => format!("{} {gauge}", end.joint()),
        End::ScarfOver { bevel } => format!("{} over {bevel}", end.joint()),
        End::ScarfUnder { bevel } => format!("{} under {bevel}", end.joint()),
    }
}
