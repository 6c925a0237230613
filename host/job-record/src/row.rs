//! An event as the columns of a row, and back. Where rows are put is left to `taking`.

use rusqlite::types::Type;
use rusqlite::{Error, Row};
use shared_model::{Event, PieceId, Reason, What};

/// The columns of an event, in the order of [`Columns`] and of [`read`].
pub const COLUMNS: &str = "sequence, boot, milliseconds, kind, piece, list, stick, reason";

/// An event's columns behind its sequence, boot and milliseconds.
pub struct Columns {
    pub kind: &'static str,
    pub piece: Option<u32>,
    pub list: Option<u32>,
    pub stick: Option<u16>,
    pub reason: Option<&'static str>,
}

const DONE: &str = "done";
const TAKEN_BACK: &str = "taken back";
const SET_ASIDE: &str = "set aside";
const CUT_AGAIN: &str = "cut again";
const BAD_STICK: &str = "bad stick";
const STICK_KEPT: &str = "stick kept";

impl Columns {
    /// What was said, as columns.
    pub fn of(what: What) -> Columns {
        let nothing = |kind| Columns {
            kind,
            piece: None,
            list: None,
            stick: None,
            reason: None,
        };
        let of_piece = |kind, piece: PieceId| Columns {
            piece: Some(piece.0),
            ..nothing(kind)
        };
        let of_stick = |kind, list, stick| Columns {
            list: Some(list),
            stick: Some(stick),
            ..nothing(kind)
        };
        match what {
            What::Done { piece, list } => Columns {
                list: Some(list),
                ..of_piece(DONE, piece)
            },
            What::TakenBack { piece } => of_piece(TAKEN_BACK, piece),
            What::SetAside { piece } => of_piece(SET_ASIDE, piece),
            What::CutAgain { piece, reason } => Columns {
                reason: Some(reason.words()),
                ..of_piece(CUT_AGAIN, piece)
            },
            What::BadStick { list, stick } => of_stick(BAD_STICK, list, stick),
            What::StickKept { list, stick } => of_stick(STICK_KEPT, list, stick),
        }
    }
}

/// The event of a row that begins with [`COLUMNS`].
///
/// # Errors
/// SQLite's, also where the row holds no event.
pub fn read(row: &Row<'_>) -> rusqlite::Result<Event> {
    let kind: String = row.get(3)?;
    let piece = || row.get(4).map(PieceId);
    let list = || row.get(5);
    let stick = || row.get(6);
    let what = match kind.as_str() {
        DONE => What::Done {
            piece: piece()?,
            list: list()?,
        },
        TAKEN_BACK => What::TakenBack { piece: piece()? },
        SET_ASIDE => What::SetAside { piece: piece()? },
        CUT_AGAIN => What::CutAgain {
            piece: piece()?,
            reason: reason(&row.get::<_, String>(7)?)?,
        },
        BAD_STICK => What::BadStick {
            list: list()?,
            stick: stick()?,
        },
        STICK_KEPT => What::StickKept {
            list: list()?,
            stick: stick()?,
        },
        other => return Err(unknown(3, other)),
    };
    Ok(Event {
        sequence: row.get(0)?,
        boot: row.get(1)?,
        milliseconds: row.get(2)?,
        what,
    })
}

fn reason(words: &str) -> rusqlite::Result<Reason> {
    let known = Reason::ALL.into_iter();
    let mut known = known.filter(|reason| reason.words() == words);
    known.next().ok_or_else(|| unknown(7, words))
}

fn unknown(column: usize, word: &str) -> Error {
    let what = format!("an event that is called \"{word}\"");
    Error::FromSqlConversionFailure(column, Type::Text, what.into())
}
