//! When something happened at a station that has no clock: its count of starts and its milliseconds, mapped to wall-clock
//! time by a look at both clocks at once. How a moment is printed is left to the host program.

use std::time::{SystemTime, UNIX_EPOCH};

use shared_model::Event;

/// A moment: milliseconds since 1970-01-01 00:00 UTC.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Moment(pub i64);

impl Moment {
    /// This computer's time.
    pub fn now() -> Moment {
        let since = SystemTime::now().duration_since(UNIX_EPOCH);
        let milliseconds = since.unwrap_or_default().as_millis();
        Moment(i64::try_from(milliseconds).unwrap_or(i64::MAX))
    }
}

/// A station's clock as it was read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ClockReading {
    /// This computer's time then.
    pub at: Moment,
    /// How many times the station had started.
    pub boot: u16,
    /// Milliseconds since that start.
    pub milliseconds: u32,
}

impl ClockReading {
    /// When the station had started.
    pub fn began(&self) -> Moment {
        Moment(self.at.0.saturating_sub(i64::from(self.milliseconds)))
    }

    /// When an event of the same start happened; none where it is of another one. The station's milliseconds begin at 0
    /// again after 49.7 days: an event is taken to be no older than that.
    pub fn moment_of(&self, event: &Event) -> Option<Moment> {
        let ago = self.milliseconds.wrapping_sub(event.milliseconds);
        (event.boot == self.boot).then(|| Moment(self.at.0.saturating_sub(i64::from(ago))))
    }
}

#[cfg(test)]
mod tests {
    use shared_model::{PieceId, What};

    use super::*;

    #[test]
    fn an_event_of_this_start_is_dated_by_both_clocks() {
        let event = |boot, milliseconds| Event {
            sequence: 1,
            boot,
            milliseconds,
            what: What::SetAside { piece: PieceId(1) },
        };
        let reading = ClockReading {
            at: Moment(1_000_000),
            boot: 4,
            milliseconds: 5_000,
        };
        assert_eq!(reading.began(), Moment(995_000));
        assert_eq!(reading.moment_of(&event(4, 2_000)), Some(Moment(997_000)));
        assert_eq!(reading.moment_of(&event(3, 2_000)), None);
        // the milliseconds have begun at 0 again since
        let before = event(4, u32::MAX - 999);
        assert_eq!(reading.moment_of(&before), Some(Moment(994_000)));
    }
}
