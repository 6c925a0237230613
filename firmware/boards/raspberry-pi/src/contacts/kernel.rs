//! Contacts through the kernel's interface for pins, which every Linux computer has. What a contact means is left to the
//! module above.

use std::path::PathBuf;
use std::sync::mpsc::Sender;
use std::thread;

use gpiocdev::Request;
use gpiocdev::chip::{Chip, chips};
use gpiocdev::line::{Bias, EdgeDetection, EdgeKind, Value};
use station::machine::Key;

use super::AtStart;
use crate::message::{Clock, Message};
use crate::settings::{ClosesTo, Contacts};
use crate::trouble::Trouble;

/// What the kernel calls the chip of the header's pins, on every Raspberry Pi.
const HEADER: &str = "pinctrl-";

/// Listens to the pins that are wired.
pub fn start(
    wanted: &Contacts,
    wired: Vec<(u8, Option<Key>)>,
    clock: Clock,
    out: Sender<Message>,
) -> Result<AtStart, Trouble> {
    let chip = find_chip(wanted)?;
    let told = |error: gpiocdev::Error| Trouble::Contacts(format!("{}: {error}", chip.display()));
    let pins: Vec<u32> = wired.iter().map(|(pin, _)| u32::from(*pin)).collect();
    let mut request = Request::builder();
    request
        .on_chip(&chip)
        .with_consumer("baserun")
        .as_input()
        .with_edge_detection(EdgeDetection::BothEdges);
    match wanted.closes_to {
        ClosesTo::Ground => request.with_bias(Bias::PullUp).as_active_low(),
        ClosesTo::Supply => request.with_bias(Bias::PullDown),
    };
    let request = request.with_lines(&pins).request().map_err(told)?;
    let mut at_start = AtStart::default();
    for (pin, key) in &wired {
        let value = request.value(u32::from(*pin)).map_err(told)?;
        at_start.add(*key, value == Value::Active);
    }
    thread::spawn(move || {
        while let Ok(edge) = request.read_edge_event() {
            let at = clock.now();
            let named = wired.iter().find(|(pin, _)| u32::from(*pin) == edge.offset);
            let Some((_, key)) = named else { continue };
            let closed = edge.kind == EdgeKind::Rising;
            let key = *key;
            if out.send(Message::Contact { key, closed, at }).is_err() {
                return;
            }
        }
        eprintln!("the contacts are read no longer");
    });
    Ok(at_start)
}

/// The chip that is named, or that of a Raspberry Pi's header.
///
/// # Errors
/// There is none, or the right to use it is missing.
pub fn find_chip(wanted: &Contacts) -> Result<PathBuf, Trouble> {
    if let Some(chip) = &wanted.chip.0 {
        return Ok(PathBuf::from(chip));
    }
    let all = chips().unwrap_or_default();
    let is_header = |path: &&PathBuf| {
        let info = Chip::from_path(path).and_then(|chip| chip.info());
        info.is_ok_and(|info| info.label.starts_with(HEADER))
    };
    if let Some(header) = all.iter().find(is_header) {
        return Ok(header.clone());
    }
    Err(Trouble::Contacts(
        "no chip here has the pins of a Raspberry Pi, or the right to use it is missing (group gpio); [contacts] chip names another"
            .to_owned(),
    ))
}
