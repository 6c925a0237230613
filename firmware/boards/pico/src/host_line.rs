//! The line to the host: bytes from it and bytes to it, over USB or the serial pins. What they mean is left to the station.

use core::future::pending;

use embassy_executor::{SpawnError, Spawner};
use embassy_sync::blocking_mutex::raw::CriticalSectionRawMutex;
use embassy_sync::pipe::Pipe;
use embassy_sync::signal::Signal;

use crate::pins::HostParts;

/// Bytes that wait for the station: what the host sends while a picture is painted. More waits at the host.
static FROM_HOST: Pipe<CriticalSectionRawMutex, 1024> = Pipe::new();
/// Bytes that wait for the host: an answer and then some.
static TO_HOST: Pipe<CriticalSectionRawMutex, 1024> = Pipe::new();
static CUT: Signal<CriticalSectionRawMutex, ()> = Signal::new();

/// The next bytes from the host, at least one.
pub async fn read(bytes: &mut [u8]) -> usize {
    FROM_HOST.read(bytes).await
}

/// Takes bytes for the host, as many as there is room for, when there is room for one; how many that were. Nothing is
/// taken where it is dropped before that. Never done where there are no bytes.
pub async fn write(bytes: &[u8]) -> usize {
    match bytes {
        [] => pending().await,
        bytes => TO_HOST.write(bytes).await,
    }
}

/// The line was opened or closed, which only USB tells: whoever is at its other end now has heard nothing of what was said before.
pub async fn cut() {
    CUT.wait().await;
}

#[cfg(not(feature = "uart"))]
fn was_cut() {
    FROM_HOST.clear();
    TO_HOST.clear();
    CUT.signal(());
}

#[cfg(not(feature = "uart"))]
pub use usb::start;

#[cfg(feature = "uart")]
pub use serial::start;

#[cfg(not(feature = "uart"))]
mod usb {
    //! A USB serial port (CDC ACM), which every system that a host runs on knows without a driver.

    use core::fmt::Write;

    use embassy_rp::bind_interrupts;
    use embassy_rp::peripherals::USB;
    use embassy_rp::usb::{Driver, InterruptHandler};
    use embassy_usb::class::cdc_acm::{CdcAcmClass, ControlChanged, Receiver, Sender, State};
    use embassy_usb::driver::EndpointError;
    use embassy_usb::{Builder, Config, UsbDevice};
    use heapless::String;
    use static_cell::StaticCell;

    use super::*;
    use crate::settings::{USB_ID, USB_NAMES};

    bind_interrupts!(struct Interrupts {
        USBCTRL_IRQ => InterruptHandler<USB>;
    });

    type Port = Driver<'static, USB>;

    const PACKET: usize = 64;

    struct Memory {
        configuration: [u8; 128],
        names: [u8; 64],
        control: [u8; 64],
        serial: String<16>,
        state: State<'static>,
    }

    /// Starts the line.
    pub fn start(spawner: Spawner, parts: HostParts, number: u64) -> Result<(), SpawnError> {
        static MEMORY: StaticCell<Memory> = StaticCell::new();
        let memory = MEMORY.init_with(|| Memory {
            configuration: [0; 128],
            names: [0; 64],
            control: [0; 64],
            serial: String::new(),
            state: State::new(),
        });
        // 64 bits are 16 digits
        let _ = write!(memory.serial, "{number:016x}");
        let mut config = Config::new(USB_ID.0, USB_ID.1);
        config.manufacturer = Some(USB_NAMES.0);
        config.product = Some(USB_NAMES.1);
        config.serial_number = Some(&memory.serial);
        let mut builder = Builder::new(
            Driver::new(parts.usb, Interrupts),
            config,
            &mut memory.configuration,
            &mut memory.names,
            &mut [],
            &mut memory.control,
        );
        let port = CdcAcmClass::new(&mut builder, &mut memory.state, PACKET as u16);
        let (sender, receiver, changes) = port.split_with_control();
        spawner.spawn(device(builder.build())?);
        spawner.spawn(from_host(receiver)?);
        spawner.spawn(to_host(sender)?);
        spawner.spawn(opened_and_closed(changes)?);
        Ok(())
    }

    #[embassy_executor::task]
    async fn device(mut device: UsbDevice<'static, Port>) -> ! {
        device.run().await
    }

    /// A program at the host opens the port and closes it.
    #[embassy_executor::task]
    async fn opened_and_closed(changes: ControlChanged<'static>) -> ! {
        let mut open = false;
        loop {
            changes.control_changed().await;
            if changes.dtr() != open {
                open = changes.dtr();
                was_cut();
            }
        }
    }

    #[embassy_executor::task]
    async fn from_host(mut receiver: Receiver<'static, Port>) -> ! {
        let mut packet = [0; PACKET];
        loop {
            receiver.wait_connection().await;
            was_cut();
            while let Ok(count) = receiver.read_packet(&mut packet).await {
                FROM_HOST.write_all(&packet[..count]).await;
            }
        }
    }

    #[embassy_executor::task]
    async fn to_host(mut sender: Sender<'static, Port>) -> ! {
        let mut packet = [0; PACKET];
        loop {
            sender.wait_connection().await;
            let gone: Result<(), EndpointError> = async {
                loop {
                    let count = TO_HOST.read(&mut packet).await;
                    sender.write_packet(&packet[..count]).await?;
                    if count == PACKET && TO_HOST.is_empty() {
                        // a full packet alone does not end what the host waits for
                        sender.write_packet(&[]).await?;
                    }
                }
            }
            .await;
            if gone.is_err() {
                defmt::info!("the host has gone");
            }
        }
    }
}

#[cfg(feature = "uart")]
mod serial {
    //! The serial pins, for a host with a serial port of its own or an adapter.

    use embassy_rp::bind_interrupts;
    use embassy_rp::peripherals::UART0;
    use embassy_rp::uart::{
        BufferedInterruptHandler, BufferedUart, BufferedUartRx, BufferedUartTx, Config,
    };
    use embedded_io_async::{Read, Write};
    use static_cell::StaticCell;

    use super::*;
    use crate::settings::SERIAL_BAUD;

    bind_interrupts!(struct Interrupts {
        UART0_IRQ => BufferedInterruptHandler<UART0>;
    });

    const BUFFER: usize = 256;

    /// Starts the line.
    pub fn start(spawner: Spawner, parts: HostParts, _number: u64) -> Result<(), SpawnError> {
        static BUFFERS: [StaticCell<[u8; BUFFER]>; 2] = [StaticCell::new(), StaticCell::new()];
        let [out, from] = BUFFERS.each_ref().map(|buffer| buffer.init([0; BUFFER]));
        let mut config = Config::default();
        config.baudrate = SERIAL_BAUD;
        let line = BufferedUart::new(
            parts.serial,
            parts.out,
            parts.from,
            Interrupts,
            out,
            from,
            config,
        );
        let (sender, receiver) = line.split();
        spawner.spawn(from_host(receiver)?);
        spawner.spawn(to_host(sender)?);
        Ok(())
    }

    #[embassy_executor::task]
    async fn from_host(mut receiver: BufferedUartRx) -> ! {
        let mut bytes = [0; BUFFER];
        loop {
            // what is lost or garbled on the line is found by the link's own check
            if let Ok(count) = receiver.read(&mut bytes).await {
                FROM_HOST.write_all(&bytes[..count]).await;
            }
        }
    }

    #[embassy_executor::task]
    async fn to_host(mut sender: BufferedUartTx) -> ! {
        let mut bytes = [0; BUFFER];
        loop {
            let count = TO_HOST.read(&mut bytes).await;
            if sender.write_all(&bytes[..count]).await.is_err() {
                defmt::warn!("the serial line did not take {} bytes", count);
            }
        }
    }
}
