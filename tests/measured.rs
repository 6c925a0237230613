//! `measured`: a set-up file gets what was measured and keeps the rest, and what it was is kept. Which words change is
//! tested where they are changed.

use std::fs;

use crate::program::{fresh_folder, said};

const SAW: &[u8] = b"\xef\xbb\xbfsaw kerf 1/8   // the old blade\r\n";

#[test]
fn a_file_gets_what_was_measured_and_is_kept_as_it_was() {
    let folder = fresh_folder();
    let file = folder.path().join("my-saw.txt");
    fs::write(&file, SAW).expect("a file");
    let measured = |arguments: &[&str]| {
        let arguments = [&["measured", "my-saw.txt"], arguments].concat();
        said(folder.path(), &arguments, b"")
    };
    let first = measured(&["--kerf", "0.127", "--true-45-left", "44.8"]);
    let told = "my-saw.txt says what was measured; as it was it is kept in my-saw.txt.before-1 beside it\n";
    assert_eq!(
        (first.status, first.out.as_str(), first.err.as_str()),
        (0, "", told)
    );
    let after = b"\xef\xbb\xbfsaw kerf 0.127   // the old blade\r\ntrue 45 swing left 44.8\r\n";
    assert_eq!(fs::read(&file).expect("the file"), after);
    let kept = |number| fs::read(folder.path().join(format!("my-saw.txt.before-{number}")));
    assert_eq!(kept(1).expect("what it was"), SAW);
    let again = measured(&["--kerf", "0.127"]);
    assert_eq!(
        (again.status, again.err.as_str()),
        (0, "my-saw.txt says all this already\n")
    );
    assert_eq!(measured(&["--kerf", "1/8"]).status, 0);
    assert_eq!(kept(2).expect("what it was then"), after);
    let files = fs::read_dir(folder.path()).expect("the folder");
    assert_eq!(
        files
            .filter(|file| file
                .as_ref()
                .is_ok_and(|file| file.path() != folder.path().join("data")))
            .count(),
        3
    );
}

#[test]
fn a_file_that_cannot_be_read_whole_is_left_alone() {
    let folder = fresh_folder();
    let file = folder.path().join("my-saw.txt");
    let wide: Vec<u8> = "\u{feff}saw kerf 1/8\n"
        .encode_utf16()
        .flat_map(u16::to_le_bytes)
        .collect();
    for (bytes, part) in [
        (
            &b"saw kerf 1/7\n"[..],
            "nothing is written: put 1 thing right first",
        ),
        (b"saw kerf 1/8\nroom Den\n60\n", "nothing is written"),
        (b"saw kerf 1/8 // caf\xe9\n", "line 1 is not UTF-8 text"),
        (&wide, "save it as UTF-8 first"),
        (
            b"\n",
            "this file is empty; expected was lines for the saw and the stock",
        ),
    ] {
        fs::write(&file, bytes).expect("a file");
        let told = said(
            folder.path(),
            &["measured", "my-saw.txt", "--kerf", "0.127"],
            b"",
        );
        assert_eq!((told.status, told.out.as_str()), (1, ""));
        assert!(told.err.contains(part), "{}", told.err);
        assert_eq!(fs::read(&file).expect("the file"), bytes);
    }
    let none = said(folder.path(), &["measured", "my-saw.txt"], b"");
    assert_eq!(none.status, 2, "{}", none.err);
    let missing = said(folder.path(), &["measured", "no.txt", "--kerf", "1/8"], b"");
    assert_eq!(
        (missing.status, missing.err.as_str()),
        (1, "no.txt: there is no such file\n")
    );
}
