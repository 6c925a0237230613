//! What keeps the station from starting or from going on, as one sentence and what to do. Finding it is left to the
//! parts.

use std::fmt;
use std::io;
use std::path::PathBuf;

use file_record::OpenError;

/// What is wrong.
#[derive(Debug)]
pub enum Trouble {
    /// the settings cannot be read
    NoSettings(PathBuf, io::Error),
    /// something in the settings is wrong
    Settings(PathBuf, String),
    /// there is no display that a screen hangs on
    NoScreen {
        /// The output that is asked for.
        output: Option<String>,
        /// The outputs there are, with or without a screen.
        outputs: Vec<String>,
    },
    /// the screen is smaller than the picture
    ScreenTooSmall(u32, u32),
    /// another program shows its picture
    ScreenTaken(PathBuf),
    /// the right to use a device is missing
    NoRight {
        /// The device.
        device: PathBuf,
        /// The group whose members have it.
        group: &'static str,
    },
    /// the display does not do what it has to
    Screen(PathBuf, io::Error),
    /// the contacts cannot be read
    Contacts(String),
    /// the settings read no contacts
    ContactsOff,
    /// the beeper cannot be set
    Beeper(String),
    /// nobody can listen at an address
    Address(String, io::Error),
    /// a serial port cannot be opened
    Serial(String, String),
    /// the record cannot be opened
    Record(PathBuf, OpenError),
    /// the record's folder cannot be used
    Folder(PathBuf, io::Error),
    /// the record's folder is gone when the power goes
    Forgets(PathBuf, String),
    /// the system cannot do what a part needs
    System(&'static str, io::Error),
    /// this is another system than Linux
    NotLinux,
}

impl fmt::Display for Trouble {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Trouble::NoSettings(path, error) => write!(
                f,
                "{} cannot be read: {error}. `baserun-station --sample` prints settings to begin with",
                path.display()
            ),
            Trouble::Settings(path, what) => write!(f, "{}, {what}", path.display()),
            Trouble::NoScreen { output, outputs } => {
                match output {
                    Some(output) => write!(f, "no screen is plugged in at \"{output}\".")?,
                    None => f.write_str("no screen is plugged in.")?,
                }
                match outputs.as_slice() {
                    [] => f.write_str(
                        " This computer has no display that the kernel drives (on a Raspberry Pi: dtoverlay=vc4-kms-v3d in config.txt)",
                    ),
                    outputs => write!(
                        f,
                        " There are the outputs {}: plug a screen in and switch it on",
                        outputs.join(", ")
                    ),
                }
            }
            Trouble::ScreenTooSmall(columns, rows) => write!(
                f,
                "the screen has {columns}x{rows} and the picture does not fit: choose a smaller one as [screen] picture"
            ),
            Trouble::ScreenTaken(device) => write!(
                f,
                "{} is in use by another program: stop the desktop (sudo systemctl set-default multi-user.target, then restart) or the other station",
                device.display()
            ),
            Trouble::NoRight { device, group } => write!(
                f,
                "no right to use {}: the user has to be in the group {group} (sudo usermod -aG {group} USER, then log in anew)",
                device.display()
            ),
            Trouble::Screen(device, error) => write!(
                f,
                "the display {} fails: {error}. It is tried again at the next start",
                device.display()
            ),
            Trouble::Contacts(what) => write!(
                f,
                "the contacts cannot be read: {what}. With [contacts] through = \"off\" the station goes without them"
            ),
            Trouble::ContactsOff => f.write_str(
                "the settings read no contacts: say [contacts] through = \"kernel\", and which pins are wired",
            ),
            Trouble::Beeper(what) => write!(
                f,
                "the beeper cannot be set: {what}. With [contacts] beeper = 0 the station goes without it"
            ),
            Trouble::Address(address, error) => write!(
                f,
                "nobody can listen at {address}: {error}. Give another [link] tcp, or stop what uses it"
            ),
            Trouble::Serial(port, what) => write!(
                f,
                "the serial port {port} cannot be opened: {what}. Give another [link] serial, or \"off\""
            ),
            Trouble::Record(folder, error) => write!(f, "{}: {error}", folder.display()),
            Trouble::Folder(folder, error) => write!(
                f,
                "the record cannot be kept in {}: {error}. Make the folder and give it to the station's user, or name another one as record",
                folder.display()
            ),
            Trouble::Forgets(folder, kind) => write!(
                f,
                "what is kept in {} is gone when the power goes ({kind}): mount a partition of its own there (hardware-notes/raspberry-pi.md), or name another folder as record",
                folder.display()
            ),
            Trouble::System(what, error) => write!(f, "{what}: {error}"),
            Trouble::NotLinux => f.write_str(
                "this station draws through Linux's own display and there is none on this system: `baserun run` shows the station here",
            ),
        }
    }
}

impl std::error::Error for Trouble {}
