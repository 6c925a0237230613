//! A list on its way from the host: its head is gathered, its pieces are checked, summed and put into the record one by
//! one, so that nothing holds the whole of it. When it is committed is left to the link.

use heapless::Vec;
use shared_model::messages::{Answer, Begin, Known, Refusal};
use shared_model::{
    ListDigest, ListHead, MAX_MOULDINGS, MAX_PIECES, MAX_ROOMS, Moulding, Name, Piece,
};

use super::refusal;
use crate::record::{ListCheck, Record, RecordError};
use crate::runner::{Load, Outcome, Runner};

/// A load under way.
pub struct Loading {
    begin: Begin,
    head: ListHead,
    /// From when the head is whole and the record has begun the list.
    pieces: Option<Pieces>,
}

struct Pieces {
    load: Load,
    check: ListCheck,
    digest: ListDigest,
}

impl Loading {
    /// The load that was announced so.
    pub fn of<R: Record>(begin: Begin, runner: &Runner<R>) -> Result<Loading, Refusal> {
        let (rooms, mouldings) = (MAX_ROOMS as u16, MAX_MOULDINGS as u16);
        if begin.rooms > rooms || begin.mouldings > mouldings {
            return Err(Refusal::TooManyNames { rooms, mouldings });
        }
        let most = MAX_PIECES as u16;
        if begin.pieces > most {
            return Err(Refusal::TooManyPieces { most });
        }
        let (made_with, stored) = (begin.made_with.sequence, runner.record().last_sequence());
        if made_with < stored {
            let behind = RecordError::ListBehind { made_with, stored };
            return Err(refusal(behind, runner.record()));
        }
        let head = ListHead {
            level: begin.level.clone(),
            digest: begin.digest,
            pieces: begin.pieces,
            sticks: begin.sticks,
            mark: begin.mark,
            stock: begin.stock,
            mouldings: Vec::new(),
            rooms: Vec::new(),
        };
        Ok(Loading {
            begin,
            head,
            pieces: None,
        })
    }

    /// Whether this is the load that is announced here.
    pub fn is(&self, begin: &Begin) -> bool {
        self.begin == *begin
    }

    /// Its number.
    pub fn load(&self) -> u32 {
        self.begin.load
    }

    /// The last event with which the list was made.
    pub fn made_with(&self) -> Known {
        self.begin.made_with
    }

    /// The digest that was announced.
    pub fn announced(&self) -> u32 {
        self.begin.digest
    }

    /// The digest of what has come; none before the head is whole.
    pub fn digest(&self) -> Option<u32> {
        Some(self.pieces.as_ref()?.digest.value())
    }

    /// How much has come, for the host.
    pub fn so_far(&self) -> Answer {
        Answer::Loading {
            load: self.begin.load,
            mouldings: self.head.mouldings.len() as u16,
            rooms: self.head.rooms.len() as u16,
            pieces: self.pieces(),
        }
    }

    /// Whether nothing is missing.
    pub fn is_whole(&self) -> bool {
        self.pieces.is_some() && self.pieces() == self.begin.pieces
    }

    fn pieces(&self) -> u16 {
        self.pieces
            .as_ref()
            .map_or(0, |pieces| pieces.check.pieces())
    }

    /// Puts the list in use.
    pub fn commit<R: Record>(&self, runner: &mut Runner<R>) -> Result<Outcome, RecordError> {
        let pieces = self.pieces.as_ref().ok_or(RecordError::PiecesMissing)?;
        runner.commit_load(pieces.load, self.begin.made_with.sequence)
    }

    /// Takes what of these mouldings has not come yet.
    pub fn take_mouldings(&mut self, offset: u16, mouldings: &[Moulding]) {
        gather(
            &mut self.head.mouldings,
            self.begin.mouldings,
            offset,
            mouldings,
        );
    }

    /// Takes what of these rooms has not come yet.
    pub fn take_rooms(&mut self, offset: u16, rooms: &[Name]) {
        gather(&mut self.head.rooms, self.begin.rooms, offset, rooms);
    }

    /// Begins the list in the record once its head is whole.
    pub fn begin_if_whole<R: Record>(&mut self, runner: &mut Runner<R>) -> Result<(), Refusal> {
        let whole = self.head.mouldings.len() == usize::from(self.begin.mouldings)
            && self.head.rooms.len() == usize::from(self.begin.rooms);
        if !whole || self.pieces.is_some() {
            return Ok(());
        }
        let check = ListCheck::of_head(&self.head);
        let check = check.map_err(|error| refusal(error, runner.record()))?;
        let begun = runner.begin_load(&self.head, self.begin.made_with.sequence);
        let load = begun.map_err(|error| refusal(error, runner.record()))?;
        let digest = ListDigest::of_head(&self.head);
        self.pieces = Some(Pieces {
            load,
            check,
            digest,
        });
        Ok(())
    }

    /// Checks and stores what of these pieces has not come yet.
    pub fn take_pieces<R: Record>(
        &mut self,
        offset: u16,
        pieces: &[Piece],
        runner: &mut Runner<R>,
    ) -> Result<(), Refusal> {
        let Some(come) = &mut self.pieces else {
            return Ok(());
        };
        for piece in missing(come.check.pieces(), self.begin.pieces, offset, pieces) {
            let checked = come.check.put(piece);
            let put = checked.and_then(|()| runner.put_piece(come.load, piece));
            put.map_err(|error| refusal(error, runner.record()))?;
            come.digest.put(piece);
        }
        Ok(())
    }
}

/// The items that come next after those that have come, where these begin at `offset`; none where that leaves a gap.
fn missing<T>(come: u16, announced: u16, offset: u16, items: &[T]) -> &[T] {
    let wanted = usize::from(announced.saturating_sub(come));
    let known = come.checked_sub(offset).map(usize::from);
    let new = known
        .and_then(|known| items.get(known..))
        .unwrap_or_default();
    new.get(..wanted).unwrap_or(new)
}

fn gather<T: Clone, const N: usize>(
    come: &mut Vec<T, N>,
    announced: u16,
    offset: u16,
    items: &[T],
) {
    let new = missing(come.len() as u16, announced, offset, items);
    // what was announced fits, or the load was refused
    let _ = come.extend_from_slice(new);
}
