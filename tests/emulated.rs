//! The very image that is flashed, run in an emulator: what a person at the saw sees, presses and hears. How the board is
//! emulated is left to `emulated/pico`, what a station does in every case to the station's own tests.
//!
//! What runs on an emulated computer with a Linux kernel, and what it needs, stands in `emulated/pi`. Those of the Pico
//! need `node`, `socat`, `npm ci` in `tests/emulated`, and the images (`firmware/boards/pico/build`, and `build
//! --features uart,st7789`); without them they are reported as ignored.

mod cable;
#[path = "../firmware/station/tests/screens/canvas.rs"]
#[allow(dead_code)]
mod canvas;
mod dice;
mod kept;
#[cfg(unix)]
mod pi;
mod pico;
mod saw_list;

mod cuts;
mod five_pieces;
mod host;
mod interrupted;
mod keys;
mod memory;
mod other_parts;
mod pictures;
mod presses;
mod restarts;
mod starts;
