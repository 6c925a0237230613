//! The Raspberry Pi's own program on an emulated computer with Debian's kernel: what is on its screen, what its keyboard and
//! a contact on a pin do, and that it comes back to the piece whatever is cut. The board of a Raspberry Pi itself is not
//! emulated: what is proven here is the kernel's display, input, pins and disk.
//!
//! These need `qemu-system-aarch64`, `mke2fs`, the program (`firmware/boards/raspberry-pi/build`) and the kernel
//! (`tests/emulated/pi/fetch-kernel`); without them they are reported as ignored.

mod computer;
mod console;
mod figures;
mod initramfs;
mod raspi3b;
mod sentences;
mod walked;

use std::fs;
use std::thread;
use std::time::Duration;

use station::machine::Key;
use station::screen::Panel;
use tempfile::TempDir;

use super::saw_list::{Twin, level_of, sheet};
use crate::jobs::load;
use computer::Computer;

/// Two presses that both count are farther apart, the emulated button's own time among it.
const NEXT_PRESS: Duration = Duration::from_millis(700);

/// What a screen shows at every place that the list can be at, from no piece cut to all, as this computer draws it: row by
/// row as red, green and blue.
fn pictures(panel: Panel) -> Vec<Vec<u8>> {
    let mut twin = Twin::fresh(&sheet());
    while twin.is_at_a_card() {
        twin.press(Key::Done);
    }
    let mut pictures = Vec::new();
    for _ in 0..=twin.pieces() {
        pictures.push(twin.picture_on(panel).rgb());
        twin.press(Key::Done);
    }
    pictures
}

/// A computer whose station was given the list by the real program and shows its first piece.
struct AtFirstPiece {
    /// Where the program keeps its data and the computer its disk.
    folder: TempDir,
    /// What its screen shows at every place of the list.
    pictures: Vec<Vec<u8>>,
    computer: Computer,
}

impl AtFirstPiece {
    fn start(panel: Panel) -> AtFirstPiece {
        let folder = tempfile::tempdir().expect("a folder");
        let pictures = pictures(panel);
        let mut computer = Computer::new(folder.path(), panel);
        let shown = computer.switch_on();
        println!("the first picture is up {shown} ms after the program's start");
        let level = form::to_json(&level_of(9)).expect("JSON");
        fs::write(folder.path().join("level.json"), level).expect("a file");
        let loaded = load(folder.path(), "level.json", &computer.to());
        assert_eq!(loaded.status, 0, "{}", loaded.err);
        // past the cards, which a press only leafs through
        for _ in 0..20 {
            if computer.screen() == pictures[0] {
                return AtFirstPiece {
                    folder,
                    pictures,
                    computer,
                };
            }
            computer.pedal();
            thread::sleep(NEXT_PRESS);
        }
        panic!("the first piece did not come");
    }

    /// Whether the screen comes to show the list with so many pieces cut.
    #[track_caller]
    fn assert_cut(&mut self, done: usize) {
        let one = &self.pictures[done..][..1];
        assert_eq!(self.computer.shows(one), Some(0), "{done} cut");
    }
}

#[test]
#[ignore = "needs qemu-system-aarch64, mke2fs, Debian's arm64 kernel and the Raspberry Pi's program"]
fn whatever_is_cut_it_comes_back_to_the_piece() {
    let rounds = std::env::var("BASERUN_ROUNDS").ok();
    let rounds: u32 = rounds.and_then(|text| text.parse().ok()).unwrap_or(10);
    let mut at = AtFirstPiece::start(Panel::WIDE);
    at.computer.pedal();
    let mut done = 1;
    at.assert_cut(done);
    let mut chance = fastrand::Rng::with_seed(7);
    let mut ahead = 0;
    for round in 0..rounds {
        if done + 1 == at.pictures.len() {
            // all are cut: the same list from its first piece but one
            done = back_to_one(&mut at, done);
        }
        thread::sleep(NEXT_PRESS);
        at.computer.pedal();
        // the button opens after 100 ms and counts 25 ms later; what is stored and drawn follows
        thread::sleep(Duration::from_millis(chance.u64(0..240)));
        let way = chance.u32(0..3);
        match way {
            0 => {
                at.computer.tell("kill");
                at.computer.hear("ended with 137");
                at.computer.first_picture();
            }
            1 => {
                at.computer.reset();
                at.computer.first_picture();
            }
            _ => {
                at.computer.cut_power();
                at.computer.switch_on();
            }
        }
        let place = at.computer.shows(&at.pictures[done..done + 2]);
        let further = place.unwrap_or_else(|| panic!("round {round}: neither {done} nor one more"));
        ahead += further;
        done += further;
    }
    println!("{rounds} rounds, no wrong place; in {ahead} the press was kept");
}

fn back_to_one(at: &mut AtFirstPiece, from: usize) -> usize {
    at.computer.plug_in();
    for done in (1..from).rev() {
        at.computer.key("backspace");
        at.assert_cut(done);
        thread::sleep(NEXT_PRESS);
    }
    at.computer.pull_out();
    1
}
