//! Puts the parts together in the order in which a failing one is best told, and stops the station when the system says
//! so. Running it is left to the station.

use std::fs;
use std::path::Path;
use std::sync::mpsc::{self, Sender};
use std::thread;

use file_record::{FileRecord, FileSettings, station_number};
use raspberry_pi::display::kms::Kms;
use raspberry_pi::message::{Clock, Message};
use raspberry_pi::settings::{Settings, Through, name};
use raspberry_pi::station::{Parts, run};
use raspberry_pi::times::Times;
use raspberry_pi::trouble::Trouble;
use raspberry_pi::{beeper, contacts, keyboards, lasting, line};
use signal_hook::consts::{SIGINT, SIGTERM};
use signal_hook::iterator::Signals;

/// What the device tree says of the computer.
const MODEL: &str = "/proc/device-tree/model";
/// What file systems there are.
const MOUNTS: &str = "/proc/self/mounts";

/// Runs the station until SIGTERM or SIGINT; how far the list was, as a line. With `times` it tells how long pictures take.
pub fn start(settings: &Settings, times: bool) -> Result<String, Trouble> {
    let clock = Clock::start();
    let (out, inbox) = mpsc::channel();
    stop_on_signals(out.clone())?;
    let display = Kms::open(&settings.screen)?;
    println!("screen: {}", display.told());
    let at_start = contacts::start(&settings.contacts, clock, out.clone())?;
    let beeper = beeper::start(&settings.contacts)?;
    keyboards::start(settings.keys.clone(), clock, out.clone())?;
    if let Some(address) = settings.link.tcp.0 {
        let at = line::listen(address, out.clone())?;
        println!("link: tcp:{at}");
    }
    if let Some(port) = &settings.link.serial.0 {
        line::serial(port, settings.link.baud, out.clone())?;
        println!("link: {port}");
    }
    // last: a start is counted only where there is a station
    let folder = &settings.record;
    fs::create_dir_all(folder).map_err(|error| Trouble::Folder(folder.clone(), error))?;
    lasts(folder)?;
    let record =
        FileRecord::open(folder).map_err(|error| Trouble::Record(folder.clone(), error))?;
    let keeper =
        FileSettings::in_folder(folder).map_err(|error| Trouble::Folder(folder.clone(), error))?;
    let number = station_number(folder)
        .map_err(|error| Trouble::Folder(folder.clone(), error))?
        .ok_or_else(|| {
            let what = "its file \"station\" is not the number of a station: put it aside";
            Trouble::Folder(folder.clone(), std::io::Error::other(what))
        })?;
    let parts = Parts {
        display,
        record,
        keeper,
        number,
        board: model(),
        keys: settings.keys.clone(),
        pedal_closed: at_start.pedal_closed,
        keys_closed: at_start.keys_closed,
        beeper,
        clock,
        times: times.then(Times::start),
    };
    let progress = run(parts, &inbox)?;
    Ok(format!("stopped: {progress}\n"))
}

/// What is kept in the folder is there when the power has been gone.
fn lasts(folder: &Path) -> Result<(), Trouble> {
    // without either of them nothing is known, and nothing is said
    let place = fs::canonicalize(folder).unwrap_or_else(|_| folder.to_owned());
    let mounts = fs::read_to_string(MOUNTS).unwrap_or_default();
    match lasting::forgets(&place, &mounts) {
        Some(kind) => Err(Trouble::Forgets(folder.to_owned(), kind.to_owned())),
        None => Ok(()),
    }
}

/// Tells every edge of the contacts, so that the wiring can be tried without a screen, until SIGTERM or SIGINT.
pub fn tell_contacts(settings: &Settings) -> Result<String, Trouble> {
    let clock = Clock::start();
    let (out, inbox) = mpsc::channel();
    stop_on_signals(out.clone())?;
    if settings.contacts.through == Through::Off {
        return Err(Trouble::ContactsOff);
    }
    let at_start = contacts::start(&settings.contacts, clock, out)?;
    for (pin, key) in settings.contacts.wired() {
        let closed = match key {
            None => at_start.pedal_closed,
            Some(key) => at_start.keys_closed.contains(&key),
        };
        let state = if closed { "closed" } else { "open" };
        println!("{}, pin {pin}: {state}", name(key));
    }
    while let Ok(Message::Contact { key, closed, at }) = inbox.recv() {
        let does = if closed { "closes" } else { "opens" };
        println!("{} {does} at {at} ms", name(key));
    }
    Ok(String::new())
}

fn stop_on_signals(out: Sender<Message>) -> Result<(), Trouble> {
    let mut signals = Signals::new([SIGTERM, SIGINT])
        .map_err(|error| Trouble::System("signals cannot be waited for", error))?;
    thread::spawn(move || {
        for _ in signals.forever() {
            // it may have stopped already
            let _ = out.send(Message::Stop);
        }
    });
    Ok(())
}

/// The computer's name, short enough for the link.
fn model() -> String {
    let model = fs::read_to_string(MODEL).unwrap_or_default();
    let model = model.trim_end_matches('\0').replace("Raspberry ", "");
    match model.is_empty() {
        true => "Linux computer".to_owned(),
        false => model,
    }
}
