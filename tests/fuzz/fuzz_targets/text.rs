//! Text sheets: whatever is typed is read or told, never both, and what is read comes back the same from every form.

#![no_main]

mod shared;

libfuzzer_sys::fuzz_target!(|data: &[u8]| shared::read_and_write(data));
