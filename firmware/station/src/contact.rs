//! One contact: raw edges in, settled levels out. What a settled level means is left to the pedal and the machine.

use crate::timing::{STABLE, reached};

/// A contact that bounces. A level counts once it has stood for [`STABLE`]; its time is then the edge's and that much
/// more, however late the contact is asked. Time in which nobody looked at it is no standing, and a level found in it or
/// right after it began nobody knows when.
///
/// ```
/// use station::contact::{Contact, Settled};
/// let mut contact = Contact::new(false);
/// assert_eq!(contact.edge(true, 100), None);
/// assert_eq!(contact.settles_at(), Some(125));
/// assert_eq!(contact.time(130), Some(Settled { closed: true, at: 125, seen: true }));
/// ```
#[derive(Debug, Clone)]
pub struct Contact {
    settled: bool,
    raw: bool,
    /// Since when it has been seen to stand.
    since: u32,
    /// It has stood for [`STABLE`] under somebody's eyes since nobody looked.
    seen: bool,
    /// The end of the time in which nobody looked, as long as edges from it may still be told.
    unwatched: Option<u32>,
}

/// A level that counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Settled {
    /// Closed or open.
    pub closed: bool,
    /// Since when it counts.
    pub at: u32,
    /// It was seen to begin: else it began some time before, and another level may have come and gone.
    pub seen: bool,
}

impl Contact {
    /// A contact that has stood closed or open for long.
    pub const fn new(closed: bool) -> Contact {
        Contact {
            settled: closed,
            raw: closed,
            since: 0,
            seen: true,
            unwatched: None,
        }
    }

    /// Takes in the level read at `now`, after an edge or again; says which level settled before, if one did.
    pub fn edge(&mut self, closed: bool, now: u32) -> Option<Settled> {
        let settled = self.time(now);
        if closed != self.raw {
            self.raw = closed;
            self.seen &= self.unwatched.is_none();
            self.since = self.unwatched.unwrap_or(now);
        }
        settled
    }

    /// From the last input until then nobody looked at it, or only now and then. Told before the edges of that time.
    pub fn unwatched(&mut self, until: u32) {
        self.unwatched = Some(until);
        if self.raw != self.settled {
            self.seen = false;
            self.since = until;
        }
    }

    /// Lets time pass; says which level settled, if one did.
    pub fn time(&mut self, now: u32) -> Option<Settled> {
        self.unwatched = self.unwatched.filter(|until| reached(*until, now));
        if self.raw == self.settled {
            self.seen |= reached(now, self.since.wrapping_add(STABLE));
        }
        let at = self.settles_at()?;
        reached(now, at).then(|| {
            self.settled = self.raw;
            Settled {
                closed: self.raw,
                at,
                seen: self.seen,
            }
        })
    }

    /// When a level settles by time alone, if nothing changes.
    pub fn settles_at(&self) -> Option<u32> {
        (self.raw != self.settled).then(|| self.since.wrapping_add(STABLE))
    }

    /// It reads closed and that does not count yet.
    pub fn is_closing(&self) -> bool {
        self.raw && !self.settled
    }
}
