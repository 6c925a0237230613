//! What every record of a station has to pass, whatever it is kept in: the rules of the trait, starts, and random lives
//! with power cuts. How a medium fails, and what only one kind of record does, is left to that record's own tests.
#![deny(missing_docs)]

mod lives;
mod reference;
mod rules;
mod sample;

pub use lives::random_lives_keep_to_the_reference;
pub use mock_flash::Dice;
pub use rules::{
    a_start_finds_the_list_the_place_and_the_count_of_starts, event,
    lists_and_events_are_taken_only_in_order,
};
pub use sample::{Sample, pass_cards};
use station::record::Record;

/// What a record is kept in, as a test handles it: all of it through a shared reference, as a real one outlives stations.
pub trait Medium: Sized {
    /// A record on it.
    type Record<'a>: Record
    where
        Self: 'a;

    /// Starts a record, which must find no damage.
    fn start(&self) -> Self::Record<'_>;
}

/// A medium that loses its power when it is told to.
pub trait MeanMedium: Medium {
    /// Another medium with the same content, which dies otherwise.
    #[must_use]
    fn fork(&self, run: u64) -> Self;

    /// The power goes after so many further units of work.
    fn die_after(&self, units: u64);

    /// Whether the power is gone.
    fn is_dead(&self) -> bool;

    /// The power was off and is there again.
    fn after_power_cut(&self);

    /// The program was killed and the system lives on; the same as a power cut where there is no system.
    fn after_kill(&self) {
        self.after_power_cut();
    }

    /// Writing fails after so many further units, if the medium can run full beside its record; whether it can.
    fn full_after(&self, _units: u64) -> bool {
        false
    }

    /// There is room again.
    fn refill(&self) {}
}
