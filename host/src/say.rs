//! What the program says: data to standard output, words for a person to standard error. A reader that has gone away ends
//! nothing. What is said is left to those who say it.

use std::fmt::Display;
use std::io::{self, Write};

/// Data to standard output; a reader that has gone away wants no more of it.
///
/// # Errors
/// A sentence: standard output cannot be written.
pub fn print(text: &str) -> Result<(), String> {
    let mut out = io::stdout().lock();
    written(out.write_all(text.as_bytes()).and_then(|()| out.flush()))
}

/// What became of something written to standard output.
///
/// # Errors
/// A sentence: it cannot be written.
pub fn written(done: io::Result<()>) -> Result<(), String> {
    match done {
        Err(error) if error.kind() != io::ErrorKind::BrokenPipe => {
            Err(format!("standard output cannot be written: {error}\n"))
        }
        _ => Ok(()),
    }
}

/// Data for programs to standard output.
///
/// # Errors
/// A sentence: it cannot be written.
pub fn print_json(value: &impl serde::Serialize) -> Result<(), String> {
    let text = serde_json::to_string_pretty(value)
        .map_err(|error| format!("it cannot be written: {error}\n"))?;
    print(&format!("{text}\n"))
}

/// What a person reads, to standard error; where nobody listens any more there is nobody to tell of it.
pub fn tell(text: impl Display) {
    let text = text.to_string();
    let _ = io::stderr().lock().write_all(text.as_bytes());
}
