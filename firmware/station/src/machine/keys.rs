//! What each key does. Contacts, time and what is shown are left to the machine above.

use shared_model::{Event, PieceState, Place, Reason, TakeBack, What};

use super::{Asked, Beep, Effects, Key, Looking, Machine, Question, Word};
use crate::timing::HOLD_OFF;
use crate::view::Banner;

impl Machine {
    /// "Done", by the pedal or by a key; says whether the press counted or fell into the hold-off.
    pub(super) fn done(&mut self, effects: &mut Effects) -> bool {
        let now = self.now;
        if self
            .done_at
            .is_some_and(|done| now.wrapping_sub(done) < HOLD_OFF)
        {
            return false;
        }
        self.done_at = Some(now);
        self.press(Key::Done, effects);
        true
    }

    /// A press of any key. What was said about the press before it is said no longer.
    pub(super) fn press(&mut self, key: Key, effects: &mut Effects) {
        self.word = None;
        if self.page.is_some() {
            return self.press_on_page(key, effects);
        }
        if self.card.is_some() {
            return self.press_on_card(key, effects);
        }
        match key {
            Key::LookAhead => self.look(true, effects),
            Key::LookBack => self.look(false, effects),
            _ if self.in_flight.is_some() => self.refuse(Banner::StillStoring, effects),
            Key::Done => self.cut(effects),
            Key::TakeBack => self.take_back(effects),
            Key::SetAside => self.set_aside(effects),
            Key::CutAgain => self.cut_again(effects),
            Key::BadStick => self.bad_stick(effects),
            // the question stays on the screen until it is answered
            Key::Menu if self.question.is_some() => self.refuse(Banner::NothingToDo, effects),
            Key::Menu => self.open_menu(),
        }
    }

    /// The piece at the place is cut. While another is looked at, nothing is: it only comes back. A piece that was just
    /// said to be cut again is stored before either.
    fn cut(&mut self, effects: &mut Effects) {
        let again = self.cut_again_asked();
        self.question = None;
        let current = self.place.as_ref().and_then(Place::current);
        // another leaf of the piece at the place is that piece
        if self
            .looking
            .take()
            .is_some_and(|looking| Some(looking.index) != current)
        {
            self.refuse(Banner::BackFromLooking, effects);
            if let Some(again) = again {
                self.store(again, effects);
            }
            return;
        }
        let piece = |place: &Place| {
            Some(What::Done {
                piece: place.id(place.current()?)?,
                list: place.digest(),
            })
        };
        let done = self.place.as_ref().and_then(piece);
        match again.or(done) {
            Some(what) => {
                self.queued = again.and(done);
                self.store(what, effects);
            }
            None => self.refuse(Banner::NothingToDo, effects),
        }
    }

    /// What a pending question about cutting again stands for.
    fn cut_again_asked(&self) -> Option<What> {
        match self.question?.asked {
            Asked::CutAgain { index, reason } => {
                let piece = self.place.as_ref()?.id(index)?;
                Some(What::CutAgain { piece, reason })
            }
            Asked::BadStick { .. } => None,
        }
    }

    /// Takes back the last thing said; with a question pending, only that.
    fn take_back(&mut self, effects: &mut Effects) {
        if self.question.take().is_some() {
            effects.beep = Some(Beep::TakenBack);
            return;
        }
        let undo = |place: &Place| {
            Some(match place.to_take_back()? {
                TakeBack::Piece(index) => What::TakenBack {
                    piece: place.id(index)?,
                },
                TakeBack::Stick(stick) => What::StickKept {
                    list: place.digest(),
                    stick,
                },
            })
        };
        match self.place.as_ref().and_then(undo) {
            Some(what) => self.store(what, effects),
            None => self.refuse(Banner::NothingToTakeBack, effects),
        }
    }

    /// Leaves the piece shown for later, if it waits.
    fn set_aside(&mut self, effects: &mut Effects) {
        self.question = None;
        self.keep_looking();
        match self.piece_shown() {
            Some((index, PieceState::Waiting)) => {
                let id = self.place.as_ref().and_then(|place| place.id(index));
                if let Some(piece) = id {
                    self.store(What::SetAside { piece }, effects);
                }
            }
            _ => self.refuse(Banner::NothingToDo, effects),
        }
    }

    /// Moves the piece shown through the list, leaf by leaf where the screen has them; the place stays.
    fn look(&mut self, ahead: bool, effects: &mut Effects) {
        let pieces = self
            .place
            .as_ref()
            .map_or(0, |place| place.progress().pieces);
        let current = self.place.as_ref().and_then(Place::current);
        let looking = self.looking.map(|looking| (looking.index, looking.leaf));
        let shown = looking.or(current.map(|current| (current, 0)));
        let to = match (shown, ahead) {
            (Some((index, leaf)), true) if leaf + 1 < self.leaves => Some((index, leaf + 1)),
            (Some((index, _)), true) => Some((index + 1, 0)),
            (Some((index, 0)), false) => index.checked_sub(1).map(|before| (before, 0)),
            (Some((index, leaf)), false) => Some((index, leaf - 1)),
            // the list is finished: back is its end, ahead its beginning
            (None, true) => Some((0, 0)),
            (None, false) => pieces.checked_sub(1).map(|last| (last, 0)),
        };
        match to.filter(|(index, _)| *index < pieces) {
            Some((index, 0)) if Some(index) == current => self.looking = None,
            Some((index, leaf)) => {
                let since = self.now;
                self.looking = Some(Looking { index, leaf, since });
            }
            None => {
                self.keep_looking();
                self.refuse(Banner::NothingToDo, effects);
            }
        }
    }

    /// Asks why the piece shown, if it is done, or the last one done is cut again; each further press goes to the next
    /// reason and after the last one back to no question.
    fn cut_again(&mut self, effects: &mut Effects) {
        self.keep_looking();
        let asked = match self.question.take().map(|question| question.asked) {
            Some(Asked::CutAgain { index, reason }) => {
                let mut reasons = Reason::ALL.into_iter().skip_while(|r| *r != reason).skip(1);
                let Some(reason) = reasons.next() else {
                    effects.beep = Some(Beep::TakenBack);
                    return;
                };
                Some((index, reason))
            }
            Some(Asked::BadStick { .. }) | None => self
                .piece_shown()
                .filter(|(_, state)| *state == PieceState::Done)
                .map(|(index, _)| index)
                .or_else(|| self.place.as_ref().and_then(Place::last_done))
                .map(|index| (index, Reason::ALL[0])),
        };
        match asked {
            Some((index, reason)) => self.ask(Asked::CutAgain { index, reason }, effects),
            None => self.refuse(Banner::NothingToDo, effects),
        }
    }

    /// Asks whether the stick of the piece shown is bad; a second press says so.
    fn bad_stick(&mut self, effects: &mut Effects) {
        self.keep_looking();
        let Some(place) = &self.place else {
            return self.refuse(Banner::NothingToDo, effects);
        };
        let list = place.digest();
        match self.question.take().map(|question| question.asked) {
            Some(Asked::BadStick { stick }) => {
                self.store(What::BadStick { list, stick }, effects);
            }
            Some(Asked::CutAgain { .. }) | None => {
                let stick = self
                    .piece_shown()
                    .filter(|(_, state)| {
                        !matches!(state, PieceState::Again(_) | PieceState::NoStick)
                    })
                    .and_then(|(index, _)| place.stick(index))
                    .filter(|stick| place.waiting_on(*stick) > 0);
                match stick {
                    Some(stick) => self.ask(Asked::BadStick { stick }, effects),
                    None => self.refuse(Banner::NothingToDo, effects),
                }
            }
        }
    }

    /// The question has stood its time: a piece is cut again, a stick stays good.
    pub(super) fn question_ended(&mut self, effects: &mut Effects) {
        let again = self.cut_again_asked();
        self.question = None;
        if let Some(again) = again {
            self.store(again, effects);
        }
    }

    pub(super) fn refuse(&mut self, banner: Banner, effects: &mut Effects) {
        let since = self.now;
        self.word = Some(Word { banner, since });
        effects.beep = Some(Beep::Refused);
    }

    fn ask(&mut self, asked: Asked, effects: &mut Effects) {
        let since = self.now;
        self.question = Some(Question { asked, since });
        effects.beep = Some(Beep::Question);
    }

    pub(super) fn store(&mut self, what: What, effects: &mut Effects) {
        let event = Event {
            sequence: self.last_sequence + 1,
            boot: self.boot,
            milliseconds: self.now,
            what,
        };
        self.in_flight = Some(event);
        effects.store = Some(event);
    }

    /// A key that acts on the piece looked at gives it its time anew.
    fn keep_looking(&mut self) {
        if let Some(looking) = &mut self.looking {
            looking.since = self.now;
        }
    }

    pub(super) fn piece_shown(&self) -> Option<(u16, PieceState)> {
        let place = self.place.as_ref()?;
        let looking = self.looking.map(|looking| looking.index);
        let index = looking.or_else(|| place.current())?;
        Some((index, place.state(index)?))
    }
}
