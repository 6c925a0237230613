//! From a level's file to five cut pieces, as a carpenter goes: the real program loads the emulated station and takes what was
//! cut, over TCP and over a serial port, and the power goes between pieces. Every screen is a picture in `tests/snapshots`,
//! the same as the page of `run` shows of the same list. What is in a picture is left to the station's own tests.

use std::fs;
use std::io::Cursor;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::thread;
use std::time::{Duration, Instant};

use embedded_graphics::pixelcolor::Rgb565;
use serde_json::json;
use station::timing::WORD_STAYS;

use super::canvas::eight_bits;
use super::kept::assert_kept;
use super::pico::{FlashTimes, Pico, SIZE};
use super::saw_list::level_of;
use crate::jobs::{load, report};
use crate::page::PATIENCE;
use crate::program::fresh_folder;
use crate::running::{NEXT_PRESS, Running};

/// How many pieces are cut.
const PIECES: u32 = 5;

/// The emulated panel as 8-bit red, green and blue.
fn seen(pico: &mut Pico) -> Vec<u8> {
    let picture = pico.picture();
    picture.pixels.into_iter().flat_map(eight_bits).collect()
}

/// The page's picture, likewise; how a browser's eight bits are rounded is no matter.
fn on_page(station: &Running) -> Vec<u8> {
    let (status, _, bytes) = station.get("/picture.png?v=1");
    assert_eq!(status, 200);
    let mut reader = png::Decoder::new(Cursor::new(bytes))
        .read_info()
        .expect("a picture");
    let mut pixels = vec![0; reader.output_buffer_size().expect("a size")];
    let info = reader.next_frame(&mut pixels).expect("a whole picture");
    pixels.truncate(info.buffer_size());
    let (colours, _) = pixels.as_chunks();
    let panels = colours.iter().map(|[red, green, blue]| {
        let colour = Rgb565::new(red >> 3, green >> 2, blue >> 3);
        eight_bits(colour)
    });
    panels.flatten().collect()
}

/// Whether both show the same, at once or when what the page says for a while is gone.
fn agree(pico: &mut Pico, station: &Running) -> bool {
    let seen = seen(pico);
    let begun = Instant::now();
    while begun.elapsed() < PATIENCE {
        if on_page(station) == seen {
            return true;
        }
        thread::sleep(Duration::from_millis(200));
    }
    false
}

/// The power comes, and what is said for a while at the start goes.
fn switch_on(pico: &mut Pico) {
    pico.power(true);
    assert!(pico.run_until("shown", 5_000.0));
    pico.run(f64::from(WORD_STAYS) + 100.0);
}

/// The power goes while nothing happens, or when a press begins to be stored, which is not to count then.
fn cut_the_power(pico: &mut Pico, storing: bool) {
    if storing {
        pico.plan_cut("program", 1, 0.0);
        pico.contact("pedal", &[(0.0, true), (120.0, false)]);
        pico.run(400.0);
        assert!(!pico.report().on);
    } else {
        pico.power(false);
    }
}

/// A terminal whose other end is the station's line.
struct Terminal {
    child: Child,
    path: PathBuf,
}

impl Terminal {
    fn to(port: u16, folder: &Path) -> Terminal {
        let path = folder.join("terminal");
        let child = Command::new("socat")
            .arg(format!("pty,raw,echo=0,link={}", path.display()))
            .arg(format!("tcp:127.0.0.1:{port}"))
            .stdin(Stdio::null())
            .spawn()
            .expect("socat starts");
        let begun = Instant::now();
        while !path.exists() && begun.elapsed() < PATIENCE {
            thread::sleep(Duration::from_millis(20));
        }
        Terminal { child, path }
    }
}

impl Drop for Terminal {
    fn drop(&mut self) {
        // it may have ended by itself
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

#[test]
#[ignore = "needs node, npm ci, socat and the Pico image"]
fn five_pieces_with_the_power_cut_between_them() {
    let (at_desk, at_page) = (fresh_folder(), fresh_folder());
    let level = form::to_json(&level_of(9)).expect("JSON");
    for folder in [&at_desk, &at_page] {
        fs::write(folder.path().join("level.json"), &level).expect("a file");
    }
    let mut pico = Pico::new(FlashTimes::TYPICAL, None);
    switch_on(&mut pico);
    assert!(pico.run_until("plugged", 5_000.0));
    let port = pico.listen("usb");
    let loaded = load(
        at_desk.path(),
        "level.json",
        &format!("tcp:127.0.0.1:{port}"),
    );
    assert_eq!(loaded.status, 0, "{}", loaded.err);
    assert!(
        loaded.err.ends_with("it is the station's first list\n"),
        "{}",
        loaded.err
    );

    let page = Running::start(at_page.path(), &["level.json", "--screen", "320x240"]);
    while seen(&mut pico) != on_page(&page) {
        assert!(pico.report().now < 60_000.0, "it gets to the first piece");
        pico.run(400.0);
        pico.press("pedal", 120.0);
    }
    for piece in 1..=PIECES {
        assert!(agree(&mut pico, &page), "piece {piece}");
        // past the hold-off of the press before
        pico.run(400.0);
        let name = format!("pico-piece-{piece}-320x240");
        assert_kept(&name, SIZE, &seen(&mut pico));
        // before the first piece is cut, a start would bring the cards again
        if piece > 1 {
            cut_the_power(&mut pico, piece % 2 == 1);
            switch_on(&mut pico);
            assert!(agree(&mut pico, &page), "piece {piece}, after a power cut");
        }
        pico.press("pedal", 120.0);
        // the emulated board's time may pass faster than the page's, which has a hold-off of its own
        thread::sleep(NEXT_PRESS);
        let (status, state) = page.press("saw", piece.into(), "done");
        assert_eq!((status, &state["done"]), (200, &json!(piece)));
    }
    assert!(agree(&mut pico, &page), "after the last one");
    assert_kept("pico-after-five-320x240", SIZE, &seen(&mut pico));

    assert!(pico.run_until("plugged", 5_000.0));
    let terminal = Terminal::to(port, at_desk.path());
    let to = terminal.path.display().to_string();
    assert_eq!(report(at_desk.path(), &to)["done"], json!(PIECES));
    // the way that it was loaded by knows the same
    drop(terminal);
    let to = format!("tcp:127.0.0.1:{port}");
    assert_eq!(report(at_desk.path(), &to)["done"], json!(PIECES));
}
