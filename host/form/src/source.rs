//! A file's text, or a sentence why there is none: not found, a folder, too large, empty, no text. What the text says is
//! left to `syntax` and `meaning`.

use std::fs::File;
use std::io::{self, Read};

/// A text and what to call where it came from.
pub struct Source {
    /// The file's name as it was given.
    pub name: String,
    /// Its text, without a byte order mark.
    pub text: String,
}

/// More bytes than this are no level: a level of 500 walls takes a tenth of a mebibyte.
const MOST: u64 = 16 * 1024 * 1024;

impl Source {
    /// Reads a file, or standard input for `-`.
    ///
    /// # Errors
    /// A sentence that names the file.
    pub fn read(file: &str) -> Result<Source, String> {
        let (name, bytes) = match file {
            "-" => ("standard input".to_owned(), limited(io::stdin().lock())),
            path => (
                path.to_owned(),
                File::open(path).and_then(|file| match file.metadata()?.is_dir() {
                    true => Err(io::Error::from(io::ErrorKind::IsADirectory)),
                    false => limited(file),
                }),
            ),
        };
        let bytes = bytes.map_err(|error| match error.kind() {
            io::ErrorKind::NotFound => format!("{name}: there is no such file"),
            io::ErrorKind::PermissionDenied => format!("{name}: this file may not be read by you"),
            io::ErrorKind::IsADirectory => format!("{name}: this is a folder, not a file"),
            _ => format!("{name}: this file cannot be read: {error}"),
        })?;
        let text = text(bytes).map_err(|sentence| format!("{name}: {sentence}"))?;
        Ok(Source { name, text })
    }
}

fn limited(from: impl Read) -> io::Result<Vec<u8>> {
    let mut bytes = Vec::new();
    from.take(MOST + 1).read_to_end(&mut bytes)?;
    Ok(bytes)
}

fn text(bytes: Vec<u8>) -> Result<String, String> {
    if bytes.len() as u64 > MOST {
        return Err(
            "this file is larger than 16 MiB; a walk or a cut list is far smaller".to_owned(),
        );
    }
    if bytes.starts_with(&[0xff, 0xfe]) || bytes.starts_with(&[0xfe, 0xff]) {
        return Err("this file is UTF-16 text: save it as UTF-8".to_owned());
    }
    if bytes.contains(&0) {
        return Err("this is not a text file: a walk or a cut list was expected".to_owned());
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
        return Err("this file is empty; a walk or a cut list was expected".to_owned());
    }
    Ok(text)
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
            (b"\xff\xfe{\0}\0".to_vec(), "UTF-16"),
            (b"\x7fELF\0\0".to_vec(), "not a text file"),
            (b"{}\n\"caf\xe9\"".to_vec(), "line 2 is not UTF-8"),
            (vec![b' '; MOST as usize + 1], "larger than 16 MiB"),
        ] {
            let sentence = text(bytes).expect_err(part);
            assert!(sentence.contains(part), "{sentence}");
        }
        assert_eq!(text(b"\xef\xbb\xbf{}".to_vec()).as_deref(), Ok("{}"));
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
