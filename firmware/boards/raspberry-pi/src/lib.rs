//! The station on a Raspberry Pi or another small Linux computer: the kernel's display, keyboards, pedals and pins around
//! the station that knows none of them. What a station does is left to the station crate, how a record lies in files to
//! `file-record`, which program starts when to `baserun-station.service`.
#![deny(missing_docs)]

#[cfg(target_os = "linux")]
pub mod beeper;
#[cfg(target_os = "linux")]
pub mod contacts;
pub mod display;
pub mod fit;
pub mod foot;
pub mod frame;
pub mod key_names;
#[cfg(target_os = "linux")]
pub mod keyboards;
pub mod lasting;
pub mod light;
pub mod line;
pub mod message;
pub mod settings;
pub mod station;
pub mod times;
pub mod trouble;
