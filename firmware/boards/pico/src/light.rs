//! The light behind the panel. How bright it is to be is left to the station.

use embassy_rp::pwm::{Config, Pwm};

use crate::pins::LightParts;

/// Pulses a second: too fast to be seen, slow enough for the transistors on panels.
const HERTZ: u32 = 1_000;
const DIVIDER: u8 = 16;

/// The light; dark at first.
pub struct Light {
    pulse: Pwm<'static>,
}

impl Light {
    /// Dark.
    pub fn new(parts: LightParts) -> Light {
        Light {
            pulse: Pwm::new_output_a(parts.pulse, parts.pin, level(0)),
        }
    }

    /// Sets it, in thousandths.
    pub fn set(&mut self, thousandths: u16) {
        self.pulse.set_config(&level(thousandths));
    }
}

fn level(thousandths: u16) -> Config {
    let period = embassy_rp::clocks::clk_sys_freq() / u32::from(DIVIDER) / HERTZ;
    let mut config = Config::default();
    config.divider = DIVIDER.into();
    config.top = period as u16 - 1;
    config.compare_a = (period * u32::from(thousandths.min(1_000)) / 1_000) as u16;
    config
}
