//! `measured`: puts figures from test cuts into a set-up file. The file is written anew beside the old one and takes its
//! place at once; the old one is kept. Which words change is left to `form::measured`.

use std::fs::{self, File, OpenOptions};
use std::io::{self, Write};
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use form::Source;
use form::measured::{Measured, with_measured};

use crate::command::MeasuredOptions;
use crate::say;

const UNDONE: &str = "nothing is written";

/// Writes what was measured.
///
/// # Errors
/// A sentence: the file cannot be read whole, is no set-up file, or cannot be written; it is then as it was.
pub fn measured(options: &MeasuredOptions) -> Result<ExitCode, String> {
    let name = &options.file;
    let cannot = |error: io::Error| {
        format!("{name}: this file cannot be written: {error}; it is as it was\n")
    };
    let source = Source::read_file(Path::new(name), "lines for the saw and the stock")
        .map_err(|sentence| format!("{sentence}\n"))?;
    // where the name is a link, the file that it leads to is written
    let path = fs::canonicalize(name).map_err(cannot)?;
    let before = fs::read(&path).map_err(cannot)?;
    let mark = match before.strip_suffix(source.text.as_bytes()) {
        Some(mark @ (b"" | b"\xef\xbb\xbf")) => mark,
        _ => {
            return Err(format!(
                "{name}: this file is not UTF-8 text: save it as UTF-8 first\n"
            ));
        }
    };
    let measured = &options.figures;
    let figures = Measured {
        kerf: measured.kerf.clone(),
        swing_left: measured.true_45_left,
        swing_right: measured.true_45_right,
        tilt_left: measured.true_45_tilt_left,
        tilt_right: measured.true_45_tilt_right,
    };
    let after =
        with_measured(name, &source.text, &figures).map_err(|refusal| refusal.told(UNDONE))?;
    if after == source.text {
        say::tell(format_args!("{name} says all this already\n"));
        return Ok(ExitCode::SUCCESS);
    }
    let kept = keep(&path, &before).map_err(cannot)?;
    replace(&path, &[mark, after.as_bytes()].concat()).map_err(cannot)?;
    let kept = kept
        .file_name()
        .unwrap_or_default()
        .to_string_lossy()
        .into_owned();
    say::tell(format_args!(
        "{name} says what was measured; as it was it is kept in {kept} beside it\n"
    ));
    Ok(ExitCode::SUCCESS)
}

/// Keeps a file's bytes beside it, under the first name that is free.
fn keep(path: &Path, bytes: &[u8]) -> io::Result<PathBuf> {
    let name = path
        .file_name()
        .unwrap_or_default()
        .to_string_lossy()
        .into_owned();
    let mut number = 1u32;
    loop {
        let kept = path.with_file_name(format!("{name}.before-{number}"));
        match OpenOptions::new().write(true).create_new(true).open(&kept) {
            Ok(mut file) => {
                file.write_all(bytes)?;
                file.sync_all()?;
                return Ok(kept);
            }
            Err(error) if error.kind() == io::ErrorKind::AlreadyExists => number += 1,
            Err(error) => return Err(error),
        }
    }
}

/// Puts new bytes in the place of a file, all of them or none.
fn replace(path: &Path, bytes: &[u8]) -> io::Result<()> {
    let folder = path.parent().unwrap_or(Path::new("."));
    let mut file = tempfile::NamedTempFile::new_in(folder)?;
    file.write_all(bytes)?;
    file.as_file()
        .set_permissions(fs::metadata(path)?.permissions())?;
    file.as_file().sync_all()?;
    file.persist(path)?;
    // a folder can be made sure of only on some systems; the file itself is safe already
    let _ = File::open(folder).and_then(|folder| folder.sync_all());
    Ok(())
}
