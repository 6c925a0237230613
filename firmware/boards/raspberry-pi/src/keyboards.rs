//! Keyboards, keypads and pedals on USB or Bluetooth: found, taken for the station alone, and listened to, also when they
//! are plugged in later. What a key does is left to the station.

use std::collections::HashMap;
use std::fs;
use std::io::ErrorKind;
use std::os::unix::fs::MetadataExt;
use std::path::{Path, PathBuf};
use std::sync::mpsc::{self, Sender};
use std::thread;
use std::time::{Duration, SystemTime};

use evdev::{Device, EventSummary, KeyCode};

use crate::message::{Clock, Message};
use crate::settings::Keys;
use crate::trouble::Trouble;

const FOLDER: &str = "/dev/input";
/// How often it is looked for new ones.
const LOOK: Duration = Duration::from_millis(1_000);

/// Listens to every keyboard there is and will be.
///
/// # Errors
/// The right to read them is missing.
pub fn start(keys: Keys, clock: Clock, out: Sender<Message>) -> Result<(), Trouble> {
    let (gone, left) = mpsc::channel();
    let mut finder = Finder {
        keys,
        clock,
        out,
        gone,
        known: HashMap::new(),
        taken: 0,
    };
    finder.look();
    if let (0, Some(device)) = (finder.taken, finder.refused()) {
        let group = "input";
        return Err(Trouble::NoRight { device, group });
    }
    if finder.taken == 0 {
        println!("no keyboard or pedal is plugged in yet");
    }
    thread::spawn(move || {
        loop {
            // one that is pulled frees its name at once
            if let Ok(path) = left.recv_timeout(LOOK) {
                finder.known.remove::<PathBuf>(&path);
            }
            finder.look();
        }
    });
    Ok(())
}

/// The names of all input devices that can be read, with a word on those that have keys.
pub fn names() -> Vec<String> {
    let devices = events().into_iter().filter_map(|(path, _)| {
        let device = Device::open(&path).ok()?;
        let keys = device
            .supported_keys()
            .map_or(0, |keys| keys.iter().count());
        let name = device.name().unwrap_or("without a name").to_owned();
        Some(format!("{}: {name}, {keys} keys", path.display()))
    });
    devices.collect()
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Known {
    /// The right to read it is missing; it may be given a moment later.
    Refused,
    /// Listened to, or of no use.
    Settled,
}

struct Finder {
    keys: Keys,
    clock: Clock,
    out: Sender<Message>,
    gone: Sender<PathBuf>,
    /// By name; the number tells another device that has taken over the name.
    known: HashMap<PathBuf, (u64, Known)>,
    taken: u32,
}

impl Finder {
    fn look(&mut self) {
        let there = events();
        self.known.retain(|path, (number, _)| {
            let same = |(other, of): &(PathBuf, u64)| other == path && of == number;
            there.iter().any(same)
        });
        for (path, number) in there {
            if self
                .known
                .get(&path)
                .is_some_and(|(_, known)| *known == Known::Settled)
            {
                continue;
            }
            let known = self.try_one(&path);
            self.known.insert(path, (number, known));
        }
    }

    fn try_one(&mut self, path: &Path) -> Known {
        let mut device = match Device::open(path) {
            Ok(device) => device,
            Err(error) if error.kind() == ErrorKind::PermissionDenied => return Known::Refused,
            Err(_) => return Known::Settled,
        };
        let name = device.name().unwrap_or_default().to_owned();
        if !self.is_wanted(&name, &device) {
            return Known::Settled;
        }
        if let Err(error) = device.grab() {
            eprintln!("{name} is in use by another program: {error}");
            return Known::Refused;
        }
        println!("taken: {name} ({})", path.display());
        self.taken += 1;
        let listener = Listener {
            keyboard: self.taken,
            name,
            path: path.to_owned(),
            clock: self.clock,
            out: self.out.clone(),
            gone: self.gone.clone(),
        };
        thread::spawn(move || listener.listen(device));
        Known::Settled
    }

    fn is_wanted(&self, name: &str, device: &Device) -> bool {
        let parts = &self.keys.devices;
        if !parts.is_empty() {
            return parts.iter().any(|part| name.contains(part.as_str()));
        }
        let all = self.keys.all();
        let mut names = all.iter().flat_map(|(_, names)| names.iter());
        let keys = device.supported_keys();
        keys.is_some_and(|keys| names.any(|name| keys.contains(KeyCode::new(name.0))))
    }

    fn refused(&self) -> Option<PathBuf> {
        let mut known = self.known.iter();
        let refused = known.find(|(_, (_, known))| *known == Known::Refused);
        refused.map(|(path, _)| path.clone())
    }
}

struct Listener {
    keyboard: u32,
    name: String,
    path: PathBuf,
    clock: Clock,
    out: Sender<Message>,
    gone: Sender<PathBuf>,
}

impl Listener {
    fn listen(self, mut device: Device) {
        let keyboard = self.keyboard;
        while let Ok(events) = device.fetch_events() {
            let at = self.clock.now();
            for event in events {
                // 2 is a key that repeats itself
                let EventSummary::Key(_, key, value @ (0 | 1)) = event.destructure() else {
                    continue;
                };
                let at = at.wrapping_sub(waited(event.timestamp()));
                let message = Message::Key {
                    keyboard,
                    key: key.code(),
                    down: value == 1,
                    at,
                };
                if self.out.send(message).is_err() {
                    return;
                }
            }
        }
        println!("unplugged: {}", self.name);
        let at = self.clock.now();
        // both may have ended with the program
        let _ = self.out.send(Message::KeyboardGone { keyboard, at });
        let _ = self.gone.send(self.path);
    }
}

/// How many milliseconds an event has waited to be read. The kernel stamps it by the clock of the day, which may be set in
/// between: what cannot be is taken for none.
fn waited(stamp: SystemTime) -> u32 {
    let waited = SystemTime::now().duration_since(stamp).unwrap_or_default();
    let waited = if waited < LOOK {
        waited
    } else {
        Duration::ZERO
    };
    waited.as_millis() as u32
}

/// The devices there are, with the number of each file.
fn events() -> Vec<(PathBuf, u64)> {
    let entries = fs::read_dir(FOLDER).into_iter().flatten().flatten();
    let is_event = |entry: &fs::DirEntry| entry.file_name().to_string_lossy().starts_with("event");
    let number = |entry: fs::DirEntry| Some((entry.path(), entry.metadata().ok()?.ino()));
    entries.filter(is_event).filter_map(number).collect()
}
