//! Whole-program tests.

mod bad_files;
mod cli;
mod closure;
mod page;
mod printed;
mod program;
mod run;

mod published;
mod rooms;
mod saw_solid;
