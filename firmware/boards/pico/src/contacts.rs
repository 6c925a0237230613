//! Pedal and keys: every edge of a contact, with its time, on its way to the station. What bounces and what counts is left
//! to the station.
//!
//! They run at a higher priority than all else, so that an edge gets its own time while a picture is painted. Each waits
//! for the level that it does not have: unlike an edge, a level cannot slip through between two looks at the pin. While
//! flash is written nothing is seen; what the contacts read afterwards comes through then, and the station is told that nobody
//! looked.

use embassy_executor::SendSpawner;
use embassy_rp::gpio::{AnyPin, Input, Pull};
use embassy_sync::blocking_mutex::raw::CriticalSectionRawMutex;
use embassy_sync::channel::Channel;
use embassy_time::Instant;
use station::machine::{Input as StationInput, Key};

use crate::pins::Part;

/// Pedal and keys.
const CONTACTS: usize = 1 + Key::ALL.len();

/// Edges on their way: more than a contact that chatters makes while a picture is painted. When it is full, what follows
/// is read when there is room again.
static EDGES: Channel<CriticalSectionRawMutex, Edge, 64> = Channel::new();

/// A contact was closed or opened.
#[derive(Debug, Clone, Copy)]
pub struct Edge {
    /// What the station takes in.
    pub input: StationInput,
    /// When, in milliseconds since the start.
    pub at: u32,
}

/// How the contacts stand at the start.
#[derive(Debug, Clone, Copy)]
pub struct AtStart {
    pub pedal: bool,
    pub keys: [Option<Key>; Key::ALL.len()],
}

/// Reads every contact once and listens to them from then on.
pub fn listen(
    spawner: SendSpawner,
    pedal: Part<AnyPin>,
    keys: [(Key, Part<AnyPin>); Key::ALL.len()],
) -> Result<AtStart, embassy_executor::SpawnError> {
    let pedal = Input::new(pedal, Pull::Up);
    let mut at_start = AtStart {
        pedal: pedal.is_low(),
        keys: [None; Key::ALL.len()],
    };
    spawner.spawn(contact(Contact::Pedal, pedal)?);
    for ((key, pin), closed) in keys.into_iter().zip(&mut at_start.keys) {
        let pin = Input::new(pin, Pull::Up);
        *closed = pin.is_low().then_some(key);
        spawner.spawn(contact(Contact::Key(key), pin)?);
    }
    Ok(at_start)
}

/// The next edge, when it comes.
pub async fn next() -> Edge {
    EDGES.receive().await
}

/// The next edge, if one waits.
pub fn waiting() -> Option<Edge> {
    EDGES.try_receive().ok()
}

#[derive(Debug, Clone, Copy)]
enum Contact {
    Pedal,
    Key(Key),
}

impl Contact {
    fn reads(self, closed: bool) -> StationInput {
        match self {
            Contact::Pedal => StationInput::Pedal { closed },
            Contact::Key(key) => StationInput::Contact { key, closed },
        }
    }
}

#[embassy_executor::task(pool_size = CONTACTS)]
async fn contact(contact: Contact, mut pin: Input<'static>) -> ! {
    let mut closed = pin.is_low();
    loop {
        match closed {
            true => pin.wait_for_high().await,
            false => pin.wait_for_low().await,
        }
        closed = !closed;
        let edge = Edge {
            input: contact.reads(closed),
            at: Instant::now().as_millis() as u32,
        };
        EDGES.send(edge).await;
    }
}
