//! The pedal among the keys of keyboards: from key down and key up to the levels of one contact. What a level means is
//! left to the station.
//!
//! Pedals that are bought send a key and let it go again within a few milliseconds, some of them at once whatever the
//! foot does. The station takes a level that stood for less than its stable time for a bounce, so a key's level is held
//! for that long: no press is lost. One that is pressed again meanwhile has bounced.

use station::timing::{PARKED, STABLE, reached};

/// Whatever keys of whatever keyboards are the pedal: closed while one of them is down.
#[derive(Debug, Default)]
pub struct Foot {
    held: Vec<(u32, u16)>,
    closed: bool,
    since: u32,
    opens: Option<u32>,
}

impl Foot {
    /// It reads closed.
    pub fn is_closed(&self) -> bool {
        self.closed
    }

    /// A key of a keyboard went down. True where the contact closes.
    pub fn down(&mut self, keyboard: u32, key: u16, now: u32) -> bool {
        if !self.held.contains(&(keyboard, key)) {
            self.held.push((keyboard, key));
        }
        self.opens = None;
        if self.closed {
            return false;
        }
        self.closed = true;
        self.since = now;
        true
    }

    /// A key came up; when the contact opens is told by [`Foot::opens_at`]. A key that was down before the station began
    /// is none of its own.
    pub fn up(&mut self, keyboard: u32, key: u16, now: u32) {
        let before = self.held.len();
        self.held.retain(|held| *held != (keyboard, key));
        self.lifted(before, STABLE, now);
    }

    /// A keyboard was unplugged. Whether a key on it that was down has been let go nobody knows: it is taken for a parked
    /// foot, which does nothing.
    pub fn gone(&mut self, keyboard: u32, now: u32) {
        let before = self.held.len();
        self.held.retain(|(of, _)| *of != keyboard);
        self.lifted(before, PARKED + 2 * STABLE, now);
    }

    /// When it opens by time alone.
    pub fn opens_at(&self) -> Option<u32> {
        self.opens
    }

    /// Lets time pass; says when it opened, if it did.
    pub fn time(&mut self, now: u32) -> Option<u32> {
        let at = self.opens.take_if(|at| reached(now, *at))?;
        self.closed = false;
        Some(at)
    }

    fn lifted(&mut self, before: usize, least: u32, now: u32) {
        if before == 0 || !self.held.is_empty() || !self.closed {
            return;
        }
        let earliest = self.since.wrapping_add(least);
        self.opens = Some(match reached(now, earliest) {
            true => now,
            false => earliest,
        });
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_key_that_is_let_go_at_once_still_stands_for_the_stable_time() {
        let mut foot = Foot::default();
        assert!(foot.down(1, 57, 1_000));
        foot.up(1, 57, 1_001);
        assert_eq!(foot.time(1_024), None);
        assert!(foot.is_closed());
        assert_eq!(foot.opens_at(), Some(1_025));
        assert_eq!(foot.time(1_300), Some(1_025));
        assert!(!foot.is_closed());
        assert!(foot.down(1, 57, 2_000));
        foot.up(1, 57, 2_400);
        assert_eq!(foot.time(2_400), Some(2_400));
    }

    #[test]
    fn it_is_closed_while_any_key_is_down_and_a_bounce_is_one_press() {
        let mut foot = Foot::default();
        assert!(foot.down(1, 57, 0));
        assert!(!foot.down(2, 28, 10));
        foot.up(1, 57, 50);
        assert_eq!(foot.opens_at(), None);
        foot.up(2, 28, 60);
        assert!(!foot.down(2, 28, 60));
        assert_eq!(foot.time(100), None);
    }

    #[test]
    fn a_key_that_was_down_before_is_nobodys_and_one_that_is_pulled_is_parked() {
        let mut foot = Foot::default();
        foot.up(1, 57, 5);
        assert_eq!(foot.opens_at(), None);
        assert!(foot.down(1, 57, 1_000));
        foot.gone(2, 1_100);
        assert_eq!(foot.opens_at(), None);
        foot.gone(1, 1_100);
        assert_eq!(foot.opens_at(), Some(1_000 + PARKED + 2 * STABLE));
    }
}
