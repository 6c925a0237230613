//! A file's text, or a sentence why there is none: not found, a folder, too large, empty, no text. What the text says is
//! left to `syntax` and `meaning`.

use std::borrow::Cow;
use std::fs::File;
use std::io::{self, Read};
use std::path::{Path, PathBuf};

/// A text and what to call where it came from.
#[derive(Debug, Clone)]
pub struct Source {
    /// The file's name as it is told.
    pub name: String,
    /// Its text, without a byte order mark.
    pub text: String,
    /// The same file under its one full name; none for what is no file.
    pub path: Option<PathBuf>,
}

/// What a level's file should hold.
const LEVEL: &str = "a walk or a cut list";

/// More bytes than this are no level: a level of 500 walls takes a tenth of a mebibyte.
const MOST: u64 = 16 * 1024 * 1024;

impl Source {
    /// Reads a file, or standard input for `-`.
    ///
    /// # Errors
    /// A sentence that names the file.
    pub fn read(file: &str) -> Result<Source, String> {
        if file != "-" {
            return Source::read_file(Path::new(file), LEVEL);
        }
        let name = "standard input".to_owned();
        let text = limited(io::stdin().lock())
            .map_err(|error| no_file(&error))
            .and_then(|bytes| text(bytes, LEVEL));
        Ok(Source {
            text: text.map_err(|sentence| format!("{name}: {sentence}"))?,
            name,
            path: None,
        })
    }

    /// Reads a file; `meant` is what it should hold.
    ///
    /// # Errors
    /// A sentence that names the file.
    pub fn read_file(path: &Path, meant: &str) -> Result<Source, String> {
        let name = path.display().to_string();
        let bytes = File::open(path).and_then(|file| match file.metadata()?.is_dir() {
            true => Err(io::Error::from(io::ErrorKind::IsADirectory)),
            false => limited(file),
        });
        let text = bytes
            .map_err(|error| no_file(&error))
            .and_then(|bytes| text(bytes, meant));
        Ok(Source {
            text: text.map_err(|sentence| format!("{name}: {sentence}"))?,
            path: path.canonicalize().ok(),
            name,
        })
    }
}

/// The text with the ends of lines that are known: old programs end them with a carriage return alone.
pub fn with_line_ends(text: &str) -> Cow<'_, str> {
    match text.contains('\r') && !text.contains('\n') {
        true => text.replace('\r', "\n").into(),
        false => text.into(),
    }
}

fn no_file(error: &io::Error) -> String {
    match error.kind() {
        io::ErrorKind::NotFound => "there is no such file".to_owned(),
        io::ErrorKind::PermissionDenied => "this file may not be read by you".to_owned(),
        io::ErrorKind::IsADirectory => "this is a folder, not a file".to_owned(),
        _ => format!("this file cannot be read: {error}"),
    }
}

fn limited(from: impl Read) -> io::Result<Vec<u8>> {
    let mut bytes = Vec::new();
    from.take(MOST + 1).read_to_end(&mut bytes)?;
    Ok(bytes)
}

fn text(bytes: Vec<u8>, meant: &str) -> Result<String, String> {
    if bytes.len() as u64 > MOST {
        return Err(format!(
            "this file is larger than 16 MiB; {meant} would be far smaller"
        ));
    }
    let bytes = match bytes.get(..2) {
        Some([0xff, 0xfe]) => wide(&bytes, u16::from_le_bytes)?,
        Some([0xfe, 0xff]) => wide(&bytes, u16::from_be_bytes)?,
        _ => bytes,
    };
    if bytes.contains(&0) {
        return Err(format!("this is not a text file; expected was {meant}"));
    }
    let text = String::from_utf8(bytes).map_err(|error| {
        let at = error.utf8_error().valid_up_to();
        let line = error.as_bytes()[..at]
            .iter()
            .filter(|b| **b == b'\n')
            .count()
            + 1;
        format!("line {line} is not UTF-8 text: save the file as UTF-8")
    })?;
    let text = match text.strip_prefix('\u{feff}') {
        Some(rest) => rest.to_owned(),
        None => text,
    };
    if text.trim().is_empty() {
        return Err(format!("this file is empty; expected was {meant}"));
    }
    Ok(text)
}

/// UTF-16, as spreadsheets write "Unicode text".
fn wide(bytes: &[u8], letter: fn([u8; 2]) -> u16) -> Result<Vec<u8>, String> {
    let pairs = bytes.chunks_exact(2);
    let whole = pairs.remainder().is_empty();
    let letters = pairs.map(|pair| letter([pair[0], pair[1]]));
    let text: Option<String> = char::decode_utf16(letters).map(Result::ok).collect();
    match (text, whole) {
        (Some(text), true) => Ok(text.into_bytes()),
        _ => Err("this file is damaged UTF-16 text: save it as UTF-8".to_owned()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_no_text_is_told_in_a_sentence() {
        for (bytes, part) in [
            (b"".to_vec(), "empty"),
            (b" \n\t".to_vec(), "empty"),
            (b"\xef\xbb\xbf".to_vec(), "empty"),
            (b"\xff\xfe{\0}".to_vec(), "damaged UTF-16"),
            (b"\xfe\xff\xd8\0".to_vec(), "damaged UTF-16"),
            (b"\xff\xfe\0\0".to_vec(), "not a text file"),
            (b"\x7fELF\0\0".to_vec(), "not a text file"),
            (b"{}\n\"caf\xe9\"".to_vec(), "line 2 is not UTF-8"),
            (vec![b' '; MOST as usize + 1], "larger than 16 MiB"),
        ] {
            let sentence = text(bytes, LEVEL).expect_err(part);
            assert!(sentence.contains(part), "{sentence}");
        }
        for bytes in [&b"\xef\xbb\xbf{}"[..], b"\xff\xfe{\0}\0", b"\xfe\xff\0{\0}"] {
            assert_eq!(text(bytes.to_vec(), LEVEL).as_deref(), Ok("{}"));
        }
    }

    #[test]
    fn what_is_no_file_is_told_in_a_sentence() {
        let missing = Source::read("no/such/walk.json").map(|source| source.text);
        assert_eq!(
            missing.expect_err("missing"),
            "no/such/walk.json: there is no such file"
        );
        let folder = Source::read(".").map(|source| source.text);
        assert_eq!(
            folder.expect_err("a folder"),
            ".: this is a folder, not a file"
        );
    }

    #[test]
    fn reading_stops_at_the_limit() {
        let endless = io::repeat(b'x');
        assert_eq!(
            limited(endless).map(|b| b.len() as u64).ok(),
            Some(MOST + 1)
        );
    }
}
