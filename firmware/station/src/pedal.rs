//! The pedal: from its contact to a tap, a hold that takes back, or a foot to be ignored. What a tap marks is left to the
//! machine.

use crate::contact::{Contact, Settled};
use crate::timing::{HOLD_OFF, PARKED, TAKE_BACK_HOLD, reached};

#[cfg(test)]
mod tests;
#[cfg(test)]
mod tests_of_unwatched;

/// A foot pedal with one contact, closed while it is pressed.
///
/// A tap counts at the accepted release, so that a hold can still become a take-back. A closure that comes less than
/// [`HOLD_OFF`] after an accepted release is ignored until it opens, and does not begin another hold-off. A foot that came
/// or stayed while nobody looked may have tapped, held or done both: it is a parked one.
#[derive(Debug, Clone)]
pub struct Pedal {
    contact: Contact,
    foot: Foot,
    /// The last accepted release, while it still holds closures off.
    released: Option<u32>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Foot {
    Up,
    Down { since: u32 },
    HeldOff { since: u32 },
    Parked,
    AtStart,
}

/// What the pedal says, once, when it is let go.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PedalSays {
    /// A tap: the piece is cut.
    Tap,
    /// A hold: the last thing said is taken back.
    TakeBack,
}

/// What the pedal does for as long as it is so.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PedalShows {
    /// Letting go now takes back.
    LetGoToTakeBack,
    /// A foot is parked on it, or came when nobody looked.
    Parked,
    /// It was closed when the station started and has not been open since.
    ClosedAtStart,
}

impl Pedal {
    /// A pedal as it is found at the start.
    pub const fn new(closed: bool) -> Pedal {
        Pedal {
            contact: Contact::new(closed),
            foot: if closed { Foot::AtStart } else { Foot::Up },
            released: None,
        }
    }

    /// Takes in the contact's level at `now`, after an edge or again.
    pub fn edge(&mut self, closed: bool, now: u32) -> Option<PedalSays> {
        let settled = self.contact.edge(closed, now);
        self.settled(settled, now)
    }

    /// Lets time pass.
    pub fn time(&mut self, now: u32) -> Option<PedalSays> {
        let settled = self.contact.time(now);
        self.settled(settled, now)
    }

    /// From the last input until then nobody looked at its contact. Told before the edges of that time.
    pub fn unwatched(&mut self, until: u32) {
        self.contact.unwatched(until);
        if let Foot::Down { .. } = self.foot {
            self.foot = Foot::Parked;
        }
    }

    fn settled(&mut self, settled: Option<Settled>, now: u32) -> Option<PedalSays> {
        let says = match settled {
            Some(Settled {
                closed: false, at, ..
            }) => self.let_go(at),
            Some(settled) => {
                self.foot = self.comes_down(settled);
                None
            }
            None => None,
        };
        self.released = self
            .released
            .filter(|released| now.wrapping_sub(*released) < HOLD_OFF);
        if let Foot::Down { since } | Foot::HeldOff { since } = self.foot
            && reached(now, PARKED.wrapping_add(since))
        {
            self.foot = Foot::Parked;
        }
        says
    }

    fn comes_down(&self, Settled { at, seen, .. }: Settled) -> Foot {
        let held_off = self
            .released
            .is_some_and(|released| at.wrapping_sub(released) < HOLD_OFF);
        match (seen, held_off) {
            (false, _) => Foot::Parked,
            (true, true) => Foot::HeldOff { since: at },
            (true, false) => Foot::Down { since: at },
        }
    }

    fn let_go(&mut self, at: u32) -> Option<PedalSays> {
        let foot = core::mem::replace(&mut self.foot, Foot::Up);
        match foot {
            Foot::Up | Foot::HeldOff { .. } => None,
            Foot::Parked | Foot::AtStart => {
                self.released = Some(at);
                None
            }
            Foot::Down { since } => {
                self.released = Some(at);
                match at.wrapping_sub(since) {
                    0..TAKE_BACK_HOLD => Some(PedalSays::Tap),
                    TAKE_BACK_HOLD..PARKED => Some(PedalSays::TakeBack),
                    _ => None,
                }
            }
        }
    }

    /// What it does at `now`, if that is to be seen.
    pub fn shows(&self, now: u32) -> Option<PedalShows> {
        match self.foot {
            Foot::Up | Foot::HeldOff { .. } => None,
            Foot::Parked => Some(PedalShows::Parked),
            Foot::AtStart => Some(PedalShows::ClosedAtStart),
            Foot::Down { since } => reached(now, TAKE_BACK_HOLD.wrapping_add(since))
                .then_some(PedalShows::LetGoToTakeBack),
        }
    }

    /// A press is under way that may still say something: what it was meant for must not change under the foot.
    pub fn is_pressed(&self) -> bool {
        match self.foot {
            Foot::Down { .. } => true,
            Foot::Up => self.contact.is_closing(),
            Foot::HeldOff { .. } | Foot::Parked | Foot::AtStart => false,
        }
    }

    /// When time alone changes what it says or shows, if nothing else happens after `now`.
    pub fn changes_at(&self, now: u32) -> Option<u32> {
        let shows = match self.foot {
            Foot::Up | Foot::Parked | Foot::AtStart => [None, None],
            Foot::Down { since } => [
                Some(TAKE_BACK_HOLD.wrapping_add(since)),
                Some(PARKED.wrapping_add(since)),
            ],
            Foot::HeldOff { since } => [Some(PARKED.wrapping_add(since)), None],
        };
        let still_to_come = |moment: &u32| !reached(now, *moment);
        let shows = shows.into_iter().flatten().find(still_to_come);
        // a level settles within STABLE, but the foot's own moment may come before that
        match (self.contact.settles_at(), shows) {
            (Some(settles), Some(shows)) if reached(settles, shows) => Some(shows),
            (settles, shows) => settles.or(shows),
        }
    }
}
