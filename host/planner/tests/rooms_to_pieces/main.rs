//! Rooms to joints to pieces: the trade's rules one by one, each on a small room. Facts of the trade here are common
//! practice, no source, where none is named.
#![allow(clippy::unwrap_used)]

mod allowances;
mod cautions;
mod closure;
mod closure_slips;
mod closure_widths;
mod joints;
mod lengths;
mod postures;
mod small_pieces;
mod small_rooms;
