//! The place in the list and every piece's state, as a fold over events: the same on both sides of the link. Storing the
//! events is left to the record, showing the place to the station.

#[cfg(test)]
mod tests;

use heapless::Vec;

use crate::{Event, MAX_PIECES, PieceId, Reason, SawList, What};

/// How a piece stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PieceState {
    /// To be cut in its turn.
    Waiting,
    /// Cut.
    Done,
    /// Left for later: it comes up when the others are done.
    Aside,
    /// To be cut again: it comes up last, from board that the plan does not name. Where the list was made since, it names
    /// the board, and the piece waits in its turn.
    Again(Reason),
    /// Its stick is bad: it waits for a new plan.
    NoStick,
}

/// What a take-back undoes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TakeBack {
    /// The last thing said of the piece at this place of the list.
    Piece(u16),
    /// This stick was called bad.
    Stick(u16),
}

/// How far the list is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Progress {
    /// Pieces cut.
    pub done: u16,
    /// Pieces set aside.
    pub aside: u16,
    /// Pieces to be cut again.
    pub again: u16,
    /// Pieces that wait for a new plan.
    pub no_stick: u16,
    /// Pieces in the list.
    pub pieces: u16,
    /// Pieces that are cut and no longer in the list.
    pub not_in_list: u16,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Entry {
    id: PieceId,
    stick: u16,
    shared: bool,
    cut: bool,
    aside: bool,
    again: Option<Reason>,
    /// It was to be cut again when this very list was made: the list has a stick for it.
    planned_again: bool,
    /// When its stick was called bad by this very list, as a count of events; 0 where it was not.
    bad_at: u32,
    /// When it was last cut by this very list, as a count of events; 0 where it was not.
    cut_at: u32,
    /// When something was last said of it that can be taken back; 0 where nothing was.
    said_at: u32,
}

/// The state of every piece of one list, and from them the place.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Place {
    digest: u32,
    entries: Vec<Entry, MAX_PIECES>,
    /// Pieces that events name and the list does not.
    strangers: Vec<Entry, MAX_PIECES>,
    clock: u32,
}

impl Place {
    /// The place in a list without pieces: where [`Place::restart`] begins. A place is large; a circuit board makes it
    /// where it stays.
    pub const fn empty() -> Place {
        Place {
            digest: 0,
            entries: Vec::new(),
            strangers: Vec::new(),
            clock: 0,
        }
    }

    /// The place at the beginning of a list, nothing cut; none where the list is longer than [`MAX_PIECES`] or a piece
    /// of it cannot be read.
    pub fn at_start(list: &impl SawList) -> Option<Place> {
        let mut place = Place::empty();
        place.restart(list).then_some(place)
    }

    /// Goes to the beginning of a list, nothing cut; whether it can be used, as in [`Place::at_start`].
    pub fn restart(&mut self, list: &impl SawList) -> bool {
        self.digest = list.head().digest;
        self.clock = 0;
        self.entries.clear();
        self.strangers.clear();
        (0..list.head().pieces).all(|index| {
            let piece = list.piece(index);
            let entry = piece.map(|piece| Entry::of(piece.id, piece.stick, piece.shared));
            entry.is_some_and(|entry| self.entries.push(entry).is_ok())
        })
    }

    /// Takes in one event, in the order of the log. Events that name no piece of the list change no state.
    pub fn take(&mut self, event: &Event) {
        self.clock += 1;
        let now = self.clock;
        let digest = self.digest;
        match event.what {
            What::Done { piece, list } => {
                if let Some(entry) = self.entry(piece) {
                    entry.cut = true;
                    entry.said_at = now;
                    entry.cut_at = if list == digest { now } else { 0 };
                }
            }
            What::TakenBack { piece } => {
                if let Some(entry) = self.entry(piece) {
                    entry.take_back();
                }
            }
            What::SetAside { piece } => {
                if let Some(entry) = self.entry(piece) {
                    entry.aside = true;
                    entry.said_at = now;
                }
            }
            What::CutAgain { piece, reason } => {
                if let Some(entry) = self.entry(piece) {
                    entry.cut = false;
                    entry.aside = false;
                    entry.again = Some(reason);
                    // what another list has cut is in this one only because it has to be cut again
                    entry.planned_again = entry.cut_at == 0;
                    entry.said_at = now;
                }
            }
            What::BadStick { list, stick } if list == digest => {
                for entry in self.entries.iter_mut().filter(|e| e.on(stick)) {
                    entry.bad_at = now;
                }
            }
            What::StickKept { list, stick } if list == digest => {
                for entry in self.entries.iter_mut().filter(|e| e.on(stick)) {
                    entry.bad_at = 0;
                }
            }
            What::BadStick { .. } | What::StickKept { .. } => {}
        }
    }

    /// The piece to be cut now, as a place of the list: the first that waits in list order, then those set aside, then
    /// those to be cut again; none when nothing is left that has a stick.
    pub fn current(&self) -> Option<u16> {
        self.queue(None)
    }

    /// The piece that comes after the one to be cut now.
    pub fn next(&self) -> Option<u16> {
        self.queue(self.current())
    }

    fn queue(&self, but: Option<u16>) -> Option<u16> {
        let first = |wanted: fn(PieceState) -> bool| {
            (0..)
                .zip(&self.entries)
                .find(|(index, entry)| Some(*index) != but && wanted(entry.state()))
                .map(|(index, _)| index)
        };
        first(|state| state == PieceState::Waiting)
            .or_else(|| first(|state| state == PieceState::Aside))
            .or_else(|| first(|state| matches!(state, PieceState::Again(_))))
    }

    /// How the piece at this place of the list stands.
    pub fn state(&self, index: u16) -> Option<PieceState> {
        self.entries.get(usize::from(index)).map(Entry::state)
    }

    /// Whether one end of this piece has been made already: the cut is shared with the piece before it on the stick, and
    /// that piece is the last that was cut from this stick, which is still good.
    pub fn already_cut(&self, index: u16) -> bool {
        let Some(before) = usize::from(index).checked_sub(1) else {
            return false;
        };
        let (Some(entry), Some(before)) = (
            self.entries.get(usize::from(index)),
            self.entries.get(before),
        ) else {
            return false;
        };
        let last = |stick| {
            let cuts = self.entries.iter().filter(|e| e.on(stick));
            cuts.map(|e| e.cut_at).max().unwrap_or(0)
        };
        entry.shared
            && !entry.cut
            && entry.not_planned().is_none()
            && entry.bad_at == 0
            && before.on(entry.stick)
            && before.cut_at > 0
            && before.cut_at == last(entry.stick)
    }

    /// What a take-back would undo now: the last thing said that is not taken back yet.
    pub fn to_take_back(&self) -> Option<TakeBack> {
        let pieces = (0..)
            .zip(&self.entries)
            .map(|(index, entry)| (entry.said_at, TakeBack::Piece(index)));
        let sticks = self.entries.iter();
        let sticks = sticks.map(|entry| (entry.bad_at, TakeBack::Stick(entry.stick)));
        pieces
            .chain(sticks)
            .filter(|(at, _)| *at > 0)
            .max_by_key(|(at, _)| *at)
            .map(|(_, what)| what)
    }

    /// The piece that was cut last and still counts as cut.
    pub fn last_done(&self) -> Option<u16> {
        (0..)
            .zip(&self.entries)
            .filter(|(_, entry)| entry.cut && entry.said_at > 0)
            .max_by_key(|(_, entry)| entry.said_at)
            .map(|(index, _)| index)
    }

    /// How many pieces a stick still has to give; none where it is bad, and those to be cut again come from elsewhere.
    pub fn waiting_on(&self, stick: u16) -> u16 {
        let to_give = |state| matches!(state, PieceState::Waiting | PieceState::Aside);
        let entries = self.entries.iter().filter(|e| e.on(stick));
        entries.filter(|e| to_give(e.state())).count() as u16
    }

    /// Whether a piece has been cut from this stick by this very list.
    pub fn stick_begun(&self, stick: u16) -> bool {
        self.entries.iter().any(|e| e.on(stick) && e.cut_at > 0)
    }

    /// The number of the stick that the piece at this place of the list comes from.
    pub fn stick(&self, index: u16) -> Option<u16> {
        self.entries
            .get(usize::from(index))
            .map(|entry| entry.stick)
    }

    /// How far the list is.
    pub fn progress(&self) -> Progress {
        let mut progress = Progress {
            pieces: self.entries.len() as u16,
            not_in_list: self.cut_and_not_in_list().count() as u16,
            ..Progress::default()
        };
        for entry in &self.entries {
            match entry.state() {
                PieceState::Waiting => {}
                PieceState::Done => progress.done += 1,
                PieceState::Aside => progress.aside += 1,
                PieceState::Again(_) => progress.again += 1,
                PieceState::NoStick => progress.no_stick += 1,
            }
        }
        progress
    }

    /// The pieces that are cut and no longer in the list.
    pub fn cut_and_not_in_list(&self) -> impl Iterator<Item = PieceId> {
        let cut = self.strangers.iter().filter(|entry| entry.cut);
        cut.map(|entry| entry.id)
    }

    /// The id of the piece at this place of the list.
    pub fn id(&self, index: u16) -> Option<PieceId> {
        self.entries.get(usize::from(index)).map(|entry| entry.id)
    }

    /// The place in the list of the piece with this id.
    pub fn index(&self, id: PieceId) -> Option<u16> {
        let at = self.entries.iter().position(|entry| entry.id == id)?;
        u16::try_from(at).ok()
    }

    /// The digest of the list.
    pub fn digest(&self) -> u32 {
        self.digest
    }

    /// The entry of a piece, a stranger's where the list does not hold it. A list's worth of strangers is all that can
    /// be counted: none for one more, which changes nothing that is shown.
    fn entry(&mut self, id: PieceId) -> Option<&mut Entry> {
        if let Some(index) = self.entries.iter().position(|entry| entry.id == id) {
            return self.entries.get_mut(index);
        }
        let known = self.strangers.iter().position(|entry| entry.id == id);
        let index = match known {
            Some(index) => index,
            None => {
                self.strangers.push(Entry::of(id, 0, false)).ok()?;
                self.strangers.len() - 1
            }
        };
        self.strangers.get_mut(index)
    }
}

impl Entry {
    fn of(id: PieceId, stick: u16, shared: bool) -> Entry {
        Entry {
            id,
            stick,
            shared,
            cut: false,
            aside: false,
            again: None,
            planned_again: false,
            bad_at: 0,
            cut_at: 0,
            said_at: 0,
        }
    }

    fn on(&self, stick: u16) -> bool {
        self.stick == stick
    }

    /// Why it has to be cut again, where its list has no stick for that.
    fn not_planned(&self) -> Option<Reason> {
        self.again.filter(|_| !self.planned_again)
    }

    fn state(&self) -> PieceState {
        match (self.cut, self.not_planned()) {
            (true, _) => PieceState::Done,
            (false, Some(reason)) => PieceState::Again(reason),
            (false, None) if self.bad_at > 0 => PieceState::NoStick,
            (false, None) if self.aside => PieceState::Aside,
            (false, None) => PieceState::Waiting,
        }
    }

    /// Undoes the last thing said: a cut, else the setting aside, which is later than a call for another cut, else that.
    fn take_back(&mut self) {
        self.said_at = 0;
        if self.cut {
            self.cut = false;
            self.cut_at = 0;
        } else if self.aside {
            self.aside = false;
        } else if self.again.is_some() {
            self.again = None;
            self.cut = true;
        }
    }
}
