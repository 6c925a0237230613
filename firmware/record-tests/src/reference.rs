//! A second way to the place, for the model test: everything said of a piece lies on a pile, and a take-back lifts the
//! top. Slow, short, and written without looking at the first.

use std::collections::HashMap;

use shared_model::{PieceId, PieceState, Reason, TakeBack, What};

#[derive(Debug, Clone, Copy, PartialEq)]
enum Said {
    Done { list: u32 },
    Aside,
    Again(Reason),
}

/// The list in use and everything that was confirmed.
#[derive(Debug, Clone)]
pub struct Reference {
    pub digest: u32,
    pub pieces: Vec<(PieceId, u16)>,
    pub log: Vec<What>,
}

/// How everything stands.
#[derive(Debug, PartialEq)]
pub struct Standing {
    pub states: Vec<PieceState>,
    pub current: Option<u16>,
    pub take_back: Option<TakeBack>,
    pub last_done: Option<u16>,
    pub not_in_list: u16,
}

impl Reference {
    pub fn standing(&self) -> Standing {
        let mut piles: HashMap<PieceId, Vec<Said>> = HashMap::new();
        let mut said: HashMap<PieceId, usize> = HashMap::new();
        let mut bad: HashMap<u16, usize> = HashMap::new();
        for (time, what) in self.log.iter().enumerate() {
            let (piece, what) = match *what {
                What::Done { piece, list } => (piece, Said::Done { list }),
                What::SetAside { piece } => (piece, Said::Aside),
                What::CutAgain { piece, reason } => (piece, Said::Again(reason)),
                What::TakenBack { piece } => {
                    piles.entry(piece).or_default().pop();
                    said.remove(&piece);
                    continue;
                }
                What::BadStick { list, stick } => {
                    bad.extend((list == self.digest).then_some((stick, time)));
                    continue;
                }
                What::StickKept { list, stick } => {
                    bad.retain(|known, _| (list, stick) != (self.digest, *known));
                    continue;
                }
            };
            piles.entry(piece).or_default().push(what);
            said.insert(piece, time);
        }
        let top = |id: &PieceId| piles.get(id).and_then(|pile| pile.last()).copied();
        // a list that was made after the call for another cut, of what another one has cut, has a stick for it
        let cut_by_this = |id: &PieceId| {
            let cuts = piles[id].iter().rev();
            let mut cuts = cuts.filter(|said| matches!(said, Said::Done { .. }));
            cuts.next() == Some(&Said::Done { list: self.digest })
        };
        let again = |id: &PieceId| {
            let said = piles.get(id).into_iter().flatten().rev();
            let mut said = said.filter(|said| **said != Said::Aside);
            match said.next() {
                Some(Said::Again(reason)) => Some(*reason),
                _ => None,
            }
        };
        let state = |(id, stick): &(PieceId, u16)| match (top(id), again(id)) {
            (Some(Said::Done { .. }), _) => PieceState::Done,
            (_, Some(reason)) if cut_by_this(id) => PieceState::Again(reason),
            _ if bad.contains_key(stick) => PieceState::NoStick,
            (Some(Said::Aside), _) => PieceState::Aside,
            (Some(Said::Again(_)) | None, _) => PieceState::Waiting,
        };
        let states: Vec<PieceState> = self.pieces.iter().map(state).collect();
        let rank = |state: &PieceState| match state {
            PieceState::Waiting => Some(0),
            PieceState::Aside => Some(1),
            PieceState::Again(_) => Some(2),
            PieceState::Done | PieceState::NoStick => None,
        };
        let ranked = (0u16..).zip(&states);
        let ranked = ranked.filter_map(|(index, state)| Some((rank(state)?, index)));
        let times = (0u16..).zip(&self.pieces);
        let times: Vec<(usize, u16)> = times
            .filter_map(|(index, (id, _))| Some((*said.get(id)?, index)))
            .collect();
        let done = |index: u16| states[usize::from(index)] == PieceState::Done;
        let pieces = times.iter().map(|&(time, i)| (time, TakeBack::Piece(i)));
        let sticks = bad.iter().map(|(&s, &time)| (time, TakeBack::Stick(s)));
        let listed = |id: &PieceId| self.pieces.iter().any(|(listed, _)| listed == id);
        let strange = piles.keys().filter(|id| !listed(id));
        Standing {
            current: ranked.min().map(|(_, index)| index),
            take_back: pieces.chain(sticks).max_by_key(|(t, _)| *t).map(|(_, b)| b),
            last_done: times.iter().filter(|(_, i)| done(*i)).max().map(|x| x.1),
            not_in_list: strange
                .filter(|id| matches!(top(id), Some(Said::Done { .. })))
                .count() as u16,
            states,
        }
    }
}
