//! What goes into a station's machine and what comes out of it. What is done with it is left to the machine.

use shared_model::Event;

use crate::record::Damaged;
use crate::settings::{Light, Settings};

/// The keys; all but the pedal's "done" can be missing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Key {
    /// The piece at the place is cut.
    Done,
    /// The last thing said is taken back.
    TakeBack,
    /// The piece shown is left for later.
    SetAside,
    /// Look at the piece after the one shown; the place stays.
    LookAhead,
    /// Look at the piece before the one shown; the place stays.
    LookBack,
    /// The piece shown, or the last one cut, is to be cut again.
    CutAgain,
    /// The stick of the piece shown is bad.
    BadStick,
    /// Open the menu, or close what is over the piece.
    Menu,
}

impl Key {
    /// Every key.
    pub const ALL: [Key; 8] = [
        Key::Done,
        Key::TakeBack,
        Key::SetAside,
        Key::LookAhead,
        Key::LookBack,
        Key::CutAgain,
        Key::BadStick,
        Key::Menu,
    ];
}

/// What goes in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Input {
    /// The pedal's contact was read, after an edge or again.
    Pedal {
        /// It read closed.
        closed: bool,
    },
    /// A key's contact was read, after an edge or again. A key acts when it is closed.
    Contact {
        /// The key.
        key: Key,
        /// It read closed.
        closed: bool,
    },
    /// From this input on until then nobody looked at the contacts, or only now and then, since something had to be done that
    /// lets nothing else run. Told when it is over, with the time at which it began, and before the edges of that time; time
    /// shorter than [`STABLE`](crate::timing::STABLE) need not be told.
    Unwatched {
        /// When it was over.
        until: u32,
    },
    /// A key that does not bounce was pressed: a keyboard's, or a button on a page.
    Press(Key),
    /// The host asks the station to show which one it is.
    Show,
    /// A digit was typed, from 0 to 9; others are none.
    Digit(u8),
    /// Time has passed.
    Time,
    /// The event with this number is stored.
    Stored(u32),
    /// The event in flight could not be stored.
    NotStored,
    /// The settings in use could not be kept.
    SettingsNotKept,
    /// The record has room for so many more events.
    EventsLeft(u32),
    /// This start is the station's own, after something went wrong in it.
    Restarted,
    /// Something of what is kept was found damaged at the start.
    Damaged(Damaged),
}

/// What lies over the piece: a press means this and not the piece.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Over {
    /// The menu.
    Menu,
    /// The settings.
    Settings,
    /// A number to be looked at.
    Jump,
    /// A card before a list, by its number from 1.
    Card(u8),
}

/// What is to be heard; each must sound different.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Beep {
    /// A press was stored.
    Accepted,
    /// Something was taken back.
    TakenBack,
    /// A press did nothing.
    Refused,
    /// A question is asked, or the station shows which one it is.
    Question,
}

/// What comes out.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Effects {
    /// Store this event and answer with [`Input::Stored`] or [`Input::NotStored`].
    pub store: Option<Event>,
    /// Sound this, as loud as the settings say; nothing where they say off.
    pub beep: Option<Beep>,
    /// Keep these settings; answer with [`Input::SettingsNotKept`] where that fails.
    pub keep: Option<Settings>,
    /// Give the screen so much light.
    pub light: Option<Light>,
    /// The view is another one than before.
    pub draw: bool,
    /// Show which station this is by whatever else the board has, such as a lamp.
    pub point_out: bool,
}
