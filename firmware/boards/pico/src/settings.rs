//! What may be set for a station of one's own, in one place. The pins are in `pins`, the pedal's times in the station
//! crate.

use embassy_time::Duration;
use station::screen::Panel as PanelSize;

/// The panel: 320x240 on 2.8 in.
pub const PANEL: PanelSize = PanelSize::SMALL;

/// Bits a second to the panel. The ILI9341's datasheet grants writes 10 MHz (a cycle of 100 ns); 31.25 MHz is past that,
/// common, and what the chip's divider makes of anything from there to 62.5. Where pictures come out torn or in false
/// colours, shorten the wires or set 10 MHz: a whole picture then takes 123 ms in place of 39.
pub const PANEL_HERTZ: u32 = 31_250_000;

/// The panel is mounted with its connector at the other side: everything is drawn the other way up.
pub const PANEL_TURNED: bool = false;

/// Without a sign of life for this long the chip starts again. Nearly the longest that the first Pico's watchdog can
/// count (8.388 s), and over the longest silence there is by design: nothing runs while flash is erased, 4 KiB in 400 ms at
/// the very worst. A load erases 4 of those, emptying the log at most 8 (3.2 s), giving up a memory 18 (7.2 s).
pub const WATCHDOG: Duration = Duration::from_millis(8_300);

/// What the station says of itself on USB. 1209:0001 is the number that pid.codes keeps for trying things out; whoever
/// gives boards to others needs a number of their own.
#[cfg(not(feature = "uart"))]
pub const USB_ID: (u16, u16) = (0x1209, 0x0001);
/// The names beside it.
#[cfg(not(feature = "uart"))]
pub const USB_NAMES: (&str, &str) = ("baserun", "baserun station");

/// Bits a second on the serial pins, where the host hangs there.
#[cfg(feature = "uart")]
pub const SERIAL_BAUD: u32 = 115_200;
