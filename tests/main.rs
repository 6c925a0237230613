//! Whole-program tests.

mod bad_files;
mod cli;
mod page;
mod printed;
mod program;
mod run;

mod published;
mod replan;
mod rooms;
mod saw_solid;
