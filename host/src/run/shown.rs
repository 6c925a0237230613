//! What the pages are told: the picture and, for programs and for the page's own words, how the station stands.

use serde::Serialize;
use station::machine::Beep;
use station::settings::Sound;

/// The picture and the state that belongs to it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Shown {
    /// How the station stands.
    pub state: State,
    /// The picture as a PNG.
    pub png: Vec<u8>,
}

/// How the station stands.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct State {
    /// This running of the station; another one after a restart.
    pub session: String,
    /// Rises with every change of the picture.
    pub version: u64,
    /// The level's name.
    pub level: String,
    /// The list's digest.
    pub digest: String,
    /// The picture's columns.
    pub width: u32,
    /// The picture's rows.
    pub height: u32,
    /// The id of the piece to be cut; null where nothing is left that has a stick.
    pub piece: Option<String>,
    /// What lies over the piece: `menu`, `settings`, `jump`, or `card 1`, `card 2` ... before a list; null where nothing
    /// does. A press is judged by it, and only then by the piece.
    pub over: Option<String>,
    /// The share of the screen's full light, in thousandths.
    pub light: u16,
    /// How loud the sounds are: `loud`, `soft` or `off`.
    pub loudness: &'static str,
    /// Its place in the list, from 1.
    pub number: Option<u16>,
    /// Pieces in the list.
    pub pieces: u16,
    /// Pieces done.
    pub done: u16,
    /// Pieces set aside.
    pub aside: u16,
    /// Pieces to be cut again.
    pub again: u16,
    /// Pieces that wait for a new plan.
    pub no_stick: u16,
    /// Pieces that are cut and not in the list.
    pub not_in_list: u16,
    /// What of the record was found damaged at the start, in a sentence; null where nothing was.
    pub damage: Option<String>,
    /// Why the last press could not be stored, in a sentence; null where it could.
    pub trouble: Option<String>,
    /// Why presses, which the station keeps all the same, do not come into the job record; null where they do.
    pub not_recorded: Option<String>,
}

/// What is sent to every window as it happens.
#[derive(Debug, Clone)]
pub enum Told {
    /// The picture or the state is another one.
    State(Box<State>),
    /// This is to be heard.
    Sound(&'static str),
}

/// The beep's loudness by the name that the page knows.
pub fn loudness(sound: Sound) -> &'static str {
    match sound {
        Sound::Loud => "loud",
        Sound::Soft => "soft",
        Sound::Off => "off",
    }
}

/// A sound by the name that the page knows.
pub fn sound(beep: Beep) -> &'static str {
    match beep {
        Beep::Accepted => "accepted",
        Beep::TakenBack => "taken-back",
        Beep::Refused => "refused",
        Beep::Question => "question",
    }
}
