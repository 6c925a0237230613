//! Whole-program tests.

mod bad_files;
mod cli;
mod job_faults;
mod jobs;
mod page;
mod printed;
mod program;
mod run;
mod running;
mod saw_station;

mod published;
mod rooms;
mod saw_solid;
