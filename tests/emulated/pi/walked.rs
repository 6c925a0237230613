//! Five pieces cut on the emulated computer with the power cut between them, on screens of both sizes, every picture kept in
//! `tests/snapshots`; and keyboards that come and go. Cuts at whatever moment are left to the module above.

use std::thread;

use serde_json::json;
use station::screen::Panel;

use super::super::kept::assert_kept;
use super::{AtFirstPiece, NEXT_PRESS};
use crate::jobs::report;

/// How many pieces are cut.
const PIECES: usize = 5;

fn walk(panel: Panel) {
    let mut at = AtFirstPiece::start(panel);
    let size = (panel.width as usize, panel.height as usize);
    for done in 0..=PIECES {
        // the cards would come again before the first piece is cut
        if done > 0 {
            at.computer.cut_power();
            at.computer.switch_on();
        }
        at.assert_cut(done);
        let name = match done {
            PIECES => "after-five".to_owned(),
            _ => format!("piece-{}", done + 1),
        };
        let name = format!("raspberry-pi-{name}-{}x{}", panel.width, panel.height);
        assert_kept(&name, size, &at.computer.screen());
        if done < PIECES {
            at.computer.pedal();
            at.assert_cut(done + 1);
        }
    }
    assert_eq!(
        report(at.folder.path(), &at.computer.to())["done"],
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
    let mut at = AtFirstPiece::start(Panel::WIDE);
    at.computer.plug_in();
    at.computer.key("spc");
    at.assert_cut(1);
    at.computer.pull_out();
    at.computer.plug_in();
    at.computer.key("pgdn");
    at.assert_cut(2);
    thread::sleep(NEXT_PRESS);
    at.computer.key("backspace");
    at.assert_cut(1);
}
