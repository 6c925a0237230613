//! The Raspberry Pi's own program on an emulated computer with Debian's kernel: what is on its screen, what its keyboard and
//! a contact on a pin do, and that it comes back to the piece whatever is cut. The board of a Raspberry Pi itself is not
//! emulated: what is proven here is the kernel's display, input, pins and disk.
//!
//! These need `qemu-system-aarch64`, `mke2fs`, the program (`firmware/boards/raspberry-pi/build`) and the kernel
//! (`tests/emulated/pi/fetch-kernel`); without them they are reported as ignored.

mod computer;
mod initramfs;

use std::fs::File;
use std::io::BufWriter;
use std::path::Path;
use std::thread;
use std::time::{Duration, Instant};

use embedded_graphics::pixelcolor::{Rgb888, RgbColor};
use embedded_graphics::prelude::*;
use link::{Link, Manner, To, connect};
use planner::saw_list::SawSheet;
use shared_model::{Event, SawList, What};
use station::machine::{Input, Key, Machine};
use station::screen::{Panel, Screen};

use super::canvas::{Canvas, read_png};
use super::saw_list::sheet;
use computer::{Computer, SIZE};

/// Two presses that both count are farther apart, the emulated button's own time among it.
const NEXT_PRESS: Duration = Duration::from_millis(700);

/// What the screen shows when so many pieces are cut, as this computer draws it.
fn picture(sheet: &SawSheet, done: u32) -> Canvas {
    let mut events: Vec<Event> = Vec::new();
    loop {
        let mut machine = Machine::start(1, events.len() as u32, false, &[]);
        machine.go_on(Some(sheet), events.iter().copied());
        // past the cards
        let mut now = 0;
        while machine.over().is_some() {
            now += 1_000;
            machine.take(Input::Press(Key::Done), now);
        }
        if events.len() as u32 == done {
            let mut canvas = Canvas::new(Panel::WIDE);
            let drawn = Screen::new(Panel::WIDE).draw(&machine.view(Some(sheet)), &mut canvas);
            drawn.expect("memory does not fail");
            return canvas;
        }
        let place = machine.place().expect("a place");
        let piece = place.current().and_then(|index| place.id(index));
        let list = sheet.head().digest;
        let piece = piece.expect("a piece is left");
        events.push(Event {
            sequence: events.len() as u32 + 1,
            boot: 1,
            milliseconds: 0,
            what: What::Done { piece, list },
        });
    }
}

/// As the display has it: 8 bits a colour.
fn colours(canvas: &Canvas) -> Vec<u8> {
    let points =
        (0..SIZE.0 * SIZE.1).map(|at| Point::new((at % SIZE.0) as i32, (at / SIZE.0) as i32));
    let colours = points.flat_map(|at| {
        let colour = Rgb888::from(canvas.at(at));
        [colour.r(), colour.g(), colour.b()]
    });
    colours.collect()
}

/// Every place that the list can be at, from no piece cut to all.
fn pictures(sheet: &SawSheet) -> Vec<Vec<u8>> {
    let pieces = u32::from(sheet.head().pieces);
    let one = |done| colours(&picture(sheet, done));
    (0..=pieces).map(one).collect()
}

/// A computer whose station has this list and shows its first piece.
fn at_the_first_piece(folder: &Path, sheet: &SawSheet, first: &[u8]) -> Computer {
    let mut computer = Computer::new(folder);
    let shown = computer.switch_on();
    println!("the first picture is up {shown} ms after the program's start");
    load(&computer, sheet);
    // past the cards, which a press only leafs through
    for _ in 0..20 {
        if computer.screen() == first {
            return computer;
        }
        computer.pedal();
        thread::sleep(NEXT_PRESS);
    }
    panic!("the first piece did not come");
}

fn load(computer: &Computer, sheet: &SawSheet) {
    let to: To = computer.to().parse().expect("an address");
    let until = Instant::now() + Duration::from_secs(30);
    let mut link = loop {
        match connect(&to).and_then(|wire| Link::open(wire, Manner::default())) {
            Ok(link) => break link,
            Err(error) => assert!(Instant::now() < until, "{error}"),
        }
        thread::sleep(Duration::from_millis(200));
    };
    let made_with = link.station().last();
    link.load(sheet, made_with, &mut |_| {}).expect("it loads");
}

#[test]
#[ignore = "needs qemu-system-aarch64, mke2fs, Debian's arm64 kernel and the Raspberry Pi's program"]
fn five_pieces_are_walked_with_a_power_cut_between() {
    let folder = tempfile::tempdir().expect("a folder");
    let sheet = sheet();
    let pictures = pictures(&sheet);
    let mut computer = at_the_first_piece(folder.path(), &sheet, &pictures[0]);
    // the contact on a pin
    computer.pedal();
    assert_eq!(computer.shows(&pictures[1..2]), Some(0));
    snapshot(&computer.screen());
    // a keyboard that is plugged in later, pulled out and plugged in again
    computer.plug_in();
    thread::sleep(NEXT_PRESS);
    computer.key("spc");
    assert_eq!(computer.shows(&pictures[2..3]), Some(0));
    computer.pull_out();
    computer.plug_in();
    computer.key("pgdn");
    assert_eq!(computer.shows(&pictures[3..4]), Some(0));
    computer.cut_power();
    computer.switch_on();
    assert_eq!(computer.shows(&pictures[3..4]), Some(0));
    for piece in 4..6 {
        computer.pedal();
        assert_eq!(computer.shows(&pictures[piece..][..1]), Some(0), "{piece}");
        thread::sleep(NEXT_PRESS);
    }
    computer.plug_in();
    computer.key("backspace");
    assert_eq!(computer.shows(&pictures[4..5]), Some(0));
}

#[test]
#[ignore = "needs qemu-system-aarch64, mke2fs, Debian's arm64 kernel and the Raspberry Pi's program"]
fn whatever_is_cut_it_comes_back_to_the_piece() {
    let rounds = std::env::var("BASERUN_ROUNDS").ok();
    let rounds: u32 = rounds.and_then(|text| text.parse().ok()).unwrap_or(10);
    let folder = tempfile::tempdir().expect("a folder");
    let sheet = sheet();
    let pictures = pictures(&sheet);
    let mut computer = at_the_first_piece(folder.path(), &sheet, &pictures[0]);
    computer.pedal();
    let mut done = 1;
    assert_eq!(computer.shows(&pictures[done..][..1]), Some(0));
    let mut chance = fastrand::Rng::with_seed(7);
    let mut ahead = 0;
    for round in 0..rounds {
        if done + 1 == pictures.len() {
            // all are cut: the same list from its first piece but one
            done = back_to_one(&mut computer, &pictures, done);
        }
        thread::sleep(NEXT_PRESS);
        computer.pedal();
        // the button opens after 100 ms and counts 25 ms later; what is stored and drawn follows
        thread::sleep(Duration::from_millis(chance.u64(0..240)));
        let way = chance.u32(0..3);
        match way {
            0 => {
                computer.tell("kill");
                computer.hear("ended with 137");
                computer.first_picture();
            }
            1 => {
                computer.reset();
                computer.first_picture();
            }
            _ => {
                computer.cut_power();
                computer.switch_on();
            }
        }
        let place = computer.shows(&pictures[done..done + 2]);
        let further = place.unwrap_or_else(|| panic!("round {round}: neither {done} nor one more"));
        ahead += further;
        done += further;
    }
    println!("{rounds} rounds, no wrong place; in {ahead} the press was kept");
}

fn back_to_one(computer: &mut Computer, pictures: &[Vec<u8>], from: usize) -> usize {
    computer.plug_in();
    for done in (1..from).rev() {
        computer.key("backspace");
        assert_eq!(computer.shows(&pictures[done..][..1]), Some(0));
        thread::sleep(NEXT_PRESS);
    }
    computer.pull_out();
    1
}

#[test]
#[ignore = "needs qemu-system-aarch64, mke2fs, Debian's arm64 kernel and the Raspberry Pi's program"]
fn it_stops_when_told_says_what_is_missing_and_is_small() {
    let folder = tempfile::tempdir().expect("a folder");
    let sheet = sheet();
    let pictures = pictures(&sheet);
    let mut computer = at_the_first_piece(folder.path(), &sheet, &pictures[0]);
    computer.tell("second");
    computer.hear("/dev/dri/card0 is in use by another program: ");
    computer.hear("the second ended with 1");
    computer.tell("stranger");
    computer.hear("no right to use /dev/dri/card0: the user has to be in the group video ");
    computer.hear("the stranger's ended with 1");
    assert_eq!(
        computer.shows(&pictures[..1]),
        Some(0),
        "it goes on as before"
    );
    computer.tell("figures");
    println!("{}", computer.hear("VmRSS"));
    println!("{} (100 are a second)", computer.hear("ticks in 10 s: "));
    computer.plug_in();
    let looks = (0..20).map(|_| {
        let began = Instant::now();
        computer.screen();
        began.elapsed()
    });
    let look: Duration = looks.sum::<Duration>() / 20;
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
    println!("key to picture {middle:?}, at most {most:?}; a look at the screen is {look:?} of it");
    computer.tell("term");
    computer.hear("stopped: 0 of 9 done");
    computer.hear("ended with 0");
    computer.first_picture();
}

/// The picture that is reviewed, as the emulated display had it.
fn snapshot(screen: &[u8]) {
    let path =
        Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/snapshots/raspberry-pi-800x480.png");
    if std::env::var_os("BASERUN_BLESS").is_some() {
        let file = File::create(&path).expect("the folder can be written");
        let mut encoder = png::Encoder::new(BufWriter::new(file), SIZE.0 as u32, SIZE.1 as u32);
        encoder.set_color(png::ColorType::Rgb);
        encoder.set_compression(png::Compression::High);
        let mut writer = encoder.write_header().expect("a size that PNG takes");
        writer.write_image_data(screen).expect("its bytes");
        return;
    }
    let (_, pixels) = read_png(&path).expect("the snapshot");
    assert!(
        pixels == screen,
        "the picture is another one than {}",
        path.display()
    );
}
