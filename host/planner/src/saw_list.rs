//! From a plan to the saw list that a station is given: names shared, pieces in cutting order, a short digest. Sending and
//! storing it are left to the host.

mod bytes;

use std::fmt;

use shared_model::{
    ListDigest, ListHead, MAX_MOULDINGS, MAX_PIECES, MAX_ROOMS, Mark, Moulding, Name, Piece,
    SawList, Stock,
};

use crate::plan::{Plan, PlannedPiece, Stick};
use crate::walk::{MouldingStock, Saw};

/// A saw list in memory.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SawSheet {
    /// What is said once.
    pub head: ListHead,
    /// The pieces, in cutting order.
    pub pieces: Vec<Piece>,
}

/// Why a plan does not fit a station; nothing of it is sent.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum ListTooLarge {
    /// more pieces than a station holds
    Pieces(usize),
    /// more rooms than a station holds
    Rooms(usize),
    /// more mouldings than a station holds
    Mouldings(usize),
    /// a name that is too long to be written on the back of a piece
    Name(String),
    /// a wall's number that no room should reach
    Wall(u32),
}

impl fmt::Display for ListTooLarge {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            ListTooLarge::Pieces(count) => write!(
                f,
                "the list has {count} pieces and a station holds {MAX_PIECES}: cut the level in two lists."
            ),
            ListTooLarge::Rooms(count) => write!(
                f,
                "the list has {count} rooms and a station holds {MAX_ROOMS}: cut the level in two lists."
            ),
            ListTooLarge::Mouldings(count) => write!(
                f,
                "the list has {count} mouldings and a station holds {MAX_MOULDINGS}: make a list for each few of them."
            ),
            ListTooLarge::Name(name) => write!(
                f,
                "the name \"{name}\" is too long: a station holds 40 letters, and fewer where they are not plain ones."
            ),
            ListTooLarge::Wall(number) => write!(
                f,
                "a room has wall {number} and a station counts to 255: part the room in two."
            ),
        }
    }
}

impl std::error::Error for ListTooLarge {}

impl SawSheet {
    /// The saw list of a plan: every piece that has a stick, in cutting order.
    ///
    /// # Errors
    /// [`ListTooLarge`], with what would fit.
    pub fn of(plan: &Plan) -> Result<SawSheet, ListTooLarge> {
        let mut cut: Vec<&PlannedPiece> = plan.pieces.iter().filter(|p| p.cut.is_some()).collect();
        cut.sort_by_key(|piece| piece.cut.map(|cut| cut.order));
        let mut head = list_head(&plan.level, plan.mark, &plan.saw, &plan.mouldings, &cut)?;
        head.sticks = plan.sticks.len() as u16;
        let listed = |piece: &&PlannedPiece| listed(piece, &head.rooms, &plan.sticks);
        let pieces: Vec<Piece> = cut.iter().filter_map(listed).collect::<Result<_, _>>()?;
        let mut digest = ListDigest::of_head(&head);
        pieces.iter().for_each(|piece| digest.put(piece));
        head.digest = digest.value();
        Ok(SawSheet { head, pieces })
    }
}

impl SawList for SawSheet {
    fn head(&self) -> &ListHead {
        &self.head
    }

    fn piece(&self, index: u16) -> Option<Piece> {
        self.pieces.get(usize::from(index)).copied()
    }
}

fn name(text: &str) -> Result<Name, ListTooLarge> {
    Name::try_from(text).map_err(|_| ListTooLarge::Name(text.to_owned()))
}

/// What is said once of a list of these pieces, its sticks not counted and its digest not made.
///
/// # Errors
/// [`ListTooLarge`]: no station takes such a list.
pub(crate) fn list_head(
    level: &str,
    mark: Mark,
    saw: &Saw,
    mouldings: &[MouldingStock],
    pieces: &[&PlannedPiece],
) -> Result<ListHead, ListTooLarge> {
    if pieces.len() > MAX_PIECES {
        return Err(ListTooLarge::Pieces(pieces.len()));
    }
    let mut rooms: Vec<&str> = Vec::new();
    for piece in pieces {
        numbers(piece)?;
        if !rooms.contains(&piece.room.as_str()) {
            rooms.push(&piece.room);
        }
    }
    let mouldings = mouldings.iter().map(|moulding| {
        Ok(Moulding {
            name: name(&moulding.name)?,
            height: moulding.height,
            thickness: moulding.thickness,
            profile: moulding.profile,
        })
    });
    let mouldings: Vec<Moulding> = mouldings.collect::<Result<_, _>>()?;
    let rooms = rooms.into_iter().map(name);
    let rooms: Vec<Name> = rooms.collect::<Result<_, _>>()?;
    Ok(ListHead {
        level: name(level)?,
        digest: 0,
        pieces: pieces.len() as u16,
        sticks: 0,
        mark,
        stock: Stock {
            side: saw.stock_side,
            saw: saw.head(),
        },
        mouldings: heapless::Vec::from_slice(&mouldings)
            .map_err(|_| ListTooLarge::Mouldings(mouldings.len()))?,
        rooms: heapless::Vec::from_slice(&rooms).map_err(|_| ListTooLarge::Rooms(rooms.len()))?,
    })
}

/// A piece's wall, part and parts.
fn numbers(piece: &PlannedPiece) -> Result<[u8; 3], ListTooLarge> {
    let small = |number: u32| u8::try_from(number).map_err(|_| ListTooLarge::Wall(number));
    let wall = piece.wall.unwrap_or_default();
    Ok([small(wall)?, small(piece.part)?, small(piece.parts)?])
}

fn listed(
    piece: &PlannedPiece,
    rooms: &[Name],
    sticks: &[Stick],
) -> Option<Result<Piece, ListTooLarge>> {
    let place = piece.cut?;
    let stick = sticks.iter().find(|stick| stick.number == place.stick)?;
    let room = rooms.iter().position(|room| room.as_str() == piece.room);
    Some(numbers(piece).map(|[wall, part, parts]| Piece {
        id: piece.id,
        room: room.unwrap_or_default() as u8,
        wall,
        part,
        parts,
        moulding: piece.moulding as u8,
        length: piece.length,
        left: piece.left,
        right: piece.right,
        stick: place.stick as u16,
        stick_length: stick.length,
        from_offcut: stick.from_offcut,
        first: place.first,
        shared: place.shared,
        cautions: piece.cautions,
    }))
}
