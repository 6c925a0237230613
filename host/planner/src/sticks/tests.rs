//! Stick plans put to a checker that shares nothing with the planner: hand-made cases, random ones, whole levels, and
//! tiny ones beside every plan that there is.

mod broken;
mod cases;
mod every_plan;
pub mod level;
mod random;
