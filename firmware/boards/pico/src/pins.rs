//! Which pin goes where: the one table, the same as the wiring table of `hardware-notes/pico.md`, and the chip's other
//! parts by what they are used for. What is done with them is left to those who get them.

use embassy_rp::Peri;
use embassy_rp::Peripherals;
use embassy_rp::gpio::AnyPin;
use embassy_rp::peripherals as chip;
use station::machine::Key;

/// A part of the chip, for good.
pub type Part<T> = Peri<'static, T>;

/// The panel's bus and its three control lines.
pub struct PanelParts {
    pub bus: Part<chip::SPI0>,
    pub feed: Part<chip::DMA_CH0>,
    pub clock: Part<chip::PIN_18>,
    pub out: Part<chip::PIN_19>,
    pub select: Part<chip::PIN_17>,
    /// Low for a command, high for what belongs to it.
    pub is_data: Part<chip::PIN_20>,
    pub reset: Part<chip::PIN_21>,
}

/// The light behind the panel.
pub struct LightParts {
    pub pulse: Part<chip::PWM_SLICE3>,
    pub pin: Part<chip::PIN_22>,
}

/// The beeper.
pub struct BeeperParts {
    pub pulse: Part<chip::PWM_SLICE7>,
    pub pin: Part<chip::PIN_14>,
}

/// The way to the host.
#[cfg(not(feature = "uart"))]
pub struct HostParts {
    pub usb: Part<chip::USB>,
}

/// The way to the host.
#[cfg(feature = "uart")]
pub struct HostParts {
    pub serial: Part<chip::UART0>,
    pub out: Part<chip::PIN_0>,
    pub from: Part<chip::PIN_1>,
}

/// Everything that the station uses of the chip.
pub struct Parts {
    pub panel: PanelParts,
    pub light: LightParts,
    pub beeper: BeeperParts,
    pub host: HostParts,
    /// Each contact goes from its pin to ground; the chip's own resistor pulls it up.
    pub pedal: Part<AnyPin>,
    pub keys: [(Key, Part<AnyPin>); Key::ALL.len()],
    /// The light-emitting diode on the board itself.
    pub lamp: Part<chip::PIN_25>,
    pub flash: Part<chip::FLASH>,
    pub watchdog: Part<chip::WATCHDOG>,
}

impl Parts {
    /// The chip's parts, handed out.
    pub fn of(chip: Peripherals) -> Parts {
        Parts {
            panel: PanelParts {
                bus: chip.SPI0,
                feed: chip.DMA_CH0,
                clock: chip.PIN_18,
                out: chip.PIN_19,
                select: chip.PIN_17,
                is_data: chip.PIN_20,
                reset: chip.PIN_21,
            },
            light: LightParts {
                pulse: chip.PWM_SLICE3,
                pin: chip.PIN_22,
            },
            beeper: BeeperParts {
                pulse: chip.PWM_SLICE7,
                pin: chip.PIN_14,
            },
            #[cfg(not(feature = "uart"))]
            host: HostParts { usb: chip.USB },
            #[cfg(feature = "uart")]
            host: HostParts {
                serial: chip.UART0,
                out: chip.PIN_0,
                from: chip.PIN_1,
            },
            pedal: chip.PIN_15.into(),
            keys: [
                (Key::Done, chip.PIN_2.into()),
                (Key::TakeBack, chip.PIN_3.into()),
                (Key::SetAside, chip.PIN_4.into()),
                (Key::LookAhead, chip.PIN_5.into()),
                (Key::LookBack, chip.PIN_6.into()),
                (Key::CutAgain, chip.PIN_7.into()),
                (Key::BadStick, chip.PIN_8.into()),
                (Key::Menu, chip.PIN_9.into()),
            ],
            lamp: chip.PIN_25,
            flash: chip.FLASH,
            watchdog: chip.WATCHDOG,
        }
    }
}
