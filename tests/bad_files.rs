//! Files that cannot be read, and the exact words with which each is refused; the files are in `tests/data/bad`.

use std::fs;
use std::path::{Path, PathBuf};

use crate::program::said;

fn bad_files() -> Vec<PathBuf> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/bad");
    let entries = fs::read_dir(folder).expect("the folder of bad files");
    let paths = entries.map(|entry| entry.expect("an entry").path());
    let mut files: Vec<PathBuf> = paths
        .filter(|path| path.extension().is_some_and(|end| end == "txt"))
        .collect();
    files.sort();
    files
}

#[test]
fn every_bad_file_is_refused_in_its_own_words() {
    let files = bad_files();
    assert!(files.len() >= 60, "{} files", files.len());
    for file in files {
        let folder = file.parent().expect("a folder");
        let name = file.file_name().and_then(|name| name.to_str());
        let said = said(folder, &["check", name.expect("a name")], b"");
        let told = fs::read_to_string(file.with_extension("told")).expect("what is told");
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
fn a_line_of_many_megabytes_is_refused_soon() {
    let folder = crate::program::fresh_folder();
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
