//! What is said across the picture. When it changes is left to the machine above.

use shared_model::{Place, TakeBack};

use super::{Asked, Machine, Question};
use crate::pedal::PedalShows;
use crate::view::Banner;

/// A station that holds fewer further events than this says so.
pub const NEARLY_FULL: u32 = 100;

impl Machine {
    /// The one thing that is said across the picture: what waits for an answer before what is only told.
    pub(super) fn banner(&self) -> Option<Banner> {
        let pedal = self.pedal.shows(self.now);
        self.question
            .and_then(|question| self.question_banner(question))
            .or_else(|| (pedal == Some(PedalShows::LetGoToTakeBack)).then(|| self.hold_banner()))
            .or(self.word.map(|word| word.banner))
            .or((self.events_left == 0).then_some(Banner::MemoryFull))
            // without a list nothing can be done about the presses
            .or(self.list_damaged.then_some(Banner::ListDamaged))
            .or(self.presses_damaged.then_some(Banner::PressesDamaged))
            .or(match pedal {
                Some(PedalShows::Parked) => Some(Banner::PedalParked),
                Some(PedalShows::ClosedAtStart) => Some(Banner::PedalClosedAtStart),
                Some(PedalShows::LetGoToTakeBack) | None => None,
            })
            .or(
                (self.events_left < NEARLY_FULL).then_some(Banner::MemoryNearlyFull {
                    left: self.events_left,
                }),
            )
    }

    fn question_banner(&self, question: Question) -> Option<Banner> {
        Some(match question.asked {
            Asked::CutAgain { index, reason } => Banner::CutAgainAsked {
                number: index + 1,
                reason,
            },
            Asked::BadStick { stick } => Banner::BadStickAsked {
                number: stick,
                pieces: self.place.as_ref()?.waiting_on(stick),
            },
        })
    }

    fn hold_banner(&self) -> Banner {
        if self.page.is_some() || self.card.is_some() {
            return Banner::LetGoToGoBack;
        }
        match self.place.as_ref().and_then(Place::to_take_back) {
            Some(TakeBack::Piece(index)) => Banner::LetGoToTakeBack { number: index + 1 },
            Some(TakeBack::Stick(number)) => Banner::LetGoToKeepStick { number },
            None => Banner::NothingToTakeBack,
        }
    }
}
