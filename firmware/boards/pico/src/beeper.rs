//! The beeper: what each beep sounds like, and sounding it. When to beep is left to the station.

use embassy_futures::select::{Either, select};
use embassy_rp::pwm::{Config, Pwm};
use embassy_sync::blocking_mutex::raw::CriticalSectionRawMutex;
use embassy_sync::signal::Signal;
use embassy_time::Timer;
use station::machine::Beep;
use station::settings::Sound;

use crate::pins::BeeperParts;

static NEXT: Signal<CriticalSectionRawMutex, (Beep, Sound)> = Signal::new();

/// Sounds this, so loud; what sounds still is cut short.
pub fn sound(beep: Beep, loudness: Sound) {
    NEXT.signal((beep, loudness));
}

/// Hertz and milliseconds, one after another, 0 Hz for a pause: each has its own rhythm, so that a beeper with one tone
/// of its own can be told by it too.
fn tones(beep: Beep) -> &'static [(u32, u64)] {
    match beep {
        Beep::Accepted => &[(880, 90)],
        Beep::TakenBack => &[(660, 90), (440, 140)],
        Beep::Question => &[(660, 70), (0, 60), (660, 70), (0, 60), (880, 90)],
        Beep::Refused => &[(160, 350)],
    }
}

/// Periods without a pulse in a second of silence: a tone begins with a new period, and an emulator counts all of them.
const SILENT_PERIODS: u32 = 1_000;

/// Counts of the pulse generator in a second, behind a divider of 64.
fn counts_a_second() -> u32 {
    embassy_rp::clocks::clk_sys_freq() / 64
}

#[embassy_executor::task]
pub async fn beeper(parts: BeeperParts) -> ! {
    let mut pulse = Pwm::new_output_a(parts.pulse, parts.pin, tone(0, 1));
    let mut beep = NEXT.wait().await;
    loop {
        let played = select(play(&mut pulse, beep), NEXT.wait()).await;
        beep = match played {
            Either::First(()) => NEXT.wait().await,
            Either::Second(next) => next,
        };
    }
}

async fn play(pulse: &mut Pwm<'static>, (beep, loudness): (Beep, Sound)) {
    // a square wave is loudest; short pulses of the same pitch are a tenth of its power
    let share = match loudness {
        Sound::Loud => 2,
        Sound::Soft => 32,
        Sound::Off => return,
    };
    for &(hertz, milliseconds) in tones(beep) {
        pulse.set_config(&tone(hertz, share));
        Timer::after_millis(milliseconds).await;
    }
    pulse.set_config(&tone(0, 1));
}

/// Pulses that last this part of each period; silence for 0 Hz.
fn tone(hertz: u32, share: u16) -> Config {
    // 16 bits hold every tone down to 30 Hz
    let period = |hertz| (counts_a_second() / hertz) as u16;
    let (period, pulse) = match hertz {
        0 => (period(SILENT_PERIODS), 0),
        hertz => (period(hertz), period(hertz) / share),
    };
    let mut config = Config::default();
    config.divider = 64.into();
    config.top = period - 1;
    config.compare_a = pulse;
    config
}
