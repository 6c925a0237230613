//! Whole-program tests.

mod bad_files;
mod checked;
mod cli;
mod closure;
mod emulated;
mod job_faults;
mod jobs;
mod measured;
mod over;
mod page;
mod pi_station;
mod printed;
mod program;
mod readme;
mod run;
mod running;
mod saw_station;

mod published;
mod replan;
mod rest;
mod rooms;
mod saw_solid;
mod wiring;
