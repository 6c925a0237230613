//! The beeper on a pin: one with a tone of its own, so that each beep is a rhythm. When to beep is left to the station.

use std::sync::mpsc::{self, Receiver, RecvTimeoutError, Sender};
use std::thread;
use std::time::Duration;

use gpiocdev::Request;
use gpiocdev::line::Value;
use station::machine::Beep;

use crate::contacts;
use crate::settings::Contacts;
use crate::trouble::Trouble;

/// Milliseconds on, off, on and so forth.
fn rhythm(beep: Beep) -> &'static [u64] {
    match beep {
        Beep::Accepted => &[90],
        Beep::TakenBack => &[60, 60, 140],
        Beep::Question => &[70, 60, 70, 60, 90],
        Beep::Refused => &[350],
    }
}

/// A way to the beeper, if there is one.
///
/// # Errors
/// Its pin cannot be had.
pub fn start(wanted: &Contacts) -> Result<Option<Sender<Beep>>, Trouble> {
    if wanted.beeper == 0 {
        return Ok(None);
    }
    let chip = contacts::find_chip(wanted)?;
    let pin = Request::builder()
        .on_chip(&chip)
        .with_consumer("baserun")
        .with_line(u32::from(wanted.beeper))
        .as_output(Value::Inactive)
        .request()
        .map_err(|error| Trouble::Beeper(format!("{}: {error}", chip.display())))?;
    let (out, inbox) = mpsc::channel();
    thread::spawn(move || {
        let mut next = inbox.recv().ok();
        while let Some(beep) = next {
            next = play(&pin, beep, &inbox).or_else(|| inbox.recv().ok());
        }
    });
    Ok(Some(out))
}

/// Plays a beep; the next one cuts it short.
fn play(pin: &Request, beep: Beep, inbox: &Receiver<Beep>) -> Option<Beep> {
    let mut level = Value::Active;
    for milliseconds in rhythm(beep) {
        // a beeper that does not sound stops nothing else
        let _ = pin.set_lone_value(level);
        level = level.not();
        match inbox.recv_timeout(Duration::from_millis(*milliseconds)) {
            Ok(next) => return Some(next),
            Err(RecvTimeoutError::Timeout) => {}
            Err(RecvTimeoutError::Disconnected) => break,
        }
    }
    let _ = pin.set_lone_value(Value::Inactive);
    None
}
