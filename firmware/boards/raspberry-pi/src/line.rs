//! The lines to hosts: bytes from TCP or a serial port to the station, and its answers back. What they mean is left to the
//! station.

use std::io::{self, ErrorKind, Read, Write};
use std::net::{SocketAddr, TcpListener, TcpStream};
use std::sync::mpsc::{self, Sender};
use std::thread;
use std::time::Duration;

use crate::message::Message;
use crate::trouble::Trouble;

/// The number of the serial line; those of TCP lines follow.
const SERIAL: u32 = 0;
/// How long it is waited before a serial port is tried again.
const AGAIN: Duration = Duration::from_millis(1_000);

/// Listens on TCP; gives the address, with its port where the system chose it.
///
/// # Errors
/// Nobody can listen there.
pub fn listen(address: SocketAddr, out: Sender<Message>) -> Result<SocketAddr, Trouble> {
    let told = |error| Trouble::Address(address.to_string(), error);
    let listener = TcpListener::bind(address).map_err(told)?;
    let at = listener.local_addr().map_err(told)?;
    thread::spawn(move || {
        let mut number = SERIAL;
        for stream in listener.incoming() {
            let Ok(stream) = stream else {
                // what the system is short of comes back
                thread::sleep(AGAIN);
                continue;
            };
            number = number.wrapping_add(1).max(SERIAL + 1);
            let (line, out) = (number, out.clone());
            thread::spawn(move || {
                // a line that breaks is the host's to open again
                let _ = tcp(stream, line, &out);
            });
        }
    });
    Ok(at)
}

fn tcp(mut stream: TcpStream, line: u32, out: &Sender<Message>) -> io::Result<()> {
    stream.set_nodelay(true)?;
    let mut bytes = [0; 1024];
    loop {
        let count = match stream.read(&mut bytes) {
            Ok(0) => return Ok(()),
            Err(error) if error.kind() == ErrorKind::Interrupted => continue,
            read => read?,
        };
        let Some(answer) = ask(line, &bytes[..count], out) else {
            return Ok(());
        };
        stream.write_all(&answer)?;
    }
}

/// What the station answers; none where it has stopped.
fn ask(line: u32, bytes: &[u8], out: &Sender<Message>) -> Option<Vec<u8>> {
    let (reply, answer) = mpsc::channel();
    let bytes = bytes.to_vec();
    out.send(Message::Asked { line, bytes, reply }).ok()?;
    answer.recv().ok()
}

/// Listens on a serial port, and opens it again whenever it fails.
///
/// # Errors
/// It cannot be opened at the start.
pub fn serial(port: &str, baud: u32, out: Sender<Message>) -> Result<(), Trouble> {
    let open = move |port: &str| {
        serialport::new(port, baud)
            .timeout(AGAIN)
            .open()
            .map_err(|error| Trouble::Serial(port.to_owned(), error.to_string()))
    };
    let mut wire = Some(open(port)?);
    let port = port.to_owned();
    thread::spawn(move || {
        let mut bytes = [0; 1024];
        loop {
            let Some(open_wire) = &mut wire else {
                thread::sleep(AGAIN);
                wire = open(&port).ok();
                continue;
            };
            let done = match open_wire.read(&mut bytes) {
                // a gadget without a computer at its other end has nothing to say
                Ok(0) => {
                    thread::sleep(AGAIN);
                    Ok(())
                }
                Ok(count) => match ask(SERIAL, &bytes[..count], &out) {
                    Some(answer) => open_wire.write_all(&answer),
                    None => return,
                },
                Err(error)
                    if matches!(error.kind(), ErrorKind::TimedOut | ErrorKind::Interrupted) =>
                {
                    Ok(())
                }
                Err(error) => Err(error),
            };
            if done.is_err() {
                wire = None;
            }
        }
    });
    Ok(())
}
