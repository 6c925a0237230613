//! Finding stations: hello is said at every serial port at which one can be. Choosing among several is left to the program.

use serialport::{SerialPortInfo, SerialPortType};
use shared_model::messages::Hello;

use crate::asking::{Asking, Manner};
use crate::error::LinkError;
use crate::wire::{To, connect};

/// A station that answered.
#[derive(Debug)]
pub struct Found {
    /// The way to it.
    pub to: To,
    /// Who it is. Its version of the link may be another one ([`Hello::mismatch`]).
    pub hello: Hello,
}

/// A port at which no station answered.
#[derive(Debug)]
pub struct Silent {
    /// The way to it.
    pub to: To,
    /// Why not.
    pub why: LinkError,
}

/// What was found.
#[derive(Debug, Default)]
pub struct Search {
    /// The stations, by their ports' names.
    pub stations: Vec<Found>,
    /// The other ports that were tried.
    pub silent: Vec<Silent>,
}

/// Says hello at every serial port at which a station can be: those of USB, and those of Linux that are named like them.
/// A port takes up to 0.6 s; what is no station gets some twelve bytes twice.
pub fn find() -> Search {
    let mut search = Search::default();
    for port in ports() {
        let to = To::Serial(port);
        let hello = connect(&to).and_then(|wire| Asking::on(wire, Manner::in_passing()).hello());
        match hello {
            Ok(hello) => search.stations.push(Found { to, hello }),
            Err(why) => search.silent.push(Silent { to, why }),
        }
    }
    search
}

fn ports() -> Vec<String> {
    // the library panics where a system has no such folder, as in a small container
    if cfg!(target_os = "linux") && !std::path::Path::new("/sys/class/tty").is_dir() {
        return Vec::new();
    }
    // a list that cannot be had is an empty one: a port can still be named
    let ports = serialport::available_ports().unwrap_or_default();
    candidates(ports)
}

fn candidates(ports: Vec<SerialPortInfo>) -> Vec<String> {
    let mut names: Vec<String> = ports
        .into_iter()
        .filter(|port| {
            let name = port.port_name.as_str();
            let usb = matches!(port.port_type, SerialPortType::UsbPort(_));
            let named = ["/dev/ttyACM", "/dev/ttyUSB", "/dev/rfcomm"];
            // every port of that system has two names; this one waits for a modem
            let waits = name.starts_with("/dev/tty.");
            (usb && !waits) || named.iter().any(|start| name.starts_with(start))
        })
        .map(|port| port.port_name)
        .collect();
    names.sort();
    names.dedup();
    names
}

#[cfg(test)]
mod tests {
    use serialport::UsbPortInfo;

    use super::*;

    #[test]
    fn ports_at_which_a_station_can_be() {
        let usb = || {
            SerialPortType::UsbPort(UsbPortInfo {
                vid: 1,
                pid: 2,
                serial_number: None,
                manufacturer: None,
                product: None,
            })
        };
        let port = |name: &str, port_type| SerialPortInfo {
            port_name: name.to_owned(),
            port_type,
        };
        let found = candidates(vec![
            port("/dev/ttyUSB0", SerialPortType::Unknown),
            port("/dev/ttyS0", SerialPortType::PciPort),
            port("/dev/ttyACM1", usb()),
            port("/dev/ttyACM0", usb()),
            port("/dev/tty.usbmodem1", usb()),
            port("/dev/cu.usbmodem1", usb()),
            port("/dev/cu.phone", SerialPortType::BluetoothPort),
            port("COM3", usb()),
            port("COM1", SerialPortType::Unknown),
        ]);
        let expected = [
            "/dev/cu.usbmodem1",
            "/dev/ttyACM0",
            "/dev/ttyACM1",
            "/dev/ttyUSB0",
            "COM3",
        ];
        assert_eq!(found, expected.map(str::to_owned));
    }

    #[test]
    fn ports_are_listed_whatever_the_system_has() {
        // only listed: a test says hello to nobody's machines
        assert!(ports().is_sorted());
    }
}
