//! How long a press takes to its picture, how much memory and processor the station takes. Nothing of time is asserted: the
//! emulated computer is as fast as the one it runs on happens to be.

use std::thread;
use std::time::{Duration, Instant};

use station::screen::Panel;

use super::computer::Computer;
use super::{AtFirstPiece, NEXT_PRESS};

#[test]
#[ignore = "needs qemu-system-aarch64, mke2fs, Debian's arm64 kernel and the Raspberry Pi's program"]
fn it_stops_when_told_and_is_small() {
    let mut at = AtFirstPiece::start(Panel::WIDE);
    let computer = &mut at.computer;
    computer.tell("figures");
    println!("{}", computer.hear("VmRSS"));
    println!("{} (100 are a second)", computer.hear("ticks in 10 s: "));
    computer.tell("term");
    computer.hear("stopped: 0 of 9 done");
    computer.hear("ended with 0");
    computer.first_picture();
}

#[test]
#[ignore = "needs qemu-system-aarch64, mke2fs, Debian's arm64 kernel and the Raspberry Pi's program"]
fn where_the_time_from_a_press_to_its_picture_goes() {
    let mut at = AtFirstPiece::start(Panel::WIDE);
    at.computer.pedal();
    at.assert_cut(1);
    let computer = &mut at.computer;
    computer.tell("times");
    println!("{}", computer.hear("a loop of "));
    computer.first_picture();
    computer.plug_in();
    println!("a look back or ahead, which stores nothing:");
    told(computer, &["right", "left"].repeat(5));
    println!(
        "a piece taken back, which is stored, and cut again; the pedal counts when it is let go:"
    );
    told(computer, &["backspace", "spc"].repeat(5));
    seen(computer);
}

/// What the station tells of the last picture of each press.
fn told(computer: &mut Computer, keys: &[&str]) {
    let mut all = Vec::new();
    for key in keys {
        computer.key(key);
        thread::sleep(NEXT_PRESS);
        let told = computer.heard("picture ");
        let since = |line: &String| line.split(' ').nth(1)?.parse::<u32>().ok();
        all.extend(told.iter().filter_map(since));
        println!("  {key}: {told:#?}");
    }
    all.sort_unstable();
    println!(
        "  middle {}, most {} ms",
        all[all.len() / 2],
        all[all.len() - 1]
    );
}

/// The same from outside, by looking at the screen.
fn seen(computer: &mut Computer) {
    let looks = (0..20).map(|_| {
        let began = Instant::now();
        computer.screen();
        began.elapsed()
    });
    let look = looks.sum::<Duration>() / 20;
    let mut taken = Vec::new();
    for key in ["right", "left"].repeat(5) {
        let before = computer.screen();
        let began = Instant::now();
        computer.key(key);
        while computer.screen() == before {
            // a look that follows at once would keep the computer from its work
            thread::sleep(Duration::from_millis(10));
        }
        taken.push(began.elapsed());
        thread::sleep(NEXT_PRESS);
    }
    taken.sort();
    let (middle, most) = (taken[taken.len() / 2], taken[taken.len() - 1]);
    println!(
        "seen from outside: {middle:?}, at most {most:?}; a look at the screen is {look:?} of it, and it is looked every 10 ms"
    );
}
