//! Five pieces cut on the emulated computer with the power cut between them, on screens of both sizes, every picture kept in
//! `tests/snapshots`; and keyboards that come and go. Cuts at whatever moment are left to the module above.

use std::thread;

use serde_json::json;
use station::screen::Panel;

use super::super::kept::assert_kept;
use super::{NEXT_PRESS, at_the_first_piece, pictures};
use crate::jobs::report;

/// How many pieces are cut.
const PIECES: usize = 5;

fn walk(panel: Panel) {
    let folder = tempfile::tempdir().expect("a folder");
    let pictures = pictures(panel);
    let mut computer = at_the_first_piece(folder.path(), panel, &pictures[0]);
    let size = (panel.width as usize, panel.height as usize);
    for (done, picture) in pictures.iter().enumerate().take(PIECES + 1) {
        // the cards would come again before the first piece is cut
        if done > 0 {
            computer.cut_power();
            computer.switch_on();
        }
        let one = std::slice::from_ref(picture);
        assert_eq!(computer.shows(one), Some(0), "{done} cut");
        let name = match done {
            PIECES => "after-five".to_owned(),
            _ => format!("piece-{}", done + 1),
        };
        let name = format!("raspberry-pi-{name}-{}x{}", panel.width, panel.height);
        assert_kept(&name, size, &computer.screen());
        if done < PIECES {
            computer.pedal();
            let next = std::slice::from_ref(&pictures[done + 1]);
            assert_eq!(computer.shows(next), Some(0), "{done} cut and one more");
        }
    }
    assert_eq!(
        report(folder.path(), &computer.to())["done"],
        json!(PIECES),
        "the program takes home what was cut"
    );
}

#[test]
#[ignore = "needs qemu-system-aarch64, mke2fs, Debian's arm64 kernel and the Raspberry Pi's program"]
fn five_pieces_with_the_power_cut_between_them_at_800x480() {
    walk(Panel::WIDE);
}

#[test]
#[ignore = "needs qemu-system-aarch64, mke2fs, Debian's arm64 kernel and the Raspberry Pi's program"]
fn five_pieces_with_the_power_cut_between_them_at_1024x600() {
    walk(Panel::LARGE);
}

#[test]
#[ignore = "needs qemu-system-aarch64, mke2fs, Debian's arm64 kernel and the Raspberry Pi's program"]
fn a_keyboard_is_taken_whenever_it_is_plugged_in() {
    let folder = tempfile::tempdir().expect("a folder");
    let pictures = pictures(Panel::WIDE);
    let mut computer = at_the_first_piece(folder.path(), Panel::WIDE, &pictures[0]);
    computer.plug_in();
    computer.key("spc");
    assert_eq!(computer.shows(&pictures[1..2]), Some(0));
    computer.pull_out();
    computer.plug_in();
    computer.key("pgdn");
    assert_eq!(computer.shows(&pictures[2..3]), Some(0));
    thread::sleep(NEXT_PRESS);
    computer.key("backspace");
    assert_eq!(computer.shows(&pictures[1..2]), Some(0));
}
