//! Contacts through rppal, the only place that knows it. Its authors have ended it in 2025; where its way to the pins no
//! longer works, the kernel's is there. What a contact means is left to the module above.

use std::sync::mpsc::Sender;

use rppal::gpio::{Gpio, Level, Trigger};
use station::machine::Key;

use super::AtStart;
use crate::message::{Clock, Message};
use crate::settings::ClosesTo;
use crate::trouble::Trouble;

/// Listens to the pins that are wired.
pub fn start(
    closes_to: ClosesTo,
    wired: Vec<(u8, Option<Key>)>,
    clock: Clock,
    out: Sender<Message>,
) -> Result<AtStart, Trouble> {
    let told = |error: rppal::gpio::Error| {
        Trouble::Contacts(format!(
            "rppal: {error}; [contacts] through = \"kernel\" is the other way"
        ))
    };
    let gpio = Gpio::new().map_err(told)?;
    let mut at_start = AtStart::default();
    for (pin, key) in wired {
        let pin = gpio.get(pin).map_err(told)?;
        let (mut pin, closed, closing) = match closes_to {
            ClosesTo::Ground => (pin.into_input_pullup(), Level::Low, Trigger::FallingEdge),
            ClosesTo::Supply => (pin.into_input_pulldown(), Level::High, Trigger::RisingEdge),
        };
        at_start.add(key, pin.read() == closed);
        let out = out.clone();
        let listen = pin.set_async_interrupt(Trigger::Both, None, move |edge| {
            let closed = edge.trigger == closing;
            let at = clock.now();
            // it may have ended with the program
            let _ = out.send(Message::Contact { key, closed, at });
        });
        listen.map_err(told)?;
        // it is listened to until the program ends
        std::mem::forget(pin);
    }
    Ok(at_start)
}
