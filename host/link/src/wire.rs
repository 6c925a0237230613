//! The lines to a station that there are: a serial port, or TCP. What is said on them is left to the link.

use std::fmt;
use std::io::{self, Read, Write};
use std::net::{TcpStream, ToSocketAddrs};
use std::str::FromStr;
use std::time::Duration;

use crate::error::LinkError;

/// How long a read or a write of a line waits before it says that it timed out.
pub const TICK: Duration = Duration::from_millis(20);

/// The speed of a serial line that has one; USB serial takes no notice of it.
pub const BAUD: u32 = 115_200;

/// How long the other end of a TCP line may take to accept it.
const ACCEPTS: Duration = Duration::from_secs(5);

/// A line to a station. A read waits for a byte no longer than about [`TICK`] and then fails with
/// [`io::ErrorKind::TimedOut`] or [`io::ErrorKind::WouldBlock`]; no bytes without an error mean that the line is cut.
pub trait Wire: Read + Write {}

impl<T: Read + Write + ?Sized> Wire for T {}

/// The way to a station.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum To {
    /// A host and a port, such as `192.168.1.20:7370`.
    Tcp(String),
    /// A serial port, such as `/dev/ttyACM0` or `COM3`.
    Serial(String),
}

impl FromStr for To {
    type Err = LinkError;

    /// Reads `tcp:HOST:PORT`, or else the name of a serial port.
    fn from_str(text: &str) -> Result<To, LinkError> {
        let bad = || LinkError::NoAddress(text.to_owned());
        match text.strip_prefix("tcp:") {
            Some(address) => {
                let (host, port) = address.rsplit_once(':').ok_or_else(bad)?;
                match !host.is_empty() && port.parse::<u16>().is_ok() {
                    true => Ok(To::Tcp(address.to_owned())),
                    false => Err(bad()),
                }
            }
            None if text.is_empty() => Err(bad()),
            None => Ok(To::Serial(text.to_owned())),
        }
    }
}

impl fmt::Display for To {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            To::Tcp(address) => write!(f, "tcp:{address}"),
            To::Serial(port) => f.write_str(port),
        }
    }
}

/// Opens the line to a station; nothing is said on it yet.
///
/// # Errors
/// [`LinkError::CannotOpen`].
pub fn connect(to: &To) -> Result<Box<dyn Wire + Send>, LinkError> {
    let opened = match to {
        To::Tcp(address) => tcp(address),
        To::Serial(port) => serial(port),
    };
    opened.map_err(|error| {
        let to = to.to_string();
        LinkError::CannotOpen { to, error }
    })
}

fn tcp(address: &str) -> io::Result<Box<dyn Wire + Send>> {
    let mut refused = io::ErrorKind::NotFound.into();
    for address in address.to_socket_addrs()? {
        match TcpStream::connect_timeout(&address, ACCEPTS) {
            Ok(stream) => {
                stream.set_nodelay(true)?;
                stream.set_read_timeout(Some(TICK))?;
                stream.set_write_timeout(Some(TICK))?;
                return Ok(Box::new(stream));
            }
            Err(error) => refused = error,
        }
    }
    Err(refused)
}

fn serial(port: &str) -> io::Result<Box<dyn Wire + Send>> {
    let mut port = serialport::new(port, BAUD).timeout(TICK).open()?;
    // a station on USB may speak only to who says that he listens; a line without that wire says no to it
    let _ = port.write_data_terminal_ready(true);
    Ok(Box::new(port))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ways_are_read_as_they_are_written() {
        for text in ["tcp:localhost:7370", "tcp:[::1]:80", "/dev/ttyACM0", "COM3"] {
            let to: To = text.parse().expect("a way");
            assert_eq!(to.to_string(), text);
            assert_eq!(matches!(to, To::Tcp(_)), text.starts_with("tcp:"));
        }
        for text in [
            "",
            "tcp:",
            "tcp:host",
            "tcp:host:",
            "tcp::80",
            "tcp:host:99999",
        ] {
            let error = text.parse::<To>().expect_err("no way").to_string();
            assert!(
                error.starts_with(&format!("\"{text}\" is no way")),
                "{error}"
            );
        }
    }

    #[test]
    fn what_cannot_be_opened_is_named() {
        let to = To::Serial("/no/such/port".to_owned());
        let error = connect(&to).err().expect("no port").to_string();
        assert!(
            error.starts_with("/no/such/port cannot be opened"),
            "{error}"
        );
    }
}
