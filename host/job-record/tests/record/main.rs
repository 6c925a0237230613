//! The job record under bad conditions: events in any order and number, restarts, two programs, damage, other versions.

mod damage;
mod levels;
mod sample;
mod taking;
mod two_programs;
