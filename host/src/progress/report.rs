//! How a level stands, as it is printed and as other programs read it. What counts as cut is the place's.

use super::new_plan::NewPlan;
use job_record::{KnownPiece, Moment, Said, Standing};
use planner::saw_list::SawSheet;
use schemars::JsonSchema;
use serde::Serialize;
use shared_model::{DigestText, Length, Piece, PieceState, Progress};

/// How far a level is.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(title = "Progress of a level of baserun")]
pub struct Report {
    /// The version of this form: 1.
    #[schemars(extend("const" = 1))]
    pub progress: u32,
    /// The level's name.
    pub level: String,
    /// The saw list's digest, as the station shows it.
    pub digest: String,
    /// How all pieces stand.
    #[serde(flatten)]
    pub all: Counts,
    /// Pieces that are cut and no longer in the list.
    pub not_in_list: Vec<PieceName>,
    /// When the first thing was said at the saw; null where nothing was.
    pub first: Option<When>,
    /// When the last thing was said.
    pub last: Option<When>,
    /// Room by room, in the order in which the list first comes to them.
    pub rooms: Vec<RoomReport>,
    /// The piece to be cut next; null where nothing is left that has a stick.
    pub next: Option<PieceName>,
    /// Pieces that were set aside.
    pub set_aside: Vec<PieceName>,
    /// Pieces to be cut again.
    pub cut_again: Vec<AgainReport>,
    /// Sticks that were called bad.
    pub bad_sticks: Vec<BadStick>,
    /// What is offered where pieces wait for a new plan; null where none do.
    pub new_plan: Option<NewPlan>,
}

/// How pieces stand.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, JsonSchema)]
pub struct Counts {
    /// Pieces in the list, and those that it left out because they were cut.
    pub pieces: u16,
    /// Pieces of these that are cut.
    pub done: u16,
    /// Pieces not cut yet, all of them: also those set aside, to be cut again or without a stick.
    pub left: u16,
    /// Pieces set aside.
    pub aside: u16,
    /// Pieces to be cut again.
    pub again: u16,
    /// Pieces whose stick is bad: they wait for a new plan.
    pub no_stick: u16,
}

/// How a room stands.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(rename = "Room")]
pub struct RoomReport {
    /// The room's name.
    pub room: String,
    /// How its pieces stand.
    #[serde(flatten)]
    pub counts: Counts,
}

/// A piece by its names.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(rename = "Piece")]
pub struct PieceName {
    /// Eight hex digits; the same for as long as the piece is the same.
    pub id: String,
    /// Its place in the order of cutting, from 1; null where it is not in the list.
    pub order: Option<u16>,
    /// The room's name.
    pub room: String,
    /// The wall's number, from 1; null where the list names none.
    pub wall: Option<u8>,
    /// Which part of the wall, from 1, in walking order.
    pub part: u8,
    /// How many parts the wall has.
    pub parts: u8,
    /// The moulding's name.
    pub moulding: String,
    /// Along the back.
    #[serde(skip)]
    pub length: Length,
    /// The number of its stick; null where it is not in the list.
    pub stick: Option<u16>,
}

/// A piece to be cut again.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(rename = "CutAgain")]
pub struct AgainReport {
    /// The piece.
    #[serde(flatten)]
    pub piece: PieceName,
    /// Why, in a few words.
    pub reason: &'static str,
}

/// A stick that was called bad.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
pub struct BadStick {
    /// Its number.
    pub stick: u16,
    /// So many of its pieces wait for a new plan.
    pub pieces: u16,
}

/// A moment at the saw.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
pub struct When {
    /// Milliseconds since 1970-01-01 00:00 UTC.
    pub milliseconds: i64,
    /// It was then; else at some time before.
    pub exact: bool,
}

impl Report {
    /// How a level stands by its list.
    pub fn of(list: &SawSheet, standing: &Standing) -> Report {
        let place = &standing.place;
        let all = (0..).zip(&list.pieces);
        let stands = all.filter_map(|(index, piece)| {
            let name = PieceName::of(list, index, piece);
            Some((name, place.state(index)?))
        });
        let stands: Vec<(PieceName, PieceState)> = stands.collect();
        let mut rooms: Vec<RoomReport> = Vec::new();
        let mut bad_sticks: Vec<BadStick> = Vec::new();
        for (name, state) in &stands {
            let same = |room: &&mut RoomReport| room.room == name.room;
            match rooms.iter_mut().find(same) {
                Some(room) => room.counts.add(*state),
                None => {
                    let mut counts = Counts::default();
                    counts.add(*state);
                    let room = name.room.clone();
                    rooms.push(RoomReport { room, counts });
                }
            }
            if let (PieceState::NoStick, Some(stick)) = (state, name.stick) {
                match bad_sticks.iter_mut().find(|bad| bad.stick == stick) {
                    Some(bad) => bad.pieces += 1,
                    None => bad_sticks.push(BadStick { stick, pieces: 1 }),
                }
            }
        }
        let mut all = Counts::of(place.progress());
        for (piece, cut) in &standing.before {
            let same = |room: &&mut RoomReport| room.room == piece.room;
            if rooms.iter_mut().find(same).is_none() {
                rooms.push(RoomReport {
                    room: piece.room.clone(),
                    counts: Counts::default(),
                });
            }
            let state = match cut {
                true => PieceState::Done,
                // another station has called for it to be cut again
                false => PieceState::Waiting,
            };
            all.add(state);
            let room = rooms.iter_mut().find(same);
            room.into_iter().for_each(|room| room.counts.add(state));
        }
        let of_state = |wanted: fn(PieceState) -> bool| {
            let stands = stands.iter().filter(move |(_, state)| wanted(*state));
            stands.map(|(name, _)| name.clone())
        };
        let again = stands.iter().filter_map(|(name, state)| match state {
            PieceState::Again(reason) => Some(AgainReport {
                piece: name.clone(),
                reason: reason.words(),
            }),
            _ => None,
        });
        let next = place.current().map(usize::from);
        Report {
            progress: 1,
            level: list.head.level.to_string(),
            digest: DigestText(list.head.digest).to_string(),
            all,
            not_in_list: standing.not_in_list.iter().map(PieceName::known).collect(),
            first: standing.first.as_ref().map(When::of),
            last: standing.last.as_ref().map(When::of),
            next: next.and_then(|at| stands.get(at).map(|(name, _)| name.clone())),
            set_aside: of_state(|state| state == PieceState::Aside).collect(),
            cut_again: again.collect(),
            rooms,
            bad_sticks,
            new_plan: None,
        }
    }

    /// Whether pieces are left that the list cannot give as it planned: without a stick, to be cut again, or set aside while
    /// others were cut from their stick.
    pub fn waits(&self) -> bool {
        let Counts {
            left,
            aside,
            again,
            no_stick,
            ..
        } = self.all;
        no_stick > 0 || again > 0 || aside > 0 || (left > 0 && self.next.is_none())
    }
}

impl Counts {
    fn of(progress: Progress) -> Counts {
        Counts {
            pieces: progress.pieces,
            done: progress.done,
            left: progress.pieces - progress.done,
            aside: progress.aside,
            again: progress.again,
            no_stick: progress.no_stick,
        }
    }

    fn add(&mut self, state: PieceState) {
        self.pieces += 1;
        match state {
            PieceState::Done => self.done += 1,
            PieceState::Waiting => {}
            PieceState::Aside => self.aside += 1,
            PieceState::Again(_) => self.again += 1,
            PieceState::NoStick => self.no_stick += 1,
        }
        self.left = self.pieces - self.done;
    }
}

impl PieceName {
    fn of(list: &SawSheet, index: u16, piece: &Piece) -> PieceName {
        let room = list.head.rooms.get(usize::from(piece.room));
        let moulding = list.head.mouldings.get(usize::from(piece.moulding));
        PieceName {
            id: piece.id.to_string(),
            order: Some(index + 1),
            room: room.map_or_else(String::new, ToString::to_string),
            wall: Some(piece.wall).filter(|wall| *wall > 0),
            part: piece.part,
            parts: piece.parts,
            moulding: moulding.map_or_else(String::new, |moulding| moulding.name.to_string()),
            length: match (moulding, piece.small()) {
                // a wedge has nothing on its back
                (Some(moulding), Some(_)) => piece.figure(moulding).length,
                _ => piece.length,
            },
            stick: Some(piece.stick),
        }
    }

    fn known(piece: &KnownPiece) -> PieceName {
        PieceName {
            id: piece.id.to_string(),
            order: None,
            room: piece.room.clone(),
            wall: Some(piece.wall).filter(|wall| *wall > 0),
            part: piece.part,
            parts: piece.parts,
            moulding: piece.moulding.clone(),
            length: piece.length,
            stick: None,
        }
    }
}

impl When {
    fn of(said: &Said) -> When {
        let Moment(milliseconds) = said.at;
        When {
            milliseconds,
            exact: said.exact,
        }
    }
}
