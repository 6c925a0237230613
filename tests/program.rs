//! Running the program under test: from a fresh folder, with a data folder of its own. What is asked of it is left to the
//! tests.

use std::io::Write;
use std::path::Path;
use std::process::{Command, Stdio};

use tempfile::TempDir;

/// What a command left: exit status, standard output, standard error.
pub struct Said {
    /// The exit status.
    pub status: i32,
    /// What a program may read.
    pub out: String,
    /// What a person reads.
    pub err: String,
}

/// A folder of a test's own.
pub fn fresh_folder() -> TempDir {
    tempfile::tempdir().expect("a folder for this test")
}

/// The program, to be run in this folder and to keep its data there.
pub fn baserun(folder: &Path) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_baserun"));
    command
        .current_dir(folder)
        .env("BASERUN_DATA", folder.join("data"));
    command
}

/// Runs a command to its end, giving it this on standard input.
pub fn said(folder: &Path, arguments: &[&str], input: &[u8]) -> Said {
    let mut child = baserun(folder)
        .args(arguments)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program starts");
    let mut stdin = child.stdin.take().expect("standard input is piped");
    let input = input.to_vec();
    // a program that refuses its input early closes it, which is no matter of the test
    let feeding = std::thread::spawn(move || stdin.write_all(&input).is_ok());
    let output = child.wait_with_output().expect("the program ends");
    feeding.join().expect("feeding ends");
    Said {
        status: output.status.code().expect("an exit status"),
        out: String::from_utf8(output.stdout).expect("text"),
        err: String::from_utf8(output.stderr).expect("text"),
    }
}

/// Checks a level that begins so and goes on with one long line, given piece by piece until it is no longer taken: the
/// exit status, what a person reads, and how many bytes were taken.
pub fn fed(folder: &Path, begin: &str, length: usize) -> (i32, String, usize) {
    let mut child = baserun(folder)
        .args(["check", "-"])
        .stdin(Stdio::piped())
        .stdout(Stdio::null())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program starts");
    let mut stdin = child.stdin.take().expect("standard input is piped");
    let begin = begin.as_bytes().to_vec();
    let feeding = std::thread::spawn(move || {
        let mut taken = 0;
        let piece = vec![b'0'; 1 << 20];
        let mut more = stdin.write_all(&begin).is_ok();
        while more && taken < length {
            more = stdin.write_all(&piece).is_ok();
            taken += if more { piece.len() } else { 0 };
        }
        taken
    });
    let output = child.wait_with_output().expect("the program ends");
    let taken = feeding.join().expect("feeding ends");
    let status = output.status.code().expect("an exit status");
    (
        status,
        String::from_utf8(output.stderr).expect("text"),
        taken,
    )
}

/// A small room with one door, in base that is 9/16 in thick.
pub const BED_2: &str = r#"{ "walk": 1, "level": "Upper floor", "unit": "in",
  "mouldings": [ { "name": "base", "height": 5.25, "thickness": 0.5625, "profile": 0.75,
                   "sticks": [ { "length": 192, "price": 21.5 } ] } ],
  "rooms": [ { "name": "Bed 2", "moulding": "base",
               "outline": [ { "wall": 31.5, "corner": "inside" },
                            { "wall": 124.375, "corner": "inside" },
                            { "wall": 102, "corner": "inside" },
                            { "wall": 124.375, "corner": "inside" },
                            { "wall": 33 },
                            { "opening": 37.5 } ] } ] }"#;
