//! What is printed for people and for other programs: the plan on paper, completions, the manual; and that nobody who stops
//! reading makes it an error. What stands in a plan is left to `cli` and to the program's own tests.

use std::fs;
use std::io::Read;
use std::process::Stdio;

use crate::program::{BED_2, baserun, fresh_folder, said};

#[test]
fn a_plan_is_for_people_unless_asked_otherwise() {
    let folder = fresh_folder();
    let plan = said(folder.path(), &["plan", "-"], BED_2.as_bytes());
    assert_eq!(
        (plan.status, plan.err.as_str()),
        (0, "5 pieces from 3 sticks; no findings\n")
    );
    let head = "Upper floor\n5 pieces from 3 sticks; no findings\ndigest ";
    assert!(plan.out.starts_with(head), "{}", plan.out);
    assert!(plan.out.lines().all(|line| line.chars().count() <= 80));
    assert!(!plan.out.contains('\u{1b}'), "colour is for terminals only");
    assert!(plan.out.contains('\u{2588}'));
    let plain = said(
        folder.path(),
        &["plan", "-", "--ascii", "--format", "text"],
        BED_2.as_bytes(),
    );
    assert!(plain.out.is_ascii());
    let page = said(
        folder.path(),
        &["plan", "-", "--format", "html"],
        BED_2.as_bytes(),
    );
    assert_eq!((page.status, &page.err), (0, &plan.err));
    assert!(page.out.starts_with("<!DOCTYPE html>"), "{}", page.out);
    assert!(page.out.ends_with("</html>\n"));
    assert_eq!(plain.out.lines().count(), plan.out.lines().count());
}

#[test]
fn a_reader_that_has_enough_is_no_error() {
    let folder = fresh_folder();
    fs::write(folder.path().join("walk.json"), BED_2).expect("a file");
    for arguments in [
        &["schema", "walk"][..],
        &["plan", "walk.json"],
        &["plan", "walk.json", "--format", "html"],
        &["manual"],
        &["completions", "bash"],
    ] {
        let mut child = baserun(folder.path())
            .args(arguments)
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .expect("the program starts");
        drop(child.stdout.take());
        let status = child.wait().expect("the program ends");
        let mut err = String::new();
        let stderr = child.stderr.as_mut().expect("standard error is piped");
        stderr.read_to_string(&mut err).expect("text");
        assert_eq!(status.code(), Some(0), "{arguments:?}: {err}");
        assert!(!err.contains("panic"), "{err}");
    }
}

#[cfg(target_os = "linux")]
#[test]
fn a_full_disk_is_told_even_of_the_help() {
    let folder = fresh_folder();
    for arguments in [
        &["--help"][..],
        &["plan", "--help"],
        &["--version"],
        &["manual"],
    ] {
        let full = fs::File::options().write(true).open("/dev/full");
        let ended = baserun(folder.path())
            .args(arguments)
            .stdout(full.expect("Linux has it"))
            .output()
            .expect("the program runs");
        let err = String::from_utf8(ended.stderr).expect("text");
        assert_eq!(ended.status.code(), Some(1), "{arguments:?}: {err}");
        assert!(
            err.starts_with("standard output cannot be written: "),
            "{err}"
        );
    }
}

#[test]
fn nobody_at_standard_error_is_no_error_either() {
    let folder = fresh_folder();
    fs::write(folder.path().join("walk.json"), BED_2).expect("a file");
    let mut child = baserun(folder.path())
        .args(["plan", "walk.json"])
        .stdout(Stdio::null())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program starts");
    drop(child.stderr.take());
    assert_eq!(child.wait().expect("the program ends").code(), Some(0));
}

#[test]
fn completions_and_the_manual_know_every_command() {
    let folder = fresh_folder();
    let manual = said(folder.path(), &["manual"], b"");
    assert_eq!((manual.status, manual.err.as_str()), (0, ""));
    for heading in [".SH CHECK", ".SH PLAN", ".SH RUN", ".SH \"EXIT STATUS\""] {
        assert!(manual.out.contains(heading), "{heading}: {}", manual.out);
    }
    assert!(manual.out.contains("BASERUN_DATA"));
    for shell in ["bash", "zsh", "fish", "powershell", "elvish"] {
        let script = said(folder.path(), &["completions", shell], b"");
        assert_eq!((script.status, script.err.as_str()), (0, ""), "{shell}");
        for word in ["check", "plan", "run", "schema", "manual", "despite-errors"] {
            assert!(script.out.contains(word), "{shell}: {word}");
        }
    }
}
