//! The link's bytes: published vectors, the examples of `WIRE.md`, and frames that were damaged on their way. What host
//! and station do with messages is left to their own tests.

mod damaged;
mod examples;
mod numbers;
mod published;
mod wire;
