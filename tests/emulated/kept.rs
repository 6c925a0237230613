//! Pictures of emulated screens that are kept in `tests/snapshots`, for a person to look at and for the next run to compare
//! with. What is to be in them is left to the tests.

use std::path::Path;

use embedded_graphics::prelude::Size;

use super::canvas::{read_png, write_png};

/// The picture, 8-bit red, green and blue, is the one that is kept under this name; BASERUN_BLESS=1 keeps it.
pub fn assert_kept(name: &str, (columns, rows): (usize, usize), pixels: &[u8]) {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/snapshots");
    let path = folder.join(format!("{name}.png"));
    let size = Size::new(columns as u32, rows as u32);
    if std::env::var_os("BASERUN_BLESS").is_some() {
        write_png(&path, size, pixels);
    }
    let same = read_png(&path).is_some_and(|(kept, before)| kept == size && before == pixels);
    if !same {
        write_png(&folder.join(format!("{name}.new.png")), size, pixels);
    }
    assert!(same, "{name}: see {name}.new.png beside it");
}
