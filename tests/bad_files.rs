//! Files that cannot be read, and the exact words with which each is refused; the files are in `tests/data/bad`, a folder
//! for each form and one for set-up files.

use std::fs;
use std::path::{Path, PathBuf};

use crate::program::{fresh_folder, said};

/// The files of a folder, without what is told of them.
fn bad_files(form: &str) -> Vec<PathBuf> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/bad");
    let entries = fs::read_dir(folder.join(form)).expect("a folder of bad files");
    let paths = entries.map(|entry| entry.expect("an entry").path());
    let mut files: Vec<PathBuf> = paths
        .filter(|path| path.is_file() && path.extension().is_none_or(|end| end != "told"))
        .collect();
    files.sort();
    files
}

/// Every file is refused with what stands beside it; `BASERUN_WRITE_TOLD` writes it there instead, to be looked at.
fn refused_in_its_own_words(form: &str, least: usize) {
    let files = bad_files(form);
    assert!(files.len() >= least, "{} files", files.len());
    for file in files {
        let folder = file.parent().expect("a folder");
        let name = file.file_name().and_then(|name| name.to_str());
        let name = name.expect("a name");
        let planned = said(folder, &["plan", name], b"");
        let said = said(folder, &["check", name], b"");
        assert_eq!(planned.err, said.err, "{}", file.display());
        let beside = file.with_extension("told");
        if std::env::var_os("BASERUN_WRITE_TOLD").is_some() {
            fs::write(&beside, &said.err).expect("what is told");
        }
        let told = fs::read_to_string(&beside).expect("what is told");
        assert_eq!(said.err, told, "{}", file.display());
        assert_eq!(
            (said.status, said.out.as_str()),
            (1, ""),
            "{}",
            file.display()
        );
    }
}

#[test]
fn every_bad_text_sheet_is_refused_in_its_own_words() {
    refused_in_its_own_words("text", 73);
}

#[test]
fn every_bad_table_is_refused_in_its_own_words() {
    refused_in_its_own_words("csv", 55);
}

#[test]
fn every_bad_json_is_refused_in_its_own_words() {
    refused_in_its_own_words("json", 35);
}

#[test]
fn what_is_told_of_a_sheet_or_a_table_is_not_in_the_words_of_json() {
    for form in ["text", "csv"] {
        for file in bad_files(form) {
            let told = fs::read_to_string(file.with_extension("told")).expect("what is told");
            for word in [
                "[0]",
                "swing_",
                "tilt_",
                "standing_height",
                "existing",
                "cut_list",
                "{",
                "\"closed\"",
            ] {
                assert!(!told.contains(word), "{}: {word}", file.display());
            }
        }
    }
}

#[test]
fn a_line_of_a_hundred_megabytes_is_refused_without_being_read() {
    /// What no program that means to read a level takes from its standard input.
    const FAR: usize = 40 * 1024 * 1024;
    for begin in [
        "room Den\n60",
        "{ \"walk\": 1, \"level\": \"",
        "room,kind,length\nDen,wall,60",
    ] {
        let folder = fresh_folder();
        let (status, err, taken) = crate::program::fed(folder.path(), begin, 100 * 1024 * 1024);
        assert_eq!(status, 1);
        assert!(err.contains("larger than 16 MiB"), "{err}");
        assert!(taken < FAR, "{taken} bytes");
    }
}

#[test]
fn every_bad_set_up_file_is_refused_in_its_own_words() {
    refused_in_its_own_words("setup", 15);
}

#[test]
fn a_line_of_many_megabytes_is_refused_soon() {
    let folder = fresh_folder();
    let long = "60 corner ".repeat(1_500_000);
    let told = said(
        folder.path(),
        &["check", "-"],
        format!("room Den\n{long}").as_bytes(),
    );
    assert_eq!((told.status, told.out.as_str()), (1, ""));
    assert!(told.err.len() < 100_000, "{} bytes", told.err.len());
    let longer = vec![b'6'; 17 * 1024 * 1024];
    let told = said(folder.path(), &["check", "-"], &longer);
    assert!(told.err.contains("larger than 16 MiB"), "{}", told.err);
}
