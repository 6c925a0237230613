//! What is set for one station before it starts, as it stands in its TOML file; `station.toml` beside this crate explains
//! every key. Reading the file and telling what is wrong in it is left to `reading`, what a person sets on the screen to
//! the station.

mod reading;
mod words;

use std::net::SocketAddr;
use std::path::PathBuf;

use serde::Deserialize;
use station::machine::Key;

pub use reading::{ReadError, name, read};
pub use words::{Chosen, ClosesTo, KeyName, Picture, Through};

/// The file that explains every key and has the values that hold where nothing is said.
pub const SAMPLE: &str = include_str!("../station.toml");

/// All of it.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(default)]
pub struct Settings {
    /// The record's folder.
    pub record: PathBuf,
    /// The screen.
    pub screen: Screen,
    /// Ways to the host.
    pub link: Link,
    /// Keys of keyboards, keypads and pedals.
    pub keys: Keys,
    /// Contacts on pins.
    pub contacts: Contacts,
}

impl Default for Settings {
    fn default() -> Settings {
        Settings {
            record: "/var/lib/baserun".into(),
            screen: Screen::default(),
            link: Link::default(),
            keys: Keys::default(),
            contacts: Contacts::default(),
        }
    }
}

/// Which screen, and how it is filled.
#[derive(Debug, Clone, Default, PartialEq, Eq, Deserialize)]
#[serde(default)]
pub struct Screen {
    /// The output by its name.
    pub output: Chosen<String>,
    /// The picture's size.
    pub picture: Chosen<Picture>,
}

/// Ways to the host.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(default)]
pub struct Link {
    /// Where it is listened.
    pub tcp: Chosen<SocketAddr>,
    /// A serial port.
    pub serial: Chosen<String>,
    /// Bits a second there.
    pub baud: u32,
}

impl Default for Link {
    fn default() -> Link {
        Link {
            tcp: Chosen(Some(SocketAddr::from(([127, 0, 0, 1], 7370)))),
            serial: Chosen(None),
            baud: 115_200,
        }
    }
}

/// Which keys do what.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(default, rename_all = "kebab-case")]
pub struct Keys {
    /// Parts of the names of what is taken; none: whatever has one of the keys.
    pub devices: Vec<String>,
    /// The pedal.
    pub pedal: Vec<KeyName>,
    /// [`Key::TakeBack`]
    pub take_back: Vec<KeyName>,
    /// [`Key::SetAside`]
    pub set_aside: Vec<KeyName>,
    /// [`Key::LookAhead`]
    pub look_ahead: Vec<KeyName>,
    /// [`Key::LookBack`]
    pub look_back: Vec<KeyName>,
    /// [`Key::CutAgain`]
    pub cut_again: Vec<KeyName>,
    /// [`Key::BadStick`]
    pub bad_stick: Vec<KeyName>,
    /// [`Key::Menu`]
    pub menu: Vec<KeyName>,
}

impl Default for Keys {
    fn default() -> Keys {
        let named = |names: &[&str]| names.iter().filter_map(|name| name.parse().ok()).collect();
        Keys {
            devices: Vec::new(),
            pedal: named(&["space", "enter", "keypad-enter", "page-down"]),
            take_back: named(&["backspace"]),
            set_aside: named(&["s"]),
            look_ahead: named(&["right"]),
            look_back: named(&["left"]),
            cut_again: named(&["c"]),
            bad_stick: named(&["b"]),
            menu: named(&["n", "escape"]),
        }
    }
}

impl Keys {
    /// What they do, and which do it; none is the pedal.
    pub fn all(&self) -> [(Option<Key>, &[KeyName]); 8] {
        [
            (None, &self.pedal),
            (Some(Key::TakeBack), &self.take_back),
            (Some(Key::SetAside), &self.set_aside),
            (Some(Key::LookAhead), &self.look_ahead),
            (Some(Key::LookBack), &self.look_back),
            (Some(Key::CutAgain), &self.cut_again),
            (Some(Key::BadStick), &self.bad_stick),
            (Some(Key::Menu), &self.menu),
        ]
    }

    /// What this key does, if anything; within, none is the pedal.
    pub fn does(&self, key: u16) -> Option<Option<Key>> {
        let mut all = self.all().into_iter();
        let found = all.find(|(_, names)| names.contains(&KeyName(key)));
        found.map(|(does, _)| does)
    }
}

/// Contacts on pins; 0 is a pin that is not wired.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(default, rename_all = "kebab-case")]
pub struct Contacts {
    /// By which way they are read.
    pub through: Through,
    /// The chip's device.
    pub chip: Chosen<String>,
    /// What a closed contact joins its pin to.
    pub closes_to: ClosesTo,
    /// The pedal.
    pub pedal: u8,
    /// [`Key::Done`]
    pub done: u8,
    /// [`Key::TakeBack`]
    pub take_back: u8,
    /// [`Key::SetAside`]
    pub set_aside: u8,
    /// [`Key::LookAhead`]
    pub look_ahead: u8,
    /// [`Key::LookBack`]
    pub look_back: u8,
    /// [`Key::CutAgain`]
    pub cut_again: u8,
    /// [`Key::BadStick`]
    pub bad_stick: u8,
    /// [`Key::Menu`]
    pub menu: u8,
    /// The beeper.
    pub beeper: u8,
}

impl Default for Contacts {
    fn default() -> Contacts {
        Contacts {
            through: Through::Off,
            chip: Chosen(None),
            closes_to: ClosesTo::Ground,
            pedal: 17,
            done: 0,
            take_back: 0,
            set_aside: 0,
            look_ahead: 0,
            look_back: 0,
            cut_again: 0,
            bad_stick: 0,
            menu: 0,
            beeper: 0,
        }
    }
}

impl Contacts {
    /// What is wired: a pin, and the key on it or the pedal.
    pub fn wired(&self) -> Vec<(u8, Option<Key>)> {
        let all = [
            (self.pedal, None),
            (self.done, Some(Key::Done)),
            (self.take_back, Some(Key::TakeBack)),
            (self.set_aside, Some(Key::SetAside)),
            (self.look_ahead, Some(Key::LookAhead)),
            (self.look_back, Some(Key::LookBack)),
            (self.cut_again, Some(Key::CutAgain)),
            (self.bad_stick, Some(Key::BadStick)),
            (self.menu, Some(Key::Menu)),
        ];
        all.into_iter().filter(|(pin, _)| *pin != 0).collect()
    }
}
