//! JSON: whatever a program writes between its braces is read or told, and what is read comes back the same.

#![no_main]

mod shared;

libfuzzer_sys::fuzz_target!(|data: &[u8]| {
    let mut text = vec![b'{'];
    text.extend_from_slice(data);
    shared::read_and_write(&text);
});
