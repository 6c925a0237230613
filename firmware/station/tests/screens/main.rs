//! Tests of the drawn screens: pictures compared pixel for pixel, letters large enough and dark enough to be read, texts
//! that neither overlap nor run off, and partial redraws that end as full ones. The machine behind the views is tested
//! elsewhere.

mod bits;
mod canvas;
mod layout;
mod legibility;
mod redraw;
mod snapshots;
mod thrown;
mod views;
