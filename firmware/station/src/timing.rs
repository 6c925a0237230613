//! The one table of times, in milliseconds, by which a station goes; code, tests and notes all take them from here. What
//! is done at each of them is left to the contact, the pedal and the machine.
//!
//! Time itself is always a parameter: whole milliseconds since the station's start as a `u32`, which wraps after 49 days.

/// A contact's level counts once it has stood this long.
pub const STABLE: u32 = 25;
/// From an accepted release (of a key that is not a contact: from its press) to the next closure that counts as "done".
pub const HOLD_OFF: u32 = 350;
/// A pedal held this long takes back when it is let go.
pub const TAKE_BACK_HOLD: u32 = 800;
/// A pedal held this long is a parked foot: it is ignored until it lifts.
pub const PARKED: u32 = 2_500;
/// Looking at another piece ends this long after the last key that had to do with it.
pub const LOOKING_RETURNS: u32 = 5_000;
/// A piece is cut again this long after the last press that chose its reason.
pub const CUT_AGAIN_STANDS: u32 = 2_500;
/// The question whether a stick is bad is dropped after this long.
pub const BAD_STICK_STANDS: u32 = 5_000;
/// The menu and the settings close this long after the last key.
pub const MENU_RETURNS: u32 = 10_000;
/// Digits typed and not confirmed are dropped this long after the last key, and the piece is back on the screen.
pub const DIGITS_STAND: u32 = 5_000;
/// A word about a press that did nothing stays this long.
pub const WORD_STAYS: u32 = 3_000;

/// Work during which a board does not look at its contacts waits until nobody has moved one for this long.
pub const QUIET: u32 = 10_000;

/// Whether the clock has reached a moment that is at most 24 days off, across its wrapping.
///
/// ```
/// use station::timing::reached;
/// assert!(reached(5, u32::MAX - 5));
/// assert!(!reached(u32::MAX - 5, 5));
/// ```
pub const fn reached(now: u32, moment: u32) -> bool {
    now.wrapping_sub(moment) < 1 << 31
}
