//! Everything a saw station does, knowing no circuit board: what a picture shows, how it is drawn and
//! what the host is answered. Pixels' way to a
//! panel, contacts and storage are left to the boards and the host.
#![no_std]
#![deny(missing_docs)]

#[cfg(test)]
extern crate std;

pub mod contact;
pub mod letters;
pub mod link;
pub mod machine;
pub mod pedal;
pub mod record;
pub mod runner;
pub mod screen;
pub mod settings;
pub mod timing;
pub mod view;
pub mod work;

#[cfg(test)]
mod sample;
