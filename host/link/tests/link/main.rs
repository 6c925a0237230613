//! The host's link with real stations behind it: over a faulty line, in memory and over TCP. What a station answers to single
//! requests is tested with the station.

mod faults;
mod figures;
mod line;
mod memory;
mod plain;
mod sample;
