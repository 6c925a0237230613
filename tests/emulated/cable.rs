//! A cable between a program and the emulated station that lets no more through from some byte or some answer on, and says
//! when that has come. What happens then is left to the tests.

use std::io::{Read, Write};
use std::net::{Shutdown, TcpListener, TcpStream};
use std::sync::mpsc::{Receiver, Sender, channel};
use std::sync::{Arc, Mutex};
use std::thread;

use shared_model::frame::{self, Heard, Kind};
use shared_model::messages::{Answer, read};

/// How far what goes through a cable comes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Reach {
    /// Everything gets through.
    Whole,
    /// So many bytes do, there and back.
    Bytes(usize),
    /// Nothing from where the station says that a list is in use.
    Committed,
    /// Nothing from where the station says that it has heard that its events are kept.
    Confirmed,
}

/// A cable.
pub struct Cable {
    /// Where it begins, as `--to` names it.
    pub to: String,
    /// Something comes when no more gets through.
    pub reached: Receiver<()>,
    state: Arc<Mutex<State>>,
}

struct State {
    /// Bytes that have gone through since it was told how many may.
    gone: usize,
    reach: Reach,
    lines: Vec<TcpStream>,
}

impl Cable {
    /// One whose other end is at this port.
    pub fn to(port: u16) -> Cable {
        let listener = TcpListener::bind(("127.0.0.1", 0)).expect("a port");
        let to = format!("tcp:{}", listener.local_addr().expect("a port"));
        let state = Arc::new(Mutex::new(State {
            gone: 0,
            reach: Reach::Whole,
            lines: Vec::new(),
        }));
        let (reach, reached) = channel();
        let shared = Arc::clone(&state);
        // it ends with the test's process
        thread::spawn(move || {
            for here in listener.incoming().map_while(Result::ok) {
                let there = TcpStream::connect(("127.0.0.1", port)).expect("the emulator");
                for (from, to, from_station) in [(&here, &there, false), (&there, &here, true)] {
                    from.set_nodelay(true).expect("a line");
                    let [from, to] = [from, to].map(|end| end.try_clone().expect("a line"));
                    let (state, reach) = (Arc::clone(&shared), reach.clone());
                    thread::spawn(move || carry(from, to, from_station, &state, &reach));
                }
                let mut state = shared.lock().expect("no test panicked with it");
                state.lines.extend([here, there]);
            }
        });
        Cable { to, reached, state }
    }

    /// From now on so much gets through.
    pub fn carries(&self, reach: Reach) {
        let mut state = self.state.lock().expect("no test panicked with it");
        (state.gone, state.reach) = (0, reach);
        // there and back can both have come to the last one
        self.reached.try_iter().for_each(drop);
    }

    /// How many bytes have gone through since then.
    pub fn gone(&self) -> usize {
        self.state.lock().expect("no test panicked with it").gone
    }

    /// Hangs up on both sides.
    pub fn pull(&self) {
        let mut state = self.state.lock().expect("no test panicked with it");
        for line in state.lines.drain(..) {
            // the other side may have hung up before
            let _ = line.shutdown(Shutdown::Both);
        }
    }
}

impl State {
    /// How many of these bytes, which bring that answer to its end, get through.
    fn lets_through(&self, bytes: usize, brought: Option<Reach>) -> usize {
        match self.reach {
            Reach::Bytes(most) => bytes.min(most - self.gone.min(most)),
            reach if brought == Some(reach) => 0,
            _ => bytes,
        }
    }
}

/// Carries bytes one way until no more may get through or a side hangs up.
fn carry(
    mut from: TcpStream,
    mut to: TcpStream,
    from_station: bool,
    state: &Mutex<State>,
    reach: &Sender<()>,
) {
    let mut answers = frame::Receiver::of(Kind::Answer);
    let mut bytes = [0; 1024];
    while let Ok(count) = from.read(&mut bytes) {
        let brought = from_station
            .then(|| brought(&mut answers, &bytes[..count]))
            .flatten();
        let (going, ends) = {
            let mut state = state.lock().expect("no test panicked with it");
            let going = state.lets_through(count, brought);
            state.gone += going;
            (going, going < count)
        };
        if to.write_all(&bytes[..going]).is_err() || count == 0 {
            break;
        }
        if ends {
            // nobody waits for it where the program has ended by itself
            let _ = reach.send(());
            return;
        }
    }
    let _ = to.shutdown(Shutdown::Write);
}

/// Which of the answers that a cable can reach to these bytes bring the end of.
fn brought(answers: &mut frame::Receiver, bytes: &[u8]) -> Option<Reach> {
    let mut brought = None;
    for &byte in bytes {
        if let Heard::Message { message, .. } = answers.hear(byte) {
            brought = match read(message) {
                Some(Answer::Committed { .. }) => Some(Reach::Committed),
                Some(Answer::Confirmed { .. }) => Some(Reach::Confirmed),
                _ => brought,
            };
        }
    }
    brought
}
